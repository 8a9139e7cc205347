"""Small pictures of the sheets as they were last looked at, to hold drawings to; run it with --accept after looking.

    PYTHONPATH=. .venv/bin/python tests/rasters.py            which sheets differ from what is kept
    PYTHONPATH=. .venv/bin/python tests/rasters.py --accept   keep them as they are now

Sheets are known by piece and title, not by their place in the pack, and are drawn as page 1 of 1, so that a page more or
less elsewhere changes none of them. The front page is left out: its contents change with every page.
"""

from __future__ import annotations

import io
import re
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pypdfium2
from examples import DEMO
from packs import built
from PIL import Image

from core.drawing.sheet import Sheet
from core.exports.pdf import pdf_bytes
from core.pack import UNDATED
from core.pages import page_kinds

FOLDER = Path(__file__).parent / "references" / "rasters"
PIECES = (DEMO, "starter chest_of_drawers", "starter bookcase")
DOTS_PER_INCH = 18
LEVELS = 8  # of grey
CHANGED = 2 * 256 // LEVELS  # of grey by which a dot counts as changed


def sheets_of(name: str) -> Iterator[tuple[str, Sheet]]:
    """Every sheet of a piece but the front page, by the name of its file."""
    taken: Counter[str] = Counter()
    for kind in page_kinds()[1:]:
        for sheet in kind.sheets(built(name)):
            title = re.sub(r"[^a-z0-9]+", "_", f"{kind.word} {sheet.title.sheet}".lower()).strip("_")
            taken[title] += 1
            yield f"{title}_{taken[title]}", sheet


def pictures_of(name: str) -> dict[str, np.ndarray]:
    """The sheets of a piece as grey dots, by the names of their files."""
    named = list(sheets_of(name))
    document = pypdfium2.PdfDocument(pdf_bytes([sheet.page() for _, sheet in named], title="x", date=UNDATED))
    found = {}
    for (title, _), page in zip(named, document, strict=True):
        grey = np.asarray(page.render(scale=DOTS_PER_INCH / 72, grayscale=True).to_pil().convert("L"))
        found[title] = (grey // (256 // LEVELS)).astype(np.uint8)
    return found


def folder_of(name: str) -> Path:
    """Where the pictures of a piece are kept."""
    return FOLDER / name.split()[1]


def kept(name: str) -> dict[str, np.ndarray]:
    """The pictures that are kept of a piece."""
    return {path.stem: np.asarray(Image.open(path)) for path in sorted(folder_of(name).glob("*.png"))}


def differing(name: str) -> dict[str, str]:
    """The sheets of a piece that are not as they were looked at, and how."""
    return differences(pictures_of(name), kept(name))


def differences(now: dict[str, np.ndarray], then: dict[str, np.ndarray]) -> dict[str, str]:
    """What differs between two sets of pictures, by title."""
    found = {title: "gone" for title in then.keys() - now.keys()}
    for title, picture in now.items():
        if title not in then:
            found[title] = "new"
        elif then[title].shape != picture.shape:
            found[title] = "another size of paper"
        else:
            away = np.abs(then[title].astype(int) - picture.astype(int)) * (256 // LEVELS) >= CHANGED
            if away.any():
                found[title] = f"{int(away.sum())} of {away.size} dots differ"
    return found


def accept(name: str) -> list[str]:
    """Keep the pictures of a piece as they are now; the titles of those written or taken away."""
    folder = folder_of(name)
    folder.mkdir(parents=True, exist_ok=True)
    now = pictures_of(name)
    changed = differences(now, kept(name))
    for title in changed:
        path = folder / f"{title}.png"
        path.unlink(missing_ok=True)
        if title in now:
            picture = Image.fromarray(now[title], mode="P")
            picture.putpalette([level * 255 // (LEVELS - 1) for level in range(LEVELS) for _ in range(3)])
            data = io.BytesIO()
            picture.save(data, "PNG", optimize=True, bits=3)
            path.write_bytes(data.getvalue())
    return sorted(changed)


def main() -> int:
    """Say or accept what changed."""
    accepting = "--accept" in sys.argv[1:]
    total = 0
    for name in PIECES:
        found = accept(name) if accepting else [f"{title}: {how}" for title, how in sorted(differing(name).items())]
        total += len(found)
        for line in found:
            print(f"{name}: {line}{' kept' if accepting else ''}")
    print(f"{total} sheets {'accepted' if accepting else 'differ'}")
    return 0 if accepting or not total else 1


if __name__ == "__main__":
    sys.exit(main())
