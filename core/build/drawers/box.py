"""The box of a drawer: sides, front and back, and its corners."""

from __future__ import annotations

from ...errors import ParameterError
from ...geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, vector
from ...model import Board
from ..bench import Bench
from ..setting_out import SettingOut
from .values import Box, BoxCorner, BoxJoint, DrawerPlace, Fit, LaidFront

# mm inside a box across, and height of a box or its back; common practice, no source
LEAST_BOX, LEAST_BACK = 50.0, 30.0
MARK_IN, MARK_OVER = "underside of the groove", "lower edge, on the bottom"


def set_out_box(out: SettingOut, place: DrawerPlace, laid: LaidFront, fit: Fit) -> Box:
    """The box's sizes, checked."""
    spec, path = place.front.drawer, f"{place.path}.drawer"
    board, bottom_board = out.board(spec.board, f"{path}.board"), out.board(spec.bottom_board, f"{path}.bottom_board")
    t, integral = board.thickness, spec.front == "integral"
    _check_sizes(place, board, fit)
    key = f"{place.front.id}/box"
    thick = laid.board.thickness if integral else t
    if spec.groove_depth > min(t, thick) / 2:
        raise ParameterError(
            f"{path}.groove_depth",
            f"{spec.groove_depth:g} mm is more than half of {min(t, thick):g} mm, the thickness of {'the front' if thick < t else 'the sides'}",
        )
    inside = round(fit.left + t, 6), round(fit.right - t, 6)
    if integral:
        span, rise = (laid.left, laid.right), (laid.bottom, laid.top)
    else:
        span = (fit.left, fit.right) if spec.corners.spans else inside
        rise = (fit.bottom, round(fit.bottom + fit.height, 6))
    box = Box(
        key=key, fit=fit, board=board, bottom_board=bottom_board, start=out.y(place.behind), front_key=laid.face_board if integral else f"{key}/front",
        front_thick=thick, integral=integral, front_span=span, front_rise=rise, groove_depth=spec.groove_depth, on_four_sides=spec.bottom == "four_sides",
    )  # fmt: skip
    _check_heights(place, box)
    return box


def _check_sizes(place: DrawerPlace, board: Board, fit: Fit) -> None:
    wide, closes = round(fit.right - fit.left, 6), f"{place.path}.closes"
    if wide - 2 * board.thickness < LEAST_BOX:
        raise ParameterError(
            closes,
            f"the drawer box would be {wide:g} mm wide over sides {board.thickness:g} mm thick; at least {LEAST_BOX + 2 * board.thickness:g} mm is needed",
        )
    if fit.height < LEAST_BOX:
        raise ParameterError(
            closes, f"the drawer box would be {fit.height:g} mm high; at least {LEAST_BOX:g} is needed"
        )
    if fit.depth - 2 * board.thickness < LEAST_BOX:
        raise ParameterError(
            f"{place.path}.drawer.runs_on.style",
            f"the drawer box would be {fit.depth:g} mm deep in {place.room:g} mm of clear depth; at least {LEAST_BOX + 2 * board.thickness:g} mm is needed",
        )
    if place.front.drawer.front == "integral" and place.front.panel.stands_alone:
        raise ParameterError(
            f"{place.path}.drawer.front",
            '"integral" needs a front with a board of its own, plain or with a planted frame; a true frame is planted on',
        )


def _check_heights(place: DrawerPlace, box: Box) -> None:
    path = f"{place.path}.drawer"
    back = round(box.top - box.groove[1], 6)
    if back < LEAST_BACK:
        raise ParameterError(
            f"{path}.groove_up",
            f"{box.fit.groove_up:g} mm and a bottom {box.bottom_board.thickness:g} mm thick leave {back:g} mm of a box {box.fit.height:g} mm high for its back; at least {LEAST_BACK:g} is needed",
        )
    if not box.integral:
        return
    if box.front_span[0] > box.left + 1e-6:
        raise ParameterError(
            f"{place.path}.gaps.side",
            f"the integral front would be {2 * (box.front_span[0] - box.left):g} mm narrower than its box; use at most {place.front.gaps.side - box.front_span[0] + box.left:g} mm, or a planted front",
        )
    low, high = box.front_rise
    if box.bottom < low:
        raise ParameterError(
            f"{path}.clear_below",
            f"the box would hang {low - box.bottom:g} mm below its integral front; keep at least {low - place.opening.bottom:g} mm clear below it",
        )
    if box.top > high:
        raise ParameterError(
            f"{path}.clear_above",
            f"the box would stand {box.top - high:g} mm above its integral front; keep at least {place.opening.top - place.above - high:g} mm clear above it",
        )


def lay_box(bench: Bench, place: DrawerPlace, box: Box) -> list[str]:
    """Lay down sides, front (where the drawer's front is not itself that) and back; their keys."""
    joint, t = place.front.drawer.corners, box.t
    common = dict(
        role="drawer box", finish="drawer_boxes", grain="length" if box.board.material.grained else "any", face_side="inside", face_edge="lower edge", surviving_mark=MARK_IN
    )  # fmt: skip
    ahead = 0.0 if box.integral and not joint.spans else joint.reach(box.front_thick, True)
    begin, end = round(box.inner_front - ahead, 6), round(box.inner_back + joint.reach(t, False), 6)
    long = round(end - begin, 6)
    # sides and ends on edge: y up from the lower edge, face side inside
    left = Placement(vector(box.left, begin, box.bottom), BACK, UP)
    right = Placement(vector(box.right, end, box.bottom), FRONT, UP)
    bench.part(
        box.side("left"), "drawer side, left", box.board, long, box.fit.height, left, setting="drawer sides", **common
    )
    bench.part(
        box.side("right"),
        "drawer side, right",
        box.board,
        long,
        box.fit.height,
        right,
        setting="drawer sides",
        **common,
    )
    made = [box.side("left"), box.side("right")]
    low, high = box.front_rise
    if not box.integral:
        at = Placement(vector(box.front_span[1], box.start, low), LEFT, UP)
        wide = round(box.front_span[1] - box.front_span[0], 6)
        bench.part(
            box.front_key,
            "drawer box front",
            box.board,
            wide,
            round(high - low, 6),
            at,
            setting="drawer ends",
            **common,
        )
        made.append(box.front_key)
    ends = (box.left, box.right) if joint.spans else box.inside
    at = Placement(vector(ends[0], box.rear, box.back_low), RIGHT, UP)
    bench.part(
        box.back_key,
        "drawer box back",
        box.board,
        round(ends[1] - ends[0], 6),
        round(box.top - box.back_low, 6),
        at,
        setting="drawer ends",
        **{**common, "surviving_mark": MARK_IN if box.on_four_sides else MARK_OVER},
    )
    _notch(bench, box)
    return [*made, box.back_key]


def _notch(bench: Bench, box: Box) -> None:
    """Take out the lower corners of the back where runners pass beneath the bottom."""
    wide, high = box.fit.notch
    if not (wide and box.on_four_sides):
        return
    low, top = box.bottom - 1, round(box.bottom + high, 6)
    for outer, inner, sign in ((box.left, box.inside[0], 1.0), (box.right, box.inside[1], -1.0)):
        words = f"notch for the runner, {high:g} up, {wide:g} in from the side"
        bench.take_out(
            box.back_key,
            "notch",
            vector(outer - sign, box.inner_back - 1, low),
            vector(inner + sign * wide, box.rear + 1, top),
            words,
        )


def make_corners(bench: Bench, place: DrawerPlace, box: Box) -> None:
    """The four corners."""
    joint: BoxJoint = place.front.drawer.corners
    for corner in corners_of(place, box):
        joint.make(bench, corner)


def corners_of(place: DrawerPlace, box: Box) -> list[BoxCorner]:
    """The corners at the front, then those at the back."""
    spans = place.front.drawer.corners.spans
    low, high = box.front_rise
    notched = box.fit.notch[1] if box.on_four_sides else 0.0
    back_low = round(box.back_low + notched, 6)
    made = []
    for is_front, inner, outward in ((True, box.inner_front, FRONT), (False, box.inner_back, BACK)):
        for hand, outer, inward in (("left", box.left, RIGHT), ("right", box.right, LEFT)):
            beyond = (
                (box.left - box.front_span[0] if hand == "left" else box.front_span[1] - box.right)
                if is_front and box.integral
                else 0.0
            )
            made.append(
                BoxCorner(
                    path=place.path,
                    side=box.side(hand),
                    end=box.front_key if is_front else box.back_key,
                    is_front=is_front,
                    butts=is_front and box.integral and not spans,
                    outer=outer,
                    inward=inward,
                    t=box.t,
                    inner=inner,
                    outward=outward,
                    thick=box.front_thick if is_front else box.t,
                    low=max(box.bottom, low) if is_front else back_low,
                    high=box.top,
                    side_low=box.bottom,
                    end_low=low if is_front else back_low,
                    end_high=high if is_front else box.top,
                    clear=box.groove if is_front or box.on_four_sides else (back_low, back_low),
                    beyond=round(beyond, 6),
                )
            )
    return made


__all__ = ["corners_of", "lay_box", "make_corners", "set_out_box"]
