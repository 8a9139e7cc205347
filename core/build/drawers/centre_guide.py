"""The centre guide of a wide drawer: a strip on the board beneath, between two cheeks that are glued under the bottom of the box.

The sides carry the box; the guide keeps it from racking, for it steers where a pull off the middle turns the box least. Common
practice for a box wider than one and a half times its depth (rule book, wide drawers).
"""

from __future__ import annotations

from ...errors import ParameterError
from ...geometry import BACK, DOWN, UP, Placement, vector
from ..bench import Bench
from ..contents import screw_to_wall
from ..moving import moves
from ..rows import row_places
from ..setting_out import SettingOut
from .values import Box, DrawerPlace

CENTRE_GUIDE = "centre guide"  # the role of the strip that stays
UNDER_BOTTOM = 1.0  # mm between the guide and the drawer's bottom, and from the cheeks up to the box's lower edge
BEHIND_FRONT, BEFORE_BACK = 1.0, 2.0  # mm between guide or cheeks and the front, cheeks and the back
BESIDE = 20.0  # mm of the bottom left free beside the cheeks; common practice, no source
LEAST_STEERING = 6.0  # mm of the guide that stand between the cheeks; common practice, no source
SCREWS_FROM_END, SCREWS_APART = 40.0, 180.0  # mm along the guide; common practice, no source
WAXED = "candle wax or hard wax on the guide and between the cheeks, no paint"


def lay_centre_guide(
    bench: Bench, out: SettingOut, place: DrawerPlace, box: Box, board_id: str, play: float
) -> tuple[str, ...]:
    """Lay the guide on the board beneath and its cheeks under the bottom; the keys of the cheeks, which go with the drawer."""
    path, id = f"{place.path}.drawer.runs_on", place.front.id
    board = out.board(board_id, f"{path}.board")
    _check(place, box, path, 3 * board.thickness + 2 * play)
    middle, thick, low = (box.left + box.right) / 2, board.thickness, place.opening.bottom
    front, rear = round(box.inner_front + BEHIND_FRONT, 6), out.y(round(max(place.behind, 0.0) + place.room, 6))
    key, tall = f"{id}/centre_guide", round(box.groove[0] - UNDER_BOTTOM - low, 6)
    bench.part(
        key, "drawer centre guide", board, round(rear - front, 6), tall, Placement(vector(middle - thick / 2, front, low), BACK, UP), role=CENTRE_GUIDE, finish="inside",
        grain="length", face_side="right", face_edge="upper edge", face_edge_high=True, setting="drawer centre guides", surviving_mark="underside", notes=(WAXED,),
    )  # fmt: skip
    places = [
        vector(middle, front + along, low + tall) for along in row_places(rear - front, SCREWS_FROM_END, SCREWS_APART)
    ]
    screw_to_wall(bench, f"{path}.board", key, place.walls["bottom"], places, DOWN, BACK)
    bench.assemble(
        f"{id}/runners.middle", "drawer centre guide", [(key, (0.0, 0.0, 0.0), 0)], how="screwed", notes=(WAXED,)
    )
    panel = f"{box.key}/bottom{'.middle' if place.front.drawer.muntins else ''}"
    start, end = round(box.inner_front + BEHIND_FRONT, 6), round(box.inner_back - BEFORE_BACK, 6)
    made = []
    for side, x in (("left", middle - thick / 2 - play - thick), ("right", middle + thick / 2 + play)):
        cheek, at = f"{id}/cheek.{side}", vector(round(x, 6), start, box.bottom + UNDER_BOTTOM)
        bench.part(
            cheek, f"centre guide cheek, {side}", board, round(end - start, 6), round(box.fit.groove_up - UNDER_BOTTOM, 6), Placement(at, BACK, UP), role="cheek",
            finish="drawer_boxes", grain="length", face_side="right", face_edge="upper edge", face_edge_high=True, setting="drawer centre guides", surviving_mark="end", notes=(WAXED,),
        )  # fmt: skip
        bench.join(f"{panel}|{cheek}", "glue", panel, cheek, DOWN, (), thick * (end - start))
        made.append(cheek)
    return tuple(made)


def _check(place: DrawerPlace, box: Box, path: str, wide: float) -> None:
    """What a centre guide needs: a board beneath, a sheet above it that runs under the back, and room between the two."""
    drawer, field = place.front.drawer, f"{path}.centre_guide"
    why = ""
    if "bottom" not in place.walls:
        why = "a centre guide lies on a board, and there is none beneath this drawer; put a board between the drawers"
    elif box.on_four_sides:
        why = 'it stands in the way of a back that is as deep as the sides; let the bottom run under the back ("under_back")'
    elif drawer.muntins == 1:
        why = "it is in the place of the drawer muntin in the middle; take 0 muntins or 2"
    elif moves(box.bottom_board.material):
        why = "its cheeks would hold a solid bottom fast across its grain; take a sheet"
    room = round(box.inside[1] - box.inside[0], 6)
    if not why and room < wide + 2 * BESIDE:
        why = f"it takes {wide:g} mm of a box {room:g} mm wide inside; at least {wide + 2 * BESIDE:g} mm is needed, and so narrow a drawer needs none"
    if why:
        raise ParameterError(field, f'"{place.front.id}": {why}')
    least = LEAST_STEERING + 2 * UNDER_BOTTOM
    if box.fit.groove_up < least:
        raise ParameterError(
            f"{place.path}.drawer.groove_up",
            f"{box.fit.groove_up:g} mm under the bottom leave a centre guide nothing to steer with; at least {least:g} mm",
        )


__all__ = ["CENTRE_GUIDE", "lay_centre_guide"]
