"""How long it takes to turn parts into closed meshes, beside a boolean library doing the same in the same run.

    python tests/bench/bench_solids.py

Scenes of our own: two cabinets of different sizes, about 120 parts, hardly two alike, once with few holes and once
with many; and twelve drawers with lapped dovetails and finger holes on bracket feet with an ogee. Prints medians of a number of rounds; nothing is judged here.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import manifold3d
import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from test_solids_properties import judged  # noqa: E402

from core import solids  # noqa: E402
from core.model import Cut, CutOut, Feature, Hole, Pocket, Shape  # noqa: E402

ROUNDS = 15
HINGE_PLUGS = [at + 25.0 * i for at in (87.5, 696.5, 1105.5) for i in range(3)]  # half in the door, half in its frame
RUN = 9 * math.tan(math.radians(30))


# ---------------------------------------------------------------------------------------------------------------- scene
def cabinet(width: float, height: float, depth: float, many_holes: bool) -> Iterator[Shape]:
    """Some sixty parts: carcass, planted frames, drawers, moulding, leg laminations; sizes follow the three given."""
    inside = width - 54
    side = (height - 178, depth, 18.0)
    dowels = [hole((9.0, f, 18.0), (0, 0, -1), 8, 12) for f in np.linspace(40, depth - 46, 5)]
    rebate = box((0, depth - 9, 12), (side[0], depth, 18))
    pins = rows_of_pins(side, 78, depth - 45) if many_holes else []
    recesses = [box((at, 0, 16.75), (at + 75, 16.5, 18)) for at in (333.5, 942.5)] if many_holes else []
    plugs = (
        [hole((at + 12 + 25 * i, 8.0, 18.0), (0, 0, -1), 8, 14) for at in (333.5, 942.5) for i in range(3)]
        if many_holes
        else []
    )
    yield Shape(size=side, features=(rebate, *dowels, *pins))
    yield Shape(size=side, features=(rebate, *dowels, *plugs, *recesses))
    ends = [
        hole((x, f, 9.0), (1 if x == 0 else -1, 0, 0), 8, 30)
        for x in (0.0, inside)
        for f in np.linspace(40, depth - 46, 5)
    ]
    for extra in range(3):
        above = [hole((inside / 2, f, 18.0), (0, 0, -1), 8, 12) for f in (69.0, 264.0, 376.0)] if extra else []
        yield Shape(size=(inside, depth - 6 - extra, 18), features=(*ends, *above))
    upright = (height - 452, depth - 35, 18.0)
    yield Shape(size=upright, features=tuple(rows_of_pins(upright, 49, depth - 74)) if many_holes else ())
    yield Shape(size=(height - 180, width - 38, 6))
    yield from (Shape(size=(inside / 2 - i, 80, 18)) for i in range(2))
    yield from (Shape(size=(inside - 36 * i, 60 - 20 * i, 20)) for i in range(2))
    yield from (Shape(size=(inside / 2 - 12 - i, depth - 49, 18)) for i in range(6))
    for i in range(4):
        taper = cut((0, 45, 0), (-(74.804 - 45), 145, 0))
        yield Shape(size=(height - 33 - i, 80, 9), features=(bevel(80), taper))
        yield Shape(size=(145, 74.804 + i, 18), features=(taper, cut((0, 0, 6), (-12, 0, 145))))
        yield Shape(size=(145, 74.804 + i, 18.5), features=(taper,))
        plugs = [hole((at, 0.0, 1.0), (0, 1, 0), 8, 30) for at in HINGE_PLUGS] if many_holes and i < 2 else []
        yield Shape(size=(height - 457 - i, 80, 9), features=(bevel(80), *plugs))
    for i in range(6):
        yield rail(depth - 160 - i, 92 - i)
        yield rail(inside / 2 - 149 - i, 80 + i)
    for i in range(2):
        hinges = [hole((at, 0.0, 19.0), (0, 1, 0), 8, 30) for at in HINGE_PLUGS] if many_holes else []
        yield Shape(size=(height - 457, inside / 2 - 4 - i, 18), features=tuple(hinges))
    for i in range(2):
        groove = box((0, 12, 9), (depth - 84, 21, 15))
        near = [hole((7.5, f, 15.0), (0, 0, -1), 6, 10) for f in (40.0, 65.0, 100.0)]
        yield Shape(size=(depth - 84, 130 - i, 15), features=(groove, *near))
        ends = [
            hole((x, f, 7.5), (1 if x == 0 else -1, 0, 0), 6, 22)
            for x in (0.0, inside - 56)
            for f in (40.0, 65.0, 100.0)
        ]
        yield Shape(size=(inside - 56, 130 - i, 15), features=(box((0, 12, 9), (inside - 56, 21, 15)), *ends))
    yield Shape(size=(inside - 45, depth - 94, 9))
    mitre = cut((0, 0, 0), (-1, 1, 0))
    yield Shape(size=(width, 70, 40), features=(box((0, 25, 0), (width, 70, 12)), mitre, cut((width, 0, 0), (1, 1, 0))))
    yield from (
        Shape(size=(depth + i, 70, 40), features=(box((0, 25, 0), (depth + i, 70, 12)), mitre)) for i in range(2)
    )
    yield from (Shape(size=(100 + i, 100, 28), features=(cut((100, 0, 0), (1, 1, 0)),)) for i in range(2))


def dovetailed(number: int) -> Iterator[Shape]:
    """A drawer's front and two sides, tails and sockets, and two bracket feet; sizes follow its number."""
    high, long, i = 120.0 + 5 * number, 400.0 + number, 0.25 * number
    middles = [20.0 + 25 * k for k in range(int((high - 20) // 25))]
    sockets = [
        sweep(0, ((y - 5, 20), (y - 7, 6), (y + 7, 6), (y + 5, 20)), at, at + 13)
        for y in middles
        for at in (-1.0, long - 12)
    ]
    slot = sweep(2, ((150, 60), (210, 60), (210, 90), (150, 90)), -1, 21, (0, 15, 0, 15))
    yield Shape(size=(long, high, 20), features=(*sockets, slot))
    bounds = [(a + 7, b - 7) for a, b in zip([-8.0, *middles], [*middles, high + 8], strict=True)]
    for side in (0.0, 1.0):
        tails = [sweep(2, ((-1, a), (0, a), (14, a - 2), (14, b + 2), (0, b), (-1, b)), -1, 13) for a, b in bounds]
        yield Shape(size=(350 + side + i, high, 12), features=tuple(tails))
        outline = ((75 + side + i, 0), (181, -1), (181, 70), (180, 70), (127.5, 35))
        yield Shape(
            size=(180, 110, 20), features=(sweep(2, outline, -1, 21, (0, 0, 0, 8, -8)), cut((0, 0, 0), (-1, 0, 1)))
        )


def sweep(axis: int, outline: tuple, start: float, end: float, rises: tuple = ()) -> CutOut:
    return CutOut(kind="cut-out", axis=axis, outline=outline, start=start, end=end, rises=rises, purpose="bench")


def rows_of_pins(size: tuple[float, float, float], front: float, back: float) -> list[Hole]:
    """Three groups of five pin holes in two rows."""
    return [
        hole((x + 32 * i, f, size[2]), (0, 0, -1), 5, 10)
        for x in (300.0, 650.0, 1030.0)
        for i in range(5)
        for f in (front, back)
    ]


def hole(at: tuple[float, ...], into: tuple[float, ...], diameter: float, depth: float) -> Hole:
    return Hole(at=at, into=into, diameter=diameter, depth=depth, purpose="bench")


def box(low: tuple[float, ...], high: tuple[float, ...]) -> Pocket:
    return Pocket(kind="recess", low=low, high=high, purpose="bench")


def cut(point: tuple[float, ...], normal: tuple[float, ...]) -> Cut:
    size = math.hypot(*normal)
    return Cut(kind="bevel", point=point, normal=tuple(n / size for n in normal), angle=0, where="face edge")


def bevel(width: float) -> Cut:
    return cut((0, width, 0), (0, 9, RUN))


def rail(back: float, width: float) -> Shape:
    length = back + 2 * RUN
    features: tuple[Feature, ...] = (cut((0, 0, 9), (-9, 0, -RUN)), cut((length, 0, 9), (9, 0, -RUN)), bevel(width))
    return Shape(size=(length, width, 9), features=features)


# -------------------------------------------------------------------------------------------------------------- measure
def milliseconds(work: Callable[[], object]) -> float:
    """The median of several rounds."""
    taken = []
    for _ in range(ROUNDS):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken) * 1000


def by_booleans(shapes: list[Shape]) -> list[manifold3d.Mesh]:
    return [judged(shape).to_mesh64() for shape in shapes]


def ours(shapes: list[Shape]) -> list[solids.Mesh]:
    solids.forget()
    return solids.meshes_of(shapes)


def ours_one_by_one(shapes: list[Shape]) -> list[solids.Mesh]:
    solids.forget()
    return [solids.mesh_of(shape) for shape in shapes]


def main() -> None:
    """Print the table."""
    scenes = {
        "few holes": [*cabinet(1098, 1900, 534, False), *cabinet(900, 1700, 400, False)],
        "many holes": [*cabinet(1098, 1900, 534, True), *cabinet(900, 1700, 400, True)],
        "dovetails and brackets": [shape for number in range(12) for shape in dovetailed(number)],
    }
    for name, shapes in scenes.items():
        holes = sum(isinstance(feature, Hole) for shape in shapes for feature in shape.features)
        meshes = ours(shapes)
        print(
            f"{name}: {len(shapes)} parts, {len(set(shapes))} different, {holes} holes, "
            f"{sum(bool(shape.features) for shape in shapes)} parts with features, "
            f"{sum(len(mesh.triangles()) for mesh in meshes)} triangles"
        )
        reference = milliseconds(lambda shapes=shapes: by_booleans(shapes))
        print(f"  boolean library, closed meshes     {reference:8.1f} ms")
        together = milliseconds(lambda shapes=shapes: ours(shapes))
        print(f"  ours, all parts together           {together:8.1f} ms   ({reference / together:.1f} times as fast)")
        for words, work in (
            ("ours, one call for each part", lambda shapes=shapes: ours_one_by_one(shapes)),
            ("ours, nothing changed", lambda shapes=shapes: solids.meshes_of(shapes)),
            ("ours, six of the parts together", lambda shapes=shapes: ours(shapes[:6])),
            ("triangles of all parts", lambda meshes=meshes: [mesh.triangles() for mesh in meshes]),
        ):
            print(f"  {words:34s} {milliseconds(work):8.1f} ms")


if __name__ == "__main__":
    main()
