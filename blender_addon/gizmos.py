"""The arrows by which a piece is dragged: overall sizes, uprights, fixed shelves, gaps between drawers."""

from __future__ import annotations

import bpy
from mathutils import Matrix, Vector

from . import document, view
from .core.grips import OVERALL, Grip

# Two arrowheads on a bar in the plane that looks forward, as triangles; the gizmo's own units, 1 about 75 pixels.
_HALF = (
    (0.0, 0.035, 0.18),
    (0.0, -0.035, 0.18),
    (0.0, 0.035, 0.0),
    (0.0, 0.035, 0.0),
    (0.0, -0.035, 0.18),
    (0.0, -0.035, 0.0),
)
_HEAD = ((0.0, 0.13, 0.18), (0.0, -0.13, 0.18), (0.0, 0.0, 0.42))
BOTH_WAYS = tuple((x, y, sign * z) for sign in (1, -1) for x, y, z in (*_HALF, *_HEAD))


class MUNTIN_GT_both_ways(bpy.types.Gizmo):
    """A double arrow that faces the front of the piece"""

    bl_idname = "MUNTIN_GT_both_ways"
    __slots__ = ("shape",)

    def setup(self) -> None:
        """Make the shape once."""
        if not hasattr(self, "shape"):
            self.shape = self.new_custom_shape("TRIS", BOTH_WAYS)

    def draw(self, context: bpy.types.Context) -> None:
        """Draw it."""
        self.draw_custom_shape(self.shape)

    def draw_select(self, context: bpy.types.Context, select_id: int) -> None:
        """Draw it to be found under the mouse."""
        self.draw_custom_shape(self.shape, select_id=select_id)


class MUNTIN_GGT_grips(bpy.types.GizmoGroup):
    """An arrow at every grip of the piece that is worked on"""

    bl_idname = "MUNTIN_GGT_grips"
    bl_label = "Grips"
    bl_space_type = "VIEW_3D"
    bl_region_type = "WINDOW"
    bl_options = {"3D", "PERSISTENT", "SHOW_MODAL_ALL"}  # noqa: RUF012  Blender reads it from the class

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether there is something to drag."""
        return view.has_grips(context)

    def setup(self, context: bpy.types.Context) -> None:
        """Begin with none."""
        self.arrows: dict[str, list[bpy.types.Gizmo]] = {"GIZMO_GT_arrow_3d": [], "MUNTIN_GT_both_ways": []}
        self.keys: dict[tuple[str, int], str] = {}
        self.place(context)

    def refresh(self, context: bpy.types.Context) -> None:
        """Put the arrows where the grips are."""
        self.place(context)

    def draw_prepare(self, context: bpy.types.Context) -> None:
        """The same before each drawing: a field may have been changed meanwhile."""
        self.place(context)

    def place(self, context: bpy.types.Context) -> None:
        """As many arrows as there are grips, each at its grip; those left over are hidden."""
        root = view.shown_root(context)
        grips = document.grips_of(root) if root else ()
        for kind, arrows in self.arrows.items():
            of_kind = [grip for grip in grips if (grip.key in OVERALL) == (kind == "GIZMO_GT_arrow_3d")]
            while len(arrows) < len(of_kind):
                arrows.append(_new(self, kind, context))
            for index, arrow in enumerate(arrows):
                arrow.hide = index >= len(of_kind)
                if index >= len(of_kind):
                    continue
                arrow.matrix_basis = _placed(of_kind[index], root)
                if self.keys.get((kind, index)) != of_kind[index].key:
                    self.keys[kind, index] = of_kind[index].key
                    arrow.target_set_operator("muntin.drag").grip = of_kind[index].key


def _new(group: bpy.types.GizmoGroup, kind: str, context: bpy.types.Context) -> bpy.types.Gizmo:
    arrow = group.gizmos.new(kind)
    colours = context.preferences.themes[0].user_interface
    arrow.color, arrow.alpha = colours.gizmo_primary[:3], 0.8
    arrow.color_highlight, arrow.alpha_highlight = colours.gizmo_hi[:3], 1.0
    arrow.use_draw_modal = True
    if kind == "GIZMO_GT_arrow_3d":
        arrow.draw_style = "NORMAL"
        arrow.length = 0.5
    return arrow


def _placed(grip: Grip, root: bpy.types.Object) -> Matrix:
    scale = document.scale_of(root)
    turned = root.matrix_world.to_quaternion().to_matrix().to_4x4()
    if grip.key in OVERALL:
        along = Vector(grip.along).to_track_quat("Z", "Y").to_matrix().to_4x4()
    else:
        along = _facing(Vector(grip.along))
    return Matrix.Translation(root.matrix_world @ (Vector(grip.at) * scale)) @ turned @ along


def _facing(along: Vector) -> Matrix:
    """Axes with z along a direction of the front's plane and x toward the viewer."""
    toward = Vector((0.0, -1.0, 0.0))
    across = along.cross(toward)
    return Matrix((toward, across, along)).transposed().to_4x4()


CLASSES = (MUNTIN_GT_both_ways, MUNTIN_GGT_grips)
