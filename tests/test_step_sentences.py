"""What the sentences of the steps say is what is bought, coated and cut: counts, order of work, and which thing is meant."""

import dataclasses
import json
import re
from collections import Counter
from functools import cache

import pytest
from examples import EXAMPLES, example_text

from core.built import BuiltPiece, build_job
from core.cutting.list import parts_list
from core.pages._assembly_lists import fastener_words
from core.pages._part_sheets import part_subjects
from core.pages._sheets import told_apart
from core.pages._step_words import StepWords
from core.pages._views import boxes_of
from core.piece import loads
from core.piece.job import Job, JobItem
from core.steps import Step, steps
from core.wording import plural

FRAMED = {"style": "frame_and_panel", "mid_rails": [1000], "top_rail_width": 140, "bottom_rail_width": 180}


def changed(name: str, change) -> BuiltPiece:
    """An example with some of its parameters changed, built."""
    data = json.loads(example_text(name))
    change(data)
    return build_job(Job(name, (JobItem(loads(json.dumps(data))),))).pieces[0]


def framed_posts(data: dict) -> None:
    """A coat cupboard with framed sides on posts and plain doors."""
    data["whole"].update(width=1050, height=2000, depth=600)
    data["support"] = {"style": "stile_posts"}
    data["carcass"].update(sides="frame", side_panel=FRAMED)
    for front in data["fronts"]:
        front["panel"] = {"style": "plain"}


def lipped_dovetails(data: dict) -> None:
    """A desk pedestal of lipped plywood on levelling feet, its drawers dovetailed, on wooden runners."""
    data["boards"].append({"id": "ply", "material": "birch-ply", "thickness": 18.2, "plugs": "weak"})
    data["whole"].update(width=460, height=640, depth=560)
    data["support"] = {"style": "levelling_feet"}
    data["carcass"].update(board="ply", lipping={"board": "hardwood-20"})
    for front in data["fronts"]:
        front["drawer"].update(corners={"style": "lapped_dovetails"}, runs_on={"style": "wooden"})
    data["fronts"][0]["panel"] = {
        "style": "planted_frame",
        "board": "mdf-9",
        "top_rail_width": 40,
        "bottom_rail_width": 40,
    }


def interlocked(data: dict) -> None:
    """A chest of drawers under a top on rails with buttons, its drawers with an interlock, on a mitred plinth."""
    data["support"] = {"style": "recessed_plinth", "corner": "mitred", "side_set_in": 20}
    data["top"].update(lies_on="rails", fixing="buttons")
    for front in data["fronts"]:
        front["drawer"].update(
            runs_on={"style": "side_mounted", "linking_shaft": ""}, runner="runner-400", interlock="interlock-bar"
        )
        front["panel"] = {"style": "plain"}


def sleeved(data: dict) -> None:
    """A bookcase whose shelf pins stand in sleeves."""
    for node in data["layout"]:
        for each in node["holds"]:
            each.update(sleeve="sleeve-5-18", pin="shelf-pin-5")


def on_feet(data: dict) -> None:
    """A sideboard on levelling feet, one pair under each upright."""
    data["support"] = {"style": "levelling_feet"}


def bolted(data: dict) -> None:
    """A wardrobe whose pair is rebated, one door held by bolts."""
    for front in data["fronts"]:
        front["meeting_stiles"]["joint"] = "rebated"


def in_an_alcove(data: dict) -> None:
    """A coat cupboard between walls, scribing strips beside it."""
    data["support"] = {"style": "recessed_plinth", "set_back": 45}
    data["carcass"]["side_panel"] = {"style": "plain"}
    data["top"] = {"style": "flush"}
    walls = {f"width_{place}": data["whole"]["width"] + 60 for place in ("low", "middle", "high")}
    data["site"]["alcove"] = {"fitted": True, **walls}


def screwed_frames(data: dict) -> None:
    """A bookcase of unlike columns, screwed between framed sides with two mid rails."""
    data["whole"].update(depth=400)
    data["layout"] = [
        {"id": "all", "divided": "columns"},
        {"id": "a", "parent": "all", "order": 0, "size": {"fixed": 300}},
        {"id": "b", "parent": "all", "order": 1, "size": {"rest": True}},
    ]
    panel = {"style": "frame_and_panel", "stile_width": 100, "mid_rails": [600, 1200]}
    data["carcass"].update(sides="frame", side_panel=panel, joint={"style": "screws"})
    data["support"] = {"style": "stile_posts"}


def fitted_out(data: dict) -> None:
    """A coat cupboard with hooks, a mirror on a door, its drawer on under-mounted runners."""
    data["boards"].append({"id": "mirror-4", "material": "mirror", "thickness": 4})
    for node in data["layout"]:
        if node["id"] == "coats":
            node["holds"] = [{"style": "hooks"}]
        if node["id"] == "shelves":
            node["holds"].append({"style": "mirror", "board": "mirror-4", "centre": 1200})
    for front in data["fronts"]:
        if front["kind"] == "drawer":
            front["drawer"].update(runs_on={"style": "under_mounted"}, runner="")


def returned(data: dict) -> None:
    """A linen press whose cornice stops short, its ends returned, its drawers' fronts those of the boxes."""
    data["carcass"]["side_panel"] = {"style": "plain"}
    data["support"] = {"style": "glides"}
    data["top"] = {"style": "loose_cornice", "stops_short": 120}
    for front in data["fronts"]:
        front["panel"] = {"style": "plain"}
        if front["kind"] == "drawer":
            front["drawer"].update(runs_on={"style": "side_mounted", "linking_shaft": ""}, runner="", front="integral")


def uneven(data: dict) -> None:
    """A bookcase with two doors of different heights, on as many hinges, before it."""
    next(node for node in data["layout"] if node["id"] == "low")["size"] = {"fixed": 900}
    for id, hand in (("low-left", "left"), ("high-right", "right")):
        data["fronts"].append({"id": id, "kind": "door", "closes": [id], "lay": "full", "hanging": {"hand": hand}})


def two_pairs(data: dict) -> None:
    """The same with a pair of plain doors below."""
    glazed_pair(data)
    data["fronts"].append({"id": "base", "kind": "pair", "closes": ["low"]})


def framed_doors(data: dict) -> None:
    """A media cabinet with glazed doors of one pane."""
    for front in data["fronts"]:
        front["panel"] = {"style": "glazed"}


def grooved(data: dict) -> None:
    """A bookcase of lipped boards, its sides dressed with frames, its back in grooves."""
    data["carcass"].update(
        back={"kind": "groove"}, lipping={"board": "hardwood-20"}, side_panel={"style": "frame_and_panel"}
    )
    data["support"] = {"style": "glides"}


def drawers_behind_doors(data: dict) -> None:
    """A linen press whose single doors stop on strips, two drawers behind the left one."""
    left, drawer, pair = (
        next(node for node in data["layout"] if node["id"] == "left"),
        next(front for front in data["fronts"] if front["id"] == "drawer-low"),
        next(front for front in data["fronts"] if front["id"] == "doors"),
    )
    rows = (("a", {"fixed": 160}), ("b", {"fixed": 160}), ("c", {"rest": True}))
    data["layout"] += [
        {"id": id, "parent": "left", "order": order, "size": size} for order, (id, size) in enumerate(rows)
    ]
    left.update(divided="rows", holds=[])
    box = {"behind_door": True, "pack_board": "mdf-18"}
    inner = [{"id": f"in-{id}", "kind": "drawer", "closes": [id], "drawer": box} for id in "ab"]
    doors = [
        {
            **pair,
            "id": f"door-{hand}",
            "kind": "door",
            "closes": [hand],
            "hanging": {"hand": hand, "stop_strip": "side"},
        }
        for hand in ("left", "right")
    ]
    data["fronts"] = [drawer, *(front for front in data["fronts"] if front["id"] == "drawer-second"), *doors, *inner]


def under_mounted(data: dict) -> None:
    """A sideboard whose drawers have fronts of one piece with their boxes, on under-mounted runners."""
    for front in data["fronts"]:
        front["drawer"].update(runs_on={"style": "under_mounted"}, runner="", front="integral")


def guided(data: dict) -> None:
    """A chest of drawers with boards between its drawers, on wooden runners with centre guides."""
    data["layout"][0]["between"] = "board"
    for front in data["fronts"]:
        front["drawer"]["runs_on"] = {"style": "wooden", "centre_guide": True}


def racked(data: dict) -> None:
    """A coat cupboard with hooks over a shoe rack, and two shelves on bearers."""
    for node in data["layout"]:
        if node["id"] == "coats":
            node["holds"] = [{"style": "hooks", "height": 1600}, {"style": "shoe_rack", "quantity": 1}]
        if node["id"] == "shelves":
            node["holds"] = [{"style": "fixed_shelf", "height": each} for each in (500, 900)]


def fixed_panel(data: dict) -> None:
    """A media cabinet one of whose doors is a fixed panel."""
    front = next(each for each in data["fronts"] if each["id"] == "door-left")
    front.update(kind="fixed")
    next(node for node in data["layout"] if node["id"] == "left")["holds"] = []


def glazed_pair(data: dict) -> None:
    """A bookcase between framed sides with a glazed pair before its upper compartments, with mid rail and muntins."""
    frame = {"mid_rails": [1400], "stile_width": 60, "top_rail_width": 60}
    data["fronts"].append(
        {
            "id": "glass",
            "kind": "pair",
            "closes": ["high"],
            "panel": {"style": "glazed", "muntins": 1, "muntin_width": 45, **frame},
        }
    )
    data["carcass"].update(sides="frame", side_panel={"style": "frame_and_panel", "mid_rails": [900]})


def lipped_thick(data: dict) -> None:
    """A media cabinet lipped with fibreboard so thick that its hinge plugs stand in the lipping; two of its compartments closed by fixed panels over the carcass."""
    data["carcass"]["lipping"] = {"board": "mdf-18"}
    panel = next(each for each in data["fronts"] if each["id"] == "door-left")
    for node in data["layout"]:
        if node["id"] in ("left", "middle"):
            node["holds"] = []
    fixed = {**panel, "kind": "fixed", "lay": "half", "handle": ""}
    data["fronts"] = [{**fixed, "id": "one", "closes": ["left"]}, {**fixed, "id": "two", "closes": ["middle"]}] + [
        each for each in data["fronts"] if each["id"] != "door-left"
    ]


@cache
def piece(name: str) -> BuiltPiece:
    others = {
        "framed posts": ("starter coat_cupboard", framed_posts),
        "dovetails": ("starter desk_pedestal", lipped_dovetails),
        "interlock": ("starter chest_of_drawers", interlocked),
        "sleeves": ("starter bookcase", sleeved),
        "feet": ("starter sideboard", on_feet),
        "screwed": ("starter bookcase", screwed_frames),
        "fitted out": ("starter coat_cupboard", fitted_out),
        "returned": ("starter linen_press", returned),
        "uneven": ("starter bookcase", uneven),
        "grooves": ("starter bookcase", grooved),
        "alcove": ("starter coat_cupboard", in_an_alcove),
        "under-mounted": ("starter sideboard", under_mounted),
        "bolted": ("starter wardrobe", bolted),
        "guided": ("starter chest_of_drawers", guided),
        "two pairs": ("starter bookcase", two_pairs),
        "framed door": ("starter media_cabinet", framed_doors),
        "glazed": ("starter bookcase", glazed_pair),
        "lipped thick": ("starter media_cabinet", lipped_thick),
        "behind doors": ("starter linen_press", drawers_behind_doors),
        "racked": ("starter coat_cupboard", racked),
        "fixed panel": ("starter media_cabinet", fixed_panel),
    }
    return changed(*others[name]) if name in others else changed(name, lambda data: None)


@cache
def told(name: str) -> list[tuple[Step, str, list[str]]]:
    """Each step of a piece with its title and its sentences."""
    built = piece(name)
    words = StepWords(built, {part.key: number for number, part in enumerate(built.model.parts, start=1)})
    return [(step, words.title(step), words.sentences(step)) for step in steps(built.piece, built.model)]


def text_of(name: str, title: str) -> str:
    """The sentences of the step whose title begins so."""
    return " ".join(next(sentences for _, said, sentences in told(name) if said.startswith(title)))


@pytest.mark.parametrize("name", [*EXAMPLES, "framed posts", "dovetails", "behind doors"])
def test_steps_tell_of_every_dowel_screw_pin_and_plug(name):
    """Counted from the sentences, "for each" taken as often as there are, each kind and size comes as often as it is in the model."""
    wanted: Counter[tuple[str, str]] = Counter()
    for each in piece(name).model.fasteners:
        wanted[each.purpose or each.kind, each.name.removeprefix(each.kind).strip()] += 1
    found: Counter[tuple[str, str]] = Counter()
    for step, _, sentences in told(name):
        for sentence in sentences:
            times = 1 + len(step.others) if "for each" in sentence else 1
            for kind, size in wanted:
                names = f"(?:{re.escape(kind)}|{re.escape(plural(kind))})"
                for match in re.finditer(rf"(\d+) {names} {re.escape(size)}(?!\d|\.\d)", sentence):
                    found[kind, size] += times * int(match[1])
    assert found == wanted


def test_packings_have_their_plural_and_their_place():
    """Packs go on the wall layer by layer, each over the heads of the screws of the one before; how far behind the front they begin is said: 40 before their first screw."""
    assert not [title for _, title, _ in told("behind doors") if "packings: pack" in title]
    fixed = text_of("behind doors", "Runners, packings and stops")
    assert "Layer by layer: on the wall " in fixed and ", over the heads of its screws " in fixed
    step = next(step for step, title, _ in told("behind doors") if title.startswith("Runners, packings and stops"))
    order = [key for coming in step.comes for key in coming.keys]
    for joint in piece("behind doors").model.joints:
        if joint.second in order and "/pack." in joint.second and joint.first in order:
            assert order.index(joint.first) < order.index(joint.second)
    model = piece("behind doors").model
    side = next(part for part in model.parts if part.key == "carcass/side.left")
    first = side.size[1] - max(each.at[1] for each in side.shape.features if each.purpose.endswith("screw 4 × 30"))
    assert f"Front edges of the packs {first - 40:g} behind the carcass front." in fixed


def test_what_is_marked_from_fittings_is_told_where_they_come():
    """Hooks' holes as the boxes go on their runners, a strike's recess as its door is hung, a bolt's holes with the door that has it."""
    drawers = text_of("under-mounted", "All 3 drawers")
    assert "Marked from the fittings: 2 holes ⌀6 × 8 (hole for the runner's hook), in each of " in drawers
    strike = "Marked from the fittings: recess strike 38 × 11 × 1.2, in each of "
    assert strike in text_of("under-mounted", "Both doors: hang")
    for name in ("under-mounted", "starter wardrobe", "fitted out", "behind doors", "bolted"):
        wanted = Counter()
        for part in piece(name).model.parts:
            made = [each.purpose for each in part.shape.features if each.when.stage == "at fitting"]
            wanted.update({each for each in made if each.startswith(("strike ", "hole for the runner", "door bolt"))})
        told_of = Counter()
        for _, _, sentences in told(name):
            for each in (each for each in sentences if each.startswith("Marked from the fittings: ")):
                for words in each.removeprefix("Marked from the fittings: ").split("; "):
                    purpose = next(key for key in wanted if key in words)
                    told_of[purpose] += len(
                        re.findall(r"(?:^|, )\d+ (?!holes)", words.partition(", in ")[2].replace("each of ", ""))
                    )
                    told_of[purpose] += sum(
                        int(more) - 1 for more in re.findall(r"\((\d+)\b", words.partition(", in ")[2])
                    )
        assert told_of == wanted, name


def test_a_front_that_is_part_of_its_box_is_not_put_on():
    """What is bored through it is bored when the box is together; of a planted front, when that is on."""
    integral, planted = text_of("under-mounted", "All 3 drawers"), text_of("starter sideboard", "All 3 drawers")
    assert "When the box is together: 3 holes ⌀4.5 through (pull bolt)" in integral and "front is on" not in integral
    assert "When the front is on: 3 holes ⌀4.5 through (pull bolt)" in planted


def test_a_runner_says_which_of_its_holes_its_screws_take():
    """The lowest runners' second screw would meet a dowel: it is 32 farther back; of the others nothing is said."""
    text = text_of("under-mounted", "Runners in the carcass")
    assert text.count("not through its hole") == 1
    found = re.search(
        r"\(low\).*?screws (\d+), (\d+) and (\d+) behind its front end, not through its hole at (\d+)", text
    )
    assert found and int(found[2]) - int(found[4]) == 32


def test_what_is_glued_on_without_dowel_or_fence_has_its_place():
    """Stops 3 from the rear ends of their runners, cheeks as far apart as the guide of 20 with a play of 0.5 at each side; their seats stay bare, the wax is told once."""
    stops = text_of("guided", "All 8 wooden runners: drawer stop")
    assert "Rear face of the stop 3 before the rear end of the runner." in stops
    cheeks = text_of("guided", "All 4 drawers: centre guide cheeks")
    assert "Cheeks 21 apart, the middle of the box between them, front ends 1 behind the box front." in cheeks
    assert "where the cheeks of centre guides are glued" in text_of("guided", "Inside faces")
    assert text_of("guided", "Carcass: stiffener under bottom, wooden runners").count("Candle wax") == 1


def test_parts_of_a_frame_are_told_by_their_field_and_door():
    """No key is read on paper: panes, beads and muntins are told by the field that they are in, stiles of one mark by door and edge."""
    said = " ".join(sentence for _, title, sentences in told("glazed") for sentence in (title, *sentences))
    assert not re.search(r"\d\.(hinge|meeting|middle|left|right)", said)
    job = build_job(Job("glazed", (JobItem(piece("glazed").piece),)))
    names = {each.named for each in parts_list(job)}
    assert {"door muntin (lowest field)", "door muntin (second field)", "door pane (second field)"} <= names
    assert {"side field (lowest field)", "side field (second field)"} <= names
    assert "door stile (left hinge, right meeting)" in names and "door stile (left meeting, right hinge)" in names


def test_doors_of_a_pair_are_named_by_their_front_alone():
    """ "Both doors": not "(door, …)", and what both have is said without a name; rails and muntins of a true frame are no strips."""
    titles = [title for _, title, _ in told("glazed")]
    framed_door = piece("framed door")
    assert "Both doors: hang" in titles and "Both door frames: rails and muntins" in titles
    single = [step.title for step in steps(framed_door.piece, framed_door.model)]
    assert "door frame: stiles and rails" in single and not [title for title in single if "strips" in title]
    data = text_of("glazed", "Both doors: hang")
    assert "it closes against its pads without springing." in data
    titled = [title for _, title, _ in told("two pairs")]
    assert "Both doors (glass): hang" in titled and not [title for title in titled if "(door" in title]
    hung = text_of("two pairs", "Both doors (glass): hang")
    assert "it closes against its pads without springing." in hung


def test_shelf_pins_at_unlike_heights_say_in_which_compartment():
    """Of rows at other heights in each compartment each height has its compartment; where all are alike none is named."""
    said = re.search(r"Shelf pins: .*? above the floor", text_of("starter bookcase", "Shelves, rails"))[0]
    heights = {
        round(each.place.origin[2], 1) for each in piece("starter bookcase").model.fittings if "shelf pin" in each.name
    }
    assert all(re.search(rf"{height:g} \((low|high)", said) for height in heights)
    assert (
        "(" not in re.search(r"Shelf pins: .*? above the floor", text_of("starter media_cabinet", "Shelves, rails"))[0]
    )


def test_pushes_are_counted_for_each_box():
    """Boxes of unlike heights have unlike numbers of dowels: each push is told with the drawer that it is of."""
    said = text_of("starter desk_pedestal", "All 3 drawer boxes: drawer sides")
    found = {
        name: int(a) * int(b)
        for a, b, name in re.findall(r"(\d) push(?:es)?, (\d+) dowels(?: at each)? \((\w+)\)", said)
    }
    assert set(found) == {"files", "middle", "pens"} and f"{sum(found.values())} dowels 6 × 30 in all" in said


def test_pads_and_castors_have_their_place():
    """Pads of doors are told by their heights, those of a lid, which are no door's, by how far back they lie; castors with brakes stand at the front."""
    pads = [each for each in piece("starter media_cabinet").model.fittings if "pad" in each.name]
    heights = " / ".join(f"{height:g}" for height in sorted({round(each.place.origin[2], 1) for each in pads}))
    assert f"Pads: middle {heights} above the floor." in text_of("starter media_cabinet", "Magnetic catches and pads")
    assert "Pads: middle 40 behind the carcass front." in text_of("starter blanket_chest", "Pads and lid stays")
    castors = text_of("starter desk_pedestal", "Castors")
    assert (
        "with brake" in castors and "at the front; plates square" in castors and "at the rear; plates square" in castors
    )


def test_the_last_coat_speaks_of_what_there_is():
    """A pedestal has no doors and no brackets, a media cabinet no drawers and no runners, a bookcase no fronts; a linen press has all of them."""
    for name, batch, bare in (
        ("starter desk_pedestal", "Drawer fronts from", "where runners are"),
        ("starter media_cabinet", "Doors from", "where brackets are"),
        ("starter linen_press", "Doors and drawer fronts from", "where runners and brackets are"),
    ):
        said = text_of(name, "Coat the outside")
        assert f". {batch} the same batch" in said and f"{bare} screwed on" in said, name
    assert "same batch" not in text_of("starter bookcase", "Coat the outside")


def test_a_side_of_the_owner_is_not_lost_beside_that_of_the_thing():
    """Left packings of drawers "inner left a" and "inner right a" are told by the whole names of their drawers."""
    named = told_apart({f"inner-{side}-a/packs.left": "packing, left" for side in ("left", "right")})
    assert sorted(named.values()) == ["packing, left, inner left a", "packing, left, inner right a"]


def test_plugs_in_a_lipping_are_bored_for_before_they_go_in():
    """A plug that stands in the lipping of a side goes in when the lipping is on and bored, not before it is glued."""
    said = next(
        " ".join(sentences) for _, title, sentences in told("lipped thick") if "plugs 8 × 1" in " ".join(sentences)
    )
    assert "First, glued in" not in said
    assert said.index("(plug 8 × 14 for hinge screw)") < said.index("hinge plugs 8 × 14, in all: glue in, pare flush")


def test_fixed_panels_are_told_apart_and_stand_before_what_they_lap():
    """Of several fixed panels each step says which; the fillets of one over the carcass stand before its front, and no figure is negative."""
    titles = [title for _, title, _ in told("lipped thick") if title.startswith("Fixed panel")]
    assert len(titles) == len(set(titles)) == 4
    said = text_of("lipped thick", "Fixed panel, one: fillets")
    assert "front face 1 before the carcass front" in said and "-1" not in said


def test_plugs_are_in_before_what_is_cut_over_them():
    """Hinge plugs of a side before it is coated; those of a framed door before its recesses; those of a plain door before its hinges."""
    side = text_of("starter media_cabinet", "Inside faces")
    assert side.startswith("First, glued in and pared flush when dry: 8 hinge plugs 8 × 14")
    door = text_of("starter coat_cupboard", "Both doors: strips")
    places = [
        door.index(words) for words in ("(plug 8 × 30 for hinge screw)", "glue in, pare flush", "Then: hinge recess")
    ]
    assert places == sorted(places)
    plain = text_of("framed posts", "Both doors: hinges")
    assert plain.index("12 hinge plugs 8 × 30") < plain.index("Fittings: butt hinge")


def test_plugs_over_screws_come_after_the_screws():
    """The screws of an anchor rail through a flush top are driven before the plugs over their heads."""
    rail = text_of("starter bedside_cabinet", "Carcass: anchor rail")
    assert rail.index("2 anchor rail screws 4 × 35") < rail.index(
        "Over the heads, glued in and pared flush when dry: 2 anchor rail plugs"
    )


def test_what_is_let_into_a_wall_is_told_when_the_door_is_hung():
    """One recess for each hinge, in the wall that it is screwed to."""
    words = text_of("framed posts", "Both doors: hang")
    assert "Let in, marked from the hinges: hinge recess 50 × 11.5 × 0.75, 6 places, in 1 side stile" not in words
    assert re.search(
        r"hinge recess 50 × 11\.5 × 0\.75, 6 places, in \d+ side stile \(left front\), \d+ side stile \(right front\)",
        words,
    )


@pytest.mark.parametrize(
    ("under", "top", "words"),
    [
        (1, 2, "1 undercoat and 2 top coats"),
        (0, 1, "sealer on sawn edges and 1 top coat"),
        (2, 3, "2 undercoats and 3 top coats"),
    ],
)
def test_the_inside_gets_the_coats_of_the_schedule(under, top, words):
    """The step says how many coats the piece asks for."""

    def change(data):
        data["finish"]["undercoats_inside"] = under
        for coat in data["finish"]["schemes"][0]["coats"]:
            coat["coats"] = top if coat["group"] == "inside" else coat["coats"]

    built = changed("starter bookcase", change)
    words_of = StepWords(built, {part.key: 1 for part in built.model.parts})
    (inside,) = (step for step in steps(built.piece, built.model) if step.title.startswith("Inside faces"))
    assert words in " ".join(words_of.sentences(inside)).replace("Sealer", "sealer")


def test_boards_stay_bare_where_they_meet_framed_sides_too():
    """Bottom, top and shelf are glued to the stiles of framed sides as they are to boards."""
    bare = re.search(r"18 wide where (.*?) meet", text_of("framed posts", "Inside faces"))[1]
    assert {"bottom", "top", "fixed shelf"} <= set(re.split(r", | and ", bare))


def test_lipped_boards_do_not_stand_back_by_their_lipping():
    """The front of a lipped board is that of its lipping, before the carcass is glued up and then."""
    assert not any(
        "Behind the front edges" in sentence for _, _, sentences in told("dovetails") for sentence in sentences
    )


def test_dovetailed_boxes_are_glued_up_and_squared_before_their_bottoms():
    """A box is cramped, its diagonals measured, and only in the next step its bottom is screwed in."""
    titles = [title for _, title, _ in told("dovetails")]
    sides, bottom = (titles.index(f"All 3 drawer boxes: drawer {what}") for what in ("sides", "bottom"))
    assert bottom == sides + 1
    words = text_of("dovetails", "All 3 drawer boxes: drawer sides")
    assert "in the joints and on the ends" in words and "cramps" in words and "Diagonals" in words


def test_notes_are_read_before_it_is_too_late():
    """Mitres are sized with glue as they are glued, not when the blocks go in; a base that comes in feet says how they are held."""
    assert "size the end grain with glue first" in text_of("starter wardrobe", "Cornice: cornice returns")
    assert "Each foot glued and screwed up to the bottom" in text_of(
        "starter chest_of_drawers", "Carcass: bracket base"
    )


def test_titles_say_which_of_several_is_meant():
    """Drawers of one name by their openings, feet by where they stand; kinds of things in their own plural."""
    titles = [title for _, title, _ in told("dovetails")]
    assert [title for title in titles if "rawers" in title or title.startswith("Drawer, ")] == [
        "Drawer, files",
        "Both drawers (middle, pens)",
    ]
    assert "Levelling feet, before it is raised" in titles
    feet = [title.partition(":")[0] for _, title, _ in told("starter chest_of_drawers") if "feet" in title]
    assert feet == ["Both bracket feet (front)", "Both bracket feet (rear)", "Both bracket feet (rear)"]


@pytest.mark.parametrize("name", [*EXAMPLES, "framed posts", "dovetails"])
def test_no_two_steps_have_one_title(name):
    """What is done can be told by the title alone."""
    titles = Counter(title for _, title, _ in told(name))
    assert [title for title, count in titles.items() if count > 1] == []


def rebated(data: dict, style: str) -> None:
    """A linen press whose doors meet in a rebate."""
    for front in data["fronts"]:
        if front["kind"] == "pair":
            front["panel"] = {"style": style}
            front["meeting_stiles"]["joint"] = "rebated"


@pytest.mark.parametrize(
    ("style", "title", "words"),
    [("frame_and_panel", "door frame", "When the glue has set"), ("plain", ": hinges", "then")],
)
def test_what_is_made_in_a_door_is_told_whatever_it_is_made_of(style, title, words):
    """The rebate of a meeting stile is cut in a frame when its glue has set, in a door of one board before its hinges go on."""
    built = changed("starter linen_press", lambda data: rebated(data, style))
    told_by = StepWords(built, {part.key: number for number, part in enumerate(built.model.parts, start=1)})
    doors = [step for step in steps(built.piece, built.model) if "door" in step.title and title in step.title]
    text = [" ".join(told_by.sentences(step)) for step in doors]
    notes = {note for each in built.model.assemblies for note in each.notes}
    assert not any("panes" in note for note in notes)  # there are none
    assert sum("rebate meeting stile 11" in each and words in each for each in text) == 2


def test_a_pull_is_bored_for_when_the_front_is_on():
    """Its bolts go through front and box: the hole is told with the drawer, not with its box."""
    assert "When the front is on: 1 hole ⌀4.5 through (pull bolt)." in " ".join(told("starter bedside_cabinet")[-3][2])
    boxes = [
        " ".join(sentences) for _, title, sentences in told("starter bedside_cabinet") if title.startswith("Drawer box")
    ]
    assert boxes and not any("pull bolt" in each for each in boxes)


def test_settings_say_of_which_drawer_and_on_which_wall():
    """Four spacer blocks are each said to be of a drawer, from the lowest up, as are the trips; the bar is said to be on its wall."""
    said = text_of("interlock", "Runners in the carcass")
    assert re.search(r"spacer block [\d.]+ \(bottom\) / [\d.]+ \(third\) / [\d.]+ \(second\) / [\d.]+ \(top\) on", said)
    assert re.search(r"middle [\d.]+ \(bottom\) / .* \(top\) above the floor", said)
    assert "Drawer interlocks: on the side panel (left), foot" in said


def test_a_top_is_screwed_on_before_a_drawer_is_in_the_way():
    """Its screws go up from where the uppermost drawer will be, and its buttons too; a cornice over doors waits until they hang."""
    titles = [title for _, title, _ in told("interlock")]
    assert titles.index("Top: set it on") + 1 == titles.index("Top: its buttons") < titles.index("All 4 drawers")
    titles = [title for _, title, _ in told("starter coat_cupboard")]
    assert titles.index("Both doors: hang") < next(n for n, each in enumerate(titles) if each.endswith("set it on"))


def test_one_push_is_not_told_as_several():
    """ "1 push, 15 dowels", and not so many at each."""
    assert "1 push, 15 dowels. " in text_of("interlock", "Carcass: side, right")


def test_only_what_there_is_comes_off_and_is_coated():
    """A chest has no doors to bag and no shelves to coat; sleeves that are pressed in stay; a lid has no fitting page."""
    off = "Take everything off and bag it"
    assert text_of("starter blanket_chest", off).startswith(
        "The lid and all fittings come off; fittings go into a bag. "
    )
    assert "all fittings but the sleeves" in text_of("sleeves", off)
    assert text_of("interlock", off).startswith(
        "Drawer fronts, the top and all fittings come off; fittings go into a bag for each drawer,"
    )
    inside = text_of("interlock", "Inside faces")
    assert "on the inside of the sides, bottom, top rails and drawer rails and the face of the back." in inside
    assert "where bottom, top rail (front), top rail (rear), drawer rail" in inside
    assert "fitting page" not in text_of("starter blanket_chest", "Lid: hang")


def test_a_carcass_out_of_square_is_not_mended_by_cramps_that_are_off():
    """Diagonals are mended by cramps while there are some, and pressed true where the back goes on."""
    assert "set the cramps askew" in text_of("interlock", "Carcass: side, right")
    back = text_of("interlock", "Carcass: back")
    assert "press the longer one shorter" in back and "cramps" not in back


def test_blocks_that_are_rubbed_in_take_no_cramps():
    """Of a bracket foot only the mitre is drawn together, by tape: a cramp would make it slip; the base is glued to the bottom, as its note says."""
    first = text_of("starter blanket_chest", "Both bracket feet (front)")
    assert "cramp reaching" not in first and "Held by tape while the glue sets; no cramps." in first
    assert "blocks rubbed in" in first
    assert "Rubbed in, without cramps." in text_of("starter blanket_chest", "Both bracket feet (rear): blocks")
    assert "ubbed in" not in text_of("starter blanket_chest", "Both bracket feet (rear): rear bracket")
    assert "White glue" in text_of("starter blanket_chest", "Carcass: bracket base")


def test_feet_at_one_side_are_counted_from_there():
    """Of two left front blocks with different holes it is said which is which."""
    said = text_of("feet", "Carcass: levelling feet")
    places = re.findall(r"(?:first|second) (?:left|right) (?:front|rear)", said)
    assert len(places) == len(set(places)) == 8


def test_scribing_strips_are_told_how_and_when():
    """They are scribed on site and screwed from inside, where doors and drawers are not in the way yet."""
    said = text_of("alcove", "Scribing strips")
    assert "before doors and drawers are in" in said and "scribed to the wall" in said and "from inside" in said


def test_a_back_is_put_in_from_behind():
    """In its grooves it is slid from one end, and screwed from behind: the carcass lies on its front."""
    said = text_of("grooves", "Carcass: back")
    assert "Lies on its front, back up." in said
    assert "Slid into its grooves from the upper end of the carcass." in said


def test_what_was_made_up_before_is_said_to_lie_on_the_bench():
    """A glue-up that begins with bodies made up before names them."""
    assert "On the bench: 2 side panels with their lipping, made up before." in text_of(
        "grooves", "Both sides: side frame"
    )
    title = next(title for _, title, _ in told("grooves") if title.startswith("Carcass: side"))
    assert "made up before" in text_of("grooves", title).partition("Comes now")[0]


def test_a_row_of_names_keeps_its_commas():
    """Side fields, rails and stiles in a title are told apart by commas."""
    titles = [title for _, title, _ in told("grooves")]
    assert any("side field, side top rail and side stiles" in each for each in titles), titles


def test_figures_that_differ_are_told_for_each():
    """Of drawer fronts and doors done alike each has its own spacer and its own hinges, measured from its own edge; one cramp reaches them all."""
    said = text_of("feet", "All 3 drawer fronts: strips")
    assert re.search(r"from the foot: [\d.]+ \(low\) / [\d.]+ \(mid\) / [\d.]+ \(high\); squeeze-out wiped", said)
    assert "At most " in said
    model = piece("uneven").model
    hinges = (
        text_of("uneven", "Both doors: hinges").partition("hinges: ")[2].partition(" above the door's lower edge")[0]
    )
    wanted = set()
    for motion in model.motions:
        low = min(
            model.part(key).place.points([(0.0, 0.0, 0.0), model.part(key).size])[:, 2].min()
            for key in motion.moves
            if key in {each.key for each in model.parts}
        )
        mine = [
            each
            for each in model.fittings
            if each.key.startswith(motion.key) and "hinge" in each.entry and not each.bought_with
        ]
        wanted |= {round(each.place.origin[2] - low, 1) for each in mine}
    assert wanted and {float(each) for each in re.findall(r"[\d.]+(?= |$)", hinges)} == wanted
    assert "(low left)" in hinges and "(high right)" in hinges


def test_only_what_is_let_in_leaves_a_recess_bare():
    """Concealed hinges have no recesses to mask, butt hinges do."""
    assert "hinge recesses" not in text_of("uneven", "Inside faces") + text_of("uneven", "Coat the outside")
    assert "hinge recesses" in text_of("starter sideboard", "Inside faces")


def test_a_frame_is_measured_when_its_stiles_are_on():
    """Before the second stile is on there is no rectangle whose diagonals could be measured."""
    first, last = [
        sentences
        for _, title, sentences in told("screwed")
        if title.startswith(
            ("Both sides: side field", "Side, left: side field", "Both sides: stiles", "Side, left: stiles")
        )
    ][:2]
    assert not [each for each in first if each.startswith("Diagonals")] and [
        each for each in last if each.startswith("Diagonals")
    ]


def test_what_is_not_alike_at_both_sides_is_told_by_its_side():
    """Brackets at unlike distances from the middle are said to be left and right of it; a countersink is told after the screw's size."""
    said = text_of("screwed", "Anchor brackets")
    assert re.search(r"middle [\d.]+ left of the middle of the piece; and middle [\d.]+ right of the", said)
    assert re.search(
        r"middle [\d.]+ left and right of the middle of the piece", text_of("interlock", "Anchor brackets")
    )
    screws = [each for each in piece("screwed").model.fasteners if each.purpose.startswith("joint screw")][:6]
    sunk = [dataclasses.replace(each, purpose="joint screw, countersunk 7.5") for each in screws]
    assert list(fastener_words(sunk)) == [f"6 joint {screws[0].name.replace('screw', 'screws')}, countersunk 7.5"]


@pytest.mark.parametrize(
    "name, title, words",
    [
        ("uneven", "Both doors: hinges", "Made in them then: 4 holes ⌀35 × 13 (hinge cup); 2 holes ⌀4.5 through (knob bolt), in all."),
        ("starter wardrobe", "Both doors: strips", "18 hinge plugs 8 × 30, in all: glue in"),
        ("interlock", "All 4 drawers", "When the front is on: 8 holes ⌀4.5 through (pull bolt), in all."),
    ],
)  # fmt: skip
def test_what_is_counted_over_all_is_said_to_be(name, title, words):
    """Strips and screws are counted for each, holes and plugs over all that is done alike: nobody bores six cups in a door of three."""
    assert words in text_of(name, title)


def test_under_mounted_runners_have_a_height_and_a_place():
    """Their upper sides, which the bottom lies on, over the board below, and their front ends behind the carcass front."""
    said = text_of("fitted out", "Runners in the carcass")
    assert re.search(
        r"Under-mounted runners: upper side [\d.]+ above the board below; front end [\d.]+ behind the carcass front",
        said,
    )


def test_clips_go_on_with_the_glass_that_they_hold():
    """A mirror's clips are not put on before there is a mirror."""
    said = text_of("fitted out", "Right door: mirror")
    assert "mirror clip" in said and "4 clip screws" in said
    assert "mirror clip" not in text_of("fitted out", "Right door: hinges")


def test_what_tape_holds_is_not_cramped_and_long_battens_are():
    """Returned ends of a cornice are held by tape; a block is rubbed in, a batten longer than 300 wants cramps."""
    title = next(title for _, title, _ in told("returned") if "returned ends" in title)
    said = text_of("returned", title)
    assert "Held by tape while the glue sets; no cramps." in said and " cramps reaching" not in said
    assert "cramps, 200 apart" in text_of("interlock", "Plinth: plinth battens")


def test_drawers_whose_fronts_are_their_boxes_come_out_whole():
    """An integral front cannot be taken off its box."""
    assert text_of("returned", "Take everything off").startswith("Doors, drawers, ")


def test_what_is_screwed_to_a_wall_is_told_how_high_and_how_far_back_it_sits():
    """A hook rail by its upper edge, half its width over the hooks; bearers by the underside of their shelf, or at both ends of
    their slope; stop strips and fillets by what stands before them: a joiner need not look for holes."""
    said = text_of("racked", "Shelves, rails")
    model = piece("racked").model
    number, rail = next((n, part) for n, part in enumerate(model.parts, 1) if part.role == "hook rail")
    assert f"Hook rail {number}: upper edge {1600 + rail.size[1] / 2:g} above the floor." in said
    boxes = boxes_of(model)
    for shelf in (part for part in model.parts if part.key.endswith("/shelf") and part.role == "fixed shelf"):
        assert (
            f": upper edge {boxes[shelf.key][0][2]:g} above the floor, front end 61 behind the carcass front." in said
        )
    low, high = map(float, re.search(r"upper edge ([\d.]+) above the floor in front, ([\d.]+) behind", said).groups())
    bearer = next(part for part in model.parts if part.name == "shoe shelf bearer")
    assert high - low == pytest.approx(abs(bearer.place.x[2]) * bearer.size[0], abs=0.11)
    strip = re.search(
        r"Stop strip \d+: front face ([\d.]+) behind the carcass front", text_of("fixed panel", "Shelves")
    )
    fillets = text_of("fixed panel", next(title for _, title, _ in told("fixed panel") if title.endswith("fillets")))
    assert float(strip[1]) == 20  # a door of 18, and its pads
    assert re.search(r"Fillets \d+, \d+: front face 18 behind the carcass front", fillets)


def on(support: dict, data: dict) -> None:
    """The piece on another support."""
    data["support"] = support


def sentences_of(name: str, support: dict) -> str:
    """All sentences of the steps of a piece on another support."""
    built = changed(name, lambda data: on(support, data))
    words = StepWords(built, {part.key: number for number, part in enumerate(built.model.parts, start=1)})
    return " ".join(sentence for step in steps(built.piece, built.model) for sentence in words.sentences(step))


def test_what_is_fixed_under_the_carcass_is_told_how_far_in_it_stands():
    """A plinth 45 back and 12 in at the sides, 10 clear of the wall; brackets flush in front and set in behind; mitres without cramps."""
    plinth = {"style": "recessed_plinth", "set_back": 45, "side_set_in": 12, "rear_set_in": 10}
    said = sentences_of("starter bookcase", plinth)
    assert "Under the carcass: 45 in from its front, 12 in from its sides, 10 in from its back." in said
    said = sentences_of("starter bookcase", {"style": "bracket_base", "outline": "ogee", "rear_set_in": 25})
    assert "Under the carcass: flush with its front and its sides, 25 in from its back." in said
    assert said.count("Held by tape while the glue sets; no cramps.") == 1


def test_openings_are_told_by_words_and_not_by_keys():
    """A rectangle whose diagonals are measured is the opening of a door, as the door is called."""
    said = " ".join(" ".join(sentences) for _, _, sentences in told("starter sideboard"))
    assert "(opening of left door)" in said and "door-left" not in said


def horned_sides(data: dict) -> None:
    """A coat cupboard whose framed sides have full tenons."""
    framed_posts(data)
    data["carcass"]["side_panel"] = {**FRAMED, "tenons": "full"}
    data["fronts"][0]["hanging"]["hinge"] = ""


def horned_doors(data: dict) -> None:
    """A wardrobe whose doors are frames with full tenons."""
    data["fronts"][0]["panel"] = {"style": "frame_and_panel", "board": "softwood-28", "tenons": "full", "horns": 25}


@pytest.mark.parametrize(
    ("name", "change", "horn"),
    [
        ("example coat_cupboard", horned_sides, "a horn 20 long at the head end, "),
        ("starter wardrobe", horned_doors, "a horn 25 long at each end, "),
    ],
)
def test_horns_are_told_and_sawn_off(name, change, horn):
    """A stile that is sawn longer for its horns says so in the lists and on its part sheet, and the step of its frame when they go."""
    built = changed(name, change)
    stiles = {part.key for part in built.model.parts if any(note.startswith(horn) for note in part.notes)}
    assert stiles == {part.key for part in built.model.parts if part.role == "stile" and part.cut_size}
    words = StepWords(built, {part.key: number for number, part in enumerate(built.model.parts, start=1)})
    sawn = [
        key
        for step in steps(built.piece, built.model)
        if "saw the horns off" in " ".join(words.sentences(step))
        for each in step.all
        for key in each.new
        if "/stile." in key
    ]
    assert sorted(sawn) == sorted(stiles)
    told = {
        each.part.key
        for each in part_subjects(build_job(Job("horns", (JobItem(built.piece),))))
        if horn in str(each.notes).lower()
    }
    assert told and told <= stiles


def test_only_what_is_oiled_outside_is_told_to_be_oiled():
    """A scheme oils tops: the step that coats the outside of a piece under its flush carcass top has no rag of oil."""
    built = changed("starter media_cabinet", lambda data: data.update(top={"style": "flush"}))
    told = [" ".join(step.words) for step in steps(built.piece, built.model) if step.title == "Coat the outside"]
    assert told and not any("oil" in each for each in told)
    with_top = changed("starter media_cabinet", lambda data: None)
    assert any("oil with a rag" in " ".join(step.words) for step in steps(with_top.piece, with_top.model))


def lines_of(built: BuiltPiece) -> list[tuple[str, str]]:
    """The title and the words of every step of a piece."""
    words = StepWords(built, {part.key: number for number, part in enumerate(built.model.parts, start=1)})
    return [(words.title(step), " ".join(words.sentences(step))) for step in steps(built.piece, built.model)]


def three_doors(data: dict) -> None:
    """A wardrobe with three doors that lap its boards, a rail behind each outer one, lifted in at the outer end."""
    data["boards"].append({"id": "mirror-4", "material": "mirror", "thickness": 4})
    data["whole"].update(width=1700)
    data["carcass"]["side_panel"] = {"style": "plain"}
    data["support"], data["top"] = {"style": "glides"}, {"style": "flush"}
    rail = {"style": "rail", "from_back": 280}
    mirror = {"style": "mirror", "width": 400, "height": 1500, "centre": 1000, "hand": "left"}
    holds = {"left": [{**rail, "open_end": "left"}, mirror], "right": [{**rail, "open_end": "right"}]}
    data["layout"] = [{"id": "all", "divided": "columns"}] + [
        {"id": id, "parent": "all", "order": n, "holds": holds.get(id, [])}
        for n, id in enumerate(("left", "mid", "right"))
    ]
    data["fronts"] = [
        {"id": f"door-{id}", "kind": "door", "closes": [id], "lay": lay, "board": "mdf-18", "hanging": {"hand": hand}}
        for id, lay, hand in (("left", "full", "left"), ("mid", "half", "left"), ("right", "full", "right"))
    ]


def test_doors_that_lap_are_set_by_their_arms_and_told_by_name():
    """Nothing is planed and no leaf has its one screw on a door with cup hinges; two of three doors are not "both doors"."""
    said = lines_of(changed("starter wardrobe", three_doors))
    hung = [words for title, words in said if title.endswith(": hang")]
    assert hung and all("by the screws of the arms" in words and "planing" not in words for words in hung)
    hinged = [words for title, words in said if title.endswith(": hinges")]
    assert hinged and not any("in each leaf" in words for words in hinged)
    assert not [title for title, _ in said if title.startswith("Both doors:")]
    assert [title for title, _ in said if re.match(r"Both doors \(\w+, \w+\): hang", title)]
    assert any(
        "before and after planing" in words
        for title, words in lines_of(changed("starter wardrobe", str))
        if "hang" in title
    )


def test_a_mirror_and_a_rail_have_their_places():
    """The step of a mirror says how high on its door it sits, that of rails which end of each is the open one."""
    built = changed("starter wardrobe", three_doors)
    said = lines_of(built)
    (mirror,) = (words for title, words in said if title.endswith("left: mirror"))
    door, glass = built.model.part("door-left/leaf.left/panel"), built.model.part("left/mirror.2")
    low = 1000 - 1500 / 2 - door.place.origin[2]
    lower, aside = map(
        float, re.search(r"lower edge ([\d.]+) above the door's, ([\d.]+) in from its sides", mirror).groups()
    )
    assert abs(lower - low) < 0.06 and abs(aside - (door.size[1] - 400) / 2) < 0.06
    assert glass.size[:2] == (1500, 400)
    (inside,) = (words for title, words in said if title.startswith("Shelves, rails"))
    assert (
        "open socket at the left (compartment left)" in inside
        and "open socket at the right (compartment right)" in inside
    )


def test_the_door_leaf_of_a_lift_off_hinge_is_screwed_on_before_the_door_is_hung():
    """Its screws are told with it and its height on the door; hung, the door takes no screw of a hinge."""

    def lifted(data: dict) -> None:
        data["fronts"][0]["panel"] = {"style": "frame_and_panel", "board": "softwood-28"}
        data["fronts"][0]["hanging"] = {"hinge": "hinge-lift-off-75-left"}

    said = lines_of(changed("starter wardrobe", lifted))
    hinges = [words for title, words in said if "door" in title and ": hinges" in title]
    assert hinges and all("hinge screws" in words and "above the door's lower edge" in words for words in hinges)
    assert not any("hinge screw" in words for title, words in said if title.endswith(": hang"))


def test_pads_and_the_fitting_page_are_spoken_of_only_where_they_are():
    """A door without a stop closes on no pads; a chest without openings has no fitting page; hinges of a lid have places."""

    def without(data: dict) -> None:
        for front in data["fronts"]:
            front.update(stop=False)

    assert not [words for _, words in lines_of(changed("starter wardrobe", without)) if "against its pads" in words]
    assert [words for _, words in lines_of(changed("starter wardrobe", str)) if "against its pads" in words]
    chest = lines_of(changed("starter blanket_chest", lambda data: data["top"].update(hinge="hinge-butt-75")))
    assert not any("fitting page" in words for _, words in chest)
    (lid,) = (words for title, words in chest if title.startswith("Lid: hinges"))
    assert re.search(r"Butt hinges: .*middle [\d.]+ left and right of the middle of the piece", lid), lid


def test_what_is_set_on_has_its_overhang():
    """The step that sets a top on says how far it stands out beyond the carcass, by its parameters; a frieze stands on all round."""

    def over(data: dict) -> None:
        data["top"].update(front=22, side=14, chamfer_in=0, chamfer_up=0)

    (top,) = (words for title, words in lines_of(changed("starter sideboard", over)) if title == "Top: set it on")
    assert "On the carcass: 22 beyond its front, 14 beyond its sides, flush with its back." in top
    (cornice,) = (words for title, words in lines_of(changed("starter wardrobe", str)) if title == "Cornice: set it on")
    assert "On the carcass: 26 beyond its front and its sides, flush with its back." in cornice, cornice


def test_anchor_rails_have_their_place():
    """The step of the anchor rails says how far behind the front they sit: the back that they lie against is not there yet."""
    built = changed("starter sideboard", str)
    rails = [part for part in built.model.parts if part.role == "anchor rail"]
    behind = {round(part.place.origin[1] - part.size[2] + built.model.carcass[1], 1) for part in rails}
    assert len(behind) == 1 and rails
    (said,) = (
        words
        for _, words in lines_of(built)
        if "nchor rail" in words and "Comes now" in words and "anchor rail screws" in words
    )
    assert f"against the board above, front face {behind.pop():g} behind the carcass front." in said, said


def test_a_cover_bead_is_glued_over_the_meeting_gap():
    """The step that hangs the leading door says that its bead is glued on then, and how far it stands beyond the door: over the gap and its lap."""

    def covered(data: dict) -> None:
        data["fronts"][0]["meeting_stiles"].update(joint="bead", bead_width=24)
        data["fronts"][0]["gaps"]["meeting"] = 3

    built = changed("starter wardrobe", covered)
    (said,) = (words for _, words in lines_of(built) if "Cover bead" in words)
    over = float(
        re.search(r"Cover bead \d+: glued on when both doors are trimmed, ([\d.]+) beyond the edge of its door", said)[
            1
        ]
    )
    assert abs(over - (24 + 3) / 2) < 0.3  # the gap as it is worked out may be rounded to the workshop's step
