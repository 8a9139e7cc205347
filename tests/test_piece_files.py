"""Piece files and job files: what is written can be read again, and whatever is wrong is said in one clear line."""

from __future__ import annotations

import copy
import dataclasses
import json
import os
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from examples import DEMO, EXAMPLES, FILES, example_piece, example_text
from hypothesis import given, settings
from strategies import piece_data

import core
from core.errors import FileError, ParameterError, PieceError
from core.fields import plain, walk
from core.piece import Piece, dumps, loads
from core.piece.files import DEEPEST, LARGEST, piece_schema
from core.piece.job import Job, read_job

DATA: dict[str, Any] = json.loads(example_text(DEMO))
SCHEMA = jsonschema.Draft202012Validator(piece_schema(), format_checker=jsonschema.FormatChecker())


def changed(path: str, value: Any) -> dict[str, Any]:
    """The demo's plain data with one value put in at a path such as "fronts[0].gaps.side"."""
    data = copy.deepcopy(DATA)
    *way, last = [int(step[1:-1]) if step.startswith("[") else step for step in re.findall(r"\[\d+\]|[^.\[\]]+", path)]
    held = data
    for step in way:
        held = held[step]
    held[last] = value
    return data


def without(key: str) -> dict[str, Any]:
    """The demo's plain data without one of its keys."""
    return {name: value for name, value in DATA.items() if name != key}


def text(data: Any) -> bytes:
    return json.dumps(data).encode()


def replaced(old: str, new: str) -> bytes:
    """The demo's text with one string replaced."""
    assert old in example_text(DEMO)
    return example_text(DEMO).replace(old, new, 1).encode("utf-8", "surrogatepass")


def nested(depth: int) -> bytes:
    return b'{"format": "muntin piece", "schema": 1, "layout": ' + b"[" * depth + b"]" * depth + b"}"


LAYOUT_LOOP = changed(
    "layout",
    [
        *DATA["layout"][:1],
        {**DATA["layout"][1], "parent": "b", "id": "a", "divided": "rows"},
        {**DATA["layout"][1], "parent": "a", "id": "b", "divided": "rows"},
    ],
)
TWO_ROOTS = changed("layout", [*DATA["layout"], {"id": "second", "parent": ""}])

# ---------------------------------------------------------------------------------------------------------- broken files
BROKEN: dict[str, tuple[bytes, tuple[str, ...]]] = {  # what is wrong: the file's bytes, words that the line must hold
    "empty": (b"", ("not JSON", "line 1")),
    "only a byte order mark": (b"\xef\xbb\xbf", ("not JSON",)),
    "not JSON": (b"width: 1150", ("not JSON", "line 1", "column 1")),
    "cut off in the middle": (example_text(DEMO).encode()[:2000], ("not JSON", "line")),
    "UTF-16": (example_text(DEMO).encode("utf-16"), ("not UTF-8", "byte 0")),
    "Latin-1": (example_text(DEMO).replace("Sage", "Salbeigrün", 1).encode("latin-1"), ("not UTF-8", "byte")),
    "null": (b"null", ("table in braces",)),
    "a list at the top": (b"[]", ("table in braces",)),
    "a number at the top": (b"1150", ("table in braces",)),
    "an empty table": (b"{}", ("format", "muntin piece", "null")),
    "another format": (text({**DATA, "format": "muntin quotation"}), ("format", "muntin quotation")),
    "no schema": (text(without("schema")), ("schema", "null")),
    "schema as text": (text({**DATA, "schema": "1"}), ("schema", '"1"')),
    "a newer schema": (text({**DATA, "schema": 99}), ("newer version", "99", "left as it is")),
    "schema nought": (text({**DATA, "schema": 0}), ("schema", "0")),
    "a key twice": (replaced('"width": 1150', '"width": 1150, "width": 1100'), ('"width"', "twice")),
    "a key with a line break twice": (replaced('"width": 1150', '"a\\nb": 1, "a\\nb": 2'), ("a?b", "twice")),
    "NaN": (replaced('"width": 1150', '"width": NaN'), ("NaN",)),
    "Infinity": (replaced('"width": 1150', '"width": Infinity'), ("Infinity",)),
    "minus Infinity": (replaced('"width": 1150', '"width": -Infinity'), ("-Infinity",)),
    "a number beyond all floats": (replaced('"width": 1150', '"width": 1e999'), ("whole.width", "inf", "4000")),
    "a number of 5000 digits": (replaced('"width": 1150', '"width": ' + "9" * 5000), ("whole.width", "digits", "4000")),
    "a count of 5000 digits": (replaced('"quantity": 3', '"quantity": -' + "9" * 5000), ("holds[0].quantity", "digits", "20")),
    "a schema of 5000 digits": (replaced('"schema": 1', '"schema": ' + "9" * 5000), ("newer version",)),
    "nested a hundred thousand deep": (nested(100_000), ("deep", str(DEEPEST))),
    "nested a little too deep": (nested(DEEPEST + 1), ("deep", str(DEEPEST))),
    "wrong type: text for a length": (text(changed("whole.width", "wide")), ("whole.width", '"wide"', "200", "4000")),
    "wrong type: a list for a length": (text(changed("whole.depth", [560])), ("whole.depth", "a list", "1200")),
    "wrong type: true for a length": (text(changed("whole.depth", True)), ("whole.depth", "true")),
    "wrong type: null for a length": (text(changed("whole.height", None)), ("whole.height", "null")),
    "wrong type: a length for a group": (text(changed("carcass.back", 6)), ("carcass.back", "6", "table")),
    "wrong type: a table for a list": (text(changed("boards", {})), ("boards", "list", "a table")),
    "wrong type: a number for text": (text(changed("whole.name", 12)), ("whole.name", "12", "text")),
    "wrong type: text for yes or no": (text(changed("fronts[0].stop", "yes")), ("fronts[0].stop", '"yes"', "true or false")),
    "half a hinge": (text(changed("fronts[0].hanging.hinges", 2.5)), ("fronts[0].hanging.hinges", "2.5", "whole number")),
    "negative": (text(changed("boards[0].thickness", -18)), ("boards[0].thickness", "-18", "between 1 and 120 mm")),
    "absurdly large": (text(changed("whole.height", 10**9)), ("whole.height", "1000000000", "3000 mm")),
    "just too large": (text(changed("whole.width", 4000.1)), ("whole.width", "4000.1", "4000 mm")),
    "an unknown key": (text({**DATA, "colour_of_the_moon": 1}), ("colour_of_the_moon", "not a parameter")),
    "a misspelt key": (text(changed("whole.widht", 1150)), ("whole.widht", 'did you mean "width"?')),
    "a key with lone surrogates": (replaced('"basis":', '"\\ud800\\udfff\\udc00":'), ("whole.", "not a parameter")),
    "a misspelt choice": (text(changed("fronts[0].kind", "piar")), ("fronts[0].kind", '"piar"', 'did you mean "pair"?')),
    "an unknown style": (text(changed("support", {"style": "wheels"})), ("support.style", '"wheels"', "stile_legs")),
    "a style without its word": (text(changed("top", {"lip": 25})), ("top", '"style"', "loose_cornice")),
    "a parameter of another style": (text(changed("support", {"style": "glides", "laminations": 2})), ("support.laminations", "not a parameter")),
    "a lone surrogate": (replaced("Coat cupboard for", "Coat \\ud83d cupboard for"), ("whole.name", "cannot be printed")),
    "a control character": (text(changed("record.client", "Bell \u0007")), ("record.client", "cannot be printed", "?")),
    "an escape of the C1 set": (text(changed("record.client", "a \u009b31m b")), ("record.client", "cannot be printed")),
    "text that is too long": (text(changed("whole.name", "long " * 100)), ("whole.name", "500", "200")),
    "an id with spaces": (text(changed("layout[1].id", "the drawer")), ("layout[1].id", '"the drawer"', "small letters")),
    "a colour by name": (text(changed("finish.schemes[0].coats[0].colour", "sage")), ("colour", '"sage"', "#8a9a7b")),
    "a day that is none": (text(changed("record.date", "2026-02-30")), ("record.date", '"2026-02-30"')),
    "a day in another form": (text(changed("record.date", "20261124")), ("record.date", '"20261124"', "2026-11-24")),
    "a size in two ways": (text(changed("layout[1].size", {"fixed": 220, "share": 1})), ("layout[1].size", "fixed")),
    "too many boards": (text(changed("boards", DATA["boards"] * 6)), ("boards", "42", "40")),
    "a layout that is a loop": (text(LAYOUT_LOOP), ("layout[1].parent", '"a"', "within itself")),
    "two whole carcasses": (text(TWO_ROOTS), ("layout", "exactly one", "2")),
    "no layout": (text(changed("layout", [])), ("layout", "exactly one", "0")),
    "an unknown parent": (text(changed("layout[1].parent", "attic")), ("layout[1].parent", '"attic"')),
    "two compartments of one id": (text(changed("layout[4].id", "coats")), ("layout", '"coats"')),
    "divided into one": (text(changed("layout[4].divided", "rows")), ("layout[4]", '"shelves"')),
    "an unknown compartment": (text(changed("fronts[0].closes", ["attic"])), ("fronts[0].closes", '"attic"')),
    "a front that closes nothing": (text(changed("fronts[0].closes", [])), ("fronts[0].closes", "no compartment")),
    "two fronts over one compartment": (text(changed("fronts[1].closes", ["coats"])), ("fronts[1].closes", '"coats"', '"doors"')),
    "two fronts of one id": (text(changed("fronts[1].id", "doors")), ("fronts[1].id", '"doors"')),
    "an id that parts bear": (text(changed("fronts[1].id", "cornice")), ("fronts[1].id", '"cornice"')),
    "an unknown scheme": (text(changed("finish.shown", "midnight")), ("finish.shown", '"midnight"')),
    "an unknown board": (text(changed("carcass.board", "mdf-19")), ("carcass.board", '"mdf-19"', "mdf-18")),
    "an unknown material": (text(changed("boards[0].material", "mfd")), ("boards[0].material", '"mfd"', '"mdf"')),
    "an unknown fitting": (text(changed("fronts[0].hanging.hinge", "hinge-but-75")), ("fronts[0].hanging.hinge", '"hinge-but-75"', '"hinge-butt-75"')),
    "a knob for a hinge": (text(changed("fronts[0].hanging.hinge", "knob-34")), ("fronts[0].hanging.hinge", '"knob-34"', "knob", "hinge")),
    "a board that no dowel suits": (text(changed("boards[0].thickness", 40)), ("carcass.board", "40", "30")),
    "no room inside": (text(changed("whole.width", 200)), ("whole.width", "200 mm", "94 mm", "100")),
    "a runner that is too long": (text(changed("fronts[1].drawer.runner", "runner-wide-500")), ("fronts[1].drawer.runner", "500", "501")),
    "a measured value far from the design": (text(changed("measured", [{"what": "opening.doors.width", "value": 900}])), ("measured[0].value", "900", "1044")),
}  # fmt: skip


def refusal(path: Path) -> PieceError:
    """What a file is refused with, while it is read or while it is built."""
    with pytest.raises(PieceError) as refused:
        for item in read_job([str(path)]).items:
            core.build(item.piece)
    return refused.value


@pytest.mark.parametrize("what", BROKEN)
def test_a_broken_file_is_refused_in_one_clear_line(what: str, tmp_path: Path) -> None:
    """One line that names the parameter, its value and the limit, where the fault has them."""
    path = tmp_path / "piece.json"
    path.write_bytes(BROKEN[what][0])
    line = str(refusal(path))
    assert "\n" not in line and line.isprintable()
    assert len(line) < 500
    for words in BROKEN[what][1]:
        assert words in line, line
    line.encode("utf-8")


@pytest.mark.parametrize("what", BROKEN)
def test_the_command_line_says_the_same_with_the_file_s_name_and_status_2(
    what: str, tmp_path: Path, capsys: pytest.CaptureFixture
) -> None:
    """`python -m core parts FILE` writes that line to standard error, nothing else, and ends with 2."""
    path = tmp_path / "piece.json"
    path.write_bytes(BROKEN[what][0])
    main = pytest.importorskip("core.__main__").main
    assert main(["parts", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1 and err.endswith("\n")
    assert "piece.json" in err, err
    for words in BROKEN[what][1]:
        assert words in err, err


def test_a_file_that_is_refused_is_left_as_it_is(tmp_path: Path) -> None:
    """A newer file is not touched."""
    path = tmp_path / "piece.json"
    path.write_bytes(BROKEN["a newer schema"][0])
    refusal(path)
    assert path.read_bytes() == BROKEN["a newer schema"][0]


def test_a_missing_file_a_folder_and_a_file_of_100_mb(tmp_path: Path) -> None:
    """Each is told by name; a large one is not read into memory."""
    for path, words in ((tmp_path / "none.json", "no such file"), (tmp_path, "folder")):
        assert words in str(refusal(path)) and str(path) in str(refusal(path))
    large = tmp_path / "large.json"
    with large.open("wb") as file:
        file.truncate(100_000_000)  # sparse: it takes no room on the disc
    line = str(refusal(large))
    assert "100.0 MB" in line and f"{LARGEST / 1e6:g} MB" in line and "large.json" in line


@pytest.mark.skipif(sys.platform == "win32", reason="there is no /dev/zero")
def test_a_file_without_an_end_is_refused() -> None:
    """What a file says of its size is not believed."""
    assert "MB" in str(refusal(Path("/dev/zero")))


@pytest.mark.skipif(
    sys.platform == "win32" or getattr(os, "geteuid", lambda: 1)() == 0, reason="root may read everything"
)
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    """The system's reason is told."""
    path = tmp_path / "piece.json"
    path.write_text(example_text(DEMO), encoding="utf-8")
    path.chmod(0)
    assert "cannot be read" in str(refusal(path))


def test_a_byte_order_mark_is_no_fault() -> None:
    """Editors put one in front of UTF-8; the piece is the same."""
    assert loads(example_text(DEMO).encode("utf-8-sig").decode("utf-8-sig")) == example_piece(DEMO)


# ------------------------------------------------------------------------------------------------------------ round trip
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_piece_file_is_a_fixed_point(name: str) -> None:
    """What is written is what was read, to the last byte; every example is written out in full."""
    written = dumps(example_piece(name))
    assert written == example_text(name)
    assert loads(written) == example_piece(name)


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(piece_data())
def test_writing_and_reading_loses_nothing(data: dict[str, Any]) -> None:
    """dumps(loads(text)) is a fixed point for any piece, whatever was left out of its file."""
    try:
        piece = loads(json.dumps(data))
    except ParameterError:
        return
    written = dumps(piece)
    assert loads(written) == piece
    assert dumps(loads(written)) == written


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_value_is_written(name: str) -> None:
    """A default may change, a saved piece may not: no parameter is left to its default."""
    written = json.loads(dumps(example_piece(name)))
    for path, _, _ in walk(example_piece(name)):
        held = written
        for step in re.findall(r"\[\d+\]|[^.\[\]]+", path):
            held = held[int(step[1:-1])] if step.startswith("[") else held[step]
    assert list(written)[:3] == ["format", "schema", "id"]


def test_the_order_of_keys_in_a_file_means_nothing() -> None:
    """A file sorted by another program is the same piece, and is written in our order again."""
    shuffled = json.dumps(DATA, sort_keys=True)
    assert dumps(loads(shuffled)) == example_text(DEMO)


def test_the_text_is_what_one_writer_of_json_makes():
    """Sections written one by one, and remembered by value, give the text that the whole piece gives at once."""
    piece = loads(example_text(DEMO))
    for width in (1150, 1150.0, 1150.5, 1150):
        piece = dataclasses.replace(piece, whole=dataclasses.replace(piece.whole, width=width))
        data = {"format": "muntin piece", "schema": 1, **plain(piece)}
        assert dumps(piece) == json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def test_whole_numbers_are_written_as_such() -> None:
    """1150, not 1150.0; and 0.1 stays 0.1."""
    assert '"width": 1150,' in example_text(DEMO)
    assert '"thickness": 17.9,\n' in dumps(loads(json.dumps(changed("boards[0].thickness", 17.9))))


# ---------------------------------------------------------------------------------------------------------------- schema
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_json_schema_accepts_every_example(name: str) -> None:
    """An independent validator finds no fault."""
    assert not list(SCHEMA.iter_errors(json.loads(example_text(name))))


SINGLE = [
    what
    for what in BROKEN
    if what.startswith(("wrong type", "an unknown key", "a misspelt", "half", "negative", "absurdly", "just", "schema", "a newer"))
    or what in (
        "no schema", "another format", "an unknown style", "a style without its word", "a parameter of another style",
        "a control character", "an escape of the C1 set", "text that is too long", "an id with spaces", "a colour by name",
        "a day that is none", "a day in another form", "a size in two ways", "too many boards",
    )
]  # fmt: skip


@pytest.mark.parametrize("what", SINGLE)
def test_the_json_schema_refuses_what_the_reader_refuses(what: str) -> None:
    """A fault of one parameter alone is a fault of the schema too."""
    assert list(SCHEMA.iter_errors(json.loads(BROKEN[what][0])))


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(piece_data())
def test_the_json_schema_accepts_any_piece_that_can_be_read(data: dict[str, Any]) -> None:
    """Reader and schema come from one declaration."""
    try:
        piece = loads(json.dumps(data))
    except ParameterError:
        return
    assert not list(SCHEMA.iter_errors(json.loads(dumps(piece))))


# ------------------------------------------------------------------------------------------------------------------ jobs
def job(tmp_path: Path, **more: Any) -> Path:
    (tmp_path / "cupboard.json").write_text(example_text(DEMO), encoding="utf-8")
    path = tmp_path / "job.json"
    path.write_text(json.dumps({"format": "muntin job", "schema": 1, "name": "Hallway", **more}), encoding="utf-8")
    return path


def test_a_job_is_pieces_and_how_many_of_each(tmp_path: Path) -> None:
    """From files beside it or written into it, with the file that each came from."""
    inside = {key: value for key, value in DATA.items() if key not in ("format", "schema")}
    path = job(tmp_path, pieces=[{"file": "cupboard.json", "quantity": 2}, {"piece": inside}])
    found = read_job([str(path)])
    assert found.name == "Hallway"
    assert [item.quantity for item in found.items] == [2, 1]
    assert all(item.piece == example_piece(DEMO) for item in found.items)
    assert found.items[0].source.endswith("cupboard.json") and "job.json: pieces[1]" in found.items[1].source


def test_piece_files_and_job_files_may_be_mixed(tmp_path: Path) -> None:
    """On one command line, in order; the job is called after them all."""
    path = job(tmp_path, pieces=[{"file": "cupboard.json"}])
    found = read_job([str(FILES[DEMO]), str(path)])
    assert isinstance(found, Job) and len(found.items) == 2
    assert found.name == f"{DATA['whole']['name']}, Hallway"


BROKEN_JOBS: dict[str, tuple[Callable[[], dict[str, Any]], tuple[str, ...]]] = {
    "no pieces": (lambda: {}, ("pieces", "200")),
    "an empty list": (lambda: {"pieces": []}, ("pieces", "200")),
    "an unknown key": (lambda: {"pieces": [{"file": "cupboard.json"}], "price": 3}, ('"price"', "not a key")),
    "a name that is none": (lambda: {"pieces": [{"file": "cupboard.json"}], "name": 7}, ("name", "200")),
    "neither file nor piece": (lambda: {"pieces": [{"quantity": 1}]}, ("pieces[0]", '"file"')),
    "both file and piece": (lambda: {"pieces": [{"file": "cupboard.json", "piece": {}}]}, ("pieces[0]", '"file"')),
    "none of it": (lambda: {"pieces": [{"file": "cupboard.json", "quantity": 0}]}, ("pieces[0].quantity", "0", "1000")),
    "half of one": (lambda: {"pieces": [{"file": "cupboard.json", "quantity": 0.5}]}, ("pieces[0].quantity", "0.5")),
    "far too many": (lambda: {"pieces": [{"file": "cupboard.json", "quantity": 10**4200}]}, ("pieces[0].quantity", "digits")),
    "a missing file": (lambda: {"pieces": [{"file": "bookcase.json"}]}, ("bookcase.json", "no such file")),
    "a file elsewhere": (lambda: {"pieces": [{"file": "../cupboard.json"}]}, ("pieces[0].file", "outside")),
    "a file by its full path": (lambda: {"pieces": [{"file": "/etc/hostname"}]}, ("pieces[0].file", "outside")),
    "a name that no file can have": (lambda: {"pieces": [{"file": "a\u0000b"}]}, ("pieces[0].file", "not the name of a file")),
    "a file that is a number": (lambda: {"pieces": [{"file": 3}]}, ("pieces[0].file",)),
    "a job in a job": (lambda: {"pieces": [{"file": "job.json"}]}, ("job.json", "muntin piece", "muntin job")),
    "a piece that is broken": (lambda: {"pieces": [{"piece": {"whole": {"width": 9}}}]}, ("pieces[0]", "whole.width", "9")),
}  # fmt: skip


@pytest.mark.parametrize("what", BROKEN_JOBS)
def test_a_broken_job_is_refused_in_one_clear_line(what: str, tmp_path: Path) -> None:
    """The line names the job file or the piece file, the place in it, the value and the limit."""
    made, words = BROKEN_JOBS[what]
    sys.set_int_max_str_digits(0)
    try:
        path = job(tmp_path, **made())
    finally:
        sys.set_int_max_str_digits(sys.int_info.default_max_str_digits)
    with pytest.raises(FileError if what != "a piece that is broken" else ParameterError) as refused:
        read_job([str(path)])
    line = str(refused.value)
    assert "\n" not in line and "json" in line
    for each in words:
        assert each in line, line


def test_an_empty_piece_is_a_piece_of_defaults() -> None:
    """A file with nothing but its head gives the default of every parameter, and can be built."""
    piece = loads('{"format": "muntin piece", "schema": 1}')
    assert piece == Piece()
