"""What a check finds: a plain sentence with value and limit, where it is, what would mend it and who says so."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from ..geometry import Vector

if TYPE_CHECKING:
    from ..model import Model
    from ..piece import Piece

Severity = Literal["stop", "warn", "note"]
SEVERITIES: tuple[Severity, ...] = ("stop", "warn", "note")

PRACTICE = "common practice, no source"
ARITHMETIC = "arithmetic on the model"
FROM_MEMORY = "from memory, unverified"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is wrong with a piece, or worth knowing about it.

    A stop cannot be built or is dangerous; a warn will disappoint; a note informs. `text` is a whole sentence that
    names value and limit; `keys` are the parts and fittings concerned, `at` a point of the piece (mm) that shows the
    place.
    """

    check: str
    severity: Severity
    text: str
    keys: tuple[str, ...] = ()
    at: Vector | None = None
    value: float | None = None
    limit: float | None = None
    unit: str = "mm"
    remedy: str = ""
    source: str = PRACTICE

    def plain(self) -> dict[str, object]:
        """Its fields by name, as written to files."""
        return dataclasses.asdict(self)


Check = Callable[["Piece", "Model"], Iterator[Finding]]


def figure(value: float, places: int = 1) -> str:
    """A number as it is printed in a sentence: rounded, without idle zeros.

    >>> figure(501.0), figure(2.2622, 2), figure(-0.04), figure(1000.0)
    ('501', '2.26', '0', '1000')
    """
    text = f"{value:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def sentence(text: str) -> str:
    """A text with a capital letter first, as a sentence begins."""
    return text[:1].upper() + text[1:]


def gathered(check: Check) -> Check:
    """The check, with equal findings about one thing gathered into the worst of them, and how many there are."""

    @functools.wraps(check)
    def gathering(piece: Piece, model: Model) -> Iterator[Finding]:
        groups: dict[tuple, list[Finding]] = {}
        for finding in check(piece, model):
            about = finding.keys[-1] if finding.keys else ""
            groups.setdefault((finding.check, finding.severity, about, finding.limit), []).append(finding)
        for alike in groups.values():
            worst = max(alike, key=lambda each: abs((each.value or 0.0) - (each.limit or 0.0)))
            keys = tuple(dict.fromkeys(key for each in alike for key in each.keys))
            more = f" So it is in {len(alike)} places." if len(alike) > 1 else ""
            yield dataclasses.replace(worst, text=worst.text + more, keys=keys)

    return gathering
