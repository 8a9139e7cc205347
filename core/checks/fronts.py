"""Doors and drawer fronts: gaps for paint, room to swing, size against hinges, fingers."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ..mechanics import hinge_pull, hinges_wanted, lead_edge_need
from ..model import Model, Motion, Opening
from ..piece import Piece
from ..piece.layout import Layout
from ..wording import front_name
from .finding import ARITHMETIC, PRACTICE, Finding, figure
from .hung import CLEAR_AFTER_PAINT, doors, film_of, hinges
from .reading import closing_bevel, fronts, gaps
from .study import study

WIDEST_GAP = 4.0  # mm; common practice, no source
BEVEL_BELOW = 1.5  # times the need: below it the meeting edge wants a bevel; common practice, no source
THICK, NARROW = 25.0, 350.0  # mm: a door thicker and narrower gets a bevel always; common practice, no source
WIDEST_DOOR = 600.0  # mm; common practice, no source
SLIMMEST = 4.0  # height over width; common practice, no source
HEAVIEST_ON_BUTTS = 15.0  # kg in plugged weak board; common practice, no source
FINGERS = (5.0, 12.0)  # mm: no gap between these at a hinge; RoSPA, read (a toy rule)


def no_way_in(piece: Piece, model: Model) -> Iterator[Finding]:
    """What a fixed panel closes for good is told; a piece of which nothing can be reached, warned of."""
    closed = {id: front.id for front in piece.fronts if front.kind == "fixed" for id in front.closes}
    leaves = Layout(piece.layout).leaves()
    shut = [leaf.id for leaf in leaves if leaf.id in closed]
    if not shut or piece.top.opens_up:
        return
    yield Finding(
        check="no way in",
        severity="warn" if len(shut) == len(leaves) else "note",
        keys=tuple(key for id in shut if (key := f"{closed[id]}/panel/panel") in study(model).parts),
        value=float(len(shut)),
        limit=0.0,
        unit="compartments",
        text=f"Fixed panels close {len(shut)} of {len(leaves)} compartments for good: {', '.join(shut)}.",
        remedy="Make the panel a door or a drawer front, unless a sink, a pipe or a flue stands behind it.",
    )


def gaps_for_paint(piece: Piece, model: Model) -> Iterator[Finding]:
    """Every gap around an inset front leaves room after two painted faces have taken their film."""
    for front, opening, motions in fronts(piece, model):
        film = film_of(piece)
        for gap in gaps(model, opening, motions):
            left = round(gap.width - 2 * film, 3)
            if left < CLEAR_AFTER_PAINT:
                severity = "stop" if gap.width <= 0 else "warn"
                yield Finding(
                    check="gap for paint",
                    severity=severity,
                    keys=gap.keys,
                    at=gap.at,
                    value=round(gap.width, 2),
                    limit=round(CLEAR_AFTER_PAINT + 2 * film, 2),
                    text=(
                        f"The {gap.edge} gap of “{front_name(front.id)}” is {figure(gap.width, 2)} mm; at least"
                        f" {figure(CLEAR_AFTER_PAINT + 2 * film, 2)} mm is wanted before paint."
                    ),
                    remedy=f"Cut the front smaller there; two painted faces take {figure(2 * film, 2)} mm.",
                )
            elif gap.width > WIDEST_GAP:
                yield Finding(
                    check="gap for paint",
                    severity="note",
                    keys=gap.keys,
                    at=gap.at,
                    value=round(gap.width, 2),
                    limit=WIDEST_GAP,
                    text=(
                        f"The {gap.edge} gap of “{front_name(front.id)}” is {figure(gap.width, 2)} mm; above {figure(WIDEST_GAP)}"
                        " mm it is seen."
                    ),
                    remedy="Cut the front larger there.",
                )


def lead_edge(piece: Piece, model: Model) -> Iterator[Finding]:
    """A door's closing edge clears what it closes against while it swings, with paint on."""
    film = film_of(piece)
    for _front, opening, motions in fronts(piece, model):
        for motion in motions:
            edge = swing_need(model, opening, motions, motion)
            if edge is None or motion.after:  # nothing stands beside it once the leading door is open
                continue
            need, gap = edge
            left = gap - 2 * film
            if left > need * BEVEL_BELOW:
                yield from _thick_and_narrow(model, motion, gap)
                continue
            binds = gap <= need
            yield Finding(
                check="lead edge",
                severity="stop" if binds else "warn",
                keys=motion.moves[:1],
                value=round(gap, 2),
                limit=round(need, 2),
                source=ARITHMETIC if binds else PRACTICE,
                text=(
                    f"The closing edge of the {study(model).called_moving(motion)} swings {figure(need, 2)} mm outward;"
                    f" the gap there is {figure(gap, 2)} mm, {figure(left, 2)} mm with paint on."
                ),
                remedy="Bevel the closing edge 2 to 3° toward the inside, or widen the gap.",
            )


def _thick_and_narrow(model: Model, motion: Motion, gap: float) -> Iterator[Finding]:
    """A thick narrow door has its closing edge bevelled, whatever its gap."""
    width, thick, _ = (float(size) for size in study(model).front_box(motion)[1] - study(model).front_box(motion)[0])
    bevelled = closing_bevel(study(model).front_parts(motion)) > 0
    if thick > THICK and width < NARROW and math.isfinite(gap) and not bevelled:
        yield Finding(
            check="lead edge",
            severity="note",
            keys=motion.moves[:1],
            value=round(width, 1),
            limit=NARROW,
            text=(
                f"The {study(model).called_moving(motion)} is {figure(thick)} mm thick and {figure(width)} mm wide; above"
                f" {figure(THICK)} mm and below {figure(NARROW)} mm its closing edge is bevelled always."
            ),
            remedy="Bevel the closing edge 2 to 3° toward the inside.",
        )


def door_size(piece: Piece, model: Model) -> Iterator[Finding]:
    """Doors are neither too wide, too slim nor too heavy for their hinges."""
    pairs = {front.id for front in piece.fronts if front.kind == "pair"}
    for motion, width, height, mass in doors(model):
        if width > WIDEST_DOOR:
            halved = motion.key.split("/")[0] in pairs
            yield Finding(
                check="door width",
                severity="warn",
                keys=motion.moves[:1],
                value=round(width, 1),
                limit=WIDEST_DOOR,
                text=(
                    f"The {study(model).called_moving(motion)} is {figure(width)} mm wide; above {figure(WIDEST_DOOR)}"
                    " mm an inset door drops and warps."
                ),
                remedy="Put an upright behind the pair, and close each side of it by itself."
                if halved
                else "Make it a pair.",
            )
        if height / width > SLIMMEST:
            yield Finding(
                check="door shape",
                severity="warn",
                keys=motion.moves[:1],
                value=round(height / width, 2),
                limit=SLIMMEST,
                unit="height over width",
                text=(
                    f"The {study(model).called_moving(motion)} is {figure(height / width, 2)} times as high as wide;"
                    f" above {figure(SLIMMEST)} it does not stay flat."
                ),
                remedy="Divide it, or give it a stiffer frame.",
            )
        weak = any(
            study(model).parts[key].board.material.weak_edge for key in motion.moves if key in study(model).parts
        )
        if weak and mass > HEAVIEST_ON_BUTTS and any(kind == "butt hinge" for kind, _ in hinges(model, motion)):
            yield Finding(
                check="door mass",
                severity="warn",
                keys=motion.moves[:1],
                value=round(mass, 1),
                limit=HEAVIEST_ON_BUTTS,
                unit="kg",
                text=(
                    f"The {study(model).called_moving(motion)} weighs {figure(mass)} kg; plugged weak board holds butt"
                    f" hinges for {figure(HEAVIEST_ON_BUTTS)} kg."
                ),
                remedy="Take plywood or another lighter board, or concealed hinges; a plain door may have both edges lipped with hardwood 10 thick, which does without plugs.",
            )


def hinge_count(piece: Piece, model: Model) -> Iterator[Finding]:
    """A door has hinges enough for its height and mass, far enough apart for its width."""
    for motion, width, height, mass in doors(model):
        found = hinges(model, motion)
        if not found or found[0][0] == "piano hinge":
            continue
        wanted, heights = hinges_wanted(height, mass), sorted(at for _, at in found)
        if len(found) < wanted:
            yield Finding(
                check="hinges",
                severity="warn",
                keys=motion.moves[:1],
                value=float(len(found)),
                limit=float(wanted),
                unit="hinges",
                source="one to each 700 mm: common practice, no source; by mass: a hinge maker's chart",
                text=(
                    f"The {study(model).called_moving(motion)} ({figure(height, 0)} mm high, {figure(mass)} kg) hangs"
                    f" on {len(found)} hinges; {wanted} are wanted."
                ),
                remedy="Let the number follow height and mass.",
            )
        spacing = heights[-1] - heights[0]
        if 0 < spacing <= width:
            pull = hinge_pull(mass, width, spacing)
            yield Finding(
                check="hinges",
                severity="warn",
                keys=motion.moves[:1],
                value=round(spacing, 1),
                limit=round(width, 1),
                source="a hinge maker's rule",
                text=(
                    f"The outer hinges of the {study(model).called_moving(motion)} are {figure(spacing)} mm apart, not"
                    f" more than its width of {figure(width)} mm; the top one is drawn at with {figure(pull, 0)} N."
                ),
                remedy="Make the door narrower or the hinges farther apart.",
            )


def moulding_lip(piece: Piece, model: Model) -> Iterator[Finding]:
    """What hangs over the carcass's front ends above the doors' upper edges."""
    seen = study(model)
    hanging = [seen.boxes[key] for key in sorted(seen.loose_top) if seen.boxes[key][0][1] < -model.carcass[1] - 1e-6]
    if not hanging:
        return
    lip = min(float(box[0][2]) for box in hanging)
    for motion, *_ in doors(model):
        box = seen.front_box(motion)
        clear = round(lip - float(box[1][2]), 6)
        if clear < CLEAR_AFTER_PAINT + 2 * film_of(piece):
            yield Finding(
                check="moulding lip",
                severity="stop" if clear < 0 else "warn",
                keys=motion.moves[:1],
                value=clear,
                limit=CLEAR_AFTER_PAINT + 2 * film_of(piece),
                source=ARITHMETIC if clear < 0 else PRACTICE,
                text=(
                    f"The moulding's lip hangs at {figure(lip)} mm, {figure(clear)} mm above the upper edge of the"
                    f" {study(model).called_moving(motion)}; it must clear the door."
                ),
                remedy="Make the lip's drop smaller.",
            )


def finger_gap(piece: Piece, model: Model) -> Iterator[Finding]:
    """With children about, no gap at a hinge edge passes through what traps a finger."""
    if not piece.site.children:
        return
    for _front, opening, motions in fronts(piece, model):
        for motion in motions:
            if motion.kind != "swing":
                continue
            stand = opening.front - motion.through[1]
            box = study(model).front_box(motion)
            hinge_edge = min((float(x) for x in (box[0][0], box[1][0])), key=lambda x: abs(x - motion.through[0]))
            open_gap = stand + abs(hinge_edge - motion.through[0])
            if FINGERS[0] < open_gap < FINGERS[1]:
                yield Finding(
                    check="fingers",
                    severity="note",
                    keys=motion.moves[:1],
                    value=round(open_gap, 2),
                    limit=FINGERS[0],
                    source="RoSPA after a toy rule, read",
                    text=(
                        f"Open, the hinge edge of the {study(model).called_moving(motion)} stands {figure(open_gap, 1)}"
                        f" mm from the carcass; between {figure(FINGERS[0])} and {figure(FINGERS[1])} mm it can trap a"
                        " child's finger."
                    ),
                    remedy="Use a hinge with a smaller knuckle.",
                )


CHECKS = (no_way_in, gaps_for_paint, lead_edge, door_size, hinge_count, moulding_lip, finger_gap)


# -------------------------------------------------------------------------------------------------------------- figures
def swing_need(model: Model, opening: Opening, motions: list[Motion], motion: Motion) -> tuple[float, float] | None:
    """For a door: the gap its closing edge needs to swing, and the gap that is there."""
    box = study(model).front_box(motion)
    if motion.kind != "swing" or box is None:
        return None
    left, right = float(box[0][0]), float(box[1][0])
    hinged_left = abs(motion.through[0] - left) < abs(motion.through[0] - right)
    hinge_gap = 2 * (left - motion.through[0] if hinged_left else motion.through[0] - right)
    thick, pin = float(box[1][1] - box[0][1]), float(box[0][1]) - motion.through[1]
    need = lead_edge_need(right - left, hinge_gap, thick, pin, closing_bevel(study(model).front_parts(motion)))
    edge = "meeting" if len(motions) > 1 else "right" if hinged_left else "left"
    gap = min(
        (each.width for each in gaps(model, opening, motions) if each.edge == edge and motion.moves[0] in each.keys),
        default=math.inf,
    )
    return need, gap


__all__ = ["CHECKS", "doors", "film_of", "hinges", "swing_need"]
