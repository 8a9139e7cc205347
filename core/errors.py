"""The errors Muntin raises on purpose: one root, each child also the built-in it resembles."""

from __future__ import annotations

from types import TracebackType


class PieceError(Exception):
    """Root of every error that is the input's or the machine's fault, never ours; its text is one clear line."""


class ParameterError(PieceError, ValueError):
    """A parameter whose value cannot work.

    `field` is the parameter's path (`fronts[2].gap`), so that an interface can show the error beside it.
    """

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        self.message = message
        super().__init__(f"{field}: {message}" if field else message)

    def with_source(self, source: str) -> ParameterError:
        """The same error with the file's name in front of its line."""
        self.args = (f"{source}: {self.args[0]}",)
        return self


class within:
    """Put the path of a group in front of the field of a ParameterError raised inside.

    So an entry of an open folder says "stile_width", and whoever holds it says where that is. A field that is a whole path
    already (it begins with the same group of the piece) stays as it is. A class and no generator, for every build goes through it some
    two hundred times.
    """

    __slots__ = ("path",)

    def __init__(self, path: str) -> None:
        self.path = path

    def __enter__(self) -> None:
        pass

    def __exit__(self, kind: type | None, error: BaseException | None, traceback: TracebackType | None) -> None:
        if isinstance(error, ParameterError) and _head(error.field) != _head(self.path):
            raise ParameterError(f"{self.path}.{error.field}" if error.field else self.path, error.message) from None


def _head(path: str) -> str:
    return path.split(".")[0].split("[")[0]


class blaming:
    """Name the parameter that is to blame for a ParameterError raised inside, where a library was asked that cannot know it."""

    __slots__ = ("field",)

    def __init__(self, field: str) -> None:
        self.field = field

    def __enter__(self) -> None:
        pass

    def __exit__(self, kind: type | None, error: BaseException | None, traceback: TracebackType | None) -> None:
        if isinstance(error, ParameterError):
            raise ParameterError(self.field, error.message) from None


class FileError(PieceError, ValueError):
    """A file that cannot be read as what it claims to be; names the file first."""


class OutputError(PieceError, OSError):
    """A file that cannot be written; names the path and what the system said."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else ""
