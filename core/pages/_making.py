"""What is done to a part, and when, in a joiner's words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from ..built import BuiltJob
from ..cutting.list import CuttingEntry
from ..drawing.dimensions import figures
from ..model import Cut, Feature, Hole, Part, When

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
    """All that is done to the parts of one mark, stage by stage: "In the part: 15 holes ⌀8 … At fitting: …".

    What is done to only some of them says to how many.
    """
    phrases = [_phrases(part.shape.features, part.size) for part in parts]
    everything = dict.fromkeys(pair for each in phrases for pair in each)
    said: dict[When, list[str]] = {}
    for when, words in everything:
        holders = sum((when, words) in each for each in phrases)
        said.setdefault(when, []).append(words if holders == len(parts) else f"{words} (on {holders} of {len(parts)})")
    merged: dict[str, list[str]] = {}
    for when in sorted(said, key=lambda each: (STAGES.index(each.stage), each.assembly)):
        merged.setdefault(_when_words(when, assemblies), []).extend(said[when])
    return " ".join(f"{when}: {'; '.join(words)}." for when, words in merged.items())


def saw_words(part: Part) -> str:
    """What the saw does to a part's edges and ends before it is glued to anything."""
    return "; ".join(_cut_words(feature for feature in part.shape.features if feature.when.stage == "in the part"))


def finished_words(entry: CuttingEntry) -> str:
    """The finished length, width and thickness as printed."""
    return " × ".join(figures(value) for value in entry.finished)


# ------------------------------------------------------------------------------------------------------------------- helpers
def _when_words(when: When, assemblies: Mapping[str, str]) -> str:
    if when.stage == "after glue-up" and when.assembly in assemblies:
        return f"After glue-up of the {assemblies[when.assembly]}"
    return when.stage[:1].upper() + when.stage[1:]


def _phrases(features: Iterable[Feature], size: Sequence[float]) -> list[tuple[When, str]]:
    by_when: dict[When, list[Feature]] = {}
    for feature in features:
        by_when.setdefault(feature.when, []).append(feature)
    return [(when, words) for when, some in by_when.items() for words in (*_cut_words(some), *_pocket_words(some), *_hole_words(some, size))]


def _cut_words(features: Iterable[Feature]) -> list[str]:
    """ "bevel 30° on the back edge", "undercut 30° at both ends"."""
    places: dict[tuple[str, str], list[str]] = {}
    for feature in features:
        if isinstance(feature, Cut):
            places.setdefault((feature.kind, figures(feature.angle)), []).append(feature.where)
    return [f"{kind} {angle}° {_where_words(where)}" for (kind, angle), where in places.items()]


def _where_words(where: list[str]) -> str:
    found = set(where)
    if found == {"head end", "foot end"}:
        return "at both ends"
    if found == {"face edge", "back edge"}:
        return "on both edges"
    return " and ".join(f"{'at' if place.endswith('end') else 'on'} the {place}" for place in dict.fromkeys(where))


def _pocket_words(features: Iterable[Feature]) -> list[str]:
    """ "rebate for the back, through", "hinge recess 75 × 16.5 × 1.25, 3 places"."""
    found: Counter[str] = Counter()
    for feature in features:
        if not isinstance(feature, (Cut, Hole)):
            found[feature.purpose if feature.kind in feature.purpose else f"{feature.kind} {feature.purpose}".strip()] += 1
    return [words if count == 1 else f"{words}, {count} places" for words, count in found.items()]


def _hole_words(features: Iterable[Feature], size: Sequence[float]) -> list[str]:
    """ "15 holes ⌀8, 12 deep, for dowels 8 × 40"."""
    found: Counter[tuple[float, float, str]] = Counter()
    for feature in features:
        if isinstance(feature, Hole):
            found[feature.diameter, round(feature.depth, 1), feature.purpose] += 1
    return [
        f"{count} {'hole' if count == 1 else 'holes'} ⌀{figures(diameter)}, "
        f"{'through' if any(abs(depth - each) < 0.05 for each in size) else figures(depth) + ' deep'}: {purpose}"
        for (diameter, depth, purpose), count in found.items()
    ]
