"""The cutting list: equal blanks grouped, by material, in the order a saw operator wants them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from ..built import BuiltJob, BuiltPiece
from ..coverage import EDGES, Coverage, coverages
from ..locales import INCH, MM_PER_INCH, Locale
from ..model import Cut, CutOut, End, Hole, Part, Pocket
from ..placing import told_by_place
from ..wording import handless

LEAST_TILT = 0.05  # degrees that are worth setting
GRAIN_WORDS = {"any": "any", "length": "along the length", "width": "along the width"}


@dataclass(frozen=True, slots=True)
class CuttingEntry:
    """One line of the list: all parts of one mark.

    Sizes are length, width, thickness in mm. `setting` names the parts that are cut at one setting of the fence.
    """

    mark: int
    name: str
    quantity: int
    material: str
    material_kind: str
    finished: tuple[float, float, float]
    cut: tuple[float, float, float]
    grain: str
    edges: str
    notes: str
    setting: str
    where: str  # of the mark that survives painting
    pieces: tuple[str, ...]
    keys: tuple[str, ...]
    mass: float  # kg, of one blank
    shown: tuple[End, ...] = ()  # edges and ends that show
    sealed: tuple[End, ...] = ()  # and those that are sealed before they are painted
    place: str = ""  # of parts that another mark shares its name with: "left rear, right front"

    @property
    def named(self) -> str:
        """The name, and the place where that is what tells the mark from another: a mirror image, most often."""
        return f"{self.name} ({self.place})" if self.place else self.name

    @property
    def area(self) -> float:
        """Of all blanks together, m²."""
        return self.quantity * self.cut[0] * self.cut[1] / 1e6


@dataclass(frozen=True, slots=True)
class MaterialTotal:
    """What one material comes to: pieces, m², metres run and kg."""

    material: str
    quantity: int
    area: float
    run: float
    mass: float


@dataclass(frozen=True, slots=True)
class CuttingList:
    """The whole list and its totals."""

    entries: tuple[CuttingEntry, ...]
    totals: tuple[MaterialTotal, ...]

    def of_material(self, material: str) -> tuple[CuttingEntry, ...]:
        """The entries of one material, in saw order."""
        return tuple(entry for entry in self.entries if entry.material == material)


def cutting_list(job: BuiltJob) -> CuttingList:
    """Every part of a job once, by material (thickest sheets first, then solid wood), widest and longest first."""
    entries: dict[int, CuttingEntry] = {}
    open_edges = [_open_edges(built, cover) for built, cover in zip(job.pieces, coverages(job), strict=True)]
    of_piece = {id(built): edges for built, edges in zip(job.pieces, open_edges, strict=True)}
    for mark, built, part in job.parts():
        shown, sealed = of_piece[id(built)].get(part.key, ((), ()))
        fresh = replace(_entry(mark, part, built.quantity, built.piece.whole.name), shown=shown, sealed=sealed)
        known = entries.get(mark)
        entries[mark] = _together(known, fresh) if known else fresh
    ordered = sorted(_placed(list(entries.values())), key=_saw_order)
    return CuttingList(tuple(ordered), _totals(ordered))


def parts_list(job: BuiltJob) -> tuple[CuttingEntry, ...]:
    """The same entries in the order of their marks, as a parts list reads."""
    return tuple(sorted(cutting_list(job).entries, key=lambda entry: entry.mark))


HEADINGS = (
    "mark", "name", "quantity", "cut length", "cut width", "thick", "finished length", "finished width", "material", "grain", "edges and ends",
    "shows", "sealed", "one setting", "surviving mark", "notes", "piece",
)  # fmt: skip


LENGTH_HEADINGS = ("cut length", "cut width", "finished length", "finished width")


def headings(locale: Locale | None = None) -> tuple[str, ...]:
    """`HEADINGS`, those of sizes saying so where they are in inches and how they are rounded."""
    if locale is None or not locale.denominator:
        return HEADINGS
    words = {each: f"{each}, inches to the nearest 1/{locale.denominator}" for each in LENGTH_HEADINGS}
    return tuple({**words, "thick": "thick, inches"}.get(each, each) for each in HEADINGS)


def lengths_written(words: str, locale: Locale) -> str:
    """A note or a setting's name as a list prints it: decimals by locale, its lengths in inches where the list is.

    What is machined stays in mm, as the title block says.

    >>> inch = Locale(id="en_US", denominator=16)
    >>> lengths_written("uprights 429", inch), lengths_written("back 358.0 long, ends scribed over a chamfer 3 deep", inch)
    ('uprights 16-7/8″', 'back 14-1/8″ long, ends scribed over a chamfer 3 deep')
    >>> lengths_written("2 on each outer edge: fit, then bevel", inch), lengths_written("back 358.0 long", Locale(id="en_GB"))
    ('0.079″ on each outer edge: fit, then bevel', 'back 358.0 long')
    """
    for told, written in ((_BY_TAPE, locale.length), (_FINER, locale.thickness)) if locale.denominator else ():
        words = told.sub(lambda found, written=written: _FIGURE.sub(lambda mm: written(float(mm[0])), found[0]), words)
    return locale.text(words)


_FIGURE = re.compile(r"\d+(?:\.\d+)?")
_BY_TAPE, _FINER = (
    re.compile("|".join(told).replace("#", _FIGURE.pattern))
    for told in (
        (
            "^(?:uprights|shelves|drawer rails) #$",
            "back # long",
            "# from shoulder to shoulder",
            "shoulder to shoulder #",
            "# over in length and # in width",
            "# at the foot, # in the middle, # at the head",
            "# (?:wide|long) then",
            "# × # with its lippings",
            "a horn # long",
            "no pin holes #(?: and #)* above the floor",
        ),
        ("# on each outer edge", "# behind the carcass"),
    )
)


def rows(entries: Sequence[CuttingEntry], locale: Locale | None = None) -> list[list[str | int | float]]:
    """The list as rows under `headings`: sizes in mm as numbers, or in inches as text such as 67-13/16"."""
    length, thick, words = _millimetres, _hundredths, str
    if locale and locale.denominator:
        length, thick = (lambda mm: locale.length(mm).replace(INCH, '"')), (lambda mm: round(mm / MM_PER_INCH, 3))
        words = partial(_in_inches, locale=locale)
    return [
        [
            each.mark, each.name, each.quantity, length(each.cut[0]), length(each.cut[1]), thick(each.cut[2]), length(each.finished[0]),
            length(each.finished[1]), each.material, each.grain, each.edges,
            ends_in_words(each.shown), ends_in_words(each.sealed), words(each.setting), each.where, words(each.notes), "; ".join(each.pieces),
        ]
        for each in entries
    ]  # fmt: skip


def _in_inches(words: str, locale: Locale) -> str:
    return lengths_written(words, locale).replace(INCH, '"')


def _millimetres(mm: float) -> float:
    return round(mm, 1)


def _hundredths(mm: float) -> float:
    return round(mm, 2)


def edge_words(part: Part) -> str:
    """What is done to a part's edges, ends and faces at the saw, in words."""
    words = []
    for feature in part.shape.features:
        if isinstance(feature, Cut):
            after = " after glue-up" if feature.when.stage == "after glue-up" else ""
            words.append(f"{feature.kind} {feature.angle:.1f}°{_tilt_words(feature)} {feature.where}{after}")
        elif isinstance(feature, (Pocket, CutOut)) and feature.when.stage == "in the part":
            words.append(feature.purpose if feature.kind in feature.purpose else f"{feature.kind}, {feature.purpose}")
    holes = sum(
        1 for feature in part.shape.features if isinstance(feature, Hole) and feature.when.stage == "in the part"
    )
    if holes:
        words.append(f"{holes} holes")
    return "; ".join(dict.fromkeys(words))


def _tilt_words(cut: Cut) -> str:
    """The blade's tilt, for a mitre that is compound."""
    return f", blade {cut.bevel:.1f}°," if cut.kind == "mitre" and min(cut.mitre, cut.bevel) > LEAST_TILT else ""


# ------------------------------------------------------------------------------------------------------------------- helpers
def _entry(mark: int, part: Part, quantity: int, piece: str) -> CuttingEntry:
    size = part.size
    cut = part.cut_size or size
    mass = cut[0] * cut[1] * cut[2] * part.board.material.density / 1e9
    return CuttingEntry(
        mark=mark, name=part.name, quantity=quantity, material=part.board.name, material_kind=part.board.material.kind, finished=size, cut=cut,
        grain=GRAIN_WORDS[part.grain], edges=edge_words(part), notes="; ".join(part.notes), setting=part.setting, where=part.surviving_mark,
        pieces=(piece,), keys=(part.key,), mass=mass,
    )  # fmt: skip


def _open_edges(built: BuiltPiece, cover: Coverage) -> dict[str, tuple[tuple[End, ...], tuple[End, ...]]]:
    """By part: the edges that show, and those that are sealed because the board drinks there and is painted."""
    scheme = built.piece.finish.scheme()
    painted = {part.key for part in built.model.parts if scheme.coat(part.finish).coating == "paint"}
    found: dict[str, tuple[tuple[End, ...], tuple[End, ...]]] = {}
    for each in cover.edges:
        shown, sealed = found.get(each.part, ((), ()))
        seal = each.weak and each.part in painted
        found[each.part] = shown + (each.edge,) * each.shows, sealed + (each.edge,) * seal
    return found


def _together(known: CuttingEntry, fresh: CuttingEntry) -> CuttingEntry:
    return replace(
        known,
        name=known.name if known.name == fresh.name else common_name(known.name, fresh.name),
        quantity=known.quantity + fresh.quantity,
        pieces=tuple(dict.fromkeys(known.pieces + fresh.pieces)),
        keys=known.keys + fresh.keys,
        shown=_either(known.shown, fresh.shown),
        sealed=_either(known.sealed, fresh.sealed),
    )


def _either(some: tuple[End, ...], others: tuple[End, ...]) -> tuple[End, ...]:
    return tuple(each for each in EDGES if each in some or each in others)


def ends_in_words(some: Sequence[End]) -> str:
    """Edges and ends in few words.

    >>> ends_in_words(("face edge", "head end", "foot end")), ends_in_words(EDGES)
    ('face edge, both ends', 'all round')
    """
    if len(some) == len(EDGES):
        return "all round"
    edges, ends = [each for each in some if "edge" in each], [each for each in some if "end" in each]
    return ", ".join((*(["both edges"] if len(edges) == 2 else edges), *(["both ends"] if len(ends) == 2 else ends)))


def common_name(first: str, second: str) -> str:
    """The name that equal parts share: the same on both sides, what comes before the comma, or both.

    >>> common_name("corner block / frieze block, left", "frieze block, right")
    'corner block / frieze block'
    """
    told = first.split(" / ")
    for shared in (handless, lambda name: handless(name.split(",")[0])):
        for number, name in enumerate(told):
            if shared(name) == shared(second):
                return " / ".join([*told[:number], shared(name), *told[number + 1 :]])
    return f"{first} / {second}"


def _placed(entries: Sequence[CuttingEntry]) -> list[CuttingEntry]:
    """The entries, those of one name with what tells the places of their parts apart."""
    places = told_by_place({entry.mark: (entry.name, entry.keys) for entry in entries})
    return [replace(entry, place=places[entry.mark]) for entry in entries]


def _saw_order(entry: CuttingEntry) -> tuple:
    sheet_first = 0 if entry.material_kind == "sheet" else 1
    return (sheet_first, -entry.cut[2], entry.material, -entry.cut[1], -entry.cut[0], entry.mark)


def _totals(entries: Sequence[CuttingEntry]) -> tuple[MaterialTotal, ...]:
    materials = list(dict.fromkeys(entry.material for entry in entries))
    return tuple(_total(material, [entry for entry in entries if entry.material == material]) for material in materials)


def _total(material: str, entries: list[CuttingEntry]) -> MaterialTotal:
    return MaterialTotal(
        material, sum(each.quantity for each in entries), sum(each.area for each in entries),
        sum(each.quantity * each.cut[0] for each in entries) / 1000, sum(each.quantity * each.mass for each in entries),
    )  # fmt: skip
