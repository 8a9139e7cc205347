"""Joints and back: how the carcass goes together, what squares it, what stiffens it."""

from __future__ import annotations

from ..fields import choice, flag, group, ident, length, parameters, variant

BACKS = {
    "rebate": "In a rebate of the sides",
    "groove": "In a groove of the sides, set in from their rear edges",
    "planted_on": "Planted on the rear edges",
}


BACK_PARTS = {
    "by_sheet": "In one where a sheet gives it, else in parts that meet on uprights and fixed shelves",
    "one": "In one, whatever its size",
    "bays": "A part for each bay, meeting on every upright and fixed shelf",
}


THROUGH = {
    "sides": "The sides run through, the top stands between them",
    "top": "The top runs through, over the sides",
}


SIDES = {
    "board": "A board, whatever is on its outside",
    "frame": "The frame of the side panel itself: stiles, rails and panel, no board behind",
}


@parameters
class Back:
    """The back: it closes the carcass behind and squares it."""

    kind: str = choice("rebate", BACKS, "Back", "How it is held by the sides")
    board: str = ident("mdf-6", "Board", "What the back is made from")
    rebate_width: float = length(
        9, 4, 30, "Rebate width", "How far the back goes into the sides, from their inner face; of a groove its depth"
    )
    rebate_depth: float = length(
        0,
        0,
        30,
        "Rebate depth",
        "0: as deep as the back is thick as measured; up to 1 more, and pins do not stand proud",
    )
    set_in: float = length(
        12,
        5,
        60,
        "Set in",
        "Of a groove, from the rear edges: what the sides run on behind the back can be scribed to a wall",
    )
    clearance: float = length(1, 0, 5, "Clearance", "Left free at each edge of the back")
    in_parts: str = choice("by_sheet", BACK_PARTS, "In parts", "Whether it is made in more than one part")


@parameters
class Stiffeners:
    """Hardwood on edge under long horizontals, and the rails that take the wall anchors."""

    board: str = ident("hardwood-20", "Board", "What the stiffeners are made from")
    over_length: float = length(
        800, 300, 4000, "From length", "Fixed horizontals longer than this get a stiffener at the front edge"
    )
    shelf_depth: float = length(60, 20, 150, "Depth under a shelf", "On edge behind the front that it spans")
    under_top: bool = flag(
        False,
        "Under the top too",
        "Where a bay under it is longer; a flat top or a moulding screwed on stiffens it too",
    )
    bottom_depth: float = length(40, 20, 150, "Depth under the bottom", "On edge between the legs")
    bottom_set_back: float = length(10, 0, 100, "Set back under the bottom", "From the carcass front")
    anchor_rail_width: float = length(
        80, 40, 200, "Anchor rail width", "Rail under the top against the back in each bay, for the wall anchors"
    )
    anchor_rails: bool = flag(
        True, "Anchor rails", "A thin back holds no anchor; leave this on for anything that stands against a wall"
    )


@parameters
class Lipping:
    """What covers the front edges of boards whose own edge is not fit to be seen: ply, veneered board."""

    board: str = ident(
        "", "Board", "Solid wood or edging, as thick as the lipping is to be; empty for none, as under paint"
    )


@parameters
class Carcass:
    """Bottom and fixed shelves stand between the sides; so does the top, unless it runs through over them."""

    board: str = ident("mdf-18", "Board", "What sides, top, bottom, uprights and shelves are made from")
    joint: object = variant(
        "build.joints", "dowels", "Joint", "How top, bottom, shelves and uprights meet what they stand against"
    )
    sides: str = choice("board", SIDES, "Sides", "What a side is: a board, or a frame that stands by itself")
    side_panel: object = variant("build.panels", "plain", "Side panels", "What the outside of the sides looks like")
    back: Back = group(Back, "Back", "What closes and squares the carcass")
    stiffeners: Stiffeners = group(
        Stiffeners, "Stiffeners and anchor rails", "What keeps long shelves straight and the piece on the wall"
    )
    lipping: Lipping = group(Lipping, "Lipping", "Glued to the front edges of sides, top, bottom, uprights and shelves")
    set_back_pad: float = length(
        2, 0, 10, "Pad behind fronts", "What stands behind an inset front is set back by the front's thickness and this"
    )
    drawer_rail: float = length(60, 30, 200, "Drawer rails", "Rails between drawers, from front to back")
    runs_through: str = choice(
        "sides", THROUGH, "At the upper corners", "What is seen from above: the ends of the sides, or one whole board"
    )
