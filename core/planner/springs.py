"""Which of its settings each exercise of a sequence takes, so that springs change rarely."""

from collections.abc import Mapping, Sequence

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.exercise import Exercise
from core.planner.model import settings_of
from core.planner.weights import SPRING_CHANGE

NOT_USUAL = 6  # points of an easier or harder setting than usual (house choice)


def choose(
    exercises: Sequence[Exercise], apparatus: Mapping[ApparatusId, Apparatus]
) -> tuple[SpringSetting, ...]:
    """A setting for each, with the least of changes and departures together (Viterbi).

    A change of apparatus asks for no spring change: the next one stands ready.
    """
    if not exercises:
        return ()
    layers = [settings_of(e) for e in exercises]
    worth = [_price(layers[0], k) for k in range(len(layers[0]))]
    came: list[list[int]] = []
    for before, now, options, earlier in zip(
        exercises[:-1], exercises[1:], layers[1:], layers[:-1], strict=True
    ):
        on = apparatus[now.apparatus]
        same = before.apparatus == now.apparatus
        row: list[int] = []
        prices: list[int] = []
        for k, setting in enumerate(options):
            change = [
                worth[m] + (SPRING_CHANGE * on.changes(old, setting) if same else 0)
                for m, old in enumerate(earlier)
            ]
            best = min(range(len(change)), key=change.__getitem__)
            row.append(best)
            prices.append(change[best] + _price(options, k))
        came.append(row)
        worth = prices
    at = min(range(len(worth)), key=worth.__getitem__)
    picked = [at]
    for row in reversed(came):
        at = row[at]
        picked.append(at)
    picked.reverse()
    return tuple(layer[k] for layer, k in zip(layers, picked, strict=True))


def _price(options: Sequence[SpringSetting], k: int) -> int:
    return 0 if k == 0 else NOT_USUAL
