"""Files written whole or not at all: beside their place first, then renamed into it."""

from __future__ import annotations

import errno
import os
import stat
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from ..errors import OutputError


def write_bytes(path: Path | str, data: bytes) -> None:
    """Put the data into the file, which keeps its old contents until all of the new are on disk.

    Raises OutputError, one line that names the path.
    """
    write_all({Path(path): data})


def write_text(path: Path | str, text: str) -> None:
    """Put the text into the file as UTF-8, line ends as they are; whole or not at all."""
    write_bytes(path, text.encode("utf-8"))


def write_all(files: Mapping[Path, bytes]) -> None:
    """Put every file in place; all are written beside their places before the first is renamed.

    So a full disk or a forbidden folder leaves everything as it was. Raises OutputError, one line that
    names the path.
    """
    waiting: list[tuple[Path, Path]] = []
    try:
        for path, data in files.items():
            with _named(path):
                waiting.extend(_written_aside(path, data))
        while waiting:
            aside, path = waiting[0]
            with _named(path):
                os.replace(aside, path)
            waiting.pop(0)
    finally:
        for aside, _ in waiting:
            with suppress(OSError):
                aside.unlink()


def make_folder(path: Path | str) -> Path:
    """The folder, made with those above it where they are missing; OutputError when that cannot be."""
    folder = Path(path)
    with _named(folder):
        folder.mkdir(parents=True, exist_ok=True)
    return folder


def put_in_folder(folder: Path, made: Mapping[str, bytes]) -> list[Path]:
    """Write files by name into a folder, which is made where there is none; all or, when one cannot be written, none.

    Raises OutputError.
    """
    files = {Path(folder) / name: data for name, data in made.items()}
    make_folder(folder)
    write_all(files)
    return list(files)


# --- helpers


@contextmanager
def _named(path: Path | str) -> Iterator[None]:
    """Turns an OSError inside the block into an OutputError that names the path."""
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error) or type(error).__name__
        raise OutputError(f"{_one_line(path)}: cannot be written: {reason[0].lower()}{reason[1:]}") from error


def _written_aside(path: Path, data: bytes) -> list[tuple[Path, Path]]:
    """Write the data beside its place; the pairs still to be renamed (none for a pipe or a terminal)."""
    place = Path(os.path.realpath(path))  # a link stays a link: what it points to is replaced
    mode = _mode_of(place)
    if mode is not None and stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, "it is a folder")
    if mode is not None and not stat.S_ISREG(mode):
        place.write_bytes(data)
        return []
    if mode is not None and not os.access(place, os.W_OK):
        raise PermissionError(errno.EACCES, "it may only be read")
    aside = _aside(place.parent)
    try:
        with open(aside, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(aside, stat.S_IMODE(mode) if mode is not None else _mode_of_new_files())
    except BaseException:
        aside.unlink()
        raise
    return [(aside, place)]


def _aside(folder: Path) -> Path:
    handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder)
    os.close(handle)
    return Path(name)


def _mode_of(place: Path) -> int | None:
    try:
        return place.stat().st_mode
    except FileNotFoundError:
        return None


def _mode_of_new_files() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _one_line(path: Path | str) -> str:
    return "".join(character if character.isprintable() else "?" for character in str(path))
