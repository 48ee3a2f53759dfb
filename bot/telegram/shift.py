"""A worker's shift: it claims chats that have work, and does it, in order within each.

All that there is to do stands in the database; a chat is this worker's as long as its lease is
renewed. Nothing is remembered here that is not there too, so a worker may end at any moment.
"""

import asyncio
import contextlib
import logging
from collections.abc import Awaitable, Callable, Sequence
from datetime import datetime, timedelta

from bot.channel import AT_ONCE
from bot.mail_ports import Office
from bot.telegram.counter import Counter
from bot.telegram.courier import WORTH_WAITING, Courier
from bot.telegram.door import unwatched
from bot.telegram.facts import fact
from bot.telegram.threads import Threads
from storage.errors import TakenError
from storage.mail import SUSPECT, Arrival, Update, Work

LOG = logging.getLogger(__name__)
LEASE = timedelta(seconds=15)  # so long after a worker's death another takes over its chats
BEAT_S = 4.0
LOOK_S = 0.5  # how often it is looked for work that nobody told us of
MOST_HELD = 4 * AT_ONCE  # chats; some of them only wait for their pace
MOST_ATTEMPTS = SUSPECT + 3  # workers that may die near, then over an update; it is given up then
PRUNE_EVERY = timedelta(hours=1)
KEPT_FOR = timedelta(days=7)  # what is done; the channel brings nothing again after a day
GRACE_S = 8.0  # how long what runs may take when told to stop; services are killed after ten

Answer = Callable[[Update], Awaitable[None]]


class Shift:
    """What one worker is at."""

    def __init__(
        self,
        worker: str,
        office: Office,
        courier: Courier,
        answer: Answer,
        counter: Counter,
        threads: Threads,
        clock: Callable[[], datetime],
        beat: Callable[[str], None] = unwatched,
    ) -> None:
        self._worker = worker
        self._office = office
        self._courier = courier
        self._answer = answer
        self._turn = counter.turn
        self._run = threads.post
        self._now = clock
        self._beat = beat
        self._places = asyncio.Semaphore(AT_ONCE)
        self._lanes: dict[str, asyncio.Event] = {}  # what tells a lane that there is more
        self._tasks: set[asyncio.Task[None]] = set()
        self._look = asyncio.Event()
        self._stopping = asyncio.Event()

    async def keep(self, arrivals: Sequence[Arrival]) -> None:
        """Keep updates for good, and see to them soon.

        Raises:
            StorageError: they could not be kept.
        """
        room = 0 if self._stopping.is_set() else max(0, MOST_HELD - len(self._lanes))
        now = self._now()
        ours = await self._run(self._office.take, arrivals, self._worker, now, now + LEASE, room)
        for chat in {each.chat for each in arrivals} - set(ours):
            if chat in self._lanes:
                self._lanes[chat].set()
            else:
                self._look.set()
        self._start(ours)

    def poke(self) -> None:
        """Look for work now: something was posted."""
        self._look.set()

    async def work(self, stop: asyncio.Event) -> None:
        """Work until told to stop, and what runs has ended or taken too long."""
        helpers = [asyncio.create_task(each) for each in (self._claiming(), self._beating())]
        try:
            await stop.wait()
        finally:
            self._stopping.set()
            for lane in self._lanes.values():
                lane.set()
            for helper in helpers:
                helper.cancel()
            await asyncio.gather(*helpers, return_exceptions=True)
            if self._tasks:
                await asyncio.wait(self._tasks, timeout=GRACE_S)
            await self._run(self._office.leave, self._worker)

    async def _claiming(self) -> None:
        while True:
            room = MOST_HELD - len(self._lanes)
            if room > 0:
                now = self._now()
                try:
                    self._start(
                        await self._run(self._office.claim, self._worker, now, now + LEASE, room)
                    )
                    self._beat("worker")
                except Exception as error:
                    LOG.error("looking for work failed: %s", fact(error))
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self._look.wait(), LOOK_S)
            self._look.clear()

    async def _beating(self) -> None:
        pruned = None
        while True:
            await asyncio.sleep(BEAT_S)
            if pruned is None or self._now() - pruned > PRUNE_EVERY:
                pruned = self._now()
                try:
                    await self._run(self._office.prune, pruned - KEPT_FOR)
                except Exception as error:
                    LOG.error("what is done was not cleared away: %s", fact(error))
            if self._lanes:
                try:
                    await self._run(self._office.beat, self._worker, self._now() + LEASE)
                except Exception as error:
                    LOG.error("the lease was not renewed: %s", fact(error))

    def _start(self, chats: Sequence[str]) -> None:
        for chat in chats:
            more = self._lanes[chat] = asyncio.Event()
            task = asyncio.create_task(self._lane(chat, more))
            self._tasks.add(task)
            task.add_done_callback(self._tasks.discard)

    async def _lane(self, chat: str, more: asyncio.Event) -> None:
        """Do what there is to do in a chat, and give it back."""
        try:
            work = await self._turn(chat)
            while work:
                work = await self._step(chat, work, more)
        except Exception as error:
            LOG.error("a chat's work failed: %s", fact(error))
            await asyncio.sleep(0 if self._stopping.is_set() else 1)
            await self._run(self._office.release, chat, self._worker, self._now(), idle_only=False)
        finally:
            if self._lanes.get(chat) is more:
                del self._lanes[chat]
            if more.is_set() or len(self._lanes) >= MOST_HELD - 1:
                self._look.set()

    async def _step(self, chat: str, work: Work, more: asyncio.Event) -> Work | None:
        """What there is to do next in a chat, one thing being done; None: it is not ours now."""
        now = self._now()
        if work.letter and self._courier.ready(work) <= now:
            more.clear()
            return await self._courier.send(work.letter, work)
        if work.update and not self._stopping.is_set():
            more.clear()
            await self._see_to(work.update)
            return await self._turn(chat)
        pause = self._pause(work, now)
        if pause is not None:
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(more.wait(), pause)
            more.clear()
            return await self._turn(chat)
        if work.letter or self._stopping.is_set():
            await self._run(self._office.release, chat, self._worker, now, idle_only=False)
            if not self._stopping.is_set():
                self._look.set()
            return None
        return await self._turn(chat)

    def _pause(self, work: Work, now: datetime) -> float | None:
        """How long to wait for the letter in hand; None when that is not worth it."""
        if not work.letter:
            return None
        wait = self._courier.ready(work) - now
        return wait.total_seconds() if wait <= WORTH_WAITING else None

    async def _see_to(self, update: Update) -> None:
        if update.attempts >= MOST_ATTEMPTS:
            LOG.error("an update is given up: it has ended %d workers", update.attempts)
            await self._run(self._office.bury_update, update.number, "WorkerDied")
            return
        async with self._places:
            try:
                if update.attempts >= SUSPECT:
                    await self._run(self._office.begun, update.number)
                await self._answer(update)
            except TakenError:
                LOG.info("an update was answered elsewhere, or has to be read again")
