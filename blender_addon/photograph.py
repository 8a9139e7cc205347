"""The client's own room: a photograph behind the piece, seen by the camera that took it, with the shadows that the piece throws.

The camera is found by core from a rectangle of known size that is marked in the photograph. The piece is rendered on surfaces that
only catch shadows, and laid over the photograph in linear light.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import bpy
import numpy as np
from bpy.props import EnumProperty, FloatProperty, FloatVectorProperty, StringProperty
from mathutils import Matrix, Vector

from . import compat, document, pictures
from .core.errors import ParameterError
from .core.photograph import FILM, Camera, camera_of
from .lengths import METRES_PER_MM, units_per_mm
from .nodes import linear
from .room import WINDOW, WINDOW_POWER, Put, sky

UNMARKED = (0.35, 0.3, 0.65, 0.3, 0.65, 0.7, 0.35, 0.7)  # where the corners stand before they are marked
CATCHER = "#c8bfb2"  # what floor and wall throw back on to the piece; ours
REACH = 6.0  # m that the catching floor and wall go beyond the piece
WINDOWS = {"left": -1.0, "right": 1.0}
SKY, SKY_COLOUR = 0.35, (1.0, 0.99, 0.97, 1.0)  # light from everywhere in a furnished room; to the eye
MOST = 64_000_000  # pixels of a photograph; more is taken for a mistake


def _size(name: str, description: str, default: float, least: float = 0.0) -> object:
    return FloatProperty(
        name=name, description=description, default=default, min=least, soft_max=5.0, subtype="DISTANCE", unit="LENGTH"
    )


class MUNTIN_PG_photograph(bpy.types.PropertyGroup):
    """A photograph of the room where the piece is to stand, and what is known of it."""

    file: StringProperty(name="Photograph", description="Of the client's room, upright", subtype="FILE_PATH")
    corners: FloatVectorProperty(
        name="Corners",
        description="Of the rectangle, each as shares of the photograph's width and height from its lower left: "
        "lower left, lower right, upper right, upper left",
        size=8,
        min=-1.0,
        max=2.0,
        default=UNMARKED,
    )
    lies: EnumProperty(
        name="Rectangle",
        description="Where the rectangle of known size is in the room",
        items=[
            ("wall", "On the Wall", "Behind the piece: a door leaf, a picture, a sheet of paper that was put up"),
            ("floor", "On the Floor", "A sheet of board laid down, or tape; its lower side is the nearer one"),
        ],
    )
    width: _size("Width", "Of the rectangle, as measured", 0.9, 0.01)
    height: _size(
        "Height", "Of the rectangle as measured; on the floor from its nearer to its farther side", 2.04, 0.01
    )
    above: _size("Above Floor", "How far the lower side is above the floor", 0.0)
    along: FloatProperty(
        name="To the Piece",
        description="From the left side of the rectangle to the left side of the piece; less than 0 to the left",
        default=1.2,
        soft_min=-5.0,
        soft_max=5.0,
        subtype="DISTANCE",
        unit="LENGTH",
    )
    behind: FloatProperty(
        name="Behind Its Nearer Side",
        description="From the nearer side of the rectangle to the front of the piece",
        default=0.0,
        soft_min=-5.0,
        soft_max=5.0,
        subtype="DISTANCE",
        unit="LENGTH",
    )
    lens: FloatProperty(
        name="Lens",
        description="In mm on film of 24 × 36; 0 where it is not known and the corners are to tell",
        default=0.0,
        min=0.0,
        max=300.0,
    )
    light: EnumProperty(
        name="Light From",
        description="The side from which most of the room's light comes",
        items=[("left", "Left", "A window at the left"), ("right", "Right", "A window at the right")],
    )


@dataclass(frozen=True)
class Backdrop:
    """A photograph at the size of the picture, linear light, and the camera that took it in the frame of the piece, m."""

    pixels: np.ndarray  # (height, width, 3), the lowest row first
    lens: float
    matrix: Matrix
    shift: tuple[float, float]
    wall: float | None  # the wall's y, where it is known

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.pixels.shape[1], self.pixels.shape[0]


def backdrop(root: bpy.types.Object, width: int) -> Backdrop:
    """The photograph of a piece's room, no wider than `width` unless it is smaller; OSError or ParameterError where it will not do."""
    photo = root.muntin.photograph
    if not photo.file:
        raise ParameterError("photograph", "there is none yet; choose one under Own Room")
    whole = pixels_of(Path(bpy.path.abspath(photo.file)))
    rows, columns = whole.shape[:2]
    camera = marked_camera(root, rows / columns)
    step = max(1, math.ceil(columns / width))
    high, wide = rows // step, columns // step
    light = _light(whole[: high * step, : wide * step])
    place, turn = _in_piece(root, camera)
    matrix = Matrix.LocRotScale(Vector(place), Matrix(turn.T.tolist()), None)
    cut = columns - wide * step, rows - high * step
    return Backdrop(
        pixels=light.reshape(high, step, wide, step, 3).mean(axis=(1, 3)),
        lens=camera.lens,
        matrix=matrix,
        shift=(-cut[0] / 2 / (wide * step), -cut[1] / 2 / (wide * step)),
        wall=document.piece(root).site.stands_off * METRES_PER_MM if photo.lies == "wall" else None,
    )


def marked_camera(root: bpy.types.Object, aspect: float) -> Camera:
    """The camera that the marked rectangle tells, in its frame; ParameterError where it tells none."""
    photo = root.muntin.photograph
    flat = tuple(photo.corners)
    if np.allclose(flat, UNMARKED):
        raise ParameterError("corners", "the rectangle is not marked yet; use Mark Rectangle")
    scale = units_per_mm(bpy.context.scene)
    corners = list(zip(flat[::2], flat[1::2], strict=True))
    return camera_of(corners, (photo.width / scale, photo.height / scale), aspect, photo.lens)


def stage(put: Put, size: tuple[float, float, float], behind: Backdrop, light: str) -> None:
    """Floor and wall that catch shadows, and light from a side; `size` is the piece's width, depth and height in m."""
    width, depth, height = size
    material, tree = put.material("Catcher")
    tree.finish(tree.node("BsdfDiffuse", {"Color": linear(CATCHER)}).outputs[0])
    side, front, back = width / 2 + REACH, -depth - REACH, REACH if behind.wall is None else behind.wall
    surfaces = {"Floor": [(-side, front, 0), (side, front, 0), (side, back, 0), (-side, back, 0)]}
    if behind.wall is not None:
        surfaces["Wall"] = [(-side, back, 0), (side, back, 0), (side, back, height + 3), (-side, back, height + 3)]
    for name, corners in surfaces.items():
        put.quad(name, corners, material).is_shadow_catcher = True
    window = put.keep("lights", bpy.data.lights.new("Window", "AREA"))
    window.shape, window.energy = "RECTANGLE", WINDOW_POWER
    window.size, window.size_y = WINDOW
    stand = put.thing(bpy.data.objects.new("Window", window))
    stand.location = (WINDOWS[light] * (width / 2 + 2.6), -depth - 3.0, max(1.65, height * 0.9))
    stand.rotation_euler = compat.looking(stand.location, (0.0, -depth * 0.8, height * 0.5))
    sky(put, SKY, SKY_COLOUR)


def look(put: Put, behind: Backdrop) -> None:
    """The camera that took the photograph."""
    data = put.keep("cameras", bpy.data.cameras.new("View"))
    data.sensor_fit, data.sensor_width, data.lens = "HORIZONTAL", FILM, behind.lens
    data.shift_x, data.shift_y = behind.shift
    data.clip_start, data.clip_end = 0.05, 100.0
    camera = put.thing(bpy.data.objects.new("View", data))
    camera.matrix_world = behind.matrix
    put.scene.camera = camera


def lay_over(behind: Backdrop, rendered: Path, path: Path) -> None:
    """Lay a rendered picture, linear with alpha multiplied in, over the photograph and write a PNG; OSError where that fails."""
    over = pictures.read(rendered)
    laid = over[..., :3] + behind.pixels * (1 - over[..., 3:])
    pictures.write_png(path, _display(laid))


def pixels_of(path: Path) -> np.ndarray:
    """A photograph's pixels as they are seen, (rows, columns, 3) of 0 to 1, the lowest row first; OSError where it is none."""
    if not path.is_file():
        raise FileNotFoundError(f"{path}: there is no such photograph")
    pixels = pictures.read(path)[..., :3]
    if pixels.shape[0] * pixels.shape[1] > MOST:
        raise OSError(f"{path}: {pixels.shape[1]} × {pixels.shape[0]} pixels; at most {MOST} in all")
    return pixels


# -------------------------------------------------------------------------------------------------------------- helpers
def _in_piece(root: bpy.types.Object, camera: Camera) -> tuple[np.ndarray, np.ndarray]:
    """Place in m and axes of a camera, from the frame of the rectangle to that of the piece."""
    photo, scale = root.muntin.photograph, units_per_mm(bpy.context.scene)
    width, depth, _ = document.model(root).overall
    along = photo.along / scale + width / 2
    if photo.lies == "floor":
        turn, shift = np.eye(3), (-along, -photo.behind / scale - depth, 0.0)
    else:
        turn = np.array(((1.0, 0, 0), (0, 0, 1), (0, -1, 0)))  # its x, height and way out as x, z and −y of the piece
        shift = (-along, document.piece(root).site.stands_off, photo.above / scale)
    return (camera.place @ turn + np.array(shift)) * METRES_PER_MM, camera.axes @ turn


def _light(seen: np.ndarray) -> np.ndarray:
    """Linear light of sRGB values; IEC 61966-2-1."""
    return np.where(seen <= 0.04045, seen / 12.92, ((seen + 0.055) / 1.055) ** 2.4)


def _display(light: np.ndarray) -> np.ndarray:
    """sRGB values of linear light; IEC 61966-2-1."""
    light = np.clip(light, 0.0, 1.0)
    return np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)


CLASSES = (MUNTIN_PG_photograph,)
