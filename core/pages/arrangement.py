"""The general arrangement: the piece shut and open in front view, side view and plan, with its main sizes and gaps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from ..built import BuiltJob, BuiltPiece
from ..drawing.cutting_planes import CuttingPlane
from ..drawing.dimensions import DimensionRow, Side, chain, figures
from ..drawing.page import Rect, RoomError, Text
from ..drawing.sheet import (
    AIR,
    FULL_SIZE,
    SCALES,
    Block,
    Column,
    Gap,
    Heading,
    Paragraph,
    Scale,
    Sheet,
    Table,
    fitting_scale,
    flow,
    single_group,
)
from ..drawing.views import View
from ..model import Model
from ..wording import counted
from ._layout import Composition, Figure, Picture, Planned, composed, figure, laid_in
from ._main_sizes import (
    X,
    Y,
    contents_heights,
    depth_chain,
    feet,
    gaps,
    height_chains,
    merged,
    moving,
    opening_heights,
    opening_widths,
    side_frame_chain,
    width_chains,
    widths_at,
)
from ._packing import packed
from ._sections import (
    OFF,
    Legend,
    detail_drawn,
    detail_rows,
    details,
    materials_cut,
    moved_fronts,
    plan_level,
    section_place,
    sectioned,
)
from ._sheets import blank, locale_of, piece_name, projection, sentence, titled
from ._views import boxes_of, drawn_view, opened, without

FRONT, SIDE, TOP = View.named("front"), View.named("side"), View.named("top")
FRONT_NAME, SIDE_NAME, PLAN_NAME = "Front", "Side, seen from the right", "Plan, seen from above"
ALL_NAMES = FRONT_NAME, SIDE_NAME, PLAN_NAME
OPEN_NAME, SHUT_NAME = "From the front right, open", "From the front right"
INSIDE_NAME, INSIDE_PLAN_NAME = "Front, doors and drawers left off", "Plan, what lies above {} left off"

PAPER = "A3"
OPEN = 0.9  # of the reach of doors and drawers, in the picture of the open piece
PICTURE_NAME = 12.0  # mm of height for the name of the picture


class Arrangement:
    """For each piece: as it stands shut, inside, cut through, and the details at full size."""

    word = "arrangement"
    title = "General arrangement"
    order = 10
    place = "desk"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """The sheets of every piece, its front view first."""
        return tuple(
            sheet
            for built in job.pieces
            for sheet in (
                *_outside(job, built, self.title),
                *_inside(job, built),
                *_sections(job, built),
                *_details(job, built),
            )
        )


ENTRY = Arrangement()


# ------------------------------------------------------------------------------------------------------------ outside
def _outside(job: BuiltJob, built: BuiltPiece, title: str) -> Sequence[Sheet]:
    """Front, side and plan on one sheet, or, where that makes them small, the side on a second one beside a picture."""
    model, sheet = built.model, _Sheet(job, built, titled(job, built, title), 0)
    front = Planned(drawn_view(model, FRONT), FRONT_NAME, partial(_front_rows, model), _planes(model))
    side = Planned(drawn_view(model, SIDE), SIDE_NAME, partial(_side_rows, model))
    plan = Planned(drawn_view(model, TOP), PLAN_NAME, partial(_plan_rows, model))
    tables = _front_tables(model)
    parted = sheet.composed({"front": front, "plan": plan}, (FRONT_NAME, PLAN_NAME))
    together = sheet.composed(
        {"front": front, "side": side, "plan": plan}, ALL_NAMES, parted.scale if parted else SCALES[-1]
    )
    if together:
        return sheet.pages(together, ALL_NAMES, tables)
    second = _Sheet(job, built, titled(job, built, "General arrangement, side"), 1)
    name = OPEN_NAME if model.motions else SHUT_NAME
    beside = second.composed({"side": side, "plan": second.picture(opened(model, OPEN), name)}, (SIDE_NAME, name))
    if not parted or not beside:
        raise RoomError(f"{piece_name(built)} is too large for a general arrangement on {PAPER} at any scale")
    return (*sheet.pages(parted, (FRONT_NAME, PLAN_NAME), tables), *second.pages(beside, (SIDE_NAME, name), []))


def _front_rows(model: Model, scale: float) -> Mapping[Side, Sequence[DimensionRow]]:
    width, _, height = model.overall
    heights = height_chains(model)
    return {
        "below": _rows([*width_chains(model), (-width / 2, width / 2)], scale),
        "left": _rows([heights[0], (0.0, height)], scale),
        "right": _rows(heights[1:], scale),
    }


def _side_rows(model: Model, scale: float) -> Mapping[Side, Sequence[DimensionRow]]:
    return {
        "below": _rows([feet(model, Y), (-model.carcass[1], 0.0), (-model.overall[1], 0.0)], scale),
        "right": _rows([side_frame_chain(model)], scale),
    }


def _plan_rows(model: Model, scale: float) -> Mapping[Side, Sequence[DimensionRow]]:
    (width, depth, _), (carcass_width, carcass_depth, _) = model.overall, model.carcass
    across = merged([-width / 2, -carcass_width / 2, carcass_width / 2, width / 2])
    return {"below": _rows([across], scale), "right": _rows([merged([-depth, -carcass_depth, 0.0])], scale)}


LAPS = 0.05  # mm from which a front is told to lap what is there
GAPS = (
    Column("Front"),
    Column("Width", 15, "right"),
    Column("Height", 15, "right"),
    Column("Opening", 27, "right"),
    Column("Left", 12, "right"),
    Column("Right", 12, "right"),
    Column("Top", 12, "right"),
    Column("Bottom", 16, "right"),
    Column("Meeting", 17, "right"),
)


def _front_tables(model: Model) -> list[Block]:
    """Fronts, the openings that they close, and their gaps; nothing where there are none."""
    found = gaps(model)
    if not found:
        return []
    rows = [
        (
            sentence(each.front.name),
            figures(each.front.width),
            figures(each.front.height),
            f"{figures(each.opening.width)} × {figures(each.opening.height)}",
            *map(_gap_words, each.round),
        )
        for each in found
    ]
    tables = [Heading("Fronts, and the gaps round them before painting"), Table(GAPS, single_group(rows))]
    if any(gap is not None and gap < -LAPS for each in found for gap in each.round):
        tables += [Gap(2), Paragraph("In brackets: how far a front laps what is there.")]
    return tables


def _gap_words(gap: float | None) -> str:
    """A gap as the table gives it; in brackets how far a front laps what is there."""
    if gap is None:
        return ""
    return f"({figures(-gap)})" if gap < -LAPS else figures(gap)


# ------------------------------------------------------------------------------------------------------------- inside
def _inside(job: BuiltJob, built: BuiltPiece) -> Sequence[Sheet]:
    model = built.model
    if not model.bays:
        return ()
    level = _plan_level(model)
    fronts_off = without(model, moving(model))
    top_off = without(model, (key for key, (low, _) in boxes_of(model).items() if low[2] >= level))
    names = INSIDE_NAME if model.motions else FRONT_NAME, INSIDE_PLAN_NAME.format(figures(level))

    views = {
        "front": Planned(drawn_view(fronts_off, FRONT), names[0], partial(_inside_rows, model)),
        "plan": Planned(drawn_view(top_off, TOP), names[1], partial(_inside_plan_rows, model)),
    }
    sheet = _Sheet(job, built, titled(job, built, "General arrangement, inside"), 1)
    found = sheet.composed(views, names)
    if not found:
        raise RoomError(f"{piece_name(built)} is too large to be shown inside on {PAPER} at any scale")
    return sheet.pages(found, names, [Heading("Compartments"), _bay_table(model)])


def _plan_level(model: Model) -> float:
    """Above the floor: half way up the topmost compartments, so that top, rails and cornice are out of the way."""
    low, high = max(((bay.low[2], bay.high[2]) for bay in model.bays), key=lambda ends: ends[1])
    return round((low + high) / 2)


def _inside_rows(model: Model, scale: float) -> Mapping[Side, Sequence[DimensionRow]]:
    return {
        "below": _rows([*opening_widths(model), feet(model, X)], scale),
        "left": _rows(opening_heights(model)[:1], scale),
        "right": _rows(contents_heights(model)[:2], scale),
    }


def _inside_plan_rows(model: Model, scale: float) -> Mapping[Side, Sequence[DimensionRow]]:
    return {"right": _rows([depth_chain(model)], scale)}


BAYS = (
    Column("Compartment"),
    Column("Clear width", 17, "right"),
    Column("Clear height", 17, "right"),
    Column("Clear depth", 17, "right"),
    Column("Holds", 55),
)


def _bay_table(model: Model) -> Block:
    names = {part.key: part.name for part in model.parts}
    rows = []
    for bay in model.bays:
        held = [names[key] for key in bay.holds if key in names]
        words = [counted(held.count(name), name) for name in dict.fromkeys(held)]
        words += ["hanging rail"] * any(key.endswith("/tube") for key in bay.holds)
        rows.append(
            (
                sentence(bay.key),
                *(figures(high - low) for low, high in ((bay.low[i], bay.high[i]) for i in (0, 2, 1))),
                ", ".join(words),
            )
        )
    return Table(BAYS, single_group(rows))


# ----------------------------------------------------------------------------------------------------------- sections
def _sections(job: BuiltJob, built: BuiltPiece) -> Sequence[Sheet]:
    """A plan section through the drawer and an upright one through a compartment, fronts open in chain lines."""
    model = built.model
    if not model.bays:
        return ()
    upright, level = _planes(model)
    side = "left" if upright.at < 0 else "right"
    names = (
        f"Section {upright.name}, {figures(abs(upright.at))} {side} of the middle, seen from the right",
        f"Plan section {level.name}, {figures(level.at)} above the floor",
    )
    views = {
        "side": Planned(sectioned(model, SIDE, upright.at + OFF), names[0], partial(_upright_section_rows, model)),
        "plan": Planned(
            sectioned(model, TOP, level.at + OFF, moved_fronts(model)), names[1], partial(_plan_section_rows, model)
        ),
    }
    sheet = _Sheet(job, built, titled(job, built, "General arrangement, sections"), 1)
    found = sheet.composed(views, names)
    if not found:
        raise RoomError(f"{piece_name(built)} is too large to be shown cut through on {PAPER} at any scale")
    items, _ = laid_in(found.strip, _legend(model))  # the sheet of details has it too
    return [sheet.blank(str(found.scale), names).with_items((*found.items, *items))]


def _planes(model: Model) -> tuple[CuttingPlane, ...]:
    """Where the sections are taken, as marked on the front view; none where there are no sections."""
    if not model.bays:
        return ()
    return CuttingPlane("A", "upright", section_place(model)), CuttingPlane("B", "level", plan_level(model))


def _legend(model: Model) -> list[Block]:
    return [Heading("Hatching", room=10.0), Legend(tuple(materials_cut(model)))]


def _upright_section_rows(model: Model, scale: float) -> Mapping[Side, Sequence[DimensionRow]]:
    return {
        "below": _rows([depth_chain(model)], scale),
        "left": _rows([opening_heights(model)[0]] if opening_heights(model) else [], scale),
        "right": _rows([(0.0, model.overall[2])], scale),
    }


def _plan_section_rows(model: Model, scale: float) -> Mapping[Side, Sequence[DimensionRow]]:
    across = widths_at(model, plan_level(model))
    return {
        "above": _rows([across, (across[0], across[-1])], scale),
        "right": _rows([depth_chain(model)], scale),
    }


def _details(job: BuiltJob, built: BuiltPiece) -> Sequence[Sheet]:
    """Where fronts, carcass and top meet, at full size."""
    model = built.model
    title = titled(job, built, "General arrangement, details")
    figures_ = []
    for detail in details(model):
        drawn = detail_drawn(model, detail)
        figures_.append(figure(drawn, FULL_SIZE.ratio, detail.name, detail_rows(drawn, FULL_SIZE.ratio)))
    if not figures_:
        return ()
    sheet = _Sheet(job, built, title, 1)
    empty = sheet.blank(str(FULL_SIZE), ("details",))
    pages = packed([_Framed(each) for each in figures_], empty.room)
    found = []
    for number, page in enumerate(pages):
        items = [item for framed, x, top in page for item in framed.at(x, top).items]
        mine = sheet.blank(str(FULL_SIZE), [framed.figure_name for framed, _, _ in page])
        beside = mine.side_room
        if number == 0 and beside is not None:
            corner = Rect(beside.x, beside.y, beside.width, mine.title_block.top - beside.y)
            items += laid_in(corner, _legend(model))[0]
        found.append((mine if number == 0 else replace(mine, bookmark="")).with_items(items))
    return found


@dataclass(frozen=True, slots=True)
class _Framed:
    """A figure to be laid on a sheet."""

    figure: Figure

    @property
    def width(self) -> float:
        """From left to right, mm."""
        return self.figure.rect.width

    @property
    def height(self) -> float:
        """From top to bottom, mm."""
        return self.figure.rect.height

    @property
    def figure_name(self) -> str:
        """What stands beneath it."""
        return next(item.string for item in reversed(self.figure.items) if isinstance(item, Text))

    def at(self, x: float, top: float) -> Figure:
        """The figure with its top left corner there."""
        rect = self.figure.rect
        return self.figure.moved(x - rect.x, top - rect.top)


# ------------------------------------------------------------------------------------------------------------ helpers
def _rows(chains: Sequence[Sequence[float]], scale: float) -> tuple[DimensionRow, ...]:
    told = dict.fromkeys(merged(stations) for stations in chains)
    return tuple(row for stations in told if len(stations) > 1 for row in chain(stations, scale=scale))


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A sheet of views of one piece."""

    job: BuiltJob
    built: BuiltPiece
    title: str
    level: int

    def blank(self, scale: str, names: Sequence[str]) -> Sheet:
        """The empty sheet, its views named in words."""
        words = "; ".join(name[0].lower() + name[1:] for name in names)
        return blank(
            self.job,
            self.title,
            built=self.built,
            paper=PAPER,
            scale=scale,
            views=f"Views: {words}.",
            projected=True,
            level=self.level,
        )

    def composed(
        self, views: Mapping[str, Planned | Picture], names: Sequence[str], smallest: Scale = SCALES[-1]
    ) -> Composition | None:
        """The views placed at the largest scale that holds them, if one does."""
        third_angle = projection(locale_of(self.job)) == "third angle"
        return composed(self.blank(str(SCALES[-1]), names), views, third_angle, smallest)

    def pages(self, found: Composition, names: Sequence[str], tables: list[Block]) -> Sequence[Sheet]:
        """The sheet with the tables that fit beside the views, and more for those that do not."""
        items, left = laid_in(found.strip, tables)
        more = flow(left, blank(self.job, self.title, built=self.built, paper="A4", bookmark="")) if left else ()
        return (self.blank(str(found.scale), names).with_items((*found.items, *items)), *more)

    def picture(self, model: Model, name: str) -> Picture:
        """The piece seen from the front right, as large as fits above the title block; its scale stands in its name."""
        sheet = self.blank("1:100", ("a", "b"))
        drawn = drawn_view(model, View.named("iso"))
        room = Rect(0, 0, sheet.title_block.width - 2 * AIR, sheet.room.height - PICTURE_NAME)
        scale = fitting_scale(drawn.box.width, drawn.box.height, room, largest=Scale(1, 5))
        return Picture(figure(drawn, scale.ratio, f"{name} ({scale})", {}))
