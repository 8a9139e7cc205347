"""Final assembly and site: what goes where after painting, settings, anchors by kind of wall, and the order on site."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterator, Sequence
from functools import cached_property, reduce

from ..built import BuiltJob, BuiltPiece
from ..checks.cautions import cautions_for
from ..checks.pipes import threaded, under_ceiling
from ..checks.room import lid_behind
from ..cutting.list import common_name
from ..drawing.dimensions import figures
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, fewest, single_group
from ..model import Fitting, Model, Part
from ..placing import told_by_place
from ..steps import before_drawers
from ..steps.order import CARCASS, FEET, LIPPING, WHOLE
from ..weights import weights_of
from ..wording import counted, listed
from ._assembly_lists import runs
from ._fitting_settings import RAIL, Settings, as_sold
from ._sheets import blank, sentence, titled, told_apart
from ._views import boxes_of

BUTTON = "top button"  # a kind of fitting
LIPPED = "/lipped"  # how the key of a board with its lipping ends
WALLS = (  # common practice, no source; whoever is qualified and the local code go before it
    ("Brick, block, concrete", "Hammer drill 8, nylon plug 8 × 50, screw 5 × 60 with a washer; not in a joint of the bricks."),
    ("Studs behind plasterboard", "Find two studs; screw 5 × 70, at least 40 in the stud, pilot 3.5. Move the bracket, or fix a rail to two studs first."),
    ("Plasterboard alone", "Not enough for furniture that can tip: find studs, or fix a board over two of them and the bracket to that."),
    ("Old, soft or unknown wall", "Try it: a fixing that turns or pulls out holds nothing. Ask a qualified person."),
)  # fmt: skip


class FinalAssembly:
    """What stands on the wall of the workshop when the paint is hard, and goes along in the van."""

    word = "final_assembly"
    title = "Final assembly and site"
    order = 80
    place = "site"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """One for each piece."""
        return tuple(sheet for index in range(len(job.pieces)) for sheet in _sheets(job, index, self.title))


GOES_BACK = (
    Column("Order", 14, "right"),
    Column("What"),
    Column("Numbers", 26),
    Column("Where it goes", 58),
    Column("Mass", 20, "right"),
)
NUMBERS = (
    Column("Where the number is found after painting", 62),
    Column("Marks and names"),
)
SETTINGS = (Column("Fitting"), Column("Quantity", 18, "right"), Column("Setting", 108))
SITE = (Column("Kind of wall", 42), Column("Fixing"))

ENTRY = FinalAssembly()


def _sheets(job: BuiltJob, index: int, title: str) -> Sequence[Sheet]:
    built = job.pieces[index]
    if not built.model.assemblies:
        return ()
    page = _Page(built, job.marks_of(index))
    return fewest(list(page.blocks()), blank(job, titled(job, built, title), built=built, paper="A4"))


class _Page:
    """The blocks of one piece."""

    def __init__(self, built: BuiltPiece, marks: dict[str, int]) -> None:
        self.built, self.marks = built, marks
        self.model: Model = built.model
        self.assemblies = {each.key: each for each in self.model.assemblies}
        self.names = told_apart({each.key: each.name for each in self.model.assemblies})
        self.parts: dict[str, Part] = {part.key: part for part in self.model.parts}
        self.fittings: dict[str, Fitting] = {each.key: each for each in self.model.fittings}
        self.boxes = boxes_of(self.model)
        self.known = Settings(self.model)

    def blocks(self) -> Iterator[Block]:
        """Order on site, what goes back, settings, walls, and the marks."""
        cautions = cautions_for(self.built.piece, self.model, "fitting")
        yield from (
            Paragraph(each.text, style="bold")
            for each in cautions
            if each.about in ("tipping", "lifting", "glass", "pipes")
        )
        yield Heading("On site, in this order")
        for number, words in enumerate(self.site(), start=1):
            yield Paragraph(f"{number}. {words}", after=1.3)
        yield Gap(3)
        yield Heading("What goes back, and where")
        yield Paragraph(
            "Left and right as seen from the front. Each body is carried in by itself; its parts are glued together for good."
        )
        yield Table(GOES_BACK, single_group(self.goes_back()))
        yield Gap(5)
        settings = list(self.settings())
        if settings:
            yield Heading("Settings of the fittings")
            yield Table(SETTINGS, single_group(settings))
            yield Gap(5)
        yield Heading("Fixing to the wall")
        yield Paragraph(
            "By kind of wall; the piece is fixed before it is loaded. The local code and whoever is qualified go before this sheet."
        )
        yield Table(SITE, single_group(WALLS))
        yield Gap(5)
        yield Heading("Numbers that survive the painting")
        yield Table(NUMBERS, single_group(self.surviving()))

    # --------------------------------------------------------------------------------------------------------------- site
    def site(self) -> Iterator[str]:
        """Level, anchor, doors, drawers, shelves, top, adjust, sign."""
        feet = Counter(self.kind(each) for each in self.model.fittings if self.kind(each) in FEET)
        stand = (
            "Screw the feet in or out"
            if "levelling foot" in feet
            else "Pack under the glides"
            if feet
            else "Pack under it"
        )
        yield from self.pipes_before()
        level = f"{stand} until top and sides are level and plumb and it does not rock."
        if "castor" in feet:
            level = "Nothing is packed under castors: where it rocks, look for a level place; then the brakes on."
        yield f"{self.stood()} {level}"
        anchors = [each for each in self.model.fittings if self.kind(each) == "anchor bracket"]
        if anchors:
            yield f"Fix it to the wall with its {counted(len(anchors), 'bracket')} before anything is hung on it: see below."
        elif "castor" in feet:
            yield "It is not fixed and rolls: one full drawer out at a time, or it tips; where children can reach it, fix it to the wall with angles of your own."
        else:
            yield "It has no brackets: fix it to the wall with angles of your own before it is used where children can reach it."
        if any(part.role == "scribing strip" for part in self.model.parts):
            yield "Scribing strips: scribed to the walls, sawn and planed to the line, screwed on from inside through the sides."
        yield from self.pipes_after(with_top=False)
        first = before_drawers(self.model)
        yield from self.set_on(first)
        fixed = sum(each.kind == "fixed" for each in self.built.piece.fronts)
        if fixed:
            yield f"{counted(fixed, 'fixed panel').capitalize()}: packed to the gaps all round, screwed through the fillets from inside."
        swinging = [each for each in self.model.motions if each.kind == "swing"]
        doors = [each for each in swinging if each.axis[2]]
        if doors:
            padded = any(self.kind(each) == "pad" for each in self.model.fittings)
            yield f"Hang the doors, all screws in; gaps even{', pads on' if padded else ''}."
        if any(each.kind == "travel" for each in self.model.motions):
            yield "Drawers in; fronts in line, one drawer open at a time."
        if any(part.role == "loose shelf" for part in self.model.parts):
            yield (
                "Loose shelves: pins in, each shelf tilted past the hinges and set down on its pins."
                if doors
                else "Loose shelves: pins in, then the shelves."
            )
        rails = sum(self.kind(each) == RAIL for each in self.model.fittings)
        if rails:
            whose = "Hanging rails into their" if rails > 1 else "Hanging rail into its"
            yield f"{whose} sockets: the closed one first, then down into the open one."
        if len(doors) < len(swinging):
            yield "Lid: hinges, then the stays; it must stay up by itself before it is let go."
        yield from self.set_on({each.key for each in self.assemblies[WHOLE].members} - first)
        yield from self.pipes_after(with_top=True)
        yield "Adjust, photograph, hand over: see the handing-over sheet."

    def stood(self) -> str:
        """How the carcass comes to its place, past what is at the wall."""
        site = self.built.piece.site
        place = "between the walls" if site.alcove.fitted else "in its place"
        lid = lid_behind(self.model)
        off = "against the wall"
        if lid > site.stands_off:
            off = f"{figures(lid)} off the wall, so that the lid opens"
        elif site.stands_off:
            off = f"{figures(site.stands_off)} off the wall, the skirting behind it"
        behind = len(site.pipes) > len(threaded(self.built.piece, self.model))
        pipes = " Push it straight back: the pipes behind it go into what is cut out for them." if behind else ""
        return f"Stand the carcass {place}, {off}.{pipes}"

    def pipes_before(self) -> Iterator[str]:
        """What is done to pipes that go through closed holes before the piece comes."""
        for each in threaded(self.built.piece, self.model):
            free = under_ceiling(self.built.piece, self.model)
            lifted = (
                f" Or, where it ends {figures(each.pipe.height)} above the floor, lift the carcass {figures(each.lift)} over it."
                if each.can_be_lifted_over(free)
                else ""
            )
            yield (
                f"Pipe {each.number}, {figures(each.pipe.diameter)} thick, goes through a closed hole in {each.said}: before the"
                f" carcass is stood there, have it drawn back or parted by whoever is licensed for it.{lifted}"
            )

    def pipes_after(self, with_top: bool) -> Iterator[str]:
        """What comes when the boards with holes for them stand: once the carcass is fixed, or the top is on that has one too."""
        for each in threaded(self.built.piece, self.model):
            if with_top != any(part.role == "top" for part in each.boards):
                continue
            count = len(each.loose)
            shelves = (
                f"lay in {counted(count, 'loose shelf') if count > 1 else 'the loose shelf'} bored for it, then "
                if count
                else ""
            )
            lifted = (
                "unless the carcass was lifted over it, "
                if each.can_be_lifted_over(under_ceiling(self.built.piece, self.model))
                else ""
            )
            words = f"{lifted}{shelves}have it led through, joined and tried for leaks by whoever is licensed for it."
            yield f"Pipe {each.number}: {words}"

    def set_on(self, some: Container[str]) -> Iterator[str]:
        """Some of what comes by itself from above, the top, and what holds it."""
        lids = {each.key for each in self.model.motions}
        for member in self.assemblies[WHOLE].members:
            if member.apart[2] <= 0 or member.key in lids or member.key in self.fittings or member.key not in some:
                continue
            own = set(self.leaves(member.key))
            held = [each for each in self.model.fasteners if own & set(each.parts) and not set(each.parts) <= own]
            buttons = [each for each in self.model.fittings if self.kind(each) == BUTTON and own & set(each.parts)]
            of_buttons = {each.key for each in buttons}
            held = [each for each in held if not of_buttons & set(each.parts)]
            screws = f" and screw it from inside: {counted(len(held), 'screw')}" if held else ""
            last = f"; then its {counted(len(buttons), 'button')}, each tongue into its groove" if buttons else ""
            yield f"Set the {self.names.get(member.key) or self.parts[member.key].name} on{screws}{last}."

    # -------------------------------------------------------------------------------------------------------- what goes back
    def goes_back(self) -> Iterator[tuple[str | Cell, ...]]:
        """Every body that is carried in by itself, in the order of the site; alike ones at several heights together."""
        weights = weights_of(self.model)
        rows: dict[tuple, list[float | None]] = {}
        moving = {each.key for each in self.model.motions}
        for key in sorted(self.bodies(), key=self.turn):
            own = [leaf for each in ([key, *self.stay] if key == CARCASS else [key]) for leaf in self.leaves(each)]
            leaves = [leaf for leaf in own if leaf in self.parts]
            if key.endswith(LIPPED):  # a board that comes by itself is known by its own number
                leaves = [leaf for leaf in leaves if self.parts[leaf].role != LIPPING]
            where, height = self.place(key, leaves)
            mass = sum(weights[leaf].mass for leaf in own)
            people = " (two)" if mass > self.built.piece.shop.one_person else ""
            marks = runs(sorted({self.marks[leaf] for leaf in leaves}))
            plain = self.assemblies[key].name if key in self.assemblies else self.parts[key].name
            name = sentence(self.names[key] if key in moving else plain.replace(" with its lipping", ""))
            rows.setdefault((name, marks, where, f"{figures(mass)} kg{people}"), []).append(height)
        for number, ((name, marks, where, mass), heights) in enumerate(rows.items(), start=1):
            many = len(heights) > 1
            above_floor = " / ".join(figures(each) for each in sorted(each for each in heights if each is not None))
            above = f", {'undersides' if many else 'underside'} {above_floor} above the floor" if above_floor else ""
            said = f"{name} ({len(heights)})" if many else name
            yield str(number), Cell(said, "bold"), marks, f"{where}{above}", f"{mass} each" if many else mass

    def bodies(self) -> Iterator[str]:
        """The carcass, then the members of the whole that have parts."""
        for member in self.assemblies[WHOLE].members:
            if member.key not in self.fittings and member.key not in self.stay:
                yield member.key

    @cached_property
    def stay(self) -> tuple[str, ...]:
        """What is fixed in the carcass when it is fitted dry and stays there: bearers and what lies on them, rails of hooks, stops."""
        off = {each.key for each in self.model.motions} | {each.id for each in self.built.piece.fronts}
        off |= {each.key for each in self.assemblies[WHOLE].members if each.apart[2] > 0 or self.is_strip(each.key)}
        kept = [each.key for each in self.assemblies[WHOLE].members if each.key != CARCASS and each.key not in off]
        return tuple(key for key in kept if key not in self.fittings and self.is_held(key))

    def is_held(self, key: str) -> bool:
        """Whether a body is held to others by screws, pins or glue."""
        own = set(self.leaves(key))
        held = [set(each.parts) for each in self.model.fasteners]
        held += [{each.first, each.second} for each in self.model.joints if each.kind.startswith("glue")]
        return any(own & some and not some <= own for some in held)

    def turn(self, key: str) -> tuple[int, bool, float, str]:
        """Carcass and what goes on before drawers, doors, drawers, shelves, top; of each from the floor up."""
        kinds = {each.key: each.kind for each in self.model.motions}
        member = next(each for each in self.assemblies[WHOLE].members if each.key == key)
        above = member.apart[2] > 0
        if key == CARCASS or key in before_drawers(self.model) or self.is_strip(key):
            order = 0
        elif above:
            order = 4
        else:
            order = {"swing": 1, "travel": 2}.get(kinds.get(key, ""), 3)
        low = min(self.boxes[leaf][0][2] for leaf in self.leaves(key) if leaf in self.parts)
        return order, key != CARCASS, round(float(low), 1), key

    def is_strip(self, key: str) -> bool:
        """Whether it closes the gap beside the carcass: before there are doors and drawers in the way of its screws."""
        return key in self.parts and self.parts[key].role == "scribing strip"

    def leaves(self, key: str) -> list[str]:
        """All parts and fittings of a body."""
        if key not in self.assemblies:
            return [key]
        return [leaf for member in self.assemblies[key].members for leaf in self.leaves(member.key)]

    def place(self, key: str, leaves: Sequence[str]) -> tuple[str, float | None]:
        """Where a body goes, in words, and how high its underside is above the floor, where that says anything."""
        if key == CARCASS:
            return "in its place against the wall", None
        low = [min(self.boxes[leaf][0][axis] for leaf in leaves) for axis in range(3)]
        high = [max(self.boxes[leaf][1][axis] for leaf in leaves) for axis in range(3)]
        middle, wide = (low[0] + high[0]) / 2, self.model.carcass[0]
        side = "left" if middle < 0 else "right"
        if high[0] - low[0] > 0.6 * wide:
            side = "over the whole width"
        elif abs(middle) < 0.05 * wide:
            side = "in the middle"
        if low[2] > self.model.carcass[2] - 60.0:
            return "on top of the carcass", None
        return side, round(low[2], 1)

    # --------------------------------------------------------------------------------------------------------------- settings
    def settings(self) -> Iterator[tuple[str | Cell, ...]]:
        """Runners, hinges, catches and pads, rails and pins: how high, how far back; alike ones once, from the lowest up."""
        rows: dict[tuple[str, str], Counter[str]] = {}
        for each in sorted(self.model.fittings, key=lambda each: each.place.origin[2]):
            words = self.known.setting(each)
            if words:
                owner = self.known.owner(each)
                where = self.known.compartment(each)
                words = f"{self.names[owner]}: {words}" if owner else f"{words}, {where}" if where else words
                rows.setdefault((each.name, each.entry), Counter())[words] += 1
        for (name, entry), settings in sorted(rows.items()):
            for words, count in settings.items():
                yield sentence(name), as_sold(entry, count), words

    def kind(self, each: Fitting) -> str:
        """What kind of fitting it is."""
        return self.known.kind(each)

    # ------------------------------------------------------------------------------------------------------------------ marks
    def surviving(self) -> Iterator[tuple[str | Cell, ...]]:
        """Every mark under the place where its number stands when all is painted."""
        found: dict[int, list[Part]] = {}
        for key, part in self.parts.items():
            found.setdefault(self.marks[key], []).append(part)
        names = {number: reduce(common_name, (part.name for part in some)) for number, some in found.items()}
        where = told_by_place({number: (names[number], [part.key for part in some]) for number, some in found.items()})
        by_place: dict[str, list[str]] = {}
        for number, some in sorted(found.items()):
            places = listed(list(dict.fromkeys(part.surviving_mark for part in some if part.surviving_mark)))
            name = f"{names[number]} ({where[number]})" if where[number] else names[number]
            by_place.setdefault(places or "on a label, kept with it", []).append(f"{number} {name}")
        for place, said in by_place.items():
            yield Cell(sentence(place), "bold"), "; ".join(said)
