"""A plan while it is edited: its steps with the numbers she sees, each edit made in turn."""

from collections.abc import Sequence
from dataclasses import replace

from core.apparatus import SpringSetting
from core.brief import LONGEST, SHORTEST, ClassBrief
from core.exercise import Exercise, ExerciseId, Load, Phase
from core.plan import ClassPlan, Pin, Step
from core.planner.mending import as_usual
from core.planner.refit import Where
from core.planner.request import Request
from core.stand_in import stand_ins
from core.wish import (
    Add,
    Drop,
    Ease,
    Edit,
    EditError,
    Fit,
    Keep,
    Late,
    Move,
    SetReps,
    SetSprings,
    Swap,
)

ORDER = tuple(Phase)
FIXED = frozenset({Pin.PLACE, Pin.REPS, Pin.SPRINGS})  # what "unkeep" takes away
Numbered = tuple[int, Step]


class Work:
    """Steps and brief on their way from one plan to the next.

    Attributes:
        steps: each with its number in the plan; what is new has a number below 0.
        options: number -> what may stand there.
        loose: new exercises that may go anywhere they belong.
        placed: number -> where it has to stand.
        marks: pins of what she names.
        named: what she spoke of.
    """

    def __init__(self, plan: ClassPlan, request: Request, *, insist: bool = False) -> None:
        self.request = request
        self.marks = frozenset({Pin.INSISTED}) if insist else frozenset[Pin]()
        self.brief: ClassBrief = plan.brief
        self.steps: list[Numbered] = [(item.n, item.step) for item in plan.items]
        self.options: dict[int, list[Step]] = {}
        self.loose: list[tuple[int, Exercise]] = []
        self.placed: dict[int, Where] = {}
        self.named: set[ExerciseId] = set()
        self.wanted: list[Exercise] = []
        self._last = len(plan.items)
        self._new = 0

    def at(self, n: int) -> int:
        """Where the place numbered n is now.

        Raises:
            EditError: it is gone, or never was.
        """
        for k, (number, _) in enumerate(self.steps):
            if number == n:
                return k
        if 1 <= n <= self._last:
            raise EditError(f"number {n} is taken out in the same message")
        raise EditError(f"the class has no number {n}: it runs from 1 to {self._last}")

    def make(self, edit: Edit) -> None:
        """Make one edit.

        Raises:
            EditError: it makes no sense here.
        """
        match edit:
            case Drop(n):
                self._forget(self.steps.pop(self.at(n))[1].exercise.id)
            case Swap(n, wanted):
                self._swap(n, wanted)
            case Add(exercise, after):
                self._add(self._want(exercise), after)
            case Move(n, to):
                self._move(n, to)
            case SetReps(n, reps):
                self._set_reps(n, reps)
            case SetSprings(n, springs):
                k = self.at(n)
                step = self.steps[k][1]
                self._allow(step.exercise, springs)
                self._fix(k, replace(step, springs=springs), Pin.SPRINGS)
            case Ease(n, harder):
                self._ease(n, harder=harder)
            case Keep(n, keep):
                k = self.at(n)
                step = self.steps[k][1]
                pins = step.pins | {Pin.PLACE} if keep else step.pins - FIXED
                self.steps[k] = (n, replace(step, pins=pins))
            case Fit(minutes):
                self._last_for(minutes)
            case Late(minutes):
                self._last_for(self.brief.minutes - minutes)

    def tell_apart(self) -> None:
        """Check that what she asked for is no movement the class has under another name.

        Raises:
            EditError: it is; with what to say instead.
        """
        for e in self.wanted:
            for n, step in self.steps:
                o = step.exercise
                series = e.series and o.series and e.series.name == o.series.name
                if o.id != e.id and o.family == e.family and not series:
                    raise EditError(
                        f"{e.name} and {o.name} ({n}) are one movement in two forms; "
                        f"swap {n} {e.short.lower()} would put it there"
                    )

    def _swap(self, n: int, wanted: ExerciseId | None) -> None:
        k = self.at(n)
        old = self.steps[k][1]
        self.placed[n] = Where.BESIDE
        if wanted is None:
            steps = [step for _, step in self.steps]
            self.options[n] = stand_ins(old, steps, self.brief, self.request)
        else:
            e = self._want(wanted, f"; move it with: move {{at}} to {n}")
            offered = [old.phase, *self._around(k), *self._around(k + 1)]
            self.steps[k] = (n, self.new_step(e, self._phase(e, offered)))
        self._forget(old.exercise.id)

    def _add(self, e: Exercise, after: int | None) -> None:
        self._new -= 1
        if after is None:
            self.loose.append((self._new, e))
            return
        if after > self._last:
            raise EditError(f"the class ends at {self._last}")
        at = self.at(after) + 1 if after else 0
        self._may_stand(e, at)
        self.steps.insert(at, (self._new, self.new_step(e, self._phase(e, self._around(at)))))
        self.placed[self._new] = Where.AFTER if after else Where.NUMBER

    def _move(self, n: int, to: int) -> None:
        target = self.at(to)
        _, step = self.steps.pop(self.at(n))
        self._may_stand(step.exercise, target)
        offered = self._around(target)
        phase = self._phase(step.exercise, offered if n < to else offered[::-1])
        self.steps.insert(target, (n, replace(step, phase=phase)))
        self.placed[n] = Where.NUMBER
        self.named.add(step.exercise.id)

    def _set_reps(self, n: int, reps: int) -> None:
        k = self.at(n)
        step = self.steps[k][1]
        e = step.exercise
        if not e.reps.low <= reps <= e.reps.high:
            raise EditError(f"{e.name} takes {e.reps.low} to {e.reps.high} repetitions")
        self._fix(k, replace(step, reps=reps), Pin.REPS)

    def _fix(self, k: int, step: Step, pin: Pin) -> None:
        self.named.add(step.exercise.id)
        self.steps[k] = (self.steps[k][0], replace(step, pins=step.pins | {pin}))

    def _last_for(self, minutes: int) -> None:
        if not SHORTEST <= minutes <= LONGEST:
            raise EditError(
                f"that would make {minutes} min, and a class lasts {SHORTEST} to {LONGEST}"
            )
        self.brief = replace(self.brief, minutes=minutes)

    def _ease(self, n: int, *, harder: bool) -> None:
        k = self.at(n)
        step = self.steps[k][1]
        e = step.exercise
        springs = e.springs and (e.springs.harder if harder else e.springs.easier)
        if e.springs and springs and e.load is not Load.STABILISE and springs != step.springs:
            known = step.springs in (e.springs.usual, springs)
            there = springs if known else e.springs.usual
            self._fix(k, replace(step, springs=there), Pin.SPRINGS)
            return
        rung = e.harder if harder else e.easier
        if rung is None or rung not in self.request.repertoire.exercises:
            reason = (e.no_harder if harder else e.no_easier) or "there is no other form of it"
            raise EditError(f"{e.name}: {reason[:1].lower()}{reason[1:].rstrip('.')}")
        other = self._want(rung)
        offered = [step.phase, *self._around(k), *self._around(k + 1)]
        self.steps[k] = (n, self.new_step(other, self._phase(other, offered)))
        self.placed[n] = Where.BESIDE
        self._forget(e.id)

    def _forget(self, gone: ExerciseId) -> None:
        must = tuple(m for m in self.brief.must if m != gone)
        dropped = tuple(dict.fromkeys((*self.brief.dropped, gone)))
        self.brief = replace(self.brief, must=must, dropped=dropped)

    def _want(self, wanted: ExerciseId, hint: str = "") -> Exercise:
        """The exercise asked for by name, if the class can have it at all.

        Raises:
            EditError: it is there already, needs another apparatus, or is what the class avoids.
        """
        e = self.request.repertoire[wanted]
        for n, step in self.steps:
            if step.exercise.id == e.id:
                raise EditError(f"{e.name} is in the class already, at {n}" + hint.format(at=n))
        if e.apparatus not in self.brief.apparatus:
            raise EditError(
                f"{e.name} needs the {self.request.repertoire.apparatus[e.apparatus].name}"
            )
        bars = [bar.name for bar in self.brief.without if bar.rules_out(e)]
        if bars:
            raise EditError(f"{e.name} asks for what the class does without: {', '.join(bars)}")
        self.wanted.append(e)
        self.named.add(e.id)
        self.brief = replace(
            self.brief,
            must=tuple(dict.fromkeys((*self.brief.must, e.id))),
            dropped=tuple(d for d in self.brief.dropped if d != e.id),
        )
        return e

    def new_step(self, e: Exercise, phase: Phase) -> Step:
        """What she named, as usual in this phase."""
        return replace(as_usual(e, phase), pins=self.marks)

    def _may_stand(self, e: Exercise, at: int) -> None:
        """Refuse what would break up a series.

        Raises:
            EditError: it would; with the numbers of the series.
        """
        own = e.series.name if e.series else ""
        beside = [
            o.series.name if o.series else ""
            for k in (at - 1, at)
            if 0 <= k < len(self.steps)
            for o in [self.steps[k][1].exercise]
        ]
        if len(beside) == 2 and beside[0] and beside[0] == beside[1] != own:
            raise EditError(f"{self._span(beside[0])} are one series, and nothing comes between")
        if own and own not in beside and self._members(own):
            raise EditError(f"{e.name} belongs with its series, {self._span(own)}")

    def _members(self, series: str) -> list[int]:
        found = [(n, s.exercise.series) for n, s in self.steps]
        return [n for n, place in found if place and place.name == series and n > 0]

    def _span(self, series: str) -> str:
        numbers = self._members(series)
        if len(numbers) < 2:
            return f"number {numbers[0]}" if numbers else series
        return f"numbers {min(numbers)} to {max(numbers)}"

    def _around(self, at: int) -> list[Phase]:
        """The phases on both sides of a gap, the one that ends there first."""
        return [self.steps[k][1].phase for k in (at - 1, at) if 0 <= k < len(self.steps)]

    def _phase(self, e: Exercise, offered: Sequence[Phase]) -> Phase:
        for phase in offered:
            if phase in e.phases:
                return phase
        allowed = " or ".join(p.value for p in ORDER if p in e.phases)
        raise EditError(f"{e.name} belongs in the {allowed}, not in the {offered[0].value}")

    def _allow(self, e: Exercise, springs: SpringSetting) -> None:
        """Refuse springs past the limit of an exercise.

        Raises:
            EditError: it has no springs, or the limit is passed.
        """
        if e.springs is None:
            raise EditError(f"{e.name} uses no springs")
        rank = self.request.repertoire.apparatus[e.apparatus].rank
        limit = e.springs.limit
        if e.load is Load.ASSIST and rank(springs) < rank(limit):
            raise EditError(f"{e.name}: no lighter than {limit}, the spring has to carry the body")
        if e.load is not Load.ASSIST and rank(springs) > rank(limit):
            raise EditError(f"{e.name}: no heavier than {limit}")
