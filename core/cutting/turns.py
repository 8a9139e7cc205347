"""Long work done by turns: a little at a time, so that whoever waits can look about, and say that it is enough.

The work has a thread of its own, which runs only while it has its turn: never two at once, so what comes of it is the same as without.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Generator
from typing import Any, TypeVar

R = TypeVar("R")
TURN = 0.05  # seconds, about


class Enough:
    """What a person says who waits no longer: the best so far is taken. `asked`: there is work that would hear it."""

    def __init__(self) -> None:
        self.said = self.asked = False

    def say(self) -> None:
        """From now on."""
        self.said = True


def by_turns(work: Callable[[Callable[[], bool]], R], enough: Enough) -> Generator[None, None, R]:
    """Do the work; None between its turns, at the end what came of it, or its error.

    The work calls what it is given often; it is told whether to end with what it has. Closed, the generator has it end so too.
    """
    turn, given_back, found = threading.Semaphore(0), threading.Semaphore(0), []
    ends = [0.0]

    def asked() -> bool:
        if not enough.said and time.monotonic() > ends[0]:
            given_back.release()
            turn.acquire()
        return enough.said

    def run() -> None:
        turn.acquire()
        answer: tuple[Any, BaseException | None]
        try:
            answer = work(asked), None
        except BaseException as error:  # raised again where it is waited for
            answer = None, error
        found.append(answer)
        given_back.release()

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    enough.asked = True
    try:
        while not found:
            ends[0] = time.monotonic() + TURN
            turn.release()
            given_back.acquire()
            if not found:
                yield None
    except BaseException:  # left, or interrupted: the work has to end before this does
        enough.say()
        turn.release()
        raise
    finally:
        enough.asked = False
        thread.join()
    result, error = found[0]
    if error is not None:
        raise error
    return result
