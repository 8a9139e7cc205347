"""Working on one compartment: picking it in the viewport, dividing it, fitting fronts and contents to it."""

import bpy
from bpy.props import EnumProperty, IntProperty, StringProperty
from bpy_extras import view3d_utils
from mathutils import Vector

from .. import document, view
from ..core import arranging
from ..core.errors import ParameterError
from ..core.piece import Piece
from ..core.piece.layout import BETWEEN
from ..wording import title
from .base import UNDOABLE, OnPiece, reporting


class MUNTIN_OT_pick_compartment(OnPiece, bpy.types.Operator):
    """Pick a compartment by clicking it in the viewport"""

    bl_idname = "muntin.pick_compartment"
    bl_label = "Pick Compartment"
    bl_options = UNDOABLE

    compartment: StringProperty(
        name="Compartment", description="Id of the compartment, for scripts", options={"SKIP_SAVE"}
    )

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Pick the one that is named."""
        root = document.active_root(context)
        if self.compartment not in document.boxes_of(root):
            raise ParameterError("", f'there is no compartment "{self.compartment}"')
        document.choose(root, self.compartment)
        context.scene.muntin.compartment = True
        view.redraw()
        return {"FINISHED"}

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Wait for the click."""
        if self.compartment:
            return self.execute(context)
        context.window_manager.modal_handler_add(self)
        context.window.cursor_modal_set("EYEDROPPER")
        context.workspace.status_text_set("Click: Pick the Compartment   Esc: Leave")
        return {"RUNNING_MODAL"}

    def modal(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Show what is under the mouse; a click picks it, the view can be turned meanwhile."""
        if event.type == "MOUSEMOVE":
            view.busy.compartment = under_mouse(context, event)
            view.redraw()
        elif event.type in {"RIGHTMOUSE", "ESC"}:
            self.cancel(context)
            return {"CANCELLED"}
        elif event.type == "LEFTMOUSE" and event.value == "PRESS":
            self.compartment = under_mouse(context, event)
            self.cancel(context)
            return self.execute(context) if self.compartment else {"CANCELLED"}
        else:
            return {"PASS_THROUGH"}
        return {"RUNNING_MODAL"}

    def cancel(self, context: bpy.types.Context) -> None:
        """Wait no more; Blender calls this too where it ends the waiting itself."""
        view.busy.compartment = ""
        if context.window:
            context.window.cursor_modal_restore()
        view.say_nothing()
        view.redraw()


def under_mouse(context: bpy.types.Context, event: bpy.types.Event) -> str:
    """The id of the undivided compartment under the mouse in whichever viewport that is in; empty if there is none."""
    root = document.active_root(context)
    for area in context.screen.areas if root else ():
        for region in area.regions:
            x, y = event.mouse_x - region.x, event.mouse_y - region.y
            if area.type == "VIEW_3D" and region.type == "WINDOW" and 0 <= x < region.width and 0 <= y < region.height:
                looking = area.spaces.active.region_3d
                back = root.matrix_world.inverted_safe()
                eye = back @ view3d_utils.region_2d_to_origin_3d(region, looking, (x, y))
                ray = back.to_3x3() @ view3d_utils.region_2d_to_vector_3d(region, looking, (x, y))
                return hit(root, eye / document.scale_of(root), ray)
    return ""


def hit(root: bpy.types.Object, eye: Vector, ray: Vector) -> str:
    """The undivided compartment that a ray meets first; place and direction in the piece, mm."""
    boxes = document.boxes_of(root)
    leaves = [each.id for each in document.piece(root).layout if each.divided == "none"]
    ways = {id: _enters(boxes[id], eye, ray) for id in leaves}
    met = {id: way for id, way in ways.items() if way is not None}
    return min(met, key=lambda id: met[id]) if met else ""


def _enters(box: document.Box, eye: Vector, ray: Vector) -> float | None:
    """How far along a ray it enters a box; None where it passes by. Source: the slab method, Kay and Kajiya 1986."""
    nearest, farthest = float("-inf"), float("inf")
    for low, high, at, way in zip(*box, eye, ray, strict=True):
        if abs(way) < 1e-9:
            if not low <= at <= high:
                return None
            continue
        first, second = sorted(((low - at) / way, (high - at) / way))
        nearest, farthest = max(nearest, first), min(farthest, second)
    return nearest if nearest <= farthest and farthest > 0 else None


class OnCompartment(OnPiece):
    """A command on the compartment that is picked."""

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether one is picked that is not divided, in a piece that is current."""
        if not OnPiece.poll.__func__(cls, context):
            return False
        root = document.active_root(context)
        if document.trouble(root):
            cls.poll_message_set(f"The piece is not current: {document.trouble_words(root)}")
            return False
        layout, index = root.muntin.piece.layout, root.muntin.piece.at_layout
        if index >= len(layout) or layout[index].divided != "none":
            cls.poll_message_set("Pick a compartment that is not divided")
            return False
        return True

    def changed(self, piece: Piece, id: str, root: bpy.types.Object) -> Piece:
        """The piece after the command."""
        raise NotImplementedError

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Change the piece; what cannot be built is refused and nothing changes."""
        root = document.active_root(context)
        id, before = document.chosen(root), document.piece(root)
        after = self.changed(before, id, root)
        document.set_piece(root, after)
        new = [each.id for each in after.layout if each.id not in {one.id for one in before.layout}]
        there = {each.id for each in after.layout}
        parent = next(each.parent for each in before.layout if each.id == id)
        document.choose(root, new[0] if new else id if id in there else parent)
        view.redraw()
        return {"FINISHED"}


class MUNTIN_OT_add_upright(OnCompartment, bpy.types.Operator):
    """Part the picked compartment by an upright in its middle"""

    bl_idname = "muntin.add_upright"
    bl_label = "Add Upright"
    bl_options = UNDOABLE

    def changed(self, piece: Piece, id: str, root: bpy.types.Object) -> Piece:
        """Two compartments side by side."""
        return arranging.add_upright(piece, id)


class MUNTIN_OT_add_fixed_shelf(OnCompartment, bpy.types.Operator):
    """Part the picked compartment by a fixed shelf half way up"""

    bl_idname = "muntin.add_fixed_shelf"
    bl_label = "Add Fixed Shelf"
    bl_options = UNDOABLE

    def changed(self, piece: Piece, id: str, root: bpy.types.Object) -> Piece:
        """Two compartments one above the other."""
        return arranging.add_fixed_shelf(piece, id)


class MUNTIN_OT_take_out(OnCompartment, bpy.types.Operator):
    """Take out the upright or fixed shelf beside the picked compartment, which takes over its neighbour's space"""

    bl_idname = "muntin.take_out"
    bl_label = "Take Out"
    bl_options = UNDOABLE

    def changed(self, piece: Piece, id: str, root: bpy.types.Object) -> Piece:
        """One compartment of two."""
        return arranging.take_out(piece, id)


class MUNTIN_OT_fit_doors(OnCompartment, bpy.types.Operator):
    """Close the picked compartment with a door, or with a pair where it is wide"""

    bl_idname = "muntin.fit_doors"
    bl_label = "Fit Doors"
    bl_options = UNDOABLE

    def changed(self, piece: Piece, id: str, root: bpy.types.Object) -> Piece:
        """A front more."""
        low, high = document.boxes_of(root)[id]
        return arranging.fit_doors(piece, id, high[0] - low[0])


class MUNTIN_OT_fit_drawers(OnCompartment, bpy.types.Operator):
    """Fill the picked compartment with drawers, one above another"""

    bl_idname = "muntin.fit_drawers"
    bl_label = "Fit Drawers"
    bl_options = UNDOABLE

    quantity: IntProperty(name="Drawers", description="How many", default=3, min=1, max=arranging.MOST_DRAWERS)
    between: EnumProperty(
        name="Between Them",
        description="What stands between the drawers",
        items=[(word, title(label.partition(":")[0]), label) for word, label in BETWEEN.items()],
        default="nothing",
    )

    def changed(self, piece: Piece, id: str, root: bpy.types.Object) -> Piece:
        """As many compartments with a drawer each."""
        return arranging.fit_drawers(piece, id, self.quantity, self.between)


class MUNTIN_OT_fit_shelves(OnCompartment, bpy.types.Operator):
    """Put loose shelves on pins into the picked compartment"""

    bl_idname = "muntin.fit_shelves"
    bl_label = "Fit Shelves"
    bl_options = UNDOABLE

    quantity: IntProperty(name="Shelves", description="How many, spread evenly", default=3, min=1, max=20)

    def changed(self, piece: Piece, id: str, root: bpy.types.Object) -> Piece:
        """Shelves among its contents."""
        return arranging.fit_shelves(piece, id, self.quantity)


class MUNTIN_OT_fit_rail(OnCompartment, bpy.types.Operator):
    """Hang a rail in the picked compartment"""

    bl_idname = "muntin.fit_rail"
    bl_label = "Fit Rail"
    bl_options = UNDOABLE

    def changed(self, piece: Piece, id: str, root: bpy.types.Object) -> Piece:
        """A rail among its contents."""
        return arranging.fit_rail(piece, id)


CLASSES = (
    MUNTIN_OT_pick_compartment,
    MUNTIN_OT_add_upright,
    MUNTIN_OT_add_fixed_shelf,
    MUNTIN_OT_take_out,
    MUNTIN_OT_fit_doors,
    MUNTIN_OT_fit_drawers,
    MUNTIN_OT_fit_shelves,
    MUNTIN_OT_fit_rail,
)
