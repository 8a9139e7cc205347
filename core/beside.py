"""Work done in a second process beside this one, where one can be had."""

from __future__ import annotations

import os
import pickle
import sys
import threading
import warnings
from collections.abc import Callable
from typing import TypeVar

R = TypeVar("R")


def begun(work: Callable[[], R]) -> Callable[[], R]:
    """Begin work whose answer can be pickled in a copy of this process; what comes back waits for the answer.

    Where no such copy can be had, or it ends without an answer, the work is done here when the answer is asked for: an error
    of the work is then raised where it can be seen.
    """
    if not _may_part():
        return work
    try:
        ours, theirs = os.pipe()
        with warnings.catch_warnings():  # the threads of the arithmetic library stand still, and it knows about copies
            warnings.simplefilter("ignore", DeprecationWarning)
            child = os.fork()
    except OSError:
        return work
    if not child:
        _answer(work, ours, theirs)
    os.close(theirs)
    return lambda: _awaited(work, child, ours)


def _may_part() -> bool:
    """Whether this process can be copied: on other systems that is slow or unsafe, and so it is beside other threads."""
    return sys.platform == "linux" and threading.active_count() == 1 and len(os.sched_getaffinity(0)) > 1


def _answer(work: Callable[[], R], ours: int, theirs: int) -> None:
    """In the copy: do the work, hand over the answer, and end without anything else that ends a program."""
    status = 1
    try:
        os.close(ours)
        data = pickle.dumps(work(), pickle.HIGHEST_PROTOCOL)
        with os.fdopen(theirs, "wb") as pipe:
            pipe.write(data)
        status = 0
    except BaseException:  # whatever it is, the other process meets it again
        status = 1
    finally:
        os._exit(status)


def _awaited(work: Callable[[], R], child: int, ours: int) -> R:
    """The answer of the copy, once it has ended well; else the work is done here."""
    with os.fdopen(ours, "rb") as pipe:
        data = pipe.read()
    _, status = os.waitpid(child, 0)
    return pickle.loads(data) if status == 0 else work()  # what this program itself has just written
