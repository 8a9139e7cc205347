"""The course of the work: making up, painting the inside, gluing up, fitting in the white, taking off, painting, glass."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..coated import coatings_on
from ..geometry import BACK, DOWN, FRONT, UP
from ..model import FOR_PIPE, Assembly, Hole, Member, Model
from ..piece.finish import Coat
from ..piece.piece import Piece
from ..wording import counted, handless, in_sentence, listed, plural
from .means import before_drawers
from .order import CARCASS, COVER_BEAD, FEET, LIFTED, LIPPING, WHOLE, Order
from .step import Coming, Step

CURE_HOURS, HARD_DAYS = 48, 7  # paint before fittings go back, before it is hard; common practice, no source
PACKINGS = ("/packs.left", "/packs.right")  # put on the wall layer by layer: each lies over the heads of the one before
HUNG = ("butt hinge", "piano hinge")  # both leaves go on the door first
INSIDE = "Shelves, rails and what else goes inside"
PACKED = "Packed to its gaps all round, then screwed through the fillets from inside."
THREADED = "On site a loose shelf with a hole for a pipe lies in its place before the pipe is led through."
BUTTONED = "Each tongue into its groove, free to slide in it, then the screw up into the top; no glue."
SCRIBED = (
    "On site, when the carcass is fixed and before doors and drawers are in: each strip upright beside its side, scribed to the wall, sawn and planed to "
    "the line, then screwed through the side from inside."
)
INSIDES = (
    ("front top rail", "top rails"),
    ("fixed shelf", "shelves"),
    ("upright", "uprights"),
    ("drawer rail", "drawer rails"),
)  # roles of boards, as they are called together
OUTSIDE = frozenset({"carcass", "fronts", "top", "legs"})  # groups that are coated after glue-up
PRESSED_IN = "shelf-pin sleeve"  # stays in the boards
ON_SITE = 5  # the layer of the whole of what is fitted on site
LAID_IN = 1  # the layer of the whole in which shelves and rails go in
HANDLES = ("knob", "pull")  # bored for when the door hangs right
CUPPED = "concealed hinge"  # its arm slides on to a plate in the carcass
MIRROR = "mirror"  # the role of one on a door
PAD = "pad"
CLIP = "mirror clip"  # goes on with the glass that it holds


KEPT = 4  # models whose steps are kept; several pages ask for the same
_recent: list[tuple[Piece, Model, tuple[Step, ...]]] = []


def steps(piece: Piece, model: Model) -> tuple[Step, ...]:
    """All steps of a piece in the order of work; equal assemblies and mirror images share theirs."""
    for known in _recent:
        if known[0] is piece and known[1] is model:
            return known[2]
    order = Order(piece, model)
    made = tuple(_shared([step for part in _COURSE for step in part(order)]))
    _recent.insert(0, (piece, model, made))
    del _recent[KEPT:]
    return made


# ------------------------------------------------------------------------------------------------------------ making up
def _making_up(order: Order) -> Iterator[Step]:
    lipped = [each for each in order.model.assemblies if _is_lipping(order, each)]
    for assembly in lipped:
        yield from order.made_up(assembly, "making up")
    others = [each for each in order.model.assemblies if each not in lipped]
    for assembly in sorted(others, key=lambda each: not each.key.startswith("side.")):  # sides first
        if not _is_later(order, assembly):
            yield from order.made_up(assembly, "making up")


def _is_later(order: Order, assembly: Assembly) -> bool:
    """Whether an assembly is the carcass or of it, the whole, a drawer or fixed panel, whose front is fitted in its opening, or a packing.

    Boards of the carcass are lipped before: what is made in them, and their coats, go over the lipping.
    """
    travels = {motion.key for motion in order.model.motions if motion.kind == "travel"}
    of_carcass = assembly.key.startswith("carcass/") and not _is_lipping(order, assembly)
    return assembly.key in (CARCASS, WHOLE, *travels, *_fixed(order)) or of_carcass or assembly.key.endswith(PACKINGS)


def _fixed(order: Order) -> list[str]:
    """The fronts that do not move, by the keys of their assemblies."""
    return [front.id for front in order.piece.fronts if front.kind == "fixed"]


def _is_lipping(order: Order, assembly: Assembly) -> bool:
    """Whether a board gets its lipping."""
    return any(order.is_lipping(each.key) for each in assembly.members)


def _painting_inside(order: Order) -> Iterator[Step]:
    scheme = order.piece.finish.scheme()
    inside, boxes = scheme.coat("inside"), scheme.coat("drawer_boxes")
    if inside.coating == "bare":
        return
    coats = _coats(inside, order.piece.finish.undercoats_inside)
    words = [
        f"Dry-fit the carcass once{', check the openings and write them on the fitting page' if order.model.openings else ''}; take it apart again.",
        f"{coats[:1].upper()}{coats[1:]}, by the finishing schedule, on {_insides(order)}.",
    ]
    if any("/box/" in key for key in order.parts) and boxes.coating != "bare":
        words.append(f"Drawer boxes: {_coats(boxes, order.piece.finish.undercoats)}.")
    yield order.step(
        title="Inside faces: seal and coat before the carcass is glued up",
        stage="making up",
        how="work",
        there=(),
        comes=(),
        plugs=order.plugs_in(order.leaves(CARCASS)),
        words=tuple(words),
        bare=tuple(_bare(order)),
        cautions=("dust",),
    )


def _insides(order: Order) -> str:
    """What of the carcass is coated before it is glued up, in words."""
    roles = {part.role for part in order.model.parts}
    horizontals = [each for each in ("top", "bottom") if f"carcass/{each}" in order.parts]
    others = [words for role, words in INSIDES if role in roles]
    words = [f"the inside of the {listed(['sides', *horizontals, *others])}"]
    words += ["the face of the back"] * ("back" in roles)
    words += ["both faces and all edges of loose shelves"] * ("loose shelf" in roles)
    return listed(words)


def _coats(coat: Coat, undercoats: int) -> str:
    """What is put on, in words: "sealer on sawn edges, 1 undercoat and 2 top coats", "2 coats of oil"."""
    if coat.coating != "paint":
        return f"{counted(coat.coats, 'coat')} of {'oil' if coat.coating == 'oil' else 'clear finish'}"
    under = [counted(undercoats, "undercoat")] if undercoats else []
    return listed(["sealer on sawn edges", *under, counted(coat.coats, "top coat")])


def _bare(order: Order) -> Iterator[str]:
    """The bands that glue wants bare: white glue does not hold on paint."""
    bands: dict[float, dict[str, None]] = {}
    inside = set(order.leaves(CARCASS))
    for joint in order.model.joints:
        first, second = order.parts.get(joint.first), order.parts.get(joint.second)
        if (
            first
            and second
            and second.key.startswith("carcass/")  # a board, on a board of the carcass or on a framed side
            and {first.key, second.key} <= inside
            and joint.kind in ("dowels", "biscuits", "housing", "glue and screws", "glue")
            and second.role not in ("lamination", LIPPING)
        ):
            bands.setdefault(round(second.board.thickness, 1), {})[in_sentence(handless(second.name))] = None
    for thick, names in sorted(bands.items()):
        yield f"{thick:g} wide where {listed(list(names))} {'meets what it is' if len(names) == 1 else 'meet what they are'} glued to"
    yield "rebates, grooves, the ends of boards" + (", hinge recesses" if _recessed(order) else "")
    if any(part.role == "lamination" for part in order.model.parts):
        yield "the faces of the leg laminations under the carcass"
    if any(part.role == "cheek" for part in order.model.parts):
        yield "the undersides of the drawer bottoms where the cheeks of centre guides are glued"


def _recessed(order: Order) -> bool:
    """Whether hinges are let in."""
    features = (each for part in order.model.parts for each in part.shape.features)
    return any(each.kind == "recess" and each.purpose.startswith("hinge") for each in features)


# ------------------------------------------------------------------------------------------------------------ gluing up
def _gluing_up(order: Order) -> Iterator[Step]:
    for assembly in order.model.assemblies:
        if assembly.key.startswith("carcass/") and not _is_lipping(order, assembly):
            yield from order.made_up(assembly, "gluing up")
    yield from order.made_up(order.assemblies[CARCASS], "gluing up")
    yield from _feet(order)


def _feet(order: Order) -> Iterator[Step]:
    """What the piece stands on is screwed in before it is raised."""
    inside = set(order.leaves(CARCASS))
    feet = [each.key for each in order.model.fittings if each.key in inside and order.kind(each.key) in FEET]
    if feet:
        kind = order.kind(feet[0])
        onto = order.body(CARCASS)
        mass = order.mass(onto)
        heavy = mass > order.piece.shop.one_person
        yield order.fit(
            f"{plural(kind).capitalize()}, before it is raised", feet, onto, DOWN, stage="gluing up", mass=mass,
            persons=2 if heavy else 1, words=("Rub down first.",), cautions=("lifting", "raising") if heavy else (),
        )  # fmt: skip


# ---------------------------------------------------------------------------------------------------------- fitting dry
def _fitting_dry(order: Order) -> Iterator[Step]:
    whole = order.assemblies[WHOLE]
    followers = {
        motion.key for motion in order.model.motions if motion.after
    }  # a rebated door hangs before the one that laps it
    doors = [each for each in whole.members if each.key in order.assemblies and _swings(order, each.key)]
    doors.sort(key=lambda each: each.key not in followers)
    drawers = [each for each in whole.members if each.key in {m.key for m in order.model.motions if m.kind == "travel"}]
    panels = [each for each in whole.members if each.key in _fixed(order)]
    things = [each for each in whole.members if each.key != CARCASS and each not in (*doors, *drawers, *panels)]
    tops = [each for each in things if each.apart == UP and each.key not in order.fittings]
    on_site = [each for each in things if each.layer >= ON_SITE and each.key not in order.fittings]
    buttons = [each for each in things if each.layer >= ON_SITE and each.key in order.fittings]
    laid = [
        each
        for each in things
        if each not in (*tops, *on_site, *buttons) and (each.key not in order.fittings or _lies(order, each))
    ]
    early = [each for each in laid if any(each.key.startswith(f"{drawer.key}/") for drawer in drawers)]
    laid = [each for each in laid if each not in early]
    with_it = {
        each.key: _belongings(order, whole, each.key)
        for each in (*doors, *drawers, *tops, *laid, *early, *on_site, *buttons)
    }
    claimed = {key for some in with_it.values() for key in some}
    rest = [
        each.key
        for each in things
        if each.key in order.fittings and each.key not in claimed and each not in (*laid, *early, *on_site, *buttons)
    ]
    state = _Standing(order)
    if early:
        yield state.laid_in(early, with_it, "Runners, packings and stops in the carcass")
    taken = {key for each in early for key in with_it[each.key]}
    with_it |= {each.key: [key for key in with_it[each.key] if key not in taken] for each in drawers}
    yield from state.runners([each.key for each in drawers], with_it)
    if rest:
        yield state.others(rest)
    first = before_drawers(order.model)
    yield from state.tops([each for each in tops if each.key in first], with_it, buttons)
    for each in drawers:
        yield from state.drawer(each)
    if laid:
        yield state.laid_in(laid, with_it, words=(THREADED,) if _threaded(order, laid) else ())
    for each in panels:
        yield from state.fixed(each)
    held = [key for each in doors for key in with_it[each.key] if order.kind(key) not in HUNG]
    if held:
        yield state.others(held)
    for each in doors:
        yield from state.door(each, with_it[each.key])
    yield from state.tops([each for each in tops if each.key not in first], with_it, buttons)
    if on_site:
        yield state.laid_in(on_site, with_it, "Scribing strips: fitted on site, coated before", (SCRIBED,))


def _swings(order: Order, key: str) -> bool:
    return any(motion.kind == "swing" and motion.key == key for motion in order.model.motions)


def _lies(order: Order, member: Member) -> bool:
    """Whether a fitting is laid in or hung up on its own: a rail with what holds its ends."""
    return member.layer == LAID_IN and order.kind(member.key) not in HUNG


def _threaded(order: Order, members: Sequence[Member]) -> bool:
    """Whether something that lies loose has a closed hole for a pipe."""
    parts = [order.parts[key] for each in members for key in order.leaves(each.key) if key in order.parts]
    return any(
        isinstance(each, Hole) and each.purpose.startswith(FOR_PIPE) for part in parts for each in part.shape.features
    )


def _belongings(order: Order, whole: Assembly, key: str) -> list[str]:
    """The fittings of the whole that belong to one of its members by their keys."""
    return [each.key for each in whole.members if each.key in order.fittings and each.key.startswith(f"{key}/")]


class _Standing:
    """The carcass standing, and what has been fitted into it."""

    def __init__(self, order: Order) -> None:
        self.order = order
        self.there = [*order.body(CARCASS)]

    def add(self, keys: Sequence[str]) -> None:
        """What stands there from now on."""
        self.there += [key for key in keys if key not in self.there]

    def runners(self, drawers: Sequence[str], with_it: dict[str, list[str]]) -> Iterator[Step]:
        """The members of runners that stay in the carcass."""
        keys = [key for drawer in drawers for key in with_it[drawer]]
        if keys:
            yield self.order.fit(
                "Runners in the carcass",
                keys,
                self.there,
                checks=("both of a pair level and parallel; drawer members run in by hand",),
            )
            self.add(keys)

    def drawer(self, member: Member) -> Iterator[Step]:
        """What is glued under the box; the box with its runner members slides in; the front is screwed on from inside; the handles."""
        order, assembly = self.order, self.order.assemblies[member.key]
        fittings = [each.key for each in assembly.members if each.key in order.fittings]
        bodies = [each for each in assembly.members if each.key not in order.fittings]
        first = min(each.layer for each in bodies)
        box = [key for each in bodies if each.layer == first for key in order.body(each.key)]
        glued = [
            each
            for each in bodies
            if each.layer != first and order.held(set(order.body(each.key)), set(box)) == "glued"
        ]
        if glued:
            yield replace(order.glue_up(assembly, "fitting dry", glued, box, named=True, closes=False), up=DOWN)
            box += [key for each in glued for key in order.body(each.key)]
        runners = [key for key in fittings if order.fittings[key].bought_with]
        comes = order.comings(runners, box)
        comes.append(
            Coming(keys=tuple(box), away=FRONT, onto=tuple(self.there), carried=tuple(runners), assembly=bodies[0].key)
        )
        standing = [*self.there, *box, *runners]
        for each in bodies:
            if each.layer != first and each not in glued:
                keys = order.body(each.key)
                comes.append(
                    Coming(keys=tuple(keys), away=each.apart, onto=tuple(standing), assembly=order.name_of(each.key))
                )
                standing += keys
        comes += order.comings([key for key in fittings if key not in runners], standing)
        mass = order.mass([*box, *(key for each in comes for key in each.keys if key not in box)])
        step = order.step(
            title=assembly.name, stage="fitting dry", how="fitted", assembly=member.key, there=tuple(self.there), comes=tuple(comes), mass=mass,
            persons=2 if mass > order.piece.shop.one_person else 1, checks=("gaps on the fitting page", "it runs without binding when it is pushed at either end"), closes=True,
        )  # fmt: skip
        self.add([key for each in comes for key in each.moving])
        yield step

    def laid_in(
        self, members: Sequence[Member], with_it: dict[str, list[str]], title: str = INSIDE, words: tuple[str, ...] = ()
    ) -> Step:
        """Loose shelves on their pins, rails with their sockets, what is screwed in."""
        order = self.order
        pins = [key for each in members for key in with_it.get(each.key, ())]
        comes = order.comings(pins, self.there)
        standing = [*self.there, *pins]
        for each in self.layer_by_layer(members):
            keys = [each.key] if each.key in order.fittings else order.body(each.key)
            order.fitted.update(key for key in order.leaves(each.key) if key in order.fittings)
            keys = list(dict.fromkeys([*keys, *order.body(each.key)]))
            comes.append(
                Coming(keys=tuple(keys), away=each.apart, onto=tuple(standing), assembly=order.name_of(each.key))
            )
            standing += keys
        step = order.step(
            title=title,
            stage="fitting dry",
            how="laid in",
            there=tuple(self.there),
            comes=tuple(_bodies(comes)),
            words=words,
            closes=True,
        )
        self.add([key for each in comes for key in each.keys])
        return step

    def layer_by_layer(self, members: Sequence[Member]) -> list[Member]:
        """Members as they come: of a packing its layers and what is screwed on them, one after the other, from the front."""
        found: list[Member] = []
        for each in members:
            layers = self.order.assemblies[each.key].members if each.key.endswith(PACKINGS) else ()
            found += [replace(layer, apart=FRONT) for layer in layers] or [each]
        return found

    def fixed(self, member: Member) -> Iterator[Step]:
        """A front that does not move: its fillets on the boards, then the panel before them."""
        assembly = self.order.assemblies[member.key]
        *fillets, front = assembly.members
        alike = [each for each in self.order.model.assemblies if each.name == assembly.name]
        which = f", {member.key.split('/')[0].replace('-', ' ')}" if len(alike) > 1 else ""
        title = f"{assembly.name}{which}: {{}}"
        yield self.laid_in([replace(each, apart=FRONT) for each in fillets], {}, title.format("fillets"))
        yield self.laid_in([front], {}, title.format("set it in"), (PACKED,))

    def door(self, member: Member, fittings: Sequence[str]) -> Iterator[Step]:
        """Hinges, strike and what else is let in on the door; the door hung; its knob."""
        order, assembly = self.order, self.order.assemblies[member.key]
        own = [each.key for each in assembly.members if each.key in order.fittings and order.kind(each.key) != CLIP]
        door = order.body(member.key)
        hung = [key for key in fittings if order.kind(key) in HUNG]
        leaves = [key for key in own if order.kind(key) not in HANDLES]
        handles = [key for key in own if key not in leaves]
        hinged = {"hinge" if "hinge" in order.kind(key) else "" for key in leaves if not key.endswith("/strike")}
        yield order.step(
            title=f"{assembly.name}: {'hinges' if hinged <= {'hinge'} else 'hinges and what is let in'}", stage="fitting dry", how="fitted", assembly=member.key, there=tuple(door),
            comes=tuple(order.comings([*hung, *leaves], door)), up=UP if member.apart == UP else FRONT, checks=_hinge_checks(order, [*hung, *leaves]),
        )  # fmt: skip
        comes: list[Coming] = []
        standing = [*self.there]
        lifted = any(order.kind(key) == LIFTED for key in own)
        way = UP if lifted else member.apart
        opened = member.key if lifted else ""
        comes.append(
            Coming(
                keys=tuple(door),
                away=way,
                onto=tuple(standing),
                carried=(*hung, *leaves),
                assembly=member.key,
                opened=opened,
            )
        )
        standing += [*door, *hung, *leaves]
        beads = [
            each for each in assembly.members if each.key in order.parts and order.parts[each.key].role == COVER_BEAD
        ]
        for each in beads:
            order.kept_back.discard(each.key)
            comes.append(Coming(keys=(each.key,), away=each.apart, onto=tuple(standing)))
            standing.append(each.key)
        comes += order.comings(handles, standing)
        mass = order.mass([*door, *own, *hung])
        gaps = () if member.apart == UP else (_gap_check(order, member.key),)
        padded = any(order.kind(key) == PAD for key in (*fittings, *own))
        yield order.step(
            title=f"{assembly.name}: hang", stage="fitting dry", how="hung", assembly=member.key, there=tuple(self.there), comes=tuple(comes), mass=mass,
            persons=2 if mass > order.piece.shop.one_person else 1, closes=True, cautions=("fingers",),
            checks=(*gaps, f"it closes{' against its pads' if padded else ''} without springing"),
        )  # fmt: skip
        self.add([key for each in comes for key in each.moving])

    def others(self, keys: Sequence[str]) -> Step:
        """Anchors, and whatever else is screwed into the carcass."""
        names = dict.fromkeys(self.order.kind(key) for key in keys if not self.order.fittings[key].bought_with)
        title = f"{listed([plural(name) for name in names])}, in the carcass"
        step = self.order.fit(title[:1].upper() + title[1:], keys, self.there)
        self.add(keys)
        return step

    def tops(self, tops: Sequence[Member], with_it: dict[str, list[str]], buttons: Sequence[Member]) -> Iterator[Step]:
        """What is set on from above, and the buttons that hold it."""
        for each in tops:
            yield self.top(each, with_it[each.key])
        if tops and buttons:
            yield self.laid_in(buttons, with_it, "Top: its buttons", (BUTTONED,))

    def top(self, member: Member, fittings: Sequence[str]) -> Step:
        """The top, the cornice or the lid, set down from above."""
        order = self.order
        assembly = order.assemblies.get(member.key)
        own = [each.key for each in assembly.members if each.key in order.fittings] if assembly else []
        body = order.body(member.key)
        hung = [key for key in fittings if order.kind(key) in HUNG]
        before = [key for key in fittings if key not in hung]
        comes = order.comings([*hung, *own], body)
        onto = order.comings(before, self.there)
        standing = [*self.there, *before]
        top = Coming(
            keys=tuple(body),
            away=member.apart,
            onto=tuple(standing),
            carried=(*hung, *own),
            assembly=order.name_of(member.key),
        )
        name = assembly.name if assembly else order.parts[member.key].name
        mass = order.mass([*body, *own, *hung])
        step = order.step(
            title=f"{name}: set it on", stage="fitting dry", how="laid in", assembly=member.key, there=tuple(self.there), comes=(*onto, *comes, top), mass=mass,
            persons=2 if mass > order.piece.shop.one_person else 1, closes=True,
        )  # fmt: skip
        self.add([*before, *body, *hung, *own])
        return step


def _hinge_checks(order: Order, keys: Sequence[str]) -> tuple[str, ...]:
    """What to look at as hinges go on a door or a lid."""
    kinds = {order.kind(key) for key in keys}
    if kinds.intersection((*HUNG, LIFTED)):
        return "one screw in each leaf for now", "pins in one line"
    return ("arms square to the edge of the door",) if CUPPED in kinds else ()


def _gap_check(order: Order, door: str) -> str:
    """How a door comes to its gaps: an inset one is planed, one that laps is set by its hinges."""
    lays = {front.id: front.lay for front in order.piece.fronts}
    return f"gaps on the fitting page, {'before and after planing' if lays[door.split('/')[0]] == 'inset' else 'by the screws of the arms'}"


def _bodies(comes: Sequence[Coming]) -> Iterator[Coming]:
    """Comings without those of nothing; what comes in the same way from one stem comes together (a rail and its sockets)."""
    waiting: dict[tuple, list[Coming]] = {}
    for each in comes:
        stem = each.keys[0].rsplit("/", 1)[0] if each.keys else ""
        waiting.setdefault((stem, each.away) if "/rail." in stem else (each.keys, each.away), []).append(each)
    for some in waiting.values():
        keys = tuple(key for each in some for key in each.keys)
        if keys:
            yield Coming(keys=keys, away=some[0].away, onto=some[0].onto, assembly=some[0].assembly)


# ------------------------------------------------------------------------------------------------------------ finishing
def _finishing(order: Order) -> Iterator[Step]:
    yield order.step(
        title="Take everything off and bag it", stage="finishing", how="work", there=(), comes=(), words=(_taken_off(order),),
    )  # fmt: skip
    yield order.step(
        title="Coat the outside",
        stage="finishing", how="work", there=(), comes=(), cautions=("dust", "solvents"),
        words=(
            f"By the finishing schedule: {_outside_words(order)}. Fittings go back after {CURE_HOURS} hours at the least; the coat is hard after {HARD_DAYS} days.",
        ),
        bare=tuple(_bare_outside(order)),
    )  # fmt: skip
    for assembly in order.model.assemblies:
        yield from _glazing(order, assembly)


def _taken_off(order: Order) -> str:
    """What comes off again, and where it is kept."""
    kinds = {each.kind for each in order.model.motions}
    swings = [each for each in order.model.motions if each.kind == "swing"]
    doors, lid = any(each.axis[2] for each in swings), any(not each.axis[2] for each in swings)
    loose = any(part.role == "loose shelf" for part in order.model.parts)
    fronts = {front.drawer.front for front in order.piece.fronts if front.kind == "drawer"}
    drawers = ["drawer fronts"] * ("planted" in fronts) + ["drawers"] * ("integral" in fronts)
    off = ["doors"] * doors + drawers + ["the lid"] * lid + ["loose shelves"] * loose
    lids = {each.key for each in order.model.motions}
    off += [
        f"the {order.assemblies[each.key].name if each.key in order.assemblies else order.parts[each.key].name}"
        for each in order.assemblies[WHOLE].members
        if each.apart == UP and each.key not in order.fittings and each.key not in lids
    ]
    bagged = listed(["door"] * doors + ["drawer"] * ("travel" in kinds))
    pressed = any(order.kind(key) == PRESSED_IN for key in order.fittings)
    fittings = "all fittings but the sleeves, which stay pressed in," if pressed else "all fittings"
    words = f"{listed([*off, fittings])} come off; fittings go into a bag" + (
        f" for each {bagged}, with its number on it" if bagged else ""
    )
    return f"{words[:1].upper()}{words[1:]}. Pencil each part's number in its surviving place: see the final assembly sheet."


def _outside_words(order: Order) -> str:
    """What is done to what is painted, varnished and oiled outside, in few words."""
    scheme = order.piece.finish.scheme()
    used = coatings_on(scheme, order.model, OUTSIDE)
    words = {
        "paint": "seal cut edges and bevels, undercoat, fill, rub down, undercoat, top coats",
        "clear": "varnish in thin coats, rubbed down between" + (", what stays wood" if "paint" in used else ""),
        "oil": "oil with a rag, wiped off" + (", what stays wood" if "paint" in used else ""),
    }
    said = "; ".join(each for coating, each in words.items() if coating in used) or "left bare: rub down and dust off"
    kinds = {each.kind for each in order.model.motions if each.kind == "travel" or each.axis[2]}
    fronts = [name for name, kind in (("doors", "swing"), ("drawer fronts", "travel")) if kind in kinds]
    fronts = fronts or ["fixed fronts"] * any(part.finish == "fronts" for part in order.model.parts)
    same = f". {listed(fronts).capitalize()} from the same batch as the carcass, both faces alike" if fronts else ""
    return said + same


def _bare_outside(order: Order) -> Iterator[str]:
    kinds = {order.kind(key) for key in order.fittings}
    if _recessed(order):
        yield "hinge recesses"
    screwed = {
        "runners": {"drawer runner", "under-mounted runner"},
        "brackets": {"anchor bracket"},
    }
    names = [name for name, some in screwed.items() if kinds & some]
    if names:
        yield f"where {listed(names)} are screwed on"


def _glazing(order: Order, assembly: Assembly) -> Iterator[Step]:
    """Glass and its beads, when the wood is coated."""
    late = [each for each in assembly.members if each.key in order.parts and order.is_late(each.key)]
    if not late:
        return
    there = order.body(assembly.key)
    comes, standing = [], list(there)
    for each in sorted(late, key=lambda member: member.layer):
        comes.append(Coming(keys=(each.key,), away=each.apart, onto=tuple(standing)))
        standing.append(each.key)
    clips = [each.key for each in assembly.members if each.key in order.fittings and each.key not in order.fitted]
    comes += order.comings(clips, standing)
    yield order.step(
        title=f"{assembly.name}: {_glass_words(order, late)}", stage="finishing", how="laid in", assembly=assembly.key, there=tuple(there), comes=tuple(comes),
        up=BACK if comes[0].away == BACK else UP, cautions=("glass",),
    )  # fmt: skip


def _glass_words(order: Order, late: Sequence[Member]) -> str:
    """What of glass goes into or on a door: "glass", "mirror", "glass and mirror"."""
    kinds = [order.parts[each.key].role == MIRROR for each in late]
    return listed(["glass"] * (not all(kinds)) + ["mirror"] * any(kinds))


_COURSE = (_making_up, _painting_inside, _gluing_up, _fitting_dry, _finishing)


# ------------------------------------------------------------------------------------------------------- what is shared
def _shared(made: Sequence[Step]) -> list[Step]:
    """Steps of which equal assemblies and mirror images have the same, drawn once, where the first of them is done.

    A step joins those that are like it only if all that it needs is done by then.
    """
    found: list[list[Step]] = []
    latest: dict[tuple, int] = {}  # by likeness, where its steps are
    done: dict[str, int] = {}  # by part or fitting, where it was last worked with
    for number, step in enumerate(made):
        likeness = _likeness(step) or (number,)
        worked = {*step.there, *(key for each in step.comes for key in each.moving)}
        needed = max((done.get(key, 0) for key in worked), default=0)
        place = latest.get(likeness, -1)
        if place < needed or place < 0:
            place = latest[likeness] = len(found)
            found.append([])
        found[place].append(step)
        done |= dict.fromkeys(worked, place)
    return [some[0].with_others(tuple(some[1:])) for some in found]


def _likeness(step: Step) -> tuple:
    """What two steps have in common that are done alike: the same parts by their roles, left for right."""
    framed = step.assembly.startswith("carcass/") and not step.assembly.endswith(("/stiffened", "/lipped"))
    if not step.assembly or step.assembly == CARCASS or framed or step.how == "work":
        return ()
    if step.assembly.endswith("/stiffened"):
        return (step.title,)
    roles = sorted(tuple(sorted(_role(key, step.assembly) for key in each.keys)) for each in step.comes)
    return re.sub(r"\b(left|right)\b ?", "", step.title), step.stage, step.how, tuple(roles)


def _role(key: str, assembly: str) -> str:
    """A key without what it belongs to, the assembly or what that is for, left and right made one."""
    own = key.removeprefix(assembly)
    return re.sub(r"\b(left|right)\b", "side", own.removeprefix(assembly.rpartition("/")[0]))


__all__ = ["CURE_HOURS", "HARD_DAYS", "steps"]
