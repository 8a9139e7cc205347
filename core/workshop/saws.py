"""The saws: what they take, what they take away, and what one person can handle at them."""

from __future__ import annotations

from ..fields import count, length, mass, parameters


@parameters
class Saws:
    """The limits of the workshop's saws; the defaults are those of a small workshop, common practice, no source."""

    kerf: float = length(3.2, 0.5, 8, "Saw kerf", "Width of the cut")
    edge_trim: float = length(10, 0, 60, "Edge trim", "Off every edge of a sheet: bruised and out of square as sold")
    end_trim: float = length(10, 0, 200, "End trim", "Taken off both ends of a length: checks, staples and paint")
    fence: float = length(750, 100, 4000, "Rip fence", "Widest that goes between rip fence and blade")
    crosscut: float = length(600, 100, 4000, "Crosscut fence", "Widest piece that the crosscut fence takes")
    track: float = length(2700, 300, 6000, "Track", "Longest cut that the track guides, joined or in one")
    table_length: float = length(2500, 300, 6000, "Table, length", "Longest piece that is ripped on the table saw")
    table_width: float = length(1300, 100, 4000, "Table, width", "Widest piece that is ripped on the table saw")
    one_person: float = mass(
        20, 5, 60, "One person handles", "Heaviest piece lifted onto the table; heavier ones are cut by the track"
    )
    stages: int = count(0, 0, 20, "Stages", "Directions of cut in turn; 0: no limit, 2: strips, then crosscuts")
