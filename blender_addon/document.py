"""A piece in Blender: its canonical text on a root object, the editor beside it, and the one way in which it changes.

The text is the piece; when it and the editor's property groups differ, the text wins. Everything goes through `edit`:
values are set in silence, then checked, and the model is built once. What core refuses stays in the editor as it was
typed, the last good model stays in view, and the root keeps the reason until the value is mended.
"""

from __future__ import annotations

import math
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import TypeVar

import bpy

from . import editor, log, scene
from .core import Piece, PieceError, build, dumps, loads
from .core.build import build_seen, shaping
from .core.build.setting_out import set_out
from .core.drawing.explode import directions_apart
from .core.errors import ParameterError
from .core.fields import fields_of, plain, plain_value, read
from .core.frozen import undisturbed
from .core.geometry import Vector
from .core.grips import Grip, grips
from .core.model import Model
from .core.units import read_length, shown_length
from .lengths import are_inches, scene_of, units_per_mm
from .materials import Palette
from .movement import Moves
from .scene import KEY, PIECE

TEXT = "muntin_text"  # canonical text of the piece, on its root
TROUBLE = (
    "muntin_trouble"  # path and reason of a value that cannot work, each on a line; absent while the piece is current
)
UNREAD = "muntin_unread"  # texts typed for lengths that could not be read, by path; absent while there are none
MADE = "muntin_made"  # text of the state that is being made, with its ticks; absent before the first is saved
LATER = "muntin_later"  # set while a mesh in edit mode waits to be brought up to date
POLL_SECONDS = 0.4
REMEMBERED = 32  # pieces, and models dragged through, by their text

Box = tuple[Vector, Vector]
T = TypeVar("T")

_pieces: dict[str, Piece] = {}


# --------------------------------------------------------------------------------------------------------- finding them
def is_root(thing: bpy.types.Object | None) -> bool:
    """Whether an object is the root of a piece."""
    return thing is not None and TEXT in thing


def roots() -> list[bpy.types.Object]:
    """The roots of all pieces in the file."""
    return [each for each in bpy.data.objects if TEXT in each]


def root_of(thing: bpy.types.Object | None) -> bpy.types.Object | None:
    """The root of the piece that an object belongs to: itself, or the nearest above it."""
    while thing is not None and TEXT not in thing:
        thing = thing.parent
    return thing


def active_root(context: bpy.types.Context) -> bpy.types.Object | None:
    """The piece that is being worked on: that of the active object, else the only one of the scene."""
    found = root_of(context.object if hasattr(context, "object") else None)
    if found is None:
        there = [each for each in context.scene.objects if TEXT in each]
        found = there[0] if len(there) == 1 else None
    return found


def is_read_only(root: bpy.types.Object) -> bool:
    """Whether a piece is linked from another file."""
    return bool(root.library or root.override_library)


def piece(root: bpy.types.Object) -> Piece:
    """The piece of a root, as its text says."""
    return _piece(root[TEXT])


def model(root: bpy.types.Object) -> Model:
    """The model of a root's piece."""
    return _model(root[TEXT])


def seen(root: bpy.types.Object) -> Model:
    """What is seen of a root's model: the model, or while a size is dragged the same without what is hidden."""
    return _seen(root[TEXT])


def is_built(root: bpy.types.Object) -> bool:
    """Whether a root's text can be built: a file may hold one that was built by an older version and is refused by this."""
    try:
        seen(root)
    except PieceError:
        return False
    return True


def trouble(root: bpy.types.Object) -> tuple[str, str] | None:
    """The path of the parameter that cannot work and the reason, while there is one."""
    path, found, reason = root.get(TROUBLE, "").partition("\n")
    return (path, reason) if found else None


def trouble_words(root: bpy.types.Object) -> str:
    """The same as one sentence, the parameter named as on the screen; empty while the piece is current."""
    path, reason = trouble(root) or ("", "")
    where = editor.label(root.muntin.piece, Piece, located(piece(root), path)) if path else ""
    return told(root, f"{where}: {reason}" if where else reason)


def told(root: bpy.types.Object, words: str) -> str:
    """A sentence of core's with the parameters of a root's piece called as on the screen."""
    return editor.told(root.muntin.piece, Piece, words)


def grips_of(root: bpy.types.Object) -> tuple[Grip, ...]:
    """What of a root's piece can be dragged."""
    return _grips(root[TEXT])


def boxes_of(root: bpy.types.Object) -> dict[str, Box]:
    """Every compartment of a root's piece, divided or not: its lowest and highest corner in the piece, mm."""
    return _boxes(root[TEXT])


def chosen(root: bpy.types.Object) -> str:
    """The id of the compartment that is picked; empty if the list has none."""
    editing = root.muntin.piece
    return editing.layout[editing.at_layout].id if editing.at_layout < len(editing.layout) else ""


def choose(root: bpy.types.Object, id: str) -> None:
    """Pick a compartment."""
    for index, each in enumerate(root.muntin.piece.layout):
        if each.id == id:
            root.muntin.piece.at_layout = index


def scale_of(root: bpy.types.Object) -> float:
    """Blender units to a millimetre where the piece stands."""
    return units_per_mm(scene_of(root))


def _piece(text: str) -> Piece:
    return _pieces[text] if text in _pieces else _remembered(text, loads(text))


def _remembered(text: str, made: Piece) -> Piece:
    """Remember what piece a text says, the last few of them."""
    _keep(_pieces, text, made)
    return made


def _keep(known: dict[str, T], text: str, value: T) -> None:
    while len(known) >= REMEMBERED:
        known.pop(next(iter(known)))
    known[text] = value


@lru_cache(maxsize=8)
def _model(text: str) -> Model:
    return _built(shaping(_piece(text)))


@lru_cache(maxsize=8)
def _built(made: Piece) -> Model:
    return build(made)


_dragged: dict[str, Model] = {}  # by text: what is seen of the last ones that were dragged through


def _seen(text: str) -> Model:
    return _dragged.get(text) or _model(text)


@lru_cache(maxsize=8)
def _apart(text: str) -> dict[str, tuple[float, float, float]]:
    """How far each part and fitting goes when everything is apart, as on the drawings, mm."""
    return directions_apart(_model(text))


@lru_cache(maxsize=8)
def _grips(text: str) -> tuple[Grip, ...]:
    return grips(_piece(text), _seen(text).overall)


@lru_cache(maxsize=8)
def _boxes(text: str) -> dict[str, Box]:
    out = set_out(_piece(text))
    return {id: ((r.left, -out.depth, r.bottom), (r.right, 0.0, r.top)) for id, r in out.rects.items()}


# -------------------------------------------------------------------------------------------------- making and changing
def new_piece(context: bpy.types.Context, made: Piece, name: str = "") -> bpy.types.Object:
    """A new root with its objects, in a collection of its own; raises PieceError if the piece cannot be built."""
    text = dumps(made)
    _model(text)
    name = name or made.whole.name or "Piece"
    root = bpy.data.objects.new(name, None)
    root.empty_display_type, root.empty_display_size = "PLAIN_AXES", 0.15
    collection = bpy.data.collections.new(name)
    context.collection.children.link(collection)
    collection.objects.link(root)
    root[PIECE] = uuid.uuid4().hex
    set_text(root, text)
    return root


def set_text(root: bpy.types.Object, text: str) -> None:
    """Give a root another text; raises PieceError, and changes nothing, if no piece can be built from it."""
    set_piece(root, _piece(text))


def set_piece(root: bpy.types.Object, made: Piece) -> None:
    """Give a root another piece; raises PieceError, and changes nothing, if it cannot be built."""
    text = dumps(made)
    _remembered(text, made)
    _model(text)
    _dragged.clear()
    root[TEXT] = text
    refresh(root)


def drag_to(root: bpy.types.Object, made: Piece) -> None:
    """The same for a step of a drag: the editor, known to say the piece as it was, is filled where `made` differs.

    A section that a drag leaves alone is the same value in both pieces, not only an equal one.
    """
    before, text = piece(root), dumps(made)
    with undisturbed():
        if text not in _dragged:
            _keep(_dragged, text, build_seen(made))
        _remembered(text, made)
        root[TEXT] = text
        changed = {
            field.name: getattr(made, field.name)
            for field in fields_of(Piece)
            if getattr(made, field.name) is not getattr(before, field.name)
        }
        editor.fill_sections(
            root.muntin.piece, Piece, {name: plain_value(held) for name, held in changed.items()}, scale_of(root)
        )
        show(root, dragged=True)


def let_go(root: bpy.types.Object) -> None:
    """End a drag: what was left out on the way is shown; raises PieceError, and changes nothing, if it cannot be built."""
    model(root)
    _dragged.clear()
    show(root)


@contextmanager
def edit(root: bpy.types.Object) -> Iterator[bpy.types.PropertyGroup]:
    """The one way to change several values of a piece: set in silence, and the model follows once at the end."""
    with editor.silence():
        yield root.muntin.piece
    take_up(root)


def take_up(root: bpy.types.Object, exact: dict[str, float] | None = None) -> None:
    """Make what the editor says the piece; a value that cannot work is noted and leaves text and model as they are.

    `exact` are lengths in mm by path that are known to more digits than Blender's numbers have.
    """
    if is_read_only(root):
        return
    before = plain(piece(root))
    try:
        for path, words in dict(root.get(UNREAD, {})).items():
            raise ParameterError(path, unreadable(words))
        data = editor.plain_from(root.muntin.piece, Piece, before, scale_of(root))
        for path, value in (exact or {}).items():
            editor.put_at(data, path, value)
        made = read(Piece, data)
        text = dumps(made)
        _remembered(text, made)
        _model(text)
    except PieceError as error:
        path, reason = (error.field, error.message) if isinstance(error, ParameterError) else ("", str(error))
        log.refused("value", error)
        root[TROUBLE] = f"{path}\n{reason}"
        return
    except Exception as error:  # a mistake of ours must not leave the file half changed
        log.ours("value", error)
        root[TROUBLE] = f"\nan error of ours ({type(error).__name__}: {error}); please report it with the piece file"
        return
    root[TEXT] = text
    root.pop(TROUBLE, None)
    show(root)


def unreadable(words: str) -> str:
    """Why a text is no length; empty if it is one."""
    try:
        read_length(words)
    except ParameterError as error:
        return error.message
    return ""


def refresh(root: bpy.types.Object, afresh: bool = False) -> None:
    """Make editor and objects what the text says; `afresh` also writes meshes that seem to be right."""
    if is_read_only(root):
        return
    fill_editor(root)
    show(root, afresh)


def fill_editor(root: bpy.types.Object) -> None:
    """Make the editor what the text says."""
    editor.fill(root.muntin.piece, Piece, plain(piece(root)), scale_of(root))
    root.pop(TROUBLE, None)
    root.pop(UNREAD, None)


def show(root: bpy.types.Object, afresh: bool = False, dragged: bool = False) -> None:
    """Bring the objects of a piece up to date with its text; `dragged`, `afresh`: see `scene.show`."""
    if not dragged:  # nothing is copied meanwhile
        renew_shared_id(root)
    made, scale = seen(root), scale_of(root)
    moves = moves_of(root)
    palette = Palette(root[PIECE], piece(root).finish.scheme(), scale)
    if scene.show(root, made, palette, scale, moves, afresh, dragged):
        root.pop(LATER, None)
    else:
        root[LATER] = True
        wait_for_edit_mode()


def moves_of(root: bpy.types.Object) -> Moves:
    """Where the sliders take each part and fitting."""
    made, scale, sliders = seen(root), scale_of(root), root.muntin
    ways = _apart(root[TEXT]) if sliders.apart else {}
    apart = {key: tuple(sliders.apart * each for each in way) for key, way in ways.items()}
    return Moves(made, math.degrees(sliders.swing), sliders.travel / scale, scale, apart)


def renew_shared_id(root: bpy.types.Object) -> None:
    """Give the copies of a duplicated piece an id of their own; the oldest keeps it."""
    same = [each for each in roots() if each.get(PIECE) == root[PIECE] and not each.library]
    for copy in sorted(same, key=lambda each: each.session_uid)[1:]:
        old, copy[PIECE] = copy[PIECE], uuid.uuid4().hex
        copy.pop(MADE, None)  # nothing of the copy stands in the workshop yet
        for each in copy.children_recursive:
            if each.get(PIECE) == old and KEY in each:
                each[PIECE] = copy[PIECE]


# -------------------------------------------------------------------------------------------------------- what calls it
def group_changed(group: bpy.types.PropertyGroup) -> None:
    """A person or a script changed one value of the editor."""
    root = group.id_data
    if TEXT in root and not editor.is_silent():
        if not are_inches(scene_of(root)):
            root.pop(UNREAD, None)
        take_up(root)


def length_shown(group: bpy.types.PropertyGroup, name: str) -> str:
    """A length of the editor as text in inches; what could not be read stays as it was typed."""
    root = group.id_data
    unread = root.get(UNREAD)
    words = unread.get(editor.path_of(group, Piece, name)) if unread else None
    return shown_length(getattr(group, name) / scale_of(root)) if words is None else words


def length_typed(group: bpy.types.PropertyGroup, name: str, words: str) -> None:
    """A person typed a length as text; typing what is shown already changes nothing."""
    root, path = group.id_data, editor.path_of(group, Piece, name)
    if words == length_shown(group, name):
        return
    unread = {each: said for each, said in dict(root.get(UNREAD, {})).items() if each != path}
    exact = {}
    if unreadable(words):
        unread[path] = words
    else:
        exact[path] = read_length(words)
        with editor.silence():
            setattr(group, name, exact[path] * scale_of(root))
    root.pop(UNREAD, None)
    if unread:
        root[UNREAD] = unread
    take_up(root, exact)


def movement_changed(group: bpy.types.PropertyGroup) -> None:
    """A person moved one of the sliders Swing, Travel and Take Apart."""
    root = group.id_data
    if TEXT not in root or is_read_only(root):
        return
    made, scale, there = model(root), scale_of(root), scene.own_objects(root)
    moves = moves_of(root)
    for each in (*made.parts, *made.fittings):
        if each.key in there:
            scene.put(there[each.key], moves.carried(each.key, scene.matrix_of(each.place, scale)))


def wait_for_edit_mode() -> None:
    """Come back until no mesh of a piece is in edit mode any more, then bring it up to date."""
    if not bpy.app.timers.is_registered(catch_up):
        bpy.app.timers.register(catch_up, first_interval=POLL_SECONDS)


def catch_up() -> float | None:
    """Bring up to date what waited for edit mode to be left; seconds until the next look, None when nothing waits."""
    for root in [each for each in roots() if each.get(LATER)]:
        if not any(each.data and each.data.is_editmode for each in scene.own_objects(root).values()):
            show(root)
    return POLL_SECONDS if any(each.get(LATER) for each in roots()) else None


def located(made: Piece, path: str) -> str:
    """A parameter's path with indices where it names a front or board: "fronts.doors.gaps" is "fronts[0].gaps".

    An id that is not there leaves the path as it is.
    """
    words = path.split(".")
    held = getattr(made, words[0], None)
    if len(words) > 1 and isinstance(held, tuple):
        for index, each in enumerate(held):
            if getattr(each, "id", None) == words[1]:
                return ".".join([f"{words[0]}[{index}]", *words[2:]])
    return path
