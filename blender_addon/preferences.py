"""What holds for every piece of a workshop: its stock and saws, its name, its habits of paper, its own pieces."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty

from .core.errors import PieceError
from .core.fields import fields_of
from .core.piece.files import picture_bytes
from .core.piece.shop import Shop
from .core.workshop.company import Company
from .core.workshop.files import read_workshop_file, workshop_logo
from .core.workshop.workshop import Workshop
from .wording import help_text, title

_SHOP = {field.name: field for field in fields_of(Shop)}
HABITS = ("locale", "finest_step", "step")  # of the workshop's parameters, those that are the same for every piece


def _habit(name: str) -> Any:
    field = _SHOP[name]
    items = [(word, title(label), help_text(label)) for word, label in field.choices]
    return EnumProperty(name=title(field.label), description=help_text(field.help), items=items, default=field.default)


class MUNTIN_AP_preferences(bpy.types.AddonPreferences):
    """Muntin's preferences"""

    bl_idname = __package__

    workshop_file: StringProperty(
        name="Workshop File",
        description="Sheets and lengths that can be bought, offcuts, saws and prices; empty for an example",
        subtype="FILE_PATH",
    )
    maker: StringProperty(
        name="Company", description="Who makes it, on everything that goes out; empty for that of the workshop file"
    )
    address: StringProperty(
        name="Address", description="Where the company is reached, on one line: in the client book and the quotation"
    )
    logo: StringProperty(
        name="Logo",
        description="Picture file (PNG or JPEG) for the cover of the client book; empty for that of the workshop file",
        subtype="FILE_PATH",
    )
    own_pieces: StringProperty(
        name="Own Pieces",
        description="Folder of piece files that the Add menu offers too; empty for one of Blender's",
        subtype="DIR_PATH",
    )
    use_habits: BoolProperty(
        name="Defaults for New Pieces", description="Put the choices below into every new piece", default=False
    )
    locale: _habit("locale")
    finest_step: _habit("finest_step")
    step: _habit("step")

    def draw(self, context: bpy.types.Context) -> None:
        """All of them, and at once what is wrong with a file that is named."""
        layout = self.layout
        for trouble in troubles(context):
            layout.label(text=trouble, icon="ERROR")
        layout.use_property_split = True
        for name in ("workshop_file", "maker", "address", "logo", "own_pieces", "use_habits"):
            layout.prop(self, name)
        column = layout.column()
        column.enabled = self.use_habits
        for name in HABITS:
            column.prop(self, name)
        layout.operator("muntin.copy_report", icon="COPYDOWN")


def preferences(context: bpy.types.Context) -> MUNTIN_AP_preferences | None:
    """The add-on's preferences; None where it is loaded without being installed."""
    there = context.preferences.addons.get(__package__)
    return there.preferences if there else None


def workshop(context: bpy.types.Context) -> Workshop | None:
    """The workshop of the preferences; None where no file is named. Raises PieceError for a file that is none."""
    chosen = preferences(context)
    return read_workshop_file(bpy.path.abspath(chosen.workshop_file)) if chosen and chosen.workshop_file else None


def company(context: bpy.types.Context) -> Company | None:
    """What the preferences say of the company, to stand above what the workshop file says."""
    chosen = preferences(context)
    return Company(name=chosen.maker.strip(), address=chosen.address.strip()) if chosen else None


def logo(context: bpy.types.Context) -> dict[str, bytes]:
    """The logo as a picture of the client book, if there is one: that of the preferences, else the workshop file's.

    Raises PieceError for one that cannot be read.
    """
    chosen = preferences(context)
    if not chosen:
        return {}
    found = None
    if chosen.logo:
        found = picture_bytes(Path(bpy.path.abspath(chosen.logo)))
    elif chosen.workshop_file:
        found = workshop_logo(bpy.path.abspath(chosen.workshop_file))
    return {"logo": found} if found else {}


def made_by(context: bpy.types.Context) -> dict[str, Any]:
    """Workshop and company, as core's functions take them. Raises PieceError for a workshop file that is none."""
    return {"workshop": workshop(context), "company": company(context)}


def troubles(context: bpy.types.Context) -> list[str]:
    """What is wrong with the files that the preferences name, each in a line."""
    found = []
    for read in (workshop, logo):
        try:
            read(context)
        except PieceError as error:
            found.append(" ".join(str(error).split()))
    return list(dict.fromkeys(found))


def with_habits(context: bpy.types.Context, data: dict[str, Any]) -> dict[str, Any]:
    """The plain data of a new piece with the workshop's habits."""
    chosen = preferences(context)
    if not chosen:
        return data
    if chosen.use_habits:
        data = {**data, "shop": {**data["shop"], **{name: getattr(chosen, name) for name in HABITS}}}
    return data


def own_pieces_folder(context: bpy.types.Context) -> Path:
    """Where the maker's own piece files lie; made if need be."""
    chosen = preferences(context)
    if chosen and chosen.own_pieces:
        return Path(bpy.path.abspath(chosen.own_pieces))
    return Path(bpy.utils.extension_path_user(__package__, path="pieces", create=True))


def own_pieces(context: bpy.types.Context) -> list[Path]:
    """The maker's own piece files, by name."""
    folder = own_pieces_folder(context)
    return sorted(folder.glob("*.json"), key=lambda path: path.name.lower()) if folder.is_dir() else []


CLASSES = (MUNTIN_AP_preferences,)
