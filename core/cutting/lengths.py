"""The plan for lengths."""

from __future__ import annotations

from collections.abc import Callable

from .improving import Effort
from .plan import CuttingPlan
from .problem import CuttingProblem
from .sheets import plan_sheets


def plan_lengths(problem: CuttingProblem, effort: Effort, tell: Callable[[str], None]) -> CuttingPlan:
    """The best plan found for lengths."""
    return plan_sheets(problem, effort, tell)
