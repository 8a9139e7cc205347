"""Sheets, lettering, tables and scales: laid out exactly, nothing outside its place, nothing lost."""

import re
from itertools import combinations, pairwise

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from core.drawing import text
from core.drawing.page import Arc, Area, Circle, Lines, Rect, RoomError, Stroke, Text, bounds, dashes, placed
from core.drawing.sheet import (
    SHEETS,
    Bracket,
    Cell,
    Column,
    Figure,
    Gap,
    Group,
    Heading,
    Paragraph,
    Scale,
    Sheet,
    Table,
    TitleBlock,
    fitting_scale,
    flow,
    number_sheets,
    single_group,
    table_pages,
)
from core.drawing.text import GlyphError, require_glyphs, width, wrap

TITLE = TitleBlock(
    piece="Coat cupboard",
    sheet="Cutting list",
    client="Village library",
    owner="Old Mill Joinery",
    number="2026-014",
    date="2026-03-01",
    revision="C",
    state="Released for cutting",
    scale="1:10",
    drawn_by="A. Reed",
    views="Front view.",
    projection="first angle",
)
STAMP = "DO NOT CUT: 2 stop findings"


def texts(page):
    return [item for item in page.items if isinstance(item, Text)]


# --- lettering


@pytest.mark.parametrize("style", ["regular", "bold"])
def test_widths_agree_with_another_reader(style):
    """Widths and heights equal those a general-purpose font library reads from the same file, for every character."""
    font = TTFont(text.FONT_FILES[style])
    glyphs, advances = font.getBestCmap(), font["hmtx"].metrics
    capital = font["glyf"]["H"].yMax
    assert dict(text.font(style).advances) == {code: advances[name][0] / capital for code, name in glyphs.items()}
    assert text.font(style).em == font["head"].unitsPerEm / capital


def test_repertory():
    """Latin, Greek and Cyrillic letters, arrows, and the signs of the trade can all be printed, regular and bold."""
    for style in ("regular", "bold"):
        require_glyphs("ÀÉÎÕÜßŁčğőř ΑΩαω ЖЯжя ←↑→↓ ×°½¼¾≤≥Ø⌀→−±√²³″′…–—“”‘’•☐✓≈≠∅ \u00a0", style)


@pytest.mark.parametrize(
    ("string", "named"),
    [("oak 木", "U+6728"), ("a\tb", "U+0009"), ("a\u200bb", "U+200B"), ("שלום", "U+05E9"), ("\u202eabc", "U+202E")],
)
def test_missing_glyph_is_an_error(string, named):
    """A character that cannot be printed is named, with its text, and is never an empty box on paper."""
    for attempt in (lambda: Text(0, 0, 2.5, string), lambda: require_glyphs(string)):
        with pytest.raises(GlyphError, match=re.escape(named)) as caught:
            attempt()
        assert "\n" not in str(caught.value)


def test_accents_are_composed():
    """A letter and a loose accent print as the one character that they are."""
    assert Text(0, 0, 2.5, "e\u0301").string == "é"


@given(string=st.text(st.sampled_from("abc WÄ-/.1\n"), max_size=80), room=st.floats(5, 60))
def test_wrapping_keeps_words_and_width(string, room):
    """No wrapped line is wider than its room, and no letter is lost or invented."""
    lines = wrap(string, room, 2.5)
    assert all(width(line, 2.5) <= room + 1e-9 for line in lines)
    assert re.sub(r"\s", "", "".join(lines)) == re.sub(r"\s", "", string)


@pytest.mark.parametrize("angle", [0, 30, 90])
@pytest.mark.parametrize("anchor", ["left", "middle", "right"])
def test_bounds_of_lettering(angle, anchor):
    """Lettering turns about its own point: its bounds are those of its box, turned with it."""
    item = Text(50, 60, 5, "Hg", anchor, angle=angle)
    flat = Text(50, 60, 5, "Hg", anchor)
    if angle == 90:
        assert item.bounds().width == pytest.approx(flat.bounds().height)
        assert item.bounds().y - 60 == pytest.approx(flat.bounds().x - 50)
    assert item.bounds().overlaps(Rect(49, 59, 2, 2))


# --- primitives


def test_placing_scales_geometry_only():
    """Placed items are scaled and moved; line widths and lettering heights stay what the standard says."""
    items = (
        Stroke(((0, 0), (10, 0)), 0.5),
        Lines(((0, 0, 10, 10),), 0.35),
        Circle(5, 5, 2),
        Arc(0, 0, 4, 0, 90),
        Area(((0, 0), (1, 0), (1, 1))),
        Text(1, 1, 3.5, "7"),
    )
    moved = placed(items, 100, 50, 0.1)
    assert moved[0].points == ((100, 50), (101, 50)) and moved[0].width == 0.5
    assert moved[1].segments == ((100, 50, 101, 51),)
    assert (moved[2].x, moved[2].radius) == (100.5, 0.2)
    assert (moved[5].x, moved[5].height) == (100.1, 3.5)
    assert bounds(moved[:5]) == Rect(100, 50, 1, 1)


def test_arc_bounds_reach_the_quarters():
    """An arc's bounds include the points where it is furthest left, right, up and down."""
    rect = Arc(0, 0, 10, 45, 180).bounds()
    assert (rect.x, rect.y, rect.top) == pytest.approx((-10, 0, 10))


def test_dashes_follow_the_line_width():
    """ISO 128: dashes are 12, gaps 3, long dashes 24 line widths."""
    assert dashes("visible", 0.5) == ()
    assert dashes("hidden", 0.25) == (3.0, 0.75)
    assert dashes("centre", 0.25) == (6.0, 0.75, 0.125, 0.75)


# --- scales


def test_scale_is_the_largest_that_fits():
    """A drawing gets the largest ISO 5455 scale at which it fits its room."""
    room = Rect(0, 0, 170, 230)
    assert str(fitting_scale(1150, 1900, room)) == "1:10"
    assert str(fitting_scale(170, 230, room)) == "1:1"
    assert str(fitting_scale(170.1, 230, room)) == "1:2"
    assert str(fitting_scale(17, 23, room, largest=Scale(10, 1))) == "10:1"
    with pytest.raises(RoomError, match="larger sheet"):
        fitting_scale(17001, 100, room)


# --- sheets


@pytest.mark.parametrize("name", SHEETS)
def test_frame_and_title_block(name):
    """ISO 5457: 20 mm or more at the left, 10 elsewhere; ISO 7200: title block, 180 mm, in the lower right corner.

    On a low sheet it is a strip along the whole foot, and costs less than an eighth of the sheet.
    """
    sheet = Sheet(size=SHEETS[name], title=TITLE)
    frame, block = sheet.frame, sheet.title_block
    assert frame.x >= 20 and (frame.y, sheet.size.height - frame.top) == pytest.approx((10, 10))
    assert sheet.size.width - frame.right == pytest.approx(10)
    low = name.endswith((" low", " landscape")) and sheet.size.width > 220
    assert block.width == pytest.approx(frame.width if low else 180) and (block.right, block.y) == pytest.approx(
        (frame.right, frame.y)
    )
    assert frame.contains(sheet.room) and not sheet.room.overlaps(block)
    usual = Sheet(
        size=SHEETS[name], title=TitleBlock(piece="Coat cupboard", sheet="Cutting list", views="All sizes in mm.")
    )
    assert not low or usual.title_block.height < sheet.size.height / 8
    if sheet.side_room:
        assert frame.contains(sheet.side_room) and not sheet.side_room.overlaps(block)


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("stamp", ["", STAMP, "DO NOT CUT: " + "a very long reason that needs several lines " * 5])
def test_nothing_printed_overlaps(name, stamp):
    """On an empty sheet no lettering overlaps other lettering, leaves the paper, or reaches into the room."""
    sheet = Sheet(size=SHEETS[name], title=TITLE, stamp=stamp)
    rects = [item.bounds() for item in texts(sheet.page(88, 188))]
    assert not any(a.overlaps(b) for a, b in combinations(rects, 2))
    assert all(Rect(0, 0, sheet.size.width, sheet.size.height).contains(rect) for rect in rects)
    assert not any(rect.overlaps(sheet.room) for rect in rects)
    assert all(item.height >= text.LEAST_HEIGHT for item in texts(sheet.page()))


def test_every_field_is_printed():
    """The title block says every field it is given, and the page of how many."""
    said = [item.string for item in texts(Sheet(size=SHEETS["A4"], title=TITLE).page(3, 12))]
    for value in (
        "Coat cupboard",
        "Cutting list",
        "Village library",
        "Old Mill Joinery",
        "2026-014",
        "2026-03-01",
        "C",
        "Released for cutting",
        "1:10",
        "A. Reed",
        "Front view.",
        "3 of 12",
    ):
        assert value in said


def test_a_no_break_space_holds_words_together():
    """Rule: a line is never broken at a no-break space, which stays what it is."""
    assert wrap("sheen 15\N{NO-BREAK SPACE}%", width("sheen 15", 2.5) + 1.0, 2.5) == ("sheen", "15\N{NO-BREAK SPACE}%")


def test_long_fields_wrap_in_their_cells():
    """A title too long for its cell steps down to a smaller standard height, then wraps; the block grows."""
    long = TitleBlock(
        piece="Coat cupboard with two doors, a wide drawer and a loose oak cornice for the reading room",
        sheet="S" * 90,
        client="Library",
    )
    short = Sheet(size=SHEETS["A4"], title=TITLE)
    sheet = Sheet(size=SHEETS["A4"], title=long)
    rects = [item.bounds() for item in texts(sheet.page())]
    assert all(sheet.frame.contains(rect) for rect in rects)
    assert not any(a.overlaps(b) for a, b in combinations(rects, 2))
    assert sheet.title_block.height > short.title_block.height - 10 and sheet.room.y > sheet.title_block.top


@pytest.mark.parametrize("name", ["A3", "A2 low", "tabloid"])
def test_zones(name):
    """ISO 5457: fields of 50 mm from the middle of the sheet, letters one way without I and O, numerals the other."""
    page = Sheet(size=SHEETS[name], title=TITLE).page()
    frame = SHEETS[name].frame
    outside = [item for item in texts(page) if not frame.contains(item.bounds())]
    letters = {item.string for item in outside if item.string.isalpha()}
    numerals = {item.string for item in outside if item.string.isdigit()}
    assert letters == set("ABCDEFGH"[: len(letters)]) and len(letters) % 2 == 0 and len(numerals) % 2 == 0
    rows = sorted(item.y for item in outside if item.string.isalpha() and item.x < frame.x)
    assert all(b - a == pytest.approx(50) for a, b in pairwise(rows[1:-1]))


def test_projection_symbols_differ():
    """The view from the left stands right of the cone in first angle, left of it in third; its narrow end is left."""

    def rings_minus_cone(projection):
        page = Sheet(size=SHEETS["A4"], title=TitleBlock(piece="a", sheet="b", projection=projection)).page()
        ring = next(item for item in page.items if isinstance(item, Circle))
        cone = next(
            item
            for item in page.items
            if isinstance(item, Stroke)
            and item.closed
            and len(item.points) == 4
            and len({y for _, y in item.points}) == 4
        )
        left, right = sorted({x for x, _ in cone.points})
        heights = [
            max(y for x, y in cone.points if x == end) - min(y for x, y in cone.points if x == end)
            for end in (left, right)
        ]
        assert heights[0] < heights[1]
        return ring.x - bounds([cone]).centre[0]

    assert rings_minus_cone("first angle") > 0 > rings_minus_cone("third angle")


def test_pages_are_numbered_across_sheets_of_all_kinds():
    """Each sheet says which of how many it is."""
    pages = number_sheets([Sheet(size=SHEETS[name], title=TITLE) for name in ("A4", "A3", "letter")])
    assert [f"{n} of 3" in [item.string for item in texts(page)] for n, page in enumerate(pages, 1)] == [True] * 3


# --- tables

COLUMNS = (Column("Mark", 12, "right"), Column("Name"), Column("Length", 18, "right"))


def rows_of(count, words=1):
    return [(str(n), "planted stile " * words, f"{n}.5") for n in range(count)]


def test_headings_repeat_and_no_row_is_lost():
    """A table that runs on to further sheets repeats its headings and prints every row once, in order."""
    pages = table_pages(Table(COLUMNS, single_group(rows_of(100))), Sheet(size=SHEETS["A4"], title=TITLE))
    assert len(pages) > 1
    marks = [item.string for page in pages for item in texts(page) if item.anchor == "right" and item.string.isdigit()]
    assert marks == [str(n) for n in range(100)]
    assert all(sum(item.string == "Length" for item in texts(page)) == 1 for page in pages)


@given(
    rows=st.lists(
        st.tuples(
            st.text(st.sampled_from("0123456789"), max_size=40),
            st.text(st.sampled_from("stile rail-M/Ä"), max_size=300),
            st.just("450.5"),
        ),
        min_size=1,
        max_size=40,
    ),
    size=st.sampled_from(["A4", "A3", "letter landscape"]),
    stamp=st.sampled_from(["", STAMP]),
    title=st.sampled_from(["", "MDF 18, measured 18.1"]),
    bracketed=st.booleans(),
)
@settings(max_examples=30, deadline=None)
def test_no_lettering_leaves_its_cell(rows, size, stamp, title, bracketed):
    """Whatever the cells hold, lettering stays between the lines of the grid and inside the sheet's room."""
    sheet = Sheet(size=SHEETS[size], title=TITLE, stamp=stamp)
    brackets = (Bracket(0, min(3, len(rows)), "one fence setting: 96.0"),) if bracketed else ()
    sheets = flow([Table(COLUMNS, (Group(tuple(rows), title, brackets),))], sheet)
    printed = ""
    for filled in sheets:
        lettering = [item for item in filled.items if isinstance(item, Text)]
        rects = [item.bounds() for item in lettering]
        assert all(sheet.room.contains(rect) for rect in rects)
        assert all(sheet.room.contains(item.bounds()) for item in filled.items)
        assert not any(a.overlaps(b) for a, b in combinations(rects, 2))
        for item in filled.items:
            if isinstance(item, Lines):
                for x1, y1, x2, y2 in item.segments:
                    line = Rect(min(x1, x2), min(y1, y2), abs(x2 - x1), abs(y2 - y1))
                    assert not any(rect.grown(-0.01).overlaps(line.grown(0.005)) for rect in rects)
        printed += "".join(item.string for item in lettering if item.anchor == "left" and item.style == "regular")
    if not bracketed:
        assert re.sub(r"\s", "", printed) == re.sub(r"\s", "", "".join(row[1] for row in rows))


def test_subhead_is_not_left_alone():
    """A subhead stands on the same sheet as the first of its rows, and a group that runs on says so."""
    groups = tuple(Group(tuple(rows_of(7)), f"board {n}") for n in range(12))
    for page in table_pages(Table(COLUMNS, groups), Sheet(size=SHEETS["A4"], title=TITLE)):
        lettering = [item for item in texts(page) if item.y > 60]
        lowest = min(lettering, key=lambda item: item.y)
        assert not lowest.string.startswith("board")
    long = table_pages(Table(COLUMNS, (Group(tuple(rows_of(60)), "MDF 18"),)), Sheet(size=SHEETS["A4"], title=TITLE))
    assert "MDF 18 (continued)" in [item.string for item in texts(long[1])]


def test_bracket_stays_with_its_rows():
    """A bracket's rows are kept on one sheet, and the bracket spans exactly them."""
    rows = rows_of(60)
    brackets = tuple(Bracket(n, 3, f"setting {n}") for n in range(0, 60, 3))
    sheets = flow([Table(COLUMNS, (Group(tuple(rows), "", brackets),))], Sheet(size=SHEETS["A4"], title=TITLE))
    said = [[item.string for item in sheet.items if isinstance(item, Text)] for sheet in sheets]
    for n in range(0, 60, 3):
        home = next(strings for strings in said if f"setting {n}" in strings)
        assert all(str(row) in home for row in range(n, n + 3))
    assert sum(f"setting {n}" in strings for strings in said for n in range(0, 60, 3)) == 20


def test_headings_of_columns_do_not_break_in_a_word():
    """A column is at least as wide as the longest word of its heading; too many are refused by name."""
    (page,) = table_pages(
        Table((Column("Thickness", 5), Column("Name")), single_group([("18", "side")])),
        Sheet(size=SHEETS["A4"], title=TITLE),
    )
    assert "Thickness" in [item.string for item in texts(page)]
    with pytest.raises(RoomError, match="Name, Length need more than"):
        table_pages(Table((Column("Name", 150), Column("Length", 50)), ()), Sheet(size=SHEETS["A4"], title=TITLE))


def test_ragged_rows_are_refused():
    """A row with a cell too few is an error of the page, not a crooked table."""
    with pytest.raises(ValueError, match="a row of 1 cells"):
        table_pages(Table(COLUMNS, single_group([("1",)])), Sheet(size=SHEETS["A4"], title=TITLE))


# --- flowing


def test_heading_goes_with_what_follows():
    """A heading that would be the last thing on a sheet moves to the next, with its text."""
    sheet = Sheet(size=SHEETS["A4"], title=TITLE, bookmark="Notes")
    fill = Gap(sheet.room.height - 20)
    first, second = flow([Paragraph("above"), fill, Heading("Glue"), Paragraph("below")], sheet)
    assert [item.string for item in first.items] == ["above"]
    assert [item.string for item in second.items] == ["Glue", "below"]
    assert (first.bookmark, second.bookmark) == ("Notes", "")


def test_long_paragraph_runs_on():
    """A paragraph longer than a sheet goes on to the next, word by word, and columns fill one after another."""
    words = [f"word{n}" for n in range(3000)]
    for columns in (1, 2):
        sheets = flow([Paragraph(" ".join(words))], Sheet(size=SHEETS["A4"], title=TITLE), columns=columns)
        assert len(sheets) > 1
        assert " ".join(item.string for sheet in sheets for item in sheet.items).split() == words
        assert all(sheet.room.contains(item.bounds()) for sheet in sheets for item in sheet.items)


def test_figures_are_kept_whole():
    """A figure that does not fit what is left goes to the next sheet; one too large for any is refused."""
    figure = Figure((Stroke(((0, 0), (100, 100))),), "middle")
    sheet = Sheet(size=SHEETS["A4"], title=TITLE)
    sheets = flow([figure] * 3, sheet)
    assert [len(filled.items) for filled in sheets] == [2, 1]
    assert sheets[0].items[0].bounds().centre[0] == pytest.approx(sheet.room.centre[0])
    with pytest.raises(RoomError, match="larger sheet"):
        flow([Figure((Stroke(((0, 0), (1, 300))),))], sheet)
    with pytest.raises(RoomError, match="smaller scale"):
        flow([Figure((Stroke(((0, 0), (300, 1))),))], sheet)


def test_swatch_stands_before_its_name():
    """A finish cell shows its colour and, beside it, the name: colour alone says nothing on a grey print."""
    (page,) = table_pages(
        Table((Column("Finish"),), single_group([[Cell("sage green", swatch="#7A8C6E")]])),
        Sheet(size=SHEETS["A4"], title=TITLE),
    )
    swatch = next(item for item in page.items if type(item).__name__ == "Swatch")
    name = next(item for item in texts(page) if item.string == "sage green")
    assert name.bounds().x > swatch.bounds().right
    assert swatch.bounds().height == pytest.approx(2.5)
