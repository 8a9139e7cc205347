"""How figures are written: reduced inches, decimal signs, dates and money, and that lists say which they use."""

import csv
import dataclasses
import io
import re
from decimal import Decimal
from fractions import Fraction

import pytest
from examples import example_piece
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from core.built import BuiltJob, build_job
from core.cutting.list import parts_list
from core.drawing.text import width
from core.locales import LOCALES, inches, locale_for
from core.pack import pack_files
from core.piece.job import Job, JobItem
from core.piece.shop import LENGTHS
from core.piece.shop import LOCALES as OFFERED

SMALL = "starter bedside_cabinet"


def job(**shop: str) -> BuiltJob:
    """A small piece whose workshop is set so."""
    piece = example_piece(SMALL)
    return build_job(Job("x", (JobItem(dataclasses.replace(piece, shop=dataclasses.replace(piece.shop, **shop))),)))


def worth(words: str) -> Fraction:
    """What a figure in inches is worth, read by a rule of its own."""
    whole, fraction = re.fullmatch(r'(?:(\d+)-?)??(\d+/\d+)?[″"]', words).groups()
    return Fraction(whole or 0) + Fraction(fraction or 0)


def test_every_locale_and_length_that_a_workshop_can_choose_is_known():
    """No choice of the parameters is without its way of writing."""
    assert set(OFFERED) == set(LOCALES)
    for lengths in LENGTHS:
        assert locale_for("en_US", lengths).unit_words


@given(mm=st.floats(0, 4000), denominator=st.sampled_from([16, 32]))
def test_inches_are_reduced_and_nearest(mm, denominator):
    """A fraction is in its lowest terms, below one, and within half a step of the length."""
    words = inches(mm, denominator)
    assert abs(float(worth(words)) * 25.4 - mm) <= 25.4 / denominator / 2 + 1e-6
    fraction = re.search(r"(\d+)/(\d+)", words)
    if fraction:
        over, under = int(fraction[1]), int(fraction[2])
        assert over % 2 == 1 and over < under <= denominator, words


@given(amount=st.decimals(-10_000_000, 10_000_000, places=2))
def test_money_is_written_whole(amount):
    """Signs and separators taken off, the amount comes back to the cent, in every locale."""
    for locale in LOCALES.values():
        words = locale.money(amount).replace(locale.thousands, "").replace(locale.decimal, ".").replace("−", "-")
        assert Decimal(re.sub(r"[^\d.-]", "", words)) == amount


def test_half_a_cent_goes_up():
    """Money is rounded as a till rounds it, not to the even cent."""
    assert locale_for("en_GB").amount(Decimal("0.125")) == "0.13"


def test_lists_in_inches_say_so_and_how_they_are_rounded():
    """Parts list and cutting list of an American workshop are in inches and name the rounding; rods stay in mm."""
    american = job(locale="en_US", lengths="1/32 in")
    document = PdfReader(io.BytesIO(pack_files(american)["workshop_pack.pdf"]))
    pages = [" ".join(page.extract_text().split()) for page in document.pages]
    lists = [words for words in pages if "Parts list" in words.split("Owner")[0] and "mark" in words.lower()]
    assert lists
    for words in pages:
        assert ("″" in words) == ("rounded to the nearest 1/32″" in words), words[:200]
        assert ("All sizes in mm." in words) != ("rounded to the nearest 1/32″" in words), words[:200]


def test_csv_in_inches_is_read_back():
    """Every size of the list comes back from the file within half a thirty-second, and no cell reads as a date."""
    american = job(locale="en_US", lengths="1/32 in")
    rows = list(csv.DictReader(io.StringIO(pack_files(american)["parts_list.csv"].decode())))
    for row, entry in zip(rows, parts_list(american), strict=True):
        for at, name in enumerate(("length", "width")):
            heading = f"finished {name}, inches to the nearest 1/32"
            assert abs(float(worth(row[heading])) * 25.4 - entry.finished[at]) <= 25.4 / 64 + 1e-6
            assert row[heading].endswith('"')
        assert float(row["thick, inches"]) * 25.4 == pytest.approx(entry.cut[2], abs=0.013)


@pytest.mark.parametrize(("locale", "separator", "decimal"), [("de_DE", ";", ","), ("en_GB", ",", ".")])
def test_csv_separators_follow_the_locale(locale, separator, decimal):
    """A spreadsheet of that country opens the list as columns and reads its numbers as numbers."""
    made = job(locale=locale)
    text = pack_files(made)["cutting_list.csv"].decode()
    rows = list(csv.DictReader(io.StringIO(text), delimiter=separator))
    lengths = sorted(float(row["finished length"].replace(decimal, ".")) for row in rows)
    assert lengths == pytest.approx(sorted(round(entry.finished[0], 1) for entry in parts_list(made)))


def test_papers_with_a_decimal_comma():
    """Where the comma is used, no size, dimension or quantity of any sheet has a point before its decimals."""
    data = pack_files(job(locale="de_DE"))
    for file in (name for name in data if name.endswith(".pdf")):
        for page in PdfReader(io.BytesIO(data[file])).pages:
            words = re.sub(r"(Table|CFR|clause|chapter)\s+\d+\.\d+", "", page.extract_text())
            left = re.findall(r"(?<![\w.,])\d+\.\d+(?![.,]?\d)", words)
            assert not left, (file, left, words[:200])
    assert re.search(
        r"\d,\d", " ".join(page.extract_text() for page in PdfReader(io.BytesIO(data["workshop_pack.pdf"])).pages)
    )


def test_point_and_comma_are_equally_wide():
    """Sheets are laid out before their decimals are written, so both signs must need the same room."""
    for style in ("regular", "bold"):
        assert width("1.5", 2.5, style) == width("1,5", 2.5, style)
