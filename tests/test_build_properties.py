"""Whatever a person enters is refused in one clear line, or gives a piece that could be built.

The judges are general-purpose libraries that know nothing of this project: a boolean library for solids that run into one
another, numpy for boxes and axes.
"""

from __future__ import annotations

import itertools
import json
import math
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import cached_property
from typing import Any

import manifold3d
import numpy as np
import pytest
from examples import EXAMPLES, example_model, example_text
from hypothesis import HealthCheck, Phase, given, settings
from strategies import BOARDS, SOLIDS, mirrored, piece_data, relented

import core
from core.catalogue import entries
from core.errors import ParameterError
from core.fields import walk
from core.fittings import fitting_entry
from core.geometry import plus
from core.model import FOR_PIPE, Cut, CutOut, Hole, Joint, Model, Part, Pocket
from core.piece import Piece, loads
from core.solids import Mesh, is_closed, mesh_of_body, meshes_of, placed

RULES = settings(
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
    print_blob=False,
)
# what fails is told as it was found; looking for a smaller piece that fails too takes minutes
FEW = settings(RULES, max_examples=150, phases=(Phase.explicit, Phase.generate))

OVERLAP = 1.0  # mm³ that two parts may share
TIMES = 8  # that a refused piece is changed and tried again
COAXIAL = 0.01  # mm between the axes of mating holes
TOUCH = 0.05  # mm between things that a joint says meet
MIRRORED = 1e-5  # mm between a piece and its mirror image; coordinates are rounded to 1e-6 more than once
THICKEST_STRIP = 30.0  # mm, planted on a door
RUNNER_PLAY = 0.8  # mm; a runner 12.7 thick in at most 13.5 of side space (the fittings library)
SAME = 1e-6  # mm
FEET = ("glide", "levelling foot", "castor")
# holes that are meant to come out at the far side
THROUGH = ("clearance", "bolt", "through the lipping", "cable", "ventilation", "pipe ", "sleeve")


# --------------------------------------------------------------------------------------------------------------- rules
class Built:
    """A model and what the judges measure on it."""

    def __init__(self, piece: Piece, model: Model) -> None:
        self.piece, self.model = piece, model

    @cached_property
    def meshes(self) -> dict[str, Mesh]:
        """Every part's mesh where it stands in the piece."""
        own = meshes_of(part.shape for part in self.model.parts)
        return {part.key: placed(mesh, part.place) for part, mesh in zip(self.model.parts, own, strict=True)}

    @cached_property
    def boxes(self) -> dict[str, tuple[np.ndarray, np.ndarray]]:
        """The lower and upper corner of every part and fitting."""
        found = {key: (mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)) for key, mesh in self.meshes.items()}
        for fitting in self.model.fittings:
            points = np.concatenate([fitting.place.points(body_points(body)) for body in fitting.bodies])
            found[fitting.key] = (points.min(axis=0), points.max(axis=0))
        return found

    @cached_property
    def solids(self) -> dict[str, manifold3d.Manifold]:
        """The judge's solid of a part by key, made when it is asked for."""
        return _Solids(self.meshes)


class _Solids(dict):
    def __init__(self, meshes: dict[str, Mesh]) -> None:
        super().__init__()
        self.meshes = meshes

    def __missing__(self, key: str) -> manifold3d.Manifold:
        self[key] = solid_of(self.meshes[key])
        return self[key]


def solid_of(mesh: Mesh) -> manifold3d.Manifold:
    """The judge's solid of a mesh."""
    points = np.ascontiguousarray(mesh.vertices, float)
    return manifold3d.Manifold(manifold3d.Mesh64(points, np.ascontiguousarray(mesh.triangles(), np.uint64)))


def body_points(body: Any) -> np.ndarray:
    """Points that span a body of a fitting: the corners of the box around it."""
    low, high = np.array(body.low, float), np.array(body.high, float)
    if body.form == "block":
        return np.array(list(itertools.product(*zip(low, high, strict=True))))
    axis = int(np.abs(high - low).argmax())
    if body.form == "turned":
        radius = max(r for _, r in body.outline)
        along = [low + (high - low) / np.linalg.norm(high - low) * d for d, _ in body.outline]
        spread = np.full(3, radius)
        spread[axis] = 0.0
        return np.array([point + sign * spread for point in along for sign in (-1, 1)])
    across = [(axis + 1) % 3, (axis + 2) % 3]
    points = []
    for end in (low, high):
        for u, v in body.outline:
            point = end.copy()
            point[across[0]] += u
            point[across[1]] += v
            points.append(point)
    return np.array(points)


def closed(built: Built) -> None:
    """Every part's mesh is closed, and the boolean library takes it as a solid."""
    for key, mesh in built.meshes.items():
        assert is_closed(mesh), f"{key} is not closed"


def as_large_as_asked(built: Built) -> None:
    """The box around all parts and what they stand on is what was asked for, within the finest step; scribing strips lie beside it."""
    own = [part.key for part in built.model.parts if part.role != "scribing strip"]
    standing = [*own, *(each.key for each in built.model.fittings if fitting_entry(each.entry).kind in FEET)]
    low = np.min([built.boxes[key][0] for key in standing], axis=0)
    high = np.max([built.boxes[key][1] for key in standing], axis=0)
    assert np.allclose(high - low, built.model.overall, atol=SAME), (
        f"the parts measure {high - low}, the model says {built.model.overall}"
    )
    assert abs(low[2]) < SAME and abs(high[1]) < SAME and abs(low[0] + high[0]) < SAME, (
        f"it does not stand in its frame: {low} {high}"
    )
    whole = built.piece.whole
    if whole.basis == "overall":
        step = 0.1 if built.piece.shop.finest_step == "0.1 mm" else 25.4 / 64
        asked = (whole.width, whole.depth, whole.height)
        assert all(-SAME <= a - m < step + SAME for a, m in zip(asked, built.model.overall, strict=True)), (
            f"asked {asked}, built {built.model.overall}"
        )


def none_in_another(built: Built) -> None:
    """No two parts share more than a speck of wood."""
    for one, other in near_pairs({key: built.boxes[key] for key in built.meshes}):
        shared = (built.solids[one] ^ built.solids[other]).volume()
        assert shared <= OVERLAP, f"{one} and {other} share {shared:.1f} mm³"


def near_pairs(boxes: dict[str, tuple[np.ndarray, np.ndarray]], gap: float = -1e-6) -> Iterator[tuple[str, str]]:
    """The pairs whose boxes are nearer than `gap`; below 0, whose boxes run into one another."""
    keys = list(boxes)
    low, high = np.array([boxes[key][0] for key in keys]), np.array([boxes[key][1] for key in keys])
    for i in range(len(keys)):
        near = np.all((low[i] <= high[i + 1 :] + gap) & (low[i + 1 :] <= high[i] + gap), axis=1)
        yield from ((keys[i], keys[i + 1 + int(j)]) for j in np.flatnonzero(near))


def on_one_axis(built: Built) -> None:
    """A fastener that holds two parts lies on the axes of the holes that both have for it."""
    holes = defaultdict(list)
    for part in built.model.parts:
        for hole in part.shape.features:
            if isinstance(hole, Hole):
                holes[part.key].append(
                    (np.array(part.place.point(hole.at)), np.array(part.place.direction(hole.into)), hole)
                )
    for fastener in built.model.fasteners:
        if fastener.kind not in ("dowel", "screw") or not all(key in holes for key in fastener.parts):
            continue
        at, along = np.array(fastener.at), np.array(fastener.along)
        for key in fastener.parts:
            if _in_a_slot(built.model.part(key), at):
                continue
            off = min((_off_axis(at, along, mouth, into) for mouth, into, _ in holes[key]), default=np.inf)
            assert off <= COAXIAL, f"{fastener.key} has no hole in {key} on its axis; the nearest is {off:.3f} mm off"


def _in_a_slot(part: Part, at: np.ndarray) -> bool:
    """Whether a screw's head stands in the middle of a slot, which lets solid wood move, instead of a hole."""
    slots = [each for each in part.shape.features if isinstance(each, Pocket) and each.kind == "slot"]
    own = np.array(part.place.own_point(tuple(at)))
    middles = [(np.array(each.low) + np.array(each.high)) / 2 for each in slots]
    return any(np.sort(np.abs(own - middle))[1] <= COAXIAL for middle in middles)


def _off_axis(at: np.ndarray, along: np.ndarray, mouth: np.ndarray, into: np.ndarray) -> float:
    """How far a hole's mouth lies from a fastener's axis; endless where they look different ways or are far apart."""
    if abs(abs(float(along @ into)) - 1) > 1e-9:
        return np.inf
    beyond = mouth - at
    return float(np.linalg.norm(beyond - along * (beyond @ along))) if abs(beyond @ along) < 80 else np.inf


def holes_stay_inside(built: Built) -> None:
    """A hole has a depth, begins on its part, and comes out at the far side only where it is meant to."""
    for part in built.model.parts:
        size = np.array(part.size)
        for hole in part.shape.features:
            if not isinstance(hole, Hole):
                continue
            where = f"{part.key}: {hole.purpose} at {tuple(round(v, 2) for v in hole.at)}"
            assert hole.depth > 0.5, f"{where} is {hole.depth:g} mm deep"
            at, into = np.array(hole.at), np.array(hole.into)
            across = np.abs(into) < 0.5
            reach = hole.diameter / 2 - SAME
            alone = hole.when.stage == "in the part"  # what is bored after a glue-up may lie half in a neighbour
            assert not alone or np.all((at[across] >= reach) & (at[across] <= size[across] - reach)), (
                f"{where} runs out at the side of {part.size}"
            )
            axis = int(np.abs(into).argmax())
            entry = at[axis] if into[axis] > 0 else size[axis] - at[axis]
            begins = -1.5 * SAME  # place and part are rounded each by itself
            assert begins <= entry < size[axis], f"{where} does not begin on {part.size}"
            if not any(word in hole.purpose for word in THROUGH):
                assert entry + hole.depth <= size[axis] - 1, (
                    f"{where} is {hole.depth:g} deep and comes out of {part.size}"
                )


def no_hole_twice(built: Built) -> None:
    """No hole is bored twice in the same place; a pilot in a plug is narrower."""
    for part in built.model.parts:
        places = Counter((hole.at, hole.into, hole.diameter) for hole in part.shape.features if isinstance(hole, Hole))
        twice = [place for place, number in places.items() if number > 1]
        assert not twice, f"{part.key} is bored twice at {twice[:3]}"


def nothing_fouls(built: Built) -> None:
    """No fitting stands in the wood, but where a recess or a hole was made for it."""
    for fitting in built.model.fittings:
        low, high = built.boxes[fitting.key]
        near = [
            key
            for key in built.meshes
            if np.all(low < built.boxes[key][1] - SAME) and np.all(built.boxes[key][0] < high - SAME)
        ]
        bodies = [solid_of(placed(mesh_of_body(body), fitting.place)) for body in fitting.bodies] if near else []
        for key in near:
            shared = max((body ^ built.solids[key]).volume() for body in bodies)
            assert shared <= OVERLAP, f"{fitting.key} stands {shared:.1f} mm³ in {key}"


def _play(built: Built, joint: Joint) -> float:
    """How far apart what meets may be: a leaf is drawn square to a hinge edge that is planed, the board leans from it behind a strip."""
    if joint.kind == "fitting" and "/runner." in joint.second:
        return RUNNER_PLAY
    if joint.kind == "fitting" and "/hinge" in joint.second:
        relief = max((front.hanging.hinge_relief for front in built.piece.fronts), default=0.0)
        return TOUCH + THICKEST_STRIP * math.tan(math.radians(relief))
    return TOUCH


def held_together(built: Built) -> None:
    """What a joint says meets does meet, and from every part the joints lead to what stands on the floor."""
    links = defaultdict(set)
    for joint in built.model.joints:
        gap = _gap(built.boxes[joint.first], built.boxes[joint.second])
        assert gap <= _play(built, joint) or joint.kind == "groove", (
            f"{joint.key}: {joint.kind} over a gap of {gap:.2f} mm"
        )
        links[joint.first].add(joint.second)
        links[joint.second].add(joint.first)
    held = [key for key, (low, _) in built.boxes.items() if low[2] < SAME]
    seen = set(held)
    while held:
        fresh = links[held.pop()] - seen
        seen |= fresh
        held += fresh
    loose = [key for key in built.boxes if key not in seen]
    assert not loose, f"nothing holds {', '.join(loose[:4])}"


def _gap(one: tuple[np.ndarray, np.ndarray], other: tuple[np.ndarray, np.ndarray]) -> float:
    return float(np.linalg.norm(np.maximum(0, np.maximum(one[0] - other[1], other[0] - one[1]))))


def names_hang_together(built: Built) -> None:
    """Keys are unique, and joints, fasteners, fittings, assemblies and motions speak of what there is."""
    model = built.model
    keys = [each.key for each in (*model.parts, *model.fittings)]
    assert len(set(keys)) == len(keys)
    known, assemblies = set(keys), [each.key for each in model.assemblies]
    assert len(set(assemblies)) == len(assemblies) and assemblies[-1] == "whole"
    assert {key for joint in model.joints for key in (joint.first, joint.second)} <= known
    fasteners = [each.key for each in model.fasteners]
    assert len(set(fasteners)) == len(fasteners)
    assert {key for joint in model.joints for key in joint.fasteners} <= set(fasteners)
    assert {key for fastener in model.fasteners for key in fastener.parts} <= known
    members = Counter(member.key for assembly in model.assemblies for member in assembly.members)
    assert set(members) <= known | set(assemblies)
    twice = [key for key, number in members.items() if number > 1]
    assert not twice, f"{twice[:4]} are in two assemblies"
    left_out = [part.key for part in model.parts if part.key not in members]
    assert not left_out, f"no assembly has {left_out[:4]}"
    assert {key for motion in model.motions for key in motion.moves} <= known


ALL_RULES = (
    closed,
    as_large_as_asked,
    none_in_another,
    on_one_axis,
    holes_stay_inside,
    no_hole_twice,
    nothing_fouls,
    held_together,
    names_hang_together,
)


# --------------------------------------------------------------------------------------------------------------- tests
def built_or_refused(data: dict[str, Any]) -> Built | None:
    """The piece as built; None where it is refused, after a look at what the refusal says."""
    try:
        piece = loads(json.dumps(data))
        return Built(piece, core.build(piece))
    except ParameterError as refused:
        assert is_clear(refused, data), f"not clear: [{refused.field}] {refused}"
        return None


def built_at_last(data: dict[str, Any]) -> tuple[dict[str, Any], Built | None]:
    """The piece as built, after what was refused has been taken back a few times; every refusal is looked at."""
    for _ in range(TIMES):
        built = built_or_refused(data)
        changed = None if built else relented(data, refused_field(data))
        if built or changed is None:
            return data, built
        data = changed
    return data, built_or_refused(data)


def refused_field(data: dict[str, Any]) -> str:
    """The parameter that a refused piece's refusal names."""
    with pytest.raises(ParameterError) as refused:
        core.build(loads(json.dumps(data)))
    return refused.value.field


def is_clear(refused: ParameterError, data: dict[str, Any]) -> bool:
    """One line that begins with a parameter of the piece and shows a value."""
    text = str(refused)
    return (
        "\n" not in text
        and len(text) < 300
        and names_a_parameter(refused.field, data)
        and bool(re.search(r'\d|"', refused.message))
    )


def names_a_parameter(field: str, data: dict[str, Any]) -> bool:
    """Whether a path leads to a parameter or group that a piece file has or may have."""
    paths = {path for path, _, _ in walk(Piece())} | {"layout", "fronts"}
    general = {re.sub(r"\[\d+\]", "[]", path) for path in paths} | {"fronts[]", "layout[].holds[]"}
    wanted = re.sub(r"\[\d+\]", "[]", field)
    if wanted.startswith(
        ("fronts[].", "layout[].holds[].", "support.", "top.", "carcass.side_panel.", "carcass.joint.", "site.pipes[].")
    ):
        return _leads_somewhere(field, data)
    return any(path == wanted or path.startswith((wanted + ".", wanted + "[")) for path in general)


def _leads_somewhere(field: str, data: dict[str, Any]) -> bool:
    """Whether a path is one of the piece's own parameters, as far as the piece can be read at all."""
    try:
        piece = loads(json.dumps(data))
    except ParameterError:
        return True  # refused while reading: the reader made the path itself
    paths = [path for path, _, _ in walk(piece)]
    return any(path == field or path.startswith((field + ".", field + "[")) for path in paths) or field.endswith(
        (".style", ".mid_rails")
    )


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("rule", ALL_RULES, ids=lambda rule: rule.__name__)
def test_every_example_keeps_every_rule(name: str, rule: Any) -> None:
    """The pieces that are handed out as examples and starters can be built."""
    rule(_built(name))


_KNOWN: dict[str, Built] = {}


def _built(name: str) -> Built:
    if name not in _KNOWN:
        piece = loads(example_text(name))
        _KNOWN[name] = Built(piece, core.build(piece))
    return _KNOWN[name]


def any_piece(data: dict[str, Any]) -> None:
    """Any piece is refused in one clear line, or keeps every rule and is the same when built again."""
    data, built = built_at_last(data)
    if built is not None:
        keeps_every_rule(data, built)


def keeps_every_rule(data: dict[str, Any], built: Built) -> None:
    """A piece that was built keeps every rule and is the same when built again."""
    for rule in ALL_RULES:
        rule(built)
    again = core.build(loads(json.dumps(data)))
    assert again == built.model and again.rods == built.model.rods


@FEW
@given(piece_data())
def test_any_piece_is_refused_clearly_or_can_be_built(data: dict[str, Any]) -> None:
    """Refused with parameter, value and limit, or closed, as large as asked, without overlap, held together, drilled true."""
    any_piece(data)


# ------------------------------------------------------------------------------------------------------------ measured
@pytest.mark.parametrize("off", [-2.0, -0.4, 0.4, 2.0])
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_measured_opening_moves_what_closes_it_and_nothing_else(name: str, off: float) -> None:
    """The carcass that was measured stays as it is; door or drawer takes the difference; without it all is as designed."""
    for opening in example_model(name).openings:
        data = json.loads(example_text(name))
        data["measured"] = [{"what": f"opening.{opening.key}.width", "value": round(opening.width + off, 1)}]
        measured = Built(loads(json.dumps(data)), core.build(loads(json.dumps(data))))
        for rule in (closed, as_large_as_asked, none_in_another, on_one_axis, holes_stay_inside, names_hang_together):
            rule(measured)
        before = {part.key: part for part in example_model(name).parts}
        assert set(before) == {part.key for part in measured.model.parts}
        for part in measured.model.parts:
            if not part.key.startswith(f"{opening.key}/"):
                assert part.size == before[part.key].size and part.place == before[part.key].place, part.key
        panels = [
            part
            for part in measured.model.parts
            if part.key.startswith(f"{opening.key}/") and part.size != before[part.key].size
        ]
        assert panels or abs(off) < 0.5, f"{opening.key} does not follow"


# ------------------------------------------------------------------------------------------------------------ defaults
ALL_BOARDS = [
    {
        "id": id,
        "material": next((word for word in (*SOLIDS, "mirror", "glass") if id.startswith(word)), "mdf"),
        "thickness": thickness,
    }
    for id, thickness in BOARDS.items()
]
ENTRIES = [
    (folder, word)
    for folder in ("box_joints", "insides", "joints", "panels", "runners", "supports", "tops")
    for word in entries(f"build.{folder}")
]


def plainly(**more: Any) -> dict[str, Any]:
    """A coat cupboard of defaults with every board at hand."""
    carcass = {"side_panel": {"style": "planted_frame"}, "stiffeners": {"anchor_rails": False}}
    return {"format": "muntin piece", "schema": 1, "boards": ALL_BOARDS, "carcass": carcass, **more}


def with_entry(folder: str, word: str) -> dict[str, Any]:
    """The same with one entry of an open folder, all its parameters left to their defaults."""
    style = {"style": word}
    if folder == "supports" and word == "stile_posts":  # they are the stiles of sides that are frames
        return plainly(support=style, carcass={"sides": "frame", "side_panel": {"style": "frame_and_panel"}})
    if folder == "supports":
        return plainly(support=style)
    if folder == "tops" and word == "hinged_lid":  # it hangs on the back's edge, which must be thick enough
        return plainly(top=style, carcass={"back": {"board": "mdf-18", "rebate_depth": 18}})
    if folder == "tops":
        return plainly(top=style)
    if folder == "joints":
        return plainly(carcass={"joint": style})
    if folder in ("runners", "box_joints"):
        drawer = {"runner": "", {"runners": "runs_on", "box_joints": "corners"}[folder]: style}
        return plainly(
            whole={"height": 300}, fronts=[{"id": "drawer", "kind": "drawer", "closes": ["all"], "drawer": drawer}]
        )
    if folder == "panels":
        side = style if word != "glazed" else {"style": "plain"}  # behind a side there is nothing to see
        doors = {"id": "doors", "kind": "pair", "closes": ["all"], "panel": style}
        return plainly(carcass={"side_panel": side}, fronts=[doors])
    fronts = [{"id": "doors", "kind": "pair", "closes": ["all"]}] if word in ON_DOORS else []
    return plainly(whole={"height": 2100}, layout=[{"id": "all", "holds": [style]}], fronts=fronts)


ON_DOORS = ("mirror",)  # contents that hang on a door


@pytest.mark.parametrize(("folder", "word"), ENTRIES)
def test_every_entry_of_an_open_folder_can_be_built_as_it_comes(folder: str, word: str) -> None:
    """Whoever picks a support, top, panel, joint or content from a menu gets one that works, before changing anything."""
    built = Built(loads(json.dumps(with_entry(folder, word))), core.build(loads(json.dumps(with_entry(folder, word)))))
    for rule in ALL_RULES:
        rule(built)


@pytest.mark.parametrize("kind", ["door", "pair", "drawer", "fixed"])
@pytest.mark.parametrize("width", [500, 900])
def test_every_kind_of_front_can_be_built_as_it_comes(kind: str, width: int) -> None:
    """Fit Doors and Fit Drawers give something that works on a plain cabinet."""
    height = 900 if kind != "drawer" else 300
    data = plainly(
        whole={"width": width, "height": height, "depth": 560},
        fronts=[{"id": "front", "kind": kind, "closes": ["all"]}],
    )
    built = Built(loads(json.dumps(data)), core.build(loads(json.dumps(data))))
    for rule in ALL_RULES:
        rule(built)


def test_a_piece_of_nothing_but_defaults_can_be_built() -> None:
    """The first piece that anyone sees."""
    built = Built(Piece(), core.build(Piece()))
    for rule in ALL_RULES:
        rule(built)


# -------------------------------------------------------------------------------------------------------------- mirror
Measures = dict[
    tuple[str, ...], list[tuple[float, ...]]
]  # words that say what it is: the numbers of all that are called so


def measures(model: Model, hand: float = 1.0) -> Measures:
    """What can be measured on a model in the piece; with `hand` −1, of its mirror image, the words for hands exchanged."""
    word = swapped if hand < 0 else str
    staggered = _staggered_screws(model)
    found: Measures = defaultdict(list)
    found["sizes",] = [(*model.overall, *model.carcass)]
    for part in model.parts:
        corners = np.array(list(itertools.product(*((0.0, s) for s in part.size))))
        found[word(part.key), word(part.name), part.board.name].append(
            (*part.size, *_box(part.place.points(corners), hand))
        )
        for feature in part.shape.features:
            if not (isinstance(feature, Hole) and (part.key, *part.place.point(feature.at)[:2]) in staggered):
                kind, numbers = _feature(feature, part.place, hand)
                found[(word(part.key), *kind)].append(numbers)
    for fitting in model.fittings:
        points = np.concatenate([fitting.place.points(body_points(body)) for body in fitting.bodies])
        found[(word(fitting.key), word(fitting.entry), *sorted(word(key) for key in fitting.parts))].append(
            _box(points, hand)
        )
    for each in model.fasteners:
        if not any((key, *each.at[:2]) in staggered for key in each.parts):
            found[(each.kind, each.name, *(word(key) for key in each.parts))].append(
                (*_point(each.at, hand), *_point(each.along, hand))
            )
    return found


def _feature(feature: Any, place: Any, hand: float) -> tuple[tuple[str, ...], tuple[float, ...]]:
    if isinstance(feature, Hole):
        at, into = place.point(feature.at), place.direction(feature.into)
        if feature.purpose.startswith(FOR_PIPE):  # through and through: bored from either face it is the same
            at, into = plus(at, into, feature.depth / 2), tuple(map(abs, into))
            return ("hole", feature.purpose), (*_point(at, hand), *into, feature.diameter, feature.depth)
        return ("hole", feature.purpose), (*_point(at, hand), *_point(into, hand), feature.diameter, feature.depth)
    if isinstance(feature, Pocket):
        corners = np.array(list(itertools.product(*zip(feature.low, feature.high))))  # all eight: its part may lean
        return (feature.kind, feature.purpose), _box(place.points(corners), hand)
    if isinstance(feature, CutOut):
        return (feature.kind, feature.purpose), _cut_out(feature, place, hand)
    assert isinstance(feature, Cut)
    normal = np.array(place.direction(feature.normal))
    return (feature.kind,), (*_point(normal, hand), float(normal @ np.array(place.point(feature.point))), feature.angle)


def _cut_out(feature: CutOut, place: Any, hand: float) -> tuple[float, ...]:
    """The box of the corners at both ends, where each corner with its rises stands together, and their sum."""
    k = feature.axis
    corners = np.zeros((2, len(feature.outline), 3))
    corners[..., (k + 1) % 3], corners[..., (k + 2) % 3] = np.array(feature.outline).T
    corners[0, :, k], corners[1, :, k] = feature.start, feature.end
    points = place.points(corners.reshape(-1, 3))
    rises = np.array(feature.rises or (0.0,) * len(feature.outline))
    weights = np.tile(1 + rises + np.roll(rises, 1), 2)
    middle = (points * weights[:, None]).sum(axis=0) / 100
    return (*_box(points, hand), *_point(middle, hand), float(rises.sum()), float(len(rises)))


def _point(vector: Any, hand: float) -> tuple[float, ...]:
    return (hand * float(vector[0]), float(vector[1]), float(vector[2]))


def _box(points: np.ndarray, hand: float) -> tuple[float, ...]:
    points = points * (hand, 1.0, 1.0)
    return (*points.min(axis=0).tolist(), *points.max(axis=0).tolist())


def unlike(one: list[tuple[float, ...]], other: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
    """The rows of numbers of either list that the other has not, within `MIRRORED`."""
    apart = np.abs(np.array(one)[:, None] - np.array(other)[None]).max(axis=2)
    lone = [row for row, near in zip(one, apart.min(axis=1), strict=True) if near > MIRRORED]
    return lone + [row for row, near in zip(other, apart.min(axis=0), strict=True) if near > MIRRORED]


def without_hands(data: dict[str, Any]) -> dict[str, Any]:
    """A piece whose compartments and fronts are not called after a side: an id stays where the piece is mirrored."""
    words = {"left": "west", "right": "east"}

    def renamed(id: str) -> str:
        return re.sub(r"left|right", lambda found: words[found[0]], id)

    layout = [{**each, "id": renamed(each["id"]), "parent": renamed(each["parent"])} for each in data["layout"]]
    fronts = [
        {**each, "id": renamed(each["id"]), "closes": [renamed(id) for id in each["closes"]]} for each in data["fronts"]
    ]
    return {**data, "layout": layout, "fronts": fronts}


def swapped(words: str) -> str:
    """Words with left and right exchanged."""
    return re.sub(r"\b(left|right)\b", lambda found: "right" if found[1] == "left" else "left", words)


def _staggered_screws(model: Model) -> set[tuple[str | float, ...]]:
    """What the upright screws of wall brackets hold in, and where (x, y): their holes are staggered, and no mirror image of
    them can be bought."""
    brackets = {each.key for each in model.fittings if fitting_entry(each.entry).kind == "anchor bracket"}
    screws = [each for each in model.fasteners if set(each.parts) & brackets]
    return {(key, *each.at[:2]) for each in screws for key in each.parts}


def mirror_image_is_built(data: dict[str, Any]) -> None:
    """Building the mirror image of a piece gives the mirror image of the piece."""
    built, other = built_or_refused(data), built_or_refused(mirrored(data))
    assert (built is None) == (other is None), "one of the two is refused"
    if built is None or other is None:
        return
    expected, found = measures(built.model, -1.0), measures(other.model)
    odd = sorted(set(expected) ^ set(found))
    assert not odd, f"only one of the two has {odd[:4]}"
    for words in sorted(expected):
        assert len(expected[words]) == len(found[words]), words
        assert not unlike(expected[words], found[words]), f"{words}: {unlike(expected[words], found[words])}"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_mirror_image_of_every_example_is_built(name: str) -> None:
    """Keys, sizes, places, holes, cuts and fasteners of the examples are mirrored."""
    mirror_image_is_built(without_hands(json.loads(example_text(name))))


@FEW
@given(piece_data())
def test_the_mirror_image_of_any_piece_is_built(data: dict[str, Any]) -> None:
    """mirror(build(piece)) equals build(mirror(piece)), by measure."""
    mirror_image_is_built(built_at_last(data)[0])
