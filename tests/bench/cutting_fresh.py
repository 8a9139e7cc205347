"""Fresh cutting problems of every family of the benchmark, drawn anew from any seed, so that no figure rests on known ones.

The rules are those of the published generators: Berkey and Wang 1987 and Martello and Vigo 1998 (classes 1 to 10),
Alvarez-Valdés, Parajón and Tamarit 2002, Imahori et al. 2005, Cintra et al. 2008; for lengths Falkenauer 1996 and
Wäscher and Gau 1996 (their ranges as read off the published instances). Our own: sheets cut up edge to edge without waste,
and invented jobs of a workshop with kerf, trim, grain and tenths of a millimetre.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable

UNIFORM_CLASSES = {1: (10, 10), 2: (30, 10), 3: (40, 35), 4: (100, 35), 5: (100, 100), 6: (300, 100)}  # sheet, largest
SHOP_SHEETS = ((2440, 1220), (2500, 1250), (2800, 2070), (2440, 1830))


def fresh_problems(seed: int) -> list[dict]:
    """About sixty problems, small to large; the same for the same seed."""
    chance = random.Random(seed)
    made = [
        _class(chance, number, 20 * (1 + (number + turn) % 5), bool(turn)) for number in range(1, 11) for turn in (0, 1)
    ]
    made += [_few_of_each(chance, kinds) for kinds in (15, 20, 25, 30, 40)]
    made += [_tableful(chance) for _ in range(3)]
    made += [_factory(chance, kinds) for kinds in (20, 30, 40)]
    made += [_without_waste(chance, sheets, bool(turn)) for sheets, turn in ((3, 0), (4, 1), (5, 0), (7, 1))]
    made += [_workshop(chance, cabinets) for cabinets in (1, 1, 2, 2, 3, 4, 5, 6)]
    made += [_large_demand(chance, kinds) for kinds in (10, 20, 30)]
    made += [_uniform_lengths(chance, 250), _uniform_lengths(chance, 500), _triplets(chance, 40), _triplets(chance, 80)]
    made += [_wide_lengths(chance, share) for share in (0.25, 0.5, 0.5)]
    made += [_distinct_lengths(chance, parts) for parts in (160, 180, 200)]
    made += [_mouldings(chance) for _ in range(3)]
    return [
        {"kerf": 0, "trim": 0, "rotation": False} | each | {"name": f"fresh_{seed}_{at:02d}_{each['set']}"}
        for at, each in enumerate(made)
    ]


def _counted(sizes: Iterable[tuple[float, float]]) -> list[list[float]]:
    return [[*size, times] for size, times in Counter(sizes).items()]


def _class(chance: random.Random, number: int, parts: int, turns: bool) -> dict:
    """Classes 1 to 6: sides even between 1 and a largest; 7 to 10: seven in ten long, high, large or small."""
    if number in UNIFORM_CLASSES:
        side, largest = UNIFORM_CLASSES[number]
        sizes = [(chance.randint(1, largest), chance.randint(1, largest)) for _ in range(parts)]
    else:
        side = 100
        kinds = [((67, 100), (1, 50)), ((1, 50), (67, 100)), ((50, 100), (50, 100)), ((1, 50), (1, 50))]
        main = number - 7
        weights = [7 if at == main else 1 for at in range(4)]
        drawn = chance.choices(kinds, weights, k=parts)
        sizes = [(chance.randint(*length), chance.randint(*width)) for length, width in drawn]
    return {
        "set": f"classes_{'R' if turns else 'O'}",
        "dim": 2,
        "sheet": [side, side],
        "rotation": turns,
        "parts": _counted(sizes),
    }


def _few_of_each(chance: random.Random, kinds: int) -> dict:
    """Some tens of sizes, one to four of each."""
    length, width = chance.randint(50, 270), chance.randint(50, 210)
    parts = [
        [int(length * chance.uniform(0.15, 0.7)), int(width * chance.uniform(0.13, 0.65)), chance.randint(1, 4)]
        for _ in range(kinds)
    ]
    return {"set": "csp30", "dim": 2, "sheet": [length, width], "parts": parts}


def _tableful(chance: random.Random) -> dict:
    """25 to 60 small sizes, one to nine of each."""
    length, width = chance.randint(100, 1000), chance.randint(100, 1000)
    parts = [
        [
            max(1, int(length * chance.uniform(0.05, 0.4))),
            max(1, int(width * chance.uniform(0.05, 0.4))),
            chance.randint(1, 9),
        ]
        for _ in range(chance.randint(25, 60))
    ]
    return {"set": "atp", "dim": 2, "sheet": [length, width], "parts": parts}


def _factory(chance: random.Random, kinds: int) -> dict:
    """Long parts of which one to twenty-five are wanted, on sheets of several sizes."""
    length = chance.choice((1400, 1700, 2000, 2800))
    parts = []
    for _ in range(kinds):
        area, shape = chance.uniform(20_000, 400_000), chance.uniform(1, 5)
        wide = (area / shape) ** 0.5
        long = min(area / wide, 0.67 * length, 950)
        parts.append([int(long), int(min(wide, 0.65 * length / 2)), chance.randint(1, 25)])
    return {"set": "imahori", "dim": 2, "sheet": [length, length // 2], "parts": parts}


def _without_waste(chance: random.Random, sheets: int, turns: bool) -> dict:
    """Whole sheets cut up edge to edge, nothing left over: as many sheets are enough."""
    length, width = chance.choice(SHOP_SHEETS)
    kerf, trim, least = chance.choice((2.2, 3.2)), 10, 100
    pieces, sizes = [(length - 2 * trim, width - 2 * trim)] * sheets, []
    while pieces:
        long, wide = pieces.pop()
        ways = [across for across, side in ((True, long), (False, wide)) if side >= 2 * least + 4]
        if not ways or (long * wide < chance.uniform(60_000, 420_000)):
            sizes.append((round(long, 1), round(wide, 1)))
            continue
        across = chance.choice(ways) if max(long, wide) < 3 * min(long, wide) else long > wide
        side = long if across else wide
        cut = chance.randint(least, int(side - kerf) - least)
        rest = round(side - cut - kerf, 1)
        pieces += [(cut, wide), (rest, wide)] if across else [(long, cut), (long, rest)]
    chance.shuffle(sizes)
    return {
        "set": "knownopt", "dim": 2, "sheet": [length, width], "kerf": kerf, "trim": trim, "rotation": turns,
        "parts": _counted(sizes), "best_known_sheets": sheets,
    }  # fmt: skip


def _workshop(chance: random.Random, cabinets: int) -> dict:
    """Carcasses, shelves, doors, drawers and plinths of some pieces, in tenths of a millimetre; at times with grain."""
    length, width = chance.choice(SHOP_SHEETS)
    thick, grain = chance.choice((15.0, 18.0, 19.0)), chance.random() < 0.5
    sizes: list[tuple[float, float, bool]] = []
    for _ in range(cabinets):
        high, wide, deep = chance.randint(700, 2300), chance.randint(400, 1200), chance.choice((300, 350, 450, 580))
        times, inside = chance.choice((1, 2, 2, 4)), round(wide - 2 * thick, 1)
        sizes += [(high, deep, grain)] * (2 * times) + [(inside, deep, grain)] * (2 * times)
        sizes += [(inside, round(deep - 20.5, 1), grain)] * (times * chance.randint(1, 5))
        sizes += [(inside, 80.5, False)] * (2 * times)
        doors = 1 if wide < 600 else 2
        door = round((wide - 3 * (doors + 1)) / doors, 1), round(high * chance.choice((0.5, 0.7)), 1)
        sizes += [(door[1], door[0], grain)] * (doors * times)
        for _ in range(chance.randint(0, 4)):
            side = round(chance.uniform(90, 220), 1)
            sizes += [(deep - 50, side, False)] * (2 * times) + [(round(inside - 42.4, 1), side, False)] * (2 * times)
    parts: Counter[tuple[float, float, bool]] = Counter()
    for size in sizes:
        parts[size] += 1
    return {
        "set": "workshop", "dim": 2, "sheet": [length, width], "kerf": chance.choice((2.2, 3.2)),
        "trim": chance.choice((0, 5, 10)), "rotation": True,
        "parts": [[long, wide, times] for (long, wide, _), times in parts.items()],
        "locked": [locked for _, _, locked in parts],
    }  # fmt: skip


def _large_demand(chance: random.Random, kinds: int) -> dict:
    """Sides of a quarter to three quarters of the sheet, up to a hundred of each."""
    side = chance.choice((250, 500))
    parts = [
        [chance.randint(side // 4, 3 * side // 4), chance.randint(side // 4, 3 * side // 4), chance.randint(1, 100)]
        for _ in range(kinds)
    ]
    return {"set": "cintra", "dim": 2, "sheet": [side, side], "parts": parts}


def _lengths(name: str, stock: float, sizes: Iterable[float], **keys: object) -> dict:
    return {"set": name, "dim": 1, "sheet": [stock, 1], "parts": _counted((size, 1) for size in sizes)} | keys


def _uniform_lengths(chance: random.Random, parts: int) -> dict:
    """20 to 100 out of 150."""
    return _lengths("falkenauer", 150, [chance.randint(20, 100) for _ in range(parts)])


def _triplets(chance: random.Random, lengths: int) -> dict:
    """Three of 250 to 500 that fill 1000 exactly, so many times."""
    sizes = []
    for _ in range(lengths):
        first = chance.randint(380, 490)
        second = chance.randint(250, (1000 - first) // 2)
        sizes += [first, second, 1000 - first - second]
    return _lengths("falkenauer", 1000, sizes, best_known_sheets=lengths)


def _wide_lengths(chance: random.Random, largest: float) -> dict:
    """Some tens of sizes up to a share of 10 000, few of each."""
    sizes = [chance.randint(1, int(10_000 * largest)) for _ in range(chance.randint(33, 57))]
    return _lengths("waescher", 10_000, [size for size in sizes for _ in range(chance.randint(1, 4))])


def _distinct_lengths(chance: random.Random, parts: int) -> dict:
    """Nearly all different, up to eight tenths of the stock."""
    largest = chance.choice((700, 800))
    return _lengths("hard28", 1000, [chance.randint(1, largest) for _ in range(parts)])


def _mouldings(chance: random.Random) -> dict:
    """A few lengths of a moulding or lipping, dozens of each."""
    stock = chance.choice((2440, 2500, 4000))
    sizes = [chance.randint(180, stock - 100) for _ in range(chance.randint(5, 9))]
    drawn = [size for size in sizes for _ in range(4 * chance.randint(2, 40))]
    return _lengths("mouldings", stock, drawn, kerf=3.2, trim=10)
