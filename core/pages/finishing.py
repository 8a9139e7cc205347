"""The finishing schedule: what goes on which surfaces in which order, how much, how long to wait, what stays bare."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from ..built import BuiltJob, BuiltPiece
from ..buying.coatings import GroupFinish, Step, coating, library, method
from ..buying.quantities import quantities
from ..checks.cautions import cautions_for
from ..coverage import INSIDE, Band, Coverage
from ..drawing.blocks import Laid
from ..drawing.page import MIDDLE, NARROW, Area, Item, Rect, Stroke, Text, box
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, fewest, single_group
from ..drawing.text import line_pitch, wrap
from ..fittings import fitting_entry
from ..locales import Locale
from ..model import Model, Part, Pocket
from ..piece.finish import COATINGS
from ..steps.order import WHOLE
from ..wording import listed
from ._sheets import blank, lists_of, sentence, titled

COLUMN, FIGURE_WIDTH, FIGURE_HEIGHT = 56.0, 52.0, 50.0  # mm of paper for one plan of a part
BARE_GREY = 0.78
LEAST = 150.0  # mm; parts narrower than this are told in words
ACROSS = 0.85  # of the width: a band that reaches so far goes all across
MOST_PLANS = 18
MOST_BENEATH = 10  # bands told in the column beneath a plan; more run over the width of the sheet

PARTS_FIRST = "In parts, before glue-up"
AFTER = "After glue-up"
FITTED = {
    "hinges": "hinge",
    "runners": "runner",
    "knobs": "knob",
    "pulls": "pull",
    "catches": "catch",
    "anchors": "anchor bracket",
}  # what is fitted before the last coats, as it is called, by a word of its kind
REFITTED = "Refit when the last coat has had 48 hours; it is hard after about a week."
BOTH_SIDES = "Both sides of doors, shelves and panels get the same coats, or they bow."
BARE = (
    "Glue does not hold on paint. Bare stay: the grey bands below, 0.5 inside their edges; dowel holes; seats of planted "
    "strips, stiffeners, rails and blocks; rebates and grooves"
)
BARE_RECESSES = "; hinge recesses (or the gap is lost to paint)"
HINGE_RECESS = "hinge recess"  # how the purpose of one begins
FLAT = "back first, flat on points; turn when hard."
IN_RECESSES = "Doors may hang upright by two hooks screwed into the hinge recesses, which are not seen."
LIE = {
    "loose shelf": "Loose shelves: on four points, underside first; or hung by a screw at each end of the rear edge.",
    "horizontal": "Boards of the carcass before glue-up: flat on battens, inside up, one face after the other.",
    "moulding": "Cornice: on battens, upside down first for the seat, then face up, apart from the carcass.",
    "top": "Top: on points, underside first.",
    "drawer box": "Drawer boxes: upright on battens; runners' seats and the bottom's groove bare.",
    "lamination": "Legs: carcass on its back on padded trestles; ends of legs sealed before the glides go on.",
}


class FinishingPages:
    """One schedule for each piece: groups with their areas, steps with quantities, and plans of what stays bare."""

    word = "finishing"
    title = "Finishing schedule"
    order = 70
    place = "spray place"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as every piece needs; quantities are for all pieces of a kind together."""
        return tuple(sheet for index in range(len(job.pieces)) for sheet in _sheets(job, index, self.title))


ENTRY = FinishingPages()


def _sheets(job: BuiltJob, index: int, title: str) -> Sequence[Sheet]:
    built, locale = job.pieces[index], lists_of(job)
    finishes, covered = quantities(job).finishes[index], quantities(job).coverages[index]
    if not finishes:
        return ()
    blocks = [
        *(Paragraph(each.text, after=2.0) for each in cautions_for(built.piece, built.model, "painting")),
        Paragraph(" ".join(_order(built, finishes))),
        *_overview(built, finishes, locale),
        *_schedules(built, finishes, locale),
        *_figures_said(built),
        *_hanging(built),
        *_plans(job, index, covered, locale),
    ]
    return fewest(blocks, blank(job, titled(job, built, title), built=built, paper="A4", locale=locale))


def _order(built: BuiltPiece, finishes: Sequence[GroupFinish]) -> Iterator[str]:
    """What is coated before glue-up, what is fitted then and comes off again for the last coats: as the steps have it."""
    in_parts = any(each.before_glue_up for each in finishes)
    yield "First coat what is painted in parts, its joints masked, and glue up." if in_parts else "Glue up first."
    kinds = {fitting_entry(each.entry).kind for each in built.model.fittings if each.entry}
    fitted = [name for name, word in FITTED.items() if any(word in kind for kind in kinds)]
    if fitted:
        yield f"Then fit {listed(fitted)} dry, take them off and bag them by part. Coat the rest. {REFITTED}"
    else:
        yield "Then coat the rest."
    yield BOTH_SIDES


# ------------------------------------------------------------------------------------------------------------ overview
def _overview(built: BuiltPiece, finishes: Sequence[GroupFinish], locale: Locale) -> Iterator[Block]:
    unit = locale.area_unit
    columns = (
        Column("Surfaces", 38),
        Column("Finish"),
        Column("When", 36),
        Column(f"Area, {unit}", 17, "right"),
        Column("Edges", 14, "right"),
        Column("Bevels", 14, "right"),
        Column("Sealed", 14, "right"),
    )
    rows = [
        (
            group.name,
            Cell(_finish_words(group, locale), swatch="" if group.coat.coating == "bare" else group.coat.colour),
            "in parts, before glue-up" if group.before_glue_up else "after glue-up",
            locale.area_figure(group.area * built.quantity),
            locale.area_figure(group.areas.get("edge", 0.0) * built.quantity),
            locale.area_figure((group.areas.get("bevel", 0.0) + group.areas.get("end of leg", 0.0)) * built.quantity),
            locale.area_figure(group.sealed * built.quantity),
        )
        for group in finishes
    ]
    many = f", of all {built.quantity} together" if built.quantity > 1 else ""
    yield Heading(f"Surfaces{many}")
    yield Table(columns, single_group(rows))
    yield Gap(2)
    absorption = library()["absorption"]
    yield Paragraph(
        f"Areas are what is open to the air, joints and glued faces taken off. A coat on edges is reckoned "
        f"{locale.number(absorption['edge'])} times, on bevels and ends of legs {locale.number(absorption['bevel'])} times "
        "as heavy: they drink."
    )


def _finish_words(group: GroupFinish, locale: Locale) -> str:
    coat = group.coat
    if coat.coating == "bare":
        return COATINGS["bare"]
    said = f"{COATINGS[coat.coating]}, {coat.name}" if coat.name else COATINGS[coat.coating]
    return f"{said}, sheen {locale.number(coat.sheen)} %"


# ----------------------------------------------------------------------------------------------------------- schedules
def _after(model: Model) -> str:
    """When what is not coated in parts is coated, and what is off then of what there is."""
    swings = [each for each in model.motions if each.kind == "swing"]
    off = ["doors"] * any(each.axis[2] for each in swings)
    off += ["drawers"] * any(each.kind == "travel" for each in model.motions)
    off += ["the lid"] * any(not each.axis[2] for each in swings)
    moving = {each.key for each in model.motions}
    names = {each.key: each.name for each in (*model.parts, *model.assemblies)}
    off += [f"the {names[key]}" for key in _set_on(model) if key in names and key not in moving]
    return f"{AFTER}; {listed(off)} off" if off else AFTER


def _set_on(model: Model) -> Iterator[str]:
    """The keys of what comes from above: a top, a cornice."""
    whole = next((each for each in model.assemblies if each.key == WHOLE), None)
    yield from (each.key for each in (whole.members if whole else ()) if each.apart[2] > 0)


def _schedules(built: BuiltPiece, finishes: Sequence[GroupFinish], locale: Locale) -> Iterator[Block]:
    """One table for groups that get the same, with what they take together."""
    alike = groupby(sorted(finishes, key=_likeness), key=_likeness)
    tables = [list(groups) for _, groups in alike]
    for groups in sorted(tables, key=lambda some: finishes.index(some[0])):
        when = PARTS_FIRST if groups[0].before_glue_up else _after(built.model)
        hours = locale.number(groups[0].hours)
        yield Heading(sentence(listed([each.name.lower() for each in groups])), room=40.0)
        yield Paragraph(
            f"{when}. {_finish_words(groups[0], locale)}. At least {hours} hours of waiting in all.", after=2.0
        )
        yield Table(COLUMNS, single_group(_rows(built, groups, locale)))
        yield Gap(5)


COLUMNS = (
    Column("Step", 11, "right"),
    Column("What"),
    Column("Over", 20, "right"),
    Column("Takes", 24, "right"),
    Column("Then wait", 20, "right"),
    Column("Done", 14),
)


def _likeness(group: GroupFinish) -> tuple:
    said = tuple(step.words for step in group.steps)
    return group.before_glue_up, group.coat.coating, group.coat.colour, group.coat.name, group.coat.sheen, said


def _rows(built: BuiltPiece, groups: Sequence[GroupFinish], locale: Locale) -> Iterator[tuple[str | Cell, ...]]:
    for number, steps in enumerate(zip(*(group.steps for group in groups), strict=True), start=1):
        first: Step = steps[0]
        area = sum(step.area for step in steps) * built.quantity
        litres = sum(step.litres for step in steps) * built.quantity
        yield (
            str(number),
            sentence(first.words),
            locale.area(area) if area else "",
            Cell(_volume(litres, locale), "bold") if litres else "",
            f"{locale.number(first.hours)} h" if first.hours else "",
            "",
        )


def _volume(litres: float, locale: Locale) -> str:
    """How much, in what tins are bought in, which the buying list asks for; where lengths are in inches in US measures besides."""
    metric = replace(locale, denominator=0).volume(litres)
    american = locale.volume(litres).replace(" ", "\u00a0")  # stays together where the cell is narrow
    return f"{metric} ({american})" if locale.denominator else metric


def _figures_said(built: BuiltPiece) -> Iterator[Block]:
    """Where the figures come from, and that the tin's own go first."""
    way = method(built.piece.finish.method)
    used = [coating(id) for id in ("sealer", "undercoat", "paint", "clear", "oil")]
    unsure = [each.name for each in used if not each.verified]
    yield Paragraph(
        f"Put on with: {way.name}; {way.loss * 100:.0f} % lost on the way ({way.source}). Rates and hours are for 20\u00a0°C; "
        f"unverified: {', '.join(unsure)}, and what edges drink. Tins differ: the tin's own figures come first."
    )


def _hanging(built: BuiltPiece) -> Iterator[Block]:
    roles = {part.role for part in built.model.parts}
    said = [*_fronts_lie(built), *(words for role, words in LIE.items() if role in roles)]
    if said:
        yield Heading("Where parts lie and hang")
        yield from (Paragraph(words, after=1.5) for words in said)
        yield Gap(3)


def _fronts_lie(built: BuiltPiece) -> Iterator[str]:
    """How doors, lids and planted fronts of drawers lie; and that doors may hang, where they have recesses for it."""
    swinging = [each for each in built.model.motions if each.kind == "swing"]
    doors = [each.key for each in swinging if each.axis[2]]
    kinds = {front.kind for front in built.piece.fronts if front.kind != "drawer" or front.drawer.front == "planted"}
    flat = [
        *["doors"] * bool(doors),
        *["lid"] * (len(doors) < len(swinging)),
        *["drawer fronts"] * ("drawer" in kinds),
        *["fixed panels"] * ("fixed" in kinds),
    ]
    if not flat:
        return
    recessed = _is_recessed(part for part in built.model.parts if any(part.key.startswith(f"{key}/") for key in doors))
    yield " ".join((f"{sentence(listed(flat))}: {FLAT}", *[IN_RECESSES] * recessed))


def _is_recessed(parts: Iterable[Part]) -> bool:
    """Whether a hinge is let into any of some parts."""
    features = (each for part in parts for each in part.shape.features)
    return any(isinstance(each, Pocket) and each.purpose.startswith(HINGE_RECESS) for each in features)


# --------------------------------------------------------------------------------------------------------------- plans
@dataclass(frozen=True, slots=True)
class _Plan:
    """One side of a part and the bands on it that stay bare."""

    part: Part
    marks: tuple[int, ...]
    side: str
    bands: tuple[Band, ...]


@dataclass(frozen=True, slots=True)
class _PlanRow:
    """Plans beside one another: each drawn, and in words beneath."""

    plans: tuple[tuple[tuple[Item, ...], float], ...]  # items about their top left corner, height

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """All of the row, or nothing."""
        tall = max(each for _, each in self.plans)
        if tall > height:
            return None
        items = tuple(
            item.placed(x + n * (COLUMN + 2.0), top) for n, (some, _) in enumerate(self.plans) for item in some
        )
        return Laid(items, tall + 5.0)


def _plans(job: BuiltJob, index: int, covered: Coverage, locale: Locale) -> Iterator[Block]:
    plans = list(_wanted(job, index, covered))
    if not plans:
        return
    yield Heading("What stays bare in parts painted before glue-up", room=70.0)
    yield Paragraph(f"{BARE}{BARE_RECESSES if _is_recessed(job.pieces[index].model.parts) else ''}.")
    names = {part.key: part.name for part in job.pieces[index].model.parts}
    words = [list(_band_words(plan, names, locale)) for plan in plans[:MOST_PLANS]]
    beneath = [_drawn(plan, some) for plan, some in zip(plans, words) if len(some) <= MOST_BENEATH]
    drawn = sorted(beneath, key=lambda each: -each[1])
    for first in range(0, len(drawn), 3):
        yield _PlanRow(tuple(drawn[first : first + 3]))
    for plan, some in zip(plans, words):
        if len(some) > MOST_BENEATH:
            yield _PlanRow((_drawn(plan, []),))
            yield Paragraph("; ".join(some) + ".")


def _wanted(job: BuiltJob, index: int, covered: Coverage) -> Iterator[_Plan]:
    """Sides of panels that are painted before glue-up; parts that are alike in this once."""
    marks, model = job.marks_of(index), job.pieces[index].model
    found: dict[tuple, tuple[Part, str, tuple[Band, ...], dict[int, None]]] = {}
    for part in model.parts:
        for side in ("face side", "back side"):
            bands = tuple(each for each in covered.bands if each.part == part.key and each.face == side)
            if bands and min(part.size[:2]) >= LEAST and _is_inside(part, side, covered):
                alike = (part.size, part.name, side, tuple((each.low, each.high) for each in bands))
                found.setdefault(alike, (part, side, bands, {}))[3][marks[part.key]] = None
    for part, side, bands, numbers in found.values():
        yield _Plan(part, tuple(numbers), side, bands)


def _is_inside(part: Part, side: str, covered: Coverage) -> bool:
    if part.role == "back":
        return part.place.z[1] * (1 if side == "face side" else -1) < 0
    return part.finish == INSIDE or (part.key, side) in covered.inside_faces


def _drawn(plan: _Plan, words: Sequence[str]) -> tuple[tuple[Item, ...], float]:
    """The part as it stands, its bare bands grey, with words beneath; and the height of all."""
    upright = abs(plan.part.place.x[2]) > 0.5
    length, width, _ = plan.part.size
    wide, tall = (width, length) if upright else (length, width)
    scale = min(FIGURE_WIDTH / wide, FIGURE_HEIGHT / tall)
    title = f"{', '.join(map(str, plan.marks))} {plan.part.name}, {plan.side}"
    items: list[Item] = []
    y = 0.0
    for line in wrap(sentence(title), COLUMN - 2.0, 2.5, "bold"):
        y -= line_pitch(2.5)
        items.append(Text(0.0, y + 1.0, 2.5, line, style="bold"))
    y -= 1.0
    frame = Rect(0.0, y - tall * scale, wide * scale, tall * scale)
    for band in plan.bands:
        items.append(Area(_seated(band, upright, frame, scale).corners, BARE_GREY))
    for band in plan.bands:
        items.append(box(_seated(band, upright, frame, scale), NARROW))
    items += [box(frame, MIDDLE), _face_edge(plan.part, upright, frame)]
    y = frame.y - 1.0
    for each in words:
        for line in wrap(each, COLUMN - 2.0, 2.5):
            y -= line_pitch(2.5)
            items.append(Text(0.0, y + 1.0, 2.5, line))
    return tuple(items), -y


def _seated(band: Band, upright: bool, frame: Rect, scale: float) -> Rect:
    (a, b), (c, d) = band.low, band.high
    if upright:
        return Rect(frame.x + b * scale, frame.y + a * scale, (d - b) * scale, (c - a) * scale)
    return Rect(frame.x + a * scale, frame.y + b * scale, (c - a) * scale, (d - b) * scale)


def _face_edge(part: Part, upright: bool, frame: Rect) -> Item:
    """A wide line along the face edge."""
    high = part.face_edge_high
    if upright:
        x = frame.right if high else frame.x
        return Stroke(((x, frame.y), (x, frame.top)), 1.0)
    y = frame.top if high else frame.y
    return Stroke(((frame.x, y), (frame.right, y)), 1.0)


def _band_words(plan: _Plan, names: dict[str, str], locale: Locale) -> Iterator[str]:
    """Where each band lies, from the foot end and from the face edge (the wide line)."""
    length, width, _ = plan.part.size
    for band in plan.bands:
        (a, b), (c, d) = band.low, band.high
        if plan.part.face_edge_high:
            b, d = width - d, width - b
        along = f"{locale.length(a)} to {locale.length(c)} from the foot end"
        across = f"{locale.length(b)} to {locale.length(d)} from the face edge"
        if d - b >= ACROSS * width:
            where = along
        elif c - a >= ACROSS * length:
            where = across
        else:
            where = f"{along}, {across}"
        yield f"{sentence(names[band.touches])}: {where}"
