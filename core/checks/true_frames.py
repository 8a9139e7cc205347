"""True frames and glass: doors that sag in their corners, panes that people can fall against."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..mechanics import movement
from ..model import Model, Part, Pocket
from ..piece import Piece
from .finding import PRACTICE, Finding, figure, sentence
from .study import study

STUB_CARRIES = 5.0  # kg of a door whose corners stub tenons alone hold square; common practice, no source
# mm above the floor, m² of one pane; common practice, no source: the local code decides
LOW_PANE, LARGE_PANE = 1500.0, 0.5
MM2_PER_M2 = 1e6
SEASON = 4.0  # per cent of moisture between a wet and a dry season indoors; common practice, no source


def stub_tenons(piece: Piece, model: Model) -> Iterator[Finding]:
    """A heavy door has more to hold it square than stub tenons: full tenons, or a sheet panel glued in all round."""
    seen = study(model)
    for motion in model.motions:
        moved = set(motion.moves)
        corners = [
            joint
            for joint in model.joints
            if joint.kind == "mortise and tenon" and joint.second in moved and seen.parts[joint.second].role == "rail"
        ]
        glued = any(
            joint.kind == "glue" and joint.second in moved and seen.parts[joint.second].role == "panel"
            for joint in model.joints
        )
        stubs = [
            joint
            for joint in corners
            if not any(getattr(each, "kind", "") == "mortise" for each in seen.parts[joint.first].shape.features)
        ]
        mass = seen.weight(motion.moves).mass
        if motion.kind == "swing" and stubs and not glued and mass > STUB_CARRIES:
            yield Finding(
                check="stub tenons", severity="warn", keys=tuple(dict.fromkeys(key for joint in stubs for key in (joint.first, joint.second))), value=round(mass, 1), limit=STUB_CARRIES,
                unit="kg", source=PRACTICE,
                text=f"The {seen.called_moving(motion)} weighs {figure(mass, 1)} kg; stub tenons alone hold {figure(STUB_CARRIES)} kg square.",
                remedy="Full tenons, or a sheet panel glued in all round.",
            )  # fmt: skip


def panels(piece: Piece, model: Model) -> Iterator[Finding]:
    """A loose panel of solid wood can swell across its grain as far as its species does in a season."""
    seen = study(model)
    told: set[tuple[str, float]] = set()
    for part in model.parts:
        stuff = part.board.material
        if part.role != "panel" or stuff.kind != "solid" or not stuff.tangential:
            continue
        room = _room_across(model, part)
        if room is None or (part.name, round(part.size[1], 1)) in told:
            continue
        told.add((part.name, round(part.size[1], 1)))
        plain, quarter = (
            movement(part.size[1], each, SEASON) for each in (stuff.tangential, stuff.radial or stuff.tangential)
        )
        held = room < quarter
        way = "upright" if abs(part.place.x[2]) > 0.5 else "from side to side"
        yield Finding(
            check="panel movement", severity="warn" if held else "note", keys=(part.key,), at=part.place.origin, value=round(room, 1), limit=round(quarter if held else plain, 1),
            source=f"Wood Handbook ch. 13, {figure(SEASON)} % of moisture",
            text=f"{sentence(seen.called(part.key))} of {stuff.name}, its grain {way}, moves {figure(plain, 1)} mm across its {figure(part.size[1], 1)} mm where plain-sawn, {figure(quarter, 1)} mm quarter-sawn; the grooves leave it {figure(room, 1)} mm.",
            remedy="Deeper grooves or narrower panels." if held else "No glue; finish it before it goes in; put it in dry in a wet season, with room in a dry one.",
        )  # fmt: skip


def _room_across(model: Model, panel: Part) -> float | None:
    """How far a panel's grooves let it widen across its grain, mm; None where it lies in none."""
    middle = panel.size[1] / 2
    room = []
    for joint in model.joints:
        if joint.kind != "groove" or joint.second != panel.key or abs(np.dot(joint.apart, panel.place.y)) < 0.5:
            continue
        member = model.part(joint.first)
        grooves = [each for each in member.shape.features if isinstance(each, Pocket) and each.kind == "groove"]
        sides = [
            panel.place.own_point(member.place.point(corner))[1] for each in grooves for corner in (each.low, each.high)
        ]
        sign = 1.0 if panel.place.own_point(member.place.point(tuple(s / 2 for s in member.size)))[1] > middle else -1.0  # type: ignore[arg-type]
        edge = middle + sign * middle
        bottoms = [sign * (side - edge) for side in sides if -1e-6 < sign * (side - edge) < member.size[1]]
        room.append(min(bottoms, default=0.0))
    return round(sum(room), 6) if len(room) == 2 else None


def panes(piece: Piece, model: Model) -> Iterator[Finding]:
    """Glass that people can fall against is toughened or laminated; the local code decides."""
    seen = study(model)
    for part in model.parts:
        if part.role != "pane":
            continue
        area, low = part.size[0] * part.size[1] / MM2_PER_M2, float(seen.boxes[part.key][0][2])
        if low < LOW_PANE or area > LARGE_PANE:
            small = area <= LARGE_PANE
            yield Finding(
                check="glass", severity="note", keys=(part.key,), at=part.place.origin, value=round(low if small else area, 2), limit=LOW_PANE if small else LARGE_PANE,
                unit="mm" if small else "m²", source=PRACTICE,
                text=f"{sentence(seen.called(part.key))}, {figure(area, 2)} m² and {figure(seen.weights[part.key].mass, 1)} kg, begins {figure(low)} mm above the floor: toughened or laminated below {figure(LOW_PANE)} mm or above {figure(LARGE_PANE, 1)} m².",
                remedy="Order safety glass, edges arrissed; ask what the local code asks for. It cannot be cut afterwards.",
            )  # fmt: skip


CHECKS = (stub_tenons, panels, panes)
