"""Every sheet of the pack as it lies on paper: nothing over anything, nothing outside, nothing too small to read."""

import dataclasses
import importlib
import io
import pkgutil

import numpy as np
import pdfplumber
import pytest
from examples import EXAMPLES
from packs import MM, built, char_boxes, overlapping, pages, stopped

import core.pages
from core.drawing.page import Circle, Page, Rect, Text
from core.drawing.sheet import Column, Heading, Table, number_sheets, single_group
from core.exports.pdf import pdf_bytes
from core.pack import UNDATED
from core.pages import page_kinds
from core.pages._layout import laid_in
from core.pages._sheets import blank

BAND = 5.0  # mm outside the frame in which the zones stand
SMALLEST = 2.5  # mm of capitals


def test_no_two_texts_overlap():
    """No character lies over another one, read back from the document."""
    for page in pages():
        boxes = char_boxes(page)
        words = [char["text"] for char in page.chars if char["text"].strip()]
        assert [(words[a], words[b], boxes[a].round(1)) for a, b in overlapping(boxes)] == [], page.page_number


def test_the_judge_of_overlaps_bites():
    """Two words printed half over one another are found, level or upright; two side by side are not."""

    def wrong(*items):
        data = pdf_bytes([Page(210.0, 297.0, items)], title="x", date=UNDATED)
        return len(overlapping(char_boxes(pdfplumber.open(io.BytesIO(data)).pages[0])))

    assert wrong(Text(50, 50, 2.5, "1150"), Text(52, 51, 2.5, "518"))
    assert wrong(Text(50, 50, 2.5, "1150", angle=90.0), Text(51, 52, 2.5, "518", angle=90.0))
    assert not wrong(Text(50, 50, 2.5, "1150"), Text(58, 50, 2.5, "518"), Text(50, 53.5, 2.5, "27"))


def test_all_text_is_inside_the_frame():
    """Every character stands inside the frame; in the band outside it only the letters and numerals of the zones."""
    for page in pages():
        frame = _frame(page)
        boxes = char_boxes(page)
        inside = (boxes[:, :2] >= frame[:2]).all(axis=1) & (boxes[:, 2:] <= frame[2:]).all(axis=1)
        words = np.array([char["text"] for char in page.chars if char["text"].strip()])
        assert all(len(word) == 1 and (word.isdigit() or word in "ABCDEFGHJK") for word in words[~inside])
        near = (boxes[:, :2] >= frame[:2] - BAND).all(axis=1) & (boxes[:, 2:] <= frame[2:] + BAND).all(axis=1)
        assert near.all()


def test_lines_stay_inside_the_frame():
    """No drawn line leaves the drawing space; zone lines and centring marks end within their band."""
    for page in pages():
        frame = _frame(page)
        for line in (*page.lines, *page.curves):
            assert line["x0"] * MM >= frame[0] - BAND - 0.01 and line["x1"] * MM <= frame[2] + BAND + 0.01
            assert line["y0"] * MM >= frame[1] - BAND - 0.01 and line["y1"] * MM <= frame[3] + BAND + 0.01


def _frame(page) -> np.ndarray:
    """The rectangle of the widest lines, 0.7 mm, in mm: left, bottom, right, top."""
    wide = [each for each in (*page.rects, *page.curves) if abs((each["linewidth"] or 0) * MM - 0.7) < 0.01]
    largest = max(wide, key=lambda each: (each["x1"] - each["x0"]) * (each["y1"] - each["y0"]))
    return np.array([largest[side] for side in ("x0", "y0", "x1", "y1")], float) * MM


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_piece_of_the_zoo_fits_its_sheets(name):
    """On every sheet of every piece no lettering overlaps lettering, covers a part number or leaves the frame."""
    job = built(name)
    sheets = [sheet for kind in page_kinds() for sheet in kind.sheets(job)]
    for sheet, page in zip(sheets, number_sheets(sheets), strict=True):
        lettering = [item for item in page.items if isinstance(item, Text) and item.string.strip()]
        assert min(item.height for item in lettering) >= SMALLEST
        boxes = np.array([_ink(item) for item in lettering])
        assert [(lettering[a].string, lettering[b].string) for a, b in overlapping(boxes, 0.02)] == [], (
            sheet.title.sheet
        )
        words = [item for item in lettering if len(item.string) > 1]  # single ones may be zones
        assert all(sheet.frame.contains(item.bounds()) for item in words), sheet.title.sheet
        assert _circles_apart(page), sheet.title.sheet


def _ink(item: Text) -> tuple[float, float, float, float]:
    rect = item.bounds()
    return rect.x, rect.y, rect.right, rect.top


def _circles_apart(page: Page) -> bool:
    """Whether no two part numbers touch."""
    numbers = [item.bounds().centre for item in page.items if isinstance(item, Text) and item.string.isdigit()]
    circles = [
        item
        for item in page.items
        if isinstance(item, Circle)
        and item.radius >= 4.0
        and any(np.hypot(x - item.x, y - item.y) < item.radius / 2 for x, y in numbers)
    ]
    at = np.array([(each.x, each.y) for each in circles]).reshape(-1, 2)
    apart = np.linalg.norm(at[:, None] - at[None], axis=2) + np.eye(len(at)) * 1e9
    return not len(at) or bool((apart >= 2 * circles[0].radius).all())


def test_stamped_sheets_keep_their_layout():
    """The band of the stamp takes room, and nothing is printed over it."""
    job = stopped(built())
    for page in number_sheets([sheet for kind in page_kinds() for sheet in kind.sheets(job)]):
        lettering = [item for item in page.items if isinstance(item, Text) and item.string.strip()]
        assert overlapping(np.array([_ink(item) for item in lettering]), 0.02) == []


def test_a_heading_is_not_left_without_what_it_heads():
    """Where a table does not fit beside a drawing, its heading goes on with it."""
    table = Table((Column("Mark"),), single_group([[str(n)] for n in range(20)]))
    blocks = [Heading("All of them"), table]
    assert laid_in(Rect(0, 0, 100, 60), blocks) == ((), blocks)
    items, left = laid_in(Rect(0, 0, 100, 300), blocks)
    assert items and not left


def test_page_kinds_keep_apart():
    """Page kinds are found by looking, in their order, and never import one another."""
    kinds = page_kinds()
    assert [kind.order for kind in kinds] == sorted(kind.order for kind in kinds)
    for found in pkgutil.iter_modules(core.pages.__path__):
        if found.ispkg or found.name.startswith("_"):
            continue  # the book; what kinds, and a plan without a piece, are made with
        source = (
            importlib.util.find_spec(f"core.pages.{found.name}")
            .loader.get_data(f"{core.pages.__path__[0]}/{found.name}.py")
            .decode()
        )
        others = [other.name for other in pkgutil.iter_modules(core.pages.__path__) if not other.name.startswith("_")]
        assert not any(f"from .{other} import" in source for other in others if other != found.name)


@pytest.mark.parametrize(
    ("locale", "size", "projection"),
    [("en_GB", "A3", "first angle"), ("en_AU", "A3", "third angle"), ("en_US", "tabloid", "third angle")],
)
def test_paper_and_projection_follow_the_locale(locale, size, projection):
    """British paper is A3 in first angle, Australian A3 in third, American tabloid in third."""
    job = built("starter bookcase")
    piece = job.pieces[0].piece
    piece = dataclasses.replace(piece, shop=dataclasses.replace(piece.shop, locale=locale))
    job = dataclasses.replace(job, pieces=(dataclasses.replace(job.pieces[0], piece=piece),))
    sheet = blank(job, "x", paper="A3", projected=True)
    assert (sheet.size.name, sheet.title.projection) == (size, projection)
    assert [kind.word for kind in page_kinds() if not kind.sheets(job)] == [
        "changes",  # no revision to set it beside
        "fitting_page",  # no fronts to fit
    ]
