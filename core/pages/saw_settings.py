"""The saw settings sheet: every angle in the job and every fence distance that comes back, with the parts each
serves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..built import BuiltJob
from ..checks.cautions import cautions_for
from ..cutting.angles import AngleSetting, Served, angle_settings
from ..cutting.list import cutting_list
from ..cutting.planned import job_plans
from ..cutting.repeated import repeated_settings
from ..drawing.blocks import Block, Gap, Heading, Paragraph
from ..drawing.sheet import Cell, Column, Group, Sheet, Table, fewest, single_group
from ..locales import Locale
from ..wording import handless
from ._sheets import blank, lists_of, sentence

AT_THE_SAW = (
    "Set each angle on a test piece of the same thickness first, check it as written, and keep the test piece by the "
    "saw. Small parts are held in "
    "a sled, never by hand alone."
)


class SawSettingsPages:
    """Angles by the stage in which they are sawn, then repeated distances."""

    word = "saw_settings"
    title = "Saw settings"
    order = 36
    place = "saw"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as there are settings for."""
        locale = lists_of(job)
        angles, repeated = angle_settings(job), repeated_settings(job_plans(job))
        if not angles and not repeated:
            return ()
        views = "Tilt: blade from upright. Swing: cut from square."
        sheet = blank(job, self.title, paper="A4 landscape", views=views, locale=locale)
        return fewest(list(_blocks(job, locale)), sheet)


ANGLES = (
    Column("Cut", 18),
    Column("Tilt", 13, "right"),
    Column("Swing", 14, "right"),
    Column("The part lies", 60),
    Column("Falls off", 30),
    Column("Test piece", 45),
    Column("Serves"),
)
DISTANCES = (
    Column("With", 27),
    Column("Set to", 22, "right"),
    Column("Cuts", 13, "right"),
    Column("Material", 60),
    Column("Serves"),
)
STAGES = {
    "in the part": "Before anything is glued",
    "after glue-up": "After glue-up",
    "at fitting": "At fitting",
    "on site": "On site",
}

ENTRY = SawSettingsPages()


def _blocks(job: BuiltJob, locale: Locale) -> Iterator[Block]:
    mind = dict.fromkeys(each.text for built in job.pieces for each in cautions_for(built.piece, built.model, "sawing"))
    yield Paragraph(" ".join((AT_THE_SAW, *mind)))
    angles = angle_settings(job, locale)
    if angles:
        yield Heading("Angles")
        stages = dict.fromkeys(each.when for each in angles)
        yield Table(
            ANGLES,
            tuple(
                Group(tuple(_angle_row(each) for each in angles if each.when == when), STAGES[when]) for when in stages
            ),
        )
        yield Gap(5)
    repeated = repeated_settings(job_plans(job))
    if repeated:
        names = {str(entry.mark): entry.name for entry in cutting_list(job).entries}
        yield Heading("Distances that come back")
        yield Paragraph(
            "Saw all cuts of one line before the fence is moved where the pieces are at hand; the cutting plan says "
            "in which order."
        )
        yield Table(
            DISTANCES,
            single_group(
                [
                    (
                        sentence(each.tool),
                        Cell(locale.length(each.distance), "bold"),
                        str(each.cuts),
                        sentence("; ".join(each.materials)),
                        _names(each.marks, names),
                    )
                    for each in repeated
                ]
            ),
        )


def _angle_row(each: AngleSetting) -> tuple[str | Cell, ...]:
    return (
        sentence(each.kind),
        Cell(degrees(each.tilt), "bold"),
        Cell(degrees(each.swing), "bold"),
        sentence(each.lies),
        sentence(each.falls),
        sentence(each.check),
        "; ".join(_served(each.serves)),
    )


def degrees(value: float) -> str:
    """An angle as a saw's scale is read: "30.0°", "square" as nothing."""
    return f"{value:.1f}°" if value else ""


def _served(serves: Sequence[Served]) -> Iterator[str]:
    """The parts that a setting serves, those cut in the same places together: "back edge: 7 side stile (2), 9 …"."""
    found: dict[str, list[str]] = {}
    for each in serves:
        count = f" ({each.quantity})" if each.quantity > 1 else ""
        found.setdefault(_places(each), []).append(f"{each.mark} {handless(each.name)}{count}")
    for places, some in found.items():
        yield f"{places}: {', '.join(some)}"


def _places(each: Served) -> str:
    places = set(each.places)
    if {"head end", "foot end"} <= places:
        return "both ends"
    return "both edges" if {"face edge", "back edge"} <= places else " and ".join(each.places)


def _names(marks: Sequence[str], names: dict[str, str]) -> str:
    return "; ".join(f"{mark} {handless(names[mark])}" if mark in names else mark for mark in marks)
