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

from core.planner.clock import FULL
from core.planner.fill import STEP_COST
from core.planner.state import State, impossible
from core.planner.structure import BROKEN
from core.planner.terrain import LOGS, Terrain

CHUNK = 32  # proposals at one temperature
REACH = 8  # how far neighbours are moved together
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

    replace: float = 0.25
    exchange: float = 0.70
    insert: float = 0.82
    remove: float = 0.86
    relocate: float = 0.93
    toggle: float = 0.96


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
    seq, seconds, counts = state.seq, state.seconds, state.counts
    worth, penalty = state.worth, state.penalty
    size = len(seq) - 2
    objective = worth - penalty
    found = Found(seq[1:-1], objective, not state.shortfall(t))

    cost, time, lead, gaps, between, arc = t.cost, t.time, t.lead, t.gaps, t.between, t.arc
    wide = len(t.stage)
    value, item, stage, mask, twins = t.value, t.item, t.stage, t.mask, t.twins
    nodes = t.problem.nodes
    family = [n.family for n in nodes]
    alone = [n.series < 0 for n in nodes]
    used = {item[k] for k in seq[1:-1]}
    families: dict[int, int] = {}
    for k in seq[1:-1]:
        families[family[k]] = families.get(family[k], 0) + 1
    may_go, gives, needs = t.rules.may_go, t.rules.gives, t.rules.needs
    climbs = [n.stage <= t.problem.summit for n in nodes] + [True, False]
    given = needed = 0  # by all nodes of the sequence
    for k in seq[1:-1]:
        given |= gives[k]
        needed |= needs[k]
    run = [n.run for n in nodes] + [-1, -1]
    track = [n.track for n in nodes] + [-1, -1]
    one_track = len(set(track)) <= 2
    series = [n.series for n in nodes] + [-1, -1]
    peak = [n.peak for n in nodes]
    flaws = state.flaws
    highest = max([peak[k] for k in seq[1:-1]], default=0)
    balances = t.problem.balances
    tips = 0
    for balance in balances:
        tips |= 1 << balance.heavy | 1 << balance.light
    gain = t.gain
    covers = t.covers
    # quotas that pay for one node more, and those that would pay less for one node less
    paying = sum(1 << x for x, count in enumerate(counts) if gain[x][count])
    paid = sum(1 << x for x, count in enumerate(counts) if count and gain[x][count - 1])
    up: dict[int, int] = {}
    down: dict[int, int] = {}
    tilt: dict[tuple[int, int], int] = {}
    load, second, clock = t.load, t.second, t.clock
    earliest, latest, flags = clock.low, clock.high, clock.flags
    clocks, field = clock.windows, FULL - 1
    fill, broken = t.filler.fill, t.rules.broken
    longest = t.longest
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
            delta = 0
            if kind >= toggle:  # two or three neighbours elsewhere, perhaps turned round
                if size < 4:
                    continue
                i = 1 + int(draw() * size)
                if draw() < 0.5:  # turned round where it is
                    x = i + 2 + int(draw() * REACH)
                    if x > size + 1:
                        continue
                    j = i
                    part = seq[i:x]
                    part.reverse()
                else:
                    x = i + 2 + int(draw() * 2)
                    j = i + int((draw() - 0.5) * 2 * REACH)
                    if x > size + 1 or j < 1 or j > size + 1 or i <= j < x:
                        continue
                    part = seq[i:x]
                    if draw() < 0.5:
                        part.reverse()
                if j <= i:
                    low, high = j, x
                    part += seq[j:i]
                else:
                    low, high = i, j
                    part = seq[x:j] + part
                a = seq[low - 1]
                spent = 0
                for b in seq[low : high + 1]:
                    delta += cost[a][b]
                    spent -= time[a][b] * second[b]
                    a = b
                a = seq[low - 1]
                for b in part:
                    delta -= cost[a][b]
                    spent += time[a][b] * second[b]
                    a = b
                b = seq[high]
                delta -= cost[a][b]
                if delta < need:
                    continue
                spent += time[a][b] * second[b] + seconds
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
                    offered = gaps.get(a * wide + b)
                    if offered is None:
                        offered = between(a, b)
                    options, added = offered
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
                        low, high = stage[a], stage[b]
                        options = [k for k in options if low <= stage[k] <= high]
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
                    key = come & paying
                    more = up.get(key)
                    if more is None:
                        more = up[key] = sum([gain[x][counts[x]] for x in covers[key]])
                    key = gone & paid
                    less = down.get(key)
                    if less is None:
                        less = down[key] = sum([gain[x][counts[x] - 1] for x in covers[key]])
                    delta += more - less
                    if (come | gone) & tips:
                        pair = (come & tips, gone & tips)
                        less = tilt.get(pair)
                        if less is None:
                            after = counts.copy()
                            for x in covers[come]:
                                after[x] += 1
                            for x in covers[gone]:
                                after[x] -= 1
                            less = tilt[pair] = t.unbalanced(after) - t.unbalanced(counts)
                        delta -= less
                if delta < need:
                    continue
                if new >= 0 and delta < need + BROKEN:
                    if needs[new] and not needs[new] & given:
                        continue
                    f = family[new]
                    if alone[new] and families.get(f, 0) > (old >= 0 and family[old] == f):
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
                least = 0
                for at, early, late in clocks:
                    total = spent >> at & field
                    totals.append(total)
                    if total < early:
                        least = max(least, early - total)
                    elif total > late:
                        least = max(least, total - late)
                if delta - STEP_COST * (1 + (least - 1) // longest) < need:
                    continue
            whole = seq.copy()
            if kind >= toggle:
                whole[low:high] = part
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
            # a flawless state stays so if nothing that the rules ask about is touched
            calm = not flaws and kind < toggle
            if calm and old >= 0:
                calm = (
                    may_go[old]
                    and not gives[old] & needed
                    and peak[old] < highest
                    and run[p] != run[q]
                    and (one_track or track[p] == track[old] == track[q])
                    and (climbs[q] or not climbs[old])
                )
            if calm and new >= 0:
                calm = (
                    series[new] < 0
                    and not needs[new]
                    and peak[new] <= highest
                    and run[new] != run[a]
                    and run[new] != run[b]
                    and (one_track or track[a] == track[new] == track[b])
                    and (climbs[b] or not climbs[new])
                    and (series[a] != series[b] or series[a] < 0)
                    and families.get(family[new], 0) <= (old >= 0 and family[old] == family[new])
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
            if (new >= 0 and peak[new] > highest) or (old >= 0 and peak[old] == highest):
                highest = max([peak[k] for k in inner], default=0)
            if old != new:
                if old >= 0:
                    used.discard(item[old])
                    families[family[old]] -= 1
                if new >= 0:
                    used.add(item[new])
                    families[family[new]] = families.get(family[new], 0) + 1
                    if not cost[new]:
                        t.open(new)
                if come != gone:
                    for x in covers[come]:
                        counts[x] += 1
                    for x in covers[gone]:
                        counts[x] -= 1
                    for x in covers[come | gone]:
                        bit, count = 1 << x, counts[x]
                        paying = paying | bit if gain[x][count] else paying & ~bit
                        paid = paid | bit if count and gain[x][count - 1] else paid & ~bit
                    up.clear()
                    down.clear()
                    tilt.clear()
                size = len(seq) - 2
                given = needed = 0
                for k in inner:
                    given |= gives[k]
                    needed |= needs[k]
            objective = worth - penalty
            if objective > found.objective or not found.whole:
                if not (flaws or unmet or impossible(t, seq, counts)):
                    found = Found(inner, objective, True)
                    if stop:
                        return found
                elif objective > found.objective and not found.whole:
                    found = Found(inner, objective, False)
    return found
