"""The client book, read back by independent readers."""

from __future__ import annotations

import dataclasses
import datetime
import io
import json
import math
import re
from pathlib import Path

import pdfplumber
import pytest
from PIL import Image
from pypdf import PdfReader

from core.book import book_bytes, picture_names
from core.build import build
from core.built import build_job, revision_of
from core.buying.costing import costing
from core.buying.next_changes import next_changes
from core.checks.reading import drawer_room
from core.drawing.sheet import number_sheets
from core.drawing.text import width
from core.errors import FileError, ParameterError
from core.exports.pdf import pdf_bytes
from core.limits import Limit, limits
from core.pages.book import chapters
from core.pages.book._book import Book, picture_size
from core.pages.book._person import person
from core.pages.book._reasons import plain_reason
from core.pages.quotation import quotation_sheets
from core.piece.files import loads, read_piece_file
from core.piece.finish import GROUPS
from core.piece.job import Job, JobItem

PIECES = Path(__file__).parent.parent / "core" / "library" / "pieces"
DEMO = Path(__file__).parent.parent / "docs" / "examples" / "coat_cupboard.json"


def job(*pieces, since=None):
    return build_job(Job("Hallway", tuple(JobItem(piece) for piece in pieces or (read_piece_file(DEMO),))), since=since)


def picture(kind: str = "PNG", size: tuple[int, int] = (90, 120), colour: str = "#336699") -> bytes:
    made = io.BytesIO()
    Image.new("RGB", size, colour).save(made, kind)
    return made.getvalue()


def texts(data: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(data)).pages]


def test_the_book_tells_what_the_client_asks():
    """Whose it is, sizes in words, what goes in, how it opens, the price with its example warning, safety, a place to sign."""
    told = " ".join(texts(book_bytes(job())))
    for words in (
        "for Brackwater village library", "1150 mm wide, 1900 mm high, 560 mm deep", "5 winter coats or 7 jackets", "A drawer, 988 mm wide",
        "1000 mm above the floor", "Example prices", "screwed to your wall", "Signature", "in the room it is 578 mm deep", "doorway 760 mm wide and 1980 mm high",
    ):  # fmt: skip
        assert words in told, words


def test_without_pictures_nothing_is_left_empty():
    """A chapter without anything to tell is left out, and no page is bare."""
    pages = texts(book_bytes(job()))
    assert not any("Shut and open" in page for page in pages)
    assert not any("since last time" in page for page in pages)
    assert all(len(page) > 120 for page in pages)


def test_pictures_stand_in_the_book_undistorted():
    """Cover, shut, open and one for each scheme, each with the proportions of its file."""
    pictures = {"shut": picture(), "open": picture("JPEG"), "scheme.sage": picture(colour="#8d9b83")}
    with pdfplumber.open(io.BytesIO(book_bytes(job(), pictures))) as document:
        images = [image for page in document.pages for image in page.images]
        assert len(images) == 4  # the cover, shut, open, the scheme that is shown
        for image in images:
            assert image["width"] / image["height"] == pytest.approx(90 / 120, rel=1e-3)
            assert image["x0"] > 0 and image["x1"] < document.pages[0].width


def test_swatches_are_printed_in_the_very_colour():
    """Every colour of every scheme is a filled rectangle of exactly that sRGB value, its hex beside it."""
    made = job()
    wanted = {coat.colour for scheme in made.pieces[0].piece.finish.schemes for coat in scheme.coats}
    with pdfplumber.open(io.BytesIO(book_bytes(made))) as document:
        found = {
            tuple(round(255 * part) for part in rect["non_stroking_color"])
            for page in document.pages
            for rect in page.rects
            if rect.get("fill")
        }
    data = " ".join(texts(book_bytes(made)))
    for colour in wanted:
        assert tuple(int(colour[n : n + 2], 16) for n in (1, 3, 5)) in found, colour
        assert colour in data


def test_what_changed_is_told_in_plain_words():
    """60 higher: said so, and what it means in the workshop."""
    first = job()
    higher = dataclasses.replace(
        first.pieces[0].piece, whole=dataclasses.replace(first.pieces[0].piece.whole, height=1960.0)
    )
    told = " ".join(texts(book_bytes(job(higher, since=revision_of(first)))))
    assert (
        "What changed since last time" in told and "1960 mm high instead of 1900 mm" in told and "resized parts" in told
    )


def test_a_design_that_cannot_be_built_is_not_signed():
    """With a stop finding the cover and the last page say so, and there is no line to sign on."""
    data = json.loads(DEMO.read_text())
    data["site"]["ceiling"] = 1850
    told = " ".join(texts(book_bytes(job(loads(json.dumps(data))))))
    assert "cannot be built as it stands" in told and "Signature" not in told and "DO NOT CUT" in told
    assert "finding" not in told


def test_a_client_reads_why_a_design_cannot_be_built():
    """Rule: the reason stands in the book in plain words, once, and nothing of sizes that a design would reach that cannot be built."""
    told = told_of(starter("bookcase", whole={"width": 2900, "height": 2000, "depth": 320}))
    (told,) = re.findall("What would not work (.*?) Safety and care", told)
    assert told.startswith("This design cannot be built as it stands:") and "Wider than" not in told
    assert told.count("One of its boards would be larger than the sheets that boards are cut from.") == 1


def test_a_moulding_that_is_put_on_later_is_no_trouble_to_the_client():
    """Rule: where a piece stands up only without what lifts off, the client reads that the workshop sees to it."""
    tall = starter("wardrobe", whole={"width": 1200, "height": 2250, "depth": 640}, site={"ceiling": 2330})
    assert "the ceiling is at 2330 mm. The workshop sees to that:" in told_of(tall)
    assert "sees to that" not in told_of(starter("wardrobe"))


def test_a_book_without_pictures_speaks_of_none():
    """Rule: of several finishes the first is "as in the pictures" only where there are pictures."""
    made = job()
    without, pictured = (" ".join(texts(book_bytes(made, some))) for some in ({}, pictures_of(made)))
    assert "in the pictures" not in without and "as offered in this book" in without
    assert "as in the pictures" in pictured


def test_who_has_a_lid_is_told_what_a_falling_one_does():
    """Rule: the usual caution about lids stands in the book of a piece that has one, and in no other."""
    assert "A lid that falls crushes fingers" in told_of(starter("blanket_chest"))
    assert "A lid that falls" not in told_of(starter("wardrobe"))


def test_a_piece_made_several_times_is_told_as_each_of_them():
    """Rule: what is told of one of several is not taken for all of them."""
    made = build_job(Job("Hallway", (JobItem(read_piece_file(DEMO)), JobItem(starter("bookcase"), 2))))
    assert "Bookcase, each of 2 8 loose shelves" in " ".join(texts(book_bytes(made)))


def test_what_is_only_for_show_is_round_in_inches_too():
    """Rule: the person's height and the next change in height are whole or half inches where lists are in inches."""
    data = json.loads((PIECES / "bookcase.json").read_text("utf-8"))
    data["shop"].update(locale="en_US", lengths="1/16 in")
    told = told_of(loads(json.dumps(data)))
    assert "a person, 67″" in told and "2-1/2″ higher:" in told


def test_the_words_below_a_person_keep_clear_of_the_piece():
    """Rule: at a small scale, where the words are wider than the person, they go to the right and not over the drawing."""
    wide, tall = 150.0, "1700 mm"
    *_, words = person(wide, 0.0, 1 / 50, tall)
    assert words.x - width(words.string, words.height) / 2 >= wide


def test_the_same_job_gives_the_same_bytes():
    """Nothing in the book depends on the clock."""
    assert book_bytes(job(), {"shut": picture()}) == book_bytes(job(), {"shut": picture()})


def test_bookmarks_are_the_chapters():
    """The cover, then a bookmark for each page on which a chapter begins first."""
    outline = [entry.title for entry in PdfReader(io.BytesIO(book_bytes(job()))).outline]
    titles = [chapter.title or "Cover" for chapter in chapters()]
    assert outline[0] == "Cover" and [title for title in titles if title in outline] == outline


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
@pytest.mark.parametrize("size", [(1, 1), (90, 120), (1200, 1500)])
def test_the_size_of_a_picture_is_read_from_its_head(kind, size):
    """As the imaging library wrote it."""
    assert picture_size(picture(kind, size)) == size


def test_what_is_no_picture_is_refused():
    """One line, no traceback."""
    with pytest.raises(FileError, match="neither PNG nor JPEG"):
        picture_size(b"GIF89a")


def test_the_book_tells_what_the_next_change_costs():
    """Rule: the rise for one more shelf and for 60 mm more is the difference of two whole reckonings, colour the coats once more."""
    made = job()
    told = " ".join(texts(book_bytes(made)))
    found = next_changes(made)
    piece = made.pieces[0].piece
    higher = dataclasses.replace(piece, whole=dataclasses.replace(piece.whole, height=piece.whole.height + 60))
    rise = costing(job(higher)).total - costing(made).total
    assert found.higher.price == rise > 0
    assert 0 < found.higher.anew < found.higher.of == len(made.pieces[0].model.parts)
    assert 0 < found.shelf < found.colour < costing(made).total
    for amount in (found.shelf, found.higher.price, found.colour):
        assert f"{amount:,.2f}" in told


def test_the_book_tells_what_would_not_work_and_why():
    """Rule: the limits of the sizes stand in the book with a cause that anybody understands; none of what cannot be built."""
    told = " ".join(texts(book_bytes(job())))
    assert "Wider than 1250 mm: a drawer would then be too wide for its depth, and jam." in told
    assert "Less deep than 560 mm: there would then not be the depth for coats on a rail." in told
    assert "runners 450" not in told and "turn it front to back" not in told


def limit(cause, reason):
    return Limit("width", True, 1000.0, cause, reason)


def test_a_cause_without_plain_words_is_not_told():
    """Rule: of a limit whose cause nobody has put in plain words only the size is told."""
    assert plain_reason(limit("overlap", "Left side and top take up the same 12 mm³.")) == ""
    assert plain_reason(limit("carcass.back.rebate_depth", "18 mm leaves 0 mm of the side")) == ""


@pytest.mark.parametrize("kind", ["bedside_cabinet", "chest_of_drawers", "desk_pedestal", "media_cabinet", "sideboard"])
def test_the_causes_of_limits_are_in_plain_words(kind):
    """Rule: no parameter, key, name of a part or figure of the maker's stands in what a client reads of a limit."""
    found = limits(loads((PIECES / f"{kind}.json").read_text("utf-8")))
    assert found
    for each in found:
        words = plain_reason(each)
        assert words, each
        assert re.fullmatch(r"[a-z ,]+", words), words


def test_nothing_is_said_of_changes_whose_price_nobody_knows():
    """Rule: without an hour's cost no price of a change is told."""
    made = job()
    shop = made.workshop
    prices = dataclasses.replace(shop.prices, hour=0.0)
    poor = dataclasses.replace(made, workshop=dataclasses.replace(shop, prices=prices))
    assert next_changes(poor).colour is next_changes(poor).shelf is next_changes(poor).higher is None
    assert not any("change your mind" in page for page in texts(book_bytes(poor)))


def test_drawers_are_told_from_the_top_down():
    """Rule: the rooms in drawers of several sizes stand in the order in which one sees them."""
    piece = loads((Path(__file__).parent.parent / "core/library/pieces/chest_of_drawers.json").read_text())
    made = job(piece)
    told = " ".join(texts(book_bytes(made)))
    assert "Drawers, from the top down:" in told
    model = made.pieces[0].model
    rooms = {each.key: drawer_room(model, each) for each in model.motions}
    heights = [
        int(rooms[f"drawer-{name}"][1][2] - rooms[f"drawer-{name}"][0][2])
        for name in ("top", "second", "third", "bottom")
    ]
    assert [int(each) for each in re.findall(r"from front to back and (\d+) mm high", told)] == heights
    assert len(set(heights)) == 4


def test_the_client_is_told_which_samples_to_hold():
    """Rule: one for each paint and each finished timber of the scheme that is shown, and one of each handle; each said once."""
    made = job()
    told = " ".join(texts(book_bytes(made)))
    assert "Samples to hold" in told
    paints = {coat.name for coat in made.pieces[0].piece.finish.scheme().coats if coat.coating == "paint"}
    for name in paints:
        assert told.count(f"painted {name}, eggshell, sheen 15 %") == 1, name
    assert told.count("one to take hold of.") == 2  # a knob and a pull


def test_the_logo_stands_on_the_cover():
    """Rule: undistorted, on the first page and on no other, small beside the picture."""
    pictures = {"shut": picture(), "logo": picture(size=(300, 100), colour="#222222")}
    with pdfplumber.open(io.BytesIO(book_bytes(job(), pictures))) as document:
        cover = sorted(document.pages[0].images, key=lambda each: each["height"])
        assert len(cover) == 2 and cover[0]["width"] / cover[0]["height"] == pytest.approx(3.0, rel=1e-3)
        assert cover[0]["height"] < 60 < cover[1]["height"]
        assert all(
            abs(each["width"] / each["height"] - 3.0) > 0.1 for page in document.pages[1:] for each in page.images
        )


def grey_areas(data: bytes) -> list[tuple[float, float]]:
    """Low and high end, mm above the page's foot, of what is filled light grey."""
    with pdfplumber.open(io.BytesIO(data)) as document:
        return [
            (float(page.height - each["bottom"]) / 72 * 25.4, float(page.height - each["top"]) / 72 * 25.4)
            for page in document.pages
            for each in page.curves
            if each["fill"] and each["non_stroking_color"] in ((0.82,), 0.82)
        ]


def test_a_person_stands_beside_a_piece_to_its_scale():
    """Rule: one who cannot read sizes sees a person 1700 mm tall beside the front, at its scale; a low piece stands alone."""
    areas = grey_areas(book_bytes(job()))
    assert max(high for _, high in areas) - min(low for low, _ in areas) == pytest.approx(1700 / 20, abs=0.1)
    low = read_piece_file(DEMO.parents[2] / "core" / "library" / "pieces" / "blanket_chest.json")
    assert not grey_areas(book_bytes(job(low)))


def test_a_client_who_reads_inches_reads_no_millimetres():
    """Where lists are in inches the sentences are too, in what was found as well, and the figures of the drawing."""
    data = json.loads((DEMO.parents[2] / "core" / "library" / "pieces" / "media_cabinet.json").read_text("utf-8"))
    data["shop"].update(locale="en_US", lengths="1/16 in")
    reader = PdfReader(io.BytesIO(book_bytes(job(loads(json.dumps(data))), {})))
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    assert re.findall(r"[\d.]+ (?:mm|kg)\b", text) == []
    assert "keeps the piece 11/16″ from the wall" in text and re.search(r"reckoned for \d+ to \d+ lb each", text)
    assert "63″ wide, 22-1/16″ high" in text and "63″ 22-1/16″ Front, 1:20" in text and "1600" not in text


def test_the_drawing_writes_its_sizes_as_the_sentences_do():
    """Rule: lengths of the drawing follow the locale, the person's with them: a comma where it is usual."""
    data = json.loads((PIECES / "wardrobe.json").read_text("utf-8"))
    data["whole"]["height"] += 0.5
    data["shop"].update(locale="de_DE")
    told = told_of(loads(json.dumps(data)))
    high = re.search(r"([\d,]+) mm high", told)[1]
    assert high.endswith(",5") and f" {high} Front, 1:" in told


def starter(kind, **changes):
    """A starter piece with some of its plain data changed."""
    return loads(json.dumps(json.loads((PIECES / f"{kind}.json").read_text("utf-8")) | changes))


def fronts_of(kind):
    return json.loads((PIECES / f"{kind}.json").read_text("utf-8"))["fronts"]


def told_of(*pieces) -> str:
    return " ".join(texts(book_bytes(job(*pieces))))


def test_no_id_of_a_front_stands_in_the_book():
    """Rule: fronts are told by what they are, those that open alike together; ids are for files."""
    told = told_of(starter("media_cabinet"))
    assert "A door, hinged at the left, seen from the front." in told
    assert not any(front["id"].lower() in told.lower() for front in fronts_of("media_cabinet"))
    assert "3 drawers to pull out." in told_of(starter("desk_pedestal"))


@pytest.mark.parametrize(
    "stairs, words",
    [
        ({}, "goes through a doorway"),
        ({"width": 820}, "It goes up stairs 820 mm wide."),
        ({"width": 820, "landing": 900}, "It goes up stairs 820 mm wide, and round a landing 900 mm deep."),
        (
            {"width": 820, "landing": 700},
            "does not go level round a landing 700 mm deep at the end of stairs 820 mm wide",
        ),
    ],
)
def test_the_client_is_told_whether_it_goes_up_the_stairs(stairs, words):
    """Of stairs on the way the book speaks as of the doorway; where there are none it says nothing."""
    site = json.loads((PIECES / "coat_cupboard.json").read_text("utf-8"))["site"]
    told = told_of(starter("coat_cupboard", site=site | {"stairs": stairs}))
    assert words in told and ("stairs" in told) == bool(stairs)


def test_the_door_that_opens_first_is_the_leading_one():
    """Rule: only where the doors meet over one another one of them opens first, and it is the one that leads."""
    (doors,) = fronts_of("wardrobe")
    assert "hinged at their outer sides: either opens without the other." in told_of(starter("wardrobe"))
    rebated = doors | {"meeting_stiles": doors["meeting_stiles"] | {"joint": "rebated", "leads": "left"}}
    assert "hinged at their outer sides: the left one opens first." in told_of(starter("wardrobe", fronts=[rebated]))


def test_a_chest_under_a_lid_is_told_as_well():
    """Rule: a lid is told among what opens, and the room under its battens among what holds things."""
    told = told_of(starter("blanket_chest"))
    assert "A lid, hinged at the back; stays on both sides stop it when it stands open." in told
    model = build_job(Job("", (JobItem(starter("blanket_chest")),))).pieces[0].model
    (bay,), lowest = model.bays, min(part.place.origin[2] for part in model.parts if "batten" in part.key)
    assert f"under the lid, 1040 mm wide, 444 mm from front to back and {int(lowest - bay.low[2])} mm high" in told


def test_compartments_with_nothing_in_them_are_told():
    """Rule: what stands open is called so, what doors close is not; what holds a rail or a drawer is told by those."""
    assert "An open compartment, 406 mm wide, 394 mm from front to back and 266 mm high inside." in told_of(
        starter("bedside_cabinet")
    )
    told = told_of(starter("wardrobe"))
    assert "A compartment behind doors, 538 mm wide" in told and "open compartment" not in told


def test_compartments_with_loose_shelves_are_told():
    """Rule: a client reads how wide, deep and high the room is that shelves part, not only what each shelf bears."""
    assert "A compartment behind doors with 3 loose shelves, 538 mm wide, 579 mm from front to back and" in told_of(
        starter("wardrobe")
    )
    assert "2 open compartments with 3 loose shelves each," in told_of(starter("bookcase"))


def test_several_pieces_are_told_each_under_its_name():
    """Rule: where a book is of several pieces their names are headings, and a change says of which piece it speaks."""
    told = told_of(read_piece_file(DEMO), starter("media_cabinet"))
    assert "What goes in Coat cupboard for the library hallway 501 mm are clear" in told
    assert "How it opens Coat cupboard for the library hallway A pair of doors" in told
    assert "One more loose shelf (the coat cupboard for the library hallway):" in told
    assert "60 mm higher (the coat cupboard for the library hallway):" in told


def test_parts_made_again_are_counted_in_every_copy():
    """Rule: of a piece ordered twice the parts of both are made again."""
    one, two = (
        next_changes(build_job(Job("", (JobItem(starter("media_cabinet"), number),)))).higher for number in (1, 2)
    )
    assert (two.anew, two.of, two.below) == (2 * one.anew, 2 * one.of, 2 * one.below)


def test_care_is_told_of_what_is_on_the_piece():
    """Rule: nothing is said of paint where nothing is painted, nothing of oil where nothing is oiled."""
    data = json.loads((PIECES / "bookcase.json").read_text("utf-8"))
    assert "keep the small pot of paint" in told_of(loads(json.dumps(data)))
    for coat in data["finish"]["schemes"][0]["coats"]:
        coat["coating"] = "clear"
    bare = told_of(loads(json.dumps(data)))
    assert "Paint is hard" not in bare and "Oiled wood" not in bare and "Another colour" not in bare
    assert "Oiled wood" in told_of(read_piece_file(DEMO))


def test_without_a_picture_the_cover_has_a_drawing():
    """Rule: the first page shows the piece, drawn as long as there is no picture of it."""
    lines = []
    for pictures in ({}, {"shut": picture()}):
        with pdfplumber.open(io.BytesIO(book_bytes(job(), pictures))) as document:
            lines.append(len(document.pages[0].lines))
    assert lines[0] > 50 and lines[1] == 0


def test_figures_stay_with_their_units():
    """Rule: no line of a paragraph begins with the unit of a figure."""
    for page in PdfReader(io.BytesIO(book_bytes(job()))).pages:
        for line in page.extract_text().splitlines():
            assert not re.match(r"(mm|kg|%)(?!\w)", line.strip()), line


def test_sizes_in_the_names_of_handles_follow_the_locale():
    """Rule: where lists are in inches a knob's diameter is too."""
    data = json.loads((PIECES / "media_cabinet.json").read_text("utf-8"))
    data["shop"].update(locale="en_US", lengths="1/16 in")
    told = told_of(loads(json.dumps(data)))
    assert "2 turned knobs, diameter 1-5/16″, oak, 17-3/4″ above the floor." in told and "diameter 34" not in told


def test_other_handles_shelves_doors_and_finishes_are_told():
    """Rule: what one sees of a change is told before the parts that it makes."""
    first = job(starter("media_cabinet"))
    data = json.loads((PIECES / "media_cabinet.json").read_text("utf-8"))
    for front in data["fronts"]:
        front["handle"] = "pull-128"
    data["finish"]["schemes"][0]["name"] = "Clay"
    held = next(each for node in data["layout"] for each in node.get("holds", []) if each["style"] == "shelves")
    held["quantity"] += 1
    told = " ".join(texts(book_bytes(job(loads(json.dumps(data)), since=revision_of(first)))))
    assert "4 loose shelves instead of 3." in told
    assert "2 bow pulls, centres 128 mm, steel instead of 2 turned knobs, diameter 34 mm, oak." in told
    assert "Finished as “Clay” instead of “Harbour blue”." in told and "1 new part" in told
    assert "Nothing that you would see." in " ".join(
        texts(book_bytes(job(starter("media_cabinet"), since=revision_of(first))))
    )


def test_one_of_it_more_is_told():
    """Rule: how many are ordered is told where it is another number than it was."""
    first = job(starter("bookcase"))
    two = build_job(Job("Hallway", (JobItem(starter("bookcase"), 2),)), since=revision_of(first))
    assert "2 of it instead of 1." in " ".join(texts(book_bytes(two)))


def test_many_small_compartments_are_told_in_one_line():
    """Rule: of more than two sizes of one kind their number and the largest are told."""
    data = json.loads((PIECES / "bedside_cabinet.json").read_text("utf-8"))
    (node,) = [each for each in data["layout"] if each["id"] == "open"]
    node["divided"] = "columns"
    shared = {"order": 0, "divided": "none", "holds": []}
    for number, share in enumerate((1, 2, 3)):
        data["layout"].append(
            {**node, **shared, "id": f"c{number}", "parent": "open", "order": number, "size": {"share": share}}
        )
    found = re.search(r"3 open compartments, the largest (\d+) mm wide", told_of(loads(json.dumps(data))))
    model = build_job(Job("", (JobItem(loads(json.dumps(data))),))).pieces[0].model
    assert found and int(found[1]) == max(int(bay.high[0] - bay.low[0]) for bay in model.bays if bay.key[:1] == "c")


def test_limits_and_changes_are_told_over_all():
    """Rule: where the sizes of a piece are those of its carcass the client still reads what is measured over all."""
    data = json.loads(DEMO.read_text("utf-8"))
    data["whole"]["basis"] = "carcass"
    first = loads(json.dumps(data))
    data["whole"]["height"] += 20
    made = job(loads(json.dumps(data)), since=revision_of(job(first)))
    told = " ".join(texts(book_bytes(made)))
    wide, _, high = made.pieces[0].model.overall
    assert high > data["whole"]["height"] and f"{high:g} mm high instead of {high - 20:g} mm" in told
    (limit,) = [each for each in limits(made.pieces[0].piece) if each.size == "width"]
    assert wide > data["whole"]["width"]
    assert f"Wider than {limit.last + wide - data['whole']['width']:g} mm" in told


def test_one_shelf_is_told_as_one():
    """Rule: "each" is said of several only."""
    data = json.loads((PIECES / "media_cabinet.json").read_text("utf-8"))
    shelves = [(node, each) for node in data["layout"] for each in node.get("holds", []) if each["style"] == "shelves"]
    for node, each in shelves[1:]:
        node["holds"].remove(each)
    told = told_of(loads(json.dumps(data)))
    assert re.search(r"1 loose shelf, reckoned for \d+ kg\.", told)


def test_what_is_not_delivered_is_told():
    """Rule: where delivery is not charged the book says, as the quotation does, that it is not in the price."""
    made = job(starter("bookcase"))
    shop = made.workshop
    prices = dataclasses.replace(shop.prices, delivery=0.0, includes="", excludes="Electric work.")
    alone = dataclasses.replace(made, workshop=dataclasses.replace(shop, prices=prices))
    told = " ".join(texts(book_bytes(alone)))
    assert "Not in the price: Electric work; delivery and fixing." in told and "In the price: " not in told.replace(
        "Not in", ""
    )


def test_the_book_tells_which_pictures_it_looks_for():
    """Rule: a picture under each of the names is printed."""
    made = job(starter("media_cabinet"))
    names = picture_names(made)
    assert set(names) == {"logo", "shut", "open", "scheme.first"}
    several = job(starter("media_cabinet"), starter("bookcase"))
    assert "bookcase/open" in picture_names(several) and "open" not in picture_names(several)


def test_no_key_stands_in_what_was_found():
    """Rule: findings that a client reads name neither keys nor ids, whatever they tell a maker."""
    data = json.loads((PIECES / "wardrobe.json").read_text("utf-8"))
    (hats,) = [each for each in data["layout"] if each["id"] == "hats"]
    hats["holds"].append({"style": "rail"})
    made = job(loads(json.dumps(data)))
    found = [each.text for each in made.pieces[0].findings if each.check == "height for coats"]
    assert any("the hanging rail “hats”" in each for each in found)
    book = Book(made, {})
    assert (
        book.told("In the shelf (between hats and shelves) 2 mm (MDF 18) are left.")
        == "In the shelf 2 mm (MDF 18) are left."
    )
    told = " ".join(texts(book_bytes(made)))
    assert book.told("Loaded for years the loose shelf (hats, top) sags.") == "Loaded for years the loose shelf sags."
    assert "mm are free under the hanging rail; even children's clothes want" in told and "/tube" not in told


def test_spaces_with_no_board_between_are_told_as_one():
    """Rule: where nothing stands between two compartments there is one room."""
    data = json.loads((PIECES / "bedside_cabinet.json").read_text("utf-8"))
    (node,) = [each for each in data["layout"] if each["id"] == "open"]
    for number in (1, 2):
        share = {"id": f"c{number}", "parent": "open", "order": number, "size": {"share": 1}}
        data["layout"].append({**node, "divided": "none", "holds": [], **share})
    node |= {"divided": "columns", "between": "nothing"}
    assert "An open compartment, 406 mm wide, 394 mm from front to back and 266 mm high inside." in told_of(
        loads(json.dumps(data))
    )


def test_what_is_hung_and_stood_in_is_told():
    """Rule: hooks, shelves for shoes and a mirror are counted among what goes in."""
    data = json.loads((PIECES / "wardrobe.json").read_text("utf-8"))
    board = {"id": "mirror-4", "material": "mirror", "thickness": 4}
    data["boards"].append(next(each for each in data["boards"] if each["id"] == "mdf-18") | board)
    holds = {each["id"]: each["holds"] for each in data["layout"]}
    holds["hats"].append({"style": "hooks", "quantity": 4, "height": 1880})
    holds["long"][:] = [{"style": "shoe_rack"}, {"style": "mirror", "hand": "left", "width": 240}]
    told = told_of(loads(json.dumps(data)))
    assert "4 coat hooks." in told and "A mirror inside a door, 240 mm wide and 1000 mm high." in told
    assert re.search(r"[12] sloping shel(f|ves) for shoes\.", told)


def pictures_of(built) -> dict[str, bytes]:
    """A picture for every name under which the book of a job looks for one."""
    return {name: picture(size=(400, 300) if "open" in name else (300, 400)) for name in picture_names(built)}


def test_pictures_and_names_stay_with_what_they_belong_to():
    """Rule: no word "Shut" or "Open", no name of a piece and no chapter's title is the last line of a page."""
    made = job(read_piece_file(DEMO), starter("bookcase"))
    pages = PdfReader(io.BytesIO(book_bytes(made, pictures_of(made)))).pages
    lonely = {"Shut", "Open", *(each.piece.whole.name for each in made.pieces), *(each.title for each in chapters())}
    with pdfplumber.open(io.BytesIO(book_bytes(made, pictures_of(made)))) as document:
        for page in document.pages:
            foot = max((image["bottom"] for image in page.images), default=0.0)
            lines = [each for each in page.extract_text_lines() if each["bottom"] < page.height - 45]
            last = max(lines, key=lambda each: each["bottom"])
            assert last["bottom"] < foot or last["text"] not in lonely, last["text"]
    assert "Revision A" in pages[0].extract_text()  # nothing of the cover goes on to the second page


def test_schemes_with_long_names_find_room():
    """Rule: where the colours of schemes side by side would be higher than a page fewer stand abreast."""
    data = json.loads(DEMO.read_text("utf-8"))
    for scheme in data["finish"]["schemes"]:
        for number, group in enumerate(GROUPS):
            coat = next((each for each in scheme["coats"] if each["group"] == group), None)
            if coat is None:
                scheme["coats"].append(coat := {**scheme["coats"][0], "group": group})
            coat["coating"], coat["name"] = (
                "clear",
                f"{number} a colour of paint with a long name that somebody gave it",
            )
    made = job(loads(json.dumps(data)))
    pages = texts(book_bytes(made, pictures_of(made)))
    assert " ".join(pages).count("of paint with a long name that somebody gave it”") == 3 * len(GROUPS)


def test_more_of_it_is_never_told_to_be_cheaper():
    """Rule: where a higher piece happens to come out of fewer boards the client reads that it costs nothing more."""
    made = job(starter("linen_press"))
    assert next_changes(made).higher.price < 0
    told = " ".join(texts(book_bytes(made)))
    assert "60 mm higher: nothing more as long as no board is cut." in told and " less as long as" not in told


def test_what_is_coated_is_called_as_a_client_calls_it():
    """Rule: a lid is no moulding, a chest of drawers has no doors, a base no legs; nobody need know what a carcass is."""
    said = {
        "blanket_chest": ("Outside, base: paint", "Lid: oil", "A piece finished like the lid: oiled."),
        "chest_of_drawers": (
            "Outside, drawer fronts, base: paint",
            "Top: oil",
            "A piece finished like the top: oiled.",
        ),
        "coat_cupboard": (
            "Outside, doors and drawer front, legs: paint",
            "Moulding: oil",
            "finished like the moulding",
        ),
    }
    for kind, wanted in said.items():
        told = told_of(starter(kind))
        assert all(words in told for words in wanted) and "arcass" not in told, kind
    sheets = number_sheets(quotation_sheets(job(starter("blanket_chest"))))
    quoted = " ".join(texts(pdf_bytes(sheets, title="x", date=datetime.date(2026, 1, 1))))
    assert "Outside and base: paint" in quoted and "Lid: oil" in quoted and "knobs" not in quoted


def test_a_piece_without_handles_has_none_that_are_not_counted():
    """Rule: of knobs is spoken where there are some."""
    assert "320 mm deep. " in told_of(starter("bookcase"))
    assert "500 mm deep; knobs and handles are not counted." in told_of(starter("chest_of_drawers"))


def test_a_revision_without_a_letter_leaves_no_hole():
    """Rule: where the record names no revision nothing is said of one, on the cover, at the foot and where one signs."""
    told = told_of(starter("bookcase", record={"revision": "", "date": "2026-11-24"}))
    assert not re.search(r"\brevision", told, re.I) and "Hallway 24 November 2026 Hallway page 1 of" in told
    assert "I have looked at this book and agree" in told


def test_what_was_found_has_the_decimals_of_the_locale():
    """Rule: sentences of the findings have a decimal comma where the others have one."""
    data = json.loads((PIECES / "media_cabinet.json").read_text("utf-8"))
    data["shop"].update(locale="de_DE")
    data["site"]["skirting"]["thickness"] = 12.6
    told = told_of(loads(json.dumps(data)))
    assert "keeps the piece 12,6 mm from the wall: in the room it is 462,6 mm deep" in told


def test_children_climb_on_what_there_is():
    """Rule: a bookcase has neither doors nor drawers that the caution could mean."""
    for kind, what in (("bookcase", "it"), ("chest_of_drawers", "drawers"), ("coat_cupboard", "doors or drawers")):
        assert f"above all when children climb on {what}: leave" in told_of(starter(kind)), kind


def test_limits_are_told_in_whole_millimetres():
    """Rule: a limit is rounded toward what works; tenths that only follow from the size there is tell a client nothing."""
    piece = starter("chest_of_drawers")
    piece = dataclasses.replace(piece, whole=dataclasses.replace(piece.whole, depth=500.3, width=900.7))
    lines = re.findall(r"(Wider|Less deep) than ([\d.]+) mm", told_of(piece))
    found = {(each.size, each.is_most): each.last for each in limits(piece)}
    assert dict(lines) == {
        "Wider": str(math.floor(found["width", True])),
        "Less deep": str(math.ceil(found["depth", False])),
    }


def test_no_paragraph_is_parted_by_the_end_of_a_page():
    """Rule: a page begins with a sentence, and does not end a line or two into one."""
    pieces = (read_piece_file(DEMO), read_piece_file(DEMO.parent / "reading_bookcase.json"))
    pages = texts(book_bytes(job(*pieces)))
    assert all(page[0].isupper() or page[0].isdigit() for page in pages), [page[:40] for page in pages]


def refusal_of(data) -> ParameterError:
    with pytest.raises(ParameterError) as refused:
        build(loads(json.dumps(data)))
    return refused.value


def test_what_refuses_smaller_pieces_is_in_plain_words():
    """Rule: words are known for what the builders say today: shelves too close together, corner blocks without room."""
    close, narrow = (json.loads((PIECES / f"{kind}.json").read_text("utf-8")) for kind in ("media_cabinet", "bookcase"))
    next(each for node in close["layout"] for each in node["holds"] if each["style"] == "shelves")["quantity"] = 9
    narrow["top"] = {"style": "loose_cornice", "board": "oak-40", "block": 200}
    narrow["whole"]["width"] = 450
    said = [plain_reason(limit(error.field, error.message)) for error in map(refusal_of, (close, narrow))]
    assert said == [
        "the shelves would then be too close together",
        "there would then be no room for the blocks that hold the moulding on top together",
    ]


def test_handles_of_metal_are_not_said_to_be_oiled():
    """Rule: of handles only those of wood take oil; the doors that have panes are called glazed."""
    data = json.loads((PIECES / "sideboard.json").read_text("utf-8"))
    assert "Handles: oil" in told_of(loads(json.dumps(data)))
    for front in data["fronts"]:
        if front["kind"] == "door":
            front |= {"handle": "pull-128", "panel": {"style": "glazed", "board": "hardwood-20"}}
    told = told_of(loads(json.dumps(data)))
    assert "Wooden handles: oil" in told and "A glazed door, hinged at the left" in told
    for front in data["fronts"]:
        front["handle"] = "pull-128"
    assert "andles: oil" not in told_of(loads(json.dumps(data)))


def test_the_book_is_printed_on_the_paper_that_is_sold():
    """Rule: American books are on letter paper as the other papers are, with nothing beyond its margins; all else is A4."""
    data = json.loads((PIECES / "bookcase.json").read_text("utf-8"))
    for locale, size in (("en_US", (215.9, 279.4)), ("en_AU", (210.0, 297.0))):
        data["shop"].update(locale=locale)
        with pdfplumber.open(io.BytesIO(book_bytes(job(loads(json.dumps(data)))))) as document:
            for page in document.pages:
                assert (page.width / 72 * 25.4, page.height / 72 * 25.4) == pytest.approx(size, abs=0.1)
                marks = [*page.chars, *page.curves, *page.lines]
                assert min(each["top"] for each in marks) / 72 * 25.4 > 15
                assert max(each["bottom"] for each in marks) / 72 * 25.4 < size[1] - 8
