"""The command line: what it prints, where it writes, and how it ends."""

import csv
import dataclasses
import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
import trimesh

import core
from core.__main__ import main
from core.built import build_job, revision_of
from core.piece.job import read_job
from core.revisions.revision import revision_text

ROOT = Path(__file__).parent.parent
DEMO = str(ROOT / "docs" / "examples" / "coat_cupboard.json")
JOB = str(ROOT / "docs" / "examples" / "hallway_job.json")


def run(*words: str, **more) -> subprocess.CompletedProcess:
    """The command in a process of its own, as a person runs it."""
    return subprocess.run(
        [sys.executable, "-m", "core", *words], cwd=ROOT, capture_output=True, text=True, timeout=120, **more
    )


@pytest.fixture
def unsafe(tmp_path: Path) -> str:
    """A piece file with a stop finding: nothing holds it to the wall."""
    data = json.loads(Path(DEMO).read_text(encoding="utf-8"))
    data["carcass"]["stiffeners"]["anchor_rails"] = False
    path = tmp_path / "unsafe.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    return str(path)


def test_version_is_the_manifest_s():
    """`--version` prints the one version there is."""
    done = run("--version")
    assert done.returncode == 0
    assert done.stdout.strip() == f"Muntin {core.version()}"


def test_new_lists_the_kinds_and_writes_each(tmp_path, capsys):
    """Every kind that is listed can be started from, and its file loads again."""
    assert main(["new", "--list"]) == 0
    kinds = capsys.readouterr().out.split()
    assert "coat_cupboard" in kinds
    for kind in kinds:
        path = tmp_path / f"{kind}.json"
        assert main(["new", kind, "--out", str(path)]) == 0
        assert core.dumps(core.read_piece_file(path)) == path.read_text(encoding="utf-8")


def test_an_unknown_kind_is_refused_with_the_nearest(capsys):
    """A misspelt kind is status 2 and suggests the right word."""
    assert main(["new", "bokcase"]) == 2
    assert 'did you mean "bookcase"?' in capsys.readouterr().err


def test_parts_as_csv_and_json_say_the_same(capsys):
    """Both formats of the parts list hold the same marks and quantities."""
    assert main(["parts", DEMO]) == 0
    table = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert main(["parts", DEMO, "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert [(int(row["mark"]), int(row["quantity"])) for row in table] == [
        (part["mark"], part["quantity"]) for part in data["parts"]
    ]
    assert sum(part["quantity"] for part in data["parts"]) == 60


def test_a_job_file_is_read_like_a_piece(capsys):
    """A PIECE may be a job file."""
    assert main(["parts", JOB, "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)["job"] == "Library hallway and reading room"


def test_a_stop_finding_ends_with_status_1_and_stamps_what_is_written(unsafe, tmp_path, capsys):
    """Outputs are written and stamped while a stop finding exists."""
    assert main(["check", unsafe]) == 1
    assert "stop:" in capsys.readouterr().out
    assert main(["parts", unsafe]) == 1
    assert "DO NOT CUT: 1 stop finding" in capsys.readouterr().out
    assert main(["gltf", unsafe, "--out", str(tmp_path / "a.glb")]) == 1
    assert b"DO NOT CUT" in (tmp_path / "a.glb").read_bytes()
    assert main(["pack", unsafe, "--out", str(tmp_path / "papers")]) == 1
    assert (tmp_path / "papers" / "workshop_pack.pdf").exists()


def test_strict_writes_nothing_while_a_stop_finding_exists(unsafe, tmp_path):
    """With --strict a stop finding keeps the folder empty."""
    assert main(["pack", unsafe, "--out", str(tmp_path / "papers"), "--strict"]) == 1
    assert not (tmp_path / "papers").exists()


def test_gltf_has_a_node_for_every_part_and_lines_for_its_edges(tmp_path):
    """glTF nodes are named by keys, carry the part's data, and read back at the right size in metres, Y up."""
    out = tmp_path / "a.glb"
    assert main(["gltf", DEMO, "--out", str(out)]) == 0
    raw = out.read_bytes()
    size = int.from_bytes(raw[12:16], "little")
    data = json.loads(raw[20 : 20 + size])
    model = core.build(core.read_piece_file(DEMO))
    nodes = {node["name"]: node for node in data["nodes"]}
    assert {part.key for part in model.parts} <= set(nodes)
    assert nodes["carcass/side.left"]["extras"]["length"] == 1722
    for mesh in data["meshes"]:
        assert mesh["primitives"][0]["mode"] == 4
    lined = [mesh for mesh in data["meshes"] if len(mesh["primitives"]) == 2 and mesh["primitives"][1]["mode"] == 1]
    assert len(lined) > 40
    read = trimesh.load(out)
    assert read.bounds[1][1] == pytest.approx(1.9, abs=1e-6)
    assert read.extents[0] == pytest.approx(1.15, abs=1e-6)


def test_drawing_as_json_gives_the_projection_and_the_lines(capsys):
    """The rows of `view` are right, up and toward the viewer; every line names its part."""
    assert main(["drawing", DEMO, "--view", "front", "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["view"] == [[1, 0, 0], [0, 0, 1], [0, -1, 0]]
    xs = [x for line in data["lines"] for x, _ in line["points"]]
    ys = [y for line in data["lines"] for _, y in line["points"]]
    assert (min(xs), max(xs), min(ys), max(ys)) == pytest.approx((-575, 575, 0, 1900), abs=0.01)
    assert {"key", "kind", "points"} == set(data["lines"][0])


@pytest.mark.parametrize("format", ["svg", "pdf"])
def test_drawing_writes_svg_and_pdf(format, tmp_path):
    """Both paper formats are written whole."""
    out = tmp_path / f"a.{format}"
    assert main(["drawing", DEMO, "--view", "1,-1,0.6", "--apart", "1", "--format", format, "--out", str(out)]) == 0
    assert out.read_bytes()[:4] in (b"%PDF", b"<?xm", b"<svg")


COMMANDS = ("new", "parts", "check", "pack", "changes", "labels", "book", "gltf", "dxf", "drawing", "cut")
BAD = {
    "no command": [],
    "unknown command": ["frobnicate"],
    "missing piece": ["parts"],
    "no such file": ["parts", "nowhere.json"],
    "apart out of range": ["drawing", DEMO, "--apart", "1.5", "--format", "json"],
    "apart no number": ["drawing", DEMO, "--apart", "half", "--format", "json"],
    "apart not a number": ["drawing", DEMO, "--apart", "nan", "--format", "json"],
    "view unknown": ["drawing", DEMO, "--view", "back", "--format", "json"],
    "view of no length": ["drawing", DEMO, "--view", "0,0,0", "--format", "json"],
    "format unknown": ["drawing", DEMO, "--format", "dwg"],
}


@pytest.mark.parametrize("words", BAD.values(), ids=BAD.keys())
def test_bad_words_get_one_line_and_status_2(words, capsys):
    """What cannot be understood is said in one line on standard error."""
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("muntin: ") and said.err.count("\n") == 1


def said_of(words, capsys) -> str:
    """The one line that a command says when it refuses."""
    assert main(words) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    return said


def test_a_refusal_names_what_was_meant(tmp_path, capsys):
    """Rule: the line tells the file or the choice that is wrong, once, and no word of the program's own language."""
    (tmp_path / "empty.json").write_text("{}")
    (tmp_path / "shut.png").write_text("no picture")
    out = str(tmp_path / "x")
    folder, empty, picture = (str(tmp_path / name) for name in ("", "empty.json", "shut.png"))
    assert said_of(["check", folder], capsys) == f"muntin: {tmp_path}: is a folder, not a file\n"
    assert "give front, side, top" in said_of(["drawing", DEMO, "--format", "svg", "--view", "behind"], capsys)
    assert '"a" is not a whole number' in said_of(["labels", DEMO, "--out", out, "--first", "a"], capsys)
    assert said_of(["cut", empty], capsys) == f"muntin: {empty}: sheet: is missing; give [length, width]\n"
    (tmp_path / "stock.json").write_text('{"stock": [{"length": 2440}], "parts": []}')
    assert ": stock[0].size: is missing; give [" in said_of(["cut", str(tmp_path / "stock.json")], capsys)
    assert f"{picture}: is neither PNG nor JPEG" in said_of(["book", DEMO, "--out", out, "--logo", picture], capsys)
    assert f"{picture}: is neither PNG nor JPEG" in said_of(["book", DEMO, "--out", out, "--pictures", folder], capsys)


def test_a_picture_without_a_place_is_told(tmp_path, capsys):
    """Rule: a picture whose name the book does not know is named, with those that it knows; the book is written."""
    (tmp_path / "closed.png").write_text("never read")
    assert main(["book", DEMO, "--out", str(tmp_path / "a.pdf"), "--pictures", str(tmp_path)]) == 0
    said = capsys.readouterr().err
    assert "closed.png: the book has no place for it" in said and "shut, open, scheme.sage" in said


def test_a_pack_into_a_file_is_refused_at_once(tmp_path, capsys):
    """Rule: where a file stands instead of the folder nothing is planned or drawn first."""
    path = tmp_path / "file"
    path.write_text("in the way")
    assert main(["pack", DEMO, "--out", str(path)]) == 4
    assert capsys.readouterr().err == f"muntin: {path}: cannot be written: it is a file, and a pack is a folder\n"


def test_changes_tell_of_fittings_and_of_nothing(tmp_path, capsys):
    """Rule: what is bought besides is told too, and a job as it was is told to be so."""
    data = json.loads(Path(DEMO).read_text("utf-8"))
    (tmp_path / "revision.json").write_text(revision_text(revision_of(build_job(read_job([DEMO])))), encoding="utf-8")
    assert main(["changes", DEMO, "--since", str(tmp_path)]) == 0
    assert capsys.readouterr().out == "Coat cupboard for the library hallway: nothing changed; 60 parts\n"
    for front in data["fronts"]:
        front["handle"] = front["handle"].replace("knob-34", "knob-40")
    (tmp_path / "other.json").write_text(json.dumps(data), encoding="utf-8")
    assert main(["changes", str(tmp_path / "other.json"), "--since", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert "fittings and fastenings: -2 turned knob, diameter 34, oak; +2 turned knob, diameter 40, oak" in said


def test_a_pack_that_nobody_may_cut_from_is_not_silently_compared_with(tmp_path, capsys):
    """Rule: its revision bears another name; who names its folder is told so, and how to have it all the same."""
    stamped = tmp_path / "DO_NOT_CUT_revision.json"
    stamped.write_text(revision_text(revision_of(build_job(read_job([DEMO])))), encoding="utf-8")
    assert main(["changes", DEMO, "--since", str(tmp_path)]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and "this pack says DO NOT CUT" in said and stamped.name in said
    assert main(["changes", DEMO, "--since", str(stamped)]) == 0


def test_every_word_of_a_command_is_explained(capsys):
    """Rule: the help of a command says of each of its words what it does."""
    for command in COMMANDS:
        assert main([command, "--help"]) == 0
        for line in re.split(r"\n  (?=\S)", capsys.readouterr().out.partition("\n\n")[2])[1:]:
            assert re.search(r"^\S.*?(\s{2,}|\n\s+)\S", line, re.DOTALL), f"{command}: {line}"


def test_one_finding_is_told_as_one(monkeypatch, capsys):
    """Rule: a number of findings is told in words that agree with it."""

    def with_one(*words, **more):
        job = build_job(*words, **more)
        return dataclasses.replace(
            job, pieces=tuple(dataclasses.replace(each, findings=each.findings[:1]) for each in job.pieces)
        )

    monkeypatch.setattr("core.__main__.build_job", with_one)
    main(["check", DEMO])
    assert capsys.readouterr().out.startswith("Coat cupboard for the library hallway: 1 finding\n")


def test_a_folder_that_cannot_be_written_is_status_4(tmp_path, capsys):
    """A path under a file cannot be a folder; one line says so."""
    (tmp_path / "file").write_text("in the way")
    assert main(["gltf", DEMO, "--out", str(tmp_path / "file" / "a.glb")]) == 4
    assert "file" in capsys.readouterr().err


def test_an_interruption_ends_with_130(monkeypatch, capsys):
    """Ctrl-C is status 130 and one line."""

    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("core.__main__.read_job", interrupted)
    assert main(["parts", DEMO]) == 130
    assert "interrupted" in capsys.readouterr().err


def test_an_error_of_ours_is_status_3_and_one_line(monkeypatch, capsys):
    """A defect is never a traceback."""

    def broken(*_):
        raise RuntimeError("two\nlines")

    monkeypatch.setattr("core.__main__.build_job", broken)
    assert main(["parts", DEMO]) == 3
    assert capsys.readouterr().err.count("\n") == 1


def test_the_same_input_gives_the_same_bytes(tmp_path):
    """Two processes with other hash seeds write the same model."""
    for seed in ("1", "2"):
        run("gltf", DEMO, "--out", str(tmp_path / f"{seed}.glb"), env={**os.environ, "PYTHONHASHSEED": seed})
    assert (tmp_path / "1.glb").read_bytes() == (tmp_path / "2.glb").read_bytes()
