"""What goes out: the picture for the client, the workshop pack, the cutting list, the model."""

import math
import time
from collections import Counter
from pathlib import Path

import bpy
from bpy.props import BoolProperty, EnumProperty, FloatProperty, IntProperty, StringProperty

from .. import document, made, outcome, preview, rendering, room, schemes, stages
from ..core.cutting.turns import Enough
from ..core.errors import ParameterError
from ..core.exports.files import put_in_folder, write_bytes, write_text
from ..core.handles import choices, handle_ids
from ..core.piece.job import Job, JobItem
from ..core.revisions.revision import REVISION_FILE, Revision, read_revision
from ..core.stages import Stages
from ..lengths import units_per_mm
from ..preferences import made_by
from .base import UNDOABLE, NamedExport, OnCurrentPiece, reporting


def _suited() -> BoolProperty:
    return BoolProperty(
        name="Suit the Piece", description="Turn the picture on its long side where the piece is wide", default=True
    )


def _settings(*more: tuple[str, str, str]) -> list[tuple[str, str, str]]:
    return [*((word, *label.split(": ", 1)) for word, label in room.SETTINGS.items()), *more]


class MUNTIN_OT_preview(OnCurrentPiece, bpy.types.Operator, NamedExport):
    """Render the piece in a room, as the client would see it"""

    bl_idname = "muntin.preview"
    bl_label = "Render Preview"

    what = "preview"
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
    suited: _suited()
    draft: BoolProperty(name="Draft", description="Half the size and fewer samples, in a few seconds", default=False)
    setting: EnumProperty(
        name="Setting",
        description="Where the piece is pictured and by what light",
        items=_settings((preview.OWN_ROOM, "Own Room", "The photograph chosen under Own Room, seen by its own camera")),
        default="daylight",
    )
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

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Ask for the file; then render in a window of its own."""
        self.watched = True
        return NamedExport.invoke(self, context, event)

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Render into the file; where a person asked for it, in a window with progress, and Esc stops it."""
        path = Path(bpy.path.abspath(self.filepath))
        shot = preview.Shot(
            width=self.width,
            height=self.height,
            suited=self.suited,
            samples=self.samples,
            draft=self.draft,
            scheme=self.scheme,
            setting=self.setting,
            swing=math.degrees(self.swing),
            travel=self.travel / units_per_mm(context.scene),
        )
        if getattr(self, "watched", False) and not bpy.app.background:
            rendering.begin(preview.Picture(document.active_root(context), path, shot))
            self.report({"INFO"}, "Rendering; Esc in its window stops it")
            return {"FINISHED"}
        began = time.monotonic()
        preview.render(document.active_root(context), path, shot)
        outcome.note("Preview", [path], time.monotonic() - began)
        self.report({"INFO"}, f"Rendered {path}")
        return {"FINISHED"}


def _choices(typed: str) -> list[str]:
    """What is typed so far with each handle that may come next."""
    before = typed.rpartition(",")[0]
    return [f"{before}, {each}" if before else each for each in handle_ids()]


class MUNTIN_OT_set_out_schemes(OnCurrentPiece, bpy.types.Operator):
    """Make a scene with one frame for each scheme and each choice of handles, to be rendered as an animation"""

    bl_idname = "muntin.set_out_schemes"
    bl_label = "Schemes as Frames"
    bl_options = UNDOABLE

    directory: StringProperty(name="Folder", description="Where the pictures go", subtype="DIR_PATH")
    filter_folder: BoolProperty(default=True, options={"HIDDEN"})
    width: IntProperty(name="Width", description="Of a picture, in pixels", default=900, min=16, max=8192)
    height: IntProperty(name="Height", description="Of a picture, in pixels", default=1100, min=16, max=8192)
    suited: _suited()
    samples: IntProperty(
        name="Samples", description="The most that a pixel takes", default=preview.SAMPLES, min=1, max=4096
    )
    setting: EnumProperty(
        name="Setting",
        description="Where the piece is pictured and by what light",
        items=_settings(),
        default="daylight",
    )
    handles: StringProperty(
        name="Other Handles",
        description="Ids of handles to show beside the piece's own, parted by commas; doors and drawers apart with a plus",
        search=lambda _self, _context, text: _choices(text),
        search_options={"SUGGESTION"},
    )

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Ask for the folder."""
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Make the scene; it is rendered by Render Animation."""
        shot = preview.Shot(
            width=self.width, height=self.height, suited=self.suited, samples=self.samples, setting=self.setting
        )
        folder = Path(bpy.path.abspath(self.directory))
        stage = schemes.set_up(document.active_root(context), folder, shot, choices(self.handles))
        self.report({"INFO"}, f"The scene {stage.name} has {stage.frame_end} frames")
        return {"FINISHED"}


class OfSchemes(OnCurrentPiece):
    """A command on the scene that shows a piece's schemes."""

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether it was made."""
        if not OnCurrentPiece.poll.__func__(cls, context):
            return False
        if schemes.scene_of(document.active_root(context)) is None:
            cls.poll_message_set("Make the scene first: Schemes as Frames")
            return False
        return True


class MUNTIN_OT_render_schemes(OfSchemes, bpy.types.Operator):
    """Render those schemes that have no picture in the folder yet; Esc in the window stops it"""

    bl_idname = "muntin.render_schemes"
    bl_label = "Render Schemes"

    def execute(self, context: bpy.types.Context) -> set[str]:
        """Have Blender render the animation."""
        how = () if bpy.app.background else ("INVOKE_DEFAULT",)
        stage = schemes.scene_of(document.active_root(context))
        return bpy.ops.render.render(*how, animation=True, scene=stage.name)


class MUNTIN_OT_export_schemes(OfSchemes, bpy.types.Operator, NamedExport):
    """Write all rendered schemes side by side into one picture, in the order of the Finish panel"""

    bl_idname = "muntin.export_schemes"
    bl_label = "Schemes Side by Side"

    what = "schemes"
    filename_ext = ".png"
    filter_glob: StringProperty(default="*.png", options={"HIDDEN"})

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Join the frames."""
        began, path = time.monotonic(), Path(bpy.path.abspath(self.filepath))
        schemes.write_sheet(document.active_root(context), path)
        outcome.note("Schemes", [path], time.monotonic() - began)
        self.report({"INFO"}, f"Wrote {path}")
        return {"FINISHED"}


class OfJob(OnCurrentPiece):
    """An export of the piece that is worked on, or of all pieces of the scene as one job."""

    all_pieces: BoolProperty(
        name="All Pieces",
        description="Every piece of the scene as one job: one cutting plan, marks unique across it; they last from the pack in the folder",
        default=False,
    )

    def roots(self, context: bpy.types.Context) -> list[bpy.types.Object]:
        """The roots of the pieces that are exported. Raises ParameterError where one is not current."""
        root = document.active_root(context)
        roots = [each for each in context.scene.objects if document.is_root(each)] if self.all_pieces else [root]
        for each in roots:
            if document.trouble(each):
                raise ParameterError("", f"{each.name} is not current: {document.trouble_words(each)}")
        return roots

    def job(self, context: bpy.types.Context) -> Job:
        """The pieces that are exported; equal ones are counted. Raises ParameterError where one is not current."""
        roots = self.roots(context)
        texts = Counter(each[document.TEXT] for each in roots)
        pieces = {each[document.TEXT]: document.piece(each) for each in roots}
        names = dict.fromkeys(piece.whole.name for piece in pieces.values() if piece.whole.name)
        return Job(", ".join(names), tuple(JobItem(pieces[text], number) for text, number in texts.items()))

    def since(self, context: bpy.types.Context, folder: Path) -> Revision | None:
        """The state that is being made, whose marks and ticks last; for several pieces, the earlier pack in the folder, if any.

        Raises PieceError for a revision file there that cannot be read.
        """
        if not self.all_pieces:
            return made.state(document.active_root(context))
        earlier = folder / REVISION_FILE
        return read_revision(earlier) if earlier.is_file() else None


class MUNTIN_OT_export_workshop_pack(OfJob, bpy.types.Operator):
    """Write drawings, lists and plans for the workshop into a folder"""

    bl_idname = "muntin.export_workshop_pack"
    bl_label = "Export Workshop Pack"

    directory: StringProperty(name="Folder", description="Where the files go", subtype="DIR_PATH")
    filter_folder: BoolProperty(default=True, options={"HIDDEN"})

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Ask for the folder; then draw while the person goes on looking."""
        self.watched = True
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Have core make the pack chapter by chapter, and write all files or none; where a person asked for it, Esc stops it."""
        from ..core.built import building
        from ..core.pack import packing  # brings the PDF writer with it, which start-up does without

        began, folder = time.monotonic(), Path(bpy.path.abspath(self.directory))
        job, since, maker = self.job(context), self.since(context, folder), made_by(context)
        enough = Enough()

        def steps() -> Stages[dict[str, bytes]]:
            built = yield from building(job, since=since, **maker)
            return (yield from packing(built, enough=enough))

        def write(files: dict[str, bytes]) -> None:
            outcome.note("Workshop Pack", put_in_folder(folder, files), time.monotonic() - began)

        if stages.carry_out(
            stages.Work("Workshop Pack", steps(), write, enough=enough), getattr(self, "watched", False)
        ):
            self.report({"INFO"}, f"Wrote {len(outcome.last().names)} files into {folder}")
        else:
            self.report({"INFO"}, "Planning and drawing; Esc takes the best plan so far, later it stops the pack")
        return {"FINISHED"}


class MUNTIN_OT_export_cutting_list(OfJob, bpy.types.Operator, NamedExport):
    """Write the cutting list as a table that any spreadsheet opens"""

    bl_idname = "muntin.export_cutting_list"
    bl_label = "Export Cutting List"

    what = "cutting list"
    filename_ext = ".csv"
    filter_glob: StringProperty(default="*.csv", options={"HIDDEN"})

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Have core build the job and write the list."""
        from ..core.built import build_job
        from ..core.cutting.list import cutting_list
        from ..core.pack import list_csv

        began, path = time.monotonic(), Path(bpy.path.abspath(self.filepath))
        job = build_job(self.job(context), since=self.since(context, path.parent), **made_by(context))
        write_text(path, list_csv(job, cutting_list(job).entries))
        outcome.note("Cutting List", [path], time.monotonic() - began)
        self.report({"INFO"}, f"Wrote {path}")
        return {"FINISHED"}


class MUNTIN_OT_export_model(OnCurrentPiece, bpy.types.Operator, NamedExport):
    """Write the model as glTF, as far taken apart as it is on the screen"""

    bl_idname = "muntin.export_model"
    bl_label = "Export Model"

    filename_ext = ".glb"
    filter_glob: StringProperty(default="*.glb", options={"HIDDEN"})

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Have core write the one file."""
        from ..core.built import build_job
        from ..core.drawing.explode import taken_apart
        from ..core.exports.gltf import glb_bytes

        began, path = time.monotonic(), Path(bpy.path.abspath(self.filepath))
        root = document.active_root(context)
        job = build_job(Job("", (JobItem(document.piece(root)),)))
        model, scheme = taken_apart(job.pieces[0].model, root.muntin.apart), job.pieces[0].piece.finish.scheme()
        write_bytes(path, glb_bytes(model, marks=job.marks_of(0), scheme=scheme, stamp=job.stamp))
        outcome.note("Model", [path], time.monotonic() - began)
        self.report({"INFO"}, f"Wrote {path}")
        return {"FINISHED"}


CLASSES = (
    MUNTIN_OT_preview,
    MUNTIN_OT_set_out_schemes,
    MUNTIN_OT_render_schemes,
    MUNTIN_OT_export_schemes,
    MUNTIN_OT_export_workshop_pack,
    MUNTIN_OT_export_cutting_list,
    MUNTIN_OT_export_model,
)
