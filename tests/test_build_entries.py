"""Any support, top or content with any parameters, in a piece made for it, is refused in one clear line or keeps every rule."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pieces import COLUMNS, FRAMED, OF_THE_SIZE, data, found
from strategies import groups, mirrored
from test_build_properties import ALL_RULES, built_or_refused, mirror_image_is_built

from core.catalogue import entries

RULES = settings(
    deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck), print_blob=False
)
FEW, MANY = settings(RULES, max_examples=12), settings(RULES, max_examples=400)
ENTRIES = [(section, style) for section in ("supports", "tops", "insides") for style in entries(f"build.{section}")]
OTHERS = ("stile_legs", "glides", "flush", "shelves", "rail")  # the whole-piece tests try these often enough
MINE = [each for each in ENTRIES if each[1] not in OTHERS]
CHEST = {"back": {"board": "mdf-18", "rebate_depth": 18}}


@st.composite
def pieces(draw: st.DrawFn, section: str, style: str) -> dict[str, Any]:
    """A small piece with one entry whose parameters may be anything."""
    entry = draw(groups(entries(f"build.{section}")[style], change=4))
    if style == "mirror":
        entry["hand"] = draw(st.sampled_from(("left", "right")))
    sizes = {
        name: draw(st.sampled_from(range(*span)))
        for name, span in (("width", (450, 1700, 10)), ("height", (500, 2100, 10)), ("depth", (280, 640, 10)))
    }
    layout = draw(st.sampled_from(([{"id": "all"}], COLUMNS)))
    carcass = draw(st.sampled_from(({}, FRAMED)))
    if style == "stile_posts":  # they are the stiles of sides that are frames
        carcass = {"sides": "frame", "side_panel": {"style": "frame_and_panel", "stile_width": 90}}
    sections: dict[str, Any] = {"whole": sizes, "layout": layout, "carcass": carcass}
    if section == "insides":
        sections["layout"] = [
            {**each, "holds": [entry]} if each["id"] != "all" or len(layout) == 1 else each for each in layout
        ]
    else:
        sections[section.removesuffix("s")] = entry
    if style == "mirror":
        kind = draw(st.sampled_from(("door", "pair")))
        door = {
            "id": "doors",
            "kind": kind,
            "closes": ["all"],
            "hanging": {"hinge": "hinge-butt-50", "hand": draw(st.sampled_from(("left", "right")))},
        }
        sections |= {"layout": [{"id": "all", "holds": [entry]}], "fronts": [door]}
        sections["whole"]["height"] = 2300
    if style == "hinged_lid":
        sections |= {"layout": [{"id": "all"}], "carcass": {**carcass, **CHEST}}
    return data(**sections)


def keeps_the_rules_or_is_refused(piece: dict[str, Any]) -> None:
    """All rules, the findings that an entry is to blame for, and the mirror image."""
    built = built_or_refused(piece)
    if built is None:
        assert built_or_refused(mirrored(piece)) is None
        return
    for rule in ALL_RULES:
        rule(built)
    stops = [each for each in found(built) if each.severity == "stop" and each.check not in OF_THE_SIZE]
    assert not stops, stops[0].text
    mirror_image_is_built(piece)


@pytest.mark.parametrize(("section", "style"), MINE, ids=lambda word: word)
def test_any_parameters(section: str, style: str) -> None:
    """A few pieces for each entry."""
    FEW(given(pieces(section, style))(keeps_the_rules_or_is_refused))()


@pytest.mark.soak
@pytest.mark.parametrize(("section", "style"), MINE, ids=lambda word: word)
def test_any_parameters_at_length(section: str, style: str) -> None:
    """The same over many more pieces."""
    MANY(given(pieces(section, style))(keeps_the_rules_or_is_refused))()
