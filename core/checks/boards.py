"""Boards and what stands on the floor: wet feet, parts larger than a sheet, panels that bow, solid wood that moves."""

from __future__ import annotations

from collections.abc import Iterator

from ..mechanics import movement
from ..model import Cut, Model, Part
from ..piece import Piece
from .finding import PRACTICE, Finding, figure, sentence
from .study import bought, kind_of, study

NEAR_THE_FLOOR = 20.0  # mm; wood this near to it drinks mop water; common practice, no source
DRINKS = ("mdf", "particleboard")  # materials whose standard grade swells for good
SHEET = (2440.0, 1220.0)  # mm; the sheet most sold; seller pages, read
LONGEST_LENGTH = 3000.0  # mm of solid wood that is easily bought; common practice, no source
# mm: strips on one side of a panel so thin and so long bow it; common practice, no source
THIN_PANEL, LONG_PANEL = 12.0, 600.0
WIDEST_MITRED = 75.0  # mm of solid wood in a mitre; common practice, no source
SEASON = 4.0  # per cent of moisture between a wet and a dry season indoors; common practice, no source
STRIPS = ("stile", "rail", "muntin")  # roles of what is planted on a panel
MOVES_FREELY = 3.0  # mm of seasonal movement that glue and screws bear; common practice, no source
# mm between wall anchors at least; a piece that does with one; common practice, no source
ANCHORS_APART, ONE_ANCHOR = 400.0, 600.0


def wet_feet(piece: Piece, model: Model) -> Iterator[Finding]:
    """No standard fibreboard or particleboard stands near a floor that is mopped."""
    low = [
        part
        for part in model.parts
        if part.board.material.id in DRINKS and study(model).boxes[part.key][0][2] <= NEAR_THE_FLOOR
    ]
    if low:
        board, height = low[0].board.material.name, min(float(study(model).boxes[part.key][0][2]) for part in low)
        names = sorted({part.name.split(",")[0] for part in low})
        yield Finding(
            check="wet feet",
            severity="warn",
            keys=tuple(part.key for part in low),
            value=round(height, 1),
            limit=NEAR_THE_FLOOR,
            text=(
                f"Standard {board} ({', '.join(names)}) reaches down to {figure(height)} mm above the floor; below"
                f" {figure(NEAR_THE_FLOOR)} mm it drinks mop water."
            ),
            remedy=(
                "Moisture-resistant board or hardwood for them; seal the ends with two coats, and keep a glide of 5 mm"
                " or more under them."
            ),
        )


def larger_than_the_sheet(piece: Piece, model: Model) -> Iterator[Finding]:
    """Every part comes out of a sheet or a length that can be bought."""
    for part in model.parts:
        kind = part.board.material.kind
        length, width, _ = part.cut_size or part.size
        turns = part.grain == "any"
        if kind == "sheet" and not (_fits(length, width) or (turns and _fits(width, length))):
            yield Finding(
                check="larger than the sheet",
                severity="stop",
                keys=(part.key,),
                at=part.place.origin,
                value=round(max(length, width), 1),
                limit=SHEET[0],
                source="sheet 2440 × 1220, seller pages, read",
                text=(
                    f"{sentence(study(model).called(part.key))} is {figure(length)} × {figure(width)} mm; a sheet is"
                    f" {figure(SHEET[0])} × {figure(SHEET[1])} mm."
                ),
                remedy=(
                    "Put an upright or a fixed shelf where two parts of the back can meet, within"
                    f" {figure(SHEET[1] - 20)} mm, and take it in parts; or find a larger sheet."
                    if part.role == "back"
                    else "Divide the piece, or find a larger sheet."
                ),
            )
        elif kind == "solid" and length > LONGEST_LENGTH:
            yield Finding(
                check="longer than is bought",
                severity="warn",
                keys=(part.key,),
                at=part.place.origin,
                value=round(length, 1),
                limit=LONGEST_LENGTH,
                text=(
                    f"{sentence(study(model).called(part.key))} is {figure(length)} mm of solid wood; above"
                    f" {figure(LONGEST_LENGTH)} mm it is hard to buy."
                ),
                remedy="Scarf it, or ask the merchant first.",
            )


def bowing(piece: Piece, model: Model) -> Iterator[Finding]:
    """A panel with strips on one side only is stout enough not to bow."""
    seen, told = study(model), set()
    for joint in model.joints:
        strip, panel = seen.parts.get(joint.second), seen.parts.get(joint.first)
        planted_on = joint.kind in ("glue and pins", "glue") and strip is not None and strip.role in STRIPS
        if not (planted_on and joint.glue_area) or strip is None or panel is None or panel.key in told:
            continue
        thick, planted = panel.board.thickness, strip.board.thickness
        least = max(2 * planted, THIN_PANEL if max(panel.size[:2]) > LONG_PANEL else 0.0)
        if thick < least:
            told.add(panel.key)
            yield Finding(
                check="bowing",
                severity="warn",
                keys=(panel.key,),
                at=panel.place.origin,
                value=thick,
                limit=least,
                text=(
                    f"{sentence(seen.called(panel.key))} is {figure(thick)} mm thick with strips of {figure(planted)}"
                    f" mm on one side; at least {figure(least)} mm stays flat."
                ),
                remedy="A thicker panel, thinner strips, or strips on both sides; the same coats on both sides always.",
            )


def wood_moves(piece: Piece, model: Model) -> Iterator[Finding]:
    """Solid wood is narrow where it is mitred, and free to move where it is wide."""
    for part in model.parts:
        stuff = part.board.material
        if stuff.kind != "solid" or not stuff.tangential:
            continue
        width = part.size[1]
        # a mitre across the width opens; one at the corner of a box, through the thickness, does not
        mitred = any(
            isinstance(cut, Cut) and cut.kind == "mitre" and abs(cut.normal[1]) > 1e-6 for cut in part.shape.features
        )
        moved = movement(width, stuff.tangential, SEASON)
        if mitred and width > WIDEST_MITRED:
            yield Finding(
                check="wood moving",
                severity="warn",
                keys=(part.key,),
                at=part.place.origin,
                value=width,
                limit=WIDEST_MITRED,
                text=(
                    f"{sentence(study(model).called(part.key))} is {figure(width)} mm wide and mitred; above"
                    f" {figure(WIDEST_MITRED)} mm the seasons ({figure(moved, 1)} mm) open the mitre."
                ),
                remedy="Narrower members, with a spline or loose tongue.",
            )
        elif not mitred and moved > MOVES_FREELY and _held_across(model, part):
            yield Finding(
                check="wood moving",
                severity="warn",
                keys=(part.key,),
                at=part.place.origin,
                value=round(moved, 1),
                limit=MOVES_FREELY,
                source=f"Wood Handbook ch. 13, {figure(SEASON)} % of moisture; limit {PRACTICE}",
                text=(
                    f"{sentence(study(model).called(part.key))}, {figure(width)} mm of {stuff.name}, moves"
                    f" {figure(moved, 1)} mm with the seasons; held fast it bears {figure(MOVES_FREELY)} mm."
                ),
                remedy=(
                    "Round holes at the front, slots across the grain behind, or buttons in a groove; no glue across."
                ),
            )


def anchors_apart(piece: Piece, model: Model) -> Iterator[Finding]:
    """A wide piece has two wall anchors, far enough apart to hold it."""
    places = sorted(fitting.place.origin[0] for fitting in bought(model) if kind_of(fitting) == "anchor bracket")
    wide = model.overall[0]
    if places and wide > ONE_ANCHOR and places[-1] - places[0] < ANCHORS_APART:
        yield Finding(
            check="wall anchor",
            severity="warn",
            value=round(places[-1] - places[0], 1),
            limit=ANCHORS_APART,
            text=(
                f"The wall anchors of a piece {figure(wide)} mm wide span {figure(places[-1] - places[0])} mm; at least"
                f" {figure(ANCHORS_APART)} mm is wanted between two."
            ),
            remedy="Two anchors, one near each end of the anchor rails.",
        )


def on_glides(piece: Piece, model: Model) -> Iterator[Finding]:
    """Every piece stands on glides or feet that keep its wood off the floor."""
    if any(kind_of(fitting) in ("glide", "levelling foot", "castor") for fitting in bought(model)):
        return
    standing = [part for part in model.parts if study(model).boxes[part.key][0][2] <= 0.5]
    if standing:
        yield Finding(
            check="wet feet",
            severity="note",
            keys=tuple(part.key for part in standing),
            value=0.0,
            limit=5.0,
            text="The piece stands on its wood, 0 mm above the floor; a glide of 5 mm keeps it dry and lets it slide.",
            remedy="Screw glides under it.",
        )


CHECKS = (wet_feet, larger_than_the_sheet, bowing, wood_moves, anchors_apart, on_glides)


def _fits(length: float, width: float) -> bool:
    return length <= SHEET[0] and width <= SHEET[1]


def _held_across(model: Model, part: Part) -> bool:
    """Whether a wide board of solid wood is glued or screwed to something."""
    held = ("glue", "glue and screws", "glue and pins", "screws", "dowels", "biscuits", "housing")
    return any(joint.kind in held and part.key in (joint.first, joint.second) for joint in model.joints)


__all__ = ["CHECKS", "SHEET", "anchors_apart", "bowing", "larger_than_the_sheet", "wet_feet", "wood_moves"]
