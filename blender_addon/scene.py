"""A model as Blender's objects and meshes, brought up to date in place.

Objects are found by the key and the piece id in their custom properties, never by name. Ours are the mesh data, the
place and the mesh's materials; what a person adds at object level (modifiers, constraints, children, object-linked
materials) stays.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

import bpy
import numpy as np
from mathutils import Matrix

from .core.build.clearance import standing_box
from .core.frozen import quickly_made
from .core.geometry import Placement
from .core.kept import kept
from .core.model import Bay, Model, Part
from .core.solids import Mesh, meshes_of
from .materials import BEHIND, Palette
from .movement import Moves
from .shapes import Drawn, drawn_fitting, drawn_part, uv_of

PIECE, KEY = "muntin_piece", "muntin_key"  # on every object of a piece
SHAPE, TOPOLOGY = "muntin_shape", "muntin_topology"  # on every mesh
LAID_ASIDE = ""  # the shape of a mesh that nothing shows
UV_LATER = " uv later"  # ends what a mesh's shape is called while it is dragged and its UV map is left as it was
STILL = 1e-6  # a turn that differs by less is the same
STRAIGHT = 0.999  # cosine above which two directions are one
TOUCHING = 0.05  # mm; a face this near a compartment's boundary bounds it


@quickly_made
@dataclass(frozen=True, slots=True)
class Thing:
    """One object as it should be."""

    key: str
    name: str
    drawn: Drawn
    materials: tuple[bpy.types.Material, ...]
    place: Matrix

    @property
    def digest(self) -> str:
        """Things of one digest share a mesh."""
        return f"{self.drawn.digest} {' '.join(each.name for each in self.materials)}"


def show(
    root: bpy.types.Object,
    model: Model,
    palette: Palette,
    scale: float,
    moves: Moves,
    afresh: bool = False,
    dragged: bool = False,
) -> bool:
    """Bring the objects of a piece up to date with its model; `afresh` trusts no mesh to be what it was.

    While a size is `dragged` UV maps are left for when it is let go: no material of ours reads them.
    Answers whether all of it was possible: a mesh in edit mode is left for later.
    """
    there = own_objects(root)
    wanted = list(things(model, palette, scale, moves))
    gone = set(there) - {thing.key for thing in wanted}
    _remove(root, [there.pop(key) for key in gone])
    meshes, waiting = _meshes(there, wanted, afresh, dragged)
    for thing in wanted:
        shown = there.get(thing.key)
        if shown is None:
            shown = _new_object(root, thing, meshes[thing.key])
        elif shown.data != meshes[thing.key] and thing.key not in waiting:
            shown.data = meshes[thing.key]
        put(shown, thing.place)
    _lay_aside()
    palette.drop_unused()
    return not waiting


def own_objects(root: bpy.types.Object) -> dict[str, bpy.types.Object]:
    """The objects of a root's parts and fittings by key."""
    piece = root[PIECE]
    return {
        each[KEY]: each for each in bpy.data.objects if each.get(PIECE) == piece and KEY in each and not each.library
    }


def put(shown: bpy.types.Object, place: Matrix) -> None:
    """Place an object relative to its root, if it is not there."""
    there = shown.matrix_basis  # Blender gives a place back as it was set, a turn with a rounded last digit
    if there.translation != place.translation or (
        there != place and any(max(row) > STILL or min(row) < -STILL for row in there - place)
    ):
        shown.matrix_basis = place


def matrix_of(place: Placement, scale: float) -> Matrix:
    """A placement of the piece as a matrix in Blender units."""
    (a, b, c), (d, e, f), (g, h, i), (x, y, z) = place.x, place.y, place.z, place.origin
    rows = (a, d, g, x * scale), (b, e, h, y * scale), (c, f, i, z * scale)
    return Matrix((*rows, (0.0, 0.0, 0.0, 1.0)))


# --------------------------------------------------------------------------------------------------------- what to show
def things(model: Model, palette: Palette, scale: float, moves: Moves) -> Iterator[Thing]:
    """Every part and fitting of a model as it should be shown."""
    inside = _insides(model)
    for part, mesh in zip(model.parts, meshes_of(part.shape for part in model.parts), strict=True):
        drawn, materials = _drawn(part, mesh, inside.get(part.key), palette, scale)
        place = moves.carried(part.key, matrix_of(part.place, scale))
        yield Thing(part.key, part.name, drawn, materials, place)
    for fitting in model.fittings:
        drawn = drawn_fitting(fitting.bodies, scale)
        materials = tuple([palette.substance(each, fitting.finish) for each in drawn.substances])
        place = moves.carried(fitting.key, matrix_of(fitting.place, scale))
        yield Thing(fitting.key, fitting.name, drawn, materials, place)


def _drawn(
    part: Part, mesh: Mesh, faced: Inside | None, palette: Palette, scale: float
) -> tuple[Drawn, tuple[bpy.types.Material, ...]]:
    """A part's mesh and materials; the carcass has another colour inside, from behind the fronts on."""
    outside = palette.of_part(part)
    if faced is None:
        return drawn_part(mesh, scale), (outside,)
    facing, front = faced
    inside = palette.of_part(part, "inside", "carcass" if front is not None else "")
    slots = facing[mesh.face_of].astype(np.int32).tobytes()
    behind = b""
    if front is not None:
        depths = mesh.vertices @ part.place.axes()[:, 1] + (part.place.origin[1] - front)
        behind = (depths * scale).astype(np.float32).tobytes()
    return drawn_part(mesh, scale, slots, behind), (outside, inside)


# for each face of a part whether it is on a wall, looking in; and the y behind which those compartments begin
Inside = tuple[np.ndarray, float | None]


@kept
def _insides(model: Model) -> dict[str, Inside]:
    """What each part of the carcass shows to compartments, by key."""
    parts = [part for part in model.parts if part.finish == "carcass"]
    return Walls.of(model.bays).faced([*zip(parts, meshes_of(part.shape for part in parts), strict=True)])


@dataclass(frozen=True, slots=True, eq=False)
class Walls:
    """The five walls of every compartment, one to a row; the front is no wall."""

    axis: np.ndarray  # (w,) across which axis of the piece it stands
    at: np.ndarray  # (w,) where on that axis
    sign: np.ndarray  # (w,) which way a face on it looks along that axis
    low: np.ndarray  # (w, 3) the compartment's corner; −∞ across the wall, where there is nothing to overlap
    high: np.ndarray  # (w, 3)
    front: np.ndarray  # (w,) y where the compartment begins behind fronts; NaN where none close it

    @classmethod
    def of(cls, bays: tuple[Bay, ...]) -> Walls:
        """The walls of compartments as built."""
        rows = [(bay, *wall) for bay in bays for wall in _FIVE]
        axis = np.array([axis for _, axis, _, _ in rows], int)
        low = np.array([bay.low for bay, *_ in rows], float).reshape(-1, 3)
        high = np.array([bay.high for bay, *_ in rows], float).reshape(-1, 3)
        low[np.arange(len(rows)), axis], high[np.arange(len(rows)), axis] = -np.inf, np.inf
        return cls(
            axis=axis,
            at=np.array([(bay.low, bay.high)[side][axis] for bay, axis, side, _ in rows], float),
            sign=np.array([sign for *_, sign in rows], float),
            low=low,
            high=high,
            front=np.array([bay.low[1] if bay.behind_front else np.nan for bay, *_ in rows], float),
        )

    def faced(self, parts: list[tuple[Part, Mesh]]) -> dict[str, Inside]:
        """What each part shows to compartments, by key; a part that shows nothing to any is left out. All are asked at once."""
        if not parts or not len(self.axis):
            return {}
        low, high = np.array([standing_box(part) for part, _ in parts]).transpose(1, 0, 2)
        near = ((low[:, None] < self.high - TOUCHING) & (high[:, None] > self.low + TOUCHING)).all(axis=2)
        counts = [len(mesh.normals) for _, mesh in parts]
        owner = np.repeat(np.arange(len(parts)), counts)
        frames = np.array([(part.place.x, part.place.y, part.place.z, part.place.origin) for part, _ in parts])[owner]
        points = np.concatenate([_face_points(mesh) for _, mesh in parts])
        places = np.einsum("fi,fij->fj", points, frames[:, :3]) + frames[:, 3]
        normals = np.einsum("fi,fij->fj", np.concatenate([mesh.normals for _, mesh in parts]), frames[:, :3])
        met = near[owner] & (np.abs(places[:, self.axis] - self.at) < TOUCHING)
        met &= normals[:, self.axis] * self.sign > STRAIGHT
        ends = np.cumsum(counts)
        walls = np.logical_or.reduceat(met, ends - counts, axis=0)
        fronts = np.where(walls, np.nan_to_num(self.front, nan=-np.inf), -np.inf).max(axis=1).tolist()
        facing = met.any(axis=1)
        return {
            parts[i][0].key: (facing[ends[i] - counts[i] : ends[i]], fronts[i] if fronts[i] > -np.inf else None)
            for i in np.flatnonzero(walls.any(axis=1))
        }


@lru_cache(maxsize=1024)
def _face_points(mesh: Mesh) -> np.ndarray:
    """A point of each planar face, (f, 3)."""
    found = np.empty_like(mesh.normals)
    found[mesh.face_of] = mesh.vertices[mesh.corners[mesh.starts[:-1]]]
    return found


_FIVE = ((0, 0, 1.0), (0, 1, -1.0), (2, 0, 1.0), (2, 1, -1.0), (1, 1, -1.0))  # axis, low or high side, way of looking


# -------------------------------------------------------------------------------------------------------------- objects
def _new_object(root: bpy.types.Object, thing: Thing, mesh: bpy.types.Mesh) -> bpy.types.Object:
    made = bpy.data.objects.new(thing.name, mesh)
    made[PIECE], made[KEY] = root[PIECE], thing.key
    made.parent = root
    made.lock_location = made.lock_rotation = made.lock_scale = (True, True, True)
    for collection in root.users_collection[:1] or [bpy.context.scene.collection]:
        collection.objects.link(made)
    return made


def _remove(root: bpy.types.Object, gone: list[bpy.types.Object]) -> None:
    """Take objects away; what a person hung on them hangs on the root from now on, where it was."""
    names = {each.name for each in gone}
    if not names:
        return
    for child in [
        each for each in bpy.data.objects if each.parent and each.parent.name in names and each.name not in names
    ]:
        place = child.matrix_world.copy()
        child.parent = root
        child.matrix_world = place
    for each in gone:
        bpy.data.objects.remove(each, do_unlink=True)


# --------------------------------------------------------------------------------------------------------------- meshes
def _meshes(
    there: dict[str, bpy.types.Object], things: list[Thing], afresh: bool, dragged: bool
) -> tuple[dict[str, bpy.types.Mesh], set[str]]:
    """The mesh of every thing by key, made, changed or as it was; and the keys of those being edited by hand."""
    data = {key: mesh for key, each in there.items() if (mesh := each.data)}
    ours = Counter(data.values())
    own = {mesh for mesh, users in ours.items() if _is_ours_alone(mesh, users)}
    edited = {mesh for mesh in ours if mesh.is_editmode}
    waiting = {key for key, mesh in data.items() if mesh in edited} if edited else set()
    late = UV_LATER if dragged else ""
    fit = {} if afresh else {mesh[SHAPE].removesuffix(late): mesh for mesh in own}
    aside = cache(_laid_aside)  # looked for at most once, and only where a mesh is wanted
    groups: dict[str, list[Thing]] = {}
    for thing in things:
        groups.setdefault(thing.digest, []).append(thing)
    kept = {fit[digest] for digest in groups if digest in fit}
    meshes: dict[str, bpy.types.Mesh] = {}
    for digest, group in groups.items():
        mesh = fit.get(digest) or _to_change(group, data, own, kept) or _another(group[0].name, aside())
        kept.add(mesh)
        if afresh or mesh.get(SHAPE, "").removesuffix(late) != digest:
            if mesh in edited:
                waiting |= {thing.key for thing in group}
            else:
                is_whole = write(mesh, group[0].drawn, afresh, dragged)
                _set_materials(mesh, group[0].materials)
                mesh[SHAPE] = digest if is_whole else digest + UV_LATER
        meshes |= {thing.key: mesh for thing in group}
    return meshes, waiting


def _is_ours_alone(mesh: bpy.types.Mesh, ours: int) -> bool:
    """Whether only this piece's objects use a mesh; another's is left to it, and a new one made."""
    return SHAPE in mesh and not mesh.library and mesh.users - mesh.use_fake_user <= ours


def _to_change(
    group: list[Thing], data: dict[str, bpy.types.Mesh], own: set[bpy.types.Mesh], kept: set[bpy.types.Mesh]
) -> bpy.types.Mesh | None:
    """A mesh that one of the group shows now and that nothing else is to keep."""
    for thing in group:
        mesh = data.get(thing.key)
        if mesh in own and mesh not in kept:
            return mesh
    return None


def write(mesh: bpy.types.Mesh, drawn: Drawn, afresh: bool, dragged: bool) -> bool:
    """Give a mesh its shape: only coordinates where the topology is the same, else everything.

    Answers whether its UV map is up to date: while it is `dragged` that is left as it is.
    """
    if mesh.get(TOPOLOGY) == drawn.topology and not afresh:
        # through the attribute all go in at once; that bounds and normals are stale is told only by a single vertex
        mesh.attributes["position"].data.foreach_set("vector", drawn.positions)
        mesh.vertices[0].co = drawn.first
        if drawn.behind is not None:
            mesh.attributes[BEHIND].data.foreach_set("value", drawn.behind)
        if not dragged:
            mesh.attributes["UVMap"].data.foreach_set("vector", uv_of(drawn))
        mesh.update()
        return not dragged
    net = drawn.net
    mesh.clear_geometry()
    mesh.vertices.add(len(drawn.positions) // 3)
    mesh.edges.add(len(net.edges) // 2)
    mesh.loops.add(len(net.corners))
    mesh.polygons.add(len(net.starts))
    mesh.vertices.foreach_set("co", drawn.positions)
    mesh.edges.foreach_set("vertices", net.edges)
    mesh.loops.foreach_set("vertex_index", net.corners)
    mesh.loops.foreach_set("edge_index", net.corner_edges)
    mesh.polygons.foreach_set("loop_start", net.starts)
    mesh.attributes.new("sharp_edge", "BOOLEAN", "EDGE").data.foreach_set("value", net.sharp_edges)
    mesh.attributes.new("sharp_face", "BOOLEAN", "FACE").data.foreach_set("value", net.flat)
    if drawn.slots is not None:
        mesh.attributes.new("material_index", "INT", "FACE").data.foreach_set("value", drawn.slots)
    if drawn.behind is not None:
        mesh.attributes.new(BEHIND, "FLOAT", "POINT").data.foreach_set("value", drawn.behind)
    mesh.attributes.new("UVMap", "FLOAT2", "CORNER").data.foreach_set("vector", uv_of(drawn))
    mesh.update()
    mesh[TOPOLOGY] = drawn.topology
    return True


def _set_materials(mesh: bpy.types.Mesh, wanted: tuple[bpy.types.Material, ...]) -> None:
    if tuple(mesh.materials) == wanted:
        return
    while len(mesh.materials) > len(wanted):
        mesh.materials.pop()
    while len(mesh.materials) < len(wanted):
        mesh.materials.append(None)
    for index, each in enumerate(wanted):
        mesh.materials[index] = each


def _lay_aside() -> None:
    """Keep what nothing shows any more, bare, until a mesh is wanted again; Blender saves none of it.

    Were it removed, its place in memory would be given to something else, which Blender's undo can then take for it, and crash: seen in
    4.2 and 5.2 in long rows of random undo and redo.
    """
    for each in bpy.data.meshes:
        if each.users == 0 and each.get(SHAPE):
            each.materials.clear()
            each[SHAPE] = LAID_ASIDE


def _laid_aside() -> list[bpy.types.Mesh]:
    return [each for each in bpy.data.meshes if each.users == 0 and each.get(SHAPE) == LAID_ASIDE and not each.library]


def _another(name: str, aside: list[bpy.types.Mesh]) -> bpy.types.Mesh:
    """A mesh that was laid aside, else a new one."""
    if not aside:
        return bpy.data.meshes.new(name)
    mesh = aside.pop()
    mesh.name = name
    return mesh
