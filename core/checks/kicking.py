"""Whether a leg of stile and laminations bears a kick against its foot.

A kick of 200 N sideways turns the leg about the carcass's underside (rule book, legs). Above that line only the stile runs on; the
laminations end there, the first against the side's lower edge, the inner ones under the bottom. Kicked outward, the leg bends the stile
and draws on the screws that go down into the inner laminations; what they draw the glue between the layers passes on to the stile.
What rails and moulding about the leg bear is not reckoned.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..model import Model
from ..piece import Piece
from .breaking import KICK, KICK_SOURCE
from .finding import Finding, figure
from .study import study

SCREW_DRAWS = 750.0  # N on a screw in the edge of fibreboard (750 to 900); EN 320 as quoted at mdf-info.eu, read
# N/mm² of shear between layers of fibreboard, no more than holds its own middle: internal bond 0.45, ISO 16895 as quoted by a board maker, read
GLUE_BEARS = 0.45
STILE_BEARS = 20.0  # N/mm² of bending in a strip of fibreboard: 20 to 25, the same page, read


def kicked_leg(piece: Piece, model: Model) -> Iterator[Finding]:
    """The worst leg's screw and glue against what they bear."""
    seen, worst = study(model), None
    for joint in model.joints:
        if joint.first != "carcass/bottom" and joint.second != "carcass/bottom":
            continue
        inner = seen.parts.get(joint.first if joint.second == "carcass/bottom" else joint.second)
        if inner is None or inner.role != "lamination":
            continue
        side, leg, _ = inner.key.split("/")
        stile = seen.parts[f"{side}/stile.{leg.removeprefix('leg.')}"]
        outermost = seen.boxes[f"{side}/{leg}/lamination.1"]
        moment = KICK * float(seen.boxes[inner.key][1][2])
        by_stile = STILE_BEARS * stile.size[1] * stile.size[2] ** 2 / 6
        screws = [each for each in model.fasteners if each.key in joint.fasteners]
        pivot = float(outermost[0][0] if side.endswith("left") else outermost[1][0])
        axis = screws[0].at[0] if screws else float(seen.boxes[inner.key].mean(axis=0)[0])
        draws = max(moment - by_stile, 0.0) / abs(axis - pivot) / max(len(screws), 1)
        area = min(each.glue_area for each in model.joints if inner.key in (each.first, each.second) and each.glue_area)
        found = (
            draws if screws else draws * SCREW_DRAWS,
            inner.key,
            draws,
            draws * max(len(screws), 1) / area,
            len(screws),
        )
        worst = max(worst, found) if worst else found
    if worst is None:
        return
    _, key, draws, shear, screws = worst
    bears = bool(screws) and draws <= SCREW_DRAWS and shear <= GLUE_BEARS
    held = (
        f"draws {figure(draws, 0)} N on its screw"
        if screws
        else f"wants {figure(draws, 0)} N of a screw, and there is none"
    )
    yield Finding(
        check="kicked leg",
        severity="note" if bears else "warn",
        keys=(key,),
        at=tuple(map(float, seen.boxes[key].mean(axis=0))),  # type: ignore[arg-type]
        value=round(draws, 1),
        limit=SCREW_DRAWS,
        unit="N",
        source=f"screw: EN 320 as quoted, read; board: ISO 16895 as quoted, read; {KICK_SOURCE}",
        text=(
            f"A kick of {figure(KICK)} N outward at the foot {held} (it bears {figure(SCREW_DRAWS)} N) and"
            f" {figure(shear, 2)} N/mm² of shear on the glue between the layers ({figure(GLUE_BEARS, 2)})."
        ),
        remedy=(
            "Glue over the whole face, and the screw from above before the glue sets."
            if bears
            else "Shorter legs, one lamination more, a thicker planted stile, or hardwood."
        ),
    )


CHECKS = (kicked_leg,)
