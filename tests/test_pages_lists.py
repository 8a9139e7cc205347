"""Parts list, cutting list, fittings, rods and front page, read back: nothing lost, nothing invented."""

import csv
import dataclasses
import io
import math
import re
from collections import Counter
from itertools import pairwise

import pytest
from examples import DEMO, EXAMPLES, example_piece
from packs import built, files, pages, texts
from pypdf import PdfReader
from test_step_sentences import piece

from core.built import build_job
from core.cutting.list import cutting_list, lengths_written, parts_list
from core.drawing.sheet import number_sheets
from core.exports.pdf import pdf_bytes
from core.locales import locale_for
from core.model import Hole
from core.pack import list_csv, pack_files, record_date
from core.pages._making import making_words, parts_by_mark, saw_words
from core.pages.cutting_list import ENTRY as CUTTING_LIST
from core.pages.cutting_list import in_setting_order
from core.pages.fittings import with_spare
from core.pages.front import with_fittings
from core.piece.job import Job, JobItem
from core.wording import handless


def rows_of(title: str) -> list[list[str]]:
    """The cells of every table row on the pages of that title, read from the ruled lines of the document."""
    found = []
    for page, words in zip(pages(), texts(), strict=True):
        if f"Sheet {title}" in words:
            for table in page.extract_tables():
                found += [[" ".join((cell or "").split()) for cell in row] for row in table]
    return found


@pytest.mark.parametrize("title", ["Parts list", "Cutting list"])
def test_every_mark_is_listed_once(title):
    """Each mark of the job has one row, with the quantity that the model has of it."""
    place = 0 if title == "Parts list" else 1
    wanted = Counter(mark for mark, _, _ in built(DEMO).parts())
    found = {int(row[place]): row for row in rows_of(title) if len(row) > 6 and row[place].isdigit()}
    assert set(found) == set(wanted)
    assert {mark: int(row[place + 2 if title == "Cutting list" else 2]) for mark, row in found.items()} == dict(wanted)


def test_sizes_in_the_parts_list():
    """Sizes are those of the hand calculation: side panel, stile, door rail, drawer bottom, cornice."""
    sizes = {row[1]: row[3] for row in rows_of("Parts list") if len(row) > 6}
    assert sizes["Side panel, left"] == "1722 × 534 × 18"
    assert sizes["Door top rail"] == "368.4 × 80 × 9"
    assert sizes["Drawer bottom"] == "999 × 440 × 9"
    assert sizes["Cornice front"] == "1150 × 70 × 40"


def test_totals_of_the_cutting_list():
    """MDF 18 comes to 6.85 m² (worked out by hand), and the totals are the sums of their lines."""
    whole = cutting_list(built(DEMO))
    assert next(each for each in whole.totals if each.material == "MDF 18").area == pytest.approx(6.85, abs=0.005)
    words = " ".join(texts())
    assert "MDF 18: 22 pieces, 6.85 m²" in words
    assert (
        f"All materials {sum(each.quantity for each in whole.totals)} {sum(each.area for each in whole.totals):.2f}"
        in words
    )


def test_the_cutting_list_says_what_shows_and_what_is_sealed():
    """By eye on the demo piece: a fixed shelf shows its front only; a door panel all round; the back's edges lie in rebates; birch is not sealed."""
    said = {row[2]: row[-1] for row in rows_of("Cutting list") if len(row) > 6}
    assert said["Fixed shelf"] == "Seal face edge"
    assert said["Door panel"] == "Seal all round"
    assert said["Loose shelf"] == "front arris rounded 1.5. Seal face edge; unseen back edge, both ends"
    assert said["Back"] == "Seal foot end; unseen both edges, head end"
    assert said["Drawer box back"] == "Shows: back edge"
    assert said["Drawer bottom"] == ""


def test_what_is_cut_at_one_setting_stands_together():
    """Parts of one setting follow one another, none is lost, and a bracket says so."""
    entries = cutting_list(built(DEMO)).of_material("MDF 18")
    ordered = list(in_setting_order(entries))
    assert Counter(ordered) == Counter(entries)
    settings = [entry.setting for entry in ordered]
    for setting in filter(None, set(settings)):
        first = settings.index(setting)
        assert settings[first : first + settings.count(setting)] == [setting] * settings.count(setting)
    assert "one setting: between the sides" in " ".join(" ".join(texts()).split())


@pytest.mark.parametrize("name", ["parts_list.csv", "cutting_list.csv"])
def test_the_csv_holds_every_part(name):
    """Quantities add up to the number of parts; the marks are those of the job."""
    rows = list(csv.DictReader(io.StringIO(files()[name].decode())))
    assert sum(int(row["quantity"]) for row in rows) == len(list(built(DEMO).parts()))
    assert {int(row["mark"]) for row in rows} == set(built(DEMO).marks.values())


def test_all_that_is_done_to_a_part_is_said():
    """Every hole of every part is counted in the words of its mark, stage by stage."""
    for name in EXAMPLES:
        for parts in parts_by_mark(built(name)).values():
            words = making_words(parts, {})
            holes = [feature for feature in parts[0].shape.features if isinstance(feature, Hole)]
            assert sum(int(n) for n in re.findall(r"(\d+) holes? ⌀", words)) >= len(holes)
            for stage in {feature.when.stage for feature in parts[0].shape.features} - {"in the part"}:
                assert f"{stage[:1].upper()}{stage[1:]}" in words


def test_words_of_the_saw():
    """A mid rail is bevelled on both edges and undercut at both ends; a mirror pair of stiles says on how many."""
    parts = {part.key: part for part in built(DEMO).pieces[0].model.parts}
    assert saw_words(parts["doors/leaf.left/rail.mid"]) == "bevel 30° on both edges; undercut 30° at both ends"
    stiles = [parts[f"doors/leaf.{side}/stile.{place}"] for side in ("left", "right") for place in ("hinge", "meeting")]
    assert "knob" in making_words(stiles, {}) and "(on 2 of 4)" in making_words(stiles, {})


def test_fastenings_are_those_of_the_model():
    """Needed numbers are the model's, and what to buy is a tenth more, rounded up; bits and drivers are named."""
    wanted = Counter(each.name for each in built(DEMO).pieces[0].model.fasteners)
    rows = {row[0].lower(): row for row in rows_of("Fittings and fastenings") if len(row) == 6}
    for name, count in wanted.items():
        row = rows[name.lower()]
        assert (int(row[4]), int(row[5])) == (count, count + math.ceil(count / 10))
    assert (with_spare(1), with_spare(10), with_spare(11)) == (2, 11, 13)
    assert rows["dowel 8 × 40"][4] == "44"
    assert rows["screw 3.5 × 16"][2] == "pilot ⌀2.5; clearance ⌀3.7; countersink to ⌀6.5"
    assert rows["screw 3.5 × 16"][3] == "cross no. 2, straight"
    assert rows["screw 4 × 50"][3] == "cross no. 2; 4 of 4 not straight"


def test_fittings_are_bought_once():
    """A hinge is one fitting though its leaves move apart; runners are a pair; cautions of the library are printed."""
    rows = {row[1]: row for row in rows_of("Fittings and fastenings") if len(row) == 3}
    assert next(row[0] for name, row in rows.items() if name.startswith("Butt hinge")) == "6"
    assert next(row[0] for name, row in rows.items() if "runner" in name) == "1 pair"
    assert not any("leaf" in name or "member" in name for name in rows)
    anchor = next(row for name, row in rows.items() if "anchor" in name)
    assert "tip over and kill" in anchor[2]


def test_rods_carry_every_station():
    """Each height, width and depth of the model's rods is in the tables, with what lies there."""
    model = built(DEMO).pieces[0].model
    found = Counter(row[0] for row in rows_of("Rods") if len(row) == 3)
    for stations in model.rods.values():
        for station in stations:
            assert found[f"{station:.1f}".removesuffix(".0")] > 0, station
    rows = {row[0]: row[2] for row in rows_of("Rods") if len(row) == 3}
    assert "Underside: upright" in rows["406"] and "Top: cornice front" in rows["1900"]


def test_the_front_page_says_what_to_know_first():
    """Sizes in all three ways, thicknesses, datums, cautions and findings in words with their sources."""
    words = " ".join(texts()[:3])
    for wanted in ("1150 × 1900 × 560", "1098 × 1872 × 534", "With fittings", "Thicknesses as measured"):
        assert wanted in words
    for wanted in (
        "Left and right are those of a person who faces the front",
        "tip over and kill",
        "MDF",
        "riving knife",
        "Two people",
        "oil",
        "child",
    ):
        assert wanted in words
    width, height, depth = with_fittings(built(DEMO).pieces[0].model)
    assert (width, height) == (1150, 1900) and 560 < depth < 620


def test_the_first_page_says_which_pages_go_where():
    """To the saw, the bench, the spray place and the site: each with its first and last page, one after the other, none left out."""
    words = texts()[0]
    found = re.findall(r"(To [a-z, ]+): pages (\d+) to (\d+)", words)
    assert [place for place, _, _ in found] == [
        "To read first, and to buy by",
        "To the saw",
        "To the bench",
        "To the spray place",
        "To the site",
    ]
    ends = [(int(first), int(last)) for _, first, last in found]
    assert all(last + 1 == first for (_, last), (first, _) in pairwise(ends)) and ends[-1][1] == len(texts())
    saw = " ".join(texts()[ends[1][0] - 1 : ends[1][1]])
    assert (
        all(sheet in saw for sheet in ("Cutting list", "Cutting plan", "Saw settings"))
        and "Finishing schedule" not in saw
    )


def test_findings_are_printed_in_words():
    """Each finding stands on the front page with its severity, its sentence, its remedy and its source."""
    job = built(DEMO)
    words = " ".join(
        page.extract_text() for page in PdfReader(io.BytesIO(pack_files(job)["workshop_pack.pdf"])).pages[:5]
    )
    squeezed = re.sub(r"\s+", "", words)
    for finding in job.pieces[0].findings:
        for part in (finding.text, finding.remedy, finding.source):
            assert re.sub(r"\s+", "", part) in squeezed, finding.text
    assert "Warn: will disappoint" in " ".join(words.split())


def test_lists_are_ordered_by_mark():
    """The parts list runs in the order of the marks."""
    marks = [entry.mark for entry in parts_list(built(DEMO))]
    assert marks == sorted(marks)


def test_nothing_is_said_twice_in_one_cell():
    """What the saw does to a rail's ends stands once in its line, with how long its back is."""
    rails = [row for row in rows_of("Cutting list") if len(row) > 6 and "rail" in row[2] and "undercut" in row[-1]]
    assert rails
    for row in rails:
        assert row[-1].count("undercut") == 1 and re.search(r"back [\d.]+ long", row[-1])


def test_equals_that_lie_the_other_way_round_are_made_alike():
    """Two rear brackets share a mark and one plan: what is done to them is told once, as to the first."""
    brackets = [
        part for part in built("starter chest_of_drawers").pieces[0].model.parts if part.name.startswith("rear bracket")
    ]
    assert len({part.shape.features for part in brackets}) == 2
    told = making_words(brackets, {})
    assert "(on" not in told and told.count("corner") + told.count("Corner") == 1


def test_several_parts_of_one_name_are_told_by_their_compartments():
    """Two uprights that are no equals are not both called only upright; names with a stroke keep no stray comma."""
    uprights = [each.named for each in parts_list(built("starter media_cabinet")) if each.name == "upright"]
    assert uprights == ["upright (between left and middle)", "upright (between middle and right)"]
    assert handless("front bracket, left / side bracket, right front") == "front bracket / side bracket, front"


def test_no_key_stands_in_the_cutting_list():
    """What is sawn after glue-up is said to be so, and not by the key of an assembly."""
    entries = cutting_list(built("starter wardrobe")).entries
    assert any("taper" in each.edges and "after glue-up" in each.edges for each in entries)
    assert not [each.edges for each in entries if re.search(r"side\.|glue-up of", each.edges)]


def test_edges_and_ends_that_are_sawn_alike_are_told_together():
    """A chamfer on the front edge and at both ends is told so, at the angle that the saw is set to."""
    made = built("starter chest_of_drawers")
    (top,) = [part for part in made.pieces[0].model.parts if part.key == "top/board"]
    assert "on the face edge and at both ends" in saw_words(top)


@pytest.mark.parametrize("name", [*EXAMPLES, "framed posts", "dovetails", "alcove", "two pairs"])
def test_no_bare_millimetres_in_lists_in_inches(name):
    """Rule: figures of settings and notes are in inches, have their unit beside them, or are of machining, which is in mm."""
    inch, machined = locale_for("en_US", "1/16 in"), r"rounded [\d.]+|chamfer [\d.]+ deep"
    for words in dict.fromkeys(words for part in piece(name).model.parts for words in (part.setting, *part.notes)):
        said = re.sub(machined, "", lengths_written(words, inch))
        assert re.findall(r"(?<![\d./-])\d[\d./-]*(?![\d./-])(?!″|°| mm| %)", said) == [], said
        assert lengths_written(words, locale_for("en_GB")) == words


def test_a_setting_and_its_notes_are_in_inches_on_paper_and_in_the_file():
    """Rule: the length in a bracket and the length of an undercut strip's back are written as the columns beside them are."""
    demo = example_piece(DEMO)
    shop = dataclasses.replace(demo.shop, locale="en_US", lengths="1/16 in")
    american = build_job(Job("x", (JobItem(dataclasses.replace(demo, shop=shop)),)))
    said = {}
    for key, job in (("mm", built(DEMO)), ("inch", american)):
        data = pdf_bytes(number_sheets(CUTTING_LIST.sheets(job)), title="x", date=record_date(job))
        said[key] = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(data)).pages)
        said[key] += list_csv(job, cutting_list(job).entries)
    assert said["mm"].count("back 358.0 long") >= 2 and "uprights 1448" in said["mm"]
    assert "358.0" not in said["inch"] and "uprights 1448" not in said["inch"]
    assert "back 14-1/8″ long" in said["inch"] and 'uprights 57"' in said["inch"].replace('""', '"')
