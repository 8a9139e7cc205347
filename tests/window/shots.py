"""Installs the zip in a windowed Blender, makes a piece, drags it, fits it out, prints it; keeps what was seen.

    blender --factory-startup --python tests/window/shots.py -- ZIP FOLDER

Grips are dragged and compartments picked with the mouse (xdotool); the pictures need ImageMagick's `import`. A
trouble ends Blender with status 1.
"""

import importlib
import itertools
import math
import os
import subprocess
import sys
import traceback
from pathlib import Path

import bpy
from bpy_extras.view3d_utils import location_3d_to_region_2d
from mathutils import Euler, Vector

ADDON = "bl_ext.user_default.muntin"
PAUSE = 1.2  # seconds for Blender to draw what changed


def steps(zip_path: Path, folder: Path):
    """The walk, one thing a step; between steps Blender draws."""
    bpy.ops.extensions.package_install_files(filepath=str(zip_path), repo="user_default", enable_on_install=True)
    assert ADDON in bpy.context.preferences.addons
    yield
    for each in list(bpy.data.objects):
        bpy.data.objects.remove(each)
    with bpy.context.temp_override(**view()):
        bpy.context.space_data.show_region_ui = True
    subprocess.run(["xdotool", "mousemove", "20", "500", "click", "1"], check=False)  # away with the greeting
    yield
    choose_tab("Muntin")
    yield
    shot(folder, "start")
    with bpy.context.temp_override(**view()):
        assert bpy.ops.muntin.add_piece("EXEC_DEFAULT", kind="coat_cupboard") == {"FINISHED"}
        frame()
    yield
    yield
    choose_tab("Muntin")
    yield
    shot(folder, "added")
    root = bpy.context.object
    root.muntin.piece.whole.width = 1.25
    root.muntin.swing, root.muntin.travel = 1.2, 0.25
    yield
    shot(folder, "opened")
    root.muntin.piece.whole.width = 9.0
    yield
    view()["area"].tag_redraw()  # panels that have grown find their place when drawn again
    yield
    shot(folder, "refused")
    root.muntin.piece.whole.width = 1.15
    root.muntin.swing = root.muntin.travel = 0.0
    yield
    with bpy.context.temp_override(**view()):
        bpy.ops.ed.undo_push(message="Shut")
    yield from drag(folder)
    yield from fit_out(folder)
    yield from own_room(folder)
    yield from put_out(folder)
    with bpy.context.temp_override(**view()):
        bpy.ops.wm.call_menu(name="MUNTIN_MT_starters")
    yield
    shot(folder, "menu")
    mouse("key", "Escape")
    yield
    yield from end_drag()


def end_drag():
    """Close the window in which one drags: Blender ends the drag, and the piece is as it was."""
    root = bpy.context.object
    bpy.ops.muntin.refresh()
    root.muntin.apart = 0.0
    name, before = root.name, root["muntin_text"]
    with bpy.context.temp_override(**view()):
        frame()
    yield
    yield
    between = next(each for each in document().grips_of(root) if each.key.startswith("between") and each.along[0])
    yield from pull(tuple(each / 1000 for each in between.at), 8, 0)
    assert bpy.data.objects[name]["muntin_text"] != before, "nothing was dragged"
    old = bpy.context.window_manager.windows[0]
    with bpy.context.temp_override(window=old):
        bpy.ops.wm.window_new_main()
    yield
    with bpy.context.temp_override(window=old):
        bpy.ops.wm.window_close()
    mouse("mouseup", 1)
    yield
    assert bpy.data.objects[name]["muntin_text"] == before, "a drag that Blender ends puts the piece back"


def document():
    """The add-on's module of that name."""
    return importlib.import_module(f"{ADDON}.document")


def pull(place: tuple[float, float, float], across: int, down: int):
    """Take hold of what is at a place and pull it so many pixels at a time, without letting go."""
    x, y = on_screen(place)
    for step in (0, 1):
        mouse("mousemove", x + step, y)
        yield
    mouse("mousedown", 1)
    for step in range(1, 6):
        mouse("mousemove", x + across * step, y + down * step)
        yield


def drag(folder: Path):
    """Take hold of the upright between the compartments and pull it to the right; then undo."""
    before = bpy.context.object["muntin_text"]
    yield from pull((0, -0.534, 1.13), 8, 0)
    shot(folder, "dragged")
    mouse("mouseup", 1)
    yield
    size = bpy.context.object.muntin.piece.layout[3].size
    assert size.way == "fixed" and size.fixed > 0.52 and abs(1000 * size.fixed - round(1000 * size.fixed)) < 1e-3
    with bpy.context.temp_override(**view()):
        bpy.ops.ed.undo()
    yield
    assert bpy.context.object["muntin_text"] == before, "one undo takes one drag back"


def fit_out(folder: Path):
    """Pick the left compartment with the mouse and part it by a fixed shelf; show lengths in inches."""
    with bpy.context.temp_override(**view()):
        bpy.ops.muntin.pick_compartment("INVOKE_DEFAULT")
    x, y = on_screen((-0.3, -0.56, 1.4))
    for step in (0, 2):
        mouse("mousemove", x + step, y)
        yield
    shot(folder, "picking")
    mouse("click", 1)
    yield
    yield
    root = bpy.context.object
    assert root.muntin.piece.layout[root.muntin.piece.at_layout].id == "coats"
    with bpy.context.temp_override(**view()):
        bpy.ops.muntin.add_fixed_shelf()
    yield
    bpy.context.scene.unit_settings.system = "IMPERIAL"
    root.muntin.piece.whole.width_words = '45-5/8"'
    yield
    view()["area"].tag_redraw()
    yield
    shot(folder, "inches")
    bpy.context.scene.unit_settings.system = "METRIC"


def own_room(folder: Path):
    """Drag a corner of a rectangle in a photograph with the mouse, the others being there already."""
    operators = importlib.import_module(f"{ADDON}.operators.own_room")
    photograph = folder / "room.png"
    image = bpy.data.images.new("Room", 400, 300)
    image.generated_type = "UV_GRID"
    image.file_format, image.filepath_raw = "PNG", str(photograph)
    image.save()
    photo = bpy.context.object.muntin.photograph
    with bpy.context.temp_override(**view()):
        bpy.ops.muntin.choose_photograph("EXEC_DEFAULT", filepath=str(photograph))
        photo.corners = (0.3, 0.3, 0.6, 0.27, 0.6, 0.75, 0.3, 0.7)
        photo.width, photo.height = 0.9, 1.2
        bpy.ops.muntin.mark_rectangle("INVOKE_DEFAULT")
    yield
    region, window = view()["region"], view()["window"]
    frame = operators.Frame.fitted(view()["area"], region, 300 / 400)
    x, y = (round(each) for each in frame.place((0.6, 0.75)))
    x, y = region.x + x, window.height - region.y - y
    mouse("mousemove", x, y)
    yield
    mouse("mousedown", 1)
    for step in range(1, 5):
        mouse("mousemove", x + 10 * step, y + 2 * step)
        yield
    shot(folder, "marking")
    mouse("mouseup", 1)
    yield
    mouse("key", "Return")
    yield
    yield
    marked = photo.corners[4]
    assert abs(marked - 0.6 - 40 / frame.width) < 0.015, f"the corner followed the mouse: {marked}"


def put_out(folder: Path):
    """The workshop pack, then the picture, rendered in a window while one looks on."""
    outcome, preview, rendering = (
        importlib.import_module(f"{ADDON}.{name}") for name in ("outcome", "preview", "rendering")
    )
    root = bpy.context.object
    with bpy.context.temp_override(**view()):
        bpy.ops.muntin.export_workshop_pack(directory=str(folder / "papers"))
    assert (folder / "papers" / "workshop_pack.pdf").read_bytes()[:4] == b"%PDF"
    yield
    rendering.begin(preview.Picture(root, folder / "picture.png", preview.Shot(width=180, height=220, samples=4)))
    for _ in range(60):
        yield
        if outcome.last().what == "Preview":
            break
    assert (folder / "picture.png").read_bytes()[1:4] == b"PNG"
    for window in list(bpy.context.window_manager.windows)[1:]:
        with bpy.context.temp_override(window=window):
            bpy.ops.wm.window_close()
    yield
    yield
    shot(folder, "exported")


def mouse(*words: object) -> None:
    """Move or press the mouse as a person would."""
    subprocess.run(["xdotool", *map(str, words)], check=True)


def on_screen(place: tuple[float, float, float]) -> tuple[int, int]:
    """Where a point of the scene is seen on the screen, from the upper left corner."""
    there = view()
    region, window = there["region"], there["window"]
    seen = location_3d_to_region_2d(region, there["space_data"].region_3d, Vector(place))
    return round(region.x + seen.x), round(window.height - region.y - seen.y)


def view() -> dict:
    """The 3D view's area and region, for operators that want one."""
    window = bpy.context.window_manager.windows[0]
    area = next(each for each in window.screen.areas if each.type == "VIEW_3D")
    region = next(each for each in area.regions if each.type == "WINDOW")
    return {"window": window, "area": area, "region": region, "space_data": area.spaces.active}


def frame() -> None:
    """Look at everything from the front left, in material colours."""
    space = view()["space_data"]
    space.shading.type = "SOLID"
    space.shading.color_type = "MATERIAL"
    space.overlay.show_extras = True
    space.region_3d.view_rotation = Euler((math.radians(78), 0.0, math.radians(-28))).to_quaternion()
    bpy.ops.view3d.view_all()


def choose_tab(name: str) -> None:
    """Bring a tab of the sidebar to the front: from 4.? on Blender lets a script do that, before, a click does."""
    area = view()["area"]
    region = next(each for each in area.regions if each.type == "UI")
    try:
        region.active_panel_category = name
    except AttributeError:
        click_tab(region, name)
    region.tag_redraw()


def click_tab(region: bpy.types.Region, name: str) -> None:
    """Click where the tab is, found by trying the strip of tabs from the top."""
    window = bpy.context.window_manager.windows[0]
    for down in range(40, region.height, 22):
        x, y = region.x + region.width - 8, window.height - (region.y + region.height - down)
        subprocess.run(["xdotool", "mousemove", str(x), str(y), "click", "1"], check=False)
        bpy.ops.wm.redraw_timer(type="DRAW_WIN_SWAP", iterations=1)
        if region.active_panel_category == name:
            return


def shot(folder: Path, name: str) -> None:
    """Keep what is on the screen."""
    subprocess.run(["import", "-window", "root", str(folder / f"{name}.png")], check=True)
    print("@shot", name, flush=True)


def run(walk) -> float | None:
    """One step of the walk; Blender calls again after the pause it is given."""
    try:
        next(walk)
    except StopIteration:
        print("@done", flush=True)
        os._exit(0)
    except BaseException:
        traceback.print_exc()
        os._exit(1)
    return PAUSE


def go(*walks) -> None:
    """Begin to walk once Blender's window is up, one walk after another, with the zip and the folder that the command line names."""
    words = sys.argv[sys.argv.index("--") + 1 :] if "--" in sys.argv else sys.argv[-2:]
    walk = itertools.chain.from_iterable(each(*(Path(word) for word in words)) for each in walks)
    bpy.app.timers.register(lambda: run(walk), first_interval=3.0)


if __name__ == "__main__":
    go(steps)
