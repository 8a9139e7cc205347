"""One page as SVG 1.1 in millimetres, its lettering as text that can be searched and copied."""

from __future__ import annotations

import base64
import math
from collections.abc import Callable, Iterable
from xml.sax.saxutils import escape, quoteattr

from ..drawing import text
from ..drawing.page import Arc, Area, Blocks, Circle, Lines, Link, Page, Picture, Point, Stroke, Swatch, Text

DECIMALS = 4  # of a millimetre


def svg_text(page: Page) -> str:
    """The page as an SVG document: one user unit is one millimetre, y downward as SVG has it.

    Each line of lettering is told its length, so that it keeps its place where the bundled font is missing.
    """
    width, height = _plain(page.width), _plain(page.height)
    body = "\n".join(line for item in page.items for line in _DRAWN[type(item)](item, page.height))
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" version="1.1" '
        f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}" '
        f'font-family="{text.FONT_FAMILY}, DejaVu Sans, sans-serif" '
        f'fill="none" stroke-linecap="round" stroke-linejoin="round">\n'
        f"<title>{escape(page.title)}</title>\n{body}\n</svg>\n"
    )


# --- helpers: each answers the elements of one kind of item on a page of this height


def _stroke(item: Stroke, top: float) -> Iterable[str]:
    kind = "polygon" if item.closed else "polyline"
    yield f'<{kind} points="{_points(item.points, top)}" {_line(item.width, item.dash, item.grey)}/>'


def _lines(item: Lines, top: float) -> Iterable[str]:
    path = "".join(f"M{_xy(a, b, top)}L{_xy(c, d, top)}" for a, b, c, d in item.segments)
    if path:
        yield f'<path d="{path}" {_line(item.width, item.dash, item.grey)}/>'


def _area(item: Area, top: float) -> Iterable[str]:
    yield f'<polygon points="{_points(item.points, top)}" fill="{_grey(item.grey)}"/>'


def _blocks(item: Blocks, top: float) -> Iterable[str]:
    path = "".join(f"M{_xy(x, y, top)}h{_plain(w)}v{_plain(-h)}h{_plain(-w)}z" for x, y, w, h in item.placed_rects())
    if path:
        yield f'<path d="{path}" fill="{_grey(item.grey)}"/>'


def _circle(item: Circle, top: float) -> Iterable[str]:
    fill = "" if item.fill is None else f' fill="{_grey(item.fill)}"'
    line = f" {_line(item.width, item.dash, 0.0)}" if item.width else ""
    yield f'<circle {_place("cx", "cy", item.x, item.y, top)} r="{_plain(item.radius)}"{fill}{line}/>'


def _arc(item: Arc, top: float) -> Iterable[str]:
    radius, large = _plain(item.radius), int(item.end - item.start > 180)
    first, last = _xy(*item.point(item.start), top), _xy(*item.point(item.end), top)
    yield f'<path d="M{first}A{radius} {radius} 0 {large} 0 {last}" {_line(item.width, item.dash, 0.0)}/>'


def _text(item: Text, top: float) -> Iterable[str]:
    if not item.string:
        return
    x, y = item.start
    size = _plain(item.height * text.font(item.style).em)
    turned = f' transform="rotate({_plain(-item.angle)} {_xy(x, y, top)})"' if item.angle else ""
    weight = ' font-weight="bold"' if item.style == "bold" else ""
    yield (
        f'<text {_place("x", "y", x, y, top)} font-size="{size}"{weight} fill="{_grey(item.grey)}" '
        f'textLength="{_plain(item.length)}" lengthAdjust="spacingAndGlyphs" xml:space="preserve"{turned}>'
        f"{escape(item.string)}</text>"
    )


def _swatch(item: Swatch, top: float) -> Iterable[str]:
    yield f'<rect {_frame(item, top)} fill="{item.colour.lower()}" {_line(0.25, (), 0.0)}/>'


def _picture(item: Picture, top: float) -> Iterable[str]:
    data = item.data()
    kind = "png" if data.startswith(b"\x89PNG") else "jpeg"
    yield (
        f'<image {_frame(item, top)} preserveAspectRatio="none" '
        f'xlink:href="data:image/{kind};base64,{base64.b64encode(data).decode("ascii")}"/>'
    )


def _link(item: Link, top: float) -> Iterable[str]:
    """Nothing: a single page has no other to lead to."""
    return ()


_DRAWN: dict[type, Callable[..., Iterable[str]]] = {
    Stroke: _stroke,
    Lines: _lines,
    Area: _area,
    Blocks: _blocks,
    Circle: _circle,
    Arc: _arc,
    Text: _text,
    Swatch: _swatch,
    Picture: _picture,
    Link: _link,
}


def _line(width: float, dash: tuple[float, ...], grey: float) -> str:
    dashed = f' stroke-linecap="butt" stroke-dasharray={quoteattr(" ".join(map(_plain, dash)))}' if dash else ""
    return f'stroke="{_grey(grey)}" stroke-width="{_plain(width)}"{dashed}'


def _grey(grey: float) -> str:
    level = round(255 * grey)
    return f"#{level:02x}{level:02x}{level:02x}"


def _plain(value: float) -> str:
    """At most four decimals, no exponent, no negative nought."""
    assert math.isfinite(value), "a place on the page that is not a number"
    figures = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if figures == "-0" else figures


def _xy(x: float, y: float, top: float) -> str:
    return f"{_plain(x)} {_plain(top - y)}"


def _points(points: Iterable[Point], top: float) -> str:
    return " ".join(f"{_plain(x)},{_plain(top - y)}" for x, y in points)


def _place(name_x: str, name_y: str, x: float, y: float, top: float) -> str:
    return f'{name_x}="{_plain(x)}" {name_y}="{_plain(top - y)}"'


def _frame(item: Swatch | Picture, top: float) -> str:
    rect = item.bounds()
    return f'{_place("x", "y", rect.x, rect.top, top)} width="{_plain(rect.width)}" height="{_plain(rect.height)}"'
