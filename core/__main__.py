"""The command line: python -m core COMMAND …

Exit status: 0 fine; 1 a stop finding exists (outputs are written and stamped); 2 bad input; 3 an error of ours; 4 cannot write;
130 interrupted.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from . import version
from .book import book_bytes, picture_names
from .built import BuiltJob, build_job
from .changing import Changed, ChangedPiece, changed, place_of
from .cutting import command as cutting
from .cutting.list import HEADINGS, parts_list, rows
from .drawing.explode import taken_apart
from .drawing.views import View
from .errors import FileError, OutputError, PieceError
from .exports.drawing_json import drawing_json
from .exports.dxf import dxf_bytes
from .exports.files import write_bytes, write_text
from .exports.gltf import glb_bytes
from .exports.pdf import pdf_bytes
from .exports.svg import svg_text
from .pack import job_pdf, list_csv, record_date, write_built
from .pages._sketches import parts_sketch, views_sketch
from .pages.book import picture_size
from .pages.labels import grid, grid_ids, label_pages, usual_grid
from .pages.single import drawing_page, view_of
from .piece.files import picture_bytes
from .piece.job import read_job
from .revisions.revision import read_revision
from .starters import starter_kinds, starter_text
from .wording import counted
from .workshop.company import Company
from .workshop.files import read_workshop_file, workshop_logo

VIEWS = ("front", "side", "top", "iso", "dimetric", "perspective")


class _Strict(PieceError):
    """A stop finding where the person asked that nothing be written then."""


PIECES = "piece or job files, taken together as one job"
ONE_PIECE = "a piece file"
APART = "how far its parts are taken apart: 0 together, 1 apart"
MOST_OFFSET = 20.0  # mm that a printer may be out
FINE, STOPPED, BAD_INPUT, OUR_ERROR, CANNOT_WRITE, INTERRUPTED = 0, 1, 2, 3, 4, 130


def main(words: Sequence[str] | None = None) -> int:
    """Run one command; its exit status."""
    try:
        arguments = _parser().parse_args(words)
        return arguments.run(arguments)
    except _Strict as error:
        return _say(error, STOPPED)
    except OutputError as error:
        return _say(error, CANNOT_WRITE)
    except PieceError as error:
        return _say(error, BAD_INPUT)
    except BrokenPipeError:
        return CANNOT_WRITE
    except KeyboardInterrupt:
        return _say("interrupted; nothing was left half-written", INTERRUPTED)
    except SystemExit as error:
        return int(error.code or 0)
    except Exception as error:
        return _say(
            f"an error of ours ({type(error).__name__}: {error}); please report it with the piece file", OUR_ERROR
        )


def pieces_of(words: Sequence[str]) -> list[str]:
    """The piece files that the words of a command name. Raises FileError where they are no command."""
    found = _parser().parse_args(words).piece
    return [found] if isinstance(found, str) else found


# ------------------------------------------------------------------------------------------------------------------ commands
def _new(arguments: argparse.Namespace) -> int:
    if arguments.list:
        _print("\n".join(starter_kinds()))
        return FINE
    if not arguments.kind:
        raise FileError(f"new: name a kind of piece: {', '.join(starter_kinds())}")
    _deliver(starter_text(arguments.kind), arguments.out)
    return FINE


def _parts(arguments: argparse.Namespace) -> int:
    job = _built(arguments)
    table = rows(parts_list(job))
    if arguments.format == "csv":
        _print(list_csv(job, parts_list(job)), end="")
    else:
        parts = [dict(zip(HEADINGS, row)) | {"keys": list(entry.keys)} for row, entry in zip(table, parts_list(job))]
        _print(json.dumps({**_stamped(job), "job": job.name, "parts": parts}, indent=1, ensure_ascii=False))
    return _status(job)


def _check(arguments: argparse.Namespace) -> int:
    job = _built(arguments)
    if arguments.format == "json":
        found = [{"piece": each.piece.id, **finding.plain()} for each in job.pieces for finding in each.findings]
        _print(json.dumps({**_stamped(job), "findings": found}, indent=1, ensure_ascii=False))
        return _status(job)
    for each in job.pieces:
        _print(f"{each.piece.whole.name or each.piece.id}: {counted(len(each.findings), 'finding')}")
        for finding in each.findings:
            _print(
                f"  {finding.severity}: {finding.text} [{finding.source}]"
                + (f"; {finding.remedy}" if finding.remedy else "")
            )
    return _status(job)


def _pack(arguments: argparse.Namespace) -> int:
    job = _built(arguments)
    if Path(arguments.out).is_file():
        raise OutputError(f"{arguments.out}: cannot be written: it is a file, and a pack is a folder")
    for path in write_built(job, Path(arguments.out), _tell, arguments.dxf, beside=True):
        _print(str(path))
    return _status(job)


def _changes(arguments: argparse.Namespace) -> int:
    job = _built(arguments)
    found = changed(job)
    assert found, "the command line asks for a revision"
    if arguments.format == "json":
        _print(json.dumps({**_stamped(job), **_changes_plain(found)}, indent=1, ensure_ascii=False))
        return _status(job)
    for each in found.pieces:
        for line in _changed_lines(each, found.saving.lost):
            _print(line)
    if found.made:
        saved = found.saving
        _print(
            f"made already: {found.made}; kept {len(saved.kept)}, trimmed {len(saved.trimmed)}, without use {len(saved.left_over)}"
        )
        for use in saved.trimmed:
            _print(f"  {place_of(use.key)[1]}: {use.words}")
    return _status(job)


def _changed_lines(piece: ChangedPiece, lost: float) -> Iterator[str]:
    name, found = piece.built.piece.whole.name or piece.built.piece.id, piece.comparison
    shown = [change for change in found.changes if change.what != "elsewhere"]
    moved = len(found.changes) - len(shown)
    if not found.changes and not found.bought:
        yield f"{name}: nothing changed; {counted(len(found.untouched), 'part')}"
        return
    yield f"{name}: {counted(len(shown), 'part')} changed, {moved} the same in another place, {len(found.untouched)} untouched"
    for change in shown:
        yield f"  {change.what}: {change.part.name} ({change.key})" + (f": {change.words}" if change.words else "")
    if found.bought:
        yield "  fittings and fastenings: " + "; ".join(f"{number:+d} {words}" for words, number in found.bought)
    for way in piece.other_ways:
        yield f"  another way: {way.words}; {way.lost:.2f} m² of what is made lost instead of {lost:.2f}"


def _changes_plain(found: Changed) -> dict[str, object]:
    saved = found.saving
    return {
        "since": found.since.letter,
        "pieces": [
            {
                "piece": each.built.piece.id,
                "changes": [{"key": one.key, "what": one.what, "words": one.words} for one in each.comparison.changes],
                "untouched": list(each.comparison.untouched),
                "bought": dict(each.comparison.bought),
                "other ways": [{"words": way.words, "lost m²": round(way.lost, 4)} for way in each.other_ways],
            }
            for each in found.pieces
        ],
        "made": found.made,
        "kept": [use.key for use in saved.kept],
        "trimmed": [{"key": use.key, "from": use.made.key, "words": use.words} for use in saved.trimmed],
        "anew": list(saved.anew),
        "left over": [each.key for each in saved.left_over],
    }


def _labels(arguments: argparse.Namespace) -> int:
    job = _built(arguments)
    on = grid(arguments.grid) if arguments.grid else usual_grid(job)
    pages = label_pages(job, on, arguments.offset, arguments.first, arguments.outlines)
    write_bytes(arguments.out, job_pdf(job, pages, "labels"))
    return _status(job)


def _book(arguments: argparse.Namespace) -> int:
    job = _built(arguments)
    write_bytes(arguments.out, book_bytes(job, _logo(arguments) | _pictures(arguments.pictures, picture_names(job))))
    return _status(job)


def _logo(arguments: argparse.Namespace) -> dict[str, bytes]:
    """The logo that is named, else that of the workshop; a picture called logo in the folder stands above both."""
    if arguments.logo:
        return {"logo": _picture(Path(arguments.logo))}
    found = workshop_logo(arguments.workshop) if arguments.workshop else None
    return {"logo": found} if found else {}


def _pictures(folder: str | None, names: Sequence[str]) -> dict[str, bytes]:
    """The pictures of a folder that have a name of the book's; of others it is said that there is no place for them."""
    if folder is None:
        return {}
    if not Path(folder).is_dir():
        raise FileError(f"{folder}: there is no such folder")
    paths = [each for each in sorted(Path(folder).rglob("*")) if each.suffix.lower() in (".png", ".jpg", ".jpeg")]
    found = {each.relative_to(folder).with_suffix("").as_posix(): each for each in paths}
    for name in sorted(found.keys() - set(names)):
        _tell(f"{found[name]}: the book has no place for it; its pictures are called {', '.join(names)}")
    return {name: _picture(path) for name, path in found.items() if name in names}


def _picture(path: Path) -> bytes:
    """A picture that can be printed. Raises FileError that names the file."""
    data = picture_bytes(path)
    try:
        picture_size(data)
    except FileError:
        raise FileError(f"{path}: is neither PNG nor JPEG") from None
    return data


def _gltf(arguments: argparse.Namespace) -> int:
    job = _built(arguments, one=True)
    each = job.pieces[0]
    model = taken_apart(each.model, arguments.apart)
    write_bytes(
        arguments.out,
        glb_bytes(
            model,
            marks=job.marks_of(0),
            scheme=each.piece.finish.scheme(),
            stamp=job.stamp,
            generator=f"Muntin {version()}",
        ),
    )
    return _status(job)


def _dxf(arguments: argparse.Namespace) -> int:
    job = _built(arguments)
    write_bytes(arguments.out, dxf_bytes({"parts": parts_sketch, "views": views_sketch}[arguments.of](job)))
    return _status(job)


def _drawing(arguments: argparse.Namespace) -> int:
    job = _built(arguments, one=True)
    model = taken_apart(job.pieces[0].model, arguments.apart)
    view = view_of(arguments.view, model) if isinstance(arguments.view, str) else arguments.view
    if arguments.format == "json":
        _deliver(drawing_json(model, view, job.stamp), arguments.out)
    else:
        page = drawing_page(job, model, view, arguments.apart, arguments.hidden)
        if arguments.format == "svg":
            _deliver(svg_text(page), arguments.out)
        else:
            _deliver_pdf(page, job, arguments.out)
    return _status(job)


# ------------------------------------------------------------------------------------------------------------------- helpers
def _built(arguments: argparse.Namespace, one: bool = False) -> BuiltJob:
    paths = [arguments.piece] if one else arguments.piece
    job = read_job(paths)
    if one and len(job.items) != 1:
        raise FileError(f"{arguments.piece}: holds {len(job.items)} pieces; this command takes one")
    workshop = getattr(arguments, "workshop", None)
    since = getattr(arguments, "since", None)
    built = build_job(
        job,
        workshop=read_workshop_file(workshop) if workshop else None,
        since=read_revision(since) if since else None,
        company=Company(name=getattr(arguments, "company", ""), address=getattr(arguments, "address", "")),
    )
    if built.stops and getattr(arguments, "strict", False):
        raise _Strict(f"{built.stamp}; nothing was written (--strict)")
    return built


def _status(job: BuiltJob) -> int:
    return STOPPED if job.stops else FINE


def _stamped(job: BuiltJob) -> dict[str, str]:
    return {"stamp": job.stamp} if job.stamp else {}


def _deliver(text: str, out: str | None) -> None:
    if out and out != "-":
        write_text(out, text)
    else:
        _print(text, end="")


def _deliver_pdf(page: object, job: BuiltJob, out: str | None) -> None:
    data = pdf_bytes([page], title=job.name, date=record_date(job))
    if out and out != "-":
        write_bytes(out, data)
    else:
        sys.stdout.buffer.write(data)


def _print(text: str, end: str = "\n") -> None:
    sys.stdout.write(text + end)


def _tell(words: str) -> None:
    sys.stderr.write(words + "\n")


def _say(message: object, status: int) -> int:
    sys.stderr.write("muntin: " + " ".join(str(message).split()) + "\n")
    return status


def _share(word: str) -> float:
    value = _number(word)
    if not 0 <= value <= 1:
        raise argparse.ArgumentTypeError(f"{word} is out of range; it must be between 0 (together) and 1 (apart)")
    return value


def _offset(word: str) -> tuple[float, float]:
    across, parted, up = word.partition(",")
    offset = (_number(across), _number(up)) if parted else (0.0, 0.0)
    if not parted or max(map(abs, offset)) > MOST_OFFSET:
        raise argparse.ArgumentTypeError(
            f'"{word[:40]}" is no offset; give mm right and up, at most {MOST_OFFSET:g}, such as 1.5,-0.5'
        )
    return offset


def _view(word: str) -> View | str:
    if word in VIEWS:
        return word
    try:
        numbers = [_number(each) for each in word.replace(",", " ").split()]
    except argparse.ArgumentTypeError:
        numbers = []
    if len(numbers) != 3 or not any(numbers):
        raise argparse.ArgumentTypeError(
            f'"{word}" is no view; give {", ".join(VIEWS)} or three numbers such as 1,-1,1'
        )
    return View.toward((numbers[0], numbers[1], numbers[2]))


def _label_number(word: str) -> int:
    try:
        return int(word)
    except ValueError:
        raise argparse.ArgumentTypeError(f'"{word[:40]}" is not a whole number') from None


def _number(word: str) -> float:
    try:
        value = float(word)
    except ValueError:
        raise argparse.ArgumentTypeError(f'"{word[:40]}" is not a number') from None
    if value != value or abs(value) > 1e9:
        raise argparse.ArgumentTypeError(f'"{word[:40]}" is not a number that can be used')
    return value


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="python -m core", description="Muntin: from the parameters of a piece to the workshop's papers."
    )
    parser.add_argument("--version", action="version", version=f"Muntin {version()}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=_Parser)
    new = _command(commands, "new", _new, "write a starter piece file")
    new.add_argument("kind", nargs="?", help="a kind that --list names")
    new.add_argument("--list", action="store_true", help="list the kinds of piece there are")
    new.add_argument("--out", metavar="FILE", help="the piece file; otherwise it is printed")
    parts = _command(commands, "parts", _parts, "print the parts list")
    parts.add_argument("piece", nargs="+", metavar="PIECE", help=PIECES)
    parts.add_argument("--format", choices=("csv", "json"), default="csv", help="csv unless another is named")
    check = _command(commands, "check", _check, "print the findings")
    check.add_argument("piece", nargs="+", metavar="PIECE", help=PIECES)
    check.add_argument("--format", choices=("text", "json"), default="text", help="text unless another is named")
    pack = _command(commands, "pack", _pack, "write the workshop pack")
    pack.add_argument("piece", nargs="+", metavar="PIECE", help=PIECES)
    pack.add_argument("--out", required=True, metavar="DIR", help="the folder that all files go into")
    pack.add_argument("--dxf", action="store_true", help="parts and views as DXF too")
    changes = _command(commands, "changes", _changes, "print what changed since a revision, and what is saved")
    changes.add_argument("piece", nargs="+", metavar="PIECE", help=PIECES)
    changes.add_argument("--format", choices=("text", "json"), default="text", help="text unless another is named")
    labels = _command(commands, "labels", _labels, "write a label for every part")
    labels.add_argument("piece", nargs="+", metavar="PIECE", help=PIECES)
    labels.add_argument("--out", required=True, metavar="FILE", help="a PDF")
    labels.add_argument(
        "--grid", choices=grid_ids(), help="columns × rows of the sheet; otherwise that of the locale's paper"
    )
    labels.add_argument(
        "--offset",
        type=_offset,
        default=(0.0, 0.0),
        metavar="X,Y",
        help="mm right and up, to suit the printer: --offset=-1,0.5",
    )
    labels.add_argument(
        "--first", type=_label_number, default=1, metavar="N", help="the label of the first sheet to begin with"
    )
    labels.add_argument("--outlines", action="store_true", help="draw the edges, to hold against the labels")
    book = _command(commands, "book", _book, "write the client book")
    book.add_argument("piece", nargs="+", metavar="PIECE", help=PIECES)
    book.add_argument("--out", required=True, metavar="FILE", help="a PDF")
    words = "folder with shut, open, scheme.ID (.png or .jpg); of a piece among several in a folder named by its id"
    book.add_argument("--pictures", metavar="DIR", help=words)
    book.add_argument("--logo", metavar="FILE", help="PNG or JPEG for the cover; otherwise that of the workshop file")
    gltf = _command(commands, "gltf", _gltf, "write the model as glTF")
    gltf.add_argument("piece", metavar="PIECE", help=ONE_PIECE)
    gltf.add_argument("--out", required=True, metavar="FILE", help="a .glb")
    gltf.add_argument("--apart", type=_share, default=0.0, metavar="F", help=APART)
    dxf = _command(commands, "dxf", _dxf, "write parts or views at full size as DXF")
    dxf.add_argument("piece", nargs="+", metavar="PIECE", help=PIECES)
    dxf.add_argument("--of", choices=("parts", "views"), default="parts", help="parts unless views are asked for")
    dxf.add_argument("--out", required=True, metavar="FILE", help="a .dxf")
    drawing = _command(commands, "drawing", _drawing, "draw the piece with hidden lines removed")
    drawing.add_argument("piece", metavar="PIECE", help=ONE_PIECE)
    drawing.add_argument(
        "--view", type=_view, default="iso", metavar="V", help=f"{', '.join(VIEWS)} or three numbers toward the viewer"
    )
    drawing.add_argument("--hidden", action="store_true", help="show edges that are out of sight, dashed")
    drawing.add_argument("--apart", type=_share, default=0.0, metavar="F", help=APART)
    drawing.add_argument("--format", choices=("svg", "pdf", "json"), required=True, help="json: the lines themselves")
    drawing.add_argument("--out", metavar="FILE", help="otherwise it is printed")
    cutting.add_arguments(_command(commands, "cut", cutting.run, "plan parts on sheets or lengths"))
    for command in (parts, pack, book, labels, gltf, changes):
        words = "revision.json of the last pack, or its folder: marks last, and what changed is told"
        command.add_argument("--since", metavar="REVISION", required=command is changes, help=words)
    for command in (parts, check, pack, book, gltf, drawing):
        command.add_argument("--workshop", metavar="FILE", help="stock and saws; otherwise an example")
    for command in (pack, book, drawing):
        command.add_argument(
            "--company", default="", metavar="NAME", help="who makes it; otherwise as the workshop file says"
        )
        command.add_argument("--address", default="", metavar="LINE", help="where the company is reached")
    for command in (parts, pack, book, labels, gltf, drawing):
        command.add_argument("--strict", action="store_true", help="write nothing while there is a stop finding")
    return parser


def _command(commands: argparse._SubParsersAction, word: str, run: Callable, about: str) -> argparse.ArgumentParser:
    command = commands.add_parser(word, help=about, description=about)
    command.set_defaults(run=run)
    return command


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line."""

    def error(self, message: str) -> None:  # type: ignore[override]
        raise FileError(f"{self.prog.split()[-1]}: {message}")


if __name__ == "__main__":
    sys.exit(main())
