"""The order of building: set out, carcass, support, top, insides, fronts, anchors, and the assembly of the whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..errors import ParameterError, within
from ..fittings import fitting_entry
from ..frozen import undisturbed
from ..geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ..model import Bay, Model, Part
from ..piece.finish import Finish
from ..piece.piece import Piece
from ..piece.whole import Record
from . import anchor_rails
from .alcove import fit_between_walls, keep_clear_of_skirting
from .back_parts import part_back
from .bench import Bench
from .blanks import saw_over
from .carcass import bay_walls, build_carcass, row_length
from .clearance import shifted
from .contents import check_beside
from .doors import build_doors
from .drawers.drawer import build_drawer
from .drawers.interlock import interlock_stacks
from .drawers.place import check_behind_doors, set_in_drawers
from .fixed import build_fixed
from .framed_sides import part_sides
from .hanging import stands_free
from .hardware import screw_on
from .lipping import lip_edges
from .ordering import STAY, WOODEN_RUNNERS, order_carcass
from .pinning import pin_strips
from .piping import keep_clear_of_pipes
from .setting_out import SettingOut, set_out
from .shifting import moved_forward
from .stops import STRIP
from .top_rails import part_top

ON_THE_ROD = ("butt hinge", "concealed hinge", "lift-off hinge", "knob", "pull", "drawer runner", "hanging rail")
PACKS = ("/packs.left", "/packs.right")  # assemblies that bring a drawer clear of an open door
ANCHOR = "bracket-anchor-60"
ONE_BRACKET = 500.0  # mm of a rail that one bracket holds; a longer one that is alone has two (findings: wall anchor)
BRACKETS_APART = 400.0  # mm between those two at least; findings: wall anchor
NARROW_RAIL = 100.0  # mm; a bracket on a shorter one meets the dowels at the top's ends; common practice, no source
BRACKET_FROM_END = 100.0  # mm from a rail's end to the middle of a bracket; common practice, no source
ANCHOR_STEP = 5.0  # mm by which it gives way to what stands there
BUILDERS = {"drawer": build_drawer, "fixed": build_fixed}
HUNG_WITH_THE_DOOR = ("butt hinge", "piano hinge")  # screwed to the door first, then with it to the carcass


def build(piece: Piece) -> Model:
    """The model of a piece; ParameterError where it cannot be made."""
    with undisturbed():
        return _built(piece)


def build_seen(piece: Piece) -> Model:
    """The same as far as it is seen, for a picture that follows the mouse.

    It lacks strip pins and which strips are too narrow for them, screws, plugs, the holes that they and dowels fill, and the rod; a fitting
    that gives way to a screw may stand some millimetres from its place.
    """
    with undisturbed():
        return _built(piece, seen_only=True)


def shaping(piece: Piece) -> Piece:
    """The piece as far as its model is made from it: whoever remembers models by this builds none anew for another colour.

    Finishes, the record of the job and ids that are not used any more shape nothing.
    """
    return replace(piece, finish=Finish(), record=Record(), retired=())


def _built(piece: Piece, seen_only: bool = False) -> Model:
    out = set_out(piece)
    bench = Bench(seen_only=seen_only and not out.framed_sides)  # the screws of those are dealt out to their frames
    set_in_drawers(out)
    openings = [out.opening(front, index) for index, front in enumerate(piece.fronts)]
    bench.openings += openings
    set_backs = _set_backs(out)
    build_carcass(bench, out, set_backs)
    with within("support"):
        support = piece.support.build(bench, out)
    leaves = out.layout.leaves()
    laid = sorted(zip(piece.fronts, openings), key=lambda each: each[0].is_inner)  # behind doors that hang already
    of_front = {  # runners have one place for their screws, to which the holes of shelves on the same board give way
        front.id: build_drawer(bench, out, front, opening)
        for front, opening in laid
        if front.kind == "drawer" and not front.is_inner
    }
    # by id: where two bays share a wall, the first has its holes in the usual place, in the mirror image too
    filled = {leaf.id: _fill(bench, out, leaf, set_backs) for leaf in sorted(leaves, key=lambda each: each.id)}
    insides = {leaf.id: filled[leaf.id] for leaf in leaves}
    _bays(bench, out, set_backs, insides)
    for front, opening in laid:
        if front.id not in of_front:
            of_front[front.id] = BUILDERS.get(front.kind, build_doors)(bench, out, front, opening)
    fronts = [key for front, _ in laid for key in of_front[front.id]]
    _in_order(bench, [front.id for front, _ in laid])
    interlock_stacks(bench, out)
    for leaf in sorted(leaves, key=lambda each: each.id):
        _fill(bench, out, leaf, set_backs, on_front=True)
    check_behind_doors(bench, out)
    anchors = _anchors(bench, out)
    with within("top"):
        top = piece.top.build(bench, out)
    strips = fit_between_walls(bench, out)
    keep_clear_of_skirting(bench, out)
    keep_clear_of_pipes(bench, out)
    if not seen_only:
        pin_strips(bench)
    part_back(bench, out)
    part_top(bench, out)
    order_carcass(bench, out, support)
    _whole(bench, out, insides, fronts, anchors, top, strips)
    part_sides(bench, out)
    lip_edges(bench, out)
    saw_over(bench, piece.shop.solid_over)
    rods = {} if seen_only else _rods(bench, out)
    made = bench.model(piece.whole.name, *_sizes(out), rods, filled=not seen_only)
    return moved_forward(made, out.behind)


def _in_order(bench: Bench, fronts: Sequence[str]) -> None:
    """Put what belongs to fronts in their order: drawers that were laid early keep their place and numbers among the parts."""
    numbers = {id: number for number, id in enumerate(fronts)}

    def place(key: str) -> int:
        return numbers.get(key.split("/")[0], -1)

    bench.assemblies.sort(key=lambda each: place(each.key))
    bench.motions.sort(key=lambda each: place(each.key))
    bench.parts = {key: bench.parts[key] for key in sorted(bench.parts, key=place)}
    bench.fittings = {key: bench.fittings[key] for key in sorted(bench.fittings, key=place)}


def _set_backs(out: SettingOut) -> dict[str, float]:
    """How far behind the carcass front each dividing board and each bay begins, by key of the board and "bay.<id>"."""
    behind: dict[str, float] = {}
    pad = out.piece.carcass.set_back_pad
    for front in out.piece.fronts:
        if front.lay != "inset":
            continue  # what stands behind an overlay front comes up to the carcass front
        set_back = round(out.front_f(front)[1] + pad, 6)
        rect = out.closed_by(front)
        for divider in out.dividers:
            if rect.holds(divider.rect):
                behind[divider.key] = max(set_back, behind.get(divider.key, 0.0))
        for id, other in out.rects.items():
            if rect.holds(other):
                behind[f"bay.{id}"] = max(set_back, behind.get(f"bay.{id}", 0.0))
    if out.open_top:  # the chest's front stands before what lies under the lid
        under = [id for id, rect in out.rects.items() if rect.top == out.inner.top and not out.layout.parts(id)]
        behind |= {f"bay.{id}": max(out.side_board.thickness, behind.get(f"bay.{id}", 0.0)) for id in under}
    return {**{divider.key: 0.0 for divider in out.dividers}, **behind}


def _fill(bench: Bench, out: SettingOut, leaf, set_backs: dict[str, float], on_front: bool = False) -> list[str]:
    """Lay in what a compartment holds; with `on_front` what hangs on its doors."""
    made: list[str] = []
    if not leaf.holds:
        return made
    walls = bay_walls(out, leaf.id, set_backs)
    for number, inside in enumerate(leaf.holds, 1):
        if getattr(inside, "on_front", False) != on_front:
            continue
        with within(f"{walls.path}.holds[{number - 1}]"):
            if inside in leaf.holds[: number - 1]:  # it would be bored and screwed where the other is already
                raise ParameterError(
                    "",
                    f'"{leaf.id}" holds the same "{inside.style}" as number {leaf.holds.index(inside) + 1}; at most 1 finds room in one place: change its place or size, or leave it away',
                )
            before = {*bench.parts, *bench.fittings}
            made += inside.build(bench, out, walls, number)
            if number > 1 or on_front:
                check_beside(bench, f"{walls.key}/", before)
    return made


def _anchors(bench: Bench, out: SettingOut) -> list[str]:
    """A wall bracket under the top behind each anchor rail's face, at the rails farthest apart that are long enough for one."""
    rails = sorted(
        (part for part in bench.parts.values() if part.role == "anchor rail"), key=lambda part: part.place.origin[0]
    )
    rails = [rail for rail in rails if rail.size[0] >= NARROW_RAIL] or rails
    made = []
    for rail in [rails[0], rails[-1]] if len(rails) > 1 else rails:
        for where, along in _along_rail(rail, alone=len(rails) == 1):
            key = f"anchor.{rail.key.removeprefix(anchor_rails.KEYS)}{where}"
            bench.fit(key, fitting_entry(ANCHOR), _anchor_place(bench, out, rail, along), ("carcass/top", rail.key))
            screw_on(bench, key, {"piece": "carcass/top"})
            made.append(key)
    return made


def _along_rail(rail: Part, alone: bool) -> list[tuple[str, float]]:
    """Where brackets stand along an anchor rail, from its middle: one there; two near the ends of a long one that is the only one."""
    if not alone or rail.size[0] < ONE_BRACKET:
        return [("", 0.0)]
    reach = round(max(rail.size[0] / 2 - BRACKET_FROM_END, BRACKETS_APART / 2), 1)
    return [(".left", -reach), (".right", reach)]


def _anchor_place(bench: Bench, out: SettingOut, rail: Part, along: float) -> Placement:
    """Upside down in the corner of top and rail, where nothing stands, nearest to a place along the rail: x to the left, y toward the wall, z down."""
    entry = fitting_entry(ANCHOR)
    thick, most = entry.size("thickness"), (rail.size[0] - entry.size("width")) / 2 - abs(along)
    front_y = rail.place.origin[1] - rail.board.thickness
    wanted = vector(rail.place.origin[0] + rail.size[0] / 2 + along, front_y - thick, out.inner.top - thick)
    for at in shifted(wanted, LEFT if wanted[0] > 0 else RIGHT, most, ANCHOR_STEP):
        place = Placement(at, LEFT, BACK)
        if stands_free(bench, entry.bodies_for(), place, {"carcass/top", rail.key}, -0.01):
            return place
    raise ParameterError(
        "carcass.stiffeners.anchor_rail_width",
        f'the wall bracket, {entry.size("width"):g} mm wide, finds no room under the top before "{rail.key}"; make that compartment wider, or what hangs in it lower',
    )


# ------------------------------------------------------------------------------------------------------------------ assemblies
def _whole(
    bench: Bench,
    out: SettingOut,
    insides: dict[str, list[str]],
    fronts: list[str],
    anchors: list[str],
    top: list[str],
    strips: list[str],
) -> None:
    """The carcass with what is screwed to it, then what is laid in, the drawers, the doors with their hinges, the top; on site the strips."""
    assembled = {assembly.key for assembly in bench.assemblies}
    tubes = [key for made in insides.values() for key in made if key.endswith("/tube")]
    rails = [tube.removesuffix("tube") for tube in tubes]
    on_rails = [
        f"{rail}{what}" for rail in rails if f"{rail}socket.left" in bench.fittings for what in ("socket.", "bracket")
    ]
    hung_up = [key for key in bench.fittings if key.startswith(tuple(on_rails))]  # go in on the rail
    laid_in = [
        key for made in insides.values() for key in made if key in bench.parts or key in assembled or key in tubes
    ]
    moving = {member.key for assembly in bench.assemblies for member in assembly.members}
    hinges = [
        key
        for key, each in bench.fittings.items()
        if key not in moving and fitting_entry(each.entry).kind in HUNG_WITH_THE_DOOR
    ]
    arms = [
        key
        for key, each in bench.fittings.items()
        if key not in moving and fitting_entry(each.entry).kind == "concealed hinge"
    ]  # stand in the way of what is laid in
    stops = [key for key, part in bench.parts.items() if part.role == STRIP]
    stops += [
        key for key, each in bench.fittings.items() if set(each.parts) & set(stops) and key not in moving
    ]  # and the pads on them
    elsewhere = {*top, *moving, *laid_in, *hung_up, *anchors, *hinges, *arms, *stops}
    screwed_on = [key for key in bench.fittings if key not in elsewhere]
    drawers = {front.id for front in out.piece.fronts if front.kind == "drawer"}
    members: list[tuple[str, Vector, int]] = [("carcass", STAY, 0)]
    members += [(key, STAY, 0) for key in [*anchors, *screwed_on]]
    members += [(key, FRONT, 1) for key in [*hung_up, *laid_in]]
    members += [(key, FRONT, 1) for key in fronts if key.endswith(PACKS)]
    members += [(key, FRONT, 2) for key in [*stops, *arms]]
    members += [(key, FRONT, 2) for key in fronts if key in assembled and key in drawers]
    members += [
        (key, FRONT, 3)
        for key in fronts
        if key in assembled and key not in drawers and not key.endswith((*PACKS, *WOODEN_RUNNERS))
    ]
    members += [(key, UP if key.startswith("lid") else FRONT, 4 if key.startswith("lid") else 3) for key in hinges]
    buttons = [key for key in top if key in bench.fittings]
    members += [(key, UP, 4) for key in top if key not in buttons]
    members += [(key, RIGHT if ".left." in key else LEFT, 5) for key in buttons]  # out of their grooves
    members += [(key, FRONT, 5) for key in strips]
    bench.assemble("whole", "the whole", _with_what_holds_them(bench, members), how="hung")


def _with_what_holds_them(bench: Bench, members: list[tuple[str, Vector, int]]) -> list[tuple[str, Vector, int]]:
    """Fittings that are fixed to nothing but one member, a pad on its strip, come away with it."""
    ways = {key: (way, layer) for key, way, layer in members}
    found = []
    for key, way, layer in members:
        held = set(bench.fittings[key].parts) if key in bench.fittings and way == STAY else set()
        on = next(iter(held)) if len(held) == 1 else ""
        found.append((key, *ways[on]) if on in ways else (key, way, layer))
    return found


# ------------------------------------------------------------------------------------------------------------------- figures
def _bays(bench: Bench, out: SettingOut, set_backs: dict[str, float], insides: dict[str, list[str]]) -> None:
    overlaid = [out.closed_by(front) for front in out.piece.fronts if front.lay != "inset"]
    for leaf in out.layout.leaves():
        rect, front_f = out.rects[leaf.id], set_backs.get(f"bay.{leaf.id}", 0.0)
        low, high = vector(rect.left, out.y(front_f), rect.bottom), vector(rect.right, out.y(row_length(out)), rect.top)
        bench.bays.append(
            Bay(
                key=leaf.id,
                low=low,
                high=high,
                behind_front=front_f > 0 or any(each.holds(rect) for each in overlaid),
                holds=tuple(insides[leaf.id]),
            )
        )


def _sizes(out: SettingOut) -> tuple[Vector, Vector]:
    over = out.piece.top.overhang()
    deep = out.behind + out.depth
    overall = vector(
        out.over_frames + 2 * over.side, deep + max(over.front, out.proud), out.outer.top + over_height(out)
    )
    return overall, vector(out.over_frames, deep, out.outer.top)


def over_height(out: SettingOut) -> float:
    """How far the top stands above the carcass."""
    return out.piece.top.rise(lambda id: out.board(id, "top.board"))


def _rods(bench: Bench, out: SettingOut) -> dict[str, tuple[float, ...]]:
    """Every height from the floor, width from the centre and depth from the carcass front at which a part begins or ends.

    Heights of hinges, handles, runners and rails are among them: they are set out on the rod with the parts.
    """
    heights, widths, depths = set(), set(), set()
    for part in bench.parts.values():
        place, (u, v, w) = part.place, part.size
        (a, b, c), (d, e, f), (g, h, i) = place.x, place.y, place.z
        o, p, q = place.origin
        far = o + (u * a + v * d + w * g), p + (u * b + v * e + w * h), q + (u * c + v * f + w * i)
        for x, y, z in (place.origin, far):
            heights.add(round(z, 1) + 0.0)
            widths.add(round(abs(x), 1))
            depths.add(round(y + out.depth, 1) + 0.0)
    heights |= {
        round(each.place.origin[2], 1)
        for each in bench.fittings.values()
        if fitting_entry(each.entry).kind in ON_THE_ROD
    }
    return {"heights": tuple(sorted(heights)), "widths": tuple(sorted(widths)), "depths": tuple(sorted(depths))}
