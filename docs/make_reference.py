"""Write what follows from the declared parameters: docs/parameters.md, docs/piece.schema.json, docs/workshop.schema.json, and new keys in the project's own pieces.

.venv/bin/python docs/make_reference.py
"""

import json
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from core.piece.files import FORMAT, dumps, piece_schema, read_piece_file  # noqa: E402  the path must be set first
from core.reference import parameters_markdown  # noqa: E402
from core.workshop.files import workshop_schema  # noqa: E402

PAGES = {
    "parameters.md": parameters_markdown,
    "piece.schema.json": lambda: json.dumps(piece_schema(), indent=1, ensure_ascii=False) + "\n",
    "workshop.schema.json": lambda: json.dumps(workshop_schema(), indent=1, ensure_ascii=False) + "\n",
}

if __name__ == "__main__":
    for name, make in PAGES.items():
        (ROOT / "docs" / name).write_text(make(), encoding="utf-8")
        print(f"docs/{name}")
    for path in sorted(
        [*(ROOT / "core" / "library" / "pieces").glob("*.json"), *(ROOT / "docs" / "examples").glob("*.json")]
    ):
        if json.loads(path.read_text(encoding="utf-8"))["format"] == FORMAT:
            path.write_text(dumps(read_piece_file(path)), encoding="utf-8")
            print(path.relative_to(ROOT))
