"""The order in which the boards of a carcass go together, each along the axis of its joints.

A board jointed at both ends can only go in while one of the boards it ends at is still off. The layout tells which goes first:
uprights and shelves that meet within a compartment make a frame; frames and the boards beside them are stacked to larger
frames, the axis changing from level to level, and the sides close the last of them from both ends.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Vector
from . import anchor_rails, stiffeners
from .back_parts import back_parts
from .bench import Bench
from .setting_out import DividingBoard, SettingOut
from .top_rails import FRONT_RAIL, REAR_RAIL

STAY: Vector = (0.0, 0.0, 0.0)
# assemblies that go in before the back, past the rails in front of them
WOODEN_RUNNERS = ("/runners.left", "/runners.middle", "/runners.right")
WAYS = {"columns": (LEFT, RIGHT), "rows": (DOWN, UP)}  # in which the boards of a stack come away from its middle

Bodies = list[str]  # keys of boards, and of frames that are made up already
Levels = list[Bodies]  # from the left or from below


def order_carcass(bench: Bench, out: SettingOut, support: list[str]) -> None:
    """Note the frames within the carcass, its sides, and the carcass itself, in the order of building."""
    for side in ("left", "right"):
        _side(bench, side)
    stacking = _Stacking(bench, out)
    bodies = stacking.whole()
    members = [(key, STAY, 0) for key in bodies]
    members += [("side.left", LEFT, 1), ("side.right", RIGHT, 1)]
    members += [(stacking.stiffened_top(), UP, 2)] if out.top_through else []
    later = 1 if out.top_through else 0
    members += [("carcass/stiffener.bottom", DOWN, 2 + later)] if "carcass/stiffener.bottom" in bench.parts else []
    framed = {member.key for assembly in bench.assemblies for member in assembly.members}
    runners = [each.key for each in bench.assemblies if each.key.endswith(WOODEN_RUNNERS) and each.key not in framed]
    members += [(key, BACK, 2 + later) for key in runners]
    behind = runners or any(
        key.startswith(stiffeners.UNDER_TOP) for key in bench.parts
    )  # what is in the way from the front
    members += [(key, BACK if behind else FRONT, 3 + later) for key in bench.parts if key.startswith(anchor_rails.KEYS)]
    slid = DOWN if out.top_through else UP  # out of its grooves: from below where the top lies over them
    backs = back_parts(bench)
    if out.piece.carcass.back.kind == "groove":  # what is slid in first goes in deepest
        heights = sorted({part.place.origin[2] for part in backs}, reverse=out.top_through)
        members += [(part.key, slid, 4 + later + heights.index(part.place.origin[2])) for part in backs]
        later += len(heights) - 1
    else:
        members += [(part.key, BACK, 4 + later) for part in backs]
    members += [(key, DOWN, 5 + later) for key in support]
    bench.assemble("carcass", "carcass", members, notes=("diagonals equal within 1 before and after the back goes in",))


def _side(bench: Bench, side: str) -> None:
    """A side with what is planted on it, the laminations of its legs and their glides."""
    away, inward = (LEFT, RIGHT) if side == "left" else (RIGHT, LEFT)
    frames = [assembly for assembly in bench.assemblies if assembly.key.startswith(f"side.{side}/")]
    framed = {member.key for assembly in frames for member in assembly.members}
    on = [
        key
        for key in (*bench.parts, *(assembly.key for assembly in frames))
        if key.startswith(f"side.{side}/") and key not in framed
    ]
    glides = [key for key in bench.fittings if key.startswith(f"side.{side}/")]
    laminations = [key for key in on if "lamination" in key]
    members = [(f"carcass/side.{side}", STAY, 0)]
    members += [(key, away, 1) for key in on if key not in laminations]
    members += [(key, inward, 1 + int(key.rsplit(".", 1)[-1])) for key in laminations]
    members += [(key, DOWN, 9) for key in glides]
    notes = ("strips first, then laminations; tapers are sawn the day after",) if laminations else ()
    bench.assemble(f"side.{side}", f"side, {side}", members, notes=notes)


class _Stacking:
    """Boards between the sides, stacked to frames."""

    def __init__(self, bench: Bench, out: SettingOut) -> None:
        self.bench, self.out = bench, out
        self.boards: dict[str, tuple[str, ...]] = {}  # of each frame
        self.met = {frozenset((joint.first, joint.second)) for joint in bench.joints}

    def whole(self) -> Bodies:
        """All between the sides, as bodies that hang together."""
        root = self.out.layout.root
        inner = self.levels(root.id) if root.divided == "rows" else [self.within(root.id)]
        tops = () if self.out.top_through else ("carcass/top", FRONT_RAIL, REAR_RAIL)  # that goes on last
        above = ("carcass/front", *tops)
        upper = [self.stiffened_top() if key == "carcass/top" else key for key in above if key in self.bench.parts]
        return self.stacked([["carcass/bottom"], *inner, upper], "rows", "frame")

    def within(self, id: str) -> Bodies:
        """What stands in a compartment, as bodies that hang together."""
        return self.stacked(self.levels(id), self.out.layout.by_id[id].divided, f"frame.{id}")

    def levels(self, id: str) -> Levels:
        """The parts of a compartment and the boards between them."""
        parts = self.out.layout.parts(id)
        found: Levels = []
        for number, part in enumerate(parts):
            found.append(self.within(part.id))
            found.append([self.stiffened(each) for each in self.between(parts[number : number + 2])])
        return found

    def between(self, pair: list) -> Iterator[DividingBoard]:
        """The board between two neighbouring compartments, where there is one."""
        if len(pair) == 2:
            yield from (
                each for each in self.out.dividers if (each.before[0], each.after[0]) == (pair[0].id, pair[1].id)
            )

    def stiffened(self, divider: DividingBoard) -> str:
        """A dividing board, with the stiffener that is glued under it first."""
        stiffener = f"carcass/stiffener.{divider.key.rsplit('/', 1)[-1]}"
        if divider.kind != "shelf" or stiffener not in self.bench.parts:
            return divider.key
        return self.frame(f"{divider.key}/stiffened", "stiffened shelf", [(divider.key, STAY, 0), (stiffener, DOWN, 1)])

    def stiffened_top(self) -> str:
        """The top, with the stiffeners that are glued under it first."""
        under = [key for key in self.bench.parts if key.startswith(stiffeners.UNDER_TOP)]
        if not under:
            return "carcass/top"
        members = [("carcass/top", STAY, 0), *((key, DOWN, 1) for key in under)]
        return self.frame("carcass/top/stiffened", "stiffened top", members)

    def stacked(self, levels: Levels, divided: str, word: str) -> Bodies:
        """The bodies of a stack, those that meet made up to one frame."""
        levels = [level for level in levels if level]
        groups = _groups([key for level in levels for key in level], self.meet)
        return [
            group[0]
            if len(group) == 1
            else self.stack([[key for key in level if key in group] for level in levels], divided, word)
            for group in groups
        ]

    def stack(self, levels: Levels, divided: str, word: str) -> str:
        """One frame: its middle, and on either side what is pressed on to it."""
        levels = [level for level in levels if level]
        back, ahead = WAYS[divided]
        middle = _middle(levels)
        members = [(key, STAY, 0) for key in levels[middle]]
        for step in range(1, len(levels)):
            members += [(key, back, step) for key in (levels[middle - step] if step <= middle else ())]
            members += [(key, ahead, step) for key in (levels[middle + step] if middle + step < len(levels) else ())]
        first = min(self.boards_of(key)[0] for level in levels for key in level)
        boards = [self.bench.parts[board] for level in levels for key in level for board in self.boards_of(key)]
        names = list(dict.fromkeys(part.name for part in boards if part.role != "stiffener"))
        return self.frame(
            f"{first}/{word}", f"frame of {' and '.join(filter(None, (', '.join(names[:-1]), names[-1])))}", members
        )

    def frame(self, key: str, name: str, members: list[tuple[str, Vector, int]]) -> str:
        """Note a frame."""
        self.boards[key] = tuple(sorted(board for member, _, _ in members for board in self.boards_of(member)))
        self.bench.assemble(key, name, members)
        return key

    def boards_of(self, key: str) -> tuple[str, ...]:
        """The boards of a body."""
        return self.boards.get(key, (key,))

    def meet(self, one: str, other: str) -> bool:
        """Whether a board of one body is jointed to a board of another."""
        return any(frozenset((a, b)) in self.met for a in self.boards_of(one) for b in self.boards_of(other))


def _middle(levels: Levels) -> int:
    """Which level the others are pressed on to: the middle one; of two the one of a single body, the upper or right one else."""
    half = len(levels) // 2
    if len(levels) % 2:
        return half
    return half - 1 if len(levels[half - 1]) == 1 and len(levels[half]) > 1 else half


def _groups(keys: list[str], meet: Callable[[str, str], bool]) -> list[list[str]]:
    """Keys that hang together, each group and the groups in the order of the keys."""
    groups: list[list[str]] = []
    for key in keys:
        joined = [group for group in groups if any(meet(key, other) for other in group)]
        groups = [group for group in groups if group not in joined] + [
            [other for group in joined for other in group] + [key]
        ]
    place = {key: number for number, key in enumerate(keys)}
    return sorted((sorted(group, key=place.__getitem__) for group in groups), key=lambda group: place[group[0]])


__all__ = ["STAY", "WOODEN_RUNNERS", "order_carcass"]
