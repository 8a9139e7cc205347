"""What client book, quotation and handing-over sheet say alike: what is coated, in words of one who is no joiner; handles; the revision."""

from __future__ import annotations

import re

from ..built import BuiltPiece
from ..coated import is_wooden
from ..fittings import fitting_entry
from ..locales import Locale
from ..piece.finish import GROUPS, Scheme
from ..piece.whole import Record
from ..wording import listed

HANDLES = ("knob", "pull")  # kinds of fittings
_PLAIN = {"carcass": "outside", "inside": "inside"}
_TOPS = (("lid", "lid"), ("top", "top"))  # role of a part on top, and what it is called; any other is of a moulding
_STANDS_ON = (("bracket", "base"), ("block", "feet"))  # likewise of what is coated like legs


def group_words(built: BuiltPiece, scheme: Scheme) -> dict[str, str]:
    """The groups of parts that the piece has, in the order of `GROUPS`, each as a client calls it there: "doors", "lid".

    Of handles those of metal are left out where the scheme has oil, varnish or nothing for them.
    """
    roles: dict[str, set[str]] = {each.finish: set() for each in built.model.fittings}
    for part in built.model.parts:
        roles.setdefault(part.finish, set()).add(part.role)
    found = {group: _group(built, group, roles[group]) for group in GROUPS if group in roles}
    if "handles" in found and scheme.coat("handles").coating != "paint":
        found["handles"] = _wooden(built)
    return {group: words for group, words in found.items() if words}


def _group(built: BuiltPiece, group: str, roles: set[str]) -> str:
    if group == "fronts":
        return _fronts(built) or GROUPS[group].lower()
    if group == "top":
        return next((word for role, word in _TOPS if role in roles), "moulding")
    if group == "legs":
        return next((word for role, word in _STANDS_ON if role in roles), "legs")
    return _PLAIN.get(group, GROUPS[group].lower())


def _fronts(built: BuiltPiece) -> str:
    """What closes openings: "doors and drawer fronts", "drawer front"."""
    kinds = [front.kind for front in built.piece.fronts]
    doors = kinds.count("door") + 2 * kinds.count("pair")
    counts = ((doors, "door"), (kinds.count("drawer"), "drawer front"), (kinds.count("fixed"), "fixed panel"))
    return listed([f"{word}{'s' * (number > 1)}" for number, word in counts if number])


def _wooden(built: BuiltPiece) -> str:
    """What handles of wood are called beside others; nothing where there are none."""
    handles = [each for each in built.model.fittings if each.finish == "handles" and each.bodies]
    wooden = [is_wooden(each) for each in handles]
    return "handles" if all(wooden) else "wooden handles" if any(wooden) else ""


def has_handles(built: BuiltPiece) -> bool:
    """Whether there is a knob or a pull on it."""
    return any(fitting_entry(each.entry).kind in HANDLES for each in built.model.fittings if each.entry)


def handle_words(name: str, locale: Locale) -> str:
    """A handle's name with its sizes as lengths: "turned knob, diameter 34 mm, oak"."""
    unit = "" if locale.denominator else " mm"
    words = re.sub(
        r"\b(diameter|centres) (\d+)", lambda found: f"{found[1]} {locale.length(float(found[2]))}{unit}", name
    )
    return locale.text(words)


def revision_words(record: Record) -> str:
    """ "revision B"; nothing where a revision has no letter."""
    return f"revision {record.revision}" if record.revision else ""
