"""Loose shelves on pins, in rows of holes at a 32 mm pitch about each wanted place."""

from __future__ import annotations

from dataclasses import dataclass

from ...errors import ParameterError
from ...fields import count, ident, length, parameters
from ...fittings import FittingEntry, fitting_entry
from ...geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, plus, vector
from ...units import down_to
from ...wording import counted
from ..bench import Bench
from ..clearance import THIN_WALL, is_free, near, standing_box
from ..hardware import fitting_for
from ..protocols import BayWalls, Rect
from ..setting_out import SettingOut

PITCH = 32.0  # mm; the trade's 32 mm system (reference: 32 mm cabinetmaking system)
# no hole lower than this above the bay's floor, none nearer to its top than 150; common practice, no source
FIRST_ABOVE = 100.0
LAST_BELOW = 150.0
LEAST_DEPTH = 130.0  # mm; two columns need as much; common practice, no source
COLUMNS_MOVED = (0.0, 16.0, 24.0, 32.0, 40.0, -16.0)  # mm inward, the first that is clear; common practice, no source
ROWS_RAISED = (0.0, 8.0, -8.0, 16.0)  # mm, where no columns are clear at every height; common practice, no source
MOST_SHORT = 2.5  # mm that a sleeve may be shorter than its upright is thick; common practice, no source
SAME_PLACE = 0.01  # mm; holes of one axis
COLUMN_FROM_EDGE = 37.0  # mm from the shelf's front and rear edges (reference: 32 mm system)


@dataclass(frozen=True, slots=True)
class _Wall:
    """A board at the side of a bay that pins go into, and the sleeve through it where there is one."""

    key: str
    x: float  # of its face
    outward: Vector
    sleeve: FittingEntry | None
    thickness: float

    @property
    def along(self) -> Vector:
        """So that z looks up where x looks outward."""
        return BACK if self.outward == RIGHT else FRONT

    def bored(self, pin: FittingEntry) -> tuple[float, float]:
        """Diameter and depth of a hole in it."""
        if self.sleeve:
            return self.sleeve.size("diameter"), self.thickness
        return pin.size("diameter"), pin.size("hole_depth")


@dataclass(frozen=True, slots=True)
class _Rows:
    """The holes of a bay's pins: columns behind the carcass front; heights above the bay's floor, and those that shelves stand on."""

    columns: tuple[float, float]
    middles: list[float]
    heights: list[float]
    left_out: list[float]  # where a wall holds something else

    def notes(self) -> tuple[str, ...]:
        """What the maker should know of the row."""
        if not self.left_out:
            return ()
        where = " and ".join(f"{each:g}" for each in self.left_out)
        return (f"no pin holes {where} above the floor of its bay, where a wall holds something else",)


@parameters
class Shelves:
    """Loose shelves on pins."""

    style = "shelves"
    label = "Loose shelves"

    quantity: int = count(3, 1, 20, "Shelves", "Spread evenly, each on the nearest hole")
    board: str = ident("mdf-18", "Board", "What they are cut from")
    set_back: float = length(12, 0, 60, "Set back", "Behind what closes the bay")
    back_gap: float = length(2, 0, 20, "Gap at the back", "To the back")
    end_gap: float = length(1.5, 0.5, 4, "Gap at each end", "Painted shelves want 1.5, clear-finished ones 1")
    pin: str = ident("shelf-pin-5", "Pin", "An entry of the fittings library")
    holes: int = count(5, 1, 15, "Holes about each place", "At 32 mm; the middle one is where the shelf stands first")
    sleeve: str = ident(
        "",
        "Sleeve",
        "An entry of the fittings library: lines holes through an upright that serve the rows on both its faces, where the shelves beyond have it too; empty for holes of their own",
    )

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Bore the rows, put in the pins, lay in the shelves."""
        board = out.board(self.board, "board")
        pin = fitting_for("pin", self.pin, "shelf pin")
        space = (bay.rect.height - self.quantity * board.thickness) / (self.quantity + 1)
        if space < FIRST_ABOVE:
            raise ParameterError(
                "quantity",
                f"{counted(self.quantity, 'shelf')} would stand {space:.0f} mm apart, or from what is above or below; at least {FIRST_ABOVE:g} is needed",
            )
        front_f, depth = bay.front_f + self.set_back, bay.back_f - bay.front_f - self.set_back - self.back_gap
        if self.end_gap < pin.size("collar"):
            raise ParameterError(
                "end_gap",
                f"{self.end_gap:g} mm does not clear the pin's collar, {pin.size('collar'):g} mm thick; use at least {pin.size('collar'):g} mm",
            )
        if depth < LEAST_DEPTH:
            raise ParameterError(
                "set_back",
                f"{self.set_back:g} mm behind what closes the bay leaves a shelf {depth:g} mm deep; at least {LEAST_DEPTH:g} is needed",
            )
        middles = self._middle_holes(space, board.thickness)
        walls = self._walls(out, bay, pin)
        rows = self._rows(bench, out, bay, front_f, depth, middles, pin, walls)
        columns, middles = rows.columns, rows.middles
        self._bore_rows(bench, out, bay, rows, pin, walls)
        width = down_to(bay.rect.width - 2 * self.end_gap, out.step)
        x = round((bay.rect.left + bay.rect.right - width) / 2, 6)
        made = []
        for index, middle in enumerate(middles, 1):
            key = f"{bay.key}/shelf.{number}.{index}" if number > 1 else f"{bay.key}/shelf.{index}"
            underside = round(bay.rect.bottom + middle + pin.size("diameter") / 2, 6)
            bench.part(
                key, "loose shelf", board, width, round(depth, 6), Placement(vector(x, out.y(front_f), underside), RIGHT, BACK),
                role="loose shelf", finish="inside", face_side="up", face_edge="front", setting="loose shelves", surviving_mark="rear edge", notes=("front arris rounded 1.5", *rows.notes()),
            )  # fmt: skip
            self._check_room(bench, key)
            made += [key, *self._pins(bench, out, bay, key, middle, columns)]
        return made

    def _check_room(self, bench: Bench, key: str) -> None:
        """A shelf must not run into what hangs or stands in the bay."""
        box = standing_box(bench.parts[key])
        for other in bench.parts.values():
            if (
                other.role in ("stiffener", "anchor rail", "loose shelf")
                and other.key != key
                and near(box, standing_box(other))
            ):
                raise ParameterError(
                    "quantity",
                    f'{self.quantity} shelves: "{key}" would run into the {other.name} "{other.key}"; take fewer or make that smaller',
                )

    def _middle_holes(self, space: float, thickness: float) -> list[float]:
        """Heights above the bay's floor of the holes that the shelves stand on: the wanted places on the pitch."""
        wanted = [space * (i + 1) + thickness * i for i in range(self.quantity)]
        return [PITCH * int(place / PITCH + 0.5) for place in wanted]

    def _heights(self, bay: BayWalls, middles: list[float]) -> list[float]:
        """Heights above the bay's floor of all holes of a row."""
        half = self.holes // 2
        heights = sorted({middle + PITCH * step for middle in middles for step in range(-half, self.holes - half)})
        return [h for h in heights if FIRST_ABOVE <= h <= bay.rect.height - LAST_BELOW or h in middles]

    def _rows(
        self,
        bench: Bench,
        out: SettingOut,
        bay: BayWalls,
        front_f: float,
        depth: float,
        middles: list[float],
        pin: FittingEntry,
        walls: tuple[_Wall, ...],
    ) -> _Rows:
        """Where the columns and the holes in them stand: moved where a wall holds something, single heights left out where they must.

        Columns that are clear at every height come first; failing that, those clear wherever a shelf stands and at most other
        heights, the whole row raised or lowered a little. Where nothing is clear the usual place is kept, and the findings say so.
        """
        tried = [
            (raised, moved)
            for raised in ROWS_RAISED
            for moved in COLUMNS_MOVED  # columns at their usual height before raised ones
        ]
        best: tuple[int, _Rows] | None = None
        for raised, moved in tried:
            columns = (
                round(front_f + COLUMN_FROM_EDGE + moved, 6),
                round(front_f + depth - COLUMN_FROM_EDGE - moved, 6),
            )
            stand = [round(middle + raised, 6) for middle in middles]
            heights = self._heights(bay, stand)
            clear = [each for each in heights if self._is_clear(bench, out, bay, columns, each, pin, walls)]
            rows = _Rows(columns, stand, clear, [each for each in heights if each not in clear])
            if not rows.left_out:
                return rows
            if set(stand) <= set(clear) and (best is None or len(rows.left_out) < best[0]):
                best = len(rows.left_out), rows
        if best is not None:
            return best[1]
        usual = round(front_f + COLUMN_FROM_EDGE, 6), round(front_f + depth - COLUMN_FROM_EDGE, 6)
        return _Rows(usual, middles, self._heights(bay, middles), [])

    def _is_clear(
        self, bench: Bench, out: SettingOut, bay: BayWalls, columns: tuple[float, ...], height: float, pin: FittingEntry, walls: tuple[_Wall, ...]
    ) -> bool:  # fmt: skip
        places = [(wall, vector(wall.x, out.y(f), bay.rect.bottom + height)) for wall in walls for f in columns]
        return all(
            _is_sleeved(bench, wall, at) or is_free(bench, wall.key, at, wall.outward, *wall.bored(pin), THIN_WALL)
            for wall, at in places
        )

    def _bore_rows(
        self, bench: Bench, out: SettingOut, bay: BayWalls, rows: _Rows, pin: FittingEntry, walls: tuple[_Wall, ...]
    ) -> None:
        for wall in walls:
            diameter, deep = wall.bored(pin)
            for f in rows.columns:
                for height in rows.heights:
                    at = vector(wall.x, out.y(f), bay.rect.bottom + height)
                    if wall.sleeve is None:
                        bench.bore(wall.key, at, wall.outward, diameter, deep, "shelf pin")
                    elif not _is_sleeved(bench, wall, at):
                        _put_sleeve(bench, wall, at)

    # ------------------------------------------------------------------------------------------------------------ sleeves
    def _walls(self, out: SettingOut, bay: BayWalls, pin: FittingEntry) -> tuple[_Wall, ...]:
        """The boards at both sides; an upright is sleeved where shelves on its other side are to have the same sleeve."""
        sleeve = fitting_for("sleeve", self.sleeve, "shelf-pin sleeve") if self.sleeve else None
        found = []
        for key, x, outward in ((bay.left, bay.rect.left, LEFT), (bay.right, bay.rect.right, RIGHT)):
            upright = next((each.rect for each in out.dividers if each.key == key and each.kind == "upright"), None)
            meets = sleeve is not None and upright is not None and self._meets_others(out, bay, upright)
            if meets:
                self._check_sleeve(sleeve, pin, upright.width)
            found.append(_Wall(key, x, outward, sleeve if meets else None, upright.width if upright else 0.0))
        return tuple(found)

    def _meets_others(self, out: SettingOut, bay: BayWalls, upright: Rect) -> bool:
        """Whether shelves with the same sleeve stand on the other side of an upright."""
        beyond = upright.right if bay.rect.right == upright.left else upright.left
        for leaf in out.layout.leaves():
            other = out.rects[leaf.id]
            beside = beyond == (other.left if beyond == upright.right else other.right)
            sleeved = any(each.style == self.style and each.sleeve == self.sleeve for each in leaf.holds)
            if beside and sleeved and other.bottom < bay.rect.top and bay.rect.bottom < other.top:
                return True
        return False

    def _check_sleeve(self, sleeve: FittingEntry, pin: FittingEntry, thickness: float) -> None:
        if pin.size("diameter") != sleeve.size("bore"):
            raise ParameterError(
                "sleeve",
                f'"{self.sleeve}" is bored {sleeve.size("bore"):g} mm, and the pin "{self.pin}" is {pin.size("diameter"):g} mm thick; take one for the other',
            )
        short = round(thickness - sleeve.size("length"), 6)
        if not 0 <= short <= MOST_SHORT:
            raise ParameterError(
                "sleeve",
                f'"{self.sleeve}" is {sleeve.size("length"):g} mm long; through an upright {thickness:g} mm thick goes one of {thickness - MOST_SHORT:g} to {thickness:g} mm',
            )
        if 2 * pin.size("peg") > thickness:
            raise ParameterError(
                "pin",
                f'"{self.pin}": two pegs {pin.size("peg"):g} mm long meet in a sleeve through an upright {thickness:g} mm thick; take pins with pegs of at most {thickness / 2:g} mm ("shelf-pin-5-short")',
            )

    def _pins(
        self, bench: Bench, out: SettingOut, bay: BayWalls, shelf: str, middle: float, columns: tuple[float, ...]
    ) -> list[str]:
        made = []
        entry = fitting_entry(self.pin)
        for side, wall, x, inward in (
            ("left", bay.left, bay.rect.left, RIGHT),
            ("right", bay.right, bay.rect.right, LEFT),
        ):
            for end, f in zip(("front", "rear"), columns):
                key = f"{shelf}/pin.{side}.{end}"
                place = Placement(
                    vector(x, out.y(f), bay.rect.bottom + middle), inward, BACK if inward == RIGHT else FRONT
                )
                bench.fit(key, entry, place, (wall,))
                bench.join(f"{shelf}|{key}", "loose", key, shelf, UP)
                made.append(key)
        return made


def _put_sleeve(bench: Bench, wall: _Wall, at: Vector) -> None:
    """Bore through at a place of a wall's face, from the face that its other sleeves were bored from, and put a sleeve in."""
    there = [each.place for key, each in bench.fittings.items() if key.startswith(f"{wall.key}/sleeve.")]
    outward, along = wall.outward, wall.along
    if there and there[0].x != outward:
        at, outward, along = plus(at, outward, wall.thickness), there[0].x, there[0].y
    bench.bore(wall.key, at, outward, wall.sleeve.size("diameter"), wall.thickness, f"{wall.sleeve.kind} through")
    sunk = (wall.thickness - wall.sleeve.size("length")) / 2
    place = Placement(plus(at, outward, sunk), outward, along)
    bench.fit(f"{wall.key}/sleeve.{len(there) + 1}", wall.sleeve, place, (wall.key,))


def _is_sleeved(bench: Bench, wall: _Wall, at: Vector) -> bool:
    """Whether a sleeve that the shelves beyond put in comes out at a place of a wall's face."""
    if wall.sleeve is None:
        return False
    there = [each.place.origin for key, each in bench.fittings.items() if key.startswith(f"{wall.key}/sleeve.")]
    return any(abs(y - at[1]) < SAME_PLACE and abs(z - at[2]) < SAME_PLACE for _, y, z in there)


ENTRY = Shelves
