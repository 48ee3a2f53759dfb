"""What the contract tests play with: a little of everything, and many threads at once."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime
from hashlib import sha256
from threading import Barrier
from typing import Any, TypeVar

from core.codec import plan_to_json
from core.instructor import Habits
from storage.crypto import Keys
from storage.memory import MemoryVault
from storage.memory_store import MemoryStore
from storage.sql import SqlVault
from storage.sql_store import SqlStore
from tests.builders import CHAIR, brief, plan, record, repertoire

AnyVault = MemoryVault | SqlVault
AnyStore = MemoryStore | SqlStore
Result = TypeVar("Result")

LIBRARY = repertoire()
NOW = datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
KEYS = Keys({1: bytes(range(32))})
CODE = sha256(b"an invented code").digest()
THREADS = 8


class UnluckyError(Exception):
    """What goes wrong in the middle of a transaction."""


def in_parallel(job: Callable[[int], Result], times: int = THREADS) -> list[Result]:
    """What a job gives for 0, 1, 2 ..., each in a thread, all let go at the same moment."""
    ready = Barrier(times)

    def start(n: int) -> Result:
        ready.wait(timeout=10)
        return job(n)

    with ThreadPoolExecutor(times) as pool:
        return list(pool.map(start, range(times)))


def fill(store: AnyStore) -> None:
    """Something of each kind."""
    store.set_habits(Habits(45, (CHAIR.id,), month_first=True))
    store.add_plan(plan(LIBRARY, brief(group="Tue")), LIBRARY, NOW)
    store.set_talk("chat", {"step": 1})
    store.keep_line("t1", "drop 2")
    store.describe(CHAIR)
    store.keep_exercise("own-hop", record("own-hop"))
    store.keep_exercise("own-skip", record("own-skip"))
    store.add_remark("mat-curl", "zip up")


def spoil(store: AnyStore) -> None:
    """Change all that `fill` made, and fail.

    Raises:
        UnluckyError: always.
    """
    before = everything(store)
    store.set_zone("Asia/Tokyo")
    store.set_habits(Habits(20))
    store.add_plan(plan(LIBRARY, brief(group="Fri")), LIBRARY, NOW)
    store.set_talk("chat", {"step": 2})
    store.keep_line("t1", "changed")
    store.describe(replace(CHAIR, most=1))
    store.keep_exercise("own-hop", {"id": "own-hop", "name": "changed"})
    store.retire_exercise("own-skip")
    store.add_remark("mat-curl", "lost")
    after = everything(store)
    assert not [each for each in after if after[each] == before[each] and each != "first"]
    raise UnluckyError


def everything(store: AnyStore) -> dict[str, Any]:
    """What a store answers to every question, as `fill` asks for it."""
    latest = store.latest_plan(LIBRARY)
    return {
        "zone": store.instructor().zone,
        "habits": store.instructor().habits,
        "plan": latest and plan_to_json(latest.plan, LIBRARY, latest.number),
        "first": store.plan(1, LIBRARY),
        "groups": store.groups(),
        "talk": store.talk("chat"),
        "line": store.line("t1"),
        "apparatus": store.apparatus(),
        "exercises": store.exercises(),
        "remarks": store.remarks("mat-curl"),
    }
