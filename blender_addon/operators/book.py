"""The client book: pictures rendered, then the pages written."""

import time
from pathlib import Path

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty

from .. import book, document, outcome, preview, room, stages
from ..core.exports.files import write_bytes
from ..core.stages import Stages
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

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Ask for the file; then render while the person may stop it."""
        self.watched = True
        return NamedExport.invoke(self, context, event)

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Render one picture after another, then have core write the book; where a person asked for it, Esc stops between them."""
        from ..core.book import book_bytes  # brings the PDF writer with it, which start-up does without
        from ..core.built import building

        began, path = time.monotonic(), Path(bpy.path.abspath(self.filepath))
        brand = logo(context)  # first: what cannot be read is said before anything is rendered
        if not path.parent.is_dir():
            raise FileNotFoundError(f"{path}: there is no folder {path.parent}")
        roots = list(
            {each[document.TEXT]: each for each in self.roots(context)}.values()
        )  # equal ones are pictured once
        shot = preview.Shot(draft=self.draft, setting=self.setting)
        job, maker, picturing = (
            self.job(context),
            made_by(context),
            book.picturing(roots, shot) if self.rendered else (),
        )

        def steps() -> Stages[bytes]:
            pictures = (yield from picturing) or {}
            built = yield from building(job, **maker)
            yield "writing the pages"
            return book_bytes(built, brand | pictures)

        def write(data: bytes) -> None:
            write_bytes(path, data)
            outcome.note("Client Book", [path], time.monotonic() - began)

        if stages.carry_out(stages.Work("Client Book", steps(), write), getattr(self, "watched", False)):
            self.report({"INFO"}, f"Wrote {path}")
        else:
            self.report({"INFO"}, "Rendering; Esc stops it after the picture that is being rendered")
        return {"FINISHED"}


CLASSES = (MUNTIN_OT_export_client_book,)
