"""Labels read back: every part has one, its code is read by an independent library, nothing leaves its label."""

import dataclasses
import datetime
import io
from collections import Counter

import pdfplumber
import pypdfium2
import pytest
import zxingcpp
from examples import DEMO
from packs import built, pair, stopped

from core.__main__ import main
from core.drawing.page import bounds
from core.errors import ParameterError
from core.exports.pdf import pdf_bytes, qr_rows
from core.pages.labels import _frames as frames
from core.pages.labels import grid, grid_ids, label_pages, qr_words, usual_grid

MM = 25.4 / 72
SMALL = "starter bedside_cabinet"


def document(job, on, **more) -> bytes:
    return pdf_bytes(label_pages(job, on, **more), title="labels", date=datetime.date(2026, 1, 1))


def codes(data: bytes, dots_per_mm: float = 6.0) -> list[zxingcpp.Barcode]:
    """Every code on every page, as the independent reader finds them in the page as a picture."""
    pages = pypdfium2.PdfDocument(data)
    return [code for page in pages for code in zxingcpp.read_barcodes(page.render(scale=dots_per_mm * MM).to_pil())]


def wanted(job) -> Counter:
    """The words of the codes, by the marks of the job."""
    found: Counter = Counter()
    for index, each in enumerate(job.pieces):
        found.update({qr_words(job, index, mark): 0 for mark in job.marks_of(index).values()})
        for part in each.model.parts:
            found[qr_words(job, index, job.marks[index, part.key])] += each.quantity
    return found


@pytest.mark.parametrize("id", grid_ids())
def test_every_part_has_a_label_whose_code_is_read(id):
    """On every grid there are as many labels of each mark as the job has parts of it; of two pieces, too, one
    made twice.
    """
    job = pair() if id in ("2x7", "3x8") else built(SMALL)
    found = codes(document(job, grid(id)))
    assert all(code.format == zxingcpp.BarcodeFormat.QRCode for code in found)
    assert Counter(code.text for code in found) == wanted(job)


def test_the_code_says_piece_mark_revision_and_state():
    """What a telephone reads is enough to know an old label from a new one."""
    assert qr_words(built(DEMO), 0, 12) == "COAT-CUPBOARD/MARK 12/REV A/DRAFT"
    assert qr_words(stopped(built(DEMO)), 0, 12).endswith("/DO NOT CUT")
    assert len(qr_rows(qr_words(built(DEMO), 0, 12))) == 25  # version 2


@pytest.mark.parametrize("id", grid_ids())
@pytest.mark.parametrize("stops", [0, 2])
def test_nothing_leaves_its_label(id, stops):
    """All ink of a sheet lies within some label, a millimetre inside its edge."""
    job = stopped(pair(), stops) if stops else pair()
    on = grid(id)
    for page in label_pages(job, on)[:3]:
        places = [on.place(number).grown(-1.0) for number in range(on.count)]
        for item in page.items:
            around = bounds([item])
            own = [place for place in places if place.contains(around, 1e-6)]
            assert own or (on.count == 1 and around.width == pytest.approx(on.label[0])), (item, around)


def test_what_stands_on_a_label():
    """Mark, name, size, material, face edge, piece, revision and state: read from the rectangle of the first label."""
    job, on = built(DEMO), grid("2x7")
    page = pdfplumber.open(io.BytesIO(document(job, on))).pages[0]
    place = on.place(0)
    box = (place.x / MM, page.height - place.top / MM, place.right / MM, page.height - place.y / MM)
    words = " ".join(page.crop(box).extract_text().split())
    for each in ("1 of 1", "A, draft", "Side panel, left", "1722 × 534 × 18 MDF", "Face edge: front edge", "up", "F"):
        assert each in words, words
    assert "Coat cupboard for the library hallway" in words and words.split()[0] == "1"


def test_the_front_is_on_the_right_side_of_the_label():
    """Looked at from inside, a left side panel has its front at the left, the right one at the right."""
    job, on = built(DEMO), grid("2x7")
    page = pdfplumber.open(io.BytesIO(document(job, on))).pages[0]
    for number, side in ((0, "left"), (1, "right")):
        place = on.place(number)
        box = (place.x / MM, page.height - place.top / MM, place.x / MM + 24 / MM, page.height - place.y / MM)
        letters = page.crop(box).chars
        (front,) = [char["x0"] for char in letters if char["text"] == "F" and "Bold" in char["fontname"]]
        arrow = min(char["x0"] for char in letters if char["text"] == "u")
        assert (front < arrow) == (side == "left")


def test_do_not_cut_stands_on_every_label():
    """While there is a stop finding each label says so in its lettering and in its code."""
    job = stopped(built(SMALL))
    on = grid("2x7")
    data = document(job, on)
    assert all("DO NOT CUT" in code.text for code in codes(data))
    pages = pdfplumber.open(io.BytesIO(data)).pages
    parts = sum(len(each.model.parts) * each.quantity for each in job.pieces)
    assert sum(page.extract_text().count("DO NOT CUT: 2 stop findings") for page in pages) == parts


def test_offset_and_first():
    """An offset moves everything alike; a sheet partly used is begun at the label that is asked for."""
    job, on = built(SMALL), grid("2x7")
    (plain, *_), (moved, *_) = label_pages(job, on), label_pages(job, on, offset=(1.5, -2.0))
    for one, other in zip(plain.items, moved.items, strict=True):
        a, b = bounds([one]), bounds([other])
        assert (b.x - a.x, b.y - a.y) == pytest.approx((1.5, -2.0))
    (late, *_) = label_pages(job, on, first=5)
    assert max(bounds([item]).top for item in late.items) < on.place(2).y + 1e-6
    with pytest.raises(ParameterError, match="15 is no label of a sheet of 14"):
        label_pages(job, on, first=15)
    with pytest.raises(ParameterError, match=r'no grid of labels "2x8"'):
        grid("2x8")


@pytest.mark.parametrize("id", grid_ids())
def test_grids_lie_on_their_paper(id):
    """Every label lies on the sheet and none on another."""
    on = grid(id)
    places = [on.place(number) for number in range(on.count)]
    assert all(
        p.x > -0.01 and p.y > -0.01 and p.right < on.paper[0] + 0.01 and p.top < on.paper[1] + 0.01 for p in places
    )
    assert not any(a.overlaps(b, -0.01) for n, a in enumerate(places) for b in places[:n])


def test_the_triangle_lies_over_the_frame():
    """Of a door the hinge stile is left of the meeting stile or right of it, the bottom rail at the foot, the top at the head."""
    found = frames(built(DEMO).pieces[0].model)
    left, right = found["doors/leaf.left/stile.hinge"], found["doors/leaf.left/stile.meeting"]
    assert left.centre[0] == pytest.approx(0.0) and right.centre[0] == pytest.approx(1.0)
    assert found["doors/leaf.left/rail.bottom"].centre[1] == pytest.approx(0.0)
    assert found["doors/leaf.left/rail.top"].centre[1] == pytest.approx(1.0)


def test_american_paper_and_inches():
    """In America labels are printed on letter paper, and sizes are in inches where lists are."""
    job = built(SMALL)
    piece = job.pieces[0].piece
    shop = dataclasses.replace(piece.shop, locale="en_US", lengths="1/32 in")
    american = dataclasses.replace(
        job, pieces=(dataclasses.replace(job.pieces[0], piece=dataclasses.replace(piece, shop=shop)),)
    )
    on = usual_grid(american)
    assert on.paper == (215.9, 279.4)
    assert "0.709″ MDF" in pdfplumber.open(io.BytesIO(document(american, on))).pages[0].extract_text()


def test_the_command(tmp_path, capsys):
    """`labels` writes a PDF on the grid asked for; an offset that is none is refused in one line."""
    assert main(["new", "bookcase", "--out", str(tmp_path / "b.json")]) == 0
    out = tmp_path / "labels.pdf"
    assert main(["labels", str(tmp_path / "b.json"), "--grid", "3x8", "--offset=-1,0.5", "--out", str(out)]) in (0, 1)
    page = pdfplumber.open(out).pages[0]
    assert (page.width * MM, page.height * MM) == pytest.approx((210, 297), abs=0.1)
    assert main(["labels", str(tmp_path / "b.json"), "--offset=40,0", "--out", str(out)]) == 2
    assert "no offset" in capsys.readouterr().err
