"""Dragging a size of the piece: live, snapped to what a tape can set, one undo step for the whole drag."""

import bpy
from bpy.props import FloatProperty, StringProperty
from bpy_extras import view3d_utils
from mathutils import Vector

from .. import document, view
from ..core import PieceError
from ..core.errors import ParameterError
from ..core.grips import Grip, moved
from ..core.piece.shop import STEP_MM
from ..core.units import nearest
from ..lengths import are_inches, words
from .base import OnCurrentPiece, OnPiece, reporting

PITCH = 32.0  # mm; of the trade's rows of holes
INCH = 25.4
FINE = 0.1  # of the mouse's way that a size goes while Shift is held


class MUNTIN_OT_drag(OnCurrentPiece, bpy.types.Operator):
    """Drag this size: to whole millimetres, with Shift finely, with Ctrl to the 32 mm pitch"""

    bl_idname = "muntin.drag"
    bl_label = "Drag Size"
    bl_options = {"UNDO", "BLOCKING", "GRAB_CURSOR"}  # noqa: RUF012  Blender reads it from the class

    grip: StringProperty(name="Grip", description="Key of what is dragged", options={"SKIP_SAVE"})
    size: FloatProperty(
        name="Size", description="The size to drag it to", unit="LENGTH", subtype="DISTANCE", options={"SKIP_SAVE"}
    )

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether the piece is current and may be changed."""
        return OnPiece.poll.__func__(cls, context) and OnCurrentPiece.poll.__func__(cls, context)

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Set the size at once, for scripts."""
        root = document.active_root(context)
        size = round(self.size / document.scale_of(root), 3)
        document.set_piece(root, moved(document.piece(root), self.grip, size))
        return {"FINISHED"}

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Take hold of the grip."""
        root = document.active_root(context)
        grip = next((each for each in document.grips_of(root) if each.key == self.grip), None)
        if grip is None:
            self.report({"ERROR"}, f'nothing can be dragged at "{self.grip}"')
            return {"CANCELLED"}
        self.root, self.start = root.name, root[document.TEXT]
        self.held, self.exact, self.shown = grip, grip.size, grip.size
        self.last = _along(context, event, root, grip)
        view.busy.grip, view.busy.words = grip.key, ""
        self.say(context)
        context.window_manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Follow the mouse until it is let go, or put all back."""
        if event.type == "MOUSEMOVE":
            self.follow(context, event)
        elif event.type in {"RIGHTMOUSE", "ESC"}:
            self.cancel(context)
            return {"CANCELLED"}
        elif (event.type == "LEFTMOUSE" and event.value == "RELEASE") or event.type in {"RET", "NUMPAD_ENTER"}:
            root = bpy.data.objects[self.root]
            try:
                document.let_go(root)
            except PieceError as error:
                self.report({"ERROR"}, str(error))
                self.cancel(context)
                return {"CANCELLED"}
            changed = root[document.TEXT] != self.start
            self.let_go()
            return {"FINISHED"} if changed else {"CANCELLED"}
        return {"RUNNING_MODAL"}

    def cancel(self, context: bpy.types.Context) -> None:
        """Put all back; Blender calls this too where it ends the drag itself: a window closed, another file opened."""
        root = bpy.data.objects.get(self.root)
        if root is not None and document.TEXT in root:
            document.set_text(root, self.start)
        self.let_go()

    def follow(self, context: bpy.types.Context, event: bpy.types.Event) -> None:
        """Drag to where the mouse is; a size that cannot be built is said, and the last good one stays."""
        root = bpy.data.objects[self.root]
        at = _along(context, event, root, self.held)
        self.exact += (at - self.last) * self.held.gain * (FINE if event.shift else 1.0)
        self.last = at
        size = snapped(self.exact, _step(context, document.piece(root).shop.finest_step, event))
        if size == self.shown:
            return
        self.shown = size
        try:
            document.drag_to(root, moved(document.piece(root), self.grip, size))
            view.busy.words = ""
        except PieceError as error:
            view.busy.words = error.message if isinstance(error, ParameterError) else str(error)
        self.say(context)

    def say(self, context: bpy.types.Context) -> None:
        """The size in the header, and why it cannot be if it cannot."""
        why = f": {view.busy.words}" if view.busy.words else ""
        context.area.header_text_set(f"{self.held.name} {words(self.shown, context.scene)}{why}")
        context.workspace.status_text_set("Shift: Finely   Ctrl: 32 mm Pitch   Esc: As Before")
        context.area.tag_redraw()

    def let_go(self) -> None:
        """End the drag."""
        view.busy.grip = view.busy.words = ""
        view.say_nothing()
        view.redraw()


def snapped(size: float, step: float) -> float:
    """The multiple of a step nearest to a size, mm."""
    return nearest(size, step)


def _step(context: bpy.types.Context, finest: str, event: bpy.types.Event) -> float:
    if event.ctrl:
        return PITCH
    if are_inches(context.scene):
        return INCH / (64 if event.shift else 16)
    return STEP_MM[finest] if event.shift else 1.0


def _along(context: bpy.types.Context, event: bpy.types.Event, root: bpy.types.Object, grip: Grip) -> float:
    """How far along a grip's line the mouse is, in mm from where the grip stood."""
    region, view_3d, place = context.region, context.region_data, (event.mouse_region_x, event.mouse_region_y)
    back = root.matrix_world.inverted_safe()
    eye = back @ view3d_utils.region_2d_to_origin_3d(region, view_3d, place)
    ray = back.to_3x3() @ view3d_utils.region_2d_to_vector_3d(region, view_3d, place)
    return nearest_on_line(Vector(grip.at) * document.scale_of(root), Vector(grip.along), eye, ray) / document.scale_of(
        root
    )


def nearest_on_line(at: Vector, along: Vector, eye: Vector, ray: Vector) -> float:
    """How far along a line the point lies that is nearest to a ray; 0 where they run side by side.

    Source: the common normal of two skew lines, any textbook of analytic geometry.
    """
    ray, between = ray.normalized(), eye - at
    slant = along.dot(ray)
    apart = 1.0 - slant * slant
    return (between.dot(along) - slant * between.dot(ray)) / apart if apart > 1e-4 else 0.0


CLASSES = (MUNTIN_OT_drag,)
