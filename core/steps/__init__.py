"""The order of building as steps: what comes to what, along which way, held by what, and what to check."""

from .course import steps
from .means import before_drawers
from .step import Coming, Cramps, Diagonal, Push, Step

__all__ = ["Coming", "Cramps", "Diagonal", "Push", "Step", "before_drawers", "steps"]
