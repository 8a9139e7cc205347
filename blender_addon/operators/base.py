"""What the commands share: the piece they act on, and how a mistake reaches the user."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from pathlib import Path

import bpy
from bpy_extras.io_utils import ExportHelper

from .. import document, log
from ..core import PieceError

UNDOABLE = {"REGISTER", "UNDO"}  # a command that can be undone and adjusted

Execute = Callable[[bpy.types.Operator, bpy.types.Context], set[str]]


class OnPiece:
    """A command on the piece that is being worked on."""

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether there is such a piece, and it may be changed."""
        root = document.active_root(context)
        if root is None:
            cls.poll_message_set("Select a part of a piece, or add one from Add > Mesh")
        elif document.is_read_only(root):
            cls.poll_message_set("The piece is linked from another file and can only be read here")
        else:
            return True
        return False


class OnCurrentPiece:
    """A command that puts out what a piece says: refused while a value in the editor cannot work."""

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether there is a piece and all of its values work."""
        root = document.active_root(context)
        if root is None:
            cls.poll_message_set("Select a part of a piece, or add one from Add > Mesh")
            return False
        wrong = document.trouble(root)
        if wrong:
            cls.poll_message_set(f"The piece is not current: {document.trouble_words(root)}")
        return not wrong


class NamedExport(ExportHelper):
    """An export whose file is called after the piece until the user says otherwise, beside the .blend file where there is one."""

    what = ""  # is written, in words of the file's name

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Propose a name and ask."""
        root = document.active_root(context)
        if not self.filepath and root is not None:
            words = filter(None, (root.name, self.what))
            name = bpy.path.clean_name(" ".join(words).lower()) + self.filename_ext
            self.filepath = str(Path(bpy.data.filepath).parent / name) if bpy.data.filepath else name
        return ExportHelper.invoke(self, context, event)


def reporting(execute: Execute) -> Execute:
    """An `execute` whose errors of input and output become one line for the user."""

    @wraps(execute)
    def guarded(self: bpy.types.Operator, context: bpy.types.Context) -> set[str]:
        what = type(self).bl_idname
        try:
            result = execute(self, context)
            log.done(what)
            return result
        except (PieceError, OSError) as error:
            log.refused(what, error)
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        except Exception as error:
            log.ours(what, error)
            raise

    return guarded
