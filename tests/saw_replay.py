"""A saw on paper: a plan as delivered (JSON) is sawn cut by cut, and what lies on the bench in the end is looked at."""

from collections import Counter

SLACK = 0.002  # mm


def sawn_parts(material: dict, sheet: dict) -> Counter:
    """Marks (or names) and sizes of the parts that come off one sheet, after every cut was made as written."""
    kerf, stock = material["kerf"], sheet["stock"]
    bench = {0: (0.0, 0.0, stock["length"], stock["width"])}
    named = {piece["piece"]: piece for piece in sheet["pieces"]}
    for number, cut in enumerate(sheet["cuts"], 1):
        assert cut["number"] == number, "cuts are numbered in order"
        x, y, length, width = bench.pop(cut["made in"])  # KeyError: the piece is not there
        across = cut["direction"] == "across"
        full, setting = (length if across else width), cut["set to"]
        assert 0 < setting < full, f"cut {number} is set to {setting} in a piece of {full}"
        left = full - setting - kerf
        off = full - setting if cut["from the far side"] else 0.0
        rest = 0.0 if cut["from the far side"] else setting + kerf
        bench[cut["comes off"]] = (x + off, y, setting, width) if across else (x, y + off, length, setting)
        if cut["is left"] is not None:
            bench[cut["is left"]] = (x + rest, y, left, width) if across else (x, y + rest, length, left)
        else:
            assert left < SLACK, f"cut {number} leaves {left} that nobody names"
    found: Counter = Counter()
    for number, box in bench.items():
        piece = named[number]
        assert piece["is"] in ("part", "keep", "scrap", "trim"), f"piece {number} is left lying as a {piece['is']}"
        said = tuple(piece[key] for key in ("x", "y", "length", "width"))
        assert max(abs(a - b) for a, b in zip(box, said, strict=True)) < SLACK, f"piece {number}: {said}, sawn {box}"
        if piece["is"] == "part":
            size = tuple(sorted((round(box[2], 2), round(box[3], 2)), reverse=True))
            found[piece["mark"] or piece["name"], size] += 1
    return found
