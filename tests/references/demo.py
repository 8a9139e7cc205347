"""The demo piece, the coat cupboard, worked out by hand with a pencil, independently of the program.

Lengths mm, volumes mm³, masses kg. Heights stand above the floor, widths to the right of the middle, depths f behind the front
edge of the carcass, places along a part from the end that is said. A volume counts rebates, grooves, bevels, undercut ends,
tapers and mitres, not holes for dowels, pins, screws and plugs, not hinge recesses, and the moulding without its profile.
"""

from __future__ import annotations

from dataclasses import dataclass

OVERALL = (1150.0, 560.0, 1900.0)  # width, depth, height over the moulding, knobs not counted
OVER_FRAMES = 1098.0
CARCASS_DEPTH, CARCASS_TOP, UNDERSIDE = 534.0, 1872.0, 150.0
INSIDE = 1044.0
OPENINGS = {"doors": (1044.0, 1448.0), "drawer": (1044.0, 220.0)}


@dataclass(frozen=True)
class Kind:
    """One row of the hand-made parts list: all parts of one kind."""

    name: str
    quantity: int
    size: tuple[float, float, float]  # length, width, thickness; of an undercut rail along its face
    material: str
    volume: float
    keys: tuple[str, ...]  # which parts of the model these are
    marks: int = 1  # parts that cannot stand in for one another, a pair in most cases


def _sides(*names: str) -> tuple[str, ...]:
    return tuple(name.format(side=side) for name in names for side in ("left", "right"))


PARTS = (
    Kind("side panel, left", 1, (1722, 534, 18), "mdf", 16458876, ("carcass/side.left",)),
    Kind("side panel, right", 1, (1722, 534, 18), "mdf", 16458876, ("carcass/side.right",)),
    Kind("top", 1, (1044, 528, 18), "mdf", 9922176, ("carcass/top",)),
    Kind("bottom", 1, (1044, 528, 18), "mdf", 9922176, ("carcass/bottom",)),
    Kind("mid shelf", 1, (1044, 528, 18), "mdf", 9922176, ("carcass/shelf.drawer+upper",)),
    Kind("upright", 1, (1448, 499, 18), "mdf", 13005936, ("carcass/upright.coats+shelves",)),
    Kind("back", 1, (1720, 1060, 6), "mdf", 10939200, ("carcass/back",)),
    Kind("anchor rail", 2, (513, 80, 18), "mdf", 738720, ("carcass/anchor_rail.coats", "carcass/anchor_rail.shelves")),
    Kind("stiffener, mid shelf", 1, (1044, 60, 20), "hardwood", 1252800, ("carcass/stiffener.shelf.drawer+upper",)),
    Kind("stiffener, bottom", 1, (1008, 40, 20), "hardwood", 806400, ("carcass/stiffener.bottom",)),
    Kind("loose shelf", 3, (510, 485, 18), "mdf", 4452300, ("shelves/shelf.1", "shelves/shelf.2", "shelves/shelf.3")),
    Kind("side stile FL/RR", 2, (1867, 80, 9), "mdf", 1277747.0, ("side.left/stile.front", "side.right/stile.rear")),
    Kind("side stile FR/RL", 2, (1867, 80, 9), "mdf", 1277747.0, ("side.right/stile.front", "side.left/stile.rear")),
    Kind("side top rail", 2, (384.392, 92, 9), "mdf", 305067.3, _sides("side.{side}/rail.top")),
    Kind("side mid rail", 2, (384.392, 80, 9), "mdf", 255207.0, _sides("side.{side}/rail.mid")),
    Kind("side bottom rail", 2, (384.392, 80, 9), "mdf", 264114.1, _sides("side.{side}/rail.bottom")),
    Kind(
        "leg lamination A",
        4,
        (145, 74.804, 18),
        "mdf",
        156344.0,
        _sides("side.{side}/leg.front/lamination.1", "side.{side}/leg.rear/lamination.1"),
    ),
    Kind(
        "leg lamination B FL/RR",
        2,
        (145, 74.804, 18),
        "mdf",
        108550.9,
        ("side.left/leg.front/lamination.2", "side.right/leg.rear/lamination.2"),
    ),
    Kind(
        "leg lamination B FR/RL",
        2,
        (145, 74.804, 18),
        "mdf",
        108550.9,
        ("side.right/leg.front/lamination.2", "side.left/leg.rear/lamination.2"),
    ),
    Kind("door panel", 2, (1443, 518, 18), "mdf", 13454532, _sides("doors/leaf.{side}/panel")),
    Kind(
        "door stile",
        4,
        (1443, 80, 9),
        "mdf",
        1005218.8,
        _sides("doors/leaf.{side}/stile.hinge", "doors/leaf.{side}/stile.meeting"),
    ),
    Kind("door top rail", 2, (368.392, 80, 9), "mdf", 252968.2, _sides("doors/leaf.{side}/rail.top")),
    Kind("door mid rail", 2, (368.392, 80, 9), "mdf", 244435.2, _sides("doors/leaf.{side}/rail.mid")),
    Kind("door bottom rail", 2, (368.392, 100, 9), "mdf", 318343.5, _sides("doors/leaf.{side}/rail.bottom")),
    Kind("drawer front panel", 1, (1039, 215, 18), "mdf", 4020930, ("drawer/front/panel",)),
    Kind("drawer front stile", 2, (215, 80, 9), "mdf", 149772.7, _sides("drawer/front/stile.{side}")),
    Kind(
        "drawer front rail", 2, (889.392, 50, 9), "mdf", 377172.9, ("drawer/front/rail.bottom", "drawer/front/rail.top")
    ),
    Kind("drawer side", 2, (450, 130, 15), "birch-ply", 853200, _sides("drawer/box/side.{side}"), marks=2),
    Kind("drawer box front", 1, (988, 130, 15), "birch-ply", 1873248, ("drawer/box/front",)),
    Kind("drawer box back", 1, (988, 109, 15), "birch-ply", 1615380, ("drawer/box/back",)),
    Kind("drawer bottom", 1, (999, 440, 9), "mdf", 3956040, ("drawer/box/bottom",)),
    Kind("moulding front", 1, (1150, 70, 40), "oak", 2454300, ("cornice/front",)),
    Kind("moulding return", 2, (560, 70, 40), "oak", 1193250, _sides("cornice/return.{side}"), marks=2),
    Kind("moulding back tie", 1, (1010, 60, 28), "softwood", 1696800, ("cornice/tie",)),
    Kind("corner block", 2, (100, 100, 28), "softwood", 140000, _sides("cornice/block.{side}")),
)
PIECES = 60
BACK_LENGTHS = {
    "side.left/rail.mid": 374.0,
    "doors/leaf.left/rail.mid": 358.0,
    "drawer/front/rail.top": 879.0,
}  # of undercut rails
SHOWN_FIELDS = {  # width, heights of the fields from below, between faces
    "side.left": (384.392, (740.392, 750.392)),
    "doors/leaf.left": (368.392, (461.892, 741.892)),
    "drawer/front": (889.392, (125.392,)),
}
LEG = {
    "top": 74.804,
    "foot": (45.0, 33.0),
    "high": 145.0,
    "angles": (11.615, 4.731),
}  # foot and taper seen from the side, the front

# ------------------------------------------------------------------------------------------------------------ joints and holes
CARCASS_DOWELS, DRAWER_DOWELS = ("dowel 8 × 40", 44), ("dowel 6 × 30", 12)
HOLE_DEPTHS = {"8 × 40": (12.0, 30.0), "6 × 30": (10.0, 22.0)}  # in a face, in an edge
SIDE_DOWELS = ((9.0, 247.0, 1713.0), (40.0, 152.0, 264.0, 376.0, 488.0))  # heights from the panel's lower end; f
END_DOWELS = (40.0, 152.0, 264.0, 376.0, 488.0)  # f, on the middle of the thickness
UPRIGHT_DOWELS = (69.0, 152.0, 264.0, 376.0, 488.0)  # f, at 522 from the ends of top and mid shelf
PIN_HOLES = {
    "diameter": 5.0,
    "depth": 10.0,
    "f": (78.0, 489.0),
    "above the mid shelf": tuple(range(288, 417, 32)) + tuple(range(640, 769, 32)) + tuple(range(1024, 1153, 32)),
    "in all": 60,
}
HINGES = {
    "from the door's lower end": ((75.0, 150.0), (684.0, 759.0), (1293.0, 1368.0)),  # lower and upper end of each leaf
    "from the side's lower end": ((333.5, 408.5), (942.5, 1017.5), (1551.5, 1626.5)),
    "recess": (75.0, 16.5, 1.25),
    "plugs behind the face": 8.0,
    "plugs": ("plug 8 × 30", 18, "plug 8 × 14", 18),  # in door edges, in side faces
}
RAIL = {"height": 1784.0, "f": 278.0, "length": 506.0}
RUNNER = {"height": 247.0, "above the bottom": 79.0, "spacer": 56.5, "f": 28.0}
KNOBS = {"from the meeting edge": 37.4, "above the door's lower end": 591.5}
CORNICE_SCREWS = {
    25.0: (-400.0, -150.0, 150.0, 400.0),
    489.0: (-400.0, -130.0, 130.0, 400.0),
}  # f: places from the middle
CORNICE_SCREWS_IN_ALL = 10  # two more, in the corner blocks

# ------------------------------------------------------------------------------------------------------------------------ rods
HEIGHTS = (
    5, 110, 150, 168, 170.5, 182, 194, 203, 247, 312, 328, 385.5, 388, 406, 408.5, 521, 754.5, 960, 1000, 1040, 1121, 1130, 1487.5,
    1739, 1774, 1784, 1851.5, 1854, 1860, 1872, 1900,
)  # fmt: skip
EQUAL_SHELVES = (754.5, 1121, 1487.5)  # undersides of the loose shelves at equal spaces
WIDTHS = (1.5, 9, 81.5, 439.5, 509, 519.5, 522, 540, 549, 550, 575)
DEPTHS = (0, 9, 27, 29, 41, 49, 528, 534)
DIAGONALS = {"doors": 1785.1, "drawer": 1066.9, "side panels": 2032.7, "bay": 1536.2}

# ---------------------------------------------------------------------------------------------------- fittings, masses, sheets
FITTINGS = {  # by kind, pairs counted as sold
    "butt hinge": 6, "knob": 2, "drawer runner": 2, "hanging rail": 1, "rail socket": 2, "shelf pin": 12, "magnetic catch": 2,
    "pad": 4, "glide": 4, "anchor bracket": 2,
}  # fmt: skip
PULLS_BY_HAND = 1  # the client asked for two: one pull in the middle of a front 1039 wide racks the drawer
FASTENERS = {  # purpose: name, exact number
    "hinge screw": ("screw 3.5 × 16", 36),
    "socket screw": ("screw 3.5 × 16", 4),
    "drawer front screw": ("screw 4 × 25", 4),
    "anchor rail screw": ("screw 4 × 40", 6),
    "stiffener screw": ("screw 4 × 45", 5),
    "leg screw": ("screw 4 × 50", 4),
    "cornice screw": ("screw 4 × 40", 10),
    "knob bolt": ("bolt M4 × 35", 2),
    "hinge plug": (None, 36),
    "glide plug": ("plug 12 × 40", 4),
}
RUNNER_SCREWS = 16
ABOUT = {
    "back screw": ("screw 3 × 25", 30),
    "back pin": ("pin 1.4 × 25", 40),
    "strip pin": ("pin 1.2 × 20", 90),
}  # within a fifth
STRIP_GLUE = 1.57  # m² of strips
DENSITIES = {"mdf": 750.0, "birch-ply": 680.0, "oak": 700.0, "hardwood": 690.0, "softwood": 500.0}
MASS = 122.5
MASSES = {
    "one side with its legs": 15.3,
    "door": 12.2,
    "drawer": 10.3,
    "upright": 9.8,
    "horizontal": 7.4,
    "loose shelf": 3.3,
    "back": 8.2,
    "moulding": 4.4,
}
CENTRE = (22.0, 309.0, 968.0)  # to the right of the middle, before the back plane, above the floor
AREAS = {18.0: 6.85, 15.0: 0.35}  # m² of sheet by thickness; the ply "about"
MOULDING_RUN = 2.27  # m, long points added
