"""The fitting page: openings to measure, the gaps before and after painting, and where to plane."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..built import BuiltJob, BuiltPiece
from ..checks.cautions import cautions_for
from ..drawing import text
from ..drawing.blocks import Figure
from ..drawing.dimensions import figures
from ..drawing.page import MIDDLE, NARROW, WIDE, Area, Item, Rect, Stroke, Text, bounds, box, placed
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, fewest, single_group
from ..wording import listed
from ._fronts import BEVEL_FROM, FILM, Closed, Leaf, closed_openings, gaps_between
from ._sheets import blank, sentence, titled

DRAWN = (82.0, 58.0)  # mm of paper for the figure of an opening at the most
SHOWN = 2.5  # mm of paper that every gap or lap is shown as
LEAF = 20.0  # mm that a front is wide in it at the least
BESIDE = 19.0  # mm on each side of an opening for the lines to write on
LAPPING_DOORS = "Doors that lap the carcass: hang them to their laps; cup hinges are set by the screws of their arms until the gaps between fronts are even. Nothing is planed."
LAPPING_DRAWERS = "Drawer fronts that lap the carcass: box in and shut, the front held to its laps and even gaps with double-sided tape, two pilot screws from inside; then the rest, then the handles."
PLANTED_DRAWERS = "Drawer fronts: box in and shut, front on packers of its gaps all round, two pilot screws from inside; then the rest, then the handles."
INTEGRAL_DRAWERS = "Drawers whose front is part of the box: box in and shut; even its gaps by its runners before all their screws are in, plane what is still tight; then the handles."
ARROW = (6.0, 1.1)  # mm: length and half width of a plane-here arrow


class FittingPage:
    """Written on while doors and drawers are fitted in the white, and kept."""

    word = "fitting_page"
    title = "Fitting page"
    order = 54
    place = "bench"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """One for each piece that has fronts."""
        return tuple(sheet for built in job.pieces if built.piece.fronts for sheet in _sheets(job, built, self.title))


OPENINGS = (
    Column("Opening"), Column("Width", 18, "right"), Column("measured", 22), Column("Height", 18, "right"), Column("measured", 22),
    Column("Diagonals", 20, "right"), Column("measured", 34),
)  # fmt: skip
GAPS = (
    Column("Opening"), Column("Gap", 40), Column("Cut to", 20, "right"), Column("Painted", 26, "right"), Column("As fitted", 26), Column("Painted, measured", 32),
)  # fmt: skip

ENTRY = FittingPage()


def _sheets(job: BuiltJob, built: BuiltPiece, title: str) -> Sequence[Sheet]:
    closed = closed_openings(built)
    if not closed:
        return ()
    return fewest(list(_blocks(built, closed)), blank(job, titled(job, built, title), built=built, paper="A4"))


def _blocks(built: BuiltPiece, closed: Sequence[Closed]) -> Iterator[Block]:
    yield Paragraph(
        "Measure the openings when the carcass is square and its back is in, before doors and drawer fronts are trimmed: widths at top and "
        "bottom, heights at both sides, both diagonals. Write the smallest down, and enter it as a measured value: that front alone moves."
    )
    yield Heading("Openings")
    yield Table(OPENINGS, single_group(_opening_row(each) for each in closed))
    yield Gap(5)
    painted = _is_painted(built)
    yield Heading("Gaps")
    film = (
        f"Paint takes {figures(2 * FILM[0])} to {figures(2 * FILM[1])} of each gap: two faces, {FILM[0]:.2f} to {FILM[1]:.2f} each."
        if painted
        else "These fronts are not painted: gaps stay as cut."
    )
    yield Paragraph(film)
    yield Table(GAPS, single_group(_gap_rows(closed, painted)))
    yield Gap(5)
    yield Heading("Where to plane")
    for number, words in enumerate(_order(closed, painted), start=1):
        yield Paragraph(f"{number}. {words}", after=1.5)
    for caution in cautions_for(built.piece, built.model, "fitting"):
        if caution.about == "fingers":
            yield Paragraph(caution.text, style="bold", after=1.5)
    yield Gap(2)
    yield Paragraph(
        "The openings from the front, wide lines, and their fronts, not to scale. Arrow: plane here. Bar: the hinge edge, which is left alone. On the lines: gaps as fitted.",
    )
    for first in range(0, len(closed), 2):
        yield _beside(closed[first : first + 2])


def _is_painted(built: BuiltPiece) -> bool:
    coats = {coat.group: coat.coating for coat in built.piece.finish.scheme().coats}
    return coats.get("fronts", coats.get("carcass", "paint")) == "paint"


def _opening_row(each: Closed) -> tuple[str | Cell, ...]:
    opening = each.opening
    diagonal = (opening.width**2 + opening.height**2) ** 0.5
    names = f" ({listed([leaf.name for leaf in each.leaves])})" if len(each.leaves) > 1 else ""
    return (
        Cell(f"{sentence(opening.name)}{names}"),
        figures(opening.width),
        "",
        figures(opening.height),
        "",
        figures(diagonal),
        "",
    )


def _gap_rows(closed: Sequence[Closed], painted: bool) -> Iterator[tuple[str | Cell, ...]]:
    between = list(gaps_between(closed))
    for each in closed:
        beside = dict.fromkeys(gap for front, gap in between if front is each)
        for number, gap in enumerate((*each.gaps, *beside)):
            least, most = gap.painted(painted)
            left = figures(least) if least == most else f"{figures(least)} to {figures(most)}"
            yield (
                Cell(sentence(each.opening.name) if not number else ""),
                sentence(f"{gap.where}: laps by" if gap.is_lap else gap.where),
                f"{abs(gap.cut):.2f}".rstrip("0").rstrip("."),
                "" if gap.is_lap else left,
                "",
                "",
            )


def _order(closed: Sequence[Closed], painted: bool) -> Iterator[str]:
    """How fronts are fitted: inset ones on packers, hinge side first; those that lap the carcass to their laps."""
    doors = [
        each for each in closed if any(leaf.motion.kind == "swing" and leaf.motion.axis[2] for leaf in each.leaves)
    ]
    drawers = [each for each in closed if all(leaf.motion.kind == "travel" for leaf in each.leaves)]
    inset_doors, lapping_doors = _parted(doors)
    inset_drawers, lapping_drawers = _parted(drawers)
    if inset_doors:
        yield from _inset_doors(inset_doors)
    if lapping_doors:
        yield LAPPING_DOORS
    if any(each.front.drawer.front == "planted" for each in inset_drawers):
        yield PLANTED_DRAWERS
    if any(each.front.drawer.front == "integral" for each in drawers):
        yield INTEGRAL_DRAWERS
    if any(each.front.drawer.front == "planted" for each in lapping_drawers):
        yield LAPPING_DRAWERS
    yield f"Take the arris off with one stroke{' before painting; bare edges are sealed again' if painted else ''}."


def _parted(some: Sequence[Closed]) -> tuple[list[Closed], list[Closed]]:
    """Those that stand in their openings, and those that lap the carcass."""
    return [each for each in some if each.front.lay == "inset"], [each for each in some if each.front.lay != "inset"]


def _inset_doors(doors: Sequence[Closed]) -> Iterator[str]:
    bottoms = sorted({gap.cut for each in doors for gap in each.gaps if gap.where == "bottom"})
    sides = sorted({gap.cut for each in doors for gap in each.gaps if gap.hinge})
    yield f"Stand each door on packers of {listed([figures(cut) for cut in bottoms])}, and pack its hinge side with {listed([figures(cut) for cut in sides])}; one screw in each hinge leaf."
    yield "Never plane the hinge edge. Plane the closing or meeting edge to its gap, then the top, then the bottom: arrows below."
    for angle in sorted({leaf.bevel for each in doors for leaf in each.leaves if leaf.bevel}):
        some = [f"the {leaf.name}" for each in doors for leaf in each.leaves if leaf.bevel == angle]
        yield f"Plane the closing edge of {listed(some)} {angle:g}° toward the inside, from the face arris."
    tight = [leaf for each in doors for leaf in each.leaves if _wants_bevel(each, leaf)]
    need = max(leaf.lead_need for each in doors for leaf in each.leaves)
    if tight:
        yield f"Bevel the closing edge of {listed([f'the {leaf.name}' for leaf in tight])} 2° to 3° toward the inside: as it swings it needs {need:.1f}."
    elif not any(leaf.bevel for each in doors for leaf in each.leaves):
        yield f"The closing edges may stay square: as they swing they need {need:.1f} of their gap at the most."


def _wants_bevel(each: Closed, leaf: Leaf) -> bool:
    gaps = [gap.cut for gap in each.gaps if not gap.hinge and not gap.is_lap and gap.where not in ("top", "bottom")]
    return bool(gaps) and min(gaps) < BEVEL_FROM * leaf.lead_need


# -------------------------------------------------------------------------------------------------------------- figure
def _figure(each: Closed) -> tuple[Item, ...]:
    """The opening seen from the front, its leaves, blanks for the gaps, arrows where the plane goes; not to scale."""
    opening = each.opening
    scale = min((DRAWN[0] - 2 * BESIDE) / opening.width, (DRAWN[1] - 24.0) / opening.height)
    most = DRAWN[0] - 2 * BESIDE
    wide = min(
        max(opening.width * scale, LEAF * len(each.leaves)), most
    )  # it is not to scale: there is room for arrows
    high = max(opening.height * scale, 14.0)
    items: list[Item] = [box(Rect(0.0, 0.0, wide, high), WIDE)]
    first, *_, right, top, bottom = (SHOWN * (-1.0 if gap.is_lap else 1.0) for gap in each.gaps)
    count = len(each.leaves)
    step = (wide - first - right + SHOWN) / count
    for number, leaf in enumerate(each.leaves):
        rect = Rect(first + number * step, bottom, step - SHOWN, high - bottom - top)
        items += [box(rect, MIDDLE), *(_arrows(rect, leaf) if each.front.lay == "inset" else ())]
        items.append(_name(rect, sentence(leaf.name)))
    for x, anchor in ((-4.0, "right"), (wide + 4.0, "left")):
        for y in (high * 0.78, high * 0.22):
            items += _write_in(x, y, anchor)
    for y in (high + 5.0, -5.0):
        for share in (0.25, 0.75):
            items += _write_in(wide * share, y, "middle")
    items.append(Text(wide / 2, high + 10.0, 2.5, sentence(opening.name), "middle", "bold"))
    return tuple(items)


def _beside(some: Sequence[Closed]) -> Figure:
    """Openings beside one another, each in the middle of its share of the width, their tops on one level."""
    items: list[Item] = []
    for number, each in enumerate(some):
        drawn = _figure(each)
        around = bounds(drawn)
        items += placed(drawn, number * (DRAWN[0] + 4.0) - around.centre[0], -around.top)
    return Figure(tuple(items), "middle", 5.0)


def _name(rect: Rect, name: str) -> Text:
    """What a front is called, in it; upright where it is narrow."""
    x, y = rect.centre
    if text.width(name, 2.5) > rect.width - 4.0:
        return Text(x + 1.25, y, 2.5, name, "middle", angle=90.0)
    return Text(x, y - 1.25, 2.5, name, "middle")


def _write_in(x: float, y: float, anchor: str) -> list[Item]:
    """A short line to write a measured gap on."""
    start = {"left": x, "right": x - 14.0, "middle": x - 7.0}[anchor]
    return [Stroke(((start, y - 1.5), (start + 14.0, y - 1.5)), NARROW)]


def _arrows(rect: Rect, leaf: Leaf) -> Iterator[Item]:
    """Arrows from within a front to the edges that are planed; a door's hinge edge has a bar instead."""
    x, y = rect.centre
    long = min(ARROW[0], rect.height / 3)
    door = leaf.motion.kind == "swing" and leaf.motion.axis[2] != 0
    beside = x - rect.width * 0.22
    yield from _arrow((beside, rect.top - long), (beside, rect.top - 0.6))
    yield from _arrow((beside, rect.y + long), (beside, rect.y + 0.6))
    for left in (True, False):
        edge = rect.x + 0.6 if left else rect.right - 0.6
        inward = min(ARROW[0], rect.width / 4)
        inner = edge + inward if left else edge - inward
        if door and left == leaf.hangs_left:
            yield Stroke(
                ((edge + (0.8 if left else -0.8), rect.y + 2.0), (edge + (0.8 if left else -0.8), rect.top - 2.0)), WIDE
            )
        else:
            yield from _arrow((inner, y + rect.height * 0.25), (edge, y + rect.height * 0.25))


def _arrow(tail: tuple[float, float], head: tuple[float, float]) -> Iterator[Item]:
    dx, dy = head[0] - tail[0], head[1] - tail[1]
    size = (dx * dx + dy * dy) ** 0.5
    ux, uy = dx / size, dy / size
    back = (head[0] - 2.4 * ux, head[1] - 2.4 * uy)
    yield Stroke((tail, back), MIDDLE)
    yield Area(
        (head, (back[0] - uy * ARROW[1], back[1] + ux * ARROW[1]), (back[0] + uy * ARROW[1], back[1] - ux * ARROW[1]))
    )
