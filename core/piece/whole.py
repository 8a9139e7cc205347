"""The whole: name, overall size, and the boards it is made from."""

from __future__ import annotations

from ..fields import choice, date, ident, length, parameters, text

BASIS = {
    "overall": "Overall: over moulding or top, floor to highest point",
    "carcass": "Carcass: without moulding, top overhang and legs",
}

PLUGS = {
    "weak": "Where its material is weak in the edge",
    "always": "Always",
    "never": "Never: the screws go into the board itself",
}


@parameters
class Whole:
    """What the client asks for first."""

    name: str = text("", "Name", "What the piece is called on every sheet")
    kind: str = ident("", "Kind of piece", "The starter piece it began as")
    width: float = length(1000, 200, 4000, "Width", "Left to right, knobs and hinge knuckles not counted")
    height: float = length(1800, 200, 3000, "Height", "Floor to the highest point, glides included")
    depth: float = length(
        560, 150, 1200, "Depth", "Back plane to the foremost edge of top or moulding, knobs not counted"
    )
    basis: str = choice("overall", BASIS, "Sizes are", "What width, height and depth are measured over")


@parameters
class BoardInUse:
    """A board of this piece: a material at the thickness the calliper reads."""

    id: str = ident("mdf-18", "Board", "What the other parameters call this board")
    material: str = ident("mdf", "Material", "An entry of the materials library")
    thickness: float = length(
        18, 1, 120, "Thickness", "As measured: the mean of four calliper readings, not the nominal figure"
    )
    plugs: str = choice("weak", PLUGS, "Hardwood plugs", "Under screws of fittings near its edges and in them")


@parameters
class Record:
    """Whose piece it is and which state of it this is; printed on every sheet."""

    client: str = text("", "Client", "Whom the piece is for")
    maker: str = text("", "Maker", "Who builds it")
    revision: str = text("A", "Revision", "Letter of this saved state", longest=4)
    state: str = choice(
        "draft",
        {"draft": "Draft", "released": "Released for cutting"},
        "Release state",
        "Printed on every sheet and label",
    )
    date: str = date("", "Date", "Day of this revision")


@parameters
class Measured:
    """A size read off the bench or the room, which overrides the one designed."""

    what: str = text("", "What", "The measured thing: opening.<front>.width, opening.<front>.height")
    value: float = length(0, 0, 5000, "Measured", "What the tape or calliper reads")
    date: str = date("", "Date", "When it was measured")
    place: str = text("", "Place", "Where it was measured")
