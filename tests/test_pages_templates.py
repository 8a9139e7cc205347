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
from pieces import data

from core.built import BuiltJob, build_job
from core.drawing.page import Circle, Lines, Text
from core.drawing.sheet import number_sheets
from core.model import CutOut, Hole
from core.outlines import arc_of, facetted
from core.pack import job_pdf
from core.pages import page_kinds
from core.pages._clusters import clusters, places_said
from core.pages._curves import curves
from core.pages._part_sheets import all_subjects
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
    found = _plates_of([pages()[n] for n in numbers("Templates, full size")], number)
    return [_marked(found[n], number) for n in sorted(found) if n]


def _plates_of(sheets, number: int) -> dict[int, object]:
    """What is printed of each piece of a template, by its number, from 1 on; of a whole one under 0."""
    found = {}
    for page in sheets:
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
                told = " ".join((plate.extract_text() or "").split())
                piece = re.search(r"piece (\d) of \d", told)
                if "how it is used" not in told:
                    found[int(piece[1]) if piece else 0] = plate
    return found


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
    demo = json.loads(example_text(DEMO))
    demo["shop"] = {**demo.get("shop", {}), "locale": locale, "full_size_on": paper}
    job = build_job(Job("", (JobItem(loads(json.dumps(demo))),)))
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


# ---------------------------------------------------------------------------------------------------- curves to saw to
BRACKETS = {
    "ogee": {"outline": "ogee"},
    "hollow": {"outline": "hollow", "fullness": 100},
    "shorter at the sides": {"outline": "ogee", "depth": 320},
    "in pieces": {"outline": "ogee", "foot": 420, "pad": 90, "height": 200, "end": 40, "depth": 900},
}


def bracketed(paper: str = "A3", depth: float = 450, **support) -> BuiltJob:
    """A carcass on a bracket base."""
    whole = {"width": 950, "depth": depth, "height": 900}
    text = data(whole=whole, support={"style": "bracket_base", **support}, shop={"full_size_on": paper})
    return build_job(Job("", (JobItem(loads(json.dumps(text))),)))


def printed_templates(job: BuiltJob) -> list:
    """The sheets of templates as pdfplumber reads them."""
    kind = next(kind for kind in page_kinds() if kind.word == "templates")
    document = job_pdf(job, number_sheets(list(kind.sheets(job))), "templates")
    return list(pdfplumber.open(io.BytesIO(document)).pages)


def slanting(page) -> np.ndarray:
    """Chords of the wide lines of a page that are neither level nor upright: of its curves; (n, 2, 2), mm."""
    found = []
    for each in (*page.lines, *page.curves):
        if abs(each["linewidth"] * MM - 0.35) < 0.01:
            for (a, b), (c, d) in pairwise(each["pts"]):
                if min(abs(a - c), abs(b - d)) > 1e-6:
                    found.append(((a * MM, -b * MM), (c * MM, -d * MM)))
    return np.array(found).reshape(-1, 2, 2)


def straight(page, way: int, least: float) -> np.ndarray:
    """Levels of the narrow lines of a page that run one way (0 level, 1 upright), with their ends; (n, 3), mm."""
    found = []
    for each in page.lines:
        (a, b), (c, d) = each["pts"]
        ends = np.array(((a, -b), (c, -d))) * MM
        if abs(np.ptp(ends[:, 1 - way])) < 1e-3 and np.ptp(ends[:, way]) > least:
            found.append((ends[0, 1 - way], *sorted(ends[:, way])))
    return np.array(found).reshape(-1, 3)


def joining_marks(plate, number: int) -> dict[str, np.ndarray]:
    """Both rings of each joint of a piece with the others, by the joint's name; mm."""
    rings = circles(plate)
    rings = rings[np.abs(rings[:, 2] - 3.0) < CLOSE][:, :2] - (0, plate.root_page.height * MM)
    marks: dict[str, list] = {}
    for word in plate.extract_words():
        if re.fullmatch(rf"{number}\.(\d\.)?\d[LR]?", word["text"]):
            at = np.array(((word["x0"] + word["x1"]) / 2, -(word["top"] + word["bottom"]) / 2)) * MM
            marks.setdefault(word["text"], []).append(rings[np.linalg.norm(rings - at, axis=1).argmin()])
    return {name: np.array(sorted(some, key=tuple)) for name, some in marks.items()}


def joined(sheets: list, number: int) -> list[tuple[object, np.ndarray]]:
    """The pieces of a template, and how far each is moved when its marks are laid on those of the others."""
    left = list(_plates_of(sheets, number).values())
    known, laid = {}, []
    while left:
        ready = next(plate for plate in left if not laid or joining_marks(plate, number).keys() & known.keys())
        marks = joining_marks(ready, number)
        shifts = [known[name] - marks[name] for name in marks.keys() & known.keys()]
        assert all(np.allclose(shift, shifts[0][0], atol=CLOSE) for shift in shifts)
        shift = shifts[0][0] if shifts else np.zeros(2)
        known |= {name: rings + shift for name, rings in marks.items()}
        laid.append((ready, shift))
        left.remove(ready)
    return laid


def arcs_of(job: BuiltJob, first: int) -> tuple[tuple[float, ...], list, np.ndarray]:
    """Size of the bracket of a mark, centre and radius of each of its arcs, and places on them; in its own frame."""
    part = next(part for mark, _, part in job.parts() if mark == first)
    (cut,) = [each for each in part.shape.features if isinstance(each, CutOut)]
    sides = zip(cut.outline, (*cut.outline[1:], cut.outline[0]), cut.rises, strict=True)
    arcs = [arc_of(a, b, rise)[:2] for a, b, rise in sides if rise]
    corners, curve_of = facetted(cut.outline, cut.rises)
    return part.size, arcs, corners[(curve_of >= 0) | (np.roll(curve_of, 1) >= 0)]


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.parametrize("which", BRACKETS)
def test_a_curve_that_is_sawn_is_printed_where_the_bracket_has_it(which, paper):
    """Read back from the document, joined by its registration marks and measured from the printed edges of the board, the
    line is within 0.1 mm of the curve that is taken out of the bracket, all along, and nothing else is printed of it."""
    job = bracketed(paper, **BRACKETS[which])
    last = curves(job)[-1]
    (length, width, _), arcs, corners = arcs_of(job, min(last.lengths))
    assert (last.curve.end == "head end") == (which == "shorter at the sides")
    sheets = joined(printed_templates(job), len(curves(job)))
    assert (len(sheets) > 2) == (which == "in pieces")
    chords = np.concatenate([slanting(page) + shift for page, shift in sheets])
    low, high = chords.reshape(-1, 2).min(axis=0), chords.reshape(-1, 2).max(axis=0)
    levels = [
        [float(level + shift[1 - way]) for page, shift in sheets for level, *_ in straight(page, way, 60)]
        for way in (0, 1)
    ]
    # the curve runs from the lower edge to one end of the board: these are printed, and the upper edge and the other end
    assert min(abs(np.array(levels[0]) - low[1])) < 0.1
    assert min(abs(np.array(levels[0]) - low[1] - width)) < 0.1
    at_foot = bool(min(abs(corners[:, 0])) < 0.01)
    end = low[0] if at_foot else high[0]
    assert min(abs(np.array(levels[1]) - end)) < 0.1
    assert min(abs(np.array(levels[1]) - (end + length if at_foot else end - length))) < 0.1
    chords = chords - (end if at_foot else end - length, low[1])
    for point in chords.reshape(-1, 2):
        assert min(abs(np.linalg.norm(point - centre) - radius) for centre, radius in arcs) < 0.1
    a, b = chords[:, 0], chords[:, 1]
    for corner in corners[(corners >= 0).all(axis=1) & (corners[:, 0] <= length)]:
        share = np.clip(((corner - a) * (b - a)).sum(axis=1) / ((b - a) ** 2).sum(axis=1), 0, 1)
        assert np.linalg.norm(a + share[:, None] * (b - a) - corner, axis=1).min() < 0.1


def test_each_curve_has_one_template_and_the_sheets_of_its_parts_name_it():
    """Eight brackets of one curve, left ones and their mirror images, long and short: one template tells all marks and
    numbers, and each of their sheets leads to it; shorter ones at the sides of a shallow carcass have a second."""
    job = bracketed(outline="ogee")
    (found,) = curves(job)
    brackets = {mark for mark, _, part in job.parts() if part.name.split(",")[0].endswith("bracket")}
    assert found.lengths.keys() == brackets
    assert sum(int(n) for n in re.findall(r"(\d+) off", found.words)) == 8
    assert sorted(words.split(",")[0] for words in found.laid) == ["printed side up", "turned over"]
    subjects = {each.title.split()[0]: each for each in all_subjects(job)}
    for mark in brackets:
        assert "Its curve at full size: see template 1." in subjects[str(mark)].notes
    assert sum("template" in " ".join(each.notes) for each in subjects.values()) == len(brackets)
    two = curves(bracketed(outline="ogee", depth=320))
    assert [sum(int(n) for n in re.findall(r"(\d+) off", each.words)) for each in two] == [4, 4]


@pytest.mark.parametrize("outline", ["sloped", "stepped"])
def test_what_figures_tell_has_no_template(outline):
    """Brackets sawn straight are set out from their figures, and so are dovetails."""
    assert curves(bracketed(outline=outline)) == []
    assert curves(built(DEMO)) == []
    front = {"id": "d", "kind": "drawer", "closes": ["all"], "drawer": {"runner": "", "bottom_board": "mdf-6"}}
    front["drawer"]["corners"] = {"style": "lapped_dovetails"}
    whole = {"width": 900, "height": 260, "depth": 500}
    text = data(whole=whole, fronts=[front])
    job = build_job(Job("", (JobItem(loads(json.dumps(text))),)))
    assert any(
        isinstance(each, CutOut) and each.axis == 2 for _, _, part in job.parts() for each in part.shape.features
    )
    assert curves(job) == []
