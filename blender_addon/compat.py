"""Differences between Blender versions, each with the version in which it changed."""

from __future__ import annotations

import bpy
from mathutils import Euler, Vector


def set_picture_file(
    settings: bpy.types.ImageFormatSettings, file_format: str, depth: str, colours: str = "RGB"
) -> None:
    """Choose the format of a picture file; from 5.0 on a medium has to be chosen before it."""
    if hasattr(settings, "media_type"):
        settings.media_type = "IMAGE"
    settings.file_format = file_format
    settings.color_mode = colours
    settings.color_depth = depth


def with_nodes(holder: bpy.types.Material | bpy.types.World) -> bpy.types.NodeTree:
    """The node tree of a material or world, emptied; before 5.0 one has to ask for it, since then that is a warning."""
    if bpy.app.version < (5, 0, 0):
        holder.use_nodes = True
    holder.node_tree.nodes.clear()
    return holder.node_tree


def set_sampling(cycles: bpy.types.PropertyGroup) -> None:
    """The same sampling pattern everywhere; its default differs between 5.0 and the others."""
    if "TABULATED_SOBOL" in cycles.bl_rna.properties["sampling_pattern"].enum_items:
        cycles.sampling_pattern = "TABULATED_SOBOL"


def set_denoising(cycles: bpy.types.PropertyGroup) -> None:
    """Denoise with Open Image Denoise; some distributions build Blender without it, then the picture stays as it is."""
    try:
        cycles.denoiser = "OPENIMAGEDENOISE"
    except TypeError:
        cycles.use_denoising = False
    else:
        cycles.use_denoising = True


def looking(place: Vector, toward: tuple[float, float, float]) -> Euler:
    """The rotation of a light or camera at a place that looks toward a point; they look along their −z."""
    return (Vector(toward) - Vector(place)).to_track_quat("-Z", "Y").to_euler()
