"""Sheets, lengths and seconds of the planning engine beside the baselines that were measured for the same problems.

    python tests/bench/bench_cutting.py [SET ...]               (all sets when none is named; a quarter of an hour)
    python tests/bench/bench_cutting.py --fresh SEED [SET ...]  (problems drawn anew, of which no best plan is known)
    python tests/bench/bench_cutting.py --work-at-saw [SET ...] (what easing the work at the saw is worth, the workshop jobs when no set is named)

Every plan is checked by the independent verifier and by our own strict check. Seconds are processor time of one thread.
"""

import argparse
import json
import statistics
import sys
import time
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from cutting_faults import faults  # noqa: E402
from cutting_fresh import fresh_problems  # noqa: E402
from cutting_samples import BENCH, answer, judge, problem_of  # noqa: E402

from core.cutting.plan import CuttingPlan  # noqa: E402
from core.cutting.planning import plan  # noqa: E402

# What is asked of groups of sets: sheets or lengths at the most (least accepted, target), median and worst seconds.
GROUPS = (
    (
        "sheets of the measured sets",
        ("classes_R", "classes_O", "csp30", "atp", "imahori", "knownopt"),
        (1946, 1939),
        (0.5, 10),
    ),
    ("workshop jobs", ("workshop",), (135, 133), (0.5, 10)),
    ("sheets without waste", ("knownopt",), None, (0.5, 10)),
    ("large demands", ("cintra",), (5064, 5064), (0.5, 10)),
    ("lengths", ("hard28", "waescher", "falkenauer", "mouldings"), (3360, 3360), (1, 10)),
)
AT_THE_OPTIMUM = (2, 4)  # of the sheets without waste: least accepted, target
# of the search, for what it is worth to ease the work at the saw: what one material of a piece gets
EASED_WORK = 600_000
ONE_PERSON = 1.85  # m² that one person handles: 25 kg of MDF 18 mm thick at 750 kg/m³; common practice, no source
AT_THE_SAW = ("sheets", "settings", "cuts", "turns", "heavy", "offcut m²")
METHODS = ("rectpack_guillotine", "column_generation", "first_fit_decreasing")


def main(arguments: list[str]) -> int:
    """Print one line for each problem, then one for each set; the exit status is 1 when a plan was refused."""
    command = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    command.add_argument("--fresh", type=int, metavar="SEED", help="draw the problems anew")
    command.add_argument("--work-at-saw", action="store_true", help="plans as they were found, and eased")
    command.add_argument("sets", nargs="*", metavar="SET")
    asked = command.parse_args(arguments)
    if not BENCH.exists():
        print("the published instances are not at hand; nothing was measured")
        return 0
    if asked.work_at_saw:
        _work_at_saw(asked.sets or ["workshop"])
        return 0
    verify, refused = judge(), 0
    baseline = json.loads((BENCH / "baseline.json").read_text())["instances"]
    rows = defaultdict(list)
    for instance in _measured() if asked.fresh is None else fresh_problems(asked.fresh):
        if asked.sets and instance["set"] not in asked.sets:
            continue
        start = time.process_time()
        found = plan(problem_of(instance))
        seconds = time.process_time() - start
        sound, why = verify(instance, answer(found))
        wrong = "" if sound and not faults(found) else f"REFUSED {why} {faults(found)[:1]}"
        refused += bool(wrong)
        count, least = len(found.sheets), found.least
        beside = [baseline.get(instance["name"], {}).get(method) or {} for method in METHODS]
        others = [each["sheets"] for each in beside if each.get("sheets")]
        best = instance.get("best_known_sheets") or instance.get("lower_bound", least)
        rows[instance["set"]].append(
            (
                count,
                least,
                best,
                min(others, default=count),
                seconds,
                found.is_least,
                count > min(others, default=count),
            )
        )
        print(
            f"{instance['name']:28s} {count:4d}  least {least:4d}  best known {best:4d}  baseline {min(others, default=0):4d}"
            f"  {seconds:6.2f} s  {found.work:9d}  {wrong}",
            flush=True,
        )
    print(
        f"\n{'set':18s}{'count':>6s}{'ours':>7s}{'least':>7s}{'best':>7s}{'base':>7s}{'proven':>8s}{'worse':>7s}{'median':>8s}{'worst':>8s}"
    )
    for name, found in rows.items():
        sums = [sum(row[at] for row in found) for at in range(4)]
        times = [row[4] for row in found]
        print(
            f"{name:18s}{len(found):6d}"
            + "".join(f"{each:7d}" for each in sums)
            + f"{sum(row[5] for row in found):8d}{sum(row[6] for row in found):7d}{statistics.median(times):8.2f}{max(times):8.2f}"
        )
    if asked.fresh is None:
        _beside_the_targets(rows)
    return 1 if refused else 0


def _beside_the_targets(rows: dict[str, list[tuple]]) -> None:
    """One line for each group of sets of which all were planned: ours, and what was asked."""
    print(f"\n{'':30s}{'ours':>7s}{'accepted':>10s}{'target':>8s}{'median':>8s}{'asked':>7s}{'worst':>7s}{'asked':>7s}")
    for name, sets, asked, (median, worst) in GROUPS:
        if not all(each in rows for each in sets):
            continue
        found = [row for each in sets for row in rows[each]]
        times = [row[4] for row in found]
        if asked is None:
            ours, asked = sum(row[0] <= row[2] for row in found), AT_THE_OPTIMUM
        else:
            ours = sum(row[0] for row in found)
        print(
            f"{name:30s}{ours:7d}{asked[0]:10d}{asked[1]:8d}"
            f"{statistics.median(times):8.2f}{median:7.1f}{max(times):7.2f}{worst:7.1f}"
        )


def _work_at_saw(sets: list[str]) -> None:
    """Each plan as its sheets were found, and with their work eased: as many sheets, then what is asked of the sawyer.

    Heavy are cuts in pieces larger than one person handles; the offcut is the largest of the whole job.
    """
    print(f"{'as found, eased':28s}" + "".join(f"{name:>16s}" for name in AT_THE_SAW))
    sums = [[0.0, 0.0] for _ in AT_THE_SAW]
    for instance in _measured():
        if instance["set"] not in sets:
            continue
        problem = replace(problem_of(instance), largest_piece=ONE_PERSON)
        pairs = list(zip(*(_at_the_saw(plan(problem, work=EASED_WORK, eased=eased)) for eased in (False, True))))
        print(f"{instance['name']:28s}" + "".join(f"{found:9.4g} {eased:6.4g}" for found, eased in pairs), flush=True)
        sums = [[total + each for total, each in zip(two, pair)] for two, pair in zip(sums, pairs)]
    print(f"{'together':28s}" + "".join(f"{found:9.4g} {eased:6.4g}" for found, eased in sums))


def _at_the_saw(found: CuttingPlan) -> tuple[float, ...]:
    offcut = found.largest_offcut
    return len(found.sheets), *found.labour, found.heavy, offcut.area / 1e6 if offcut else 0.0


def _measured() -> list[dict]:
    measured = set(json.loads((BENCH / "split.json").read_text())["measured"])
    files = sorted((BENCH / "data").glob("*.json"))
    return [each for file in files for each in json.loads(file.read_text()) if each["name"] in measured]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
