"""Revisions: what changed, which marks last, and what of the parts already made is saved."""

from __future__ import annotations

import dataclasses
import json
import sys
from pathlib import Path

import pytest

from core.build import build
from core.built import build_job, revision_of
from core.changing import changed, saved_state
from core.errors import PieceError
from core.geometry import Placement
from core.materials import material
from core.model import Board, Cut, Hole, Part, Pocket, Shape
from core.piece.files import read_piece_file
from core.piece.job import Job, JobItem
from core.piece.whole import Measured
from core.revisions.compare import compare
from core.revisions.revision import Revision, revision_from_text, revision_text, ticked
from core.revisions.saving import Made, saving, trimming

HERE = Path(__file__).parent
DEMO = HERE.parent / "docs" / "examples" / "coat_cupboard.json"
TABLE = HERE / "references" / "changes.json"
MDF = Board(material("mdf"), 18.0)


def demo(**changes):
    """The demo piece with some values exchanged, by their paths with two underscores for a dot."""
    piece = read_piece_file(DEMO)
    for path, value in changes.items():
        piece = exchanged(piece, path.split("__"), value)
    return piece


def exchanged(group, path, value):
    name, *rest = path
    if isinstance(group, tuple):
        index = int(name) if name.isdigit() else next(i for i, each in enumerate(group) if each.id == name)
        new = exchanged(group[index], rest, value) if rest else value
        return (*group[:index], new, *group[index + 1 :])
    return dataclasses.replace(group, **{name: exchanged(getattr(group, name), rest, value) if rest else value})


def _measured(what, value):
    return Measured(what=what, value=value)


CHANGES = {
    "nothing": {},
    "another colour": {"finish__schemes__0__name": "another"},
    "60 higher": {"whole__height": 1960.0},
    "50 wider": {"whole__width": 1200.0},
    "20 deeper": {"whole__depth": 580.0},
    "the door opening 0.5 wider than designed": {"measured": (_measured("opening.doors.width", 1044.5),)},
    "the door opening 0.5 higher than designed": {"measured": (_measured("opening.doors.height", 1448.5),)},
    "the drawer opening 0.5 narrower than designed": {"measured": (_measured("opening.drawer.width", 1043.5),)},
    "gaps at the sides of the doors 3": {"fronts__doors__gaps__side": 3.0},
    "legs 20 higher, the whole as high": {"support__height": 170.0},
    "a thicker drawer box": {"fronts__drawer__drawer__groove_up": 14.0},
}


def table() -> dict[str, dict[str, list[str]]]:
    before = build(demo())
    found = {}
    for name, changes in CHANGES.items():
        comparison = compare(before, build(demo(**changes)))
        found[name] = {
            what: [each.key for each in comparison.of(what)]
            for what in ("added", "gone", "another size", "other work", "elsewhere")
        }
        found[name] = {what: keys for what, keys in found[name].items() if keys}
    return found


# ---------------------------------------------------------------------------------------------------------------- compare
def test_each_parameter_moves_only_what_depends_on_it():
    """The golden table: a change of one parameter touches these parts of the demo piece and no others.

    After a change that is meant, read the new table part by part, then: PYTHONPATH=. python tests/test_revisions.py
    """
    assert table() == json.loads(TABLE.read_text(encoding="utf-8"))


def test_an_opening_measured_wider_moves_its_fronts_and_nothing_else():
    """0.5 in a measured opening goes into the doors that close it."""
    comparison = compare(build(demo()), build(demo(measured=(_measured("opening.doors.width", 1044.5),))))
    others = [each for each in comparison.changes if not each.key.startswith("doors/")]
    assert len(others) < len(comparison.changes)
    for each in others:  # what holds the doors' catches: screwed on at fitting, where the doors are
        assert each.what == "other work"
        was, now = (
            [one for one in part.shape.features if one.when.stage == "in the part"]
            for part in (each.before, each.after)
        )
        assert was == now


def test_a_piece_beside_itself_has_not_changed():
    """Every part is untouched, and nothing is bought or saved."""
    model = build(demo())
    comparison = compare(model, model)
    assert not comparison.changes and not comparison.bought
    assert len(comparison.untouched) == len(model.parts)


# ------------------------------------------------------------------------------------------------------------------ marks
def test_marks_last_from_revision_to_revision():
    """A part that is there in both keeps its number though parts before it are gone or new."""
    first = built(demo())
    second = built(demo(layout__shelves__holds__0__quantity=4), revision_of(first))
    shared = set(first.marks) & set(second.marks)
    assert len(shared) > 40
    comparison = compare(first.pieces[0].model, second.pieces[0].model)
    unchanged = {(0, key) for key in (*comparison.untouched, *(each.key for each in comparison.of("elsewhere")))}
    assert len(unchanged) > 30
    assert all(first.marks[place] == second.marks[place] for place in unchanged)
    new = {second.marks[place] for place in second.marks} - {first.marks[place] for place in shared}
    assert not new & set(first.marks.values()), "a number that fell free is never given again"


def built(piece, since: Revision | None = None, quantity: int = 1):
    return build_job(Job("job", (JobItem(piece, quantity),)), since=since)


# ------------------------------------------------------------------------------------------------------------ what is made
def part(length, width, features=(), **more) -> Part:
    return Part(
        key="k",
        name="part",
        board=MDF,
        shape=Shape(size=(length, width, 18.0), features=features),
        place=Placement((0.0, 0.0, 0.0)),
        **more,
    )


def hole(x, y, purpose="pin") -> Hole:
    return Hole(at=(x, y, 18.0), into=(0.0, 0.0, -1.0), diameter=5.0, depth=10.0, purpose=purpose)


def test_a_blank_serves_for_a_smaller_one_and_turns_only_without_grain():
    """700 × 500 becomes 650 × 480; turned, 480 × 690; with grain along the length not; nothing becomes larger."""
    made = Made("k", part(700.0, 500.0), "cut")
    assert trimming(made, part(650.0, 480.0)) == "trim 50.0 off the length and 20.0 off the width"
    assert trimming(made, part(480.0, 690.0)) == "trim 20.0 off the length and 10.0 off the width"
    assert trimming(Made("k", part(700.0, 500.0, grain="length"), "cut"), part(480.0, 690.0, grain="length")) is None
    assert trimming(made, part(701.0, 500.0)) is None


def test_a_drilled_part_is_trimmed_at_the_end_that_leaves_its_holes_right():
    """Holes 100 from the foot end: the head end is trimmed; holes that keep their distance from the head end: the foot end."""
    made = Made("k", part(700.0, 500.0, (hole(100.0, 50.0),)), "machined")
    assert trimming(made, part(650.0, 500.0, (hole(100.0, 50.0),))) == "trim 50.0 off the length, at the head end"
    assert trimming(made, part(650.0, 500.0, (hole(50.0, 50.0),))) == "trim 50.0 off the length, at the foot end"
    assert trimming(made, part(650.0, 500.0, (hole(60.0, 50.0),))) is None, "the hole would be in the wrong place"
    assert trimming(made, part(650.0, 500.0)) is None, "a hole that must not be there"
    more = part(650.0, 500.0, (hole(100.0, 50.0), hole(132.0, 50.0)))
    assert trimming(made, more) == "trim 50.0 off the length, at the head end; then 1 more to machine"


def test_a_rebate_that_runs_through_does_not_hinder_trimming():
    """It is clipped with the part; where its own edge is trimmed off, it is machined anew; a bevel stays with its edge."""
    rebate = Pocket(kind="rebate", low=(0.0, 488.0, 8.0), high=(700.0, 500.0, 18.0), purpose="for the back")
    shorter = dataclasses.replace(rebate, high=(650.0, 500.0, 18.0))
    bevel = Cut(kind="bevel", point=(0.0, 0.0, 0.0), normal=(0.0, -0.8, 0.6), angle=30.0, where="face edge")
    made = Made("k", part(700.0, 500.0, (rebate, bevel)), "machined")
    assert trimming(made, part(650.0, 500.0, (shorter, bevel))) is not None
    narrower = part(
        700.0, 450.0, (dataclasses.replace(rebate, low=(0.0, 438.0, 8.0), high=(700.0, 450.0, 18.0)), bevel)
    )
    assert trimming(made, narrower) == "trim 50.0 off the width, at the back edge; then 1 more to machine"


def test_what_is_glued_serves_only_where_nothing_changed():
    """A glued part cannot be trimmed; another board is another part."""
    assert trimming(Made("k", part(700.0, 500.0), "glued"), part(650.0, 500.0)) is None
    whole = saving([Made("k", part(700.0, 500.0), "glued")], {"k": part(700.0, 500.0)})
    assert [use.key for use in whole.kept] == ["k"] and not whole.left_over
    thinner = dataclasses.replace(part(700.0, 500.0), board=Board(material("mdf"), 15.0))
    assert saving([Made("k", part(700.0, 500.0), "cut")], {"k": thinner}).left_over


def test_every_made_part_is_kept_trimmed_or_left_over_once():
    """And every new part is served by at most one, or has to be made."""
    first = built(demo(), quantity=2)
    everything = {mark: (2 * number,) * 2 + (0, 0) for mark, number in counts(first).items()}
    since = dataclasses.replace(revision_of(first), ticks=everything)
    found = changed(built(demo(whole__height=1960.0, record__revision="B"), since, quantity=2))
    saved = found.saving
    used = [use.made.key for use in (*saved.kept, *saved.trimmed)] + [each.key for each in saved.left_over]
    assert sorted(used) == sorted(set(used)) and len(used) == found.made == 2 * len(first.pieces[0].model.parts)
    served = [use.key for use in (*saved.kept, *saved.trimmed)]
    assert sorted([*served, *saved.to_make]) == sorted({*served, *saved.to_make})
    assert len(served) + len(saved.to_make) == 2 * len(first.pieces[0].model.parts)


def test_the_next_pack_keeps_the_ticks():
    """What was ticked and serves as it is stays ticked in the revision that is saved next; what has to be trimmed does not."""
    first = built(demo(), quantity=2)
    everything = {mark: (2 * number, number, 0, 0) for mark, number in counts(first).items()}
    since = dataclasses.replace(revision_of(first), ticks=everything)
    assert saved_state(built(demo(), since, quantity=2)).ticks == everything
    higher = built(demo(whole__height=1960.0, record__revision="B"), since, quantity=2)
    ticks, kept = saved_state(higher).ticks, changed(higher).saving.kept
    assert sum(line[0] for line in ticks.values()) == len(kept) < len(first.pieces[0].model.parts) * 2
    assert higher.marks[0, "carcass/side.left"] not in ticks  # it is longer now


def test_with_the_carcass_glued_higher_legs_are_offered():
    """Rule book, W29: asked for 60 more, a joiner with a glued carcass makes the legs longer, or lays a frieze under the moulding."""
    first = built(demo())
    since = dataclasses.replace(
        revision_of(first), ticks={mark: (number,) * 3 + (0,) for mark, number in counts(first).items()}
    )
    found = changed(built(demo(whole__height=1960.0), since))
    frieze, legs = found.pieces[0].other_ways
    assert "frieze 60 high" in frieze.words and "210 instead of 150" in legs.words
    for way in (frieze, legs):
        assert way.lost < found.saving.lost
        assert changed(built(way.piece, since)).saving.lost == way.lost


def counts(job) -> dict[int, int]:
    marks = list(job.marks.values())
    return {mark: marks.count(mark) for mark in marks}


# ------------------------------------------------------------------------------------------------------------------- file
def test_a_revision_is_read_as_it_was_written():
    """Pieces, quantities, marks and ticks."""
    first = built(demo(), quantity=3)
    revision = dataclasses.replace(revision_of(first), ticks={1: (3, 2, 1, 0)})
    again = revision_from_text(revision_text(revision))
    assert again == revision
    assert [tick for *_, tick in again.made()] == ["glued", "machined", "cut"]


@pytest.mark.parametrize(
    "change, said",
    [
        ({"format": "muntin piece"}, "format"),
        ({"ticks": [{"mark": 999, "cut": 1}]}, "no mark of this revision"),
        ({"ticks": [{"mark": 1, "cut": 9}]}, "from 0 to 1"),
        ({"ticks": [{"mark": 1, "cut": 0, "glued": 1}]}, "was cut"),
        ({"ticks": [{"mark": 1}, {"mark": 1}]}, "twice"),
        ({"ticks": [{"mark": [1]}]}, "no mark of this revision"),
        ({"ticks": 3}, "must be a list"),
        ({"pieces": []}, "1 to 200"),
        ({"extra": 1}, "not a key"),
    ],
)
def test_a_revision_that_cannot_be_is_refused_in_one_line(change, said):
    """What is painted was cut; a mark is of the revision; no more are ticked than there are."""
    data = json.loads(revision_text(revision_of(built(demo()))))
    with pytest.raises(PieceError) as refused:
        revision_from_text(json.dumps({**data, **change}))
    assert said in str(refused.value) and "\n" not in str(refused.value)


if __name__ == "__main__":
    TABLE.write_text(json.dumps(table(), indent=1) + "\n", encoding="utf-8")
    sys.stdout.write(f"{TABLE}\n")


def test_a_mark_is_ticked_with_all_that_went_before():
    """What is glued was cut and machined; what is no longer cut is nothing else either; other marks stay as they are."""
    first = revision_of(build_job(Job("x", (JobItem(demo(), 2),))))
    mark = first.pieces[0].marks["carcass/top"]
    there = 2 * sum(1 for own in first.pieces[0].marks.values() if own == mark)
    glued = ticked(first, mark, "glued", there)
    assert glued.ticks == {mark: (there, there, there, 0)} and first.ticks == {}
    one = ticked(glued, mark, "machined", 1)
    assert one.ticks == {mark: (there, 1, 1, 0)}
    assert revision_from_text(revision_text(one)) == one
    assert ticked(one, mark, "cut", 0).ticks == {}
    for wrong, count in ((mark, there + 1), (mark, -1), (99999, 1)):
        with pytest.raises(PieceError):
            ticked(first, wrong, "cut", count)
