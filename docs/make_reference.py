"""Write the reference pages that follow from the code: docs/parameters.md and docs/piece.schema.json.

    .venv/bin/python docs/make_reference.py
"""

import json
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from core.piece.files import piece_schema  # noqa: E402  the path must be set first
from core.reference import parameters_markdown  # noqa: E402

PAGES = {
    "parameters.md": parameters_markdown,
    "piece.schema.json": lambda: json.dumps(piece_schema(), indent=1, ensure_ascii=False) + "\n",
}

if __name__ == "__main__":
    for name, make in PAGES.items():
        (ROOT / "docs" / name).write_text(make(), encoding="utf-8")
        print(f"docs/{name}")
