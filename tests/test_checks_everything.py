"""Rules that every finding keeps, on every piece of the zoo and on any piece a person could enter."""

from __future__ import annotations

import json
import re
from collections import Counter

import pytest
from examples import EXAMPLES, example_model, example_piece
from hypothesis import HealthCheck, given, settings
from strategies import mirrored, piece_data

from core import PieceError, build, dumps
from core.checks import SEVERITIES, Finding, checks, findings
from core.piece import loads


def is_sound(finding: Finding) -> bool:
    """A whole sentence, plain numbers, a known severity, a source."""
    assert finding.severity in SEVERITIES
    assert finding.check == finding.check.lower()
    assert finding.text.endswith(".") and finding.text[0] == finding.text[0].upper()
    assert not re.search(r"\bnan\b|\binf\b|None|  ", finding.text), finding.text
    assert finding.source
    assert finding.severity == "note" or finding.remedy
    numbers = (finding.value, finding.limit, *(finding.at or ()))
    assert all(number is None or type(number) is float for number in numbers), (
        finding,
        [type(each) for each in numbers],
    )
    assert json.loads(json.dumps(finding.plain(), allow_nan=False))["text"] == finding.text
    return True


@pytest.mark.parametrize("name", EXAMPLES)
def test_findings_of_the_zoo_are_sound(name):
    """Every finding on every piece handed out is a sentence with plain numbers, the same each time."""
    seen = findings(example_piece(name), example_model(name))
    assert seen and all(map(is_sound, seen))
    assert seen == findings(example_piece(name), build(example_piece(name)))


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(piece_data())
def test_any_piece_is_looked_at(data):
    """Whatever can be built can be checked: no check fails, every finding is sound."""
    try:
        piece = loads(json.dumps(data))
        model = build(piece)
    except PieceError:
        return
    assert all(map(is_sound, findings(piece, model)))


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_mirror_image_has_the_same_faults(name):
    """As many findings of each kind, with the same values, on the mirror image of a piece."""
    data = json.loads(dumps(example_piece(name)))
    other = loads(json.dumps(mirrored(data)))
    count = lambda seen: Counter((each.check, each.severity, each.value, each.limit) for each in seen)  # noqa: E731
    assert count(findings(example_piece(name), example_model(name))) == count(findings(other, build(other)))


def test_every_check_says_what_it_guards():
    """A check's first line is the rule it holds, a whole sentence."""
    for check in checks():
        assert check.__doc__ and check.__doc__.strip().split("\n")[0].endswith("."), check.__name__
    assert len(checks()) > 30


def test_unverified_figures_never_stop():
    """A stop never rests on a figure from memory."""
    for name in EXAMPLES:
        for finding in findings(example_piece(name), example_model(name)):
            assert finding.severity != "stop" or "from memory" not in finding.source
