"""An exercise in a stage as a node: its worth, its times, what it counts for."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.brief import Aim, ClassBrief
from core.exercise import Direction, Exercise, Phase
from core.plan import Pin
from core.planner import weights as w
from core.planner.choice import Choice, settings_of
from core.planner.kept import Kept
from core.planner.problem import Node, Quota, Window
from core.timing import Clock, closing_s, duration_s, durations_s, opening_s, setup_s

FOOTWORK = "footwork"  # the family the trade begins a class on springs with


def windows(brief: ClassBrief) -> tuple[Window, ...]:
    """Seconds of each stage, of the peak, of the way to the summit, and of all work."""
    slot = brief.slot_s
    open_s, close_s = opening_s(brief), closing_s(brief)

    def share(phase: Phase) -> tuple[int, int]:
        low, high = w.SHARES[phase]
        return int(slot * (low - w.SHARE_GIVES)), int(slot * (high + w.SHARE_GIVES))

    peak_low, peak_high = share(Phase.PEAK)
    return (
        Window(w.WARM, w.WARM, *share(Phase.WARM_UP)),
        Window(w.FOUNDATION, w.FOUNDATION, *share(Phase.FOUNDATION)),
        Window(w.CLIMB, w.CLIMB, *(int(slot * part) for part in w.CLIMB_SHARE)),
        Window(w.EASE, w.EASE, *(int(slot * part) for part in w.EASE_SHARE)),
        Window(w.COOL, w.COOL, *share(Phase.COOL_DOWN)),
        Window(w.CLIMB, w.EASE, peak_low, peak_high),
        Window(w.WARM, w.CLIMB, *(int(slot * part) - open_s for part in w.SUMMIT)),
        Window(w.WARM, w.COOL, slot - w.LATE_S - open_s - close_s, slot - open_s - close_s),
    )


def stages_of(e: Exercise) -> list[int]:
    return [stage for phase in Phase if phase in e.phases for stage in w.STAGES_OF_PHASE[phase]]


def extra_item(e: Exercise, minutes: int) -> int:
    """Points that an exercise costs in a class of so many minutes."""
    flowing, unhurried = w.UNHURRIED
    more = min(max(minutes, flowing), unhurried) - flowing
    return w.EXTRA_ITEM + (more * 2 // 3 if e.series else more)


def sets_of(e: Exercise, stage: int, clock: Clock) -> tuple[int, ...]:
    """One set; two as well, for single pieces of work that stay short enough."""
    if stage not in (w.FOUNDATION, w.CLIMB, w.EASE) or e.series or e.effort < 3:
        return (1,)
    return (1, 2) if duration_s(e, e.reps.usual, 2, clock) <= w.LONGEST_ITEM_S else (1,)


class Index:
    """Small numbers for the names a problem compares."""

    def __init__(self, pool: Sequence[Exercise]) -> None:
        self.family = {f: k for k, f in enumerate(sorted({e.family for e in pool}))}
        self.series = {
            s: k for k, s in enumerate(sorted({e.series.name for e in pool if e.series}))
        }
        names = sorted({e.id for e in pool} | {e.family for e in pool})
        self.bit = {name: 1 << k for k, name in enumerate(names)}
        self.muscle = {m: k for k, m in enumerate(sorted({e.primary for e in pool}))}
        self._sprung = {e.apparatus for e in pool if e.springs}
        self.track = {a: k for k, a in enumerate(sorted({e.apparatus for e in pool}))}

    def sprung(self, e: Exercise) -> bool:
        """Whether its apparatus has springs at all."""
        return e.apparatus in self._sprung

    def gives(self, e: Exercise) -> int:
        return self.bit[e.id] | self.bit[e.family]

    def needs(self, e: Exercise) -> int:
        """The preparations the pool can offer; one is asked for only if there is any."""
        return sum(self.bit.get(need, 0) for need in set(e.needs))


@dataclass(frozen=True, slots=True)
class Maker:
    """Makes the nodes of one request.

    Attributes:
        kept: what an earlier plan had, if this one is to stay near it.
    """

    brief: ClassBrief
    clock: Clock
    index: Index
    quotas: Sequence[Quota]
    kept: Kept

    def make(self, e: Exercise, number: int, likes: int) -> list[tuple[Node, Choice]]:
        """Every way the exercise may stand in the class; `likes` are points a minute."""
        old = self.kept.step(e.id)
        stages = stages_of(e)
        if old and Pin.PLACE in old.pins:
            stages = [stage for stage in stages if w.PHASE_OF_STAGE[stage] is old.phase]
        ways: dict[int, _Way] = {}
        made: list[tuple[Node, Choice]] = []
        common = self._covered(e)
        minute, extra = self._minute(e) + likes, extra_item(e, self.brief.minutes)
        for stage in stages:
            sets = sets_of(e, stage, self.clock)
            if old:
                fixed = old.pins & {Pin.PLACE, Pin.REPS}
                sets = (old.sets,) if fixed else tuple(sorted({*sets, old.sets}))
            covers = (*common, *self._quota(f"stage {stage}"))
            points = minute + self._stage_minute(e, stage)
            for count in sets:
                way = ways.get(count) or ways.setdefault(count, self._way(e, count))
                worth = points * way.at_usual // 60 - extra - w.SECOND_SET * (count - 1)
                made.append((self._node(e, number, stage, covers, worth, way), way.choice))
        return made

    def _way(self, e: Exercise, sets: int) -> "_Way":
        """What all stages share of an exercise with so many sets."""
        old = self.kept.step(e.id)
        low, high, usual = e.reps.low, e.reps.high, e.reps.usual
        settings = settings_of(e)
        pins: frozenset[Pin] = frozenset()
        if old:
            pins = old.pins
            if old.sets == sets:
                usual = min(max(old.reps, low), high)
            if pins & {Pin.PLACE, Pin.REPS}:
                low = high = usual = old.reps
            settings = (
                (old.springs,)
                if Pin.SPRINGS in pins or old.springs not in settings
                else (old.springs, *(s for s in settings if s != old.springs))
            )
        ready = setup_s(e, self.clock)
        return _Way(
            choice=Choice(e, sets, low, settings, pins),
            times=tuple(ready + s for s in durations_s(e, range(low, high + 1), sets, self.clock)),
            usual=usual - low,
            at_usual=ready + duration_s(e, e.reps.usual, sets, self.clock),
        )

    def _node(
        self,
        e: Exercise,
        number: int,
        stage: int,
        covers: tuple[int, ...],
        worth: int,
        way: "_Way",
    ) -> Node:
        old = self.kept.step(e.id)
        bonus = 0
        if old:
            bonus += w.KEEP_ITEM if w.PHASE_OF_STAGE[stage] is old.phase else 0
            bonus += w.KEEP_SETS if way.choice.sets == old.sets else 0
        return Node(
            item=number,
            stage=stage,
            value=worth + bonus,
            times=way.times,
            usual=way.usual,
            covers=covers,
            family=self.index.family[e.family],
            series=self.index.series[e.series.name] if e.series else -1,
            place=e.series.place if e.series else 0,
            run=self.index.muscle[e.primary],
            track=self.index.track[e.apparatus],
            gives=self.index.gives(e),
            needs=self.index.needs(e),
            peak=e.effort,
        )

    def _covered(self, e: Exercise) -> tuple[int, ...]:
        """The quotas it counts for in any stage."""
        names = {
            *e.directions,
            *(theme for theme in e.themes if theme in w.THEMES_WANTED),
            *(_focus_name(aim) for aim in self.brief.focus if hits(aim, e)),
            f"on {e.apparatus}",
            *((FOOTWORK,) if e.family == FOOTWORK and e.springs else ()),
        }
        return tuple(k for k, quota in enumerate(self.quotas) if quota.name in names)

    def _quota(self, name: str) -> tuple[int, ...]:
        return tuple(k for k, quota in enumerate(self.quotas) if quota.name == name)

    def _minute(self, e: Exercise) -> int:
        """Points a minute in any stage."""
        brief = self.brief
        below = brief.top_level - e.level if brief.level else 0
        return w.MINUTE + w.FOCUS * sum(hits(aim, e) for aim in brief.focus) - w.LEVEL_BELOW * below

    def _stage_minute(self, e: Exercise, stage: int) -> int:
        """More or fewer points a minute in this stage."""
        wanted = w.EFFORT_WANTED[stage]
        if stage == w.CLIMB:
            wanted += w.LEVEL_EFFORT[self.brief.top_level]
        basic = stage == w.FOUNDATION and e.themes[0] in w.BASIC_THEMES
        idle = stage not in (w.WARM, w.COOL) and e.springs is None and self.index.sprung(e)
        return w.BASICS * basic - w.EFFORT_OFF * abs(e.effort - wanted) - w.UNSPRUNG * idle


@dataclass(frozen=True, slots=True)
class _Way:
    """An exercise with its sets, whatever its stage.

    Attributes:
        usual: index into `times` of what she usually does, or did.
        at_usual: seconds at the library's usual repetitions.
    """

    choice: Choice
    times: tuple[int, ...]
    usual: int
    at_usual: int


def hits(aim: Aim, e: Exercise) -> int:
    """2 where the exercise is mainly what the focus names, 1 where it is also that, else 0."""
    if e.themes[0] in aim.themes or e.primary in aim.muscles:
        return 2
    also = aim.themes & set(e.themes) or aim.muscles & set(e.also) or aim.directions & e.directions
    return 1 if also else 0


def _focus_name(aim: Aim) -> str:
    return f"focus {aim.name}"


def quotas_of(brief: ClassBrief, pool: Sequence[Exercise]) -> tuple[Quota, ...]:
    """Rewards with diminishing returns; what the pool can't give is not demanded."""

    def least(direction: Direction) -> int:
        return 1 if any(direction in e.directions for e in pool) else 0

    quotas = [Quota(d, w.DIRECTION_REWARDS, least(d)) for d in Direction]
    quotas += [Quota(theme, w.THEME_REWARDS) for theme in w.THEMES_WANTED]
    quotas += [Quota(_focus_name(aim), w.FOCUS_REWARDS, 1) for aim in brief.focus]
    quotas += [Quota(f"stage {stage}", w.ENDS_REWARDS, w.ENDS_LEAST) for stage in (w.WARM, w.COOL)]
    quotas.append(Quota(FOOTWORK, w.FOOTWORK_REWARDS))
    if len(brief.apparatus) > 1:
        each = max(2, int(brief.minutes / 2.5 * w.SHARE_OF_EACH))
        quotas += [Quota(f"on {name}", (), each) for name in brief.apparatus]
    return tuple(quotas)
