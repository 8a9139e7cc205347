"""DXF files read back by the library they are written with, audited, and measured against the model."""

import io

import ezdxf
import numpy as np
import pytest
from examples import DEMO, FILES
from ezdxf import recover
from packs import built, pair

from core.__main__ import main
from core.drawing.page import Circle, Lines, Text
from core.exports.dxf import LAYERS, dxf_bytes
from core.model import Hole
from core.pages._sketches import parts_sketch, views_sketch


def read(data: bytes):
    """A document, and what an audit finds wrong in it."""
    document, auditor = recover.read(io.BytesIO(data))
    return document, [*auditor.errors, *auditor.fixes]


@pytest.mark.parametrize("sketch", [parts_sketch, views_sketch])
@pytest.mark.parametrize("job", [lambda: built(DEMO), lambda: built("starter chest_of_drawers"), pair])
def test_audited_clean_in_millimetres_on_layers_of_the_standard(sketch, job):
    """An audit finds nothing; units are mm; every thing lies on a layer named by a line type of ISO 128."""
    document, wrong = read(dxf_bytes(sketch(job())))
    assert wrong == [] and document.units == ezdxf.units.MM
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used and used <= set(LAYERS) <= {layer.dxf.name for layer in document.layers}


def test_holes_are_true_circles_at_their_size_and_place():
    """In the drawing of each mark the circles of its face have the diameters and distances of the model."""
    job = built(DEMO)
    document, _ = read(dxf_bytes(parts_sketch(job)))
    circles = np.array(
        [(c.dxf.center.x, c.dxf.center.y, 2 * c.dxf.radius) for c in document.modelspace().query("CIRCLE")]
    )
    known = set()
    for mark, _, part in job.parts():
        own = [each for each in part.shape.features if isinstance(each, Hole) and each.when.stage == "in the part"]
        face = [each for each in own if each.into[2] < -0.5]
        if mark in known or len(face) < 2:
            continue
        known.add(mark)
        wanted = np.array([(each.at[0], each.at[1], each.diameter) for each in face])
        starts = circles[np.abs(circles[:, 2] - wanted[0, 2]) < 1e-6]
        moved = [wanted + (start - wanted[0]) * (1, 1, 0) for start in starts]
        away = [np.linalg.norm(each[:, None] - circles[None], axis=2).min(axis=1).max() for each in moved]
        assert min(away) < 1e-5, part.key
    assert len(known) >= 5


def test_every_mark_is_there_once():
    """Lettering names each mark with its finished size."""
    job = built(DEMO)
    words = [item.string for item in parts_sketch(job)["lettering"] if isinstance(item, Text)]
    marks = [int(each.split()[0]) for each in words]
    assert sorted(marks) == sorted(set(job.marks.values())) and "1722 × 534 × 18" in words[0]


def test_the_views_are_full_size():
    """The front of the demo is 1900 high and 1150 wide in the file."""
    document, _ = read(dxf_bytes(views_sketch(built(DEMO))))
    lines = document.modelspace().query('LINE[layer=="visible"]')
    widths = [abs(line.dxf.end.x - line.dxf.start.x) for line in lines]
    assert min(abs(width - 1150) for width in widths) < 1e-3
    levels = [end.y for line in lines for end in (line.dxf.start, line.dxf.end)]
    assert max(levels) == pytest.approx(0, abs=0.01) and any(abs(level + 1900) < 0.01 for level in levels)


def test_the_same_drawing_gives_the_same_bytes():
    """Nothing in the file comes from the clock or from chance."""
    layers = {"visible": [Lines(((0.0, 0.0, 10.0, 0.0),)), Circle(5.0, 5.0, 2.0)]}
    assert dxf_bytes(layers) == dxf_bytes(layers)
    assert dxf_bytes(parts_sketch(built("starter bookcase"))) == dxf_bytes(parts_sketch(built("starter bookcase")))


def test_an_unknown_layer_is_refused():
    """A layer that is not among the line types is our own mistake, and is named."""
    with pytest.raises(KeyError, match="drills"):
        dxf_bytes({"drills": []})


def test_the_command_writes_both_kinds(tmp_path):
    """`dxf PIECE --of parts|views --out FILE` writes a document that opens."""
    for kind in ("parts", "views"):
        out = tmp_path / f"{kind}.dxf"
        assert main(["dxf", str(FILES["starter bookcase"]), "--of", kind, "--out", str(out)]) in (0, 1)
        assert read(out.read_bytes())[1] == []


def test_a_pack_with_dxf_holds_both(tmp_path):
    """`pack --dxf` adds parts.dxf and views.dxf to what a pack holds."""
    assert main(["pack", str(FILES["starter bookcase"]), "--dxf", "--out", str(tmp_path)]) in (0, 1)
    assert {"parts.dxf", "views.dxf"} <= {path.name for path in tmp_path.iterdir()}
