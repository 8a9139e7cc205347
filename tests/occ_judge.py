"""Asks Open CASCADE, in an environment of its own, which lines of solids are visible."""

from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from core.drawing.views import View
from core.solids.mesh import Mesh

ROOT = Path(__file__).resolve().parents[1]
PYTHON = next(
    (
        ROOT / ".venv-occ" / place
        for place in ("bin/python", "Scripts/python.exe")
        if (ROOT / ".venv-occ" / place).exists()
    ),
    None,
)
MISSING = "Open CASCADE is not here; `python3 build.py soak` fetches it"


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What it draws from one direction, (k, 2, 2) mm, and the seconds by facets and, where asked for, exactly."""

    lines: np.ndarray
    facets: float
    exact: float


def visible(meshes: Sequence[Mesh], views: Sequence[View], timed: bool = False) -> tuple[float, list[Seen]]:
    """The seconds that it took to read the solids, and what it draws from each direction."""
    scene = {
        "solids": np.array(len(meshes)),
        "toward": np.array([view.direction for view in views], float),
        "right": np.array([view.axes[0] for view in views], float),
        "timed": np.array(timed),
    }
    for number, mesh in enumerate(meshes):
        scene |= {f"{name}{number}": getattr(mesh, name) for name in ("vertices", "edges", "edge_faces", "normals")}
    with tempfile.TemporaryDirectory() as folder:
        given, found = Path(folder) / "scene.npz", Path(folder) / "found.npz"
        np.savez(given, **scene)
        subprocess.run([PYTHON, Path(__file__).with_name("occ_lines.py"), given, found], check=True)
        with np.load(found) as data:
            seen = [
                Seen(data[f"lines{n}"], float(data[f"facets{n}"]), float(data[f"exact{n}"]) if timed else 0.0)
                for n in range(len(views))
            ]
            return float(data["reading"]), seen
