"""The parameters of one piece, in the maker's order: whole, layout, joints and back, fronts, inside, finish, site, workshop."""

from .files import dumps, loads, read_piece_file
from .piece import Piece

__all__ = ["Piece", "dumps", "loads", "read_piece_file"]
