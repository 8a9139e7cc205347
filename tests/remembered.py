"""What core remembers by value, dropped: so that what is built anew can be compared with what was remembered, and timed."""

from __future__ import annotations

import sys
from functools import _lru_cache_wrapper

from core import solids


def emptied() -> None:
    """Drop every remembered value of core, its library's entries too."""
    solids.forget()
    for name, module in list(sys.modules.items()):
        if name.split(".")[0] == "core":
            for each in vars(module).values():
                if isinstance(each, _lru_cache_wrapper):
                    each.cache_clear()
