"""Pins: which stand near an edge or a bevel, or where a saw or a cutter comes later."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..geometry import plus
from ..model import Cut, Fastener, Feature, Hole, Model, Part
from ..piece import Piece
from .bores import LATER, TINY, Passage, gaps_between, passages, to_hollow
from .finding import Finding, figure, gathered
from .study import Study, study

PIN_TO_EDGE = 12.0  # mm from a bevel or an edge; common practice, no source
PIN_TO_CUT = 5.0  # mm from a cut that is made later; common practice, no source


def pins_near_cuts(piece: Piece, model: Model) -> Iterator[Finding]:
    """No pin stands near an edge or bevel, or in the way of a saw or cutter that comes later."""
    seen, ways = study(model), passages(model)
    by_part: dict[str, list[tuple[Fastener, Passage]]] = {}
    for each in model.fasteners:
        if each.kind == "pin":
            for way in ways[each.key]:
                by_part.setdefault(way.part, []).append((each, way))
    for key, pins in by_part.items():
        part = seen.parts[key]
        spans = np.array([(max(0.0, way.enters), min(each.length, way.leaves)) for each, way in pins])
        at, along = np.array([each.at for each, _ in pins]), np.array([each.along for each, _ in pins])
        ends = at[:, None, :] + spans[:, :, None] * along[:, None, :]  # (n, 2, 3) in the piece
        own = (ends - np.asarray(part.place.origin)) @ part.place.axes().T
        radii = np.array([each.diameter / 2 for each, _ in pins])
        yield from _later_cuts(seen, part, [each for each, _ in pins], own, radii)
        heads = [n for n, (each, way) in enumerate(pins) if each.purpose == "strip pin" and way is ways[each.key][0]]
        yield from _pin_edges(seen, part, [pins[n][0] for n in heads], own[heads], radii[heads])


CHECKS = (gathered(pins_near_cuts),)


def _later_cuts(seen: Study, part: Part, pins: list[Fastener], own: np.ndarray, radii: np.ndarray) -> Iterator[Finding]:
    later = [each for each in part.shape.features if each.when.stage in LATER]
    for feature, clear in zip(later, _clear_of(later, own, radii), strict=True):
        for n in np.flatnonzero(clear < PIN_TO_CUT - TINY).tolist():
            what = feature.purpose or feature.kind
            yield Finding(
                check="pin in the way",
                severity="stop" if clear[n] <= 0 else "warn",
                keys=(pins[n].key, part.key),
                at=pins[n].at,
                value=round(float(clear[n]), 2),
                limit=PIN_TO_CUT,
                text=(
                    f"A {pins[n].name} in the {seen.called(part.key)} is {figure(clear[n], 2)} mm from what is cut"
                    f" {feature.when.stage} ({what}); at least {figure(PIN_TO_CUT)} mm keeps the blade off it."
                ),
                remedy="Leave that pin out, or move it.",
            )


def _clear_of(features: list[Feature], own: np.ndarray, radii: np.ndarray) -> list[np.ndarray]:
    """How far pins (their two ends in the part, (n, 2, 3)) keep from the cut of each feature, mm."""
    holes, cuts = ([each for each in features if isinstance(each, kind)] for kind in (Hole, Cut))
    of_holes = iter(_clear_of_holes(holes, own, radii)) if holes else iter(())
    of_cuts = iter(_clear_of_cuts(cuts, own, radii)) if cuts else iter(())
    found = []
    for each in features:
        ready = {Hole: of_holes, Cut: of_cuts}.get(type(each))
        found.append(next(ready) if ready else to_hollow(own, each) - radii)  # type: ignore[arg-type]
    return found


def _clear_of_cuts(cuts: list[Cut], own: np.ndarray, radii: np.ndarray) -> np.ndarray:
    """The same of all cuts at once, (cuts, n)."""
    normals = np.array([each.normal for each in cuts])
    offsets = np.einsum("ci,ci->c", normals, np.array([each.point for each in cuts]))
    heights = own @ normals.T  # (n, 2, cuts)
    return offsets[:, None] - np.maximum(heights[:, 0], heights[:, 1]).T - radii


def _clear_of_holes(holes: list[Hole], own: np.ndarray, radii: np.ndarray) -> np.ndarray:
    """The same of all holes at once, (holes, n)."""
    n, h = len(own), len(holes)
    starts = np.vstack((own[:, 0], [each.at for each in holes]))
    ends = np.vstack((own[:, 1], [plus(each.at, each.into, each.depth) for each in holes]))
    pins, others = np.tile(np.arange(n), h), np.repeat(n + np.arange(h), n)
    return gaps_between(starts, ends, np.append(radii, [each.diameter / 2 for each in holes]), pins, others).reshape(
        h, n
    )


def _pin_edges(seen: Study, part: Part, pins: list[Fastener], own: np.ndarray, radii: np.ndarray) -> Iterator[Finding]:
    """A strip's pins keep from its edges and bevels."""
    if not pins:
        return
    across_strip = own[:, :, :2]
    clear = np.minimum(across_strip, np.asarray(part.size)[:2] - across_strip).min(axis=(1, 2)) - radii
    cuts = [cut for cut in part.shape.features if isinstance(cut, Cut) and cut.when.stage == "in the part"]
    if cuts:
        clear = np.minimum(clear, _clear_of_cuts(cuts, own, radii).min(axis=0))
    for n in np.flatnonzero(clear < PIN_TO_EDGE - TINY).tolist():
        yield Finding(
            check="pin near an edge",
            severity="warn",
            keys=(pins[n].key, part.key),
            at=pins[n].at,
            value=round(float(clear[n]), 2),
            limit=PIN_TO_EDGE,
            text=(
                f"A {pins[n].name} in the {seen.called(part.key)} is {figure(clear[n], 2)} mm from an edge or bevel; at"
                f" least {figure(PIN_TO_EDGE)} mm keeps the strip whole."
            ),
            remedy="Move it in.",
        )
