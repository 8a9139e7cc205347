"""How long a piece takes from its parameters to closed meshes: anew, after a drag, and from 1 to 64 pieces.

    python tests/bench/bench_build.py

Prints medians of processor time; nothing is judged here. A boolean library makes the same parts in the same run; what
matters are the ratios, for on a shared machine the clock lies. Growth is the exponent p of cost ∝ piecesᵖ, by least squares.
"""

from __future__ import annotations

import gc
import math
import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from checks_help import demo  # noqa: E402
from remembered import emptied  # noqa: E402
from test_solids_properties import judged  # noqa: E402

from core import build, solids  # noqa: E402
from core.build import build_seen  # noqa: E402
from core.checks import findings  # noqa: E402
from core.grips import grips, moved  # noqa: E402
from core.meshes import model_meshes, part_meshes  # noqa: E402
from core.model import Hole, Model  # noqa: E402
from core.piece import Piece  # noqa: E402
from core.revisions.marks import marks  # noqa: E402

ROUNDS = 15
MANY = (1, 4, 16, 64)
NARROWER = 0.7  # mm by which each next piece of the many differs in width, so that no two share a board


def milliseconds(work: Callable[[], object]) -> float:
    """Processor time of some work."""
    start = time.process_time()
    work()
    return 1000 * (time.process_time() - start)


def median(works: list[Callable[[], object]]) -> float:
    """The median of pieces of work, each done once."""
    return statistics.median(milliseconds(work) for work in works)


def anew(piece: Piece) -> Model:
    """Parameters to all parts as closed meshes, no mesh remembered."""
    solids.forget()
    return meshed(piece)


def meshed(piece: Piece) -> Model:
    """Parameters to all parts as closed meshes."""
    model = build(piece)
    part_meshes(model)
    return model


def regenerate(piece: Piece, model: Model) -> float:
    """Print what the whole takes, beside the boolean library; that library's time."""
    shapes = {part.shape for part in model.parts}
    holes = sum(isinstance(each, Hole) for part in model.parts for each in part.shape.features)
    print(f"demo piece: {len(model.parts)} parts, {len(shapes)} shapes, {holes} holes")
    reference = median([lambda: [judged(shape).to_mesh64() for shape in shapes]] * 5)
    print(f"  boolean library, meshes alone            {reference:8.1f} ms")
    for words, work in (
        ("parameters to meshes, all anew", lambda: anew(piece)),
        ("  of that the model", lambda: build(piece)),
        ("  the same, nothing changed", lambda: meshed(piece)),
        ("marks, the shapes known", lambda: marks([model])),
        ("findings, of a model just built", None),
    ):
        if work:
            taken = median([work] * ROUNDS)
        else:
            models = [build(piece) for _ in range(ROUNDS)]
            taken = median([lambda each=each: findings(piece, each) for each in models])
        print(f"  {words:40s} {taken:8.1f} ms   ({taken / reference:.2f} of the reference)")
    return reference


def drags(piece: Piece, model: Model, reference: float) -> None:
    """Print what one frame of each drag takes: a size that no frame had before, parameters to all parts' meshes, as the add-on asks for them."""
    before = {part.shape for part in model.parts}
    for grip in grips(piece, model.overall):
        frames = [moved(piece, grip.key, grip.size + 0.5 * step) for step in range(1, ROUNDS + 1)]
        changed = sum(part.shape not in before for part in build(frames[0]).parts)
        solids.forget()
        meshed(piece)
        taken = median([lambda frame=frame: part_meshes(build_seen(frame)) for frame in frames])
        print(f"  dragging {grip.key:31s} {taken:8.1f} ms   ({taken / reference:.2f}; {changed} parts change)")


def growth(piece: Piece) -> None:
    """Print time and memory of every stage for more and more pieces, no two alike, and the exponents."""
    pieces = [
        replace(piece, whole=replace(piece.whole, width=piece.whole.width + NARROWER * n)) for n in range(MANY[-1])
    ]
    for what, measure in (("ms", milliseconds), ("MB", megabytes)):
        stages: dict[str, list[float]] = {}
        for count in MANY:
            emptied()
            other = replace(piece, whole=replace(piece.whole, width=piece.whole.width - NARROWER))
            findings(
                other, meshed(other)
            )  # the library's entries are read, and nothing is known of the pieces measured
            solids.forget()
            models: list[Model] = []
            for name, work in _stages(pieces[:count], models):
                stages.setdefault(name, []).append(measure(work))
        print(
            f"{what} for {MANY} pieces, {sum(len(each.parts) for each in models)} parts in the most, and the exponent"
        )
        for name, values in stages.items():
            shown = " ".join(f"{value:9.1f}" for value in values)
            print(f"  {name:10s} {shown}   {exponent(values):.2f}")


def _stages(pieces: list[Piece], models: list[Model]) -> Iterator[tuple[str, Callable[[], object]]]:
    yield "models", lambda: models.extend(map(build, pieces))
    yield "meshes", lambda: [model_meshes(model) for model in models]
    yield "marks", lambda: marks(models)
    yield "findings", lambda: [findings(piece, model) for piece, model in zip(pieces, models, strict=True)]


def megabytes(work: Callable[[], object]) -> float:
    """The most memory that some work takes at once, beside what was there before."""
    gc.collect()
    tracemalloc.start()
    work()
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return most / 2**20


def exponent(values: list[float]) -> float:
    """The slope of a line through the logarithms."""
    xs, ys = [math.log(count) for count in MANY], [math.log(max(value, 1e-3)) for value in values]
    x, y = statistics.mean(xs), statistics.mean(ys)
    return sum((a - x) * (b - y) for a, b in zip(xs, ys, strict=True)) / sum((a - x) ** 2 for a in xs)


def main() -> None:
    """Print the tables."""
    piece, model = demo()
    findings(piece, model)
    reference = regenerate(piece, model)
    drags(piece, model, reference)
    growth(piece)


if __name__ == "__main__":
    main()
