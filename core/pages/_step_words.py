"""A step in short sentences: what comes, what holds it, how it is cramped and checked, and what is done when it is dry."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property, reduce

import numpy as np

from ..built import BuiltPiece
from ..cutting.list import common_name
from ..drawing.dimensions import figures
from ..model import Fastener, Fitting, Part, When
from ..placing import told_by_place
from ..steps import Cramps, Step, steps
from ..steps.means import BEFORE_LOAD_HOURS, MOST_PEGS, STRIP_MINUTES, lies_over, screw_of
from ..steps.order import CARCASS, COVER_BEAD, RUBBED, made_up_as
from ..wording import counted, handless, listed, plural, sideless
from ._assembly_lists import fastener_words, runs
from ._fitting_settings import Settings, as_sold
from ._making import after_words, horn_words, plug_words, seat_words
from ._sheets import sentence, told_apart
from ._views import boxes_of

ALONG = "piano hinge"  # a kind of fitting, along a whole edge
ANCHOR_RAIL = "anchor rail"  # the role of a part
BOLT = "door bolt"  # a kind of fitting, and what its hole is for
LIPPING, PACK, STOP, CHEEK, MIRROR = "lipping", "pack", "stop", "cheek", "mirror"  # roles of parts
LEVELLED, STRIPS = (
    ("hook rail", "bearer"),
    ("fillet", "stop strip"),
)  # roles of what is screwed to the boards of a compartment
GLUE = 150.0  # g/m², one face; common practice, no source
SLOW_MINUTES = 20  # open time of slow-setting glue; common practice, no source
FLUSH = 0.6  # mm; edges nearer to one line than this are flush
CAUTIONS = {
    "dust": "Extraction on and a mask: sawing, boring and rubbing down make harmful dust.",
    "lifting": "",  # said with the mass
    "raising": "Raise it with a helper.",
    "fingers": "Mind fingers at the hinge side.",
    "glass": "Gloves; glass is carried on edge.",
    "solvents": "Air the room; no flame or spark.",
    "glue stays open": f"More than {MOST_PEGS} engage at one push: a helper, and glue that stays open {SLOW_MINUTES} min or more.",
}
UPWARD = 0.9  # of a whole: how much of a screw's way goes up, or of a pin's from back to front
HORNS_OFF = "When the glue has set: saw the horns off, plane the ends flush."
SET_ON = "set it on"  # how the title of a step ends in which something comes from above
SLOTTED = "Screws in slots: in the middle, snug and no more, so that the wood can move."
LIES = {
    (0.0, -1.0, 0.0): ("on its back, front up", "face up"),
    (0.0, 1.0, 0.0): ("on its front, back up", "back up"),
    (0.0, 0.0, -1.0): ("upside down", "upside down"),
}  # the carcass, other work


class StepWords:
    """The words of the steps of one piece."""

    def __init__(self, built: BuiltPiece, marks: dict[str, int]) -> None:
        self.built, self.marks = built, marks
        model = built.model
        self.parts = {part.key: part for part in model.parts}
        self.fittings = {each.key: each for each in model.fittings}
        self.fasteners = {each.key: each for each in model.fasteners}
        self.assemblies = {each.key: each for each in model.assemblies}
        self.known = Settings(model)
        self.in_slots = {key for joint in model.joints if joint.kind == "slotted screws" for key in joint.fasteners}
        self.swinging = {each.key for each in model.motions if each.kind == "swing"}
        self.travelling = {each.key for each in model.motions if each.kind == "travel"}
        self.lids = {each.key for each in model.motions if each.kind == "swing" and not each.axis[2]}

    def title(self, step: Step) -> str:
        """What is done in a step, without the side where both are done alike."""
        own = self.assemblies[step.assembly].name if step.assembly in self.assemblies else ""
        if not step.others:
            return sentence(step.title.replace(own, self.named[step.assembly], 1) if own else step.title)
        name, _, rest = step.title.partition(": ")
        count = len(step.others) + 1
        both = f"{'both' if count == 2 else f'all {count}'} {plural(sideless(name))}{self.which(step, own)}"
        return sentence(f"{both}: {sideless(rest)}" if rest else both)

    def which(self, step: Step, name: str) -> str:
        """Which of more assemblies of one name are done alike in a step: " (middle, pens)"."""
        bare = sideless(name)
        same = [key for key, each in self.assemblies.items() if sideless(each.name) == bare]
        ours = [each.assembly for each in step.all]
        if set(same) <= set(ours):
            return ""
        told = dict.fromkeys(handless(self.named[key]).removeprefix(bare).strip(", ") for key in ours)
        if not all(told):  # only their side tells some of them
            told = dict.fromkeys(" ".join(re.findall(r"\w+", self.named[key].replace(bare, "", 1))) for key in ours)
        return f" ({', '.join(told)})" if all(told) else ""

    @cached_property
    def named(self) -> dict[str, str]:
        """What each assembly is called, those of one name told apart."""
        return told_apart({key: each.name for key, each in self.assemblies.items()})

    def sentences(self, step: Step) -> list[str]:
        """All there is to say, in the order of the work."""
        found = [
            self.plugs_first(step),
            self.made_alone(step),
            *step.words,
            self.position(step),
            self.laid(step),
            *self.comes(step),
            self.packed(step),
            *self.screwed_on(step),
            self.beneath(step),
            self.above(step),
            *self.beaded(step),
            *(f"{sentence(each)}." for each in self.of_each(step, self.placed)),
        ]
        found += [
            self.slid(step),
            self.holds(step),
            self.plugs_over(step),
            self.slotted(step),
            self.glue(step),
            *(f"{each}." for each in self.of_each(step, self.pushes)),
            self.cramped(step),
            self.diagonals(step),
            *self.meeting(step),
            *self.anchoring(step),
            self.let_in(step),
            self.seats(step),
        ]
        found += [self.bare(step), *self.noted(step), self.checks(step), *self.afterwards(step), self.lifting(step)]
        found += [CAUTIONS[each] for each in step.cautions]
        return [each for each in found if each]

    # ------------------------------------------------------------------------------------------------------------- what comes
    def position(self, step: Step) -> str:
        """How the work lies on the bench."""
        if step.up in LIES:
            return f"Lies {LIES[step.up][not step.assembly.startswith('carcass') and bool(step.assembly)]}."
        if step.up[0]:
            outward = (step.up[0] < 0) == step.assembly.endswith("left")
            return f"Lies {'outside' if outward else 'inside'} up."
        return ""

    def laid(self, step: Step) -> str:
        """What lies there first: new parts, and what is made up already as an assembly is begun."""
        coming = {key for each in step.comes for key in each.keys}
        parts = [key for each in step.all for key in each.new if key in self.parts and key not in _coming(each)]
        begun = [each for each in step.all if each.begins and self.is_glue_up(each)]
        made = [
            member.key
            for each in begun
            for member in self.assemblies[each.assembly].members
            if member.key in self.begun
            and not any(come.assembly == member.key for come in each.comes)
            and self.stands(member.key, each)
        ]
        words = [self.numbered(parts)] * bool(parts) + [f"{self.counted(made)}, made up before"] * bool(made)
        return f"On the bench: {'; '.join(words)}." if words and coming else ""

    def stands(self, key: str, step: Step) -> bool:
        """Whether an assembly lies there as a step begins."""
        leaves = [each.key for each in self.assemblies[key].members]
        return all(
            self.stands(each, step) if each in self.assemblies else each in step.there
            for each in leaves
            if each in self.assemblies or each in self.parts
        )

    def counted(self, keys: Sequence[str]) -> str:
        """Assemblies in a row: "the side frame", "2 side frames"."""
        names: dict[str, list[str]] = {}
        for name in (self.assemblies[key].name for key in keys):
            names.setdefault(sideless(name), []).append(name)
        return listed(
            [f"the {some[0]}" if len(some) == 1 else counted(len(some), name) for name, some in names.items()]
        )

    def comes(self, step: Step) -> Iterator[str]:
        """What comes now: new parts with their numbers, made up assemblies, fittings."""
        parts = [key for each in step.all for key in each.new if key in self.parts and key in _coming(each)]
        if parts:
            yield f"Comes now: {self.numbered(parts)}."
        made = [c.assembly for each in step.all for c in each.comes if c.assembly and not set(c.keys) <= set(each.new)]
        if made:
            yield f"{'Also' if parts else 'Comes now'}, made up before: {self.counted(made)}."
        fittings = Counter(
            (self.fittings[key].name, self.fittings[key].entry)
            for each in step.all
            for key in each.new
            if key in self.fittings and not self.fittings[key].bought_with
        )
        if fittings:
            yield f"Fittings: {'; '.join(f'{name}: {as_sold(entry, count)}' for (name, entry), count in fittings.items())}."
        yield from self.settings(step)

    def settings(self, step: Step) -> Iterator[str]:
        """Where the fittings of a step sit: alike ones once, those at several heights in one sentence."""
        found: dict[str, dict[str, dict[str, None]]] = {}
        lot = [(key, each) for each in step.all for key in each.new if key in self.fittings]
        for key, each in sorted(lot, key=lambda one: self.fittings[one[0]].place.origin[2]):
            fitting, whose = self.fittings[key], self.label(each.assembly)
            if "hinge" in self.known.kind(fitting) and step.assembly:
                edge = min(_low_of(self.parts[part]) for part in each.there if part in self.parts)
                words = (
                    self.on_the_lid(fitting) if step.assembly in self.lids else self.known.on_the_door(fitting, edge)
                )
            else:
                words = self.known.setting(fitting)
                owner = self.known.owner(fitting)
                whose = self.label(owner) if owner else self.known.compartment(fitting)
            if words:
                found.setdefault(self.known.kind(fitting), {}).setdefault(words, {})[whose] = None
        for kind, words_of in found.items():
            yield f"{sentence(plural(kind))}: {'; and '.join(told_for(words_of))}."

    def on_the_lid(self, hinge: Fitting) -> str:
        """How far from the middle a hinge sits on a lid; nothing of one along its whole edge, or of a member of one."""
        along = hinge.bought_with or self.known.kind(hinge) == ALONG
        return "" if along else self.known.aside(hinge)

    def label(self, key: str) -> str:
        """What tells an assembly from others of its name, or its whole name."""
        name = self.named.get(key, "")
        return name.partition(", ")[2] or name

    def of_each(self, step: Step, said: Callable[[Step], Iterable[str]]) -> list[str]:
        """What is said of a step and of those done alike: once where all have it, else with the name of what it is of."""
        found: dict[str, dict[str, None]] = {}
        for each in step.all:
            for words in said(each):
                found.setdefault(words, {})[self.label(each.assembly)] = None
        return told_for(found, len({self.label(each.assembly) for each in step.all}))

    def let_in(self, step: Step) -> str:
        """The recesses for hinges in what a door or a lid is hung on, cut when they are marked from it."""
        found: dict[str, list[str]] = {}
        for coming in (coming for each in step.all for coming in each.comes):
            onto = set(coming.onto).difference(coming.moving)
            for key in coming.carried:
                if "hinge" not in self.known.kind(self.fittings[key]) or self.fittings[key].bought_with:
                    continue
                for wall in onto.intersection(self.fittings[key].parts):
                    recess = self.known.recess(wall, "at fitting")
                    if recess:
                        found.setdefault(recess, []).append(wall)
        words = [
            f"{recess}{f', {len(walls)} places' if len(walls) > 1 else ''}, in {self.numbered(sorted(set(walls)))}"
            for recess, walls in found.items()
        ]
        return f"Let in, marked from the hinges: {'; '.join(words)}." if words else ""

    def seats(self, step: Step) -> str:
        """What catches, bolts and runners are let into or stand in, in what is hung or put on runners now and what it closes against."""
        if step.stage != "fitting dry":
            return ""
        found: dict[str, list[str]] = {}
        for coming in (coming for each in step.all for coming in each.comes):
            bolted = any(self.known.kind(self.fittings[key]) == BOLT for key in coming.moving if key in self.fittings)
            moving = [(key, seat_words([self.parts[key]])) for key in coming.moving if key in self.parts]
            onto = [(key, seat_words([self.parts[key]], BOLT)) for key in coming.onto if bolted and key in self.parts]
            for key, words in (*moving, *onto):
                if words:
                    found.setdefault(words, []).append(key)
        told = [
            f"{words}, in {'each of ' * (len(keys) > 1)}{self.numbered(sorted(keys))}" for words, keys in found.items()
        ]
        return f"Marked from the fittings: {'; '.join(told)}." if told else ""

    def numbered(self, keys: Sequence[str]) -> str:
        """Parts by number: "12 side stile (2), 14 side top rail"."""
        found: dict[int, list[str]] = {}
        for key in keys:
            found.setdefault(self.marks[key], []).append(key)
        names = {
            number: reduce(common_name, (sideless(self.parts[key].name) for key in some))
            for number, some in found.items()
        }
        places = told_by_place({number: (names[number], some) for number, some in found.items()})
        said = {number: name.partition(", ") for number, name in names.items()}
        return ", ".join(
            f"{number} {said[number][0]}{_in_brackets(len(some), ', '.join(filter(None, (said[number][2], places[number]))))}"
            for number, some in sorted(found.items())
        )

    # -------------------------------------------------------------------------------------------------------------- means
    def holds(self, step: Step) -> str:
        """The fasteners, counted; of equal assemblies for each where they have the same."""
        lots = [self.fastened(key for key in each.fasteners if not self.is_later(key)) for each in step.all]
        if not lots[0]:
            return ""
        if all(lot == lots[0] for lot in lots):
            each = " for each" if len(lots) > 1 else ""
            return f"{sentence(listed(lots[0]))}{each}{self.driven(step)}."
        return f"{sentence(listed(self.fastened(key for each in step.all for key in each.fasteners)))} in all."

    def slid(self, step: Step) -> str:
        """From which end of the carcass a back comes into its grooves."""
        backs = {key for key in _coming(step) if key in self.parts and self.parts[key].role == "back"}
        ways = {
            joint.apart[2] > 0
            for joint in self.built.model.joints
            if joint.kind == "groove" and joint.second in backs and abs(joint.apart[2]) > 0.5
        }
        return (
            f"Slid into its grooves from the {'upper' if ways.pop() else 'lower'} end of the carcass." if ways else ""
        )

    def slotted(self, step: Step) -> str:
        """How far screws in slots are driven."""
        return SLOTTED if self.in_slots.intersection(step.fasteners) else ""

    def driven(self, step: Step) -> str:
        """Which way the screws of a loose top go, and how the pins of a back are spread."""
        used = [self.fasteners[key] for key in step.fasteners if not self.is_later(key)]
        if step.how == "laid in" and used and all(each.kind == "screw" and each.along[2] > UPWARD for each in used):
            return ", from inside, upward"
        pins = [each.at for each in used if each.kind == "pin" and abs(each.along[1]) > UPWARD]
        columns: dict[float, list[float]] = {}
        for x, _, z in pins:
            columns.setdefault(round(x, 1), []).append(z)
        if len(columns) != 2 or min(map(len, columns.values())) < 3:
            return ""
        heights = sorted(next(iter(columns.values())))
        return f"; pins along both sides, about {figures(round((heights[-1] - heights[0]) / (len(heights) - 1)))} apart"

    def is_later(self, key: str) -> bool:
        """Whether a screw is driven when the glue has set."""
        return self.fasteners[key].when.stage == "after glue-up"

    def fastened(self, keys: Iterable[str]) -> list[str]:
        """Fasteners in words."""
        return list(fastener_words(self.fasteners[key] for key in keys))

    def glue(self, step: Step) -> str:
        """Which glue, how much, and how long it stays open."""
        if not step.glue_area or step.how in ("fitted", "hung", "laid in"):
            return ""
        grams = max(5, round(sum(each.glue_area for each in step.all) * GLUE / 1e6 / 5) * 5)
        limit = f"; all in place within {step.open_minutes} min" if step.open_minutes else ""
        kinds = {self.fasteners[key].kind for key in step.fasteners}
        where = "on one face"
        if step.how == "jointed":
            where = (
                f"in the {'slots' if 'biscuit' in kinds else 'holes' if 'dowel' in kinds else 'joints'} and on the ends"
            )
        return f"White glue, about {grams} g, {where}{limit}."

    def pushes(self, step: Step) -> Iterator[str]:
        """How many pegs engage at each push."""
        pegs = [push.pegs for push in step.pushes if push.pegs]
        if not pegs:
            return
        kinds = {self.fasteners[key].kind for key in step.fasteners} & {"dowel", "biscuit"}
        kind = plural(kinds.pop()) if len(kinds) == 1 else "pegs"
        if len(pegs) == 1:
            yield f"1 push, {pegs[0]} {kind}"
        elif len(set(pegs)) == 1:
            yield f"{sentence(counted(len(pegs), 'push', 'pushes'))}, {pegs[0]} {kind} at each"
        else:
            yield f"Push by push: {listed([str(count) for count in pegs])} {kind}"

    def cramped(self, step: Step) -> str:
        """Cramps, cauls and times."""
        if step.how == "pinned":
            roles = {self.parts[key].role for key in _coming(step) if key in self.parts}
            order = " Stiles first, then rails pushed in." if {"stile", "rail"} <= roles else ""
            return f"Pins, then cauls or weights every 300 for {STRIP_MINUTES} min.{order}"
        if step.cramps is None:
            roles = {self.parts[key].role for key in _coming(step) if key in self.parts}
            if step.how != "glued" or not roles:
                return ""
            return (
                "Rubbed in, without cramps." if roles <= set(RUBBED) else "Held by tape while the glue sets; no cramps."
            )
        alike = [each.cramps for each in step.all if each.cramps]
        cramps = replace(step.cramps, count=max(each.count for each in alike), reach=max(each.reach for each in alike))
        if cramps.pitch:
            each = " for each" if step.others else ""
            over = f" reaching {figures(cramps.reach)}, over cauls" if cramps.axis >= 0 else ""
            return f"{sentence(counted(cramps.count, 'cramp'))}{each}{over}, {figures(cramps.pitch)} apart, {cramps.minutes} min at 20\u00a0°C."
        return f"{self.cramps(cramps)}; {cramps.minutes} min at 20\u00a0°C, no load for {BEFORE_LOAD_HOURS} h."

    def cramps(self, cramps: Cramps) -> str:
        """Number, length and place."""
        way = ("across the width", "from front to rear", "up and down")[cramps.axis]
        place = ", over each joint, front and rear" if cramps.count > 2 else ""
        return f"{sentence(counted(cramps.count, 'cramp'))} reaching {figures(cramps.reach)}, {way}{place}"

    def diagonals(self, step: Step) -> str:
        """The diagonals that must be equal."""
        if not step.diagonals:
            return ""
        found: dict[float, dict[tuple[str, str], dict[str, None]]] = {}
        for one in step.all:
            for each in one.diagonals:
                of = figures(each.length), sideless(each.of) if step.others else each.of
                found.setdefault(each.tolerance, {}).setdefault(of, {})[self.label(one.assembly)] = None
        words = []
        for tolerance, told in found.items():
            some = [
                f"{length} ({', '.join([of, *(whose if len(whose) <= len(step.others) else ())])})"
                for (length, of), whose in told.items()
            ]
            words.append(f"{listed(some)} within {figures(tolerance)}")
        mend = (
            "set the cramps askew, toward the longer one"
            if step.cramps
            else "press the longer one shorter before it is fixed"
        )
        return f"Diagonals, each pair equal: {'; '.join(words)}. If not, {mend}."

    # -------------------------------------------------------------------------------------------------------------- marks
    def meeting(self, step: Step) -> Iterator[str]:
        """How the face and edge marks of what comes lie, and what stands back behind the front edges."""
        if step.how not in ("jointed", "pinned", "glued", "screwed"):
            return
        lying: dict[str, dict[str, set[int]]] = {}
        framed = step.assembly.startswith("carcass") and step.how == "jointed"
        met = {key for each in step.all for key in (*each.new, *(self.joined(each) if framed else ()))}
        for key, part in self.parts.items():
            if key in met and part.face_side and part.role != "lamination":
                lying.setdefault(part.face_side, {}).setdefault(part.face_edge, set()).add(self.marks[key])
        if lying:
            words = [
                f"face side {side}, face edge: {listed([f'{edge} ({runs(sorted(numbers))})' for edge, numbers in edges.items()])}"
                for side, edges in lying.items()
            ]
            yield f"Marks: {'; '.join(words)}."
        back = list(self.set_back(step))
        if back:
            yield f"Behind the front edges: {listed(back)}."

    def anchoring(self, step: Step) -> Iterator[str]:
        """How far back the rails for the wall anchors sit: against the back, which is not there yet."""
        found: dict[str, list[int]] = {}
        for part in (self.parts[key] for each in step.all for key in each.new if key in self.parts):
            if part.role == ANCHOR_RAIL:
                found.setdefault(self.front_face(part), []).append(self.marks[part.key])
        for words, marks in found.items():
            yield f"{sentence(plural(ANCHOR_RAIL) if len(marks) > 1 else ANCHOR_RAIL)} {runs(sorted(set(marks)))}: against the board above, {words}."

    def joined(self, step: Step) -> set[str]:
        """The parts between which this step makes a joint."""
        found: set[str] = set()
        for each in step.comes:
            ours, theirs = set(each.keys), set(each.onto)
            for joint in self.built.model.joints:
                ends = {joint.first, joint.second}
                if joint.kind != "fitting" and ends & ours and ends & theirs:
                    found |= ends
        return found

    def set_back(self, step: Step) -> Iterator[str]:
        """Boards that stand behind the front edge of the carcass, by how much."""
        if not step.assembly.startswith("carcass"):
            return
        front = -self.built.model.carcass[1]
        found: dict[float, dict[int, str]] = {}
        for key in dict.fromkeys((*step.there, *_coming(step))):
            part = self.parts.get(key) if step.how == "jointed" or key in step.new else None
            if part and part.role in ("upright", "fixed shelf", "stiffener", "horizontal"):
                behind = round(min(map(_front_of, (part, *self.lippings(key)))) - front, 1)
                if behind > FLUSH:
                    found.setdefault(behind, {})[self.marks[key]] = part.name
        for behind, some in sorted(found.items()):
            yield f"{listed([f'{number} {name}' for number, name in sorted(some.items())])} {figures(behind)}"

    def packed(self, step: Step) -> str:
        """How far behind the carcass front packs begin that are screwed to its walls, and which lie on which."""
        if step.assembly:  # layers are put one on another
            return ""
        packs = [self.parts[key] for each in step.comes for key in each.keys if key in self.parts]
        front = -self.built.model.carcass[1]
        behind = dict.fromkeys(figures(round(_front_of(part) - front, 1)) for part in packs if part.role == PACK)
        if not behind:
            return ""
        layers: dict[str, set[int]] = {}
        for part in packs:
            if part.role == PACK:
                layers.setdefault(part.key.rsplit(".", 1)[-1], set()).add(self.marks[part.key])
        first, *others = (runs(sorted(marks)) for _, marks in sorted(layers.items()))
        over = "".join(f", over the heads of its screws {marks}" for marks in others)
        laid = f"Layer by layer: on the wall {first}{over}. " if others else ""
        return f"{laid}Front edges of the packs {' / '.join(behind)} behind the carcass front."

    def placed(self, step: Step) -> Iterator[str]:
        """Where drawer stops and the cheeks of a centre guide are glued, which no dowel or fence places."""
        glued = {key for coming in step.comes for key in coming.keys if step.how == "glued" and key in self.parts}
        pairs = [(each.first, each.second) for each in self.built.model.joints if each.second in glued]
        pairs = [pair for pair in pairs if pair[0] in self.parts]
        boxes = boxes_of(self.built.model)
        for runner, stop in pairs:
            if self.parts[stop].role == STOP:
                yield f"rear face of the stop {figures(round(boxes[runner][1][1] - boxes[stop][1][1], 1))} before the rear end of the runner"
        cheeks = sorted((boxes[key] for _, key in pairs if self.parts[key].role == CHEEK), key=lambda box: box[0][0])
        if len(cheeks) > 1:
            apart = figures(round(cheeks[1][0][0] - cheeks[0][1][0], 1))
            fronts = [boxes[key][1][1] for key in step.there if key.endswith("/box/front")]
            behind = (
                f", front ends {figures(round(cheeks[0][0][1] - max(fronts), 1))} behind the box front"
                if fronts
                else ""
            )
            yield f"cheeks {apart} apart, the middle of the box between them{behind}"

    def screwed_on(self, step: Step) -> Iterator[str]:
        """How high rails of hooks, bearers and mirrors sit, and how far back fillets and stop strips: else only holes would tell."""
        if step.how != "laid in":
            return
        found: dict[str, list[str]] = {}
        for key in dict.fromkeys(key for each in step.all for key in each.new if key in self.parts):
            part = self.parts[key]
            words = (
                self.upper_edge(part) if part.role in LEVELLED else self.front_face(part) if part.role in STRIPS else ""
            )
            if part.role == MIRROR:
                words = self.on_its_door(part, step)
            if words:
                found.setdefault(words, []).append(key)
        places: dict[str, list[str]] = {}
        for words, keys in found.items():
            name = reduce(common_name, (sideless(self.parts[key].name) for key in keys)).partition(", ")[0]
            numbers = runs(sorted({self.marks[key] for key in keys}))
            said = f"{sentence(plural(name) if len(keys) > 1 else name)} {numbers}"
            places.setdefault(said, []).append(words)
        for said, some in places.items():
            yield f"{said}: {'; or '.join(some)}."

    def beneath(self, step: Step) -> str:
        """How far behind the front, in from the sides and before the back lies what is fixed under the carcass."""
        keys = [key for key in _coming(step) if key in self.parts]
        bottom = self.parts.get("carcass/bottom")
        if step.assembly != CARCASS or not bottom or all(self.parts[key].role == "stiffener" for key in keys):
            return ""
        boxes = boxes_of(self.built.model)
        if any(boxes[key][1][2] > _low_of(bottom) + FLUSH for key in keys) or not keys:
            return ""
        return f"Under the carcass: {self.from_its_edges(keys)}."

    def above(self, step: Step) -> str:
        """How far what is set on the carcass stands out beyond it, which screws alone would tell."""
        keys = [key for key in _coming(step) if key in self.parts]
        return f"On the carcass: {self.from_its_edges(keys)}." if keys and step.title.endswith(SET_ON) else ""

    def beaded(self, step: Step) -> Iterator[str]:
        """How far a cover bead stands out beyond the edge of the door that it is glued to."""
        boxes = boxes_of(self.built.model)
        for each in step.all:
            coming = [key for key in _coming(each) if key in self.parts]
            door = [boxes[key] for key in coming if self.parts[key].role != COVER_BEAD]
            for key in coming:
                if self.parts[key].role == COVER_BEAD and door:
                    low, high = min(box[0][0] for box in door), max(box[1][0] for box in door)
                    over = max(low - boxes[key][0][0], boxes[key][1][0] - high)
                    yield f"Cover bead {self.marks[key]}: glued on when both doors are trimmed, {figures(round(float(over), 1))} beyond the edge of its door."

    def from_its_edges(self, keys: Sequence[str]) -> str:
        """How far parts together lie in from the carcass's front, sides and back, or beyond them."""
        boxes = boxes_of(self.built.model)
        low, high = np.min([boxes[key][0] for key in keys], axis=0), np.max([boxes[key][1] for key in keys], axis=0)
        wide, deep, _ = self.built.model.carcass
        told: dict[str, list[str]] = {}
        for place, away in (("front", low[1] + deep), ("sides", low[0] + wide / 2), ("back", -high[1])):
            far = figures(abs(round(float(away), 1)))
            words = "flush" if abs(away) < FLUSH else f"{far} in from" if away > 0 else f"{far} beyond"
            told.setdefault(words, []).append(place)
        return ", ".join(
            f"{'flush with' if how == 'flush' else how} {listed([f'its {each}' for each in places])}"
            for how, places in told.items()
        )

    def on_its_door(self, part: Part, step: Step) -> str:
        """How high and how far in a mirror sits on its door, from the edges of the door that a rule is laid on."""
        boxes = boxes_of(self.built.model)
        there = [boxes[key] for key in step.there if key in self.parts]
        low, high = np.min([box[0] for box in there], axis=0), np.max([box[1] for box in there], axis=0)
        (left, _, bottom), (right, _, _) = boxes[part.key]
        aside = sorted({figures(round(float(each), 1)) for each in (left - low[0], high[0] - right)}, key=float)
        return f"lower edge {figures(round(float(bottom - low[2]), 1))} above the door's, {' and '.join(aside)} in from its sides"

    def upper_edge(self, part: Part) -> str:
        """How high above the floor the upper edge of what is screwed to a wall sits, at both ends of one that slopes, and where it begins."""
        (front, high), (_, rear_high) = _ends_of_upper_edge(part)
        if abs(high - rear_high) < FLUSH:
            words = f"upper edge {figures(round(high, 1))} above the floor"
        else:
            words = (
                f"upper edge {figures(round(high, 1))} above the floor in front, {figures(round(rear_high, 1))} behind"
            )
        behind = round(front + self.built.model.carcass[1], 1)
        return f"{words}, front end {figures(behind)} behind the carcass front" if abs(part.place.x[1]) > 0.5 else words

    def front_face(self, part: Part) -> str:
        """How far behind the carcass front a strip along a board lies, and how high an upright one begins."""
        behind = round(_front_of(part) + self.built.model.carcass[1], 1)
        words = f"front face {figures(abs(behind))} {'before' if behind < 0 else 'behind'} the carcass front"
        upright = abs(part.place.x[2]) > UPWARD
        return f"{words}, lower end {figures(round(_low_of(part), 1))} above the floor" if upright else words

    def lippings(self, key: str) -> list[Part]:
        """The lippings of a board: its front is theirs."""
        lipped = self.assemblies.get(f"{key}/lipped")
        members = [each.key for each in lipped.members] if lipped else []
        return [self.parts[each] for each in members if each in self.parts and self.parts[each].role == LIPPING]

    # ------------------------------------------------------------------------------------------------------------ the end
    def bare(self, step: Step) -> str:
        """What stays without paint."""
        return f"Leave bare, or mask: {'; '.join(step.bare)}." if step.bare else ""

    def checks(self, step: Step) -> str:
        """What to look at."""
        words = self.of_each(step, lambda each: each.checks)
        when = "Before the glue sets" if step.open_minutes else "Check"
        return f"{when}: {'; '.join(words)}." if words else ""

    def afterwards(self, step: Step) -> Iterator[str]:
        """What is made when the assembly is together, and the notes of the assembly."""
        later = self.fastened(key for each in step.all for key in each.fasteners if self.is_later(key))
        if later:
            yield f"When the glue has set, bore and drive {listed(later)}."
        if not step.closes:
            return
        if self.is_glue_up(step) and step.assembly != CARCASS:
            yield from self.made_when_dry(step)
        elif step.assembly in self.travelling:
            yield from self.bored_when_on(step)

    def noted(self, step: Step) -> Iterator[str]:
        """The notes of an assembly as it is begun, and of one that is put together only as it comes."""
        comes = [c.assembly for each in step.all for c in each.comes if c.assembly and c.assembly not in self.begun]
        comes = comes if self.is_glue_up(step) else []
        begun = [self.assemblies[key] for key in [step.assembly] * step.begins + comes if key != CARCASS]
        for notes in dict.fromkeys(assembly.notes for assembly in begun if assembly.notes):
            yield f"{sentence('; '.join(notes))}."

    def made_alone(self, step: Step) -> str:
        """What is made in a door of one board before its hinges go on: there is no glue-up after which it could be told."""
        doors = [
            each
            for each in step.all
            if each.assembly in self.swinging
            and not (made_up_as(each.assembly, self.begun.__contains__) or each.closes)
        ]
        parts = [self.parts[key] for each in doors for key in each.new if key in self.parts]
        whens = [When("after glue-up", each.assembly) for each in doors if each.assembly]
        words = after_words(parts, whens)
        return f"Made in {'it' if len(parts) == 1 else 'them'} then: {words}{in_all(step)}." if words else ""

    @cached_property
    def begun(self) -> set[str]:
        """The assemblies that have steps of their own."""
        made = steps(self.built.piece, self.built.model)
        return {each.assembly for step in made for each in step.all if each.begins}

    def is_glue_up(self, step: Step) -> bool:
        """Whether an assembly is put together for good."""
        return step.stage in ("making up", "gluing up")

    def made_when_dry(self, step: Step) -> Iterator[str]:
        """What is made in an assembly that is together: what is bored for plugs, the plugs, and only then recesses over them."""
        parts = [self.parts[key] for each in step.all for key in (*each.there, *_coming(each)) if key in self.parts]
        if any(True for part in parts for _ in horn_words(part)):
            yield HORNS_OFF
        ours = {each.assembly for each in step.all}
        whens = [
            When("after glue-up", key) for key in self.assemblies if made_up_as(key, self.begun.__contains__) in ours
        ]
        before, after = plug_words(parts, whens), after_words(parts, whens)
        plugs = list(self.plugs_when_dry(step))
        if before and plugs:
            yield f"When the glue has set: {before}{in_all(step)}."
            yield from plugs
            if after:
                yield f"Then: {after}{in_all(step)}."
            return
        if before or after:
            yield f"When the glue has set: {'; '.join(filter(None, (before, after)))}{in_all(step)}."
        yield from plugs

    def bored_when_on(self, step: Step) -> Iterator[str]:
        """What is bored through the front and the box of a drawer when they are together."""
        parts = [self.parts[key] for each in step.all for key in _coming(each) if key in self.parts]
        words = after_words(parts, [When("after glue-up", each.assembly) for each in step.all])
        if words:
            is_planted = any(f"{each.assembly}/box/front" in self.parts for each in step.all)
            yield f"{'When the front is on' if is_planted else 'When the box is together'}: {words}{in_all(step)}."

    def plugs_when_dry(self, step: Step) -> Iterator[str]:
        """Hardwood plugs for which an assembly is bored when it is together: glued in and pared flush."""
        words = self.plugged(step, lambda plug: plug.when.stage == "after glue-up" and self.waits(step, plug))
        if words:
            yield f"{sentence(words)}: glue in, pare flush when dry."

    def plugs_first(self, step: Step) -> str:
        """Hardwood plugs that must be in before anything is put together, coated or screwed on."""
        words = self.plugged(step, lambda plug: not self.covers(step, plug) and not self.waits(step, plug))
        return f"First, glued in and pared flush when dry: {words}." if words else ""

    def plugs_over(self, step: Step) -> str:
        """Plugs over the heads of screws that are driven now."""
        words = self.plugged(step, lambda plug: self.covers(step, plug))
        return f"Over the heads, glued in and pared flush when dry: {words}." if words else ""

    def plugged(self, step: Step, wanted: Callable[[Fastener], bool]) -> str:
        """Some of the plugs of a step and of those done alike, counted."""
        lot = [self.fasteners[key] for each in step.all for key in each.plugs]
        words = listed(list(fastener_words(plug for plug in lot if wanted(plug))))
        return words + in_all(step) if words else ""

    def covers(self, step: Step, plug: Fastener) -> bool:
        """Whether a plug goes in over the head of a screw of the step."""
        screws = (self.fasteners[key] for each in step.all for key in each.fasteners)
        screw = screw_of(plug, screws)
        return screw is not None and lies_over(plug, screw)

    def waits(self, step: Step, plug: Fastener) -> bool:
        """Whether a plug is bored for when the assembly that the step closes is together."""
        return step.closes and self.is_glue_up(step) and plug.when.stage == "after glue-up"

    def lifting(self, step: Step) -> str:
        """What it weighs, and who lifts it."""
        if not step.mass:
            return ""
        heaviest = max(step.all, key=lambda each: each.mass)
        who = "two people" if heaviest.persons > 1 else "one person"
        most = "at most " if any(figures(each.mass) != figures(heaviest.mass) for each in step.all) else ""
        return f"{most[:1].upper()}{most[1:]}{figures(heaviest.mass)} kg: {who}."


# ------------------------------------------------------------------------------------------------------------- helpers
def in_all(step: Step) -> str:
    """Said after what is counted over all that is done alike, where other counts are for each."""
    return ", in all" if step.others else ""


def _coming(step: Step) -> tuple[str, ...]:
    return tuple(key for each in step.comes for key in each.keys)


def told_for(found: Mapping[str, Mapping[str, None]], everyone: int = 0) -> list[str]:
    """Sentences with whom each is of: nothing where it is of all, or there is but one; those that differ in their only number as one.

    >>> told_for({"level": {"low": None, "high": None}, "gap 194": {"low": None}, "gap 152": {"high": None}}, 2)
    ['level', 'gap 194 (low) / 152 (high)']
    >>> told_for({"gaps 5, 6": {"low": None}, "gaps 7, 8": {"high": None}}, 2)
    ['gaps 5, 6 (low)', 'gaps 7, 8 (high)']
    """
    everyone = everyone or len({each for whose in found.values() for each in whose})
    labels = {words: "" if len(whose) == everyone else ", ".join(filter(None, whose)) for words, whose in found.items()}
    single = {
        words: label
        for words, label in labels.items()
        if not label or len(re.findall(r"\d[\d.]*", words)) == 1 or ";" in words
    }
    return [*drawn_together(single), *(f"{words} ({label})" for words, label in labels.items() if words not in single)]


def drawn_together(lot: Mapping[str, str]) -> list[str]:
    """Sentences that differ in their first number alone, as one; to each belongs what its number is of, or nothing.

    >>> drawn_together({"pin 758 up; level": "", "pin 1110 up; level": "", "glued": ""})
    ['pin 758 / 1110 up; level', 'glued']
    >>> drawn_together({"block 89 high": "low", "block 75 high": "middle"})
    ['block 89 (low) / 75 (middle) high']
    """
    found: dict[tuple[str, str], list[str]] = {}
    for words, label in lot.items():
        match = re.search(r"\d[\d.]*", words)
        key = (words[: match.start()], words[match.end() :]) if match else (words, "")
        number = match.group() if match else ""
        found.setdefault(key, []).append(f"{number} ({label})" if label else number)
    return [f"{before}{' / '.join(numbers)}{after}" for (before, after), numbers in found.items()]


def _in_brackets(count: int, place: str) -> str:
    """How many, and where each goes of those whose name another mark shares: " (2)", " (2: left rear, right front)"."""
    words = ": ".join(filter(None, (str(count) if count > 1 else "", place)))
    return f" ({words})" if words else ""


def _low_of(part: Part) -> float:
    """The z of the underside of a part's box."""
    return float(part.place.points([(0.0, 0.0, 0.0), part.size])[:, 2].min())


def _front_of(part: Part) -> float:
    """The y of the front of a part's box."""
    return float(part.place.points([(0.0, 0.0, 0.0), part.size])[:, 1].min())


def _ends_of_upper_edge(part: Part) -> tuple[tuple[float, float], tuple[float, float]]:
    """(y, z) of the highest corner in front, and of the highest behind."""
    corners = part.place.points(list(itertools.product(*((0.0, size) for size in part.size))))
    middle = corners[:, 1].mean()
    front, rear = (
        max(((float(y), float(z)) for _, y, z in corners if (y > middle) == behind), key=lambda one: one[1])
        for behind in (False, True)
    )
    return front, rear
