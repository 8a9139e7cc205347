"""One drawer from its front to its runners: its parts, its assemblies, its travel."""

from __future__ import annotations

from dataclasses import replace

from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, Vector, vector
from ...model import Motion, Opening
from ...piece.fronts import Front
from ..bench import Bench
from ..front_boards import front_members
from ..setting_out import SettingOut
from .bottom import fix_bottom, lay_bottom
from .box import corners_of, lay_box, make_corners, set_out_box
from .front import front_on_box, handles_on, lay_drawer_front
from .interlock import put_striker
from .place import fix_packs, place_of
from .values import Box, DrawerPlace, Hung, LaidFront

STAY: Vector = (0.0, 0.0, 0.0)
FLUSH = 1e-6  # mm; a front that runs on no farther ends at the sides
DIAGONALS = "check the diagonals before the bottom goes in"


def build_drawer(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> list[str]:
    """The front, the box, the runners; the keys of the assemblies and of what stays in the piece."""
    place = place_of(bench, out, front, opening)
    bench.openings = [place.opening if each.key == opening.key else each for each in bench.openings]
    laid = lay_drawer_front(bench, out, place)
    runs_on = front.drawer.runs_on
    box = set_out_box(out, place, laid, runs_on.fit(bench, out, place, laid))
    parts = lay_box(bench, place, box)
    panels = lay_bottom(bench, place, box)
    make_corners(bench, place, box)
    fix_bottom(bench, place, box)
    bench.assemble(f"{front.id}/front", "drawer front", front_members(bench, f"{front.id}/front", list(laid.parts)))
    _assemble_box(bench, place, box, panels)
    hung = runs_on.hang(bench, out, place, box)
    hung = replace(hung, moves=(*hung.moves, *put_striker(bench, out, place, box)))
    on_walls = fix_packs(bench, out, place, hung.fixed)
    handles = handles_on(bench, out, place, box, laid)
    if not box.integral:
        front_on_box(bench, place, box, laid)
    _assemble(bench, place, box, handles, hung)
    moved = (*laid.parts, *parts, *panels, *handles, *hung.moves)
    through = vector(0, out.y(place.face), opening.bottom)
    bench.motions.append(
        Motion(key=front.id, kind="travel", moves=moved, through=through, axis=FRONT, reach=hung.travel, half=hung.half)
    )
    return [front.id, *on_walls]


def _assemble_box(bench: Bench, place: DrawerPlace, box: Box, panels: list[str]) -> None:
    """The box in the order of gluing: each thing along the axis of its joints, a bottom under the back slid in last."""
    key, front = box.key, f"{place.front.id}/front" if box.integral else box.front_key
    sides = [(box.side("left"), LEFT), (box.side("right"), RIGHT)]
    front_last = box.integral and any(corner.beyond > FLUSH or corner.butts for corner in corners_of(place, box))
    if box.on_four_sides:
        members = _from_the_middle(panels, key)
        after = 1 + max(layer for _, _, layer in members)
        members += [(box.back_key, BACK, after), *([] if front_last else [(front, FRONT, after)])]
        members += [(side, away, after + 1) for side, away in sides]
        members += [(front, FRONT, after + 2)] if front_last else []
    else:
        muntins = [
            panel for panel in panels if "/muntin" in panel
        ]  # a back stands on them; they come to it, or it to them
        first, middle, back = (box.back_key, FRONT, STAY) if front_last else (front, BACK, BACK if muntins else STAY)
        members = [(first, STAY, 0), *((muntin, middle, 1) for muntin in muntins)]
        members += [] if front_last else [(box.back_key, back, 2 if muntins else 0)]
        members += [(side, away, 3) for side, away in sides]
        members += [(front, FRONT, 4)] if front_last else []
        members += [(panel, BACK, 5) for panel in panels if panel not in muntins]
    bench.assemble(key, "drawer box", members, notes=(DIAGONALS,))


def _from_the_middle(panels: list[str], key: str) -> list[tuple[str, Vector, int]]:
    """A bottom held on four sides and its muntins, put together from the middle outward."""
    rows = ([""], [".left", ".right"], [".left", ".middle", ".right"])[sum("/muntin" in panel for panel in panels)]
    if rows == [""]:
        return [(panel, STAY, 0) for panel in panels]
    if len(rows) == 2:
        return [(f"{key}/muntin.middle", STAY, 0), (f"{key}/bottom.left", LEFT, 1), (f"{key}/bottom.right", RIGHT, 1)]
    made = [(f"{key}/bottom.middle", STAY, 0), (f"{key}/muntin.left", LEFT, 1), (f"{key}/muntin.right", RIGHT, 1)]
    return [*made, (f"{key}/bottom.left", LEFT, 2), (f"{key}/bottom.right", RIGHT, 2)]


def _assemble(bench: Bench, place: DrawerPlace, box: Box, handles: list[str], hung: Hung) -> None:
    members = [(box.key, STAY, 0)]
    if not box.integral:
        members.append((f"{place.front.id}/front", FRONT, 1))
    members += [(handle, FRONT, 2) for handle in handles]
    members += [(key, DOWN, 1) if key in bench.parts else (key, STAY, 0) for key in hung.moves]
    bench.assemble(place.front.id, "drawer", members, how="screwed")


__all__ = ["LaidFront", "build_drawer"]
