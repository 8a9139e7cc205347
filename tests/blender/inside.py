"""Runs pytest inside Blender, whether it is a Python module or the program."""

import os
import sys

if os.environ.get("MUNTIN_PYTEST"):  # the program brings its own Python, which has no pytest
    sys.path.insert(0, os.environ["MUNTIN_PYTEST"])

import pytest

if __name__ == "__main__":
    words = sys.argv[sys.argv.index("--") + 1 :] if "--" in sys.argv else sys.argv[1:]
    sys.exit(int(pytest.main(words)))
