"""Drawings once looked at stay right: every sheet beside the small picture that was kept of it."""

import numpy as np
import pytest
from rasters import FOLDER, PIECES, differences, differing, pictures_of


@pytest.mark.soak  # every change of a page asks for a look and an --accept, which is for the end of a piece of work
@pytest.mark.parametrize("name", PIECES)
def test_sheets_are_as_they_were_looked_at(name):
    """No sheet differs from its kept picture; look at what changed, then run tests/rasters.py --accept."""
    assert differing(name) == {}, "look at these sheets, then: PYTHONPATH=. .venv/bin/python tests/rasters.py --accept"


def test_the_comparison_bites():
    """A line drawn across a sheet, one sheet gone, one more: each is told."""
    now = pictures_of(PIECES[-1])
    title, *others = now
    changed = now[title].copy()
    changed[len(changed) // 2, :] = 0
    then = {name: now[name] for name in others[1:]} | {title: changed, "an old sheet": changed}
    found = differences(now, then)
    assert found.keys() == {title, others[0], "an old sheet"}
    assert found[others[0]] == "new" and found["an old sheet"] == "gone" and "dots differ" in found[title]
    assert differences(now, now) == {}
    assert all(len(np.unique(picture)) > 3 for picture in now.values())


def test_pictures_are_small():
    """All that is kept is less than 1.5 MB, and nothing is kept of pieces that are not compared."""
    paths = list(FOLDER.rglob("*.png"))
    assert sum(path.stat().st_size for path in paths) < 1_500_000
    assert {path.parent.name for path in paths} == {name.split()[1] for name in PIECES}
