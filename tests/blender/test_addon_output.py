"""What comes out of Blender: piece files, the picture, the workshop pack."""

import json
import os
import subprocess
import sys
import time
from dataclasses import replace

import bpy
import numpy as np
import pytest
from conftest import ADDON, addon

DATA = (
    "objects",
    "meshes",
    "materials",
    "scenes",
    "worlds",
    "lights",
    "cameras",
    "collections",
    "images",
    "node_groups",
)


pytestmark = pytest.mark.usefixtures("no_traceback")


@pytest.fixture
def root(empty_scene):
    """The root of a coat cupboard, just added."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard")
    return bpy.context.object


def test_a_saved_piece_loads_again(root, tmp_path):
    """A piece file written by the add-on is core's canonical text, and gives the same piece when loaded."""
    path = tmp_path / "piece.json"
    root.muntin.piece.whole.width = 1.2
    bpy.ops.muntin.save_piece(filepath=str(path))
    assert path.read_text(encoding="utf-8") == root["muntin_text"]
    root.muntin.piece.whole.width = 1.0
    bpy.ops.muntin.load_piece(filepath=str(path))
    assert root["muntin_text"] == path.read_text(encoding="utf-8")
    assert root.muntin.piece.whole.width == pytest.approx(1.2)


def test_a_bad_file_changes_nothing(root, tmp_path):
    """A file that is no piece is refused in one line that names it, and the piece stays as it was."""
    before, path = root["muntin_text"], tmp_path / "bad.json"
    path.write_text(json.dumps({**json.loads(before), "whole": {"width": -5}}))
    with pytest.raises(RuntimeError, match=r"bad\.json: whole\.width: -5"):
        bpy.ops.muntin.load_piece(filepath=str(path))
    assert root["muntin_text"] == before


def test_a_piece_is_added_at_other_sizes(empty_scene):
    """Sizes given to the command stand above those of the starter piece; sizes not given are reported back."""
    bpy.ops.muntin.add_piece(kind="coat_cupboard", width=1.3, location=(1, 2, 3))
    root = bpy.context.object
    assert json.loads(root["muntin_text"])["whole"]["width"] == 1300
    assert tuple(root.matrix_world.translation) == (1, 2, 3)
    with pytest.raises(RuntimeError, match=r"whole\.width: 9000 is out of range"):
        bpy.ops.muntin.add_piece(kind="coat_cupboard", width=9.0)


@pytest.mark.ends
def test_a_picture_leaves_everything_as_it_was(root, tmp_path):
    """A preview is written, shows something, and adds or moves nothing in the file."""
    camera = bpy.data.objects.new("Mine", bpy.data.cameras.new("Mine"))
    bpy.context.scene.collection.objects.link(camera)
    bpy.context.scene.camera = camera
    places = {each.name: each.matrix_world.copy() for each in bpy.data.objects}
    before = {kind: {each.name for each in getattr(bpy.data, kind)} - {"Render Result"} for kind in DATA}
    path = tmp_path / "picture.png"
    bpy.ops.muntin.preview(filepath=str(path), width=48, height=60, samples=2, swing=1.0, travel=0.2, scheme="harbour")
    assert {kind: {each.name for each in getattr(bpy.data, kind)} - {"Render Result"} for kind in DATA} == before
    assert all(bpy.data.objects[name].matrix_world == place for name, place in places.items())
    assert bpy.context.scene.camera == camera
    image = bpy.data.images.load(str(path))
    assert tuple(image.size) == (48, 60)
    grey = np.array(image.pixels[:]).reshape(-1, 4)[:, :3].mean(axis=1)
    assert grey.max() - grey.min() > 0.3


def test_an_unknown_scheme_is_said(root, tmp_path):
    """A scheme that the piece has not is refused by name, with those it has."""
    with pytest.raises(RuntimeError, match='no scheme "purple"'):
        bpy.ops.muntin.preview(filepath=str(tmp_path / "p.png"), scheme="purple")
    assert list(tmp_path.iterdir()) == []


PAINTS = ("#8d9b83", "#f2ede1", "#2f4858", "#a6483a", "#30332f")  # sage, off-white, deep blue, brick, near black; ours
MATT, GLOSS = 5.0, 80.0  # per cent of sheen
NEAR_ENOUGH = 2.0  # ΔE00; CIE 142, Sharma et al. 2005


@pytest.mark.parametrize(
    "setting, sheen", [("daylight", MATT), ("studio", MATT), ("daylight", GLOSS)], ids=["daylight", "studio", "glossy"]
)
def test_matt_paints_are_the_colours_that_were_chosen(root, tmp_path, monkeypatch, setting, sheen):
    """Where the grey card was, five matt paints are within ΔE00 2 of their sRGB values; what gloss does to them is told.

    Each paint is in every row and column of the card, as light falls off across it.
    """
    from coloraide import Color

    preview, room, materials = addon("preview"), addon("room"), addon("materials")
    coat = addon("document").piece(root).finish.scheme().coats[0]
    count, side = len(PAINTS), 10
    gains = []
    really = room.scale_light
    monkeypatch.setattr(room, "scale_light", lambda stage, given: (gains.append(given), really(stage, given)))

    def patches(put, shown, shot):
        """Squares of paint in the place of the card, under the scaled light."""
        card = next(each for each in put.scene.objects if each.name.startswith("Grey Card"))
        (low_x, y, low_z), (high_x, _, high_z) = card.data.vertices[0].co, card.data.vertices[2].co
        across, up = np.linspace(low_x, high_x, count + 1), np.linspace(low_z, high_z, count + 1)
        for number, colour in enumerate(PAINTS):
            painted, _ = put.material(f"Paint {colour}")
            paint = replace(coat, coating="paint", colour=colour, sheen=sheen)
            materials.write(painted, materials.coat_recipe(paint, "mdf"))
            for row in range(count):
                (a, b), (c, d) = across[(k := (number + 2 * row) % count) : k + 2], up[row : row + 2]
                put.quad(painted.name, [(a, y, c), (b, y, c), (b, y, d), (a, y, d)], painted)
        meter = next(each for each in put.scene.objects if each.name.startswith("Meter"))
        width, height = high_x - low_x, high_z - low_z
        shot_scene = put.scene.render
        shot_scene.resolution_x, shot_scene.resolution_y = count * side, count * side
        shot_scene.pixel_aspect_x, shot_scene.pixel_aspect_y = (
            (1, height / width) if height > width else (width / height, 1)
        )
        meter.data.ortho_scale = max(width, height)
        put.scene.camera = meter

    monkeypatch.setattr(preview, "_camera", patches)
    path = tmp_path / "patches.png"
    bpy.ops.muntin.preview(filepath=str(path), width=64, height=64, samples=64, setting=setting)
    seen = np.array(bpy.data.images.load(str(path)).pixels[:]).reshape(count * side, count * side, 4)[..., :3]
    cells = seen.reshape(count, side, count, side, 3)[:, 2:-2, :, 2:-2]
    for number, colour in enumerate(PAINTS):
        own = np.concatenate([cells[row, :, (number + 2 * row) % count].reshape(-1, 3) for row in range(count)])
        off = Color(colour).delta_e(Color("srgb", own.mean(axis=0).tolist()), method="2000")
        print(f"{setting}, sheen {sheen:.0f} %, {colour}: ΔE00 {off:.2f}")
        assert sheen == GLOSS or off <= NEAR_ENOUGH, (colour, own.mean(axis=0), off)
    assert len(gains) == 1


SIDE_SHARE = 0.25  # of the front's light; ours: below it the side read as a black shape


def test_the_side_is_read_by_evening_light(root, tmp_path, monkeypatch):
    """The side away from the lamps has at least a quarter of the light of the front, and less than the front."""
    from bpy_extras.object_utils import world_to_camera_view
    from mathutils import Vector

    preview = addon("preview")
    width, depth, height = (each / 1000 for each in addon("document").model(root).overall)
    places = {}
    really = preview._camera

    def look(put, shown, shot):
        really(put, shown, shot)
        put.scene.view_layers[0].update()
        for name, place in (
            ("side", (-width / 2, -depth / 2, 0.7 * height)),
            ("front", (-width / 4, -depth, 0.7 * height)),
        ):
            places[name] = world_to_camera_view(put.scene, put.scene.camera, Vector(place))

    monkeypatch.setattr(preview, "_camera", look)
    path = tmp_path / "evening.png"
    bpy.ops.muntin.preview(filepath=str(path), width=90, height=110, samples=16, setting="evening")
    image = bpy.data.images.load(str(path))
    seen = np.array(image.pixels[:]).reshape(110, 90, 4)[..., :3]
    bpy.data.images.remove(image)
    linear = np.where(seen <= 0.04045, seen / 12.92, ((seen + 0.055) / 1.055) ** 2.4)  # IEC 61966-2-1
    light = {}
    for name, at in places.items():
        x, y = int(at.x * 90), int(at.y * 110)
        light[name] = linear[y - 1 : y + 2, x - 1 : x + 2].mean()
    assert SIDE_SHARE < light["side"] / light["front"] < 1.0, light


@pytest.mark.parametrize(
    ("kind", "suited", "size"),
    [("sideboard", True, (45, 36)), ("sideboard", False, (36, 45)), ("coat_cupboard", True, (36, 45))],
)
def test_a_wide_piece_has_its_picture_on_the_long_side(empty_scene, tmp_path, kind, suited, size):
    """A piece that looks wide is pictured in a wide picture, unless the size is wanted as it was given; a high piece never."""
    bpy.ops.muntin.add_piece(kind=kind)
    path = tmp_path / "picture.png"
    bpy.ops.muntin.preview(filepath=str(path), width=36, height=45, samples=1, suited=suited)
    image = bpy.data.images.load(str(path))
    found = tuple(image.size)
    bpy.data.images.remove(image)
    assert found == size


def a_photograph(root, path, corners_of_door):
    """A picture of an empty room by a known camera: the corners of a door on its wall, in shares of the picture."""
    from bpy_extras.object_utils import world_to_camera_view
    from mathutils import Vector

    preview, room, compat = addon("preview"), addon("room"), addon("compat")
    put = room.Put(bpy.data.scenes.new("Empty Room"))
    piece = addon("document").piece(root)
    preview._settings(put.scene, preview.Shot())
    room.build(put, piece, tuple(each / 1000 for each in addon("document").model(root).overall))
    data = put.keep("cameras", bpy.data.cameras.new("Phone"))
    data.sensor_fit, data.sensor_width, data.lens = "HORIZONTAL", 36.0, 24.0
    camera = put.thing(bpy.data.objects.new("Phone", data))
    camera.location, camera.rotation_euler = (1.3, -4.6, 1.55), (1.50, 0.017, 0.297)
    stage = put.scene
    stage.camera, stage.cycles.samples = camera, 8
    stage.render.resolution_x, stage.render.resolution_y = 160, 120
    compat.set_picture_file(stage.render.image_settings, "PNG", "8")
    stage.render.filepath = str(path)
    stage.view_layers[0].update()
    wall = piece.site.stands_off / 1000
    seen = [world_to_camera_view(stage, camera, Vector((x, wall, z))) for x, z in corners_of_door]
    bpy.ops.render.render(write_still=True, scene=stage.name)
    placed = camera.matrix_world.copy()
    put.remove()
    return [value for each in seen for value in each[:2]], placed


def test_the_piece_stands_in_the_clients_own_room(root, tmp_path):
    """The marked door tells lens and camera; outside of the piece and its shadow the picture is the photograph; the piece is seen."""
    photographs = addon("photograph")
    path = tmp_path / "room.png"
    left, wide, high = -2.0, 0.9, 2.04
    corners, placed = a_photograph(root, path, [(left, 0), (left + wide, 0), (left + wide, high), (left, high)])
    before = {name: len(getattr(bpy.data, name)) for name in DATA}
    photo = root.muntin.photograph
    bpy.ops.muntin.choose_photograph(filepath=str(path))
    photo.width, photo.height = wide, high
    photo.along = -addon("document").model(root).overall[0] / 2000 - left  # as the room was built about the piece
    bpy.ops.muntin.mark_rectangle(corners=corners)
    behind = photographs.backdrop(root, 160)
    assert behind.lens == pytest.approx(24.0, abs=0.01)
    assert np.allclose(np.array(behind.matrix), np.array(placed), atol=1e-3)
    out = tmp_path / "in_room.png"
    bpy.ops.muntin.preview(filepath=str(out), setting="photograph", width=160, height=120, samples=8)
    empty, full = (
        255 * np.array(bpy.data.images.load(str(each)).pixels[:]).reshape(120, 160, 4)[..., :3] for each in (path, out)
    )
    for image in list(bpy.data.images):
        if image.name in ("room.png", "in_room.png"):
            bpy.data.images.remove(image)
    changed = np.abs(full - empty).max(axis=2) > 8
    assert np.abs(full - empty)[:, :20].max() < 8, "the far side of the room is as it was photographed"
    assert 0.05 < changed.mean() < 0.5
    assert {name: len(getattr(bpy.data, name)) for name in DATA} == before


@pytest.mark.parametrize(
    "corners, why", [([0.1, 0.1, 0.1, 0.9, 0.9, 0.9, 0.9, 0.1], "no rectangle"), ([0.3, 0.3] * 4, "no rectangle")]
)
def test_corners_that_no_rectangle_has_are_refused_and_the_old_ones_stay(root, tmp_path, corners, why):
    """A wrong rectangle is refused in one line, and nothing changes."""
    path = tmp_path / "white.png"
    image = bpy.data.images.new("White", 40, 30)
    image.file_format, image.filepath_raw = "PNG", str(path)
    image.save()
    bpy.data.images.remove(image)
    bpy.ops.muntin.choose_photograph(filepath=str(path))
    kept = tuple(root.muntin.photograph.corners)
    with pytest.raises(RuntimeError, match=why):
        bpy.ops.muntin.mark_rectangle(corners=corners)
    assert tuple(root.muntin.photograph.corners) == kept


def test_a_picture_in_an_own_room_asks_for_the_photograph_first(root, tmp_path):
    """Without a photograph, and without a marked rectangle, the picture is refused with what to do."""
    with pytest.raises(RuntimeError, match="choose one"):
        bpy.ops.muntin.preview(filepath=str(tmp_path / "p.png"), setting="photograph")
    assert list(tmp_path.iterdir()) == []


FRAMES = """
import sys
import bpy
bpy.ops.wm.open_mainfile(filepath=sys.argv[1])
bpy.app.handlers.render_write.append(lambda scene, *_: print("@", scene.frame_current, flush=True))
bpy.ops.render.render(animation=True, scene=sys.argv[2])
"""


def test_schemes_are_frames_that_two_processes_share(root, tmp_path):
    """Each scheme is a frame of one scene in the file; two Blenders with one folder render each frame once."""
    from PIL import Image  # from the extension's own wheels

    ids = [each.id for each in addon("document").piece(root).finish.schemes]
    before = {each.name for each in addon("scene").own_objects(root).values()}
    for _ in range(2):  # made anew, the second time in place of the first
        size = {"width": 24, "height": 30, "samples": 1}
        bpy.ops.muntin.set_out_schemes(directory=str(tmp_path), setting="studio", **size)
    assert {each.name for each in addon("scene").own_objects(root).values()} == before
    stage = addon("schemes").scene_of(root)
    assert [each.get("muntin_schemes") for each in bpy.data.scenes].count(root["muntin_piece"]) == 1
    assert (stage.frame_start, stage.frame_end, len(stage.timeline_markers)) == (1, len(ids), len(ids))
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "piece.blend"), copy=True)
    if bpy.app.binary_path:
        pytest.skip("the Python module is what can be started twice here")
    command = [sys.executable, "-c", FRAMES, str(tmp_path / "piece.blend"), stage.name]
    both = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=os.environ)]
    until = (
        time.monotonic() + 120
    )  # the second comes when the first has taken a frame: a placeholder can be missed in the same instant
    while not list(tmp_path.glob("scheme_*.png")) and both[0].poll() is None and time.monotonic() < until:
        time.sleep(0.01)
    both.append(subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=os.environ))
    written = [line for each in both for line in each.communicate(timeout=240)[0].splitlines() if line.startswith("@")]
    assert sorted(written) == [f"@ {frame}" for frame in range(1, len(ids) + 1)]
    pictures = sorted(tmp_path.glob("scheme_*.png"))
    assert [each.name for each in pictures] == [f"scheme_{frame:04}.png" for frame in range(1, len(ids) + 1)]
    assert len({each.read_bytes() for each in pictures}) == len(ids)
    bpy.ops.muntin.export_schemes(filepath=str(tmp_path / "sheet.png"))
    with Image.open(tmp_path / "sheet.png") as sheet:
        assert sheet.size == (len(ids) * 25 - 1, 30)
        for index, path in enumerate(pictures):
            with Image.open(path) as one:
                here = np.asarray(sheet.convert("RGB").crop((index * 25, 0, index * 25 + 24, 30)), int)
                assert np.abs(here - np.asarray(one.convert("RGB"), int)).max() <= 1
    pictures[-1].unlink()
    with pytest.raises(RuntimeError, match="not rendered yet"):
        bpy.ops.muntin.export_schemes(filepath=str(tmp_path / "no.png"))


def test_handles_are_further_frames_of_the_scene(root, tmp_path):
    """Every scheme again for each other choice of handles, with the parts of a piece built with them; nothing else stays in the file."""
    from PIL import Image  # from the extension's own wheels

    schemes, document = addon("schemes"), addon("document")
    piece = document.piece(root)
    count = len(piece.finish.schemes)
    own = {each.handle for each in piece.fronts if each.handle}
    before = {kind: len(getattr(bpy.data, kind)) for kind in DATA}
    size = {"width": 24, "height": 30, "samples": 1}
    with pytest.raises(RuntimeError, match="no handle"):
        bpy.ops.muntin.set_out_schemes(directory=str(tmp_path), handles="doorbell", **size)
    assert {kind: len(getattr(bpy.data, kind)) for kind in DATA} == before
    bpy.ops.muntin.set_out_schemes(
        directory=str(tmp_path), setting="studio", handles="pull-128, knob-40+pull-224", **size
    )
    stage = schemes.scene_of(root)
    assert stage.frame_end == 3 * count and len(document.roots()) == 1 and own != {"pull-128"}
    assert [each.name for each in stage.timeline_markers][count].endswith(", pull-128")
    shown = []
    for frame in (1, count + 1, 2 * count + 1):
        stage.frame_set(frame)
        seen = stage.view_layers[0].depsgraph
        seen.update()
        meshes = [each for each in stage.objects if each.type == "MESH" and not each.evaluated_get(seen).hide_render]
        assert len(meshes) > 50
        shown.append(sorted(tuple(round(x, 4) for x in each.dimensions) for each in meshes))
    assert len({str(each) for each in shown}) == 3, "each row of frames has handles of its own"
    for number, path in enumerate(schemes.pictures(root)):
        Image.new("RGB", (24, 30), (10 * number, 0, 0)).save(path)
    bpy.ops.muntin.export_schemes(filepath=str(tmp_path / "sheet.png"))
    with Image.open(tmp_path / "sheet.png") as sheet:
        assert sheet.size == (count * 25 - 1, 3 * 31 - 1)
        assert abs(sheet.convert("RGB").getpixel((5, 5 + 31))[0] - 10 * count) <= 1, (
            "the second row is the first choice"
        )
    schemes.clear_away(root)
    assert {kind: len(getattr(bpy.data, kind)) for kind in DATA if kind != "images"} == {
        kind: number for kind, number in before.items() if kind != "images"
    }


def test_every_export_is_reported_and_refused_while_not_current(root, tmp_path):
    """Cutting list and model are core's own files; what was written is named; what is not current is refused."""
    outcome, document = addon("outcome"), addon("document")
    bpy.ops.muntin.export_cutting_list(filepath=str(tmp_path / "list.csv"))
    rows = (tmp_path / "list.csv").read_text(encoding="utf-8").splitlines()
    model = document.model(root)
    assert len(rows) > 20 and any("side panel" in row for row in rows)
    assert (outcome.last().folder, outcome.last().names) == (tmp_path, ("list.csv",))
    root.muntin.apart = 0.4
    bpy.ops.muntin.export_model(filepath=str(tmp_path / "model.glb"))
    data = (tmp_path / "model.glb").read_bytes()
    assert data[:4] == b"glTF" and all(part.key.encode() in data for part in model.parts)
    root.muntin.piece.whole.width = 9.0
    for command in ("export_cutting_list", "export_model", "save_piece"):
        with pytest.raises(RuntimeError, match=r"not current.*9000"):
            getattr(bpy.ops.muntin, command)(filepath=str(tmp_path / "no"))
    with pytest.raises(RuntimeError, match=r"not current.*9000"):
        bpy.ops.muntin.export_workshop_pack(directory=str(tmp_path / "no"))
    assert sorted(each.name for each in tmp_path.iterdir()) == ["list.csv", "model.glb"]


def test_all_pieces_of_a_scene_are_one_job(root, tmp_path):
    """Two equal pieces and another are three pieces of one job; one that is not current keeps all of them in."""
    for _ in range(2):
        bpy.ops.muntin.add_piece(kind="bedside_cabinet", location=(2, 0, 0))
    bpy.ops.muntin.export_cutting_list(filepath=str(tmp_path / "job.csv"), all_pieces=True)
    listed = (tmp_path / "job.csv").read_text(encoding="utf-8")
    bpy.ops.muntin.export_cutting_list(filepath=str(tmp_path / "one.csv"))
    assert len(listed.splitlines()) > len((tmp_path / "one.csv").read_text(encoding="utf-8").splitlines()) + 20
    root.muntin.piece.whole.width = 9.0
    with pytest.raises(RuntimeError, match="is not current"):
        bpy.ops.muntin.export_cutting_list(filepath=str(tmp_path / "no.csv"), all_pieces=True)


def test_marks_of_several_pieces_last_from_the_pack_in_the_folder(root, tmp_path):
    """Where the folder holds an earlier pack of the scene's pieces, their marks are those of that pack."""
    revisions, document = addon("core.revisions.revision"), addon("document")
    bpy.ops.muntin.add_piece(kind="bookcase")
    pieces = [document.piece(each) for each in bpy.context.scene.objects if document.is_root(each)]
    marks = [
        {part.key: 901 + 50 * n for part in addon("core.build").build(each).parts} for n, each in enumerate(pieces)
    ]
    recorded = tuple(revisions.RecordedPiece(*each) for each in zip(pieces, (1, 1), marks, strict=True))
    text = revisions.revision_text(revisions.Revision("hall", recorded, {}))
    (tmp_path / "revision.json").write_text(text, encoding="utf-8")
    bpy.ops.muntin.export_cutting_list(filepath=str(tmp_path / "job.csv"), all_pieces=True)
    listed = (tmp_path / "job.csv").read_text(encoding="utf-8-sig")
    assert "901" in listed and "951" in listed


def test_the_workshop_of_the_preferences_is_used(root, tmp_path):
    """The workshop file of the preferences is planned with; a file that is none is refused by name."""
    chosen = bpy.context.preferences.addons[ADDON].preferences
    (tmp_path / "bad.json").write_text("{}")
    chosen.workshop_file = str(tmp_path / "bad.json")
    try:
        with pytest.raises(RuntimeError, match=r"bad\.json"):
            bpy.ops.muntin.export_cutting_list(filepath=str(tmp_path / "list.csv"))
        files = addon("core.workshop.files")
        (tmp_path / "good.json").write_text(files.workshop_text(files.example_workshop()), encoding="utf-8")
        chosen.workshop_file = str(tmp_path / "good.json")
        assert addon("preferences").workshop(bpy.context) == files.example_workshop()
        bpy.ops.muntin.export_cutting_list(filepath=str(tmp_path / "list.csv"))
    finally:
        chosen.workshop_file = ""


def test_the_company_is_set_once_and_printed_everywhere(root, tmp_path, monkeypatch):
    """Company, address and logo of the preferences reach pack and book; what they leave out the workshop file says."""
    from PIL import Image  # from the extension's own wheels

    with addon("document").edit(root) as piece:
        piece.record.maker = ""
    chosen = bpy.context.preferences.addons[ADDON].preferences
    files, book, pack = addon("core.workshop.files"), addon("core.book"), addon("core.pack")
    plain = json.loads(files.workshop_text(files.example_workshop()))
    plain |= {"example": False, "company": {"name": "File Joinery", "address": "4 Alder Lane", "logo": "logo.png"}}
    (tmp_path / "shop.json").write_text(json.dumps(plain), encoding="utf-8")
    Image.new("RGB", (60, 20), "#222222").save(tmp_path / "logo.png")
    seen = []
    really = book.book_bytes
    monkeypatch.setattr(book, "book_bytes", lambda job, given: seen.append((job, given)) or really(job, given))

    def packing(job, enough):
        seen.append((job, {}))
        yield "writing"
        return {"pack.pdf": b""}

    monkeypatch.setattr(pack, "packing", packing)

    def printed(command, **words):
        getattr(bpy.ops.muntin, command)(**words)
        job, pictures = seen.pop()
        return job.workshop.maker, job.workshop.company.address, sorted(pictures)

    as_book = {"filepath": str(tmp_path / "book.pdf"), "rendered": False}
    try:
        chosen.maker = "Example Joinery"
        assert printed("export_client_book", **as_book) == ("Example Joinery", "", [])
        chosen.workshop_file = str(tmp_path / "shop.json")
        assert printed("export_client_book", **as_book) == ("Example Joinery", "4 Alder Lane", ["logo"])
        chosen.maker, chosen.address = "", "1 Mill Lane"
        assert printed("export_client_book", **as_book) == ("File Joinery", "1 Mill Lane", ["logo"])
        assert printed("export_workshop_pack", directory=str(tmp_path)) == ("File Joinery", "1 Mill Lane", [])
        assert addon("preferences").troubles(bpy.context) == []
        chosen.logo = str(tmp_path / "none.png")
        assert "none.png" in addon("preferences").troubles(bpy.context)[0]
        with pytest.raises(RuntimeError, match=r"none\.png"):
            bpy.ops.muntin.export_client_book(filepath=str(tmp_path / "no.pdf"), rendered=False)
        assert not (tmp_path / "no.pdf").exists() and seen == []
    finally:
        chosen.maker = chosen.address = chosen.logo = chosen.workshop_file = ""


def test_habits_of_the_workshop_go_into_new_pieces(empty_scene, tmp_path):
    """The workshop's defaults stand in the next new piece, not in one that comes from a file."""
    chosen = bpy.context.preferences.addons[ADDON].preferences
    chosen.use_habits, chosen.locale, chosen.step = True, "en_AU", "1 mm"
    try:
        bpy.ops.muntin.add_piece(kind="bookcase")
        data = json.loads(bpy.context.object["muntin_text"])
        assert (data["shop"]["locale"], data["shop"]["step"]) == ("en_AU", "1 mm")
        (tmp_path / "piece.json").write_text(addon("core.starters").starter_text("bookcase"), encoding="utf-8")
        bpy.ops.muntin.add_piece(filepath=str(tmp_path / "piece.json"))
        assert json.loads(bpy.context.object["muntin_text"])["shop"] == addon("core.fields").plain(
            addon("core.piece.shop").Shop()
        )
    finally:
        chosen.use_habits = False


def test_own_pieces_stand_in_the_menu(root, tmp_path):
    """A piece that is kept is a plain piece file in the folder of the preferences, and the Add menu offers it."""
    chosen = bpy.context.preferences.addons[ADDON].preferences
    chosen.own_pieces = str(tmp_path)
    try:
        root.muntin.piece.whole.width = 1.2
        bpy.ops.muntin.keep_piece(name="Hall: wide")
        assert [each.name for each in tmp_path.iterdir()] == ["Hall_ wide.json"]
        assert (tmp_path / "Hall_ wide.json").read_text(encoding="utf-8") == root["muntin_text"]
        assert addon("preferences").own_pieces(bpy.context) == [tmp_path / "Hall_ wide.json"]
        bpy.ops.muntin.add_piece(filepath=str(tmp_path / "Hall_ wide.json"))
        assert bpy.context.object["muntin_text"] == root["muntin_text"]
    finally:
        chosen.own_pieces = ""


def test_the_report_says_versions_and_nothing_of_the_client(root):
    """The report names versions, counts and refusals; neither names, sizes nor paths of files are in it."""
    with addon("document").edit(root) as piece:
        piece.record.client, piece.whole.name = "Mrs Example", "Secret Wardrobe"
    root.muntin.piece.whole.width = 9.0
    with pytest.raises(RuntimeError):
        bpy.ops.muntin.load_piece(filepath="/home/someone/secret.json")
    said = addon("operators.report").report(bpy.context)
    assert bpy.app.version_string in said and "current: no, whole.width" in said and "parts" in said
    assert "muntin.load_piece refused: FileError" in said and "value refused: ParameterError whole.width" in said
    assert not any(word in said for word in ("Example", "Secret", "secret", "someone", "1150", "9000"))


def test_errors_of_ours_are_logged_with_their_place(root, monkeypatch):
    """A mistake of ours is noted with the module and line that it came from, and its kind."""
    document = addon("document")

    def broken(*_):
        raise ZeroDivisionError("with the client's name")

    monkeypatch.setattr(document, "dumps", broken)
    root.muntin.piece.whole.width = 1.2
    said = addon("log").lines()[-1]
    assert "value failed: ZeroDivisionError" in said and "document.py:" in said and "client" not in said
    assert "an error of ours" in document.trouble(root)[1]


def test_finishes_are_offered_as_assets(root):
    """Every material of the piece is marked for the asset browser, and stays when the piece changes."""
    bpy.ops.muntin.offer_materials()
    marked = [each for each in bpy.data.materials if each.asset_data]
    assert marked and all("Muntin" in each.asset_data.tags for each in marked)
    names = {each.name for each in marked}
    root.muntin.piece.whole.width = 1.2
    assert names <= {each.name for each in bpy.data.materials if each.asset_data}


def test_commands_without_a_window(tmp_path, capfd):
    """`blender --command muntin` runs core's commands and `preview`, with core's exit statuses."""
    run = addon("command").run
    assert run(["new", "bedside_cabinet", "--out", str(tmp_path / "piece.json")]) == 0
    assert run(["parts", str(tmp_path / "piece.json")]) == 0
    assert "side panel" in capfd.readouterr().out
    assert run(["parts", str(tmp_path / "nothing.json")]) == 2
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    picture = ["--out", str(tmp_path / "p.png"), "--width", "24", "--height", "30", "--samples", "1"]
    assert run(["preview", str(tmp_path / "piece.json"), *picture]) == 0
    assert (tmp_path / "p.png").read_bytes()[:4] == b"\x89PNG"
    assert run(["preview", str(tmp_path / "piece.json"), "--scheme", "purple", *picture]) == 2
    assert run(["preview", str(tmp_path / "piece.json")]) == 2
    assert 'no scheme "purple"' in capfd.readouterr().err


def test_a_book_without_a_window_has_its_pictures(tmp_path, capfd, monkeypatch):
    """`book` renders every piece shut, and open where it opens, and the book shows all of them; what is refused is refused first."""
    command, preview = addon("command"), addon("preview")
    small = dict(zip(("width", "height", "samples"), (16, 20, 1), strict=True))
    render, shots = preview.render, []

    def quick(root, path, shot):
        shots.append((addon("document").piece(root).id, shot.swing > 0, shot.scheme))
        render(root, path, replace(shot, **small))

    monkeypatch.setattr(preview, "render", quick)
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    files = [str(tmp_path / f"{kind}.json") for kind in ("bedside_cabinet", "bookcase")]
    for path in files:
        assert command.run(["new", path.split("/")[-1][:-5], "--out", path]) == 0
    out = str(tmp_path / "book.pdf")
    assert command.run(["book", *files, "--out", out, "--draft"]) == 0
    assert shots == [("bedside-cabinet", False, ""), ("bedside-cabinet", True, ""), ("bookcase", False, "")]
    with open(out, "rb") as written:
        assert written.read().count(b"/Subtype /Image") >= len(shots)
    shots.clear()
    assert command.run(["book", str(tmp_path / "nothing.json"), "--out", out]) == 2
    assert command.run(["book", *files]) == 2
    assert not shots


def test_a_piece_that_changes_while_it_is_pictured_gives_no_book(root, monkeypatch):
    """Pictures of two states of a piece never come into one book."""
    book, errors = addon("book"), addon("core.errors")
    monkeypatch.setattr(addon("preview"), "render", lambda root, path, shot: path.write_bytes(b"picture"))
    steps = book.picturing([root], addon("preview").Shot())
    assert next(steps) == "picture 1 of 4"
    assert next(steps) == "picture 2 of 4"
    root.muntin.piece.whole.width = 1.2
    with pytest.raises(errors.ParameterError, match="was changed"):
        next(steps)


def test_piece_files_can_be_dropped(root, tmp_path):
    """Blender knows that a .json file dropped onto a viewport goes to Add Piece."""
    handler = bpy.types.MUNTIN_FH_piece
    assert handler.bl_import_operator == "muntin.add_piece" and handler.bl_file_extensions == ".json"
    path = tmp_path / "piece.json"
    bpy.ops.muntin.save_piece(filepath=str(path))
    assert bpy.ops.muntin.add_piece(filepath=str(path)) == {"FINISHED"}
    assert bpy.context.object != root and bpy.context.object["muntin_text"] == root["muntin_text"]


def test_the_pack_is_written_into_the_folder(root, tmp_path):
    """The workshop pack of the selected piece lands in the folder that was named."""
    bpy.ops.muntin.export_workshop_pack(directory=str(tmp_path))
    assert {"workshop_pack.pdf", "cutting_list.csv", "exploded.pdf", "model.glb"} <= {
        each.name for each in tmp_path.iterdir()
    }


def test_the_client_book_holds_the_pictures(root, tmp_path):
    """Shut, open, and one for every scheme are rendered and stand in the PDF; nothing stays in the file."""
    data = json.loads(root["muntin_text"])
    first = data["finish"]["schemes"][0]
    coats = [{**first["coats"][0], "colour": "#7a4b3c"}, *first["coats"][1:]]
    data["finish"]["schemes"].append({**first, "id": "other", "name": "Other", "coats": coats})
    path = tmp_path / "piece.json"
    path.write_text(json.dumps(data))
    bpy.ops.muntin.load_piece(filepath=str(path))
    kept = [kind for kind in DATA if kind != "images"]  # Blender keeps its own Render Result
    before = {kind: len(getattr(bpy.data, kind)) for kind in kept}
    bpy.ops.muntin.export_client_book(filepath=str(tmp_path / "book.pdf"), draft=True)
    written = (tmp_path / "book.pdf").read_bytes()
    assert written.startswith(b"%PDF") and written.count(b"/Subtype /Image") == 2 + len(data["finish"]["schemes"]) - 1
    assert {kind: len(getattr(bpy.data, kind)) for kind in kept} == before
    assert {image.type for image in bpy.data.images} <= {"RENDER_RESULT"}
    bpy.ops.muntin.export_client_book(filepath=str(tmp_path / "bare.pdf"), rendered=False)
    assert b"/Subtype /Image" not in (tmp_path / "bare.pdf").read_bytes()
