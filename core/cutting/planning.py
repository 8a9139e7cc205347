"""The public door of the planning engine: a problem in, a plan out."""

from __future__ import annotations

import time
from collections.abc import Callable

from .improving import Effort
from .lengths import plan_lengths
from .plan import CuttingPlan
from .problem import CuttingProblem, checked
from .sheets import plan_sheets

WORK = 10_000_000  # places looked at; seven seconds or so at most on one core of a small machine


def plan(
    problem: CuttingProblem,
    *,
    work: int = WORK,
    seconds: float | None = None,
    progress: Callable[[str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> CuttingPlan:
    """Which part is cut from which sheet, and how: the cheapest plan found, whole even when it was stopped early.

    `work` bounds the search in steps, so the same problem gets the same plan on any machine; `seconds` is a guard only,
    and a plan that it (or `cancelled`) ended says so. `progress` is told each step forward in one short sentence.
    """
    checked(problem)
    start = time.monotonic()

    def stopped() -> bool:
        return bool(cancelled and cancelled()) or (seconds is not None and time.monotonic() - start > seconds)

    effort = Effort(work, stopped)
    tell = progress or _quiet
    return plan_lengths(problem, effort, tell) if problem.lengths_only else plan_sheets(problem, effort, tell)


def _quiet(words: str) -> None:
    """Tell nobody."""
