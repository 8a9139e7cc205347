"""Cutting plans, plan for lengths and saw settings on paper, read back by programs that we did not write."""

import dataclasses
import io
import json
import re

import pdfplumber
import pypdfium2
import pytest
from examples import DEMO, example_piece
from packs import MM, built, char_boxes, files, overlapping

from core.__main__ import main
from core.built import build_job
from core.cutting.angles import angle_settings
from core.cutting.plan import PART
from core.cutting.planned import job_plans
from core.cutting.repeated import repeated_settings
from core.drawing.page import Text
from core.locales import inches
from core.pages import cutting_plan, lengths_plan, saw_settings
from core.pages._sawing import shown_setting
from core.piece.job import Job, JobItem

KERF_LINE = 0.02  # mm of paper that lines may be off


def drawn(word: str, name: str | None = None):
    data = files(name)[f"{word}.pdf"] if name else files()[f"{word}.pdf"]
    return pdfplumber.open(io.BytesIO(data)).pages


def words_of(page) -> str:
    return " ".join((page.extract_text() or "").split())


def frames(page) -> list[tuple[float, float, float, float, float]]:
    """Outlines on a page: left, bottom, width, height in mm, and how wide the line is."""
    found = []
    for each in (*page.rects, *page.curves):
        if each["stroke"] and not each["fill"]:
            left, low = each["x0"] * MM, (page.height - each["bottom"]) * MM
            found.append((left, low, each["width"] * MM, each["height"] * MM, each["linewidth"] * MM))
    return found


def plan_pages() -> list[tuple]:
    """Pages that show a sheet of MDF 18 with their SheetPlan and scale (paper mm for a mm)."""
    made = next(each for each in job_plans(built()).plans if each.name == "MDF 18")
    found = []
    for page in drawn("cutting_plan"):
        match = re.search(r"Cutting plan: MDF 18, sheet (\d) of 3", words_of(page))
        if match and "datum corner" in words_of(page):
            scale = int(re.search(r"\b1:(\d+)\b", words_of(page)).group(1))
            found.append((page, made.plan.sheets[int(match.group(1)) - 1], 1 / scale))
    return found


def test_parts_are_drawn_to_scale_where_they_are_sawn():
    """Every part of a sheet is a wide outline of its size at the scale printed, at its place from the sheet's
    corner."""
    assert len(plan_pages()) == 3
    for page, sheet, scale in plan_pages():
        lines = frames(page)
        (whole,) = [
            each
            for each in lines
            if abs(each[2] - 2440 * scale) < KERF_LINE and abs(each[3] - 1220 * scale) < KERF_LINE
        ]
        for piece in sheet.pieces:
            if piece.kind == PART:
                wanted = (
                    whole[0] + piece.x * scale,
                    whole[1] + piece.y * scale,
                    piece.length * scale,
                    piece.width * scale,
                )
                assert any(
                    max(abs(a - b) for a, b in zip(each[:4], wanted, strict=True)) < KERF_LINE and each[4] > 0.4
                    for each in lines
                ), piece


def test_nothing_is_filled_but_the_datum_corner():
    """Parts and offcuts are told apart by words and lines, never by a fill: only white behind figures, and the
    corner."""
    for page, sheet, _ in plan_pages():
        dark = [
            each
            for each in (*page.rects, *page.curves)
            if each["fill"] and each["non_stroking_color"] not in ((1,), (1, 1, 1), 1, [1])
        ]
        assert len(dark) == 1, dark
        words = words_of(page)
        for piece in sheet.pieces:
            if piece.kind == "keep":
                assert "keep" in words


def test_every_cut_is_numbered_with_its_setting():
    """The table of each sheet lists every cut once, in order, with what the saw is set to; the drawing carries the
    numbers."""
    made = next(each for each in job_plans(built()).plans if each.name == "MDF 18")
    pages = drawn("cutting_plan")
    for number, sheet in enumerate(made.plan.sheets, 1):
        listed: list[int] = []
        for page in pages:
            if f"Cutting plan: MDF 18, sheet {number} of 3" in words_of(page):
                for table in page.extract_tables():
                    for row in table if table[0][0] == "Cut" else ():
                        match = re.fullmatch(r"(\d+)(?: to (\d+))?", " ".join((row[0] or "").split()))
                        if match:
                            listed += range(int(match.group(1)), int(match.group(2) or match.group(1)) + 1)
        assert listed == list(range(1, len(sheet.cuts) + 1))
    page, sheet, _ = plan_pages()[1]
    upright = words_of(page)
    for cut in sheet.cuts:
        if cut.direction == "along":  # lettering of the others is turned
            assert re.search(rf"\b{cut.number}: \d", upright), cut


def test_the_result_is_one_sentence():
    """The first page says how many sheets, and how few are possible; and that the stock is an example."""
    words = words_of(drawn("cutting_plan")[0])
    cells = [
        " ".join((cell or "").split())
        for table in drawn("cutting_plan")[0].extract_tables()
        for row in table
        for cell in row
    ]
    assert "3 sheets 2440 × 1220; 3 is the least possible" in cells
    assert "sizes and prices are invented" in words
    assert "one person handles 20 kg" in words and "riving knife" in words


@pytest.mark.parametrize("word", ["cutting_plan", "lengths_plan", "saw_settings"])
@pytest.mark.parametrize("name", ["example coat_cupboard", "starter bookcase"])
def test_lettering_does_not_cover_lettering(word, name):
    """No figure stands on another."""
    for number, page in enumerate(drawn(word, name), 1):
        assert not overlapping(char_boxes(page), 0.3), f"page {number}"


def test_the_pages_render():
    """Another program draws every page, and none is empty."""
    document = pypdfium2.PdfDocument(files()["cutting_plan.pdf"])
    for page in document:
        assert page.render(scale=0.3).to_pil().convert("L").getextrema()[0] < 100


def test_each_page_is_a_drawing_too():
    """There is one SVG for each page of the cutting plan."""
    held = files()
    assert sum(name.startswith("cutting_plan_") for name in held) == len(drawn("cutting_plan"))
    assert all(held[name].startswith(b"<?xml") for name in held if name.endswith(".svg"))


def test_lengths_are_drawn_to_scale():
    """The cornice's oak is 2400 long at the scale that is said, its front 1170 with the mitre allowance, its returns
    570."""
    page = drawn("lengths_plan")[0]
    words = words_of(page)
    assert "long point 1150, 2 mitres" in words and "stop at 1170" in words and "trim the marked end by 10" in words
    scale = 1 / int(re.search(r"\(1:(\d+)\)", words).group(1))
    sizes = [(round(each[2] / scale), each[4] > 0.4) for each in frames(page)]
    assert (2400, False) in sizes and (1170, True) in sizes and sizes.count((570, True)) >= 2


def test_angles_of_the_demo_piece():
    """Bevel and undercut 30°, mitre 45°, tapers 11.6° and 4.7° after glue-up: those worked out by hand, each with its
    test piece."""
    found = {(each.kind, each.tilt, each.swing): each for each in angle_settings(built())}
    assert {
        ("bevel", 30.0, 0.0),
        ("undercut", 30.0, 0.0),
        ("mitre", 0.0, 45.0),
        ("taper", 0.0, 11.6),
        ("taper", 0.0, 4.7),
    } <= set(found)
    assert found["taper", 0.0, 11.6].when == "after glue-up"
    assert "5.2 wide" in found["bevel", 30.0, 0.0].check  # 9 × tan 30° = 5.196
    assert "29.8 wide" in found["taper", 0.0, 11.6].check  # 74.804 − 45 = 29.8 over 145
    assert "11.9 wide" in found["taper", 0.0, 4.7].check  # 145 × tan 4.7°; by hand 45 − 33 = 12, at 4.73°
    assert sum(each.quantity for each in found["mitre", 0.0, 45.0].serves) == 3
    words = " ".join(map(words_of, drawn("saw_settings")))
    for wanted in ("30.0°", "11.6°", "4.7°", "45.0°", "Test piece", "riving knife", "away from the tilt"):
        assert wanted in words


def test_repeated_distances_serve_their_parts():
    """Four door stiles are crosscut at one stop of 1443; every distance listed is cut more than once."""
    found = repeated_settings(job_plans(built()))
    stiles = [each for each in found if each.distance == 1443 and "MDF 9" in each.materials]
    assert stiles and stiles[0].cuts >= 4
    assert all(each.cuts > 1 and each.marks for each in found)


def test_any_problem_can_be_drawn(tmp_path):
    """The command draws a plan without a piece: sheets with their marks, and lengths with a defect."""
    sheets, lengths = tmp_path / "panels.json", tmp_path / "rails.json"
    sheets.write_text(
        json.dumps({"sheet": [2440, 1220], "kerf": 3, "trim": 5, "parts": [[700, 400, 5]], "marks": ["P1"]})
    )
    lengths.write_text(
        json.dumps(
            {"dim": 1, "stock": [{"size": [2000, 1], "defects": [[600, 700]]}], "kerf": 3, "parts": [[500, 1, 3]]}
        )
    )
    for source, wanted in (
        (sheets, ("1 sheet; 1 is the least possible", "P1", "datum corner")),
        (lengths, ("stop at 500",)),
    ):
        target = tmp_path / f"{source.stem}.pdf"
        assert main(["cut", str(source), "--out", str(tmp_path / "plan.json"), "--pdf", str(target), "--quiet"]) == 0
        with pdfplumber.open(target) as document:
            words = " ".join(map(words_of, document.pages))
        for each in wanted:
            assert each in words
    assert json.loads((tmp_path / "plan.json").read_text())["sheets"]


def test_plans_are_in_inches_where_the_workshop_lists_in_inches():
    """Settings, sizes, order of cuts and test pieces are in inches with whole fractions, on drawings and in tables; kept in mm is what is sold so."""
    piece = example_piece(DEMO)
    piece = dataclasses.replace(piece, shop=dataclasses.replace(piece.shop, locale="en_US", lengths="1/32 in"))
    job = build_job(Job(piece.whole.name, (JobItem(piece),)))
    plan, lengths, saws = (
        [item.string for sheet in each.ENTRY.sheets(job) for item in sheet.items if isinstance(item, Text)]
        for each in (cutting_plan, lengths_plan, saw_settings)
    )
    for made in job_plans(job).sheets:
        for sheet in made.plan.sheets:
            for cut in sheet.cuts:
                setting = inches(shown_setting(cut, sheet), 32)
                assert setting in plan, (made.name, cut.number, setting)
    assert not re.search(r"\d/$|\d-$", "\n".join((*plan, *lengths, *saws)), re.MULTILINE), "a fraction is broken"
    drawn_cuts = [words for words in plan if re.match(r"\d+: ", words)]
    assert len(drawn_cuts) > 40 and all(words.endswith("″") for words in drawn_cuts)
    assert "stop at 46-1/16″, 33 cornice front (long point 45-9/32″" in " ".join(lengths)
    assert "The slope on 0.354″ thick is 0.205″ wide" in " ".join(saws)
    assert not any(re.search(r"\d kg", words) for words in plan)
