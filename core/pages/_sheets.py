"""Blank sheets of a job, with paper, projection and title block as its workshop and its record say."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from ..built import BuiltJob, BuiltPiece
from ..drawing.blocks import Block
from ..drawing.dimensions import figures
from ..drawing.page import Item, Rect
from ..drawing.sheet import SHEETS, Sheet, SheetSize, TitleBlock
from ..drawing.title_block import Projection
from ..locales import LOCALES, Locale, locale_for
from ..piece.whole import Record
from ..placing import PLACES

ROD_RULES = "If a measure disagrees, the rod rules."
STATES = {"draft": "Draft", "released": "Released for cutting"}

# Paper and projection by locale. Third angle where it is usual (from memory, unverified); views are named in words too.
AMERICAN_PAPER = ("en_US",)
THIRD_ANGLE = ("en_US", "en_AU")
_AMERICAN = {
    "A4": "letter",
    "A4 low": "letter low",
    "A4 landscape": "letter landscape",
    "A3": "tabloid",
    "A3 low": "tabloid low",
    "A2 low": "17 × 22 in low",
}
FULL_SIZE_PAPER = {"A4": "A4 landscape", "A3": "A3 low", "A2": "A2 low"}


def blank(
    job: BuiltJob,
    title: str,
    *,
    built: BuiltPiece | None = None,
    paper: str = "A4",
    scale: str = "",
    views: str = "",
    projected: bool = False,
    bookmark: str | None = None,
    level: int = 0,
    locale: Locale | None = None,
) -> Sheet:
    """An empty sheet of the job, or of one piece of it: `paper` is the ISO name, `views` names the views in words.

    The bookmark is the title unless another is given, or "" for none; `projected` sheets show the projection symbol.
    The title block says what sizes are given in: mm, or as `locale` writes them (`lists_of(job)` for a list).
    """
    record, where, locale = record_of(job, built), locale_of(job), locale or drawings_of(job)
    block = TitleBlock(
        piece=name_of(job, built),
        sheet=title,
        owner=maker_of(job, built),
        client=record.client,
        date=record.date,
        revision=record.revision,
        state=STATES[record.state],
        scale=scale,
        views=" ".join(filter(None, (views, locale.unit_words, ROD_RULES))),
        projection=projection(where) if projected else "",
    )
    return Sheet(
        size=sheet_size(paper, where),
        title=block,
        stamp=job.stamp,
        bookmark=title if bookmark is None else bookmark,
        level=level,
        decimal=locale.decimal,
    )


def record_of(job: BuiltJob, built: BuiltPiece | None = None) -> Record:
    """Whose job it is and which state of it: the record of the piece, or of the job's first."""
    return (built or job.pieces[0]).piece.record


def maker_of(job: BuiltJob, built: BuiltPiece | None = None) -> str:
    """Who makes it: as the record says, else the company of the workshop; empty where neither says."""
    return record_of(job, built).maker or job.workshop.maker


def locale_of(job: BuiltJob) -> str:
    """Where the paper is read: the locale of the job's first piece."""
    locale = job.pieces[0].piece.shop.locale
    assert locale in LOCALES
    return locale


def drawings_of(job: BuiltJob) -> Locale:
    """How figures are written on drawings, rods and templates: lengths in mm."""
    return locale_for(locale_of(job))


def lists_of(job: BuiltJob) -> Locale:
    """How figures are written in lists: lengths in mm, or in inches where the workshop of the first piece says so."""
    return locale_for(locale_of(job), job.pieces[0].piece.shop.lengths)


def sheet_size(paper: str, locale: str) -> SheetSize:
    """The sheet of an ISO name, or the one that stands for it where that paper is not sold."""
    return SHEETS[_AMERICAN[paper] if locale in AMERICAN_PAPER else paper]


def full_size_paper(job: BuiltJob) -> str:
    """The sheets that rods and templates are printed on at full size, as the workshop of the first piece says."""
    return FULL_SIZE_PAPER[job.pieces[0].piece.shop.full_size_on]


def projection(locale: str) -> Projection:
    """How views are placed about each other."""
    return "third angle" if locale in THIRD_ANGLE else "first angle"


def name_of(job: BuiltJob, built: BuiltPiece | None = None) -> str:
    """What a sheet calls the piece, or the job."""
    return piece_name(built) if built else job.name or piece_name(job.pieces[0])


def piece_name(built: BuiltPiece) -> str:
    """What a piece is called in print."""
    return built.piece.whole.name or built.piece.id


def titled(job: BuiltJob, built: BuiltPiece, title: str) -> str:
    """A title that says which piece, where the job has several."""
    return title if len(job.pieces) == 1 else f"{title}: {piece_name(built)}"


def sentence(words: str) -> str:
    """The words with a capital at their beginning.

    >>> sentence("side panel, left")
    'Side panel, left'
    """
    return words[:1].upper() + words[1:]


def told_apart(names: Mapping[str, str]) -> dict[str, str]:
    """Names by key, those that several share made different by the words of their keys.

    >>> told_apart({"drawer-top": "drawer", "drawer-low": "drawer", "doors": "doors"})
    {'drawer-top': 'drawer, top', 'drawer-low': 'drawer, low', 'doors': 'doors'}
    >>> told_apart({"tall/leaf.left": "door", "low/leaf.right": "door"})
    {'tall/leaf.left': 'door, tall', 'low/leaf.right': 'door, low'}
    """
    lots: dict[str, list[str]] = {}
    for key, name in names.items():
        lots.setdefault(name, []).append(key)
    return {key: told for name, keys in lots.items() for key, told in _told_apart(name, keys).items()}


def _told_apart(name: str, keys: Sequence[str]) -> dict[str, str]:
    """What several things of one name are called: by what they belong to where that tells them apart, else by their whole keys."""
    if len(keys) == 1:
        return {keys[0]: name}
    short = {key: _with_words_of_owner(key.split("/")[0], name) for key in keys}
    told = name not in short.values() and len(set(short.values())) == len(keys)
    return short if told else {key: _with_words_of(key, name) for key in keys}


def _with_words_of_owner(owner: str, name: str) -> str:
    """A name with the words of what it belongs to; a side stays with the other words there, whatever side the thing itself is on.

    >>> _with_words_of_owner("inner-left-a", "packing, left"), _with_words_of_owner("drawer-top", "drawer")
    ('packing, left, inner left a', 'drawer, top')
    """
    said = name.replace(",", "").split()
    words = dict.fromkeys(word for word in re.split(r"[\W_]+", owner) if word and word != "lipped")
    if all(word in said for word in words):
        return name
    return f"{name}, {' '.join(word for word in words if word in PLACES or word not in said)}"


def _with_words_of(key: str, name: str) -> str:
    said = name.replace(",", "").split()
    words = dict.fromkeys(word for word in re.split(r"[\W_]+", key) if word and word not in (*said, "lipped"))
    return f"{name}, {' '.join(words)}" if words else name


def triple(size: Iterable[float]) -> str:
    """Sizes as printed: 1150 × 1900 × 560."""
    return " × ".join(figures(value) for value in size)


def stacked(blocks: Sequence[Block], room: Rect) -> tuple[tuple[Item, ...], float]:
    """Blocks laid down one rectangle, and the height they took in mm; a block that does not fit is our own mistake."""
    items: list[Item] = []
    top = room.top
    for block in blocks:
        laid = block.laid(room.x, top, room.width, top - room.y)
        assert laid is not None and laid.rest is None, f"a {type(block).__name__} does not fit {room}"
        items.extend(laid.items)
        top -= laid.height
    return tuple(items), room.top - top
