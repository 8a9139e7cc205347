"""The general arrangement against the demo piece worked out by hand, and against a tape laid on the paper."""

import dataclasses
import json
from itertools import pairwise

import pytest
from examples import DEMO
from packs import MM, built, pages, texts
from pieces import data
from test_drawers import cupboard

from core import build
from core.built import build_job
from core.catalogue import entries
from core.drawing.page import Text
from core.pages import page_kinds
from core.pages._main_sizes import (
    contents_heights,
    depth_chain,
    feet,
    front_sizes,
    gaps,
    height_chains,
    merged,
    opening_heights,
    opening_widths,
    side_frame_chain,
    width_chains,
    widths_at,
)
from core.pages._views import boxes_of, opened, without
from core.pages.arrangement import ENTRY, _rows
from core.piece import loads
from core.piece.job import Job, JobItem

MODEL = built(DEMO).pieces[0].model


def sheet_words(number: int) -> list[str]:
    """All lettering on one of the demo's sheets."""
    return [item.string for item in ENTRY.sheets(built(DEMO))[number].items if isinstance(item, Text)]


def test_main_sizes_of_the_demo():
    """Overall, carcass, doors, drawer and legs are given, as worked out by hand (references/demo.py)."""
    words = sheet_words(0)
    for size in ("1150", "1900", "518", "1443", "215", "3", "150", "1098", "26", "534"):
        assert size in words, size
    assert {"560", "534", "45", "444", "150", "80", "92"} <= set(sheet_words(1))
    assert {"513", "18", "220", "1448", "27", "33", "1378", "70", "499"} <= set(sheet_words(2))


def test_chains_close():
    """Each chain runs without a break from the first place to the last, and its steps add up to the overall size."""
    assert height_chains(MODEL)[0] == (0.0, 150.0, 170.5, 385.5, 408.5, 1851.5, 1872.0, 1900.0)
    assert width_chains(MODEL)[0] == (-549.0, -519.5, -1.5, 1.5, 519.5, 549.0)
    assert opening_widths(MODEL) == [(-549.0, -522.0, -9.0, 9.0, 522.0, 549.0)]
    assert widths_at(MODEL, 292.0) == (
        -549.0,
        -522.0,
        -509.0,
        509.0,
        522.0,
        549.0,
    )  # no upright there: the drawer's box
    assert widths_at(MODEL, 1200.0) == (-549.0, -522.0, -9.0, 9.0, 522.0, 549.0)
    assert opening_heights(MODEL)[0] == (0.0, 150.0, 168.0, 388.0, 406.0, 1854.0, 1872.0, 1900.0)
    assert side_frame_chain(MODEL) == (0.0, 150.0, 230.0, 960.0, 1040.0, 1780.0, 1872.0)
    assert feet(MODEL, 0) == pytest.approx((-549, -516, 516, 549)) and feet(MODEL, 1) == pytest.approx(
        (-534, -489, -45, 0)
    )
    assert depth_chain(MODEL) == (-534.0, -525.0, -507.0, -505.0, -6.0, 0.0)
    assert (406.0, 1784.0, 1854.0) in contents_heights(MODEL)


def test_chains_of_the_front_view_are_those_of_what_is_seen():
    """Drawers behind a shut door are on no chain of the front view: the door 600 − 36 − 2 × 2.5 wide is."""
    model = build(loads(json.dumps(data(**cupboard()))))
    assert len(front_sizes(model)) == 3 and len(height_chains(model)) == len(width_chains(model)) == 1
    steps = [round(b - a, 6) for a, b in pairwise(width_chains(model)[0])]
    assert steps == [20.5, 559.0, 20.5]
    door = next(each for each in front_sizes(model) if each.name == "door")
    assert {door.bottom, door.top} < set(height_chains(model)[0]) and len(height_chains(model)[0]) == 5


def test_no_size_twice_in_a_view():
    """A size that two chains would give is given once: a bookcase's carcass is as wide as the whole."""
    assert len(_rows([(-500.0, 500.0), (-500.0, 500.0), (-500.0, 0.0, 500.0)], 0.1)) == 2
    sizes = [item.string for item in ENTRY.sheets(built("starter bookcase"))[0].items if isinstance(item, Text)]
    assert sizes.count("1000") == 2 and sizes.count("320") == 2  # once in each of the two views that show it


def test_gaps():
    """Gaps are 2.5 round the fronts and 3 where the doors meet."""
    found = {each.front.name: each for each in gaps(MODEL)}
    assert {name: (g.left, g.right, g.top, g.bottom, g.meeting) for name, g in found.items()} == {
        "left door": (2.5, None, 2.5, 2.5, 3.0),
        "right door": (None, 2.5, 2.5, 2.5, 3.0),
        "drawer": (2.5, 2.5, 2.5, 2.5, None),
    }
    assert [(each.width, each.height) for each in front_sizes(MODEL)] == [(518, 1443), (518, 1443), (1039, 215)]
    words = sheet_words(0)
    assert "1044 × 1448" in words and "Meeting" in words


def test_views_are_named_in_words():
    """Each view has its name under it, and the title block names all of them, whatever the projection."""
    first, side, inside, *_ = (words for words in texts() if "Sheet General arrangement" in words)
    words = " ".join((first, side, inside))
    for name in ("Front", "Plan, seen from above", "Side, seen from the right", "Front, doors and drawers left off"):
        assert name in words
    assert "Views: front; plan, seen from above." in first


def test_the_scale_is_true():
    """At 1:10 the cornice is 115.0 mm long on paper and the carcass side 172.2 mm: measured in the document."""
    number = next(n for n, words in enumerate(texts()) if "Sheet General arrangement" in words)
    page = pages()[number]
    assert "1:10" in texts()[number]
    wide = [line for line in page.lines if abs(line["linewidth"] * MM - 0.35) < 0.01]
    across = [(line["x1"] - line["x0"]) * MM for line in wide if abs(line["y1"] - line["y0"]) < 0.01]
    assert min(abs(length - 115.0) for length in across) < 0.02
    up = [(line["y1"] - line["y0"]) * MM for line in wide if abs(line["x1"] - line["x0"]) < 0.01]
    assert min(abs(length - 144.3) for length in up) < 0.02


def test_small_pieces_take_one_sheet_and_stay_in_projection():
    """Where all three views fit at the larger scale they share a sheet, the side where first angle puts it."""
    sheets = ENTRY.sheets(built("starter sideboard"))
    assert len(sheets) == 4 and "side, seen from the right" in sheets[0].title.views
    names = {item.string: item for item in sheets[0].items if isinstance(item, Text) and item.height == 3.5}
    assert names["Side, seen from the right"].x < names["Front"].x
    assert names["Plan, seen from above"].y < names["Front"].y


def test_third_angle_turns_the_places_round():
    """In third angle the view from the right stands at the right, and the plan above."""
    job = built("starter sideboard")
    piece = job.pieces[0].piece
    piece = dataclasses.replace(piece, shop=dataclasses.replace(piece.shop, locale="en_AU"))
    job = dataclasses.replace(job, pieces=(dataclasses.replace(job.pieces[0], piece=piece),))
    names = {item.string: item for item in ENTRY.sheets(job)[0].items if isinstance(item, Text) and item.height == 3.5}
    assert names["Side, seen from the right"].x > names["Front"].x
    assert names["Plan, seen from above"].y > names["Front"].y


def test_opened_doors_swing_outward_and_drawers_come_out():
    """Wide open, a door stands in front of the carcass at its own side; the drawer has come out by its travel."""
    boxes, home = boxes_of(opened(MODEL, 1.0)), boxes_of(MODEL)
    low, high = boxes["doors/leaf.left/panel"]
    assert low[1] < -1000 and high[0] < -490
    assert home["drawer/box/back"][0][1] - boxes["drawer/box/back"][0][1] == pytest.approx(450)
    assert boxes_of(opened(MODEL, 0.0))["doors/leaf.left/panel"][0] == pytest.approx(home["doors/leaf.left/panel"][0])


def test_left_off_is_left_off():
    """A view without the fronts has none of what hangs on them."""
    keys = {key for motion in MODEL.motions for key in motion.moves}
    assert not keys & set(boxes_of(without(MODEL, keys)))


def test_places_that_coincide_are_one():
    """Places within half a millimetre are given once."""
    assert merged([5, 5.3, 9, 0]) == (0, 5, 9)


@pytest.mark.parametrize("style", sorted(entries("build.insides")))
def test_whatever_a_compartment_holds_is_drawn(style):
    """Every kind of contents, alone in a compartment behind a door, is on every page of the pack; a hook rail's height is told."""
    holds = {"style": style, **({"board": "mirror-4", "centre": 1200} if style == "mirror" else {})}
    made = data(
        whole={"width": 800, "height": 1900, "depth": 600},
        layout=[{"id": "all", "holds": [holds]}],
        fronts=[{"id": "d", "kind": "door", "closes": ["all"]}],
    )
    job = build_job(Job("x", (JobItem(loads(json.dumps(made))),)))
    assert all(kind.sheets(job) is not None for kind in page_kinds())
    if style == "hooks":
        (rail,) = [part for part in job.pieces[0].model.parts if part.name == "hook rail"]
        low, high = boxes_of(job.pieces[0].model)[rail.key]
        assert {low[2], high[2]} <= {height for chain in contents_heights(job.pieces[0].model) for height in chain}
