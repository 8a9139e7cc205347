"""The sums behind the findings: sag, tipping, swing, lifting, movement; pure functions of plain numbers.

Lengths mm, moduli N/mm², masses kg, forces N, moments N·m, angles degrees.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

GRAVITY = 9.81  # m/s²
MM_PER_M = 1000.0


# ------------------------------------------------------------------------------------------------------------------ sag
def shelf_sag(span: float, depth: float, thickness: float, modulus: float, load: float) -> float:
    """Mid-span deflection of a shelf on two simple supports under a load spread over all of it, in mm.

    `load` in kg over the whole shelf. Creep is not in it. Source: 5WL³/(384EI), any text of mechanics; for MDF in the
    same form mdf-info.eu, shelves and storage units.

    >>> round(shelf_sag(800, 300, 18, 2500, 20), 3)
    3.588
    >>> round(shelf_sag(1000, 300, 25, 2500, 20), 3) == round(shelf_sag(600, 300, 15, 2500, 20), 3)
    True
    """
    return spread_sag(modulus * second_moment(depth, thickness), span, load * GRAVITY)


def second_moment(width: float, height: float) -> float:
    """Second moment of area of a rectangle that bends across its height, mm⁴: bt³/12.

    >>> round(second_moment(528, 18))
    256608
    """
    return width * height**3 / 12


def tube_second_moment(diameter: float, wall: float) -> float:
    """Second moment of area of a round tube, mm⁴; of a rod where the wall is half the diameter.

    >>> round(tube_second_moment(25, 1.5))
    7676
    """
    return math.pi * (diameter**4 - (diameter - 2 * wall) ** 4) / 64


def spread_sag(stiffness: float, span: float, load: float) -> float:
    """Mid-span deflection of a beam on two simple supports under a spread load, in mm.

    `stiffness` is EI in N·mm², `load` in N over the whole span. Source: 5WL³/(384EI), any text of mechanics.
    """
    return 5 * load * span**3 / (384 * stiffness)


def point_sag(stiffness: float, span: float, load: float, at: float) -> float:
    """Mid-span deflection of a beam on two simple supports under a load at one place, in mm.

    `stiffness` is EI in N·mm², `load` in N, `at` from either support. Source: Pb(3L² − 4b²)/(48EI) with b the shorter
    distance, any text of mechanics; in the middle it is PL³/(48EI).

    >>> round(point_sag(2500 * second_moment(528, 18), 1044, 49 * GRAVITY, 522), 1)
    17.8
    """
    shorter = min(at, span - at)
    return load * shorter * (3 * span**2 - 4 * shorter**2) / (48 * stiffness)


def ribbed_stiffness(flange: tuple[float, float, float], rib: tuple[float, float, float]) -> float:
    """EI of a board with a rib glued under it so that they bend as one, in N·mm².

    Each is (width, height, modulus); the rib stands on edge, its height along the board's thickness. Source:
    transformed section, any text of mechanics.

    >>> round(ribbed_stiffness((528, 18, 2500), (20, 60, 11000)) / 1e9, 2)
    17.51
    """
    (b, t, e), (rib_b, rib_t, rib_e) = flange, rib
    board, below = e * b * t, rib_e * rib_b * rib_t
    apart = (t + rib_t) / 2
    alone = e * second_moment(b, t) + rib_e * second_moment(rib_b, rib_t)
    return alone + board * below / (board + below) * apart**2


def softened(modulus: float, creep: float) -> float:
    """The modulus to reckon with after long loading: E / (1 + creep).

    Source: EN 1995-1-1 2.2.3 in stiffness form, k_def as the material's creep.

    >>> round(softened(2500, 2.25), 1)
    769.2
    """
    return modulus / (1 + creep)


def plate_sag(length: float, width: float, thickness: float, modulus: float, pressure: float) -> float:
    """Deflection of the middle of a sheet held on four edges under an even pressure (Pa), in mm.

    Source: Navier's series for a simply supported thin plate, Poisson's ratio 0.3.

    >>> round(plate_sag(988, 428, 9, 2500, 718), 1), round(plate_sag(988, 428, 6, 2500, 718), 1)
    (1.6, 5.4)
    """
    rigidity = modulus * thickness**3 / (12 * (1 - 0.3**2))
    series = sum(
        (-1) ** ((m + n) // 2 - 1) / (m * n * ((m / length) ** 2 + (n / width) ** 2) ** 2)
        for m in range(1, 16, 2)
        for n in range(1, 16, 2)
    )
    return 16 * pressure / 1e6 / (math.pi**6 * rigidity) * series


# -------------------------------------------------------------------------------------------------------------- tipping
def holding_moment(loads: Iterable[tuple[float, float, float]], tilt: float = 0.0) -> float:
    """The moment that keeps a piece from tipping forward about its front feet, in N·m; below 0 it tips.

    Each load is (mass kg, distance behind the front feet mm, height above the floor mm); `tilt` is how far the floor
    leans to the front. Source: moment balance, Σ m g (x cos θ − y sin θ).

    >>> carcass, drawers = (32, 230, 480), [(5, 220, height) for height in (200, 420, 640, 860)]
    >>> round(holding_moment([carcass, *drawers]), 3)
    115.366
    """
    lean = math.radians(tilt)
    cos, sin = math.cos(lean), math.sin(lean)
    return sum(mass * GRAVITY * (behind * cos - height * sin) for mass, behind, height in loads) / MM_PER_M


def strap_force(moment: float, height: float) -> float:
    """What a wall anchor at a height (mm) carries to hold a piece whose holding moment is below 0, in N.

    >>> round(strap_force(-85.031, 1050), 2)
    80.98
    """
    return max(0.0, -moment * MM_PER_M / height)


# -------------------------------------------------------------------------------------------------- moving and carrying
def stand_up_height(height: float, depth: float) -> float:
    """The room height that a case needs while it is raised from its back: its diagonal.

    >>> round(stand_up_height(1900, 560)), round(stand_up_height(1872, 534))
    (1981, 1947)
    """
    return math.hypot(height, depth)


def goes_through(sizes: tuple[float, float, float], width: float, height: float) -> bool:
    """Whether a case, turned square in any way, goes straight through an opening.

    >>> goes_through((1150, 560, 1900), 740, 1980), goes_through((1150, 800, 1900), 740, 1980)
    (True, False)
    """
    small, middle, _ = sorted(sizes)
    low, high = sorted((width, height))
    return small <= low and middle <= high


def round_a_corner(first: float, second: float, thick: float) -> float:
    """How long a case so thick may be to go level round the square corner of two passages, in mm; 0 where it is too thick for one.

    Source: geometry, the ladder round a corner for a rectangle: the least of (a·sin t + b·cos t − d) / (sin t · cos t) over all turns t,
    here to tenths of a degree. With d = 0 it is the ladder's own (a^⅔ + b^⅔)^1½; by hand with a = b, at 45°, 2 (a√2 − d).

    >>> round(round_a_corner(800, 1000, 0)), round((800 ** (2 / 3) + 1000 ** (2 / 3)) ** 1.5)
    (2540, 2540)
    >>> round(round_a_corner(1000, 1000, 400), 1), round(2 * (1000 * 2**0.5 - 400), 1)
    (2028.4, 2028.4)
    """
    if thick > min(first, second):
        return 0.0
    turns = (math.radians(tenths / 10) for tenths in range(1, 900))
    return min((first * math.sin(t) + second * math.cos(t) - thick) / (math.sin(t) * math.cos(t)) for t in turns)


def goes_round(sizes: tuple[float, float, float], first: float, second: float, height: float) -> bool:
    """Whether a case carried level, any side of it down, goes round the square corner of two passages so wide, under so much height.

    >>> goes_round((1150, 560, 1900), 840, 900, 2000), goes_round((1150, 560, 1900), 640, 700, 1100)
    (True, False)
    """

    def turns(long: float, thick: float) -> bool:
        sideways = (thick <= first and long <= second) or (long <= first and thick <= second)  # no turn is needed
        return sideways or long <= round_a_corner(first, second, thick)

    return any(
        up <= height and turns(*sorted(rest, reverse=True))
        for up, *rest in (sizes, (*sizes[1:], sizes[0]), (*sizes[2:], *sizes[:2]))
    )


def raising_force(mass: float) -> float:
    """What lifts one end of a case that lies on its back, in N: half its weight.

    >>> round(raising_force(74))
    363
    """
    return mass * GRAVITY / 2


# ---------------------------------------------------------------------------------------------------------------- doors
def lead_edge_need(width: float, gap: float, thickness: float, pin: float, bevel: float = 0.0) -> float:
    """The gap that an inset door's closing edge needs to swing past what it closes against, in mm.

    `gap` is at the hinge, the pin in its middle and `pin` in front of the face. Source: geometry, the far back
    corner's radius less its distance: √((w + g/2)² + (D + p)²) − (w + g/2). An edge bevelled so many degrees toward the inside has
    that corner D·tan(bevel) nearer; its face arris goes round too.

    >>> round(lead_edge_need(518, 2.5, 27, 0), 2), round(lead_edge_need(518, 2.5, 27, 3.5), 2)
    (0.7, 0.89)
    >>> round(lead_edge_need(450, 0, 18, 0), 4)
    0.3599
    >>> round(lead_edge_need(300, 2.5, 27, 0), 2), lead_edge_need(300, 2.5, 27, 0, 3)
    (1.21, 0.0)
    """
    reach = width + gap / 2
    back = reach - thickness * math.tan(math.radians(bevel))
    return max(math.hypot(back, thickness + pin), math.hypot(reach, pin)) - reach


def hinges_wanted(height: float, mass: float) -> int:
    """Butt hinges that a door wants: one to each 700 mm, and by mass; at least two. Common practice, no source.

    >>> hinges_wanted(1443, 12.2), hinges_wanted(600, 3), hinges_wanted(600, 18)
    (3, 2, 4)
    """
    by_mass = next((number for most, number in HINGES_BY_MASS if mass <= most), MOST_HINGES)
    return max(2, math.ceil(height / HEIGHT_PER_HINGE), by_mass)


HEIGHT_PER_HINGE = 700.0  # mm; common practice, no source
HINGES_BY_MASS = ((7.0, 2), (14.0, 3), (20.0, 4))  # kg up to, hinges; a hinge maker's chart: 6.8, 13.6, 20.4, 27.2
MOST_HINGES = 5


def hinge_pull(mass: float, width: float, spacing: float) -> float:
    """What draws at the top hinge of a door, in N: m g w / (2 × the distance of the outer hinges).

    >>> round(hinge_pull(12.2, 518, 1218))
    25
    """
    return mass * GRAVITY * width / (2 * spacing)


# ---------------------------------------------------------------------------------------------------------- wood moving
def movement(width: float, coefficient: float, change: float) -> float:
    """How much a board of solid wood widens for a change of moisture (per cent, between 6 and 14), in mm.

    Source: Wood Handbook ch. 13, D × C × ΔM, as quoted at extension.org/pages/66444.

    >>> round(movement(300, 0.00369, 3), 3), round(movement(300, 0.00158, 3), 3)
    (3.321, 1.422)
    """
    return width * coefficient * change


# --------------------------------------------------------------------------------------------------------------- mitres
def compound_mitre(spring: float, corner: float) -> tuple[float, float]:
    """(mitre, bevel): what a saw is set to for a sprung moulding that lies flat on its table, in degrees.

    `spring` is the angle between the moulding's back and the wall, `corner` the angle between the walls, inside or out; a box
    whose sides lean by `spring` from upright is cut the same. Source: tan m = sin S / tan(C/2), sin b = cos S cos(C/2); the
    values are those of a published table (corwinwmc.com, crown), those for 45° of the formula at roughlogic.com.

    >>> [round(each, 4) for each in compound_mitre(38, 90)], [round(each, 4) for each in compound_mitre(38, 135)]
    ([31.619, 33.8629], [14.3064, 17.5512])
    >>> [round(each, 4) for each in compound_mitre(45, 90)], [round(each) for each in compound_mitre(90, 90)]
    ([35.2644, 30.0], [45, 0])
    """
    half, lean = math.radians(corner / 2), math.radians(spring)
    return math.degrees(math.atan2(math.sin(lean), math.tan(half))), math.degrees(
        math.asin(math.cos(lean) * math.cos(half))
    )
