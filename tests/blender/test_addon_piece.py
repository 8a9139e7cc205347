"""A piece in Blender: made, changed, undone, saved, copied, and left alone where a person has put a hand to it."""

import json

import bpy
import numpy as np
import pytest
from conftest import addon
from mathutils import Vector

pytestmark = pytest.mark.usefixtures("no_traceback")


@pytest.fixture
def root(empty_scene):
    """The root of a coat cupboard, just added."""
    assert bpy.ops.muntin.add_piece(kind="coat_cupboard") == {"FINISHED"}
    return bpy.context.object


def objects(root):
    return addon("scene").own_objects(root)


def extent(root):
    """Width, depth and height of the meshes of parts and glides, in mm: knobs and knuckles do not count."""
    bpy.context.view_layer.update()
    model = addon("document").model(root)
    parts = {each.key for each in model.parts} | {each.key for each in model.fittings if "glide" in each.entry}
    corners = np.array(
        [
            shown.matrix_world @ Vector(corner)
            for key, shown in objects(root).items()
            if key in parts
            for corner in shown.bound_box
        ]
    )
    return (corners.max(axis=0) - corners.min(axis=0)) * 1000


def text(root):
    return json.loads(root["muntin_text"])


def state(root):
    """All that must come back after undo: text, places, and every coordinate."""
    found = {}
    for key, shown in objects(root).items():
        points = np.empty(3 * len(shown.data.vertices), np.float32)
        shown.data.vertices.foreach_get("co", points)
        found[key] = (tuple(map(tuple, shown.matrix_basis)), points.round(6).tobytes())
    return root["muntin_text"], found


def test_every_part_and_fitting_is_an_object_of_its_own(root):
    """Adding a piece makes one object for each part and fitting, named by it, found by its key, below the root."""
    model = addon("document").model(root)
    there = objects(root)
    assert set(there) == {each.key for each in (*model.parts, *model.fittings)}
    assert all(shown.parent == root for shown in there.values())
    assert np.allclose(extent(root), model.overall, atol=0.01)


def test_no_mesh_needs_mending(root):
    """Blender's own validation finds nothing to mend in any mesh, new or changed."""
    for width in (1.15, 1.2, 1.4):
        root.muntin.piece.whole.width = width
        assert not [each.name for each in bpy.data.meshes if each.validate(verbose=True)]


def test_faces_are_flat_and_feature_edges_sharp(root):
    """Planar faces are shaded flat, the facets of holes and knobs are not, and every marked edge is sharp."""
    mesh_of = addon("core.solids").mesh_of
    part = addon("document").model(root).part("doors/leaf.left/panel")
    made, mesh = mesh_of(part.shape), objects(root)[part.key].data
    sharp = np.empty(len(mesh.edges), bool)
    mesh.attributes["sharp_edge"].data.foreach_get("value", sharp)
    assert sharp.sum() == made.marked.sum()
    knob = objects(root)["doors/leaf.left/knob"].data
    assert any(each.use_smooth for each in knob.polygons)
    box = objects(root)["shelves/shelf.1"].data
    assert not any(each.use_smooth for each in box.polygons if len(each.vertices) > 4)


def test_texture_runs_along_the_part_in_true_size(root):
    """The texture's first coordinate is the part's length in metres on every face that shows its length."""
    mesh = objects(root)["cornice/front"].data
    uv = np.empty(2 * len(mesh.loops), np.float32)
    mesh.attributes["UVMap"].data.foreach_get("vector", uv)
    along = uv.reshape(-1, 2)[:, 0]
    assert np.ptp(along) == pytest.approx(1.15, abs=1e-4)


def test_equal_shapes_share_a_mesh(root):
    """Parts of one shape and finish have one mesh between them."""
    there = objects(root)
    assert there["shelves/shelf.1"].data == there["shelves/shelf.2"].data == there["shelves/shelf.3"].data
    assert len({each.data.name for each in there.values()}) < len(there)


def test_a_new_width_changes_the_meshes_in_place(root):
    """A changed width reaches every mesh it concerns; objects and meshes stay the same datablocks."""
    before = {key: (shown.name, shown.data.name) for key, shown in objects(root).items()}
    root.muntin.piece.whole.width = 1.3
    assert text(root)["whole"]["width"] == 1300
    assert np.allclose(extent(root), (1300, 560, 1900), atol=0.01)
    after = {key: (shown.name, shown.data.name) for key, shown in objects(root).items()}
    assert {key: after[key] for key in before if key in after} == {key: before[key] for key in before if key in after}


def test_what_did_not_change_is_not_written(root):
    """A mesh whose part stays as it was is not touched: a mark on its data survives."""
    shelf, cornice = objects(root)["drawer/box/side.left"].data, objects(root)["cornice/front"].data
    for mesh in (shelf, cornice):
        mesh.vertices[0].co.z += 0.5
    root.muntin.piece.whole.width = 1.2
    assert shelf.vertices[0].co.z > 0.4
    assert cornice.vertices[0].co.z < 0.4


@pytest.mark.ends
def test_parts_come_and_go(root):
    """A shelf more makes an object more, a shelf fewer takes it away; a part deleted by hand comes back."""
    shelves = root.muntin.piece.layout[4].holds[0].shelves
    shelves.quantity = 4
    assert "shelves/shelf.4" in objects(root)
    shelves.quantity = 2
    assert "shelves/shelf.3" not in objects(root)
    bpy.data.objects.remove(objects(root)["carcass/top"])
    shelves.quantity = 3
    assert {"shelves/shelf.3", "carcass/top"} <= set(objects(root))


def test_what_a_person_adds_to_an_object_stays(root):
    """Modifiers, constraints, children and object-linked materials outlive changes; a child outlives its parent."""
    shelf = objects(root)["shelves/shelf.3"]
    shelf.modifiers.new("Mine", "BEVEL")
    shelf.constraints.new("LIMIT_LOCATION")
    shelf.material_slots[0].link = "OBJECT"
    shelf.material_slots[0].material = mine = bpy.data.materials.new("Mine")
    vase = bpy.data.objects.new("Vase", None)
    bpy.context.collection.objects.link(vase)
    vase.parent = shelf
    vase.location = (0.1, 0.2, 0.3)
    bpy.context.view_layer.update()
    root.muntin.piece.whole.width = 1.25
    shelf = objects(root)["shelves/shelf.3"]
    assert shelf.modifiers[0].name == "Mine" and shelf.constraints and shelf.material_slots[0].material == mine
    bpy.context.view_layer.update()
    stood = vase.matrix_world.translation.copy()
    root.muntin.piece.layout[4].holds[0].shelves.quantity = 2
    bpy.context.view_layer.update()
    assert (vase.matrix_world.translation - stood).length < 1e-6


def test_a_value_that_cannot_work_leaves_the_last_good_piece(root):
    """An impossible width stays as typed, says why, leaves text and meshes as they were; exports refuse."""
    before = state(root)
    root.muntin.piece.whole.width = 9.0
    assert root.muntin.piece.whole.width == 9.0
    path, reason = addon("document").trouble(root)
    assert path == "whole.width" and "9000" in reason and "between" in reason
    assert state(root) == before
    with pytest.raises(RuntimeError, match=r"not current.*9000"):
        bpy.ops.muntin.preview(filepath="/nowhere.png")
    root.muntin.piece.whole.width = 1.15
    assert addon("document").trouble(root) is None
    assert state(root) == before


@pytest.mark.ends
def test_undo_and_redo_bring_back_text_fields_and_meshes(root):
    """After undo and redo of a change, text, fields and meshes are exactly what they were on either side of it."""
    name = root.name
    bpy.ops.ed.undo_push(message="Added")
    before = state(root)
    root.muntin.piece.whole.width = 1.25
    root.muntin.piece.layout[4].holds[0].shelves.quantity = 4
    bpy.ops.ed.undo_push(message="Changed")
    after = state(root)
    bpy.ops.ed.undo()
    root = bpy.data.objects[name]
    assert state(root) == before and root.muntin.piece.whole.width == pytest.approx(1.15)
    bpy.ops.ed.redo()
    root = bpy.data.objects[name]
    assert state(root) == after and root.muntin.piece.whole.width == pytest.approx(1.25)
    root.muntin.piece.layout[4].holds[0].shelves.quantity = 3
    assert "shelves/shelf.4" not in objects(root)


@pytest.mark.ends
def test_a_saved_file_opens_with_the_same_piece(root, tmp_path):
    """Saved and opened again, the file holds the same text, parts and fields, and can be changed as before."""
    root.muntin.piece.whole.depth = 0.58
    before = state(root)
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "piece.blend"))
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "piece.blend"))
    root = addon("document").roots()[0]
    assert state(root) == before
    root.muntin.piece.whole.width = 1.2
    assert np.allclose(extent(root), (1200, 580, 1900), atol=0.01)


def test_the_text_wins_over_the_editor_on_loading(root, tmp_path):
    """What a file's fields say counts for nothing where its text says otherwise."""
    with addon("editor").silence():
        root.muntin.piece.whole.width = 2.0
        root.muntin.piece.fronts.clear()
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "piece.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "piece.blend"))
    root = addon("document").roots()[0]
    assert root.muntin.piece.whole.width == pytest.approx(1.15)
    assert [each.id for each in root.muntin.piece.fronts] == [each["id"] for each in text(root)["fronts"]]


def test_a_duplicate_is_a_piece_of_its_own(root):
    """A duplicated piece gets an id of its own at the next change; neither change reaches the other piece's meshes."""
    for each in (root, *root.children_recursive):
        each.select_set(True)
    bpy.ops.object.duplicate(linked=True)
    other = next(each for each in addon("document").roots() if each != root)
    assert other["muntin_piece"] == root["muntin_piece"]
    root.muntin.piece.whole.width = 1.3
    assert other["muntin_piece"] != root["muntin_piece"]
    for each in (root, other):
        model = addon("document").model(each)
        assert len(objects(each)) == len(model.parts) + len(model.fittings)
    assert np.allclose(extent(root)[0], 1300, atol=0.01) and np.allclose(extent(other)[0], 1150, atol=0.01)
    other.muntin.piece.whole.width = 1.2
    assert np.allclose(extent(root)[0], 1300, atol=0.01) and np.allclose(extent(other)[0], 1200, atol=0.01)


def test_a_mesh_in_edit_mode_is_changed_when_it_is_left(root):
    """While a part is edited by hand it is left alone; afterwards it follows."""
    shelf = objects(root)["carcass/top"]
    bpy.context.view_layer.objects.active = shelf
    bpy.ops.object.mode_set(mode="EDIT")
    root.muntin.piece.whole.width = 1.3
    assert addon("document").catch_up() is not None
    bpy.ops.object.mode_set(mode="OBJECT")
    assert addon("document").catch_up() is None
    assert np.allclose(extent(root), (1300, 560, 1900), atol=0.01)


def test_one_edit_builds_once(root, monkeypatch):
    """However many values are set within one edit, the model is shown once, at the end."""
    document, shown = addon("document"), []
    really = document.show
    monkeypatch.setattr(document, "show", lambda *given: (shown.append(1), really(*given)))
    with document.edit(root) as piece:
        piece.whole.width, piece.whole.height, piece.whole.depth = 1.2, 1.8, 0.58
    assert len(shown) == 1
    assert np.allclose(extent(root), (1200, 580, 1800), atol=0.01)


def test_another_colour_builds_nothing(root, monkeypatch):
    """A colour picked changes the text and the material, and no model is built for it; a size builds one."""
    built = []
    build = addon("document").build
    monkeypatch.setattr(addon("document"), "build", lambda piece: built.append(1) or build(piece))
    root.muntin.piece.whole.width = 1.1617
    assert len(built) == 1
    before = root["muntin_text"]
    root.muntin.piece.finish.schemes[0].coats[0].colour = (0.2, 0.4, 0.6)
    assert root["muntin_text"] != before and len(built) == 1
    root.muntin.piece.whole.width = 1.1619
    assert len(built) == 2


def test_a_linked_piece_is_read_only(root, tmp_path):
    """A piece linked from another file is left as it is, and says so."""
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "piece.blend"))
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    with bpy.data.libraries.load(str(tmp_path / "piece.blend"), link=True) as (there, here):
        here.objects = there.objects
    for each in here.objects:
        bpy.context.collection.objects.link(each)
    root = addon("document").roots()[0]
    bpy.context.view_layer.objects.active = root
    before = root["muntin_text"]
    with pytest.raises(RuntimeError, match="linked from another file"):
        bpy.ops.muntin.refresh()
    addon("document").take_up(root)
    assert root["muntin_text"] == before


def test_doors_swing_and_drawers_travel(root):
    """Swing turns a door about its hinge axis, travel pulls a drawer straight out; both stop at their reach."""
    there = objects(root)
    rest = there["doors/leaf.left/panel"].matrix_basis.copy()
    root.muntin.swing = 3.0
    root.muntin.travel = 0.2
    model = addon("document").model(root)
    door = next(each for each in model.motions if each.kind == "swing" and each.key.endswith("left"))
    turned = there["doors/leaf.left/panel"].matrix_basis
    angle = (rest.to_quaternion().inverted() @ turned.to_quaternion()).angle
    assert np.degrees(angle) == pytest.approx(door.reach, abs=0.01)
    assert there["drawer/front/panel"].matrix_basis.translation.y == pytest.approx(
        -0.2 + model.part("drawer/front/panel").place.origin[1] / 1000, abs=1e-5
    )
    root.muntin.swing = root.muntin.travel = 0.0
    assert np.allclose(there["doors/leaf.left/panel"].matrix_basis, rest, atol=1e-6)


def test_taken_apart_as_on_the_drawings(root):
    """Take Apart moves every part and fitting by the drawing's own way for it, open doors too, and brings it back."""
    taken_apart = addon("core.drawing.explode").taken_apart
    root.muntin.apart = 0.5
    model = taken_apart(addon("document").model(root), 0.5)
    there = objects(root)
    for each in (*model.parts, *model.fittings):
        assert np.allclose(there[each.key].matrix_basis.translation * 1000, each.place.origin, atol=0.01), each.key
    root.muntin.piece.whole.width = 1.3
    model = taken_apart(addon("document").model(root), 0.5)
    side = model.part("carcass/side.left")
    assert np.allclose(objects(root)[side.key].matrix_basis.translation * 1000, side.place.origin, atol=0.01)
    root.muntin.swing, root.muntin.apart = 1.0, 0.0
    shut = objects(root)["doors/leaf.left/panel"].matrix_basis.copy()
    root.muntin.apart = 1.0
    way = objects(root)["doors/leaf.left/panel"].matrix_basis.translation - shut.translation
    apart = addon("core.drawing.explode").directions_apart(addon("document").model(root))
    assert np.allclose(way * 1000, apart["doors/leaf.left/panel"], atol=0.01) and way.length > 0.01


def test_sizes_follow_the_scenes_unit(empty_scene):
    """Where a Blender unit is a millimetre, meshes and fields are in millimetres, and the piece is the same."""
    empty_scene.unit_settings.scale_length = 0.001
    bpy.ops.muntin.add_piece()
    root = bpy.context.object
    assert root.muntin.piece.whole.width == pytest.approx(1150)
    assert np.allclose(extent(root) / 1000, (1150, 560, 1900), atol=0.01)
    root.muntin.piece.whole.width = 1200
    assert text(root)["whole"]["width"] == 1200


def test_panes_are_glass_whatever_the_fronts_are_painted(empty_scene, tmp_path):
    """A glazed door's pane has the material of glass, its frame the paint of the fronts."""
    bpy.ops.muntin.add_piece(kind="wardrobe")
    text = bpy.context.object["muntin_text"]
    data = json.loads(text)
    for front in data["fronts"]:
        front["panel"], front["hanging"] = {"style": "glazed"}, {"hinge": ""}
    path = tmp_path / "glazed.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    bpy.ops.muntin.add_piece(filepath=str(path))
    root = bpy.context.object
    shown = {each["muntin_key"]: each.active_material for each in root.children_recursive if each.get("muntin_key")}
    panes = {key: made for key, made in shown.items() if key.endswith("/pane")}
    frames = {key: made for key, made in shown.items() if key.endswith("/rail.top") and key.startswith("doors")}
    assert panes and frames
    assert all("Glass" in made.name for made in panes.values()), panes
    assert not any("Glass" in made.name for made in frames.values())
