"""A flush top is seen: no screw head shows in it."""

from __future__ import annotations

from core.build import build
from core.checks import findings
from core.piece.files import loads
from core.starters import starter_text


def test_every_screw_driven_from_above_into_a_flush_top_lies_under_a_plug():
    """6 mm of plug on the axis of each, flush with the top; under a loose moulding the heads are covered and there is none."""
    for starter, seen in (("bedside-cabinet", True), ("coat-cupboard", False)):
        piece = loads(starter_text(starter))
        model = build(piece)
        top = model.part("carcass/top")
        surface = max(top.place.point(corner)[2] for corner in ((0.0, 0.0, 0.0), top.size))
        screws = [each for each in model.fasteners if each.purpose == "anchor rail screw"]
        plugs = {each.at[:2]: each for each in model.fasteners if each.purpose == "anchor rail plug"}
        assert screws and len(plugs) == (len(screws) if seen else 0)
        for each in screws if seen else ():
            plug = plugs[each.at[:2]]
            assert (plug.at[2], plug.length, each.at[2]) == (surface, 6.0, surface - 6.0)
        assert not [each.text for each in findings(piece, model) if each.severity == "stop"]
