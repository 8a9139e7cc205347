"""Runs the walk through the add-on in the Blender window that `.ci/run` opens: the checkout is /repo there, what is seen lands in /io."""

import runpy
import sys
from pathlib import Path

newest = max(Path("/repo/dist").glob("*-linux-x64.zip"), key=lambda path: path.stat().st_mtime)
sys.argv = ["blender", "--", str(newest), "/io"]
runpy.run_path("/repo/tests/window/shots.py", run_name="__main__")
