"""Short writing for shader node trees."""

from __future__ import annotations

from typing import Any

import bpy


class Tree:
    """A node tree under construction; sockets are passed where a value may stand."""

    def __init__(self, tree: bpy.types.NodeTree) -> None:
        self.tree = tree

    def node(self, kind: str, inputs: dict[Any, Any] | None = None, **settings: Any) -> bpy.types.Node:
        """A node of a kind with its settings; `inputs` by name or number are values or sockets of other nodes.

        A name that this version of Blender does not have is passed over: they come and go.
        """
        made = self.tree.nodes.new(f"ShaderNode{kind}")
        for name, value in settings.items():
            setattr(made, name, value)
        for name, value in (inputs or {}).items():
            self.put(made, name, value)
        return made

    def put(self, node: bpy.types.Node, name: str | int, value: Any) -> None:
        """Set an input, or link a socket to it."""
        if isinstance(name, str) and name not in node.inputs:
            return
        if isinstance(value, bpy.types.NodeSocket):
            self.tree.links.new(value, node.inputs[name])
        else:
            node.inputs[name].default_value = value

    def math(self, operation: str, *values: Any, clamp: bool = False) -> bpy.types.NodeSocket:
        """The result of a calculation with numbers or sockets."""
        return self.node("Math", dict(enumerate(values)), operation=operation, use_clamp=clamp).outputs[0]

    def vector(self, operation: str, *values: Any) -> bpy.types.NodeSocket:
        """The result of a calculation with vectors."""
        made = self.node("VectorMath", operation=operation)
        for index, value in enumerate(values):
            self.put(made, "Scale" if operation == "SCALE" and index == 1 else index, value)
        return made.outputs["Value" if operation in ("LENGTH", "DOT_PRODUCT") else "Vector"]

    def noise(
        self, at: Any, scale: float, detail: float = 2.0, roughness: float = 0.5, flat: bool = False
    ) -> bpy.types.NodeSocket:
        """Smooth noise between 0 and 1, about 0.5; `flat` looks only at x and y and is cheaper."""
        inputs = {"Vector": at, "Scale": scale, "Detail": detail, "Roughness": roughness}
        return self.node("TexNoise", inputs, noise_dimensions="2D" if flat else "3D").outputs[0]

    def ramp(
        self, value: Any, low: float, high: float, to_low: float = 0.0, to_high: float = 1.0
    ) -> bpy.types.NodeSocket:
        """A value's range mapped to another, smoothly and without going beyond it."""
        inputs = {"Value": value, "From Min": low, "From Max": high, "To Min": to_low, "To Max": to_high}
        return self.node("MapRange", inputs, interpolation_type="SMOOTHSTEP").outputs[0]

    def mix(self, share: Any, a: Any, b: Any, blend: str = "MIX") -> bpy.types.NodeSocket:
        """Two colours mixed."""
        made = self.node("Mix", data_type="RGBA", blend_type=blend)
        for index, value in ((0, share), (6, a), (7, b)):
            self.put(made, index, value)
        return made.outputs[2]

    def plain_when_scattered(self, shader: bpy.types.NodeSocket, colour: Any) -> bpy.types.NodeSocket:
        """A shader for what is looked at; light that other matt surfaces scatter meets only its colour, which costs far less."""
        scattered = self.node("LightPath").outputs["Is Diffuse Ray"]
        plain = self.node("BsdfDiffuse", {"Color": colour}).outputs[0]
        return self.node("MixShader", {0: scattered, 1: shader, 2: plain}).outputs[0]

    def finish(self, shader: bpy.types.NodeSocket) -> None:
        """Make a shader the surface."""
        self.node("OutputMaterial", {"Surface": shader})


def linear(colour: str) -> tuple[float, float, float, float]:
    """An sRGB colour #rrggbb as Blender calculates with it: linear light, opaque (IEC 61966-2-1).

    >>> linear("#ffffff"), round(linear("#808080")[0], 4)
    ((1.0, 1.0, 1.0, 1.0), 0.2159)
    """
    parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return (*(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts), 1.0)


def shade(colour: tuple[float, ...], factor: float) -> tuple[float, ...]:
    """A linear colour darker or lighter by a factor."""
    return (*(min(1.0, part * factor) for part in colour[:3]), 1.0)
