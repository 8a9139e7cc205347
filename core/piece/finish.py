"""Finishes: what each group of parts is coated with, in as many named schemes as the client has under discussion."""

from __future__ import annotations

from ..errors import ParameterError
from ..fields import choice, colour, count, ident, items, number, parameters, text

GROUPS = {
    "carcass": "Carcass outside",
    "inside": "Carcass inside",
    "fronts": "Doors and drawer fronts",
    "top": "Top or moulding",
    "legs": "Legs",
    "drawer_boxes": "Drawer boxes",
    "handles": "Handles",
}
METHODS = {"brush": "Brush", "roller": "Roller and brush", "spray": "Spray gun"}
COATINGS = {"paint": "Paint", "clear": "Clear varnish", "oil": "Oil", "bare": "Left bare"}


@parameters
class Coat:
    """The finish of one group of parts."""

    group: str = choice("carcass", GROUPS, "Group", "Which parts")
    coating: str = choice("paint", COATINGS, "Coating", "What goes on")
    colour: str = colour("#e8e4d8", "Colour", "sRGB; of paint, or the tint under a clear coat")
    name: str = text("", "Colour name", "What you and the client call it", longest=60)
    sheen: float = number(15, 0, 100, "Sheen", "0 dead matt, 20 eggshell, 50 satin, 80 gloss", unit="%")
    coats: int = count(2, 1, 8, "Top coats", "Beside the undercoats")


@parameters
class Scheme:
    """One complete set of finishes with a name."""

    id: str = ident("first", "Scheme", "Its id")
    name: str = text("", "Name", "What the client calls it", longest=60)
    coats: tuple[Coat, ...] = items(
        Coat, "Finishes", "One for each group of parts; what is not listed follows the carcass"
    )

    def coat(self, group: str) -> Coat:
        """The finish of a group; of the carcass where the group has none of its own."""
        by_group = {each.group: each for each in self.coats}
        return by_group.get(group) or by_group.get("carcass") or Coat()


@parameters
class Finish:
    """The schemes under discussion and the one that is shown."""

    shown: str = ident("first", "Shown scheme", "Id of the scheme that preview and workshop use")
    schemes: tuple[Scheme, ...] = items(Scheme, "Schemes", "Finishes side by side", default=(Scheme(),), most=24)
    method: str = choice("roller", METHODS, "Put on with", "How much is lost on the way depends on it")
    undercoats: int = count(2, 0, 4, "Undercoats", "Under paint, on all that is painted after glue-up")
    undercoats_inside: int = count(1, 0, 4, "Undercoats inside", "Under paint, on the inside, painted before glue-up")

    def scheme(self) -> Scheme:
        """The scheme that is shown."""
        for each in self.schemes:
            if each.id == self.shown:
                return each
        raise ParameterError("finish.shown", f'there is no scheme "{self.shown}"')
