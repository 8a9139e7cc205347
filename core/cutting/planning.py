"""The public door of the planning engine: a problem in, a plan out."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

from .improving import Effort
from .lengths import plan_lengths
from .plan import CuttingPlan
from .problem import CuttingProblem, checked
from .sheets import plan_sheets

# Places looked at, and what takes as long: on one core of a small machine nine seconds at most for sheets, a quarter of a
# minute for the hardest lengths; most problems are proven long before.
SHEETS_WORK, LENGTHS_WORK = 10_000_000, 20_000_000


class StopPlanning(Exception):
    """Raised by a callback of `plan` to end the search; the best plan so far is returned, whole."""


def plan(
    problem: CuttingProblem,
    *,
    work: int | None = None,
    seconds: float | None = None,
    progress: Callable[[str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    eased: bool = True,
) -> CuttingPlan:
    """Which part is cut from which sheet, and how: the cheapest plan found, whole even when it was stopped early.

    `work` bounds the search in steps, so the same problem gets the same plan on any machine; `seconds` is a guard only,
    and a plan that it (or a callback) ended says so. `progress` is told each step forward in one short sentence;
    `cancelled` is asked some times a second and says whether to stop. Either may raise StopPlanning instead. Not `eased`, the
    sheets are sawn as they were found, so that it can be seen what easing the work at the saw is worth.
    """
    checked(problem)
    outside = _Outside(progress, cancelled, seconds)
    if problem.lengths_only:
        return plan_lengths(problem, Effort(work or LENGTHS_WORK, outside.stopped), outside.tell)
    return plan_sheets(problem, Effort(work or SHEETS_WORK, outside.stopped), outside.tell, eased)


class _Outside:
    """Whoever watches: told of steps forward, asked whether to stop."""

    def __init__(
        self, progress: Callable[[str], None] | None, cancelled: Callable[[], bool] | None, seconds: float | None
    ) -> None:
        self._progress, self._cancelled = progress, cancelled
        self._end = math.inf if seconds is None else time.monotonic() + seconds
        self._stop = False

    def tell(self, words: str) -> None:
        """Pass the words on."""
        if self._progress:
            try:
                self._progress(words)
            except StopPlanning:
                self._stop = True

    def stopped(self) -> bool:
        """Whether anything says stop; once said, it stays."""
        if not self._stop and self._cancelled:
            try:
                self._stop = bool(self._cancelled())
            except StopPlanning:
                self._stop = True
        self._stop = self._stop or time.monotonic() > self._end
        return self._stop
