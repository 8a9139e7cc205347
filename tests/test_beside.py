"""Work in a second process: its answer, and what happens where there is none."""

import os
import sys
import threading

import pytest

from core.beside import begun


def test_the_answer_comes_back():
    """What is begun beside gives the answer it gives here, from another process where one can be had."""
    number, process = begun(lambda: (sum(range(1000)), os.getpid()))()
    assert number == 499500
    may_part = sys.platform == "linux" and len(os.sched_getaffinity(0)) > 1 and threading.active_count() == 1
    assert (process != os.getpid()) == may_part


def test_an_error_is_met_here():
    """Work that fails in the copy is done again here, so that its error is raised with its own words."""
    with pytest.raises(ValueError, match="too wide"):
        begun(lambda: _refused())()


def test_a_copy_that_ends_early_costs_nothing_but_time():
    """Where the copy ends without an answer, the work is done here."""
    here = os.getpid()
    assert begun(lambda: "done" if os.getpid() == here else os._exit(3))() == "done"


def test_not_beside_other_threads():
    """A process with other threads at work is not copied."""
    wait = threading.Event()
    other = threading.Thread(target=wait.wait)
    other.start()
    try:
        assert begun(os.getpid)() == os.getpid()
    finally:
        wait.set()
        other.join()


def _refused() -> None:
    raise ValueError("too wide")
