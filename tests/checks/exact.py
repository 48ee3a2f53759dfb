"""The abstract problem as a constraint model, written apart from the search: CP-SAT proves optima.

Every rule is hard here; the search knows the same rules as penalties. A circuit through the nodes
and one place before and after everything is the sequence; nodes that are left out loop on
themselves. Windows are linear, since a stage's seconds are a sum over its nodes and arcs.
"""

from dataclasses import dataclass
from itertools import combinations, pairwise

from ortools.sat.python import cp_model

from core.planner.fill import STEP_COST
from core.planner.problem import NEVER, Problem


@dataclass(frozen=True, slots=True)
class Answer:
    """What the solver says of a problem.

    Attributes:
        status: "optimal", "feasible", "impossible" or "unknown".
        objective, bound: points; 0 where there is no solution.
        nodes, steps: the solution in order.
    """

    status: str
    objective: int = 0
    bound: int = 0
    nodes: tuple[int, ...] = ()
    steps: tuple[int, ...] = ()


NAMES = {
    cp_model.OPTIMAL: "optimal",
    cp_model.FEASIBLE: "feasible",
    cp_model.INFEASIBLE: "impossible",
}


def solve(
    problem: Problem,
    seconds: float,
    *,
    hint: tuple[tuple[int, ...], tuple[int, ...]] | None = None,
    presolve: bool = True,
    workers: int = 1,
) -> Answer:
    """The best solution of a problem and whether it is proved so.

    Args:
        hint: nodes and steps of a known solution; it is a start, not a bound.
        presolve: off to trust "impossible" with assumptions about single rules.
    """
    made = Exact(problem)
    if hint:
        made.suggest(*hint)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.cp_model_presolve = presolve
    status = solver.solve(made.model)
    name = NAMES.get(status, "unknown")
    if name not in ("optimal", "feasible"):
        return Answer(name)
    follows = {a: b for (a, b), arc in made.arcs.items() if solver.boolean_value(arc)}
    nodes: list[int] = []
    at = follows[made.depot]
    while at != made.depot:
        nodes.append(at)
        at = follows[at]
    steps = tuple(
        next(s for s, y in enumerate(made.steps[k]) if solver.boolean_value(y)) for k in nodes
    )
    bound = round(solver.best_objective_bound)
    return Answer(name, round(solver.objective_value), bound, tuple(nodes), steps)


class Exact:
    """The variables and constraints of one problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.model = cp_model.CpModel()
        self.depot = len(problem.nodes)
        size = range(self.depot)
        self.there = [self.model.new_bool_var(f"there {k}") for k in size]
        self.steps = [
            [self.model.new_bool_var(f"step {k} {s}") for s in range(len(problem.nodes[k].times))]
            for k in size
        ]
        self.arcs = {
            (a, b): self.model.new_bool_var(f"arc {a} {b}")
            for a in (*size, self.depot)
            for b in (*size, self.depot)
            if a != b and self._allowed(a, b)
        }
        self.place = [self.model.new_int_var(1, self.depot, f"place {k}") for k in size]
        self._sequence()
        self._windows()
        self._sets()
        self._order()
        self._summit()
        self._objective()

    def suggest(self, nodes: tuple[int, ...], steps: tuple[int, ...]) -> None:
        """Give the solver a known solution to start from, complete in nodes, arcs and steps."""
        way = (self.depot, *nodes, self.depot)
        taken = set(pairwise(way))
        for pair, arc in self.arcs.items():
            self.model.add_hint(arc, pair in taken)
        known = dict(zip(nodes, steps, strict=True))
        for k, there in enumerate(self.there):
            self.model.add_hint(there, k in known)
            for s, step in enumerate(self.steps[k]):
                self.model.add_hint(step, known.get(k) == s)
            self.model.add_hint(self.place[k], nodes.index(k) + 1 if k in known else 1)

    def _allowed(self, a: int, b: int) -> bool:
        nodes, last = self.problem.nodes, self.problem.stages - 1
        if a == self.depot:
            return nodes[b].stage == 0
        if b == self.depot:
            return nodes[a].stage == last
        return int(self.problem.cost[a, b]) < NEVER

    def _sequence(self) -> None:
        model = self.model
        ways: list[tuple[int, int, cp_model.LiteralT]] = [(*ab, x) for ab, x in self.arcs.items()]
        ways += [(k, k, ~there) for k, there in enumerate(self.there)]
        model.add_circuit(ways)
        for k, there in enumerate(self.there):
            model.add(sum(self.steps[k]) == there)
        for (a, b), arc in self.arcs.items():
            if self.depot not in (a, b):
                model.add(self.place[b] >= self.place[a] + 1).only_enforce_if(arc)

    def _windows(self) -> None:
        problem = self.problem
        for window in problem.windows:
            inside = {
                k for k, n in enumerate(problem.nodes) if window.first <= n.stage <= window.last
            }
            work = [
                problem.nodes[k].times[s] * y for k in inside for s, y in enumerate(self.steps[k])
            ]
            change = [
                int(problem.time[a, b]) * arc
                for (a, b), arc in self.arcs.items()
                if b in inside and a != self.depot
            ]
            self.model.add_linear_constraint(sum(work) + sum(change), window.low, window.high)

    def _sets(self) -> None:
        """Items once, families once, quotas, balances, tracks, what must be there."""
        model, problem, nodes = self.model, self.problem, self.problem.nodes
        items: dict[int, list[int]] = {}
        families: dict[int, list[int]] = {}
        for k, n in enumerate(nodes):
            items.setdefault(n.item, []).append(k)
            families.setdefault(n.family, []).append(k)
        for item, twins in items.items():
            chosen = sum(self.there[k] for k in twins)
            model.add(chosen == 1 if item in problem.required else chosen <= 1)
        for item in problem.required - items.keys():
            raise ValueError(f"item {item} has no node")
        for kin in families.values():
            for a, b in combinations(kin, 2):
                if nodes[a].item != nodes[b].item and not 0 <= nodes[a].series == nodes[b].series:
                    model.add_at_most_one(self.there[a], self.there[b])
        self.counts = [
            sum(self.there[k] for k, n in enumerate(nodes) if q in n.covers)
            for q in range(len(problem.quotas))
        ]
        for quota, count in zip(problem.quotas, self.counts, strict=True):
            model.add(count >= quota.least)
        for each in problem.balances:
            model.add(self.counts[each.heavy] <= each.ratio * self.counts[each.light])
        changes = [
            arc
            for (a, b), arc in self.arcs.items()
            if self.depot not in (a, b) and nodes[a].track != nodes[b].track
        ]
        model.add(sum(changes) <= problem.track_changes)

    def _order(self) -> None:
        """Series stand together, preparations come first, runs stay short."""
        model, problem, nodes = self.model, self.problem, self.problem.nodes
        for series in {n.series for n in nodes if n.series >= 0}:
            inside = {k for k, n in enumerate(nodes) if n.series == series}
            entered = [arc for (a, b), arc in self.arcs.items() if b in inside and a not in inside]
            model.add(sum(entered) <= 1)
        for k, n in enumerate(nodes):
            if not n.needs:
                continue
            ready = []
            for g, giver in enumerate(nodes):
                if giver.gives & n.needs and giver.item != n.item and giver.stage <= n.stage:
                    first = model.new_bool_var(f"{g} before {k}")
                    model.add_implication(first, self.there[g])
                    model.add(self.place[g] + 1 <= self.place[k]).only_enforce_if(first)
                    ready.append(first)
            model.add_bool_or([*ready, ~self.there[k]])
        run = [model.new_int_var(0, problem.longest_run - 1, f"run {k}") for k in range(self.depot)]
        for (a, b), arc in self.arcs.items():
            if self.depot not in (a, b) and nodes[a].run == nodes[b].run:
                model.add(run[b] >= run[a] + 1).only_enforce_if(arc)

    def _summit(self) -> None:
        """The last node of the ascent is as high as any."""
        nodes, summit = self.problem.nodes, self.problem.summit
        highest = self.model.new_int_var(0, max((n.peak for n in nodes), default=0), "highest")
        for k, there in enumerate(self.there):
            self.model.add(highest >= nodes[k].peak).only_enforce_if(there)
        for (a, b), arc in self.arcs.items():
            climbs = a != self.depot and nodes[a].stage <= summit
            if climbs and (b == self.depot or nodes[b].stage > summit):
                self.model.add(highest <= nodes[a].peak).only_enforce_if(arc)

    def _objective(self) -> None:
        problem = self.problem
        points = [n.value * self.there[k] for k, n in enumerate(problem.nodes)]
        points += [
            -int(problem.cost[a, b]) * arc
            for (a, b), arc in self.arcs.items()
            if self.depot not in (a, b)
        ]
        points += [
            -STEP_COST * abs(s - problem.nodes[k].usual) * y
            for k, choices in enumerate(self.steps)
            for s, y in enumerate(choices)
        ]
        for number, (quota, count) in enumerate(zip(problem.quotas, self.counts, strict=True)):
            paid = [self.model.new_bool_var(f"{number} {n}") for n in range(len(quota.rewards))]
            self.model.add(sum(paid) <= count)
            for one, more in pairwise(paid):
                self.model.add_implication(more, one)
            points += [r * y for r, y in zip(quota.rewards, paid, strict=True)]
        self.model.maximize(sum(points))
