"""All schemes of a piece, with all handles under discussion, as the frames of one animation, in a scene that stays in the file.

One frame for each scheme with each choice of handles, so that whatever renders frames can share the work: Blender's own Render Animation, several
computers with one folder, or a farm. A frame begins as an empty file, which tells the others that it is taken.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import bpy
import numpy as np

from . import compat, document, preview
from .core import Piece, build
from .core.handles import with_handles
from .core.piece.finish import Scheme
from .pictures import read, write_png
from .room import Put

GAP_SHARE = 40  # of a picture's width, the white between two on a sheet; ours
MARK = "muntin_schemes"  # on the scene: the id of the piece whose schemes it shows
ACROSS = (
    "muntin_across"  # on the scene: how many frames stand side by side on a sheet; one row for each choice of handles
)


def set_up(root: bpy.types.Object, folder: Path, shot: preview.Shot, handles: tuple[str, ...] = ()) -> bpy.types.Scene:
    """The scene with one frame for each scheme, made anew; pictures go into `folder` as scheme_0001.png and so on.

    After the piece with its own handles come as many frames again for each other choice (`core.handles`). Raises OSError where there
    is no such folder, PieceError where the piece cannot be built with a choice.
    """
    if not folder.is_dir():
        raise FileNotFoundError(f"{folder}: there is no such folder")
    clear_away(root)
    made = document.piece(root)
    others = {choice: other for choice in handles if (other := with_handles(made, choice)) != made}
    for each in others.values():
        build(each)  # before anything is in the file
    schemes = made.finish.schemes
    put = Put(bpy.data.scenes.new(f"{root.name} Schemes"))
    stage = put.scene
    stage[MARK] = root[document.PIECE]
    _at_frame(preview.set_up(put, root, schemes[0], shot), 1)
    stage[ACROSS] = len(schemes)
    owner = root[document.PIECE]
    for frame, scheme in enumerate(schemes[1:], 2):
        _frame(put, root, scheme, _materials_of(owner, scheme), shot, frame)
    for row, (choice, other) in enumerate(others.items(), 1):
        with _stood_aside(other, f"{root.name} {choice}") as aside:
            for frame, scheme in enumerate(schemes, row * len(schemes) + 1):
                _frame(put, aside, scheme, f"{_materials_of(owner, scheme)} {choice}", shot, frame)
    for row, choice in enumerate(("", *others)):
        for frame, scheme in enumerate(schemes, row * len(schemes) + 1):
            words = ", ".join(filter(None, (scheme.name or scheme.id, choice)))
            stage.timeline_markers.new(words, frame=frame)
    stage.frame_start, stage.frame_end = 1, len(schemes) * (1 + len(others))
    picture = stage.render
    compat.set_picture_file(picture.image_settings, "PNG", "8")
    picture.filepath, picture.use_file_extension = str(folder / "scheme_"), True
    picture.use_placeholder, picture.use_overwrite = True, False
    return stage


def scene_of(root: bpy.types.Object) -> bpy.types.Scene | None:
    """The scene of a piece's schemes, if it was made."""
    return next((each for each in bpy.data.scenes if each.get(MARK) == root[document.PIECE]), None)


def pictures(root: bpy.types.Object) -> list[Path]:
    """The files that the frames of a piece's schemes go into, in the order of the schemes."""
    stage = scene_of(root)
    return [Path(bpy.path.abspath(stage.render.frame_path(frame=at))) for at in range(1, stage.frame_end + 1)]


def write_sheet(root: bpy.types.Object, path: Path) -> None:
    """Put the rendered frames side by side, in the order of the schemes, a row for each choice of handles, into one PNG file.

    Raises OSError for a frame that is not rendered, and for a file that cannot be written.
    """
    shown = [_pixels(each) for each in pictures(root)]
    across = scene_of(root).get(ACROSS, len(shown))
    high, wide = shown[0].shape[:2]
    beside = max(1, wide // GAP_SHARE)
    rows = [_parted(shown[at : at + across], np.ones((high, beside, 3)), 1) for at in range(0, len(shown), across)]
    write_png(path, _parted(rows[::-1], np.ones((beside, rows[0].shape[1], 3)), 0))  # the lowest row comes first


def _parted(pictures: list[np.ndarray], gap: np.ndarray, axis: int) -> np.ndarray:
    """Pictures joined along an axis with a gap between them."""
    return np.concatenate([part for each in pictures for part in (each, gap)][:-1], axis=axis)


def _pixels(path: Path) -> np.ndarray:
    if not path.is_file() or not path.stat().st_size:
        raise FileNotFoundError(f"{path}: this scheme is not rendered yet")
    return read(path)[..., :3]


def clear_away(root: bpy.types.Object) -> None:
    """Remove the scene of a piece's schemes with all that is only in it."""
    stage = scene_of(root)
    if stage is None:
        return
    used = {slot.material for each in stage.collection.objects for slot in each.material_slots if slot.material}
    room = [each for each in used if document.PIECE not in each]
    for each in list(stage.collection.objects):
        data = each.data
        bpy.data.objects.remove(each)
        if data.users == 0:
            getattr(bpy.data, {"MESH": "meshes", "CAMERA": "cameras"}.get(data.id_type, "lights")).remove(data)
    world = stage.world
    bpy.data.scenes.remove(stage)
    if world and world.users == 0:
        bpy.data.worlds.remove(world)
    preview.drop_materials(preview.stage_id(root))
    for each in room:
        if each.users == 0:
            bpy.data.materials.remove(each)
    own = f"{root[document.PIECE]} scheme "
    for id in {each[document.PIECE] for each in bpy.data.materials if each.get(document.PIECE, "").startswith(own)}:
        preview.drop_materials(id)


def _materials_of(piece_id: str, scheme: Scheme) -> str:
    return f"{piece_id} scheme {scheme.id}"


def _frame(put: Put, root: bpy.types.Object, scheme: Scheme, id: str, shot: preview.Shot, frame: int) -> None:
    """Stand a piece in a scheme where one frame shows it."""
    shown = preview.stand(put, root, scheme, id)
    preview.move(root, shown, shot)
    _at_frame([each for each, _ in shown.values()], frame)


@contextmanager
def _stood_aside(made: Piece, name: str) -> Iterator[bpy.types.Object]:
    """The root of another piece, for as long as its objects are copied from it."""
    aside = document.new_piece(bpy.context, made, name)
    try:
        yield aside
    finally:
        id, collection = aside[document.PIECE], aside.users_collection[0]
        for each in [*aside.children_recursive, aside]:
            bpy.data.objects.remove(each)
        bpy.data.collections.remove(collection)
        preview.drop_materials(id)


def _at_frame(objects: list[bpy.types.Object], frame: int) -> None:
    """Have objects rendered at one frame only."""
    for each in objects:
        for at, hidden in ((frame - 1, True), (frame, False), (frame + 1, True)):
            each.hide_render = hidden
            each.keyframe_insert("hide_render", frame=at)
