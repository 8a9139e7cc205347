"""Packs of the zoo, written once for all tests, and what independent readers find in them."""

from __future__ import annotations

import dataclasses
import io
import json
import re
from functools import cache

import numpy as np
import pdfplumber
from examples import DEMO, example_piece
from pypdf import PdfReader

from core.built import BuiltJob, build_job
from core.checks import Finding
from core.pack import pack_files
from core.piece.job import Job, JobItem

MM = 25.4 / 72
STOP = Finding(
    check="overlap", severity="stop", text="The pin is 3 mm inside the upright; 0 is allowed.", source="test"
)


@cache
def built(name: str = DEMO) -> BuiltJob:
    """One piece of the zoo as a job."""
    piece = example_piece(name)
    return build_job(Job(piece.whole.name, (JobItem(piece),)))


@cache
def pair() -> BuiltJob:
    """A job of two pieces, one of them twice."""
    pieces = example_piece("starter bedside_cabinet"), example_piece("starter bookcase")
    return build_job(Job("Bedroom", (JobItem(pieces[0], 2), JobItem(pieces[1]))))


def stopped(job: BuiltJob, stops: int = 2) -> BuiltJob:
    """The same job with stop findings."""
    first, *others = job.pieces
    first = dataclasses.replace(first, findings=(STOP,) * stops)
    others = [dataclasses.replace(each, findings=()) for each in others]
    return dataclasses.replace(job, pieces=(first, *others))


def released(job: BuiltJob) -> BuiltJob:
    """The same job without findings."""
    return dataclasses.replace(job, pieces=tuple(dataclasses.replace(each, findings=()) for each in job.pieces))


@cache
def files(name: str = DEMO) -> dict[str, bytes]:
    """The pack of a piece of the zoo."""
    return pack_files(released(built(name)))


@cache
def reader(name: str = DEMO, file: str = "workshop_pack.pdf") -> PdfReader:
    """A document of a pack, as pypdf reads it."""
    return PdfReader(io.BytesIO(files(name)[file]))


@cache
def texts(name: str = DEMO, file: str = "workshop_pack.pdf") -> tuple[str, ...]:
    """The words of every page, spaces and line ends made one space."""
    return tuple(" ".join(page.extract_text().split()) for page in reader(name, file).pages)


@cache
def pages(name: str = DEMO, file: str = "workshop_pack.pdf"):
    """The pages of a document, as pdfplumber reads them."""
    return pdfplumber.open(io.BytesIO(files(name)[file])).pages


def exploded_pages() -> list:
    """The exploded sheets in the demo's workshop pack, as pdfplumber reads them."""
    return [page for page, words in zip(pages(), texts(), strict=True) if "Exploded:" in words.split("Scale")[0]]


def glb_json(data: bytes) -> dict:
    """The JSON chunk of a binary glTF."""
    length = int.from_bytes(data[12:16], "little")
    return json.loads(data[20 : 20 + length])


def balloons(page) -> dict[str, list[tuple[float, float, float]]]:
    """Part numbers on a page: text → (x, y, radius) of the circles in mm from the bottom left that it stands in."""
    found: dict[str, list[tuple[float, float, float]]] = {}
    for curve in page.curves:
        width, height = curve["x1"] - curve["x0"], curve["y1"] - curve["y0"]
        if abs(width - height) > 0.02 or not 3.5 < width / 2 * MM < 8 or curve["fill"]:
            continue
        box = curve["x0"], page.height - curve["y1"], curve["x1"], page.height - curve["y0"]
        number = "".join(char["text"] for char in page.crop(box).chars)
        if re.fullmatch(r"\d+", number):
            circle = ((curve["x0"] + curve["x1"]) / 2 * MM, (curve["y0"] + curve["y1"]) / 2 * MM, width / 2 * MM)
            found.setdefault(number, []).append(circle)
    return found


def char_boxes(page) -> np.ndarray:
    """The ink of every character, (n, 4): left, bottom, right, top in mm; what stands above and below is left out."""
    rows = []
    for char in page.chars:
        if not char["text"].strip():
            continue
        x0, x1, y0, y1 = (char[side] * MM for side in ("x0", "x1", "y0", "y1"))
        if char["upright"]:
            y0, y1 = y0 + 0.22 * (y1 - y0), y1 - 0.2 * (y1 - y0)
        else:
            x0, x1 = x0 + 0.2 * (x1 - x0), x1 - 0.22 * (x1 - x0)
        rows.append((x0, y0, x1, y1))
    return np.array(rows).reshape(-1, 4)


def overlapping(boxes: np.ndarray, share: float = 0.15) -> list[tuple[int, int]]:
    """Pairs of boxes that cover more than a share of the smaller one."""
    low = np.maximum(boxes[:, None, :2], boxes[None, :, :2])
    high = np.minimum(boxes[:, None, 2:], boxes[None, :, 2:])
    common = np.clip(high - low, 0, None).prod(axis=2)
    area = (boxes[:, 2:] - boxes[:, :2]).prod(axis=1)
    wrong = np.triu(common > share * np.minimum(area[:, None], area[None]), 1)
    return [(int(a), int(b)) for a, b in zip(*np.nonzero(wrong), strict=True)]
