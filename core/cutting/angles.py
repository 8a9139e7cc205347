"""Every angle that a saw is set to in a job, each with the parts it serves: how the part lies, what falls off, what a
test piece must show.

Angles follow from the plane of the cut alone: its blade stands `tilt` degrees from upright and runs `swing` degrees
from square, seen on the part lying on its face or back side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..built import BuiltJob
from ..locales import Locale, locale_for
from ..model import Cut, Part
from .list import cutting_list

IN_MM = locale_for("en_GB")
FLAT = 0.05  # degrees; less than this is square
AWAY_FROM_TILT = "fence on the side away from the tilt"
STEEPEST = 45.0  # degrees that a saw blade tilts; what is flatter is sawn with the part on edge


@dataclass(frozen=True, slots=True)
class Served:
    """The parts of one mark that a setting serves, how many, and at which edges or ends."""

    mark: int
    name: str
    quantity: int
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AngleSetting:
    """One setting of tilt and swing in degrees, in words that do not name a machine's own scale."""

    kind: str
    tilt: float
    swing: float
    lies: str
    falls: str
    check: str
    when: str
    serves: tuple[Served, ...]


def angle_settings(job: BuiltJob, locale: Locale = IN_MM) -> tuple[AngleSetting, ...]:
    """Every angle of a job once, in the order in which the cuts are made; checks are written as `locale` has figures."""
    names = {entry.mark: entry.name for entry in cutting_list(job).entries}
    found: dict[tuple, dict[int, Served]] = {}
    for mark, built, part in job.parts():
        for key, places in _settings(part, locale):
            served = found.setdefault(key, {})
            known = served.get(mark)
            fresh = Served(mark, names[mark], built.quantity, places)
            served[mark] = replace(known, quantity=known.quantity + built.quantity) if known else fresh
    ordered = sorted(found, key=lambda key: (_STAGES.index(key[0]), _KINDS.index(key[1]), -key[2], -key[3], key[4:]))
    return tuple(
        AngleSetting(
            kind=kind,
            tilt=tilt,
            swing=swing,
            lies=lies,
            falls=falls,
            check=check,
            when=when,
            serves=tuple(served for _, served in sorted(found[when, kind, tilt, swing, lies, falls, check].items())),
        )
        for when, kind, tilt, swing, lies, falls, check in ordered
    )


# ---------------------------------------------------------------------------------------------------- helpers
_STAGES = ("in the part", "after glue-up", "at fitting", "on site")
_KINDS = ("bevel", "undercut", "mitre", "corner", "taper", "chamfer")


def _settings(part: Part, locale: Locale) -> Iterator[tuple[tuple, tuple[str, ...]]]:
    """(stage, kind, tilt, swing, how it lies, what falls, the check) and the places of a part that are cut so."""
    places: dict[tuple, list[str]] = {}
    for feature in part.shape.features:
        if isinstance(feature, Cut):
            places.setdefault(_setting(part, feature, locale), []).append(feature.where)
    for key, where in places.items():
        yield key, tuple(dict.fromkeys(where))


def _setting(part: Part, cut: Cut, locale: Locale) -> tuple:
    nx, ny, nz = cut.normal
    tilt = round(math.degrees(math.asin(min(1.0, abs(nz)))), 1)
    swing = round(math.degrees(math.atan2(abs(ny), abs(nx))), 1)
    describe = {
        "bevel": _bevel,
        "undercut": _end,
        "mitre": _end,
        "corner": _corner,
        "taper": _taper,
        "chamfer": _chamfer,
    }[cut.kind]
    return (cut.when.stage, cut.kind, *describe(part, cut, tilt, swing, locale))


def _bevel(part: Part, cut: Cut, tilt: float, swing: float, locale: Locale) -> tuple:
    """Along an edge, on the part lying as `_down` says; of a strip bevelled on both edges the first slope is at the fence last."""
    down, up = _down(cut)
    run = part.size[2] * math.tan(math.radians(tilt))
    both = sum(isinstance(each, Cut) and each.kind == "bevel" for each in part.shape.features) > 1
    fence = (
        "a square edge at the fence, then the sharp upper corner of the first slope"
        if both
        else "square edge at the fence"
    )
    return (
        tilt,
        0.0,
        f"{down} down, wide face ({up}) up; {fence}, {AWAY_FROM_TILT}",
        "the wedge, free beside the blade",
        f"the slope on {locale.thickness(part.size[2])} thick is {locale.thickness(run)} wide",
    )


def _down(cut: Cut) -> tuple[str, str]:
    """Which side lies on the table and which looks up, for a cut along an edge with the part between blade and fence.

    The narrower side lies down: then the blade leans away from the part and never traps it against the fence.
    """
    return ("face side", "back side") if cut.normal[2] > 0 else ("back side", "face side")


def _end(part: Part, cut: Cut, tilt: float, swing: float, locale: Locale) -> tuple:
    """Across an end, square or swung, upright or tilted; the long side up, so that what falls lies free under the lean
    of the blade."""
    up, down = ("face side", "back side") if cut.normal[2] <= 0 else ("back side", "face side")
    side = (
        f"long side ({up}) up, {down} down"
        if tilt > FLAT
        else "face side up, back edge or face edge at the fence, as the long point asks"
    )
    if tilt <= FLAT:
        long = "face edge" if (cut.normal[1] > 0) != part.face_edge_high else "back edge"
        side = f"face side up; long point at the {long}"
        run = part.size[1] * math.tan(math.radians(swing))
        check = f"two test pieces together make {_angle(2 * swing)}; "
        check += f"long and short point of {locale.thickness(part.size[1])} differ by {locale.thickness(run)}"
    elif swing <= FLAT:
        run = part.size[2] * math.tan(math.radians(tilt))
        check = f"long and short side of {locale.thickness(part.size[2])} thick differ by {locale.thickness(run)}"
        if cut.kind == "mitre":
            check = f"two test pieces together make {_angle(2 * tilt)}; " + check
    else:
        check = "two test pieces held together: no light in the joint, and square where it should be"
    return tilt, swing, side, "what lies beyond the end; it is not held by a stop", check


def _corner(part: Part, cut: Cut, tilt: float, swing: float, locale: Locale) -> tuple:
    return (
        tilt,
        swing,
        "face side up, square edge at the fence; hold a small part in a sled",
        "the corner",
        f"the angle on a sliding bevel is {_angle(swing)} from square",
    )


def _taper(part: Part, cut: Cut, tilt: float, swing: float, locale: Locale) -> tuple:
    """Along the length, on a sled; the angle is that between the cut and the edge."""
    nx, ny, nz = cut.normal
    slope = round(math.degrees(math.atan2(abs(nx), math.hypot(ny, nz))), 1)
    run = cut.point[0] if nx < 0 else part.size[0] - cut.point[0]
    down = (
        "face side up"
        if abs(ny) >= abs(nz)
        else "an edge down, face side toward the blade"
        if nz > 0
        else "an edge down, back side toward the blade"
    )
    if abs(ny) < abs(nz) and slope > FLAT:
        down += "; the offcut of the first taper taped back on"
    return (
        0.0,
        slope,
        f"{down}, on a sled; the plumb side against the sled's fence",
        "the wedge on the inner side",
        (
            f"over {locale.thickness(run)} the wedge is {locale.thickness(run * math.tan(math.radians(slope)))} wide at its end"
        ),
    )


def _chamfer(part: Part, cut: Cut, tilt: float, swing: float, locale: Locale) -> tuple:
    if tilt > STEEPEST:
        tilt = round(90 - tilt, 1)
        return (
            tilt,
            0.0,
            "on edge against a high fence",
            "the strip on the outside",
            "the two legs of the chamfer, by rule",
        )
    return (
        tilt,
        0.0,
        f"{_down(cut)[0]} down, the opposite edge at the fence, {AWAY_FROM_TILT}",
        "the strip under the edge, free beside the blade",
        "the two legs of the chamfer, by rule",
    )


def _angle(value: float) -> str:
    return f"{value:.1f}°".replace(".0°", "°")
