"""Points and seconds of every change-over between the nodes of a problem."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.planner import weights as w
from core.planner.choice import Choice
from core.planner.problem import BACK, NEVER, Node, Table
from core.timing import CUE_S, Clock, position_s


def _column(values: Sequence[int]) -> Table:
    return np.array(values, dtype=np.int32)


def tables(
    choices: Sequence[Choice],
    nodes: Sequence[Node],
    apparatus: Mapping[ApparatusId, Apparatus],
    clock: Clock,
) -> tuple[Table, Table]:
    """Points and seconds of every change, by looking small tables up for whole squares at once."""
    exercises = [choice.exercise for choice in choices]
    kinds = _Kinds(choices, apparatus)
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
        self, choices: Sequence[Choice], apparatus: Mapping[ApparatusId, Apparatus]
    ) -> None:
        self.apparatus = apparatus
        exercises = [choice.exercise for choice in choices]
        self.all_positions = sorted({e.position for e in exercises})
        where = {position: k for k, position in enumerate(self.all_positions)}
        self.position_of = [where[e.position] for e in exercises]
        self.settings: dict[tuple[ApparatusId, tuple[SpringSetting, ...]], int] = {}
        self.spring_of = [
            self.settings.setdefault((c.exercise.apparatus, c.settings), len(self.settings))
            for c in choices
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
