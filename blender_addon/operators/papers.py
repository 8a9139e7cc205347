"""What goes out: the picture for the client and the workshop pack."""

import math
from pathlib import Path

import bpy
from bpy.props import BoolProperty, FloatProperty, IntProperty, StringProperty
from bpy_extras.io_utils import ExportHelper

from .. import document, preview
from ..core.piece.job import Job, JobItem
from ..lengths import units_per_mm
from .base import OnCurrentPiece, reporting


class MUNTIN_OT_preview(OnCurrentPiece, bpy.types.Operator, ExportHelper):
    """Render the piece in a room, as the client would see it"""

    bl_idname = "muntin.preview"
    bl_label = "Render Preview"

    filename_ext = ".png"
    filter_glob: StringProperty(default="*.png", options={"HIDDEN"})
    width: IntProperty(name="Width", description="Of the picture, in pixels", default=900, min=16, max=8192)
    height: IntProperty(name="Height", description="Of the picture, in pixels", default=1100, min=16, max=8192)
    samples: IntProperty(
        name="Samples",
        description="The most that a pixel takes; more is smoother and slower",
        default=preview.SAMPLES,
        min=1,
        max=4096,
    )
    draft: BoolProperty(name="Draft", description="Half the size and fewer samples, in a few seconds", default=False)
    scheme: StringProperty(
        name="Scheme", description="Id of the scheme to show; empty for the one that the piece shows"
    )
    swing: FloatProperty(
        name="Swing",
        description="How far the doors stand open",
        default=0.0,
        min=0.0,
        max=math.pi,
        subtype="ANGLE",
        unit="ROTATION",
    )
    travel: FloatProperty(
        name="Travel",
        description="How far the drawers stand out",
        default=0.0,
        min=0.0,
        subtype="DISTANCE",
        unit="LENGTH",
    )

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Render into the file."""
        path = Path(bpy.path.abspath(self.filepath))
        shot = preview.Shot(
            width=self.width,
            height=self.height,
            samples=self.samples,
            draft=self.draft,
            scheme=self.scheme,
            swing=math.degrees(self.swing),
            travel=self.travel / units_per_mm(context.scene),
        )
        preview.render(document.active_root(context), path, shot)
        self.report({"INFO"}, f"Rendered {path}")
        return {"FINISHED"}


class MUNTIN_OT_export_workshop_pack(OnCurrentPiece, bpy.types.Operator):
    """Write drawings, lists and plans for the workshop into a folder"""

    bl_idname = "muntin.export_workshop_pack"
    bl_label = "Export Workshop Pack"

    directory: StringProperty(name="Folder", description="Where the files go", subtype="DIR_PATH")
    filter_folder: BoolProperty(default=True, options={"HIDDEN"})

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Ask for the folder."""
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Have core write the pack; each stage is told as it begins."""
        from ..core.pack import write_pack  # brings the PDF writer with it, which start-up does without

        piece = document.piece(document.active_root(context))
        folder = Path(bpy.path.abspath(self.directory))
        windows = context.window_manager
        windows.progress_begin(0, 100)
        try:
            stages: list[str] = []

            def told(words: str) -> None:
                stages.append(words)
                windows.progress_update(min(99, 4 * len(stages)))

            written = write_pack(Job(piece.whole.name, (JobItem(piece),)), folder, told)
        finally:
            windows.progress_end()
        self.report({"INFO"}, f"Wrote {len(written)} files into {folder}")
        return {"FINISHED"}


CLASSES = (MUNTIN_OT_preview, MUNTIN_OT_export_workshop_pack)
