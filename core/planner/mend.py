"""A sequence of steps made to fit the clock and the rules with as little change as there can be.

Nothing is searched at large: repetitions first, then sets and the borders between phases, then one
other exercise taken out, put in or exchanged. What is found is the first that keeps every rule.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from core import rules
from core.exercise import Exercise, ExerciseId, Phase
from core.plan import ClassPlan, Finding, Item, Pin, Search, Step, Weight
from core.planner import weights as w
from core.planner.choice import Choice, settings_of
from core.planner.fill import fill
from core.planner.finish import checked
from core.planner.nodes import sets_of
from core.planner.problem import Node, Window
from core.planner.request import Request
from core.planner.springs import choose
from core.timing import Clock, closing_s, duration_s, opening_s, setup_s, timeline

ORDER = tuple(Phase)
SHAPES = (  # rules that ask nothing of the clock
    rules.phases_in_order,
    rules.levels_step,
    rules.families_once,
    rules.series_whole,
    rules.wishes_kept,
    rules.muscles_alternate,
    rules.directions_visited,
    rules.prepared,
)
EDITED_GIVES = 0.035  # an edited class may miss the bands of its shares by this part of the slot
TRIED = 4  # sequences whose rules are looked at in each round
AVOID = "must-avoid"
ROUNDS = 3  # of sets and borders
FREE = frozenset({Pin.PLACE, Pin.REPS})  # without any of these, sets may change


@dataclass(frozen=True, slots=True)
class Timed:
    """A sequence with its time filled as far as it goes.

    Attributes:
        unmet: points of time that is too much or too little; 0 when all of it is met.
        changed: points of repetitions away from what they were.
    """

    steps: tuple[Step, ...]
    unmet: int
    changed: int

    @property
    def price(self) -> tuple[int, int]:
        """Less is better."""
        return self.unmet, self.changed


class Mender:
    """Mends sequences for one request.

    Attributes:
        old: what the class had before; anything else may take springs that suit its neighbours.
        tolerated: faults the class had before, by `key_of`, each as often as it had it.
    """

    def __init__(
        self,
        request: Request,
        old: frozenset[ExerciseId] = frozenset(),
        tolerated: Sequence[str] = (),
    ) -> None:
        self.request = request
        self.old = old
        self.tolerated = tolerated
        self.tried = 0  # sequences put on the clock
        self.clock = Clock.of(request.brief, request.pace)
        self._nodes: dict[tuple[ExerciseId, int, int, int, bool], Node] = {}

    def timed(self, steps: Sequence[Step], *, roomy: bool) -> Timed:
        """The steps with repetitions that fill the slot, the phases and the way to the summit."""
        self.tried += 1
        steps = self.sprung(steps)
        request, brief = self.request, self.request.brief
        items = timeline(steps, brief, request.repertoire.apparatus, request.pace)
        best: Timed | None = None
        for turn, top in _turns(steps):
            nodes = [self._node(step, _stage(step, k < turn)) for k, step in enumerate(steps)]
            durations = [0] * len(w.PHASE_OF_STAGE)
            for item, node in zip(items, nodes, strict=True):
                durations[node.stage] += item.transition_s + node.times[node.usual]
            changed, unmet, index = fill(nodes, durations, self._windows(top, roomy=roomy))
            if best is None or (unmet, changed) < best.price:
                filled = [
                    step if at == node.usual else replace(step, reps=step.reps + at - node.usual)
                    for step, node, at in zip(steps, nodes, index, strict=True)
                ]
                best = Timed(tuple(filled), unmet, changed)
        assert best is not None
        return best

    def first_sound(
        self, found: Iterable[Sequence[Step]]
    ) -> tuple[ClassPlan | None, tuple[Finding, ...]]:
        """The first that keeps every rule; else the faults of the one with fewest of them."""
        nearest: tuple[Finding, ...] = ()
        for steps in found:
            plan = self.plan(steps)
            faults = self.faults(plan)
            if not faults:
                return plan, ()
            if not nearest or len(faults) < len(nearest):
                nearest = faults
        return None, nearest

    def plan(self, steps: Sequence[Step]) -> ClassPlan:
        """The steps on the clock, with what the rules say of them."""
        self.tried += 1
        search = Search(self.request.seed, self.tried, 0, 0)
        return checked(self.request, self.sprung(steps), search)

    def out_of_shape(self, steps: Sequence[Step]) -> tuple[Finding, ...]:
        """What is wrong whatever the clock says; cheap enough to ask of many sequences."""
        items = tuple(Item(n, step, 0, 0, 0, 0) for n, step in enumerate(steps, 1))
        plan = ClassPlan(self.request.brief, items, 0, 0, (), Search(0, 0, 0, 0))
        for rule in SHAPES:
            found = tuple(rule(plan, self.request.repertoire))
            if found:
                faults = self.faults(replace(plan, findings=found))
                if faults:
                    return faults
        return ()

    def faults(self, plan: ClassPlan) -> tuple[Finding, ...]:
        """What is wrong with the plan beside what was wrong before."""
        left = Counter(self.tolerated)
        found = []
        for finding in plan.findings:
            if finding.weight is not Weight.FAULT:
                continue
            if left[key_of(finding)]:
                left[key_of(finding)] -= 1
            else:
                found.append(finding)
        return tuple(found)

    def nearby(self, steps: Sequence[Step]) -> ClassPlan | None:
        """The same exercises in the same order, with other sets or borders between phases."""
        front = [self.timed(steps, roomy=True)]
        seen: set[tuple[tuple[ExerciseId, int, Phase], ...]] = set()
        for _ in range(ROUNDS):
            found: list[Timed] = []
            for each in front:
                for other in self._one_step_away(each.steps):
                    key = tuple((s.exercise.id, s.sets, s.phase) for s in other)
                    if key not in seen:
                        seen.add(key)
                        if not self.out_of_shape(other):
                            found.append(self.timed(other, roomy=True))
            found.sort(key=lambda each: each.price)
            plan, _ = self.first_sound(t.steps for t in found[:TRIED] if not t.unmet)
            if plan or not found:
                return plan
            front = found[:2]
        return None

    def _one_step_away(self, steps: Sequence[Step]) -> Iterator[list[Step]]:
        for k, step in enumerate(steps):
            if step.pins & FREE:
                continue
            for sets in sets_of(step.exercise, _stage(step, True), self.clock):
                if sets != step.sets:
                    yield _with(steps, k, replace(step, sets=sets))
        for k, (before, after) in enumerate(pairwise(steps)):
            if before.phase is after.phase:
                continue
            for at, step, phase in ((k, before, after.phase), (k + 1, after, before.phase)):
                if phase in step.exercise.phases and Pin.PLACE not in step.pins:
                    other = _with(steps, at, replace(step, phase=phase))
                    if any(s.phase is step.phase for s in other):
                        yield other

    def sprung(self, steps: Sequence[Step]) -> Sequence[Step]:
        """New exercises on springs that suit their neighbours; all others as they are."""
        if all(step.exercise.id in self.old for step in steps):
            return steps
        choices = [
            Choice(
                step.exercise,
                step.sets,
                step.reps,
                (step.springs,)
                if step.exercise.id in self.old or Pin.SPRINGS in step.pins
                else settings_of(step.exercise),
            )
            for step in steps
        ]
        settings = choose(choices, self.request.repertoire.apparatus)
        return [
            step if step.springs == setting else replace(step, springs=setting)
            for step, setting in zip(steps, settings, strict=True)
        ]

    def _node(self, step: Step, stage: int) -> Node:
        fixed = bool(step.pins & FREE)
        key = (step.exercise.id, step.sets, step.reps, stage, fixed)
        node = self._nodes.get(key)
        if node is None:
            e = step.exercise
            low, high = (step.reps, step.reps) if fixed else (e.reps.low, e.reps.high)
            low, high = min(low, step.reps), max(high, step.reps)
            ready = setup_s(e, self.clock)
            node = self._nodes[key] = Node(
                item=0,
                stage=stage,
                value=0,
                times=tuple(
                    ready + duration_s(e, reps, step.sets, self.clock)
                    for reps in range(low, high + 1)
                ),
                usual=step.reps - low,
                covers=(),
                family=0,
                series=-1,
                place=0,
                run=0,
                track=0,
                gives=0,
                needs=0,
                peak=e.effort,
            )
        return node

    def _windows(self, top: Exercise | None, *, roomy: bool) -> tuple[Window, ...]:
        """Seconds of each phase, of the way to the summit, and of all work."""
        brief = self.request.brief
        slot, gives = brief.slot_s, EDITED_GIVES if roomy else w.SHARE_GIVES
        around = opening_s(brief) + closing_s(brief)
        found = []
        for phase in ORDER:
            low, high = w.SHARES[phase]
            stages = w.STAGES_OF_PHASE[phase]
            found.append(
                Window(stages[0], stages[-1], int(slot * (low - gives)), int(slot * (high + gives)))
            )
        if top:
            early, late = (int(slot * part) - opening_s(brief) for part in w.SUMMIT)
            # The hardest work may begin before the latest point and end after it.
            late += duration_s(top, top.reps.low, 1, self.clock) if roomy else 0
            found.append(Window(w.WARM, w.CLIMB, early, late))
        found.append(Window(w.WARM, w.COOL, slot - w.LATE_S - around, slot - around))
        return tuple(found)


def key_of(finding: Finding) -> str:
    """What makes two findings the same fault: the rule; and who must avoid what."""
    return " ".join((finding.rule, *finding.facts)) if finding.rule == AVOID else finding.rule


def _with(steps: Sequence[Step], k: int, step: Step) -> list[Step]:
    return [*steps[:k], step, *steps[k + 1 :]]


def _stage(step: Step, climbing: bool) -> int:
    if step.phase is Phase.PEAK:
        return w.CLIMB if climbing else w.EASE
    return w.STAGES_OF_PHASE[step.phase][0]


def _turns(steps: Sequence[Step]) -> list[tuple[int, Exercise | None]]:
    """Where the way down may begin: after any of the hardest pieces of work of the peak."""
    hardest = max((s.exercise.effort for s in steps), default=0)
    found: list[tuple[int, Exercise | None]] = [
        (k + 1, s.exercise)
        for k, s in enumerate(steps)
        if s.phase is Phase.PEAK and s.exercise.effort == hardest
    ]
    return found or [(len(steps), None)]
