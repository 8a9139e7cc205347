"""Money: every sum anew with decimals, nothing unknown reckoned as nothing, and the papers and files read back."""

import csv
import dataclasses
import datetime
import io
import json
import re
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import openpyxl
import pytest
from examples import DEMO, example_piece, example_text
from packs import built, files, pair, texts
from pypdf import PdfReader

from core.built import BuiltJob, build_job
from core.buying.buying import Line, buying_list
from core.buying.costing import costing, operations, validity
from core.buying.stock import stock_lines
from core.cutting.planned import job_plans
from core.drawing.sheet import number_sheets
from core.errors import ParameterError
from core.exports.pdf import pdf_bytes
from core.fittings import fitting_entries
from core.locales import KG_PER_POUND, locale_for
from core.pages._consumables import consumables
from core.pages.buying_list import ENTRY as BUYING_LIST
from core.pages.buying_list import amount_words
from core.pages.costing import costing_sheets
from core.pages.quotation import NOT_YET, quotation_sheets
from core.piece.files import loads
from core.piece.job import Job, JobItem
from core.starters import starter_kinds
from core.workshop.files import example_workshop, workshop_from_text
from core.workshop.prices import TINS, Minutes, Prices, TinPrice
from core.workshop.stock import Offcut, Stock

PIECES = Path(__file__).parent.parent / "core" / "library" / "pieces"
CENT = Decimal("0.01")
SMALL = "starter bedside_cabinet"


def with_prices(job: BuiltJob, **changed: object) -> BuiltJob:
    """The job in a workshop whose prices are changed so."""
    prices = dataclasses.replace(job.workshop.prices, **changed)
    return dataclasses.replace(job, workshop=dataclasses.replace(job.workshop, prices=prices))


def words(sheets) -> str:
    data = pdf_bytes(number_sheets(sheets), title="x", date=datetime.date(2026, 1, 1))
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(data)).pages)


def cents(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, ROUND_HALF_UP)


@pytest.mark.parametrize("job", [built(DEMO), pair()], ids=["demo", "pair"])
def test_every_sum_anew(job):
    """Labour from minutes, overhead on labour, margin on cost, tax on the net price, deposit on all: to the cent."""
    made, prices = costing(job), job.workshop.prices
    hour = Decimal(str(prices.hour))
    labour = sum(cents(Decimal(str(round(each.amount * each.each, 6))) * hour / 60) for each in made.operations)
    materials = sum(
        cents(pack.pack.price * pack.count) for line in made.bought.lines for pack in line.buy if pack.pack.price
    )
    overhead = cents(labour * Decimal(str(prices.overhead)) / 100)
    margin = cents((labour + overhead + materials) * Decimal(str(prices.margin)) / 100)
    net = labour + overhead + materials + margin + Decimal(str(prices.delivery))
    tax = cents(net * Decimal(str(prices.tax)) / 100)
    assert (made.labour, made.overhead, made.margin, made.net, made.tax) == (labour, overhead, margin, net, tax)
    assert made.total == net + tax and made.deposit == cents(made.total * Decimal(str(prices.deposit)) / 100)
    assert made.bought.total == materials == sum(amount for _, amount in made.materials)
    assert made.is_complete and made.bought.example


def test_operations_count_the_model():
    """Parts, holes, plugs, fastenings and glue-ups of the demo, as they are worked out by hand or counted."""
    model = built(DEMO).pieces[0].model
    amounts = {each.id: each.amount for each in operations(built(DEMO))}
    assert amounts["part"] == 60
    assert amounts["plug"] == 40
    assert amounts["glue_up"] == sum(each.how == "glued" for each in model.assemblies)
    assert amounts["fastening"] == sum(each.kind != "plug" for each in model.fasteners)
    assert amounts["hole"] == sum(f.kind == "hole" for part in model.parts for f in part.shape.features)


def test_the_job_is_the_sum_of_its_pieces():
    """Work on two of one piece and one of another is twice the one and once the other."""
    together = {each.id: each.amount for each in operations(pair())}
    one = {each.id: each.amount for each in operations(built(SMALL))}
    other = {each.id: each.amount for each in operations(built("starter bookcase"))}
    for id, amount in together.items():
        assert amount == pytest.approx(2 * one[id] + other[id]), id


def test_what_has_no_price_is_named_and_never_nothing():
    """Without a price list everything is missing by name; list, costing and quotation say so and tell no total."""
    job = with_prices(built(SMALL), fittings=(), packs=(), tins=(), minutes=Minutes(), hour=0.0)
    made = costing(job)
    assert not made.is_complete
    bought = buying_list(job)
    assert set(bought.missing) == {line.name for line in bought.lines if line.section not in ("Sheets", "Lengths")}
    assert "what an hour costs" in made.missing
    assert {f"minutes for {each.name}" for each in made.operations if each.amount} <= set(made.missing)
    said = words(costing_sheets(job))
    assert "Incomplete: the sums above count only what is known" in said
    flat = re.sub(r"\s", "", said)
    for name in made.missing:
        assert re.sub(r"\s", "", name) in flat, name
    quoted = words(quotation_sheets(job))
    assert NOT_YET in quoted and "To pay in all" not in quoted and "I order" not in quoted


def test_one_price_missing_is_enough():
    """A single fitting without a price makes the total incomplete and names the fitting."""
    job = built(SMALL)
    known = tuple(each for each in job.workshop.prices.fittings if not each.fitting.startswith("runner"))
    made = costing(with_prices(job, fittings=known))
    assert len(made.missing) == 1 and "runner" in made.missing[0]


def test_papers_say_that_the_prices_are_examples():
    """Buying list, costing and quotation say it while the workshop file is marked so, and not when it is one's own."""
    job = built(SMALL)
    own = dataclasses.replace(job, workshop=dataclasses.replace(job.workshop, example=False))
    for sheets in (costing_sheets, quotation_sheets):
        assert "Example prices" in words(sheets(job)) and "Example prices" not in words(sheets(own))
    assert any("Example prices" in page for page in texts(SMALL))


def test_the_quotation_is_for_the_client():
    """It says what, how large, in and not in, price, tax, deposit, until when, the wall, and has a place to sign."""
    job = built(DEMO)
    said, made = words(quotation_sheets(job)), costing(job)
    assert validity(job) == "2026-12-24"
    for wanted in (
        "Brackwater village library", "1150 × 1900 × 560 mm", "2 doors, 1 drawer, 3 loose shelves and 1 hanging rail", "sage green",
        "In the price: the piece as described", "Not in the price: electric work", "stands until 24 December 2026",
        locale_for("en_GB").money(made.total), locale_for("en_GB").money(made.deposit), "screwed to your wall", "Signature",
    ):  # fmt: skip
        assert wanted in said, wanted
    assert "Labour" not in said and "Margin" not in said and "Overhead" not in said


def test_what_no_stock_gives_is_named_once_and_in_its_section():
    """Rule: a fitting that is cut to length is a length, named once with it; a strip of a section is no sheet."""
    job = built("starter linen_press")
    shop = job.workshop
    stock = dataclasses.replace(
        shop.stock,
        lengths=tuple(
            each for each in shop.stock.lengths if each.fitting != "shaft-linking-8" and each.material != "beech"
        ),
    )
    found = stock_lines(dataclasses.replace(job, workshop=dataclasses.replace(shop, stock=stock)))
    missing = {line.name: line.section for line in found if line.price is None}
    assert missing.pop("linking shaft 8 for a wide drawer, with pinions and bearings, length 990.8") == "Lengths"
    assert missing and all(name.startswith("beech") and section == "Lengths" for name, section in missing.items())


@pytest.mark.parametrize("kind", starter_kinds())
def test_every_starter_piece_has_a_price_in_the_example_workshop(kind):
    """Rule: who begins with a starter piece and the example prices sees a whole quotation."""
    assert costing(built(f"starter {kind}")).is_complete


GLAZED = ("coat_cupboard", "linen_press", "media_cabinet", "sideboard", "wardrobe")  # those with doors


@pytest.mark.parametrize(("kind", "frame"), [(kind, "hardwood-20") for kind in GLAZED] + [("sideboard", "oak-25")])
def test_every_starter_piece_with_glazed_doors_has_a_price_in_the_example_workshop(kind, frame):
    """Rule: the beads that hold the panes are ripped from thin boards, which the example workshop sells too."""
    made = costing_with_glazed_doors(kind, frame)
    lengths = [line.name for line in made.bought.lines if line.section == "Lengths"]
    assert made.is_complete and any("× 8, 2400" in name for name in lengths), (made.bought.missing, lengths)


@pytest.mark.parametrize("frame", ["mdf-18", "mdf-mr-18"])
def test_beads_of_glazed_doors_of_mdf_have_a_sheet_in_the_example_workshop(frame):
    """Rule: what is to be painted is glazed in MDF too, and its beads are ripped from a sheet as thick as they are deep."""
    made = costing_with_glazed_doors("wardrobe", frame)
    sheets = [line.name for line in made.bought.lines if line.section == "Sheets"]
    assert made.is_complete and any("MDF 8" in name for name in sheets), (made.bought.missing, sheets)


def costing_with_glazed_doors(kind, frame):
    """What a starter piece costs whose doors are glazed, their frames cut from a board."""
    data = json.loads((PIECES / f"{kind}.json").read_text("utf-8"))
    for front in data["fronts"]:
        if front["kind"] in ("door", "pair"):
            front["panel"] = {"style": "glazed", "board": frame}
    return costing(build_job(Job("", (JobItem(loads(json.dumps(data))),))))


def test_panes_and_mirrors_are_bought_to_size_by_the_square_metre():
    """Rule: what the glazier cuts is bought too, and has no price where a square metre has none."""
    data = json.loads((PIECES / "sideboard.json").read_text("utf-8"))
    for front in data["fronts"]:
        if front["kind"] == "door":
            front["panel"] = {"style": "glazed", "board": "hardwood-20"}
    job = build_job(Job("", (JobItem(loads(json.dumps(data)), 3),)))
    panes = [part for part in job.pieces[0].model.parts if part.board.material.id == "glass"]
    (line,) = (line for line in buying_list(job).lines if line.unit == "pane")
    long, wide, thick = panes[0].size
    assert line.name == f"glass {thick:g}, {long:g} × {wide:g}" and line.needed == 3 * len(panes) == 6
    assert line.cost == 6 * cents(Decimal(str(long * wide / 1e6)) * Decimal(str(job.workshop.prices.glass)))
    assert line.name in buying_list(with_prices(job, glass=0.0)).missing


def test_a_lid_is_quoted_as_a_lid():
    """Rule: what lifts is no door."""
    said = words(quotation_sheets(built("starter blanket_chest")))
    assert "With 1 lid" in said and "door" not in said


def test_no_tax_is_spoken_of_where_none_is_charged():
    """Rule: the order names the price with tax only where there is tax."""
    job = built(DEMO)
    free = with_prices(job, tax=0.0)
    said = words(quotation_sheets(free))
    assert "No tax is charged." in said and "with tax" not in said
    assert "with tax" in words(quotation_sheets(job))


def test_the_buying_list_as_csv():
    """Read by the standard library and put into a spreadsheet: numbers are numbers, costs add up to the total."""
    rows = list(csv.reader(io.StringIO(files(DEMO)["buying_list.csv"].decode())))
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append([float(cell) if re.fullmatch(r"-?\d+(\.\d+)?", cell) else cell for cell in row])
    stored = io.BytesIO()
    book.save(stored)
    sheet = openpyxl.load_workbook(stored).active
    headings = [cell.value for cell in sheet[1]]
    cost, packs, price = (headings.index(name) for name in ("cost", "packs", "price of one"))
    body = list(sheet.iter_rows(min_row=2, values_only=True))
    assert sum(Decimal(str(row[cost])) for row in body) == buying_list(built(DEMO)).total
    assert all(row[cost] == pytest.approx(row[packs] * row[price]) for row in body)
    assert {row[0] for row in body} == {line.section for line in buying_list(built(DEMO)).lines}


def test_the_buying_list_as_json():
    """Money is decimal text; the total is the sum of the lines; what is invented says so."""
    data = json.loads(files(DEMO)["buying_list.json"])
    assert data["example_prices"] is True and data["no_price"] == []
    assert Decimal(data["total"]) == sum(Decimal(line["cost"]) for line in data["lines"])


def test_the_buying_list_on_paper():
    """Its total and every name on it can be read in the pack."""
    said = re.sub(r"\s", "", " ".join(texts(DEMO)))
    bought = buying_list(built(DEMO))
    assert re.sub(r"\s", "", f"Altogether {locale_for('en_GB').money(bought.total)} without tax") in said
    for line in bought.lines:
        assert re.sub(r"\s", "", line.name)[1:] in said, line.name


def bought_on_paper(lengths: str, *tins: tuple[str, float]) -> str:
    """The buying list of the demo in an American workshop that buys these tins."""
    piece = example_piece(DEMO)
    piece = dataclasses.replace(piece, shop=dataclasses.replace(piece.shop, locale="en_US", lengths=lengths))
    job = build_job(Job("x", (JobItem(piece),)))
    if tins:
        job = with_prices(job, tins=tuple(TinPrice(coating=id, holds=holds, price=9.0) for id, holds in tins))
    return words(BUYING_LIST.sheets(job))


def test_a_buying_list_is_in_the_measures_of_its_packs():
    """Rule: what is needed and what is bought are told in one system: that of the workshop's packs, in a list in inches too."""
    metric = bought_on_paper("1/16 in")
    assert re.search(r"[\d.]+ kg \d × [\d.]+ kg", metric) and re.search(r"[\d.]+ l \d × [\d.]+ l", metric)
    assert not re.search(r" lb\b|US qt|inches|″", metric) and "All sizes in mm." in metric
    sold = [(id, holds) for id in TINS for holds in ((0.4536, 2.268) if id == "glue" else (0.946, 3.785))]
    american = bought_on_paper("1/16 in", *sold)
    assert re.search(r"[\d.]+ lb \d × [15] lb", american) and re.search(r"[\d.]+ US qt \d × [14] US qt", american)
    assert not re.search(r"\d kg \d|\d l \d", american)
    assert "US qt" not in bought_on_paper("mm", *sold)
    assert "US qt" not in bought_on_paper("1/16 in", *sold[:-1], ("clear", 2.5), ("paint", 2.5))


@pytest.mark.parametrize("lengths", ["mm", "1/16 in"])
def test_no_less_glue_is_asked_for_than_is_needed(lengths):
    """Rule: what is told to be needed is rounded up, and not beyond a pack that holds enough."""
    locale = locale_for("en_US", lengths)
    for needed in (0.101, 0.202, 0.25, 0.3391):
        line = Line("Glue and coatings", "glue", needed, "kg", (), None)
        told = float(amount_words(line, locale).split()[0]) * (KG_PER_POUND if locale.denominator else 1)
        assert needed - 1e-9 <= told < needed + 0.011


def test_what_is_used_up_besides_is_on_the_buying_list():
    """Rule: tape, filler and wax are fetched with the rest; filler is for what is seen of painted outsides, wax for wood that slides."""

    def told(**finish: str) -> dict[str, str]:
        data = json.loads(example_text("starter bedside_cabinet"))
        for coat in data["finish"]["schemes"][0]["coats"]:
            coat["coating"] = finish.get(coat["group"], finish["rest"])
        data["fronts"][0]["drawer"]["runs_on"] = {"style": finish.get("runs", "side_mounted")}
        job = build_job(Job("x", (JobItem(loads(json.dumps(data))),)))
        page = words(BUYING_LIST.sheets(job))
        found = {what: use for what, use, _ in consumables(job, locale_for("en_GB"))}
        assert all(what.lower() in page for what in found)
        return found

    purposes = [each.purpose for each in built(SMALL).pieces[0].model.fasteners if each.kind in ("pin", "plug")]
    seen = purposes.count("strip pin") + purposes.count("anchor rail plug")  # these over screws, in its top
    assert 0 < seen < len(purposes)  # nobody sees the pins of its back
    painted = told(rest="paint")
    assert set(painted) == {"Masking tape", "Filler"}
    assert painted["Filler"] == f"{seen} pin holes and plugs, and the lines of strips"
    assert set(told(rest="clear")) == {"Masking tape"}
    assert set(told(rest="clear", runs="wooden")) == {"Masking tape", "Candle wax or hard wax"}


def test_a_price_file_is_read_strictly():
    """A currency that is no code, a fitting that is not in the library, a negative price: refused by name."""
    head = {"format": "muntin workshop", "schema": 1}
    for prices, complaint in (
        ({"currency": "pounds"}, "prices.currency"),
        ({"currency": "gbp"}, r'"gbp" is not a code of ISO 4217'),
        ({"fittings": [{"fitting": "hinge-but-75"}]}, "hinge-butt-75"),
        ({"tins": [{"coating": "lacquer"}]}, "prices.tins"),
        ({"hour": -1}, r"prices.hour"),
        ({"packs": [{"what": ""}]}, r"prices.packs"),
    ):
        with pytest.raises(ParameterError, match=complaint):
            workshop_from_text(json.dumps({**head, "prices": prices}), "shop.json")
    assert workshop_from_text(json.dumps(head), "shop.json").prices == Prices()


def test_sheets_and_lengths_are_those_of_the_plans():
    """As many as the plans buy, at the workshop's price of each; what comes from the rack is told and costs nothing."""
    job = built(DEMO)
    plans = job_plans(job).plans
    lines = [line for line in buying_list(job).lines if line.section in ("Sheets", "Lengths")]
    assert sum(line.needed for line in lines) == sum(made.plan.bought for made in plans)
    assert sum(line.cost for line in lines) == sum(Decimal(str(made.plan.cost)) for made in plans)
    rack = Offcut(material="mdf", thickness=18, length=2000, width=1200, name="by the door")
    stock = dataclasses.replace(job.workshop.stock, offcuts=(rack,))
    with_rack = dataclasses.replace(job, workshop=dataclasses.replace(job.workshop, stock=stock))
    lines = [line for line in buying_list(with_rack).lines if line.name.startswith("MDF 18")]
    assert any("and 1 from the rack" in line.note for line in lines)
    assert sum(line.needed for line in lines) <= 2  # 2.30 sheets of parts, and four fifths of one lie in the rack


def test_a_workshop_that_sells_nothing_has_no_price_for_it():
    """Where the stock is empty every sheet and length is still listed, assumed or named, and none has a price."""
    job = built(SMALL)
    bare = dataclasses.replace(job, workshop=dataclasses.replace(job.workshop, stock=Stock()))
    lines = [line for line in buying_list(bare).lines if line.section in ("Sheets", "Lengths")]
    materials = {part.board.material.name for part in job.pieces[0].model.parts if part.board.material.kind == "sheet"}
    assert all(line.is_missing and line.note for line in lines)
    assert all(any(name in line.name for line in lines) for name in materials)
    assert not costing(bare).is_complete


def test_the_example_prices_every_fitting():
    """So that the papers of no piece of ours are incomplete: each fitting that is bought whole has an example price."""
    priced = {each.fitting for each in example_workshop().prices.fittings}
    assert {each.id for each in fitting_entries() if not each.cut_to_length} <= priced
