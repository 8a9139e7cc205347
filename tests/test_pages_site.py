"""The sheets that are written on: fitting, final assembly, handing over, read back from paper."""

import io
import json
import re
from functools import cache

import pdfplumber
import pytest
from examples import DEMO, EXAMPLES, example_text
from packs import built, char_boxes, overlapping, released
from pieces import data
from test_step_sentences import changed, piece

from core.built import build_job
from core.buying.quantities import quantities
from core.checks.room import lid_behind
from core.cutting.list import parts_list
from core.drawing.dimensions import figures
from core.drawing.sheet import number_sheets
from core.exports.pdf import pdf_bytes
from core.locales import locale_for
from core.pack import record_date
from core.pages import final_assembly, finishing, fitting_page, handover
from core.pages._fronts import closed_openings
from core.pages.final_assembly import _Page
from core.piece import loads
from core.piece.job import Job, JobItem
from core.steps import steps

KINDS = {"fitting page": fitting_page.ENTRY, "final assembly": final_assembly.ENTRY, "handing over": handover.ENTRY}


@cache
def read(kind: str, name: str = DEMO):
    """The pages of one kind, as pdfplumber reads them."""
    job = released(built(name))
    sheets = KINDS[kind].sheets(job)
    data = pdf_bytes(number_sheets(sheets), title=kind, date=record_date(job), subject=kind, author="")
    return pdfplumber.open(io.BytesIO(data)).pages


@cache
def words(kind: str, name: str = DEMO) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in read(kind, name))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", (DEMO, "starter chest_of_drawers"))
def test_no_lettering_lies_on_another(kind, name):
    """On every sheet no two characters cover each other."""
    for page in read(kind, name):
        assert not overlapping(char_boxes(page))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", EXAMPLES)
def test_all_is_drawn_within_the_frame(kind, name):
    """Every starter has these sheets, and nothing on them leaves the frame or lies on the title block."""
    for sheet in KINDS[kind].sheets(built(name)):
        for item in sheet.items:
            assert sheet.frame.contains(item.bounds(), 0.01) and not item.bounds().overlaps(sheet.title_block, -0.01)


def test_gaps_before_and_after_painting():
    """Two painted faces take 0.2 to 0.3: 2.5 becomes 2.2 to 2.3, the meeting gap of 3 becomes 2.7 to 2.8; openings have blanks."""
    text = words("fitting page")
    assert "Left, hinge side 2.5 2.2 to 2.3" in text and "Meeting 3 2.7 to 2.8" in text
    assert "1044" in text and "1448" in text and "1785.1" in text and "1066.9" in text
    assert "they need 0.9 of their gap" in text  # worked out by hand: 0.70 to 0.89


def test_fronts_that_lap_the_carcass_are_hung_to_their_laps():
    """Laps are told as such, never as gaps below nothing; beside them the gap from front to front; nothing is put on packers."""
    rows = [
        {"id": "all", "divided": "rows"},
        {"id": "low", "parent": "all"},
        {"id": "high", "parent": "all", "order": 1},
    ]
    fronts = [
        {"id": "doors", "kind": "pair", "closes": ["low"], "lay": "full", "hanging": {"hinge": "hinge-cup-35-full"}},
        {"id": "tray", "kind": "drawer", "closes": ["high"], "lay": "full", "drawer": {"runner": ""}},
    ]
    job = build_job(Job("laps", (JobItem(loads(json.dumps(data(layout=rows, fronts=fronts)))),)))
    (page,) = pdfplumber.open(
        io.BytesIO(pdf_bytes(number_sheets(fitting_page.ENTRY.sheets(job)), title="x", date=record_date(job)))
    ).pages
    text = " ".join(page.extract_text().split())
    doors, tray = closed_openings(job.pieces[0])
    lap = figures(doors.opening.left - doors.leaves[0].left)
    assert f"Left, hinge side: laps by {lap}" in text and not re.search(r"[-−]\d", text)
    assert f"Top, to tray {figures(tray.leaves[0].bottom - doors.leaves[0].top)}" in text
    assert "packers" not in text and "hang them to their laps" in text and "held to its laps" in text


def test_every_gap_of_every_front_is_on_the_fitting_page():
    """The gaps add up with the leaves to the opening, for doors, pairs and drawers."""
    for name in EXAMPLES:
        for each in closed_openings(built(name).pieces[0]):
            across = sum(leaf.right - leaf.left for leaf in each.leaves)
            gaps = [gap.cut for gap in each.gaps]
            assert abs(across + sum(gaps[:-2]) - each.opening.width) < 0.01, name
            leaf = each.leaves[0]
            assert abs(leaf.top - leaf.bottom + sum(gaps[-2:]) - each.opening.height) < 0.01, name


def test_a_front_that_is_part_of_its_box_is_not_screwed_on():
    """The order of fitting speaks of packers and pilot screws where fronts are planted on, of runners and plane where they are part of the box."""
    for name, said, unsaid in (
        ("under-mounted", "even its gaps by its runners", "two pilot screws"),
        ("starter sideboard", "two pilot screws", "even its gaps by its runners"),
    ):
        order = " ".join(fitting_page._order(closed_openings(piece(name)), True))
        assert said in order and unsaid not in order, name


def test_what_goes_back_where():
    """The demo's doors, drawer, shelves and cornice with numbers and places; settings of runner, hinge and rail by hand's figures."""
    text = words("final assembly")
    for said in (
        "Left door 20 to 24", "underside 408.5 above", "12.3 kg", "170.5 above the", "on top of the carcass", "73.3 kg (two)",
        "spacer block 56.5", "fixed member 28 behind", "lower end 483.5", "middle 1784 above the floor, 278 behind",
        "hinge recess 75 × 16.5 × 1.25", "Plasterboard alone", "In the rebate", "Back of the strip, before gluing",
    ):  # fmt: skip
        assert said in text, said


def test_the_order_on_site():
    """Level, anchor, doors, drawer, shelves, rail, top, adjust (common practice)."""
    text = words("final assembly")
    order = [
        "Stand the carcass",
        "Fix it to the wall",
        "Hang the doors",
        "Drawers in",
        "Loose shelves",
        "Set the cornice on and screw it from inside: 10 screws",
        "Adjust",
    ]
    places = [text.index(each) for each in order]
    assert places == sorted(places)


def test_every_mark_has_its_surviving_place():
    """All marks of the piece stand in the last table, once each."""
    text = words("final assembly")
    table = text[text.index("Numbers that survive") :]
    assert all(f" {mark} " in table for mark in set(built(DEMO).marks.values()))


def test_the_client_signs_for_the_warning():
    """The handing-over sheet carries the tipping warning, the checks, blanks for batches, care, and two lines to sign on."""
    text = words("handing over")
    for said in (
        "can tip over and kill",
        "Drawers: run the whole way",
        "Batch",
        "Touch-up pot",
        "1150 × 1900 × 560",
        "Client, place and date",
        "Maker, place and date",
    ):
        assert said in text, said
    assert "Oiled wood" in text and "Drawers" not in words("handing over", "starter bookcase")


def test_numbers_that_survive_are_named_as_in_the_parts_list():
    """A stile that is rear at the left and front at the right is both by its place; hinge and meeting stiles of one number are door stiles."""
    job = built(DEMO)
    named = {str(entry.mark): entry.named for entry in parts_list(job)}
    assert named["7"] == "side stile (left rear, right front)"
    page = _Page(job.pieces[0], job.marks_of(0))
    told = [each.split(" ", 1) for _, said in page.surviving() for each in said.split("; ")]
    assert len(told) == len(named)
    for mark, name in told:
        assert set(name.lower().split(" / ")) == set(named[mark].lower().split(" / ")), mark


def test_what_stands_in_the_middle_is_not_over_the_whole_width():
    """A shelf of the middle compartment goes back in the middle; a top that is screwed on is set on in the order of the site."""
    text = words("final assembly", "starter media_cabinet")
    assert "in the middle, underside" in text and "over the whole width" not in text
    shelves = words("final assembly", "starter linen_press")
    assert "Loose shelf (4) 20 left, undersides 882.5 / 1138.5 /" in shelves  # alike ones in one line
    assert text.index("Loose shelves:") < text.index("Set the top on and screw it from inside:") < text.index("Adjust")


def page_of(name: str) -> _Page:
    """What the site's sheet of a piece of the step sentences is made from."""
    made = piece(name)
    return _Page(made, {part.key: number for number, part in enumerate(made.model.parts, start=1)})


def test_the_order_on_site_fits_what_it_stands_on_and_how_it_is_closed():
    """No glides are packed where there are castors, whose brakes are put on; fixed panels are set in; one bracket is one."""
    castors = " ".join(page_of("starter desk_pedestal").site())
    assert "glides" not in castors and "then the brakes on" in castors
    assert "It is not fixed and rolls" in castors and "It has no brackets" not in castors
    assert "2 fixed panels: packed to the gaps all round" in " ".join(page_of("lipped thick").site())
    narrow = changed("starter bedside_cabinet", lambda data: data["whole"].update(width=350))
    page = _Page(narrow, {part.key: number for number, part in enumerate(narrow.model.parts, start=1)})
    anchors = [each for each in narrow.model.fittings if page.kind(each) == "anchor bracket"]
    assert len(anchors) == 1 and "with its 1 bracket before" in " ".join(page.site())


def test_what_a_drawer_would_hinder_goes_on_before_it():
    """A top whose screws go up where a drawer will be is set on first, and scribing strips before doors and drawers; the list says the same."""
    site = [*page_of("interlock").site()]
    places = [
        next(n for n, each in enumerate(site) if each.startswith(words))
        for words in ("Fix it", "Set the top on", "Drawers in")
    ]
    assert places == sorted(places)
    assert [row[1].string for row in page_of("interlock").goes_back()][:2] == ["Carcass", "Top"]
    site = [*page_of("alcove").site()]
    places = [
        next(n for n, each in enumerate(site) if each.startswith(words))
        for words in ("Fix it", "Scribing strips", "Hang the doors")
    ]
    assert places == sorted(places)
    assert site[0].startswith("Stand the carcass between the walls, 18 off the wall")
    assert [row[1].string for row in page_of("alcove").goes_back()][1:3] == [
        "Scribing strip, left",
        "Scribing strip, right",
    ]


def test_a_carcass_that_reaches_to_the_wall_is_not_stood_off_it():
    """Only a skirting that the piece stands off keeps it from the wall; pipes behind it want it pushed straight back."""

    def piped(data):
        data["site"]["skirting"]["height"] = 0
        data["site"]["pipes"] = [{"runs": "out", "height": 120, "across": 350}]

    made = changed("starter sideboard", piped)
    first = next(_Page(made, {}).site())
    assert first.startswith("Stand the carcass in its place, against the wall. Push it straight back: the pipes")


def test_heights_run_from_the_floor_up():
    """Heights of alike things and settings stand in the order of their figures, not of their letters; those of drawers say of which."""
    page = page_of("sleeves")
    for row in page.goes_back():
        heights = [float(each) for each in re.findall(r"[\d.]+(?= /| above)", row[3])]
        assert heights == sorted(heights)
    pins = [float(words.split()[0]) for name, _, words in page.settings() if name.startswith("Shelf pin 5,")]
    assert len(pins) > 2 and pins == sorted(pins)
    runners = [words for name, _, words in page_of("interlock").settings() if "runner" in name]
    assert [each.partition(": ")[0] for each in runners] == [
        "drawer, bottom",
        "drawer, third",
        "drawer, second",
        "drawer, top",
    ]
    drawers = [row[1].string for row in page_of("interlock").goes_back() if row[1].string.startswith("Drawer")]
    assert drawers == ["Drawer, bottom", "Drawer, third", "Drawer, second", "Drawer, top"]


def test_finishes_handed_over_are_those_of_the_piece():
    """A chest under a lid has no doors, drawers and knobs, and no batch of paint for them."""
    said = words("handing over", "starter blanket_chest")
    finishes = said[said.index("Finishes") : said.index("Care")]
    assert "Outside" in finishes and "Lid" in finishes
    assert not any(each in finishes for each in ("oors", "rawer", "andles"))


def handed_over(name: str, handle: str = "", **shop: str) -> str:
    """The handing-over sheets of a starter piece, with other handles and another workshop's ways."""
    said = json.loads(example_text(f"starter {name}"))
    said.setdefault("shop", {}).update(shop)
    for front in said["fronts"] if handle else ():
        front["handle"] = handle
    job = build_job(Job(name, (JobItem(loads(json.dumps(said))),)))
    sheets = number_sheets(handover.ENTRY.sheets(job))
    pages = pdfplumber.open(io.BytesIO(pdf_bytes(sheets, title="x", date=record_date(job)))).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_handles_of_metal_are_handed_over_as_they_come():
    """Rule: of handles only those of wood take oil; other groups are called as in the client book."""
    said = handed_over("sideboard")
    assert "Handles Oil" in said and "Doors and drawer fronts " in said and "Carcass outside" not in said
    assert "andles Oil" not in handed_over("sideboard", "pull-128")


def test_a_client_who_reads_inches_signs_for_inches():
    """Rule: sizes stand on the handing-over sheet as in the client book of the same piece, and its title block says how."""
    said = handed_over("media_cabinet", locale="en_US", lengths="1/16 in")
    assert said.count("63″ × 22-1/16″ × ") == 2 and "rounded to the nearest 1/16″" in said
    assert "0.709″" in said and not re.search(r"\b(?:1600|560)\b", said)
    designed = said[said.index("As designed") : said.index("Finishes")]
    assert not re.findall(r"\b\d{3,}(?:\.\d)?\b(?!″)", designed), designed


def test_what_is_fixed_in_the_carcass_is_carried_in_with_it():
    """Rails of hooks, bearers and what is screwed on them stay in the carcass; lipped shelves go back under their own name and number."""
    page = page_of("fitted out")
    names = list(dict.fromkeys(row[1].string for row in page.goes_back()))
    assert names == ["Carcass", "Left door", "Right door", "Drawer", "Loose shelf", "Cornice"], names
    fixed = {
        part.name for part in page.model.parts if page.marks[part.key] in page_marks(next(iter(page.goes_back()))[2])
    }
    assert "hook rail" in fixed
    page = page_of("grooves")
    rows = {row[1].string: row[2] for row in page.goes_back()}
    assert rows.keys() == {"Carcass", "Loose shelf"}
    (shelf,) = page_marks(rows["Loose shelf"])  # its lipping is glued on and has no number to be seen
    assert [part.role for part in page.model.parts if page.marks[part.key] == shelf] == ["loose shelf"]


def test_fronts_lie_and_hang_as_what_they_are():
    """Hooks are screwed into hinge recesses only of doors that have them: not of drawers, nor of doors on cup hinges."""

    def lie(made) -> str:
        return " ".join(finishing._fronts_lie(made))

    cups = json.loads(example_text(DEMO))
    for front in cups["fronts"]:
        if front["kind"] == "pair":
            front["hanging"]["hinge"] = "hinge-cup-35-inset"
    on_cups = build_job(Job("cups", (JobItem(loads(json.dumps(cups), "cups")),))).pieces[0]
    assert lie(built(DEMO).pieces[0]).startswith("Doors and drawer fronts: back first")
    assert "two hooks" in lie(built(DEMO).pieces[0]) and "two hooks" not in lie(on_cups)
    assert lie(built("starter bedside_cabinet").pieces[0]).split(":") == ["Drawer fronts", f" {finishing.FLAT}"]
    assert lie(built("starter blanket_chest").pieces[0]).split(":") == ["Lid", f" {finishing.FLAT}"]
    assert lie(built("starter bookcase").pieces[0]) == ""


def test_the_order_of_coats_is_that_of_the_steps():
    """What is painted in parts is coated before glue-up, and only then is there a carcass to fit anything in; only what there is, is fitted."""
    said = {
        name: " ".join(finishing._order(built(name).pieces[0], quantities(built(name)).finishes[0]))
        for name in (DEMO, "starter bookcase")
    }
    assert said[DEMO].startswith(
        "First coat what is painted in parts, its joints masked, and glue up. Then fit hinges, runners, knobs, pulls, catches "
        "and anchors dry, take them off and bag them by part. Coat the rest."
    )
    assert "Then fit anchors dry, take" in said["starter bookcase"]
    stages = [step.title for step in steps(built(DEMO).pieces[0].piece, built(DEMO).pieces[0].model)]
    coated, hung = (next(n for n, title in enumerate(stages) if word in title) for word in ("Inside faces", "hinges"))
    assert coated < hung


def page_marks(words: str) -> set[int]:
    """The numbers of a row: "1 to 3, 5"."""
    found = [list(map(int, re.findall(r"\d+", each))) for each in words.split(",")]
    return {number for some in found for number in range(some[0], some[-1] + 1)}


def test_a_coat_is_measured_as_its_tin_is_bought():
    """Rule: the schedule and the buying list name one measure; where lengths are in inches the schedule has the American one besides."""
    group = quantities(built("starter sideboard")).finishes[0][0]
    said = {
        lengths: [
            row[3].string for row in finishing._rows(built("starter sideboard").pieces[0], [group], locale) if row[3]
        ]
        for lengths, locale in (("mm", locale_for("en_US")), ("inch", locale_for("en_US", "1/16 in")))
    }
    assert said["mm"] and all(re.fullmatch(r"[\d.]+ l", each) for each in said["mm"])
    assert [each.split(" (")[0] for each in said["inch"]] == said["mm"]
    assert all(re.search(r" \([\d.]+\sUS\sqt\)$", each) for each in said["inch"])


def test_only_what_is_fixed_is_handed_over_as_fixed():
    """Rule: the client signs for the wall fixing where there is one; a pedestal on castors has none."""
    assert "fixed to the wall, in order as checked" in handed_over("sideboard")
    assert "fixed to the wall, in order" not in (said := handed_over("desk_pedestal")) and "in order as checked" in said


def test_a_chest_is_stood_where_its_lid_opens():
    """The site's sheet sets a chest as far off the wall as its lid reaches behind it, not only by the skirting."""
    job = built("starter blanket_chest")
    behind = lid_behind(job.pieces[0].model)
    assert behind > job.pieces[0].piece.site.stands_off
    assert f"{behind:g} off the wall, so that the lid opens" in words("final assembly", "starter blanket_chest")
    assert "off the wall, the skirting behind it" in words("final assembly")


def test_the_finishing_schedule_takes_off_only_what_there_is():
    """What is off while the outside is coated is what the piece has; oiled fronts are not told of paint and sealing."""

    def said(name: str, **coatings: str) -> tuple[str, str]:
        data = json.loads(example_text(name))
        for coat in data["finish"]["schemes"][0]["coats"]:
            coat["coating"] = coatings.get(coat["group"], coat["coating"])
        job = build_job(Job("x", (JobItem(loads(json.dumps(data))),)))
        return tuple(paper_words(kind, job) for kind in (finishing.ENTRY, fitting_page.ENTRY))

    assert "After glue-up. Paint" in said("starter bookcase")[0]
    assert "After glue-up; doors, drawers and the cornice off." in said(DEMO)[0]
    assert "After glue-up; the lid off." in said("starter blanket_chest")[0]
    painted, oiled = said("starter sideboard")[1], said("starter sideboard", fronts="oil")[1]
    assert "before painting; bare edges are sealed again" in painted
    assert "one stroke." in oiled and "before painting" not in oiled


def paper_words(kind, job) -> str:
    """The words of the sheets of one kind; of a job that has none nothing."""
    if not kind.sheets(job):
        return ""
    read_back = pdf_bytes(number_sheets(kind.sheets(job)), title="x", date=record_date(job), subject="x", author="")
    return " ".join(" ".join(page.extract_text().split()) for page in pdfplumber.open(io.BytesIO(read_back)).pages)


def test_a_top_with_buttons_is_screwed_down_and_then_buttoned():
    """The site's sheet counts the screws of the rails and the buttons each by themselves."""
    top = piece("interlock")
    screws = sum(each.purpose == "top screw" for each in top.model.fasteners)
    buttons = sum(each.entry == "button-38" for each in top.model.fittings)
    said = paper_words(final_assembly.ENTRY, build_job(Job("x", (JobItem(top.piece),))))
    assert screws and buttons
    assert f"from inside: {screws} screws; then its {buttons} buttons, each tongue into its groove." in said
