"""The cutting plan in its panel, list and plan written by themselves, and what is made ticked off mark by mark."""

import json

import bpy
import pytest
from conftest import addon
from test_addon_editor import draw_all

pytestmark = pytest.mark.usefixtures("no_traceback")


@pytest.fixture
def root(empty_scene):
    """The root of a bedside cabinet, just added."""
    bpy.ops.muntin.add_piece(kind="bedside_cabinet")
    return bpy.context.object


def said(context):
    return " ".join(draw_all(context).said)


def test_the_plan_is_told_in_its_panel_until_the_piece_changes(root):
    """Sheets with the least possible, cost and largest offcut are core's own; a change says that it has to be planned again."""
    planned, plans = addon("core.cutting.planned"), addon("plans")
    bpy.ops.muntin.plan_cuts()
    last = plans.last(root)
    first = planned.job_plans(last.job).sheets[0]
    words = said(bpy.context)
    count = len(first.plan.sheets)
    assert f"{count} sheet" in words and "least possible" in words and "In all" in words and "largest offcut" in words
    assert len(last.lines) == len(planned.job_plans(last.job).plans) and "since it was planned" not in words
    bpy.ops.muntin.save_state()
    bpy.ops.muntin.tick_off(mark=1, tick="cut")
    assert plans.is_current(root), "what is ticked off changes no plan"
    root.muntin.piece.whole.width = 0.5
    assert "since it was planned" in said(bpy.context) and not plans.is_current(root)


def test_list_and_plan_are_written_by_themselves(root, tmp_path):
    """Cutting list as PDF and CSV and the plans as PDF, byte for byte those of the pack; refused while not current."""
    pack = addon("core.pack")
    bpy.ops.muntin.export_cutting_plan(directory=str(tmp_path))
    written = {each.name: each.read_bytes() for each in tmp_path.iterdir()}
    assert {"cutting_list.csv", "cutting_list.pdf", "cutting_plan.pdf"} <= set(written)
    job = addon("plans").last(root).job
    files = pack.pack_files(job)
    assert {name: files[name] for name in written} == written
    assert sorted(addon("outcome").last().names) == sorted(written)
    root.muntin.piece.whole.width = 9.0
    with pytest.raises(RuntimeError, match="not current"):
        bpy.ops.muntin.export_cutting_plan(directory=str(tmp_path))


def test_work_between_events_is_told_and_stopped(root):
    """Stage by stage, with its words in the panel; stopped it leaves nothing, an error is said, a second one has to wait."""
    stages = addon("stages")
    taken = []

    def work(steps):
        return stages.Work("Plan Cuts", steps, taken.append)

    def two():
        yield "first"
        yield "second"
        return "done"

    def broken():
        yield "first"
        raise addon("core").PieceError("no such sheet")

    stages.begin(work(two()))
    assert stages.step() and "Plan Cuts: first" in said(bpy.context)
    with pytest.raises(OSError, match="still going on"):
        stages.begin(work(two()))
    stages.stop()
    assert stages.going() is None and taken == [] and "nothing was written" in said(bpy.context)
    stages.begin(work(two()))
    assert [stages.step() for _ in range(3)] == [True, True, False] and taken == ["done"] and not stages.trouble()
    stages.begin(work(broken()))
    assert [stages.step() for _ in range(2)] == [True, False] and "no such sheet" in said(bpy.context)
    stages.unregister()


def test_esc_within_a_material_takes_the_best_plan_so_far(empty_scene):
    """The first Esc ends the search, not the command: a whole plan, which says in panel and report that it was stopped; a second one leaves it."""
    stages, cutting, turns = addon("stages"), addon("operators.cutting"), addon("core.cutting.turns")
    bpy.ops.muntin.add_piece(kind="linen_press")
    root = bpy.context.object
    plans, taken, enough = addon("plans"), [], turns.Enough()

    def begin():
        stages.begin(
            stages.Work("Plan Cuts", cutting._planning(root, bpy.context, enough), taken.append, enough=enough)
        )

    begin()
    while "planning the cuts in MDF 18: 3 sheets, cost" not in stages.going().words:
        assert stages.step()
    assert "at least" in stages.going().words and "Esc takes the best so far" in said(bpy.context)
    assert stages.esc() and "Esc stops it" in said(bpy.context)
    while stages.step():
        pass
    plans.keep(root, taken[0])
    line = next(each for each in plans.last(root).lines if each.name == "MDF 18")
    assert " sheets " in line.result and "stopped early" in line.result and "stopped early" in said(bpy.context)
    taken.clear()
    enough = turns.Enough()
    begin()
    while "planning the cuts in MDF 18:" not in stages.going().words:
        assert stages.step()
    assert stages.esc() and not stages.esc()
    assert stages.going() is None and taken == [] and "nothing was written" in said(bpy.context)
    stages.unregister()


def ticks(root):
    return {each.mark: each.ticks for each in addon("made").marked(root) if any(each.ticks)}


@pytest.mark.ends
def test_what_is_made_is_ticked_off_and_stays(root, tmp_path):
    """All of a mark, some, none; what is glued was cut. Ticks survive undo, saving and opening, and core's command reads them."""
    with pytest.raises(RuntimeError, match="Save the state first"):
        bpy.ops.muntin.tick_off(mark=1, tick="cut")
    bpy.ops.muntin.save_state()
    bpy.ops.ed.undo_push(message="Saved")
    name = root.name
    two = next(each for each in addon("made").marked(root) if each.quantity > 1)
    bpy.ops.muntin.tick_off(mark=two.mark, tick="glued")
    assert ticks(root) == {two.mark: (two.quantity,) * 3 + (0,)}
    bpy.ops.muntin.tick_off(mark=two.mark, tick="machined", count=1)
    bpy.context.scene.muntin.tick = "machined"
    assert ticks(root) == {two.mark: (two.quantity, 1, 1, 0)} and f"1 of {two.quantity}" in operators(bpy.context)
    bpy.ops.ed.undo_push(message="Ticked")
    bpy.ops.ed.undo()
    assert ticks(bpy.data.objects[name]) == {}
    bpy.ops.ed.redo()
    with pytest.raises(RuntimeError, match="not on 99"):
        bpy.ops.muntin.tick_off(mark=two.mark, tick="cut", count=99)
    with pytest.raises(RuntimeError, match="no mark"):
        bpy.ops.muntin.tick_off(mark=999, tick="cut")
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "piece.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "piece.blend"))
    root = bpy.data.objects[name]
    assert ticks(root) == {two.mark: (two.quantity, 1, 1, 0)}
    bpy.context.view_layer.objects.active = root
    bpy.ops.muntin.export_revision(filepath=str(tmp_path / "revision.json"))
    core = addon("core.revisions.revision").read_revision(tmp_path / "revision.json")
    assert dict(core.ticks) == {two.mark: (two.quantity, 1, 1, 0)} and len(list(core.made())) == two.quantity


def test_marks_are_called_as_in_the_cutting_list(empty_scene):
    """Rule: a mark that parts of both sides carry is not called after one of them, and marks of one name are told apart."""
    bpy.ops.muntin.add_piece(kind="wardrobe")
    bpy.ops.muntin.save_state()
    marked = addon("made").marked(bpy.context.object)
    names = [each.name for each in marked]
    assert "door panel" in names and "left door panel" not in names
    assert len(set(names)) == len(names)
    assert sum(each.quantity for each in marked) == len(addon("document").model(bpy.context.object).parts)


def operators(context):
    """What the buttons of all panels say."""
    recorder = draw_all(context)
    return " ".join(recorder.buttons)


def test_marks_last_and_what_serves_stays_ticked(root, tmp_path):
    """After a change the cutting list keeps the marks of the saved state, the plan says what serves, a new state keeps its ticks."""
    bpy.ops.muntin.save_state()
    before = addon("made").marked(root)
    for each in before:
        bpy.ops.muntin.tick_off(mark=each.mark, tick="cut")
    root.muntin.piece.whole.height = root.muntin.piece.whole.height + 0.02
    assert "Changed since revision" in said(bpy.context)
    bpy.ops.muntin.plan_cuts()
    job, notes = addon("plans").last(root).job, " ".join(addon("plans").last(root).notes)
    saved = addon("core.changing").changed(job).saving
    assert f"{len(saved.kept)} kept" in notes and saved.kept and len(saved.kept) < sum(each.quantity for each in before)
    bpy.ops.muntin.save_state()
    assert sum(each[0] for each in ticks(root).values()) == len(saved.kept)
    assert addon("made").is_as_saved(root)


def test_a_copy_of_a_piece_has_nothing_made(root):
    """What stands in the workshop was made for the original: a duplicate begins without ticks."""
    bpy.ops.muntin.save_state()
    bpy.ops.object.select_all(action="DESELECT")
    for each in (root, *root.children_recursive):
        each.select_set(True)
    bpy.ops.object.duplicate()
    copy = next(each for each in addon("document").roots() if each != root)
    bpy.context.view_layer.objects.active = copy
    copy.muntin.piece.whole.width = 0.5
    assert "muntin_made" not in copy and "muntin_made" in root and json.loads(root["muntin_made"])["pieces"]
