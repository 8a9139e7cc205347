"""Drilling plans against the model: every hole once, where it is, at its size, and when it is made."""

import json
import re
from collections import Counter
from functools import cache
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from examples import DEMO, EXAMPLES, example_text
from packs import MM, built, pages, texts
from pieces import data
from test_drawers import cupboard

from core.built import BuiltJob, build_job
from core.cutting.list import parts_list
from core.drawing.page import Text
from core.drawing.scales import SCALES
from core.model import Hole, Pocket
from core.pages._jigs import Jig, jig_pictures
from core.pages._part_sheets import later_subjects, part_subjects
from core.pages._part_views import _Figure
from core.pages._settings import _set_back_words
from core.pages.drilling import ENTRY, _rows
from core.piece import loads
from core.piece.job import Job, JobItem

FOUND = Path(__file__).parent / "references" / "found"
SCALE_WORDS = {str(scale): scale.ratio for scale in SCALES}


def told(subject) -> Counter:
    """Every hole that the tables of a subject tell: (diameter, depth, from foot end, from face edge, from face side)."""
    found = Counter()
    for each in subject.rows:
        row = each.row
        for a, b, c in product(row.ends or (None,), row.edges or (None,), row.faces or (None,)):
            found[row.diameter, row.depth, a, b, c] += 1
    return found


def measured(part, holes) -> Counter:
    """The same from the model, reckoned here: the distance square to the side that is drilled is left out."""
    found = Counter()
    _length, width, thickness = part.size
    for hole in holes:
        x, y, z = hole.at
        y = width - y if part.face_edge_high else y
        distances = [round(x, 2), round(y, 2), round(thickness - z, 2)]
        distances[int(np.argmax(np.abs(hole.into)))] = None
        found[hole.diameter, round(hole.depth, 1), *distances] += 1
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_hole_is_told_once_on_the_plan_of_its_mark(name):
    """Tables give each hole that is made in the part, at its distances from foot end, face edge and face side."""
    job = built(name)
    parts = {}
    for mark, _, part in job.parts():
        parts.setdefault(mark, part)
    subjects = {int(subject.title.split()[0]): subject for subject in part_subjects(job)}
    for mark, part in parts.items():
        own = [each for each in part.shape.features if each.when.stage == "in the part"]
        holes = [each for each in own if isinstance(each, Hole)]
        assert bool(own) == (mark in subjects), part.key
        if own:
            assert told(subjects[mark]) == measured(part, holes), part.key
            assert len(subjects[mark].pockets) == sum(isinstance(each, Pocket) for each in own), part.key


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_made_later_is_on_no_plan_of_a_part_and_on_one_of_an_assembly(name):
    """A hole made after glue-up, at fitting or on site is told once for all that it goes through, mirror images together."""
    job = built(name)
    own = [stage.words for subject in part_subjects(job) for stage in subject.stages]
    assert set(own) <= {""}
    wanted = set()
    for _, _, part in job.parts():
        for each in part.shape.features:
            if isinstance(each, Hole) and each.when.stage != "in the part":
                wanted.add((each.diameter, each.purpose))
    found = {(each.row.diameter, each.row.purpose) for subject in later_subjects(job) for each in subject.rows}
    assert found == wanted


def kept(name: str) -> BuiltJob:
    """A piece kept for its faults, as a job."""
    return build_job(Job(name, (JobItem(loads((FOUND / f"{name}.json").read_text("utf-8"))),)))


@pytest.mark.parametrize("name", [*EXAMPLES, "biscuits_in_framed_sides", "biscuits_in_lipped_sides"])
def test_pockets_made_later_are_told_where_they_are(name):
    """What the table says of each, laid back into the piece, is the pocket there, no farther than the blanks that it is in."""
    job = built(name) if name in EXAMPLES else kept(name)
    told_of, in_one_go = 0, {}  # what one tool takes out of two parts at once is one pocket
    for part in job.pieces[0].model.parts:
        for each in part.shape.features:
            if isinstance(each, Pocket) and each.when.stage != "in the part":
                whole = np.sort([part.place.point(each.low), part.place.point(each.high)], axis=0)
                cut = np.maximum(each.low, 0.0), np.minimum(each.high, part.size)
                key = (each.purpose, *np.round(whole.ravel(), 0))
                in_one_go.setdefault(key, []).extend(part.place.point(corner) for corner in cut)
    wanted = [np.array((np.min(some, axis=0), np.max(some, axis=0))) for some in in_one_go.values()]
    for subject in later_subjects(job):
        part = subject.part
        _, width, thickness = part.size
        for stage in subject.stages:
            for letter in dict.fromkeys(letter for letter, _ in stage.pockets):
                cells = next(row for row in _rows(stage, subject) if row[0].string == letter)
                length, deep = part.size[0], thickness if cells[3] == "through" else float(cells[3])
                square = {
                    "Foot end": (0, 0.0),
                    "Head end": (0, length - deep),
                    "Face edge": (1, 0.0),
                    "Back edge": (1, width - deep),
                }
                axis, low = square.get(cells[1], (2, 0.0))
                flat = [axis for axis in range(3) if abs(part.place.z[axis]) < 0.5]
                turned = []  # a slot's long way is not said where it can be seen
                for ways in ((0, 1), (1, 0)):
                    ends = limits_in(cells[4], cells[7], ways[0]) or [(0.0, length)]
                    edges = limits_in(cells[5], cells[7], ways[1]) or [(0.0, width)]
                    ends, edges = ([(low, low + deep)] if axis == n else some for n, some in enumerate((ends, edges)))
                    found = [
                        np.sort([part.place.point((a, y, 0.0)), part.place.point((b, v, thickness))], axis=0)
                        for a, b in ends
                        for near, far in edges
                        for y, v in [(width - far, width - near) if part.face_edge_high else (near, far)]
                    ]
                    exact = 0.02 if "middle" not in f"{cells[4]}{cells[5]}" else 0.06
                    turned.append(
                        all(any(np.abs((one - box)[:, flat]).max() < exact for box in wanted) for one in found)
                    )
                assert any(turned), (subject.title, letter)
                told_of += 1
    assert told_of or not wanted


def limits_in(words: str, purpose: str, way: int) -> list[tuple[float, float]]:
    """ "9.13 to 13.13; 40 to 44" as numbers; "middles 9, 466" by the short or the long side of the slot; nothing for "all along"."""
    if not words.startswith("middle"):
        return [(float(a), float(b)) for a, b in re.findall(r"([\d.]+) to ([\d.]+)", words)]
    size = sorted(map(float, re.search(r"([\d.]+) × ([\d.]+)", purpose).groups()))[way]
    return [(float(at) - size / 2, float(at) + size / 2) for at in re.findall(r"[\d.]+", words)]


def test_slots_of_a_joint_are_one_row_told_by_their_middles():
    """Biscuits are set out by their middles: one row for all of a board's face, one for each end, nothing square to the side."""
    job = changed_media()
    subjects = {subject.title.split()[1]: subject for subject in part_subjects(job)}
    rows = [
        [getattr(cell, "string", cell) for cell in row]
        for row in _rows(subjects["Bottom"].stages[0], subjects["Bottom"])
    ]
    slots = [row[1:7] for row in rows if row[7].startswith("slot for biscuit")]
    places = "middles 55, 165.4, 275.8, 386.2"
    assert slots == [
        ["Face side", "8 ×", "12.5", "middles 456.5, 1011.5", places, ""],
        ["Foot end", "4 ×", "12.5", "", places, "middle 9"],
        ["Head end", "4 ×", "12.5", "", places, "middle 9"],
    ]
    top = [[getattr(cell, "string", cell) for cell in row] for row in _rows(subjects["Top"].stages[0], subjects["Top"])]
    assert {row[3] for row in top if "can move" in row[7]} == {"through"}


@cache
def changed_media() -> BuiltJob:
    """The media cabinet 60 inches wide, its boards joined by biscuits, on American paper."""
    data = json.loads(example_text("starter media_cabinet"))
    data["whole"].update(width=1524, height=610, depth=457.2)
    data["support"] = {"style": "bracket_base"}
    data["carcass"]["joint"] = {"style": "biscuits"}
    data["shop"]["locale"] = "en_US"
    return build_job(Job("media", (JobItem(loads(json.dumps(data))),)))


def test_the_rest_of_a_long_table_lies_beside_other_parts():
    """No drilling sheet holds nothing but some rows of a table; where the rest is, is said."""
    pages = ENTRY.sheets(changed_media())
    headings = [[item.string for item in page.items if getattr(item, "style", "") == "bold"] for page in pages]
    rest = [
        some for some in headings if any("the rest of its table" in words and "sheet" not in words for words in some)
    ]
    assert rest and all(any(re.search(r"\(1:\d+\)", words) for words in some) for some in rest)
    assert any("stands on a sheet beside this one" in words for some in headings for words in some)


def test_hinge_recess_knob_and_plugs_of_the_demo_are_told_once():
    """Panel and stile of a door share recesses, plugs and knob hole: one table has them, for both doors."""
    doors = [each for each in later_subjects(built(DEMO)) if "door" in each.title]
    assert len(doors) == 1 and any("mirror image" in note for note in doors[0].notes)
    rows = {each.row.purpose: each.row for each in doors[0].rows}
    assert rows["plug 8 × 30 for hinge screw"].count == 9
    knob = rows["knob bolt"]
    assert (knob.ends, knob.edges, knob.depth) == ((591.5,), (480.6,), 27.0)  # 1000 up, 37.4 from the meeting edge
    assert sum(pocket.purpose.startswith("hinge recess") for _, pocket in doors[0].pockets) == 3


def test_rows_behind_an_inset_front_are_told_in_f_too():
    """The upright stands 29 behind the carcass front: its pins at 49 and 460 are at f 78 and 489, as in the sides."""
    subjects = {subject.part.key: subject for subject in part_subjects(built(DEMO))}
    upright = subjects["carcass/upright.coats+shelves"]
    pins = next(each.row for each in upright.rows if each.row.purpose == "shelf pin")
    assert upright.set_back == pytest.approx(29) and pins.edges == (49.0, 460.0)
    side = next(each.row for each in subjects["carcass/side.right"].rows if each.row.purpose == "shelf pin")
    assert side.edges == (78.0, 489.0)
    words = " ".join(texts())
    assert "49, 460 (f 78, 489)" in words and "2 and 5: 29 less" in words


def test_face_sides_look_where_their_words_say():
    """A drawer's face sides look into the box (rule A1): grooves and dowels of all four are told from inside."""
    for subject in part_subjects(built(DEMO)):
        if subject.part.key.startswith("drawer/box/side"):
            assert {each.row.side for each in subject.rows} == {"face side"}
            towards_middle = -subject.part.place.origin[0]
            assert subject.part.face_side == "inside" and subject.part.place.z[0] * towards_middle > 0


def test_face_marks_say_which_way_they_look():
    """No part's face side or face edge is called a side and no more: left, right and outside are, and look that way."""
    for name in EXAMPLES:
        for part in built(name).pieces[0].model.parts:
            assert "side" not in (part.face_side, part.face_edge), (name, part.key)
            if part.role == "batten" and part.face_edge == "left edge":
                assert part.place.y[0] > 0 and not part.face_edge_high
            if "/bearer." in part.key and part.face_side == "outside":
                assert (
                    part.place.z[0] * part.place.origin[0] > -part.board.thickness
                )  # one in the middle may look either way


@pytest.mark.parametrize("mark", [1, 2, 5, 6, 12, 28, 32])
def test_holes_on_paper_are_where_the_model_has_them(mark):
    """Read back from the document: circles at true size and place, within 0.05 mm on paper, from the black corner."""
    name = next(entry.name for entry in parts_list(built(DEMO)) if entry.mark == mark)
    heading = re.compile(rf"(?<!\d){mark} {name[0].upper()}{re.escape(name[1:])} \((\d+:\d+)\)")
    number, ratio = next((n, found[1]) for n, words in enumerate(texts()) if (found := heading.search(words)))
    part = next(part for at, _, part in built(DEMO).parts() if at == mark)
    page, scale = pages()[number], SCALE_WORDS[ratio]
    holes = [each for each in part.shape.features if isinstance(each, Hole) and each.when.stage == "in the part"]
    face = [each for each in holes if abs(each.into[2]) > 0.5]
    (over,) = {each.into[2] > 0 for each in face}
    wanted = np.array([_on_paper(part, each, over) for each in face]) * scale
    sizes = {round(each.diameter * scale, 3) for each in face}
    found = np.array([centre for centre, size in _circles(page) if any(abs(size - each) < 0.01 for each in sizes)])
    assert _fits(found, wanted), mark


def _on_paper(part, hole, turned_over):
    x, y, _ = hole.at
    return x, (part.size[1] - y if turned_over else y)


def _circles(page):
    for curve in page.curves:
        width, height = curve["x1"] - curve["x0"], curve["y1"] - curve["y0"]
        if abs(width - height) < 0.02 and not curve["fill"]:
            yield ((curve["x0"] + curve["x1"]) / 2 * MM, (curve["y0"] + curve["y1"]) / 2 * MM), width * MM


def _fits(found: np.ndarray, wanted: np.ndarray) -> bool:
    """Whether a shift of the wanted places brings each of them within 0.05 mm of a circle found."""
    for start in found:
        moved = wanted - wanted[0] + start
        away = np.linalg.norm(moved[:, None] - found[None], axis=2).min(axis=1)
        if away.max() < 0.05:
            return True
    return False


def test_equal_parts_are_told_in_one_sentence():
    """Drawer fronts of one mark, drilled alike, are said to be so once, with their number, not one by one under the same name."""
    for name in EXAMPLES:
        for subject in later_subjects(built(name)):
            assert not [note for note in subject.notes if note == f"{subject.title.strip()}: the same."], name
    chest = [subject for subject in later_subjects(inner_drawers()) if "Drawer front panel" in subject.title]
    assert [subject.notes for subject in chest] == [("The same on each of the 2.",)]


@cache
def inner_drawers() -> BuiltJob:
    """A cupboard with two equal drawers behind its door."""
    piece = loads(json.dumps(data(**cupboard())))
    return build_job(Job("Cupboard", (JobItem(piece),)))


def test_the_judge_of_places_bites():
    """A hole half a millimetre off on paper is not taken for right."""
    wanted = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 5.0)])
    assert _fits(wanted + 7.0, wanted) and not _fits(wanted + np.array([(0, 0), (0.5, 0), (0, 0)]), wanted)


def test_marks_scales_and_datums_stand_on_the_sheets():
    """Each machined mark has a heading with name and scale; each sheet says what is measured from where."""
    job = built(DEMO)
    names = {entry.mark: entry.name for entry in parts_list(job)}
    sheets = ENTRY.sheets(job)
    words = [item.string for sheet in sheets for item in sheet.items if isinstance(item, Text)]
    for subject in part_subjects(job):
        mark = int(subject.title.split()[0])
        assert any(line.startswith(f"{mark} ") and "(1:" in line for line in words), names[mark]
    assert all("black corner" in sheet.title.views for sheet in sheets[1:])


def test_collars_and_jigs_are_set_once():
    """Depths by drill and the rows that several parts share stand before the plans: five dowels at f 40 to 488."""
    words = next(words for words in texts() if "Stop collar" in words and "Jig" in words)
    assert "40, 152, 264, 376, 488 ⌀8 dowel 8 × 40 1, 2, 3, 4, 6" in words
    assert "⌀8 12" in words and "⌀8 30" in words


def test_a_pilot_beneath_is_not_said_to_go_through():
    """The leg's screw: clearance through the bottom, the pilot 33 deep in what lies beneath it, which is named."""
    rows = [
        row
        for subject in later_subjects(built(DEMO))
        if subject.title.endswith("Bottom")
        for stage in subject.stages
        for row in _rows(stage, subject)
    ]
    told = {row[7]: row[3] for row in rows}
    assert told == {
        "clearance for screw 4 × 50: leg lamination 2": "through",
        "pilot for screw 4 × 50: beneath, in the leg lamination 2": "33 there",
    }


def test_a_part_that_stands_before_the_carcass_front_is_set_by_more():
    """Where a part's own edge is behind the front less is set, where it is before it more; never "-20 less"."""
    assert _set_back_words({3: 20.0, 4: 0.0, 15: -20.0}) == "4, 3: 20 less and 15: 20 more"


def test_the_jig_is_pictured_with_its_settings():
    """The demo's jig stands once against the front edge and once, for the upright, with a spacer of 29; bores lie in proportion."""
    items = [item for sheet in ENTRY.sheets(built(DEMO))[:1] for item in sheet.items if isinstance(item, Text)]
    lettered = [item.string for item in items]
    assert "The same on 5: a spacer of 29 between fence and face edge" in lettered
    assert "Stop collar, here ⌀8, 30 deep:" in lettered
    places = {item.string: item.x for item in items if item.angle and item.string in ("69", "152", "264", "376", "488")}
    assert len(places) == 5
    first = [(float(words) - 69) / (places[words] - places["69"]) for words in places if words != "69"]
    assert max(first) == pytest.approx(min(first), rel=1e-6)


def test_jig_pictures_want_something_to_set():
    """Nothing shared and nothing drilled short of through: no picture; a part set back alone has its spacer."""
    assert jig_pictures(None, None) == ()
    alone = jig_pictures(None, Jig((40.0, 400.0), 8.0, (), ((29.0, 5),)))
    assert [item.string for item in alone if isinstance(item, Text) and "spacer" in item.string]


def test_dovetails_are_set_out_in_figures():
    """Tails of a side lie where the sockets of its front and back are, those of the back as far up as it stands over the bottom."""
    data = json.loads(example_text("starter desk_pedestal"))
    for front in data["fronts"]:
        front["drawer"]["corners"] = {"style": "lapped_dovetails"}
    job = build_job(Job("desk", (JobItem(loads(json.dumps(data))),)))
    notes = {}
    for subject in part_subjects(job):
        for note in subject.notes:
            if "dovetails" in note:
                figures = [tuple(map(float, pair)) for pair in re.findall(r"([\d.]+) to ([\d.]+)", note)]
                notes.setdefault(subject.part.key, {})[note.partition(",")[0]] = figures
    for box in ("drawer-files/box", "drawer-middle/box", "drawer-pens/box"):
        sides = [notes[key] for key in (f"{box}/side.left", f"{box}/side.right") if key in notes]
        for side in sides:
            lapped = next(figures for words, figures in side.items() if "lapped" in words)
            through = next(figures for words, figures in side.items() if "through" in words)
            assert notes[f"{box}/front"]["Sockets of lapped dovetails 1 in 7 at both ends"] == lapped
            sockets = notes[f"{box}/back"]["Sockets of through dovetails 1 in 7 at both ends"]
            pairs = zip(through, sockets, strict=True)
            up = {round(a - b, 1) for tail, socket in pairs for a, b in zip(tail, socket, strict=True)}
            assert len(up) == 1 and up.pop() > 0
    assert notes


@pytest.mark.parametrize("outline", ["hollow", "ogee"])
def test_a_curved_bracket_foot_has_its_toe_and_tip_on_its_sheet(outline):
    """Where the curve leaves the lower edge and the end of the bracket is among the dimensions of its sheet, at the pad and the thin end."""
    data = json.loads(example_text("starter media_cabinet"))
    data["support"] = {"style": "bracket_base", "outline": outline, "height": 120, "foot": 180, "pad": 70, "end": 45}
    job = build_job(Job("media", (JobItem(loads(json.dumps(data))),)))
    brackets = [each for each in part_subjects(job) if each.part.role == "bracket"]
    assert brackets
    for each in brackets:
        figure = _Figure(each.part, each.seen, each.rows, each.pockets, 1.0, False)
        name = "back" if figure.shown() == ["back"] and not figure.on("face") else "face"
        along, across = figure.stations(each.rows, name)
        long = each.part.size[0]
        toes = (
            {70.0, long - 70.0} if long == 180 else {long - 110.0, 110.0}
        )  # the rear ones stand behind those of the sides
        assert toes & set(along) and 45.0 in across, (each.title, along, across)
