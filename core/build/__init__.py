"""From the parameters of a piece to its model."""

from .builder import build, build_seen, shaping

__all__ = ["build", "build_seen", "shaping"]
