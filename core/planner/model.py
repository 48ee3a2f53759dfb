"""The trade as an abstract problem: brief, library and recent classes become nodes and tables."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from core.brief import ClassBrief
from core.exercise import Direction, Exercise, ExerciseId
from core.planner import weights as w
from core.planner.choice import Choice
from core.planner.kept import Kept
from core.planner.nodes import Index, Maker, quotas_of, windows
from core.planner.problem import NEVER, Balance, Node, Problem, Table
from core.planner.request import Request
from core.planner.tables import tables
from core.timing import Clock


@dataclass(frozen=True, slots=True)
class Model:
    """A problem and what each of its nodes means."""

    problem: Problem
    choices: tuple[Choice, ...]

    def nodes_of(self, exercise_id: ExerciseId) -> list[int]:
        """The nodes of an exercise."""
        return [k for k, c in enumerate(self.choices) if c.exercise.id == exercise_id]


def build(
    request: Request, pool: Sequence[Exercise], random: Random, kept: Kept | None = None
) -> Model:
    """The problem of planning a request from `pool`.

    Args:
        random: source of the small preferences that make two seeds differ.
        kept: what an earlier plan had; its items, order and repetitions are worth points.
    """
    brief = request.brief
    kept = kept or Kept()
    clock = Clock.of(brief, request.pace)
    quotas = quotas_of(brief, pool)
    maker = Maker(brief, clock, Index(pool), quotas, kept)
    tasted = request.taste.all_points()
    made: list[tuple[Node, Choice]] = []
    for number, e in enumerate(pool):
        likes = random.randint(-w.TASTE, w.TASTE) - w.RECENT * (e.id in request.recent)
        likes -= request.room.price(e) if request.room else 0
        likes += tasted.get(e.id, 0)
        made += maker.make(e, number, likes)
    made.sort(key=lambda pair: pair[0].stage)
    nodes = tuple(node for node, _ in made)
    choices = tuple(choice for _, choice in made)
    cost, time = tables(choices, [node.stage for node in nodes], request.repertoire, clock)
    _keep_pairs(cost, choices, kept)
    by_name = {quota.name: k for k, quota in enumerate(quotas)}
    must = {*brief.must, *kept.pinned()}
    return Model(
        Problem(
            nodes=nodes,
            stages=len(w.PHASE_OF_STAGE),
            cost=cost,
            time=time,
            windows=windows(brief),
            quotas=quotas,
            balances=(
                Balance(by_name[Direction.FLEXION], by_name[Direction.EXTENSION], w.FLEXION_RATIO),
            ),
            required=frozenset(k for k, e in enumerate(pool) if e.id in must),
            longest_run=w.LONGEST_RUN,
            track_changes=2 * (len(brief.apparatus) - 1),
            summit=w.CLIMB,
        ),
        choices,
    )


def pool_of(request: Request, kept: Kept | None = None) -> tuple[Exercise, ...]:
    """What may be in the class at all: apparatus, level, what it does without; what is kept."""
    brief = request.brief
    there = {step.exercise.id for step in kept.steps} if kept else set()
    return tuple(
        e
        for e in request.repertoire.exercises.values()
        if e.id in there
        or (
            e.apparatus in brief.apparatus
            and (e.level <= brief.top_level or e.id in brief.must)
            and e.id not in brief.dropped
            and not barred(e, brief)
            and not (request.room and request.room.barred_for(e))
        )
    )


def barred(e: Exercise, brief: ClassBrief) -> bool:
    """Whether something the class does without rules the exercise out."""
    return any(bar.rules_out(e) for bar in brief.without)


def _keep_pairs(cost: Table, choices: Sequence[Choice], kept: Kept) -> None:
    """Make neighbours of the earlier plan cheaper to keep side by side."""
    nodes: defaultdict[ExerciseId, list[int]] = defaultdict(list)
    for k, choice in enumerate(choices):
        nodes[choice.exercise.id].append(k)
    for a, b in kept.pairs():
        for m in nodes[a]:
            for n in nodes[b]:
                if cost[m, n] < NEVER:
                    cost[m, n] -= w.KEEP_PAIR
