"""Pipes at the wall behind a piece: boards in their way are notched from the rear, so that it is pushed back over them, or bored.

A pipe along the wall takes a notch out of every board that stands across it; one up the wall out of every board that lies across it and,
where the back is in its way, a slot up the back; one that comes out of the wall a round hole in the back. Where the maker chooses so,
boards across a pipe up or along the wall get closed holes in the place of notches: the pipe is led through once the piece stands. What a
notch or hole would spoil is refused. Screws and pins of the back that stand in one are left away: the next ones hold.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass

from ..errors import ParameterError
from ..fittings import fitting_entry
from ..geometry import BACK, LEFT, RIGHT, Placement, Vector, dot, negative, plus, vector
from ..model import FOR_PIPE, Cut, CutOut, Feature, Hole, Part, When
from ..piece.site import Pipe
from .alcove import FROM_NOTCH, LEAST_BEFORE, side_of
from .bench import Bench, Box
from .clearance import HAIR, WOOD_BETWEEN, box_of, fastener_box, is_free, moved, near, own_box, standing_box
from .hanging import body_box
from .setting_out import SettingOut
from .top_rails import TOP, between_rails, rail_width

BACK_KEY = "carcass/back"
# mm of a board left beside or above a notch, or about the hole of a pipe; common practice, no source
LEAST_BESIDE = 20.0
FAR = 1e4  # mm; beyond any piece

LYING = ("horizontal", "fixed shelf", "loose shelf", "top")
STANDING = ("side", "upright", "stile", "lamination", "leg")
LEFT_AWAY = ("back screw", "back pin")  # purposes of fasteners that need not stand in any one place
WAYS = {"up": "up the wall", "along": "along the wall", "out": "out of the wall"}
FACE_LEANS = 0.7  # the cosine of its lean to the hole from which on a cut is of a face, not of an edge beside the hole
ACROSS_IT = {"up": (0, 1), "along": (1, 2)}  # the axes of the piece across a pipe
MOVED_BY = (
    ("across", "left edge", "right edge"),
    ("off", "front edge", "rear edge"),
    ("height", "lower edge", "upper edge"),
)


@dataclass(frozen=True, slots=True)
class _Run:
    """One pipe with the space that is kept free about it, in the piece before it is moved forward."""

    path: str
    pipe: Pipe
    zone: Box  # open to the rear, but of one that boards are bored for
    front: float  # the y that the space begins at

    @property
    def words(self) -> str:
        """What it is, for purposes and refusals."""
        return f"{FOR_PIPE}{self.pipe.diameter:g}, {WAYS[self.pipe.runs]}"

    @property
    def is_bored(self) -> bool:
        """Whether it goes through closed holes in the boards across it."""
        return self.pipe.meets == "bored" and self.pipe.runs != "out"

    @property
    def wide(self) -> float:
        """The diameter of its hole."""
        return round(self.pipe.diameter + 2 * self.pipe.clear, 6)

    @property
    def moved_by(self) -> str:
        """The parameter that moves its hole along the boards."""
        return MOVED_BY[ACROSS_IT[self.pipe.runs][0]][0]


def keep_clear_of_pipes(bench: Bench, out: SettingOut) -> None:
    """Notch or bore what stands in the way of each pipe, or refuse it; notches first, they take more."""
    runs = [_run(out, f"site.pipes[{number}]", pipe) for number, pipe in enumerate(out.piece.site.pipes)]
    for run in sorted(runs, key=lambda each: each.is_bored):
        _check_fittings(bench, run)
        if run.pipe.runs == "out":
            _bore(bench, out, run)
            continue
        for part in sorted(_met(bench, run), key=lambda each: (not side_of(each), each.key)):
            if run.is_bored:
                _bore_through(bench, out, run, part)
            else:
                _notch(bench, out, run, part)


def _run(out: SettingOut, path: str, pipe: Pipe) -> _Run:
    wall, half = out.behind + out.piece.site.stands_off, round(pipe.diameter / 2 + pipe.clear, 6)
    front = round(wall - pipe.off - (half if pipe.runs != "out" else pipe.clear), 6)
    x, z = pipe.across, pipe.height
    low, high = {
        "up": ((x - half, front, -FAR), (x + half, FAR, round(z + pipe.clear, 6))),
        "along": ((-FAR, front, z - half), (FAR, FAR, z + half)),
        "out": ((x - half, front, z - half), (x + half, FAR, z + half)),
    }[pipe.runs]
    if pipe.meets == "bored" and pipe.runs != "out":
        high = (high[0], round(front + 2 * half, 6), high[2])
    return _Run(path, pipe, (vector(*low), vector(*high)), front)


def _met(bench: Bench, run: _Run) -> Iterator[Part]:
    yield from [part for part in bench.parts.values() if near(standing_box(part), run.zone, -1e-6)]


def _check_fittings(bench: Bench, run: _Run) -> None:
    for fitting in bench.fittings.values():
        if any(near(body_box(body, fitting.place), run.zone, -1e-6) for body in fitting.bodies):
            raise ParameterError(
                f"{run.path}.off",
                f"the {fitting_entry(fitting.entry).name} stands in the way of the {run.words}, which takes {_taken_by(run)}; a shorter fitting, or move it aside",
            )


def _taken_by(run: _Run) -> str:
    if run.is_bored:
        return f"{run.wide:g} mm with what is clear about it"
    return f"{-run.front:g} mm off the back plane"


# ------------------------------------------------------------------------------------------------------------------ notches
def _notch(bench: Bench, out: SettingOut, run: _Run, part: Part) -> None:
    """Take the pipe's space out of one part, open to the rear."""
    up = run.pipe.runs == "up"
    stands = _stands(part)
    if part.key == BACK_KEY and up:
        _slot(bench, out, run, part)
        return
    if not (stands or (up and part.role in LYING)):
        raise ParameterError(
            f"{run.path}.off", f"the {part.name} is in the way of the {run.words}: {_way_out(out, run, part)}"
        )
    low, high = standing_box(part)
    if run.front - low[1] < LEAST_BEFORE:
        raise ParameterError(
            f"{run.path}.off",
            f"a notch for the {run.words} leaves {max(run.front - low[1], 0):g} mm of the {part.name}; at least {LEAST_BEFORE:g} mm is needed",
        )
    axis = 2 if stands else 0  # that the notch is as wide as the pipe along
    _check_beside(run, part, axis)
    corner = [low[0] - 1.0, run.front, low[2] - 1.0]
    opposite = [high[0] + 1.0, high[1] + 1.0, high[2] + 1.0]
    corner[axis], opposite[axis] = max(run.zone[0][axis], low[axis] - 1.0), min(run.zone[1][axis], high[axis] + 1.0)
    _take(bench, run, part, (vector(*corner), vector(*opposite)))


def _slot(bench: Bench, out: SettingOut, run: _Run, back: Part) -> None:
    """A slot from the foot of the back up to above the pipe."""
    low, high = standing_box(back)
    if run.zone[1][2] > high[2] - LEAST_BESIDE:
        raise ParameterError(
            f"{run.path}.height",
            f"{run.pipe.height:g} mm: a slot for the {run.words} would cut the back, {high[2]:g} mm high, in two; {_behind_it(out, run)}",
        )
    _check_beside(run, back, 0)
    corner = vector(run.zone[0][0], low[1] - 1.0, low[2] - 1.0)
    _take(bench, run, back, (corner, vector(run.zone[1][0], high[1] + 1.0, run.zone[1][2])))


def _check_beside(run: _Run, part: Part, axis: int) -> None:
    """What is left of a part at either side of its notch is nothing, or wide enough to stay whole."""
    low, high = standing_box(part)
    field = "across" if axis == 0 else "height"
    left = [(run.zone[0][axis] - low[axis]), (high[axis] - run.zone[1][axis])]
    if max(left) < LEAST_BESIDE:
        raise ParameterError(
            f"{run.path}.{field}", f"the {run.words} would cut the {part.name} through; move it aside or lower"
        )
    thin = min((each for each in left if each > 1e-6), default=LEAST_BESIDE)
    if thin < LEAST_BESIDE:
        raise ParameterError(
            f"{run.path}.{field}",
            f"a notch for the {run.words} leaves {thin:g} mm of the {part.name} beside it; at least {LEAST_BESIDE:g} mm stays whole: change what is clear about it, or divide the piece elsewhere",
        )


def _stands(part: Part) -> bool:
    return part.role in STANDING or bool(side_of(part))


def _take(bench: Bench, run: _Run, part: Part, taken: Box) -> None:
    _leave_away(bench, part, taken, FROM_NOTCH)
    _check_left(bench, run, part, taken)
    deep = round(standing_box(part)[1][1] - run.front, 6)
    words = f"for the {run.words}" + ("" if part.key == BACK_KEY else f", {round(deep, 1):g} from the rear")
    bench.take_out(part.key, "notch", *taken, words, _when(bench, part))


def _when(bench: Bench, part: Part) -> When:
    """With what is planted on a side, through both at once."""
    side = side_of(part)
    planted = bool(side) and any(key.startswith(f"{side}/") for key in bench.parts)
    return When("after glue-up", side) if planted else When("in the part")


def _leave_away(bench: Bench, part: Part, taken: Box, gap: float) -> None:
    """Take back the screws and pins of the back that would stand in a notch or hole, or nearer, with what was bored for them."""
    zone = own_box(part, *taken)
    gone = {
        each.key: each
        for each in bench.fasteners.values()
        if part.key in each.parts and each.purpose in LEFT_AWAY and near(fastener_box(each, part.place), zone, gap)
    }
    if not gone:
        return
    for key in sorted({key for each in gone.values() for key in each.parts}):
        place = bench.parts[key].place
        mine = [fastener_box(each, place) for each in gone.values() if key in each.parts]
        bench.features[key] = [
            each
            for each in bench.features[key]
            if not (isinstance(each, Hole) and "screw" in each.purpose and any(near(box_of(each) or zone, box, -0.1) for box in mine))
        ]  # fmt: skip
        bench.held_in[key] = [each for each in bench.fasteners_in(key) if each.key not in gone]
        bench.boxes.pop(key, None)
    for key in gone:
        del bench.fasteners[key]
    bench.joints[:] = [
        dataclasses.replace(joint, fasteners=tuple(name for name in joint.fasteners if name not in gone))
        if any(name in gone for name in joint.fasteners)
        else joint
        for joint in bench.joints
    ]


def _check_left(bench: Bench, run: _Run, part: Part, taken: Box) -> None:
    """What holds a part together, or is cut in it, keeps clear of its notch."""
    zone = own_box(part, *taken)
    found = [
        each.name for each in bench.fasteners_in(part.key) if near(fastener_box(each, part.place), zone, FROM_NOTCH)
    ]
    for each in bench.features[part.key]:
        box = box_of(each)
        deep = getattr(each, "kind", "hole") not in ("rebate", "groove", "housing")  # those run on through it
        if box is not None and deep and near(box, zone, FROM_NOTCH):
            found.append(each.purpose or each.kind)
    if found:
        raise ParameterError(
            f"{run.path}.{'across' if run.pipe.runs == 'up' else 'height'}",
            f"the {part.name} has a {found[0]} nearer than {FROM_NOTCH:g} mm to a notch for the {run.words}; leave less clear about it, divide the piece elsewhere, or reckon it in with the skirting",
        )


# ---------------------------------------------------------------------------------------------------------------------- holes
def _bore_through(bench: Bench, out: SettingOut, run: _Run, part: Part) -> None:
    """A closed hole through one board across the pipe, with enough wood about it."""
    if _falls_between_rails(out, run, part):
        return
    _check_may_be_bored(out, run, part)
    _check_about(run, part)
    axis = 2 if run.pipe.runs == "up" else 0
    low, high = standing_box(part)
    corner, opposite = ([*end] for end in run.zone)
    corner[axis], opposite[axis] = low[axis], high[axis]
    hole = vector(*corner), vector(*opposite)
    _leave_away(bench, part, hole, WOOD_BETWEEN)
    _check_beside_hole(bench, run, part, own_box(part, *hole))
    when = _when(bench, part)
    into = _into(part, axis, planted=when.stage != "in the part")
    middle = [round((a + b) / 2, 6) for a, b in zip(*hole)]
    middle[axis] = (low if into[axis] > 0 else high)[axis]
    _check_cuts(bench, run, part, vector(*middle), into)
    bench.bore(part.key, vector(*middle), into, run.wide, high[axis] - low[axis], run.words, when)


def _into(part: Part, axis: int, planted: bool) -> Vector:
    """From the face side of a board by itself, as all that is bored in it; of a side with its frame from outside, where it is seen."""
    if abs(part.place.z[axis]) > 0.5 and not planted:
        return negative(part.place.z)
    low, high = standing_box(part)
    return RIGHT if low[0] + high[0] <= 0 else LEFT


def _falls_between_rails(out: SettingOut, run: _Run, part: Part) -> bool:
    """Whether a pipe passes between the two rails that the carcass top will be."""
    if part.key != TOP or not rail_width(out) or run.pipe.runs != "up":
        return False
    front, rear = between_rails(out)
    return front <= run.zone[0][1] and run.zone[1][1] <= rear


def _check_may_be_bored(out: SettingOut, run: _Run, part: Part) -> None:
    """Boards across the pipe may be bored, but no glass."""
    across = _stands(part) if run.pipe.runs == "along" else part.role in LYING
    if not across or part.board.material.kind == "glass":
        raise ParameterError(
            f"{run.path}.off",
            f"{run.pipe.off:g} mm from the wall the {part.name} is in the way of the {run.words}, and is not bored for it; move the pipe, or {_aside(out, run, part)}",
        )


def _aside(out: SettingOut, run: _Run, part: Part) -> str:
    if part.role == "back":
        return _behind_it(out, run) if run.pipe.runs == "along" else f"let the boards be notched ({run.path}.meets)"
    if part.key.startswith(("plinth/", "base/")):
        return "set the foot in at the back"
    return "divide the piece elsewhere"


def _check_about(run: _Run, part: Part) -> None:
    """Wood enough is left between the hole and each edge of the board."""
    low, high = standing_box(part)
    for axis in ACROSS_IT[run.pipe.runs]:
        field, lower, upper = MOVED_BY[axis]
        for left, edge in ((run.zone[0][axis] - low[axis], lower), (high[axis] - run.zone[1][axis], upper)):
            if left < LEAST_BESIDE - 1e-6:
                _refuse_edge(run, part, field, edge, left)


def _check_cuts(bench: Bench, run: _Run, part: Part, at: Vector, into: Vector) -> None:
    """The same to each edge that is bevelled, tapered or mitred, at both faces."""
    low, high = standing_box(part)
    far = plus(at, into, sum((b - a) * abs(each) for a, b, each in zip(low, high, into)))
    for cut in (each for each in bench.features[part.key] if isinstance(each, Cut)):
        normal, point = part.place.direction(cut.normal), part.place.point(cut.point)
        lean = abs(dot(normal, into))
        if lean > FACE_LEANS:
            continue
        left = min(dot(normal, point) - dot(normal, end) for end in (at, far)) - run.wide / 2 * (1 - lean**2) ** 0.5
        if left < LEAST_BESIDE - 1e-6:
            _refuse_edge(run, part, run.moved_by, f"{cut.kind} at its {cut.where}", left)


def _refuse_edge(run: _Run, part: Part, field: str, edge: str, left: float) -> None:
    raise ParameterError(
        f"{run.path}.{field}",
        f"{getattr(run.pipe, field):g} mm: a hole {run.wide:g} mm wide for the {run.words} leaves {round(max(left, 0.0), 2):g} mm of the {part.name} to its {edge}; at least {LEAST_BESIDE:g} mm stays: {_from_edge(run, edge)}",
    )


def _from_edge(run: _Run, edge: str) -> str:
    if edge == "rear edge":
        return f"let the boards be notched ({run.path}.meets), or leave less clear about it"
    return "move the pipe, or leave less clear about it"


def _check_beside_hole(bench: Bench, run: _Run, part: Part, hole: Box) -> None:
    """Joints, fasteners and other holes keep clear of the hole; notches and cut-outs as an edge does."""
    found = [(each.name, WOOD_BETWEEN, fastener_box(each, part.place)) for each in bench.fasteners_in(part.key)]
    found += [(_said(each), _gap_to(each), box) for each in bench.features[part.key] if (box := box_of(each))]
    found += [
        ("joint or gap between its members", WOOD_BETWEEN, moved(box, Placement((0.0, 0.0, 0.0)), part.place))
        for box in bench.reserved.get(part.key, ())
    ]
    for what, gap, box in found:
        if near(box, hole, gap - HAIR):
            raise ParameterError(
                f"{run.path}.{run.moved_by}",
                f"{getattr(run.pipe, run.moved_by):g} mm: a hole {run.wide:g} mm wide for the {run.words} comes nearer than {gap:g} mm to what the {part.name} has there already ({what}); move the pipe, leave less clear about it, or divide the piece elsewhere",
            )


def _said(feature: Feature) -> str:
    """What is cut or bored, in words: "dowel 8 × 40", "groove for the back, through"."""
    named = feature.kind == "hole" or feature.kind in feature.purpose
    return feature.purpose if named else f"{feature.kind} {feature.purpose}".strip()


def _gap_to(feature: Feature) -> float:
    return LEAST_BESIDE if feature.kind == "notch" or isinstance(feature, CutOut) else WOOD_BETWEEN


def _bore(bench: Bench, out: SettingOut, run: _Run) -> None:
    """A round hole in the back for a pipe that comes out of the wall, in the clear of one compartment."""
    pipe, back = run.pipe, bench.parts[BACK_KEY]
    others = [part.name for part in _met(bench, run) if part.key != BACK_KEY]
    if others:
        raise ParameterError(
            f"{run.path}.off",
            f"the {others[0]} is in the way of the {run.words}, {pipe.off:g} mm before the wall; let the pipe end sooner, or divide the piece elsewhere",
        )
    wide, (low, high) = pipe.diameter + 2 * pipe.clear, standing_box(back)
    if not near((low, high), run.zone, -1e-6):
        return
    rects = [out.rects[leaf.id] for leaf in out.layout.leaves()]
    reach = wide / 2 + LEAST_BESIDE
    if not any(
        each.left + reach <= pipe.across <= each.right - reach
        and each.bottom + reach <= pipe.height <= each.top - reach
        for each in rects
    ):
        raise ParameterError(
            f"{run.path}.across",
            f"{pipe.across:g} mm from the middle, {pipe.height:g} mm up: a hole {wide:g} mm wide for the {run.words} needs {LEAST_BESIDE:g} mm to the boards about its compartment; divide the piece elsewhere",
        )
    at = vector(pipe.across, low[1], pipe.height)
    if not is_free(bench, BACK_KEY, at, BACK, wide, high[1] - low[1]):
        raise ParameterError(
            f"{run.path}.across",
            f"a hole {wide:g} mm wide for the {run.words} comes within 5 mm of something else in the back; leave less clear about the pipe",
        )
    bench.bore(BACK_KEY, at, BACK, wide, high[1] - low[1], run.words)


# ------------------------------------------------------------------------------------------------------------------- refusals
def _way_out(out: SettingOut, run: _Run, part: Part) -> str:
    if part.role == "back":
        return _behind_it(out, run)
    if part.role in ("drawer box", "drawer bottom"):
        return "take shorter runners"
    if part.role == "anchor rail":
        return "let the pipe end below it, or put the back farther in"
    if part.role in LYING:
        return f"it lies at that height; divide the piece elsewhere, or let the piece stand {-run.front:g} mm farther off the wall"
    if part.key.startswith(("plinth/", "base/")):
        return f"set the foot in {-run.front:g} mm or more at the back (support.rear_set_in)"
    return f"set it in {-run.front:g} mm or more at the back, or let the piece stand farther off the wall"


def _behind_it(out: SettingOut, run: _Run) -> str:
    return (
        f"let it run behind the back: put the back in a groove set in {round(out.behind - run.front, 6):g} mm or more"
    )


__all__ = ["keep_clear_of_pipes"]
