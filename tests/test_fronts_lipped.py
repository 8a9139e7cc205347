"""Lipping on the edges of fronts: sizes less the lipping, one whole door as before, what is refused."""

from __future__ import annotations

import math

import pytest
from pieces import PLAIN, built, found, keeps_every_rule, refused
from test_build_properties import solid_of

from core.meshes import part_meshes
from core.model import Hole
from core.pages._main_sizes import front_sizes
from core.steps import steps

BOARDS = [
    *PLAIN["boards"],
    *({"id": f"oak-{thick}", "material": "oak", "thickness": thick} for thick in (2, 8, 10, 12)),
]


def volume(mesh) -> float:
    return solid_of(mesh).volume()


def lipped(lipping: str = "oak-10", kind: str = "door", lay: str = "inset", **more) -> dict:
    hanging = {"hinge": "hinge-butt-50"} if lay == "inset" else {}
    front = {"id": "d", "kind": kind, "closes": ["all"], "lay": lay, "lipping": lipping, "hanging": hanging, **more}
    return {"boards": BOARDS, "whole": {"width": 560 if kind == "door" else 1000}, "fronts": [front]}


REBATED = {"kind": "pair", "meeting_stiles": {"joint": "rebated"}}


@pytest.mark.parametrize(
    ("lipping", "more"),
    [
        ("oak-10", {}),
        ("oak-2", {}),
        ("oak-8", {"kind": "pair"}),
        ("oak-8", REBATED),
        ("oak-12", REBATED),
        ("oak-2", {"lay": "full"}),
        ("oak-10", {"hanging": {"hinge": "hinge-piano-32", "hand": "right"}}),
    ],
)
def test_a_lipped_door_is_as_large_as_the_bare_one(lipping, more):
    """The board is narrower by both lippings (rule book B15); with them the door stands where it stood, and all rules are kept."""
    thick = float(lipping.removeprefix("oak-"))
    bare, made = built(**lipped("", **more)), keeps_every_rule(**lipped(lipping, **more))
    panels = [part for part in bare.model.parts if part.role == "front panel"]
    assert panels
    for whole in panels:
        panel = made.model.part(whole.key)
        strips = [part for part in made.model.parts if part.key.startswith(f"{whole.key}/lipping.")]
        assert panel.size[1] == pytest.approx(whole.size[1] - 2 * thick) and panel.size[0] == whole.size[0]
        assert [strip.size for strip in strips] == [(whole.size[0], whole.size[2], thick)] * 2
        assert all(strip.cut_size[1] == strip.size[1] + 1 for strip in strips)  # planed flush
    before, after = part_meshes(bare.model), part_meshes(made.model)
    if thick < 10:  # with plugs as before, the same holes and recesses: as much wood as before
        for whole in panels:
            keys = [key for key in after if key == whole.key or key.startswith(f"{whole.key}/lipping")]
            assert sum(volume(after[key]) for key in keys) == pytest.approx(volume(before[whole.key]), rel=1e-4)
    assert front_sizes(made.model) == front_sizes(bare.model)


def test_a_thick_lipping_holds_the_hinges_without_plugs():
    """10 mm of oak hold screws by themselves (rule book F10); 8 mm, or an edging, leaves the plugs in the board."""

    def plugs(lipping: str) -> list:
        made = built(**lipped(lipping))
        return [each for each in made.model.fasteners if each.kind == "plug" and "d/leaf.left/panel" in each.parts]

    assert not plugs("oak-10") and plugs("oak-8")
    strip = built(**lipped("oak-10")).model.part("d/leaf.left/panel/lipping.hinge")
    pilots = [each for each in strip.shape.features if isinstance(each, Hole)]
    assert pilots and all(each.purpose.startswith("through the lipping: pilot") for each in pilots)


def test_a_strip_planted_on_a_lipped_board_keeps_its_plugs():
    """Screws 8 behind the face of a strip 9 thick stand in its back: no lipping of the board behind holds them, and no wood is left there."""
    made = keeps_every_rule(**lipped("oak-12", panel={"style": "planted_frame"}))
    plugs = [each for each in made.model.fasteners if each.kind == "plug" and "d/leaf.left/stile.hinge" in each.parts]
    assert plugs and not [each.text for each in found(made) if each.severity == "stop"]


def test_a_lipped_door_is_glued_up_before_it_is_hung():
    """Both lippings come to the board before the door hangs."""
    made = built(**lipped("oak-10"))
    order = [set(step.new) for step in steps(made.piece, made.model)]
    strips = {"d/leaf.left/panel/lipping.hinge", "d/leaf.left/panel/lipping.closing"}
    glued = next(number for number, new in enumerate(order) if strips <= new)
    hung = next(number for number, new in enumerate(order) if any("/hinge." in key for key in new))
    assert glued < hung
    assert not [each for each in found(made) if each.severity == "stop"]


@pytest.mark.parametrize(
    ("field", "more"),
    [
        ("lipping", {"lay": "full", "lipping": "oak-8"}),  # a hinge cup on the glue line
        ("lipping", {"lipping": "mirror-4"}),
        ("trim", {"trim": 1}),
    ],
)
def test_a_lipping_that_cannot_be_is_refused(field, more):
    """Cups that would lie on the glue line, glass, and an allowance that would be planed off the lipping again."""
    refused(f"fronts[0].{field}", **lipped(**{"lipping": "oak-10", **more}))


def drawer(**more) -> dict:
    section = lipped(**more)
    section["fronts"][0].update(kind="drawer", hanging={}, **{"drawer": {"runner": ""}, **more})
    section["whole"] |= {"height": 260}
    return section


FIXED = {"kind": "fixed", "hanging": {}}
FRAMED = {"panel": {"style": "planted_frame"}}


@pytest.mark.parametrize(
    ("section", "names"),
    [
        (drawer(), {"left", "right"}),
        (drawer(lipped="all"), {"left", "right", "top", "bottom"}),
        (drawer(lipped="all", drawer={"runner": "", "front": "integral", "corners": {"style": "rebate"}}), None),
        (lipped(**FIXED), {"left", "right"}),
        (lipped(lipped="all", **FIXED), {"left", "right", "top", "bottom"}),
        (lipped(lipped="all"), {"hinge", "closing", "top", "bottom"}),
        (lipped("oak-8", lipped="all", kind="pair"), {"hinge", "meeting", "top", "bottom"}),
        (lipped("oak-10", **FRAMED), {"hinge", "closing"}),
        (lipped("oak-8", lipped="all", **FRAMED), {"hinge", "closing", "top", "bottom"}),
    ],
)
def test_drawer_fronts_fixed_fronts_and_all_edges_are_lipped(section, names):
    """The board is smaller by the lipping at every lipped edge; together they are as large as the bare front; all rules are kept."""
    bare = {**section, "fronts": [{**section["fronts"][0], "lipping": ""}]}
    before, made = built(**bare), keeps_every_rule(**section)
    thick = next(part.size[2] for part in made.model.parts if "/lipping." in part.key)
    for whole in [part for part in before.model.parts if part.role == "front panel"]:
        panel = made.model.part(whole.key)
        strips = {
            part.key.rsplit("lipping.", 1)[1]: part
            for part in made.model.parts
            if part.key.startswith(f"{whole.key}/lipping.")
        }
        assert names is None or set(strips) == names
        shrunk = sorted(round(a - b, 6) for a, b in zip(whole.size, panel.size))
        assert shrunk == ([0, 0, 2 * thick] if len(strips) == 2 else [0, 2 * thick, 2 * thick])
        if len(strips) == 4:  # the longer ones lie over the ends of the others
            long, short = max(whole.size[:2]), min(whole.size[:2])
            lengths = sorted(strip.size[0] for strip in strips.values())
            assert lengths == pytest.approx([short - 2 * thick] * 2 + [long] * 2)
    assert front_sizes(made.model) == front_sizes(before.model)


def test_the_shorter_lippings_are_glued_first():
    """The long ones lie over their ends, so they come when those are planed flush."""
    made = built(**drawer(lipped="all"))
    (body,) = [each for each in made.model.assemblies if each.key == "d/front/panel/lipped"]
    layers = {member.key.rsplit(".", 1)[-1]: member.layer for member in body.members}
    assert layers["left"] == layers["right"] == 1 and layers["top"] == layers["bottom"] == 2


def test_a_true_frame_is_not_lipped():
    """Its stiles and rails are solid wood already."""
    refused("fronts[0].lipping", **lipped(panel={"style": "frame_and_panel"}))


def test_checks_of_screws_take_board_and_lipping_as_one():
    """A hinge screw 10 mm in the lipping and 4.9 in the board holds; a lock's screw is as far from the door's edge as without lipping."""
    bead = {"kind": "pair", "meeting_stiles": {"joint": "bead"}}
    hanging = {"hinge": "hinge-butt-50", "lock": "lock-cupboard-50"}
    bare, made = (built(**lipped(word, **bead, hanging=hanging)) for word in ("", "oak-10"))
    told = [
        sorted((each.check, each.value) for each in found(one) if each.check == "screw in a weak edge")
        for one in (bare, made)
    ]
    assert told[0] == told[1]
    assert not [each.text for each in found(made) if each.check == "fastener that holds little"]


def test_the_size_with_all_lippings_is_told_once():
    """A front lipped all round is told in one size, and which pair goes on first; not edge by edge, of which each has another size."""
    made = built(**lipped("oak-10", lipped="all"))
    (panel,) = [part for part in made.model.parts if part.role == "front panel"]
    notes = [each for each in panel.notes if "lipp" in each]
    long, wide = panel.size[0] + 20, panel.size[1] + 20
    assert notes == [
        f"lipped all round, 10 mm: {long:g} × {wide:g} with its lippings; first bottom and top, planed flush, then hinge and closing over their ends"
    ]


def test_lippings_are_cramped_across_the_board_pair_by_pair():
    """The pair over whose ends the other runs is glued first; cramps lie across the board, at most 200 apart."""
    made = built(**lipped("oak-10", lipped="all"))
    first, second = [each for each in steps(made.piece, made.model) if "lipping" in each.title]
    (panel,) = [part for part in made.model.parts if part.role == "front panel"]
    assert {made.model.part(key).size[0] for each in first.comes for key in each.keys} == {panel.size[1]}
    for step, long, across in (
        (first, panel.size[1], panel.size[0] + 20),
        (second, panel.size[0] + 20, panel.size[1] + 20),
    ):
        assert step.cramps.count == max(2, math.ceil(long / 200)) and across + 100 <= step.cramps.reach < across + 150


@pytest.mark.parametrize("more", [{}, {"lipped": "all"}, {"kind": "pair"}])
def test_a_lippings_face_edge_lies_at_the_face_of_its_board(more):
    """A strip is measured from its edge at the board's face side, whichever edge of the board it is glued to."""
    made = built(**lipped("oak-10", **more))
    strips = [part for part in made.model.parts if part.role == "lipping"]
    assert strips and {each.face_edge for each in strips} == {"at the board's face side"}
    for strip in strips:
        panel = made.model.part(strip.key.rpartition("/")[0])
        edge = strip.place.point((0.0, strip.size[1] if strip.face_edge_high else 0.0, 0.0))
        assert panel.place.own_point(edge)[2] == pytest.approx(panel.size[2])
