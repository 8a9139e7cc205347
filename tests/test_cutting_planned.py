"""A job on the workshop's stock: every blank once, within the limits of the saws, from the rack first, at the least
cost."""

import dataclasses
import json
import re
from collections import Counter

import pytest
from cutting_faults import faults
from examples import DEMO, EXAMPLES, example_piece
from packs import built, pair
from pieces import data
from saw_replay import sawn_parts

from core.built import BuiltJob, build_job
from core.cutting.handling import CROSSCUT, FENCE, NONE, TRACK
from core.cutting.list import cutting_list
from core.cutting.plan import ACROSS
from core.cutting.planned import JobPlans, job_plans
from core.cutting.plans_json import lengths_data, surfaces_data
from core.piece import loads
from core.piece.job import Job, JobItem
from core.workshop.files import workshop_from_text
from core.workshop.workshop import Workshop

BOOKCASE = "starter bookcase"


def shop(**sections) -> Workshop:
    return workshop_from_text(json.dumps({"format": "muntin workshop", "schema": 1, **sections}))


def within(workshop: Workshop, name: str = BOOKCASE, quantity: int = 1) -> BuiltJob:
    piece = example_piece(name)
    return build_job(Job(piece.whole.name, (JobItem(piece, quantity),)), workshop=workshop)


def sheet(material: str, thickness: float, **more) -> dict:
    return {"material": material, "thickness": thickness, "price": 40} | more


BOARDS = [sheet("mdf", 18), sheet("mdf", 6, price=20), sheet("birch-ply", 18, price=90)]


def plan_of(plans: JobPlans, name: str):
    return next(each for each in plans.plans if each.name == name)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_blank_is_planned_once(name):
    """What the cutting list wants in sheets and solid wood is cut or named as not planned; no plan has a fault."""
    plans = job_plans(built(name))
    wanted = {
        str(e.mark): e.quantity for e in cutting_list(built(name)).entries if e.material_kind in ("sheet", "solid")
    }
    found = Counter()
    for made in plans.plans:
        assert faults(made.plan) == [], made.name
        for each in made.plan.sheets:
            for placed in each.placements:
                found[made.blanks[placed.part].mark] += 1
    glued = {b.mark: b.quantity for made in plans.plans for b in made.blanks if "glued up" in b.about}
    for each in plans.unplanned:
        found[each.blank.mark] += each.blank.quantity
    for mark, quantity in wanted.items():
        assert found[mark] == glued.get(mark, quantity), mark


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_plan_as_delivered_can_be_sawn(name):
    """Sawn cut by cut from the data alone, each sheet gives the parts it should, at the sizes of the cutting list."""
    job, plans = built(name), job_plans(built(name))
    sizes = {str(entry.mark): sorted((entry.cut[0], entry.cut[1]), reverse=True) for entry in cutting_list(job).entries}
    for made, material in zip(plans.sheets, json.loads(json.dumps(surfaces_data(plans)))["materials"], strict=True):
        found = sum((sawn_parts(material, each) for each in material["sheets"]), Counter())
        assert sum(found.values()) == sum(blank.quantity for blank in made.blanks)
        if made.kind == "sheets":
            for (mark, size), _ in found.items():
                assert size == pytest.approx(sizes[mark], abs=0.01)
    for material in json.loads(json.dumps(lengths_data(plans)))["materials"]:
        assert sum((sawn_parts(material, each) for each in material["sheets"]), Counter())


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_saw_is_asked_for_more_than_it_takes(name):
    """At the fence no wider than it opens, at the crosscut fence no wider than it takes; what is too heavy stays on the
    floor."""
    job = built(name)
    saws = job.workshop.saws
    for made in job_plans(job).sheets:
        for each in made.plan.sheets:
            pieces = {piece.number: piece for piece in each.pieces}
            for cut in each.cuts:
                piece = pieces[cut.of]
                along = piece.width if cut.direction == ACROSS else piece.length
                assert cut.tool in (TRACK, FENCE, CROSSCUT, NONE)
                if cut.tool == FENCE:
                    assert cut.setting <= saws.fence and cut.setting <= along
                if cut.tool == CROSSCUT:
                    assert along <= saws.crosscut
                if cut.tool == TRACK:
                    assert along <= saws.track
                else:
                    assert made.mass(piece.length, piece.width) <= saws.one_person + 1e-9


def test_the_demo_piece_on_the_fewest_sheets():
    """Three sheets of MDF 18, one each of 9 and 6, as worked out by hand; one oak length of 2400 for the cornice; all
    proven."""
    plans = job_plans(built(DEMO))
    for name, count in (("MDF 18", 3), ("MDF 9", 1), ("MDF 6", 1), ("birch plywood 15", 1), ("oak 70 × 40", 1)):
        made = plan_of(plans, name)
        assert (len(made.plan.sheets), made.plan.is_least) == (count, True), name
    oak = plan_of(plans, "oak 70 × 40")
    assert oak.plan.stock_of(oak.plan.sheets[0]).length == 2400
    assert sorted((blank.finished, blank.mitres, blank.length) for blank in oak.blanks) == [
        (560, 1, 570), (560, 1, 570), (1150, 2, 1170)]  # fmt: skip
    assert not plans.unplanned


def test_a_job_of_several_pieces_is_planned_together():
    """Two bedside cabinets and a bookcase share sheets: fewer than each piece would need alone."""
    together = sum(len(made.plan.sheets) for made in job_plans(pair()).sheets)
    bedside, bookcase = (sum(len(m.plan.sheets) for m in job_plans(built(name)).sheets)
                         for name in ("starter bedside_cabinet", BOOKCASE))  # fmt: skip
    assert together < 2 * bedside + bookcase


def test_grain_runs_the_way_the_part_wants_it():
    """On plywood no part is turned, whichever way the sheet's own grain runs; MDF parts may lie as they like."""
    for grain in ("length", "width"):
        boards = [*BOARDS[:2], sheet("birch-ply", 18, grain=grain)]
        plans = job_plans(within(shop(stock={"sheets": boards})))
        made = plan_of(plans, "birch plywood 18")
        assert not any(placed.rotated for each in made.plan.sheets for placed in each.placements)
        stock = made.plan.stock_of(made.plan.sheets[0])
        assert (stock.length > stock.width) == (grain == "length")


def test_the_rack_is_used_before_anything_is_bought():
    """An offcut of 18 MDF takes what fits it, at no cost; one of another thickness is left alone."""
    rack = [{"material": "mdf", "thickness": 18.2, "length": 1100, "width": 700, "name": "shelf 2"},
            {"material": "mdf", "thickness": 12, "length": 2000, "width": 1000}]  # fmt: skip
    made = plan_of(job_plans(within(shop(stock={"sheets": BOARDS, "offcuts": rack}))), "MDF 18")
    used = [made.plan.stock_of(each) for each in made.plan.sheets]
    assert "shelf 2" in [stock.name for stock in used if stock.offcut]
    assert sum(stock.price for stock in used if stock.offcut) == 0


def test_the_cheaper_size_is_bought():
    """A small sheet at half the price is taken where it holds the job."""
    boards = [sheet("mdf", 6, price=20), sheet("mdf", 6, length=2000, width=1100, price=9), BOARDS[0], BOARDS[2]]
    made = plan_of(job_plans(within(shop(stock={"sheets": boards}))), "MDF 6")
    assert (made.plan.cost, made.plan.is_least) == (9, True)


def test_without_a_price_the_least_area_is_bought():
    """Sizes without prices are compared by area, and the plan says that it has no prices."""
    boards = [sheet("mdf", 6, price=0), sheet("mdf", 6, length=2000, width=1100, price=9), BOARDS[0], BOARDS[2]]
    made = plan_of(job_plans(within(shop(stock={"sheets": boards}))), "MDF 6")
    assert not made.priced and made.plan.cost == pytest.approx(2.2)


def test_what_the_workshop_does_not_sell_is_said():
    """No plywood in the stock: a common size is assumed and marked; a side longer than any sheet is named as not
    planned."""
    plans = job_plans(within(shop(stock={"sheets": [sheet("mdf", 18, length=1800), BOARDS[1]]})))
    assert plan_of(plans, "birch plywood 18").assumed
    missing = {each.blank.name: each.why for each in plans.unplanned if each.material == "MDF 18"}
    assert any("side panel" in name for name in missing)
    assert all("fits none of the sheets" in why for why in missing.values())
    assert any(each.material.startswith("softwood") for each in plans.unplanned)


def test_a_short_track_cuts_across_first():
    """Where the track is shorter than the sheet the first cuts go across, and the edges are trimmed after them."""
    plans = job_plans(within(shop(stock={"sheets": BOARDS}, saws={"track": 2000, "fence": 400})))
    made = plan_of(plans, "MDF 6")
    assert sum(each.impossible for each in made.plan.sheets) == 0
    assert made.plan.sheets[0].cuts[0].direction == ACROSS


def test_stages_of_the_saw_are_kept():
    """A saw that rips and then crosscuts gets plans of two directions in turn, trimming apart."""
    made = plan_of(job_plans(within(shop(stock={"sheets": BOARDS}, saws={"stages": 2}))), "MDF 18")
    assert made.plan.problem.stages == 2 and faults(made.plan) == []


def test_defects_of_a_length_are_avoided():
    """No part of a length from the rack touches a stretch that is not to be used."""
    rack = [
        {"material": "softwood", "thickness": 28, "width": 45, "length": 2400, "avoid": [{"start": 700, "end": 760}]}
    ]
    made = plan_of(job_plans(within(shop(stock={"sheets": BOARDS, "offcuts": rack}))), "softwood 40 × 28")
    assert faults(made.plan) == []
    for each in made.plan.sheets:
        for placed in each.placements:
            end = placed.x + made.plan.problem.parts[placed.part].length
            assert end <= 700 or placed.x >= 760


def test_same_job_same_plans():
    """Nothing depends on the clock: planned twice, the plans are equal."""
    one, two = (dataclasses.replace(built(BOOKCASE)) for _ in range(2))
    assert one.kept is not two.kept
    assert surfaces_data(job_plans(one)) == surfaces_data(job_plans(two))


def test_sections_are_named_as_they_are_printed():
    """A section that follows from an angle, a sprung moulding's, is exact in the plan and has one decimal in its name."""
    piece = loads(json.dumps(data(top={"style": "sprung_cornice"})))
    plans = job_plans(build_job(Job("x", (JobItem(piece),)))).plans
    assert any(each.width and round(each.width, 1) != each.width for each in plans)
    assert not [each.name for each in plans if re.search(r"\.\d{2}", each.name)]
