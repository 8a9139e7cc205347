"""How far the visible lines of the demo piece agree with two outside judges, as tables.

    PYTHONPATH=. .venv/bin/python tests/line_report.py [--write] [reference] [cascade]

One judge is a brute-force reference, kept beside a checkout; the other is Open CASCADE in an environment of its own. Each view of the
piece, assembled and taken apart, is one row. One judge alone may be named. With `--write` the tables in `docs/lines.md` are written anew. It takes a quarter of an hour;
the same is asked, and must hold, in `python3 build.py soak`.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import occ_judge
from examples import DEMO, example_model
from line_judges import Agreement, agreement, reference
from line_stretches import Reason, Referee, alone

from core.drawing.explode import taken_apart
from core.drawing.hidden_lines import visible_lines
from core.drawing.views import View
from core.meshes import model_meshes
from core.solids.mesh import Mesh

SCENES = {"assembled": 0.0, "apart": 1.0}
NAMED = ("iso", "front", "side", "top", "dimetric")
CORNERS = tuple((x, y, z) for x in (-1.0, 1.0) for y in (-1.3, 1.3) for z in (-0.8, 0.8))
TOLD = 0.5  # mm; a stretch that one judge draws and we do not, or the other way, from which it is told why
PAGE = Path(__file__).resolve().parents[1] / "docs" / "lines.md"


@dataclass(frozen=True, slots=True)
class Compared:
    """Our lines beside another's, in mm: the length of ours, and the stretches that either has alone."""

    ours: float
    stretches: tuple[
        tuple[bool, float, bool, Reason], ...
    ]  # ours or not, mm, whether sight lines bear us out, what lies there
    rest: float  # mm of stretches too short to be told

    @property
    def against(self) -> list[tuple[bool, float, bool, Reason]]:
        """The stretches for which sight lines say that we are wrong."""
        return [stretch for stretch in self.stretches if not stretch[2]]

    @property
    def unexplained(self) -> list[tuple[bool, float, bool, Reason]]:
        """The stretches at which there is nothing that could have misled either."""
        return [stretch for stretch in self.stretches if stretch[3] is Reason.OPEN]

    @property
    def rest_share(self) -> float:
        """What is too short to be told, as a share of all."""
        return self.rest / self.ours

    def of(self, ours: bool) -> tuple[int, float]:
        """How many stretches one of the two has alone, and their length in mm."""
        sizes = [size for whose, size, _, _ in self.stretches if whose is ours]
        return len(sizes), sum(sizes)


def demo_meshes(amount: float) -> list[Mesh]:
    """The demo piece, `amount` of the way taken apart."""
    return list(model_meshes(taken_apart(example_model(DEMO), amount)).values())


def compared(meshes: Sequence[Mesh], view: View, theirs: np.ndarray) -> Compared:
    """Our lines beside another's, (k, 2, 2), of which only what lies on an edge that could be drawn counts: facets have lines too."""
    ours, referee = visible_lines(meshes, view).points, Referee(meshes, view)
    between = alone(theirs, referee.flat)
    extra, missed = alone(ours, theirs), alone(theirs, np.concatenate((ours, between)))
    told, rest = [], 0.0
    for whose, found in ((True, extra), (False, missed)):
        for stretch in found:
            size = float(np.hypot(*(stretch[1] - stretch[0])))
            if size <= TOLD:
                rest += size
                continue
            sight = referee.look(stretch)
            told.append((whose, size, sight.edge and sight.seen == (1.0 if whose else 0.0), sight.reason))
    return Compared(float(np.linalg.norm(ours[:, 1] - ours[:, 0], axis=1).sum()), tuple(told), rest)


def beside_reference(amount: float) -> Iterator[tuple[tuple[float, float, float], Agreement]]:
    """The demo piece from eight corners, as the brute-force reference sees it."""
    truth, meshes = reference(), demo_meshes(amount)
    for toward in CORNERS if truth else ():
        view = View.toward(toward)
        yield toward, agreement(truth, meshes, view, visible_lines(meshes, view).points)


def beside_open_cascade(amount: float) -> Iterator[tuple[str, Compared]]:
    """The demo piece in five views, as Open CASCADE sees it."""
    meshes, views = demo_meshes(amount), [View.named(name) for name in NAMED]
    _, seen = occ_judge.visible(meshes, views)
    for name, view, each in zip(NAMED, views, seen, strict=True):
        yield name, compared(meshes, view, each.lines)


# ------------------------------------------------------------ tables
def reference_table() -> list[str]:
    """Rows of agreement with the brute-force reference."""
    rows = [
        "| piece | seen from | lines, mm | union differs | missed, mm | extra, mm | missed and extra |",
        "|---|---|--:|--:|--:|--:|--:|",
    ]
    for scene, amount in SCENES.items():
        for (x, y, z), found in beside_reference(amount):
            place = f"{'left' if x < 0 else 'right'}, {'front' if y < 0 else 'back'}, {'below' if z < 0 else 'above'}"
            shares = f"{100 * found.union_error:.4f} % | {found.missed:.2f} | {found.extra:.2f} | {100 * found.line_error:.4f} %"
            rows.append(f"| {scene} | {place} | {found.theirs:.0f} | {shares} |")
            print(rows[-1], flush=True)
    return rows


def open_cascade_table() -> list[str]:
    """Rows of what either has alone beside Open CASCADE, and how sight lines decide; then what lies at those stretches."""
    rows = [
        "| piece | view | our lines, mm | only ours | only its | borne out by sight lines | shorter, together |",
        "|---|---|--:|--:|--:|--:|--:|",
    ]
    why: Counter[tuple[bool, Reason]] = Counter()
    length: Counter[tuple[bool, Reason]] = Counter()
    for scene, amount in SCENES.items():
        for name, found in beside_open_cascade(amount):
            ours, its = ("{} of {:.0f} mm".format(*found.of(whose)) for whose in (True, False))
            right = f"{len(found.stretches) - len(found.against)} of {len(found.stretches)}"
            rows.append(
                f"| {scene} | {name} | {found.ours:.0f} | {ours} | {its} | {right} | {found.rest:.1f} mm, {100 * found.rest_share:.3f} % |"
            )
            for whose, size, _, reason in found.stretches:
                why[whose, reason] += 1
                length[whose, reason] += size
            print(rows[-1], flush=True)
    rows += [
        "",
        "| what lies there | drawn by us alone, in sight | drawn by Open CASCADE alone, out of sight |",
        "|---|--:|--:|",
    ]
    for reason in Reason:
        both = [
            f"{why[whose, reason]} of {length[whose, reason]:.0f} mm" if why[whose, reason] else "–"
            for whose in (True, False)
        ]
        if both != ["–", "–"]:
            rows.append(f"| {reason.value} | {both[0]} | {both[1]} |")
            print(rows[-1], flush=True)
    return rows


def main() -> None:
    """Print the tables; with `--write` put them into the page."""
    asked = set(sys.argv[1:]) - {"--write"} or {"reference", "cascade"}
    tables = {}
    if "cascade" in asked and occ_judge.PYTHON is None:
        print(occ_judge.MISSING)
    elif "cascade" in asked:
        tables["open cascade"] = open_cascade_table()
    if "reference" in asked and reference() is None:
        print("the brute-force reference is not beside this checkout")
    elif "reference" in asked:
        tables["reference"] = reference_table()
    if "--write" in sys.argv:
        text = PAGE.read_text(encoding="utf-8")
        for name, rows in tables.items():
            start, end = f"<!-- {name} -->\n", f"<!-- end of {name} -->"
            text = text[: text.index(start) + len(start)] + "\n".join(rows) + "\n" + text[text.index(end) :]
        PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
