"""The fittings library: its form, its bodies, its screws, and the figures it must meet."""

import itertools
import json
import math
import re
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import Manifold
from manifold3d import Mesh as ManifoldMesh

from core import fittings as module
from core.errors import ParameterError
from core.fastenings import bolt_for, longest_screw, screw
from core.fittings import TO_SUIT, fitting_entries, fitting_entry, recess_depth, recess_width
from core.geometry import BACK, DOWN, LEFT, RIGHT, UP, Placement
from core.materials import LIBRARY, material
from core.model import Body
from core.solids import is_closed, mesh_of_body, volume

REFERENCES = json.loads((Path(__file__).parent / "references" / "hardware.json").read_text(encoding="utf-8"))
SCHEMA = json.loads((LIBRARY / "fittings.schema.json").read_text(encoding="utf-8"))
FILES = sorted((LIBRARY / "fittings").glob("*.json"))
ENTRIES = fitting_entries()
LENGTH = 506.0  # of whatever is cut to length; the demo's rail
# kg/m³ of what no material of the library stands for; general tables, from memory
DENSITY = {"nylon": 1140, "rubber": 1200, "silicone": 1200}

DEMO = (
    "hinge-butt-75",
    "knob-34",
    "pull-160",
    "runner-wide-450",
    "rail-25",
    "rail-socket-25-closed",
    "rail-socket-25-open",
    "shelf-pin-5",
    "catch-magnetic",
    "pad-8",
    "glide-25",
    "bracket-anchor-60",
)

each_entry = pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)


def length_for(entry):
    return LENGTH if entry.cut_to_length else None


# ---------------------------------------------------------------------------------------------------- form of the data
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_file_follows_the_schema(path):
    """A file of the library holds what the schema allows and nothing else."""
    jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data["entries"][0].pop("source"),
        lambda data: data["entries"][0].update(price=3),
        lambda data: data["entries"][0]["bodies"][0].update(form="ball"),
        lambda data: data["entries"][0]["bodies"][0].update(low=[0, 0]),
        lambda data: data["entries"][0]["screws"][0].update(screw="4*16"),
        lambda data: data["entries"][0].update(notes=["no full stop"]),
    ],
)
def test_the_schema_refuses_what_it_should(spoil):
    """A missing source, an unknown key, a form, point, size or sentence that is none: each is refused."""
    data = json.loads((LIBRARY / "fittings" / "butt_hinges.json").read_text(encoding="utf-8"))
    spoil(data)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(SCHEMA).validate(data)


def test_one_file_for_each_kind():
    """Every kind has one file, every file one kind."""
    kinds = [json.loads(path.read_text(encoding="utf-8"))["kind"] for path in FILES]
    assert kinds == list(dict.fromkeys(each.kind for each in fitting_entries())) and len(set(kinds)) == len(kinds)


@each_entry
def test_a_name_is_words_of_the_trade(entry):
    """Type and size in words: no capital but a thread's M, so no maker and no order number."""
    capitals = [word for word in re.findall(r"\b\w*[A-Z]\w*", entry.name) if not re.fullmatch(r"M\d+", word)]
    assert not capitals
    assert "{" not in entry.name and re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", entry.id)


@each_entry
def test_every_number_is_finite_and_of_a_fitting_s_size(entry):
    """Nothing is farther from the frame's origin than a metre, nothing heavier than 2 kg."""
    points = [p for body in entry.bodies_for(length_for(entry)) for p in (body.low, body.high)]
    points += [each.at for each in entry.screws_for(length_for(entry))]
    assert np.isfinite(points).all() and np.abs(points).max() <= 1000
    assert 0 < entry.mass_for(length_for(entry)) < 2
    assert all(math.isfinite(value) for value in entry.sizes.values())


def test_an_unknown_fitting_is_refused_with_the_nearest():
    """The message names what was asked for and what may have been meant."""
    with pytest.raises(ParameterError, match='no fitting "hinge-but-75"; did you mean "hinge-butt-75"'):
        fitting_entry("hinge-but-75")
    with pytest.raises(KeyError, match="knob-34 has no size weight; it has seat"):
        fitting_entry("knob-34").size("weight")


def test_an_underscore_is_read_as_a_dash():
    """`knob_34` and `knob-34` are the same fitting."""
    assert fitting_entry("knob_34") is fitting_entry("knob-34")


@pytest.mark.parametrize(
    "term", ["__import__('os')", "length ** 9", "(1).real", "[1][0]", "'a' * 9", "length if length else 0"]
)
def test_a_size_is_a_sum_and_nothing_else(term):
    """The library is data: what looks like code in it is refused, not run."""
    with pytest.raises(AssertionError, match="may only add, take away, multiply and divide"):
        module._number(term, {"length": 1.0})


# -------------------------------------------------------------------------------------------------------------- bodies
@each_entry
def test_every_body_is_a_closed_solid(entry):
    """Each body's mesh is closed and encloses what its form says; rounds are facetted inside."""
    for body in entry.bodies_for(length_for(entry)):
        mesh = mesh_of_body(body)
        assert is_closed(mesh)
        exact = exact_volume(body)
        assert exact > 0
        least = 0.9 if body.form == "turned" else 1 - 1e-9
        assert least * exact <= volume(mesh) <= (1 + 1e-9) * exact


@each_entry
def test_moving_members_do_not_share_space(entry):
    """Leaves, arms and runner members touch at most: shut, no member lies inside another."""
    solids = [solid_of(entry.bodies_for(length_for(entry), member)) for member in entry.members]
    for i, one in enumerate(solids):
        for other in solids[:i]:
            assert (one ^ other).volume() < 0.5, f"{entry.id}: {entry.members[i]}"


@each_entry
def test_a_mass_is_that_of_the_form(entry):
    """Mass is form × density, a quarter either way and 5 g for inserts, unless the form is marked as simplified."""
    data = next(each for path in FILES for each in entries_in(path) if entry.id in ids_of(each))
    if data.get("simplified"):
        return
    mass = sum(exact_volume(body) * density_of(body.substance) for body in entry.bodies_for(length_for(entry))) * 1e-9
    assert 0.75 * mass <= entry.mass_for(length_for(entry)) <= 1.25 * mass + 0.005


@each_entry
def test_the_members_weigh_together_what_the_fitting_weighs(entry):
    """The mass is shared out among what moves apart, nothing lost."""
    length = length_for(entry)
    shares = [entry.mass_for(length, member) for member in entry.members]
    assert sum(shares) == pytest.approx(entry.mass_for(length)) and min(shares) > 0


SYMMETRIC = (
    "butt hinge",
    "drawer runner",
    "concealed hinge",
    "piano hinge",
    "magnetic catch",
    "knob",
    "shelf pin",
    "pull",
)


@pytest.mark.parametrize("entry", [each for each in ENTRIES if each.kind in SYMMETRIC], ids=lambda entry: entry.id)
def test_the_two_hands_are_one_fitting(entry):
    """What serves both hands is the same mirrored in z, bodies and screws, so that turned over it is the other hand."""
    length = length_for(entry)
    bodies = {box_of(body) for body in entry.bodies_for(length)}
    assert {((*low[:2], -high[2] + 0.0), (*high[:2], -low[2] + 0.0)) for low, high in bodies} == bodies
    screws = {(each.at, each.along, each.into) for each in entry.screws_for(length)}
    assert {((*at[:2], -at[2] + 0.0), along, into) for at, along, into in screws} == screws


def test_a_lift_off_hinge_has_two_hands():
    """The door's half stands above in both, so the left-handed one is the mirror image of the right-handed."""
    right, left = (fitting_entry(f"hinge-lift-off-75-{hand}").bodies_for() for hand in ("right", "left"))
    mirrored = {((*low[:2], -high[2] + 0.0), (*high[:2], -low[2] + 0.0)) for low, high in map(box_of, right)}
    assert mirrored == set(map(box_of, left)) != set(map(box_of, right))


@pytest.mark.parametrize("id", [each.id for each in ENTRIES if each.kind == "knob"])
def test_a_knob_is_round_enough_for_a_picture(id):
    """Ten points or more in its outline, no sharp turn but the bead of its seat; as wide and high as said."""
    entry = fitting_entry(id)
    (body,) = entry.bodies_for()
    slopes = [math.degrees(math.atan2(s - r, b - a)) for (a, r), (b, s) in itertools.pairwise(body.outline)]
    turns = [abs(b - a) for a, b in itertools.pairwise(slopes)]
    assert len(body.outline) >= 10 and sum(turn > 30 for turn in turns) <= 1
    assert 2 * max(r for _, r in body.outline) == entry.size("diameter")
    assert body.outline[-1][0] == body.high[0] == entry.size("projection")


@pytest.mark.parametrize("centres", [96, 128, 160, 224, 320])
@pytest.mark.parametrize("style", ["pull", "pull-bar"])
def test_a_pull_reaches_as_far_as_it_says(style, centres):
    """Its box is `overall` long, `projection` out, seated on the face, with room for fingers behind the grip."""
    entry = fitting_entry(f"{style}-{centres}")
    points = np.concatenate([mesh_of_body(body).vertices for body in entry.bodies_for()])
    assert points[:, 0].min() == pytest.approx(0) and points[:, 0].max() == pytest.approx(
        entry.size("projection"), abs=0.1
    )
    assert np.ptp(points[:, 1]) == pytest.approx(entry.size("overall"))
    behind = points[np.abs(points[:, 1]) < centres / 4]
    assert len(behind) == 0 or behind[:, 0].min() >= 20


# ---------------------------------------------------------------------------------------------------- screws and holes
@each_entry
def test_every_screw_can_be_bought_and_sits_in_the_fitting(entry):
    """A screw's size is one of the list; its head lies on or in a body, its point outside every body, in the wood."""
    length = length_for(entry)
    bodies = entry.bodies_for(length)
    for each in entry.screws_for(length):
        assert each.from_behind == (each.screw == "M4")
        if each.from_behind or each.screw == TO_SUIT:
            assert each.into == ("handle" if each.from_behind else "wall")
            continue
        size = screw(each.screw)
        assert any(holds(body, each.at) for body in bodies), f"{entry.id}: {each}"
        point = tuple(a + size.length * d for a, d in zip(each.at, each.along, strict=True))
        assert not any(holds(body, point) for body in bodies), f"{entry.id}: {each}"


@pytest.mark.parametrize("entry", [each for each in ENTRIES if "screw_line" in each.sizes], ids=lambda entry: entry.id)
def test_screw_heads_fit_the_leaf(entry):
    """A hinge's heads stay 0.5 mm or more inside the leaf and clear of one another and of the knuckle."""
    length = length_for(entry) or entry.size("length")
    carcass = [each for each in entry.screws_for(length_for(entry)) if each.into == "carcass"]
    head = screw(carcass[0].screw).head
    assert entry.size("knuckle") / 2 <= entry.size("screw_line") - head / 2
    assert entry.size("screw_line") + head / 2 <= entry.size("leaf_width") - 0.5
    heights = sorted(each.at[2] for each in carcass)
    assert heights[0] - head / 2 >= -length / 2 + 2
    assert all(b - a > head for a, b in itertools.pairwise(heights))


@pytest.mark.parametrize("entry", [each for each in ENTRIES if each.kind == "butt hinge"], ids=lambda entry: entry.id)
def test_butt_hinge_screws_stand_seven_to_nine_behind_the_face(entry):
    """The screw line lies 7 to 9 behind the door's face, the pin axis in front of it, heads 0.2 below the leaf."""
    assert 7 <= entry.size("screw_line") - entry.size("pin_stand") <= 9
    assert entry.size("pin_stand") >= entry.size("knuckle") / 2
    assert {abs(each.at[1]) for each in entry.screws_for()} == {0.2}


@each_entry
def test_holes_are_holes(entry):
    """Every hole has a width and a depth, and goes away from the fitting's seat."""
    for each in entry.holes_for(length_for(entry)):
        assert 2 <= each.diameter <= 80
        assert each.depth is None or 0 < each.depth <= 60
        assert sum(map(abs, each.direction)) == 1


# --------------------------------------------------------------------------------------------------- published figures
@pytest.mark.parametrize(
    "entry", [each for each in ENTRIES if each.kind == "concealed hinge"], ids=lambda entry: entry.id
)
def test_a_concealed_hinge_has_the_cup_that_makers_print(entry):
    """Cup 35, 12.6 to 13 deep, its centre 17.5 beyond the cup's distance; screws 45 apart and 9.5 behind."""
    printed = REFERENCES["concealed hinge"]
    (hole,) = entry.holes_for()
    assert hole.diameter == printed["cup diameter"]
    assert printed["cup depth"][0] <= hole.depth <= printed["cup depth"][1]
    assert printed["cup from edge"][0] <= entry.size("cup_from_edge") <= printed["cup from edge"][1]
    assert entry.size("cup_centre") == entry.size("cup_from_edge") + printed["cup centre beyond cup distance"]
    door = [each.at for each in entry.screws_for() if each.into == "door"]
    assert abs(door[0][2] - door[1][2]) == printed["screws apart"]
    assert {at[1] for at in door} == {-printed["screws behind cup centre"]}
    charted = printed["door mass by number of hinges"]
    assert entry.load == min(
        mass / int(number) for number, mass in charted.items()
    )  # the share that is safe for any number
    assert all(f"{mass:g}" in " ".join(entry.notes) for mass in charted.values())
    assert entry.size("side_at") == entry.size("cup_centre") - entry.size("overlay")


def test_a_shelf_pin_goes_into_the_rows_of_the_trade():
    """Hole 5, at least 8 deep; the peg is shorter than the hole, the collar thinner than the shelf's end gap of 1.5."""
    entry = fitting_entry("shelf-pin-5")
    rows = REFERENCES["32 mm rows"]
    (hole,) = entry.holes_for()
    assert hole.diameter == rows["hole"] and hole.depth >= rows["least depth"]
    assert entry.size("peg") < hole.depth and entry.size("collar") < 1.5
    assert entry.size("seat") == hole.diameter / 2


RUNNERS = [each for each in ENTRIES if each.kind == "drawer runner"]


@pytest.mark.parametrize("entry", RUNNERS, ids=lambda entry: entry.id)
def test_runner_screws_follow_the_rows_of_the_trade(entry):
    """Both members: first screw 35 from the runner's front, the others at steps of 32, none past the end."""
    for into in ("carcass", "drawer"):
        places = [each.at[1] for each in entry.screws_for() if each.into == into]
        assert places[0] == 35 and places == sorted(set(places)) and len(places) >= 3
        assert all((place - 35) % REFERENCES["32 mm rows"]["pitch"] == 0 for place in places)
        assert places[-1] <= entry.size("length") - 25


@pytest.mark.parametrize("entry", RUNNERS, ids=lambda entry: entry.id)
def test_a_runner_is_as_thick_as_makers_print(entry):
    """12.7 thick, side space in the published range, out by its whole length, screws inside their wood."""
    printed = REFERENCES["side-mounted runner"]
    points = np.concatenate([mesh_of_body(body).vertices for body in entry.bodies_for()])
    racked = "shaft_below" in entry.sizes  # its racks lie beyond it
    long, high = (entry.size("length") + 9, 2 * 38.6) if racked else (entry.size("length"), entry.size("height"))
    assert np.ptp(points, axis=0) == pytest.approx((printed["thickness"], long, high))
    assert printed["side space"][0] <= entry.size("side_space") <= printed["side space"][1]
    assert entry.size("side_space_least") < entry.size("side_space") < entry.size("side_space_most")
    assert entry.size("travel") == entry.size("length") and entry.sold_in_pairs and entry.load > 0
    for into, wood in (("carcass", 18), ("drawer", 15)):
        sizes = {each.screw for each in entry.screws_for() if each.into == into}
        assert sizes == {longest_screw(3.5, wood, entry.size("gauge")).name}


def test_runners_come_in_steps_of_fifty():
    """Both families run from 250 to 700; the one for wide drawers carries more."""
    for length in range(250, 701, 50):
        usual, wide = fitting_entry(f"runner-{length}"), fitting_entry(f"runner-wide-{length}")
        assert usual.size("length") == wide.size("length") == length
        assert wide.load > usual.load and wide.size("gauge") > usual.size("gauge")


def test_the_hanging_rail_weighs_what_a_tube_weighs():
    """506 of steel tube 25 × 1.5 is its ring of steel at 7850 kg/m³."""
    ring = math.pi / 4 * (25**2 - 22**2) * 506 * 7850e-9
    assert fitting_entry("rail-25").mass_for(506) == pytest.approx(ring, rel=0.001)


# ------------------------------------------------------------------------------------------------------- cut to length
@given(st.floats(100, 2000))
def test_a_rail_is_as_long_as_it_is_cut(length):
    """The body runs from its end at the origin to the length asked for."""
    (body,) = fitting_entry("rail-25").bodies_for(length)
    assert body.low == (0, 0, 0) and body.high[0] == pytest.approx(length, abs=1e-6)


@given(st.floats(80, 2000))
def test_piano_hinge_screws_are_at_most_seventy_five_apart(length):
    """Evenly spread from 20 inside each end, on both leaves, never farther apart than 75."""
    entry = fitting_entry("hinge-piano-32")
    for into in ("carcass", "door"):
        heights = [each.at[2] for each in entry.screws_for(length) if each.into == into]
        assert heights[0] == pytest.approx(20 - length / 2) and heights[-1] == pytest.approx(length / 2 - 20)
        steps = np.diff(heights)
        assert steps.max() <= 75 + 1e-6 and np.ptp(steps) < 1e-5


def test_only_what_is_cut_to_length_takes_a_length():
    """A rail without a length and a knob with one are refused, each by name."""
    with pytest.raises(ParameterError, match=r"hanging rail, steel tube 25 × 1\.5 is cut to length; say which"):
        fitting_entry("rail-25").bodies_for()
    with pytest.raises(ParameterError, match="turned knob, diameter 34, oak is not cut to length"):
        fitting_entry("knob-34").bodies_for(50)
    with pytest.raises(ParameterError, match="cannot be -1 mm long"):
        fitting_entry("rail-25").mass_for(-1)


# ------------------------------------------------------------------------------------------------------------ the demo
@pytest.mark.parametrize("id", DEMO)
def test_the_demo_finds_its_fittings(id):
    """Every fitting of the demo piece is in the library."""
    assert fitting_entry(id).id == id


@pytest.mark.parametrize("closed, gap, depth", [(5.0, 2.5, 1.25), (5.0, 2.0, 1.5), (4.0, 2.5, 0.75)])
def test_a_hinge_recess_is_half_of_what_the_closed_hinge_is_over_the_gap(closed, gap, depth):
    """(closed − gap) / 2 on each of door and carcass: closed 5.0, gap 2.5, so 1.25."""
    assert recess_depth(closed, gap) == depth


def test_a_gap_as_wide_as_the_hinge_is_refused():
    """Nothing is left to let in; the message names both figures."""
    with pytest.raises(ParameterError, match="a gap of 5 mm is not less than the closed hinge, 5 mm"):
        recess_depth(5, 5)
    with pytest.raises(ParameterError, match="-1 mm is not at least 0"):
        recess_width(20, -1)


def test_the_demo_hinge():
    """75 × 40: recess 75 × 16.5 × 1.25; screws 8 behind the face; six hinges take 36 screws 3.5 × 16."""
    hinge = fitting_entry("hinge-butt-75")
    assert (hinge.size("length"), hinge.size("open_width"), hinge.size("closed_thickness")) == (75, 40, 5.0)
    assert recess_width(hinge.size("leaf_width"), hinge.size("pin_stand")) == 16.5
    assert {each.at[0] for each in hinge.screws_for()} == {hinge.size("pin_stand") + 8}
    assert 6 * len(hinge.screws_for()) == 36 and {each.screw for each in hinge.screws_for()} == {"3.5 × 16"}


def test_the_demo_drawer():
    """16 screws to a pair of runners; a box 1 018 wide in 1 044; a spacer block of 56.5; bolts that hold the pull."""
    runner = fitting_entry("runner-wide-450")
    assert 2 * len(runner.screws_for()) == 16
    assert 1044 - 2 * runner.size("side_space") == 1018
    assert 79 - runner.size("height") / 2 == 56.5
    assert 27 + runner.size("set_back_inset") == 28
    pull = fitting_entry("pull-160")
    assert sorted(hole.at[1] for hole in pull.holes_for()) == [-80, 80]
    assert bolt_for(18 + 15).length - 33 <= pull.size("thread_depth")


def test_the_demo_rail():
    """A bay of 513 less two sockets and 1 leaves a rail of 506; two sockets take four screws 3.5 × 16."""
    sockets = [fitting_entry(f"rail-socket-25-{which}") for which in ("closed", "open")]
    assert 513 - sum(socket.size("base") for socket in sockets) - 1 == 506
    assert [each.screw for socket in sockets for each in socket.screws_for()] == ["3.5 × 16"] * 4


def test_an_open_socket_lets_the_rail_drop_in():
    """A tube of 25 lowered from above meets nothing; the closed socket holds it all round."""
    for which, free in (("open", True), ("closed", False)):
        socket = solid_of(fitting_entry(f"rail-socket-25-{which}").bodies_for())
        tube = solid_of((Body(form="turned", low=(3.5, 0, 14), high=(14, 0, 14), outline=((0, 12.5), (10.5, 12.5))),))
        assert ((socket ^ tube).volume() < 1e-6) == free
        seated = solid_of((Body(form="turned", low=(3.5, 0, 0), high=(14, 0, 0), outline=((0, 12.5), (10.5, 12.5))),))
        assert (socket ^ seated).volume() < 1e-6


def test_the_demo_glide():
    """5 high, screwed 4 × 25 into a hardwood plug 12 × 40, the screw's point well inside the plug."""
    glide = fitting_entry("glide-25")
    (plug,), (one,) = glide.holes_for(), glide.screws_for()
    assert (glide.size("height"), plug.diameter, plug.depth) == (5, 12, 40)
    assert one.screw == "4 × 25" and one.at[2] + 25 < plug.depth - 10


def test_a_hinge_swings_about_its_pin():
    """Hinged at the right, both leaves lie behind the pin, the carcass's toward the side, the door's away from it."""
    place = Placement((100, -500, 800), BACK, LEFT)
    assert place.z == UP and Placement((0, 0, 0), BACK, RIGHT).z == DOWN
    hinge = fitting_entry("hinge-butt-75")
    for member, side in (("carcass leaf", 1), ("door leaf", -1)):
        leaf = hinge.bodies_for(member=member)[0]
        middle = place.point(tuple((a + b) / 2 for a, b in zip(leaf.low, leaf.high, strict=True)))
        assert middle[1] > -500 and (middle[0] - 100) * side > 0


def test_wall_anchors_warn():
    """Whatever holds a piece to the wall says why, and leaves the wall fixing to the wall."""
    for entry in fitting_entries("anchor bracket"):
        assert any("tip over" in words for words in entry.cautions)
        assert [each.screw for each in entry.screws_for() if each.into == "wall"] == [TO_SUIT]


def test_a_catch_pulls_as_a_tall_door_wants():
    """30 N or more."""
    assert fitting_entry("catch-magnetic").size("holding_force") >= 30


# ------------------------------------------------------------------------------------------------------------- helpers
def exact_volume(body):
    return module._volume(body)


def density_of(substance):
    return DENSITY[substance] if substance in DENSITY else material(substance).density


def entries_in(path):
    return json.loads(path.read_text(encoding="utf-8"))["entries"]


def ids_of(data):
    return {entry.id for entry in module._entries_of({"kind": "", "frame": "", "entries": [data]})}


def box_of(body):
    """The box a body fills, as two corners rounded to a thousandth."""
    vertices = mesh_of_body(body).vertices
    if body.form == "turned":  # the true round, which its facets stay inside
        radius = max(r for _, r in body.outline)
        axis = [i for i in range(3) if body.low[i] != body.high[i]]
        spread = [0.0 if i in axis else radius for i in range(3)]
        low = [min(a, b) - s for a, b, s in zip(body.low, body.high, spread, strict=True)]
        high = [max(a, b) + s for a, b, s in zip(body.low, body.high, spread, strict=True)]
    else:
        low, high = vertices.min(axis=0), vertices.max(axis=0)
    return tuple(tuple(round(float(c), 3) + 0.0 for c in corner) for corner in (low, high))


def solid_of(bodies):
    """Bodies together as one solid of an independent library."""
    whole = Manifold()
    for body in bodies:
        mesh = mesh_of_body(body)
        solid = Manifold(ManifoldMesh(mesh.vertices.astype(np.float32), mesh.triangles().astype(np.uint32)))
        assert not solid.is_empty()
        whole += solid
    return whole


def holds(body, point):
    """Whether a point lies in a body or on it, within a hundredth."""
    low, high, near = np.array(body.low, float), np.array(body.high, float), 0.01
    if body.form == "block":
        return bool((low - near <= point).all() and (point <= high + near).all())
    axis = (high - low) / np.linalg.norm(high - low)
    along = float((point - low) @ axis)
    if not -near <= along <= np.linalg.norm(high - low) + near:
        return False
    if body.form == "turned":
        reach = float(np.linalg.norm(point - low - along * axis))
        return reach <= np.interp(along, *zip(*body.outline, strict=True)) + near
    i = int(np.abs(axis).argmax())
    return inside(body.outline, point[(i + 1) % 3] - low[(i + 1) % 3], point[(i + 2) % 3] - low[(i + 2) % 3])


def inside(outline, u, v):
    """Whether a point lies within an outline, by counting the edges a ray crosses."""
    crossed = False
    for (a, b), (c, d) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (b > v) != (d > v) and u < a + (c - a) * (v - b) / (d - b):
            crossed = not crossed
    return crossed
