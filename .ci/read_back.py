"""Opens what the demo wrote with libraries that had no part in writing it; says what it found, fails if it cannot.

python .ci/read_back.py FOLDER
"""

import csv
import json
import sys
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pdfplumber
import pypdf
import trimesh
from PIL import Image


def main(folder: Path) -> int:
    """Read every file of the folder, and insist on those that must be there; the exit status."""
    troubles = [f"{name} is missing" for name in MUST_BE_THERE if not (folder / name).is_file()]
    for path in sorted(each for each in folder.rglob("*") if each.is_file()):
        reader = READERS.get(path.suffix, lambda path: f"no reader for {path.suffix}")
        try:
            print(f"  {path.relative_to(folder)}: {reader(path)}")
        except Exception as error:
            troubles.append(f"{path.name} does not read back: {type(error).__name__}: {error}")
    for trouble in troubles:
        print(f"FAILED: {trouble}", file=sys.stderr)
    return 1 if troubles else 0


def pdf(path: Path) -> str:
    """Pages of the size that they say, with words on each, by two readers that agree on their number."""
    read = pypdf.PdfReader(path, strict=True)
    with pdfplumber.open(path) as other:
        need(len(other.pages) == len(read.pages) > 0, "the readers disagree on the number of pages")
        empty = [number for number, page in enumerate(other.pages, 1) if not page.extract_words()]
    need(not empty, f"no word on page {empty}")
    need(not any("DO NOT CUT" in page.extract_text() for page in read.pages), "it is stamped DO NOT CUT")
    return f"{len(read.pages)} pages"


def table(path: Path) -> str:
    """A header and rows of the same length."""
    with path.open(newline="", encoding="utf-8-sig") as opened:
        rows = [row for row in csv.reader(opened) if row]
    need(len(rows) > 1, "no row under the header")
    need(len({len(row) for row in rows}) == 1, "the rows differ in length")
    return f"{len(rows) - 1} rows of {len(rows[0])}"


def picture(path: Path) -> str:
    """An image that decodes to the end and is not of one colour."""
    with Image.open(path) as image:
        image.load()
        low_high = image.convert("L").getextrema()
        need(low_high[1] - low_high[0] > MIN_CONTRAST, f"nothing to be seen: grey from {low_high[0]} to {low_high[1]}")
        return f"{image.width} x {image.height}"


def model(path: Path) -> str:
    """Meshes with some extent."""
    scene = trimesh.load_scene(path)
    need(len(scene.geometry) > 0, "no mesh")
    return f"{len(scene.geometry)} meshes, {' x '.join(f'{1000 * size:.0f}' for size in scene.extents)} mm"


def drawing(path: Path) -> str:
    """Well-formed SVG with something drawn."""
    drawn = [each for each in ElementTree.parse(path).iter() if each.tag.split("}")[-1] in ("path", "line", "polyline")]
    need(len(drawn) > 0, "nothing is drawn")
    return f"{len(drawn)} lines"


def plan(path: Path) -> str:
    """DXF with entities, in which the auditor finds no error."""
    document = ezdxf.readfile(path)
    need(not document.audit().errors, "the auditor finds errors")
    need(len(document.modelspace()) > 0, "nothing is drawn")
    return f"{len(document.modelspace())} entities"


def data(path: Path) -> str:
    """Something in JSON."""
    return f"{len(json.loads(path.read_text(encoding='utf-8')))} entries"


def need(condition: bool, trouble: str) -> None:
    """Raise with what is the matter, unless all is well."""
    if not condition:
        raise ValueError(trouble)


MUST_BE_THERE = ("preview.png", "workshop_pack.pdf", "cutting_list.csv", "exploded.pdf")
MIN_CONTRAST = 40  # of 255 grey steps between the darkest and the lightest place of a picture; ours
READERS: dict[str, Callable[[Path], str]] = {
    ".pdf": pdf,
    ".csv": table,
    ".png": picture,
    ".glb": model,
    ".gltf": model,
    ".svg": drawing,
    ".dxf": plan,
    ".json": data,
}

if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
