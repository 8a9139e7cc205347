"""From the parameters of a piece to its model."""

from .builder import build, shaping

__all__ = ["build", "shaping"]
