"""How long the whole workshop pack takes, chapter by chapter, beside the bare writing of as many strokes and words by reportlab.

    .venv/bin/python tests/bench/bench_pack.py [PIECE …]

The demo piece unless others are named; in seconds of the wall, one run after a small one that loads what is loaded once. Then jobs of 1
and 4 of the pieces as different pieces, and the exponent by which time grows. Prints; nothing is judged here.
"""

from __future__ import annotations

import dataclasses
import io
import math
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from reportlab.pdfgen.canvas import Canvas  # noqa: E402

from core import pack  # noqa: E402
from core.built import BuiltJob, build_job  # noqa: E402
from core.cutting.planned import job_plans  # noqa: E402
from core.drawing.page import Lines, Page, Text  # noqa: E402
from core.pages import page_kinds  # noqa: E402
from core.piece.files import read_piece_file  # noqa: E402
from core.piece.job import Job, JobItem  # noqa: E402
from core.piece.piece import Piece  # noqa: E402

DEMO = ROOT / "docs" / "examples" / "coat_cupboard.json"
WARM = ROOT / "core" / "library" / "pieces" / "bookcase.json"


def timed(what: str, work: Callable[[], object]) -> object:
    """Do it and print the seconds."""
    start = time.perf_counter()
    found = work()
    print(f"  {what:38s}{time.perf_counter() - start:8.3f} s")
    return found


def job_of(piece: Piece, count: int) -> Job:
    """Some pieces that are alike but for their widths."""
    whole = piece.whole
    pieces = [
        dataclasses.replace(piece, id=f"piece-{n}", whole=dataclasses.replace(whole, width=whole.width + 7 * n))
        for n in range(count)
    ]
    return Job("bench", tuple(JobItem(each) for each in pieces))


def plainly(pages: tuple[Page, ...]) -> None:
    """As many strokes and words on as many pages, by reportlab alone."""
    canvas = Canvas(io.BytesIO())
    for page in pages:
        for item in page.items:
            if isinstance(item, Lines):
                canvas.lines(item.segments)
            elif isinstance(item, Text):
                canvas.drawString(item.x, item.y, item.string)
        canvas.showPage()
    canvas.save()


def main() -> None:
    """Print the figures."""
    pieces = [read_piece_file(each) for each in sys.argv[1:] or [DEMO]]
    pack.pack_files(build_job(Job("warm", (JobItem(read_piece_file(WARM)),))))
    job = timed("building and findings", lambda: build_job(Job("pack", tuple(map(JobItem, pieces)))))
    assert isinstance(job, BuiltJob)
    timed("cutting plans", lambda: job_plans(job))
    chapters = {kind.word: timed(kind.title, lambda kind=kind: tuple(kind.sheets(job))) for kind in page_kinds()[1:]}
    pages = timed("front page, contents, numbers", lambda: pack.workshop_pack(job, chapters))
    timed(f"{len(pages)} pages as one PDF", lambda: pack.job_pdf(job, pages, "pack"))
    timed("reference: reportlab, the same strokes", lambda: plainly(pages))
    start = time.perf_counter()
    pack.pack_files(build_job(job_of(pieces[0], 1)), beside=True)
    print(f"whole pack in two processes, as the command line makes it: {time.perf_counter() - start:.2f} s")
    spent = {}
    for count in (1, 4):
        start = time.perf_counter()
        pack.pack_files(build_job(job_of(pieces[0], count)))
        spent[count] = time.perf_counter() - start
        print(f"whole pack of {count}: {spent[count]:.2f} s, from the parameters to the bytes of every file")
    print(f"growth from 1 to 4: exponent {math.log(spent[4] / spent[1]) / math.log(4):.2f}")


if __name__ == "__main__":
    main()
