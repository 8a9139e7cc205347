"""Fronts: doors, pairs of doors and drawers, and what hangs, moves and opens them."""

from __future__ import annotations

from ..fields import angle, choice, count, flag, group, ident, items, length, parameters, variant

KINDS = {"door": "Door", "pair": "Pair of doors", "drawer": "Drawer", "fixed": "Fixed panel"}
LAYS = {
    "inset": "Inset: within its opening, flush with the carcass",
    "full": "Full overlay: over the edges of the carcass; half of a board that it shares",
    "half": "Half overlay: over half of every board's edge",
}
MEETINGS = {
    "square": "Square",
    "rebated": "Rebated into each other",
    "bead": "Square, with a cover bead on the leading door",
}
LEADS = {"left": "The left door, seen from the front", "right": "The right door, seen from the front"}
LIPPED = {"upright": "Both upright edges", "all": "All four edges, the longer ones over the ends of the others"}
STOP_STRIPS = {"none": "None", "side": "At the closing side", "top": "Under the board above"}
HANDS = {"left": "Hinged at the left, seen from the front", "right": "Hinged at the right, seen from the front"}

INTERLOCK_HANDS = {"left": "On the board at the left, seen from the front", "right": "On the board at the right"}

# width of a drawer's box over its runners' length that runs without more ado; read at a hardware seller's
PLAIN_RATIO = 1.5
DRAWER_FRONTS = {
    "planted": "Planted on a box front, screwed from inside",
    "integral": "The drawer front is the front of the box",
}
BOTTOMS = {
    "under_back": "In three grooves, slid in under the back and screwed up into it",
    "four_sides": "In a groove on four sides",
}


@parameters
class Gaps:
    """Gaps around an inset front before painting, and between fronts; each painted face takes 0.1 to 0.15 of them."""

    side: float = length(
        2.5,
        1,
        6,
        "Gap at the sides",
        "Hinge side of a door, both sides of a drawer front; of inset fronts. Piano hinges and thick doors on concealed hinges take what they need",
    )
    top: float = length(2.5, 1, 6, "Gap at the top", "Closes as a heavy door drops")
    bottom: float = length(2.5, 1, 6, "Gap at the bottom", "Opens as a heavy door drops")
    meeting: float = length(
        3, 1, 8, "Meeting gap", "Between the two doors of a pair, and between overlay fronts that share a board"
    )


@parameters
class Hanging:
    """How a door hangs and what keeps it shut."""

    hinge: str = ident("", "Hinge", "An entry of the fittings library; empty: by the door's lay, height and thickness")
    hinges: int = count(0, 0, 8, "Hinges on each door", "0: by height and mass")
    catch: str = ident("catch-magnetic", "Catch", "An entry of the fittings library; empty for none")
    hand: str = choice("left", HANDS, "Hand", "Of a single door")
    stop_strip: str = choice(
        "none", STOP_STRIPS, "Stop strip", "For an inset door that meets no upright: 18 × 12, with pads"
    )
    closing_bevel: float = angle(
        0,
        0,
        5,
        "Bevel of the closing edge",
        "Toward the inside, of an inset door: 2 to 3 where the gap is narrow or the door thick and slim",
    )
    hinge_relief: float = angle(
        0,
        0,
        2,
        "Relief of the hinge edge",
        "Toward the inside, of an inset door: 1 keeps its back from binding as it swings",
    )
    lock: str = ident("", "Lock", "An entry of the fittings library, on the leading door of a pair; empty for none")
    door_stay: str = ident("", "Stay", "An entry of the fittings library that stops the door's swing; empty for none")


@parameters
class Meeting:
    """How the two doors of a pair meet."""

    joint: str = choice("square", MEETINGS, "Meeting edges", "How the doors meet; all but square ones open in turn")
    leads: str = choice("right", LEADS, "Leads", "The door that opens first; the other is held by bolts")
    rebate: float = length(11, 8, 20, "Rebate", "How wide the rebates are, each half of the doors' thickness deep")
    bead_board: str = ident("mdf-9", "Cover bead", "What a cover bead is ripped from")
    bead_width: float = length(20, 10, 60, "Bead width", "Over both doors; the gap lies behind its middle")
    bolt: str = ident(
        "bolt-flat-100",
        "Bolts",
        "An entry of the fittings library, at the top and bottom of the other door; empty for none",
    )


@parameters
class Drawer:
    """The box behind a drawer front, and what it runs on."""

    runs_on: object = variant(
        "build.runners", "side_mounted", "Runs on", "Side-mounted, under-mounted or wooden runners"
    )
    runner: str = ident(
        "",
        "Side-mounted runner",
        "An entry of the fittings library; empty: the longest that goes in, stouter for a wide box, with racks for a linking shaft",
    )
    front: str = choice(
        "planted", DRAWER_FRONTS, "Front of the box", "Planted on a box front, or itself the front of the box"
    )
    corners: object = variant("build.box_joints", "dowels", "Corners", "How the corners of the box are made")
    board: str = ident("birch-ply-15", "Box board", "Sides, box front and box back")
    bottom_board: str = ident(
        "mdf-9",
        "Bottom board",
        "In grooves of the box; a solid one has its grain from side to side and is left room to move",
    )
    bottom: str = choice("under_back", BOTTOMS, "Bottom", "How the bottom is held at the back")
    muntins: int = count(0, 0, 2, "Drawer muntins", "Grooved bars from front to back that part a wide thin bottom")
    clear_above: float = length(
        16, 1, 60, "Clear above the box", "To what is above: carcass or stiffener; kickers fill it over wooden runners"
    )
    clear_below: float = length(
        14, 1, 60, "Clear below the box", "The front hangs below the box and hides it; wooden runners fill it"
    )
    groove_up: float = length(
        12,
        6,
        30,
        "Groove height",
        "Underside of the groove above the lower edge of the box; under-mounted runners say their own",
    )
    groove_depth: float = length(6, 3, 10, "Groove depth", "At most half the thickness of the box board")
    behind_door: bool = flag(
        False, "Behind a door", "The box and its front clear the open door and its hinges, packed out at its hinge side"
    )
    pack_board: str = ident(
        "mdf-18",
        "Pack board",
        "What brings a drawer behind a door clear of the open door, in as many layers as it takes",
    )
    interlock: str = ident(
        "",
        "Interlock",
        "An entry of the fittings library behind the boxes: of all drawers of a stack that have it one comes out at a time; empty for none",
    )
    interlock_hand: str = choice("left", INTERLOCK_HANDS, "Interlock at", "Where its bar stands, for the whole stack")


@parameters
class Front:
    """One door, pair of doors, drawer or fixed panel, and the compartments it closes."""

    id: str = ident("front", "Front", "Its id, never used again for another")
    kind: str = choice("door", KINDS, "Kind", "What it is")
    closes: tuple[str, ...] = items(
        str, "Closes", "Ids of the compartments it closes; together they must make one rectangle"
    )
    board: str = ident(
        "mdf-18", "Board", "What the panel of the front is made from; a true frame has boards of its own"
    )
    panel: object = variant("build.panels", "plain", "Panel", "What its face looks like")
    gaps: Gaps = group(Gaps, "Gaps", "Around the front")
    hanging: Hanging = group(Hanging, "Hanging", "For doors")
    drawer: Drawer = group(Drawer, "Drawer", "For drawers")
    handle: str = ident("knob-34", "Handle", "An entry of the fittings library; empty for none")
    handles: int = count(0, 0, 2, "Handles on each front", "0: one on a door, two on a drawer wider than 700")
    stop: bool = flag(True, "Stops", "Pads that a door closes against")
    lay: str = choice("inset", LAYS, "Lay", "How it lies to the carcass")
    meeting_stiles: Meeting = group(Meeting, "Meeting stiles", "For pairs")
    lipping: str = ident(
        "",
        "Lipping",
        "Solid wood or edging glued to the edges of a front's board, as thick as it is to be; empty for none",
    )
    lipped: str = choice("upright", LIPPED, "Lipped", "Which edges, where the front has a lipping")
    trim: float = length(0, 0, 5, "Trimming allowance", "Left on each edge when it is cut: fit, then bevel, then paint")

    @property
    def is_inner(self) -> bool:
        """Whether it is a drawer behind a door."""
        return self.kind == "drawer" and self.drawer.behind_door
