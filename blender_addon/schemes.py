"""All schemes of a piece as the frames of one animation, in a scene that stays in the file.

One frame a scheme, so that whatever renders frames can share the work: Blender's own Render Animation, several
computers with one folder, or a farm. A frame begins as an empty file, which tells the others that it is taken.
"""

from __future__ import annotations

from pathlib import Path

import bpy
import numpy as np

from . import compat, document, preview
from .pictures import read, write_png
from .room import Put

GAP_SHARE = 40  # of a picture's width, the white between two on a sheet; ours
MARK = "muntin_schemes"  # on the scene: the id of the piece whose schemes it shows


def set_up(root: bpy.types.Object, folder: Path, shot: preview.Shot) -> bpy.types.Scene:
    """The scene with one frame for each scheme, made anew; pictures go into `folder` as scheme_0001.png and so on.

    Raises OSError where there is no such folder.
    """
    if not folder.is_dir():
        raise FileNotFoundError(f"{folder}: there is no such folder")
    clear_away(root)
    schemes = document.piece(root).finish.schemes
    put = Put(bpy.data.scenes.new(f"{root.name} Schemes"))
    stage = put.scene
    stage[MARK] = root[document.PIECE]
    _at_frame(preview.set_up(put, root, schemes[0], shot), 1)
    for frame, scheme in enumerate(schemes[1:], 2):
        shown = preview.stand(put, root, scheme, f"{root[document.PIECE]} scheme {scheme.id}")
        preview.move(root, shown, shot)
        _at_frame([each for each, _ in shown.values()], frame)
    for frame, scheme in enumerate(schemes, 1):
        stage.timeline_markers.new(scheme.name or scheme.id, frame=frame)
    stage.frame_start, stage.frame_end = 1, len(schemes)
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
    """Put the rendered frames side by side, in the order of the schemes, into one PNG file.

    Raises OSError for a frame that is not rendered, and for a file that cannot be written.
    """
    shown = [_pixels(each) for each in pictures(root)]
    gap = np.ones((shown[0].shape[0], max(1, shown[0].shape[1] // GAP_SHARE), 3))
    write_png(path, np.concatenate([part for each in shown for part in (each, gap)][:-1], axis=1))


def _pixels(path: Path) -> np.ndarray:
    if not path.is_file() or not path.stat().st_size:
        raise FileNotFoundError(f"{path}: this scheme is not rendered yet")
    return read(path)[..., :3]


def clear_away(root: bpy.types.Object) -> None:
    """Remove the scene of a piece's schemes with all that is only in it."""
    stage = scene_of(root)
    if stage is None:
        return
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
    for each in document.piece(root).finish.schemes:
        preview.drop_materials(f"{root[document.PIECE]} scheme {each.id}")


def _at_frame(objects: list[bpy.types.Object], frame: int) -> None:
    """Have objects rendered at one frame only."""
    for each in objects:
        for at, hidden in ((frame - 1, True), (frame, False), (frame + 1, True)):
            each.hide_render = hidden
            each.keyframe_insert("hide_render", frame=at)
