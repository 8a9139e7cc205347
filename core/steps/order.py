"""The order of building, read from a model's assemblies: what is made up first, glued up, fitted dry, and put in last.

Each assembly is built in rounds. What is held in another way than what went before it, or would make one glue-up too large,
begins a new round. Fittings go on when the piece is fitted in the white; glass and its beads when it is painted.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from ..fittings import fitting_entry
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Vector, negative
from ..meshes import model_meshes
from ..model import Assembly, Fastener, Fitting, Joint, Member, Model, Part
from ..piece.piece import Piece
from ..weights import weights_of
from ..wording import in_sentence, listed, plural, sideless
from .means import (
    CRAMP_MINUTES,
    LEAF_MINUTES,
    LEAF_PITCH,
    MOST_ENDS,
    MOST_PEGS,
    OPEN_MINUTES,
    WHOLE,
    Box,
    cramps_along,
    cramps_of,
    lies_over,
    pushes_of,
    reach,
    rectangle,
    screw_of,
    used,
)
from .step import Coming, Cramps, Diagonal, How, Push, Stage, Step

CARCASS = "carcass"
FLAT = 0.3  # of its other sizes: what is no thicker lies flat on the bench
AFTER_PAINT = ("pane", "bead", "mirror", "glass")  # roles of what goes in when the wood is painted
BOTTOMS = ("drawer bottom", "drawer muntin")  # what slides into a drawer box and is screwed up under its back
LIPPING = "lipping"  # the role of the part
LIFTED = "lift-off hinge"  # the door, open, is lowered on to its pins
COVER_BEAD = "cover bead"  # planted on the leading door when it hangs
JOINTED = ("dowels", "dovetails", "biscuits", "housing", "mortise and tenon")
LEAST_DIAGONAL = 300.0  # mm; what is smaller is squared with a try square
RUBBED = ("block", "batten")  # rubbed in, or held by their pins and screws
STIFFENER_PITCH = 200.0  # mm between cramps along a stiffener; common practice, no source
MOST_RUBBED = 300.0  # mm of a block or batten that is rubbed in; longer ones want cramps; common practice, no source
LIPPING_PITCH = 200.0  # mm between cramps over the caul on a lipping; common practice, no source
FEET = ("glide", "levelling foot", "castor")


def made_up_as(key: str, is_put_together: Callable[[str], bool]) -> str:
    """The assembly that is put together in a step for another: itself, or the frame of a door, whose glass comes later; else nothing."""
    return next((each for each in (key, f"{key}/frame") if is_put_together(each)), "")


class Order:
    """A model being put together, step by step."""

    def __init__(self, piece: Piece, model: Model) -> None:
        self.piece, self.model = piece, model
        self.assemblies = {each.key: each for each in model.assemblies}
        self.parts: dict[str, Part] = {part.key: part for part in model.parts}
        self.fittings: dict[str, Fitting] = {each.key: each for each in model.fittings}
        self.fitted: set[str] = set()  # fittings that are on already
        self.seen: set[str] = set()
        self.fastened: set[str] = set()
        self.kept_back = {key for key, part in self.parts.items() if part.role == COVER_BEAD or self.is_late(key)}

    @cached_property
    def boxes(self) -> dict[str, Box]:
        """Around every part and fitting."""
        return {key: (mesh.vertices.min(0), mesh.vertices.max(0)) for key, mesh in model_meshes(self.model).items()}

    @cached_property
    def weights(self) -> dict:
        """Of every part, fitting and fastener."""
        return weights_of(self.model)

    def mass(self, keys: Iterable[str]) -> float:
        """Of some parts and fittings together, kg."""
        return sum(self.weights[key].mass for key in keys)

    # ------------------------------------------------------------------------------------------------------ what there is
    def leaves(self, key: str) -> list[str]:
        """All parts and fittings of an assembly; of a part or fitting itself."""
        if key not in self.assemblies:
            return [key]
        return [leaf for member in self.assemblies[key].members for leaf in self.leaves(member.key)]

    def body(self, key: str) -> list[str]:
        """The same without what goes on later: fittings that are not on yet, glass and its beads, a cover bead."""
        return [
            leaf
            for leaf in self.leaves(key)
            if leaf in self.fitted or (leaf in self.parts and leaf not in self.kept_back)
        ]

    def is_late(self, key: str) -> bool:
        """Whether a part goes in after painting."""
        part = self.parts[key]
        return part.role in AFTER_PAINT or part.board.material.kind == "glass"

    def around(self, keys: Iterable[str]) -> Box:
        """The box around some parts and fittings."""
        low, high = zip(*(self.boxes[key] for key in keys), strict=True)
        return np.min(low, axis=0), np.max(high, axis=0)

    def family(self, key: str) -> str:
        """The fitting that a member of one is bought with; of another its own key."""
        return self.fittings[key].bought_with or key

    def kind(self, key: str) -> str:
        """The kind of a fitting, as the library says."""
        return fitting_entry(self.fittings[key].entry).kind

    def joints_between(self, ours: set[str], theirs: set[str]) -> list[Joint]:
        """The joints between two lots of parts."""
        return [
            each
            for each in self.model.joints
            if (each.first in ours and each.second in theirs) or (each.second in ours and each.first in theirs)
        ]

    # ---------------------------------------------------------------------------------------------------------- assemblies
    def made_up(self, assembly: Assembly, stage: Stage) -> Iterator[Step]:
        """The steps of one assembly, without its fittings; none where nothing is put together."""
        rounds = list(self.rounds_of(assembly))
        for number, (coming, there) in enumerate(rounds):
            named = len(rounds) > 1 or not (assembly.key.startswith("carcass/") or assembly.key.endswith("/lipped"))
            step = self.glue_up(assembly, stage, coming, there, named, closes=number == len(rounds) - 1)
            yield replace(step, begins=number == 0)

    def rounds_of(self, assembly: Assembly) -> Iterator[tuple[list[Member], list[str]]]:
        """What of an assembly is put on in one go, and what is there then; nothing where nothing is put together."""
        members = [each for each in assembly.members if self.body(each.key)]
        layers = sorted({each.layer for each in members})
        if not layers or len(members) < 2:
            return
        there = [leaf for each in members if each.layer == layers[0] for leaf in self.body(each.key)]
        for coming in self.rounds([each for each in members if each.layer != layers[0]], there):
            yield coming, there
            there = [*there, *(leaf for each in coming for leaf in self.body(each.key))]

    def crowded(self) -> Iterator[tuple[Assembly, Push]]:
        """The pushes that are more than one person brings together, each with the assembly that is glued up."""
        for assembly in self.model.assemblies:
            for coming, there in self.rounds_of(assembly):
                for push in self.pushes(assembly, coming, there):
                    if push.pegs > MOST_PEGS:
                        yield assembly, push

    def rounds(self, members: Sequence[Member], there: Sequence[str]) -> Iterator[list[Member]]:
        """Members grouped to what is put on in one go."""
        standing, waiting, held, ends = set(there), [], "", 0
        for member in sorted(members, key=lambda each: each.layer):
            body = set(self.body(member.key))
            how = self.held(body, standing)
            more = sum(push.ends for push in pushes_of([(member.key, body)], standing, self.model))
            if waiting and (
                (how != held and how and held)
                or ends + more > MOST_ENDS
                or self.turned(waiting[-1], member)
                or (self.is_lipping(member.key) and member.layer != waiting[-1].layer)
                or (how and self.is_bottom(member.key) and not self.is_bottom(waiting[-1].key))
            ):
                yield waiting
                waiting, held, ends = [], "", 0
            waiting, held, ends = [*waiting, member], how or held, ends + more
            standing |= body
        if waiting:
            yield waiting

    def turned(self, before: Member, member: Member) -> bool:
        """Whether what comes next comes to the other face: the back, or what stands under the carcass."""
        return self.is_back(member.key) != self.is_back(before.key)

    def is_bottom(self, key: str) -> bool:
        """Whether it slides into a drawer box that stands: its bottom, or what parts that."""
        return key in self.parts and self.parts[key].role in BOTTOMS

    def is_lipping(self, key: str) -> bool:
        """Whether it is glued to the edge of a board."""
        return key in self.parts and self.parts[key].role == LIPPING

    def is_uncramped(self, key: str) -> bool:
        """Whether a part is rubbed in, or held by tape, as its notes say."""
        part = self.parts.get(key)
        return part is not None and (part.role in RUBBED or any("held by tape" in note for note in part.notes))

    def is_back(self, key: str) -> bool:
        """Whether it is the back, or a part of it."""
        return key in self.parts and self.parts[key].role == "back"

    def held(self, body: set[str], standing: set[str]) -> str:
        """How a body is held to what is there; empty for what is only caught between others."""
        kinds = {
            "dovetails" if each.kind == "rebate" and not self.is_back(each.second) else each.kind  # a corner of a box
            for each in self.joints_between(body, standing)
        }
        for how, some in (
            ("jointed", JOINTED),
            ("pinned", ("glue and pins",)),
            ("screwed", ("screws", "slotted screws", "glue and screws")),
            ("glued", ("glue",)),
        ):
            if kinds.intersection(some):
                return how
        return ""

    def glue_up(
        self,
        assembly: Assembly,
        stage: Stage,
        members: Sequence[Member],
        there: Sequence[str],
        named: bool,
        closes: bool,
    ) -> Step:
        """One round of an assembly."""
        standing, comes = list(there), []
        for member in members:
            body = tuple(self.body(member.key))
            comes.append(Coming(keys=body, away=member.apart, onto=tuple(standing), assembly=self.name_of(member.key)))
            standing += body
        how = self.how(comes, there)
        joints = [joint for each in comes for joint in self.joints_between(set(each.keys), set(each.onto))]
        pushes = self.pushes(assembly, members, there)
        crowd = max((push.pegs for push in pushes), default=0) > MOST_PEGS
        mass = self.mass(standing)
        return self.step(
            title=f"{assembly.name}: {self.named(comes)}" if named else assembly.name,
            stage=stage,
            how=how,
            assembly=assembly.key,
            there=tuple(there),
            comes=tuple(comes),
            up=self.upward(assembly, comes, standing),
            pushes=pushes,
            cramps=self.cramps(how, joints, comes),
            glue_area=sum(joint.glue_area for joint in joints),
            open_minutes=OPEN_MINUTES if how in ("glued", "jointed", "pinned") else 0,
            diagonals=self.diagonals(assembly, how, comes, standing),
            mass=mass,
            persons=2 if crowd or mass > self.piece.shop.one_person else 1,
            checks=tuple(self.checks(assembly, how, comes, standing)),
            cautions=("glue stays open" if crowd else "", "lifting" if mass > self.piece.shop.one_person else ""),
            closes=closes,
        )

    def named(self, comes: Sequence[Coming]) -> str:
        """What comes, in a few words."""
        loose = [self.parts[key] for each in comes if not each.assembly for key in each.keys if key in self.parts]
        roles, several = {part.role for part in loose}, len({part.name for part in loose}) > 1
        planted = any(map(self.is_planted, loose))
        for words, some in (
            ("stiles", {"stile"}),
            ("rails", {"rail"} if several else {""}),
            ("rails and muntins", {"rail", "muntin"} if several and not planted else {""}),
            ("stiles and rails", {"stile", "rail", "muntin"} if several and not planted else {""}),
            ("strips", {"stile", "rail", "muntin"} if several else {""}),
            ("laminations", {"lamination"}),
            (
                f"lippings of the {'level' if abs(comes[0].away[2]) > 0.5 else 'upright'} edges",
                {LIPPING} if len(comes) > 1 else {""},
            ),
            ("blocks", {"block"}),
            ("backs", {"back"} if several else {""}),
        ):
            if roles and roles <= some and not any(each.assembly for each in comes):
                return words
        names = [
            self.assemblies[each.assembly].name if each.assembly else self.parts[each.keys[0]].name for each in comes
        ]
        if len(names) == 1:
            return names[0]
        bare = [in_sentence(sideless(name)) for name in names]
        counts = Counter(bare)
        return listed([name if counts[name] == 1 else plural(name) for name in counts])

    def is_planted(self, part: Part) -> bool:
        """Whether a strip lies on a panel, glued and pinned."""
        return any(each.kind == "glue and pins" and each.second == part.key for each in self.model.joints)

    def name_of(self, key: str) -> str:
        """The key of an assembly; empty for a part or fitting."""
        return key if key in self.assemblies else ""

    def how(self, comes: Sequence[Coming], there: Sequence[str]) -> How:
        """How most of what comes is held."""
        standing, found = set(there), []
        for each in comes:
            found.append(self.held(set(each.keys), standing))
            standing |= set(each.keys)
        return next((how for how in ("jointed", "pinned", "screwed", "glued") if how in found), "laid in")  # type: ignore[return-value]

    def step(self, **given: object) -> Step:
        """A step, with what is new in it and the fasteners that hold it."""
        there, comes = set(given["there"]), given["comes"]  # type: ignore[arg-type, call-overload]
        coming = {key for each in comes for key in each.moving}  # type: ignore[attr-defined]
        both = [*given["there"], *(key for each in comes for key in each.keys)]  # type: ignore[misc, attr-defined]
        bodies = [self.boxes[key] for key in coming if key in self.fittings]
        new = tuple(key for key in dict.fromkeys(both) if key not in self.seen)
        self.seen.update(new)
        found = used(self.held_by, there | coming, coming | set(new), bodies)
        holds = [key for key in found if key not in self.fastened]
        self.fastened.update(holds)
        due = [key for key in self.plugs_due(there | coming, given) if key not in self.fastened]
        self.fastened.update(due)
        given["cautions"] = tuple(filter(None, given.get("cautions", ())))  # type: ignore[arg-type]
        return Step(new=new, fasteners=tuple(holds), plugs=(*given.pop("plugs", ()), *due), **given)  # type: ignore[arg-type, misc]

    # ---------------------------------------------------------------------------------------------------------------- plugs
    @cached_property
    def plugs(self) -> tuple[Fastener, ...]:
        """What is glued into a single part: under screws in weak board, over the heads of others."""
        return tuple(each for each in self.model.fasteners if each.kind == "plug" and len(each.parts) == 1)

    @cached_property
    def held_by(self) -> tuple[Fastener, ...]:
        """All other fasteners."""
        alone = {each.key for each in self.plugs}
        return tuple(self._in_its_leaf(each) for each in self.model.fasteners if each.key not in alone)

    def _in_its_leaf(self, each: Fastener) -> Fastener:
        """A screw as it holds the leaf on the door of a hinge that comes apart, which goes on by itself; else as it is."""
        for hinge in each.parts:
            leaf = f"{hinge}/door_leaf"
            if leaf in self.fittings and self.kind(hinge) == LIFTED and self._is_of_the_door(each, leaf):
                return replace(each, parts=tuple(leaf if key == hinge else key for key in each.parts))
        return each

    def _is_of_the_door(self, each: Fastener, leaf: str) -> bool:
        """Whether a fastener holds something of the door that a hinge's leaf is on."""
        doors = (door.key for door in self.model.assemblies if any(member.key == leaf for member in door.members))
        return any(not set(self.leaves(door)).isdisjoint(each.parts) for door in doors)

    @cached_property
    def with_screw(self) -> dict[str, str]:
        """For a plug over a screw, the screw that it goes in with."""
        found = {}
        for plug in self.plugs:
            screw = screw_of(plug, self.held_by)
            if screw is not None and lies_over(plug, screw):
                found[plug.key] = screw.key
        return found

    def plugs_due(self, there: set[str], given: Mapping[str, object]) -> Iterator[str]:
        """The plugs of what is there that go in now: with their screws, when their assembly is together, or at once."""
        for plug in self.plugs:
            if plug.parts[0] not in there:
                continue
            if plug.key in self.with_screw:
                is_due = self.with_screw[plug.key] in self.fastened
            else:
                late = plug.when.stage == "after glue-up"
                waits_for = made_up_as(plug.when.assembly, self.put_together.__contains__) if late else ""
                is_due = not waits_for or (bool(given.get("closes")) and given.get("assembly") == waits_for)
            if is_due:
                yield plug.key

    def plugs_in(self, parts: Iterable[str]) -> tuple[str, ...]:
        """The plugs that are glued into some parts before anything else is done to them, if they are not in yet."""
        wanted = set(parts)
        found = tuple(
            plug.key
            for plug in self.plugs
            if plug.parts[0] in wanted
            and plug.when.stage == "in the part"
            and plug.key not in self.with_screw
            and plug.key not in self.fastened
        )
        self.fastened.update(found)
        return found

    @cached_property
    def put_together(self) -> frozenset[str]:
        """The assemblies that have steps of their own."""
        return frozenset(key for key, each in self.assemblies.items() if next(self.rounds_of(each), None) is not None)

    # ---------------------------------------------------------------------------------------------------------------- means
    def pushes(self, assembly: Assembly, members: Sequence[Member], there: Sequence[str]) -> tuple[Push, ...]:
        """What engages at each push; the first side of a carcass takes its boards one by one."""
        bodies = [(each.key, set(self.body(each.key))) for each in members]
        if assembly.key != CARCASS or members[0].key != "side.left":
            return pushes_of(bodies, set(there), self.model)
        first = {each.key for each in assembly.members if each.layer == 0}
        inner = [(each.key, set(self.body(each.key))) for each in assembly.members if each.key in first]
        one_by_one = [push for body in inner for push in pushes_of([body], set(self.body("side.left")), self.model)]
        return (*one_by_one, *pushes_of(bodies[1:], set(there), self.model))

    def cramps(self, how: str, joints: Sequence[Joint], comes: Sequence[Coming]) -> Cramps | None:
        """The cramps of a round; none where pins or screws hold it, or blocks are rubbed in."""
        leaves = [self.parts[key] for each in comes for key in each.keys if key in self.parts]
        if how not in ("jointed", "glued") or not leaves:
            return None
        if all(part.role in RUBBED for part in leaves):
            long = [part.size for part in leaves if part.size[0] > MOST_RUBBED]
            return (
                cramps_along(long, 3 * max(size[1] for size in long), STIFFENER_PITCH, CRAMP_MINUTES) if long else None
            )
        if all(part.role == "stiffener" for part in leaves):
            return cramps_along(
                [part.size for part in leaves], 3 * max(part.size[1] for part in leaves), STIFFENER_PITCH, CRAMP_MINUTES
            )
        if all(part.role == LIPPING for part in leaves):
            axis = int(np.abs(comes[0].away).argmax())
            low, high = self.around({key for joint in joints for key in (joint.first, joint.second)})
            count = max(2, math.ceil(max(part.size[0] for part in leaves) / LIPPING_PITCH))
            return Cramps(count, reach(float(high[axis] - low[axis])), axis, CRAMP_MINUTES, LIPPING_PITCH)
        if all(part.role == "lamination" for part in leaves):
            return cramps_along(
                [part.size for part in leaves], 3 * max(part.size[2] for part in leaves), LEAF_PITCH, LEAF_MINUTES
            )
        joints = [joint for joint in joints if not any(map(self.is_uncramped, (joint.first, joint.second)))]
        if not joints:
            return None
        return cramps_of(
            joints, self.boxes, self.around({key for joint in joints for key in (joint.first, joint.second)})
        )

    def diagonals(
        self, assembly: Assembly, how: str, comes: Sequence[Coming], standing: Sequence[str]
    ) -> tuple[Diagonal, ...]:
        """The rectangles that a glue-up makes; nothing to check where strips are laid on a board that is square already."""
        if (how in ("pinned", "laid in") and assembly.key != CARCASS) or not self.has_stiles(assembly, standing):
            return ()
        boards = set(standing)
        if assembly.key == CARCASS:
            sides = {key for hand in ("left", "right") for key in self.side_of(hand)}
            squared = {key for each in comes for key in each.keys if key in sides or self.is_back(key)}
            if not squared or not sides <= boards:
                return ()
            over = self.around(sorted(sides))
            openings = [Diagonal(f"opening of {each.name}", each.width, each.height) for each in self.model.openings]
            return _different([*openings, rectangle("carcass over the side panels", over, 1)])
        if assembly.key.startswith("carcass/"):
            return _different([rectangle("bay", box, 1) for box in self.bays_beside(boards)])
        roles = {self.parts[key].role for each in comes for key in each.keys if key in self.parts}
        is_box = assembly.key.endswith("/box") and how == "screwed" and not roles & set(BOTTOMS)
        if how != "jointed" and "moulding" not in roles and not is_box:
            return ()
        box = self.around(standing)
        found = rectangle(assembly.name, box, int((box[1] - box[0]).argmin()))
        return (found,) if found.length > LEAST_DIAGONAL else ()

    def has_stiles(self, assembly: Assembly, standing: Sequence[str]) -> bool:
        """Whether all the stiles of a frame are on: before that there is no rectangle to measure."""
        stiles = {
            each.key for each in assembly.members if each.key in self.parts and self.parts[each.key].role == "stile"
        }
        return stiles <= set(standing)

    def side_of(self, hand: str) -> set[str]:
        """The board of a side of the carcass, or the stiles of one that is a frame."""
        board = f"carcass/side.{hand}"
        if board in self.parts:
            return {board}
        return {key for key, part in self.parts.items() if key.startswith(f"side.{hand}/") and part.role == "stile"}

    def bays_beside(self, boards: set[str]) -> Iterator[Box]:
        """The bays that two boards of a frame bound, one at a side and one above or below."""
        for bay in self.model.bays:
            low, high = np.array(bay.low), np.array(bay.high)
            axes = {axis for key in boards for axis in (0, 2) if _bounds(self.boxes[key], low, high, axis)}
            if axes == {0, 2}:
                yield low, high

    def upward(self, assembly: Assembly, comes: Sequence[Coming], standing: Sequence[str]) -> Vector:
        """What looks up on the bench: flat work lies on its back, a carcass too; strips are laid on from above."""
        ways = {each.away for each in comes}
        if assembly.key == CARCASS or assembly.key.startswith("carcass/"):
            behind = any(self.is_back(key) for each in comes for key in each.keys)  # its screws go in from there
            return BACK if behind or ways == {BACK} else FRONT
        low, high = self.around(standing)
        size = high - low
        thin = int(size.argmin())
        if size[thin] > FLAT * sorted(size)[1]:
            return UP
        if len(ways) == 1 and abs(comes[0].away[thin]) > 0.9:
            return comes[0].away
        return (LEFT if low[0] + high[0] < 0 else RIGHT, FRONT, UP)[thin]

    def checks(self, assembly: Assembly, how: str, comes: Sequence[Coming], standing: Sequence[str]) -> Iterator[str]:
        """What to look at before the glue sets."""
        if how == "pinned":
            gaps = self.spacers([key for key in standing if key in self.parts and self.parts[key].role == "rail"])
            if gaps:
                yield f"rails on spacer blocks, from the foot: {', '.join(f'{gap:.1f}'.removesuffix('.0') for gap in gaps)}"
            yield "squeeze-out wiped out of the inner corners with a damp cloth"
        if assembly.key == CARCASS and any("side." in each.assembly or "side." in each.keys[0] for each in comes):
            yield "front edges in one line; nothing in wind: sight across the front"
            if len(comes) == 1 and not self.side_of("right") <= set(standing):
                yield "the other side on dry, as a caul, so that it sets square"
        if assembly.key.endswith("/box") and how == "jointed":
            yield "grooves in line all round: try the bottom in dry"
        if assembly.key.startswith("stand/") or assembly.key.endswith("/frame"):
            yield "not in wind: sight across it"

    def spacers(self, rails: Sequence[str]) -> list[float]:
        """The clear heights between rails, from the lowest."""
        spans = sorted(
            (round(float(self.boxes[key][0][2]), 1), round(float(self.boxes[key][1][2]), 1)) for key in rails
        )
        return [round(b[0] - a[1], 1) for a, b in itertools.pairwise(spans) if b[0] - a[1] > 1.0]

    # ------------------------------------------------------------------------------------------------------------- fittings
    def away(self, key: str, onto: set[str]) -> Vector:
        """The way in which a fitting comes off what it is screwed to: against its screws, with its bolts."""
        if self.kind(key) == "under-mounted runner" and self.fittings[key].bought_with:
            return BACK  # its hooks stand in the back of the drawer
        family = {key, self.family(key)}
        for each in self.model.fasteners:
            if each.parts[0] in family and onto.intersection(each.parts[1:]):
                return each.along if each.kind == "bolt" else negative(each.along)
        for each in self.model.fasteners:
            if family.intersection(each.parts) and onto.intersection(each.parts):
                return each.along if each.kind == "bolt" else negative(each.along)
        if self.kind(key) in FEET:
            return DOWN
        return self.fittings[key].place.x

    def comings(self, keys: Iterable[str], onto: Sequence[str]) -> list[Coming]:
        """Fittings going on one after the other, the members of one together."""
        families: dict[str, list[str]] = {}
        for key in keys:
            families.setdefault(self.family(key), []).append(key)
        found, standing = [], list(onto)
        for members in families.values():
            found.append(Coming(keys=tuple(members), away=self.away(members[0], set(onto)), onto=tuple(standing)))
            standing += members
            self.fitted.update(members)
        return found

    def fit(self, title: str, keys: Sequence[str], onto: Sequence[str], up: Vector = UP, **more: object) -> Step:
        """A step in which fittings are screwed on."""
        given = {"stage": "fitting dry", "assembly": "", "how": "fitted", **more}
        return self.step(title=title, there=tuple(onto), comes=tuple(self.comings(keys, onto)), up=up, **given)


def _different(diagonals: Sequence[Diagonal]) -> tuple[Diagonal, ...]:
    """Those of different size, each once."""
    found: dict[tuple[float, float], Diagonal] = {}
    for each in diagonals:
        found.setdefault((round(each.width, 1), round(each.height, 1)), each)
    return tuple(found.values())


def _bounds(box: Box, low: np.ndarray, high: np.ndarray, axis: int) -> bool:
    """Whether a board's face bounds a bay along an axis."""
    other = 2 - axis
    touches = abs(box[1][axis] - low[axis]) < 0.05 or abs(box[0][axis] - high[axis]) < 0.05
    return touches and box[0][other] < high[other] - 1.0 and box[1][other] > low[other] + 1.0


__all__ = ["CARCASS", "COVER_BEAD", "FEET", "WHOLE", "Order"]
