"""How long the findings of the demo piece take, with and without movement, beside a boolean library's static overlaps.

    python tests/bench/bench_checks.py

Prints medians of processor time over a number of rounds, every round on a model built anew. What was reckoned of equal values before is
remembered but in the first line, where nothing is, the library's entries neither. Nothing is judged here. The boolean library is
given solids already converted and tries only pairs whose boxes overlap.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from checks_help import demo  # noqa: E402
from remembered import emptied  # noqa: E402
from test_checks_overlap import shares_of, solids_of  # noqa: E402

from core import build  # noqa: E402
from core.checks import checks, findings  # noqa: E402
from core.checks.motion import movement  # noqa: E402
from core.checks.overlap import overlap  # noqa: E402
from core.grips import moved  # noqa: E402
from core.meshes import part_meshes  # noqa: E402

ROUNDS = 15


def median(work: Callable[[], object], prepare: Callable[[], object] = lambda: None) -> float:
    """The median processor time of some work, ms, what prepares it not counted (on a shared machine the clock lies)."""
    times = []
    for _ in range(ROUNDS):
        prepare()
        start = time.process_time()
        work()
        times.append(1000 * (time.process_time() - start))
    return statistics.median(times)


def main() -> None:
    """Print the medians."""
    piece, model = demo()
    findings(piece, model)
    fresh = [model]

    def anew() -> None:
        fresh[0] = build(piece)

    def unheard() -> None:
        emptied()
        anew()

    frames = [piece]

    def dragged() -> None:
        key, size = "width", frames[-1].whole.width
        frames.append(moved(frames[-1], key, size + 0.5))
        fresh[0] = build(frames[-1])
        part_meshes(fresh[0])  # the drag has drawn them

    still = [check for check in checks() if check is not movement]
    print(f"all findings, nothing remembered  {median(lambda: findings(piece, fresh[0]), unheard):8.1f} ms")
    print(f"all findings                      {median(lambda: findings(piece, fresh[0]), anew):8.1f} ms")
    print(f"all findings after a drag         {median(lambda: findings(frames[-1], fresh[0]), dragged):8.1f} ms")
    without = median(lambda: [list(check(piece, fresh[0])) for check in still], anew)
    print(f"all but swings and travels        {without:8.1f} ms")
    print(f"swings and travels alone          {median(lambda: list(movement(piece, fresh[0])), anew):8.1f} ms")
    print(f"static overlaps alone             {median(lambda: list(overlap(piece, fresh[0])), anew):8.1f} ms")
    solids = solids_of(model)
    print(f"static overlaps, boolean library  {median(lambda: shares_of(solids)):8.1f} ms")


if __name__ == "__main__":
    main()
