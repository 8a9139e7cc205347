"""Why a size cannot go on, in words of someone who knows neither the parameters nor the trade's words.

Each kind of trouble is known by the check that says stop, or by the parameter that refuses and what it says. Of one that is not
listed nothing is said: no reason is better than one that nobody understands.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from ...checks import Finding
from ...limits import Limit


@dataclass(frozen=True, slots=True)
class _Known:
    """One kind of trouble: patterns of its whole cause and of a piece of its reason, and what a client is told."""

    cause: str
    reason: str
    words: str


_KNOWN = (
    # what the checks find
    _Known("drawer width", "", "a drawer would then be too wide for its depth, and jam"),
    _Known("clear of the box", "", "a drawer would then have no room to run"),
    _Known("drawer behind a door", "", "a drawer would then not come past the door in front of it"),
    _Known("way in", "", "it would then not go through the doorway"),
    _Known("stairs", "", "it would then not go up the stairs"),
    _Known("ceiling", "", "it would then be higher than the room"),
    _Known("standing up", "", "it could then not be stood up under the ceiling"),
    _Known("larger than the sheet", "", "one of its boards would then be larger than the sheets that boards are cut from"),
    _Known("tipping", "", "it would then tip over too easily"),
    _Known("depth for coats", "", "there would then not be the depth for coats on a rail"),
    _Known("holes that meet", "", "holes that are drilled into one of its boards would then run into one another"),
    _Known("hole that comes out", "", "a hole that is drilled into one of its boards would then come out of it"),
    _Known("fastener out of the wood", "", "a screw or peg that holds it together would then come out of the wood"),
    _Known("lead edge", "", "a door would then rub as it opens"),
    _Known("moulding lip", "", "a door would then strike the moulding above it"),
    _Known("movement", "", "what opens would then strike something on its way"),
    _Known("floor", "", "what opens would then strike the floor"),
    _Known("gap for paint", "", "its doors or drawers would then have no gap to move in"),
    # what the parameters refuse
    _Known(r"whole\.height", "clear inside the carcass", "too little room would then be left inside"),
    _Known(r"layout.*\.size", "a compartment needs at least", "a compartment would then be too small to be of use"),
    _Known(r"layout.*", "would stand .* apart, or from what", "the shelves would then be too close together"),
    _Known(r"layout.*", "leaves a shelf .* deep", "the shelves would then be too shallow"),
    _Known(r"layout.*", "a rail across it needs", "there would then not be the depth for coats on a rail"),
    _Known(r"layout.*", "too wide for a door", "a door would then be too narrow for its mirror"),
    _Known(r"layout.*", "brings an opening within", "an opening in its back would then come too near another or a screw"),
    _Known(r"fronts.*", "no runner is short enough|a runner .* needs .* behind the front", "a drawer would then be too shallow for its runners"),
    _Known(r"fronts.*", "box would be .* high", "a drawer would then be too low to be of use"),
    _Known(r"fronts.*", "box would be .* wide", "a drawer would then be too narrow to be of use"),
    _Known(r"fronts.*", "box would be .* deep", "a drawer would then be too shallow to be of use"),
    _Known(r"fronts.*", "of shaft are needed", "a drawer would then be too wide to run straight"),
    _Known(r"fronts.*", "behind the box; the linking shaft", "there would then be no room behind a drawer for the shaft that keeps it straight"),
    _Known(r"fronts.*\.handle", "finds no room", "a handle would then find no room on its door or drawer"),
    _Known(r"fronts.*", "too long for a door", "a door would then be too low for its hinges"),
    _Known(r"fronts.*", "of field|leave fields", "a door or drawer front would then be too small for the frame on its face"),
    _Known(r"carcass\.side_panel.*", "of field|leave fields", "the sides would then be too small for the frames on them"),
    _Known(r"carcass\.stiffeners\.anchor_rail_width", "finds no room|wall bracket", "a compartment would then be too low for the rail that holds the piece to the wall"),
    _Known(r"carcass\.stiffeners.*", "finds no room in", "a compartment would then be too low for the rail that stiffens it"),
    _Known(
        r"support.*",
        "apart, and their wheels|half the carcass|leaves no outline|between the battens|leaves a plinth|no batten|feet .* together|"
        "left and right feet|between the legs|no room for glue blocks",
        "what it stands on would then find no room under it",
    ),
    _Known(r"top\.block", "find no room in a cornice", "there would then be no room for the blocks that hold the moulding on top together"),
    _Known(r"top.*", "leaves a front .* high", "the chest would then be too low to be of use"),
    _Known(r"site\.alcove.*", "scribing strip|the top reaches", "it would then not fit the alcove that it is made for"),
    _Known(r"site\.pipes.*", "a notch for", "too little would then be left of a board before the pipe behind it"),
)  # fmt: skip


def plain_reason(limit: Limit) -> str:
    """Why the next size does not work, as part of a sentence; empty where no plain words are known."""
    return _plain(limit.cause, limit.reason)


def plain_stop(stop: Finding) -> str:
    """Why a piece cannot be built as it stands, as part of a sentence; empty where no plain words are known."""
    return _plain(stop.check, stop.text).replace(" then ", " ")


def _plain(cause: str, reason: str) -> str:
    for known in _KNOWN:
        if re.fullmatch(known.cause, cause) and re.search(known.reason, reason):
            return known.words
    return ""
