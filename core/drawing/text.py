"""Lettering: how wide a string of the bundled font is, read from the font's own tables.

Heights are those of ISO 3098: the height of a capital, in mm. The font is read with the standard
library alone, so that a sheet can be laid out without the library that writes the PDF.
"""

from __future__ import annotations

import re
import struct
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from ..errors import PieceError

Style = Literal["regular", "bold"]

FONT_FAMILY = "DejaVu Sans Condensed"
FONT_FILES = MappingProxyType(
    {
        "regular": Path(__file__).parent.parent / "library" / "fonts" / "DejaVuSansCondensed.ttf",
        "bold": Path(__file__).parent.parent / "library" / "fonts" / "DejaVuSansCondensed-Bold.ttf",
    }
)

HEIGHTS = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)  # mm; ISO 3098-1
LEAST_HEIGHT = 2.5  # mm; the smallest lettering these sheets use; common practice, no source
LINE_PITCH = 1.7  # of the height, base line to base line; ISO 3098 type B wants 1.4 without accents, from memory


class GlyphError(PieceError, ValueError):
    """A character that the bundled font cannot print; an empty box on paper would say nothing."""

    def __init__(self, character: str, string: str, reason: str = "is not in the bundled font") -> None:
        self.character = character
        self.string = string
        name = unicodedata.name(character, "no name")
        shown = string if len(string) <= 60 else string[:57] + "..."
        super().__init__(f"U+{ord(character):04X} ({name}) in {shown!r} {reason}; leave it out or write it another way")


@dataclass(frozen=True, slots=True)
class Font:
    """The figures of one font file, as shares of the capital height."""

    advances: MappingProxyType[int, float]  # by code point
    em: float  # size of the em square: what other programs call the font size
    descent: float  # how far g, p and y reach below the base line


@cache
def font(style: Style = "regular") -> Font:
    """The figures of the bundled font in this style; read once."""
    return _read_font(FONT_FILES[style].read_bytes())


def width(string: str, height: float, style: Style = "regular") -> float:
    """Length of a string on paper in mm, at this capital height.

    >>> width("", 3.5)
    0.0
    >>> width("1000", 5) == 2 * width("10", 5)   # figures all have one width
    True

    Raises GlyphError for a character the font lacks.
    """
    return height * _length(string, style)


@lru_cache(maxsize=1 << 16)
def require_glyphs(string: str, style: Style = "regular") -> None:
    """Raise GlyphError for the first character that cannot be printed as it is meant.

    That is one the font lacks, one that has no picture (line ends, tabs, invisible marks), or one of
    a script written from right to left, which these sheets would set in the wrong order.
    """
    advances = font(style).advances
    if string.isascii() and string.isprintable():
        return  # the font has all of these
    for character in string:
        if unicodedata.category(character) in ("Cc", "Cf"):
            raise GlyphError(character, string, "has no printed form")
        if unicodedata.bidirectional(character) in ("R", "AL"):
            raise GlyphError(character, string, "is written from right to left, which these sheets cannot set")
        if ord(character) not in advances:
            raise GlyphError(character, string)


def composed(string: str) -> str:
    """The string with letters and their accents joined into single characters where there are such (NFC)."""
    return string if string.isascii() else unicodedata.normalize("NFC", string)


@lru_cache(maxsize=1 << 14)
def wrap(string: str, room: float, height: float, style: Style = "regular") -> tuple[str, ...]:
    """The string broken into lines none of which is wider than the room, in mm.

    Breaks at spaces other than no-break ones and after hyphens and strokes, but never within a figure (67-25/32″, 2026-11-24); a word
    that alone is too wide is broken between characters. Line ends in the string are kept. A room narrower than a character gets one character a line.

    >>> wrap("planted stile", 12, 2.5)
    ('planted', 'stile')
    >>> wrap("to 67-25/32″", 16, 2.5)
    ('to', '67-25/32″')
    >>> wrap("", 12, 2.5)
    ('',)
    """
    lines: list[str] = []
    for paragraph in composed(string).split("\n"):
        lines.extend(_wrap_paragraph(paragraph, room, height, style))
    return tuple(lines)


def fitting_height(string: str, room: float, heights: tuple[float, ...], style: Style = "regular") -> float:
    """The first of these heights at which the string fits the room on one line; the last if none does."""
    return next((height for height in heights if width(string, height, style) <= room), heights[-1])


def line_pitch(height: float) -> float:
    """Distance between base lines in mm."""
    return LINE_PITCH * height


# --- helpers


@lru_cache(maxsize=1 << 16)
def _length(string: str, style: Style) -> float:
    """Length in capital heights; the same words come again and again on a job's sheets."""
    try:
        return sum(map(_advances(style).__getitem__, string))
    except KeyError:
        require_glyphs(string, style)
        raise


@cache
def _advances(style: Style) -> dict[str, float]:
    """The advances of the font by character."""
    return {chr(code): advance for code, advance in font(style).advances.items()}


def _wrap_paragraph(paragraph: str, room: float, height: float, style: Style) -> Iterator[str]:
    words = [each for each in re.split(r"[ \t\r\f\v]+", paragraph) if each]  # not at a no-break space
    whole = " ".join(words)
    if width(whole, height, style) <= room:  # as most do
        yield whole
        return
    line = ""
    for word, glue in _words(words):
        longer = line + glue + word if line else word
        if width(longer, height, style) <= room:
            line = longer
            continue
        if line:
            yield line
        *whole, line = _pieces(word, room, height, style)
        yield from whole
    yield line


def _words(words: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Unbreakable words, each with what stands before it on the same line (a space or nothing)."""
    for word in words:
        glue, start = " ", 0
        for position, character in enumerate(word[:-1], start=1):
            within_figure = word[position - 2 : position - 1].isdigit() and word[position].isdigit()
            if character in "-/–" and position - start > 1 and not within_figure:
                yield word[start:position], glue
                glue, start = "", position
        yield word[start:], glue


def _pieces(word: str, room: float, height: float, style: Style) -> list[str]:
    pieces, piece = [], ""
    for character in word:
        if piece and width(piece + character, height, style) > room:
            pieces.append(piece)
            piece = ""
        piece += character
    return [*pieces, piece]


def _read_font(data: bytes) -> Font:
    """Read the tables head, hhea, hmtx, cmap, loca and glyf. Source: the OpenType specification (ISO/IEC 14496-22)."""
    tables = _tables(data)
    head, hhea = tables["head"], tables["hhea"]
    (units,) = struct.unpack_from(">H", data, head + 18)
    (descender,) = struct.unpack_from(">h", data, hhea + 6)
    (metrics,) = struct.unpack_from(">H", data, hhea + 34)
    long_metrics = struct.unpack_from(f">{2 * metrics}H", data, tables["hmtx"])[::2]
    glyphs = _character_map(data, tables["cmap"])
    capital = _top_of_glyph(data, tables, glyphs[ord("H")])
    advances = {code: long_metrics[min(glyph, metrics - 1)] / capital for code, glyph in glyphs.items()}
    return Font(MappingProxyType(advances), units / capital, -descender / capital)


def _tables(data: bytes) -> dict[str, int]:
    (count,) = struct.unpack_from(">H", data, 4)
    records = (struct.unpack_from(">4s3I", data, 12 + 16 * n) for n in range(count))
    return {tag.decode("ascii"): offset for tag, _, offset, _ in records}


def _character_map(data: bytes, cmap: int) -> dict[int, int]:
    """Glyph numbers by code point, from the full-repertory subtable (platform 3, encoding 10, format 12)."""
    (count,) = struct.unpack_from(">H", data, cmap + 2)
    subtables = (struct.unpack_from(">HHI", data, cmap + 4 + 8 * n) for n in range(count))
    start = next(cmap + offset for platform, encoding, offset in subtables if (platform, encoding) == (3, 10))
    (groups,) = struct.unpack_from(">I", data, start + 12)
    glyphs: dict[int, int] = {}
    for first, last, glyph in struct.iter_unpack(">3I", data[start + 16 : start + 16 + 12 * groups]):
        glyphs.update(zip(range(first, last + 1), range(glyph, glyph + last - first + 1), strict=True))
    return glyphs


def _top_of_glyph(data: bytes, tables: dict[str, int], glyph: int) -> int:
    (long_offsets,) = struct.unpack_from(">h", data, tables["head"] + 50)
    offset = (
        struct.unpack_from(">I", data, tables["loca"] + 4 * glyph)[0]
        if long_offsets
        else 2 * struct.unpack_from(">H", data, tables["loca"] + 2 * glyph)[0]
    )
    (top,) = struct.unpack_from(">h", data, tables["glyf"] + offset + 8)
    return top
