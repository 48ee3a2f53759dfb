"""A soak: messages that change something, processes killed meanwhile, and an account of it all."""

import asyncio
import random
import socket
import time
from base64 import b64encode
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from storage.crypto import keys_from
from storage.migrate import upgrade
from storage.sql import SqlVault
from tests.bench.environment import processor, share
from tests.bench.soak.channel import Channel
from tests.bench.soak.fleet import Fleet

NAMES = (
    "Ana Bo Cleo Dora Eli Fay Gus Hal Ida Jon Kim Lea Max Nia Ola Pip Quin Rae Sol Tess"
).split()
KEY = f"1:{b64encode(bytes(range(32))).decode()}"
PATIENCE_S = 60.0  # without a new answer
LIFE_S = (0.5, 2.5)  # of a process after it is up, before it is killed
UP_S = 0.5  # from its greeting to its work


@dataclass(frozen=True)
class Plan:
    """What is to happen.

    Attributes:
        sends: letters under way at once in a worker, which is what a kill may repeat at most.
    """

    updates: int
    kills: int
    workers: int
    sends: int


@dataclass(frozen=True)
class Report:
    """What happened."""

    lines: list[str]
    kept: bool
    figures: dict[str, float]


class Studio:
    """Instructors with clients, and what they write: each note is about another client of hers."""

    def __init__(self, db: str, updates: int) -> None:
        upgrade(db)
        self.key = KEY
        self._vault = SqlVault(db, keys_from(KEY))
        now = datetime.now(UTC)
        self.chats = [1000 + n for n in range(-(-updates // len(NAMES)))]
        for chat in self.chats:
            owner = self._vault.admit(f"telegram:{chat}", "Europe/Lisbon", now)
            with self._vault.begin(owner) as store:
                for name in NAMES:
                    store.people.add_client(name, now)
        self.notes = [
            (chat, name, f"note {name}: kept {chat} {n}")
            for n, name in enumerate(NAMES)
            for chat in self.chats
        ][:updates]

    def kept(self) -> Counter[tuple[int, str]]:
        """How many notes there are about whom."""
        found: Counter[tuple[int, str]] = Counter()
        for chat in self.chats:
            owner = self._vault.owner(f"telegram:{chat}")
            assert owner is not None
            with self._vault.begin(owner) as store:
                for client in store.people.clients():
                    found[chat, client.name] += len(store.people.notes(client.id))
        return found

    def left(self) -> tuple[int, int, int]:
        """Updates and letters that still wait, and what was given up."""
        depth = self._vault.office.depth(datetime.now(UTC))
        return depth.updates, depth.letters, depth.dead

    def close(self) -> None:
        """Let go of the database."""
        self._vault.close()


async def soak(db: str, folder: Path, plan: Plan, seed: int = 7) -> Report:
    """Messages sent and processes killed; then the count."""
    rng = random.Random(seed)
    studio = Studio(db, plan.updates)
    free = ports(plan.workers) if plan.workers > 1 else []
    channel = Channel(hooks=[f"http://127.0.0.1:{port}/coilbook" for port in free])
    killed: list[float] = []
    async with channel:
        fleet = Fleet(db, studio.key, channel.url, folder / "log", free, plan.sends)
        started = time.monotonic()
        await fleet.start()
        done, up = 0, len(fleet.running)
        for number in range(plan.kills):
            await until_up(channel, up)
            due = len(studio.notes) * (number + 1) // (plan.kills + 1)
            life = rng.uniform(*LIFE_S)
            ends = time.monotonic() + UP_S + life
            while time.monotonic() < ends:
                step = max(1, (due - done) // 20)
                for chat, name, text in studio.notes[done : min(due, done + step)]:
                    channel.push(chat, text, f"Noted for {name}.")
                done = min(due, done + step)
                await asyncio.sleep(rng.uniform(0.0, 2 * (UP_S + life) / 20))
            up = channel.calls["getMe"] + 1
            await fleet.kill(rng.randrange(len(fleet.running)))
            killed.append(time.monotonic())
        for chat, name, text in studio.notes[done:]:
            channel.push(chat, text, f"Noted for {name}.")
        await until_answered(channel)
        took = time.monotonic() - started
        codes = await fleet.stop()
    kept = studio.kept()
    wanted = {(chat, name) for chat, name, _ in studio.notes}
    missing = sum(kept[key] == 0 for key in wanted)
    doubled = sum(count > 1 for count in kept.values())
    per_kill = Counter(kill_before(at, killed) for at in channel.repeats)
    most = max(per_kill.values(), default=0)
    waiting = studio.left()
    studio.close()
    lines = [
        f"{db.partition(':')[0]}, {plan.workers} worker(s), {plan.sends} letter(s) at once",
        f"updates {len(studio.notes)}, kills {len(killed)}, {took:.0f} s",
        f"lost: notes {missing}, answers {channel.waiting}",
        f"notes kept twice {doubled}",
        f"answers repeated {len(channel.repeats)}, after one kill at most {most}",
        f"left at the end: updates, letters, given up {waiting}; exit codes {codes}",
    ]
    right = not (missing or doubled or channel.waiting or any(waiting) or any(codes))
    figures: dict[str, float] = {
        "missing": missing,
        "doubled": doubled,
        "repeats": len(channel.repeats),
        "most": most,
    }
    return Report(lines, right and most <= plan.sends, figures)


async def throughput(db: str, folder: Path, updates: int, workers: int) -> Report:
    """As many messages as it takes, 50 ms each at the channel; then one at a time.

    Half of them keep a note, half look a client up.
    """
    studio = Studio(db, updates // 2 + len(NAMES) * 10)
    many, few = studio.notes[: updates // 2], studio.notes[updates // 2 :]
    free = ports(workers) if workers > 1 else []
    hooks = [f"http://127.0.0.1:{port}/coilbook" for port in free]
    async with Channel(latency_s=0.05, hooks=hooks) as channel:
        fleet = Fleet(db, studio.key, channel.url, folder / "log", free)
        await fleet.start()
        await until_up(channel, len(fleet.running))
        await asyncio.sleep(2)
        for chat, name, text in few[:20]:  # what is loaded at first use is loaded
            channel.push(chat, text, f"Noted for {name}.")
            await asyncio.sleep(0.1)
        channel.echo_s.clear()
        for chat, name, text in few[20:]:
            channel.push(chat, text, f"Noted for {name}.")
            await asyncio.sleep(0.1)
        await until_answered(channel)
        echo = sorted(channel.echo_s)
        noting = [(chat, text, f"Noted for {name}.") for chat, name, text in many]
        looking = [(chat, f"client {name}", f"{name}, level 1") for chat, name, _ in many]
        rates = [await _rate(channel, each) for each in (noting, looking)]
        both = len(many) * 2 / sum(len(many) / rate for rate in rates)
        spent = sum(processor(each.pid) for each in fleet.running)
        await fleet.stop()
    studio.close()
    p50, p95 = share(echo, 0.5) * 1000, share(echo, 0.95) * 1000
    done = len(few) + 2 * len(many)
    lines = [
        f"{db.partition(':')[0]}, {workers} worker(s), 50 ms a message",
        f"{len(many)} notes at once: {rates[0]:.0f} a second; as many look-ups: {rates[1]:.0f}; "
        f"half and half: {both:.0f}",
        f"one at a time, from update to call: p50 {p50:.1f} ms, p95 {p95:.1f} ms",
        f"processor a message: program {spent / done * 1000:.1f} ms with its start, "
        f"channel and bench {time.process_time() / done * 1000:.1f} ms",
    ]
    return Report(lines, both >= 200 and p95 <= 10, {"rate": both, "p95_ms": p95})


async def _rate(channel: Channel, messages: list[tuple[int, str, str]]) -> float:
    """How many of these, all there at once, are answered a second."""
    started = time.monotonic()
    for chat, text, answer in messages:
        channel.push(chat, text, answer)
    await until_answered(channel)
    return len(messages) / (time.monotonic() - started)


async def until_up(channel: Channel, greetings: int) -> None:
    """Nothing, once so many starts have come so far as to greet the channel."""
    ends = time.monotonic() + PATIENCE_S
    while channel.calls["getMe"] < greetings and time.monotonic() < ends:
        await asyncio.sleep(0.05)


async def until_answered(channel: Channel) -> None:
    """Nothing, once all was answered, or nothing new came for long."""
    waiting, since = channel.waiting, time.monotonic()
    while waiting and time.monotonic() - since < PATIENCE_S:
        await asyncio.sleep(0.05)
        if channel.waiting < waiting:
            waiting, since = channel.waiting, time.monotonic()


def kill_before(at: float, killed: list[float]) -> int:
    """The number of the last kill before an instant."""
    return sum(each <= at for each in killed)


def ports(count: int) -> list[int]:
    """So many ports that are free."""
    held = [socket.socket() for _ in range(count)]
    for each in held:
        each.bind(("127.0.0.1", 0))
    found = [int(each.getsockname()[1]) for each in held]
    for each in held:
        each.close()
    return found
