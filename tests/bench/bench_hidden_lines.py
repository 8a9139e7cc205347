"""How long hidden lines take, beside Open CASCADE and a brute-force reference in the same run.

    python tests/bench/bench_hidden_lines.py [--no-reference]

A chest of our own with 121 parts, 82 holes of 24 facets and 23 grooved boards, put together and taken apart, from
several directions; then 8 and 64 such chests in a row. Prints medians of some rounds; nothing is judged here.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

import occ_judge  # noqa: E402
from line_judges import agreement, ends_of, reference  # noqa: E402
from meshes import box, drilled, moved, of_solid, rod, rotation, solid_box  # noqa: E402

from core.drawing.hidden_lines import Drawable, visible_lines  # noqa: E402
from core.drawing.views import View  # noqa: E402
from core.solids.mesh import Mesh  # noqa: E402

ALONG_X = rotation((0, 1, 0), 90).round()
ROUNDS = 15
PARTS, GROOVED, DOWELS = 121, 23, 41
Part = tuple[Mesh, tuple[float, float, float]]


# ------------------------------------------------------------ scene
def chest() -> tuple[list[Mesh], np.ndarray]:
    """Every part where it stands, and how far it is moved when the chest is taken apart, (n, 3)."""
    parts: list[Part] = [
        (_side(left=False), (300, 0, 0)),
        (_side(left=True), (-300, 0, 0)),
        (box(-500, -450, 1082, 1000, 450, 18), (0, 0, 300)),
        (_bottom(), (0, 0, -250)),
        (box(-482, -6, 100, 964, 6, 982), (0, 250, 0)),
    ]
    parts += [(_grooved(i), (0, -40.0 * (i % 4 + 1), 0)) for i in range(GROOVED)]
    for i in range(16):
        x, z = -480 + i % 2 * 481, 110 + i // 2 * 120
        parts.append((box(x, -450, z, 478, 18, 116), (0, -400, 0)))
        parts.append((box(x + 20, -420, z + 10, 440, 400, 6), (0, -250, 0)))
    for i in range(DOWELS):
        x, out = ((464, 160), (-494, -160))[i % 2]
        parts.append((moved(rod(7.9, 30), (x, -40 - 10 * (i // 2) % 400, 120 + 45 * (i // 2)), ALONG_X), (out, 0, 0)))
    for i in range(PARTS - len(parts)):
        parts.append((box(-470 + 45 * (i % 21), -470, 104, 40, 20, 976), (0, -600, 0)))
    return [part for part, _ in parts], np.array([by for _, by in parts], float)


def _side(left: bool) -> Mesh:
    solid = solid_box(482, -450, 0, 18, 450, 1082)
    for i in range(20):
        solid -= drilled((482, -40 - 10 * i % 400, 120 + 45 * i), (1, 0, 0), 8, 12)
    for i in range(10):
        solid -= drilled((482, -400, 150 + 64 * i), (1, 0, 0), 5, 10)
    return of_solid(solid.mirror((1, 0, 0)) if left else solid)


def _bottom() -> Mesh:
    """A board with 22 holes, every fourth of them right through."""
    solid = solid_box(-482, -450, 82, 964, 444, 18)
    for i in range(22):
        solid -= drilled((-450 + 42 * i, -200, 100), (0, 0, -1), 6, 18 if i % 4 == 0 else 12)
    return of_solid(solid)


def _grooved(i: int) -> Mesh:
    """One side or the front of a drawer box, grooved for its bottom."""
    x, z = -478 + i % 2 * 481, 112 + i // 3 % 8 * 120
    if i % 3 == 2:
        return of_solid(solid_box(x + 15, -430, z, 450, 12, 100) - solid_box(x, -424, z + 8, 500, 7, 6))
    x += i % 3 * 460
    groove = solid_box(x - 1 if i % 3 else x + 6, -500, z + 8, 7, 600, 6)
    return of_solid(solid_box(x, -430, z, 12, 420, 100) - groove)


# ------------------------------------------------------------ times
def milliseconds(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """The median of some rounds, after one to warm up."""
    work()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1000 * statistics.median(times)


def beside_open_cascade(meshes: list[Mesh], apart: list[Mesh]) -> None:
    """Print Open CASCADE's times for the same drawings in the same run, from 24-facet solids."""
    if occ_judge.PYTHON is None:
        print(occ_judge.MISSING)
        return
    view = View.named("iso")
    for name, parts in (("together", meshes), ("apart", apart)):
        reading, (seen,) = occ_judge.visible(parts, [view], timed=True)
        drawable = Drawable.of(parts)
        ours = milliseconds(lambda drawable=drawable: drawable.lines(view))
        print(
            f"{name}, iso: Open CASCADE from facets {1000 * seen.facets:.0f} ms, exactly {1000 * seen.exact:.0f} ms, "
            f"its solids {1000 * reading:.0f} ms; ours {ours:.1f} ms ({1000 * seen.facets / ours:.1f} times as fast)"
        )


def main() -> None:
    """Print times, of our lines and of the reference, and how far they agree."""
    meshes, by = chest()
    apart = [moved(mesh, tuple(step)) for mesh, step in zip(meshes, by, strict=True)]
    triangles = sum(int((np.diff(mesh.starts) - 2).sum()) for mesh in meshes)
    print(f"{len(meshes)} parts, {sum(len(mesh.edges) for mesh in meshes)} edges, {triangles} triangles")
    for name, parts in (("together", meshes), ("apart", apart)):
        drawable = Drawable.of(parts)
        print(f"{name}: reading the solids once {milliseconds(lambda parts=parts: Drawable.of(parts)):.1f} ms")
        for view in ("iso", "front", "top", "dimetric"):
            show(drawable, view)
    step = milliseconds(lambda: Drawable.of(meshes).moved(by).lines(View.named("iso")))
    print(f"from meshes to lines taken apart, reading included: {step:.1f} ms")
    beside_open_cascade(meshes, apart)
    grow(meshes)
    if "--no-reference" not in sys.argv:
        compare(meshes, "together")
        compare(apart, "apart")


def show(drawable: Drawable, name: str) -> None:
    """Print the time of one view."""
    view = View.named(name)
    print(f"  {name:9s}{len(drawable.lines(view)):5d} lines {milliseconds(lambda: drawable.lines(view)):6.1f} ms")


def grow(meshes: list[Mesh]) -> None:
    """Print how time grows with the number of chests in a row."""
    spent = {}
    for count in (1, 8, 64):
        row = [moved(mesh, (1500.0 * i, 0, 0)) for i in range(count) for mesh in meshes]
        reading = milliseconds(lambda row=row: Drawable.of(row), 3)
        drawable = Drawable.of(row)
        drawing = milliseconds(lambda drawable=drawable: drawable.lines(View.named("iso")), 3)
        spent[count] = reading + drawing
        exponent = math.log(spent[count] / spent[1]) / math.log(count) if count > 1 else math.nan
        print(f"{len(row):5d} parts: reading {reading:.0f} ms, iso {drawing:.0f} ms, exponent {exponent:.2f}")


def compare(parts: list[Mesh], name: str) -> None:
    """Print the reference's time for the same drawing, and the agreement."""
    truth, view = reference(), View.named("iso")
    if truth is None:
        print("the brute-force reference is not beside this checkout; nothing to compare with")
        return
    solids, edges = [(mesh.vertices, mesh.triangles()) for mesh in parts], ends_of(parts, view)
    start = time.perf_counter()
    truth.visible(solids, edges, view.direction, step=0.5, up=view.up)
    theirs = 1000 * (time.perf_counter() - start)
    ours = milliseconds(lambda: visible_lines(parts, view), 5)
    found = agreement(truth, parts, view, visible_lines(parts, view).points)
    print(f"{name}, iso: reference {theirs:.0f} ms, ours from meshes {ours:.1f} ms;", end=" ")
    print(f"union off by {100 * found.union_error:.5f} %, missed and extra {100 * found.line_error:.5f} %")


if __name__ == "__main__":
    main()
