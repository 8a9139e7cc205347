"""The photoreal picture: the piece in a room of its own scene; the user's camera, lights and world stay untouched.

Light is set by a grey card, as a photographer does: a small render of an 18 % card at the piece's front, seen
straight on, says by how much each channel of every light must be scaled so that matt paint in the picture is the sRGB
colour that was chosen.
"""

from __future__ import annotations

import math
import os
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

import bpy
import numpy as np
from mathutils import Matrix, Vector

from . import compat, document, photograph, room, scene
from .core import PieceError
from .core.errors import ParameterError
from .core.piece import Piece
from .core.piece.finish import Scheme
from .lengths import METRES_PER_MM
from .materials import RECIPE, Palette
from .movement import Moves
from .room import Put

OWN_ROOM = "photograph"  # the setting that is the client's own room
SAMPLES = 24
TIME_LIMIT = 240.0  # seconds; a guard, not an aim: two slow cores take 145
THRESHOLD, DRAFT_THRESHOLD, DRAFT_SAMPLES = 0.05, 0.1, 3
BOUNCES, PANES = 3, 16  # faces of glass that may lie behind one another
GREY_CARD = 0.18  # reflectance of a photographer's grey card
CARD_PIXELS, CARD_SAMPLES = 24, 128
VIEW_FROM = 27.0  # degrees to the left of straight on
EYE_HEIGHT = 1.45  # m; common practice, no source
LENS = 62.0  # mm on a 36 mm picture height, which makes the distance
SENSOR = 36.0
FILLS = (0.76, 0.77)  # of the picture's width and height that the piece may take
BELOW_MIDDLE = 0.028  # of the height, how far the middle of the picture lies below that of the piece
WIDE = 1.15  # a piece that looks this much wider than high has its picture on the long side


class PreviewError(PieceError, RuntimeError):
    """The picture cannot be made in this Blender."""


@dataclass(frozen=True)
class Shot:
    """How a picture is taken: pixels, samples, how far doors (degrees) and drawers (mm) stand open, which scheme.

    `suited`: the picture stands on its long side where the piece is wide.
    """

    width: int = 900
    height: int = 1100
    samples: int = SAMPLES
    draft: bool = False
    scheme: str = ""
    swing: float = 0.0
    travel: float = 0.0
    setting: str = "daylight"
    suited: bool = True


def render(root: bpy.types.Object, path: Path, shot: Shot) -> None:
    """Render a piece into a PNG file; raises PieceError for a scheme it has not, OSError where it cannot write."""
    picture = Picture(root, path, shot)
    try:
        picture.take()
        picture.put_in_place()
    finally:
        picture.clear_away()


class Picture:
    """One picture: its scene is made at once and goes with `clear_away`; raises like `render`."""

    def __init__(self, root: bpy.types.Object, path: Path, shot: Shot) -> None:
        scheme = scheme_of(document.piece(root), shot.scheme)
        if not path.parent.is_dir():
            raise FileNotFoundError(f"{path}: there is no folder {path.parent}")
        self.path, self.aside, self.piece_id = path, path.with_name(f".{path.name}.part"), stage_id(root)
        self.behind: photograph.Backdrop | None = None
        if shot.setting == OWN_ROOM:
            self.behind = photograph.backdrop(root, shot.width // (2 if shot.draft else 1))
        self.put = Put(bpy.data.scenes.new("Muntin Preview"))
        try:
            set_up(self.put, root, scheme, shot, self.behind)
        except BaseException:
            self.clear_away()
            raise
        picture = self.put.scene.render
        if self.behind:
            compat.set_picture_file(picture.image_settings, "OPEN_EXR", "32", "RGBA")
        else:
            compat.set_picture_file(picture.image_settings, "PNG", "8")
        picture.filepath = str(self.aside)

    def take(self, watched: bool = False) -> None:
        """Render it aside; `watched`: in a window of its own, with progress and Esc, while this returns at once."""
        how = ("INVOKE_DEFAULT",) if watched else ()
        bpy.ops.render.render(*how, write_still=True, scene=self.put.scene.name)

    def put_in_place(self) -> None:
        """Give the file that was asked for the picture, at one stroke; OSError where none was written."""
        if not self.aside.is_file():
            raise OSError(f"{self.path}: Blender wrote no picture")
        if self.behind:
            photograph.lay_over(self.behind, self.aside, self.aside)
        os.replace(self.aside, self.path)

    def clear_away(self) -> None:
        """Leave the file as if there had been no picture."""
        self.aside.unlink(missing_ok=True)
        self.put.remove()
        drop_materials(self.piece_id)


def set_up(
    put: Put, root: bpy.types.Object, scheme: Scheme, shot: Shot, behind: photograph.Backdrop | None = None
) -> list[bpy.types.Object]:
    """Piece, room, light and camera in an empty scene; the objects of the piece. `behind` stands in for the room."""
    shot = _suited(shot, document.model(root).overall)
    _settings(put.scene, shot)
    shown = stand(put, root, scheme, stage_id(root))
    width, depth, height = (each * METRES_PER_MM for each in document.model(root).overall)
    if behind:
        photograph.stage(put, (width, depth, height), behind, root.muntin.photograph.light)
    else:
        room.build(put, document.piece(root), (width, depth, height), shot.setting)
    room.scale_light(put.scene, room.kept_cast(shot.setting, _gains(put, (width, depth, height))))
    move(root, shown, shot)
    objects = [each for each, _ in shown.values()]
    if behind:
        put.scene.render.film_transparent = True
        put.scene.render.resolution_x, put.scene.render.resolution_y = behind.size
        photograph.look(put, behind)
    else:
        _camera(put, objects, shot)
    return objects


# ------------------------------------------------------------------------------------------------------------ the piece
def stand(put: Put, root: bpy.types.Object, scheme: Scheme, id: str) -> dict[str, tuple[bpy.types.Object, Matrix]]:
    """Copies of the piece's objects in metres about the origin, doors shut, by key, each with its place.

    Their materials belong to `id`.
    """
    model, scale = document.model(root), document.scale_of(root)
    palette = Palette(id, scheme, scale, METRES_PER_MM)
    there = scene.own_objects(root)
    to_metres = Matrix.Scale(METRES_PER_MM / scale, 4)
    shown = {}
    for thing in scene.things(model, palette, scale, Moves(model)):
        if thing.key not in there:
            continue
        copy = put.thing(there[thing.key].copy())
        copy.parent = None
        del copy[scene.PIECE], copy[scene.KEY]  # it is no part of the piece any more
        copy.constraints.clear()
        copy.hide_render = False
        copy.matrix_world = to_metres @ thing.place
        for slot, material in zip(copy.material_slots, thing.materials, strict=False):
            if slot.link == "DATA" or slot.material is None or RECIPE in slot.material:
                slot.link = "OBJECT"
                slot.material = material
        shown[thing.key] = (copy, to_metres @ thing.place)
    return shown


def move(root: bpy.types.Object, shown: dict[str, tuple[bpy.types.Object, Matrix]], shot: Shot) -> None:
    """Open the doors and pull out the drawers of the copies."""
    moves = Moves(document.model(root), shot.swing, shot.travel, METRES_PER_MM)
    for key, (copy, place) in shown.items():
        copy.matrix_world = moves.carried(key, place)


def scheme_of(piece: Piece, id: str) -> Scheme:
    """The scheme of an id, empty for the one that is shown; ParameterError for one that the piece has not."""
    if not id:
        return piece.finish.scheme()
    for each in piece.finish.schemes:
        if each.id == id:
            return each
    known = ", ".join(each.id for each in piece.finish.schemes)
    raise ParameterError("scheme", f'there is no scheme "{id}"; the piece has {known}')


def stage_id(root: bpy.types.Object) -> str:
    """What the materials of a picture belong to."""
    return f"{root[document.PIECE]} preview"


def drop_materials(id: str) -> None:
    """Remove the materials that belong to an id."""
    for each in [made for made in bpy.data.materials if made.get(document.PIECE) == id]:
        bpy.data.materials.remove(each)


# ------------------------------------------------------------------------------------------------------------- settings
def _suited(shot: Shot, size: tuple[float, float, float]) -> Shot:
    """The shot with its picture on the long side where that is asked for and the piece looks wide from where it is seen."""
    width, depth, height = size
    turn = math.radians(VIEW_FROM)
    looks_wide = width * math.cos(turn) + depth * math.sin(turn) > WIDE * height
    if shot.suited and looks_wide and shot.width < shot.height:
        return replace(shot, width=shot.height, height=shot.width)
    return shot


def _settings(stage: bpy.types.Scene, shot: Shot) -> None:
    if not hasattr(stage, "cycles"):
        raise PreviewError("Cycles is switched off; enable it in Preferences > Add-ons and render again")
    half = 2 if shot.draft else 1
    stage.render.engine = "CYCLES"
    stage.render.resolution_x, stage.render.resolution_y = max(1, shot.width // half), max(1, shot.height // half)
    stage.render.resolution_percentage = 100
    stage.render.use_file_extension = False
    stage.render.film_transparent = False
    cycles = stage.cycles
    cycles.device = "CPU"
    cycles.samples = min(shot.samples, DRAFT_SAMPLES) if shot.draft else shot.samples
    cycles.use_adaptive_sampling, cycles.adaptive_threshold = True, DRAFT_THRESHOLD if shot.draft else THRESHOLD
    cycles.time_limit = TIME_LIMIT
    compat.set_denoising(cycles)
    cycles.denoising_input_passes, cycles.denoising_prefilter = (
        "RGB_ALBEDO_NORMAL",
        "FAST" if shot.draft else "ACCURATE",
    )
    cycles.max_bounces, cycles.diffuse_bounces, cycles.glossy_bounces = BOUNCES, BOUNCES, BOUNCES
    cycles.transparent_max_bounces = PANES
    cycles.caustics_reflective = cycles.caustics_refractive = False
    cycles.use_light_tree = cycles.use_fast_gi = False
    cycles.sample_clamp_indirect = 6.0
    compat.set_sampling(cycles)
    stage.display_settings.display_device = "sRGB"
    view = stage.view_settings
    view.view_transform, view.look, view.exposure, view.gamma = "Standard", "None", 0.0, 1.0


# ---------------------------------------------------------------------------------------------------------------- light
def _gains(put: Put, size: tuple[float, float, float]) -> np.ndarray:
    """How red, green and blue light must be scaled so that an 18 % card at the front comes out as 18 % and grey."""
    width, depth, height = size
    stage = put.scene
    card_material, tree = put.material("Grey Card")
    tree.finish(tree.node("BsdfDiffuse", {"Color": (GREY_CARD, GREY_CARD, GREY_CARD, 1.0)}).outputs[0])
    half, front = width * 0.4, -depth - 0.04
    low, high = height * 0.15, height * 0.9
    card = put.quad(
        "Grey Card", [(-half, front, low), (half, front, low), (half, front, high), (-half, front, high)], card_material
    )
    data = put.keep("cameras", bpy.data.cameras.new("Meter"))
    data.type, data.ortho_scale = "ORTHO", 0.9 * min(2 * half, high - low)
    meter = put.thing(bpy.data.objects.new("Meter", data))
    meter.matrix_world = Matrix.Translation((0, front - 0.5, (low + high) / 2)) @ Matrix.Rotation(math.pi / 2, 4, "X")
    stage.camera = meter
    seen = _linear_pixels(stage)
    card.hide_render = True
    return GREY_CARD / np.maximum(seen.mean(axis=0), 1e-6)


def _linear_pixels(stage: bpy.types.Scene) -> np.ndarray:
    """What the scene's camera sees, small and without a view transform, (pixels, 3)."""
    cycles, picture = stage.cycles, stage.render
    kept = picture.resolution_x, picture.resolution_y, cycles.samples, cycles.use_adaptive_sampling
    picture.resolution_x = picture.resolution_y = CARD_PIXELS
    cycles.samples = CARD_SAMPLES
    cycles.use_denoising = cycles.use_adaptive_sampling = False
    compat.set_picture_file(picture.image_settings, "OPEN_EXR", "32")
    with tempfile.TemporaryDirectory(prefix="muntin-") as folder:
        picture.filepath = str(Path(folder) / "card.exr")
        bpy.ops.render.render(write_still=True, scene=stage.name)
        image = bpy.data.images.load(picture.filepath)
        pixels = np.empty(len(image.pixels), np.float32)
        image.pixels.foreach_get(pixels)
        channels = image.channels
        bpy.data.images.remove(image)
    picture.resolution_x, picture.resolution_y, cycles.samples, cycles.use_adaptive_sampling = kept
    compat.set_denoising(cycles)
    return pixels.reshape(-1, channels)[:, :3]


# --------------------------------------------------------------------------------------------------------------- camera
def _camera(put: Put, shown: list[bpy.types.Object], shot: Shot) -> None:
    """A level camera at eye height, left of the front, shifted so that uprights stay upright and all is seen."""
    corners = np.array([each.matrix_world @ Vector(corner) for each in shown for corner in each.bound_box])
    low, high = corners.min(axis=0), corners.max(axis=0)
    middle = (low + high) / 2
    turn = math.radians(VIEW_FROM)
    right = np.array((math.cos(turn), -math.sin(turn), 0.0))
    ahead = np.array((math.sin(turn), math.cos(turn), 0.0))
    aspect = shot.width / shot.height
    wide = np.ptp(corners @ right)
    frame = max((high[2] - low[2]) / FILLS[1], wide / FILLS[0] / aspect)
    place = middle - ahead * frame * LENS / SENSOR
    place[2] = min(EYE_HEIGHT, high[2] * 0.9 + 0.25)
    rays = corners - place
    across, up = (rays @ right) / (rays @ ahead), rays[:, 2] / (rays @ ahead)
    frame = max(np.ptp(up) / FILLS[1], np.ptp(across) / FILLS[0] / aspect)
    data = put.keep("cameras", bpy.data.cameras.new("View"))
    data.sensor_fit, data.sensor_height = "VERTICAL", SENSOR
    data.lens = SENSOR / frame
    data.shift_x = (across.min() + across.max()) / 2 / frame
    data.shift_y = (up.min() + up.max()) / 2 / frame - BELOW_MIDDLE
    data.clip_start, data.clip_end = 0.05, 100.0
    camera = put.thing(bpy.data.objects.new("View", data))
    camera.matrix_world = (
        Matrix.Translation(place) @ Matrix.Rotation(-turn, 4, "Z") @ Matrix.Rotation(math.pi / 2, 4, "X")
    )
    put.scene.camera = camera
