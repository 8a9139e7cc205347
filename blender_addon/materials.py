"""Finishes as shaders: paint, oiled and varnished timber with its own grain, metal and plastic.

A material is found by the piece and the slot it belongs to, kept in its custom properties, and made anew only when
its recipe changes, so that a new colour shows at once and nothing else is touched.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import bpy

from . import compat
from .core.materials import material, materials
from .core.model import Part
from .core.piece.finish import Coat, Scheme
from .lengths import METRES_PER_MM
from .nodes import Tree, linear, shade
from .wording import title

BEHIND = "behind_fronts"  # attribute of a mesh: how far each vertex lies behind the fronts
PIECE, SLOT, RECIPE = "muntin_piece", "muntin_slot", "muntin_recipe"
EDGE_RADIUS = 0.001  # m; an edge broken with fine paper, in shading only
EDGE_SAMPLES = 3
VERSION = 1  # of the shaders below; another number makes every material anew

# Colours of bare wood and boards in sRGB, to the eye; ours.
BARE = {
    "mdf": "#b79a76",
    "mdf-mr": "#a39c74",
    "particleboard": "#c4a87c",
    "plywood": "#d8b98c",
    "oak": "#c39a68",
    "white-oak": "#c7a270",
    "red-oak": "#c89b78",
    "tulipwood": "#cdbd8e",
    "beech": "#d3ab80",
    "birch": "#dcbf95",
    "birch-ply": "#dfc49b",
    "softwood": "#dcb982",
    "pine": "#dcb982",
    "ash": "#d6bd97",
    "walnut": "#6f4d35",
    "cherry": "#b67e52",
    "maple": "#dcc4a0",
}
BARE_OTHERWISE = "#c8a57a"

# Metals: sRGB of the reflection, roughness. Plastics: sRGB, roughness. To the eye; ours.
METALS = {
    "brass": ("#d9b26a", 0.28),
    "steel": ("#b4b4b2", 0.34),
    "stainless-steel": ("#bcbcba", 0.30),
    "zinc": ("#a9abad", 0.42),
    "aluminium": ("#c9cacb", 0.36),
    "iron": ("#3d3b39", 0.55),
    "chrome": ("#d8d9da", 0.10),
}
PLASTICS = {
    "nylon": ("#d9d6cc", 0.45),
    "silicone": ("#dcdcd8", 0.40),
    "rubber": ("#2b2a29", 0.70),
    "plastic": ("#d9d6cc", 0.45),
}
TIMBERS = {each.id for each in materials() if each.kind in ("sheet", "solid")}
PANE_TINT = (0.95, 0.965, 0.96, 1.0)  # of one face of a pane, linear; to the eye
GLASSES = {"glass", "mirror", "mirror-glass"}


@dataclass(frozen=True, slots=True)
class Recipe:
    """All that a shader is made from."""

    coating: str  # paint clear oil bare; metal plastic glass
    colour: str
    roughness: float
    specular: float
    timber: str = ""  # id of the material whose grain shows
    across: bool = False  # the grain runs across the part
    reveal: str = ""  # of paint: the colour in front of where the compartments begin
    unit: float = 1.0  # metres to a unit of the part's own frame
    edge: float = EDGE_RADIUS  # how far edges look rounded, in units of the scene

    @property
    def words(self) -> str:
        """The recipe as one line, to compare with what a material was made from."""
        return _words(self)


@lru_cache(maxsize=256)
def _words(recipe: Recipe) -> str:
    return f"{VERSION} {recipe}"


@lru_cache(maxsize=256)
def _in_units(recipe: Recipe, unit: float, edge: float) -> Recipe:
    return replace(recipe, unit=unit, edge=edge)


class Palette:
    """The materials of one piece in one scheme."""

    def __init__(
        self, piece_id: str, scheme: Scheme, scale: float = METRES_PER_MM, scene_scale: float | None = None
    ) -> None:
        """`scale` is units of the parts' own frames to a millimetre, `scene_scale` of the scene where it differs."""
        self.piece_id = piece_id
        self.scheme = scheme
        self.unit = METRES_PER_MM / scale
        self.edge = EDGE_RADIUS * (scene_scale or scale) / METRES_PER_MM
        self._shared_with = "" if scene_scale is None else piece_id
        self._coats: dict[tuple[str, str, bool, str], bpy.types.Material] = {}
        self._substances: dict[str, bpy.types.Material] = {}
        self._known = {_slot_of(each): each for each in bpy.data.materials if PIECE in each and not each.library}
        self.used: set[str] = set()

    def of_part(self, part: Part, group: str = "", reveal: str = "") -> bpy.types.Material:
        """The material of a part, or of those of its faces that belong to another finish group.

        `reveal` names the group whose colour those faces have in front of where the compartments begin.
        """
        if part.board.material.id in GLASSES:
            return self.substance(part.board.material.id, part.finish)
        return self.coat(group or part.finish, part.board.material.id, part.grain == "width", reveal)

    def coat(self, group: str, timber: str, across: bool = False, reveal: str = "") -> bpy.types.Material:
        """What a finish group's coat makes of a timber or board."""
        asked = (group, timber, across, reveal)
        if asked not in self._coats:
            self._coats[asked] = self._coat(*asked)
        return self._coats[asked]

    def _coat(self, group: str, timber: str, across: bool, reveal: str) -> bpy.types.Material:
        coat, edge = self.scheme.coat(group), self.scheme.coat(reveal or group)
        recipe = coat_recipe(coat, timber, across)
        if reveal and recipe.coating == edge.coating == "paint":
            recipe = replace(recipe, reveal=edge.colour)
        slot = f"{group} {recipe.timber}{' across' if recipe.across else ''}{' and reveal' if recipe.reveal else ''}"
        return self._material(self.piece_id, slot, recipe)

    def substance(self, name: str, group: str) -> bpy.types.Material:
        """What a body of a fitting is made of: timber takes the group's coat, metal and plastic are as they come."""
        if name in TIMBERS:
            return self.coat(group, name)
        if name not in self._substances:
            self._substances[name] = self._material(self._shared_with, name, substance_recipe(name))
        return self._substances[name]

    def drop_unused(self) -> None:
        """Remove this piece's materials that nothing shows any more."""
        for (owner, _slot), each in list(self._known.items()):
            if owner == self.piece_id and each.name not in self.used and each.users == 0:
                bpy.data.materials.remove(each)

    def _material(self, owner: str, slot: str, recipe: Recipe) -> bpy.types.Material:
        slot = " ".join(slot.split())
        made = self._known.get((owner, slot))
        if made is None:
            made = self._known[owner, slot] = bpy.data.materials.new(title(slot))
            made[PIECE], made[SLOT] = owner, slot
        recipe = _in_units(recipe, self.unit, self.edge)
        if made.get(RECIPE) != recipe.words:
            write(made, recipe)
            made[RECIPE] = recipe.words
        self.used.add(made.name)
        return made


@lru_cache(maxsize=256)
def coat_recipe(coat: Coat, timber: str, across: bool = False) -> Recipe:
    """The recipe of a coat on a timber or board; paint hides the grain."""
    roughness = 0.82 - 0.62 * coat.sheen / 100
    if coat.coating == "paint":
        return Recipe("paint", coat.colour, roughness, 0.06 + 0.3 * coat.sheen / 100)
    grained = material(timber).grained
    colour = BARE.get(timber, BARE_OTHERWISE) if coat.coating == "bare" else coat.colour
    specular = 0.15 if coat.coating == "bare" else 0.25 + 0.25 * coat.sheen / 100
    return Recipe(
        coat.coating, colour, 0.8 if coat.coating == "bare" else roughness, specular, timber, across and grained
    )


def substance_recipe(name: str) -> Recipe:
    """The recipe of a metal, glass or plastic; what is not known is taken for plastic."""
    if name in METALS:
        return Recipe("metal", *METALS[name], 0.5)
    if name in GLASSES:
        return Recipe("glass" if name == "glass" else "mirror", "#f4f7f6", 0.0, 0.5)
    return Recipe("plastic", *PLASTICS.get(name, PLASTICS["plastic"]), 0.4)


def write(made: bpy.types.Material, recipe: Recipe) -> None:
    """Make a material's shader from its recipe, and what the solid view shows of it."""
    _SHADERS[recipe.coating](Tree(compat.with_nodes(made)), recipe)
    made.diffuse_color = linear(recipe.colour)
    made.roughness = recipe.roughness
    made.metallic = 1.0 if recipe.coating in ("metal", "mirror") else 0.0


def _slot_of(made: bpy.types.Material) -> tuple[str, str]:
    return made[PIECE], made.get(SLOT, "")


# -------------------------------------------------------------------------------------------------------------- shaders
def _paint(tree: Tree, recipe: Recipe) -> None:
    colour = linear(recipe.colour)
    if recipe.reveal and recipe.reveal != recipe.colour:
        behind = tree.node("Attribute", attribute_name=BEHIND).outputs["Fac"]
        colour = tree.mix(tree.math("GREATER_THAN", behind, 0.0), linear(recipe.reveal), colour)
    _principled(tree, recipe, colour)


def _timber(tree: Tree, recipe: Recipe) -> None:
    if not material(recipe.timber).grained:
        _board(tree, recipe)
        return
    colour, height = grain(tree, linear(recipe.colour), recipe.timber, recipe.across, recipe.unit)
    _principled(tree, recipe, colour, height)


def _board(tree: Tree, recipe: Recipe) -> None:
    """MDF: fine fibres without direction."""
    at = tree.node("TexCoord").outputs["Object"]
    fibres = tree.ramp(tree.noise(at, 900.0, 3.0), 0.35, 0.65)
    colour = linear(recipe.colour)
    _principled(tree, recipe, tree.mix(fibres, shade(colour, 0.93), shade(colour, 1.05)))


def _metal(tree: Tree, recipe: Recipe) -> None:
    _principled(tree, recipe, linear(recipe.colour), metallic=1.0)


def _plastic(tree: Tree, recipe: Recipe) -> None:
    _principled(tree, recipe, linear(recipe.colour))


def _glass(tree: Tree, recipe: Recipe) -> None:
    """A clear pane: what is behind it unbent, as through any plane pane, and what it mirrors by Fresnel."""
    clear = tree.node("BsdfTransparent", {"Color": PANE_TINT})
    mirrored = tree.node("BsdfGlossy", {"Color": linear(recipe.colour), "Roughness": recipe.roughness})
    outside = tree.math("SUBTRACT", 1.0, tree.node("NewGeometry").outputs["Backfacing"])
    share = tree.math("MULTIPLY", tree.node("Fresnel", {"IOR": 1.5}).outputs[0], outside)
    tree.finish(tree.node("MixShader", {0: share, 1: clear.outputs[0], 2: mirrored.outputs[0]}).outputs[0])


def _principled(tree: Tree, recipe: Recipe, colour: Any, height: Any = None, metallic: float = 0.0) -> None:
    normal = tree.node("Bevel", {"Radius": recipe.edge}, samples=EDGE_SAMPLES).outputs[0]
    if height is not None:
        normal = tree.node("Bump", {"Height": height, "Strength": 0.35, "Distance": 0.0004, "Normal": normal}).outputs[
            0
        ]
    shader = tree.node(
        "BsdfPrincipled",
        {
            "Base Color": colour,
            "Roughness": recipe.roughness,
            "Specular IOR Level": recipe.specular,
            "Metallic": metallic,
            "Normal": normal,
        },
    )
    if metallic:
        tree.finish(shader.outputs[0])
    else:
        tree.finish(
            tree.plain_when_scattered(shader.outputs[0], linear(recipe.colour) if height is not None else colour)
        )


_SHADERS: dict[str, Callable[[Tree, Recipe], None]] = {
    "paint": _paint,
    "oil": _timber,
    "clear": _timber,
    "bare": _timber,
    "metal": _metal,
    "plastic": _plastic,
    "glass": _glass,
    "mirror": _metal,
}


# ---------------------------------------------------------------------------------------------------------------- grain
@dataclass(frozen=True, slots=True)
class Figure:
    """What a timber's grain looks like; lengths in metres, to the eye, ours."""

    ring: float = 0.004  # width of a year's growth
    late: float = 0.74  # how dark the late wood is, of the mean colour
    early: float = 1.10
    pores: float = 0.0  # how dark the pores are; 0: too fine to be seen
    veneer: bool = False  # peeled: broad figure, no rings


FIGURES = {
    "oak": Figure(pores=0.55),
    "white-oak": Figure(pores=0.55),
    "red-oak": Figure(pores=0.60),
    "ash": Figure(ring=0.005, late=0.72, pores=0.45),
    "beech": Figure(ring=0.003, late=0.92, early=1.03, pores=0.18),
    "birch-ply": Figure(ring=0.012, late=0.92, early=1.03, veneer=True),
    "plywood": Figure(ring=0.014, late=0.88, early=1.04, veneer=True),
    "softwood": Figure(ring=0.0055, late=0.70, early=1.10),
    "pine": Figure(ring=0.0055, late=0.70, early=1.10),
    "walnut": Figure(ring=0.005, late=0.70, early=1.15, pores=0.4),
}


def grain(
    tree: Tree, colour: tuple[float, ...], timber: str, across: bool = False, unit: float = 1.0
) -> tuple[Any, Any]:
    """Colour and height of wood: growth rings cut by the part's faces, in the part's own frame, so end grain follows.

    x is the part's length. Each part is sawn from another place of another log.
    """
    figure = FIGURES.get(timber, Figure(late=0.85, early=1.05))
    own = tree.node("TexCoord").outputs["Object"]
    if unit != 1.0:
        own = tree.vector("SCALE", own, unit)
    if across:
        own = tree.node("VectorRotate", {"Vector": own, "Angle": 1.5707963}, rotation_type="Z_AXIS").outputs[0]
    chance = tree.node("ObjectInfo").outputs["Random"]
    apart = tree.node(
        "CombineXYZ",
        {
            0: tree.math("MULTIPLY", chance, 37.0),
            1: tree.math("MULTIPLY", chance, 11.0),
            2: tree.math("MULTIPLY", chance, 23.0),
        },
    )
    log = tree.vector("ADD", own, apart.outputs[0])
    # a log is nearly the same along its length: squeeze x before any noise
    along = tree.vector("MULTIPLY", log, (0.12, 1.0, 1.0))
    wander = tree.math("MULTIPLY", tree.math("SUBTRACT", tree.noise(along, 5.0, 2.0), 0.5), 0.05)
    ripple = tree.math("MULTIPLY", tree.math("SUBTRACT", tree.noise(along, 38.0, 2.0), 0.5), 0.006)
    parts = tree.node("SeparateXYZ", {0: own}).outputs
    pith_y = tree.math("MULTIPLY", tree.math("SUBTRACT", chance, 0.4), 0.09)
    pith_z = tree.math("ADD", tree.math("MULTIPLY", chance, 0.05), 0.045 if not figure.veneer else 0.4)
    lean = tree.math("MULTIPLY", parts[0], 0.012)  # no board is sawn quite along its log
    radius = tree.vector(
        "LENGTH",
        tree.node(
            "CombineXYZ",
            {1: tree.math("ADD", parts[1], pith_y), 2: tree.math("ADD", tree.math("ADD", parts[2], pith_z), lean)},
        ).outputs[0],
    )
    radius = tree.math("ADD", tree.math("ADD", radius, wander), ripple)
    year = tree.math("FRACT", tree.math("DIVIDE", radius, figure.ring))
    late = tree.math("MULTIPLY", tree.ramp(year, 0.25, 0.85), tree.ramp(year, 1.0, 0.93))
    broad = tree.noise(tree.vector("MULTIPLY", log, (0.6, 9.0, 9.0)), 1.0, 2.0)
    strength = tree.ramp(broad, 0.3, 0.7, 0.45, 1.0)
    shown = tree.mix(tree.math("MULTIPLY", late, strength), shade(colour, figure.early), shade(colour, figure.late))
    fibres = tree.noise(tree.vector("MULTIPLY", log, (14.0, 700.0, 700.0)), 1.0, 2.0, 0.6)
    shown = tree.mix(tree.ramp(fibres, 0.3, 0.7, 0.0, 0.22), shown, shade(colour, figure.late * 0.9))
    height = tree.math("SUBTRACT", 1.0, tree.math("MULTIPLY", fibres, 0.4))
    if figure.pores:
        vessels = tree.noise(tree.vector("MULTIPLY", log, (22.0, 1400.0, 1400.0)), 1.0, 1.0, 0.4)
        # most vessels lie in the early wood of the year
        open_ones = tree.math("MULTIPLY", tree.ramp(vessels, 0.60, 0.72), tree.ramp(late, 0.7, 0.0, 0.35, 1.0))
        shown = tree.mix(tree.math("MULTIPLY", open_ones, figure.pores), shown, shade(colour, 0.42))
        height = tree.math("SUBTRACT", height, tree.math("MULTIPLY", open_ones, 0.6))
    board = tree.node(
        "HueSaturation", {"Color": shown, "Value": tree.math("ADD", 0.94, tree.math("MULTIPLY", chance, 0.12))}
    )
    return board.outputs[0], height
