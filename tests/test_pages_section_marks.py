"""Where the sections of the general arrangement are taken, read off the front view in the document."""

import io
import re

import numpy as np
import pdfplumber
import pytest
from examples import DEMO
from packs import MM, built

from core.drawing.cutting_planes import CuttingPlane
from core.drawing.page import Rect, Text
from core.exports.pdf import pdf_bytes
from core.pack import UNDATED
from core.pages.arrangement import ENTRY

PIECES = (DEMO, "starter sideboard", "starter bookcase", "starter blanket_chest")


def first_sheet(name: str):
    data = pdf_bytes([ENTRY.sheets(built(name))[0].page()], title="x", date=UNDATED)
    return pdfplumber.open(io.BytesIO(data)).pages[0]


@pytest.mark.parametrize("name", PIECES)
def test_marks_stand_where_the_sections_are_taken(name):
    """Laid against the outline of the front at the sheet's scale, each pair of wide ends is where the section's name says."""
    page, model = first_sheet(name), built(name).pieces[0].model
    scale = float(re.search(r"1:(\d+)", " ".join(page.extract_text().split()))[1])
    names = [item.string for sheet in ENTRY.sheets(built(name)) for item in sheet.items if isinstance(item, Text)]
    upright = next(
        found for each in names if (found := re.match(r"Section A–A, ([\d.]+) (left|right) of the middle", each))
    )
    level = next(found for each in names if (found := re.match(r"Plan section B–B, ([\d.]+) above the floor", each)))
    wide = np.array([[line[side] for side in ("x0", "y0", "x1", "y1")] for line in page.lines if ends(line)]) * MM
    assert len(wide) == 4
    up = wide[np.abs(wide[:, 0] - wide[:, 2]) < 0.01]
    across = wide[np.abs(wide[:, 1] - wide[:, 3]) < 0.01]
    assert len(up) == 2 and len(across) == 2 and np.ptp(up[:, 0]) < 0.01 and np.ptp(across[:, 1]) < 0.01
    chains = np.array([[line[side] for side in ("x0", "y0", "x1", "y1")] for line in page.lines if dashed(line)]) * MM
    level_chain = next(line for line in chains if abs(line[1] - line[3]) < 0.01 and abs(line[1] - across[0, 1]) < 0.01)
    upright_chain = next(line for line in chains if abs(line[0] - line[2]) < 0.01 and abs(line[0] - up[0, 0]) < 0.01)
    middle, floor = (level_chain[0] + level_chain[2]) / 2, upright_chain[1] + 2.0  # it runs 2 past the drawing
    signed = float(upright[1]) * (1 if upright[2] == "right" else -1)
    assert (up[0, 0] - middle) * scale == pytest.approx(signed, abs=0.1)
    assert (across[0, 1] - floor) * scale == pytest.approx(float(level[1]), abs=0.1)
    assert (upright_chain[3] - upright_chain[1] - 4.0) * scale == pytest.approx(model.overall[2], abs=0.1)


def ends(line) -> bool:
    """Whether a line is a wide end of a cutting plane: 0.5 wide, 4 long."""
    length = np.hypot(line["x1"] - line["x0"], line["y1"] - line["y0"]) * MM
    return abs(line["linewidth"] * MM - 0.5) < 0.01 and abs(length - 4.0) < 0.01


def dashed(line) -> bool:
    """Whether a line is broken."""
    return bool(line.get("dash") and line["dash"][0])


@pytest.mark.parametrize("plane", [CuttingPlane("A", "upright", 20.0), CuttingPlane("B", "level", 30.0)])
def test_marks_keep_clear_of_dimensions(plane):
    """Ends, arrows and letters lie outside the drawing and every dimension in their way, and arrows point at the ends."""
    drawing = Rect(0.0, 0.0, 100.0, 60.0)
    dimensions = [Rect(-20.0, 0.0, 20.0, 60.0), Rect(100.0, 0.0, 12.0, 60.0), Rect(0.0, -18.0, 100.0, 18.0)]
    chain, *marks = plane.items(drawing, dimensions, 1.0)
    assert len(marks) == 8
    for mark in marks:
        assert not any(mark.bounds().overlaps(each) for each in (drawing, *dimensions))
    assert [each.string for each in marks if isinstance(each, Text)] == [plane.letter] * 2
    assert chain.dash
