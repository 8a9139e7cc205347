"""Which saw makes a cut: the track, the rip fence or the crosscut fence, by what each of them takes.

The rules, common practice without a source: what one person cannot lift, or the table cannot bear, is cut where it
lies, with the track. On the table a cut goes along the rip fence when the edge that runs along the fence is no shorter
than the distance to the blade (a piece that is wider than it is long turns and is thrown), and not a short one;
otherwise against the crosscut fence, to a stop.
"""

from __future__ import annotations

from .problem import CuttingProblem

TRACK, FENCE, CROSSCUT, STOP, NONE = "track", "rip fence", "crosscut fence", "stop", "no saw"
SHORTEST_ALONG_FENCE = 250.0  # mm; common practice, no source


def tool_for(problem: CuttingProblem, along: float, across: float, setting: float) -> str:
    """The saw for a cut `along` mm long in a piece `across` mm wide at right angles to it, `setting` from its edge.

    Empty where the problem does not say what the saws take; `NONE` where no saw takes the cut.
    """
    if problem.lengths_only:
        return STOP
    saws, limit = problem.saws, problem.largest_piece
    heavy = limit is not None and along * across / 1e6 > limit
    if saws is None:
        return TRACK if heavy else ""
    long, wide = max(along, across), min(along, across)
    if not heavy and long <= max(saws.table) and wide <= min(saws.table):
        if setting <= min(saws.fence, along) and along >= SHORTEST_ALONG_FENCE:
            return FENCE
        if along <= saws.crosscut:
            return CROSSCUT
    return TRACK if along <= saws.track else NONE
