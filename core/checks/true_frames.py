"""True frames and glass: doors that sag in their corners, panes that people can fall against."""

from __future__ import annotations

from collections.abc import Iterator

from ..model import Model
from ..piece import Piece
from .finding import PRACTICE, Finding, figure, sentence
from .study import study

STUB_CARRIES = 5.0  # kg of a door whose corners stub tenons alone hold square; common practice, no source
LOW_PANE, LARGE_PANE = 1500.0, 0.5  # mm above the floor, m² of one pane; common practice, no source: the local code decides
MM2_PER_M2 = 1e6


def stub_tenons(piece: Piece, model: Model) -> Iterator[Finding]:
    """A heavy door has more to hold it square than stub tenons: full tenons, or a sheet panel glued in all round."""
    seen = study(model)
    for motion in model.motions:
        moved = set(motion.moves)
        corners = [joint for joint in model.joints if joint.kind == "mortise and tenon" and joint.second in moved and seen.parts[joint.second].role == "rail"]
        glued = any(joint.kind == "glue" and joint.second in moved and seen.parts[joint.second].role == "panel" for joint in model.joints)
        stubs = [joint for joint in corners if not any(getattr(each, "kind", "") == "mortise" for each in seen.parts[joint.first].shape.features)]
        mass = seen.weight(motion.moves).mass
        if motion.kind == "swing" and stubs and not glued and mass > STUB_CARRIES:
            yield Finding(
                check="stub tenons", severity="warn", keys=tuple(dict.fromkeys(key for joint in stubs for key in (joint.first, joint.second))), value=round(mass, 1), limit=STUB_CARRIES,
                unit="kg", source=PRACTICE,
                text=f"The {seen.called_moving(motion)} weighs {figure(mass, 1)} kg; stub tenons alone hold {figure(STUB_CARRIES)} kg square.",
                remedy="Full tenons, or a sheet panel glued in all round.",
            )  # fmt: skip


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


CHECKS = (stub_tenons, panes)
