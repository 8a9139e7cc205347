"""What Muntin adds to Blender's objects: on a piece's root, its editor and the sliders that open it or part it."""

import math

import bpy
from bpy.props import FloatProperty, PointerProperty

from . import document, editor, hooks, photograph, suggestions
from .core.piece import Piece

_piece_class = editor.group_class(Piece)


class MUNTIN_PG_root(bpy.types.PropertyGroup):
    """A piece's editor, how far its fronts stand open and how far it is taken apart."""

    piece: PointerProperty(type=_piece_class, name="Piece", description="The parameters of the piece")
    swing: FloatProperty(
        name="Swing",
        description="How far the doors stand open, to where they stop",
        default=0.0,
        min=0.0,
        max=math.pi,
        soft_max=math.radians(110),
        subtype="ANGLE",
        unit="ROTATION",
        step=100,
        update=hooks.movement_changed,
    )
    travel: FloatProperty(
        name="Travel",
        description="How far the drawers stand out, to where they stop",
        default=0.0,
        min=0.0,
        soft_max=0.6,
        subtype="DISTANCE",
        unit="LENGTH",
        step=1,
        update=hooks.movement_changed,
    )
    apart: FloatProperty(
        name="Take Apart",
        description="How far the parts have come away from one another, each the way that the drawings show",
        default=0.0,
        min=0.0,
        max=1.0,
        subtype="FACTOR",
        update=hooks.movement_changed,
    )
    photograph: PointerProperty(
        type=photograph.MUNTIN_PG_photograph, name="Own Room", description="A photograph of the room the piece is for"
    )


def classes() -> tuple[type, ...]:
    """Every property group, each after those that it contains."""
    return (*editor.made_classes(), *photograph.CLASSES, MUNTIN_PG_root)


def register() -> None:
    """Give every object the pointer; listen to the editor."""
    bpy.types.Object.muntin = PointerProperty(type=MUNTIN_PG_root)
    hooks.on("value changed", document.group_changed)
    hooks.on("movement changed", document.movement_changed)
    hooks.on("length shown", document.length_shown)
    hooks.on("length typed", document.length_typed)
    hooks.on("suggest", suggestions.suggest)


def unregister() -> None:
    """Take the pointer away."""
    hooks.forget()
    if bpy.app.timers.is_registered(document.catch_up):
        bpy.app.timers.unregister(document.catch_up)
    del bpy.types.Object.muntin
