"""What comes out of Blender: piece files, the picture, the workshop pack."""

import importlib
import json

import bpy
import numpy as np
import pytest
from conftest import ADDON

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


@pytest.fixture(autouse=True)
def no_traceback(capfd):
    """Blender swallows what a callback raises: it only prints it."""
    yield
    assert "Traceback" not in capfd.readouterr().err


def addon(name):
    """A module of the installed add-on."""
    return importlib.import_module(f"{ADDON}.{name}")


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


def test_matt_paint_is_the_colour_that_was_chosen(root, tmp_path, monkeypatch):
    """Seen where the grey card was, matt paint is within 3 of 255 of its sRGB value: the card sets the light."""
    preview, room = addon("preview"), addon("room")
    gains = []
    really = room.scale_light
    monkeypatch.setattr(room, "scale_light", lambda stage, given: (gains.append(given), really(stage, given)))

    def at_the_card(put, shown, shot):
        """The card again, painted, under the scaled light."""
        card = next(each for each in put.scene.objects if each.name.startswith("Grey Card"))
        card.hide_render = False
        tree = card.data.materials[0].node_tree
        colour = (*(((int("8d9b83"[i : i + 2], 16) / 255 + 0.055) / 1.055) ** 2.4 for i in (0, 2, 4)), 1.0)
        next(each for each in tree.nodes if each.type == "BSDF_DIFFUSE").inputs[0].default_value = colour
        put.scene.camera = next(each for each in put.scene.objects if each.name.startswith("Meter"))

    monkeypatch.setattr(preview, "_camera", at_the_card)
    path = tmp_path / "card.png"
    bpy.ops.muntin.preview(filepath=str(path), width=24, height=24, samples=64)
    image = bpy.data.images.load(str(path))
    seen = 255 * np.array(image.pixels[:]).reshape(-1, 4)[:, :3].mean(axis=0)
    assert np.abs(seen - (0x8D, 0x9B, 0x83)).max() < 3
    assert len(gains) == 1


def test_the_pack_is_written_into_the_folder(root, tmp_path):
    """The workshop pack of the selected piece lands in the folder that was named."""
    bpy.ops.muntin.export_workshop_pack(directory=str(tmp_path))
    assert {"workshop_pack.pdf", "cutting_list.csv", "exploded.pdf", "model.glb"} <= {
        each.name for each in tmp_path.iterdir()
    }
