"""Plans for lengths by exact sums: length after length, one of the longest parts left and the fullest choice of others beside it.

Which sums can be made is held as the bits of one whole number, so a plan of a hundred lengths takes milliseconds. Filling
one length as well as can be before the next is begun: Gupta and Ho 1999; the longest part first in each: Fleszar and Hindi 2002.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

SHUFFLED = 0.4  # by how much of its length a part may stand before a longer one


def summed(
    sizes: Sequence[int], parts: Sequence[int], room: int, spoiled: float, chance: Callable[[], float]
) -> tuple[list[list[int]] | None, int]:
    """The parts (kinds, each as often as it is wanted) length by length, and the work done; None as soon as more than
    `spoiled` stays unfilled."""
    left = sorted(parts, key=lambda kind: -sizes[kind] * (1 - SHUFFLED / 2 + SHUFFLED * chance()))
    lengths, effort = [], 2 * len(left)
    while left:
        free = room - sizes[left[0]]
        others = sorted(range(1, len(left)), key=lambda at: chance())
        sums, within = [1], (2 << free) - 1
        for other in others:
            sums.append((sums[-1] | sums[-1] << sizes[left[other]]) & within)
            if sums[-1] >> free:
                break
        reached, taken = sums[-1].bit_length() - 1, {0}
        spoiled -= free - reached
        effort += 2 * len(others) + len(sums) * room // 5000
        if spoiled < 0:
            return None, effort
        for at in range(len(sums) - 1, 0, -1):
            if not sums[at - 1] >> reached & 1:
                taken.add(others[at - 1])
                reached -= sizes[left[others[at - 1]]]
        lengths.append([left[at] for at in sorted(taken)])
        left = [kind for at, kind in enumerate(left) if at not in taken]
    return lengths, effort
