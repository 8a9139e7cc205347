"""Pages as one PDF document: embedded fonts, bookmarks, metadata; the same pages always give the same bytes.

The bytes are the same on every machine whose zlib packs alike. The date is the caller's, never the clock's.
"""

from __future__ import annotations

import datetime
import hashlib
import io
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache, lru_cache
from importlib.util import module_from_spec, spec_from_file_location
from itertools import groupby
from operator import itemgetter
from pathlib import Path
from types import ModuleType

from reportlab import __path__ as library_path
from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from ..drawing import text
from ..drawing.page import Arc, Area, Blocks, Circle, Item, Lines, Link, Page, Picture, Point, Stroke, Swatch, Text

POINTS_PER_MM = 72 / 25.4
_BLACK = "0 g"
_SEGMENT = "%.3f %.3f m %.3f %.3f l\n"
DECIMALS = 3  # of a point: lines stand within 0.0002 mm of where they should
CREATOR = "Muntin"
QR_MASK = 2


def pdf_bytes(pages: Sequence[Page], *, title: str, date: datetime.date, subject: str = "", author: str = "") -> bytes:
    """The pages as a PDF document; there must be at least one page.

    The print dialogue is asked not to scale, so that full-size templates come out full size.
    """
    if not pages:
        raise ValueError(f"the document {title!r} has no pages")
    output = io.BytesIO()
    with _binary_streams():
        canvas = _canvas(output, title, date, subject, author)
        targets = _bookmark_names(pages)
        level = -1
        shown: dict[tuple[text.Style, float, str], str] = {}
        codes: dict[tuple[text.Style, str], tuple[int, int]] = {}
        for number, page in enumerate(pages):
            canvas.setPageSize((page.width * POINTS_PER_MM, page.height * POINTS_PER_MM))
            canvas.bookmarkPage(_page_name(number))
            if page.bookmark:
                level = min(page.level, level + 1)
                canvas.addOutlineEntry(page.bookmark, _page_name(number), level)
            _Pen(canvas, targets, shown, codes).draw(page.items)
            canvas.showPage()
        canvas.save()
    return output.getvalue()


@lru_cache(maxsize=4096)
def qr_rows(words: str) -> tuple[tuple[bool, ...], ...]:
    """The QR code of these words (ISO/IEC 18004, level M) from its top row down, True where it is dark; no quiet zone.

    Capitals, figures and - . / : make a smaller code than other letters. One mask is always used: any of the eight is
    read, and to look for the best would take eight times as long.
    """
    qrencoder = _qrencoder()
    code = qrencoder.QRCode(None, qrencoder.QRErrorCorrectLevel.M)
    code.addData(words)
    code.version = code.calculate_version()
    code.makeImpl(False, QR_MASK)
    return tuple(tuple(bool(dark) for dark in row) for row in code.modules)


# --- helpers


@cache
def _qrencoder() -> ModuleType:
    """The library's QR encoder by itself: what stands round it sets type and draws charts, and takes a tenth of a second to load."""
    path = Path(library_path[0]) / "graphics" / "barcode" / "qrencoder.py"
    found = spec_from_file_location("reportlab_qrencoder", path)
    assert found and found.loader
    module = module_from_spec(found)
    found.loader.exec_module(module)
    return module


def _canvas(output: io.BytesIO, title: str, date: datetime.date, subject: str, author: str) -> Canvas:
    # An initial font of our own keeps the library's unembedded default out of the document.
    canvas = Canvas(
        output,
        pageCompression=1,
        invariant=1,
        pdfVersion=(1, 7),
        lang="en-GB",
        initialFontName=_font("regular").fontName,
    )
    # The file's fingerprint would otherwise depend on an environment variable that the library reads.
    canvas._doc.signature = hashlib.md5(usedforsecurity=False)
    canvas.setTitle(title)
    canvas.setSubject(subject)
    canvas.setAuthor(author)
    canvas.setCreator(CREATOR)
    canvas.setDateFormatter(lambda *_: f"D:{date:%Y%m%d}000000+00'00'")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.showOutline()
    return canvas


@contextmanager
def _binary_streams() -> Iterator[None]:
    """Streams as bytes, not as letters, which the library makes slowly and a quarter larger."""
    before, rl_config.useA85 = rl_config.useA85, 0
    try:
        yield
    finally:
        rl_config.useA85 = before


@cache
def _font(style: text.Style) -> TTFont:
    font = TTFont(f"{text.FONT_FAMILY} {style}", str(text.FONT_FILES[style]), asciiReadable=0, shapable=False)
    pdfmetrics.registerFont(font)
    return font


def _page_name(number: int) -> str:
    return f"page{number + 1}"


def _bookmark_names(pages: Iterable[Page]) -> dict[str, str]:
    names: dict[str, str] = {}
    for number, page in enumerate(pages):
        if page.bookmark:
            names.setdefault(page.bookmark, _page_name(number))
    return names


class _Pen:
    """Writes items as PDF operators, saying only what changes in line width, dashes and grey."""

    def __init__(
        self,
        canvas: Canvas,
        targets: dict[str, str],
        shown: dict[tuple[text.Style, float, str], str],
        codes: dict[tuple[text.Style, str], tuple[int, int]],
    ) -> None:
        self.canvas = canvas
        self.targets = targets
        self.shown = shown  # operators of the lettering met so far in the document: the same words come again and again
        self.codes = codes  # and of the characters
        self.code: list[str] = []
        self.state: dict[str, str] = {}

    def draw(self, items: Iterable[Item]) -> None:
        self.code.append("1 j")
        for item in items:
            _DRAWN[type(item)](self, item)
        self.flush()

    def flush(self) -> None:
        if self.code:
            code = "\n".join(self.code)
            assert "nan" not in code and "inf" not in code, "a place on the page that is not a number"
            self.canvas._doc.updateSignature(code)
            self.canvas.addLiteral(code)
            self.code = []

    def set(self, name: str, operator: str) -> None:
        if self.state.get(name) != operator:
            self.state[name] = operator
            self.code.append(operator)

    def line(self, width: float, dash: tuple[float, ...], grey: float) -> None:
        self.set("width", f"{_points(width)} w")
        # Square ends where dashes are, so that dots and gaps keep their lengths; round ones where lines meet.
        self.set("dash", f"0 J [{' '.join(map(_points, dash))}] 0 d" if dash else "1 J [] 0 d")
        self.set("stroke", "0 G" if grey == 0 else f"{_plain(grey)} G")

    def fill(self, colour: str) -> None:
        self.set("fill", colour)

    def stroke(self, item: Stroke) -> None:
        self.line(item.width, item.dash, item.grey)
        self.code.append(f"{_polyline(item.points)} {'s' if item.closed else 'S'}")

    def lines(self, item: Lines) -> None:
        if item.segments:
            self.line(item.width, item.dash, item.grey)
            ends = tuple([value * POINTS_PER_MM for segment in item.segments for value in segment])
            self.code.append(_SEGMENT * len(item.segments) % ends + "S")

    def area(self, item: Area) -> None:
        self.fill(f"{_plain(item.grey)} g")
        self.code.append(f"{_polyline(item.points)} h f")

    def blocks(self, item: Blocks) -> None:
        if item.rects:
            self.fill(f"{_plain(item.grey)} g")
            unit = f"{item.unit * POINTS_PER_MM:.5f}"  # finer than places, because it is taken many times
            self.code.append(f"q {unit} 0 0 {unit} {_xy(item.x, item.y)} cm {_rects(item.rects)} f Q")

    def circle(self, item: Circle) -> None:
        if item.fill is not None:
            self.fill(f"{_plain(item.fill)} g")
        if item.width:
            self.line(item.width, item.dash, 0.0)
        paint = {(True, True): "b", (True, False): "s", (False, True): "f", (False, False): "n"}
        whole = Arc(item.x, item.y, item.radius, 0.0, 360.0)
        self.code.append(f"{_curves(whole)} h {paint[item.width > 0, item.fill is not None]}")

    def arc(self, item: Arc) -> None:
        self.line(item.width, item.dash, 0.0)
        self.code.append(f"{_curves(item)} S")

    def text(self, item: Text) -> None:
        if not item.string:
            return
        known = item.style, item.height, item.string
        if known not in self.shown:
            self.shown[known] = self.lettering(*known)
        x, y = item.start
        matrix = "1 0 0 1"
        if item.angle:
            turn = math.radians(item.angle)
            cos, sin, minus = _plain(math.cos(turn)), _plain(math.sin(turn)), _plain(-math.sin(turn))
            matrix = f"{cos} {sin} {minus} {cos}"
        self.fill(_BLACK if item.grey == 0 else f"{_plain(item.grey)} g")
        self.code.append(f"BT {matrix} {_xy(x, y)} Tm {self.shown[known]} ET")

    def lettering(self, style: text.Style, height: float, string: str) -> str:
        """The operators that set a string."""
        font, document = _font(style), self.canvas._doc
        size = _points(height * text.font(style).em)
        return " ".join(
            f"{font.getSubsetInternalName(subset, document)} {size} Tf <{bytes(code for _, code in run).hex()}> Tj"
            for subset, run in groupby([self.code_of(style, character) for character in string], itemgetter(0))
        )

    def code_of(self, style: text.Style, character: str) -> tuple[int, int]:
        """The subset of the font in which a character stands, and its code there."""
        known = style, character
        if known not in self.codes:
            ((subset, code),) = _font(style).splitString(character, self.canvas._doc)
            self.codes[known] = subset, code[0]
        return self.codes[known]

    def swatch(self, item: Swatch) -> None:
        self.fill(f"{' '.join(map(_plain, item.rgb))} rg")
        self.line(0.25, (), 0.0)
        self.code.append(f"{_polyline(item.bounds().corners)} b")

    def picture(self, item: Picture) -> None:
        self.flush()
        x, y, width, height = (value * POINTS_PER_MM for value in (item.x, item.y, item.width, item.height))
        self.canvas.drawImage(ImageReader(io.BytesIO(item.data())), x, y, width, height, mask="auto")

    def link(self, item: Link) -> None:
        if item.bookmark not in self.targets:
            raise ValueError(f"a link leads to {item.bookmark!r}, but no page has this bookmark")
        rect = item.bounds()
        self.canvas.linkAbsolute(
            item.bookmark,
            self.targets[item.bookmark],
            tuple(round(value * POINTS_PER_MM, DECIMALS) for value in (rect.x, rect.y, rect.right, rect.top)),
        )


_DRAWN: dict[type, Callable[..., None]] = {
    Stroke: _Pen.stroke,
    Lines: _Pen.lines,
    Area: _Pen.area,
    Blocks: _Pen.blocks,
    Circle: _Pen.circle,
    Arc: _Pen.arc,
    Text: _Pen.text,
    Swatch: _Pen.swatch,
    Picture: _Pen.picture,
    Link: _Pen.link,
}


@lru_cache(maxsize=1024)
def _points(mm: float) -> str:
    return _plain(mm * POINTS_PER_MM)


def _plain(value: float) -> str:
    """At most three decimals, no exponent, no negative nought."""
    figures = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if figures == "-0" else figures


def _xy(x: float, y: float) -> str:
    return f"{x * POINTS_PER_MM:.3f} {y * POINTS_PER_MM:.3f}"


@lru_cache(maxsize=1024)
def _rects(rects: tuple[tuple[int, int, int, int], ...]) -> str:
    return " ".join(f"{x} {y} {w} {h} re" for x, y, w, h in rects)


def _polyline(points: Sequence[Point]) -> str:
    first, *others = points
    return " ".join([f"{_xy(*first)} m", *(f"{_xy(*point)} l" for point in others)])


def _curves(arc: Arc) -> str:
    """The arc as Bézier curves of a quarter circle or less."""
    count = max(1, math.ceil((arc.end - arc.start) / 90 - 1e-9))
    step = (arc.end - arc.start) / count
    reach = arc.radius * 4 / 3 * math.tan(math.radians(step) / 4)  # within 0.03 % of the radius
    parts = [f"{_xy(*arc.point(arc.start))} m"]
    for n in range(count):
        a, b = arc.start + n * step, arc.start + (n + 1) * step
        parts.append(f"{_handle(arc, a, reach)} {_handle(arc, b, -reach)} {_xy(*arc.point(b))} c")
    return " ".join(parts)


def _handle(arc: Arc, angle: float, reach: float) -> str:
    """The Bézier handle that leaves the circle's point at this angle along its tangent."""
    x, y = arc.point(angle)
    turn = math.radians(angle)
    return _xy(x - reach * math.sin(turn), y + reach * math.cos(turn))
