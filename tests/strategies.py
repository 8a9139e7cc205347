"""Any piece that a person could enter: plain data drawn from the declared parameters, most of it near what is sensible.

Every parameter may take its default, a value near it, any value of its range, or a limit. The layout is divided at random;
contents and fronts mostly suit the compartment that they are put in, so that many pieces can be built and some cannot.
"""

from __future__ import annotations

import copy
import dataclasses
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from hypothesis import strategies as st

from core.catalogue import entries
from core.fields import Field, fields_of
from core.fittings import fitting_entries
from core.materials import materials
from core.piece import Piece
from core.piece.files import FORMAT, SCHEMA
from core.piece.fronts import Drawer, Front, Hanging, Meeting
from core.piece.site import Pipe, Site

Plain = dict[str, Any]


def declared_groups(group: type, found: dict[str, type] | None = None) -> dict[str, type]:
    """A group of parameters and every group that may stand in it, by its class's name."""
    found = {} if found is None else found
    if group.__name__ not in found:
        found[group.__name__] = group
        for field in fields_of(group):
            inner = entries(field.folder).values() if field.kind == "variant" else [field.of]
            for each in inner:
                if dataclasses.is_dataclass(each):
                    declared_groups(each, found)
    return found


def _usual_boards() -> dict[str, float]:
    """Every board that a default names, and the thickness that its name says."""
    names = {
        field.default
        for group in declared_groups(Piece).values()
        for field in fields_of(group)
        if field.kind == "name" and (field.name == "board" or field.name.endswith("_board"))
    }
    return {name: float(name.rsplit("-", 1)[1]) for name in sorted(names) if name}


BOARDS = _usual_boards()
SHEETS = tuple(each.id for each in materials() if each.kind == "sheet")
SOLIDS = tuple(each.id for each in materials() if each.kind == "solid")


def _ids(*kinds: str) -> tuple[str, ...]:
    return tuple(entry.id for kind in kinds for entry in fitting_entries(kind))


FITTINGS: Mapping[str, tuple[str, ...]] = {  # by the parameter that names them
    "hinge": _ids("butt hinge", "concealed hinge", "piano hinge", "lift-off hinge"),
    "catch": ("", *_ids("magnetic catch")),
    "runner": ("", "", "", *_ids("drawer runner")),
    "pair": ("", "", *(each.removesuffix("-left") for each in _ids("under-mounted runner") if each.endswith("-left"))),
    "handle": ("", *_ids("knob", "pull")),
    "bolt": ("", *_ids("door bolt")),
    "lock": ("", *_ids("cupboard lock")),
    "door_stay": ("", *_ids("door stay")),
    "glide": _ids("glide"),
    "tube": _ids("hanging rail"),
    "pin": _ids("shelf pin"),
    "interlock": ("", "", "", *_ids("drawer interlock")),
    "sleeve": ("", *_ids("shelf-pin sleeve")),
}


# ------------------------------------------------------------------------------------------------- single parameters
def numbers(field: Field) -> st.SearchStrategy[float]:
    """A number within the limits of a field: near its default, anywhere, or at a limit."""
    low, high, usual = field.low, field.high, field.default
    if field.kind == "count":
        near = st.integers(max(low, usual - 2), min(high, usual + 2))
        return st.one_of(near, near, st.integers(low, high))
    reach = max(abs(usual) * 0.3, (high - low) * 0.02)
    near = _between(max(low, usual - reach), min(high, usual + reach))
    return st.one_of(*[near] * 6, _between(low, high), st.sampled_from((low, high)))


def _between(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers on the steps that people type, a half or a tenth of a mm, and now and then any number."""
    steps = [step for step in (1.0, 0.5, 0.1) if high - low > 4 * step] or [(high - low) / 8]
    on_step = st.sampled_from(steps).flatmap(
        lambda step: st.integers(0, int((high - low) / step)).map(lambda i: round(min(low + i * step, high), 6))
    )
    return st.one_of(on_step, on_step, on_step, st.floats(low, high).map(lambda x: min(max(round(x, 3), low), high)))


@st.composite
def groups(draw: st.DrawFn, group: type, fixed: Mapping[str, Any] | None = None, change: int = 6) -> Plain:
    """The plain data of a group; each parameter not in `fixed` is changed from its default about once in `change`."""
    made: Plain = {"style": group.style} if hasattr(group, "style") else {}
    for field in fields_of(group):
        if fixed and field.name in fixed:
            made[field.name] = fixed[field.name]
        elif draw(st.integers(1, (change + 1) // 2 if field.kind == "choice" else change)) == 1 or field.kind in (
            "group",
            "variant",
        ):
            made[field.name] = draw(_value(field))
    return made


def _value(field: Field) -> st.SearchStrategy[Any]:
    if field.is_number:
        return numbers(field)
    return _VALUES[field.kind](field)


def _a_name(field: Field) -> st.SearchStrategy[str]:
    if field.name == "board" or field.name.endswith("_board"):
        return st.sampled_from([*[field.default] * 8, *BOARDS])
    return st.sampled_from(FITTINGS.get(field.name, (field.default,)))


def _a_variant(field: Field) -> st.SearchStrategy[Any]:
    if field.many:
        return st.just([])
    return st.sampled_from(sorted(entries(field.folder))).flatmap(lambda word: groups(entries(field.folder)[word]))


_PRINTED = st.characters(min_codepoint=32, max_codepoint=0x2FFF, exclude_categories=("Cc", "Cs", "Zl", "Zp"))
_VALUES: Mapping[str, Callable[[Field], st.SearchStrategy[Any]]] = {
    "flag": lambda field: st.booleans(),
    "choice": lambda field: st.sampled_from([word for word, _ in field.choices]),
    "text": lambda field: st.text(_PRINTED, max_size=min(20, int(field.high or 0))),
    "name": _a_name,
    "group": lambda field: groups(field.of),
    "variant": _a_variant,
    "items": lambda field: st.one_of(st.just([]), st.lists(_between(100, 2000), max_size=3)) if field.of is float else st.just([]),
    "date": lambda field: st.dates().map(lambda day: day.isoformat()),
    "colour": lambda field: st.integers(0, 0xFFFFFF).map(lambda value: f"#{value:06x}"),
}  # fmt: skip


# ------------------------------------------------------------------------------------------------------------- boards
@st.composite
def boards(draw: st.DrawFn) -> list[Plain]:
    """The boards of a piece, most as thick as they are called, some as a calliper reads them."""
    made = []
    for id, usual in BOARDS.items():
        solid = id.rsplit("-", 1)[0] in SOLIDS
        kinds = SOLIDS if solid else SHEETS
        least, most = usual * 0.7, usual * 1.4
        thickness = draw(
            st.one_of(
                st.just(usual),
                st.just(usual),
                st.just(usual),
                _between(usual - 0.6, usual + 0.4),
                _between(least, most),
            )
        )
        made.append({"id": id, "material": draw(st.sampled_from((kinds[0], kinds[0], *kinds))), "thickness": thickness})
        if draw(st.integers(1, 8)) == 1:
            made[-1]["plugs"] = draw(st.sampled_from(("always", "never")))
    return made


# ------------------------------------------------------------------------------------------------------------- layout
@st.composite
def layouts(draw: st.DrawFn, width: float, height: float, depth: float) -> tuple[list[Plain], list[Plain]]:
    """A layout divided at random to any depth, and fronts for some of its compartments."""
    nodes: list[Plain] = []
    fronts: list[Plain] = []
    _compartment(draw, nodes, fronts, "", 0, (width, height, depth), {"share": 1}, closed=False)
    order = draw(st.permutations(range(len(nodes))))
    return [nodes[i] for i in order], fronts


def _compartment(
    draw: st.DrawFn,
    nodes: list[Plain],
    fronts: list[Plain],
    parent: str,
    order: int,
    room: tuple[float, float, float],
    size: Plain,
    closed: bool,
) -> None:
    """One compartment and all within it; `room` is about how wide, high and deep it is, `closed` that a front is before it."""
    width, height, depth = room
    id = f"c{len(nodes)}"
    node: Plain = {"id": id, "parent": parent, "order": order, "size": size}
    nodes.append(node)
    deep = id != "c0"
    divided = draw(st.sampled_from(_divisions(width, height, deep)))
    inner = closed and divided == "none" and 80 < height < 420 and draw(st.booleans())  # a drawer behind the door
    front = draw(_inner_drawers(id, len(fronts))) if inner else None
    if not (closed or inner) and 300 < width < 1000 and height > 300 and draw(st.integers(1, 6)) == 1:
        draw(_bank(nodes, fronts, node, height))
        return
    front = front if closed else draw(_fronts(id, width, height, len(fronts), divided == "none"))
    if front:
        fronts.append(front)
    if divided == "none":
        node["holds"] = draw(_contents(width, height, drawer=bool(front) and front["kind"] in ("drawer", "fixed")))
        return
    node.update(divided=divided, between=draw(st.sampled_from(("board",) * 9 + ("nothing", "rail"))))
    if divided == "rows":
        node["heights"] = draw(st.sampled_from(("sizes", "sizes", "equal", "ratio", "step")))
    clear = width if divided == "columns" else height
    number = draw(st.integers(2, 4 if clear > 1200 else 3 if clear > 500 else 2))
    for place, (given, about) in enumerate(draw(_sizes(clear - 18 * (number - 1), number))):
        inner = (about, height, depth) if divided == "columns" else (width, about, depth)
        _compartment(draw, nodes, fronts, id, place, inner, given, closed or bool(front))


@st.composite
def _bank(draw: st.DrawFn, nodes: list[Plain], fronts: list[Plain], node: Plain, height: float) -> None:
    """A bank of drawers in a compartment, with boards, rails or nothing between them."""
    node |= {"divided": "rows", "between": draw(st.sampled_from(("rail", "rail", "nothing", "board")))}
    node["heights"] = draw(st.sampled_from(("sizes", "equal", "ratio", "step")))
    number = draw(st.integers(2, max(2, min(5, int(height / 160)))))
    lay, panel = draw(st.sampled_from(("inset", "inset", "full"))), {"style": "plain"}
    runs_on = {"style": draw(st.sampled_from(sorted(entries("build.runners"))))}
    drawer = draw(groups(Drawer, {"runner": "", "runs_on": runs_on, "behind_door": False}, change=16))
    alike = draw(
        groups(Front, {"kind": "drawer", "drawer": drawer, "lay": lay, "panel": panel, "handle": ""}, change=16)
    )
    for order in range(number):
        id = f"c{len(nodes)}"
        nodes.append({"id": id, "parent": node["id"], "order": order, "size": {"share": 1}})
        fronts.append({**alike, "id": f"f{len(fronts)}", "closes": [id]})


def _divisions(width: float, height: float, deep: bool) -> list[str]:
    ways = ["columns"] * (width > 300) + ["rows"] * (height > 300)
    return [*ways, "none", "none"] if deep else [*ways, *ways, "none"]  # the first is drawn most often


@st.composite
def _sizes(draw: st.DrawFn, clear: float, number: int) -> list[tuple[Plain, float]]:
    """The sizes of the parts of a division as a file gives them, and about what each comes to."""
    ways = draw(st.sampled_from(("shares", "shares", "one fixed", "fixed and rest")))
    if ways == "shares":
        amounts = [draw(st.sampled_from((1, 1, 1, 1.5, 2))) for _ in range(number)]
        return [({"share": amount}, clear * amount / sum(amounts)) for amount in amounts]
    fixed = [
        draw(_between(clear / number * 0.4, clear / number * 1.3))
        for _ in range(1 if ways == "one fixed" else number - 1)
    ]
    left = clear - sum(fixed)
    free = number - len(fixed)
    made = [({"fixed": size}, size) for size in fixed] + [
        ({"rest": True} if free == 1 else {"share": 1}, left / free)
    ] * free
    return draw(st.permutations(made))


@st.composite
def _contents(draw: st.DrawFn, width: float, height: float, drawer: bool) -> list[Plain]:
    known = entries("build.insides")
    suits = [] if drawer else ["shelves"] * (height > 350) + ["rail"] * (height > 700 and width > 250)
    words = draw(st.lists(st.sampled_from(suits), min_size=1, max_size=2, unique=True)) if suits else []
    if draw(st.integers(1, 3)) == 1:
        rarer = ["cable_opening", "vents", *["fixed_shelf"] * (height > 300)]
        rarer += ["hooks"] * (height > 600) + ["shoe_rack"] * (height > 300 and width > 250)
        rarer += ["rail_front_to_back"] * (height > 500 and width > 480) + ["mirror"] * (height > 500)
        words = draw(
            st.lists(st.sampled_from(["cable_opening", "vents"] if drawer else [*rarer, *sorted(known)]), max_size=2)
        )
    most = max(1, int(height / 250))
    return [
        draw(groups(known[word], {"quantity": draw(st.integers(1, most))} if word == "shelves" else None))
        for word in words
    ]


@st.composite
def _fronts(draw: st.DrawFn, id: str, width: float, height: float, number: int, whole: bool) -> Plain | None:
    """A front for a compartment, or none; a drawer only before an undivided one, and the kinds by its shape."""
    suits: list[str | None] = ["drawer"] * 3 * (whole and 100 < height < 420)
    suits += ["fixed"] * (whole and height > 150)
    suits += ["pair"] * 2 * (width > 500 and height > 300) + ["door"] * 2 * (width <= 650 and height > 250)
    suits += [None] if whole else [None, None, None]
    kind = draw(st.sampled_from(suits))
    if draw(st.integers(1, 15)) == 1:
        kind = draw(st.sampled_from(("door", "pair", "drawer")))
    if kind is None:
        return None
    runner = draw(st.sampled_from(FITTINGS["runner"]))
    lay = draw(st.sampled_from(("inset",) * 3 + ("full", "full", "half")))
    usual = ("",) * 12 if lay != "inset" else ("",) * 4 + _ids("butt hinge", "piano hinge", "lift-off hinge")
    stop_strip = draw(st.sampled_from(("none", "none", "side", "top"))) if lay == "inset" else "none"
    hanging = draw(
        groups(
            Hanging, {"stop_strip": stop_strip, "hinge": draw(st.sampled_from((*usual, *usual, *FITTINGS["hinge"])))}
        )
    )
    linked = {"runner": draw(st.sampled_from(("", *(f"runner-linked-{long}" for long in (300, 350, 400, 450)))))}
    linked["runs_on"] = {"style": "side_mounted", "linking_shaft": "shaft-linking-8"}
    wide = width > 400 and draw(st.integers(1, 6)) == 3
    drawer = draw(groups(Drawer, linked if wide else {"runner": runner}))
    meeting = draw(groups(Meeting, {"joint": draw(st.sampled_from(("square", "rebated", "bead")))}))
    front = {
        "id": f"f{number}", "kind": kind, "closes": [id], "drawer": drawer, "hanging": hanging, "lay": lay, "meeting_stiles": meeting,
    }  # fmt: skip
    return draw(groups(Front, front))


@st.composite
def _inner_drawers(draw: st.DrawFn, id: str, number: int) -> Plain:
    """A drawer in a compartment that a door closes."""
    fixed = {"runner": draw(st.sampled_from(FITTINGS["runner"])), "behind_door": draw(st.integers(1, 8)) > 1}
    return draw(
        groups(
            Front,
            {
                "id": f"f{number}",
                "kind": "drawer",
                "closes": [id],
                "lay": draw(st.sampled_from(("inset",) * 9 + ("full",))),
                "drawer": draw(groups(Drawer, fixed)),
            },
        )
    )


# ------------------------------------------------------------------------------------------------------ the whole piece
@st.composite
def piece_data(draw: st.DrawFn) -> Plain:
    """The plain data of any piece, as a file holds it."""
    depth = draw(_overall(330, 650, 150, 1200))
    width, height = draw(_overall(500, 1800, 200, 4000)), draw(_overall(600, 2200, 200, 3000))
    layout, fronts = draw(layouts(width - 70, height - 150, depth))
    fixed = {
        "id": "piece", "boards": draw(boards()), "layout": layout, "fronts": fronts, "measured": [], "finish": {},
        "whole": draw(groups(type(Piece().whole), {"width": width, "height": height, "depth": depth}, change=8)),
    }  # fmt: skip
    fixed.update(draw(_stand(fixed["boards"])))
    if draw(st.integers(1, 6)) == 1:
        walls = {f"width_{place}": round(width + draw(_between(40, 115)), 1) for place in ("low", "middle", "high")}
        fixed["site"] = draw(groups(Site, {"alcove": {"fitted": True, **walls}}))
    if draw(st.integers(1, 6)) == 5:
        fixed["site"] = {
            **fixed.get("site", {}),
            "pipes": [draw(_pipes(width)) for _ in range(draw(st.integers(1, 2)))],
        }
    if draw(st.integers(1, 6)) == 1:
        fixed["carcass"]["lipping"] = {"board": draw(st.sampled_from([board["id"] for board in fixed["boards"]]))}
    if depth > 300 and (draw(st.integers(1, 8)) == 1 or fixed["support"]["style"] == "stile_posts"):
        draw(_framed(fixed))
    if draw(st.integers(1, 24)) == 11:  # neither end: those are drawn more often
        draw(_chest(fixed))
    shelves = [each for node in fixed["layout"] for each in node.get("holds", []) if each["style"] == "shelves"]
    if len(shelves) > 1 and draw(st.integers(1, 4)) == 3:  # of one kind, where two rows meet in an upright
        usual = next(board["thickness"] for board in fixed["boards"] if board["id"] == "mdf-18")
        pin = draw(st.sampled_from(("shelf-pin-5", "shelf-pin-5-short", "shelf-pin-5-short")))
        fits = "sleeve-5-18" if usual >= 17.5 else "sleeve-5-16"
        sleeve = draw(st.sampled_from((fits, fits, fits, "", "sleeve-5-22")))
        for each in shelves:
            each |= {"pin": pin, "sleeve": sleeve}
    stacked = [
        front for front in fixed["fronts"] if front["kind"] == "drawer" and not front["drawer"].get("behind_door")
    ]
    if len(stacked) > 1 and draw(st.integers(1, 3)) == 2:  # on runners of one length
        runner, hand = (
            draw(st.sampled_from(("runner-300", "runner-350", "runner-400"))),
            draw(st.sampled_from(("left", "right"))),
        )
        for front in stacked:
            own = {"runs_on": {"style": "side_mounted"}, "runner": runner}
            front["drawer"] |= {**own, "interlock": "interlock-bar", "interlock_hand": hand}
    for front in fixed["fronts"]:
        if draw(st.integers(1, 6)) == 1:
            style = draw(st.sampled_from(("plain", "plain", "planted_frame")))
            front |= {"panel": {"style": style}, "trim": 0, "lipping": draw(st.sampled_from(sorted(BOARDS)))}
            front["lipped"] = draw(st.sampled_from(("upright", "all")))
    return {"format": FORMAT, "schema": SCHEMA, **draw(groups(Piece, fixed))}


@st.composite
def _pipes(draw: st.DrawFn, width: float) -> Plain:
    """A pipe at the wall, mostly within the width of the piece and near the floor."""
    near = {"across": draw(_between(-width / 2, width / 2)), "height": draw(_between(40, 500))}
    near["runs"] = draw(st.sampled_from(("up", "up", "along", "out")))
    if near["runs"] != "out" and draw(st.booleans()):  # inside the piece, where holes for it may find wood
        near |= {"meets": "bored", "off": draw(_between(30, 250)), "diameter": draw(_between(10, 60))}
        near["height"] = draw(st.one_of(st.just(near["height"]), _between(300, 2400)))
    return draw(groups(Pipe, near))


@st.composite
def _chest(draw: st.DrawFn, piece: Plain) -> None:
    """A chest under a lid: one compartment, a thick back in a rebate, nothing to open in front."""
    piece["layout"], piece["fronts"], piece["site"] = [{"id": "all", "holds": []}], [], {}
    if piece["support"]["style"] == "stile_posts":
        piece["support"] = {"style": "glides"}
    piece["whole"] = {**piece["whole"], "height": draw(_between(380, 700)), "width": draw(_between(600, 1300))}
    piece["carcass"] |= {"back": {"board": "mdf-18", "rebate_depth": 0}, "runs_through": "sides", "sides": "board"}
    if piece["support"]["style"] != "stile_legs":
        piece["carcass"]["side_panel"] = {"style": draw(st.sampled_from(("plain", "plain", "planted_frame")))}
    piece["top"] = draw(groups(entries("build.tops")["hinged_lid"], change=12))


@st.composite
def _framed(draw: st.DrawFn, piece: Plain) -> None:
    """Sides that are frames themselves, mostly without what would hang on their panels; stiles wide enough for screws."""
    panel = draw(st.sampled_from(("frame_and_panel", "frame_and_panel", "glazed")))
    wide = {"stile_width": draw(_between(80, 140)), "mid_rails": draw(st.sampled_from(([], [], [600], [500, 1000])))}
    piece["carcass"] |= {"sides": "frame", "side_panel": draw(groups(entries("build.panels")[panel], wide, change=12))}
    if draw(st.booleans()) or (piece["support"]["style"] == "stile_legs" and draw(st.integers(1, 8)) > 1):
        style = draw(st.sampled_from(("glides", "stile_posts", "stile_posts")))
        piece["support"] = draw(groups(entries("build.supports")[style], change=12))
    if draw(st.integers(1, 8)) > 1:
        piece["fronts"][:] = [front for front in piece["fronts"] if front["kind"] != "drawer"]
        for node in piece["layout"]:
            node["holds"] = [each for each in node.get("holds", []) if each["style"] in ("shelves", "cable_opening")]


@st.composite
def _stand(draw: st.DrawFn, boards: list[Plain]) -> Plain:
    """Support, side panels and back that mostly suit one another: legs of the stiles need a planted frame, a back its rebate."""
    support = draw(groups(entries("build.supports")[draw(st.sampled_from(sorted(entries("build.supports"))))]))
    carcass = draw(groups(type(Piece().carcass), {} if draw(st.integers(1, 12)) == 1 else {"sides": "board"}))
    if carcass.get("side_panel", {}).get("style") == "glazed" and draw(st.integers(1, 8)) > 1:
        carcass["side_panel"] = {"style": "plain"}
    if support["style"] == "stile_legs" and draw(st.integers(1, 8)) > 1:
        carcass["side_panel"] = draw(groups(entries("build.panels")["planted_frame"], change=5))
    if draw(st.integers(1, 8)) > 1:
        thickness = next(board["thickness"] for board in boards if board["id"] == "mdf-6")
        kind = draw(st.sampled_from(("rebate", "rebate", "groove", "planted_on")))
        parts = draw(st.sampled_from(("by_sheet", "by_sheet", "one", "bays")))
        deep = thickness + draw(st.sampled_from((0, 0, 0.5, 1)))
        carcass["back"] = {"kind": kind, "rebate_depth": deep, "in_parts": parts}
    return {"support": support, "carcass": carcass}


def _overall(low: float, high: float, least: float, most: float) -> st.SearchStrategy[float]:
    usual = _between(low, high)
    return st.one_of(usual, usual, usual, usual, _between(least, most))


# ------------------------------------------------------------------------------------------------------------ relenting
def relented(data: Plain, field: str) -> Plain | None:
    """The piece without what a refusal blames, as a person would take it back; None where nothing can be taken back.

    A parameter that was given returns to its default; of one that was not, the group around it; a front that cannot be is
    left away, contents that cannot be are taken out.
    """
    steps = [int(step[1:-1]) if step.startswith("[") else step for step in re.findall(r"\[\d+\]|[^.\[\]]+", field)]
    changed = copy.deepcopy(data)
    if steps[0] == "fronts" and len(steps) > 1 and steps[2:] in ([], ["closes"], ["handle"]):
        del changed["fronts"][steps[1]]
        return changed
    if steps[:2] == ["site", "pipes"] and len(steps) > 2:
        del changed["site"]["pipes"][steps[2]]
        return changed
    if steps[0] == "layout":
        return _emptied(changed, steps)
    if steps[-1] == "style":
        steps.pop()
    while steps:
        held: Any = changed
        try:
            for step in steps[:-1]:
                held = held[step]
            del held[steps[-1]]
            return changed
        except (KeyError, IndexError, TypeError):
            steps.pop()
    return None


def _emptied(changed: Plain, steps: list[Any]) -> Plain | None:
    node = changed["layout"][steps[1]] if len(steps) > 1 else {}
    if len(steps) > 2 and steps[2] == "holds" and node.get("holds"):
        number = steps[3] if len(steps) > 3 else len(node["holds"]) - 1
        node["holds"] = [each for i, each in enumerate(node["holds"]) if i != number]
        return changed
    if steps[-1] in ("heights", "step", "ratio") and node.pop("heights", "sizes") != "sizes":
        return changed
    between = [each for each in changed["layout"] if each.get("between") in ("nothing", "rail")]
    for each in between:
        each["between"] = "board"
    return changed if between else None


# ----------------------------------------------------------------------------------------------------------- mirroring
def mirrored(data: Plain) -> Plain:
    """The plain data of the mirror image of a piece: hands swapped, columns from right to left."""
    columns = {node["id"] for node in data["layout"] if node.get("divided") == "columns"}
    last = max((node.get("order", 0) for node in data["layout"]), default=0)
    layout = [
        {**node, "order": last - node.get("order", 0)} if node.get("parent") in columns else node
        for node in data["layout"]
    ]
    return {
        **data,
        "layout": [_swapped(node) for node in layout],
        "fronts": [_swapped(front) for front in data["fronts"]],
        "site": _swapped(data.get("site", {})),
    }


_OTHER_HAND = {"left": "right", "right": "left"}
_HANDED = {"hand": "left", "open_end": "right"}  # parameters that say a hand, and their defaults


def _swapped(held: Any, keys: Sequence[str] = ("hand", "open_end")) -> Any:
    """Plain data with every word for a hand exchanged, and the walls at the two sides."""
    if isinstance(held, list):
        return [_swapped(each) for each in held]
    if not isinstance(held, dict):
        return held
    made = {key: _swapped(value) for key, value in held.items()}
    for key in keys:
        if key in made:
            made[key] = _OTHER_HAND[made[key]]
    if "runs" in held and "across" in held:
        made["across"] = -held["across"]
    if held.get("style") == "mirror":
        made["hand"] = _OTHER_HAND[held.get("hand", "right")]
    if held.get("style") == "rail":
        made["open_end"] = _OTHER_HAND[held.get("open_end", _HANDED["open_end"])]
    if "closes" in held:
        made["hanging"] = {
            **made.get("hanging", {}),
            "hand": _OTHER_HAND[held.get("hanging", {}).get("hand", _HANDED["hand"])],
        }
        made["drawer"] = {
            **made.get("drawer", {}),
            "interlock_hand": _OTHER_HAND[held.get("drawer", {}).get("interlock_hand", "left")],
        }
        made["meeting_stiles"] = {
            **made.get("meeting_stiles", {}),
            "leads": _OTHER_HAND[held.get("meeting_stiles", {}).get("leads", "right")],
        }
    for left, right in (("wall_left", "wall_right"),):
        if left in held or right in held:
            made.update({other: held[one] for one, other in ((left, right), (right, left)) if one in held})
    return made
