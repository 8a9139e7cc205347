"""The client's own room: choosing its photograph, and dragging the corners of a rectangle of known size in it."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from pathlib import Path

import bpy
import gpu
import numpy as np
from bpy.props import FloatVectorProperty, StringProperty
from bpy_extras.io_utils import ImportHelper
from gpu_extras.batch import batch_for_shader

from .. import document, log, photograph, view
from ..core import PieceError
from ..core.errors import ParameterError
from ..core.photograph import require_outline
from .base import UNDOABLE, OnPiece, reporting

MARGIN = 0.04  # of the viewport, free about the photograph
NEAR = 24.0  # pixels at scale 1 within which a click takes hold of a corner
FINE = 0.1  # of the mouse's way that a corner goes while Shift is held
LOUPE, LOUPE_SHARE = (
    0.28,
    0.05,
)  # size of the enlarged piece as a share of the viewport, and how much of the photograph it shows
SHOWN = 1600  # pixels of the photograph's width that are shown while it is marked
FORMATS = "*.png;*.jpg;*.jpeg;*.tif;*.tiff;*.bmp;*.webp"
LEFT, RIGHT, HEADERS = ("TOOLS",), ("UI",), ("HEADER", "TOOL_HEADER")  # regions that lie over the viewport
INK, LINE = (1.0, 1.0, 1.0, 1.0), (0.0, 0.0, 0.0, 1.0)


class MUNTIN_OT_choose_photograph(OnPiece, bpy.types.Operator, ImportHelper):
    """Choose a photograph of the room where the piece is to stand, taken upright and with all of the wall's foot in it"""

    bl_idname = "muntin.choose_photograph"
    bl_label = "Choose Photograph"
    bl_options = UNDOABLE

    filter_glob: StringProperty(default=FORMATS, options={"HIDDEN"})

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Keep its place; corners marked in another one are forgotten."""
        path = Path(bpy.path.abspath(self.filepath))
        pixels = photograph.pixels_of(path)
        photo = document.active_root(context).muntin.photograph
        photo.file = self.filepath
        photo.corners = photograph.UNMARKED
        self.report({"INFO"}, f"{path.name}, {pixels.shape[1]} × {pixels.shape[0]} pixels; now mark the rectangle")
        return {"FINISHED"}


@dataclass(frozen=True)
class Frame:
    """Where the photograph is shown in a viewport, pixels."""

    x: float
    y: float
    width: float
    height: float

    @classmethod
    def fitted(cls, area: bpy.types.Area, region: bpy.types.Region, aspect: float) -> Frame:
        """As large as the part of a viewport holds on which no sidebar or header lies; `aspect` is height by width."""
        left, right, top = (
            sum(
                (each.height if kind == HEADERS else each.width)
                for each in area.regions
                if each.type in kind and min(each.width, each.height) > 1
            )
            for kind in (LEFT, RIGHT, HEADERS)
        )
        across, up = region.width - left - right, region.height - top
        width = min(across, up / aspect) * (1 - 2 * MARGIN)
        return cls(left + (across - width) / 2, (up - width * aspect) / 2, width, width * aspect)

    def place(self, share: tuple[float, float]) -> tuple[float, float]:
        """Pixels of a place given in shares of the photograph."""
        return self.x + share[0] * self.width, self.y + share[1] * self.height

    def share(self, x: float, y: float) -> tuple[float, float]:
        """Shares of the photograph of a place in pixels."""
        return (x - self.x) / self.width, (y - self.y) / self.height


class MUNTIN_OT_mark_rectangle(OnPiece, bpy.types.Operator):
    """Drag four corners on to a rectangle of known size in the photograph, such as a door leaf"""

    bl_idname = "muntin.mark_rectangle"
    bl_label = "Mark Rectangle"
    bl_options = UNDOABLE

    corners: FloatVectorProperty(
        name="Corners",
        description="Lower left, lower right, upper right, upper left in shares of the photograph, for scripts",
        size=8,
        options={"SKIP_SAVE"},
    )

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether there is a photograph to mark."""
        if not OnPiece.poll.__func__(cls, context):
            return False
        if not document.active_root(context).muntin.photograph.file:
            cls.poll_message_set("Choose a photograph first")
            return False
        return True

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Keep the corners, unless no rectangle has them, and say what lens they tell, or why they tell none."""
        root = document.active_root(context)
        photo = root.muntin.photograph
        pixels = photograph.pixels_of(Path(bpy.path.abspath(photo.file)))
        flat = tuple(self.corners)
        require_outline(list(zip(flat[::2], flat[1::2], strict=True)))
        photo.corners = self.corners
        try:
            camera = photograph.marked_camera(root, pixels.shape[0] / pixels.shape[1])
        except ParameterError as error:
            self.report({"WARNING"}, str(error))
        else:
            off = camera.off * pixels.shape[1]
            self.report(
                {"INFO"}, f"Lens {camera.lens:.0f} mm; the corners lie within {off:.1f} pixels of a true rectangle"
            )
        return {"FINISHED"}

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Show the photograph over the viewport with the corners to drag."""
        photo = document.active_root(context).muntin.photograph
        try:
            self.pixels = _shown(photograph.pixels_of(Path(bpy.path.abspath(photo.file))))
        except (PieceError, OSError) as error:
            log.refused("muntin.mark_rectangle", error)
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        flat = tuple(photo.corners)
        self.marks = list(zip(flat[::2], flat[1::2], strict=True))
        self.held, self.texture, self.area, self.region = -1, None, context.area, context.region
        self.handle = bpy.types.SpaceView3D.draw_handler_add(self.draw, (context,), "WINDOW", "POST_PIXEL")
        context.workspace.status_text_set("Drag the Corners   Shift: Finely   Enter: Done   Esc: As Before")
        context.window_manager.modal_handler_add(self)
        view.redraw()
        return {"RUNNING_MODAL"}

    def modal(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Drag corners until Enter or Esc."""
        frame, mouse = self.frame(), (event.mouse_region_x, event.mouse_region_y)
        if event.type == "LEFTMOUSE" and event.value == "PRESS":
            self.held, self.last = self.nearest(frame, mouse), mouse
        elif event.type in {"MOUSEMOVE", "LEFTMOUSE"} and self.held >= 0:
            gain = FINE if event.shift else 1.0
            x, y = frame.place(self.marks[self.held])
            self.marks[self.held] = frame.share(
                x + gain * (mouse[0] - self.last[0]), y + gain * (mouse[1] - self.last[1])
            )
            self.last = mouse
            if event.value == "RELEASE" and event.type == "LEFTMOUSE":
                self.held = -1
        elif event.type in {"RET", "NUMPAD_ENTER"} and event.value == "PRESS":
            self.cancel(context)
            self.corners = [value for mark in self.marks for value in mark]
            return self.execute(context)
        elif event.type in {"ESC", "RIGHTMOUSE"}:
            self.cancel(context)
            return {"CANCELLED"}
        view.redraw()
        return {"RUNNING_MODAL"}

    def frame(self) -> Frame:
        """Where the photograph is."""
        return Frame.fitted(self.area, self.region, self.pixels.shape[0] / self.pixels.shape[1])

    def nearest(self, frame: Frame, mouse: tuple[float, float]) -> int:
        """The corner that a click takes hold of; −1 for none."""
        away = [np.hypot(*np.subtract(frame.place(mark), mouse)) for mark in self.marks]
        least = int(np.argmin(away))
        return least if away[least] <= NEAR * (bpy.context.preferences.system.ui_scale or 1.0) else -1

    def cancel(self, context: bpy.types.Context) -> None:
        """Take the photograph away; Blender calls this too where it ends the marking itself."""
        bpy.types.SpaceView3D.draw_handler_remove(self.handle, "WINDOW")
        view.say_nothing()
        view.redraw()

    # -------------------------------------------------------------------------------------------------------- drawing
    def draw(self, context: bpy.types.Context) -> None:
        """The photograph, the rectangle, its corners, and the held one enlarged."""
        if bpy.context.region != self.region:
            return
        if self.texture is None:
            self.texture = _texture(self.pixels)
        frame = self.frame()
        _picture(self.texture, (frame.x, frame.y, frame.width, frame.height), (0.0, 0.0, 1.0, 1.0))
        places = [frame.place(mark) for mark in self.marks]
        _outline([*places, places[0]])
        arm = NEAR / 2 * (context.preferences.system.ui_scale or 1.0)
        for x, y in places:
            _outline([(x - arm, y), (x + arm, y)])
            _outline([(x, y - arm), (x, y + arm)])
        if self.held >= 0:
            self.loupe(self.marks[self.held])

    def loupe(self, mark: tuple[float, float]) -> None:
        """What lies about a corner, enlarged, in whichever upper corner of the photograph is farther from it."""
        frame = self.frame()
        side = LOUPE * min(frame.width, frame.height)
        x = frame.x if mark[0] > 0.5 else frame.x + frame.width - side
        y = frame.y + frame.height - side
        wide = LOUPE_SHARE
        high = wide * self.pixels.shape[1] / self.pixels.shape[0]
        part = (mark[0] - wide / 2, mark[1] - high / 2, mark[0] + wide / 2, mark[1] + high / 2)
        _picture(self.texture, (x, y, side, side), part)
        _outline([(x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y)])
        _outline([(x, y + side / 2), (x + side, y + side / 2)])
        _outline([(x + side / 2, y), (x + side / 2, y + side)])


def _shown(pixels: np.ndarray) -> np.ndarray:
    """Every so many-th pixel, so that the photograph is shown without delay."""
    step = max(1, pixels.shape[1] // SHOWN)
    return np.ascontiguousarray(pixels[::step, ::step])


def _texture(pixels: np.ndarray) -> gpu.types.GPUTexture:
    rows, columns = pixels.shape[:2]
    data = np.dstack((pixels, np.ones((rows, columns), np.float32))).astype(np.float32)
    return gpu.types.GPUTexture(
        (columns, rows), format="RGBA8", data=gpu.types.Buffer("FLOAT", data.size, data.ravel())
    )


def _picture(
    texture: gpu.types.GPUTexture, at: tuple[float, float, float, float], part: tuple[float, float, float, float]
) -> None:
    """A part of a texture, in shares, in a rectangle of the viewport: x, y, width and height in pixels."""
    (x, y, width, height), (a, b, c, d) = at, part
    shader = gpu.shader.from_builtin("IMAGE")
    batch = batch_for_shader(
        shader,
        "TRI_FAN",
        {
            "pos": ((x, y), (x + width, y), (x + width, y + height), (x, y + height)),
            "texCoord": ((a, b), (c, b), (c, d), (a, d)),
        },
    )
    shader.bind()
    shader.uniform_sampler("image", texture)
    batch.draw(shader)


def _outline(points: list[tuple[float, float]]) -> None:
    """A white line with black beside it, to be seen on any ground."""
    shader = gpu.shader.from_builtin("POLYLINE_UNIFORM_COLOR")
    places = [(x, y, 0.0) for x, y in points]
    ends = [end for pair in itertools.pairwise(places) for end in pair]
    batch = batch_for_shader(shader, "LINES", {"pos": ends})
    shader.bind()
    shader.uniform_float("viewportSize", gpu.state.viewport_get()[2:])
    for width, colour in ((4.0, LINE), (1.5, INK)):
        shader.uniform_float("lineWidth", width)
        shader.uniform_float("color", colour)
        batch.draw(shader)


CLASSES = (MUNTIN_OT_choose_photograph, MUNTIN_OT_mark_rectangle)
