"""Every sheet of every example, measured in the document by a reader that knows nothing of how it was laid out."""

import io
import re
from itertools import combinations, pairwise, product

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from examples import EXAMPLES
from packs import MM, balloons, built, overlapping
from test_pages_exploded import _first_met, _triangles, mirrored_key, shown

from core.drawing.balloons import segments_cross
from core.drawing.page import Page, Text
from core.drawing.scales import SCALES
from core.drawing.sheet import SHEETS
from core.exports.pdf import pdf_bytes
from core.pack import UNDATED
from core.pages import page_kinds

BAND = 5.0  # mm outside the frame in which the zones stand
LEAST_CAPITAL = 2.4  # mm; lettering of 2.5 less what a round figure gives away
DRAWN = ("arrangement", "exploded", "drilling", "templates", "rods")


def document(name: str, words) -> bytes:
    sheets = [sheet for kind in page_kinds()[1:] if kind.word in words for sheet in kind.sheets(built(name))]
    return pdf_bytes([sheet.page(n, len(sheets)) for n, sheet in enumerate(sheets, 1)], title="x", date=UNDATED)


def characters(page) -> tuple[list[str], np.ndarray]:
    """What is printed, and the ink of each character in mm: left, bottom, right, top."""
    text = page.get_textpage()
    found, boxes = [], []
    for n in range(text.count_chars()):
        letter = text.get_text_range(n, 1)
        if letter.strip():
            left, bottom, right, top = text.get_charbox(n)
            found.append(letter)
            boxes.append((left * MM, bottom * MM, right * MM, top * MM))
    return found, np.array(boxes).reshape(-1, 4)


def size_of(page):
    """The sheet that has the page's size."""
    width, height = (value * MM for value in page.get_size())
    return next(each for each in SHEETS.values() if abs(each.width - width) < 0.1 and abs(each.height - height) < 0.1)


QUICK = ("example coat_cupboard", "starter chest_of_drawers", "starter media_cabinet")
ALL = [pytest.param(name, marks=() if name in QUICK else pytest.mark.soak) for name in EXAMPLES]


@pytest.mark.parametrize("name", ALL)
def test_drawn_sheets_can_be_read(name):
    """No two characters lie over one another, all stand in the frame, none is too small, each scale is one of ISO 5455."""
    for number, page in enumerate(pypdfium2.PdfDocument(document(name, DRAWN))):
        letters, boxes = characters(page)
        assert [(letters[a], letters[b], boxes[a].round(1)) for a, b in overlapping(boxes)] == [], number
        frame = size_of(page).frame
        inside = (
            (boxes[:, 0] > frame.x) & (boxes[:, 2] < frame.right) & (boxes[:, 1] > frame.y) & (boxes[:, 3] < frame.top)
        )
        outside = [letter for letter, kept in zip(letters, inside, strict=True) if not kept]
        assert all(letter.isdigit() or letter in "ABCDEFGHJKLMNP" for letter in outside), (number, outside)
        figures = np.array([letter in "0123456789HE" for letter in letters])
        size = np.minimum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
        tall = np.maximum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
        assert (tall[figures & (size > 0.3)] > LEAST_CAPITAL).all(), number
        words = " ".join(page.get_textpage().get_text_range().split())
        scales = {str(scale) for scale in SCALES}
        assert set(re.findall(r"(?<![\d:])\d+:\d+(?![\d:])", words)) <= scales, number


@pytest.mark.parametrize("name", ALL)
def test_no_dimension_line_runs_through_a_figure(name):
    """On the general arrangement no thin line of a dimension, upright or level, crosses lettering."""
    for page in pdfplumber.open(io.BytesIO(document(name, ("arrangement",)))).pages:
        boxes = np.array([(c["x0"], c["y0"], c["x1"], c["y1"]) for c in page.chars if c["text"].strip()]) * MM
        boxes += np.array((0.2, 0.8, -0.2, -0.8)) * [[1]]
        for line in page.lines:
            if abs(line["linewidth"] * MM - 0.25) > 0.01:
                continue
            x0, x1, y0, y1 = (line[side] * MM for side in ("x0", "x1", "y0", "y1"))
            upright, level = x1 - x0 < 0.01, y1 - y0 < 0.01
            if upright or level:
                hit = (boxes[:, 0] < x1) & (boxes[:, 2] > x0) & (boxes[:, 1] < y1) & (boxes[:, 3] > y0)
                words = [
                    c["text"]
                    for c, struck in zip([c for c in page.chars if c["text"].strip()], hit, strict=True)
                    if struck
                ]
                assert not words, (page.page_number, words, (x0, y0, x1, y1))


@pytest.mark.parametrize("name", ALL)
def test_leaders_of_part_numbers_keep_apart(name):
    """Each circle has one leader from its rim; no two leaders cross or touch, none runs through another circle."""
    seen = 0
    for page in pdfplumber.open(io.BytesIO(document(name, ("exploded",)))).pages:
        circles = [circle for found in balloons(page).values() for circle in found]
        leaders = [leader for circle in circles for leader in leaders_from(page, circle)]
        assert len(leaders) == len(circles), page.page_number
        seen += len(leaders)
        for first, second in combinations(leaders, 2):
            parts = product(pairwise(first), pairwise(second))
            assert not any(segments_cross(*one, *other) for one, other in parts), page.page_number
        for (x, y, radius), leader in product(circles, leaders):
            if abs(np.hypot(leader[0][0] - x, leader[0][1] - y) - radius) > 0.05:
                assert all(np.hypot(a - x, b - y) > radius for a, b in dense(leader)), page.page_number
    assert seen > 20


def leaders_from(page, circle) -> list[tuple]:
    """The thin lines of three points that begin on the rim of a circle, mm from the bottom left."""
    x, y, radius = circle
    found = []
    for curve in page.curves:
        points = [(a * MM, (page.height - b) * MM) for a, b in curve["pts"]]
        is_thin = len(points) == 3 and not curve["fill"] and abs(curve["linewidth"] * MM - 0.25) < 0.01
        if is_thin and abs(np.hypot(points[0][0] - x, points[0][1] - y) - radius) < 0.05:
            found.append(tuple(points))
    return found


def dense(line) -> list[tuple[float, float]]:
    """Places along a line of several points, a millimetre apart or less."""
    found = []
    for (a, b), (c, d) in pairwise(line):
        count = int(np.hypot(c - a, d - b)) + 2
        found += [(a + (c - a) * n / count, b + (d - b) * n / count) for n in range(count + 1)]
    return found


def test_the_judge_bites():
    """A sheet with two words over one another, and one with lettering of 1.8, are found out."""

    def read(*items):
        return characters(pypdfium2.PdfDocument(pdf_bytes([Page(210.0, 297.0, items)], title="x", date=UNDATED))[0])

    assert overlapping(read(Text(50, 50, 2.5, "1150"), Text(51, 50.5, 2.5, "518"))[1])
    small = read(Text(50, 50, 1.8, "1150"))[1]
    assert (small[:, 3] - small[:, 1]).max() < LEAST_CAPITAL


@pytest.mark.parametrize("name", ALL)
def test_leaders_end_on_their_parts_on_paper(name):
    """Read from the document, the end of each leader, laid back on the solids taken apart, meets a part of its number first.

    Where the picture lies on the sheet is found from its slanting lines, not from the code that placed it.
    """
    pages = [page for page in pdfplumber.open(io.BytesIO(document(name, ("exploded",)))).pages if balloons(page)]
    seen = 0
    for page, (sheet, apart) in zip(pages, shown(name), strict=True):
        corners, _ = _triangles(apart)
        flat, scale = corners[:, :, :2].reshape(-1, 2) * apart.scale.ratio, apart.scale.ratio
        low, high = slanting(page)
        assert high - low == pytest.approx(flat.max(0) - flat.min(0), abs=0.3), sheet.subject.below
        origin = (low + high) / 2 - (flat.min(0) + flat.max(0)) / 2
        for number, circles in balloons(page).items():
            for circle in circles:
                (leader,) = leaders_from(page, circle)
                (solid,) = _first_met(apart, (np.array([leader[-1]]) - origin) / scale)
                assert solid >= 0, (sheet.subject.below, number)
                assert str(sheet.assemblies.marks.get(apart.subject.keys[solid])) == number, sheet.subject.below
                seen += 1
    assert seen >= 10


def slanting(page) -> tuple[np.ndarray, np.ndarray]:
    """The corners of all that is drawn with slanting straight lines, leaders left out, mm from the bottom left."""
    found = []
    for drawn in (*page.lines, *page.curves):
        if abs(drawn["linewidth"] * MM - 0.25) > 0.01 and not drawn["fill"]:
            points = [(x * MM, (page.height - y) * MM) for x, y in drawn["pts"]]
            found += [pair for pair in pairwise(points) if np.abs(np.subtract(*pair)).min() > 0.005]
    ends = np.array(found).reshape(-1, 2)
    return ends.min(0), ends.max(0)


@pytest.mark.parametrize("name", ALL)
def test_every_part_is_seen_on_paper(name):
    """Of each part, or its like, three tenths of the outline are drawn on one of the exploded sheets.

    The lines of the document are laid back on the outlines that the solids, taken apart, have from the view that is named.
    """
    pages = [page for page in pdfplumber.open(io.BytesIO(document(name, ("exploded",)))).pages if balloons(page)]
    best: dict[str, float] = {}
    for page, (sheet, apart) in zip(pages, shown(name), strict=True):
        marks, scale = sheet.assemblies.marks, apart.scale.ratio
        corners, _ = _triangles(apart)
        flat = corners[:, :, :2].reshape(-1, 2) * scale
        origin = sum(slanting(page)) / 2 - (flat.min(0) + flat.max(0)) / 2
        lines = solid_lines(page)
        for key in marks:
            if key in apart.subject.meshes:
                outline, lengths = outline_places(apart, key)
                drawn = distances(outline * scale + origin, lines) < 0.06
                best[key] = max(best.get(key, 0.0), float(lengths[drawn].sum() / lengths.sum()))
    for key, mark in marks.items():
        alike = {key, mirrored_key(key)} | {other for other, its in marks.items() if its == mark}
        assert max(best.get(each, 0.0) for each in alike) >= 0.3, key


def solid_lines(page) -> np.ndarray:
    """The lines of a picture, wide and narrow, leaders left out: (k, 4) mm from the bottom left."""
    found = []
    for drawn in (*page.lines, *page.curves):
        if min(abs(drawn["linewidth"] * MM - width) for width in (0.35, 0.18)) < 0.01 and not drawn["fill"]:
            points = [(x * MM, (page.height - y) * MM) for x, y in drawn["pts"]]
            found += [(*a, *b) for a, b in pairwise(points)]
    return np.array(found)


def outline_places(apart, key: str) -> tuple[np.ndarray, np.ndarray]:
    """Places along the outline of a part, (n, 2) on the sheet in mm of the piece, and how much of it each stands for, about 10 mm."""
    mesh, axes = apart.subject.meshes[key], apart.view.axes
    front = mesh.normals @ axes[2] > 1e-6
    edges = mesh.edges[front[mesh.edge_faces].sum(axis=1) == 1]
    points = (mesh.vertices + apart.move_of[key]) @ axes[:2].T
    found, lengths = [], []
    for a, b in points[edges]:
        length = float(np.hypot(*(b - a)))
        count = max(1, int(length / 10))
        found.append(a + (b - a) * ((np.arange(count) + 0.5) / count)[:, None])
        lengths += [length / count] * count
    return np.concatenate(found), np.array(lengths)


def distances(places: np.ndarray, lines: np.ndarray) -> np.ndarray:
    """From each place, (n, 2), to the nearest of some lines, (k, 4)."""
    start, step = lines[:, :2], lines[:, 2:] - lines[:, :2]
    length = np.maximum((step * step).sum(axis=1), 1e-12)
    nearest = np.full(len(places), np.inf)
    for some in np.array_split(np.arange(len(places)), len(places) // 200 + 1):
        away = places[some, None] - start[None]
        along = np.clip((away * step).sum(axis=2) / length, 0, 1)
        nearest[some] = np.sqrt(((away - along[:, :, None] * step) ** 2).sum(axis=2)).min(axis=1)
    return nearest


@pytest.mark.parametrize("name", QUICK[:2])
def test_nothing_stands_close_to_the_title_block(name):
    """Read from the document: no line and no character of a sheet lies within 2 mm of its title block."""
    seen = 0
    for page in pdfplumber.open(io.BytesIO(document(name, (*DRAWN, "steps", "cutting_plan")))).pages:
        size = next(
            each
            for each in SHEETS.values()
            if abs(each.width - page.width * MM) < 0.1 and abs(each.height - page.height * MM) < 0.1
        )
        frame = size.frame
        things = [
            (each["x0"] * MM, each["y0"] * MM, each["x1"] * MM, each["y1"] * MM)
            for each in (*page.lines, *page.rects, *page.curves, *(c for c in page.chars if c["text"].strip()))
        ]
        left, low, right, top = np.array(things).T
        blocks = (abs(right - frame.right) < 0.05) & (abs(low - frame.y) < 0.05) & (top < frame.y + 80)
        block = max(
            (thing for thing, is_block in zip(things, blocks, strict=True) if is_block), key=lambda each: each[3]
        )
        inside = (left > block[0] - 0.3) & (top < block[3] + 0.3)
        beside = (right < frame.x + 0.1) | (left > frame.right - 0.1) | (top < frame.y + 0.1) | (low > frame.top - 0.1)
        around = (left < frame.x + 0.1) & (right > frame.right - 0.1)  # the frame itself
        close = (right > block[0] - 2.0) & (low < block[3] + 2.0) & ~inside & ~beside & ~around
        assert not close.any(), (page.page_number, np.array(things)[close][:3])
        seen += 1
    assert seen > 20
