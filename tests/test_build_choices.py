"""Starter pieces with other choices: what a client asks for next, one at a time and in pairs.

Nothing here may crash or give a fault that the program made itself; where a choice cannot be, the refusal says what can.
"""

from __future__ import annotations

import copy
import json
import random
import re
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

from core import build
from core.catalogue import entries
from core.checks import findings
from core.errors import ParameterError
from core.fittings import fitting_entries
from core.piece import loads
from core.starters import starter_kinds, starter_text

Plain = dict[str, Any]
Choice = tuple[str, Callable[[Plain], None]]

# what a choice may bring that the maker has to decide: a drawer too wide for its runners
THE_MAKERS = {"drawer width"}
WAY_OUT = re.compile(
    r"\b(take|takes|choose|use|put|make|makes|leave|add|let|stand|at least|at most|is for|move|turn|give|cannot|needs|wants|clears)\b"
)
KINDS_OF_HINGE = ("butt hinge", "concealed hinge", "piano hinge", "lift-off hinge")


# ---------------------------------------------------------------------------------------------------------- the choices
def _carcass(**given: Any) -> Callable[[Plain], None]:
    return lambda piece: piece["carcass"].update(copy.deepcopy(given))


def _back(kind: str) -> Callable[[Plain], None]:
    return lambda piece: piece["carcass"]["back"].update(kind=kind)


def _whole(field: str, style: str) -> Callable[[Plain], None]:
    return lambda piece: piece.update({field: {"style": style}})


def _fronts(group: str, field: str, value: Any, kinds: str = "door pair drawer fixed") -> Callable[[Plain], None]:
    def change(piece: Plain) -> None:
        for front in piece["fronts"]:
            if front["kind"] in kinds.split():
                (front[group] if group else front).update({field: copy.deepcopy(value)})

    return change


def _measured(board: str, thickness: float) -> Callable[[Plain], None]:
    def change(piece: Plain) -> None:
        for each in piece["boards"]:
            if each["id"] == board:
                each["thickness"] = thickness

    return change


def _size(field: str, share: float) -> Callable[[Plain], None]:
    return lambda piece: piece["whole"].update({field: round(piece["whole"][field] * share)})


def _shelves(more: int) -> Callable[[Plain], None]:
    def change(piece: Plain) -> None:
        for node in piece["layout"]:
            for each in node["holds"]:
                if each["style"] == "shelves":
                    each["quantity"] = max(1, each["quantity"] + more)

    return change


def _alcove(piece: Plain) -> None:
    wide = piece["whole"]["width"] + 60
    piece["site"]["alcove"].update(fitted=True, width_low=wide, width_middle=wide + 3, width_high=wide)


def _lipped(piece: Plain) -> None:
    wood = next(each["material"] for each in piece["boards"] if each["id"] == "hardwood-20")
    piece["boards"].append({"id": "lipping-8", "material": wood, "thickness": 8})
    piece["carcass"]["lipping"] = {"board": "lipping-8"}


JOINTS: tuple[Choice, ...] = tuple(
    (f"joint {style}", _carcass(joint={"style": style})) for style in sorted(entries("build.joints"))
)
BACKS: tuple[Choice, ...] = tuple((f"back {kind}", _back(kind)) for kind in ("rebate", "groove", "planted_on"))
OTHERS: tuple[Choice, ...] = (
    ("top through", _carcass(runs_through="top")),
    *((f"side panel {s}", _carcass(side_panel={"style": s})) for s in sorted(entries("build.panels"))),
    *((f"sides {s}", _carcass(sides="frame", side_panel={"style": s})) for s in ("frame_and_panel", "glazed")),
    *((f"support {s}", _whole("support", s)) for s in sorted(entries("build.supports"))),
    *((f"top {s}", _whole("top", s)) for s in sorted(entries("build.tops"))),
    *((f"lay {lay}", _fronts("", "lay", lay)) for lay in ("inset", "half", "full")),
    *((f"panel {s}", _fronts("", "panel", {"style": s})) for s in sorted(entries("build.panels"))),
    *((f"hinge {e.id}", _fronts("hanging", "hinge", e.id)) for kind in KINDS_OF_HINGE for e in fitting_entries(kind)),
    *((f"meeting {j}", _fronts("meeting_stiles", "joint", j, "pair")) for j in ("square", "rebated", "bead")),
    *((f"runs on {s}", _fronts("drawer", "runs_on", {"style": s})) for s in sorted(entries("build.runners"))),
    *((f"corners {s}", _fronts("drawer", "corners", {"style": s})) for s in sorted(entries("build.box_joints"))),
    *((f"board {t:g}", _measured("mdf-18", t)) for t in (15.0, 16.0, 17.6, 18.4, 19.0, 22.0)),
    *((f"thin board {t:g}", _measured("mdf-6", t)) for t in (5.5, 6.3, 8.0)),
    *((f"{f} × {s:g}", _size(f, s)) for f, s in (("width", 0.8), ("width", 1.2), ("height", 0.9), ("height", 1.1))),
    *((f"depth × {s:g}", _size("depth", s)) for s in (0.85, 1.15)),
    ("a shelf more", _shelves(1)),
    ("a shelf fewer", _shelves(-1)),
    ("between walls", _alcove),
    ("lipped", _lipped),
)
CHOICES = (*JOINTS, *BACKS, *OTHERS)


def outcome(kind: str, choices: tuple[Choice, ...]) -> tuple[str, list[str]]:
    """What comes of a starter piece with some choices: "refused" and why, "stop" and the findings, or "built"."""
    piece = json.loads(starter_text(kind))
    for _, change in choices:
        change(piece)
    try:
        read = loads(json.dumps(piece))
        model = build(read)
    except ParameterError as refusal:
        return "refused", [str(refusal)]
    stops = [each for each in findings(read, model) if each.severity == "stop"]
    return ("stop", [f"{each.check}: {each.text}" for each in stops]) if stops else ("built", [])


def _hold(kind: str, choices: tuple[Choice, ...]) -> str:
    came, why = outcome(kind, choices)
    named = " and ".join(name for name, _ in choices)
    if came == "refused":
        assert WAY_OUT.search(why[0].partition(": ")[2]), f"{kind} with {named} is refused without a way out: {why[0]}"
    for each in why if came == "stop" else []:
        assert each.partition(":")[0] in THE_MAKERS, f"{kind} with {named}: {each}"
    return came


# --------------------------------------------------------------------------------------------------------------- rules
@pytest.mark.parametrize("kind", starter_kinds())
def test_every_joint(kind: str) -> None:
    """Each kind of piece can be had with each joint, in a rebated back and in one of the other two, free of faults of the program's own making."""
    number = starter_kinds().index(kind)
    others = [BACKS[1 + (number + turn) % 2] for turn in range(len(JOINTS))]
    came = [_hold(kind, pair) for back in (BACKS[:1] * len(JOINTS), others) for pair in zip(JOINTS, back, strict=True)]
    assert came.count("built") >= 3, came


@pytest.mark.parametrize("number", range(len(OTHERS)), ids=[name for name, _ in OTHERS])
def test_one_choice_changed(number: int) -> None:
    """Each other choice by itself, on one kind of piece (on all of them in `tests/test_build_choices.py` as a program)."""
    kinds = starter_kinds()
    _hold(kinds[number % len(kinds)], (OTHERS[number],))


@pytest.mark.parametrize("kind", starter_kinds())
def test_two_choices_changed(kind: str) -> None:
    """Pairs of choices drawn by lot, the same ones each time."""
    lot = random.Random(kind)
    for _ in range(3):
        _hold(kind, tuple(lot.sample(CHOICES, 2)))


@pytest.mark.parametrize("kind", starter_kinds())
def test_starters_have_the_boards_that_defaults_name(kind: str) -> None:
    """Another support, top or panel style finds its usual board there; only a mirror's glass is added when it is wanted."""
    piece = json.loads(starter_text(kind))
    have = {each["id"] for each in piece["boards"]}
    assert {"mdf-18", "mdf-9", "mdf-6", "birch-ply-15", "hardwood-20", "softwood-28", "oak-25", "oak-40"} <= have


@pytest.mark.parametrize("thin", [5.7, 6.0, 6.3, 8.0])
def test_the_rebate_follows_the_measured_back(thin: float) -> None:
    """With a rebate depth of 0 the back lies flush in its rebate whatever the calliper reads, and never proud of the sides."""
    piece = json.loads(starter_text("bookcase"))
    _measured("mdf-6", thin)(piece)
    model = build(loads(json.dumps(piece)))
    side = model.part("carcass/side.left")
    rebate = next(each for each in side.shape.features if getattr(each, "kind", "") == "rebate")
    assert rebate.high[1] - max(rebate.low[1], 0.0) >= thin or max(rebate.high[1] - rebate.low[1], 0) >= thin
    back = model.part("carcass/back")
    assert back.size[2] == thin
    reach = max(point[1] for point in back.place.points([(0.0, 0.0, 0.0), back.size]))
    assert -0.1 - 1e-6 < reach <= 1e-6, reach


def test_rows_of_pins_are_raised_clear_of_a_frames_joints() -> None:
    """In the bookcase with framed sides the usual rows fall on mortises; no pin hole meets anything."""
    piece = json.loads(starter_text("bookcase"))
    _carcass(sides="frame", side_panel={"style": "frame_and_panel"})(piece)
    read = loads(json.dumps(piece))
    assert not [each for each in findings(read, build(read)) if each.check == "holes that meet"]


def test_single_pin_holes_are_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where something is in the wall at one height whatever column is tried, that hole is left out at all four, and the shelf says so."""
    shelves = entries("build.insides")["shelves"]
    clear = shelves._is_clear
    taken = lambda *given: not 495 < given[5] < 525 and clear(*given)  # noqa: E731
    monkeypatch.setattr(shelves, "_is_clear", taken)
    model = build(loads(starter_text("bookcase")))
    told = {note for part in model.parts if part.role == "loose shelf" for note in part.notes if "pin holes" in note}
    assert told == {"no pin holes 512 above the floor of its bay, where a wall holds something else"}
    bay = next(each for each in model.bays if each.key == "high-left")
    upright = model.part("carcass/side.left")
    heights = Counter(
        round(upright.place.point(each.at)[2] - bay.low[2], 3)
        for each in upright.shape.features
        if getattr(each, "purpose", "") == "shelf pin" and upright.place.point(each.at)[2] > bay.low[2]
    )
    assert 512.0 not in heights and {480.0, 544.0} <= set(heights) and set(heights.values()) == {2}, heights


if __name__ == "__main__":  # the whole sweep, as a table
    import sys

    pairs = int(sys.argv[1]) if len(sys.argv) > 1 else 0
    for kind in starter_kinds():
        lot = random.Random(f"{kind} {pairs}")
        for choices in [tuple(lot.sample(CHOICES, 2)) for _ in range(pairs)] or [(each,) for each in CHOICES]:
            came, why = outcome(kind, choices)
            if came != "built":
                print(came, "|", kind, "|", " and ".join(name for name, _ in choices), "|", " ".join(why)[:400])
