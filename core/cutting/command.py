"""The command `cut`: a cutting problem read, a plan written."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Callable
from pathlib import Path

from ..errors import FileError, ParameterError
from ..exports.files import write_bytes, write_text
from ..exports.pdf import pdf_bytes
from ..pack import UNDATED
from ..pages._bare_plan import bare_pages
from .plan import plan_json
from .planning import plan
from .problem import read_problem

FINE, INTERRUPTED = 0, 130
LEAST = '{"sheet": [2440, 1220], "kerf": 3.2, "parts": [[600, 400, 4]]}'  # of a problem: four parts 600 × 400


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Declare what the command takes."""
    command.add_argument(
        "problem", metavar="PROBLEM", help=f'a cutting problem as JSON, mm; "-" reads standard input: {LEAST}'
    )
    command.add_argument(
        "--out", metavar="PLAN", default="-", help='where the plan goes as JSON; "-" is standard output'
    )
    command.add_argument("--pdf", metavar="FILE", help="the plan drawn, with the order of cuts")
    command.add_argument("--seconds", type=_seconds, metavar="S", help="stop after this time with the best plan so far")
    command.add_argument("--quiet", action="store_true", help="say nothing on the way")


def run(arguments: argparse.Namespace) -> int:
    """Read, plan, write; the exit status. Ctrl-C ends the search and the best plan so far is written, whole."""
    name = "standard input" if arguments.problem == "-" else arguments.problem
    try:
        problem = read_problem(_read(arguments.problem), name)
    except ParameterError as error:
        raise error.with_source(name) from None
    tell = (lambda words: None) if arguments.quiet else _tell
    interrupted = _Interrupted()
    with interrupted:
        result = plan(problem, seconds=arguments.seconds, progress=tell, cancelled=interrupted)
    drawn = None
    if arguments.pdf:
        title = Path(name).stem if arguments.problem != "-" else "cutting plan"
        drawn = pdf_bytes(bare_pages(result, title), title=title, date=UNDATED)
    _write(plan_json(result) + "\n", arguments.out)
    if drawn is not None:
        write_bytes(arguments.pdf, drawn)
    tell(result.sentence)
    return INTERRUPTED if interrupted() else FINE


class _Interrupted:
    """Answers whether Ctrl-C was pressed; the second time it interrupts as ever."""

    def __init__(self) -> None:
        self._pressed = False
        self._before: Callable | int | None = None

    def __call__(self) -> bool:
        return self._pressed

    def __enter__(self) -> _Interrupted:
        try:
            self._before = signal.signal(signal.SIGINT, self._press)
        except ValueError:  # not the main thread: nobody presses Ctrl-C here
            self._before = None
        return self

    def __exit__(self, *unused: object) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)

    def _press(self, number: int, frame: object) -> None:
        if self._pressed:
            raise KeyboardInterrupt
        self._pressed = True


def _seconds(word: str) -> float:
    try:
        value = float(word)
    except ValueError:
        raise argparse.ArgumentTypeError(f'"{word[:40]}" is not a number of seconds') from None
    if not 0 < value <= 86_400:
        raise argparse.ArgumentTypeError(f"{word} is out of range; it must be above 0 and at most 86400 seconds")
    return value


def _read(path: str) -> str:
    try:
        data = sys.stdin.buffer.read() if path == "-" else Path(path).read_bytes()
    except OSError as error:
        raise FileError(f"{path}: cannot be read: {error.strerror or error}") from None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(f"{path}: is not UTF-8 text (byte {error.start})") from None


def _write(text: str, path: str) -> None:
    if path == "-":
        sys.stdout.write(text)
    else:
        write_text(path, text)


def _tell(words: str) -> None:
    sys.stderr.write(words + "\n")
