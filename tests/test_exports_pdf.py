"""The PDF as programs we did not write read it: places, sizes, fonts, bookmarks, metadata, the same bytes."""

import datetime
import io
import os
import re
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from PIL import Image
from pypdf import PdfReader

from core.drawing.page import Arc, Area, Circle, Lines, Link, Page, Picture, Stroke, Swatch, Text, box
from core.drawing.sheet import SHEETS, Column, Sheet, Table, TitleBlock, flow, number_sheets, single_group
from core.exports.pdf import pdf_bytes

DATE = datetime.date(2026, 3, 1)
MM = 25.4 / 72
TITLE = TitleBlock(piece="Coat cupboard", sheet="Drilling plan", date="2026-03-01")


def made(*items, width=210.0, height=297.0):
    return pdf_bytes([Page(width, height, items, "sample", "Sample")], title="Sample", date=DATE)


def opened(data):
    return pdfplumber.open(io.BytesIO(data))


def picture(mode="RGB"):
    stream = io.BytesIO()
    Image.new(mode, (4, 3), 128 if mode == "L" else (200, 90, 30)).save(stream, "PNG" if mode != "CMYK" else "JPEG")
    return stream.getvalue()


@pytest.mark.parametrize("name", SHEETS)
def test_paper_sizes(name):
    """The paper is exactly the trimmed sheet."""
    size = SHEETS[name]
    box_of_paper = PdfReader(io.BytesIO(pdf_bytes([Sheet(size=size, title=TITLE).page()], title="x", date=DATE)))
    paper = box_of_paper.pages[0].mediabox
    assert (float(paper.width) * MM, float(paper.height) * MM) == pytest.approx((size.width, size.height), abs=0.001)


def test_lines_and_circles_lie_where_they_should():
    """Places read back from the file are within 0.002 mm: a template can be drilled through."""
    data = made(
        Stroke(((20, 30), (120.123, 30)), 0.5),
        Lines(((10, 40, 10, 140),), 0.25),
        Circle(60, 100, 4, 0.25),
        Circle(80, 100, 17.5, 0.25),
    )
    page = opened(data).pages[0]
    across, up = sorted(page.lines, key=lambda line: line["height"])
    assert (across["x0"] * MM, across["x1"] * MM, across["y0"] * MM) == pytest.approx((20, 120.123, 30), abs=0.002)
    assert (up["y1"] - up["y0"]) * MM == pytest.approx(100, abs=0.002)
    assert (across["linewidth"] * MM, up["linewidth"] * MM) == pytest.approx((0.5, 0.25), abs=0.001)
    for curve, (x, y, radius) in zip(
        sorted(page.curves, key=lambda c: c["width"]), ((60, 100, 4), (80, 100, 17.5)), strict=True
    ):
        assert ((curve["x0"] + curve["x1"]) / 2 * MM, (curve["y0"] + curve["y1"]) / 2 * MM) == pytest.approx(
            (x, y), abs=0.002
        )
        assert curve["width"] * MM / 2 == pytest.approx(radius, abs=0.002)


def test_lettering_is_as_wide_as_it_was_measured():
    """Lettering read back stands where the layout put it, as long as the layout thought it, at its ISO 3098 height."""
    item = Text(105, 150, 3.5, "planted stile, left door: 1 204.5 × 60", "middle")
    page = opened(made(item)).pages[0]
    characters = page.chars
    assert "".join(character["text"] for character in characters) == item.string
    assert (characters[0]["x0"] * MM, characters[-1]["x1"] * MM) == pytest.approx(
        (item.bounds().x, item.bounds().right), abs=0.05
    )
    assert characters[0]["matrix"][5] * MM == pytest.approx(150, abs=0.001)
    assert characters[0]["size"] * MM == pytest.approx(3.5 * 2048 / 1493, abs=0.01)  # the font's em per capital height


def test_turned_lettering():
    """Lettering at 90° reads from the right-hand side of the sheet."""
    characters = opened(made(Text(100, 100, 3.5, "450", angle=90))).pages[0].chars
    assert [character["text"] for character in sorted(characters, key=lambda c: -c["top"])] == ["4", "5", "0"]
    assert len({round(character["x1"], 3) for character in characters}) == 1
    assert characters[0]["matrix"][:4] == pytest.approx((0, 1, -1, 0), abs=1e-3)  # turned, not mirrored


def test_every_script_comes_back():
    """Text can be searched and copied in every script of the font, however many characters a document uses."""
    latin = [chr(code) for code in range(0x21, 0x250) if chr(code).isprintable() and code != 0xAD]
    strings = ["".join(latin[n : n + 40]) for n in range(0, len(latin), 40)] + ["Ελληνικά Кириллица → ½ ≤ Ø × °"]
    data = made(*(Text(10, 280 - 8 * n, 2.5, string) for n, string in enumerate(strings)))
    said = PdfReader(io.BytesIO(data)).pages[0].extract_text()
    for string in strings:
        for part in string.split():
            assert part in said


def test_fonts_are_embedded_subsets():
    """Every font in the file is embedded, and as a subset: nothing depends on the printer's fonts."""
    data = made(Text(10, 10, 3.5, "regular"), Text(10, 20, 3.5, "bold", style="bold"))
    fonts = PdfReader(io.BytesIO(data)).pages[0]["/Resources"]["/Font"]
    assert len(fonts) == 2
    for font in (reference.get_object() for reference in fonts.values()):
        assert re.fullmatch(r"/[A-Z]{6}\+DejaVuSansCondensed(-Bold)?", font["/BaseFont"])
        assert len(font["/FontDescriptor"]["/FontFile2"].get_data()) < 60_000
    assert len(data) < 40_000


def test_bookmarks_metadata_and_print_scaling():
    """Bookmarks nest as the levels say, metadata is what the caller gave, and printing is asked not to scale."""
    pages = [
        Page(210, 297, (), bookmark=name, level=level)
        for name, level in (("Contents", 0), ("Drilling", 0), ("Side, left", 1), ("", 0), ("Templates", 0))
    ]
    reader = PdfReader(
        io.BytesIO(
            pdf_bytes(
                pages, title="Workshop pack", subject="Coat cupboard, revision C", author="Old Mill Joinery", date=DATE
            )
        )
    )
    contents, drilling, below, templates = reader.outline
    entries = [contents, drilling, *below, templates]
    assert [entry.title for entry in entries] == ["Contents", "Drilling", "Side, left", "Templates"]
    assert [reader.get_destination_page_number(entry) for entry in entries] == [0, 1, 2, 4]
    info = reader.metadata
    assert (info.title, info.subject, info.author, info.creator) == (
        "Workshop pack",
        "Coat cupboard, revision C",
        "Old Mill Joinery",
        "Muntin",
    )
    assert info.creation_date.date() == info.modification_date.date() == DATE
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_links_lead_to_their_page():
    """A link on the contents page leads to the page with that bookmark; one that leads nowhere is an error."""
    pages = [
        Page(210, 297, (Link(20, 250, 50, 5, "Templates"),), bookmark="Contents"),
        Page(210, 297, (), bookmark="Templates"),
    ]
    reader = PdfReader(io.BytesIO(pdf_bytes(pages, title="x", date=DATE)))
    annotation = reader.pages[0]["/Annots"][0].get_object()
    assert [float(value) * MM for value in annotation["/Rect"]] == pytest.approx([20, 250, 70, 255], abs=0.01)
    assert annotation["/Dest"][0].get_object() == reader.pages[1].get_object()
    with pytest.raises(ValueError, match="'Rods'"):
        made(Link(0, 0, 1, 1, "Rods"))


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L"])
def test_pictures_are_carried(mode):
    """A picture fills its rectangle, with or without transparency."""
    source = picture("RGB") if mode == "RGB" else io.BytesIO()
    if mode != "RGB":
        Image.new(mode, (4, 3), 100 if mode == "L" else (200, 90, 30, 128)).save(source, "PNG")
        source = source.getvalue()
    (image,) = opened(made(box(Stroke(((0, 0), (9, 9))).bounds()), Picture(source, 20, 30, 80, 60))).pages[0].images
    assert [image[name] * MM for name in ("x0", "y0", "x1", "y1")] == pytest.approx([20, 30, 100, 90], abs=0.01)
    assert image["srcsize"] == (4, 3)


def test_print_is_grey_but_for_swatches():
    """Everything but a finish swatch is black or grey."""
    page = opened(
        made(
            Stroke(((0, 0), (50, 50)), grey=0.5),
            Area(((0, 0), (10, 0), (10, 10)), 0.9),
            Text(9, 9, 5, "a"),
            Arc(50, 50, 10, 0, 270),
            Swatch(20, 100, 20, 12, "#7a8c6e"),
        )
    ).pages[0]
    coloured = [
        thing
        for thing in (*page.lines, *page.curves, *page.rects)
        if thing["fill"] and len(np.atleast_1d(thing["non_stroking_color"])) == 3
    ]
    assert len(coloured) == 1
    assert [round(255 * value) for value in coloured[0]["non_stroking_color"]] == [0x7A, 0x8C, 0x6E]


def sample_pack():
    sheet = Sheet(size=SHEETS["A4"], title=TITLE, stamp="DO NOT CUT: 1 stop finding", bookmark="List")
    table = Table((Column("Mark", 12), Column("Name")), single_group([(str(n), f"stile {n} ½ Ж") for n in range(90)]))
    return number_sheets(
        [
            *flow([table], sheet),
            Sheet(size=SHEETS["A3"], title=TITLE).with_items(
                [Picture(picture(), 60, 100, 40, 30), Text(60, 90, 5, "picture", style="bold")]
            ),
        ]
    )


def test_same_pages_same_bytes():
    """The same pages give the same bytes, in this process again and in another with another clock and hash seed."""
    first = pdf_bytes(sample_pack(), title="Pack", date=DATE)
    assert pdf_bytes(sample_pack(), title="Pack", date=DATE) == first
    script = (
        "import sys; sys.path[:0] = sys.argv[1:]\n"
        "from tests.test_exports_pdf import DATE, pdf_bytes, sample_pack\n"
        "sys.stdout.buffer.write(pdf_bytes(sample_pack(), title='Pack', date=DATE))"
    )
    root = Path(__file__).parent.parent
    environment = os.environ | {"PYTHONHASHSEED": "7", "SOURCE_DATE_EPOCH": "1", "TZ": "Asia/Tokyo"}
    again = subprocess.run([sys.executable, "-c", script, str(root)], env=environment, capture_output=True, check=True)
    assert again.stdout == first
    assert pdf_bytes(sample_pack(), title="Pack", date=datetime.date(2026, 3, 2)) != first


def test_stamp_is_on_every_page_and_hides_nothing():
    """A stop finding is printed large on every page, clear of everything else on it."""
    with opened(pdf_bytes(sample_pack(), title="Pack", date=DATE)) as document:
        for page in document.pages[:-1]:
            words = page.extract_words(keep_blank_chars=True)
            stamp = next(word for word in words if word["text"].startswith("DO NOT CUT: 1 stop finding"))
            assert (stamp["bottom"] - stamp["top"]) * MM > 7
            assert not any(word["top"] < stamp["bottom"] and word is not stamp for word in words)


def test_no_lettering_leaves_its_cell_on_paper():
    """Measured from the file: every letter of a table lies between the lines to its left and right."""
    long = "rail with undercut ends, bevelled inner edge and a wordthatistoolongforanycellatallandmustbebroken"
    table = Table(
        (Column("Name", 30), Column("Notes", 40), Column("Length", 20, "right")),
        single_group([(long, long, "1204.5")] * 4),
    )
    sheets = flow([table], Sheet(size=SHEETS["A4"], title=TITLE))
    page = opened(pdf_bytes(number_sheets(sheets), title="x", date=DATE)).pages[0]
    frame = max((rect for rect in page.rects if rect["width"] * MM < 100), key=lambda rect: rect["height"])
    left, right = frame["x0"], frame["x1"]
    edges = [left, left + 30 / MM, left + 70 / MM, right]
    inside = [c for c in page.chars if frame["top"] < c["top"] and c["bottom"] < frame["bottom"] and c["x0"] < right]
    assert len(inside) > 300
    for character in inside:
        assert any(a - 0.01 <= character["x0"] and character["x1"] <= b + 0.01 for a, b in pairwise(edges))


def test_a_document_without_pages_is_refused():
    """A document has at least one page."""
    with pytest.raises(ValueError, match="no pages"):
        pdf_bytes([], title="x", date=DATE)


def test_places_that_are_not_numbers_never_reach_paper():
    """A place that is not a number is our own mistake and stops the document."""
    with pytest.raises(AssertionError):
        made(Stroke(((0, 0), (float("nan"), 1))))
