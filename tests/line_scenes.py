"""Scenes that are hard to draw, by name, and random ones; sizes in mm."""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np
from meshes import box, drilled, moved, of_polygons, of_solid, prism, rod, rotation, solid_box

from core.solids.mesh import Mesh

DOWN, UP, RIGHT = (0, 0, -1), (0, 0, 1), (1, 0, 0)
ALONG_X = rotation((0, 1, 0), 90).round()  # what stood up lies along X


def plate() -> Mesh:
    """A board with a blind hole and a through hole from above and a blind one from below."""
    solid = solid_box(0, 0, 0, 600, 400, 90)
    solid -= drilled((180, 180, 90), DOWN, 120, 50) + drilled((420, 280, 90), DOWN, 80, 100)
    return of_solid(solid - drilled((380, 100, 0), UP, 60, 55))


def _round_in_blind_hole() -> list[Mesh]:
    return [plate(), moved(rod(112, 160), (180, 180, 40))]


def _round_through_a_hole() -> list[Mesh]:
    return [plate(), moved(rod(72, 400), (420, 280, -150))]


def _boards_behind_holes() -> list[Mesh]:
    return [
        plate(),
        box(-100, 270, -180, 900, 25, 25),
        box(-100, 170, -180, 900, 25, 25),
        box(200, 100, -60, 300, 280, 15),
    ]


def _holes_across_a_groove() -> list[Mesh]:
    solid = solid_box(0, 0, 0, 600, 400, 90) - solid_box(-1, 100, 50, 700, 60, 60)
    solid -= drilled((180, 130, 90), DOWN, 36, 75) + drilled((350, 130, 90), DOWN, 110, 70)
    solid -= drilled((480, 250, 0), UP, 60, 100) + drilled((0, 300, 45), RIGHT, 40, 200)
    return [of_solid(solid)]


def _holes_that_cross() -> list[Mesh]:
    solid = solid_box(0, 0, 0, 300, 200, 100)
    holes = drilled((150, 0, 50), (0, 1, 0), 44, 220) + drilled((150, 100, 100), DOWN, 36, 110)
    return [of_solid(solid - (holes + drilled((0, 100, 50), RIGHT, 50, 320)))]


def _stepped_hole() -> list[Mesh]:
    solid = (
        solid_box(0, 0, 0, 300, 300, 90)
        - drilled((150, 150, 90), DOWN, 140, 35)
        - drilled((150, 150, 90), DOWN, 60, 100)
    )
    return [of_solid(solid), moved(rod(52, 120), (150, 150, -30)), box(80, 80, -60, 140, 30, 20)]


def _slanting_hole() -> list[Mesh]:
    solid = solid_box(0, 0, 0, 400, 200, 120) - drilled((120, 100, 120), (0.5, 0.1, -1), 70, 200)
    return [of_solid(solid), box(100, 80, -90, 200, 40, 30)]


def _lapped_bars() -> list[Mesh]:
    under = solid_box(0, 0, 0, 600, 120, 80) - solid_box(200, -1, 40, 120, 200, 60) - solid_box(-1, 30, 30, 60, 60, 20)
    over = solid_box(200, -300, 40, 120, 700, 80) - solid_box(150, 0, 0, 300, 120, 80)
    return [of_solid(under), of_solid(over)]


def _stopped_groove_and_board_in_it() -> list[Mesh]:
    solid = solid_box(0, 0, 0, 500, 300, 60) - solid_box(80, 120, 30, 340, 40, 60)
    return [of_solid(solid), box(80, 120, 30, 340, 40, 200)]


def _pocket_with_a_corner() -> list[Mesh]:
    """A recess of L shape is no convex cavity: what stands in one arm is hidden by the corner from the other."""
    arms = solid_box(60, 60, 40, 380, 60, 200) + solid_box(60, 60, 40, 60, 280, 200)
    solid = solid_box(0, 0, 0, 500, 400, 200) - arms
    return [of_solid(solid), box(70, 280, 40, 40, 40, 60), box(380, 70, 40, 40, 40, 300)]


def _dowelled_joint_taken_apart() -> list[Mesh]:
    holes = [drilled((0, y, 45), RIGHT, 36, 80) for y in (60, 200, 340)]
    right = solid_box(0, 0, 0, 300, 400, 90) - holes[0] - holes[1] - holes[2]
    left = right.mirror((1, 0, 0))
    rods = [moved(rod(34, 140), (-20, y, 45), ALONG_X) for y in (60, 200, 340)]
    return [of_solid(left.translate((-150, 0, 0))), *rods, of_solid(right)]


def _flush_boards() -> list[Mesh]:
    return [
        box(0, 0, 0, 400, 90, 400),
        box(400, 0, 0, 90, 90, 400),
        box(490, 0, 100, 200, 90, 300),
        box(0, -18, 0, 690, 18, 50),
    ]


def _tapered_legs_and_wedge() -> list[Mesh]:
    leg = of_solid(solid_box(0, 0, 0, 100, 100, 700).trim_by_plane((1, 0.08, 0.12), 60).trim_by_plane((0, 1, -0.1), 20))
    return [
        moved(leg, (0, 0, -700)),
        moved(leg, (500, 0, -700)),
        box(-30, -30, 0, 680, 200, 40),
        prism([(0, 0), (300, 0), (0, 80)], 250),
    ]


def _hollow_box() -> list[Mesh]:
    return [
        of_solid(solid_box(0, 0, 0, 300, 300, 300) - solid_box(40, 40, 40, 220, 220, 220)),
        box(100, 100, 100, 80, 80, 80),
    ]


def touching_pits() -> Mesh:
    """A plate with two pyramid pits whose mouths share a corner: its top face cannot be walked around in one way."""
    outer = [(x, y, z) for z in (0, 50) for x, y in ((0, 0), (300, 0), (300, 200), (0, 200))]
    pits = [
        (60, 60, 50),
        (150, 60, 50),
        (150, 110, 50),
        (60, 110, 50),
        (105, 85, 10),
        (240, 110, 50),
        (240, 160, 50),
        (150, 160, 50),
        (195, 135, 10),
    ]
    first, second = (8, 9, 10, 11), (10, 13, 14, 15)
    top = [
        (4, 5, 9, 8),
        (5, 6, 13),
        (5, 13, 10),
        (5, 10, 9),
        (6, 14, 13),
        (6, 7, 15, 14),
        (7, 10, 15),
        (7, 11, 10),
        (7, 4, 8, 11),
    ]
    sides = [(3, 2, 1, 0), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7)]
    walls = [
        (a, b, apex)
        for ring, apex in ((first, 12), (second, 16))
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
    ]
    return of_polygons(np.array(outer + pits, float), sides + top + walls, merge=True)


HARD: dict[str, Callable[[], list[Mesh]]] = {
    "blind and through holes": lambda: [plate()],
    "a round in a blind hole": _round_in_blind_hole,
    "a round through a hole": _round_through_a_hole,
    "boards behind holes": _boards_behind_holes,
    "holes across a groove": _holes_across_a_groove,
    "holes that cross": _holes_that_cross,
    "a stepped hole": _stepped_hole,
    "a slanting hole": _slanting_hole,
    "lapped bars": _lapped_bars,
    "a stopped groove and a board in it": _stopped_groove_and_board_in_it,
    "a pocket with a corner": _pocket_with_a_corner,
    "a dowelled joint taken apart": _dowelled_joint_taken_apart,
    "flush boards": _flush_boards,
    "tapered legs and a wedge": _tapered_legs_and_wedge,
    "a hollow box": _hollow_box,
    "touching pits": lambda: [touching_pits()],
}


def random_scene(seed: int, parts: int) -> list[Mesh]:
    """Boards with holes, grooves, rebates and cut-off corners, square or turned, some run together."""
    chance = random.Random(seed)
    return [_placed(_random_part(chance), chance) for _ in range(parts)]


def _random_part(chance: random.Random) -> Mesh:
    size = [chance.randint(*limits) * 10 for limits in ((20, 60), (10, 40), (8, 24))]
    solid = solid_box(0, 0, 0, *size)
    for _ in range(chance.randint(0, 4)):
        solid = chance.choice((_with_hole, _with_hole, _with_groove, _with_pocket, _with_corner_cut))(
            solid, size, chance
        )
    return of_solid(max(solid.decompose(), key=lambda piece: piece.volume()))


def _with_hole(solid, size: list[int], chance: random.Random):
    axis, into = chance.randint(0, 2), [0.0, 0.0, 0.0]
    at = [chance.randint(4, length // 10 - 4) * 10.0 for length in size]
    into[axis] = chance.choice((-1.0, 1.0))
    at[axis] = 0.0 if into[axis] > 0 else float(size[axis])
    if chance.random() < 0.3:
        into = [step + chance.uniform(-0.3, 0.3) for step in into]
    depth = chance.choice((40, 80, size[axis] + 200))
    return solid - drilled(tuple(at), tuple(into), chance.choice((30, 50, 80, 100)), depth, chance.choice((8, 12, 16)))


def _with_groove(solid, size: list[int], chance: random.Random):
    depth = chance.randint(1, size[2] // 10 - 1) * 10
    y, width = chance.randint(0, size[1] // 10 - 4) * 10, chance.randint(2, 8) * 10
    return solid - solid_box(-10, y, size[2] - depth, size[0] + 20, width, depth + 10)


def _with_pocket(solid, size: list[int], chance: random.Random):
    low = [chance.randint(-5, length // 10 - 3) * 10 for length in size]
    return solid - solid_box(*low, *(chance.randint(3, 20) * 10 for _ in size))


def _with_corner_cut(solid, size: list[int], chance: random.Random):
    normal = np.array([chance.uniform(-1, 1) for _ in size])
    normal /= np.linalg.norm(normal)
    middle = np.array(size) / 2
    return solid.trim_by_plane(
        tuple(normal), float(normal @ middle - chance.uniform(0.3, 0.8) * np.abs(normal) @ middle)
    )


def _placed(mesh: Mesh, chance: random.Random) -> Mesh:
    turn = np.eye(3)
    if chance.random() < 0.3:
        turn = rotation(tuple(chance.uniform(-1, 1) for _ in range(3)), chance.uniform(0, 360))
    elif chance.random() < 0.6:
        turn = rotation(chance.choice(((1, 0, 0), (0, 1, 0), (0, 0, 1))), 90 * chance.randint(0, 3)).round()
    return moved(mesh, tuple(chance.randint(-4, 4) * 80 for _ in range(3)), turn)
