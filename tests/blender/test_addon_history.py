"""Whatever is done and undone, in whatever order, text, fields and meshes of a piece say the same."""

import random

import bpy
import numpy as np
import pytest
from conftest import ADDON, addon

STEPS = 60  # in CI; a soak takes 500
BACK = 6  # steps that are undone in a row at most


pytestmark = pytest.mark.usefixtures("no_traceback")


def the_root():
    (root,) = addon("document").roots()
    return root


# ------------------------------------------------------------------------------------------------------ what can happen
def a_size(chance, root):
    whole = root.muntin.piece.whole
    name = chance.choice(("width", "height", "depth"))
    setattr(whole, name, getattr(whole, name) * chance.uniform(0.8, 1.25))


def a_field(chance, root):
    """Any number anywhere in the piece, to anything near it; some of it cannot work."""
    fields, editor = addon("core.fields"), addon("editor")
    piece = addon("document").piece(root)
    path, field, value = chance.choice(
        [each for each in fields.walk(piece) if each[1].kind in ("length", "flag", "count")]
    )
    group, declared = editor.reach(root.muntin.piece, addon("core").Piece, path)
    if field.kind == "flag":
        setattr(group, declared.name, not value)
    elif field.kind == "count":
        setattr(group, declared.name, max(0, value + chance.choice((-1, 1))))
    else:
        setattr(group, declared.name, value * chance.uniform(0.7, 1.4) / 1000)


def a_drag(chance, root):
    grip = chance.choice(addon("document").grips_of(root))
    bpy.ops.muntin.drag(grip=grip.key, size=(grip.size + chance.randint(-60, 60)) / 1000)


def a_compartment(chance, root):
    leaves = [each.id for each in addon("document").piece(root).layout if each.divided == "none"]
    bpy.ops.muntin.pick_compartment(compartment=chance.choice(leaves))
    names = ("add_upright", "add_fixed_shelf", "take_out", "fit_doors", "fit_drawers", "fit_shelves", "fit_rail")
    getattr(bpy.ops.muntin, chance.choice(names))()


def a_row(chance, root):
    lists = ("boards", "fronts", "finish.schemes", "layout")
    path = chance.choice(lists)
    if chance.random() < 0.5:
        bpy.ops.muntin.add_row(path=path)
    else:
        bpy.ops.muntin.remove_row(path=path, index=chance.randint(0, 2))


def a_slider(chance, root):
    name = chance.choice(("swing", "travel", "apart"))
    setattr(root.muntin, name, chance.choice((0.0, 0.2, 0.9)))


def a_colour(chance, root):
    scheme = root.muntin.piece.finish.schemes[0]
    if scheme.coats:
        scheme.coats[0].colour = [chance.random() for _ in range(3)]


def a_loss(chance, root):
    """A part deleted by hand."""
    bpy.data.objects.remove(
        chance.choice(sorted(addon("scene").own_objects(root).values(), key=lambda each: each.name))
    )
    bpy.ops.muntin.refresh()


DEEDS = (a_size, a_field, a_drag, a_drag, a_compartment, a_compartment, a_row, a_slider, a_colour, a_loss)


# ------------------------------------------------------------------------------------------------------------ the proof
def assert_consistent(root, whole):
    """Text, fields, objects, places and meshes say the same piece."""
    core, document, editor, scene = addon("core"), addon("document"), addon("editor"), addon("scene")
    plain = addon("core.fields").plain
    text = root["muntin_text"]
    assert core.dumps(core.loads(text)) == text
    if not document.trouble(root):
        data = plain(core.loads(text))
        assert editor.plain_from(root.muntin.piece, core.Piece, data, 0.001) == data
    model = core.build(core.loads(text))
    there = scene.own_objects(root)
    assert set(there) == {each.key for each in (*model.parts, *model.fittings)}
    moves = document.moves_of(root)
    for each in (*model.parts, *model.fittings):
        assert np.allclose(
            there[each.key].matrix_basis, moves.of(each.key) @ scene.matrix_of(each.place, 0.001), atol=1e-5
        )
    if whole:
        for part, mesh in zip(
            model.parts, addon("core.solids").meshes_of(part.shape for part in model.parts), strict=True
        ):
            data = there[part.key].data
            points = np.empty(3 * len(data.vertices), np.float32)
            data.vertices.foreach_get("co", points)
            assert np.allclose(points.reshape(-1, 3) * 1000, mesh.vertices, atol=0.01), part.key


def live(seed, steps):
    """So many deeds, undone and redone at random; every state that comes back is the one that was."""
    chance = random.Random(seed)
    bpy.context.preferences.edit.undo_steps = 200
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    bpy.ops.ed.undo_push(message="Added")
    states, at, refused = [the_root()["muntin_text"]], 0, 0
    for number in range(steps):
        if chance.random() < 0.3 and at:
            back = chance.randint(1, min(at, BACK))
            for _ in range(back):
                bpy.ops.ed.undo()
            at -= back
            assert the_root()["muntin_text"] == states[at]
            forward = chance.randint(0, back)
            for _ in range(forward):
                bpy.ops.ed.redo()
            at += forward
            assert the_root()["muntin_text"] == states[at]
        else:
            try:
                chance.choice(DEEDS)(chance, the_root())
            except RuntimeError as error:  # refused by the command, which changes nothing
                assert "Traceback" not in str(error), error
                refused += 1
            if addon("document").trouble(the_root()) and chance.random() < 0.7:
                bpy.ops.muntin.refresh()
            bpy.ops.ed.undo_push(message=str(number))
            states = [*states[: at + 1], the_root()["muntin_text"]]
            at += 1
        assert_consistent(the_root(), whole=number % 5 == 0)
    return states, refused


def test_nothing_done_or_undone_parts_text_from_meshes():
    """A session of random deeds with random undo and redo; most of the deeds change the piece."""
    states, refused = live(1, STEPS)
    assert len(set(states)) > len(states) / 3 and refused < STEPS / 2


@pytest.mark.soak
@pytest.mark.parametrize("seed", range(2, 5))
def test_five_hundred_deeds(seed):
    """The same, 500 long."""
    states, _ = live(seed, 500)
    assert len(set(states)) > 20


@pytest.mark.ends
def test_meshes_that_nothing_shows_are_used_again(empty_scene):
    """None is freed, for undo takes what comes in its place for it; none holds a material, and none is added for ever."""
    bpy.ops.muntin.add_piece(kind="bedside_cabinet")
    chance, before, most = random.Random(1), len(bpy.data.meshes), 0
    for _ in range(6):
        a_loss(chance, the_root())
        most = max(most, len(bpy.data.meshes))
    bare = [each for each in bpy.data.meshes if not each.users]
    assert before < most <= before + 1 and len(bare) == 1
    assert not any(len(each.materials) for each in bare)


# --------------------------------------------------------------------------------------------------- from file to file
def state(root):
    there = addon("scene").own_objects(root)
    return root["muntin_text"], {
        key: (tuple(map(tuple, each.matrix_basis)), len(each.data.vertices)) for key, each in there.items()
    }


def test_an_appended_piece_is_a_piece_of_its_own(empty_scene, tmp_path):
    """Appended beside its original, a piece gets an id of its own at the next change, and is changed alone."""
    bpy.ops.muntin.add_piece(kind="bedside_cabinet")
    name, before = bpy.context.object.name, state(bpy.context.object)
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "piece.blend"), copy=True)
    with bpy.data.libraries.load(str(tmp_path / "piece.blend"), link=False) as (there, here):
        here.collections = [each for each in there.collections if each == name]
    bpy.context.scene.collection.children.link(here.collections[0])
    document = addon("document")
    first, second = sorted(document.roots(), key=lambda each: each.session_uid)
    second.muntin.piece.whole.width = 0.5
    assert first["muntin_piece"] != second["muntin_piece"] and state(first) == before
    assert document.trouble(second) is None
    first.muntin.piece.whole.width = 0.48
    assert len(addon("scene").own_objects(first)) == len(addon("scene").own_objects(second)) == len(before[1])
    assert [document.model(each).overall[0] for each in (first, second)] == [480, 500]


def test_without_the_add_on_plain_meshes_remain(empty_scene, tmp_path):
    """A file saved with a piece opens without the add-on: the parts are there as meshes; with it, the piece too."""
    bpy.ops.muntin.add_piece(kind="bedside_cabinet")
    parts = {each.name for each in bpy.context.object.children}
    text = bpy.context.object["muntin_text"]
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "piece.blend"))
    bpy.ops.preferences.addon_disable(module=ADDON)
    try:
        bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "piece.blend"))
        assert parts == {each.name for each in bpy.data.objects if each.type == "MESH"}
        assert all(each.data.vertices for each in bpy.data.objects if each.type == "MESH")
    finally:
        bpy.ops.preferences.addon_enable(module=ADDON)
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "piece.blend"))
    (root,) = addon("document").roots()
    assert root["muntin_text"] == text
    root.muntin.piece.whole.width = 0.5
    assert addon("document").trouble(root) is None


def test_several_pieces_in_a_scene_are_changed_apart(empty_scene):
    """With two pieces in the scene, commands and fields reach the one that is selected and no other."""
    bpy.ops.muntin.add_piece(kind="bookcase")
    first = bpy.context.object
    bpy.ops.muntin.add_piece(kind="coat_cupboard", location=(2, 0, 0))
    second = bpy.context.object
    before = state(first)
    bpy.ops.muntin.drag(grip="width", size=1.2)
    assert state(first) == before and addon("document").model(second).overall[0] == 1200
    bpy.context.view_layer.objects.active = first.children[0]
    assert addon("document").active_root(bpy.context) == first
