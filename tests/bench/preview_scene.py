"""A plain scene that says how fast a machine renders, to hold the seconds of the client's picture against.

Built after its description: twenty-two small bevelled boxes, metal knobs, floor and wall, two area lights and a grey world, 1200 × 1500, at most 16 samples,
threshold 0.05, 4 bounces, denoised: 67.2 s of processors on the machine on which the targets were set. Those targets are
60 s of the wall for a final picture and 6 s for a draft with two cores free.
"""

from __future__ import annotations

import itertools
import time

import bpy
from mathutils import Vector

SECONDS = 67.2  # of processors, where the targets were set
SAMPLES, THRESHOLD, BOUNCES = 16, 0.05, 4
MIDDLE = Vector((0.0, 0.0, 1.0))


def seconds(path: str, size: tuple[int, int]) -> float:
    """Render the scene into a file and take it away; seconds of all processors."""
    scene = bpy.data.scenes.new("Reference")
    made = [_objects(scene), _light(scene)]
    _settings(scene, path, size)
    began = time.process_time()
    bpy.ops.render.render(write_still=True, scene=scene.name)
    spent = time.process_time() - began
    for each in itertools.chain(*made):
        bpy.data.objects.remove(each)
    bpy.data.worlds.remove(scene.world)
    bpy.data.scenes.remove(scene)
    return spent


def _objects(scene: bpy.types.Scene) -> list[bpy.types.Object]:
    paint, metal = _material("Paint", (0.2, 0.3, 0.35)), _material("Metal", (0.8, 0.6, 0.3), metallic=1.0, rough=0.25)
    wall, floor = _material("Wall", (0.7, 0.68, 0.6)), _material("Floor", (0.3, 0.2, 0.1))
    boxes = [((-0.45 + 0.3 * x, 0.0, 0.2 + 0.4 * z), (0.28, 0.5, 0.38)) for x in range(4) for z in range(5)]
    boxes += [((x, 0.0, 1.0), (0.05, 0.55, 2.1)) for x in (-0.7, 0.7)]
    made = [_box(scene, at, size, paint) for at, size in boxes]
    made += [_knob(scene, (-0.45 + 0.3 * x, -0.27, 0.2 + 0.4 * z), metal) for x in (1, 2) for z in range(5)]
    made.append(_quad(scene, [(-6, -6, 0), (6, -6, 0), (6, 6, 0), (-6, 6, 0)], floor))
    made.append(_quad(scene, [(-6, 0.3, 0), (6, 0.3, 0), (6, 0.3, 6), (-6, 0.3, 6)], wall))
    return made


def _light(scene: bpy.types.Scene) -> list[bpy.types.Object]:
    made = []
    for place, power in (((-2.5, -3.0, 2.5), 200.0), ((2.5, -2.5, 2.0), 90.0)):
        data = bpy.data.lights.new("Area", "AREA")
        data.energy, data.size = power, 1.5
        made.append(_stand(scene, data, place, MIDDLE))
    scene.world = bpy.data.worlds.new("Grey")
    scene.world.use_nodes = True
    scene.world.node_tree.nodes["Background"].inputs[0].default_value = (0.2, 0.2, 0.2, 1.0)
    data = bpy.data.cameras.new("View")
    data.lens = 40.0
    scene.camera = _stand(scene, data, (-1.8, -4.2, 1.45), MIDDLE)
    return [*made, scene.camera]


def _settings(scene: bpy.types.Scene, path: str, size: tuple[int, int]) -> None:
    picture, cycles = scene.render, scene.cycles
    picture.engine, picture.filepath = "CYCLES", path
    picture.resolution_x, picture.resolution_y = size
    cycles.device, cycles.samples, cycles.max_bounces, cycles.use_fast_gi = "CPU", SAMPLES, BOUNCES, False
    cycles.use_adaptive_sampling, cycles.adaptive_threshold = True, THRESHOLD
    cycles.use_denoising, cycles.denoiser, cycles.denoising_prefilter = True, "OPENIMAGEDENOISE", "ACCURATE"
    scene.view_settings.view_transform = "Standard"


def _material(name: str, colour: tuple[float, ...], metallic: float = 0.0, rough: float = 0.5) -> bpy.types.Material:
    made = bpy.data.materials.new(name)
    made.use_nodes = True
    shader = made.node_tree.nodes["Principled BSDF"]
    shader.inputs["Base Color"].default_value = (*colour, 1.0)
    shader.inputs["Metallic"].default_value, shader.inputs["Roughness"].default_value = metallic, rough
    return made


def _box(
    scene: bpy.types.Scene, at: tuple[float, ...], size: tuple[float, ...], material: bpy.types.Material
) -> bpy.types.Object:
    corners = [
        tuple((c - 0.5) * s for c, s in zip(each, size, strict=True)) for each in itertools.product((0, 1), repeat=3)
    ]
    faces = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    box = _stand(scene, _mesh(corners, faces, material), at)
    bevel = box.modifiers.new("Bevel", "BEVEL")
    bevel.width, bevel.segments = 0.003, 2
    return box


def _knob(scene: bpy.types.Scene, at: tuple[float, ...], material: bpy.types.Material) -> bpy.types.Object:
    knob = _box(scene, at, (0.03, 0.03, 0.03), material)
    knob.modifiers.clear()
    knob.modifiers.new("Round", "SUBSURF").render_levels = 3
    knob.data.shade_smooth()
    return knob


def _quad(scene: bpy.types.Scene, corners: list, material: bpy.types.Material) -> bpy.types.Object:
    return _stand(scene, _mesh(corners, [(0, 1, 2, 3)], material), (0.0, 0.0, 0.0))


def _mesh(corners: list, faces: list, material: bpy.types.Material) -> bpy.types.Mesh:
    mesh = bpy.data.meshes.new("Reference")
    mesh.from_pydata(corners, [], faces)
    mesh.materials.append(material)
    return mesh


def _stand(
    scene: bpy.types.Scene, data: bpy.types.ID, at: tuple[float, ...], toward: Vector | None = None
) -> bpy.types.Object:
    made = bpy.data.objects.new(data.name, data)
    made.location = at
    if toward:
        made.rotation_euler = (toward - Vector(at)).to_track_quat("-Z", "Y").to_euler()
    scene.collection.objects.link(made)
    return made
