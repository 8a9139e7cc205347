"""Whether what a piece stands on bears a kick against its foot: separate legs, posts, bracket feet, levelling feet in blocks.

One foot is pushed by 200 N at the floor, sideways or front to back, outward or inward (rule book, legs); the others give no help. What
runs round or has no height is left out: a plinth is a frame stiff in its own plane whose boards stand on the floor along their length; a glide is a
few millimetres high; a castor rolls away, or slips on its brake. Legs of laminated stiles are reckoned in `kicking`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from ..model import Fastener, Joint, Model, Part
from ..piece import Piece
from .breaking import (
    KICK,
    Mode,
    axis_of,
    bending,
    dowel_bears,
    farthest,
    pockets,
    screw_bears,
    section_modulus,
    shear,
    tenon_of,
    worst,
)
from .finding import Finding
from .study import Study, study

WAYS = ("sideways", "front to back")
STOUTER = "Wider rails, stouter legs, or shorter ones."
BLOCKS = "Larger blocks, or shorter feet."
SCREWS = "More screws, or larger blocks."
SCREWED = ("screws", "glue and screws")  # kinds of the joints of blocks under the bottom
DROOP = 20.0  # mm that a leg reaches below its rail at least; common practice, no source


def kicked_stand(piece: Piece, model: Model) -> Iterator[Finding]:
    """Separate legs bear a kick: in the tenons or dowels of their rails, in themselves, in the corner blocks.

    A rail that a leg turns bends, less than its own tenon, on its way to the next leg, which stands on the floor: no block need hold it. A leg
    tapered to 0.55 of its section is bent at most 9 % more, lower down, than it would be at its joint without mortises; that is left out.
    """
    seen = study(model)
    yield from worst("kicked leg", seen, [*_legs(seen, "leg"), *_corner_blocks(seen)])


def kicked_post(piece: Piece, model: Model) -> Iterator[Finding]:
    """Stiles of framed sides that run down bear a kick: front to back in the bottom rail's tenons, sideways in their thickness."""
    seen = study(model)
    yield from worst("kicked leg", seen, [*_legs(seen, "stile"), *_sideways(seen)])


def kicked_bracket(piece: Piece, model: Model) -> Iterator[Finding]:
    """A bracket foot bears a kick: in the glue of its blocks and in the screws that go up through them.

    A foot is kicked along one of its brackets, which is stiff that way, and turns about its outer upper corner.
    """
    seen = study(model)
    yield from worst("kicked foot", seen, _brackets(seen))


def kicked_block(piece: Piece, model: Model) -> Iterator[Finding]:
    """The block of a levelling foot bears a kick in the screws that hold it to the bottom; its glue is not counted."""
    seen = study(model)
    yield from worst("kicked foot", seen, _foot_blocks(seen))


CHECKS = (kicked_stand, kicked_post, kicked_bracket, kicked_block)


# --------------------------------------------------------------------------------------------------------- legs and posts
def _legs(seen: Study, role: str) -> Iterator[Mode]:
    """What the lowest rail's joint asks of each leg or post: of the joint, and of the leg just below it."""
    for joint in _leg_joints(seen, role):
        leg, rail = seen.parts[joint.first], seen.parts[joint.second]
        yield from _dowelled(seen, joint) if joint.kind == "dowels" else _tenoned(seen, joint)
        axis, (low, high) = axis_of(joint), map(float, seen.boxes[rail.key][:, 2])
        holes = pockets(leg, "mortise", "groove")
        for height in sorted({low, *(float(each[0][2]) for each in holes if low <= each[0][2] < high)}):
            here = [each for each in holes if each[0][2] <= height + 1e-6 and height < each[1][2] - 1.0]
            modulus = section_modulus(*seen.boxes[leg.key], here, axis)
            does = f"bends the {seen.name(leg.key)}, at its joint"
            yield _bent((leg.key, rail.key), axis, does, KICK * height / modulus, leg)


def _leg_joints(seen: Study, role: str) -> list[Joint]:
    """The joints of legs or posts that run down with the lowest rail on each side."""
    found: dict[tuple[str, int], Joint] = {}
    for each in seen.model.joints:
        first, second = seen.parts.get(each.first), seen.parts.get(each.second)
        if each.kind not in ("mortise and tenon", "dowels") or first is None or second is None:
            continue
        if first.role != role or second.role != "rail" or not first.key.startswith(("stand/", "side.")):
            continue
        at = first.key, axis_of(each)
        if at not in found or seen.boxes[second.key][0][2] < seen.boxes[found[at].second][0][2]:
            found[at] = each
    return [each for each in found.values() if seen.boxes[each.first][0][2] < seen.boxes[each.second][0][2] - DROOP]


def _tenoned(seen: Study, joint: Joint) -> Iterator[Mode]:
    tenon = tenon_of(seen, joint)
    if tenon is None:
        return
    leg, rail, keys = seen.parts[joint.first], seen.parts[joint.second], (joint.first, joint.second)
    moment, axis = KICK * (tenon.low + tenon.high / 2), axis_of(joint)
    name = seen.name(rail.key)
    yield Mode(
        keys=keys, way=WAYS[axis], does=f"shears the glue of the tenon of the {name}", asks=tenon.cheek_shear(moment),
        bears=shear(leg.board.material, rail.board.material), remedy=STOUTER,
    )  # fmt: skip
    yield _bent(keys, axis, f"bends the tenon of the {name}", tenon.bent(moment), rail)


def _dowelled(seen: Study, joint: Joint) -> Iterator[Mode]:
    """Outward the leg turns about the rail's upper edge, inward about its lower one."""
    axis, rail = axis_of(joint), seen.boxes[joint.second]
    dowels = _fasteners(seen, joint)
    shoulder = _end(rail[:, axis], seen.boxes[joint.first][:, axis])
    for edge in rail[:, 2]:
        pull = farthest([abs(each.at[2] - edge) for each in dowels], KICK * float(edge))
        yield Mode(
            keys=(joint.first, joint.second), way=WAYS[axis], does=f"draws on a dowel of the {seen.name(joint.second)}", asks=float(pull), unit="N",
            bears=min((dowel_bears(each, shoulder, axis) for each in dowels), key=lambda each: each.most), remedy=f"Tenons instead of dowels. {STOUTER}",
        )  # fmt: skip


def _sideways(seen: Study) -> Iterator[Mode]:
    """A post bends over the bottom's underside, which holds it; the rail ends there too."""
    for joint in _leg_joints(seen, "stile"):
        post, height = seen.parts[joint.first], float(seen.boxes[joint.second][0][2])
        modulus = section_modulus(*seen.boxes[post.key], (), 0)
        does = f"bends the {seen.name(post.key)}, under the carcass"
        yield _bent((post.key,), 0, does, KICK * height / modulus, post, "Thicker frames, or shorter posts.")


def _bent(keys: tuple[str, ...], axis: int, does: str, stress: float, part: Part, remedy: str = STOUTER) -> Mode:
    return Mode(keys=keys, way=WAYS[axis], does=does, asks=stress, bears=bending(part.board.material), remedy=remedy)


# ----------------------------------------------------------------------------------------------------------------- blocks
def _corner_blocks(seen: Study) -> Iterator[Mode]:
    """The kick goes on from the rail through the nearest corner block into the bottom."""
    for joint in _leg_joints(seen, "leg"):
        rail, block = seen.parts[joint.second], seen.parts.get(joint.first.replace("/leg.", "/block."))
        if block is None:
            continue
        yield Mode(
            keys=(block.key, rail.key), way=WAYS[axis_of(joint)], does=f"shears the glue of the {seen.name(block.key)}",
            asks=KICK / _between(seen, rail.key, block.key).glue_area,
            bears=shear(rail.board.material, block.board.material, crossed=True), remedy=BLOCKS,
        )  # fmt: skip


def _brackets(seen: Study) -> Iterator[Mode]:
    """Each foot along either of its brackets."""
    for corner in (each for each in seen.parts.values() if each.role == "block" and each.key.endswith("/block.corner")):
        stem = corner.key.removesuffix("/block.corner")
        for axis, name in enumerate((stem.rsplit(".", 1)[-1], "side")):
            bracket, block = f"{stem}/bracket.{name}", f"{stem}/block.{name}"
            both = np.array([box for key, box in seen.boxes.items() if key.startswith(f"{stem}/bracket.")])
            ends, top = (both[:, 0, axis].min(), both[:, 1, axis].max()), float(both[:, 1, 2].max())
            outer = _end(ends, seen.boxes[block][:, axis], far=True)
            yield from _drawn(seen, bracket, block, axis, outer, KICK * top)
            yield _twisted(seen, bracket, corner, axis, top)


def _twisted(seen: Study, bracket: str, corner: Part, axis: int, top: float) -> Mode:
    """The upright block in the corner takes the kick from the other bracket and hands it on to this one: shear and torsion."""
    joint = _between(seen, bracket, corner.key)
    wide = joint.glue_area / top
    polar = wide * top * (wide**2 + top**2) / 12
    stress = KICK / joint.glue_area + KICK * top / 2 * float(np.hypot(wide, top)) / 2 / polar
    woods = seen.parts[bracket].board.material, corner.board.material
    return Mode(
        keys=(corner.key, bracket), way=WAYS[axis], does=f"shears the glue of the {seen.name(corner.key)}", asks=stress,
        bears=shear(*woods, crossed=True), remedy=BLOCKS,
    )  # fmt: skip


def _drawn(seen: Study, rail: str, block: str, axis: int, outer: float, moment: float) -> Iterator[Mode]:
    """What a rail or bracket that turns about its outer end asks of the glue of its block, and of the block's screws."""
    glue, held = _between(seen, rail, block), seen.parts[block]
    thick = float(seen.boxes[block][1][2] - seen.boxes[block][0][2])
    inner = _end(seen.boxes[block][:, axis], [outer], far=True)
    glued = abs(inner - outer) - glue.glue_area / thick / 2  # the glue reaches to the block's inner end
    name, woods = seen.name(block), (seen.parts[rail].board.material, held.board.material)
    yield Mode(
        keys=(block, rail), way=WAYS[axis], does=f"shears the glue of the {name}", asks=moment / glued / glue.glue_area,
        bears=shear(*woods, crossed=True), remedy=BLOCKS,
    )  # fmt: skip
    yield _screwed(seen, block, axis, [outer], moment)


def _foot_blocks(seen: Study) -> Iterator[Mode]:
    """A block tips over one of its edges."""
    for block in (each for each in seen.parts.values() if each.key.startswith("feet/block.")):
        (low, high), moment = seen.boxes[block.key], KICK * float(seen.boxes[block.key][1][2])
        for axis in (0, 1):
            yield _screwed(seen, block.key, axis, [float(low[axis]), float(high[axis])], moment)


def _screwed(seen: Study, block: str, axis: int, edges: Sequence[float], moment: float) -> Mode:
    """The pull on the worst of a block's screws when it turns about the worse of some edges."""
    joint = next(each for each in seen.model.joints if block in (each.first, each.second) and each.kind in SCREWED)
    above = seen.parts[joint.second if joint.first == block else joint.first]  # the bottom, or its lipping
    screws, bottom = _fasteners(seen, joint), above.board
    thick = float(seen.boxes[block][1][2] - seen.boxes[block][0][2])
    name = seen.name(block)
    pull = max(farthest([abs(each.at[axis] - edge) for each in screws], moment) for edge in edges)
    bears = min((screw_bears(each, thick, bottom.material) for each in screws), key=lambda each: each.most)
    return Mode(keys=(block,), way=WAYS[axis], does=f"draws on a screw of the {name}", asks=float(pull), bears=bears, unit="N", remedy=SCREWS)  # fmt: skip


# ---------------------------------------------------------------------------------------------------------------- helpers
def _between(seen: Study, first: str, second: str) -> Joint:
    return next(each for each in seen.model.joints if {each.first, each.second} == {first, second})


def _end(ends: Sequence[float], other: Sequence[float], far: bool = False) -> float:
    """Which of two ends lies nearer to the middle of something, or farther from it."""
    middle = sum(other) / len(other)
    return float((max if far else min)(ends, key=lambda each: abs(each - middle)))


def _fasteners(seen: Study, joint: Joint) -> list[Fastener]:
    return [each for each in seen.model.fasteners if each.key in joint.fasteners]
