"""What is done to a part, and when, in a joiner's words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from ..built import BuiltJob
from ..cutting.list import LEAST_TILT
from ..drawing.dimensions import figures
from ..model import AT_FITTING, Cut, Feature, Hole, Part, Pocket, When
from ..wording import counted, handless, listed
from ._sheets import sentence

HORN = "a horn "  # how the note of a stile with horns begins
NO_SEAT = ("pilot ", "clearance ", "plug ", "hinge recess ")  # purposes of what screws and hinges take
STAGES = ("in the part", "after glue-up", "at fitting", "on site")


def parts_by_mark(job: BuiltJob) -> dict[int, list[Part]]:
    """All parts of a job by their mark."""
    found: dict[int, list[Part]] = {}
    for mark, _, part in job.parts():
        found.setdefault(mark, []).append(part)
    return found


def assembly_names(job: BuiltJob) -> dict[str, str]:
    """What the assemblies of a job are called, by key."""
    return {assembly.key: assembly.name for built in job.pieces for assembly in built.model.assemblies}


def making_words(parts: Sequence[Part], assemblies: Mapping[str, str]) -> str:
    """All that is done to the parts of one mark, stage by stage: "15 holes ⌀8 × 12 (dowel 8 × 40). At fitting: …".

    What is done in the part itself comes first, without its stage, as it is done to the first: the others are its equals,
    though some may lie the other way round. What is done later to only some of them says to how many.
    """
    leading = [each for each in _phrases(parts[0], assemblies) if each[0] == 0]
    phrases = [
        list(dict.fromkeys([*leading, *(each for each in _phrases(part, assemblies) if each[0] > 0)])) for part in parts
    ]
    holders = Counter(phrase for each in phrases for phrase in each)
    said: dict[tuple[int, str], list[str]] = {}
    for (stage, when, words), count in holders.items():
        said.setdefault((stage, when), []).append(
            words if count == len(parts) else f"{words} (on {count} of {len(parts)})"
        )
    return " ".join(_sentence(when, words) for (_, when), words in sorted(said.items(), key=lambda each: each[0]))


def plug_words(parts: Sequence[Part], whens: Sequence[When]) -> str:
    """What is sawn in some parts when their assembly is together, and bored for plugs: "taper 11.6° on the back edge; …"."""
    made = [each for each in _made(parts, whens) if isinstance(each[1], Cut) or _for_plug(each[1])]
    return _in_words(made)


def after_words(parts: Sequence[Part], whens: Sequence[When]) -> str:
    """What is made over the plugs when they are in: "hinge recess 65 × 14.5 × 1, 4 places; …"."""
    made = [each for each in _made(parts, whens) if not isinstance(each[1], Cut) and not _for_plug(each[1])]
    return _in_words(made)


def seat_words(parts: Sequence[Part], purpose: str = "") -> str:
    """What fittings are let into or stand in, marked from them, hinges apart: "recess strike 38 × 11 × 1.2; 2 holes ⌀6 × 8 (…)"."""
    made = [each for each in _made(parts, [AT_FITTING]) if not each[1].purpose.startswith(NO_SEAT)]
    return _in_words([each for each in made if not purpose or each[1].purpose == purpose])


def horn_words(part: Part) -> Iterator[str]:
    """What is said of the horns of a stile: where they are, and from where it is measured."""
    yield from (f"{sentence(note)}." for note in part.notes if note.startswith(HORN))


def _in_words(made: Sequence[tuple[Part, Feature]]) -> str:
    cuts = [feature for _, feature in made if isinstance(feature, Cut)]
    pockets = {_where_made(part, each): each for part, each in made if not isinstance(each, (Cut, Hole))}
    return "; ".join(dict.fromkeys((*_cut_words(cuts), *_pocket_words(pockets.values()), *_bored_words(made))))


def _made(parts: Sequence[Part], whens: Sequence[When]) -> list[tuple[Part, Feature]]:
    return [(part, feature) for part in parts for feature in part.shape.features if feature.when in whens]


def _for_plug(feature: Feature) -> bool:
    return isinstance(feature, Hole) and feature.purpose.startswith("plug ")


def _where_made(part: Part, feature: Feature) -> tuple:
    """What stretches of one hole, or the shares of one recess, in several parts have in common."""
    place = part.place
    if isinstance(feature, Hole):
        along = place.direction(feature.into)
        axis = max(range(3), key=lambda n: abs(along[n]))
        at = place.point(feature.at)
        return feature.when, feature.diameter, feature.purpose, axis, *(round(at[n], 1) for n in range(3) if n != axis)
    if isinstance(feature, Pocket):
        ends = place.point(feature.low), place.point(feature.high)
        return feature.when, feature.kind, feature.purpose, *(round((a + b) / 2) for a, b in zip(*ends, strict=True))
    return feature, *place.origin


def _bored_words(made: Sequence[tuple[Part, Feature]]) -> list[str]:
    """ "18 holes ⌀8 × 30 (plug 8 × 30 for hinge screw)": a hole through parts that are glued together counts once."""
    holes: dict[tuple, list[tuple[Part, Hole]]] = {}
    for part, each in made:
        if isinstance(each, Hole):
            holes.setdefault(_where_made(part, each), []).append((part, each))
    found: Counter[tuple[float, str, str]] = Counter()
    for some in holes.values():
        through = all(any(abs(hole.depth - size) < 0.05 for size in part.size) for part, hole in some)
        deep = "through" if through else f"× {figures(max(hole.depth for _, hole in some))}"
        found[some[0][1].diameter, deep, some[0][1].purpose] += 1
    return [
        f"{counted(count, 'hole')} ⌀{figures(diameter)} {deep} ({purpose})"
        for (diameter, deep, purpose), count in found.items()
    ]


def saw_words(part: Part) -> str:
    """What is done to a part's edges, ends and faces at the saw before it is glued to anything."""
    own = [feature for feature in part.shape.features if feature.when.stage == STAGES[0]]
    return "; ".join((*_cut_words(own), *_pocket_words(own)))


def grain_word(part: Part) -> str:
    """Which way the grain of a part runs, in one word; "any" where its material has none."""
    return part.grain


# ------------------------------------------------------------------------------------------------------------ helpers
def _sentence(when: str, words: Sequence[str]) -> str:
    whole = "; ".join(words)
    return f"{when}: {whole}." if when else f"{sentence(whole)}."


def _phrases(part: Part, assemblies: Mapping[str, str]) -> Iterator[tuple[int, str, str]]:
    """(place of the stage, the stage in words, what is done)."""
    by_when: dict[When, list[Feature]] = {}
    for feature in part.shape.features:
        by_when.setdefault(feature.when, []).append(feature)
    for when, some in by_when.items():
        for words in (*_cut_words(some), *_pocket_words(some), *_hole_words(some, part.size)):
            yield STAGES.index(when.stage), _when_words(when, assemblies), words


def _when_words(when: When, assemblies: Mapping[str, str]) -> str:
    if when.stage == STAGES[0]:
        return ""
    if when.stage == "after glue-up" and when.assembly in assemblies:
        return f"After glue-up of the {handless(assemblies[when.assembly])}"
    return sentence(when.stage)


def _cut_words(features: Iterable[Feature]) -> list[str]:
    """ "bevel 30° on the back edge", "undercut 30° at both ends"."""
    places: dict[tuple[str, str], list[str]] = {}
    for feature in features:
        if isinstance(feature, Cut):
            angle = figures(feature.angle) + "°"
            if feature.kind == "mitre" and min(feature.mitre, feature.bevel) > LEAST_TILT:  # a compound one
                angle += f", blade {figures(feature.bevel)}°,"
            places.setdefault((feature.kind, angle), []).append(feature.where)
    return [f"{kind} {angle} {_where_words(where)}" for (kind, angle), where in places.items()]


def _where_words(where: list[str]) -> str:
    """ "on the face edge and at both ends"."""
    words = []
    for kind, other, way in (("face edge", "back edge", "on"), ("foot end", "head end", "at")):
        some = [place for place in dict.fromkeys(where) if place in (kind, other)]
        words.append(f"{way} both {kind.split()[1]}s" if len(some) == 2 else f"{way} the {some[0]}" if some else "")
    sides = [f"on the {place}" for place in dict.fromkeys(where) if place.endswith("side")]
    return listed([*filter(None, words), *sides])


def _pocket_words(features: Iterable[Feature]) -> list[str]:
    """ "rebate for the back, through", "hinge recess 75 × 16.5 × 1.25, 3 places"."""
    found: Counter[str] = Counter()
    for feature in features:
        if not isinstance(feature, (Cut, Hole)):
            found[
                feature.purpose if feature.kind in feature.purpose else f"{feature.kind} {feature.purpose}".strip()
            ] += 1
    return [words if count == 1 else f"{words}, {count} places" for words, count in found.items()]


def _hole_words(features: Iterable[Feature], size: Sequence[float]) -> list[str]:
    """ "15 holes ⌀8 × 12 (dowel 8 × 40)"."""
    found: Counter[tuple[float, float, str]] = Counter()
    for feature in features:
        if isinstance(feature, Hole):
            found[feature.diameter, round(feature.depth, 1), feature.purpose] += 1
    return [
        f"{counted(count, 'hole')} ⌀{figures(diameter)} "
        f"{'through' if any(abs(depth - each) < 0.05 for each in size) else f'× {figures(depth)}'} ({purpose})"
        for (diameter, depth, purpose), count in found.items()
    ]
