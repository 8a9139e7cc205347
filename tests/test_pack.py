"""The pack as a whole: which files, whole or none, the same bytes, contents that lead, fonts, stamps."""

import csv
import datetime
import io
import json
import re
from pathlib import Path

import pytest
from examples import DEMO, example_piece
from packs import built, files, glb_json, pair, reader, released, stopped, texts
from pypdf import PdfReader

from core.built import build_job
from core.errors import OutputError
from core.pack import UNDATED, pack_files, record_date, write_built
from core.pages.front import MOST_LINES
from core.piece import dumps
from core.piece.job import Job, JobItem

NAMES = [
    "workshop_pack.pdf",
    "parts_list.csv",
    "cutting_list.csv",
    "cutting_list.pdf",
    "exploded.pdf",
    "findings.json",
    "buying_list.csv",
    "buying_list.json",
    "quotation.pdf",
    "costing.pdf",
    "general_arrangement.svg",
    "labels.pdf",
    "cutting_plan.pdf",
    "cutting_plan.json",
    "lengths_plan.pdf",
    "lengths_plan.json",
    "saw_settings.pdf",
    "saw_settings.json",
    "model.glb",
    "revision.json",
    "coat-cupboard.json",
]
SMALL = "starter bookcase"
PDFS = [name for name in NAMES if name.endswith(".pdf")]
WITHOUT_TITLE_BLOCK = ("labels.pdf",)
FOR_THE_CLIENT = ("quotation.pdf",)


def bookmarks(document: PdfReader) -> list[tuple[str, int]]:
    """Every entry of the outline with the number of its page, from 1."""
    found = []

    def walk(entries):
        for entry in entries:
            if isinstance(entry, list):
                walk(entry)
            else:
                found.append((entry.title, document.get_destination_page_number(entry) + 1))

    walk(document.outline)
    return found


def test_every_file_is_written(tmp_path):
    """The pack of one piece; its files are returned in order and each holds something."""
    paths = write_built(released(built(SMALL)), tmp_path / "new" / "folder")
    names = [*NAMES[:-1], "bookcase.json"]
    drawn = r"(cutting_plan|lengths_plan|saw_settings)_\d+\.svg"
    drawings = [path.name for path in paths if re.fullmatch(drawn, path.name)]
    assert len(drawings) >= 3
    assert [path.name for path in paths if path.name not in drawings] == names
    assert sorted(path.name for path in (tmp_path / "new" / "folder").iterdir()) == sorted([*names, *drawings])
    assert all(path.stat().st_size > 10 for path in paths)


def test_all_or_nothing(tmp_path):
    """When one file cannot be put in place none is, and nothing half-written stays behind."""
    (tmp_path / "exploded.pdf").mkdir()
    with pytest.raises(OutputError, match=r"exploded\.pdf"):
        write_built(released(built(SMALL)), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["exploded.pdf"]


def test_the_same_job_gives_the_same_bytes(tmp_path):
    """Built anew and written anew, with the help of a second process or without, every file is the same to the last byte."""
    job = Job("again", (JobItem(example_piece("starter bedside_cabinet")),))
    written = [
        write_built(build_job(job), tmp_path / name, beside=beside) for name, beside in (("a", False), ("b", True))
    ]
    first, second = ({path.name: path.read_bytes() for path in paths} for paths in written)
    assert first == second


def test_the_date_is_the_records_never_the_clocks():
    """The date of the files is that of the revision; without one it is a fixed one, and nothing is printed."""
    assert record_date(built()) == datetime.date.fromisoformat(example_piece(DEMO).record.date)
    undated = build_job(Job("x", (JobItem(example_piece(SMALL)),)))
    assert record_date(undated) == UNDATED
    assert (
        str(datetime.date.today().year)
        not in PdfReader(io.BytesIO(pack_files(undated)["cutting_list.pdf"])).metadata["/CreationDate"]
    )


def test_contents_lead_to_their_pages():
    """Each line of the contents is a link to the page whose number it prints, which carries that bookmark.

    A pack of more sheets than the front page has lines for names its chapters alone.
    """
    document = reader()
    marks = bookmarks(document)
    links = [annotation.get_object() for page in document.pages[:4] for annotation in page.get("/Annots", [])]
    numbers = {page.indirect_reference.idnum: number for number, page in enumerate(document.pages, start=1)}
    targets = sorted(numbers[_page_of(document, link)] for link in links)
    chapters = [(title, number) for title, number in marks if title != "Front page"]
    if len(chapters) > MOST_LINES:
        first = {entry.title for entry in document.outline if not isinstance(entry, list)}
        chapters = [(title, number) for title, number in chapters if title in first]
    assert targets == [number for _, number in chapters] and len(targets) >= 8
    for title, number in chapters:  # the contents of a long pack run on to the next page
        dotted = " ".join(texts()[:2]).replace(" .", "").replace(".", "")
        assert f"{title} {number}" in " ".join(dotted.split())


def _page_of(document: PdfReader, link: dict) -> int:
    place = link["/Dest"] if "/Dest" in link else link["/A"]["/D"]
    if isinstance(place, str):
        return document.named_destinations[place].page.idnum
    return place[0].idnum


def test_bookmarks_name_every_chapter_once():
    """The outline has the chapters in order, and no two entries share a name."""
    titles = [title for title, _ in bookmarks(reader())]
    wanted = [
        "Front page",
        "General arrangement",
        "Parts list",
        "Fittings and fastenings",
        "Buying list",
        "Cutting list",
        "Rods",
        "Drilling plans",
        "Exploded sheets",
        "Step by step",
        "Finishing schedule",
    ]
    assert [title for title in titles if title in wanted] == wanted
    assert len(set(titles)) == len(titles)


def test_every_page_says_what_it_belongs_to():
    """Piece, client, revision, state, date, page of pages and the rule of the rod stand on each sheet."""
    record = example_piece(DEMO).record
    for file in [name for name in PDFS if name not in WITHOUT_TITLE_BLOCK]:
        pages = texts(file=file)
        for number, words in enumerate(pages, start=1):
            for wanted in (
                "Coat cupboard",
                record.client,
                record.revision,
                record.date,
                "Draft",
                f"{number} of {len(pages)}",
                *(() if file in FOR_THE_CLIENT else ("the rod rules",)),
            ):
                assert wanted in words, (file, number, wanted)


def test_fonts_are_embedded():
    """Every font of every document is inside it."""
    for file in PDFS:
        for page in reader(file=file).pages:
            for font in page["/Resources"]["/Font"].values():
                assert "/FontFile2" in font.get_object()["/FontDescriptor"]


def test_no_page_is_empty():
    """Each page holds more than frame and title block."""
    for file in PDFS:
        for words, page in zip(texts(file=file), reader(file=file).pages, strict=True):
            assert len(words) > 260 or page.get_contents().get_data().count(b" l") > 300, words[:80]


def test_a_stop_finding_stamps_everything():
    """While there is a stop finding every page, row and file says DO NOT CUT and how many findings stop it."""
    stamp = "DO NOT CUT: 2 stop findings"
    made = pack_files(stopped(built()))
    for file in PDFS:
        pages = PdfReader(io.BytesIO(made[file])).pages
        assert all(stamp in page.extract_text() for page in pages)
    for file in ("parts_list.csv", "cutting_list.csv", "buying_list.csv"):
        rows = list(csv.reader(io.StringIO(made[file].decode())))
        assert all(row[0] == stamp for row in rows[1:]) and len(rows) > 30
    assert json.loads(made["findings.json"])["stamp"] == stamp == json.loads(made["buying_list.json"])["stamp"]
    assert [name for name in made if name.startswith("DO_NOT_CUT_")] and "coat-cupboard.json" not in made
    assert stamp in made["general_arrangement.svg"].decode()
    assert stamp in json.dumps(glb_json(made["model.glb"]))


def test_without_a_stop_finding_nothing_is_stamped():
    """A warn or a note stamps nothing."""
    assert all(b"DO NOT CUT" not in data for data in files().values())
    assert not any("DO NOT CUT" in page for page in texts())


def test_a_job_of_several_pieces():
    """One pack for the job; what concerns one piece names it, in file names, bookmarks and title blocks."""
    made = pack_files(released(pair()))
    assert {"bedside-cabinet_model.glb", "bookcase_model.glb", "bedside-cabinet.json", "bookcase.json"} <= set(made)
    document = PdfReader(io.BytesIO(made["workshop_pack.pdf"]))
    titles = [title for title, _ in bookmarks(document)]
    assert {"General arrangement: Bedside cabinet", "General arrangement: Bookcase"} <= set(titles)
    assert "make 2" in document.pages[0].extract_text()


def test_equal_ids_do_not_overwrite_one_another():
    """Two pieces with one id give two piece files and two models."""
    piece = example_piece(SMALL)
    made = pack_files(released(build_job(Job("twice", (JobItem(piece), JobItem(piece))))))
    assert {"bookcase_1.json", "bookcase_2.json", "bookcase_1_model.glb", "bookcase_2_model.glb"} <= set(made)


def test_the_piece_file_is_the_one_that_was_built():
    """It loads again as the same piece."""
    assert files()["coat-cupboard.json"].decode() == dumps(example_piece(DEMO))


def test_progress_is_told(tmp_path):
    """Each stage is told before it begins."""
    told: list[str] = []
    job = build_job(Job("x", (JobItem(example_piece(SMALL)),)), told.append)
    write_built(job, Path(tmp_path), told.append)
    assert len(told) >= 3 and told[0].startswith("building") and any(each.startswith("drawing") for each in told)
