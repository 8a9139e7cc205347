"""Exploded sheets: every part numbered and seen, leaders that end on their parts, flow lines that lead home."""

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from examples import DEMO, chest_with_boards
from packs import MM, balloons, built, exploded_pages, texts

from core.build.runners.wooden import Wooden
from core.built import build_job
from core.drawing.balloons import drawing_room
from core.drawing.page import Circle, Rect
from core.drawing.page import Lines as PageLines
from core.drawing.scales import SCALES
from core.meshes import model_meshes
from core.pages._assemblies import Assemblies, mirrored_key
from core.pages._assembly_lists import fastener_words, runs
from core.pages._explosion import VIEWS, Subject, _Spread, best_apart
from core.pages._flow import flow_paths
from core.pages.exploded import ENTRY, _ExplodedSheet, _places
from core.piece.job import Job, JobItem

PIECES = (DEMO, "starter sideboard", "starter chest_of_drawers")
ENOUGH = 0.3  # share of a part's outline that must be seen on some sheet
SAMPLES = 24  # places tried on each outline


@cache
def shown(name: str) -> list:
    """(sheet in the making, the subject taken apart) for every exploded sheet of a piece."""
    job = built(name)
    assemblies = Assemblies(job.pieces[0].model, job.marks_of(0))
    subjects = [(assemblies.overview(), True), *((assemblies.subject(each), False) for each in assemblies.shown)]
    found = []
    for subject, every_part in subjects:
        sheet = _ExplodedSheet(job, job.pieces[0], assemblies, subject, "x", "x", 0, every_part)
        rooms = [
            drawing_room(place.drawing, sheet.numbers)
            for place in _places(sheet.blank(str(SCALES[-1]), next(iter(VIEWS))))
        ]
        found.append((sheet, best_apart(subject, rooms)[0]))
    return found


def test_every_mark_is_numbered_on_an_exploded_sheet():
    """Read back from the document: each mark stands in a circle, or in the column of mirror images."""
    job = built(DEMO)
    circled = {int(number) for page in exploded_pages() for number in balloons(page)}
    assemblies = Assemblies(job.pieces[0].model, job.marks_of(0))
    mirrored = {
        job.marks_of(0)[mirrored_key(part.key)]
        for assembly in assemblies.shown
        if any(twin.mirrored for twin in assemblies.twins(assembly))
        for part in assemblies.subject(assembly).loose_parts
    }
    marks = set(job.marks.values())
    assert circled <= marks and circled | mirrored == marks
    assert len(circled) >= len(marks) - 1


def test_a_carcass_full_of_runners_is_not_drawn_tiny():
    """No smaller than 1:20; one of equal or mirrored parts is seen, the others may stand behind."""
    piece = chest_with_boards()
    runs_on = Wooden(centre_guide=True)
    fronts = tuple(replace(each, drawer=replace(each.drawer, runs_on=runs_on, runner="")) for each in piece.fronts)
    job = build_job(Job("runners", (JobItem(replace(piece, fronts=fronts)),)))
    assemblies = Assemblies(job.pieces[0].model, job.marks_of(0))
    subject = assemblies.subject(assemblies.by_key["carcass"])
    apart, _ = best_apart(subject, [Rect(0, 0, 200, 180)])
    assert apart.scale.ratio >= 1 / 20
    best = {}
    for part in subject.loose_parts:
        same = (part.name.split(",")[0], part.size)
        best[same] = max(apart.shares[part.key], best.get(same, 0.0))
    assert min(best.values()) >= 0.2


def test_each_sheet_circles_a_number_once():
    """On one sheet a number stands in one circle only, in one plain style."""
    for page in exploded_pages():
        found = balloons(page)
        assert found and all(len(circles) == 1 for circles in found.values())
        assert len({round(circles[0][2], 2) for circles in found.values()}) == 1


@pytest.mark.parametrize("name", PIECES)
def test_every_number_is_on_some_sheet(name):
    """Every mark of a piece has its circle on a sheet of its own assembly, or is the mirror image of one that has."""
    job = built(name)
    numbered = {number for sheet, apart in shown(name) if not sheet.every_part for number in sheet.shown(apart)}
    marks = job.marks_of(0)
    on_top = {marks[part.key] for sheet, _ in shown(name)[:1] for part in sheet.subject.loose_parts}
    mirrors = {marks[key] for key in marks if marks.get(mirrored_key(key)) in numbered}
    assert set(marks.values()) <= numbered | mirrors | on_top


@pytest.mark.parametrize("name", PIECES)
def test_leaders_end_on_what_they_number(name):
    """A straight look at the end of each leader meets a part of that mark first: judged by cutting every triangle."""
    for sheet, apart in shown(name):
        places = sheet.shown(apart)
        first = _first_met(apart, np.array(list(places.values())))
        keys = apart.subject.keys
        for number, solid in zip(places, first, strict=True):
            assert solid >= 0 and sheet.assemblies.marks.get(keys[solid]) == number, (sheet.subject.below, number)


@pytest.mark.parametrize("name", PIECES)
def test_every_part_is_seen(name):
    """Of each part, or its mirror image or equal, at least 30 % of the outline is in view on one of the sheets."""
    best: dict[str, float] = {}
    assemblies = None
    for sheet, apart in shown(name):
        assemblies = sheet.assemblies
        for key, share in _seen_shares(apart).items():
            best[key] = max(best.get(key, 0.0), share)
    for key, mark in assemblies.marks.items():
        alike = {key, mirrored_key(key)} | {other for other, its in assemblies.marks.items() if its == mark}
        assert max(best.get(each, 0.0) for each in alike) >= ENOUGH, key


@pytest.mark.parametrize("name", PIECES)
def test_flow_lines_join_what_belongs_together(name):
    """Each flow line runs between two parts along the axes of the piece, and closes up when the parts go home."""
    for _, apart in shown(name):
        subject = apart.subject
        paths = flow_paths(subject.model, subject.member_of, apart.move_of, subject.boxes)
        assert paths
        for path in paths:
            for a, b in pairwise(path):
                assert (np.abs(b - a) > 1e-6).sum() <= 1
            gone = path[-1] - path[0]
            shifts = {tuple((second - first).round(3)) for first, second in _moves_of_joints(apart)}
            assert tuple(gone.round(3)) in shifts or tuple((-gone).round(3)) in shifts


def _moves_of_joints(apart):
    for joint in apart.subject.model.joints:
        if joint.first in apart.move_of and joint.second in apart.move_of:
            yield apart.move_of[joint.first], apart.move_of[joint.second]


def test_members_of_an_assembly_that_stays_together_move_as_one():
    """On the overview doors, drawer, cornice and carcass keep their shape; on the carcass sheet its sides do."""
    for _, apart in shown(DEMO):
        for whole in apart.subject.wholes:
            moves = [apart.move_of[key] for key, member in apart.subject.member_of.items() if member == whole]
            assert len(moves) > 1 and np.ptp(moves, axis=0).max() < 1e-9


def test_every_loose_part_has_left_its_place_or_stays_as_the_one():
    """Apart means apart: no two loose members of a sheet still touch where a joint held them."""
    for _, apart in shown(DEMO)[1:]:
        member_of = apart.subject.member_of
        parts = {part.key for part in apart.subject.model.parts}
        for joint in apart.subject.model.joints:
            ends = joint.first, joint.second
            if set(ends) <= parts and member_of[ends[0]] != member_of[ends[1]] and joint.kind != "loose":
                assert np.abs(apart.move_of[ends[0]] - apart.move_of[ends[1]]).max() > 20, ends


def test_mirror_images_share_a_sheet():
    """The demo has one sheet for both doors and one for both sides, and says so; nothing else shares one."""
    job = built(DEMO)
    assemblies = Assemblies(job.pieces[0].model, job.marks_of(0))
    twins = {
        each.key: [(twin.assembly.key, twin.mirrored) for twin in assemblies.twins(each)] for each in assemblies.shown
    }
    assert twins["doors/leaf.left"] == [("doors/leaf.right", True)] and twins["side.left"] == [("side.right", True)]
    assert twins["drawer"] == twins["cornice"] == twins["carcass"] == []
    words = " ".join(texts(file="exploded.pdf"))
    assert "mirror image: right door" in words and "mirror image: side, right" in words


def test_words_beside_the_drawings():
    """The drawer's sheet lists its fastenings in words, counted from the model."""
    words = next(page for page in texts(file="exploded.pdf") if "Exploded: drawer" in page)
    assert "12 dowels 6 × 30" in words and "Drawer bottom" in words and "999 × 440 × 9" in words
    assert runs([1, 2, 3, 7, 9, 10]) == "1 to 3, 7, 9, 10"
    fasteners = built(DEMO).pieces[0].model.fasteners
    assert "44 dowels 8 × 40" in list(fastener_words(fasteners))


def test_no_exploded_sheet_holds_words_alone():
    """What the lists of the chest's overview leave no room for stands over its drawing, not on a sheet by itself."""
    found = ENTRY.sheets(built("starter chest_of_drawers"))
    assert [sheet.title.sheet for sheet in found].count("Exploded: the whole") == 1
    assert all(any(isinstance(item, PageLines) for item in sheet.items) for sheet in found)


def test_drawers_of_one_name_are_told_apart():
    """Four drawers give four sheets with four names."""
    sheets = ENTRY.sheets(built("starter chest_of_drawers"))
    titles = [sheet.title.sheet for sheet in sheets if "drawer" in sheet.title.sheet]
    assert len(titles) == len(set(titles)) == 4


def test_lines_are_of_two_widths_and_flow_lines_are_chain_lines():
    """Outlines are at least twice as wide as what lies within them (ISO 128-2); flow lines are thin chain lines."""
    for sheet in ENTRY.sheets(built(DEMO)):
        drawn = [item for item in sheet.items if isinstance(item, PageLines) and len(item.segments) > 5]
        solid = sorted({item.width for item in drawn if not item.dash and item.width not in (0.25, 0.5)})
        assert len(solid) == 2 and solid[1] >= 1.9 * solid[0]
        assert any(item.dash and item.width == solid[0] for item in sheet.items if isinstance(item, PageLines))
        assert any(isinstance(item, Circle) and item.fill == 0.0 for item in sheet.items)


# ---------------------------------------------------------------------------------------------- a judge of its own
def _triangles(apart) -> tuple[np.ndarray, np.ndarray]:
    """All triangles as the viewer sees them, (t, 3, 3): right, up, toward; and the solid of each."""
    axes, corners, solids = apart.view.axes, [], []
    for number, (mesh, move) in enumerate(zip(model_meshes(apart.subject.model).values(), apart.moves, strict=True)):
        points = (mesh.vertices + move) @ axes.T
        corners.append(points[mesh.triangles()])
        solids.append(np.full(len(corners[-1]), number))
    return np.concatenate(corners), np.concatenate(solids)


def _turn(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Twice the area between two directions on the sheet, (n,)."""
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]


_known: dict[int, tuple] = {}


def _scene(apart) -> tuple[np.ndarray, np.ndarray]:
    if id(apart) not in _known:
        triangles, solids = _triangles(apart)
        turn = _turn(triangles[:, 1, :2] - triangles[:, 0, :2], triangles[:, 2, :2] - triangles[:, 0, :2])
        front = turn > 1e-6
        _known[id(apart)] = triangles[front], solids[front], apart
    return _known[id(apart)][:2]


def _met(apart, places: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Every triangle met by a look at each place: (place, solid, how near)."""
    triangles, solids = _scene(apart)
    low, high = triangles[:, :, :2].min(axis=1), triangles[:, :, :2].max(axis=1)
    found = []
    for number, place in enumerate(places):
        near = np.flatnonzero((low <= place).all(axis=1) & (high >= place).all(axis=1))
        a, b, c = (triangles[near, i] for i in range(3))
        whole = _turn(b[:, :2] - a[:, :2], c[:, :2] - a[:, :2])
        u = _turn(b[:, :2] - place, c[:, :2] - place) / whole
        v = _turn(c[:, :2] - place, a[:, :2] - place) / whole
        w = 1 - u - v
        inside = (u >= 0) & (v >= 0) & (w >= 0)
        depth = u * a[:, 2] + v * b[:, 2] + w * c[:, 2]
        found.append((np.full(inside.sum(), number), solids[near[inside]], depth[inside]))
    return tuple(np.concatenate(each) for each in zip(*found, strict=True))


def _first_met(apart, places: np.ndarray) -> np.ndarray:
    place, solid, depth = _met(apart, places)
    first = np.full(len(places), -1)
    for number in range(len(places)):
        mine = place == number
        if mine.any():
            first[number] = solid[mine][depth[mine].argmax()]
    return first


def _seen_shares(apart) -> dict[str, float]:
    """Of every part the share of places on its outline that no other solid hides."""
    subject, axes = apart.subject, apart.view.axes
    meshes = model_meshes(subject.model)
    places, owner, depth = [], [], []
    for number, key in enumerate(subject.keys):
        if number >= len(subject.model.parts):
            break
        mesh = meshes[key]
        facing = mesh.normals @ axes[2] > 1e-6
        outline = mesh.edges[facing[mesh.edge_faces[:, 0]] != facing[mesh.edge_faces[:, 1]]]
        points = (mesh.vertices + apart.moves[number]) @ axes.T
        a, b = points[outline[:, 0]], points[outline[:, 1]]
        length = np.hypot(*(b - a)[:, :2].T)
        ends = np.cumsum(length)
        at = (np.arange(SAMPLES) + 0.5) / SAMPLES * ends[-1]
        edge = np.searchsorted(ends, at)
        share = (at - ends[edge] + length[edge]) / length[edge]
        sample = a[edge] + share[:, None] * (b - a)[edge]
        places.append(sample[:, :2])
        depth.append(sample[:, 2])
        owner.append(np.full(SAMPLES, number))
    places, depth, owner = (np.concatenate(each) for each in (places, depth, owner))
    place, solid, near = _met(apart, places)
    hidden = np.zeros(len(places), bool)
    hidden[place[(near > depth[place] + 0.5) & (solid != owner[place])]] = True
    seen = np.bincount(owner, ~hidden) / SAMPLES
    return {key: float(seen[number]) for number, key in enumerate(subject.keys) if number < len(seen)}


def test_the_scale_is_true():
    """On the door's sheet, drawn at 1:10, the upright edges of its panel are 1443 × cos 35.26° / 10 mm long."""
    number = next(n for n, words in enumerate(texts(file="exploded.pdf")) if "Exploded: left door" in words)
    assert re.search(r"\b1:10\b", texts(file="exploded.pdf")[number])
    upright = [line for line in exploded_pages()[number].lines if abs(line["x1"] - line["x0"]) < 0.01]
    lengths = [(line["y1"] - line["y0"]) * MM for line in upright if abs(line["linewidth"] * MM - 0.35) < 0.01]
    wanted = 1443 * np.sqrt(2 / 3) / 10
    assert min(abs(length - wanted) for length in lengths) < 0.02


def test_a_subject_of_nothing_loose():
    """A subject knows its loose parts and what moves as a whole."""
    job = built(DEMO)
    model = job.pieces[0].model
    subject = Subject.of(model, "carcass", ["side.left", "side.right"])
    assert {part.name for part in subject.loose_parts} >= {"top", "bottom", "upright", "back"}
    assert all(not part.key.startswith("side.") for part in subject.loose_parts)
    assert "carcass/side.left" not in {part.key for part in subject.loose_parts}


def test_a_picture_fits_where_parts_do_not_move_in_proportion():
    """A chest of drawers: for every scale that is offered, the parts moved by its gap stay within the room."""
    job, view = built("starter chest_of_drawers"), next(iter(VIEWS.values()))
    assemblies = Assemblies(job.pieces[0].model, job.marks_of(0))
    subject = assemblies.subject(next(each for each in assemblies.model.assemblies if each.key == "carcass"))
    offered = list(_Spread.of(subject, view).fitting(Rect(0.0, 0.0, 300.0, 200.0)))
    assert offered
    for scale, gap in offered:
        moves = subject.moves(gap)
        moved = np.vstack(
            [view.project(mesh.vertices + move) for mesh, move in zip(subject.meshes.values(), moves, strict=True)]
        )
        assert (np.ptp(moved, axis=0) * scale.ratio <= (300 + 1e-6, 200 + 1e-6)).all()
