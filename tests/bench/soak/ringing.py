"""Reminders: a burst of them under kill -9, and how late they are when nothing happens."""

import asyncio
import random
import time
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import func, select

from bot.wording.reminding import DUE
from core.cadence import Cadence
from core.instructor import OwnerId
from core.reminder import Kind, Reminder, ReminderId
from storage.crypto import keys_from
from storage.engine import open_engine
from storage.mail_tables import OutboxRow
from storage.migrate import upgrade
from storage.sql import SqlVault
from tests.bench.environment import share
from tests.bench.soak.channel import Channel
from tests.bench.soak.fleet import Fleet
from tests.bench.soak.run import KEY, Plan, Report, kill_before, ports, until_answered, until_up

HERS = 20  # reminders an instructor
ZONE = "Europe/Lisbon"
LONG_AGO = datetime(2026, 1, 5, 9, tzinfo=UTC).replace(tzinfo=None)
UP_S = 6.0  # from the start of the workers to the burst
LIFE_S = (0.1, 1.2)  # of a process after it is up, before it is killed
NEW = ReminderId(0)
POSTS = OutboxRow.metadata.tables["outbox"]


class Diary:
    """Instructors and their reminders, each due once."""

    def __init__(self, db: str, dues: list[datetime]) -> None:
        upgrade(db)
        self._db = db
        self._vault = SqlVault(db, keys_from(KEY))
        now = datetime.now(UTC)
        self.told: list[tuple[int, str, datetime]] = []
        self._owners: list[OwnerId] = []
        cadence = Cadence(LONG_AGO, ZONE)
        for first in range(0, len(dues), HERS):
            chat = 1000 + first // HERS
            owner = self._vault.admit(f"telegram:{chat}", ZONE, now)
            self._owners.append(owner)
            with self._vault.begin(owner) as store:
                for n, due in enumerate(dues[first : first + HERS], first):
                    text = f"task {n} of {chat}"
                    kept = Reminder(NEW, Kind.OWN, text, cadence, due=due)
                    store.diary.add_reminder(kept, now)
                    self.told.append((chat, DUE.format(text=text), due))

    def rung(self) -> tuple[int, int]:
        """How many reminders are settled as said, and how many posts of reminders there are."""
        settled = 0
        for owner in self._owners:
            with self._vault.begin(owner) as store:
                settled += sum(
                    each.due is None and each.rung is not None
                    for each in store.diary.reminders()
                    if each.kind is Kind.OWN
                )
        engine = open_engine(self._db)
        with engine.connect() as connection:
            posts = connection.scalar(
                select(func.count()).where(POSTS.c.post.startswith("reminder ", autoescape=True))
            )
        engine.dispose()
        return settled, int(posts or 0)

    def left(self) -> tuple[int, int, int]:
        """Updates and letters that still wait, and what was given up."""
        depth = self._vault.office.depth(datetime.now(UTC))
        return depth.updates, depth.letters, depth.dead

    def close(self) -> None:
        """Let go of the database."""
        self._vault.close()


async def burst(db: str, folder: Path, plan: Plan, seed: int = 7) -> Report:
    """So many reminders due at one instant, and processes killed from then on; then the count."""
    rng = random.Random(seed)
    # Filing them takes a while too.
    due = datetime.now(UTC) + timedelta(seconds=UP_S + plan.updates / 200)
    diary = Diary(db, [due] * plan.updates)
    free = ports(plan.workers) if plan.workers > 1 else []
    channel = Channel(hooks=[f"http://127.0.0.1:{port}/coilbook" for port in free])
    killed: list[float] = []
    async with channel:
        for chat, said, _ in diary.told:
            channel.expect(chat, said, time.monotonic())
        fleet = Fleet(db, KEY, channel.url, folder / "log", free, plan.sends)
        await fleet.start()
        up = len(fleet.running)
        await until_up(channel, up)
        await asyncio.sleep(max(0.0, (due - datetime.now(UTC)).total_seconds()))
        started = time.monotonic()
        for _ in range(plan.kills):
            await until_up(channel, up)
            await asyncio.sleep(rng.uniform(*LIFE_S))
            if not channel.waiting:
                break
            up = channel.calls["getMe"] + 1
            await fleet.kill(rng.randrange(len(fleet.running)))
            killed.append(time.monotonic())
        await until_answered(channel)
        took = time.monotonic() - started
        codes = await fleet.stop()
    settled, posts = diary.rung()
    waiting = diary.left()
    diary.close()
    per_kill = Counter(kill_before(at, killed) for at in channel.repeats)
    most = max(per_kill.values(), default=0)
    count = len(diary.told)
    lines = [
        f"{db.partition(':')[0]}, {plan.workers} worker(s), {plan.sends} letter(s) at once",
        f"reminders due at once {count}, kills meanwhile {len(killed)}, {took:.0f} s",
        f"lost {channel.waiting}; settled {settled}, posted {posts} of {count}",
        f"said again {len(channel.repeats)}, after one kill at most {most}",
        f"left at the end: updates, letters, given up {waiting}; exit codes {codes}",
    ]
    right = settled == posts == count and not (channel.waiting or any(waiting) or any(codes))
    figures: dict[str, float] = {
        "lost": channel.waiting,
        "settled": settled,
        "posted": posts,
        "kills": len(killed),
        "most": most,
    }
    return Report(lines, right and most <= plan.sends, figures)


async def steady(db: str, folder: Path, count: int, span_s: float) -> Report:
    """Reminders due one after the other, nobody killed: how late they are at the channel."""
    first = datetime.now(UTC) + timedelta(seconds=UP_S + count / 200)
    dues = [first + timedelta(seconds=span_s * n / count) for n in range(count)]
    random.Random(7).shuffle(dues)
    diary = Diary(db, dues)
    async with Channel() as channel:
        now, wall = time.monotonic(), datetime.now(UTC)
        for chat, said, due in diary.told:
            channel.expect(chat, said, now + (due - wall).total_seconds())
        fleet = Fleet(db, KEY, channel.url, folder / "log", [])
        await fleet.start()
        await asyncio.sleep(max(0.0, (dues[0] - datetime.now(UTC)).total_seconds()))
        await until_answered(channel)
        await fleet.stop()
    diary.close()
    late = sorted(channel.echo_s)
    p50, p95 = share(late, 0.5), share(late, 0.95)
    lines = [
        f"{db.partition(':')[0]}, {count} reminders over {span_s:.0f} s, said {len(late)}",
        f"late: p50 {p50 * 1000:.0f} ms, p95 {p95 * 1000:.0f} ms, at most {late[-1] * 1000:.0f} ms",
    ]
    right = len(late) == count and late[0] >= 0 and p95 <= 1
    return Report(lines, right, {"p95_s": p95})
