"""The standing cautions: what is printed wherever people can be hurt, and when each is called for.

They are the usual cautions of the trade in our own words. Local rules and whoever is qualified go before them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ..coated import coatings_on
from ..model import Model
from ..piece import Piece
from ..weights import MM3_PER_M3
from .boards import SHEET
from .pipes import threaded
from .reading import anchors
from .study import study

Where = Literal["front page", "sawing", "gluing", "painting", "lifting", "fitting", "handing over"]


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: what it is about, its words, and the pages it belongs on."""

    about: str
    text: str
    where: tuple[Where, ...]


TIPPING = Caution(
    "tipping",
    "Furniture can tip over and kill. Fix this piece to the wall with its anchors before it is used, with fixings that"
    " suit the wall; where in doubt ask a qualified person. Open one drawer at a time, never let a child climb on it,"
    " keep heavy things low and put no television on it. Local rules go before this sheet; no compliance with any"
    " standard is claimed.",
    ("front page", "fitting", "handing over"),
)
NO_ANCHOR = Caution(
    "tipping",
    "This piece has no wall anchors. Furniture can tip over and kill: do not use it where children can reach it before"
    " it is fixed to the wall.",
    ("front page", "fitting", "handing over"),
)
DUST = Caution(
    "dust",
    "Dust of MDF, plywood and hardwood harms lungs and nose: extraction at every machine and a mask (FFP2 at least,"
    " better FFP3) at every sawing, routing and sanding step. Limits of wood dust differ by country; keep the local"
    " one.",
    ("front page", "sawing", "painting"),
)
BEVEL_RIPPING = Caution(
    "bevel ripping",
    "Bevel ripping: riving knife in, push stick at hand, the fence on the side away from the tilt so that the strip is"
    " never trapped under the blade. Stand beside the line of the cut.",
    ("front page", "sawing"),
)
SMALL_CUTS = Caution(
    "small cuts",
    "Tapers, mitres and undercut ends: hold the work in a sled or clamp it, hands away from the blade; no pin or screw"
    " in the path of a blade.",
    ("sawing",),
)
TWO_PEOPLE = Caution(
    "lifting",
    "Two people for what weighs more than one person lifts: sheets, the carcass when it is raised, and delivery. Take"
    " off doors, drawers, loose shelves and a loose top first; bend the knees, not the back.",
    ("front page", "lifting", "fitting"),
)
RAGS = Caution(
    "oily rags",
    "Rags with oil or oil-based finish heat up by themselves and can catch fire: spread them flat outdoors to dry or"
    " keep them under water in a closed metal tin.",
    ("painting", "handing over"),
)
SOLVENTS = Caution(
    "solvents",
    "Paints, varnishes and solvents: air the room, no flame or spark, gloves and glasses; follow the tin's own sheet.",
    ("painting",),
)
GLASS = Caution(
    "glass",
    "Glass and mirrors: toughened, laminated or safety-backed where people can fall against them, by the local code;"
    " gloves when handling, edges arrissed.",
    ("fitting", "handing over"),
)
PIPES = Caution(
    "pipes",
    "Pipes: to part, move and join again those of water, heating or gas is licensed work in many places; leave it to"
    " whoever may do it there, shut off and emptied first, and have it tried for leaks before the piece is loaded.",
    ("front page", "fitting"),
)
FINGERS = Caution(
    "fingers",
    "Doors and drawers pinch: keep small fingers away while they are hung and set; lids never fall free where children"
    " are.",
    ("fitting", "handing over"),
)


def cautions(piece: Piece, model: Model) -> tuple[Caution, ...]:
    """The cautions that a piece calls for, in the order they are printed."""
    materials = [part.board.material for part in model.parts]
    coatings = coatings_on(piece.finish.scheme(), model)
    cuts = {getattr(feature, "angle", 0.0) and feature.kind for part in model.parts for feature in part.shape.features}
    seen = study(model)
    heaviest = max(
        (
            part.board.thickness * part.board.material.density
            for part in model.parts
            if part.board.material.kind == "sheet"
        ),
        default=0.0,
    )
    sheet = SHEET[0] * SHEET[1] * heaviest / MM3_PER_M3
    heavy = max(sheet, seen.weight([*seen.parts, *seen.fittings]).mass) > piece.shop.one_person
    wanted = (
        (TIPPING, bool(anchors(model))),
        (NO_ANCHOR, not anchors(model)),
        (DUST, any(material.kind in ("sheet", "solid") for material in materials)),
        (BEVEL_RIPPING, "bevel" in cuts or "chamfer" in cuts),
        (SMALL_CUTS, bool(cuts & {"taper", "mitre", "undercut"})),
        (TWO_PEOPLE, heavy),
        (RAGS, "oil" in coatings),
        (SOLVENTS, bool(coatings & {"paint", "clear", "oil"})),
        (GLASS, any(material.kind == "glass" for material in materials)),
        (PIPES, bool(threaded(piece, model))),
        (FINGERS, bool(model.motions)),
    )
    return tuple(caution for caution, called_for in wanted if called_for)


def cautions_for(piece: Piece, model: Model, where: Where) -> tuple[Caution, ...]:
    """Those that belong on one kind of page."""
    return tuple(caution for caution in cautions(piece, model) if where in caution.where)
