"""The best of several sequences, put together stage by stage."""

from collections.abc import Callable, Sequence

from core.planner.terrain import Terrain

Judge = Callable[[Sequence[int]], tuple[bool, int]]


def together(
    t: Terrain, best: Sequence[int], others: Sequence[Sequence[int]], judge: Judge
) -> list[int]:
    """`best` with whole stages of `others` in place of its own, as long as that is better.

    What a sequence is worth comes from each stage for the most part, and anneals that end apart
    seldom fail in the same one. Items that a new stage brings leave the other stages. `judge` says
    whether a sequence is a plan, and what it is worth.
    """
    kept = _by_stage(t, best)
    worth = judge(best)
    offers = [_by_stage(t, other) for other in others]
    going = True
    while going:
        going = False
        for stage in range(len(kept)):
            for offer in offers:
                if offer[stage] == kept[stage]:
                    continue
                brought = {t.item[k] for k in offer[stage]}
                tried = [[k for k in nodes if t.item[k] not in brought] for nodes in kept]
                tried[stage] = offer[stage]
                found = judge([k for nodes in tried for k in nodes])
                if found > worth:
                    worth, kept, going = found, tried, True
    return [k for nodes in kept for k in nodes]


def _by_stage(t: Terrain, seq: Sequence[int]) -> list[list[int]]:
    nodes: list[list[int]] = [[] for _ in range(t.problem.stages)]
    for k in seq:
        nodes[t.stage[k]].append(k)
    return nodes
