"""A kick against the foot of a laminated leg."""

from __future__ import annotations

import json

import pytest

from core.build import build
from core.checks.kicking import kicked_leg
from core.piece.files import loads
from core.starters import starter_text


def kicked(height: float, **support):
    data = json.loads(starter_text("coat-cupboard"))
    data["support"] |= {"height": height, **support}
    piece = loads(json.dumps(data))
    return list(kicked_leg(piece, build(piece)))


def test_the_leg_of_the_coat_cupboard_bears_a_kick():
    """Worked by hand: 200 N × 150 = 30 000 N·mm; the stile 9 × 80 takes 20 × 80 × 81 / 6 = 21 600; 8 400 / 27 = 311 N on one screw,
    over 10 847 mm² of glue 0.03 N/mm²."""
    (told,) = kicked(150.0)
    assert told.severity == "note" and told.value == pytest.approx(311.1, abs=0.1)
    assert "0.03 N/mm²" in told.text


def test_a_long_leg_is_told():
    """A known bad one: 250 mm up, (200 × 250 − 21 600) / 27 = 1052 N is more than the 750 N of a screw in an edge."""
    (told,) = kicked(250.0)
    assert told.severity == "warn" and told.value == pytest.approx(1051.9, abs=0.1)


def test_a_piece_without_such_legs_is_not_told():
    """A plinth has no leg to kick."""
    piece = loads(starter_text("bookcase"))
    assert not list(kicked_leg(piece, build(piece)))
