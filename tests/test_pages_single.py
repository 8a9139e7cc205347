"""One drawing on one sheet: scale, paper, place, flow lines."""

import re
from xml.etree import ElementTree

import pytest
from examples import DEMO
from packs import built, stopped

from core.drawing.explode import taken_apart
from core.drawing.page import Lines, Text, bounds
from core.drawing.scales import SCALES
from core.drawing.views import View
from core.exports.svg import svg_text
from core.pages._views import INNER, OUTLINE
from core.pages.single import drawing_page, view_of

MODEL = built(DEMO).pieces[0].model


@pytest.mark.parametrize("view", ["front", "side", "top", "iso"])
@pytest.mark.parametrize("apart", [0.0, 0.4, 1.0])
def test_a_drawing_has_a_scale_and_fits(view, apart):
    """Whatever the view, the scale is one of ISO 5455, and the lines lie inside the frame above the title block."""
    page = drawing_page(built(DEMO), taken_apart(MODEL, apart), View.named(view), apart)
    words = [item.string for item in page.items if isinstance(item, Text)]
    assert any(str(scale) in words for scale in SCALES)
    ink = bounds([item for item in page.items if isinstance(item, Lines) and item.width in (OUTLINE, INNER)][-2:])
    assert ink.x >= 20 and ink.right <= page.width - 10 and ink.y >= 50 and ink.top <= page.height - 10
    assert (page.width, page.height) in ((210, 297), (297, 210), (420, 297))


def test_flow_lines_only_when_apart():
    """Together there are no chain lines; apart there are, and the title block says what they are."""
    together = drawing_page(built(DEMO), MODEL, View.named("iso"), 0.0)
    apart = drawing_page(built(DEMO), taken_apart(MODEL, 1.0), View.named("iso"), 1.0)
    assert not any(isinstance(item, Lines) and item.dash for item in together.items)
    assert any(isinstance(item, Lines) and item.dash and len(item.segments) > 20 for item in apart.items)
    assert any(isinstance(item, Text) and "Chain lines" in item.string for item in apart.items)


def test_the_svg_is_whole():
    """The page as SVG is well-formed, in millimetres, and says the scale."""
    root = ElementTree.fromstring(svg_text(drawing_page(built(DEMO), MODEL, View.named("front"), 0.0)))
    assert root.get("width") == "210mm"
    assert any(re.fullmatch(r"1:10", element.text or "") for element in root.iter("{http://www.w3.org/2000/svg}text"))


def test_a_stopped_drawing_is_stamped():
    """A drawing of a piece with stop findings says so."""
    page = drawing_page(stopped(built(DEMO), 1), MODEL, View.named("front"), 0.0)
    assert any(isinstance(item, Text) and item.string == "DO NOT CUT: 1 stop finding" for item in page.items)


def test_an_odd_view_is_named_by_its_direction():
    """A view that has no name is told by the direction toward the viewer."""
    page = drawing_page(built(DEMO), MODEL, View.toward((1, -2, 0.5)), 0.0)
    assert any(isinstance(item, Text) and "toward 0.44, -0.87, 0.22" in item.string for item in page.items)


@pytest.mark.parametrize("name", ["perspective", "dimetric"])
def test_perspective_and_dimetric_drawings(name):
    """Both are drawn and named; a perspective has no scale to measure by; apart it has flow lines."""
    page = drawing_page(built(DEMO), MODEL, view_of(name, MODEL), 0.0)
    words = [item.string for item in page.items if isinstance(item, Text)]
    assert any(name in line for line in words)
    assert any(str(scale) in words for scale in SCALES) == (name != "perspective")
    apart = drawing_page(built(DEMO), taken_apart(MODEL, 0.6), view_of(name, taken_apart(MODEL, 0.6)), 0.6)
    assert any(isinstance(item, Lines) and item.dash for item in apart.items)


def test_hidden_edges_are_dashed_on_request():
    """Edges out of sight are thin and dashed, and only there when asked for."""
    plain = drawing_page(built(DEMO), MODEL, View.named("front"), 0.0)
    both = drawing_page(built(DEMO), MODEL, View.named("front"), 0.0, hidden=True)
    assert not any(isinstance(item, Lines) and item.dash for item in plain.items)
    dashed = [item for item in both.items if isinstance(item, Lines) and item.dash]
    assert dashed and all(item.width == INNER for item in dashed) and len(dashed[0].segments) > 20
