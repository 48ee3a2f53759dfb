"""The alarm clock: wakes whoever says reminders at the instant the next one is due.

The scheduler lives in memory and knows one instant only. What it may forget or miss stands in the
database, and is looked at every half minute anyway.
"""

import asyncio
import logging
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from typing import Any, Protocol

LOG = logging.getLogger(__name__)
SAFETY_S = 30
LOOK_S = 0.25  # of many messages in this time one look is enough
WAKE, SAFETY = "wake", "safety"
SOONEST = timedelta(milliseconds=20)  # so that a clock that runs a little fast does not spin


class Waker(Protocol):
    """Who says reminders."""

    def tick(self) -> datetime | None:
        """Say what is due; when to tick again."""


Run = Callable[[Callable[[], datetime | None]], Awaitable[datetime | None]]


class Alarm:
    """Ticks at the right instants.

    Attributes:
        run: makes a call outside the loop.
        poke: tells those who send that there may be something.
    """

    def __init__(self, waker: Waker, run: Run, poke: Callable[[], None]) -> None:
        self._waker = waker
        self._run = run
        self._poke = poke
        self._scheduler: Any = None
        self._looking: asyncio.TimerHandle | None = None
        self._ticking = asyncio.Lock()

    @asynccontextmanager
    async def running(self) -> AsyncIterator[None]:
        """A block during which it ticks."""
        # Late, because start-up would pay a tenth of a second for it.
        from apscheduler.schedulers.asyncio import (  # type: ignore[import-untyped]  # noqa: PLC0415
            AsyncIOScheduler,
        )

        defaults = {"coalesce": True, "max_instances": 1, "misfire_grace_time": None}
        self._scheduler = AsyncIOScheduler(timezone=UTC, job_defaults=defaults)
        self._scheduler.add_job(self.ring, "interval", seconds=SAFETY_S, id=SAFETY)
        self._scheduler.start()
        self._set(datetime.now(UTC))
        try:
            yield
        finally:
            self._scheduler.shutdown(wait=False)
            if self._looking:
                self._looking.cancel()
            async with self._ticking:  # what is being said is said to its end
                self._scheduler = None

    async def ring(self) -> None:
        """Say what is due, and set the clock for what comes next."""
        async with self._ticking:
            if self._scheduler is None:
                return
            try:
                following = await self._run(self._waker.tick)
            except Exception as error:
                LOG.error("reminders could not be looked at: %s", type(error).__name__)
                return
            self._poke()
            if following:
                self._set(following)

    def look(self) -> None:
        """Something may be due earlier than was known; it is looked for a moment later."""
        if self._looking is None and self._scheduler is not None:
            loop = asyncio.get_running_loop()
            self._looking = loop.call_later(LOOK_S, self._look)

    def _look(self) -> None:
        self._looking = None
        self._set(datetime.now(UTC))

    def _set(self, at: datetime) -> None:
        if self._scheduler is not None:
            soon = max(at, datetime.now(UTC) + SOONEST)
            self._scheduler.add_job(
                self.ring, "date", run_date=soon, id=WAKE, replace_existing=True
            )
