"""How high and how far back the fittings of a model sit, in words that a joiner sets a block or a square by."""

from __future__ import annotations

from ..drawing.dimensions import figures
from ..fittings import fitting_entry
from ..model import Bay, Feature, Fitting, Model
from ..wording import counted, in_sentence, listed


def as_sold(entry: str, count: int) -> str:
    """How many of a fitting, pairs where it is sold so: "1 pair", "2 pairs and 1", "4"."""
    if not fitting_entry(entry).sold_in_pairs or count < 2:
        return str(count)
    return counted(count // 2, "pair") + (" and 1" if count % 2 else "")


DRAWER_BOX = "drawer box"  # the role of its sides, front and back
LIFTED = "lift-off hinge"  # its leaf on the door goes on by itself
OPEN = "-open"  # how the ids of rail sockets end that a rail is lowered into
RAIL = "hanging rail"
SHELF_PIN = "shelf pin"  # a kind of fitting
OF_A_DRAWER = (
    "drawer runner",
    "under-mounted runner",
    "interlock trip",
)  # kinds of fittings that each drawer has at its own height


class Settings:
    """The settings of one model's fittings."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.parts = {part.key: part for part in model.parts}

    def kind(self, each: Fitting) -> str:
        """What kind of fitting it is."""
        return fitting_entry(each.entry).kind

    def setting(self, each: Fitting) -> str:
        """The setting of one fitting in words; empty for one that has none, or that comes with another."""
        if each.bought_with:
            return ""
        kind, entry = self.kind(each), fitting_entry(each.entry)
        _, y, z = each.place.origin
        behind = y + self.model.carcass[1]
        if kind == "drawer runner":
            under = self.under(each)
            block = (
                f"spacer block {figures(z - entry.size('height') / 2 - under)} on the board below"
                if under is not None
                else f"middle {figures(z)} above the floor"
            )
            return f"{block}; fixed member {figures(behind)} behind the carcass front; level, parallel{self.other_holes(each)}"
        if kind == "under-mounted runner":
            under = self.under(each)
            high = (
                f"{figures(z - under)} above the board below" if under is not None else f"{figures(z)} above the floor"
            )
            return f"upper side {high}; front end {figures(behind)} behind the carcass front; level, parallel{self.other_holes(each)}"
        if "hinge" in kind and not self.upright(each):
            return "all screws in when the lid lies true"
        if "hinge" in kind:
            low = z - entry.sizes.get("length", 0.0) / 2
            depth = next(filter(None, map(self.recess, each.parts)), "")
            return f"lower end {figures(round(low, 1))} above the floor{'; ' + depth if depth else ''}; all screws in when the gaps are right"
        if kind == RAIL:
            lifted = self.lifted_in(each)
            return f"middle {figures(round(z, 1))} above the floor, {figures(round(behind, 1))} behind the carcass front{lifted}"
        if kind == "drawer interlock":
            wall = next((self.parts[key].name for key in each.parts if key in self.parts), "")
            return f"on the {in_sentence(wall)}, foot {figures(round(z, 1))} above the floor, {figures(round(behind, 1))} behind the carcass front; rod free to slide"
        if kind == "interlock trip":
            return f"middle {figures(round(z, 1))} above the floor"
        if kind == SHELF_PIN:
            return f"{figures(round(z, 1))} above the floor"
        if kind == "pad":
            return (
                f"middle {figures(round(behind, 1))} behind the carcass front"
                if abs(each.place.x[2]) > 0.5
                else f"middle {figures(round(z, 1))} above the floor"
            )
        if kind == "castor":
            end = "front" if behind < self.model.carcass[1] / 2 else "rear"
            return f"at the {end}; plates square to the edges"
        if kind == "magnetic catch":
            return "pulled forward when its door hangs, until that is flush; then its screws home"
        if kind == "anchor bracket":
            return self.aside(each)
        if kind == "levelling foot":
            return "half way out to begin with; turn until nothing rocks"
        return ""

    def lifted_in(self, rail: Fitting) -> str:
        """At which end a hanging rail is lowered into its open socket."""
        stem = rail.key.rpartition("/")[0]
        ends = [
            each.key.rpartition(".")[2]
            for each in self.model.fittings
            if each.key.startswith(f"{stem}/socket.") and each.entry.endswith(OPEN)
        ]
        return f", open socket at the {listed(ends)}" if ends else ""

    def other_holes(self, each: Fitting) -> str:
        """Which holes of its row a runner is screwed through where one of the usual ones would meet something."""
        usual = {round(s.at[1], 1) for s in fitting_entry(each.entry).screws_for() if s.into == "carcass"}
        walls = {key for key in each.parts if key in self.parts and self.parts[key].role != DRAWER_BOX}
        screws = [f for f in self.model.fasteners if f.kind == "screw" and each.key in f.parts and walls & set(f.parts)]
        taken = {round(each.place.own_point(screw.at)[1], 1) for screw in screws}
        if not taken - usual:
            return ""
        left, places = ([figures(at) for at in sorted(some)] for some in (usual - taken, taken))
        return f"; screws {listed(places)} behind its front end, not through its hole{'s' * (len(left) > 1)} at {listed(left)}"

    def owner(self, each: Fitting) -> str:
        """The key of the drawer that a runner or a trip is of, where there are several; else nothing."""
        drawers = [motion.key for motion in self.model.motions if motion.kind == "travel"]
        own = next((key for key in drawers if each.key.startswith(f"{key}/")), "")
        return own if len(drawers) > 1 and self.kind(each) in OF_A_DRAWER else ""

    def compartment(self, each: Fitting) -> str:
        """The compartment that a shelf pin or a hanging rail is in, where these are not alike in all that have them; else nothing."""
        if self.kind(each) == RAIL:
            lot = [rail for rail in self.model.fittings if self.kind(rail) == RAIL]
            bay = self.bay(each)
            return f"compartment {bay.key.replace('-', ' ')}" if bay and len(set(map(self.setting, lot))) > 1 else ""
        if self.kind(each) != SHELF_PIN:
            return ""
        rows: dict[str, set[float]] = {}
        for pin in self.model.fittings:
            if self.kind(pin) == SHELF_PIN and (bay := self.bay(pin)):
                rows.setdefault(bay.key, set()).add(round(pin.place.origin[2], 1))
        mine = self.bay(each)
        return mine.key.replace("-", " ") if mine and len(set(map(frozenset, rows.values()))) > 1 else ""

    def aside(self, each: Fitting) -> str:
        """How far from the middle of the piece a fitting is, and at which side where it has no like at the other."""
        x = round(each.place.origin[0], 1)
        if not x:
            return "in the middle of the piece"
        alike = any(
            other.entry == each.entry and round(other.place.origin[0], 1) == -x for other in self.model.fittings
        )
        way = "left and right" if alike else "left" if x < 0 else "right"
        return f"middle {figures(abs(x))} {way} of the middle of the piece"

    def upright(self, each: Fitting) -> bool:
        """Whether what a hinge belongs to swings about an upright axis: a door, not a lid."""
        return all(
            motion.axis[2]
            for motion in self.model.motions
            if motion.kind == "swing" and set(each.parts) & set(motion.moves)
        )

    def on_the_door(self, each: Fitting, edge: float) -> str:
        """Where a hinge sits on its door, whose lower edge is so high above the floor; empty for a member of one."""
        long = fitting_entry(each.entry).sizes.get("length", 0.0)
        if each.bought_with and self.kind(each) != LIFTED:
            return ""
        what = "lower end" if long else "middle"
        depth = next(filter(None, map(self.recess, each.parts)), "")
        return f"{what} {figures(round(each.place.origin[2] - long / 2 - edge, 1))} above the door's lower edge{'; ' + depth if depth else ''}"

    def under(self, each: Fitting) -> float | None:
        """The height of the top of the board beneath a fitting, within its bay."""
        bay = self.bay(each)
        return bay.low[2] if bay else None

    def bay(self, each: Fitting) -> Bay | None:
        """The compartment that a fitting is in, or on the wall of."""
        x, _, z = each.place.origin
        bays = (b for b in self.model.bays if b.low[0] - 1 <= x <= b.high[0] + 1 and b.low[2] <= z <= b.high[2])
        return next(bays, None)

    def recess(self, key: str, stage: str = "") -> str:
        """The hinge recess of a part, made at that stage or at any; nothing where it has none."""
        return next(
            (
                each.purpose
                for each in self.features(key)
                if "hinge recess" in each.purpose and (not stage or each.when.stage == stage)
            ),
            "",
        )

    def features(self, key: str) -> tuple[Feature, ...]:
        """The features of a part; of a fitting none."""
        return self.parts[key].shape.features if key in self.parts else ()
