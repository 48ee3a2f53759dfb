"""The trade as an abstract problem: brief, library and recent classes become nodes and tables."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.brief import Aim, ClassBrief
from core.exercise import Direction, Exercise, ExerciseId, Load, Phase
from core.planner import weights as w
from core.planner.problem import BACK, NEVER, Balance, Node, Problem, Quota, Table, Window
from core.timing import CUE_S, Clock, Pace, closing_s, duration_s, opening_s, position_s, setup_s

FOOTWORK = "footwork"  # the family the trade begins a class on springs with


@dataclass(frozen=True, slots=True)
class Model:
    """A problem and what each of its nodes means."""

    problem: Problem
    choices: tuple[tuple[Exercise, int], ...]  # node -> exercise, sets


def build(
    pool: Sequence[Exercise],
    brief: ClassBrief,
    apparatus: Mapping[ApparatusId, Apparatus],
    pace: Pace,
    recent: frozenset[ExerciseId],
    random: Random,
) -> Model:
    """The problem of planning `brief` from `pool`.

    Args:
        recent: what the last class of these people had, to be varied.
        random: source of the small preferences that make two seeds differ.
    """
    clock = Clock.of(brief, pace)
    quotas = _quotas(brief, pool)
    index = _Index(pool)
    taste = {e.id: random.randint(-w.TASTE, w.TASTE) for e in pool}
    drafts: list[tuple[int, Exercise, int, Node]] = []
    for number, e in enumerate(pool):
        for stage in _stages(e):
            for sets in _sets(e, stage, clock):
                likes = taste[e.id] - (w.RECENT if e.id in recent else 0)
                node = _node(e, stage, sets, number, clock, brief, likes, index, quotas)
                drafts.append((stage, e, sets, node))
    drafts.sort(key=lambda draft: draft[0])
    nodes = tuple(draft[3] for draft in drafts)
    choices = tuple((draft[1], draft[2]) for draft in drafts)
    cost, time = _tables(choices, nodes, apparatus, clock)
    by_name = {quota.name: k for k, quota in enumerate(quotas)}
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
            required=frozenset(k for k, e in enumerate(pool) if e.id in brief.must),
            longest_run=w.LONGEST_RUN,
            track_changes=2 * (len(brief.apparatus) - 1),
            summit=w.CLIMB,
        ),
        choices,
    )


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


def _stages(e: Exercise) -> list[int]:
    return [stage for phase in Phase if phase in e.phases for stage in w.STAGES_OF_PHASE[phase]]


def _sets(e: Exercise, stage: int, clock: Clock) -> tuple[int, ...]:
    """One set; two as well, for single pieces of work that stay short enough."""
    if stage not in (w.FOUNDATION, w.CLIMB, w.EASE) or e.series or e.effort < 3:
        return (1,)
    return (1, 2) if duration_s(e, e.reps.usual, 2, clock) <= w.LONGEST_ITEM_S else (1,)


class _Index:
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


def _node(
    e: Exercise,
    stage: int,
    sets: int,
    number: int,
    clock: Clock,
    brief: ClassBrief,
    likes: int,
    index: _Index,
    quotas: Sequence[Quota],
) -> Node:
    ready = setup_s(e, clock)
    times = tuple(
        ready + duration_s(e, reps, sets, clock) for reps in range(e.reps.low, e.reps.high + 1)
    )
    usual = e.reps.usual - e.reps.low
    names = {
        *e.directions,
        *(theme for theme in e.themes if theme in w.THEMES_WANTED),
        *(_focus_name(aim) for aim in brief.focus if hits(aim, e)),
        f"on {e.apparatus}",
        f"stage {stage}",
        *((FOOTWORK,) if e.family == FOOTWORK and e.springs else ()),
    }
    return Node(
        item=number,
        stage=stage,
        value=_value(e, stage, sets, times[usual], brief, likes, sprung=index.sprung(e)),
        times=times,
        usual=usual,
        covers=tuple(k for k, quota in enumerate(quotas) if quota.name in names),
        family=index.family[e.family],
        series=index.series[e.series.name] if e.series else -1,
        place=e.series.place if e.series else 0,
        run=index.muscle[e.primary],
        track=index.track[e.apparatus],
        gives=index.gives(e),
        needs=index.needs(e),
        peak=e.effort,
    )


def _value(
    e: Exercise,
    stage: int,
    sets: int,
    seconds: int,
    brief: ClassBrief,
    likes: int,
    *,
    sprung: bool,
) -> int:
    wanted = w.EFFORT_WANTED[stage]
    if stage == w.CLIMB:
        wanted += w.LEVEL_EFFORT[brief.top_level]
    basic = stage == w.FOUNDATION and e.themes[0] in w.BASIC_THEMES
    idle = stage not in (w.WARM, w.COOL) and e.springs is None and sprung
    minute = (
        w.MINUTE
        + w.FOCUS * sum(hits(aim, e) for aim in brief.focus)
        - w.LEVEL_BELOW * (brief.top_level - e.level if brief.level else 0)
        - w.EFFORT_OFF * abs(e.effort - wanted)
        + w.BASICS * basic
        - w.UNSPRUNG * idle
        + likes
    )
    return minute * seconds // 60 - w.EXTRA_ITEM - w.SECOND_SET * (sets - 1)


def hits(aim: Aim, e: Exercise) -> int:
    """2 where the exercise is mainly what the focus names, 1 where it is also that, else 0."""
    if e.themes[0] in aim.themes or e.primary in aim.muscles:
        return 2
    also = aim.themes & set(e.themes) or aim.muscles & set(e.also) or aim.directions & e.directions
    return 1 if also else 0


def _focus_name(aim: Aim) -> str:
    return f"focus {aim.name}"


def _quotas(brief: ClassBrief, pool: Sequence[Exercise]) -> tuple[Quota, ...]:
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


def _column(values: Sequence[int]) -> Table:
    return np.array(values, dtype=np.int32)


def _tables(
    choices: Sequence[tuple[Exercise, int]],
    nodes: Sequence[Node],
    apparatus: Mapping[ApparatusId, Apparatus],
    clock: Clock,
) -> tuple[Table, Table]:
    """Points and seconds of every change, by looking small tables up for whole squares at once."""
    exercises = [e for e, _ in choices]
    kinds = _Kinds(exercises, apparatus)
    position = kinds.positions()
    springs, bridged, spring_s = kinds.springs()
    rig, rig_s = kinds.rigs()
    p, s, r = (_column(v) for v in (kinds.position_of, kinds.spring_of, kinds.rig_of))
    track = _column([node.track for node in nodes])
    stage = _column([node.stage for node in nodes])
    level = _column([e.level for e in exercises])
    effort = _column([e.effort for e in exercises])
    series = _column([node.series for node in nodes])
    place = _column([node.place for node in nodes])
    muscle = _column([node.run for node in nodes])
    item = _column([node.item for node in nodes])
    swap_s = _column([apparatus[e.apparatus].swap_s for e in exercises])

    a, b = np.s_[:, None], np.s_[None, :]
    same_track = track[a] == track[b]
    moving = position[p[a], p[b]]
    changing = np.where(same_track, spring_s[s[a], s[b]] + rig_s[r[a], r[b]], 0)
    longest = np.where(same_track, np.maximum(moving, changing), swap_s[b])
    time = np.ceil((CUE_S + longest) * clock.change - 1e-9).astype(np.int32)

    points = np.where(
        same_track,
        np.where(
            bridged[s[a], s[b]],
            w.SPRING_BRIDGED * springs[s[a], s[b]],
            w.SPRING_CHANGE * springs[s[a], s[b]],
        )
        + w.RIG_CHANGE * rig[r[a], r[b]],
        w.APPARATUS_CHANGE,
    )
    points = points + np.where(moving > 0, w.POSITION_CHANGE + w.POSITION_HEIGHT * (moving // 4), 0)
    points = points + w.SAME_MUSCLE * (muscle[a] == muscle[b])
    going_on = (series[a] == series[b]) & (series[a] >= 0)
    points = points - (w.SAME_MUSCLE + w.SERIES_HOLDS) * going_on

    up = (stage[a] < w.EASE) & (stage[b] < w.EASE)
    down = (stage[a] >= w.CLIMB) & (stage[b] == w.EASE)
    never = (
        (np.abs(level[a] - level[b]) > 1)
        | (item[a] == item[b])
        | (going_on & (place[a] >= place[b]))
        | (up & (effort[b] < effort[a] - w.DIP))
        | (up & (effort[b] > effort[a] + w.LEAP))
        | (down & (effort[b] > effort[a] + np.where(stage[a] == w.EASE, 1, 0)))
        | ((stage[b] == w.COOL) & (effort[b] > w.COOL_EFFORT))
        | ((stage[a] == w.EASE) & (stage[b] == w.COOL) & (effort[b] > effort[a]))
    )
    points = np.where(never, NEVER, points)
    ahead = stage[b] - stage[a]
    points = np.where(ahead > 1, NEVER * (ahead - 1) + points, points)
    points = np.where(ahead < 0, BACK, points)
    return points.astype(np.int32), time


class _Kinds:
    """The distinct positions, spring settings and rigs of a pool, and tables between them."""

    def __init__(
        self, exercises: Sequence[Exercise], apparatus: Mapping[ApparatusId, Apparatus]
    ) -> None:
        self.apparatus = apparatus
        self.all_positions = sorted({e.position for e in exercises})
        where = {position: k for k, position in enumerate(self.all_positions)}
        self.position_of = [where[e.position] for e in exercises]
        self.settings: dict[tuple[ApparatusId, tuple[SpringSetting, ...]], int] = {}
        self.spring_of = [
            self.settings.setdefault((e.apparatus, settings_of(e)), len(self.settings))
            for e in exercises
        ]
        self.all_rigs: dict[tuple[ApparatusId, tuple[tuple[str, str], ...]], int] = {}
        self.rig_of = [
            self.all_rigs.setdefault((e.apparatus, e.rig), len(self.all_rigs)) for e in exercises
        ]

    def positions(self) -> Table:
        return np.array(
            [[position_s(x, y) for y in self.all_positions] for x in self.all_positions],
            dtype=np.int32,
        )

    def springs(self) -> tuple[Table, NDArray[np.bool_], Table]:
        """Changed springs, whether other settings of both would match, and seconds."""
        size = len(self.settings)
        changes = np.zeros((size, size), dtype=np.int32)
        bridged = np.zeros((size, size), dtype=np.bool_)
        seconds = np.zeros((size, size), dtype=np.int32)
        for (on, some), k in self.settings.items():
            for (other_on, others), m in self.settings.items():
                if on == other_on and some and others:
                    changes[k, m] = self.apparatus[on].changes(some[0], others[0])
                    bridged[k, m] = bool(set(some) & set(others))
                    seconds[k, m] = changes[k, m] * self.apparatus[on].change_s
        return changes, bridged, seconds

    def rigs(self) -> tuple[Table, Table]:
        """Changed parts and seconds."""
        size = len(self.all_rigs)
        changes = np.zeros((size, size), dtype=np.int32)
        seconds = np.zeros((size, size), dtype=np.int32)
        for (on, rig), k in self.all_rigs.items():
            for (other_on, other), m in self.all_rigs.items():
                if on == other_on:
                    state = dict(rig)
                    changes[k, m] = sum(1 for part, to in other if state.get(part, to) != to)
                    seconds[k, m] = changes[k, m] * self.apparatus[on].rig_s
        return changes, seconds


def settings_of(e: Exercise) -> tuple[SpringSetting, ...]:
    """Settings a plan may choose from, the usual one first; empty where there is no spring."""
    if e.springs is None:
        return (SpringSetting(),)
    if e.load is Load.STABILISE:
        return (e.springs.usual,)
    return tuple(dict.fromkeys((e.springs.usual, e.springs.easier, e.springs.harder)))


def pool_of(exercises: Sequence[Exercise], brief: ClassBrief) -> tuple[Exercise, ...]:
    """What may be in the class at all: apparatus, level, and what it is to do without."""
    return tuple(
        e
        for e in exercises
        if e.apparatus in brief.apparatus
        and (e.level <= brief.top_level or e.id in brief.must)
        and not barred(e, brief)
    )


def barred(e: Exercise, brief: ClassBrief) -> bool:
    """Whether something the class does without rules the exercise out."""
    return any(bar.rules_out(e) for bar in brief.without)
