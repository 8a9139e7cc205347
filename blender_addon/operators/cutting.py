"""Planning the cuts, putting list and plan out by themselves, and ticking off what is made."""

from __future__ import annotations

import time
from pathlib import Path

import bpy
from bpy.props import EnumProperty, IntProperty, StringProperty

from .. import document, made, outcome, plans, stages, view
from ..core.built import BuiltJob
from ..core.cutting.turns import Enough
from ..core.errors import ParameterError
from ..core.exports.files import put_in_folder, write_text
from ..core.piece.job import Job, JobItem
from ..core.revisions.saving import TICKS
from ..core.stages import Stages
from ..preferences import made_by
from .base import UNDOABLE, NamedExport, OnCurrentPiece, OnPiece, reporting


def _planning(root: bpy.types.Object, context: bpy.types.Context, enough: Enough) -> Stages[BuiltJob]:
    from ..core.cutting_papers import planning_job  # brings the PDF writer with it, which start-up does without

    job = Job("", (JobItem(document.piece(root)),))
    return planning_job(job, since=made.state(root), enough=enough, **made_by(context))


class MUNTIN_OT_plan_cuts(OnCurrentPiece, bpy.types.Operator):
    """Plan which part is sawn from which sheet or length of the workshop's stock; Esc takes the best plan so far, Esc again leaves it"""

    bl_idname = "muntin.plan_cuts"
    bl_label = "Plan Cuts"

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Plan while the person goes on looking."""
        self.watched = True
        return self.execute(context)

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Plan, and keep the plan for the panel."""
        root = document.active_root(context)
        enough, name = Enough(), root.name
        steps = _planning(root, context, enough)
        work = stages.Work("Plan Cuts", steps, lambda job: plans.keep(bpy.data.objects[name], job), enough=enough)
        stages.carry_out(work, getattr(self, "watched", False))
        return {"FINISHED"}


class MUNTIN_OT_export_cutting_plan(OnCurrentPiece, bpy.types.Operator):
    """Write the cutting list (PDF, CSV) and the cutting plan (PDF) into a folder, without the rest of the pack"""

    bl_idname = "muntin.export_cutting_plan"
    bl_label = "Export Cutting Plan"

    directory: StringProperty(name="Folder", description="Where the files go", subtype="DIR_PATH")
    filter_folder: bpy.props.BoolProperty(default=True, options={"HIDDEN"})

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Ask for the folder; then write while the person goes on looking."""
        self.watched = True
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Plan where the plan is not current, draw, and write all files or none."""
        from ..core.cutting_papers import cutting_files  # as above

        began, folder, root = time.monotonic(), Path(bpy.path.abspath(self.directory)), document.active_root(context)
        known = plans.last(root).job if plans.is_current(root) else None
        name, enough = root.name, Enough()
        planning = None if known else _planning(root, context, enough)

        def steps() -> Stages[dict[str, bytes]]:
            job = known or (yield from planning)
            plans.keep(bpy.data.objects[name], job)
            return (yield from cutting_files(job))

        def write(files: dict[str, bytes]) -> None:
            outcome.note("Cutting Plan", put_in_folder(folder, files), time.monotonic() - began)

        work = stages.Work("Cutting Plan", steps(), write, enough=enough)
        if stages.carry_out(work, getattr(self, "watched", False)):
            self.report({"INFO"}, f"Wrote {len(outcome.last().names)} files into {folder}")
        else:
            self.report({"INFO"}, "Planning and drawing; Esc takes the best plan so far, Esc again leaves it")
        return {"FINISHED"}


class MUNTIN_OT_save_state(OnPiece, bpy.types.Operator):
    """Save the piece as it is now as what is being made: its marks last from here on, and its parts can be ticked off"""

    bl_idname = "muntin.save_state"
    bl_label = "Save State"
    bl_options = UNDOABLE

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether the piece is current and may be changed."""
        return OnPiece.poll.__func__(cls, context) and OnCurrentPiece.poll.__func__(cls, context)

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Save it; what is ticked and serves as it is stays ticked."""
        root = document.active_root(context)
        made.save_state(root)
        self.report({"INFO"}, f"Saved revision {made.state(root).letter}, {len(made.marked(root))} marks")
        return {"FINISHED"}


class OnState(OnPiece):
    """A command on what of the piece is made."""

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether a state was saved."""
        if not OnPiece.poll.__func__(cls, context):
            return False
        if made.STATE not in document.active_root(context):
            cls.poll_message_set("Save the state first that is being made: Save State")
            return False
        return True


class MUNTIN_OT_tick_off(OnState, bpy.types.Operator):
    """Tick off the parts of a mark: all of them, or none where all are ticked; with Shift as many as are asked for"""

    bl_idname = "muntin.tick_off"
    bl_label = "Tick Off"
    bl_options = UNDOABLE

    mark: IntProperty(name="Mark", description="Mark of the parts", options={"SKIP_SAVE"})
    tick: EnumProperty(name="State", description="How far they have come", items=view.STATES)
    count: IntProperty(
        name="Parts", description="How many have come so far; below 0: all, or none", default=-1, options={"SKIP_SAVE"}
    )

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """At once; with Shift the number is asked for."""
        if not event.shift:
            return self.execute(context)
        each = self.line(context)
        self.count = each.ticks[TICKS.index(self.tick)]
        return context.window_manager.invoke_props_dialog(self)

    def draw(self, context: bpy.types.Context) -> None:
        """The number."""
        self.layout.prop(self, "count")

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Tick."""
        count = self.count
        if count < 0:
            each = self.line(context)
            count = 0 if each.ticks[TICKS.index(self.tick)] == each.quantity else each.quantity
        made.tick(document.active_root(context), self.mark, self.tick, count)
        view.redraw()
        return {"FINISHED"}

    def line(self, context: bpy.types.Context) -> made.Marked:
        """The mark as it stands. Raises ParameterError for one that is not there."""
        for each in made.marked(document.active_root(context)):
            if each.mark == self.mark:
                return each
        raise ParameterError("ticks", f"{self.mark} is no mark of this revision")


class MUNTIN_OT_export_revision(OnState, bpy.types.Operator, NamedExport):
    """Write the saved state with all ticks as a revision file, for the command line's --since"""

    bl_idname = "muntin.export_revision"
    bl_label = "Export Revision"

    what = "revision"
    filename_ext = ".json"
    filter_glob: StringProperty(default="*.json", options={"HIDDEN"})

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Write the text as it is."""
        path = Path(bpy.path.abspath(self.filepath))
        write_text(path, document.active_root(context)[made.STATE])
        outcome.note("Revision", [path], 0.0)
        self.report({"INFO"}, f"Wrote {path}")
        return {"FINISHED"}


CLASSES = (
    MUNTIN_OT_plan_cuts,
    MUNTIN_OT_export_cutting_plan,
    MUNTIN_OT_save_state,
    MUNTIN_OT_tick_off,
    MUNTIN_OT_export_revision,
)
