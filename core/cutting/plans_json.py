"""The plans of a job as plain data for other programs: what is cut from what, the cuts in order, what goes back to the
rack."""

from __future__ import annotations

from typing import Any

from .angles import AngleSetting
from .plan import KEEP, PART, SHEET, Cut, Piece, SheetPlan
from .planned import JobPlans, MaterialPlan, Unplanned
from .repeated import RepeatedSetting


def surfaces_data(plans: JobPlans) -> dict[str, Any]:
    """The cutting plan: sheets, and boards that are ripped to width."""
    missing = [each for each in plans.unplanned if each.blank.width > 1]
    return {
        **_head(plans),
        "materials": [_material(made) for made in plans.sheets],
        "not planned": [_missing(each) for each in missing],
    }


def lengths_data(plans: JobPlans) -> dict[str, Any]:
    """The plan for lengths."""
    missing = [each for each in plans.unplanned if each.blank.width <= 1]
    return {
        **_head(plans),
        "materials": [_material(made) for made in plans.lengths],
        "not planned": [_missing(each) for each in missing],
    }


def settings_data(angles: tuple[AngleSetting, ...], repeated: tuple[RepeatedSetting, ...]) -> dict[str, Any]:
    """The saw settings."""
    return {
        "angles": [
            {
                "cut": each.kind,
                "tilt": each.tilt,
                "swing": each.swing,
                "when": each.when,
                "the part lies": each.lies,
                "falls off": each.falls,
                "test piece": each.check,
                "serves": [
                    {"mark": served.mark, "name": served.name, "quantity": served.quantity, "at": list(served.places)}
                    for served in each.serves
                ],
            }
            for each in angles
        ],
        "distances": [
            {
                "with": each.tool,
                "set to": each.distance,
                "cuts": each.cuts,
                "materials": list(each.materials),
                "marks": list(each.marks),
            }
            for each in repeated
        ],
    }


def _head(plans: JobPlans) -> dict[str, Any]:
    return {"workshop": {"name": plans.workshop.name, "example": plans.workshop.example}}


def _material(made: MaterialPlan) -> dict[str, Any]:
    plan = made.plan
    return {
        "material": made.name,
        "thickness": made.thickness,
        "result": plan.sentence,
        "stopped early": plan.stopped_early,
        "cost": round(plan.cost, 2) if made.priced else None,
        "least": plan.least,
        "kerf": plan.problem.kerf,
        "sheets": [_sheet(made, sheet, number) for number, sheet in enumerate(plan.sheets, 1)],
    }


def _sheet(made: MaterialPlan, sheet: SheetPlan, number: int) -> dict[str, Any]:
    stock = made.plan.stock_of(sheet)
    return {
        "number": number,
        "stock": {"length": stock.length, "width": stock.width, "from the rack": stock.offcut, "name": stock.name},
        "pieces": [_piece(made, piece) for piece in sheet.pieces],
        "cuts": [_cut(cut) for cut in sheet.cuts],
        "settings": sheet.settings,
        "keep": [[piece.length, piece.width] for piece in sheet.offcuts],
    }


def _piece(made: MaterialPlan, piece: Piece) -> dict[str, Any]:
    data: dict[str, Any] = {
        "piece": piece.number,
        "is": piece.kind,
        "x": piece.x,
        "y": piece.y,
        "length": piece.length,
        "width": piece.width,
    }
    if piece.kind == PART:
        blank = made.blanks[piece.part or 0]
        data |= {"mark": blank.mark, "name": blank.name}
    if piece.kind in (PART, KEEP, SHEET):
        data["mass"] = round(made.mass(piece.length, piece.width), 2)
    return data


def _cut(cut: Cut) -> dict[str, Any]:
    return {
        "number": cut.number,
        "with": cut.tool,
        "direction": cut.direction,
        "set to": cut.setting,
        "from the far side": cut.from_far,
        "made in": cut.of,
        "comes off": cut.off,
        "is left": cut.rest,
    }


def _missing(each: Unplanned) -> dict[str, Any]:
    return {
        "material": each.material,
        "mark": each.blank.mark,
        "name": each.blank.name,
        "quantity": each.blank.quantity,
        "why": each.why,
    }
