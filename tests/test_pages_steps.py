"""Step sheets as an independent reader finds them: everything said once, nothing over anything, thin and thick told apart."""

import io
import re
from collections import Counter
from functools import cache

import pdfplumber
import pytest
from examples import DEMO
from packs import MM, balloons, built, char_boxes, overlapping, released

from core.cutting.list import parts_list
from core.drawing.page import Circle
from core.drawing.page import Lines as PageLines
from core.drawing.sheet import number_sheets
from core.exports.pdf import pdf_bytes
from core.pack import record_date
from core.pages.steps import ENTRY
from core.steps import steps

PIECES = (DEMO, "starter chest_of_drawers", "starter bookcase")
NAMED = re.compile(
    r"(\d+) ((?:[^,.()]|,(?! \d))*?)(?: \((?:(\d+)(?:: )?)?[^)\d]*\))?(?=, \d|\.)"
)  # "12 side stile (2)", "7 side stile (2: left rear, right front)"


@cache
def sheets(name: str):
    return ENTRY.sheets(released(built(name)))


@cache
def read(name: str):
    """The step sheets of a piece, as pdfplumber reads them."""
    job = released(built(name))
    pages = number_sheets(sheets(name))
    data = pdf_bytes(pages, title="steps", date=record_date(job), subject="steps", author="")
    return pdfplumber.open(io.BytesIO(data)).pages


def words(page, left: float = 0.0, right: float = 1.0) -> str:
    """The words of a part of a page, line by line as they stand there."""
    column = page.crop((left * page.width, 0, right * page.width, page.height))
    return " ".join(column.extract_text().split())


@pytest.mark.parametrize("name", PIECES)
def test_every_part_comes_now_in_one_step(name):
    """Counted from the sentences on paper, each number comes as often as the parts list says, no more and no less."""
    said: Counter[int] = Counter()
    for item in (item for sheet in sheets(name) for item in sheet.items if hasattr(item, "string")):
        assert item.string
    for sentence in _sentences(name):
        head, _, rest = sentence.partition(": ")
        if head in ("On the bench", "Comes now"):
            for number, _, count in NAMED.findall(rest):
                said[int(number)] += int(count or 1)
    assert said == {entry.mark: entry.quantity for entry in parts_list(built(name))}


def _sentences(name: str) -> list[str]:
    """The sentences of all steps as printed, columns read one after the other, lines joined."""
    found = []
    for page in read(name):
        for left, right in ((0.05, 0.52), (0.52, 0.975)):
            text = _lettering(page, left, right)
            found += re.findall(r"(?:On the bench|Comes now): \d.*?\.(?= |$)", text)
    return found


def _lettering(page, left: float, right: float) -> str:
    """The running words of a column: lettering of the sentences' height, part numbers left out."""
    column = page.crop((left * page.width, 0, right * page.width, page.height))
    small = column.filter(lambda item: item["object_type"] != "char" or item["size"] * MM < 3.9)
    return " ".join(small.extract_text().split())


@pytest.mark.parametrize("name", PIECES)
def test_every_step_has_its_number_once_and_in_order(name):
    """Headings run from 1 up through the sheets, down each column in turn."""
    wanted = len(steps(built(name).pieces[0].piece, built(name).pieces[0].model))
    found = []
    for page in read(name):
        for left, right in ((0.05, 0.52), (0.52, 0.975)):
            column = page.crop(
                (left * page.width, 0, right * page.width, 0.8 * page.height if left > 0.5 else page.height)
            )
            bold = column.filter(
                lambda item: (
                    item["object_type"] != "char" or ("Bold" in item["fontname"] and 4.5 < item["size"] * MM < 5.2)
                )
            )
            found += [int(number) for number in re.findall(r"^(\d+) [A-Z]", bold.extract_text(), re.MULTILINE)]
    assert found == list(range(1, wanted + 1))


@pytest.mark.parametrize("name", PIECES)
def test_no_lettering_lies_on_another_or_leaves_the_frame(name):
    """On each sheet no two characters cover each other, and all stand within the frame or in the zones' border."""
    for page in read(name):
        boxes = char_boxes(page)
        assert not overlapping(boxes)
        inside = (
            (boxes[:, 0] > 15)
            & (boxes[:, 2] < page.width * MM - 4)
            & (boxes[:, 1] > 4)
            & (boxes[:, 3] < page.height * MM - 4)
        )
        assert inside.all()


@pytest.mark.parametrize("name", PIECES)
def test_drawings_stay_within_the_frame_and_off_the_title_block(name):
    """No line, circle or letter of a step leaves the drawing space."""
    for sheet in sheets(name):
        block, frame = sheet.title_block, sheet.frame.grown(-1.0)
        for item in sheet.items:
            rect = item.bounds()
            assert frame.contains(rect), (sheet.title.sheet, item)
            assert not rect.overlaps(block), (sheet.title.sheet, item)


@pytest.mark.parametrize("name", PIECES)
def test_numbers_stand_in_circles_that_keep_clear(name):
    """Part numbers are those of the parts list, and no two circles touch."""
    marks = {str(entry.mark) for entry in parts_list(built(name))}
    for sheet, page in zip(sheets(name), read(name), strict=True):
        found = balloons(page)
        assert set(found) <= marks
        circles = [item for item in sheet.items if isinstance(item, Circle) and item.fill is None]
        for number, one in enumerate(circles):
            for other in circles[:number]:
                assert (one.x - other.x) ** 2 + (one.y - other.y) ** 2 > (one.radius + other.radius) ** 2


def test_what_comes_is_drawn_thick_and_what_is_there_thin():
    """Three widths: 0.18 for what is there and for flow lines (chain), 0.25 and 0.5 for what comes; outlines at least twice as wide."""
    for name in PIECES:
        for sheet in sheets(name):
            drawn = [item for item in sheet.items if isinstance(item, PageLines) and len(item.segments) > 3]
            if drawn:
                assert {item.width for item in drawn} <= {0.18, 0.25, 0.5}
                assert any(item.width == 0.5 for item in drawn)
                assert all(item.width == (0.25 if is_hidden(item) else 0.18) for item in drawn if item.dash)


def is_hidden(item: PageLines) -> bool:
    """Whether lines are dashed as ISO 128 has hidden ones: two lengths, chain lines have four."""
    return item.dash is not None and len(item.dash) == 2


def test_what_comes_but_is_hidden_is_dashed_and_numbered():
    """The bedside cabinet's anchor rail lies behind a board: its outline is dashed, and its number stands with its step.

    So are its brackets, which have no number, in the step in which they are screwed on.
    """
    name = "starter bedside_cabinet"
    found = [
        page
        for sheet, page in zip(sheets(name), read(name), strict=True)
        if any(isinstance(item, PageLines) and is_hidden(item) for item in sheet.items)
    ]
    mark = next(entry.mark for entry in parts_list(built(name)) if entry.name == "anchor rail")
    assert sum(str(mark) in balloons(page) for page in found) == 1
    assert any("anchor bracket" in page.extract_text() for page in found)


def test_the_sentences_of_the_demo_piece():
    """Counts, figures and limits as worked out by hand, read back from paper."""
    text = " ".join(
        _lettering(page, left, right) for page in read(DEMO) for left, right in ((0.05, 0.52), (0.52, 0.975))
    )
    for sentence in (
        "10 dowels 8 × 40", "30 dowels 8 × 40", "Push by push: 5, 10 and 15 dowels.", "12 dowels 6 × 30", "22 strip pins 1.2 × 20 for each",
        "2 cramps reaching 1600, up and down", "6 cramps reaching 1200, across the width", "1785.1 (opening of doors)", "1536.2 (bay) within 1",
        "rails on spacer blocks, from the foot: 730, 740", "18 hinge plugs 8 × 30, in all: glue in, pare flush when dry", "taper 11.6°",
        "When the glue has set, bore and drive 4 leg screws 4 × 50", "all in place within 8 min", "5 upright and 13 stiffener under shelf 29",
        "two people", "spacer block 56.5", "lower end 75 / 684 / 1293 above the door's lower edge", "middle 1784 above the floor", "Dowel 8 × 40: 11 stand out, 1:2", "butt hinge 75 × 40, solid brass: 6",
    ):  # fmt: skip
        assert sentence in text, sentence
