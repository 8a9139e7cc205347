#!/usr/bin/env python3
"""One command for each chore of the project (first stage: setup only)."""

import hashlib
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent


def main():
    """Make `.venv` from requirements/tests.txt."""
    lock = ROOT / "requirements" / "tests.txt"
    subprocess.run([sys.executable, "-m", "venv", "--clear", ROOT / ".venv"], check=True)
    subprocess.run([ROOT / ".venv/bin/python", "-m", "pip", "install", "-q", "--require-hashes",
                    "--only-binary=:all:", "-r", lock], check=True)


main()
