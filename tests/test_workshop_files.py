"""The workshop file: read strictly, written canonically, and used where it is named."""

import dataclasses
import json

import jsonschema
import pdfplumber
import pytest
from examples import DEMO, example_piece
from PIL import Image
from pypdf import PdfReader

from core.__main__ import main
from core.built import build_job
from core.errors import FileError, PieceError
from core.materials import LIBRARY, materials
from core.pages._sheets import maker_of
from core.piece.job import Job, JobItem
from core.starters import starter_text
from core.workshop.company import Company
from core.workshop.files import (
    example_workshop,
    read_workshop_file,
    workshop_from_text,
    workshop_logo,
    workshop_schema,
    workshop_text,
)
from core.workshop.workshop import Workshop

HEAD = {"format": "muntin workshop", "schema": 1}


def read_from(**sections: object) -> Workshop:
    return workshop_from_text(json.dumps({**HEAD, **sections}), "shop.json")


def test_what_is_written_is_read_back():
    """Written and read again, a workshop is the same, to the last byte of its text."""
    workshop = read_from(
        name="Ours",
        saws={"kerf": 2.8, "stages": 3},
        stock={
            "sheets": [{"material": "mdf", "thickness": 12.2}],
            "offcuts": [
                {"material": "oak", "thickness": 40, "width": 70, "length": 900, "avoid": [{"start": 100, "end": 130}]}
            ],
        },
    )
    assert workshop_from_text(workshop_text(workshop)) == workshop
    assert workshop_text(workshop_from_text(workshop_text(workshop))) == workshop_text(workshop)


def test_the_example_is_canonical_and_says_that_it_is_one():
    """The library's file is canonical, answers its schema, is marked, and sells every sheet and timber."""
    example = example_workshop()
    path = LIBRARY / "workshop.json"
    text = path.read_text(encoding="utf-8")
    assert text == workshop_text(example) and example.example
    jsonschema.validate(json.loads(text), workshop_schema())
    sold = {each.material for each in (*example.stock.sheets, *example.stock.lengths)}
    assert {each.id for each in materials() if each.kind in ("sheet", "solid")} <= sold
    assert all(each.price > 0 for each in (*example.stock.sheets, *example.stock.lengths))


@pytest.mark.parametrize(
    ("sections", "words"),
    [
        ({"saws": {"kerf": 30}}, r"shop.json: saws.kerf: 30 is out of range; it must be between 0.5 and 8 mm"),
        ({"saws": {"kerfs": 3}}, r'shop.json: saws.kerfs: is not a parameter; did you mean "kerf"\?'),
        ({"stocks": {}}, r'stocks: is not a parameter; did you mean "stock"\?'),
        (
            {"stock": {"sheets": [{"material": "mfd"}]}},
            r'stock.sheets\[0\].material: there is no material "mfd"; did you mean "mdf"\?',
        ),
        ({"stock": {"sheets": [{"material": "oak"}]}}, r'stock.sheets\[0\].material: "oak" is sold in lengths'),
        (
            {"stock": {"sheets": [{"material": "mdf", "length": 1220, "width": 2440}]}},
            r"stock.sheets\[0\].width: 2440 mm is more than the length of 1220 mm",
        ),
        ({"stock": {"lengths": [{}]}}, r"stock.lengths\[0\].material: name either a material or a fitting"),
        ({"stock": {"lengths": [{"fitting": "butt-hinge-75"}]}}, r"stock.lengths\[0\].fitting: "),
        ({"stock": {"lengths": [{"material": "oak", "width": 0}]}}, r"stock.lengths\[0\].width: 0 mm is no section"),
        (
            {"stock": {"offcuts": [{"material": "mdf", "avoid": [{"start": 1, "end": 2}]}]}},
            r"stock.offcuts\[0\].avoid: stretches can be avoided in lengths only",
        ),
        (
            {"stock": {"offcuts": [{"material": "oak", "avoid": [{"start": 9, "end": 2}]}]}},
            r"stock.offcuts\[0\].avoid\[0\].end: 2 mm lies before the start at 9 mm",
        ),
    ],
)
def test_what_cannot_be_is_said_in_one_line(sections, words):
    """An error names the file, the field, the value and the limit, in one line."""
    with pytest.raises(PieceError, match=words) as caught:
        read_from(**sections)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{}",
        '{"format": "muntin piece", "schema": 1}',
        '{"format": "muntin workshop", "schema": 2}',
        '{"format": "muntin workshop", "schema": 1, "name": NaN}',
        '{"format": "muntin workshop", "schema": 1, "name": "a", "name": "b"}',
    ],
)
def test_what_is_no_workshop_file_is_refused(text):
    """Another format, a newer schema, NaN, a key twice: refused with the file's name first."""
    with pytest.raises(PieceError, match=r"shop\.json: "):
        workshop_from_text(text, "shop.json")


def test_a_job_without_a_workshop_takes_the_example_with_the_piece_own_saw():
    """The kerf and the load of one person that a piece reckons with stand in the place of the example's."""
    piece = example_piece(DEMO)
    piece = dataclasses.replace(piece, shop=dataclasses.replace(piece.shop, kerf=2.2, one_person=25.0))
    job = build_job(Job("x", (JobItem(piece),)))
    assert (job.workshop.saws.kerf, job.workshop.saws.one_person, job.workshop.example) == (2.2, 25.0, True)
    own = read_from(saws={"kerf": 4})
    assert build_job(Job("x", (JobItem(piece),)), workshop=own).workshop == own


def test_the_company_is_set_once_and_stands_on_everything_that_goes_out(tmp_path):
    """Name in every title block, name and address in book and quotation, the logo on the cover; the piece's own record stands above."""
    Image.new("RGB", (300, 100), "#222222").save(tmp_path / "logo.png")
    company = {"name": "Alder Lane Joinery", "address": "4 Alder Lane, Example Bay", "logo": "logo.png"}
    file = tmp_path / "shop.json"
    file.write_text(workshop_text(read_from(company=company)), encoding="utf-8")
    piece = tmp_path / "piece.json"
    piece.write_text(starter_text("bedside_cabinet"), encoding="utf-8")
    out = tmp_path / "out"
    assert main(["pack", str(piece), "--workshop", str(file), "--out", str(out)]) in (0, 1)
    with pdfplumber.open(out / "workshop_pack.pdf") as pack:
        assert all("Alder Lane Joinery" in page.extract_text() for page in pack.pages)
    with pdfplumber.open(out / "quotation.pdf") as quotation:
        assert "by Alder Lane Joinery" in (said := quotation.pages[0].extract_text()) and "4 Alder Lane" in said
    assert PdfReader(out / "workshop_pack.pdf").metadata.author == "Alder Lane Joinery"
    assert main(["book", str(piece), "--workshop", str(file), "--out", str(tmp_path / "book.pdf")]) in (0, 1)
    with pdfplumber.open(tmp_path / "book.pdf") as book:
        told = book.pages[0].extract_text()
        assert "Made by Alder Lane Joinery" in told and company["address"] in told
        assert [each["width"] / each["height"] for each in book.pages[0].images] == [pytest.approx(3, rel=1e-3)]


def test_the_company_of_the_command_line_stands_above_that_of_the_file():
    """What is given says it; what is left out stays as the workshop says; the record of a piece stands above both."""
    piece = example_piece(DEMO)
    bare = dataclasses.replace(piece, record=dataclasses.replace(piece.record, maker=""))
    ours = read_from(name="Our shop", company={"address": "1 Mill Lane"})

    def maker(made, **given):
        return maker_of(build_job(Job("x", (JobItem(made),)), **given))

    assert maker(bare) == "", "the example workshop is nobody"
    assert (maker(bare, workshop=ours), maker(bare, workshop=ours, company=Company(name="Both"))) == (
        "Our shop",
        "Both",
    )
    assert maker(piece, workshop=ours) == piece.record.maker != ""
    built = build_job(Job("x", (JobItem(bare),)), workshop=ours, company=Company(name="Both"))
    assert built.workshop.company == Company(name="Both", address="1 Mill Lane")
    assert maker(bare, company=Company(name="Nobody's file")) == "Nobody's file"


@pytest.mark.parametrize(
    "logo, why",
    [("../logo.png", "outside the folder"), ("/etc/hostname", "outside the folder"), ("no.png", "cannot be read")],
)
def test_a_logo_lies_beside_the_workshop_file(tmp_path, logo, why):
    """A picture anywhere else, or none, is refused in one line that names it."""
    file = tmp_path / "shop.json"
    file.write_text(workshop_text(read_from(company={"logo": logo})), encoding="utf-8")
    with pytest.raises(FileError, match=why):
        workshop_logo(file)


def test_the_command_line_reads_a_workshop(tmp_path, capsys):
    """--workshop names the file; one that cannot be used ends with status 2 and one line."""
    good, bad = tmp_path / "good.json", tmp_path / "bad.json"
    good.write_text(workshop_text(read_from(name="Ours")), encoding="utf-8")
    bad.write_text('{"format": "muntin workshop", "schema": 1, "saws": {"kerf": 99}}', encoding="utf-8")
    assert read_workshop_file(good).name == "Ours"
    piece = str(LIBRARY / "pieces" / "bookcase.json")
    assert main(["check", piece, "--workshop", str(good)]) == 0
    capsys.readouterr()
    assert main(["check", piece, "--workshop", str(bad)]) == 2
    assert "saws.kerf: 99 is out of range" in capsys.readouterr().err
