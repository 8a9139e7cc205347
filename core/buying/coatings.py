"""What goes on a finish group, in which order, and how much of it: seal, undercoat, fill, rub, top coats.

The figures stand in `library/coatings.json` with their sources. Litres of a coat = Σ area × absorption / rate /
(1 − loss); absorption counts edges, bevels and the ends of legs for more than they measure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..coverage import INSIDE, KINDS, Coverage, Kind
from ..errors import ParameterError
from ..materials import LIBRARY, closest, read_library
from ..piece.finish import GROUPS, Coat, Finish

# painted in parts, joints masked; all else after; joinery practice, no source
BEFORE_GLUE_UP = (INSIDE, "drawer_boxes")
SEAL_COATS = 2
HIDDEN_COATS = 1  # of the first coat on the rear of the back, so that it stays flat; common practice, no source


@dataclass(frozen=True, slots=True)
class Coating:
    """Something in a tin: m² to the litre in one coat, hours before the next, litres of the tins it is sold in."""

    id: str
    name: str
    rate: float
    hours: float
    tins: tuple[float, ...]
    verified: bool
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Method:
    """A way to put it on, and the share that never arrives."""

    id: str
    name: str
    loss: float
    verified: bool
    source: str


@dataclass(frozen=True, slots=True)
class Step:
    """One thing done to a group: its words, over how many m², with which coating or grit, hours to wait after it."""

    words: str
    area: float = 0.0
    coating: str = ""
    litres: float = 0.0
    grit: int = 0
    hours: float = 0.0


@dataclass(frozen=True, slots=True)
class GroupFinish:
    """A finish group of one piece: its areas in m² by kind of face, and its steps in order."""

    group: str
    coat: Coat
    areas: Mapping[Kind, float]
    sealed: float
    steps: tuple[Step, ...]

    @property
    def name(self) -> str:
        """What the group is called in print."""
        return GROUPS[self.group]

    @property
    def area(self) -> float:
        """All of it, m²."""
        return sum(self.areas.values())

    @property
    def before_glue_up(self) -> bool:
        """Whether it is coated in parts."""
        return self.group in BEFORE_GLUE_UP

    @property
    def hours(self) -> float:
        """Waiting from the first step to the last, hours."""
        return sum(step.hours for step in self.steps)


def coating(id: str) -> Coating:
    """The coating of that id: "sealer", "undercoat", "paint", "clear", "oil".

    >>> coating("undercoat").rate
    12.0
    """
    known = _coatings()
    if id not in known:
        raise ParameterError("coating", f'there is no coating "{id}"; {closest(id, known)}')
    return known[id]


def coatings() -> tuple[Coating, ...]:
    """All coatings, in the order of the library."""
    return tuple(_coatings().values())


@lru_cache(maxsize=8)
def method(id: str) -> Method:
    """The way of putting it on of that id: "brush", "roller", "spray"."""
    (found,) = (each for each in library()["methods"] if each["id"] == id)
    return Method(found["id"], found["name"], float(found["loss"]), found["verified"], found["source"])


def litres(areas: Mapping[Kind, float], rate: float, loss: float) -> float:
    """What one coat takes, from m² by kind of face, m² to the litre and the share lost.

    >>> round(litres({"face": 10.0}, 10.0, 0.35), 3)   # of one coat; two coats take 3.077
    1.538
    """
    absorption = library()["absorption"]
    return sum(area * absorption[kind] for kind, area in areas.items()) / rate / (1 - loss)


def finishes(finish: Finish, covered: Coverage) -> tuple[GroupFinish, ...]:
    """What is coated how on one piece, groups in the order of work; a group with nothing to coat is left out."""
    ordered = sorted(dict.fromkeys(each.group for each in covered.surfaces), key=_order)
    return tuple(_group(finish, covered, group) for group in ordered)


def library() -> dict[str, Any]:
    """The plain data of the library file: absorption, glue, abrasives and packs."""
    return _data()


# --------------------------------------------------------------------------------------------------------------- steps
def _group(finish: Finish, covered: Coverage, group: str) -> GroupFinish:
    coat = finish.scheme().coat(group)
    areas = {kind: area for kind in KINDS if (area := covered.area(group, kind))}
    weak = {kind: area for kind in KINDS if (area := covered.weak_area(group, kind))}
    steps = _STEPS[coat.coating](finish, coat, group, areas, weak)
    return GroupFinish(group, coat, areas, sum(weak.values()), tuple(steps))


def _painted(
    finish: Finish, coat: Coat, group: str, areas: Mapping[Kind, float], weak: Mapping[Kind, float]
) -> Iterator[Step]:
    """Seal, undercoats with filling after the first, top coats. Common practice, no source."""
    lost = method(finish.method).loss
    open_areas = {kind: area for kind, area in areas.items() if kind != "rear"}
    whole = sum(open_areas.values())
    if weak:
        yield from _sealed(weak, lost)
    undercoats = finish.undercoats_inside if group == INSIDE else finish.undercoats
    under = coating("undercoat")
    for number in range(1, undercoats + 1):
        on = areas if number <= HIDDEN_COATS else open_areas
        yield _coated(_numbered("undercoat", number, undercoats), under, on, lost)
        if number == 1 and group not in BEFORE_GLUE_UP:
            yield Step("fill pin holes, strip joints, glue lines and plugs that are seen; let it dry", hours=2.0)
            yield Step("rub down 180, dust off, touch in the filler with undercoat", grit=180, area=whole)
        else:
            yield Step("rub down 240, dust off", grit=240, area=whole)
    first = areas if undercoats == 0 else open_areas
    yield from _topped(coat, "paint", "top coat", open_areas, lost, first)


def _sealed(weak: Mapping[Kind, float], lost: float) -> Iterator[Step]:
    sealer = coating("sealer")
    for number in range(1, SEAL_COATS + 1):
        once = weak if number == 1 else {"face": sum(weak.values())}
        words = "seal sawn edges, bevels and ends of legs" if number == 1 else "seal them again"
        yield _coated(words, sealer, once, lost)
        yield Step("rub the sealed edges 240", grit=240, area=sum(weak.values()))


def _varnished(
    finish: Finish, coat: Coat, group: str, areas: Mapping[Kind, float], weak: Mapping[Kind, float]
) -> Iterator[Step]:
    yield Step("rub down 180 with the grain, dust off", grit=180, area=sum(areas.values()))
    yield from _topped(coat, "clear", "coat", areas, method(finish.method).loss)


def _oiled(
    finish: Finish, coat: Coat, group: str, areas: Mapping[Kind, float], weak: Mapping[Kind, float]
) -> Iterator[Step]:
    yield Step("rub down 240 with the grain, dust off", grit=240, area=sum(areas.values()))
    oil = coating("oil")
    for number in range(1, coat.coats + 1):
        words = f"{_numbered('oil', number, coat.coats)} with a rag; wipe off what stands after 15 minutes"
        yield _coated(words, oil, areas, 0.0)


def _bare(
    finish: Finish, coat: Coat, group: str, areas: Mapping[Kind, float], weak: Mapping[Kind, float]
) -> Iterator[Step]:
    yield Step("left bare: rub down 240 and dust off", grit=240, area=sum(areas.values()))


def _topped(
    coat: Coat, id: str, what: str, areas: Mapping[Kind, float], lost: float, first: Mapping[Kind, float] | None = None
) -> Iterator[Step]:
    product = coating(id)
    for number in range(1, coat.coats + 1):
        on = (first or areas) if number == 1 else areas
        yield _coated(_numbered(what, number, coat.coats), product, on, lost)
        if number < coat.coats:
            yield Step("rub down 320, dust off", grit=320, area=sum(areas.values()))


_STEPS = {"paint": _painted, "clear": _varnished, "oil": _oiled, "bare": _bare}


# ------------------------------------------------------------------------------------------------------------- helpers
def _coated(words: str, product: Coating, areas: Mapping[Kind, float], lost: float) -> Step:
    amount = litres(areas, product.rate, lost)
    return Step(words, sum(areas.values()), product.id, amount, hours=product.hours)


def _numbered(what: str, number: int, count: int) -> str:
    return what if count == 1 else f"{what} {number}"


def _order(group: str) -> tuple[int, int]:
    """What is coated in parts first; then as the groups are listed."""
    return (0 if group in BEFORE_GLUE_UP else 1, list(GROUPS).index(group))


@lru_cache(maxsize=1)
def _data() -> dict[str, Any]:
    return read_library(LIBRARY / "coatings.json")


@lru_cache(maxsize=1)
def _coatings() -> dict[str, Coating]:
    return {each["id"]: _coating(each) for each in _data()["coatings"]}


def _coating(data: Mapping[str, Any]) -> Coating:
    figures: Iterable[Mapping[str, Any]] = (data["rate"], data["hours"])
    return Coating(
        data["id"], data["name"], float(data["rate"]["value"]), float(data["hours"]["value"]), tuple(map(float, data["tins"])),
        all(each["verified"] for each in figures), tuple(each["source"] for each in figures),
    )  # fmt: skip
