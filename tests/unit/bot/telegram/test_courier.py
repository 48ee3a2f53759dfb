"""The courier on a clock of the test's own: never faster than the channel allows."""

import itertools
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any, cast

import pytest
from telegram import Bot, Message
from telegram.error import BadRequest, Forbidden, NetworkError, RetryAfter, TelegramError, TimedOut

from bot.channel import Pace
from bot.letter import letters, to_text
from bot.reply import Part, Reply
from bot.telegram.courier import LONG_AGO, Courier
from bot.telegram.threads import Threads
from storage.mail import Sent, Work
from storage.memory import MemoryVault

NOW = datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
SECOND = timedelta(seconds=1)


@pytest.fixture(autouse=True)
def spans(monkeypatch: pytest.MonkeyPatch) -> None:
    """Spans of time as such, as the program asks the library for them."""
    monkeypatch.setenv("PTB_TIMEDELTA", "true")


class Channel:
    """A channel that notes when it was called, and fails as told."""

    def __init__(self, clock: Callable[[], datetime]) -> None:
        self._clock = clock
        self.calls: list[datetime] = []
        self.fails: list[TelegramError] = []

    async def send_message(self, chat: int, text: str, **_: Any) -> Message:  # noqa: ANN401
        """A message, or what was to go wrong."""
        self.calls.append(self._clock())
        if self.fails:
            raise self.fails.pop(0)
        raw = {"message_id": 1, "date": 0, "chat": {"id": chat, "type": "private"}, "text": text}
        return Message.de_json(raw)


class Round:
    """A courier, and a clock that goes on only when there is nothing to send."""

    def __init__(self, pace: Pace | None = None) -> None:
        self.now = NOW
        self.vault = MemoryVault()
        self.channel = Channel(lambda: self.now)
        self.threads = Threads()
        bot = cast("Bot", self.channel)
        office = self.vault.office
        self.courier = Courier(
            bot, office, pace or Pace(), self.threads, lambda: self.now, self.turn
        )

    async def turn(self, chat: str, sent: Sent | None) -> Work | None:
        """What there is to do next in a chat."""
        office = self.vault.office
        return office.turn("w", self.now, [chat], [sent] if sent else []).get(chat)

    def post(self, chat: str, *texts: str) -> None:
        """Letters for a chat."""
        written = [to_text(each) for t in texts for each in letters([Reply((Part(t),))])]
        with self.vault.mail() as mail:
            mail.post(chat, f"{chat} {texts}", written, self.now)

    async def send(self, chat: str) -> list[datetime]:
        """When each letter for this chat was sent, counted from now on."""
        before = len(self.channel.calls)
        while (work := self.vault.office.work(chat, self.now)).letter:
            ready = self.courier.ready(work)
            self.now = max(self.now, ready)
            await self.courier.send(work.letter, work)
        self.threads.close()
        return self.channel.calls[before:]


async def test_a_private_chat_gets_one_a_second_and_the_first_at_once() -> None:
    going = Round()
    going.post("telegram:1", "a", "b", "c")
    assert await going.send("telegram:1") == [NOW, NOW + SECOND, NOW + 2 * SECOND]


async def test_a_group_gets_twenty_a_minute() -> None:
    going = Round()
    going.post("telegram:-1", *(f"text {n}" for n in range(45)))
    times = await going.send("telegram:-1")
    assert times[19] == NOW + 19 * SECOND
    assert times[20] == NOW + 60 * SECOND
    minute = timedelta(minutes=1)
    assert all(sum(at <= each < at + minute for each in times) <= 20 for at in times)


async def test_a_request_to_wait_is_kept_for_every_chat() -> None:
    going = Round()
    going.channel.fails = [RetryAfter(timedelta(seconds=7))]
    going.post("telegram:1", "a")
    going.post("telegram:2", "b")
    work = going.vault.office.work("telegram:1", NOW)
    assert work.letter
    assert going.courier.ready(work) == LONG_AGO
    await going.courier.send(work.letter, work)
    assert going.courier.hushed
    times = await going.send("telegram:2")
    assert len(times) == 1
    assert times[0] > NOW + 7 * SECOND


@pytest.mark.parametrize("failure", [NetworkError("502"), TimedOut()])
async def test_what_breaks_down_is_tried_later_and_later(failure: TelegramError) -> None:
    going = Round()
    going.channel.fails = [failure] * 8
    going.post("telegram:1", "a")
    times = await going.send("telegram:1")
    pauses = [(after - before).total_seconds() for before, after in itertools.pairwise(times)]
    assert pauses == [1, 2, 4, 8, 16, 30, 30, 30]
    assert going.vault.office.problems() == []


@pytest.mark.parametrize("refusal", [Forbidden("blocked"), BadRequest("chat not found")])
async def test_what_is_refused_is_given_up(refusal: TelegramError) -> None:
    going = Round()
    going.channel.fails = [refusal]
    going.post("telegram:1", "a")
    assert await going.send("telegram:1") == [NOW]
    (problem,) = going.vault.office.problems()
    assert (problem.error, problem.count) == (type(refusal).__name__, 1)


async def test_what_was_never_taken_for_a_day_is_given_up() -> None:
    going = Round()
    going.channel.fails = [NetworkError("502")] * 4000
    going.post("telegram:1", "a")
    times = await going.send("telegram:1")
    assert timedelta(days=1) < times[-1] - NOW < timedelta(days=1, minutes=1)
    assert going.vault.office.problems()[0].error == "NetworkError"
