"""The client book: pictures rendered, then the pages written."""

import time
from pathlib import Path

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty

from .. import book, document, outcome, preview, room
from ..core.exports.files import write_bytes
from ..preferences import logo, made_by
from .base import NamedExport, reporting
from .papers import OfJob


class MUNTIN_OT_export_client_book(OfJob, bpy.types.Operator, NamedExport):
    """Render the piece shut, open and in every scheme, and write the book that the client signs"""

    bl_idname = "muntin.export_client_book"
    bl_label = "Export Client Book"

    what = "client book"
    filename_ext = ".pdf"
    filter_glob: StringProperty(default="*.pdf", options={"HIDDEN"})
    rendered: BoolProperty(
        name="With Pictures", description="Render the pictures first, which takes a while", default=True
    )
    draft: BoolProperty(
        name="Draft", description="Pictures of half the size with fewer samples, in a few seconds each", default=False
    )
    setting: EnumProperty(
        name="Setting",
        description="Where the piece is pictured and by what light",
        items=[(word, *label.split(": ", 1)) for word, label in room.SETTINGS.items()],
        default="daylight",
    )

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Render one picture after another, then have core write the book."""
        from ..core.book import book_bytes  # brings the PDF writer with it, which start-up does without
        from ..core.built import build_job

        began, path = time.monotonic(), Path(bpy.path.abspath(self.filepath))
        brand = logo(context)  # first: what cannot be read is said before anything is rendered
        roots = {each[document.TEXT]: each for each in self.roots(context)}  # equal ones are pictured once
        windows = context.window_manager
        windows.progress_begin(0, 100)
        try:
            shot = preview.Shot(draft=self.draft, setting=self.setting)
            pictures = (
                book.pictures(list(roots.values()), shot, lambda done, all: windows.progress_update(100 * done // all))
                if self.rendered
                else {}
            )
            job = build_job(self.job(context), **made_by(context))
            write_bytes(path, book_bytes(job, brand | pictures))
        finally:
            windows.progress_end()
        outcome.note("Client Book", [path], time.monotonic() - began)
        self.report({"INFO"}, f"Wrote {path}")
        return {"FINISHED"}


CLASSES = (MUNTIN_OT_export_client_book,)
