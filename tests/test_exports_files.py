"""Files are written whole or not at all, and what goes wrong is one line that names the path."""

import os
import stat
from pathlib import Path

import pytest

from core.errors import OutputError, PieceError
from core.exports import files
from core.exports.files import make_folder, write_all, write_bytes, write_text


def leftovers(folder):
    return sorted(path.name for path in folder.iterdir())


def test_contents_arrive(tmp_path):
    """What is written is what is read, and nothing else is left in the folder."""
    write_bytes(tmp_path / "plan.pdf", b"%PDF")
    write_text(tmp_path / "list.csv", "½ × Ø\r\n")
    assert (tmp_path / "plan.pdf").read_bytes() == b"%PDF"
    assert (tmp_path / "list.csv").read_bytes() == "½ × Ø\r\n".encode()
    assert leftovers(tmp_path) == ["list.csv", "plan.pdf"]


@pytest.mark.parametrize("step", ["fsync", "chmod", "replace"])
def test_old_file_survives_a_failure(tmp_path, monkeypatch, step):
    """When writing fails at any step, the old file is untouched and no half-written one remains."""
    place = tmp_path / "plan.pdf"
    place.write_bytes(b"old")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, step, full)
    with pytest.raises(OutputError, match="no space left on device") as caught:
        write_bytes(place, b"new")
    assert str(place) in str(caught.value) and "\n" not in str(caught.value)
    assert place.read_bytes() == b"old" and leftovers(tmp_path) == ["plan.pdf"]


def test_interruption_leaves_nothing_behind(tmp_path, monkeypatch):
    """Ctrl-C while writing leaves the folder as it was and is not swallowed."""

    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(files.os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_bytes(tmp_path / "plan.pdf", b"new")
    assert leftovers(tmp_path) == []


def test_all_or_none(tmp_path):
    """Of several files none is put in place when one of them cannot be written."""
    good, bad = tmp_path / "a.csv", tmp_path / "missing" / "b.csv"
    with pytest.raises(OutputError, match=r"b\.csv: cannot be written"):
        write_all({good: b"a", bad: b"b"})
    assert leftovers(tmp_path) == []


def test_folder_in_the_way(tmp_path):
    """A folder where the file should be is named as what is wrong."""
    with pytest.raises(OutputError, match="it is a folder") as caught:
        write_bytes(tmp_path, b"x")
    assert isinstance(caught.value, PieceError) and isinstance(caught.value, OSError)


def test_path_with_line_break_is_one_line(tmp_path):
    """Even a path with a line end in it gives a message of one line."""
    with pytest.raises(OutputError) as caught:
        write_bytes(tmp_path / "no\nsuch" / "file", b"x")
    assert "\n" not in str(caught.value)


@pytest.mark.skipif(os.name == "nt", reason="Windows has other permissions and links")
def test_modes_and_links(tmp_path):
    """A new file has the usual permissions, an old one keeps its own, and a link stays a link."""
    before = os.umask(0o022)
    try:
        write_bytes(tmp_path / "new", b"x")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o644
    (tmp_path / "new").chmod(0o600)
    (tmp_path / "link").symlink_to(tmp_path / "new")
    write_bytes(tmp_path / "link", b"y")
    assert (tmp_path / "link").is_symlink() and (tmp_path / "new").read_bytes() == b"y"
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o600


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_devices_are_written_to(tmp_path):
    """A device is written straight to, and its refusal is told like any other."""
    write_bytes("/dev/null", b"x")
    with pytest.raises(OutputError, match="/dev/full: cannot be written: no space left"):
        write_bytes("/dev/full", b"x")


def test_folders_are_made(tmp_path):
    """Folders are made with those above them; a file in the way is told by its path."""
    assert make_folder(tmp_path / "out" / "pack").is_dir()
    write_bytes(tmp_path / "out" / "file", b"")
    with pytest.raises(OutputError, match="file"):
        make_folder(tmp_path / "out" / "file" / "pack")
