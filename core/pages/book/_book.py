"""What the chapters of the client book are made with: the job, its pictures, and blocks that hold pictures and swatches."""

from __future__ import annotations

import re
import struct
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from ...built import BuiltJob, BuiltPiece
from ...coated import coatings_on
from ...drawing import text
from ...drawing.blocks import Block, Heading, Laid, Paragraph
from ...drawing.page import Picture, Swatch, Text
from ...errors import FileError
from ...locales import KG_PER_POUND, Locale
from ...piece.finish import Coat
from .._client_words import handle_words
from .._sheets import lists_of, locale_of, piece_name, sheet_size

LEFT, TOP, BOTTOM = 22.0, 22.0, 24.0  # mm of margin
COLUMN = 170.0  # mm of lines, on A4 as on letter paper
ENDLESS = 1e6  # mm; a page to measure blocks on
READING = 3.5  # mm; lettering of what is read at a table
SWATCH = (16.0, 10.0)  # mm
SHEENS = ((0, "dead matt"), (20, "eggshell"), (50, "satin"), (80, "gloss"))  # %; as the parameter's help says; ours
NO_BREAK = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Book:
    """A job as its client sees it. `pictures`: PNG or JPEG by name: "shut", "open", "scheme.<id>"; of a piece among several
    with its id and a slash before it. "logo" is the maker's.
    """

    job: BuiltJob
    pictures: Mapping[str, bytes]

    @property
    def paper(self) -> tuple[float, float]:
        """Width and height of a page, mm: ISO 216 A4, or what is sold in its place."""
        sheet = sheet_size("A4", locale_of(self.job))
        return sheet.width, sheet.height

    @property
    def room(self) -> float:
        """How much of a page's height is between the margins, mm."""
        return self.paper[1] - TOP - BOTTOM

    @property
    def locale(self) -> Locale:
        """How figures are written."""
        return lists_of(self.job)

    def picture(self, built: BuiltPiece, name: str) -> bytes | None:
        """A picture of a piece, where there is one."""
        own = self.pictures.get(f"{built.piece.id}/{name}")
        return own or (self.pictures.get(name) if len(self.job.pieces) == 1 else None)

    def each(self, told: Callable[[Book, BuiltPiece], Iterable[Block]]) -> list[Block]:
        """What is told of every piece, under its name where there are several; a piece of which nothing is told is left out."""
        found: list[Block] = []
        for built in self.job.pieces:
            blocks = list(told(self, built))
            if blocks and len(self.job.pieces) > 1:
                each_of = f", each of {built.quantity}" if built.quantity > 1 else ""
                blocks[0] = Together((Heading(f"{piece_name(built)}{each_of}", room=0.0), blocks[0]))
            found += blocks
        return found

    @property
    def _ids(self) -> str:
        """The maker's own names of compartments and fronts, as findings print them, for a pattern."""
        named = {each.id for built in self.job.pieces for each in (*built.piece.layout, *built.piece.fronts)}
        return "|".join(sorted(re.escape(id.replace("-", " ")) for id in named))

    def told(self, words: str) -> str:
        """A sentence of the findings as the client reads it: without keys and ids, in inches and pounds where the lists are.

        Decimals are written as the locale does.
        """
        words = re.sub(r" \([^() ]*/[^() ]*\)| “[^”]*”", "", words)
        words = re.sub(rf" \((?:[^()]* )?(?:{self._ids})(?:[ ,][^()]*)?\)", "", words)
        if not self.locale.denominator:
            return self.locale.text(words)

        def lengths(found: re.Match[str]) -> str:
            return " × ".join(self.locale.length(float(each)) for each in found[1].split(" × "))

        def masses(found: re.Match[str]) -> str:
            figures = [str(round(float(each) / KG_PER_POUND)) for each in found[1].split(" to ")]
            return f"{' to '.join(dict.fromkeys(figures))} {self.locale.mass_unit}"

        words = re.sub(r"(\d[\d.]*(?: × \d[\d.]*)*) mm\b", lengths, words)
        return re.sub(r"(\d[\d.]*(?: to \d[\d.]*)?) kg\b", masses, words)

    def called(self, built: BuiltPiece) -> str:
        """A piece within a sentence: "the coat cupboard"."""
        name = piece_name(built)
        return f"the {name[:1].lower()}{name[1:]}"

    def length(self, mm: float) -> str:
        """A length with its unit."""
        return self.locale.length(mm) + ("" if self.locale.denominator else " mm")

    def named(self, name: str) -> str:
        """A handle's name with its sizes as lengths: "turned knob, diameter 34 mm, oak"."""
        return handle_words(name, self.locale)

    def coatings(self) -> set[str]:
        """What goes on boards and handles in the schemes that are shown: words of `COATINGS`."""
        found: set[str] = set()
        for built in self.job.pieces:
            found |= coatings_on(built.piece.finish.scheme(), built.model)
        return found

    def sheen(self, coat: Coat) -> str:
        """The sheen of a paint or varnish in a word and as a figure: "eggshell, sheen 15 %"."""
        word = min(SHEENS, key=lambda each: abs(each[0] - coat.sheen))[1]
        return f"{word}, sheen {self.locale.number(coat.sheen)}{NO_BREAK}%"

    def size(self, built: BuiltPiece) -> str:
        """Width, height and depth in words: "1150 mm wide, 1900 mm high, 560 mm deep"."""
        width, depth, height = built.model.overall
        told = ((width, "wide"), (height, "high"), (depth, "deep"))
        return ", ".join(f"{self.length(value)} {word}" for value, word in told)


def height_of(blocks: Iterable[Block]) -> float:
    """How much of a page blocks take, mm."""
    laid = (block.laid(LEFT, ENDLESS, COLUMN, ENDLESS) for block in blocks)
    return sum(each.height for each in laid if each)


def unbroken(block: Block) -> Block:
    """A paragraph whose figures stay on one line with their units; any other block as it is, what is in it likewise."""
    if isinstance(block, Paragraph):
        return replace(block, string=re.sub(r"(?<=\d) (?=(?:mm|kg|lb|%)(?!\w))", NO_BREAK, block.string))
    return Together(tuple(map(unbroken, block.blocks))) if isinstance(block, Together) else block


@dataclass(frozen=True, slots=True)
class PictureBlock:
    """A picture as wide as the column, no higher than `most` mm, its proportions kept, in the middle."""

    source: bytes
    most: float
    after: float = 5.0

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """The picture whole, or nothing."""
        across, high = picture_size(self.source)
        scale = min(width / across, self.most / high)
        wide, tall = across * scale, high * scale
        if tall > height:
            return None
        return Laid((Picture(self.source, x + (width - wide) / 2, top - tall, wide, tall),), tall + self.after)


@dataclass(frozen=True, slots=True)
class SwatchLine:
    """A patch of colour and, beside it, what it is."""

    colour: str
    words: str
    height: float = READING

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """The line whole, or nothing."""
        wide, tall = SWATCH
        lines = text.wrap(self.words, width - wide - 3.0, self.height)
        pitch = text.line_pitch(self.height)
        needed = max(tall, len(lines) * pitch) + 2.0
        if needed > height:
            return None
        block = (len(lines) - 1) * pitch + self.height
        first = top - max(0.0, tall - block) / 2 - self.height
        words = [Text(x + wide + 3.0, first - n * pitch, self.height, line) for n, line in enumerate(lines)]
        return Laid((Swatch(x, top - tall, wide, tall, self.colour), *words), needed)


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that stay on one page."""

    blocks: tuple[Block, ...]

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """All of them, or nothing."""
        items, y = [], top
        for block in self.blocks:
            laid = block.laid(x, y, width, height - (top - y))
            if laid is None or laid.rest is not None:
                return None
            items.extend(laid.items)
            y -= laid.height
        return Laid(tuple(items), top - y)


@dataclass(frozen=True, slots=True)
class Columns:
    """Columns of blocks beside one another, `abreast` to the width of the page."""

    columns: tuple[tuple[Block, ...], ...]
    abreast: int
    gutter: float = 6.0

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """All columns whole, or nothing."""
        wide = (width - (self.abreast - 1) * self.gutter) / self.abreast
        items, deepest = [], 0.0
        for number, blocks in enumerate(self.columns):
            laid = Together(blocks).laid(x + number * (wide + self.gutter), top, wide, height)
            if laid is None:
                return None
            items.extend(laid.items)
            deepest = max(deepest, laid.height)
        return Laid(tuple(items), deepest + 4.0)


def picture_size(data: bytes) -> tuple[int, int]:
    """Width and height of a PNG or JPEG in pixels, from its head. Raises FileError for anything else.

    Source: PNG, ISO/IEC 15948, IHDR; JPEG, ITU-T T.81, frame headers SOF0 to SOF15.
    """
    if data[:8] == b"\x89PNG\r\n\x1a\n" and len(data) >= 24:
        return struct.unpack(">II", data[16:24])
    if data[:2] == b"\xff\xd8":
        place = 2
        while place + 9 < len(data) and data[place] == 0xFF:
            kind, long = data[place + 1], struct.unpack(">H", data[place + 2 : place + 4])[0]
            if 0xC0 <= kind <= 0xCF and kind not in (0xC4, 0xC8, 0xCC):
                high, wide = struct.unpack(">HH", data[place + 5 : place + 9])
                return wide, high
            place += 2 + long
    raise FileError("a picture of the book is neither PNG nor JPEG")
