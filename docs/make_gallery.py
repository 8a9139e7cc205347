"""Render the gallery: every kind of piece, support, panel, lay of fronts and top once, and docs/gallery.md that shows them.

    .venv/bin/python docs/make_gallery.py

Takes some minutes: it packs the extension, has a Blender module render each piece through the add-on, and keeps small JPEGs.
"""

import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

PICTURES = ROOT / "docs" / "pictures" / "gallery"
WIDTH, HEIGHT, SAMPLES, QUALITY = 320, 390, 12, 80
MATERIALS = {
    "birch": "plywood",
    "mdf": "mdf",
    "oak": "oak",
    "softwood": "softwood",
    "hardwood": "hardwood",
    "mirror": "mirror",
}
FRAMED = {"carcass.sides": "frame", "carcass.side_panel": {"style": "frame_and_panel", "stile_width": 110}}
PLAIN = {"carcass.side_panel": {"style": "plain"}}


def entries() -> list[tuple[str, str, str, str, dict]]:
    """Section, word, caption, starter, and what is other than in the starter, by path."""
    from core.catalogue import entries as found
    from core.starters import starter_kinds

    made = [("Kinds of piece", kind, kind.replace("_", " "), kind, {}) for kind in starter_kinds()]
    for word, entry in found("build.supports").items():
        sides = {"stile_legs": {}, "stile_posts": FRAMED}.get(word, PLAIN)
        made.append(("Supports", f"support_{word}", entry.label, "sideboard", {"support": {"style": word}, **sides}))
    for word, entry in found("build.panels").items():
        made.append(
            (
                "Panels of doors",
                f"panel_{word}",
                entry.label,
                "wardrobe",
                {"fronts.panel": {"style": word}, "fronts.hanging": {"hinge": ""}},
            )
        )
    for word, label in (("frame_and_panel", "Frame and panel"), ("glazed", "Glazed")):
        frame = {"carcass.sides": "frame", "carcass.side_panel": {"style": word, "stile_width": 110}}
        made.append(("Sides that are frames", f"sides_{word}", label, "sideboard", frame))
    for word, label in (("inset", "Inset"), ("full", "Full overlay"), ("half", "Half overlay")):
        fronts = {"fronts.lay": word, "fronts.hanging": {"hinge": ""}, "fronts.panel": {"style": "plain"}}
        made.append(
            (
                "Lay of fronts",
                f"lay_{word}",
                label,
                "wardrobe",
                {**fronts, **PLAIN, "support": {"style": "recessed_plinth"}},
            )
        )
    for word, label in (("square", "Square"), ("rebated", "Rebated"), ("bead", "Under a cover bead")):
        made.append(
            ("Meeting stiles", f"meeting_{word}", label, "wardrobe", {"fronts.meeting_stiles": {"joint": word}})
        )
    for word, entry in found("build.tops").items():
        if word != "hinged_lid":  # the blanket chest has one
            made.append(("Tops", f"top_{word}", entry.label, "coat_cupboard", {"top": {"style": word}}))
    return made


def piece_text(starter: str, changes: dict) -> str:
    """The piece file of an entry; boards that its defaults name are added as they are missed. Raises what reading raises."""
    from core.build import build
    from core.errors import ParameterError
    from core.piece.files import dumps, loads
    from core.starters import starter_text

    data = json.loads(starter_text(starter))
    for path, value in changes.items():
        for place in data["fronts"] if path.startswith("fronts.") else [data]:
            *steps, last = path.removeprefix("fronts.").split(".")
            for step in steps:
                place = place[step]
            place[last] = {**place[last], **value} if isinstance(value, dict) and "style" not in value else value
    while True:
        try:
            build(loads(json.dumps(data)))
            return dumps(loads(json.dumps(data)))
        except ParameterError as error:
            missed = re.search(r'there is no board "([a-z]+)(-ply)?-([\d.]+)"', str(error))
            if not missed:
                raise
            kind, ply, thick = missed.groups()
            board = {"id": f"{kind}{ply or ''}-{thick}", "material": MATERIALS[kind], "thickness": float(thick)}
            data["boards"].append(board)


def main() -> None:
    """Write the pieces, render them, shrink the pictures, write the page."""
    from PIL import Image

    from core.errors import PieceError

    subprocess.run([sys.executable, ROOT / "build.py", "package", "--platform", "here"], check=True)
    newest = max((ROOT / "dist").glob("*.zip"), key=lambda path: path.stat().st_mtime)
    PICTURES.mkdir(parents=True, exist_ok=True)
    page: dict[str, list[str]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for section, word, caption, starter, changes in entries():
            try:
                (Path(folder) / f"{word}.json").write_text(piece_text(starter, changes), encoding="utf-8")
            except PieceError as error:
                print(f"left out {word}: {error}")
                continue
            page.setdefault(section, []).append(f"| ![{caption}](pictures/gallery/{word}.jpg) | {caption} |")
        subprocess.run([ROOT / ".venv-bpy-5.0" / "bin" / "python", __file__, newest, folder], check=True)
        for picture in sorted(Path(folder).glob("*.png")):
            Image.open(picture).convert("RGB").save(PICTURES / f"{picture.stem}.jpg", quality=QUALITY, optimize=True)
    head = [
        "# Gallery",
        "",
        "Each picture is a piece file built by the core and rendered by the add-on: `docs/make_gallery.py`.",
        "",
    ]
    tables = [line for section, rows in page.items() for line in (f"## {section}", "", "| | |", "|---|---|", *rows, "")]
    (ROOT / "docs" / "gallery.md").write_text("\n".join([*head, *tables]), encoding="utf-8")


def render(extension_zip: Path, folder: Path) -> None:
    """In Blender: render every piece file of a folder beside it."""
    import bpy

    from docs.demo_session import install, operator

    install(extension_zip)
    for path in sorted(folder.glob("*.json")):
        bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
        operator("add_piece")(filepath=str(path))
        picture = str(path.with_suffix(".png"))
        operator("preview")(filepath=picture, width=WIDTH, height=HEIGHT, samples=SAMPLES)


if __name__ == "__main__":
    if len(sys.argv) == 3:
        render(Path(sys.argv[1]), Path(sys.argv[2]))
    else:
        main()
