"""The editor made from core's declared parameters, and the panels that draw it."""

import importlib
import inspect
import json
import types

import bpy
import pytest
from conftest import ADDON, addon

pytestmark = pytest.mark.usefixtures("no_traceback")


def kinds():
    return addon("core.starters").starter_kinds()


def buildable():
    """The starter pieces that core can build."""
    core, starters = addon("core"), addon("core.starters")
    found = []
    for kind in kinds():
        try:
            core.build(core.loads(starters.starter_text(kind)))
        except core.PieceError:
            continue
        found.append(kind)
    return found


def test_a_piece_comes_back_from_the_editor_as_it_went_in(empty_scene):
    """Filled into the editor and read back, every starter piece is the same text, to the last digit."""
    core, editor, plain = addon("core"), addon("editor"), addon("core.fields").plain
    holder = bpy.data.objects.new("Holder", None)
    for kind in kinds():
        piece = core.loads(addon("core.starters").starter_text(kind))
        data = plain(piece)
        editor.fill(holder.muntin.piece, core.Piece, data, 0.001)
        back = editor.plain_from(holder.muntin.piece, core.Piece, data, 0.001)
        assert back == data, kind
        assert core.dumps(addon("core.fields").read(core.Piece, back)) == core.dumps(piece)


def test_a_typed_size_is_the_size_that_was_typed(empty_scene):
    """Lengths typed in Blender come back to the thousandth of a millimetre, although its numbers are short."""
    core, editor = addon("core"), addon("editor")
    holder = bpy.data.objects.new("Holder", None)
    for size in (600.075, 1234.5, 250.1, 3999.9):
        holder.muntin.piece.whole.width = size / 1000
        assert editor.plain_from(holder.muntin.piece, core.Piece, None, 0.001)["whole"]["width"] == size


def test_every_declared_field_has_a_property_with_its_words(installed):
    """Each parameter of core has a property, named and explained in core's words, and without a hard limit."""
    fields, editor, Piece = addon("core.fields"), addon("editor"), addon("core.piece").Piece

    def look(cls):
        group = editor.group_class(cls)
        for field in fields.fields_of(cls):
            made = group.bl_rna.properties[field.name]
            assert made.name.lower().startswith(field.label.lower()), (cls, field.name)
            assert made.description
            if field.kind == "length":
                assert made.hard_max > 1e30 and made.soft_max == pytest.approx(field.high / 1000)
            if field.kind == "group":
                look(field.of)

    look(Piece)


@pytest.mark.ends
def test_words_on_screen_follow_blenders_rules():
    """Labels begin with a capital, tooltips too, and neither ends with a period or has a line break."""
    for cls in importlib.import_module(ADDON).CLASSES:
        words = [getattr(cls, "bl_label", "") or "X", (inspect.getdoc(cls) or "X").split("\n\n")[0]]
        if issubclass(cls, bpy.types.Operator):
            assert "\n" not in inspect.getdoc(cls) and not inspect.getdoc(cls).endswith("."), cls
        ours = {name for base in cls.__mro__ for name in vars(base).get("__annotations__", {})}
        for made in cls.bl_rna.properties:
            if made.identifier in ours:
                words += [made.name, made.description]
                assert not made.description.endswith("."), (cls, made.identifier)
                assert "\n" not in made.description, (cls, made.identifier)
        assert all(word[0].isupper() or not word[0].isalpha() for word in words if word), (cls, words)


def test_a_sentence_names_parameters_as_the_screen_does(empty_scene):
    """What core says in the words of a piece file, a person reads in the words of the fields that they see."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    root = bpy.context.object
    told = addon("document").told
    assert told(root, "make it wider (carcass.back.rebate_depth), at most 9.5 mm.") == (
        "make it wider (Joints and Back, Back, Rebate Depth), at most 9.5 mm."
    )
    assert told(root, "fronts[0].gaps.side is too narrow") == "Fronts 1, Gaps, Gap at the Sides is too narrow"
    assert told(root, "site.skirting.no_such_word") == "Site, Skirting, No Such Word"
    assert told(root, '"carcass/top" and whole. The rest') == '"carcass/top" and whole. The rest'


def test_a_pipe_is_declared_and_bored_for_on_its_panel(empty_scene):
    """Among the site's pipes a line is added; what is done to the boards across it is asked for unless it comes out of the wall."""
    bpy.ops.muntin.add_piece(kind="bookcase")
    root = bpy.context.object
    piece = root.muntin.piece
    bpy.ops.muntin.add_row(path="site.pipes")
    (pipe,) = piece.site.pipes
    without = addon("panels.meaning").without_meaning
    cls = importlib.import_module(f"{ADDON}.core.piece.site").Pipe
    shown = []
    for runs in ("up", "along", "out"):
        pipe.runs = runs
        shown.append("meets" not in without(cls, pipe))
    assert shown == [True, True, False]
    pipe.runs, pipe.meets = "up", "bored"
    pipe.off, pipe.across, pipe.diameter = 0.2, 0.13, 0.022
    assert addon("document").trouble(root) is None
    (entered,) = addon("document").piece(root).site.pipes
    assert (entered.meets, entered.off, entered.across) == ("bored", 200.0, 130.0)


@pytest.mark.ends
def test_rows_are_added_moved_and_removed(empty_scene):
    """A line added to a list gets its own id; lines can be moved and taken out; a list that is not there is said."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    piece = bpy.context.object.muntin.piece
    boards = [each.id for each in piece.boards]
    bpy.ops.muntin.add_row(path="boards")
    assert len(piece.boards) == len(boards) + 1 and len({each.id for each in piece.boards}) == len(piece.boards)
    assert addon("document").trouble(bpy.context.object) is None
    bpy.ops.muntin.move_row(path="boards", index=len(boards), step=-1)
    bpy.ops.muntin.remove_row(path="boards", index=len(boards) - 1)
    assert [each.id for each in piece.boards] == boards
    bpy.ops.muntin.add_row(path="fronts[0].panel.mid_rails")
    assert len(piece.fronts[0].panel.planted_frame.mid_rails) == 2
    with pytest.raises(RuntimeError, match="no list"):
        bpy.ops.muntin.add_row(path="fronts[9].closes")


class Recorder:
    """Stands in for a layout: checks that every property and operator drawn is there, and keeps what was said."""

    def __init__(self):
        self.said, self.names, self.buttons, self.drawn, self.shares = [], [], [], 0, []

    def prop(self, data, name, text="", **_):
        assert name in data.bl_rna.properties, f"{data} has no {name}"
        getattr(data, name)
        self.names.append(name)
        self.drawn += 1

    def operator(self, idname, text=None, **_):
        module, name = idname.split(".")
        operator = getattr(getattr(bpy.ops, module), name).get_rna_type()
        self.buttons.append(operator.name if text is None else text)
        self.drawn += 1

        class Properties:
            def __setattr__(self, key, value):
                assert key in operator.properties, f"{idname} has no {key}"

        return Properties()

    def template_list(self, kind, name, data, listed, active_data, active, **_):
        assert kind in dir(bpy.types) and listed in data.bl_rna.properties and active in active_data.bl_rna.properties
        for each in getattr(data, listed):
            assert addon("panels.rows").line_text(each)

    def menu(self, idname, **_):
        assert idname in dir(bpy.types)

    def label(self, text="", **_):
        self.said.append(text)

    def panel(self, *_, **__):
        return self, self

    def separator(self, **_):
        pass

    def row(self, **_):
        return self

    def split(self, factor=0.5, **_):
        self.shares.append(factor)
        return self

    column = box = row


def draw_all(context):
    """Draw every panel that is shown; what was said."""
    recorder = Recorder()
    for cls in importlib.import_module(ADDON).CLASSES:
        if issubclass(cls, (bpy.types.Panel, bpy.types.Menu)) and (not hasattr(cls, "poll") or cls.poll(context)):

            class Drawn:
                layout = recorder

                def __getattr__(self, name, of=cls):
                    found = getattr(of, name)
                    return found.__get__(self) if inspect.isfunction(found) else found

            cls.draw(Drawn(), context)
    return recorder


@pytest.mark.ends
def test_every_panel_draws(empty_scene):
    """With every starter piece, with none, and with a value that cannot work, each panel draws only what is there."""
    empty = draw_all(bpy.context)
    assert any("begin with" in line for line in empty.said)
    for kind in buildable():
        bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
        bpy.ops.muntin.add_piece(kind=kind)
        assert draw_all(bpy.context).drawn > 80
    bpy.context.object.muntin.piece.whole.width = 9.0
    said = " ".join(draw_all(bpy.context).said)
    assert "Not current" in said and "9000" in said


@pytest.mark.ends
def test_a_piece_that_is_refused_by_now_is_opened_with_the_reason(empty_scene):
    """A file may hold what an older version built: every panel draws, the reason is said, and mended the piece is current."""
    bpy.ops.muntin.add_piece(kind="bookcase")
    root, handlers, document = bpy.context.object, addon("handlers"), addon("document")
    good, data = root["muntin_text"], json.loads(root["muntin_text"])
    data["carcass"]["back"]["rebate_width"] = 30
    root["muntin_text"] = addon("core").dumps(addon("core").loads(json.dumps(data)))
    handlers.rebuild_editors()
    assert not document.is_built(root) and "30 mm leaves" in document.trouble_words(root)
    assert "Not current" in " ".join(draw_all(bpy.context).said)
    root.muntin.piece.carcass.back.rebate_width = json.loads(good)["carcass"]["back"]["rebate_width"] / 1000
    assert document.trouble(root) is None and document.is_built(root) and root["muntin_text"] == good


@pytest.mark.parametrize(
    ("kind", "shown"),
    [
        ("wardrobe", ["swing", "apart"]),
        ("chest_of_drawers", ["travel", "apart"]),
        ("coat_cupboard", ["swing", "travel", "apart"]),
        ("bookcase", ["apart"]),
    ],
)
def test_only_what_moves_has_a_slider(empty_scene, kind, shown):
    """Rule: Swing is shown where something swings, Travel where something travels."""
    bpy.ops.muntin.add_piece(kind=kind)
    assert [name for name in draw_all(bpy.context).names if name in ("swing", "travel", "apart")] == shown


def test_the_whole_carcass_has_no_size_among_others(empty_scene):
    """Rule: order and size are shown of what lies within something, not of the carcass itself."""
    bpy.ops.muntin.add_piece(kind="wardrobe")
    piece = bpy.context.object.muntin.piece
    shown = {}
    for index in (0, 1):
        piece.at_layout = index
        shown[piece.layout[index].id] = "order" in draw_all(bpy.context).names
    assert shown == {"all": False, "long": True}


def test_a_new_scheme_begins_as_the_chosen_one(empty_scene):
    """Rule: a colour under discussion is one more scheme with all finishes of the chosen one, under an id of its own."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    root = bpy.context.object
    root.muntin.piece.finish.at_schemes = 1
    bpy.ops.muntin.add_row(path="finish.schemes")
    *before, added = text_of(root)["finish"]["schemes"]
    assert added["coats"] == before[1]["coats"] != before[0]["coats"]
    assert added["name"] == "" and added["id"] not in {each["id"] for each in before}


def test_a_compartment_with_a_drawer_is_not_called_empty(empty_scene, monkeypatch):
    """Rule: Inside says what a compartment holds, a drawer as well as shelves; empty is one with neither."""
    headings = []
    fields = addon("panels.fields")
    monkeypatch.setattr(fields.Sheet, "under_heading", lambda self, layout, words, path, **_: headings.append(words))
    for kind in ("sideboard", "wardrobe"):
        bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
        bpy.ops.muntin.add_piece(kind=kind)
        draw_all(bpy.context)
    assert {"Low: Drawer", "Left: Loose Shelves", "Hats: Empty", "Long: Hanging Rail"} <= set(headings)


def test_what_is_chosen_has_the_room_that_its_heading_leaves(empty_scene):
    """Rule: beside a short word such as Support or Top most of the line is for the choice, whose name is long."""
    bpy.ops.muntin.add_piece(kind="wardrobe")
    shares = draw_all(bpy.context).shares
    assert max(sorted(shares)[:2]) < 0.35 and max(shares) <= 0.7


def test_lengths_are_read_by_core_where_they_are_inches(empty_scene):
    """In imperial scenes 23-5/8" is 600.075 mm in the piece's text, to the last digit; metric lengths are taken too."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    root = bpy.context.object
    empty_scene.unit_settings.system = "IMPERIAL"
    whole = root.muntin.piece.whole
    for typed, mm, shown in (
        ('45-5/8"', 1158.875, '45-5/8"'),
        ("1160 mm", 1160, '45.669"'),
        ("45 21/64", 1151.334375, '45-21/64"'),
    ):
        whole.width_words = typed
        assert text_of(root)["whole"]["width"] == mm and whole.width_words == shown
    whole.depth_words = "22"
    assert (text_of(root)["whole"]["width"], text_of(root)["whole"]["depth"]) == (1151.334375, 558.8)
    panel = root.muntin.piece.fronts[0].panel
    panel.planted_frame.stile_width_words = '3-1/8"'
    assert text_of(root)["fronts"][0]["panel"]["stile_width"] == 79.375
    root.muntin.piece.layout[0].size.way = "fixed"
    editor = addon("editor")
    assert editor.path_of(root.muntin.piece.layout[1].size, addon("core").Piece, "fixed") == "layout[1].size.fixed"


def test_what_is_no_length_stays_as_typed_and_says_why(empty_scene):
    """An unreadable length stays in its field with the reason; other fields are held until it is mended."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    root, document = bpy.context.object, addon("document")
    empty_scene.unit_settings.system = "IMPERIAL"
    whole, before = root.muntin.piece.whole, root["muntin_text"]
    whole.width_words = "about four feet"
    assert whole.width_words == "about four feet" and root["muntin_text"] == before
    assert document.trouble(root)[0] == "whole.width" and "such as 23-5/8" in document.trouble(root)[1]
    whole.depth_words = "22"
    assert root["muntin_text"] == before and "such as 23-5/8" in " ".join(draw_all(bpy.context).said)
    whole.width_words = "4'"
    assert document.trouble(root) is None
    assert (text_of(root)["whole"]["width"], text_of(root)["whole"]["depth"]) == (1219.2, 558.8)
    whole.width_words = "wide"
    bpy.ops.muntin.refresh()
    assert whole.width_words == '48"' and document.trouble(root) is None


def test_panels_show_inches_where_lengths_are_inches(empty_scene):
    """Every length field is drawn as text in an imperial scene, and as a number in a metric one."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    metric = draw_all(bpy.context)
    empty_scene.unit_settings.system = "IMPERIAL"
    imperial = draw_all(bpy.context)
    lengths = [name for name in metric.names if f"{name}_words" in imperial.names]
    assert {"width", "height", "depth", "thickness"} <= set(lengths)
    assert not [name for name in imperial.names if name in lengths and name != "value"]  # ids in lists are values too
    assert imperial.drawn == metric.drawn
    assert any('45.276" wide' in line for line in imperial.said)


def text_of(root):
    return json.loads(root["muntin_text"])


def test_the_add_menu_offers_every_starter(empty_scene):
    """Add > Mesh has the submenu, and the submenu a line for each starter piece."""
    assert any(each.__module__.startswith(ADDON) for each in bpy.types.VIEW3D_MT_mesh_add._dyn_ui_initialize())
    recorder = Recorder()
    addon("panels.start").draw_starters(recorder, bpy.context)
    assert recorder.drawn == len(kinds()) + 1


def test_the_file_menu_opens_and_writes(empty_scene):
    """File > Import opens a piece file, File > Export writes all that the panels write; every operator named exists."""
    for menu in (bpy.types.TOPBAR_MT_file_import, bpy.types.TOPBAR_MT_file_export):
        assert sum(each.__module__.startswith(ADDON) for each in menu._dyn_ui_initialize()) == 1
    for lines, least in (("import_lines", 1), ("export_lines", 5)):
        recorder = Recorder()
        getattr(addon("menus"), lines)(types.SimpleNamespace(layout=recorder), bpy.context)
        assert recorder.drawn >= least


def test_findings_are_found_and_selected(empty_scene):
    """The findings of the piece are core's own, and a click selects the parts they are about."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    root = bpy.context.object
    found = addon("findings").of(root)
    model = addon("document").model(root)
    assert found == addon("core.checks").findings(addon("document").piece(root), model)
    bpy.ops.muntin.select_parts(keys="carcass/top\ncarcass/bottom")
    assert {each["muntin_key"] for each in bpy.context.selected_objects} == {"carcass/top", "carcass/bottom"}
