"""Safety, said once, and how to keep the piece well."""

from __future__ import annotations

from collections.abc import Sequence

from ...checks.reading import anchors
from ...drawing.blocks import Block, Paragraph
from ...model import Model
from ._book import READING, Book

TO_THE_WALL = (
    "It will be screwed to your wall. Furniture that is not fixed can tip over and kill, above all when children climb on {}: "
    "leave the fixing in place, and have it done again by someone who knows the wall when the piece moves."
)
LID_FALLS = "A lid that falls crushes fingers and worse: hold it as you shut it, never take its stays off, and let no child play under it or climb in."
MANNERS = "Heavy things low down; no television or other weight on top that was not spoken of; do not let children climb on it."
CARE = "Wipe with a damp cloth and a little soap, dry at once; no scouring, no solvent."
PAINT = (
    "Paint is hard after about a week: until then nothing damp, and no pads that stick. Painted edges chip when they are knocked; "
    "keep the small pot of paint for them."
)
OIL = "Oiled wood grows dull where hands and cloths rub it, and is oiled again by hand."  # common practice, no source
TIMBER = "Solid wood moves with the seasons: small gaps that open in dry months close again."

LID = "lid"
OPENING = {"swing": "doors", "travel": "drawers"}  # kinds of motions


class Safety:
    """Wall fixing, manners, care."""

    word = "safety"
    title = "Safety and care"
    order = 80

    def blocks(self, book: Book) -> Sequence[Block]:
        """What holds for this job."""
        models = [built.model for built in book.job.pieces]
        found = [TO_THE_WALL.format(_climbed(models))] if any(anchors(model) for model in models) else []
        if any(motion.key == LID for model in models for motion in model.motions):
            found.append(LID_FALLS)
        found += [MANNERS, CARE]
        coatings = book.coatings()
        found += [words for coating, words in (("paint", PAINT), ("oil", OIL)) if coating in coatings]
        if any(part.board.material.kind == "solid" for model in models for part in model.parts):
            found.append(TIMBER)
        return [Paragraph(words, READING) for words in found]


ENTRY = Safety()


def _climbed(models: Sequence[Model]) -> str:
    """What a child finds to climb on: doors and drawers, where there are such."""
    kinds = {motion.kind for model in models for motion in model.motions if motion.key != LID}
    return " or ".join(word for kind, word in OPENING.items() if kind in kinds) or "it"
