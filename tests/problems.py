"""Small abstract problems, and their objective worked out again, slowly and without the search."""

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence
from random import Random

import numpy as np

from core.planner.fill import STEP_COST, UNMET, UNMET_AT_ALL
from core.planner.problem import (
    BACK,
    BROKEN,
    MISSING,
    NEVER,
    Balance,
    Node,
    Problem,
    Quota,
    Window,
)
from core.planner.structure import ABSENT, BLUNT
from core.planner.terrain import LOPSIDED


def node(item: int = 0, stage: int = 0, **changes: object) -> Node:
    """A node of ten seconds without ties; `changes` replace fields."""
    fields: dict[str, object] = {
        "item": item,
        "stage": stage,
        "value": 10,
        "times": (10,),
        "usual": 0,
        "covers": (),
        "family": item,
        "series": -1,
        "place": 0,
        "run": item,
        "track": 0,
        "gives": 0,
        "needs": 0,
        "peak": 1,
    }
    return Node(**(fields | changes))  # type: ignore[arg-type] # a test names the fields


def problem(nodes: Sequence[Node], **changes: object) -> Problem:
    """A problem of these nodes without change-over; `changes` replace fields."""
    size, stages = len(nodes), max((n.stage for n in nodes), default=0) + 1
    fields: dict[str, object] = {
        "nodes": tuple(nodes),
        "stages": stages,
        "cost": np.zeros((size, size), dtype=np.int32),
        "time": np.zeros((size, size), dtype=np.int32),
        "windows": (),
        "quotas": (),
        "balances": (),
        "required": frozenset(),
        "longest_run": 3,
        "track_changes": 0,
        "summit": stages - 1,
    }
    return Problem(**(fields | changes))  # type: ignore[arg-type] # a test names the fields


def tiny(random: Random, items: int = 6, stages: int = 3) -> Problem:
    """A random problem of few items, in which every kind of rule takes part."""
    nodes = []
    for item in range(items):
        low = random.choice((3, 4, 5))
        draft = {
            "value": random.randint(0, 60),
            "times": tuple(low * k for k in range(3, 3 + random.randint(1, 4))),
            "covers": tuple(q for q in range(3) if random.random() < 0.4),
            "family": random.choice((item, item, item, item, 0)),
            "run": random.randint(0, 2),
            "track": int(random.random() < 0.2),
            "gives": 1 << item,
            "needs": 1 << random.randrange(items) if random.random() < 0.1 else 0,
            "peak": random.randint(1, 2),
        }
        if random.random() < 0.3:
            draft |= {"series": 0, "place": item, "family": 0}
        draft["usual"] = random.randrange(len(draft["times"]))  # type: ignore[arg-type] # a tuple
        for stage in random.sample(range(stages), random.choice((1, 2))):
            nodes.append(node(item, stage, **draft))
    nodes.sort(key=lambda n: n.stage)
    cost = np.array([[random.randint(0, 25) for _ in nodes] for _ in nodes], dtype=np.int32)
    time = np.array([[random.randint(0, 9) for _ in nodes] for _ in nodes], dtype=np.int32)
    for (a, one), (b, other) in itertools.product(enumerate(nodes), repeat=2):
        if other.stage < one.stage:
            cost[a, b] = BACK
        elif one.item == other.item or random.random() < 0.05:
            cost[a, b] = NEVER
        elif other.stage > one.stage + 1:
            cost[a, b] += NEVER * (other.stage - one.stage - 1)
    return problem(
        nodes,
        stages=stages,
        cost=cost,
        time=time,
        windows=(*(Window(s, s, 0, 60) for s in range(stages)), Window(0, stages - 1, 35, 80)),
        quotas=(Quota("a", (20, 8), 1), Quota("b", (12, 5, 2)), Quota("c", (6,))),
        balances=(Balance(0, 1, 2),),
        required=frozenset({random.randrange(items)}) if random.random() < 0.3 else frozenset(),
        longest_run=3,
        track_changes=1,
        summit=1,
    )


def sequences(p: Problem, most: int | None = None) -> Iterator[tuple[int, ...]]:
    """Every sequence of nodes whose items differ and whose stages never go back."""

    def grow(so_far: tuple[int, ...], used: frozenset[int]) -> Iterator[tuple[int, ...]]:
        yield so_far
        if most is not None and len(so_far) == most:
            return
        for k, each in enumerate(p.nodes):
            ahead = not so_far or each.stage >= p.nodes[so_far[-1]].stage
            if ahead and each.item not in used:
                yield from grow((*so_far, k), used | {each.item})

    return grow((), frozenset())


def seconds(p: Problem, seq: Sequence[int], steps: Sequence[int]) -> list[int]:
    """Seconds of each stage."""
    spent = [0] * p.stages
    for at, (k, step) in enumerate(zip(seq, steps, strict=True)):
        change = int(p.time[seq[at - 1], k]) if at else 0
        spent[p.nodes[k].stage] += change + p.nodes[k].times[step]
    return spent


def unmet(windows: Sequence[Window], spent: Sequence[int]) -> int:
    """Points of the windows that these seconds miss."""
    points = 0
    for w in windows:
        total = sum(spent[w.first : w.last + 1])
        off = max(w.low - total, total - w.high, 0)
        points += UNMET_AT_ALL + UNMET * off if off else 0
    return points


def worth(p: Problem, seq: Sequence[int], steps: Sequence[int]) -> int:
    """The objective of a sequence with these steps, by its definition, one part after another."""
    nodes = [p.nodes[k] for k in seq]
    points = sum(n.value for n in nodes)
    counts = Counter(q for n in nodes for q in n.covers)
    for k, quota in enumerate(p.quotas):
        points += sum(quota.rewards[: counts[k]]) - MISSING * max(0, quota.least - counts[k])
    points -= sum(arcs(p, seq)) + lopsided(p, counts)
    moved = sum(abs(step - n.usual) for step, n in zip(steps, nodes, strict=True))
    points -= STEP_COST * moved + unmet(p.windows, seconds(p, seq, steps))
    return points - flaws(p, nodes)


def shortfall(p: Problem, seq: Sequence[int], steps: Sequence[int]) -> int:
    """Points of everything that a plan may not have."""
    nodes = [p.nodes[k] for k in seq]
    counts = Counter(q for n in nodes for q in n.covers)
    wanting = sum(max(0, quota.least - counts[k]) for k, quota in enumerate(p.quotas))
    forbidden = sum(points >= NEVER for points in arcs(p, seq))
    late = unmet(p.windows, seconds(p, seq, steps))
    return NEVER * (forbidden + wanting) + lopsided(p, counts) + late + flaws(p, nodes)


def arcs(p: Problem, seq: Sequence[int]) -> list[int]:
    """Points of each change-over, of stages left out before the first and after the last."""
    last = p.stages - 1
    if not seq:
        return [NEVER * p.stages]
    first = NEVER * p.nodes[seq[0]].stage
    inner = [int(p.cost[a, b]) for a, b in itertools.pairwise(seq)]
    return [first, *inner, NEVER * (last - p.nodes[seq[-1]].stage)]


def lopsided(p: Problem, counts: Counter[int]) -> int:
    """Points of balances that do not hold."""
    return sum(LOPSIDED * max(0, counts[b.heavy] - b.ratio * counts[b.light]) for b in p.balances)


def flaws(p: Problem, nodes: Sequence[Node]) -> int:
    """Points of broken rules, each looked for in a pass of its own."""
    count = 0
    for at, n in enumerate(nodes):
        earlier = nodes[:at]
        kin = next((e for e in earlier if e.family == n.family), None)
        count += kin is not None and (n.series < 0 or kin.series != n.series)
        count += bool(n.needs) and not any(e.gives & n.needs for e in earlier)
        same = list(itertools.takewhile(lambda e: e.run == n.run, reversed(earlier)))  # noqa: B023
        count += len(same) >= p.longest_run
        inside = [k for k, e in enumerate(earlier) if n.series >= 0 and e.series == n.series]
        apart = bool(inside) and any(e.series != n.series for e in earlier[inside[0] :])
        count += apart
    tracks = sum(a.track != b.track for a, b in itertools.pairwise(nodes))
    count += max(0, tracks - p.track_changes)
    climb = [n.peak for n in nodes if n.stage <= p.summit]
    highest = max((n.peak for n in nodes), default=0)
    blunt = highest - (climb[-1] if climb else 0)
    missing = p.required - {n.item for n in nodes}
    return BROKEN * count + BLUNT * blunt + ABSENT * len(missing)
