"""The hot loop in C, where it was compiled; the same answers as anneal.py, many times sooner."""

import ctypes as c
import os
import weakref
from collections.abc import Sequence
from functools import lru_cache
from math import exp, log
from random import Random
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.planner.anneal import CHUNK, Found, Mix, Schedule
from core.planner.compiling import compiled
from core.planner.terrain import COUNTED, LOGS, Terrain

SWITCH = "COILBOOK_NATIVE"  # "0": search in Python all the same
STAGES, WINDOWS, QUOTAS = 16, 16, 64  # what anneal.c has room for
WORD = 64

_NUMBERS = (
    "size stages windows quotas balances words families all_series items required "
    "longest_run track_changes summit broken"
).split()
_TABLES = (
    "cost time back value item stage usual family series run track peak want rank gives needs "
    "times times_at covers twins twins_at first beyond gain least balance window logs"
).split()


class _Ground(c.Structure):
    _fields_ = [
        *((name, c.c_int32) for name in _NUMBERS),
        ("price", c.c_int64),
        *((name, c.c_void_p) for name in _TABLES),
    ]


class _Run(c.Structure):
    _fields_ = [
        ("mt", c.c_void_p),
        *((name, c.c_int32) for name in ("proposals", "offset", "stop")),
        *((name, c.c_double) for name in ("hot", "cooling")),
        *((name, c.c_double) for name in Mix.__slots__),
        ("length", c.c_int32),
        ("seq", c.c_void_p),
        *((name, c.c_int32) for name in ("best_length", "best_whole")),
        ("best", c.c_void_p),
        ("objective", c.c_int64),
    ]


def available() -> bool:
    """Whether searches run in C."""
    return _library() is not None


class Native:
    """A terrain as the compiled loop reads it; what runs at once needs a lane each."""

    def __init__(self, t: Terrain, library: c.CDLL) -> None:
        self._t = t
        self._library = library
        self._lanes: dict[int, Lane] = {}
        self._kept: dict[str, NDArray[Any]] = _tables(t)  # C only borrows them
        self._ground = _Ground(
            **_numbers(t),
            price=t.price,
            **{name: table.ctypes.data for name, table in self._kept.items()},
        )

    def lane(self, number: int) -> "Lane":
        """The lane of this number, opened when it is first asked for."""
        lane = self._lanes.get(number)
        if lane is None:
            lane = self._lanes[number] = Lane(self._t, self._library, self._ground)
        return lane


class Lane:
    """Room for one anneal at a time, on tables that all lanes share."""

    def __init__(self, t: Terrain, library: c.CDLL, ground: _Ground) -> None:
        self._t = t
        self._library = library
        self._ground = ground
        self._field = library.field_open(c.byref(ground))
        if not self._field:
            raise MemoryError
        weakref.finalize(self, library.field_close, self._field)

    def anneal(
        self,
        start: Sequence[int],
        random: Random,
        schedule: Schedule,
        mix: Mix,
        *,
        stop: bool = False,
    ) -> Found:
        """As `core.planner.anneal.anneal`, to the last proposal."""
        offset = random.randrange(LOGS // CHUNK) * CHUNK
        version, words, gauss = random.getstate()
        mt = np.array(words, dtype=np.uint32)
        seq = self._between_ends(start)
        best = np.zeros(len(self._t.stage) + 1, dtype=np.int32)
        cooling = exp(log(schedule.cold / schedule.hot) * CHUNK / max(1, schedule.proposals))
        run = _Run(
            mt=mt.ctypes.data,
            proposals=schedule.proposals,
            offset=offset,
            stop=stop,
            hot=schedule.hot,
            cooling=cooling,
            **{name: getattr(mix, name) for name in Mix.__slots__},
            length=len(seq),
            seq=seq.ctypes.data,
            best=best.ctypes.data,
        )
        self._library.field_anneal(c.c_void_p(self._field), c.byref(run))
        random.setstate((version, tuple(mt.tolist()), gauss))
        return Found(best[: run.best_length].tolist(), run.objective, bool(run.best_whole))

    def judge(self, inner: Sequence[int]) -> tuple[bool, int]:
        """Whether a sequence is a plan, and its objective."""
        seq, whole = self._between_ends(inner), c.c_int32()
        objective = self._library.field_judge(
            c.c_void_p(self._field), c.c_void_p(seq.ctypes.data), len(seq), c.byref(whole)
        )
        return bool(whole.value), objective

    def _between_ends(self, inner: Sequence[int]) -> NDArray[np.int32]:
        return np.array([self._t.start, *inner, self._t.end], dtype=np.int32)


def native(t: Terrain) -> Native | None:
    """The terrain for the compiled loop; None where there is none or the problem is too large."""
    library = _library()
    problem = t.problem
    large = (
        problem.stages > STAGES or len(problem.windows) > WINDOWS or len(problem.quotas) > QUOTAS
    )
    if library is None or large:
        return None
    return Native(t, library)


@lru_cache(maxsize=1)
def _library() -> c.CDLL | None:
    """The compiled loop, if it is there and fits the source."""
    if os.environ.get(SWITCH) == "0":
        return None
    path = compiled()
    if not path.is_file():
        return None
    try:
        library = c.CDLL(str(path))
    except OSError:  # compiled on another machine
        return None
    library.field_open.restype = c.c_void_p
    library.field_close.argtypes = (c.c_void_p,)
    library.field_close.restype = None
    library.field_anneal.restype = None
    library.field_judge.restype = c.c_int64
    return library


def _numbers(t: Terrain) -> dict[str, int]:
    problem = t.problem
    nodes = problem.nodes
    return {
        "size": len(nodes),
        "stages": problem.stages,
        "windows": len(problem.windows),
        "quotas": len(problem.quotas),
        "balances": len(problem.balances),
        "words": max(1, -(-_needed(t).bit_count() // WORD)),
        "families": 1 + max((n.family for n in nodes), default=0),
        "all_series": 1 + max((n.series for n in nodes), default=0),
        "items": 1 + max((n.item for n in nodes), default=0),
        "required": len(problem.required),
        "longest_run": problem.longest_run,
        "track_changes": problem.track_changes,
        "summit": problem.summit,
        "broken": problem.broken,
    }


def _needed(t: Terrain) -> int:
    needed = 0
    for needs in t.rules.needs:
        needed |= needs
    return needed


def _tables(t: Terrain) -> dict[str, NDArray[Any]]:
    problem = t.problem
    nodes = problem.nodes
    wanted = {item: k for k, item in enumerate(sorted(problem.required))}
    order = sorted({-n.step for n in nodes})
    rank = {step: float(k) for k, step in enumerate(order)}
    by_node: dict[str, Sequence[int]] = {
        "value": t.value,
        "item": t.item,
        "stage": t.stage,
        "usual": [n.usual for n in nodes],
        "family": [n.family for n in nodes],
        "series": [n.series for n in nodes],
        "run": [n.run for n in nodes],
        "track": [n.track for n in nodes],
        "peak": [n.peak for n in nodes],
        "want": [wanted.get(n.item, -1) for n in nodes],
        "first": t.first,
        "beyond": t.beyond,
        "gain": [points for quota in t.gain for points in quota[:COUNTED]],
        "least": [quota.least for quota in problem.quotas],
        "balance": [x for b in problem.balances for x in (b.heavy, b.light, b.ratio)],
        "window": [
            x
            for w, (*_, longest, _single) in zip(problem.windows, t.clocks, strict=True)
            for x in (w.first, w.last, w.low, w.high, longest)
        ],
    }
    tables: dict[str, NDArray[Any]] = {
        name: np.array([*values, 0], dtype=np.int32) for name, values in by_node.items()
    }
    for name, parts in (
        ("times", [n.times for n in nodes]),
        ("twins", t.twins),
    ):
        ends = np.cumsum([0, *map(len, parts)])
        tables[f"{name}_at"] = ends.astype(np.int32)
        tables[name] = np.array([*(x for part in parts for x in part), 0], dtype=np.int32)
    tables["rank"] = np.array([rank[-n.step] for n in nodes] + [0.0])
    tables["cost"], tables["time"] = t.squares()
    tables["back"] = np.ascontiguousarray(tables["cost"].T)
    needed = _needed(t)
    bits = [k for k in range(needed.bit_length()) if needed >> k & 1]
    tables["gives"] = _packed(t.rules.gives, bits)
    tables["needs"] = _packed(t.rules.needs, bits)
    tables["covers"] = np.array([*t.mask, 0], dtype=np.uint64)
    tables["logs"] = _logs(t.logs)
    return tables


@lru_cache(maxsize=1)
def _logs(logs: tuple[float, ...]) -> NDArray[np.float64]:
    return np.array(logs)


def _packed(masks: Sequence[int], bits: Sequence[int]) -> NDArray[np.uint64]:
    """Masks in words of 64 bits, with only the bits that anything needs."""
    words = max(1, -(-len(bits) // WORD))
    packed: NDArray[np.uint64] = np.zeros((len(masks) + 1, words), dtype=np.uint64)
    place = {bit: k for k, bit in enumerate(bits)}
    for row, mask in enumerate(masks):
        left = mask
        while left:
            bit = (left & -left).bit_length() - 1
            left &= left - 1
            at = place[bit]
            packed[row, at // WORD] |= np.uint64(1 << at % WORD)
    return packed
