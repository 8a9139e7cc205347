"""Direct handling: sizes dragged by grips, compartments picked, divided and fitted out."""

import importlib
import json
import types

import bpy
import pytest
from conftest import ADDON, addon
from mathutils import Matrix, Vector

pytestmark = pytest.mark.usefixtures("no_traceback")


@pytest.fixture
def root(empty_scene):
    """The root of a coat cupboard, just added."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    return bpy.context.object


def text(root):
    return json.loads(root["muntin_text"])


def keys(root):
    return {key for key in addon("scene").own_objects(root) if key.startswith("carcass/")}


@pytest.mark.ends
def test_what_is_dragged_is_a_field_too(root):
    """A grip changes the parameter whose path it names, and the field shows it; undo takes the drag back as a whole."""
    name = root.name
    bpy.ops.ed.undo_push(message="Added")
    bpy.ops.muntin.drag(grip="width", size=1.2)
    bpy.ops.muntin.drag(grip="between coats+shelves", size=0.5)
    bpy.ops.ed.undo_push(message="Dragged")
    piece = root.muntin.piece
    assert text(root)["whole"]["width"] == 1200 and piece.whole.width == pytest.approx(1.2)
    grip = next(each for each in addon("document").grips_of(root) if each.key == "between coats+shelves")
    group, field = addon("editor").reach(piece, addon("core").Piece, grip.path)
    assert (group.size.way, field.name) == ("fixed", "size") and group.size.fixed == pytest.approx(0.5)
    bpy.ops.ed.undo()
    root = bpy.data.objects[name]
    assert text(root)["whole"]["width"] == 1150 and root.muntin.piece.layout[3].size.way == "share"


def test_a_drag_too_far_is_refused(root):
    """A size that cannot be built leaves the piece as it was and says why."""
    before = root["muntin_text"]
    with pytest.raises(RuntimeError, match="at least 40 mm"):
        bpy.ops.muntin.drag(grip="between coats+shelves", size=1.02)
    with pytest.raises(RuntimeError, match="nothing can be dragged"):
        bpy.ops.muntin.drag(grip="between here+there", size=1.0)
    assert root["muntin_text"] == before and addon("document").trouble(root) is None


def everything(root):
    """Text, what the editor says, and where every vertex and object of a piece is, with bounds and UV maps."""
    document, editor, core = addon("document"), addon("editor"), addon("core")
    said = editor.plain_from(root.muntin.piece, core.Piece, None, document.scale_of(root))
    bpy.context.view_layer.update()
    shown = {
        key: (
            [tuple(each.co) for each in there.data.vertices],
            [tuple(row) for row in there.matrix_basis],
            [tuple(corner) for corner in there.bound_box],
            [tuple(each.vector) for each in there.data.attributes["UVMap"].data],
        )
        for key, there in addon("scene").own_objects(root).items()
    }
    return root["muntin_text"], said, shown


@pytest.mark.parametrize(
    ("grip", "sizes"),
    [
        ("width", (1151, 1200, 1120)),
        ("height", (2010, 1990)),
        ("depth", (600, 590)),
        ("between coats+shelves", (420, 500)),
    ],
)
def test_the_steps_of_a_drag_leave_what_one_change_leaves(root, grip, sizes):
    """Every step fills the editor only where the piece differs: let go, text, editor and objects are those of a fresh start."""
    document, moved = addon("document"), addon("core.grips").moved
    for size in sizes:
        document.drag_to(root, moved(document.piece(root), grip, size))
        document.let_go(root)
        dragged = everything(root)
        document.refresh(root, afresh=True)
        assert everything(root) == dragged


@pytest.mark.ends
def test_what_is_dragged_through_has_bounds_and_normals_of_its_own(root):
    """Coordinates alone are written on the way: what Blender keeps of a mesh besides, its bounds and normals, follows them."""
    document, moved = addon("document"), addon("core.grips").moved
    bpy.context.view_layer.update()
    stood = {key: each.dimensions.copy() for key, each in addon("scene").own_objects(root).items()}
    document.drag_to(root, moved(document.piece(root), "width", 1234))
    bpy.context.view_layer.update()
    changed = 0
    for key, each in addon("scene").own_objects(root).items():
        places = [tuple(vertex.co) for vertex in each.data.vertices]
        long = [max(axis) - min(axis) for axis in zip(*places, strict=True)]
        assert tuple(each.dimensions) == pytest.approx(long, abs=1e-6), key
        changed += (each.dimensions - stood[key]).length > 1e-3
        if key == "carcass/top":
            across = each.data.polygons[0]
            a, b, c = (each.data.vertices[i].co for i in across.vertices[:3])
            assert across.normal.dot((b - a).cross(c - b).normalized()) == pytest.approx(1.0)
    assert changed > 10


def test_what_is_dragged_through_lacks_only_filled_holes(root, said):
    """On the way the dowels' holes are not drawn; dragged back to where it began and given up, every one is there again."""
    document, moved = addon("document"), addon("core.grips").moved
    before = everything(root)
    size = next(each.size for each in document.grips_of(root) if each.key == "width")
    drag = Held(bpy.types.MUNTIN_OT_drag, root=root.name, start=root["muntin_text"])
    for width in (size + 10, size):
        document.drag_to(root, moved(document.piece(root), "width", width))
    text, said_in_editor, shown = everything(root)
    assert (text, said_in_editor, shown.keys()) == (before[0], before[1], before[2].keys())
    side = "carcass/side.left"
    assert len(shown[side][0]) < len(before[2][side][0])
    drag.cancel(bpy.context)
    assert everything(root) == before


class Event:
    """A mouse that moves in the region, with keys held."""

    type = "MOUSEMOVE"

    def __init__(self, shift=False, ctrl=False):
        self.shift, self.ctrl = shift, ctrl


class Held:
    """A command that waits for the mouse, as it stands while one drags; Blender alone makes the true ones."""

    def __init__(self, command, **held):
        self.command = command
        vars(self).update(held)

    def __getattr__(self, name):
        return getattr(self.command, name).__get__(self)


@pytest.fixture
def said(monkeypatch):
    """What is taken away of headers and status bars; the Python module of Blender has no window to say it in."""
    taken = []
    monkeypatch.setattr(addon("view"), "say_nothing", lambda: taken.append("words"))
    return taken


@pytest.mark.ends
def test_a_drag_that_blender_ends_puts_the_piece_back(root, said):
    """A window closed or a file opened while one drags: text, editor and objects as before, nothing said any more."""
    document, moved, busy = addon("document"), addon("core.grips").moved, addon("view").busy
    before = everything(root)
    drag = Held(bpy.types.MUNTIN_OT_drag, root=root.name, start=root["muntin_text"])
    document.drag_to(root, moved(document.piece(root), "width", 1210))
    busy.grip, busy.words = "width", "too wide"
    assert everything(root) != before
    drag.cancel(bpy.context)
    assert everything(root) == before and (busy.grip, busy.words, said) == ("", "", ["words"])
    drag.root = "gone with its file"
    drag.cancel(bpy.context)  # nothing to put back, and nothing that stops Blender from ending


def test_waiting_that_blender_ends_leaves_nothing_in_the_viewport(root, said):
    """The compartment under the mouse and the photograph over the viewport go with the command that showed them."""
    view, drawn = addon("view"), []
    view.busy.compartment = "coats"
    Held(bpy.types.MUNTIN_OT_pick_compartment).cancel(bpy.context)
    handle = bpy.types.SpaceView3D.draw_handler_add(drawn.append, (1,), "WINDOW", "POST_PIXEL")
    Held(bpy.types.MUNTIN_OT_mark_rectangle, handle=handle).cancel(bpy.context)
    assert view.busy.compartment == "" and said == ["words", "words"]
    with pytest.raises(ValueError):
        bpy.types.SpaceView3D.draw_handler_remove(handle, "WINDOW")  # it is removed already


def test_every_command_that_waits_can_be_ended_by_blender():
    """A command with `modal` has `cancel` too: Blender calls nothing else when it ends one."""
    waiting = [each for each in importlib.import_module(ADDON).CLASSES if hasattr(each, "modal")]
    assert len(waiting) >= 3
    assert [each.__name__ for each in waiting if "cancel" not in vars(each)] == []


def test_drags_snap_to_what_a_tape_can_set(root, empty_scene):
    """Whole millimetres; Shift: the finest step; Ctrl: the 32 mm pitch; sixteenths where lengths are inches."""
    drag = addon("operators.drag")
    step = drag._step
    sizes = [
        drag.snapped(613.37, step(bpy.context, "0.1 mm", event))
        for event in (Event(), Event(shift=True), Event(ctrl=True))
    ]
    assert sizes == [613, 613.4, 608]
    empty_scene.unit_settings.system = "IMPERIAL"
    assert drag.snapped(613.37, step(bpy.context, "0.1 mm", Event())) == pytest.approx(24.125 * 25.4)  # 24 1/8"


def test_the_mouse_is_followed_along_the_grips_line():
    """The place on a line that is nearest to the ray under the mouse: skew lines with a known common normal."""
    nearest = addon("operators.drag").nearest_on_line
    along = Vector((1.0, 0.0, 0.0))
    assert nearest(Vector((1, 0, 0)), along, Vector((4, -5, 2)), Vector((0, 3, 0))) == pytest.approx(3)
    assert nearest(Vector((0, 0, 0)), along, Vector((0, -1, 0)), Vector((1, 1, 0))) == pytest.approx(1)
    assert nearest(Vector((0, 0, 0)), along, Vector((0, -1, 0)), Vector((2, 0, 0))) == 0


def test_a_compartment_is_picked_where_it_is_seen(root):
    """A ray from the front meets the compartment behind that place, a ray beside the piece none."""
    hit, ahead = addon("operators.compartments").hit, Vector((0.0, 1.0, 0.0))
    assert hit(root, Vector((-300, -3000, 1400)), ahead) == "coats"
    assert hit(root, Vector((300, -3000, 1400)), ahead) == "shelves"
    assert hit(root, Vector((0, -3000, 300)), ahead) == "drawer"
    assert hit(root, Vector((900, -3000, 300)), ahead) == ""
    assert hit(root, Vector((-300, -3000, 1400)), -ahead) == ""


@pytest.mark.ends
def test_commands_act_on_the_picked_compartment(root):
    """Divide, fit out, take out: parts come and go, and the new compartment is picked."""
    document = addon("document")
    before = keys(root)
    bpy.ops.muntin.pick_compartment(compartment="shelves")
    bpy.ops.muntin.add_fixed_shelf()
    assert document.chosen(root) == "shelves-lower"
    assert len(keys(root)) == len(before) + 1
    bpy.ops.muntin.fit_shelves(quantity=1)
    held = {each["id"]: [inner["style"] for inner in each["holds"]] for each in text(root)["layout"]}
    assert held["shelves-lower"] == ["shelves"] and held["shelves"] == []
    bpy.ops.muntin.take_out()
    assert keys(root) == before and document.chosen(root) == "shelves"
    assert text(root)["retired"] == ["shelves-lower", "shelves-upper"]
    with pytest.raises(RuntimeError, match="no compartment"):
        bpy.ops.muntin.pick_compartment(compartment="shelves-lower")


def test_a_command_that_cannot_be_carried_out_changes_nothing(root):
    """Doors before doors, a second rail, a divided compartment: refused with the reason, the piece as it was."""
    before = root["muntin_text"]
    bpy.ops.muntin.pick_compartment(compartment="coats")
    for command, why in (("fit_doors", "together with others"), ("fit_rail", "already")):
        with pytest.raises(RuntimeError, match=why):
            getattr(bpy.ops.muntin, command)()
    bpy.ops.muntin.pick_compartment(compartment="upper")
    with pytest.raises(RuntimeError, match="not divided"):
        bpy.ops.muntin.add_upright()
    assert root["muntin_text"] == before


def test_an_empty_carcass_is_fitted_out_by_commands_alone(empty_scene):
    """From an open bookcase to doors over drawers, with nothing but the commands; everything builds."""
    bpy.ops.muntin.add_piece(kind="bookcase")
    root = bpy.context.object
    leaf = next(each["id"] for each in text(root)["layout"] if each["divided"] == "none")
    bpy.ops.muntin.pick_compartment(compartment=leaf)
    fronts = len(text(root)["fronts"])
    bpy.ops.muntin.add_upright()
    left = addon("document").chosen(root)
    bpy.ops.muntin.fit_doors()
    assert text(root)["fronts"][-1]["closes"] == [left] and len(text(root)["fronts"]) == fronts + 1
    assert any(key.startswith(f"door-{left}/") for key in addon("scene").own_objects(root))


def test_ids_taken_out_of_lists_never_come_back(root):
    """A front removed from its list leaves its id behind: a new front gets another."""
    index = [each["id"] for each in text(root)["fronts"]].index("drawer")
    bpy.ops.muntin.remove_row(path="fronts", index=index)
    assert text(root)["retired"] == ["drawer"]
    bpy.ops.muntin.add_row(path="fronts")
    assert "drawer" not in [each.id for each in root.muntin.piece.fronts]


def test_grips_and_overlay_can_be_switched_off(root, empty_scene):
    """The overlay has its switches in the scene; grips are gone while the piece is not current or is apart."""
    view = addon("view")
    assert {name: getattr(empty_scene.muntin, name) for name in ("dimensions", "findings", "grips")} == dict.fromkeys(
        ("dimensions", "findings", "grips"), True
    )

    class Context:
        scene, mode, object, preferences = empty_scene, "OBJECT", root, bpy.context.preferences

        class space_data:
            type = "VIEW_3D"

            class overlay:
                show_overlays = True

    assert view.has_grips(Context)
    root.muntin.apart = 0.5
    assert not view.has_grips(Context)
    root.muntin.apart = 0.0
    root.muntin.piece.whole.width = 9.0
    assert not view.has_grips(Context)
    root.muntin.piece.whole.width = 1.15
    empty_scene.muntin.grips = False
    assert not view.has_grips(Context)


def over(root, scene):
    """What the overlay draws over a piece seen from the front, half a pixel to the millimetre."""
    matrix = Matrix(((1.0, 0, 0, 0), (0, 0, 1.0, -0.95), (0, 1, 0, 0), (0, 0, 0, 1)))
    context = types.SimpleNamespace(
        scene=scene, mode="OBJECT", object=root, preferences=bpy.context.preferences,
        region=types.SimpleNamespace(width=1000, height=1000), region_data=types.SimpleNamespace(perspective_matrix=matrix),
        space_data=types.SimpleNamespace(type="VIEW_3D", overlay=types.SimpleNamespace(show_overlays=True)),
    )  # fmt: skip
    return addon("overlay").sheet_over(context, root)


def test_sizes_stand_beside_a_piece_that_is_whole(root, empty_scene):
    """Rule: of a piece taken apart no size is drawn, for its parts are not where the lines would be."""
    assert over(root, empty_scene).texts
    root.muntin.apart = 0.5
    assert not over(root, empty_scene).texts


def test_no_label_covers_a_grip(root, empty_scene):
    """Rule: the number of a finding gives way to an arrow, which could not be found below it."""
    sheet, grips = over(root, empty_scene), addon("document").grips_of(root)
    sheet.papers.clear()
    for grip in grips:
        x, y = sheet.seen(grip.at)
        sheet.label(["10  Warn"], (x, y), sheet.ink)
        (left, low), (right, high) = sheet.papers.pop()
        assert not (left < x < right and low < y < high), grip.key


def test_from_nothing_to_a_cutting_list_in_few_actions(empty_scene, tmp_path):
    """An empty scene, a starter piece, two sizes, a shelf more, a cutting list: at most 12 clicks and entries."""
    actions = 2  # the sidebar's tab, the starter piece
    bpy.ops.muntin.add_piece(kind="bookcase")
    root = bpy.context.object
    for name, size in (("width", 0.9), ("height", 1.9)):
        setattr(root.muntin.piece.whole, name, size)
        actions += 1  # an arrow dragged, or a field typed
    leaf = next(each["id"] for each in text(root)["layout"] if each["divided"] == "none")
    bpy.ops.muntin.pick_compartment(compartment=leaf)
    actions += 3  # the panel opened, Pick Compartment, the click into it
    bpy.ops.muntin.add_fixed_shelf()
    actions += 1
    bpy.ops.muntin.export_cutting_list(filepath=str(tmp_path / "list.csv"))
    actions += 2  # the command, the button in the file dialog
    listed = (tmp_path / "list.csv").read_text(encoding="utf-8")
    assert actions <= 12 and len(listed.splitlines()) > 8 and addon("document").trouble(root) is None
