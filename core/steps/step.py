"""One step of building: what is there, what comes and along which way, and by what means it is held."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from ..geometry import Vector

Stage = Literal["making up", "gluing up", "fitting dry", "finishing", "final assembly"]
How = Literal["glued", "pinned", "jointed", "screwed", "fitted", "laid in", "hung", "work"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """Parts and fittings that come to their place together, as one body.

    `away` is the direction, in the piece, in which they come off again; they are brought the opposite way. `carried` are
    what they carry that came before; `onto` is what is there where they arrive. `assembly` names what was made up before.
    `opened` is the motion that leaves it standing as far open as it goes while it is brought: a door that is lifted on to pins.
    """

    keys: tuple[str, ...]
    away: Vector
    onto: tuple[str, ...]
    carried: tuple[str, ...] = ()
    assembly: str = ""
    opened: str = ""

    @property
    def moving(self) -> tuple[str, ...]:
        """All that moves."""
        return (*self.carried, *self.keys)


@dataclass(frozen=True, slots=True)
class Push:
    """What engages at one push: the key of what is pushed on, its dowels or biscuits, the board ends that they stand in."""

    key: str
    pegs: int
    ends: int


@dataclass(frozen=True, slots=True)
class Cramps:
    """How many cramps, how far they must reach (mm), along which axis, and how long they stay on (minutes)."""

    count: int
    reach: float
    axis: int
    minutes: int
    pitch: float = 0.0  # mm from cramp to cramp along a glue line; 0: one at each end of a row


@dataclass(frozen=True, slots=True)
class Diagonal:
    """The diagonals of a rectangle that must be equal: what it is of, its two sides, mm."""

    of: str
    width: float
    height: float

    @property
    def length(self) -> float:
        """By Pythagoras."""
        return (self.width**2 + self.height**2) ** 0.5

    @property
    def tolerance(self) -> float:
        """By how much the two may differ: 1.0 up to 2 m, 1.5 above; common practice, no source."""
        return 1.0 if self.length <= 2000.0 else 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step; `others` are the same step of equal assemblies and mirror images, done alike."""

    title: str
    stage: Stage
    how: How
    assembly: str = ""
    there: tuple[str, ...] = ()  # parts and fittings
    comes: tuple[Coming, ...] = ()
    new: tuple[str, ...] = ()  # parts and fittings, there or coming, that no step before this one had
    up: Vector = (0.0, 0.0, 1.0)  # what of the piece looks up while it is worked on
    fasteners: tuple[str, ...] = ()
    plugs: tuple[str, ...] = ()  # of these, the ones in a single part: glued in before, or after
    pushes: tuple[Push, ...] = ()
    cramps: Cramps | None = None
    glue_area: float = 0.0  # mm²
    open_minutes: int = 0
    diagonals: tuple[Diagonal, ...] = ()
    mass: float = 0.0  # kg of what is turned or lifted at the end of the step
    persons: int = 1
    words: tuple[str, ...] = ()  # what is done, in sentences, where no part comes
    checks: tuple[str, ...] = ()  # before the glue sets, or before going on
    bare: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()  # what they are about: "dust", "lifting" …
    closes: bool = False  # the last step of its assembly: what is made after glue-up comes now
    begins: bool = False  # the first of an assembly that is put together: its notes are read now
    others: tuple[Step, ...] = ()

    @property
    def all(self) -> Iterator[Step]:
        """The step and those that are done alike."""
        yield self
        yield from self.others

    def with_others(self, others: tuple[Step, ...]) -> Step:
        """The step with those that are done alike."""
        return replace(self, others=others)
