"""Flow lines from each part that has moved away to its seat, as far as in view; and where part numbers point."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial

import numpy as np

from ..drawing.sight import Sight
from ..drawing.views import View
from ..model import Fastener, Joint, Model, Part

POINTED = ("dowel", "screw", "bolt")  # fasteners whose holes a flow line leads from and to
SHORT = 120.0  # mm; a seat no longer than this gets one flow line, a longer one two
FROM_ENDS = 0.15  # of a seat's length: where its flow lines lie
TOUCHING = 1.0  # mm; boxes nearer than this touch
STILL = 1e-6  # mm
SHORTEST = 1.0  # mm on paper: shorter visible stretches of a flow line are left out

Path = tuple[np.ndarray, ...]  # points in the piece, taken apart


def flow_paths(
    model: Model, member_of: Mapping[str, str], moves: Mapping[str, np.ndarray], boxes: Mapping[str, tuple]
) -> list[Path]:
    """One or two paths for every two members that have a joint and have come apart, straight or with one corner."""
    fasteners = {each.key: each for each in model.fasteners}
    seats: dict[tuple[str, str], list[tuple[Joint, np.ndarray]]] = {}
    for joint in model.joints:
        ends = joint.first, joint.second
        if not all(end in moves for end in ends) or np.abs(moves[ends[1]] - moves[ends[0]]).max() < STILL:
            continue
        pair = tuple(sorted(member_of[end] for end in ends))
        points = _seat_points(joint, fasteners, boxes)
        seats.setdefault((pair[0], pair[1]), []).extend((joint, point) for point in points)
    return [_path(joint, point, moves) for found in seats.values() for joint, point in _outermost(found)]


def visible_stretches(paths: Iterable[Path], sight: Sight, view: View, scale: float) -> list[np.ndarray]:
    """What of the paths is in view, each stretch (2, 2) in mm of the piece on the sheet."""
    legs = [(a, b) for path in paths for a, b in itertools.pairwise(path)]
    if not legs:
        return []
    tails, heads = (np.array(ends) for ends in zip(*legs, strict=True))
    line, low, high = sight.in_sight(tails, heads)
    flat_tails, flat_heads = view.project(tails), view.project(heads)
    stretches = np.stack(
        [flat_tails[line] + share[:, None] * (flat_heads - flat_tails)[line] for share in (low, high)], axis=1
    )
    length = np.hypot(*(stretches[:, 1] - stretches[:, 0]).T)
    return list(stretches[length * scale > SHORTEST])


# -------------------------------------------------------------------------------------------------------------- seats
def _seat_points(joint: Joint, fasteners: Mapping[str, Fastener], boxes: Mapping[str, tuple]) -> list[np.ndarray]:
    """Where the two touch, in the piece: at their dowels or screws, or at the ends of what they share."""
    pegs = [fasteners[key] for key in joint.fasteners if key in fasteners and fasteners[key].kind in POINTED]
    if pegs:
        return [np.array(peg.at) for peg in pegs]
    (low_a, high_a), (low_b, high_b) = boxes[joint.first], boxes[joint.second]
    low, high = np.maximum(low_a, low_b), np.minimum(high_a, high_b)
    low, high = np.minimum(low, high), np.maximum(low, high)
    middle, size = (low + high) / 2, high - low
    along = int(size.argmax())
    if size[along] <= SHORT:
        return [middle]
    reach = np.zeros(3)
    reach[along] = size[along] * (0.5 - FROM_ENDS)
    return [middle - reach, middle + reach]


def _outermost(found: Sequence[tuple[Joint, np.ndarray]]) -> list[tuple[Joint, np.ndarray]]:
    """Of the places where two members meet, the two farthest from each other, or one where all lie close together."""
    points = np.array([point for _, point in found])
    distance = np.linalg.norm(points[:, None] - points[None], axis=2)
    a, b = np.unravel_index(int(distance.argmax()), distance.shape)
    if distance[a, b] <= SHORT:
        return [found[int(np.linalg.norm(points - points.mean(0), axis=1).argmin())]]
    return [found[a], found[b]]


def _path(joint: Joint, point: np.ndarray, moves: Mapping[str, np.ndarray]) -> Path:
    """From seat to seat along the axes of the piece; what moves along the joint leaves straight, corners come after."""
    first, second = point + moves[joint.first], point + moves[joint.second]
    along = np.abs(np.array(joint.apart)) + 1e-6 * np.abs(second - first)
    axis = int(along.argmax())
    if abs(moves[joint.first][axis]) < abs(moves[joint.second][axis]):
        first, second = second, first
    corners = [first]
    for each in np.argsort(-along, kind="stable"):
        if abs(second[each] - corners[-1][each]) > STILL:
            corner = corners[-1].copy()
            corner[each] = second[each]
            corners.append(corner)
    return tuple(corners)


# ------------------------------------------------------------------------------------------------------------ anchors
ACROSS = 6  # places tried across a face
MOST_ALONG = 24  # and at most along it
BORDER = 0.08  # of a face's size left out along its edges


def anchors_on(
    groups: Sequence[Sequence[tuple[Part, np.ndarray]]], solids: Mapping[str, int], sight: Sight
) -> list[np.ndarray | None]:
    """For every group of parts a place on the sheet, (2,) in mm of the piece, well inside what is seen of one of them.

    None for a group of which nothing is seen. Each part comes with how far it has moved.
    """
    looked_at = [
        (number, part, _faces(part, move, sight.view)) for number, some in enumerate(groups) for part, move in some
    ]
    found: list[_Seen | None] = [None] * len(looked_at)
    for rank in range(3):  # the largest faces of all, then the next of those whose largest is out of sight
        left = [n for n, (_, _, faces) in enumerate(looked_at) if found[n] is None and rank < len(faces)]
        if left:
            grids = [looked_at[n][2][rank][1] for n in left]
            met, _ = sight.seen_at(np.concatenate([grid.reshape(-1, 2) for grid in grids]))
            stops = np.cumsum([grid.shape[0] * grid.shape[1] for grid in grids])
            for n, grid, some in zip(left, grids, np.split(met, stops[:-1]), strict=True):
                _, part, faces = looked_at[n]
                solid = solids[part.key]
                found[n] = _inmost(
                    faces[rank][0],
                    grid,
                    (some == solid).reshape(grid.shape[:2]),
                    partial(sight.in_hole, solid=solid),
                )
    best: list[_Seen | None] = [None] * len(groups)
    for (number, _, _), seen in zip(looked_at, found, strict=True):
        known = best[number]
        if seen and (known is None or seen[0] > known[0] * 1.01):
            best[number] = seen
    return [seen[1] if seen else None for seen in best]


_Seen = tuple[float, np.ndarray]  # how much of a part is seen, and the place well inside that


def _inmost(area: float, grid: np.ndarray, seen: np.ndarray, in_hole: Callable[[np.ndarray], bool]) -> _Seen | None:
    """Of the places of a face, (n, m, 2), the one farthest inside what is seen of it and in no hole; None where nothing is.

    Where all that is seen is holes, inside one.
    """
    if not seen.any():
        return None
    depth = _depth(seen)
    order = np.argsort(-depth, axis=None, kind="stable")[: np.count_nonzero(seen)]
    places = grid.reshape(-1, 2)
    return area * seen.mean(), next((place for place in places[order] if not in_hole(place)), places[order[0]])


def _faces(part: Part, move: np.ndarray, view: View) -> list[tuple[float, np.ndarray]]:
    """The faces of a part's box toward the viewer, the largest picture first: its area, and places on it, (n, m, 2)."""
    size, axes = np.array(part.size), part.place.axes()
    origin = np.array(part.place.origin) + move
    found = []
    for axis, toward in enumerate((axes @ np.array(view.direction)).tolist()):
        if abs(toward) < 1e-6:
            continue
        u, v = (other for other in range(3) if other != axis)
        corner = origin + (axes[axis] * size[axis] if toward > 0 else 0.0)
        narrow = max(min(size[u], size[v]), 1.0)
        counts = [min(max(math.ceil(ACROSS * size[i] / narrow), ACROSS), MOST_ALONG) for i in (u, v)]
        a, b = (BORDER + (1 - 2 * BORDER) * (np.arange(n) + 0.5) / n for n in counts)
        points = corner + (a * size[u])[:, None, None] * axes[u] + (b * size[v])[None, :, None] * axes[v]
        found.append((abs(toward) * size[u] * size[v], view.project(points)))
    return sorted(found, key=lambda each: -each[0])


def _depth(seen: np.ndarray) -> np.ndarray:
    """How many steps each seen place lies inside what is seen; the middle of a face wins over its edges."""
    depth, left = np.zeros(seen.shape), seen.copy()
    padded = np.zeros((seen.shape[0] + 2, seen.shape[1] + 2), bool)
    while left.any():
        depth += left
        padded[1:-1, 1:-1] = left
        left = left & padded[:-2, 1:-1] & padded[2:, 1:-1] & padded[1:-1, :-2] & padded[1:-1, 2:]
    rows, columns = (np.abs(np.arange(n) - (n - 1) / 2) / n for n in seen.shape)
    return np.where(seen, depth - 0.4 * (rows[:, None] + columns[None, :]), -1.0)
