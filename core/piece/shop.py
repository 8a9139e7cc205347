"""The workshop: its steps of measure, its saws, and the habits of its paper."""

from __future__ import annotations

from ..fields import choice, group, length, mass, parameters

FINEST = {"0.1 mm": "0.1 mm", "1/64 in": "1/64 in"}
STEPS = {"0.1 mm": "0.1 mm", "0.5 mm": "0.5 mm", "1 mm": "1 mm", "1/32 in": "1/32 in", "1/64 in": "1/64 in"}
LOCALES = {"en_GB": "British", "en_AU": "Australian", "en_US": "American", "de_DE": "German", "fr_FR": "French"}
LENGTHS = {"mm": "Millimetres", "1/16 in": "Inches, to 1/16", "1/32 in": "Inches, to 1/32"}
PRINTED = {"A4": "A4 (letter)", "A3": "A3 (tabloid)", "A2": "A2 (17 × 22 in)"}
STEP_MM = {"0.1 mm": 0.1, "0.5 mm": 0.5, "1 mm": 1.0, "1/32 in": 25.4 / 32, "1/64 in": 25.4 / 64}


@parameters
class SolidOver:
    """What is left on solid wood for planing to width and trimming to length; boards have the thickness that they are planed to."""

    width: float = length(0, 0, 10, "In width", "Sawn wider by this, then planed to size; 2 to 3 is usual")
    length: float = length(0, 0, 100, "In length", "Sawn longer by this, then trimmed; 10 to 20 is usual")


@parameters
class Shop:
    """What the workshop can set, lift and print."""

    finest_step: str = choice(
        "0.1 mm", FINEST, "Finest step", "Every size that a tape or a fence sets is a multiple of this"
    )
    step: str = choice(
        "0.5 mm", STEPS, "Workshop step", "Free sizes (fronts, divisions, loose shelves) are rounded to this"
    )
    kerf: float = length(3.2, 0.5, 8, "Saw kerf", "Width of the cut")
    solid_over: SolidOver = group(
        SolidOver, "Solid wood sawn over", "What solid parts are sawn larger by than they are in the end"
    )
    one_person: float = mass(20, 5, 60, "One person lifts", "Heavier things are marked for two")
    locale: str = choice("en_GB", LOCALES, "Paper follows", "Decimal sign, date, paper size, first or third angle")
    lengths: str = choice(
        "mm",
        LENGTHS,
        "Lists give lengths in",
        "Inches are reduced fractions, rounded to the nearest; workshop drawings, rods and templates stay in mm",
    )
    full_size_on: str = choice(
        "A3",
        PRINTED,
        "Full size printed on",
        "Paper for rods and templates, the largest that is printed at 100 %; the larger, the fewer pieces to join",
    )
