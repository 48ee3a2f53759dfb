"""Which of its settings each exercise of a sequence takes, so that springs change rarely."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.planner.choice import Choice
from core.planner.weights import NOT_USUAL, SPRING_CHANGE


def choose(
    choices: Sequence[Choice], apparatus: Mapping[ApparatusId, Apparatus]
) -> tuple[SpringSetting, ...]:
    """A setting for each, with the least of changes and departures together (Viterbi).

    A change of apparatus asks for no spring change: the next one stands ready.
    """
    if not choices:
        return ()
    worth = [_price(k) for k in range(len(choices[0].settings))]
    came: list[list[int]] = []
    for before, now in pairwise(choices):
        on = apparatus[now.exercise.apparatus]
        same = before.exercise.apparatus == now.exercise.apparatus
        row: list[int] = []
        prices: list[int] = []
        for k, setting in enumerate(now.settings):
            change = [
                worth[m] + (SPRING_CHANGE * on.changes(old, setting) if same else 0)
                for m, old in enumerate(before.settings)
            ]
            best = min(range(len(change)), key=change.__getitem__)
            row.append(best)
            prices.append(change[best] + _price(k))
        came.append(row)
        worth = prices
    at = min(range(len(worth)), key=worth.__getitem__)
    picked = [at]
    for row in reversed(came):
        at = row[at]
        picked.append(at)
    picked.reverse()
    return tuple(choice.settings[k] for choice, k in zip(choices, picked, strict=True))


def _price(k: int) -> int:
    return 0 if k == 0 else NOT_USUAL
