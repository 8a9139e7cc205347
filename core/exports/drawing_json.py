"""A drawing as plain data: the visible pieces of every edge, in millimetres in the projection plane."""

from __future__ import annotations

import json

from ..drawing.hidden_lines import visible_lines
from ..drawing.perspective import FLAT, Perspective
from ..drawing.views import View
from ..meshes import model_meshes
from ..model import Model

DECIMALS = 4  # of a millimetre


def drawing_json(model: Model, view: View | Perspective, stamp: str = "") -> str:
    """{"view": rows right, up, toward the viewer; "lines": [{"key", "kind", "points"}]}.

    A perspective has also "eye" and "target", mm of the piece.
    """
    meshes = model_meshes(model)
    keys = list(meshes)
    near = {}
    solids = list(meshes.values())
    if isinstance(view, Perspective):
        near = {"eye": [round(c, 6) for c in view.eye], "target": [round(c, 6) for c in view.target]}
        lines = visible_lines([view.mesh(mesh) for mesh in solids], FLAT)
        view = view.view
    else:
        lines = visible_lines(solids, view)
    listed = [
        {
            "key": keys[solid],
            "kind": lines.kind_words[kind],
            "points": [[round(x, DECIMALS) + 0.0, round(y, DECIMALS) + 0.0] for x, y in points],
        }
        for points, solid, kind in zip(lines.points.tolist(), lines.solid.tolist(), lines.kind.tolist())
    ]
    rows = [[round(float(c), 9) + 0.0 for c in row] for row in view.axes]
    data = {**({"stamp": stamp} if stamp else {}), "view": rows, **near, "lines": listed}
    return json.dumps(data, ensure_ascii=False) + "\n"
