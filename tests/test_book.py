"""The client book, read back by independent readers."""

from __future__ import annotations

import dataclasses
import io
import json
import re
from pathlib import Path

import pdfplumber
import pytest
from PIL import Image
from pypdf import PdfReader

from core.book import book_bytes
from core.built import build_job, revision_of
from core.buying.costing import costing
from core.buying.next_changes import next_changes
from core.checks.reading import drawer_room
from core.errors import FileError
from core.limits import limits
from core.pages.book import chapters
from core.pages.book._book import picture_size
from core.piece.files import loads, read_piece_file
from core.piece.job import Job, JobItem

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
        "1000 mm above the floor", "Example prices", "screwed to your wall", "Signature", "in the room it is 578 mm deep", "doorway 760 wide",
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
    assert "What changed since last time" in told and "1960 high instead of 1900" in told and "resized parts" in told


def test_a_design_that_cannot_be_built_is_not_signed():
    """With a stop finding the cover and the last page say so, and there is no line to sign on."""
    data = json.loads(DEMO.read_text())
    data["site"]["ceiling"] = 1850
    told = " ".join(texts(book_bytes(job(loads(json.dumps(data))))))
    assert "cannot be built as it stands" in told and "Signature" not in told and "DO NOT CUT" in told


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
    """Rule: the limits of the sizes stand in the book with their reasons; of a design that cannot be built none are told."""
    made = job()
    told = " ".join(texts(book_bytes(made)))
    found = limits(made.pieces[0].piece)
    assert "What would not work" in told
    assert found
    for each in found:
        assert f"{each.last:g} mm: {each.reason[:1].upper()}{each.reason[1:]}" in told


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
        assert told.count(f"painted {name}, sheen") == 1, name
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
    """Where lists are in inches the sentences are too, in what was found as well; the drawing says that it is not."""
    data = json.loads((DEMO.parents[2] / "core" / "library" / "pieces" / "media_cabinet.json").read_text("utf-8"))
    data["shop"].update(locale="en_US", lengths="1/16 in")
    reader = PdfReader(io.BytesIO(book_bytes(job(loads(json.dumps(data))), {})))
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    assert re.findall(r"[\d.]+ (?:mm|kg)\b", text) == []
    assert "keeps the piece 11/16″ from the wall" in text and re.search(r"reckoned for \d+ to \d+ lb each", text)
    assert "Front, 1:20, sizes in mm" in text
