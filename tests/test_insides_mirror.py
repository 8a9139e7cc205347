"""A mirror inside a door: glass and clips on its back, moving with it, reckoned for the hinges, clear of what stands opposite."""

import pytest
from pieces import box, built, keeps_every_rule, refused

PAIR = {"id": "doors", "kind": "pair", "closes": ["all"], "hanging": {"hinge": "hinge-butt-50"}}
DOOR = {**PAIR, "kind": "door"}
TALL = {"whole": {"width": 900, "height": 2000, "depth": 600}}


def layout(**change):
    """The plain layout with a mirror behind its front."""
    return [{"id": "all", "holds": [{"style": "mirror", "hand": "right", **change}]}]


@pytest.mark.parametrize(
    "sections",
    [
        {**TALL, "fronts": [PAIR]},
        {"whole": {"width": 560, "height": 2000}, "fronts": [DOOR]},
        {**TALL, "fronts": [PAIR], "support": {"style": "recessed_plinth"}},
    ],
    ids=("pair", "door", "plinth"),
)
@pytest.mark.parametrize("change", [{}, {"hand": "left"}, {"width": 200, "height": 600, "centre": 1500}], ids=str)
def test_it_can_be_built(sections, change):
    """On a single door or either of a pair."""
    keeps_every_rule(**sections, layout=layout(**change))


def test_it_is_in_the_middle_of_its_door_and_moves_with_it():
    """On the back of the right door, its middle 1350 up, glass and four clips among what swings."""
    made = built(**TALL, fronts=[PAIR], layout=layout())
    door, glass = box(made, "doors/leaf.right/panel"), box(made, "all/mirror.1")
    part = made.boxes["all/mirror.1"]
    assert part[0][1] == pytest.approx(door[1][1]) and part[0][2] + part[1][2] == pytest.approx(2 * 1350)
    assert part[0][0] + part[1][0] == pytest.approx(door[0][0] + door[1][0])
    assert glass[1][1] - glass[0][1] == pytest.approx(6)  # 4 of glass and the clips' lips
    (motion,) = [each for each in made.model.motions if each.key == "doors/leaf.right"]
    assert sum("mirror" in key for key in motion.moves) == 5


def test_its_mass_counts_for_the_hinges():
    """A door of 13.1 kg hangs on three; with 6 mm of mirror, 15 kg/m² (a glass trader's 2.5 kg/m² per mm), on one more."""
    sections = {
        **TALL,
        "fronts": [{**PAIR, "hanging": {"hinge": "hinge-butt-50"}}],
        "boards": [
            {"id": "mdf-18", "material": "mdf", "thickness": 18},
            {"id": "mdf-6", "material": "mdf", "thickness": 6},
            {"id": "mirror-6", "material": "mirror", "thickness": 6},
        ],
    }
    change = {"board": "mirror-6", "clip": "mirror-clip-6", "width": 300, "height": 1600, "centre": 1000}
    bare, with_it = built(**sections), built(**sections, layout=layout(**change))

    def hinges(made, hand):
        return sum(
            each.key.startswith(f"doors/leaf.{hand}/hinge") and not each.bought_with for each in made.model.fittings
        )

    assert hinges(bare, "right") == hinges(with_it, "left") == hinges(with_it, "right") - 1


def test_what_cannot_be_is_refused():
    """No door, glass too wide or too high, the wrong clip, what is no mirror, an upright opposite: by name, value and limit."""
    assert '"all"' in refused("layout[0].holds[0]", **TALL, layout=layout())
    refused("layout[0].holds[0].width", **TALL, fronts=[PAIR], layout=layout(width=400))
    refused("layout[0].holds[0].height", **TALL, fronts=[PAIR], layout=layout(height=1900))
    refused("layout[0].holds[0].centre", **TALL, fronts=[PAIR], layout=layout(centre=500))
    refused("layout[0].holds[0].clip", **TALL, fronts=[PAIR], layout=layout(clip="mirror-clip-6"))
    refused("layout[0].holds[0].board", **TALL, fronts=[PAIR], layout=layout(board="mdf-6"))
    shelf = {"style": "fixed_shelf", "height": 900, "set_back": 0}
    refused(
        "layout[0].holds[0]", **TALL, fronts=[PAIR], layout=[{"id": "all", "holds": [*layout()[0]["holds"], shelf]}]
    )
