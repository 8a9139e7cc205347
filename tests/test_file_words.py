"""Words and files of earlier releases stay readable."""

import dataclasses
import json
from pathlib import Path

import pytest

from core.catalogue import entries
from core.fields import fields_of
from core.piece import Piece, dumps, read_piece_file
from core.workshop.workshop import Workshop

HERE = Path(__file__).parent
FROZEN = HERE / "references" / "words_schema_1.json"
CORPUS = sorted((HERE / "corpus").glob("*/*.json"))


def words_in_use() -> dict[str, list[str]]:
    """Every key, choice word and style word of a piece file and a workshop file, by the class that declares it."""
    words: dict[str, list[str]] = {}
    waiting: list[type] = [Piece, Workshop]
    while waiting:
        cls = waiting.pop()
        if cls.__name__ in words:
            continue
        words[cls.__name__] = []
        for field in fields_of(cls):
            words[cls.__name__].append(field.name)
            words[cls.__name__] += [f"{field.name}={word}" for word, _ in field.choices]
            if field.kind in ("group", "items") and dataclasses.is_dataclass(field.of):
                waiting.append(field.of)
            if field.kind == "variant":
                known = entries(field.folder)
                words[cls.__name__] += [f"{field.name}={style}" for style in known]
                waiting += known.values()
    return {name: sorted(set(found)) for name, found in sorted(words.items())}


def test_no_word_of_the_file_format_is_ever_taken_back():
    """A key or word that a release wrote is still read: the committed table is a part of what is in use."""
    frozen, now = json.loads(FROZEN.read_text(encoding="utf-8")), words_in_use()
    lost = {name: sorted(set(words) - set(now.get(name, []))) for name, words in frozen.items()}
    assert not {name: words for name, words in lost.items() if words}


def test_the_committed_table_is_complete():
    """A new word is entered in the table with the change that brings it: `python tests/test_file_words.py` writes it."""
    assert json.loads(FROZEN.read_text(encoding="utf-8")) == words_in_use()


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_files_of_every_release_still_load(path):
    """What was saved once loads for good, and is not changed by being saved again, but for what is new."""
    piece = read_piece_file(path)
    assert read_piece_file(path) == piece
    old, new = json.loads(path.read_text(encoding="utf-8")), json.loads(dumps(piece))
    assert _within(old, new)


def _within(old: object, new: object) -> bool:
    """Whether every value of the old file stands in the new one."""
    if isinstance(old, dict) and isinstance(new, dict):
        return all(key in new and _within(value, new[key]) for key, value in old.items() if key != "schema")
    if isinstance(old, list) and isinstance(new, list):
        return len(old) == len(new) and all(_within(a, b) for a, b in zip(old, new))
    return old == new


if __name__ == "__main__":
    FROZEN.write_text(json.dumps(words_in_use(), indent=1) + "\n", encoding="utf-8")
