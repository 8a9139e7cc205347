"""Screws, dowels, plugs and pins against published figures and the rules they are chosen by."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.build import build
from core.errors import ParameterError
from core.fastenings import (
    biscuit_for,
    bolt_for,
    dowel_for,
    longest_screw,
    pilot_for,
    pilot_range,
    pin,
    pin_length,
    plug_for,
    screw,
)
from core.materials import LIBRARY, material, materials
from core.model import Hole
from core.piece import loads
from core.starters import starter_kinds, starter_text

REFERENCES = json.loads((Path(__file__).parent / "references" / "hardware.json").read_text(encoding="utf-8"))
DATA = json.loads((LIBRARY / "screws.json").read_text(encoding="utf-8"))
SIZES = [f"{row['diameter']} × {length:g}" for row in DATA["screws"]["rows"] for length in row["lengths"]]
WOOD_SCREWS = [size for size in SIZES if not size.startswith("M")]
WOODS = [each for each in materials() if each.kind in ("sheet", "solid")]


@pytest.mark.parametrize("size", SIZES)
def test_a_screw_is_thinner_at_its_core_and_wider_at_its_head(size):
    """core < diameter < clearance < head, and the pilot is thinner than the core."""
    each = screw(size)
    assert each.name == size
    assert each.pilot < each.core < each.diameter < each.clearance < each.head
    assert 0 < each.head_height < each.length


@pytest.mark.parametrize("diameter", [name for name in REFERENCES["countersunk heads"] if name != "source"])
def test_heads_are_those_of_the_standard(diameter):
    """Countersunk heads follow DIN 97."""
    size = next(size for size in WOOD_SCREWS if size.startswith(f"{diameter} "))
    assert [screw(size).head, screw(size).head_height] == REFERENCES["countersunk heads"][diameter]


@pytest.mark.parametrize("size", [size for size in WOOD_SCREWS if " 40" in size or "3.5 × 16" in size])
def test_cores_follow_the_gauge_table(size):
    """The core is the root diameter of the inch gauges, between them in a straight line, to 0.05 mm."""
    shank, root = np.array(REFERENCES["root diameters in inches by gauge and shank"]["rows"]).T * 25.4
    assert screw(size).core == pytest.approx(np.interp(screw(size).diameter, shank, root), abs=0.03)


@pytest.mark.parametrize("size", WOOD_SCREWS)
def test_pilots_in_mdf_are_eighty_five_to_ninety_five_per_cent_of_the_core(size):
    """The bit lies in the published range, to a tenth of a mm."""
    least, most = (share * screw(size).core for share in REFERENCES["MDF pilot share of core"]["range"])
    assert least - 1e-9 <= pilot_for(screw(size), material("mdf")) <= most + 1e-9
    assert screw(size).pilot == pilot_for(screw(size), material("mdf"))


@pytest.mark.parametrize("gauge, size", [("6", "3.5 × 16"), ("8", "4 × 50")])
def test_pilots_agree_with_a_second_guide(gauge, size):
    """Gauge 6 takes 3/32 in and gauge 8 takes 7/64 in in MDF; ours are within a quarter of a mm."""
    assert screw(size).pilot == pytest.approx(REFERENCES["MDF pilots in inches by gauge"][gauge] * 25.4, abs=0.25)


@pytest.mark.parametrize("wood", WOODS, ids=lambda each: each.id)
@pytest.mark.parametrize("plugged", [False, True])
def test_every_pilot_lies_in_its_range(wood, plugged):
    """In every wood and in plugs the bit is within 0.05 mm of the share of the core that is listed."""
    least, most = pilot_range(wood, plugged)
    for size in WOOD_SCREWS:
        each = screw(size)
        assert least * each.core - 0.05 <= pilot_for(each, wood, plugged) <= most * each.core + 0.05, size


def test_softwood_is_drilled_thinner_than_hardwood():
    """The same screw wants a wider hole in oak than in pine."""
    assert pilot_for(screw("4 × 40"), material("softwood")) < pilot_for(screw("4 × 40"), material("oak"))


DOWELS = {12: (6, 30, 8, 24), 15: (6, 30, 10, 22), 16: (6, 30, 10, 22), 18: (8, 40, 12, 30), 19: (8, 40, 12, 30)}
DOWELS |= {22: (10, 50, 16, 36), 25: (10, 50, 16, 36)}


@pytest.mark.parametrize("thickness, sizes", DOWELS.items())
def test_a_dowel_suits_its_board(thickness, sizes):
    """12: 6 × 30; 15 and 16: 6 × 30; 18 and 19: 8 × 40; 22 to 25: 10 × 50, with the depths in face and edge."""
    each = dowel_for(thickness)
    assert (each.diameter, each.length, each.face_depth, each.edge_depth) == sizes


@given(st.floats(12, 29.9))
def test_a_dowel_never_comes_through(thickness):
    """The hole in the face leaves 3 mm of board or more; the two holes hold the dowel and 2 mm of glue at most."""
    each = dowel_for(thickness)
    assert each.face_depth <= thickness - 3
    assert each.length <= each.face_depth + each.edge_depth <= each.length + 2
    assert thickness / 3 - 1 <= each.diameter <= thickness / 2


@pytest.mark.parametrize("thickness", [3, 11.9, 30, 60])
def test_a_board_without_a_dowel_is_refused(thickness):
    """The message names the thickness and what there is."""
    with pytest.raises(ParameterError, match=f"{thickness:g} mm thick; from 12 to below 30 mm"):
        dowel_for(thickness)


@pytest.mark.parametrize(
    "thickness, name, depth", [(18, "20", 12.5), (16, "20", 12.5), (12, "10", 10.5), (9, "0", 8.5)]
)
def test_a_biscuit_suits_its_board(thickness, name, depth):
    """16 and more: no. 20; 12 to 15: no. 10; below: no. 0; slot half the width and 1."""
    assert (biscuit_for(thickness).name, biscuit_for(thickness).slot_depth) == (name, depth)


@pytest.mark.parametrize("size, diameter", [("3 × 16", 8), ("3.5 × 16", 8), ("4 × 16", 10)])
def test_a_plug_is_wide_enough_for_its_screw(size, diameter):
    """8 for screws to 3.5, 10 for 4: at least 2.25 times the screw, so that the thread cuts in the plug alone."""
    assert plug_for(size) == diameter
    assert diameter >= 2.25 * screw(size).diameter


def test_a_pin_for_the_demo_strips_is_twenty_long():
    """A strip of 9 on a panel of 18 takes a pin between 15 and 25: 20."""
    assert pin_length(9, 18) == 20
    assert pin(20).name == "1.2 × 20"


@given(st.floats(4, 15), st.floats(13, 30))
def test_a_pin_holds_and_stays_inside(strip, panel):
    """A pin goes 6 mm or more into the panel and stops 2 mm or more before its far face."""
    length = pin_length(strip, panel)
    assert strip + 6 <= length <= strip + panel - 2
    assert pin(length).length == length


def test_a_panel_too_thin_for_pins_is_refused():
    """On 6 mm no pin holds: the message names both thicknesses."""
    with pytest.raises(ParameterError, match="a strip 9 on a panel 6 mm thick"):
        pin_length(9, 6)


@given(st.sampled_from([3.0, 3.5, 4.0, 4.5, 5.0]), st.floats(0, 20), st.floats(12, 60))
def test_the_longest_screw_stays_inside(diameter, through, thickness):
    """It ends 3 mm or more before the far face, and the next longer one would not."""
    if through + thickness < 24:
        return
    each = longest_screw(diameter, thickness, through)
    assert each.length <= through + thickness - 3 + 1e-6
    longer = [length for size in WOOD_SCREWS for length in [screw(size).length] if screw(size).diameter == diameter]
    assert not [length for length in longer if each.length < length <= through + thickness - 3 - 1e-6]


def test_screws_of_hinges_and_runners_stay_inside():
    """Through a leaf of 2.5 into 18: 3.5 × 16; through a runner into a drawer side of 15: 3.5 × 13."""
    assert longest_screw(3.5, 18, 2.5).name == "3.5 × 16"
    assert longest_screw(3.5, 15, 1.2).name == "3.5 × 13"
    with pytest.raises(ParameterError, match="at most 6 mm long, to stay 3 mm inside"):
        longest_screw(4, 9)


@given(st.floats(12, 53))
def test_a_bolt_reaches_into_its_handle(thickness):
    """7 mm or more of thread, and no more than 12, or the bolt bottoms."""
    assert 7 <= bolt_for(thickness).length - thickness <= 12


@pytest.mark.parametrize("thickness, name", [(18, "M4 × 25"), (27, "M4 × 35"), (33, "M4 × 40")])
def test_bolts_of_the_demo(thickness, name):
    """A plain door of 18, the framed door of 27, the drawer front on its box of 33."""
    assert bolt_for(thickness).name == name


@pytest.mark.parametrize("words", ["", "4", "M4", "4 × ", "× 40", "4 * 40", "4 × 40 mm", "four × 40"])
def test_what_is_not_a_size_is_refused(words):
    """The message shows what a size looks like."""
    with pytest.raises(ParameterError, match="is not the size of a screw"):
        screw(words)


@pytest.mark.parametrize(
    "words, told",
    [("9 × 40", "diameters are 3, 3.5, 4"), ("4 × 17", "bought 13, 16, 20"), ("M4 × 17", "M4 is bought 16")],
)
def test_a_screw_that_cannot_be_bought_is_refused(words, told):
    """The message lists what can."""
    with pytest.raises(ParameterError, match=told):
        screw(words)


@pytest.mark.parametrize("group", ["screws", "pilots", "dowels", "biscuits", "plugs", "pins"])
def test_every_group_says_where_its_figures_come_from(group):
    """No figure without its source."""
    assert len(DATA[group]["source"]) > 20


@pytest.mark.parametrize("kind", starter_kinds())
def test_every_pilot_suits_the_wood_it_is_bored_in(kind):
    """Rule: whatever a screw holds, a hinge, a runner or a board, its pilot is a share of its core by the wood that it goes into."""
    pilots = [
        (part, hole)
        for part in build(loads(starter_text(kind))).parts
        for hole in part.shape.features
        if isinstance(hole, Hole) and hole.purpose.startswith("pilot for screw ")
    ]
    assert pilots
    for part, hole in pilots:
        size = screw(hole.purpose.removeprefix("pilot for screw "))
        assert hole.diameter == pilot_for(size, part.board.material), (part.key, hole)
