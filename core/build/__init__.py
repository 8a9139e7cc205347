"""From the parameters of a piece to its model."""

from .builder import build

__all__ = ["build"]
