"""Parameters as they are declared: each has its limits, its words, and a default that keeps them."""

from __future__ import annotations

import pytest
from strategies import declared_groups

from core.catalogue import entries
from core.errors import ParameterError
from core.fields import Size, fields_of, plain, read, read_field, schema, style_of, walk
from core.piece import Piece

UNITS = {"length": "mm", "angle": "°", "mass": "kg", "size": "mm"}
FOLDERS = ("build.insides", "build.joints", "build.panels", "build.supports", "build.tops")


GROUPS = declared_groups(Piece)
FIELDS = {f"{name}.{field.name}": field for name, group in GROUPS.items() for field in fields_of(group)}


def test_the_open_folders_all_have_entries() -> None:
    """Each folder of ways to build something holds at least one way, and a piece file can name it."""
    for folder in FOLDERS:
        assert entries(folder)
        assert all(entry.__name__ in GROUPS for entry in entries(folder).values())


@pytest.mark.parametrize("path", FIELDS)
def test_every_parameter_says_what_it_is(path: str) -> None:
    """Label and help are there, begin with a capital or a figure, and the label is short enough for a panel."""
    field = FIELDS[path]
    for words in (field.label, field.help):
        assert words.strip() == words and words
        assert words[0].isupper() or words[0].isdigit() or words[0] == "s", words  # "sRGB" is a word of its standard
    assert len(field.label) <= 32
    assert not field.help.endswith(".")


@pytest.mark.parametrize("path", [path for path, field in FIELDS.items() if field.kind in UNITS])
def test_every_measure_has_its_unit(path: str) -> None:
    """Lengths are mm, angles degrees, masses kg."""
    assert FIELDS[path].unit == UNITS[FIELDS[path].kind]


@pytest.mark.parametrize("path", [path for path, field in FIELDS.items() if field.is_number])
def test_every_number_has_limits_that_its_default_keeps(path: str) -> None:
    """Low below high, and the default between them."""
    field = FIELDS[path]
    assert field.low is not None and field.high is not None
    assert field.low < field.high
    assert field.low <= field.default <= field.high


@pytest.mark.parametrize("path", [path for path, field in FIELDS.items() if field.is_number])
def test_every_limit_is_kept_to_the_last_step(path: str) -> None:
    """Both limits are allowed; what lies beyond them is refused with parameter, value and limit in the message."""
    field = FIELDS[path]
    step = 1 if field.kind == "count" else 0.25
    assert read_field(field, field.low, path) == field.low
    assert read_field(field, field.high, path) == field.high
    for value in (field.low - step, field.high + step):
        with pytest.raises(ParameterError) as refused:
            read_field(field, value, path)
        assert refused.value.field == path
        for words in (path, f"{value:g}", f"{field.low:g}", f"{field.high:g}"):
            assert words in str(refused.value)


@pytest.mark.parametrize("name", GROUPS)
def test_labels_are_unique_within_a_group(name: str) -> None:
    """Two parameters of one group never read the same on a panel."""
    labels = [field.label for field in fields_of(GROUPS[name])]
    assert len(set(labels)) == len(labels)


@pytest.mark.parametrize("name", GROUPS)
def test_reading_the_plain_form_of_a_default_gives_the_default(name: str) -> None:
    """Nothing is lost or changed between a group and its plain data, and an empty table is the default."""
    group = GROUPS[name]
    if group is not Piece:  # the whole is checked as a whole, by the piece files' tests
        assert read(group, {}) == group()
    made = plain(group())
    made.pop("style", None)
    assert read(group, made) == group()
    assert list(made) == [field.name for field in fields_of(group)]


@pytest.mark.parametrize("folder", FOLDERS)
def test_entries_of_an_open_folder_say_their_word_and_label(folder: str) -> None:
    """The word in the file is one of small letters; the label begins with a capital; both are unique in the folder."""
    found = entries(folder)
    assert list(found) == sorted(found)
    for word, entry in found.items():
        assert word == entry.style and word.replace("_", "").isalpha() and word.islower()
        assert entry.label[0].isupper()
        assert style_of(entry()) == word
    labels = [entry.label for entry in found.values()]
    assert len(set(labels)) == len(labels)


@pytest.mark.parametrize("path", [path for path, field in FIELDS.items() if field.kind == "choice"])
def test_choices_have_a_word_and_a_label(path: str) -> None:
    """Each choice has its own word and its own label, and the default is one of them."""
    field = FIELDS[path]
    words, labels = zip(*field.choices, strict=True)
    assert len(set(words)) == len(words) >= 2
    assert len(set(labels)) == len(labels) and all(labels)
    assert field.default in words


def test_a_size_of_a_division_is_said_in_three_ways() -> None:
    """Fixed in mm, a share, or the rest; never two at once, never nothing."""
    field = FIELDS["Compartment.size"]
    assert read_field(field, {"fixed": 450}, "size") == Size("fixed", 450.0)
    assert read_field(field, {"share": 2}, "size") == Size("share", 2.0)
    assert read_field(field, {"rest": True}, "size") == Size("rest", 1.0)
    for wrong in ({}, {"fixed": 450, "share": 1}, {"half": 1}, 450, None, [450]):
        with pytest.raises(ParameterError, match="fixed"):
            read_field(field, wrong, "size")
    for wrong, limit in (
        ({"rest": False}, "true"),
        ({"fixed": 1}, "10"),
        ({"fixed": 6000}, "5000"),
        ({"share": 0}, "0.01"),
    ):
        with pytest.raises(ParameterError, match=limit):
            read_field(field, wrong, "size")


def test_walking_a_piece_meets_every_single_parameter_once() -> None:
    """A path for each; lists are counted from 0; groups and variants are opened."""
    paths = [path for path, _, _ in walk(Piece())]
    assert len(set(paths)) == len(paths)
    assert {"whole.width", "boards[1].thickness", "layout[0].id", "carcass.back.rebate_depth", "support.glide"} <= set(
        paths
    )


def test_the_schema_names_every_parameter_with_its_words_and_limits() -> None:
    """What a reader of the schema sees is what the declaration says."""
    for name, group in GROUPS.items():
        described = schema(group)["properties"]
        for field in fields_of(group):
            about = described[field.name]
            assert about["title"] == field.label and about["description"].startswith(field.help), f"{name}.{field.name}"
            if field.is_number:
                assert (about["minimum"], about["maximum"]) == (field.low, field.high)
