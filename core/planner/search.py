"""Simulated annealing on the true objective, with delta evaluation and exact time inside the move.

Every state of the search is a complete sequence; its objective is value + quotas - change-overs -
steps away from the usual, less a penalty for what is still broken, so that any state without a
penalty is a plan. Repetitions are filled while a move is judged, so no state is better on paper
than on the clock. Kirkpatrick, Gelatt & Vecchi, Science 1983;220:671-680 (from memory).

Randomness is handed in and the budget is a number of proposals: same seed, same solution.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp, log
from random import Random

from core.planner.fill import STEP_COST, fill
from core.planner.problem import NEVER, Problem, Solution, with_sentinels
from core.planner.structure import broken

NEAREST = 24  # the fewest successors kept for a node; else the better 40 %
HOT, COLD = 20.0, 2.0  # temperatures in points
REHEAT = 9.0
LOGS = 8192
LOPSIDED = 60  # points for each the heavy side of a balance is over


@dataclass(frozen=True, slots=True)
class Budget:
    """How much to search: `anneals` runs of `length` proposals, then the best once more."""

    anneals: int = 3
    length: int = 14_000
    last: int = 14_000


@dataclass(frozen=True, slots=True)
class _Move:
    """Put `segment` in place of seq[low:high]; `gone` leaves and `come` is new, -1 is none."""

    low: int
    high: int
    segment: list[int]
    gone: int = -1
    come: int = -1


class _State:
    """A sequence between two sentinels, with the parts of its objective."""

    __slots__ = ("base", "counts", "cover", "durations", "filled", "flaws", "seq", "used")

    def __init__(self, seq: list[int], used: set[int]) -> None:
        self.seq = seq
        self.used = used
        self.durations: list[int] = []
        self.counts: list[int] = []
        self.cover = 0
        self.base = 0
        self.filled = 0
        self.flaws = 0

    @property
    def score(self) -> int:
        return self.base + self.cover - self.filled - self.flaws


class Search:
    """One problem, one source of randomness; `run` gives the best solution found."""

    def __init__(self, problem: Problem, random: Random) -> None:
        self.problem = problem
        self.random = random
        self.nodes = problem.nodes
        self.start, self.end = len(self.nodes), len(self.nodes) + 1
        self.cost, self.time = with_sentinels(problem)
        self.usual = [node.times[node.usual] for node in self.nodes]
        self.stage = [node.stage for node in self.nodes] + [0, problem.stages - 1]
        self.longest = max((node.step for node in self.nodes), default=1.0) or 1.0
        self.twins: dict[int, list[int]] = {}
        self.by_stage: list[list[int]] = [[] for _ in range(problem.stages)]
        for i, node in enumerate(self.nodes):
            self.twins.setdefault(node.item, []).append(i)
            self.by_stage[node.stage].append(i)
        self.near: dict[tuple[int, int], list[int]] = {}
        self.gain = [
            [quota.worth(c + 1) - quota.worth(c) for c in range(99)] for quota in problem.quotas
        ]
        self.logs = [log((k + 0.5) / LOGS) for k in range(LOGS)]
        self.random.shuffle(self.logs)
        self.iterations = 0

    def run(self, budget: Budget, first: Sequence[int] = ()) -> Solution:
        """The best solution of several anneals; `first` is where the first one starts.

        Without anneals only the last, cooler one is run, from `first`: that is how edits stay near
        what was there.
        """
        best: list[int] = list(first)
        best_score: int | None = None
        for k in range(budget.anneals):
            start = list(first) if k == 0 else []
            score, seq = self._anneal(start, budget.length, HOT)
            if best_score is None or score > best_score:
                best_score, best = score, seq
        score, seq = self._anneal(best, budget.last, REHEAT)
        return self.settle(seq if best_score is None or score >= best_score else best)

    def settle(self, seq: Sequence[int]) -> Solution:
        """The solution a sequence of nodes makes, with its exact steps and objective."""
        state = self._state(list(seq))
        nodes = [self.nodes[i] for i in seq]
        _, unmet, steps = fill(nodes, list(state.durations), self.problem.windows)
        short = unmet + state.flaws + self._impossible(state)
        return Solution(tuple(seq), tuple(steps), state.score, short, self.iterations)

    def _impossible(self, state: _State) -> int:
        """Points of arcs that must not be taken, empty stages, and quotas that are missed."""
        arcs = sum(self.cost[a][b] >= NEVER for a, b in pairwise(state.seq))
        wanting = sum(
            max(0, q.least - c) for q, c in zip(self.problem.quotas, state.counts, strict=True)
        )
        return NEVER * (arcs + wanting)

    def _state(self, inner: list[int]) -> _State:
        nodes = [self.nodes[i] for i in inner]
        problem = self.problem
        state = _State([self.start, *inner, self.end], {node.item for node in nodes})
        state.durations = [0] * problem.stages
        for a, b in pairwise(state.seq):
            state.base -= self.cost[a][b]
            if b != self.end:
                state.base += self.nodes[b].value
                state.durations[self.stage[b]] += self.time[a][b] + self.usual[b]
        state.counts = [0] * len(problem.quotas)
        for node in nodes:
            for quota in node.covers:
                state.counts[quota] += 1
        state.cover = sum(
            q.worth(c) for q, c in zip(problem.quotas, state.counts, strict=True)
        ) - self._unbalanced(state.counts)
        changed, unmet, _ = fill(nodes, list(state.durations), problem.windows)
        state.filled = changed + unmet
        state.flaws = broken(problem, nodes)
        return state

    def _unbalanced(self, counts: list[int]) -> int:
        points = 0
        for b in self.problem.balances:
            over = counts[b.heavy] - b.ratio * counts[b.light]
            if over > 0:
                points += LOPSIDED * over
        return points

    def _successors(self, a: int, stage: int) -> list[int]:
        """Nodes of a stage that may follow `a`, the most worthwhile first."""
        key = (a, stage)
        found = self.near.get(key)
        if found is None:
            row = self.cost[a]
            worth = [
                (self.nodes[b].value - row[b], -b)
                for b in self.by_stage[stage]
                if a == self.start or row[b] < NEVER
            ]
            worth.sort(reverse=True)
            keep = max(NEAREST, len(worth) * 2 // 5)
            found = self.near[key] = [-b for _, b in worth[:keep]]
        return found

    def _anneal(self, start: list[int], proposals: int, hot: float) -> tuple[int, list[int]]:
        state = self._state(start)
        best_score, best = state.score, state.seq[1:-1]
        cooling = exp(log(COLD / hot) / max(1, proposals))
        heat = hot
        logs = self.logs
        offset = self.random.randrange(LOGS)
        for k in range(proposals):
            heat *= cooling
            move = self._propose(state)
            if move is None:
                continue
            threshold = state.score + heat * logs[(k + offset) % LOGS]
            if self._accept(state, move, threshold) and state.score > best_score:
                best_score, best = state.score, state.seq[1:-1]
        self.iterations += proposals
        return best_score, best

    def _propose(self, state: _State) -> _Move | None:
        """A change near the present sequence, or None when the draw came to nothing."""
        seq, draw = state.seq, self.random.random
        size = len(seq) - 2
        kind = draw()
        if size == 0 or kind < 0.12:  # insert
            at = 1 + int(draw() * (size + 1))
            new = self._candidate(state, at - 1, at)
            return None if new < 0 else _Move(at, at, [new], come=new)
        at = 1 + int(draw() * size)
        old = seq[at]
        if kind < 0.37:  # replace
            new = self._candidate(state, at - 1, at + 1)
            return None if new < 0 else _Move(at, at + 1, [new], old, new)
        if kind < 0.42:  # remove
            return _Move(at, at + 1, [], gone=old)
        if kind < 0.93:
            to = 1 + int(draw() * (size + 1))
            if to in (at, at + 1):
                return None
            if kind < 0.82:  # remove here, insert there
                new = self._candidate(state, to - 1, to)
                if new < 0:
                    return None
            else:  # relocate, perhaps into another stage
                new = self._restaged(state, at, to)
            gone, come = (old, new) if new != old else (-1, -1)
            if to < at:
                return _Move(to, at + 1, [new, *seq[to:at]], gone, come)
            return _Move(at, to, [*seq[at + 1 : to], new], gone, come)
        if kind < 0.97:
            return self._companion(state, at)
        to = min(size, at + 1 + int(draw() * 3))  # reverse a short stretch
        return None if to <= at else _Move(at, to + 1, seq[at : to + 1][::-1])

    def _candidate(self, state: _State, before: int, after: int) -> int:
        """A node that may stand between two places, better ones more often; -1 for none."""
        draw = self.random.random
        a = state.seq[before]
        low, high = self.stage[a], self.stage[state.seq[after]]
        stage = low if low >= high else low + int(draw() * (high - low + 1))
        found = self._successors(a, stage)
        if not found:
            return -1
        r = draw()
        new = found[int(len(found) * r * r)]
        return -1 if self.nodes[new].item in state.used else new

    def _restaged(self, state: _State, at: int, to: int) -> int:
        """The node of the item at a place that suits the stages around another place."""
        i = state.seq[at]
        low, high = sorted((self.stage[state.seq[to - 1]], self.stage[state.seq[to]]))
        twins = [j for j in self.twins[self.nodes[i].item] if low <= self.stage[j] <= high]
        return twins[int(self.random.random() * len(twins))] if twins else i

    def _companion(self, state: _State, at: int) -> _Move | None:
        """One more of a series beside a member of it, or what a node needs just before it."""
        node = self.nodes[state.seq[at]]
        if node.series >= 0:
            kin = [
                j
                for j in self.by_stage[node.stage]
                if self.nodes[j].series == node.series and self.nodes[j].item not in state.used
            ]
            if kin:
                new = self.random.choice(kin)
                place = at + 1 if self.nodes[new].place > node.place else at
                return _Move(place, place, [new], come=new)
        if node.needs:
            givers = [
                j
                for stage in self.by_stage[: node.stage + 1]
                for j in stage
                if self.nodes[j].gives & node.needs and self.nodes[j].item not in state.used
            ]
            if givers:
                new = self.random.choice(givers)
                return _Move(at, at, [new], come=new)
        return None

    def _accept(self, state: _State, move: _Move, threshold: float) -> bool:
        """Make the move if the score then reaches the threshold; cheap doubts come first."""
        seq, nodes, cost = state.seq, self.nodes, self.cost
        low, high, segment = move.low, move.high, move.segment
        base, cover, counts = state.base, state.cover, state.counts
        a = before = seq[low - 1]
        for b in seq[low : high + 1]:
            base += cost[a][b]
            a = b
        a = before
        for b in segment:
            base -= cost[a][b]
            a = b
        base -= cost[a][seq[high]]
        if move.gone >= 0 or move.come >= 0:
            counts = counts.copy()
            cover += self._unbalanced(counts)
            if move.gone >= 0:
                base -= nodes[move.gone].value
                for quota in nodes[move.gone].covers:
                    counts[quota] -= 1
                    cover -= self.gain[quota][counts[quota]]
            if move.come >= 0:
                base += nodes[move.come].value
                for quota in nodes[move.come].covers:
                    cover += self.gain[quota][counts[quota]]
                    counts[quota] += 1
            cover -= self._unbalanced(counts)
        score = base + cover
        if score < threshold:
            return False
        durations = self._durations(state, move)
        off = self._off(durations)
        if off and score - off * STEP_COST / self.longest < threshold:
            return False
        whole = [*seq[:low], *segment, *seq[high:]]
        inner = [nodes[i] for i in whole[1:-1]]
        filled = 0
        if off:
            changed, unmet, _ = fill(inner, durations.copy(), self.problem.windows)
            filled = changed + unmet
            if score - filled < threshold:
                return False
        flaws = broken(self.problem, inner)
        if score - filled - flaws < threshold:
            return False
        state.seq, state.base, state.cover = whole, base, cover
        state.durations, state.counts = durations, counts
        state.filled, state.flaws = filled, flaws
        if move.gone >= 0 or move.come >= 0:
            state.used = {node.item for node in inner}
        return True

    def _durations(self, state: _State, move: _Move) -> list[int]:
        """Seconds of each stage after a move, at usual steps."""
        durations = state.durations.copy()
        seq, stage, time, end = state.seq, self.stage, self.time, self.end
        before = a = seq[move.low - 1]
        for b in seq[move.low : move.high + 1]:
            if b != end:
                durations[stage[b]] -= time[a][b]
            a = b
        a = before
        for b in move.segment:
            durations[stage[b]] += time[a][b]
            a = b
        after = seq[move.high]
        if after != end:
            durations[stage[after]] += time[a][after]
        if move.gone >= 0:
            durations[stage[move.gone]] -= self.usual[move.gone]
        if move.come >= 0:
            durations[stage[move.come]] += self.usual[move.come]
        return durations

    def _off(self, durations: list[int]) -> int:
        """Seconds by which the worst window is missed; fill costs at least a step for each."""
        worst = 0
        for window in self.problem.windows:
            total = sum(durations[window.first : window.last + 1])
            if total < window.low:
                worst = max(worst, window.low - total)
            elif total > window.high:
                worst = max(worst, total - window.high)
        return worst
