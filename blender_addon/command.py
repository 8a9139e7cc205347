"""`blender --command muntin …`: the commands of `python -m core`; `preview`, and `book` with its pictures, need Blender."""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import bpy

from . import book, document, preview, room
from .core import PieceError, read_piece_file
from .core.stages import carried_out

WORD = "muntin"
FINE, BAD_INPUT, CANNOT_WRITE = 0, 2, 4  # as core's command line has them

_registered: list[object] = []


def register() -> None:
    """Offer the command."""
    _registered.append(bpy.utils.register_cli_command(WORD, run))


def unregister() -> None:
    """Offer it no more."""
    while _registered:
        bpy.utils.unregister_cli_command(_registered.pop())


def run(words: list[str]) -> int:
    """Run one command; its exit status, as core's command line has them."""
    if words[:1] == ["preview"]:
        return _preview(words[1:])
    from .core.__main__ import main  # brings the PDF writer with it, which start-up does without

    if words[:1] == ["book"] and not {"--pictures", "--help", "-h"} & set(words):
        return _book(words[1:])
    if words in ([], ["--help"], ["-h"]):
        print("besides the commands below:\n  preview    render the piece in a room (preview --help)")
        print("  book       renders its pictures (--setting, --draft) where none are given\n")
    return main(words)


def _preview(words: list[str]) -> int:
    """Add the piece of a file to an empty scene and render it."""
    parser = argparse.ArgumentParser(prog=f"blender --command {WORD} preview", description="Render a piece in a room.")
    parser.add_argument("piece", metavar="PIECE")
    parser.add_argument("--out", required=True, metavar="FILE", help="a PNG file")
    parser.add_argument("--scheme", default="", metavar="ID")
    parser.add_argument("--setting", choices=tuple(room.SETTINGS), default="daylight")
    parser.add_argument("--swing", type=float, default=0.0, metavar="DEGREES", help="how far doors stand open")
    parser.add_argument("--travel", type=float, default=0.0, metavar="MM", help="how far drawers stand out")
    parser.add_argument("--width", type=int, default=900, metavar="PIXELS")
    parser.add_argument("--height", type=int, default=1100, metavar="PIXELS")
    parser.add_argument("--as-given", action="store_true", help="width and height even where the piece is wide")
    parser.add_argument("--samples", type=int, default=0, metavar="N")
    parser.add_argument("--draft", action="store_true", help="half the size, in a few seconds")
    try:
        given = parser.parse_args(words)
    except SystemExit as error:
        return int(error.code or 0)
    try:
        root = document.new_piece(bpy.context, read_piece_file(given.piece))
        shot = preview.Shot(
            width=given.width,
            height=given.height,
            suited=not given.as_given,
            samples=given.samples or preview.SAMPLES,
            draft=given.draft,
            scheme=given.scheme,
            setting=given.setting,
            swing=given.swing,
            travel=given.travel,
        )
        preview.render(root, Path(given.out).resolve(), shot)
    except PieceError as error:
        return _say(error, BAD_INPUT)
    except OSError as error:
        return _say(error, CANNOT_WRITE)
    print(given.out)
    return FINE


def _book(words: list[str]) -> int:
    """Render the pictures of every piece of the job; then core's command, with their folder."""
    from .core.__main__ import main, pieces_of  # as above
    from .core.piece.job import read_job

    parser = argparse.ArgumentParser(prog=f"blender --command {WORD} book", add_help=False)
    parser.add_argument("--setting", choices=tuple(room.SETTINGS), default="daylight")
    parser.add_argument("--draft", action="store_true")
    try:
        given, rest = parser.parse_known_args(words)
    except SystemExit as error:
        return int(error.code or 0)
    try:
        pieces = {each.piece.id: each.piece for each in read_job(pieces_of(["book", *rest])).items}
        roots = [document.new_piece(bpy.context, each) for each in pieces.values()]
        shot = preview.Shot(draft=given.draft, setting=given.setting)
        with tempfile.TemporaryDirectory(prefix="muntin-") as folder:
            for name, data in carried_out(book.picturing(roots, shot)).items():
                path = Path(folder) / f"{name}.png"
                path.parent.mkdir(exist_ok=True)
                path.write_bytes(data)
            return main(["book", *rest, "--pictures", folder])
    except PieceError as error:
        return _say(error, BAD_INPUT)
    except OSError as error:
        return _say(error, CANNOT_WRITE)


def _say(error: Exception, status: int) -> int:
    sys.stderr.write(f"muntin: {' '.join(str(error).split())}\n")
    return status
