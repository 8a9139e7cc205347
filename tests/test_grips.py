"""What can be dragged: grips stand on the piece, and dragging one moves it and nothing else."""

import pytest

from core.build import build
from core.build.setting_out import set_out
from core.errors import ParameterError
from core.grips import grips, moved
from core.piece import loads, read_piece_file
from core.starters import starter_kinds, starter_text

DEMO = read_piece_file("docs/examples/coat_cupboard.json")


def by_key(piece):
    return {grip.key: grip for grip in grips(piece, build(piece).overall)}


def test_the_demo_piece_can_be_dragged_where_it_is_divided():
    """Overall sizes, the fixed shelf over the drawer, the upright between coats and shelves: sizes as on the rod."""
    found = by_key(DEMO)
    assert list(found) == ["width", "height", "depth", "between drawer+upper", "between coats+shelves"]
    assert [found[key].size for key in found] == [1150, 1900, 560, 220, 513]  # demo_parts: bay 513, drawer opening 220
    shelf, upright = found["between drawer+upper"], found["between coats+shelves"]
    assert shelf.at == (0.0, -534.0, 397.0) and shelf.along == (0, 0, 1)  # mid shelf 388 to 406
    assert upright.at == (0.0, -534.0, 1130.0) and upright.along == (1, 0, 0)  # half way up 406 to 1854
    assert (shelf.beyond, shelf.half, upright.beyond, upright.half) == (1448, 9, 513, 9)
    assert upright.name == "Upright between coats and shelves" and upright.path == "layout[3].size"


@pytest.mark.parametrize("kind", starter_kinds())
def test_a_grip_follows_the_hand_and_moves_nothing_else(kind):
    """Dragged by 10 mm a division moves by 10 mm, the others of its row stay; an overall size grows by as much."""
    piece = loads(starter_text(kind))
    before = by_key(piece)
    for key, grip in before.items():
        try:
            changed = moved(piece, key, grip.size - 10)
            after = by_key(changed)
        except ParameterError:
            continue
        assert after[key].size == pytest.approx(grip.size - 10)
        if key.startswith("between"):
            shift = [a - b for a, b in zip(after[key].at, grip.at, strict=True)]
            assert shift == pytest.approx([-10 * way for way in grip.along], abs=1e-6)
            assert after[key].beyond == pytest.approx(grip.beyond + 10)
            level = [
                inner
                for inner in after
                if inner.startswith("between") and after[inner].along == grip.along and inner != key
            ]
            same = [inner for inner in level if _parent(piece, inner) == _parent(piece, key)]
            assert all(after[inner].at == before[inner].at for inner in same)
        else:
            way = [a - b for a, b in zip(after[key].at, grip.at, strict=True)]
            along = sum(a * b for a, b in zip(way, grip.along, strict=True))
            assert along * grip.gain == pytest.approx(-10, abs=0.11)  # the carcass is set to 0.1 mm


def _parent(piece, key):
    first = key.removeprefix("between ").partition("+")[0]
    return next(each.parent for each in piece.layout if each.id == first)


def test_something_still_takes_what_is_left_over():
    """However often it is dragged, a division stays buildable at another width: not all of its parts are fixed."""
    piece = DEMO
    for key, size in (
        ("between coats+shelves", 480.0),
        ("between drawer+upper", 240.0),
        ("between coats+shelves", 530.5),
    ):
        piece = moved(piece, key, size)
    wider = set_out(moved(piece, "width", 1200.0))
    assert wider.rects["coats"].width == 530.5 and wider.rects["shelves"].width == 545.5  # 1 044 + 50 − 18 − 530.5
    assert wider.rects["drawer"].height == 240


def test_a_size_that_cannot_be_is_refused():
    """A division dragged over its neighbour leaves no room and says so; so does a key that is not there."""
    with pytest.raises(ParameterError, match="at least 40 mm"):
        set_out(moved(DEMO, "between coats+shelves", 1020.0))
    with pytest.raises(ParameterError, match="nothing can be dragged"):
        moved(DEMO, "between a+b", 100.0)


@pytest.mark.parametrize("key", ["width", "height", "depth"])
def test_an_overall_size_is_dragged_within_its_range(key):
    """A size that a piece file may not say is no piece either when it is dragged: what is kept could not be read again."""
    grip = by_key(DEMO)[key]
    assert grip.low < grip.size < grip.high
    assert getattr(moved(DEMO, key, grip.high).whole, key) == grip.high
    for beyond in (grip.low - 0.1, grip.high + 0.1):
        with pytest.raises(ParameterError, match=f"whole.{key}: .* out of range"):
            moved(DEMO, key, beyond)
