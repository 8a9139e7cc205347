"""Fronts: doors and pairs on butt hinges, inset in their openings; a drawer's front is dressed here too."""

from __future__ import annotations


from ..errors import ParameterError, blaming, within
from ..fastenings import bolt_for, plug_for
from ..fittings import FittingEntry, ScrewPlace, fitting_entries, fitting_entry, recess_depth, recess_width
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, negative, plus, vector
from ..mechanics import hinges_wanted
from ..model import AT_FITTING, Board, Motion, Opening, Pocket, When
from ..piece.fronts import Front
from ..units import down_to, nearest
from .bench import Bench
from .carcass import walls_of
from .clearance import standing_box
from .hardware import fitting_for, screw_on
from .protocols import Face
from .setting_out import SettingOut

LEAF_BY_HEIGHT = ((900.0, 65.0), (1500.0, 75.0), (2000.0, 90.0), (9999.0, 100.0))  # mm of door up to, hinge; common practice, no source
BEHIND_LEAF = 4.0  # mm of door left behind a hinge's leaf; common practice, no source
HINGES_APART = 20.0  # mm between two hinges at least; common practice, no source
KNOB_FROM_EDGE = 40.0  # mm from the closing edge of a door without a stile; common practice, no source
KNOB_HEIGHT = 1000.0  # above the floor, where no mid rail says otherwise; common practice, no source
SWING = 95.0  # degrees a door must open; common practice, no source
PAD = "pad-8"
CATCH_STEP = 5.0  # mm that a catch gives way to an upright behind it
PAD_LAP = 1.001  # mm; not quite round, so that the last digit of a sum decides nothing
CATCH_FROM_EDGE, CATCH_CLEAR = 60.0, 1.999  # mm from the closing edge to its middle, and beside an upright; common practice, no source
STRIKE_TO_STILE = 3.0  # mm between a catch's strike and the stile of a true frame; common practice, no source
PAD_FROM_END = 60.0
PLUG_STOPS_SHORT = 12.0  # mm of the stile left beyond a plug, its bevel with it; common practice, no source
WALL_PLUG_DEPTH, EDGE_PLUG_DEPTH = 14.0, 30.0
WIDE_FRONT, VERY_WIDE_FRONT = 700.0, 1000.0  # mm: two pulls at quarter points; at fifth points; common practice, no source


def front_thickness(out: SettingOut, front: Front) -> float:
    """The whole thickness of a front: its board and what is planted on it, or its true frame."""
    added = front.panel.face_thickness(lambda id: out.board(id, f"{out.path(front)}.panel.board"))
    return added if front.panel.stands_alone else front_board(out, front).thickness + added


def front_board(out: SettingOut, front: Front) -> Board:
    """What a front is screwed through and into: its board, or that of its true frame."""
    if front.panel.stands_alone:
        return out.board(front.panel.board, f"{out.path(front)}.panel.board")
    return out.board(front.board, f"{out.path(front)}.board")


def build_doors(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> list[str]:
    """One door or a pair; the keys of the assemblies."""
    width = opening.width - 2 * front.gaps.side - (front.gaps.meeting if front.kind == "pair" else 0.0)
    leaves = ("left", "right") if front.kind == "pair" else (front.hanging.hand,)
    wide = down_to(width / len(leaves), out.step)
    high = down_to(opening.height - front.gaps.top - front.gaps.bottom, out.step)
    made = []
    for hand in leaves:
        key = f"{front.id}/leaf.{hand}"
        x = opening.left + front.gaps.side if hand == "left" else opening.right - front.gaps.side - wide
        _leaf(bench, out, front, opening, key, hand, round(x, 6), wide, high)
        made.append(key)
    return made


def lay_front(bench: Bench, out: SettingOut, front: Front, key: str, what: str, left: float, bottom: float, wide: float, high: float, edges: tuple[str, str], datum: str) -> list[str]:
    """A front's board and what is planted on its face, or its true frame; the keys of all its parts."""
    back = out.y(front_thickness(out, front))
    laid = [] if front.panel.stands_alone else [_front_panel(bench, out, front, key, what, left, back, bottom, wide, high, datum)]
    behind = bench.parts[laid[0]].board.thickness if laid else 0.0
    face = Face(
        key=key, panel=laid[0] if laid else "", what=what, corner=vector(left, back - behind, bottom), right=RIGHT, up=UP, width=wide, height=high,
        floor=bottom, left_name=edges[0], right_name=edges[1],
    )  # fmt: skip
    with within(f"{out.path(front)}.panel"):
        return [*laid, *front.panel.dress(bench, face, lambda id: out.board(id, f"{out.path(front)}.panel.board"))]


def _front_panel(bench: Bench, out: SettingOut, front: Front, key: str, what: str, left: float, back: float, bottom: float, wide: float, high: float, datum: str) -> str:
    """The board of a front, its length along the longer side."""
    board = front_board(out, front)
    # x up, face side to the front: y = z × x runs to the left
    place = Placement(vector(left + wide, back, bottom), UP, LEFT)
    long_ways = high >= wide
    if not long_ways:  # x to the right, y up
        place = Placement(vector(left, back, bottom), RIGHT, UP)
    size = (high, wide) if long_ways else (wide, high)
    high_edge = datum == "left" if long_ways else False
    bench.part(
        f"{key}/panel", f"{what} panel", board, *size, place, role="front panel", finish="fronts", face_side="outside", shown_one_side=True,
        face_edge={"left": "left edge", "right": "right edge", "bottom": "lower edge"}[datum], face_edge_high=high_edge, surviving_mark="hinge recess" if "leaf" in key else "back",
    )  # fmt: skip
    return f"{key}/panel"


def front_members(bench: Bench, key: str, parts: list[str]) -> list[tuple[str, Vector, int]]:
    """A front's parts as members of its assembly: a true frame as the one thing that it was glued up to, glass and beads from behind."""
    frame = next((assembly for assembly in bench.assemblies if assembly.key == f"{key}/frame"), None)
    if frame:
        framed = {member.key for member in frame.members}
        return [(frame.key, (0.0, 0.0, 0.0), 0), *((part, BACK, 1 if bench.parts[part].role == "pane" else 2) for part in parts if part not in framed)]
    return [(part, FRONT, min(number, 1)) for number, part in enumerate(parts)]


# --------------------------------------------------------------------------------------------------------------------- doors
def _leaf(bench: Bench, out: SettingOut, front: Front, opening: Opening, key: str, hand: str, left: float, wide: float, high: float) -> None:
    bottom = round(opening.bottom + front.gaps.bottom, 6)
    closing = "meeting" if front.kind == "pair" else "closing"
    edges = ("hinge", closing) if hand == "left" else (closing, "hinge")
    name = "door" if front.kind == "door" else f"{hand} door"
    parts = lay_front(bench, out, front, key, name, left, bottom, wide, high, edges, hand)
    hinges = _hang(bench, out, front, opening, key, hand, left, bottom, wide, high, parts)
    knobs = _knob(bench, out, front, key, hand, left, bottom, wide, high, parts)
    strikes = _stops(bench, out, front, opening, key, hand, left, wide, high, bottom)
    hung = [f"{hinge}/door_leaf" for hinge in hinges] + strikes
    members = front_members(bench, key, parts) + [(knob, FRONT, 2) for knob in knobs]
    members += [(each, (0.0, 0.0, 0.0), 0) for each in hung]
    if front.panel.stands_alone:
        bench.assemble(key, name, members, how="screwed", notes=("both faces get the same coats; panes and beads go in after that",))
    else:
        bench.assemble(key, name, members, notes=("stiles first, then rails; both faces get the same coats",))
    edge_x = left if hand == "left" else left + wide
    pin = vector(edge_x + (-1 if hand == "left" else 1) * front.gaps.side / 2, bench.fittings[hinges[0]].place.origin[1], 0.0)
    axis = DOWN if hand == "left" else UP  # a positive swing opens the door
    bench.motions.append(Motion(key=key, kind="swing", moves=(*parts, *knobs, *hung), through=pin, axis=axis, reach=SWING))


def hinge_places(height: float, count: int, leaf: float) -> tuple[float, ...]:
    """Lower ends of the hinge leaves above the door's lower edge: one leaf length from each end, the others between.

    >>> hinge_places(1443, 3, 75)
    (75.0, 684.0, 1293.0)
    """
    first, last = leaf, height - 2 * leaf
    return tuple(round(first + (last - first) * i / (count - 1), 1) for i in range(count))


def _check_hinges(out: SettingOut, front: Front, high: float, leaf: float, count: int) -> None:
    path = f"{out.path(front)}.hanging"
    if high < 3 * leaf:
        raise ParameterError(f"{path}.hinge", f"a leaf {leaf:g} mm long is too long for a door {high:g} mm high; a third of it at most")
    if count < 2:
        raise ParameterError(f"{path}.hinges", f"{count} hinge does not hold a door; at least 2 (0: by height and mass)")
    if (high - 3 * leaf) / (count - 1) < leaf + HINGES_APART:
        raise ParameterError(f"{path}.hinges", f"{count} hinges {leaf:g} mm long find no room on a door {high:g} mm high, {HINGES_APART:g} mm between them")


def _hung_on(out: SettingOut, front: Front, hand: str) -> float:
    """The mass of what the compartments behind a door hang on its inside, kg."""
    closed = {leaf for id in front.closes for leaf in out.layout.within(id)}
    things = [(leaf, number, each) for leaf in out.layout.leaves() if leaf.id in closed for number, each in enumerate(leaf.holds) if getattr(each, "on_front", False)]
    return sum(each.mass(lambda id: out.board(id, f"{out.path_of(leaf.id)}.holds[{number}].board")) for leaf, number, each in things if each.hangs_on(front, hand))


def _hinge(out: SettingOut, front: Front, high: float) -> FittingEntry:
    """The hinge that is named; where none is, the longest that the door's height and thickness take."""
    path = f"{out.path(front)}.hanging.hinge"
    if front.hanging.hinge:
        return fitting_for(path, front.hanging.hinge, "butt hinge")
    room = front_thickness(out, front) - BEHIND_LEAF
    fit = [each for each in fitting_entries("butt hinge") if _let_in(each) <= room and each.size("closed_thickness") > front.gaps.side]
    if not fit:
        raise ParameterError(path, f"no butt hinge goes into a door {room + BEHIND_LEAF:g} mm thick with a gap of {front.gaps.side:g} mm; take a thicker board or a narrower gap")
    wanted = next((leaf for most, leaf in LEAF_BY_HEIGHT if high <= most), LEAF_BY_HEIGHT[-1][1])
    fit.sort(key=lambda each: each.size("length"))
    return next((each for each in reversed(fit) if each.size("length") <= wanted), fit[0])


def _let_in(hinge: FittingEntry) -> float:
    return recess_width(hinge.size("leaf_width"), hinge.size("pin_stand"))


def _hang(bench: Bench, out: SettingOut, front: Front, opening: Opening, key: str, hand: str, left: float, bottom: float, wide: float, high: float, parts: list[str]) -> list[str]:
    entry = _hinge(out, front, high)
    wall = _wall(bench, out, front, opening, hand)
    mass = sum(bench.parts[part].size[0] * bench.parts[part].size[1] * bench.parts[part].size[2] * bench.parts[part].board.material.density for part in parts) / 1e9
    mass += _hung_on(out, front, hand)
    count = front.hanging.hinges or hinges_wanted(high, mass)
    leaf = entry.size("length")
    _check_hinges(out, front, high, leaf, count)
    thick = front_thickness(out, front)
    with blaming(f"{out.path(front)}.gaps.side"):
        deep = recess_depth(entry.size("closed_thickness"), front.gaps.side)
    across = _let_in(entry)
    if across > thick - BEHIND_LEAF:
        raise ParameterError(f"{out.path(front)}.hanging.hinge", f"a leaf let in {across:g} mm is too wide for a door {thick:g} mm thick; at most {thick - BEHIND_LEAF:g} mm")
    door_x = left if hand == "left" else left + wide
    closed = out.closed_by(front)
    wall_x = closed.left if hand == "left" else closed.right  # where the wall stands in the model, whatever was measured
    sign = -1.0 if hand == "left" else 1.0  # from the door toward the wall
    toward: Vector = (sign, 0.0, 0.0)
    hinge_stile = [part for part in parts if part.endswith("stile.hinge")]
    screws = next(each.at[0] for each in entry.screws_for() if each.into == "door")  # behind the pin; the pin stands before the face
    line = -out.depth - entry.size("pin_stand") + screws
    holds = next((each for each in hinge_stile if standing_box(bench.parts[each])[1][1] >= line), f"{key}/panel")
    door = hinge_stile if front.panel.stands_alone else [f"{key}/panel", *hinge_stile]
    made = []
    for number, low in enumerate(hinge_places(high, count, leaf), 1):
        z = bottom + low
        hinge = f"{key}/hinge.{number}"
        y = vector(0, -out.depth - entry.size("pin_stand"), 0)[1]
        pin = vector((door_x + wall_x) / 2, y, z + leaf / 2)
        bench.fit(hinge, entry, Placement(pin, BACK, RIGHT if hand == "left" else LEFT), (wall, holds))
        glued = When("after glue-up", key)
        for plug in (screw for screw in entry.screws_for() if screw.into in ("carcass", "door")):
            _plug(bench, hinge, plug, wall if plug.into == "carcass" else holds, door, wall_x, door_x, toward, glued)
        size = f"hinge recess {leaf:g} × {across:g} × {deep:g}"
        bench.take_out(wall, "recess", vector(wall_x - sign, -out.depth - 1, z), vector(wall_x + sign * deep, -out.depth + across, z + leaf), size, AT_FITTING)
        for part in door:
            bench.take_out(part, "recess", vector(door_x + sign, -out.depth - 1, z), vector(door_x - sign * deep, -out.depth + across, z + leaf), size, glued)
        _screw_hinge(bench, out, front, hinge, wall, holds)
        made.append(hinge)
    return made


def _screw_hinge(bench: Bench, out: SettingOut, front: Front, hinge: str, wall: str, holds: str) -> None:
    """Screws into the plugs of a weak board; where the board is sound, into pilots of their own."""
    screw_on(bench, hinge, {"carcass": wall}, bored=not bench.parts[wall].board.material.weak_edge)
    screw_on(bench, hinge, {"door": holds}, bored=not bench.parts[holds].board.material.weak_edge, blame=_blamed(out, front))


def _plug(bench: Bench, hinge: str, screw: ScrewPlace, part: str, door: list[str], wall_x: float, door_x: float, toward: Vector, glued: When) -> None:
    """A hardwood plug where the screw goes into a weak edge or near one; drilled, glued and pared before the recess."""
    if not bench.parts[part].board.material.weak_edge:
        return
    place = bench.fittings[hinge].place
    at = place.point(screw.at)
    in_wall = screw.into == "carcass"
    x, into, deep = (wall_x, toward, WALL_PLUG_DEPTH) if in_wall else (door_x, negative(toward), EDGE_PLUG_DEPTH)
    diameter = plug_for(screw.screw)
    if in_wall:
        deep = min(deep, bench.parts[part].board.thickness - 4.0)
    else:
        deep = min([deep, *(bench.parts[each].size[1] - PLUG_STOPS_SHORT for each in door[1:])])
    mouth = vector(x, at[1], at[2])
    when = When("in the part") if in_wall else glued
    purpose = f"plug {diameter:g} × {deep:g} for hinge screw"
    for each in [part] if in_wall else door:
        bench.bore(each, mouth, into, diameter, deep, purpose, when)
    bench.fasten("plug", f"plug {diameter:g} × {deep:g}", diameter, deep, mouth, into, (part,), "hinge plug", when)


def _wall(bench: Bench, out: SettingOut, front: Front, opening: Opening, hand: str) -> str:
    walls = walls_of(out, out.closed_by(front))
    if hand not in walls:
        raise ParameterError(f"{out.path(front)}.closes", f'there is no board at the {hand} of "{front.id}", over its whole height, to hang a door on; put an upright there')
    return walls[hand]


def _knob(bench: Bench, out: SettingOut, front: Front, key: str, hand: str, left: float, bottom: float, wide: float, high: float, parts: list[str]) -> list[str]:
    if not front.handle:
        return []
    entry = fitting_for(f"{out.path(front)}.handle", front.handle, "knob", "pull")
    shown = front.panel.stile_shown(lambda id: out.board(id, f"{out.path(front)}.panel.board"))
    from_edge = nearest(shown / 2 if shown else KNOB_FROM_EDGE, out.finest)
    reach = entry.sizes.get("overall", entry.sizes.get("diameter", 0.0)) / 2 if entry.kind == "pull" else 0.0
    if from_edge > wide / 2 or high < 2 * reach + 2 * KNOB_FROM_EDGE:
        raise ParameterError(f"{out.path(front)}.handle", f'"{front.handle}" finds no room on a door {wide:g} mm wide and {high:g} mm high, {from_edge:g} mm from its edge')
    rails = sorted(getattr(front.panel, "mid_rails", ()))
    height = next((rail for rail in rails if bottom < rail < bottom + high), min(max(KNOB_HEIGHT, bottom + high * 0.15), bottom + high * 0.85))
    height = min(max(height, bottom + reach + KNOB_FROM_EDGE), bottom + high - reach - KNOB_FROM_EDGE)
    x = left + wide - from_edge if hand == "left" else left + from_edge
    stile = [part for part in parts if part.endswith(("stile.meeting", "stile.closing"))]
    seat = vector(x, -out.depth, round(height, 1))
    with blaming(f"{out.path(front)}.handle"):
        return [seat_handle(bench, out, f"{key}/knob", entry, seat, _layers(front, key, stile), UP, "knob bolt", key)]


def _blamed(out: SettingOut, front: Front) -> str:
    """The parameter that says what a front's screws hold in."""
    return f"{out.path(front)}.panel.board" if front.panel.stands_alone else f"{out.path(front)}.board"


def _layers(front: Front, key: str, stile: list[str]) -> list[str]:
    """What a bolt goes through in the closing stile of a door, from the outside in."""
    return stile if front.panel.stands_alone else [*stile, f"{key}/panel"]


def seat_handle(bench: Bench, out: SettingOut, key: str, entry: FittingEntry, seat: Vector, parts: list[str], along: Vector, purpose: str, assembly: str) -> str:
    """Fit a knob or pull with bolts from behind through `parts`, listed from the outside in."""
    y_axis = along
    bench.fit(key, entry, Placement(seat, FRONT, y_axis), (parts[0],), finish="handles")
    place = bench.fittings[key].place
    thick = sum(bench.parts[part].board.thickness for part in parts)
    bolt = bolt_for(thick)
    when = When("after glue-up", assembly)
    for hole in entry.holes_for():
        start = place.point(hole.at)
        inward = place.direction(hole.direction)
        mouth = start
        for part in parts:
            deep = bench.parts[part].board.thickness
            for each in (part, *_tenons_in(bench, part, mouth, hole.diameter)):
                bench.bore(each, mouth, inward, hole.diameter, deep, purpose, when)
            mouth = plus(mouth, inward, deep)
        bench.fasten("bolt", f"bolt {bolt.name}", bolt.diameter, bolt.length, mouth, negative(inward), (parts[-1], key), purpose, AT_FITTING)
    return key


def _tenons_in(bench: Bench, stile: str, at: Vector, diameter: float) -> list[str]:
    """The rails whose tenons lie in a stile where a hole is bored through both."""
    own, reach = bench.parts[stile].place.own_point(at), diameter / 2
    mortises = [each for each in bench.features[stile] if isinstance(each, Pocket) and each.kind == "mortise"]
    if not any(all(each.low[i] - reach < own[i] < each.high[i] + reach for i in (0, 1)) for each in mortises):
        return []
    rails = [joint.second for joint in bench.joints if joint.kind == "mortise and tenon" and joint.first == stile]
    boxes = {key: standing_box(bench.parts[key]) for key in rails}
    return [key for key, (low, high) in boxes.items() if low[0] - reach < at[0] < high[0] + reach and low[2] - reach < at[2] < high[2] + reach]


def _stops(bench: Bench, out: SettingOut, front: Front, opening: Opening, key: str, hand: str, left: float, wide: float, high: float, bottom: float) -> list[str]:
    """A catch at the top of the closing side, and pads where the door meets an upright behind it."""
    closing_x = left + wide if hand == "left" else left
    inward = -1.0 if hand == "left" else 1.0
    back = out.y(front_thickness(out, front))
    if front.hanging.catch:
        _catch(bench, out, front, opening, key, closing_x, inward, back, wide)
    if front.stop and out.piece.carcass.set_back_pad >= fitting_entry(PAD).size("thickness"):  # with less the door stops on the wood
        _pads(bench, out, front, key, closing_x, inward, back, bottom, high)
    return [f"{key}/catch/strike"] if f"{key}/catch/strike" in bench.fittings else []


def _catch(bench: Bench, out: SettingOut, front: Front, opening: Opening, key: str, closing_x: float, inward: float, back: float, wide: float) -> None:
    """The catch on what is above the door, near its closing edge; its strike is let into the door's back."""
    entry = fitting_for(f"{out.path(front)}.hanging.catch", front.hanging.catch, "magnetic catch")
    holder, under = _above(bench, out, front, opening)
    least, key_of_back = CATCH_FROM_EDGE, f"{key}/panel"
    if front.panel.stands_alone:  # the strike is let into the top rail, beside the closing stile
        beside = front.panel.stile_width + entry.size("strike_length") / 2 + STRIKE_TO_STILE
        least, key_of_back = max(least, nearest(beside, out.finest)), f"{key}/rail.top"
        if wide < least + beside:
            raise ParameterError(f"{out.path(front)}.hanging.catch", f'the strike of "{front.hanging.catch}", {entry.size("strike_length"):g} mm long, finds no room in the top rail of a door {wide:g} mm wide; leave it empty')
    from_edge = _catch_from_edge(out, front, closing_x, inward, wide, entry.size("length"), least)
    if wide < from_edge + entry.size("length") / 2:
        raise ParameterError(f"{out.path(front)}.hanging.catch", f'"{front.hanging.catch}" finds no room on a door {wide:g} mm wide; leave it empty')
    place = Placement(vector(closing_x + inward * from_edge, back, under), DOWN, FRONT)
    catch, middle = f"{key}/catch", entry.size("strike_middle")
    bench.fit(catch, entry, place, (holder, key_of_back))
    along, across, thick = entry.size("strike_length"), entry.size("strike_width"), entry.size("strike_thickness")
    corner, opposite = place.point((middle - across / 2, -1.0, -along / 2)), place.point((middle + across / 2, thick, along / 2))
    low, high = standing_box(bench.parts[key_of_back])
    if not (low[2] <= min(corner[2], opposite[2]) and max(corner[2], opposite[2]) <= high[2]):
        name = bench.parts[key_of_back].name
        raise ParameterError(f"{out.path(front)}.hanging.catch", f'the strike of "{front.hanging.catch}", {under - middle:g} mm above the floor, does not meet the {name} ({low[2]:g} to {high[2]:g} mm); leave it empty')
    bench.take_out(key_of_back, "recess", corner, opposite, f"strike {along:g} × {across:g} × {thick:g}", AT_FITTING)
    screw_on(bench, catch, {"carcass": holder})
    screw_on(bench, catch, {"door": key_of_back}, blame=_blamed(out, front))


def _catch_from_edge(out: SettingOut, front: Front, closing_x: float, inward: float, wide: float, long: float, least: float) -> float:
    """How far from the closing edge the middle of a catch sits: as little as may be, or farther in where an upright stands behind."""
    closed = out.closed_by(front)
    uprights = [each.rect for each in out.dividers if each.kind == "upright" and closed.meets(each.rect) and each.rect.top == closed.top]
    for step in range(max(1, int((wide - long - least) / CATCH_STEP))):
        from_edge = least + step * CATCH_STEP
        middle = closing_x + inward * from_edge
        if not any(rect.left - CATCH_CLEAR < middle + long / 2 and middle - long / 2 < rect.right + CATCH_CLEAR for rect in uprights):
            return from_edge
    return least


def _above(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> tuple[str, float]:
    """What a catch is screwed to above a door, and the height of its underside: a stiffener where one hangs there."""
    top = walls_of(out, out.closed_by(front)).get("top")
    if top is None:
        raise ParameterError(f"{out.path(front)}.hanging.catch", f'there is no board above "{front.id}" for a catch; leave it empty or put a board there')
    for joint in bench.joints:
        if joint.first == top and bench.parts.get(joint.second, bench.parts[top]).role == "stiffener":
            low, high = standing_box(bench.parts[joint.second])
            if low[0] < opening.right and opening.left < high[0] and low[2] < opening.top:
                return joint.second, low[2]
    return top, out.closed_by(front).top


def _pads(bench: Bench, out: SettingOut, front: Front, key: str, closing_x: float, inward: float, back: float, bottom: float, high: float) -> None:
    entry = fitting_entry(PAD)
    behind = [each.rect for each in out.dividers if each.kind == "upright" and out.closed_by(front).meets(each.rect)]
    lapped = {rect.bottom: rect for rect in behind if rect.left - PAD_LAP <= closing_x + inward * 8.0 <= rect.right + PAD_LAP}
    for number, (_, rect) in enumerate(sorted(lapped.items())):
        divider = next(each for each in out.dividers if each.kind == "upright" and each.rect == rect)
        edge_y = max(-out.depth, bench.parts[divider.key].place.origin[1] - bench.parts[divider.key].size[1])
        lap, edge = min(rect.right, max(rect.left, closing_x)), rect.left if inward < 0 else rect.right
        low, top = max(bottom, rect.bottom), min(bottom + high, rect.top)
        places = (("bottom", low + PAD_FROM_END), ("top", top - PAD_FROM_END)) if top - low > 2.5 * PAD_FROM_END else (("middle", (low + top) / 2),)
        above = f".{number + 1}" if number else ""  # a second upright stands over the first, on a fixed shelf
        for end, z in places:
            bench.fit(f"{key}/pad.{end}{above}", entry, Placement(vector((lap + edge) / 2, edge_y, z), FRONT, RIGHT), (divider.key,))


def drawer_front(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> tuple[list[str], Board, float, float, float, float]:
    """Lay down a drawer's front: its parts, board, left, bottom, width and height."""
    wide = down_to(opening.width - 2 * front.gaps.side, out.step)
    high = down_to(opening.height - front.gaps.top - front.gaps.bottom, out.step)
    left = round((opening.left + opening.right - wide) / 2, 6)
    bottom = round(opening.bottom + front.gaps.bottom, 6)
    parts = lay_front(bench, out, front, f"{front.id}/front", "drawer front", left, bottom, wide, high, ("left", "right"), "bottom")
    return parts, front_board(out, front), left, bottom, wide, high


def handle_count(front: Front, wide: float) -> int:
    """One pull on a narrow front, two above 700 mm; common practice, no source."""
    return front.handles or (2 if wide > WIDE_FRONT else 1)


def handle_places(wide: float, count: int) -> tuple[float, ...]:
    """Distances of the pulls' middles from the left edge: the middle, quarter points, or fifth points above 1000 mm.

    >>> handle_places(1039, 2), handle_places(500, 1)
    ((207.8, 831.2), (250.0,))
    """
    if count == 1:
        return (round(wide / 2, 6),)
    part = wide / (5 if wide > VERY_WIDE_FRONT else 4)
    apart = round(wide / 2 - part, 1)
    return (round(wide / 2 - apart, 6), round(wide / 2 + apart, 6))
