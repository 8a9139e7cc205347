"""Lines in Blender's own menus: Add > Mesh, File > Import and File > Export."""

from __future__ import annotations

import bpy

from .panels.start import MUNTIN_MT_starters

EXPORTS = (
    ("muntin.export_workshop_pack", "Muntin Workshop Pack"),
    ("muntin.export_cutting_list", "Muntin Cutting List"),
    ("muntin.export_client_book", "Muntin Client Book (.pdf)"),
    ("muntin.export_model", "Muntin Model (.glb)"),
    ("muntin.save_piece", "Muntin Piece (.json)"),
)


def register() -> None:
    """Put the lines in."""
    for menu, lines in _lines():
        menu.append(lines)


def unregister() -> None:
    """Take them out."""
    for menu, lines in _lines():
        menu.remove(lines)


def add_lines(menu: bpy.types.Menu, _context: bpy.types.Context) -> None:
    """The starter pieces in Add > Mesh."""
    menu.layout.separator()
    menu.layout.menu(MUNTIN_MT_starters.bl_idname, icon="MESH_CUBE")


def import_lines(menu: bpy.types.Menu, _context: bpy.types.Context) -> None:
    """A piece file in File > Import."""
    menu.layout.operator("muntin.load_piece", text="Muntin Piece (.json)")


def export_lines(menu: bpy.types.Menu, _context: bpy.types.Context) -> None:
    """What is written of the selected piece in File > Export; grey where none is selected."""
    menu.layout.separator()
    for operator, words in EXPORTS:
        menu.layout.operator(operator, text=words)


def _lines() -> tuple:
    types = bpy.types
    return (
        (types.VIEW3D_MT_mesh_add, add_lines),
        (types.TOPBAR_MT_file_import, import_lines),
        (types.TOPBAR_MT_file_export, export_lines),
    )
