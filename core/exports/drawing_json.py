"""A drawing as plain data: the visible pieces of every edge, in millimetres in the projection plane."""

from __future__ import annotations

import json

from ..drawing.hidden_lines import visible_lines
from ..drawing.views import View
from ..meshes import model_meshes
from ..model import Model

DECIMALS = 4  # of a millimetre


def drawing_json(model: Model, view: View, stamp: str = "") -> str:
    """{"view": rows right, up, toward the viewer; "lines": [{"key", "kind", "points"}]}."""
    meshes = model_meshes(model)
    keys = list(meshes)
    lines = visible_lines(list(meshes.values()), view)
    listed = [
        {"key": keys[solid], "kind": lines.kind_words[kind], "points": [[round(x, DECIMALS) + 0.0, round(y, DECIMALS) + 0.0] for x, y in points]}
        for points, solid, kind in zip(lines.points.tolist(), lines.solid.tolist(), lines.kind.tolist())
    ]
    rows = [[round(float(c), 9) + 0.0 for c in row] for row in view.axes]
    data = {**({"stamp": stamp} if stamp else {}), "view": rows, "lines": listed}
    return json.dumps(data, ensure_ascii=False) + "\n"
