"""What a function made of a model, remembered by the very model and not by its value, which costs long to compare."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar

from .model import Model

P = ParamSpec("P")
R = TypeVar("R")

KEPT = 16  # answers of each function; a piece's pack asks about some dozen models, most of them many times


def kept(function: Callable[Concatenate[Model, P], R]) -> Callable[Concatenate[Model, P], R]:
    """The function with its last answers kept; what else it is given must be hashable. Answers are shared: never change one."""
    known: dict[tuple[int, Any], tuple[Model, R]] = {}  # the model is held, so that no other gets its number

    @wraps(function)
    def asked(model: Model, *others: P.args, **named: P.kwargs) -> R:
        key = id(model), (others, tuple(named.items()))
        found = known.get(key)
        if found is None:
            found = model, function(model, *others, **named)
            for oldest in list(known)[: len(known) - KEPT + 1]:
                known.pop(oldest, None)
            known[key] = found
        return found[1]

    return asked
