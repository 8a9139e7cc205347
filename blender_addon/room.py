"""Where a piece is pictured: a room to the site's measures by daylight or in the evening, or a plain studio.

Metres; the piece stands at the origin as core has it: back plane on y = 0, front toward −y.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import bpy

from . import compat
from .core.piece import Piece
from .nodes import Tree, linear, shade

# The room's own colours in sRGB, to the eye; ours. The wall steps back: light behind dark, darker behind light.
LIGHT_WALL, DEEP_WALL, SKIRTING, CEILING, FLOORBOARD = "#e6ddcc", "#b7ab99", "#f3efe6", "#f5f2ea", "#b18a5e"
LIGHT_PAINT = 0.62  # luminance above which a piece wants the deeper wall; ours
BOARD = (1.90, 0.145)  # length and width of a floorboard, m; ours
WINDOW = (2.0, 2.2)  # m; ours
WINDOW_POWER = 260.0  # W; only its proportion to the sky matters, a grey card sets the rest
SKY = 0.20  # radiance of the light from everywhere
SKY_COLOUR = (0.96, 0.98, 1.0, 1.0)
REACH = 7.0  # m, how far the floor comes toward the viewer

SETTINGS = {
    "daylight": "Daylight Room: A room to the site's measures, a window at the left; paint is as it was chosen",
    "studio": "Plain Studio: A pale ground without a corner, soft light from both sides; paint is as it was chosen",
    "evening": "Evening: The room by warm lamps; colours are warmer and deeper than the paint that was chosen",
}
# Evening light, to the eye; ours: lamps' colour (linear), what is left of the window, how much of the lamps' colour and
# of the daylight picture's exposure the picture keeps; and how much of the sky, so that what no lamp reaches is read.
LAMP, DUSK, WARMTH, EXPOSURE, AFTERGLOW = (1.0, 0.72, 0.46), 0.06, 0.55, 0.72, 0.3
GROUND, COVE = "#d8d5cf", 0.9  # a studio's ground, and the radius of its cove in m; ours


@dataclass(frozen=True)
class Shell:
    """The room's planes: the wall's y, the left and right ends of the wall, the ceiling's height."""

    wall: float
    left: float
    right: float
    ceiling: float


def build(put: Put, piece: Piece, size: tuple[float, float, float], setting: str = "daylight") -> None:
    """What stands about a piece, and its light; `size` is the piece's width, depth and height in metres."""
    if setting == "studio":
        _studio(put, size)
        return
    _room(put, piece, size)
    if setting == "evening":
        _lamps(put, size)


def kept_cast(setting: str, gains: Sequence[float]) -> list[float]:
    """How light is to be scaled where a grey card asked for `gains`: in the evening some of its warmth stays."""
    if setting != "evening":
        return list(gains)
    even = sum(gains) / 3
    return [EXPOSURE * even * (gain / even) ** (1 - WARMTH) for gain in gains]


def _room(put: Put, piece: Piece, size: tuple[float, float, float]) -> None:
    """Floor, wall, skirting, ceiling and a window's daylight."""
    site = piece.site
    shell = Shell(
        wall=site.stands_off / 1000,
        left=-size[0] / 2 - 5.0,
        right=size[0] / 2 + max(1.2, min(3.0, site.wall_right / 1000)),
        ceiling=max(site.ceiling / 1000, size[2] + 0.1),
    )
    wall = DEEP_WALL if _luminance(piece.finish.scheme().coat("carcass").colour) > LIGHT_PAINT else LIGHT_WALL
    front = -REACH - size[1]
    put.quad(
        "Wall",
        [
            (shell.left, shell.wall, 0),
            (shell.right, shell.wall, 0),
            (shell.right, shell.wall, shell.ceiling),
            (shell.left, shell.wall, shell.ceiling),
        ],
        _plaster(put, "Wall", wall),
    )
    put.quad(
        "Side Wall",
        [
            (shell.right, shell.wall, 0),
            (shell.right, front, 0),
            (shell.right, front, shell.ceiling),
            (shell.right, shell.wall, shell.ceiling),
        ],
        _plaster(put, "Side Wall", wall),
    )
    put.quad(
        "Ceiling",
        [
            (shell.left, shell.wall, shell.ceiling),
            (shell.right, shell.wall, shell.ceiling),
            (shell.right, front, shell.ceiling),
            (shell.left, front, shell.ceiling),
        ],
        _plaster(put, "Ceiling", CEILING),
    )
    floor = _carpet(put) if site.floor == "carpet" else _floorboards(put)
    put.quad(
        "Floor",
        [(shell.left, front, 0), (shell.right, front, 0), (shell.right, shell.wall, 0), (shell.left, shell.wall, 0)],
        floor,
    )
    if site.skirting.height:
        _skirting(put, shell, site.skirting.height / 1000, site.skirting.thickness / 1000)
    _daylight(put, size)


def _studio(put: Put, size: tuple[float, float, float]) -> None:
    """A ground that runs up behind the piece without a corner, a large soft light at each side and one above."""
    width, depth, height = size
    back, top, side = 1.0, max(4.0, height + 1.5), width / 2 + 6.0
    arc = [math.pi / 2 * step / 12 for step in range(13)]
    profile = [
        (-REACH - depth, 0.0),
        *((back + COVE * math.sin(a), COVE - COVE * math.cos(a)) for a in arc),
        (back + COVE, top),
    ]
    points = [(x, y, z) for x in (-side, side) for y, z in profile]
    count = len(profile)
    ground = put.mesh(
        "Ground",
        points,
        [(i, count + i, count + i + 1, i + 1) for i in range(count - 1)],
        _plaster(put, "Ground", GROUND),
    )
    ground.data.shade_smooth()
    toward = (0.0, -depth / 2, height / 2)
    for name, place, across, power in (
        ("Left", (-width / 2 - 2.4, -depth - 2.4, height * 0.75 + 0.6), 2.2, 240.0),
        ("Right", (width / 2 + 2.8, -depth - 2.0, height * 0.6 + 0.4), 2.2, 110.0),
        ("Above", (0.0, -depth - 0.6, height + 1.6), 2.0, 70.0),
    ):
        _lamp(put, name, place, toward, across, power)
    sky(put, 0.25)


def _lamps(put: Put, size: tuple[float, float, float]) -> None:
    """A standard lamp at the right, a pendant before the piece, a lower lamp at the left; the window is nearly dark."""
    width, depth, height = size
    for each in put.scene.collection.objects:
        if each.type == "LIGHT":
            each.data.energy *= DUSK
    for node in put.scene.world.node_tree.nodes:
        if "Strength" in node.inputs:
            node.inputs["Strength"].default_value *= AFTERGLOW
    toward = (0.0, -depth, height * 0.5)
    _lamp(put, "Standard Lamp", (width / 2 + 0.7, -depth - 1.1, 1.55), toward, 0.45, 90.0, LAMP)
    side = (-width / 2, -depth / 2, height * 0.5)
    _lamp(put, "Table Lamp", (-width / 2 - 1.9, -depth - 0.9, 1.1), side, 0.35, 36.0, LAMP)
    _lamp(put, "Pendant", (-0.3, -depth - 1.9, max(2.0, height + 0.1)), toward, 0.6, 110.0, LAMP)


def _lamp(
    put: Put,
    name: str,
    place: tuple[float, float, float],
    toward: tuple[float, float, float],
    across: float,
    power: float,
    colour: tuple[float, float, float] = (1.0, 1.0, 1.0),
) -> None:
    """A round soft light, W and m."""
    data = put.keep("lights", bpy.data.lights.new(name, "AREA"))
    data.shape, data.size, data.energy, data.color = "DISK", across, power, colour
    lamp = put.thing(bpy.data.objects.new(name, data))
    lamp.location = place
    lamp.rotation_euler = compat.looking(lamp.location, toward)


class Put:
    """Puts things into a scene and takes every one of them away again."""

    def __init__(self, scene: bpy.types.Scene) -> None:
        self.scene = scene
        self._made: list[tuple[bpy.types.bpy_prop_collection, bpy.types.ID]] = [(bpy.data.scenes, scene)]

    def keep(self, kind: str, made: bpy.types.ID) -> bpy.types.ID:
        """Remember something of a kind ("meshes") that is to go with the scene."""
        self._made.append((getattr(bpy.data, kind), made))
        return made

    def thing(self, made: bpy.types.Object) -> bpy.types.Object:
        """Stand an object in the scene."""
        self.keep("objects", made)
        self.scene.collection.objects.link(made)
        return made

    def mesh(self, name: str, points: list, faces: list, material: bpy.types.Material) -> bpy.types.Object:
        """A mesh of points and faces, flat, of one material."""
        made = self.keep("meshes", bpy.data.meshes.new(name))
        made.from_pydata(points, [], faces)
        made.shade_flat()
        made.materials.append(material)
        return self.thing(bpy.data.objects.new(name, made))

    def quad(self, name: str, corners: list, material: bpy.types.Material) -> bpy.types.Object:
        """One rectangle."""
        return self.mesh(name, corners, [(0, 1, 2, 3)], material)

    def material(self, name: str) -> tuple[bpy.types.Material, Tree]:
        """A material and its empty node tree."""
        made = self.keep("materials", bpy.data.materials.new(name))
        return made, Tree(compat.with_nodes(made))

    def remove(self) -> None:
        """Take everything away, last first."""
        for where, made in reversed(self._made):
            where.remove(made)
        self._made.clear()


# ---------------------------------------------------------------------------------------------------------------- light
def _daylight(put: Put, size: tuple[float, float, float]) -> None:
    """A window at the left, rather in front of the piece, and the light of the sky from everywhere."""
    sun = put.keep("lights", bpy.data.lights.new("Window", "AREA"))
    sun.shape = "RECTANGLE"
    sun.size, sun.size_y = WINDOW
    sun.energy = WINDOW_POWER
    window = put.thing(bpy.data.objects.new("Window", sun))
    window.location = (-size[0] / 2 - 2.6, -size[1] - 3.4, max(1.65, size[2] * 0.9))
    window.rotation_euler = compat.looking(window.location, (0.1, -size[1] * 0.8, size[2] * 0.5))
    sky(put, SKY)


def sky(put: Put, strength: float, colour: tuple[float, ...] = SKY_COLOUR) -> None:
    """Light from everywhere."""
    world = put.keep("worlds", bpy.data.worlds.new("Sky"))
    tree = Tree(compat.with_nodes(world))
    light = tree.node("Background", {"Color": colour, "Strength": strength})
    tree.node("OutputWorld", {"Surface": light.outputs[0]})
    put.scene.world = world


def scale_light(stage: bpy.types.Scene, gains: Sequence[float]) -> None:
    """Scale red, green and blue of every light in a room, and so of every pixel of its picture."""
    for each in stage.collection.objects:
        if each.type == "LIGHT":
            each.data.color = [part * gain for part, gain in zip(each.data.color, gains, strict=True)]
    for node in stage.world.node_tree.nodes:
        if "Strength" in node.inputs:
            colour = node.inputs["Color"].default_value
            colour[:3] = [part * gain for part, gain in zip(colour[:3], gains, strict=True)]


# ------------------------------------------------------------------------------------------------------------- surfaces
def _skirting(put: Put, shell: Shell, height: float, thickness: float) -> None:
    """A board with a chamfer along its upper edge."""
    material, tree = put.material("Skirting")
    tree.finish(
        tree.node(
            "BsdfPrincipled", {"Base Color": linear(SKIRTING), "Roughness": 0.5, "Specular IOR Level": 0.25}
        ).outputs[0]
    )
    cut = min(thickness, height) * 0.55
    profile = [
        (shell.wall - thickness, 0.0),
        (shell.wall - thickness, height - cut),
        (shell.wall - thickness + cut, height),
        (shell.wall, height),
    ]
    points = [(x, y, z) for x in (shell.left, shell.right) for y, z in profile]
    put.mesh("Skirting", points, [(0, 4, 5, 1), (1, 5, 6, 2), (2, 6, 7, 3)], material)


def _plaster(put: Put, name: str, colour: str) -> bpy.types.Material:
    """Dead matt wall paint; plain, because most rays end here."""
    material, tree = put.material(name)
    tree.finish(tree.node("BsdfDiffuse", {"Color": linear(colour)}).outputs[0])
    return material


def _carpet(put: Put) -> bpy.types.Material:
    material, tree = put.material("Carpet")
    at = tree.node("TexCoord").outputs["Object"]
    pile = tree.noise(at, 420.0, 3.0, 0.7)
    colour = tree.mix(tree.ramp(pile, 0.3, 0.7), linear("#8f8578"), linear("#aaa092"))
    normal = tree.node("Bump", {"Height": pile, "Strength": 0.8, "Distance": 0.004}).outputs[0]
    tree.finish(
        tree.node(
            "BsdfPrincipled", {"Base Color": colour, "Roughness": 1.0, "Specular IOR Level": 0.0, "Normal": normal}
        ).outputs[0]
    )
    return material


def _floorboards(put: Put) -> bpy.types.Material:
    """Oiled boards running away from the viewer, each sawn from another place."""
    material, tree = put.material("Floorboards")
    at = tree.node("SeparateXYZ", {0: tree.node("TexCoord").outputs["Object"]}).outputs
    laid = tree.node("CombineXYZ", {0: at[1], 1: at[0]}).outputs[0]
    boards = tree.node(
        "TexBrick",
        {
            "Vector": laid,
            "Color1": (0, 0, 0, 1),
            "Color2": (1, 1, 1, 1),
            "Mortar": (0, 0, 0, 1),
            "Scale": 1.0,
            "Mortar Size": 0.0016,
            "Mortar Smooth": 1.0,
            "Bias": 0.0,
            "Brick Width": BOARD[0],
            "Row Height": BOARD[1],
        },
        offset=0.37,
        offset_frequency=3,
        squash=1.0,
    )
    which, seam = boards.outputs["Color"], boards.outputs[1]
    chance = tree.node("SeparateColor", {0: which}).outputs[0]
    apart = tree.node(
        "CombineXYZ",
        {
            0: tree.math("MULTIPLY", chance, 31.0),
            1: tree.math("MULTIPLY", chance, 17.0),
            2: tree.math("MULTIPLY", chance, 5.0),
        },
    ).outputs[0]
    log = tree.vector("ADD", laid, apart)
    figure = tree.noise(tree.vector("MULTIPLY", log, (0.9, 11.0, 1.0)), 1.0, 2.0, 0.55, flat=True)
    year = tree.math("FRACT", tree.math("MULTIPLY", figure, 9.0))
    late = tree.math("MULTIPLY", tree.ramp(year, 0.3, 0.85), tree.ramp(year, 1.0, 0.92))
    fibres = tree.noise(tree.vector("MULTIPLY", log, (9.0, 420.0, 1.0)), 1.0, 1.0, 0.6, flat=True)
    base = linear(FLOORBOARD)
    colour = tree.mix(tree.math("MULTIPLY", late, 0.4), shade(base, 1.06), shade(base, 0.74))
    colour = tree.mix(tree.ramp(fibres, 0.35, 0.7, 0.0, 0.3), colour, shade(base, 0.62))
    colour = tree.node(
        "HueSaturation", {"Color": colour, "Value": tree.math("ADD", 0.86, tree.math("MULTIPLY", chance, 0.28))}
    ).outputs[0]
    colour = tree.mix(tree.math("MULTIPLY", seam, 0.85), colour, shade(base, 0.12))
    rough = tree.math("ADD", 0.42, tree.math("MULTIPLY", fibres, 0.16))
    laid_floor = tree.node("BsdfPrincipled", {"Base Color": colour, "Roughness": rough, "Specular IOR Level": 0.35})
    tree.finish(tree.plain_when_scattered(laid_floor.outputs[0], shade(base, 0.9)))
    return material


def _luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (IEC 61966-2-1)."""
    red, green, blue, _ = linear(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
