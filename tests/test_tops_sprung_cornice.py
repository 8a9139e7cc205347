"""The sprung cornice: compound mitres that meet, a backing that fits, volumes by hand."""

import math

import numpy as np
import pytest
from pieces import any_carcass, box, built, keeps_every_rule, refused

from core.mechanics import compound_mitre
from core.model import Cut
from core.solids import volume

STYLE = {"style": "sprung_cornice"}


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"face": "flat", "spring": 45},
        {"face": "ogee", "spring": 40, "height": 42},
        {"set_in": 0, "seat": 45, "spring": 30},
    ],
    ids=str,
)
@any_carcass
def test_it_can_be_built(sections, change):
    """Every face and spring gives closed mouldings, mitres that meet, a backing that touches, screws that hold."""
    keeps_every_rule(**sections, top={**STYLE, **change})


@pytest.mark.parametrize("spring", (30, 38, 45, 52))
def test_the_saw_is_set_to_the_published_compound_angles(spring):
    """Mitre and bevel of every moulding's end, read off the model, are those of the table for a corner of 90°."""
    made = built(top={**STYLE, "spring": spring, "face": "flat"})
    cuts = [
        cut
        for part in made.model.parts
        if part.role == "moulding"
        for cut in part.shape.features
        if isinstance(cut, Cut) and cut.kind == "mitre"
    ]
    assert len(cuts) == 4
    for cut in cuts:
        assert (cut.mitre, cut.bevel) == pytest.approx(compound_mitre(spring, 90), abs=1e-4)
        assert cut.angle == pytest.approx(cut.mitre, abs=1e-5)


def test_the_mitres_of_two_neighbours_are_one_plane():
    """The faces that are glued lie in the vertical plane through the carcass's corner at 45°, and look at each other."""
    made = built(top=STYLE)
    for side, sign in (("left", -1.0), ("right", 1.0)):
        planes = []
        for key, end in (("cornice/front", sign), (f"cornice/return.{side}", None)):
            part = made.model.part(key)
            for cut in (each for each in part.shape.features if isinstance(each, Cut) and each.kind == "mitre"):
                normal, point = np.array(part.place.direction(cut.normal)), np.array(part.place.point(cut.point))
                if end is None or normal[0] * sign > 0:
                    planes.append((normal, normal @ point))
        (one, at), (other, there) = planes
        assert np.allclose(one, -other, atol=1e-9) and abs(at + there) < 1e-5
        assert np.allclose(np.abs(one), (0.5**0.5, 0.5**0.5, 0.0), atol=1e-9)


LEAN, THICK, HIGH = math.radians(38), 20.0, 44.0
LEVEL = THICK / math.cos(LEAN)
FLAT_WIDTH = HIGH / math.cos(LEAN)


def inward(y: float, z: float) -> float:
    """How far a point of the moulding's section (up its back, out of it) stands in from the carcass's outer faces."""
    return 3 + LEVEL - y * math.sin(LEAN) - z * math.cos(LEAN)


def test_a_flat_moulding_has_the_volume_of_its_section():
    """Height × level thickness × the length of the middle of its section: the mitres take off what the lean puts on."""
    made = built(top={**STYLE, "face": "flat"})
    wide, deep, _ = made.model.carcass
    middle = inward((FLAT_WIDTH + THICK * math.tan(LEAN)) / 2, THICK / 2)
    assert volume(made.meshes["cornice/front"]) == pytest.approx(HIGH * LEVEL * (wide - 2 * middle), rel=1e-7)
    assert volume(made.meshes["cornice/return.left"]) == pytest.approx(HIGH * LEVEL * (deep - middle), rel=1e-7)


def test_a_hollow_and_an_ogee_take_what_is_under_their_curve():
    """A hollow takes its segment, an ogee its quirk and half its drop, each as long as the moulding is where it lies; no arris is
    marked within the curve."""
    flat, hollow, ogee = (built(top={**STYLE, "face": face}) for face in ("flat", "hollow", "ogee"))
    deep, chord = flat.model.carcass[1], FLAT_WIDTH - 12
    middle = THICK * math.tan(LEAN) + 6 + chord / 2
    bow = 0.12 * chord
    radius = (chord**2 / 4 + bow**2) / 2 / bow
    turn = 4 * math.atan(2 * bow / chord)
    segment = radius**2 / 2 * (turn - math.sin(turn))
    drop = 0.22 * chord
    shift = chord / 12 * drop / (2 + drop / 2)  # of the middle of a trapezium 2 and 2 + drop deep, toward the deep end
    cases = ((hollow, segment, middle, 0.4 * bow), (ogee, chord * (2 + drop / 2), middle + shift, (2 + drop / 2) / 2))
    for made, area, y, under in cases:
        mesh = made.meshes["cornice/return.right"]
        lost = volume(flat.meshes["cornice/return.right"]) - volume(mesh)
        assert lost == pytest.approx(
            area * (deep - inward(y, THICK - under)), rel=0.022
        )  # a facet lies up to 0.1 over the true arc
        assert 5 <= int((~mesh.marked).sum()) <= 20


def test_it_stands_on_the_carcass_and_leans_out_by_its_overhang():
    """44 high; the piece's width counts the upper arris, 31.4 out at each side, to the finest step."""
    made = built(top=STYLE)
    low, high = box(made, "cornice/")
    assert high[2] == pytest.approx(900) and low[2] == pytest.approx(900 - 44)
    assert (low[0], high[0], low[1]) == pytest.approx((-450, 450, -450), abs=0.1)
    assert made.model.carcass[0] / 2 + HIGH * math.tan(LEAN) - 3 == pytest.approx(high[0])


def test_what_cannot_be_is_refused():
    """A backing that is too thin or too thick, a tie in the way of the screws, a face deeper than the board."""
    assert "56" in refused("top.height", top={**STYLE, "height": 70})
    assert "28" in refused("top.backing_board", top={**STYLE, "height": 26})
    assert "46.5" in refused(
        "top.tie_width", carcass={"stiffeners": {"anchor_rails": True}}, top={**STYLE, "tie_width": 32}
    )
    assert "8.8" in refused("top.face", top={**STYLE, "board": "mdf-6"})
