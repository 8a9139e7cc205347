"""Runs the walks through the add-on in the Blender window that `.ci/run` opens: the checkout is /repo there, what is seen lands in /io."""

import sys
from pathlib import Path

newest = max(Path("/repo/dist").glob("*-linux-x64.zip"), key=lambda path: path.stat().st_mtime)
sys.argv = ["blender", "--", str(newest), "/io"]
sys.path.insert(0, "/repo/tests/window")

import actions  # noqa: E402
import shots  # noqa: E402

shots.go(shots.steps, actions.steps)
