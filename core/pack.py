"""The workshop pack and what goes with it: all files of a job, made in memory first, then put in place together."""

from __future__ import annotations

import dataclasses
import datetime
import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from . import version
from .beside import begun
from .built import BuiltJob
from .buying.buying import HEADINGS as BUYING_HEADINGS
from .buying.buying import buying_list, plain
from .buying.buying import rows as buying_rows
from .changing import saved_state
from .cutting.angles import angle_settings
from .cutting.list import CuttingEntry, cutting_list, headings, parts_list, rows
from .cutting.planned import KEPT, JobPlans, planning
from .cutting.plans_json import lengths_data, settings_data, surfaces_data
from .cutting.repeated import repeated_settings
from .cutting.turns import Enough
from .drawing.page import Page
from .drawing.sheet import Sheet, number_sheets
from .exports.dxf import dxf_bytes
from .exports.files import put_in_folder
from .exports.gltf import glb_bytes
from .exports.pdf import pdf_bytes
from .exports.svg import svg_text
from .exports.table import SEPARATORS, csv_text
from .pages import PageKind, Place, page_kinds
from .pages._sheets import lists_of, maker_of
from .pages._sketches import parts_sketch, views_sketch
from .pages.costing import costing_sheets
from .pages.front import ContentsLine
from .pages.labels import label_pages, usual_grid
from .pages.quotation import quotation_sheets
from .piece import dumps
from .revisions.revision import REVISION_FILE, STAMP, revision_text
from .stages import Progress, Stages, carried_out

Sheets = tuple[Sheet, ...]
UNDATED = datetime.date(
    2000, 1, 1
)  # stands in a file's own data where the record has no date, so that bytes never depend on a clock


def write_built(
    job: BuiltJob, folder: Path, progress: Progress | None = None, dxf: bool = False, beside: bool = False
) -> list[Path]:
    """Write the pack of a job that is built, and with `dxf` parts and views for programs that draw or cut.

    All files or, when one cannot be written, none. `beside` as in `pack_files`. Raises OutputError.
    """
    return put_in_folder(folder, pack_files(job, progress, beside) | (dxf_files(job) if dxf else {}))


def record_date(job: BuiltJob) -> datetime.date:
    """The day of the revision, from the record of the job's first piece; a fixed one where that is empty."""
    date = job.pieces[0].piece.record.date
    return datetime.date.fromisoformat(date) if date else UNDATED


def pack_files(job: BuiltJob, progress: Progress | None = None, beside: bool = False) -> dict[str, bytes]:
    """Every file of the pack by its name; the same job gives the same bytes.

    Nothing in them depends on the clock. While there is a stop finding each carries the stamp; the piece files, whose format has
    no place for it, carry it in their names. With `beside` the chapters that take longest are drawn in a second process,
    where one can be had: not for programs with much of their own in memory or at work.
    """
    return carried_out(packing(job, beside), progress)


def packing(job: BuiltJob, beside: bool = False, enough: Enough | None = None) -> Stages[dict[str, bytes]]:
    """The same chapter by chapter; `enough` as in `planning`."""
    longest = begun(lambda: carried_out(_drawn(job, LONGEST))) if beside else None
    if KEPT not in job.kept:
        job.kept[KEPT] = yield from planning(job, enough)
    chapters = yield from _chapters(job, longest)
    apart = begun(lambda: carried_out(_drawn_apart(job, chapters))) if beside else None
    yield "writing the pack"
    files = {"workshop_pack.pdf": job_pdf(job, workshop_pack(job, chapters), "workshop pack")}
    yield "writing lists"
    files |= {
        "parts_list.csv": list_csv(job, parts_list(job)).encode("utf-8"),
        "cutting_list.csv": list_csv(job, cutting_list(job).entries).encode("utf-8"),
        "cutting_list.pdf": job_pdf(job, number_sheets(chapters["cutting_list"]), "cutting list"),
        "exploded.pdf": job_pdf(job, number_sheets(chapters["exploded"]), "exploded sheets"),
        "findings.json": findings_text(job).encode("utf-8"),
        "buying_list.csv": buying_csv(job).encode("utf-8"),
        "buying_list.json": buying_text(job).encode("utf-8"),
        "quotation.pdf": job_pdf(job, number_sheets(quotation_sheets(job)), "quotation"),
        "costing.pdf": job_pdf(job, number_sheets(costing_sheets(job)), "costing"),
    }
    files |= apart() if apart else (yield from _drawn_apart(job, chapters))
    warning = STAMP if job.stops else ""
    files[f"{warning}{REVISION_FILE}"] = revision_text(saved_state(job)).encode("utf-8")
    for built, name in zip(job.pieces, _names(job), strict=True):
        files[f"{warning}{name}.json"] = dumps(built.piece).encode("utf-8")
    return files


def _drawn_apart(job: BuiltJob, chapters: Mapping[str, Sequence[Sheet]]) -> Stages[dict[str, bytes]]:
    """The drawings, labels, plans and models that are files of their own: about as much work as the documents."""
    yield "writing labels and plans"
    files = {
        "general_arrangement.svg": svg_text(chapters["arrangement"][0].page()).encode("utf-8"),
        "labels.pdf": job_pdf(job, label_pages(job, usual_grid(job)), "labels"),
    }
    files |= _plan_files(job, job.kept[KEPT], chapters)
    yield "writing models and piece files"
    names = _names(job)
    for index, name in enumerate(names):
        files["model.glb" if len(names) == 1 else f"{name}_model.glb"] = _glb(job, index)
    return files


LONGEST = ("exploded", "steps")  # no plans are needed for them; they take about as long as plans and other chapters


def _chapters(job: BuiltJob, longest: Callable[[], dict[str, Sheets]] | None) -> Stages[dict[str, Sheets]]:
    """The sheets of every kind of page but the front page, by its word; `longest` waits for those drawn elsewhere."""
    words = [kind.word for kind in page_kinds()[1:]]
    found = yield from _drawn(job, [word for word in words if longest is None or word not in LONGEST])
    if longest:
        yield f"drawing: {', '.join(kind.title for kind in page_kinds() if kind.word in LONGEST)}"
        found |= longest()
    return {word: found[word] for word in words}


def _drawn(job: BuiltJob, words: Iterable[str]) -> Stages[dict[str, Sheets]]:
    """The sheets of some kinds of page, by their words."""
    kinds = {kind.word: kind for kind in page_kinds()}
    found = {}
    for word in words:
        yield f"drawing: {kinds[word].title}"
        found[word] = tuple(kinds[word].sheets(job))
    return found


def dxf_files(job: BuiltJob) -> dict[str, bytes]:
    """Parts and views of a job at full size; named as what must not be cut while there is a stop finding."""
    stamp = STAMP if job.stops else ""
    return {f"{stamp}parts.dxf": dxf_bytes(parts_sketch(job)), f"{stamp}views.dxf": dxf_bytes(views_sketch(job))}


def _plan_files(job: BuiltJob, plans: JobPlans, chapters: Mapping[str, Sequence[Sheet]]) -> dict[str, bytes]:
    """The plans apart from the pack: each as PDF and data, each of its pages as SVG; none for what a job has not."""
    data = {
        "cutting_plan": surfaces_data(plans),
        "lengths_plan": lengths_data(plans),
        "saw_settings": settings_data(angle_settings(job), repeated_settings(plans)),
    }
    files = {}
    stamp = {"stamp": job.stamp} if job.stamp else {}
    for word, held in data.items():
        pages = number_sheets(chapters[word])
        if pages:
            files[f"{word}.pdf"] = job_pdf(job, pages, word.replace("_", " "))
            text = json.dumps({**stamp, "job": job.name, **held}, indent=1, ensure_ascii=False) + "\n"
            files[f"{word}.json"] = text.encode("utf-8")
            files |= {f"{word}_{number}.svg": svg_text(page).encode("utf-8") for number, page in enumerate(pages, 1)}
    return files


def workshop_pack(job: BuiltJob, chapters: Mapping[str, Sequence[Sheet]] | None = None) -> tuple[Page, ...]:
    """The pages of the whole pack, the front page with its contents first."""
    opening, *kinds = page_kinds()
    made = [tuple(kind.sheets(job)) if chapters is None else chapters[kind.word] for kind in kinds]
    sheets = _told_apart([sheet for chapter in made for sheet in chapter])
    places = [kind.place for kind, chapter in zip(kinds, made, strict=True) for _ in chapter]
    return number_sheets((*_opening(opening, job, sheets, places), *sheets))


def findings_text(job: BuiltJob) -> str:
    """All findings as JSON, by piece, as the check command prints them."""
    found = [
        {"piece": each.piece.id, **dataclasses.asdict(finding)} for each in job.pieces for finding in each.findings
    ]
    stamp = {"stamp": job.stamp} if job.stamp else {}
    return json.dumps({**stamp, "findings": found}, indent=1, ensure_ascii=False) + "\n"


def list_csv(job: BuiltJob, entries: Sequence[CuttingEntry]) -> str:
    """A list of parts as CSV, its sizes and separators as the workshop's locale has them."""
    locale = lists_of(job)
    return csv_text(headings(locale), rows(entries, locale), separators=SEPARATORS[locale.csv], stamp=job.stamp)


def buying_csv(job: BuiltJob) -> str:
    """The buying list as CSV, one row for each size of pack, separators as the workshop's locale has them."""
    locale, bought = lists_of(job), buying_list(job)
    table = buying_rows(bought, bought.currency or locale.currency)
    return csv_text(BUYING_HEADINGS, table, separators=SEPARATORS[locale.csv], stamp=job.stamp)


def buying_text(job: BuiltJob) -> str:
    """The buying list as JSON."""
    bought = buying_list(job)
    data = plain(bought, bought.currency or lists_of(job).currency)
    stamp = {"stamp": job.stamp} if job.stamp else {}
    return json.dumps({**stamp, "job": job.name, **data}, indent=1, ensure_ascii=False) + "\n"


# ------------------------------------------------------------------------------------------------------------ helpers
def _opening(kind: PageKind, job: BuiltJob, sheets: Sequence[Sheet], places: Sequence[Place]) -> Sequence[Sheet]:
    """The front page; how many sheets it takes decides what its contents say, so it is made until that holds."""
    count = 2
    while True:
        opening = kind.opening(job, list(_contents(sheets, places, count)))
        if len(opening) == count:
            return opening
        count = max(count + 1, len(opening)) if len(opening) > count else len(opening)


def _told_apart(sheets: Iterable[Sheet]) -> list[Sheet]:
    """The sheets, no two with one bookmark: a contents line must lead to its own page."""
    taken: Counter[str] = Counter()
    found = []
    for sheet in sheets:
        taken[sheet.bookmark] += 1
        number = taken[sheet.bookmark]
        found.append(replace(sheet, bookmark=f"{sheet.bookmark}, {number}") if sheet.bookmark and number > 1 else sheet)
    return found


def _contents(sheets: Sequence[Sheet], places: Sequence[Place], before: int) -> Iterator[ContentsLine]:
    for number, (sheet, place) in enumerate(zip(sheets, places, strict=True), start=before + 1):
        if sheet.bookmark:
            last = before + len(places) - places[::-1].index(place)
            yield ContentsLine(sheet.bookmark, sheet.level, number, place, last)


def job_pdf(job: BuiltJob, pages: Sequence[Page], subject: str) -> bytes:
    """Pages of a job as a document that names it, its maker and, while there are stop findings, says so."""
    title = f"{job.name}: {subject}"
    return pdf_bytes(
        pages,
        title=title,
        date=record_date(job),
        subject=" · ".join(filter(None, (subject, job.stamp))),
        author=maker_of(job),
    )


def _glb(job: BuiltJob, index: int) -> bytes:
    built = job.pieces[index]
    return glb_bytes(
        built.model,
        marks=job.marks_of(index),
        scheme=built.piece.finish.scheme(),
        stamp=job.stamp,
        generator=f"Muntin {version()}",
    )


def _names(job: BuiltJob) -> list[str]:
    """What the files of each piece are called: its id, with a number where several pieces share one."""
    ids = [built.piece.id for built in job.pieces]
    return [id if ids.count(id) == 1 else f"{id}_{ids[: index + 1].count(id)}" for index, id in enumerate(ids)]
