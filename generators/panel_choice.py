"""The hardware of a whole panel: for every place one of its best candidates, so that there is least to buy.

First the fewest different items over all places; among these the candidates a builder would take first. This is a
small set-cover problem, solved exactly as an integer program by the HiGHS solver that scipy carries.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from dryfit.generators.choice import Choice

OPTIONS_KEPT = 60  # candidates of one place taken into the program, the usual ones first; more repeat the same items


def fewest_items(options: Sequence[Sequence[Choice]]) -> tuple[Choice, ...]:
    """Return one choice for each place, by order of the places: fewest different items, then the more usual.

    ``options`` holds, for each distinct place, candidates that are equally good by the checks, usual ones first.
    """
    kept = [tuple(choices[:OPTIONS_KEPT]) for choices in options]
    if all(len(choices) == 1 for choices in kept) or _first_is_least(kept):
        return tuple(choices[0] for choices in kept)
    picked = _solve(kept)
    return tuple(choices[i] for choices, i in zip(kept, picked, strict=True))


def count_items(choices: Sequence[Choice]) -> int:
    """Return how many different items a set of choices needs."""
    return len({item for choice in choices for item in choice.items})


def _first_is_least(kept: Sequence[Sequence[Choice]]) -> bool:
    """Whether the usual choices need no more items than some one place needs at the very least."""
    least = max(min(len(set(choice.items)) for choice in choices) for choices in kept)
    return count_items([choices[0] for choices in kept]) == least


def _solve(kept: Sequence[Sequence[Choice]]) -> list[int]:
    """Return the number of the option for each place.

    Unknowns are 0 or 1: one for each option (taken), one for each item (bought). Each place takes one option; an
    option taken needs its items bought. The cost of being unusual adds up to less than one item.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import lil_matrix

    items = sorted({item for choices in kept for choice in choices for item in choice.items})
    column = {item: n for n, item in enumerate(items)}
    starts = np.cumsum([len(items), *(len(choices) for choices in kept)])
    total = int(starts[-1])
    unusual = np.concatenate([np.arange(len(choices)) for choices in kept])
    cost = np.concatenate([np.ones(len(items)), unusual / (1 + len(kept) * max(1, unusual.max()))])
    one_each = lil_matrix((len(kept), total))
    needs = [
        (place, n, item) for place, choices in enumerate(kept) for n, c in enumerate(choices) for item in set(c.items)
    ]
    bought = lil_matrix((max(1, len(needs)), total))
    for place, choices in enumerate(kept):
        one_each[place, int(starts[place]) : int(starts[place]) + len(choices)] = 1
    for row, (place, n, item) in enumerate(needs):
        bought[row, column[item]], bought[row, int(starts[place]) + n] = 1, -1
    solved = milp(
        cost, integrality=np.ones(total), bounds=Bounds(0, 1),
        constraints=[LinearConstraint(one_each.tocsr(), 1, 1), LinearConstraint(bought.tocsr(), 0, np.inf)],
        options={"mip_rel_gap": 0.0},
    )  # fmt: skip
    assert solved.x is not None  # any option for each place is a solution
    return [
        int(np.argmax(solved.x[int(start) : int(start) + len(choices)]))
        for start, choices in zip(starts[:-1], kept, strict=True)
    ]
