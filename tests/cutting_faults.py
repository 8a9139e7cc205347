"""What is wrong with a cutting plan: a strict check that shares nothing with the planning but the plan itself."""

from __future__ import annotations

from core.cutting.plan import ACROSS, KEEP, PART, PIECE, SCRAP, SHEET, CuttingPlan, Placement, SheetPlan
from core.cutting.problem import CuttingProblem, clear_runs

SLACK = 2e-6  # mm; figures are written to a millionth


def faults(plan: CuttingPlan) -> list[str]:
    """Every fault, one line each; an empty list when the plan can be sawn as it stands."""
    problem, found = plan.problem, []
    missing = [part.quantity for part in problem.parts]
    used = [0] * len(problem.stock)
    for at, sheet in enumerate(plan.sheets, 1):
        used[sheet.stock] += 1
        for placement in sheet.placements:
            missing[placement.part] -= 1
        found += [f"sheet {at}: {fault}" for fault in (*_misplaced(problem, sheet), *_missawn(problem, sheet))]
    found += [
        f"part {part}: {count} too {'few' if count > 0 else 'many'}" for part, count in enumerate(missing) if count
    ]
    found += [
        f"stock {at}: {used[at]} used, {stock.count} there are"
        for at, stock in enumerate(problem.stock)
        if stock.count is not None and used[at] > stock.count
    ]
    if len(plan.sheets) < plan.least or plan.cost < plan.least_cost - 1e-6:
        found.append(
            f"{len(plan.sheets)} at {plan.cost:g} is less than the least possible, {plan.least} at {plan.least_cost:g}"
        )
    return found


def _misplaced(problem: CuttingProblem, sheet: SheetPlan) -> list[str]:
    """Parts outside the trimmed sheet, turned against the grain, or over a defect."""
    stock, found = problem.stock[sheet.stock], []
    for each in sheet.placements:
        length, width = _size(problem, each)
        if each.rotated and not problem.may_turn(each.part):
            found.append(f"part {each.part} may not turn")
        ends, edges = problem.end_trim(stock), problem.edge_trim(stock)
        if not (
            ends - SLACK <= each.x
            and each.x + length <= stock.length - ends + SLACK
            and edges - SLACK <= each.y
            and each.y + width <= stock.width - edges + SLACK
        ):
            found.append(f"part {each.part} leaves the trimmed sheet")
        if stock.defects and not any(
            low - SLACK <= each.x and each.x + length <= high + SLACK for low, high in clear_runs(problem, stock)
        ):
            found.append(f"part {each.part} touches a defect")
    return found


def _missawn(problem: CuttingProblem, sheet: SheetPlan) -> list[str]:
    """Cuts that do not go from edge to edge of a piece that is there, and parts that do not come out at their size."""
    stock, found = problem.stock[sheet.stock], []
    pieces = {piece.number: piece for piece in sheet.pieces}
    there = {0: (0.0, 0.0, stock.length, stock.width)}
    for cut in sheet.cuts:
        if cut.of not in there:
            found.append(f"cut {cut.number} is made in a piece that is not there")
            continue
        x, y, length, width = there.pop(cut.of)
        full = length if cut.direction == ACROSS else width
        if not -SLACK <= cut.setting < full:
            found.append(f"cut {cut.number} at {cut.setting:g} lies outside a piece of {full:g}")
        start = x if cut.direction == ACROSS else y
        near = start + (full - cut.setting - problem.kerf if cut.from_far else cut.setting)
        if abs(near - cut.at) > 1e-4:
            found.append(f"cut {cut.number} says {cut.at:g} and is at {near:g}")
        left = full - cut.setting - problem.kerf
        off_at, rest_at = (
            (start + full - cut.setting, start) if cut.from_far else (start, start + cut.setting + problem.kerf)
        )
        across = cut.direction == ACROSS
        there[cut.off] = (off_at, y, cut.setting, width) if across else (x, off_at, length, cut.setting)
        if cut.rest is not None:
            there[cut.rest] = (rest_at, y, left, width) if across else (x, rest_at, length, left)
        elif left > 2e-3:
            found.append(f"cut {cut.number} leaves {left:g} that is not named")
    for number, box in there.items():
        piece = pieces[number]
        if piece.kind in (PIECE, SHEET):
            found.append(f"piece {number} is left over without a name")
        if (
            piece.kind in (PART, KEEP, SCRAP)
            and max(abs(a - b) for a, b in zip(box, (piece.x, piece.y, piece.length, piece.width))) > 1e-4
        ):
            found.append(
                f"piece {number} is said to be {piece.length:g} × {piece.width:g} and comes out {box[2]:g} × {box[3]:g}"
            )
    boxes = {
        (piece.part, piece.x, piece.y): piece for piece in sheet.pieces if piece.kind == PART and piece.number in there
    }
    for each in sheet.placements:
        piece, (length, width) = boxes.pop((each.part, each.x, each.y), None), _size(problem, each)
        if piece is None:
            found.append(f"part {each.part} is not cut free")
        elif abs(piece.length - length) > 1e-3 or abs(piece.width - width) > 1e-3:
            found.append(
                f"part {each.part} comes out {piece.length:g} × {piece.width:g}, wanted {length:g} × {width:g}"
            )
    found += [f"part {part} is cut and not placed" for part, _, _ in boxes]
    return found


def _size(problem: CuttingProblem, placement: Placement) -> tuple[float, float]:
    part = problem.parts[placement.part]
    return (part.width, part.length) if placement.rotated else (part.length, part.width)
