"""Templates and rods at full size: what a rule laid on the paper reads is what the model has."""

import io
import json
import re
from itertools import pairwise

import numpy as np
import pdfplumber
import pytest
from examples import DEMO, EXAMPLES, example_text
from packs import MM, built, pages, texts

from core.built import build_job
from core.drawing.page import Circle, Lines, Text
from core.drawing.sheet import number_sheets
from core.model import Hole
from core.pack import job_pdf
from core.pages import page_kinds
from core.pages._clusters import clusters, places_said
from core.pages._tiles import OVERLAP, pieces
from core.pages.rods import _strips
from core.pages.templates import _made_words
from core.piece import loads
from core.piece.job import Job, JobItem

CLOSE = 0.05  # mm


def numbers(title: str) -> list[int]:
    return [n for n, words in enumerate(texts()) if f"Sheet {title}" in words or words.startswith(title)]


def circles(page) -> np.ndarray:
    """Centres and diameters of all circles on a page, (n, 3), mm from the bottom left."""
    found = []
    for curve in page.curves:
        width, height = curve["x1"] - curve["x0"], curve["y1"] - curve["y0"]
        if abs(width - height) < 0.02:
            found.append(((curve["x0"] + curve["x1"]) / 2 * MM, (curve["y0"] + curve["y1"]) / 2 * MM, width * MM))
    return np.array(found).reshape(-1, 3)


def fits(found: np.ndarray, wanted: np.ndarray) -> bool:
    """Whether the pattern wanted, (n, 3), stands among the circles found: moved, turned over, or on its side."""
    for flip in ((1, 1), (-1, 1), (1, -1), (-1, -1)):
        for order in ((0, 1), (1, 0)):
            pattern = wanted[:, order] * flip
            alike = found[np.abs(found[:, 2] - wanted[0, 2]) < CLOSE]
            for start in alike[:, :2]:
                moved = pattern - pattern[0] + start
                away = np.linalg.norm(moved[:, None] - found[None, :, :2], axis=2)
                away += 1e3 * (np.abs(wanted[:, None, 2] - found[None, :, 2]) > CLOSE)
                if away.min(axis=1).max() < CLOSE:
                    return True
    return False


def drilled_for(model, fitting: str, part) -> np.ndarray:
    """Holes of a part for the screws of a fitting: their places in the plane that is drilled, (n, 3), from the model."""
    wanted = []
    for fastener in model.fasteners:
        if fitting in fastener.parts and part.key in fastener.parts:
            for hole in part.shape.features:
                if isinstance(hole, Hole):
                    away = np.array(part.place.point(hole.at)) - fastener.at
                    along = np.array(fastener.along)
                    if np.linalg.norm(away - (away @ along) * along) < 0.01 and abs(away @ along) < 60:
                        plane = np.abs(hole.into) < 0.5
                        wanted.append((*np.array(hole.at)[plane], hole.diameter))
    return np.array(sorted(set(wanted))).reshape(-1, 3)


FITTED = (
    ("doors/leaf.left/hinge.2", "carcass/side.left", 3),
    ("doors/leaf.right/hinge.1", "doors/leaf.right/stile.hinge", 3),
    ("doors/leaf.left/catch", "doors/leaf.left/panel", 2),
    ("doors/leaf.left/catch", "carcass/top", 2),
    ("coats/rail.1/socket.left", "carcass/side.left", 2),
    ("drawer/pull.left", "drawer/box/front", 2),
    ("anchor.coats", "carcass/top", 2),
)


@pytest.mark.parametrize(("fitting", "key", "count"), FITTED)
def test_holes_of_each_fitting_are_pricked_through_where_the_model_has_them(fitting, key, count):
    """Hinge, catch, socket, handle, anchor: circle centres read back from the document, within 0.05 mm, at true size."""
    model = built(DEMO).pieces[0].model
    wanted = drilled_for(model, fitting, model.part(key))
    assert len(wanted) == count
    assert any(fits(circles(pages()[n]), wanted) for n in numbers("Templates, full size"))


def test_the_judge_bites():
    """A pattern with one hole 0.2 off, or of another size, is not taken for it."""
    right = np.array([(0, 0, 8), (25, 0, 8), (50, 3, 8)], float)
    assert fits(right + np.array((5, 7, 0)), right) and fits(right * (-1, 1, 1) + (90, 7, 0), right)
    assert not fits(right + np.array([(0, 0, 0), (0.2, 0, 0), (0, 0, 0)]), right)
    assert not fits(right + np.array([(0, 0, 0), (0, 0, 1.0), (0, 0, 0)]), right)


def test_rows_of_dowels_join_by_their_registration_marks():
    """The row of five 8 mm dowels of the carcass, in pieces: joined by its marks it is 40, 152, 264, 376, 488."""
    words = " ".join(texts()[n] for n in numbers("Templates, full size"))
    head = re.search(
        r"Template (\d+): row of dowels, dowel 8 × 40, piece 1 of 2 Ends: 5 × ⌀8, 30 deep .{,20} For 3 bottom", words
    )
    sheet_pieces = _pieces_of(int(head[1]))
    assert len(sheet_pieces) > 1
    places, shift, before = [], 0.0, {}
    for page_circles, marks in sheet_pieces:
        for label, x in marks.items():
            if label in before:
                shift = before[label] - x
        before = {label: x + shift for label, x in marks.items()}
        places += [x + shift for x, _, size in page_circles if abs(size - 8) < CLOSE]
    steps = np.diff(sorted({round(place, 1): place for place in places}.values()))
    assert steps == pytest.approx([112.0] * 4, abs=CLOSE)


def _pieces_of(number: int) -> list[tuple[np.ndarray, dict[str, float]]]:
    """Circles and registration marks of a template's pieces in order, from the document."""
    found = {}
    for n in numbers("Templates, full size"):
        page = pages()[n]
        words = page.extract_words()
        heads = [(word, after["text"]) for word, after in pairwise(words) if word["text"] == "Template"]
        foot = max(word["top"] for word in words if word["text"] == "Piece") - 2
        for head, told in heads:
            if told == f"{number}:":
                beside = [
                    each["x0"] for each, _ in heads if abs(each["top"] - head["top"]) < 3 and each["x0"] > head["x0"]
                ]
                below = [each["top"] for each, _ in heads if each["top"] > head["top"] + 20]
                plate = page.crop(
                    (head["x0"] - 1, head["top"] - 1, min(beside, default=page.width), min(below, default=foot))
                )
                piece = re.search(r"piece (\d) of \d", " ".join((plate.extract_text() or "").split()))
                if piece:
                    found[int(piece[1])] = _marked(plate, number)
    return [found[n] for n in sorted(found)]


def _marked(plate, number: int) -> tuple[np.ndarray, dict[str, float]]:
    """Circles of a piece, and where each of its registration marks lies along it."""
    here, marks = circles(plate), {}
    rings = here[np.abs(here[:, 2] - 3.0) < CLOSE]
    for word in plate.extract_words():
        if re.fullmatch(rf"{number}\.\d", word["text"]):
            marks[word["text"]] = float(rings[np.abs(rings[:, 0] - word["x0"] * MM).argmin()][0])
    return here, marks


def test_mirror_images_share_a_template():
    """The runner's holes on both sides of the drawer are one template, turned over for the other; no two are alike."""
    found = clusters(built(DEMO))
    (runner,) = [
        each
        for each in found
        if "runner" in each.cluster.name and any("drawer side" in name for _, name, _ in each.places)
    ]
    assert {name for _, name, _ in runner.places} == {"drawer side, left", "drawer side, right"}
    assert "Turned over, head end at the line foot end: 29 drawer side" in places_said(runner)
    assert len({each.cluster.alike for each in found}) == len(found)


def test_the_far_ends_of_a_fitting_have_templates_of_their_own():
    """A linking shaft has a bearing at each end, 700 apart: the two screws of one are pricked through by one template."""
    shafts = [
        each
        for each in clusters(built("starter chest_of_drawers"))
        if "linking shaft" in each.cluster.name and "runner" not in each.cluster.name
    ]
    assert len(shafts) == 4  # one for each height of a back, for both ends
    for each in shafts:
        along = [hole[0] for hole in each.cluster.holes]
        assert len(along) == 2 and max(along) - min(along) < 50 and len(each.laid) == 2


def test_every_full_size_sheet_has_a_bar_of_100_mm():
    """On each sheet of templates and rods a line with eleven strokes is 100.00 mm long."""
    sheets = [*numbers("Templates, full size"), *numbers("Rods, full size")]
    assert len(sheets) > 5
    for n in sheets:
        lengths = [(line["x1"] - line["x0"]) * MM for line in pages()[n].lines if abs(line["y1"] - line["y0"]) < 0.01]
        assert min(abs(length - 100.0) for length in lengths) < 0.01
        assert "This bar is 100 mm long." in texts()[n] and "1:1" in texts()[n]


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_hinge_runner_handle_and_anchor_has_a_template(name):
    """No fitting that is screwed or bolted into a part is left out, and each says for which marks it is."""
    job = built(name)
    found = clusters(job)
    model, marks = job.pieces[0].model, job.marks_of(0)
    parts = {part.key for part in model.parts}
    fixed = {f.key for f in model.fittings if f.entry}
    wanted = set()
    for fastener in model.fasteners:
        if any(key in fixed for key in fastener.parts):
            for key in set(fastener.parts) & parts:
                if len(drilled_for(model, next(k for k in fastener.parts if k in fixed), model.part(key))):
                    wanted.add(marks[key])
    assert wanted <= {mark for each in found for mark, _, _ in each.places}


def test_rods_carry_every_place_at_full_size():
    """On the rod of heights the strokes stand where the table says, the pieces overlapping by a known length."""
    job = built(DEMO)
    stations = job.pieces[0].model.rods["heights"]
    sheets = next(kind for kind in page_kinds() if kind.word == "rods").sheets(job)
    words = [item.string for sheet in sheets for item in sheet.items if isinstance(item, Text) and item.angle == 90.0]
    told = {float(re.match(r"-?[\d.]+", line)[0]) for line in words}
    assert set(stations) <= told


def test_the_heading_of_a_short_last_piece_has_its_room():
    """A piece of rod shorter than its heading takes as much paper as the heading."""
    found = list(_strips("Widths from the middle, left and right alike", (5.0, 215.0), [], 200.0))
    assert len(found) == 2 and found[1].width < 200
    for strip in found:
        assert all(
            item.bounds().right <= strip.width + 1e-6
            for item in strip.items
            if isinstance(item, Text) and not item.angle
        )


def test_pieces_overlap_and_lose_nothing():
    """A long line with round marks: every mark is whole on some piece, and neighbours share the overlap."""
    marks = [Circle(x, 5.0, 4.0) for x in np.linspace(4.0, 896.0, 90)]
    found = pieces([Lines(((0.0, 0.0, 900.0, 0.0),)), *marks], 900.0, 10.0, 250.0)
    step = 250.0 - OVERLAP
    seen = {
        round(item.x + step * (piece.number - 1), 3)
        for piece in found
        for item in piece.items
        if isinstance(item, Circle) and item.radius == 4.0
    }
    assert seen == {round(float(mark.x), 3) for mark in marks}
    assert sum(piece.width for piece in found) == pytest.approx(900.0 + OVERLAP * (len(found) - 1))


def test_the_cup_of_a_hinge_is_on_its_template():
    """A cup hinge's template has the cup of 35 with the screws beside it, and the plate's screws on the carcass."""
    text = json.loads(example_text(DEMO))
    for front in text["fronts"]:
        if front["kind"] == "pair":
            front["hanging"]["hinge"] = "hinge-cup-35-inset"
    job = build_job(Job("cups", (JobItem(loads(json.dumps(text), "cups")),)))
    cups = [each.cluster for each in clusters(job) if any(hole[2] == 35.0 for hole in each.cluster.holes)]
    assert cups and all(len(each.holes) >= 3 for each in cups)


def test_a_recess_through_two_layers_is_whole_on_its_template():
    """The door's hinge recess is 16.5 wide: 9 in the stile, 7.5 in the panel behind it; its template draws and says both."""
    found = [
        each.cluster for each in clusters(built(DEMO)) if each.cluster.side == "face edge" and each.cluster.recesses
    ]
    assert [recess[2:4] for each in found for recess in each.recesses] == [(0.0, 16.5)]
    assert [
        _made_words(each).endswith("The recess runs on 7.5 into what is glued to the back side.") for each in found
    ] == [True]


@pytest.mark.parametrize(
    ("locale", "paper", "size"),
    [
        ("en_GB", "A4", (297, 210)),
        ("en_GB", "A2", (594, 420)),
        ("en_US", "A4", (279.4, 215.9)),
        ("en_US", "A2", (558.8, 431.8)),
    ],
)
def test_full_size_is_printed_on_the_paper_there_is(locale, paper, size):
    """Rods and templates keep to the sheets that the workshop can print; on larger ones they are in fewer pieces, on each they are at full size."""
    data = json.loads(example_text(DEMO))
    data["shop"] = {**data.get("shop", {}), "locale": locale, "full_size_on": paper}
    job = build_job(Job("", (JobItem(loads(json.dumps(data))),)))
    kinds = {kind.word: kind for kind in page_kinds()}
    templates = list(kinds["templates"].sheets(job))
    sheets = [each for each in (*kinds["rods"].sheets(job), *templates) if each.title.scale == "1:1"]
    assert {(each.size.width, each.size.height) for each in sheets} == {size}
    assert (len(templates) > 4) == (paper == "A4")
    document = pdfplumber.open(io.BytesIO(job_pdf(job, number_sheets(templates), "templates")))
    found = [circles(page) for page in document.pages]
    for fitting, key, count in FITTED[:3]:
        wanted = drilled_for(job.pieces[0].model, fitting, job.pieces[0].model.part(key))
        assert len(wanted) == count and any(fits(each, wanted) for each in found)


def test_a_knob_goes_through_the_strip_too():
    """A hole that goes right through a framed door is not told as deep as its panel is thick."""
    words = [_made_words(found.cluster) for found in clusters(built(DEMO)) if "knob" in found.cluster.name]
    assert words == ["Face side: 1 × ⌀4.5, through (knob bolt)."]
