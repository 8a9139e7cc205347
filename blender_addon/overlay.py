"""What is drawn over the piece: main dimensions, the size being dragged, the picked compartment, the findings.

In the theme's colours and at the user's scale; everything is worked out anew with each drawing, nothing is kept.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import blf
import bpy
import gpu
from bpy_extras.view3d_utils import location_3d_to_region_2d
from gpu_extras.batch import batch_for_shader
from mathutils import Vector

from . import document, findings, lengths, scene, view, wording
from .core.checks import Finding
from .core.grips import OVERALL, Grip

CLEAR = 90.0  # mm from the piece to its dimension lines
BEYOND = 25.0  # mm that an extension line goes past its dimension line
TICK, MARK, MARGIN = (
    4.0,
    9.0,
    4.0,
)  # at scale 1: half a stroke at a line's end, radius of a finding's mark, about a text
ARROW = 45.0  # pixels at scale 1 from a grip to the tip of its arrow
SMALL = 200.0  # pixels at scale 1
LETTERS, LINES = 40, 3  # of the sentence of a stop finding that are shown; all of it stands in the panel

Pixels = tuple[float, float]
Colour = tuple[float, float, float, float]

_handle: list[object] = []


def register() -> None:
    """Draw from now on."""
    _handle.append(bpy.types.SpaceView3D.draw_handler_add(draw, (), "WINDOW", "POST_PIXEL"))


def unregister() -> None:
    """Draw no more."""
    while _handle:
        bpy.types.SpaceView3D.draw_handler_remove(_handle.pop(), "WINDOW")


def draw() -> None:
    """Everything over the piece that is worked on."""
    context = bpy.context
    root = view.shown_root(context)
    if root is None or not document.is_built(root):
        return
    sheet_over(context, root).put_down()


def sheet_over(context: bpy.types.Context, root: bpy.types.Object) -> Sheet:
    """What is drawn over a piece: of one that is taken apart neither sizes nor findings, for its parts are elsewhere."""
    sheet, shown = Sheet.of(context, root), context.scene.muntin
    if view.has_grips(context):
        sheet.keep_clear(document.grips_of(root))
    picked = view.busy.compartment or (document.chosen(root) if shown.compartment else "")
    if picked:
        sheet.compartment(picked)
    grip = next((each for each in document.grips_of(root) if each.key == view.busy.grip), None)
    if grip:
        sheet.grip(grip)
    elif shown.dimensions and not root.muntin.apart and not sheet.is_small():
        sheet.overall()
    if shown.findings and not grip and not root.muntin.apart and not sheet.is_small():
        sheet.findings(findings.known(root) or ())
    return sheet


@dataclass
class Sheet:
    """One drawing over one viewport: lines and texts collected, then put down together."""

    context: bpy.types.Context
    root: bpy.types.Object
    scale: float  # of the user's interface
    points: float  # height of a text, pixels
    ink: Colour
    paper: Colour
    accent: Colour
    lines: list[Pixels] = field(default_factory=list)
    fine: list[Pixels] = field(default_factory=list)
    texts: list[tuple[str, Pixels, Colour]] = field(default_factory=list)
    papers: list[tuple[Pixels, Pixels]] = field(default_factory=list)
    arrows: list[tuple[Pixels, Pixels]] = field(default_factory=list)  # places that no label covers

    @classmethod
    def of(cls, context: bpy.types.Context, root: bpy.types.Object) -> Sheet:
        """An empty one in the theme's colours."""
        preferences = context.preferences
        theme, scale = preferences.themes[0], preferences.system.ui_scale or 1.0
        ink, tip = theme.view_3d.space.text_hi, theme.user_interface.wcol_tooltip
        return cls(
            context=context,
            root=root,
            scale=scale,
            points=preferences.ui_styles[0].widget.points * scale,
            ink=(*ink[:3], 1.0),
            paper=(*tip.inner[:3], 0.85),
            accent=(*theme.user_interface.gizmo_primary[:3], 1.0),
        )

    # ------------------------------------------------------------------------------------------------------ what it is
    def is_small(self) -> bool:
        """Whether the piece is seen so small that words over it would hide it and one another."""
        width, depth, height = document.seen(self.root).overall
        corners = [self.seen((x, y, z)) for x in (-width / 2, width / 2) for y in (-depth, 0) for z in (0, height)]
        if not all(corners):
            return False  # the eye is among them
        reach = max(max(axis) - min(axis) for axis in zip(*corners))
        return reach < SMALL * self.scale

    def overall(self) -> None:
        """Width, height and depth as built, beside the piece."""
        width, depth, height = document.seen(self.root).overall
        half, front = width / 2, -depth
        self.dimension((-half, front, 0), (half, front, 0), (0, -CLEAR, 0), width)
        self.dimension((-half, front, 0), (-half, front, height), (-CLEAR, 0, 0), height)
        self.dimension((half, front, 0), (half, 0, 0), (CLEAR, 0, 0), depth)

    def grip(self, grip: Grip) -> None:
        """The size that is being dragged, and of a division the size on the other side."""
        at, along = Vector(grip.at), Vector(grip.along)
        if not grip.half and not grip.beyond:
            width, depth, height = document.seen(self.root).overall
            half, front = width / 2, -depth
            ends = {
                "width": ((-half, front, 0), (half, front, 0), (0, -CLEAR, 0)),
                "height": ((-half, front, 0), (-half, front, height), (-CLEAR, 0, 0)),
                "depth": ((half, front, 0), (half, 0, 0), (CLEAR, 0, 0)),
            }
            self.dimension(*ends[grip.key], grip.size)
            return
        for sign, size in ((-1, grip.size), (1, grip.beyond)):
            near = at + along * grip.half * sign
            self.dimension(near, near + along * size * sign, (0, -CLEAR / 3, 0), size)

    def keep_clear(self, grips: Iterable[Grip]) -> None:
        """Have no label cover the arrow of a grip, for it could not be found any more."""
        for grip in grips:
            at, ahead = self.seen(grip.at), self.seen(Vector(grip.at) + Vector(grip.along))
            if not (at and ahead):
                continue
            way = Vector(ahead) - Vector(at)
            tip = way.normalized() * ARROW * self.scale
            ends = (Vector(at) + tip, Vector(at) - (tip if grip.key not in OVERALL else Vector((0.0, 0.0))))
            low, high = ([pick(end[axis] for end in ends) for axis in (0, 1)] for pick in (min, max))
            self.arrows.append(((low[0] - MARGIN, low[1] - MARGIN), (high[0] + MARGIN, high[1] + MARGIN)))

    def compartment(self, id: str) -> None:
        """The edges of a compartment."""
        boxes = document.boxes_of(self.root)
        if id not in boxes:
            return
        low, high = boxes[id]
        corners = [
            self.seen((x, y, z)) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])
        ]
        for a in range(8):
            for bit in (1, 2, 4):
                if not a & bit and corners[a] and corners[a | bit]:
                    self.lines += [corners[a], corners[a | bit]]
        front = [corners[index] for index in (0, 1, 4, 5)]
        if all(front):
            middle = (sum(x for x, _ in front) / 4, sum(y for _, y in front) / 4)
            self.label([id], middle, self.accent)

    def findings(self, found: Iterable[Finding]) -> None:
        """The number in the panel at the parts of each finding; of a warning the word too, of a stop the sentence."""
        there = scene.own_objects(self.root)
        for number, each in enumerate(found, 1):
            at = self.middle([there[key] for key in each.keys if key in there])
            if at is None:
                continue
            words = []
            if each.severity == "stop":
                words = wording.lines(document.told(self.root, each.text), LETTERS)
                words = [*words[: LINES - 1], f"{words[LINES - 1]} …"] if len(words) > LINES else words
            head = str(number) if each.severity == "note" else f"{number}  {each.severity.capitalize()}"
            self.label([head, *words], at, self.ink)

    def middle(self, objects: list[bpy.types.Object]) -> Pixels | None:
        """Where the middle of some objects is seen; None if they are hidden or not in view."""
        visible = [each for each in objects if each.visible_get()]
        if not visible:
            return None
        total = Vector((0.0, 0.0, 0.0))
        for each in visible:
            total += each.matrix_world @ (sum((Vector(corner) for corner in each.bound_box), Vector()) / 8)
        seen = self.on_screen(total / len(visible))
        inside = seen and 0 <= seen[0] <= self.context.region.width and 0 <= seen[1] <= self.context.region.height
        return seen if inside else None

    # ----------------------------------------------------------------------------------------------------- how it looks
    def dimension(self, start: Iterable[float], end: Iterable[float], away: Iterable[float], size: float) -> None:
        """A dimension line with its extension lines and figure; points and the way off in the piece, mm."""
        start, end, away = Vector(start), Vector(end), Vector(away)
        past = away.normalized() * BEYOND
        a, b = self.seen(start + away), self.seen(end + away)
        if not (a and b):
            return
        for point in (start, end):
            near, far = self.seen(point), self.seen(point + away + past)
            if near and far:
                self.fine += [near, far]
        self.lines += [a, b]
        reach = TICK * self.scale
        for x, y in (a, b):
            self.lines += [(x - reach, y - reach), (x + reach, y + reach)]
        words = lengths.words(size, self.context.scene)
        self.label([words], ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), self.ink)

    def label(self, words: list[str], middle: Pixels, ink: Colour) -> None:
        """Lines of text on a ground, about a place; moved down until they cover no other label and no grip."""
        blf.size(0, self.points)
        margin, high = MARGIN * self.scale, 1.35 * self.points
        wide = max(blf.dimensions(0, line)[0] for line in words)
        x, y = middle[0] - wide / 2 - margin, middle[1] + high * len(words) / 2 + margin
        low, size = y - high * len(words) - 2 * margin, wide + 2 * margin
        kept = (*self.papers, *self.arrows)
        while hit := next((box for box in kept if _meet(box, ((x, low), (x + size, y)))), None):
            drop = y - hit[0][1] + 1
            y, low = y - drop, low - drop
        self.papers.append(((x, low), (x + size, y)))
        for index, line in enumerate(words):
            self.texts.append((line, (x + margin, y - margin - high * (index + 0.8)), ink))

    def seen(self, point: Iterable[float]) -> Pixels | None:
        """Where a point of the piece is seen, mm in, pixels out; None behind the eye."""
        return self.on_screen(self.root.matrix_world @ (Vector(point) * document.scale_of(self.root)))

    def on_screen(self, place: Vector) -> Pixels | None:
        """Where a point of the scene is seen."""
        seen = location_3d_to_region_2d(self.context.region, self.context.region_data, place)
        return (seen.x, seen.y) if seen else None

    def put_down(self) -> None:
        """Draw all that was collected."""
        gpu.state.blend_set("ALPHA")
        strokes = gpu.shader.from_builtin("POLYLINE_UNIFORM_COLOR")
        for lines, width, colour in ((self.fine, 1.0, (*self.ink[:3], 0.5)), (self.lines, 1.5, self.ink)):
            if lines:
                batch = batch_for_shader(strokes, "LINES", {"pos": [(x, y, 0.0) for x, y in lines]})
                strokes.uniform_float("viewportSize", gpu.state.viewport_get()[2:])
                strokes.uniform_float("lineWidth", width * self.scale)
                strokes.uniform_float("color", colour)
                batch.draw(strokes)
        if self.papers:
            fill = gpu.shader.from_builtin("UNIFORM_COLOR")
            corners = [
                corner
                for (x, y), (right, top) in self.papers
                for corner in ((x, y), (right, y), (right, top), (x, y), (right, top), (x, top))
            ]
            fill.uniform_float("color", self.paper)
            batch_for_shader(fill, "TRIS", {"pos": [(x, y, 0.0) for x, y in corners]}).draw(fill)
        for words, (x, y), colour in self.texts:
            blf.size(0, self.points)
            blf.color(0, *colour)
            blf.position(0, x, y, 0)
            blf.draw(0, words)
        gpu.state.blend_set("NONE")


def _meet(box: tuple[Pixels, Pixels], other: tuple[Pixels, Pixels]) -> bool:
    (left, low), (right, high) = box
    (other_left, other_low), (other_right, other_high) = other
    return left < other_right and other_left < right and low < other_high and other_low < high
