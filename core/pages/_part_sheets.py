"""What is drawn and listed for a part: on its own before glue-up, and again with what it is glued to for the rest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from ..built import BuiltJob, BuiltPiece
from ..cutting.list import CuttingEntry, parts_list
from ..drawing.dimensions import figures
from ..drawing.explode import within
from ..geometry import Placement, dot
from ..model import Cut, CutOut, Feature, Hole, Model, Part, Pocket, When
from ..wording import handless, in_sentence, listed
from ._curves import curve_words, curves
from ._machining import SAME, drilled, in_blank, is_machined, mate_key, pocket_limits, rows_of
from ._making import STAGES, horn_words
from ._part_views import Lettered, Outline, Solid, bare, open_side, outlines
from ._sheets import sentence, told_apart

FLAT = 90.0  # mm; what is glued up flatter than this is drawn as one thing
LIPPING = "lipping"
PLANTED = ("stile", "rail", "muntin")
CARCASS_DEPTH = 1  # the axis of the piece along which f is told
BEYOND_WORDS = "beneath, in the"  # what a hole is in that is bored on through another thing
BEYOND = 20.0  # mm that the mouth of a hole may lie beyond its fastener: heads of fittings stand proud
NOT_LEADING = (
    "panel",
    "pane",
    "bead",
    "lipping",
)  # roles of what nothing is measured from: it hides its edges in a frame, or is an edge
PARALLEL = 0.99  # cosine between the faces of parts that make one flat thing
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O left out, as on any drawing


@dataclass(frozen=True, slots=True)
class Stage:
    """What is made at one time: its words, rows of holes, pockets, plane cuts.

    Pockets alike at every combination of some places along and some across share a letter.
    """

    words: str
    rows: tuple[Lettered, ...]
    pockets: tuple[tuple[str, Pocket], ...]
    cuts: tuple[Cut | CutOut, ...]


@dataclass(frozen=True)
class Subject:
    """One thing that a drilling plan shows: a part by itself, or with what is glued to it, and what is made to it when."""

    part: Part
    title: str
    facts: str
    stages: tuple[Stage, ...]
    solids: tuple[Solid, ...]
    set_back: float | None  # f less the distance from the part's own face edge; None where f says nothing
    notes: tuple[str, ...] = ()
    seen: Mapping[str, Outline] = field(default_factory=dict, compare=False)

    @property
    def rows(self) -> tuple[Lettered, ...]:
        """All rows of holes."""
        return tuple(row for stage in self.stages for row in stage.rows)

    @property
    def pockets(self) -> tuple[tuple[str, Pocket], ...]:
        """All pockets with their letters."""
        return tuple(each for stage in self.stages for each in stage.pockets)


def part_subjects(job: BuiltJob) -> list[Subject]:
    """Every mark that something is made in before glue-up, in order, outlines seen."""
    return _seen(_subjects(job, only_machined=True))


def all_subjects(job: BuiltJob) -> list[Subject]:
    """Every mark, plain parts too, as it is before glue-up, in order, outlines seen."""
    return _seen(_subjects(job, only_machined=False))


def later_subjects(job: BuiltJob) -> list[Subject]:
    """Everything that something is made to after glue-up, at fitting or on site; mirror images and equals once."""
    found = [subject for index, built in enumerate(job.pieces) for subject in _later_of(job, index, built)]
    return _seen(found)


def set_back_of(part: Part, model: Model) -> float | None:
    """How much farther behind the carcass front something lies than from the part's own face edge.

    None for a part whose width does not run from front to back with its face edge in front.
    """
    toward = part.place.y[CARCASS_DEPTH] * (-1 if part.face_edge_high else 1)
    if toward < 0.99:
        return None
    own = part.size[1] if part.face_edge_high else 0.0
    edge = part.place.point((0.0, own, 0.0))[CARCASS_DEPTH]
    return edge + model.carcass[CARCASS_DEPTH]


# ------------------------------------------------------------------------------------------------------------ helpers
def _subjects(job: BuiltJob, only_machined: bool) -> list[Subject]:
    entries = {entry.mark: entry for entry in parts_list(job)}
    mates = {id(built): _mates(built.model) for built in job.pieces}
    lots: dict[int, list[tuple[BuiltPiece, Part]]] = {}
    for mark, built, part in sorted(job.parts(), key=lambda each: each[0]):
        lots.setdefault(mark, []).append((built, part))
    found, curved = [], curves(job)
    for mark, lot in lots.items():
        built, part = lot[0]
        if is_machined(part) or not only_machined:
            behind = {
                set_back_of(each, other.model) for other, each in lot
            }  # one of equals may stand the other way round
            set_back = behind.pop() if len(behind) == 1 else None
            words = curve_words(curved, mark)
            found.append(_part_subject(part, entries[mark], mates[id(built)], set_back, words))
    return found


def _mates(model: Model) -> dict[tuple, str]:
    """For the mouth of each hole that a fastener goes through, the short name of the other thing it holds."""
    mouths: dict[str, tuple[list[tuple], np.ndarray]] = {}
    for part in model.parts:
        key = part.key
        holes = [each for each in part.shape.features if isinstance(each, Hole)]
        if holes:
            at = [part.place.point(each.at) for each in holes]
            mouths[key] = [mate_key(key, each) for each in at], np.array(at)
    names = {part.key: handless(part.name) for part in model.parts}
    names |= {fitting.key: fitting.name.split(",")[0] for fitting in model.fittings}
    found: dict[tuple, str] = {}
    for fastener in model.fasteners:
        keys = [key for key in fastener.parts if key in mouths]
        if len(fastener.parts) != 2 or not keys:
            continue
        axis = np.array(fastener.along)
        middle = np.array(fastener.at) + axis * (fastener.length / 2)
        for key in keys:
            mouth, at = mouths[key]
            other = next((each for each in fastener.parts if each != key), "")
            away = at - middle
            aside = away - (away @ axis)[:, None] * axis
            near = (np.abs(aside).max(axis=1) < SAME) & (np.linalg.norm(away, axis=1) < fastener.length / 2 + BEYOND)
            for n in np.flatnonzero(near):
                found.setdefault(mouth[n], names.get(other, ""))
    return found


def _seen(subjects: Sequence[Subject]) -> list[Subject]:
    views = outlines([(each.part.size, each.solids) for each in subjects])
    return [replace(each, seen=view) for each, view in zip(subjects, views, strict=True)]


def _part_subject(
    part: Part,
    entry: CuttingEntry,
    mates: dict[tuple, str],
    set_back: float | None,
    curve_notes: tuple[str, ...],
) -> Subject:
    own = [in_blank(part, feature) for feature in part.shape.features if feature.when.stage == STAGES[0]]
    stage = _stage("", own, part, mates, iter(_letters()))
    facts = [f"{' × '.join(figures(value) for value in entry.finished)}, {entry.material}, {entry.quantity} off."]
    facts += _marks_words(part, set_back)
    if entry.where:
        facts.append(f"Number: {entry.where}.")
    home = Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    after = sum(feature.when.stage != STAGES[0] for feature in part.shape.features)
    notes = ("More is made later: see the sheets “After glue-up and at fitting”.",) if after else ()
    return Subject(
        part=part,
        title=f"{entry.mark} {sentence(entry.named)}",
        facts=" ".join(facts),
        stages=(stage,),
        solids=((bare(part.shape, STAGES[:1]), home),),
        set_back=set_back,
        notes=(*horn_words(part), *curve_notes, *notes, *_dovetail_words(part)),
    )


def _dovetail_words(part: Part) -> Iterator[str]:
    """Where the dovetails of a part are, from its face edge: tails as wide as they are on its end, sockets as wide as they get."""
    found: dict[tuple[str, str], list[tuple[float, float]]] = {}
    deep: dict[tuple[str, str], float] = {}
    for each in part.shape.features:
        if isinstance(each, CutOut) and each.kind == "dovetail":
            name = "through" if "through" in each.purpose else "lapped"
            slope = each.purpose.rpartition(", ")[2]
            points = np.array(each.outline)
            if each.axis == 2:  # the waste beside tails, seen on the face
                at_head = points[:, 0].max() > part.size[0]
                key = f"tails of {name} dovetails {slope}", "head end" if at_head else "foot end"
                end = part.size[0] if at_head else 0.0
                found.setdefault(key, []).append(_span_at(each.outline, end))
                deep[key] = part.size[0] - points[:, 0].min() if at_head else points[:, 0].max()
            else:  # a socket, seen on the end
                key = (
                    f"sockets of {name} dovetails {slope}",
                    "head end" if each.start > part.size[0] / 2 else "foot end",
                )
                found.setdefault(key, []).append((points[:, 0].min(), points[:, 0].max()))
                deep[key] = points[:, 1].max() - points[:, 1].min()
    said: dict[tuple[str, str], list[str]] = {}
    for (what, end), spans in found.items():
        spans.sort()
        if what.startswith("tails"):
            spans = [(before[1], after[0]) for before, after in pairwise(spans)]
        if part.face_edge_high:
            spans = sorted((part.size[1] - high, part.size[1] - low) for low, high in spans)
        places = listed([f"{figures(round(low, 1))} to {figures(round(high, 1))}" for low, high in spans])
        size = f"{figures(round(deep[what, end], 1))} {'long' if what.startswith('tails') else 'deep'}"
        said.setdefault((what, f"{size}: {places}"), []).append(end)
    for (what, places), ends in said.items():
        where = "both ends" if len(ends) == 2 else f"the {ends[0]}"
        yield f"{sentence(what)} at {where}, {places} from the face edge at their widest."


def _span_at(outline: Sequence[tuple[float, float]], x: float) -> tuple[float, float]:
    """From where to where an outline reaches across at one distance along."""
    met = []
    for (a, b), (c, d) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (a - x) * (c - x) <= 0 and a != c:
            met.append(b + (d - b) * (x - a) / (c - a))
    return min(met), max(met)


def _marks_words(part: Part, set_back: float | None) -> Iterator[str]:
    sides = [
        f"face side: {part.face_side}" * bool(part.face_side),
        f"face edge: {part.face_edge}" * bool(part.face_edge),
    ]
    words = "; ".join(filter(None, sides))
    if words:
        yield f"{sentence(words)}."
    if set_back is not None and abs(set_back) < SAME:
        yield "Distances from the face edge are f, from the carcass front."
    elif set_back is not None:
        way = "behind" if set_back > 0 else "before"
        yield f"Its face edge stands {figures(abs(set_back))} {way} the carcass front: f is told in brackets."


def _letters() -> Iterator[str]:
    yield from LETTERS
    yield from (first + second for first in LETTERS for second in LETTERS)


def _stage(
    words: str, features: Sequence[Feature], part: Part, mates: dict[tuple, str], letters: Iterator[str]
) -> Stage:
    """What is made at one time to a part; features are in its own frame."""
    holes = drilled(part, [each for each in features if isinstance(each, Hole)], mates)
    rows = tuple(Lettered(next(letters), row) for row in rows_of(holes))
    pockets = [each for each in features if isinstance(each, Pocket)]
    pockets.sort(key=lambda each: (each.kind, pocket_limits(part, each)[1:], pocket_limits(part, each)[0]))
    lettered = {each: letter for some in _pocket_rows(part, pockets) for letter in [next(letters)] for each in some}
    told = tuple((lettered[each], each) for each in pockets)
    cuts = tuple(each for each in features if isinstance(each, (Cut, CutOut)))
    return Stage(words, rows, told, cuts)


def _pocket_rows(part: Part, pockets: Sequence[Pocket]) -> Iterator[list[Pocket]]:
    """Pockets that one row of a table tells: alike, open at one side, at every combination of their places along and across."""
    alike: dict[tuple, list[Pocket]] = {}
    for each in pockets:
        sizes = (round(high - low, 2) for low, high in pocket_limits(part, each))
        through = np.round(pocket_limits(part, each)[2], 2)
        alike.setdefault((each.kind, each.purpose, open_side(part, each), *sizes, *through), []).append(each)
    for some in alike.values():
        across: dict[float, dict[float, Pocket]] = {}
        for each in some:
            along, aside, _ = pocket_limits(part, each)
            across.setdefault(round(aside[0], 2), {})[round(along[0], 2)] = each
        rows: dict[tuple[float, ...], list[Pocket]] = {}
        for places in across.values():
            rows.setdefault(tuple(sorted(places)), []).extend(places.values())
        yield from rows.values()


# ------------------------------------------------------------------------------------------------------- after glue-up
@dataclass(slots=True)
class _Made:
    """A feature in the piece's frame, the part it is in, and the part whose drawing shows it."""

    part: Part
    feature: Feature
    lead: str = ""


def _later_of(job: BuiltJob, index: int, built: BuiltPiece) -> Iterator[Subject]:
    model = built.model
    parts = {part.key: part for part in model.parts}
    groups = _flat_groups(model, parts)
    made = [
        _Made(part, feature)
        for part in model.parts
        for feature in part.shape.features
        if feature.when.stage != STAGES[0]
    ]
    _find_leads(made, groups, parts)
    names = told_apart({assembly.key: assembly.name for assembly in model.assemblies})
    marks = job.marks_of(index)
    shown: list[Subject] = []
    mates = _mates(model)
    for lead in dict.fromkeys(each.lead for each in made):
        group = groups.get(lead, (lead, (lead,)))
        whole = sentence(names[group[0]] if group[0] in names else parts[lead].name)
        title = f"{whole}: {marks[lead]} {parts[lead].name}" if group[0] in names else f"{marks[lead]} {whole}"
        shown.append(_later_subject(built, parts[lead], [parts[key] for key in group[1]], made, names, mates, title))
    yield from _once(shown)


def _flat_groups(model: Model, parts: Mapping[str, Part]) -> dict[str, tuple[str, tuple[str, ...]]]:
    """For each part of a flat assembly: that assembly's key and its parts, the largest first."""
    found: dict[str, tuple[str, tuple[str, ...]]] = {}
    lipped = {part.key for part in parts.values() if part.role == LIPPING}
    boards_last = sorted(
        model.assemblies[:-1], key=lambda each: any(member.key in lipped for member in each.members)
    )  # a lipped board that goes into a side is drawn with that side
    for assembly in boards_last:
        keys = [key for key in within(model, assembly.key) if key in parts]
        if len(keys) < 2 or any(key in found for key in keys):
            continue
        lead = _lead_of(keys, parts)
        place = parts[lead].place
        heights = [
            place.own_point(parts[key].place.point(corner))[2] for key in keys for corner in _corners(parts[key])
        ]
        parallel = all(key in lipped or abs(dot(parts[key].place.z, place.z)) > PARALLEL for key in keys)
        if parallel and max(heights) - min(heights) <= FLAT:
            ordered = (lead, *(key for key in keys if key != lead))
            found |= dict.fromkeys(keys, (assembly.key, ordered))
    return found


def _lead_of(keys: Sequence[str], parts: Mapping[str, Part]) -> str:
    """What is measured from: the largest part; of a frame a stile, of two that at the front or the hinges: no rail, whose ends are hidden."""
    held = [key for key in keys if parts[key].role not in NOT_LEADING] or keys
    stiles = [key for key in held if parts[key].role == "stile"]
    if stiles and all(parts[key].role in PLANTED for key in held):
        held = stiles
    return max(held, key=lambda key: (parts[key].size[0] * parts[key].size[1], key.endswith((".front", ".hinge"))))


def _corners(part: Part) -> list[tuple[float, float, float]]:
    length, width, thickness = part.size
    return [(x, y, z) for x in (0.0, length) for y in (0.0, width) for z in (0.0, thickness)]


def _find_leads(made: Sequence[_Made], groups: Mapping[str, tuple], parts: Mapping[str, Part]) -> None:
    """Each feature is shown with the largest thing that it is made in; holes on one axis go together, led by a face."""
    by_axis: dict[tuple, list[_Made]] = {}
    for each in made:
        by_axis.setdefault(_axis(each), []).append(each)
    for some in by_axis.values():
        if len({each.part.key for each in some}) > 1 and some[0].feature.when.stage != "after glue-up":
            for each in some:
                each.lead = groups[each.part.key][1][0] if each.part.key in groups else each.part.key
            continue
        flat = [each for each in some if not isinstance(each.feature, Hole) or abs(each.feature.into[2]) > 0.5]
        leads = {groups[each.part.key][1][0] if each.part.key in groups else each.part.key for each in flat or some}
        lead = max(leads, key=lambda key: (parts[key].size[0] * parts[key].size[1], key))
        for each in some:
            each.lead = lead


def _axis(each: _Made) -> tuple:
    """What features that are made in one go have in common: the line of a hole, the box of a pocket, the plane of a cut."""
    place, feature = each.part.place, each.feature
    if isinstance(feature, Hole):
        at, along = np.array(place.point(feature.at)), np.abs(place.direction(feature.into))
        return ("hole", feature.when, *(np.round(along, 3)), *np.round(at * (along < 0.5), 1))
    if isinstance(feature, Pocket):
        ends = np.array([place.point(feature.low), place.point(feature.high)])
        return ("pocket", feature.when, *np.round(ends.mean(axis=0), 0))
    return ("cut", each.part.key, feature)


def _later_subject(
    built: BuiltPiece,
    lead: Part,
    parts: Sequence[Part],
    made: Sequence[_Made],
    names: Mapping[str, str],
    mates: Mapping[tuple, str],
    title: str,
) -> Subject:
    """The lead part with what is glued to it, and all that is made then; strips on its face side count to its thickness."""
    letters, stages = iter(_letters()), []
    lead = _with_lipping(lead, parts)
    own, lead = lead, _with_strips(lead, parts)
    mine = [each for each in made if each.lead == lead.key]
    own_keys = {part.key for part in parts}
    whens = sorted({each.feature.when for each in mine}, key=lambda when: (STAGES.index(when.stage), when.assembly))
    for when in whens:
        now = [each for each in mine if each.feature.when == when]
        here = {
            mate_key(lead.key, place): mates.get(mate_key(each.part.key, place), "")
            if each.part.key in own_keys
            else f"{BEYOND_WORDS} {handless(each.part.name)}"
            for each in now
            if isinstance(each.feature, Hole)
            for place in [each.part.place.point(each.feature.at)]
        }
        here |= _going_on(now, lead, own_keys)
        stages.append(_stage(_when_words(when, names), _distinct(now, lead), lead, here, letters))
    solids = tuple((bare(part.shape, STAGES), _relative(part.place, lead.place)) for part in parts)
    others = listed(sorted({in_sentence(handless(part.name)) for part in parts[1:]}))
    facts = " ".join(
        [
            f"Measured from the {in_sentence(handless(own.name))}, {' × '.join(figures(v) for v in own.size)}.",
            *_marks_words(lead, set_back_of(lead, built.model)),
            *_strips_words(own, lead),
        ]
    )
    notes = (f"Drawn with {others}.",) if others else ()
    return Subject(lead, title, facts, tuple(stages), solids, set_back_of(lead, built.model), notes)


def _strips_words(own: Part, lead: Part) -> Iterator[str]:
    """From where depths are told of a board that has strips planted on it."""
    if lead.size[2] > own.size[2] + SAME:
        yield f"The face side is that of its strips, {figures(lead.size[2])} thick in all."


def _going_on(now: Sequence[_Made], lead: Part, own_keys: set[str]) -> dict[tuple, str]:
    """For both ends of holes that go on, with the same drill, through a part of another assembly: what that is."""
    by_axis: dict[tuple, list[_Made]] = {}
    for each in now:
        if isinstance(each.feature, Hole):
            by_axis.setdefault((*_axis(each), each.feature.diameter), []).append(each)
    found = {}
    for some in by_axis.values():
        others = [each for each in some if each.part.key not in own_keys]
        if others and len(others) < len(some):
            words = f"on through the {handless(others[0].part.name)}"
            for each in some:
                for depth in (0.0, each.feature.depth):
                    end = np.array(each.feature.at) + depth * np.array(each.feature.into)
                    found[mate_key(lead.key, each.part.place.point(tuple(end)))] = words
    return found


def _with_lipping(lead: Part, parts: Sequence[Part]) -> Part:
    """The part as long and wide as it is with its lipping: what is made then is measured from the lipped edges."""
    strips = [part for part in parts if part.role == LIPPING]
    if not strips:
        return lead
    ends = np.array([lead.place.own_point(strip.place.point(corner)) for strip in strips for corner in _corners(strip)])
    low, high = np.minimum(ends.min(axis=0), 0.0), np.maximum(ends.max(axis=0), lead.size)
    place = lead.place.moved(lead.place.direction((float(low[0]), float(low[1]), 0.0)))
    size = (round(float(high[0] - low[0]), 6), round(float(high[1] - low[1]), 6), lead.size[2])
    return replace(lead, place=place, shape=replace(lead.shape, size=size))


def _with_strips(lead: Part, parts: Sequence[Part]) -> Part:
    """The part as thick as it is with what is planted on its face side."""
    tops = [lead.size[2]]
    for part in parts:
        if part.role in PLANTED:
            tops += [lead.place.own_point(part.place.point(corner))[2] for corner in _corners(part)]
    length, width, _ = lead.size
    return replace(lead, shape=replace(lead.shape, size=(length, width, round(max(tops), 6))))


def _when_words(when: When, names: Mapping[str, str]) -> str:
    if when.stage == "after glue-up" and when.assembly in names:
        return f"After glue-up of {names[when.assembly]}"
    if when.stage == "at fitting":
        return "At fitting, marked from what is fitted; check these sizes against it"
    return sentence(when.stage)


def _relative(place: Placement, lead: Placement) -> Placement:
    """A placement seen from the frame of another part."""
    return Placement(lead.own_point(place.origin), lead.own_direction(place.x), lead.own_direction(place.y))


def _in_frame(feature: Feature, part: Part, lead: Part) -> Feature:
    """A feature of a part in the frame of the part that leads."""
    place = _relative(part.place, lead.place)
    if isinstance(feature, Hole):
        return replace(feature, at=place.point(feature.at), into=place.direction(feature.into))
    if isinstance(feature, Pocket):
        ends = np.array([place.point(feature.low), place.point(feature.high)])
        low, high = (tuple(map(float, each)) for each in (ends.min(axis=0), ends.max(axis=0)))
        return replace(feature, low=low, high=high)
    return feature


def _distinct(made: Iterable[_Made], lead: Part) -> list[Feature]:
    """Features made in one go through several parts, as one, in the frame of the part that leads."""
    found: dict[tuple, Feature] = {}
    for each in made:
        feature = _in_frame(each.feature, each.part, lead)
        if isinstance(feature, Hole):
            along = np.abs(feature.into)
            key = (
                "hole",
                feature.diameter,
                feature.purpose,
                *np.round(np.array(feature.at) * (along < 0.5), 1),
                *np.round(along),
            )
            found[key] = _deeper(found[key], feature) if key in found else feature  # type: ignore[arg-type]
        elif isinstance(feature, Pocket):
            key = ("pocket", feature.purpose, *np.round((*feature.low, *feature.high), 0))
            cut = _in_frame(in_blank(each.part, each.feature), each.part, lead)
            found[key] = _wider(found[key], cut) if key in found else cut  # type: ignore[arg-type]
        else:
            angle = round(feature.angle, 1) if isinstance(feature, Cut) else 0.0
            found.setdefault(("cut", feature.kind, angle, feature.purpose), feature)
    return list(found.values())


def _wider(first: Pocket, second: Pocket) -> Pocket:
    """What one tool takes out of two parts at once, as one pocket."""
    low, high = (
        tuple(map(pick, *ends)) for pick, ends in ((min, (first.low, second.low)), (max, (first.high, second.high)))
    )
    return replace(first, low=low, high=high)


def _deeper(first: Hole, second: Hole) -> Hole:
    """Two stretches of one hole as one, its mouth where the first hole's direction begins."""
    along = np.array(first.into)
    ends = [float(np.array(each.at) @ along) for each in (first, second)]
    way = 1.0 if np.array(second.into) @ along > 0 else -1.0
    spans = [(ends[0], ends[0] + first.depth), tuple(sorted((ends[1], ends[1] + way * second.depth)))]
    low, high = min(span[0] for span in spans), max(span[1] for span in spans)
    at = np.array(first.at) + along * (low - ends[0])
    return replace(first, at=tuple(map(float, at)), depth=high - low)


def _once(shown: Sequence[Subject]) -> Iterator[Subject]:
    """Subjects alike, or mirror images, as one that says whom it shows too."""
    firsts: list[tuple[Subject, list[tuple[str, bool]]]] = []
    for subject in shown:
        for first, others in firsts:
            if _same_measures(first, subject):
                others.append((subject.title, first.part.face_edge_high != subject.part.face_edge_high))
                break
        else:
            firsts.append((subject, []))
    for subject, others in firsts:
        alike = [title for title, mirrored in others if title == subject.title and not mirrored]
        others = [each for each in others if each[1] or each[0] != subject.title]
        words = [f"The same on each of the {len(alike) + 1}."] * bool(alike)
        words += [
            f"{title.strip()}: {'its mirror image, the same distances from its own edges' if mirrored else 'the same'}."
            for title, mirrored in others
        ]
        yield replace(subject, notes=(*subject.notes, *words))


def _same_measures(first: Subject, second: Subject) -> bool:
    """Whether two have the same size, and the same made to them at the same distances from their own edges."""
    return first.part.size == second.part.size and _measures(first) == _measures(second)


def _measures(subject: Subject) -> list:
    return [
        (
            [each.row for each in stage.rows],
            [[tuple(np.round(pair, 1)) for pair in pocket_limits(subject.part, each)] for _, each in stage.pockets],
            [(each.kind, each.purpose) for each in stage.cuts],
        )
        for stage in subject.stages
    ]
