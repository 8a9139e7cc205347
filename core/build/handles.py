"""Knobs and pulls: where they sit on doors and drawers, and the bolts that hold them."""

from __future__ import annotations

from ..errors import ParameterError, blaming
from ..fastenings import bolt_for
from ..fittings import FittingEntry
from ..geometry import FRONT, UP, Placement, Vector, negative, plus, vector
from ..model import AT_FITTING, Pocket, When
from ..piece.fronts import Front
from ..units import nearest
from .bench import Bench
from .clearance import standing_box
from .hanging import Leaf
from .hardware import fitting_for
from .setting_out import SettingOut, has_bead

# mm of plain wood beside a handle's seat: a film of paint and what a drill wanders; common practice, no source
SEAT_CLEAR = 0.5
SEATS = "seat", "post", "width"  # sizes of the library that say how wide a knob or pull stands on the wood
KNOB_FROM_EDGE = 40.0  # mm from the closing edge of a door without a stile; common practice, no source
KNOB_HEIGHT = 1000.0  # above the floor, where no mid rail says otherwise; common practice, no source
# mm: two pulls at quarter points; at fifth points; common practice, no source
WIDE_FRONT, VERY_WIDE_FRONT = 700.0, 1000.0


def door_handle(bench: Bench, out: SettingOut, leaf: Leaf) -> list[str]:
    """The knob or pull of a door, on its closing stile; none where none is wanted."""
    front, left, bottom, wide, high, rod = leaf.front, leaf.left, leaf.bottom, leaf.wide, leaf.high, leaf.rod_high
    if not front.handle:
        return []
    entry = fitting_for(f"{out.path(front)}.handle", front.handle, "knob", "pull")
    shown = front.panel.stile_shown(lambda id: out.board(id, f"{out.path(front)}.panel.board"))
    from_edge = nearest(_from_edge(front, f"{out.path(front)}.handle", entry, shown) + leaf.tongue, out.finest)
    reach = entry.sizes.get("overall", entry.sizes.get("diameter", 0.0)) / 2 if entry.kind == "pull" else 0.0
    if from_edge > wide / 2 or high < 2 * reach + 2 * KNOB_FROM_EDGE:
        raise ParameterError(
            f"{out.path(front)}.handle",
            f'"{front.handle}" finds no room on a door {wide:g} mm wide and {high:g} mm high, {from_edge:g} mm from its edge',
        )
    rails = sorted(getattr(front.panel, "mid_rails", ()))
    height = next(
        (rail for rail in rails if bottom < rail < bottom + high),
        min(max(KNOB_HEIGHT, bottom + rod * 0.15), bottom + rod * 0.85),
    )
    height = min(max(height, bottom + reach + KNOB_FROM_EDGE), bottom + rod - reach - KNOB_FROM_EDGE)
    x = left + wide - from_edge if leaf.hand == "left" else left + from_edge
    stile = [part for part in leaf.parts if part.endswith(("stile.meeting", "stile.closing"))]
    seat = vector(x, leaf.face_y, round(height, 1))
    with blaming(f"{out.path(front)}.handle"):
        return [
            seat_handle(
                bench,
                f"{leaf.key}/knob",
                entry,
                seat,
                stile if front.panel.stands_alone else [*stile, f"{leaf.key}/panel"],
                UP,
                "knob bolt",
                leaf.key,
            )
        ]


def _from_edge(front: Front, path: str, entry: FittingEntry, shown: float) -> float:
    """How far the middle of a handle stands from the edge at which its door meets the other, or closes.

    In the middle of what is plain of the stile, between the cover bead and the stile's bevel; clear of the bead where there is no stile.
    """
    lap = (front.meeting_stiles.bead_width - front.gaps.meeting) / 2 if has_bead(front) else 0.0
    seat = next(entry.size(word) for word in SEATS if word in entry.sizes)
    if not shown:
        return max(KNOB_FROM_EDGE, lap + seat / 2 + SEAT_CLEAR)
    plain = shown - lap
    if plain < seat + 2 * SEAT_CLEAR - 1e-6:
        beside = f", the cover bead lies on {lap:g} mm of them" if lap else ""
        way_out = "a narrower bead, wider stiles" if lap else "wider stiles"
        raise ParameterError(
            path,
            f'the seat of "{entry.id}" is {seat:g} mm wide and stiles {shown:.4g} mm wide to the eye{beside} leave {max(plain, 0.0):.4g} mm plain; at least {seat + 2 * SEAT_CLEAR:g} mm is needed: {way_out}, a smaller handle, or leave it empty',
        )
    return (shown + lap) / 2


def seat_handle(
    bench: Bench,
    key: str,
    entry: FittingEntry,
    seat: Vector,
    parts: list[str],
    along: Vector,
    purpose: str,
    assembly: str,
) -> str:
    """Fit a knob or pull with bolts from behind through `parts`, listed from the outside in."""
    y_axis = along
    bench.fit(key, entry, Placement(seat, FRONT, y_axis), (parts[0],), finish="handles")
    place = bench.fittings[key].place
    thick = sum(bench.parts[part].board.thickness for part in parts)
    bolt = bolt_for(thick)
    when = When("after glue-up", assembly)
    for hole in entry.holes_for():
        start = place.point(hole.at)
        inward = place.direction(hole.direction)
        mouth = start
        for part in parts:
            deep = bench.parts[part].board.thickness
            for each in (part, *_tenons_in(bench, part, mouth, hole.diameter)):
                bench.bore(each, mouth, inward, hole.diameter, deep, purpose, when)
            mouth = plus(mouth, inward, deep)
        bench.fasten(
            "bolt",
            f"bolt {bolt.name}",
            bolt.diameter,
            bolt.length,
            mouth,
            negative(inward),
            (parts[-1], key),
            purpose,
            AT_FITTING,
        )
    return key


def _tenons_in(bench: Bench, stile: str, at: Vector, diameter: float) -> list[str]:
    """The rails whose tenons lie in a stile where a hole is bored through both."""
    own, reach = bench.parts[stile].place.own_point(at), diameter / 2
    mortises = [each for each in bench.features[stile] if isinstance(each, Pocket) and each.kind == "mortise"]
    if not any(all(each.low[i] - reach < own[i] < each.high[i] + reach for i in (0, 1)) for each in mortises):
        return []
    rails = [joint.second for joint in bench.joints if joint.kind == "mortise and tenon" and joint.first == stile]
    boxes = {key: standing_box(bench.parts[key]) for key in rails}
    return [
        key
        for key, (low, high) in boxes.items()
        if low[0] - reach < at[0] < high[0] + reach and low[2] - reach < at[2] < high[2] + reach
    ]


def handle_count(front: Front, wide: float) -> int:
    """One pull on a narrow front, two above 700 mm; common practice, no source."""
    return front.handles or (2 if wide > WIDE_FRONT else 1)


def handle_places(wide: float, count: int) -> tuple[float, ...]:
    """Distances of the pulls' middles from the left edge: the middle, quarter points, or fifth points above 1000 mm.

    >>> handle_places(1039, 2), handle_places(500, 1)
    ((207.8, 831.2), (250.0,))
    """
    if count == 1:
        return (round(wide / 2, 6),)
    part = wide / (5 if wide > VERY_WIDE_FRONT else 4)
    apart = round(wide / 2 - part, 1)
    return (round(wide / 2 - apart, 6), round(wide / 2 + apart, 6))
