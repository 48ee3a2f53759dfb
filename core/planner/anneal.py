"""One anneal: many small proposals, each judged by what it changes.

A proposal takes a node out, puts one in, or both at once; in place that is an exchange of nodes,
elsewhere a move. It is judged in the order of what the questions cost: worth of nodes, arcs and
quotas first (most end there), then the seconds of each stage, then the rules of the whole sequence,
then the exact filling of time. The threshold is drawn before anything is computed.

Kirkpatrick, Gelatt & Vecchi, Science 1983;220:671-680 (from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log
from random import Random

from core.planner.blocks import Block, difference, propose
from core.planner.clock import FULL
from core.planner.fill import STEP_COST, UNMET, UNMET_AT_ALL
from core.planner.state import State, impossible
from core.planner.steady import Steady
from core.planner.tally import Tally
from core.planner.terrain import LOGS, Terrain

CHUNK = 32  # proposals at one temperature
TRIED = 6  # candidates looked at before a place is given up


@dataclass(frozen=True, slots=True)
class Schedule:
    """How many proposals, and temperatures in points."""

    proposals: int
    hot: float
    cold: float


@dataclass(frozen=True, slots=True)
class Mix:
    """Upper bounds of the draw for each kind of proposal."""

    replace: float = 0.24
    exchange: float = 0.65
    insert: float = 0.76
    remove: float = 0.80
    relocate: float = 0.86
    toggle: float = 0.89  # what is left changes several nodes at once


@dataclass(slots=True)
class Found:
    """What an anneal came across: the best plan, or the best state of all while there is none."""

    seq: list[int]
    objective: int
    whole: bool  # it is a plan


def better(one: Found, other: Found) -> Found:
    """A plan rather than none, then the one worth more, then the first."""
    return other if (other.whole, other.objective) > (one.whole, one.objective) else one


def anneal(  # noqa: PLR0915 - one loop: a call costs what half a proposal does
    t: Terrain,
    start: Sequence[int],
    random: Random,
    schedule: Schedule,
    mix: Mix,
    *,
    stop: bool = False,
) -> Found:
    """The best that one run of proposals comes across; with `stop`, the first plan."""
    draw = random.random
    state = State(t, start)
    seq, seconds = state.seq, state.seconds
    worth, penalty = state.worth, state.penalty
    size = len(seq) - 2
    objective = worth - penalty
    found = Found(seq[1:-1], objective, not state.shortfall(t))

    cost, time, lead, gaps, between, arc = t.cost, t.time, t.lead, t.gaps, t.between, t.arc
    wide = len(t.stage)
    value, item, stage, mask, twins = t.value, t.item, t.stage, t.mask, t.twins
    used = {item[k] for k in seq[1:-1]}
    flaws = state.flaws
    steady = Steady(t, seq[1:-1])
    tally = Tally(t, state.counts)
    load, second, clock = t.load, t.second, t.clock
    earliest, latest, flags = clock.low, clock.high, clock.flags
    clocks, field = t.clocks, FULL - 1
    fill, broken = t.filler.fill, t.rules.broken
    one_broken = t.problem.broken
    logs = t.logs
    proposals = schedule.proposals
    heat = schedule.hot
    cooling = exp(log(schedule.cold / schedule.hot) * CHUNK / max(1, proposals))
    replace, exchange, insert, remove = mix.replace, mix.exchange, mix.insert, mix.remove
    relocate, toggle = mix.relocate, mix.toggle
    offset = random.randrange(LOGS // CHUNK) * CHUNK
    for begin in range(0, proposals, CHUNK):
        heat *= cooling
        offset = (offset + CHUNK) % LOGS
        for luck in logs[offset : offset + min(CHUNK, proposals - begin)]:
            need = heat * luck - penalty
            # what goes: the node at i; what comes: `new` before the place j
            kind = draw()
            i = j = 0
            old = new = -1
            block: Block | None = None
            if kind >= toggle:
                block = propose(t, seq, draw)
                if block is None:
                    continue
                delta, spent = difference(t, seq, block)
                if delta < need:
                    continue
                spent += seconds
                come = gone = 0
            elif size and (kind < exchange or kind >= insert):
                i = 1 + int(draw() * size)
                old = seq[i]
                p, q = seq[i - 1], seq[i + 1]
                delta = cost[p][old] + cost[old][q] - value[old]
                if kind < replace:
                    j = i
                    a, b = p, q
                elif kind < exchange or remove <= kind < relocate:
                    j = 1 + int(draw() * (size + 1))
                    if j == i or j == i + 1:
                        continue
                    a, b = seq[j - 1], seq[j]
                    delta += cost[a][b] - cost[p][q]
                elif kind < remove:
                    delta -= cost[p][q]
                else:
                    j = i
                    a, b = p, q
            elif kind < insert:
                j = 1 + int(draw() * (size + 1))
                a, b = seq[j - 1], seq[j]
                delta = cost[a][b]
            else:
                continue
            if kind < toggle:
                if kind < insert:
                    options, added = gaps.get(a * wide + b) or between(a, b)
                    r = draw()
                    x = int(len(options) * r * r)
                    for new in options[x : x + TRIED]:
                        if item[new] not in used:
                            break
                        x += 1
                    else:
                        continue
                    delta += added[x]
                elif kind >= remove:
                    options = twins[old]
                    if kind < relocate:
                        options = [k for k in options if stage[a] <= stage[k] <= stage[b]]
                        if not options:
                            continue
                    elif len(options) == 1:
                        continue
                    new = options[int(draw() * len(options))]
                    delta += value[new] - cost[a][new] - arc(new, b)

                come = mask[new] if new >= 0 else 0
                gone = mask[old] if old >= 0 else 0
                if come != gone:
                    both = come & gone
                    come ^= both
                    gone ^= both
                    delta += tally.change(come, gone)
                if delta < need:
                    continue
                if new >= 0 and delta < need + one_broken and steady.breaks(old, new):
                    continue

                spent = seconds
                if old >= 0:
                    row = time[p]
                    spent -= (
                        load[old] + row[old] * second[old] + (lead[q][old] - row[q]) * second[q]
                    )
                if new >= 0:
                    row = time[a]
                    x = time[p][q] if i == j else row[b]
                    spent += load[new] + row[new] * second[new] + (lead[b][new] - x) * second[b]
            fits = (spent + earliest) & (latest - spent) & flags == flags
            if not fits:
                totals = []
                alone = together = 0  # the least points of single stages, and of any wider window
                for at, early, late, longest, single in clocks:
                    total = spent >> at & field
                    totals.append(total)
                    off = early - total if total < early else total - late
                    if off > 0:
                        points = STEP_COST * (1 + (off - 1) // longest)
                        points = min(points, UNMET_AT_ALL + UNMET * off)
                        if single:
                            alone += points
                        elif points > together:
                            together = points
                if delta - max(alone, together) < need:
                    continue
            whole = seq.copy()
            if block:
                whole[block[0] : block[1]] = block[2]
            elif not i:
                whole.insert(j, new)
            elif new < 0:
                del whole[i]
            elif i < j:
                whole.insert(j, new)
                del whole[i]
            else:
                del whole[i]
                whole.insert(j, new)
            inner = whole[1:-1]
            calm = (
                not flaws
                and not block
                and (old < 0 or steady.may_lose(old, p, q))
                and (new < 0 or (steady.may_take(new, a, b) and not steady.breaks(old, new)))
            )
            broke = 0 if calm else broken(inner)
            if delta - broke < need:
                continue
            unmet = filled = 0
            if not fits:
                filled, unmet, _ = fill(inner, totals)
                filled += unmet
                if delta - broke - filled < need:
                    continue
            # made
            seq, seconds = whole, spent
            worth += delta
            penalty = filled + broke
            flaws = broke
            if old != new:
                if old >= 0:
                    used.discard(item[old])
                if new >= 0:
                    used.add(item[new])
                    if not cost[new]:
                        t.open(new)
                if come != gone:
                    tally.take(come, gone)
                steady.change(old, new, inner)
                size = len(seq) - 2
            objective = worth - penalty
            if objective > found.objective or not found.whole:
                if not (flaws or unmet or impossible(t, seq, tally.counts)):
                    found = Found(inner, objective, True)
                    if stop:
                        return found
                elif objective > found.objective and not found.whole:
                    found = Found(inner, objective, False)
    return found
