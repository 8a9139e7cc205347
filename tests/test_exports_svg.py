"""The SVG of a page, read back by an XML reader: millimetres, places, text."""

import base64
import io
import xml.etree.ElementTree as ElementTree

import pytest
from PIL import Image

from core.drawing import text
from core.drawing.page import Arc, Area, Circle, Lines, Link, Page, Picture, Stroke, Swatch, Text, dashes
from core.exports.svg import svg_text

SVG = "{http://www.w3.org/2000/svg}"


def drawn(*items):
    return ElementTree.fromstring(svg_text(Page(210, 297, items, "Side & <top>")).encode())


def only(kind, *items):
    (element,) = drawn(*items).iter(SVG + kind)
    return element


def test_one_unit_is_a_millimetre():
    """The drawing is as large as the sheet, in mm, and one unit is one mm."""
    root = drawn()
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("210mm", "297mm", "0 0 210 297")
    assert root.find(SVG + "title").text == "Side & <top>"


def test_places_count_from_the_top():
    """SVG counts down from the top: what is 100 mm up a sheet of 297 stands at 197."""
    assert only("polyline", Stroke(((10, 100), (20, 297)))).get("points") == "10,197 20,0"
    assert only("polygon", Area(((0, 0), (1, 0), (1, 1.5)), 1.0)).get("points") == "0,297 1,297 1,295.5"
    assert only("path", Lines(((1, 2, 3, 4), (5, 6, 7, 8)))).get("d") == "M1 295L3 293M5 291L7 289"
    circle = only("circle", Circle(10, 20, 4, 0.25))
    assert [circle.get(name) for name in ("cx", "cy", "r")] == ["10", "277", "4"]


def test_lines_keep_width_and_dashes():
    """Line widths are those of ISO 128 in mm, dashes too."""
    line = only("polyline", Stroke(((0, 0), (50, 0)), 0.25, dashes("hidden", 0.25)))
    assert (line.get("stroke-width"), line.get("stroke-dasharray")) == ("0.25", "3 0.75")


@pytest.mark.parametrize(("end", "large"), [(90, "0"), (270, "1")])
def test_arcs_turn_the_right_way(end, large):
    """An arc runs anticlockwise as seen, the long way where it is more than half the circle."""
    path = only("path", Arc(100, 197, 10, 0, end)).get("d")
    assert path.startswith("M110 100A10 10 0 " + large + " 0 ")


def test_text_is_text():
    """Lettering is searchable text of the same height and length as in the PDF, with its signs escaped."""
    item = Text(105, 100, 3.5, "a < b & ½ Ж", "middle", "bold", angle=90)
    element = only("text", item)
    assert element.text == item.string
    assert float(element.get("textLength")) == pytest.approx(item.length, abs=0.001)
    assert float(element.get("font-size")) == pytest.approx(3.5 * text.font("bold").em, abs=0.001)
    assert float(element.get("y")) == pytest.approx(197 + item.length / 2, abs=0.001)
    assert element.get("transform").startswith("rotate(-90 105 ")


def test_pictures_and_swatches():
    """A picture is carried in the file itself; a swatch keeps the finish's colour; links have no place in one page."""
    stream = io.BytesIO()
    Image.new("RGB", (2, 2), (1, 2, 3)).save(stream, "PNG")
    image = only("image", Picture(stream.getvalue(), 10, 20, 30, 40), Link(0, 0, 1, 1, "elsewhere"))
    kind, data = image.get("{http://www.w3.org/1999/xlink}href").split(",")
    assert kind == "data:image/png;base64" and base64.b64decode(data) == stream.getvalue()
    assert [image.get(name) for name in ("x", "y", "width", "height")] == ["10", "237", "30", "40"]
    assert only("rect", Swatch(0, 0, 10, 5, "#7A8C6E")).get("fill") == "#7a8c6e"


def test_colours_are_checked():
    """A swatch's colour that is not one is refused by its text."""
    with pytest.raises(ValueError, match="'sage'"):
        Swatch(0, 0, 10, 5, "sage")


def test_places_that_are_not_numbers_never_reach_paper():
    """A place that is not a number is our own mistake and stops the drawing."""
    with pytest.raises(AssertionError):
        svg_text(Page(210, 297, (Circle(float("nan"), 0, 1),)))
