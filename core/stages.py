"""Work told stage by stage: before each stage its words, at the end what came of it. Whoever waits may stop between two."""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import TypeVar

R = TypeVar("R")
Progress = Callable[[str], None]
Stages = Generator[str, None, R]


def carried_out(stages: Stages[R], tell: Progress | None = None) -> R:
    """Do all stages, telling the words of each before it; what came of them. Raises what they raise."""
    while True:
        try:
            words = next(stages)
        except StopIteration as end:
            return end.value
        if tell:
            tell(words)
