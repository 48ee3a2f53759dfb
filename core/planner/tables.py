"""Points and seconds of every change-over: worked out once for a library, then looked up."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.exercise import Exercise
from core.planner import weights as w
from core.planner.choice import Choice, settings_of
from core.planner.nodes import stages_of
from core.planner.problem import BACK, NEVER, Table
from core.repertoire import Repertoire
from core.timing import CUE_S, Clock, position_s

Settings = tuple[SpringSetting, ...]
Small = NDArray[np.int16]
T = TypeVar("T")

LIBRARIES = 4  # kept at a time: the shipped one and those with an instructor's own apparatus
ROWS = 64  # worked out at once: what numpy needs in between stays small


@dataclass(frozen=True, slots=True)
class Spot:
    """All that a change-over depends on, at either end of it."""

    exercise: Exercise
    stage: int
    settings: Settings


def tables(
    choices: Sequence[Choice], stages: Sequence[int], repertoire: Repertoire, clock: Clock
) -> tuple[Table, Table]:
    """Points and seconds from each choice in its stage to each other.

    What is usual comes from the library's tables; only choices with settings of their own are
    worked out anew.
    """
    known = _known(repertoire)
    at = [known.place[c.exercise.id, stage] for c, stage in zip(choices, stages, strict=True)]
    square = np.ix_(at, at)
    points, longest = known.points[square].astype(np.int32), known.seconds[square]
    odd = [k for k, c in enumerate(choices) if c.settings != known.spots[at[k]].settings]
    if odd:
        spots = [Spot(c.exercise, s, c.settings) for c, s in zip(choices, stages, strict=True)]
        kinds = _Kinds(spots, repertoire.apparatus)
        every = kinds.columns(spots)
        some = every.take(odd)
        points[odd, :], longest[odd, :] = _changes(kinds, some, every)
        points[:, odd], longest[:, odd] = _changes(kinds, every, some)
    lasts = np.arange(int(longest.max(initial=0)) + 1)
    time = np.ceil((CUE_S + lasts) * clock.change - 1e-9).astype(np.int32)
    return points, time[longest]


class _Known:
    """The change-overs of a whole library, every exercise in each of its stages.

    Attributes:
        place: exercise id and stage -> row and column.
        points, seconds: from a row to a column; seconds without the cue and anybody's pace.
    """

    def __init__(self, repertoire: Repertoire) -> None:
        self.spots = [
            Spot(e, stage, settings_of(e))
            for e in repertoire.exercises.values()
            for stage in stages_of(e)
        ]
        self.place = {(s.exercise.id, s.stage): k for k, s in enumerate(self.spots)}
        size = len(self.spots)
        self.points: Small = np.empty((size, size), dtype=np.int16)
        self.seconds: Small = np.empty((size, size), dtype=np.int16)
        kinds = _Kinds(self.spots, repertoire.apparatus)
        every = kinds.columns(self.spots)
        for first in range(0, size, ROWS):
            rows = range(first, min(size, first + ROWS))
            part = slice(rows.start, rows.stop)
            self.points[part], self.seconds[part] = _changes(kinds, every.take(rows), every)


@lru_cache(maxsize=LIBRARIES)
def _known(repertoire: Repertoire) -> _Known:
    return _Known(repertoire)


@dataclass(frozen=True, slots=True)
class _Columns:
    """What is looked at of some spots, a number each."""

    position: Table
    springs: Table
    rig: Table
    track: Table
    stage: Table
    level: Table
    effort: Table
    series: Table
    place: Table
    muscle: Table
    item: Table
    swap: Table

    def take(self, which: Iterable[int]) -> "_Columns":
        """Only some of the spots."""
        rows = np.array(list(which))
        return _Columns(*(getattr(self, each.name)[rows] for each in fields(self)))


def _changes(kinds: "_Kinds", one: _Columns, other: _Columns) -> tuple[Table, Table]:
    """Points and seconds from each of some spots to each of others, for whole squares at once."""
    a, b = np.s_[:, None], np.s_[None, :]
    same_track = one.track[a] == other.track[b]
    springs = (one.springs[a], other.springs[b])
    rigs = (one.rig[a], other.rig[b])
    moving = kinds.position_s[one.position[a], other.position[b]]
    changing = kinds.spring_s[springs] + kinds.rig_s[rigs]
    seconds = np.where(same_track, np.maximum(moving, changing), other.swap[b])

    price = np.where(kinds.bridged[springs], w.SPRING_BRIDGED, w.SPRING_CHANGE)
    points = np.where(
        same_track,
        price * kinds.springs[springs] + w.RIG_CHANGE * kinds.rigs[rigs],
        w.APPARATUS_CHANGE,
    )
    points = points + np.where(moving > 0, w.POSITION_CHANGE + w.POSITION_HEIGHT * (moving // 4), 0)
    points = points + w.SAME_MUSCLE * (one.muscle[a] == other.muscle[b])
    going_on = (one.series[a] == other.series[b]) & (one.series[a] >= 0)
    points = points - (w.SAME_MUSCLE + w.SERIES_HOLDS) * going_on

    before, after = one.stage[a], other.stage[b]
    rise = other.effort[b] - one.effort[a]
    up = (before < w.EASE) & (after < w.EASE)
    down = (before >= w.CLIMB) & (after == w.EASE)
    never = (
        (np.abs(one.level[a] - other.level[b]) > 1)
        | (one.item[a] == other.item[b])
        | (going_on & (one.place[a] >= other.place[b]))
        | (up & ((rise < -w.DIP) | (rise > w.LEAP)))
        | (down & (rise > (before == w.EASE)))
        | ((after == w.COOL) & (other.effort[b] > w.COOL_EFFORT))
        | ((before == w.EASE) & (after == w.COOL) & (rise > 0))
    )
    points = np.where(never, NEVER, points)
    ahead = after - before
    points = np.where(ahead > 1, NEVER * (ahead - 1) + points, points)
    return np.where(ahead < 0, BACK, points).astype(np.int32), seconds.astype(np.int32)


class _Kinds:
    """The distinct positions, spring settings and rigs of some spots, and tables between them."""

    def __init__(self, spots: Sequence[Spot], apparatus: Mapping[ApparatusId, Apparatus]) -> None:
        self._apparatus = apparatus
        exercises = [spot.exercise for spot in spots]
        self._position = _numbered(e.position for e in exercises)
        self._settings = _numbered((s.exercise.apparatus, s.settings) for s in spots)
        self._rigs = _numbered((e.apparatus, e.rig) for e in exercises)
        self._track = _numbered(e.apparatus for e in exercises)
        self._muscle = _numbered(e.primary for e in exercises)
        self._series = _numbered(e.series.name for e in exercises if e.series)
        self._item = _numbered(e.id for e in exercises)
        self.position_s = np.array(
            [[position_s(x, y) for y in self._position] for x in self._position], dtype=np.int32
        )
        self.springs, self.bridged, self.spring_s = self._spring_tables()
        self.rigs, self.rig_s = self._rig_tables()

    def columns(self, spots: Sequence[Spot]) -> _Columns:
        """The numbers of these spots."""
        exercises = [spot.exercise for spot in spots]

        def column(values: Iterable[int]) -> Table:
            return np.array(list(values), dtype=np.int32)

        return _Columns(
            position=column(self._position[e.position] for e in exercises),
            springs=column(self._settings[s.exercise.apparatus, s.settings] for s in spots),
            rig=column(self._rigs[e.apparatus, e.rig] for e in exercises),
            track=column(self._track[e.apparatus] for e in exercises),
            stage=column(spot.stage for spot in spots),
            level=column(e.level for e in exercises),
            effort=column(e.effort for e in exercises),
            series=column(self._series[e.series.name] if e.series else -1 for e in exercises),
            place=column(e.series.place if e.series else 0 for e in exercises),
            muscle=column(self._muscle[e.primary] for e in exercises),
            item=column(self._item[e.id] for e in exercises),
            swap=column(self._apparatus[e.apparatus].swap_s for e in exercises),
        )

    def _spring_tables(self) -> tuple[Table, NDArray[np.bool_], Table]:
        """Changed springs, whether other settings of both would match, and seconds."""
        size = len(self._settings)
        changes = np.zeros((size, size), dtype=np.int32)
        bridged = np.zeros((size, size), dtype=np.bool_)
        seconds = np.zeros((size, size), dtype=np.int32)
        for (on, some), k in self._settings.items():
            for (other_on, others), m in self._settings.items():
                if on == other_on and some and others:
                    changes[k, m] = self._apparatus[on].changes(some[0], others[0])
                    bridged[k, m] = not set(some).isdisjoint(others)
                    seconds[k, m] = changes[k, m] * self._apparatus[on].change_s
        return changes, bridged, seconds

    def _rig_tables(self) -> tuple[Table, Table]:
        """Changed parts and seconds."""
        size = len(self._rigs)
        changes = np.zeros((size, size), dtype=np.int32)
        seconds = np.zeros((size, size), dtype=np.int32)
        for (on, rig), k in self._rigs.items():
            state = dict(rig)
            for (other_on, other), m in self._rigs.items():
                if on == other_on:
                    changes[k, m] = sum(1 for part, to in other if state.get(part, to) != to)
                    seconds[k, m] = changes[k, m] * self._apparatus[on].rig_s
        return changes, seconds


def _numbered(values: Iterable[T]) -> dict[T, int]:
    """A number for each distinct value, in the order they come."""
    return {value: k for k, value in enumerate(dict.fromkeys(values))}
