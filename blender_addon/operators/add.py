"""Adding a piece: a starter piece or a piece file, at other sizes if wanted."""

from pathlib import Path

import bpy
from bpy.props import EnumProperty, FloatProperty, StringProperty
from bpy_extras.object_utils import AddObjectHelper, add_object_align_init

from .. import document
from ..core.fields import plain, read
from ..core.piece import Piece, loads, read_piece_file
from ..core.starters import starter_kinds, starter_text
from ..lengths import are_inches, units_per_mm
from ..preferences import with_habits
from ..wording import title
from .base import UNDOABLE, reporting

SIZES = ("width", "height", "depth")


def _size(name: str) -> FloatProperty:
    return FloatProperty(
        name=title(name),
        description=f"Overall {name}; 0 for that of the piece file",
        default=0.0,
        min=0.0,
        soft_max=3.0,
        subtype="DISTANCE",
        unit="LENGTH",
        step=1,
        options={"SKIP_SAVE"},
    )


class MUNTIN_OT_add_piece(bpy.types.Operator, AddObjectHelper):
    """Add a piece of furniture whose every part can be cut and listed"""

    bl_idname = "muntin.add_piece"
    bl_label = "Add Piece"
    bl_options = UNDOABLE

    kind: EnumProperty(
        name="Kind",
        description="The starter piece to begin with",
        items=[(kind, title(kind), f"Begin with a {kind.replace('_', ' ')}") for kind in starter_kinds()],
        default="coat_cupboard" if "coat_cupboard" in starter_kinds() else None,
    )
    filepath: StringProperty(
        name="Piece File", description="A piece file to begin with instead", subtype="FILE_PATH", options={"SKIP_SAVE"}
    )
    width: _size("width")
    height: _size("height")
    depth: _size("depth")
    sized_for: StringProperty(options={"HIDDEN", "SKIP_SAVE"})  # the piece that width, height and depth were read from

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Add it, and select it."""
        made = self.wanted(context)
        root = document.new_piece(context, made, made.whole.name or title(self.kind))
        root.matrix_world = add_object_align_init(context, self)
        for each in context.selected_objects:
            each.select_set(False)
        root.select_set(True)
        context.view_layer.objects.active = root
        _prepare_view(context)
        self.report({"INFO"}, "Its sizes, compartments and papers are in the sidebar (N), tab Muntin")
        return {"FINISHED"}

    def wanted(self, context: bpy.types.Context) -> Piece:
        """The piece at the sizes asked for; those not asked for are filled in from it, so that they can be adjusted."""
        source = self.filepath or self.kind
        piece = (
            read_piece_file(bpy.path.abspath(self.filepath))
            if self.filepath
            else loads(starter_text(self.kind), title(self.kind))
        )
        scale, data = units_per_mm(context.scene), plain(piece)
        if not self.filepath:
            data = with_habits(context, data)
        if self.sized_for and self.sized_for != source:
            self.width = self.height = self.depth = 0.0
        self.sized_for = source
        for name in SIZES:
            own = data["whole"][name]
            asked = round(getattr(self, name) / scale, 3)
            if asked and asked != own:
                data["whole"][name] = asked
            setattr(self, name, data["whole"][name] * scale)
        return read(Piece, data)

    def draw(self, context: bpy.types.Context) -> None:
        """Sizes first, then where it stands."""
        layout = self.layout
        layout.use_property_split = True
        layout.use_property_decorate = False
        if self.filepath:
            layout.label(text=Path(self.filepath).name)
        else:
            layout.prop(self, "kind")
        sizes = (
            () if are_inches(context.scene) else SIZES
        )  # Blender reads 23-5/8" as a subtraction; the sidebar does not
        for name in (*sizes, "align", "location", "rotation"):
            layout.prop(self, name)


def _prepare_view(context: bpy.types.Context) -> None:
    """Show the sidebar, and put out the dotted lines from every part to the root, which cover the piece; the overlays menu has them."""
    space = context.space_data
    if space and space.type == "VIEW_3D":
        space.show_region_ui = True
        space.overlay.show_relationship_lines = False


class MUNTIN_FH_piece(bpy.types.FileHandler):
    """Piece files dropped onto the viewport"""

    bl_idname = "MUNTIN_FH_piece"
    bl_label = "Muntin Piece File"
    bl_import_operator = "muntin.add_piece"
    bl_file_extensions = ".json"

    @classmethod
    def poll_drop(cls, context: bpy.types.Context) -> bool:
        """Whether it is a viewport that the file is dropped onto."""
        return context.area is not None and context.area.type == "VIEW_3D"


CLASSES = (MUNTIN_OT_add_piece, MUNTIN_FH_piece)
