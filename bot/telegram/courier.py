"""Letters brought to the channel: not faster than it allows, again when it fails, or given up."""

import asyncio
import logging
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, timedelta

from telegram import Bot
from telegram.error import BadRequest, Forbidden, RetryAfter, TelegramError

from bot import letter as letters
from bot.channel import Pace
from bot.mail_ports import Office
from bot.telegram.delivery import NeedlessError, deliver
from bot.telegram.door import CHANNEL
from bot.telegram.facts import fact
from bot.telegram.threads import Threads
from storage.mail import Letter, Sent, Work
from storage.pacing import opens

LOG = logging.getLogger(__name__)
MINUTE_S = 60.0
SLACK = timedelta(seconds=0.1)  # so that our clock does not run ahead of the channel's
FIRST_PAUSE_S = 1.0
LONGEST_PAUSE_S = 30.0  # house choice: so long after the channel is back the last letter leaves
GIVEN_UP_AFTER = timedelta(days=1)  # house choice: an answer a day late has lost its question
WORTH_WAITING = timedelta(seconds=1.5)
LONG_AGO = datetime.min.replace(tzinfo=UTC)


class Courier:
    """Sends one letter at a time of a chat, and so many chats' at once."""

    def __init__(
        self,
        bot: Bot,
        office: Office,
        pace: Pace,
        threads: Threads,
        clock: Callable[[], datetime],
        turn: Callable[[str, Sent | None], Awaitable[Work | None]],
    ) -> None:
        self._bot = bot
        self._office = office
        self._pace = pace
        self._run = threads.post
        self._now = clock
        self._turn = turn
        self._places = asyncio.Semaphore(pace.at_once)
        self._asking = asyncio.Lock()
        self._left = 0
        self._left_until: datetime | None = None
        self._hushed: datetime | None = None

    @property
    def hushed(self) -> bool:
        """Whether the channel wants to be left alone now."""
        return self._hushed is not None and self._hushed > self._now()

    def ready(self, work: Work) -> datetime:
        """When the letter in hand may be sent; in the past if now."""
        times = (work.quiet_until, self._hushed)
        return max((at for at in times if at), default=LONG_AGO)

    async def send(self, letter: Letter, work: Work) -> Work | None:
        """Send it, and write down what came of it. Nothing is raised for what the channel does.

        Returns: what there is to do next in its chat; None: that is not ours now.
        """
        # The place is free again only when the letter is marked: so many a crash may repeat.
        async with self._places:
            sent = await self._brought(letter, work) if await self._allowed() else None
            return await self._turn(letter.chat, sent)

    async def _brought(self, letter: Letter, work: Work) -> Sent | None:
        """The letter as sent; None where it was not, which is written down then."""
        chat = int(letter.chat.partition(":")[2])
        try:
            if letter.body is None:
                raise ValueError(letter.id)
            written = letters.from_text(letter.body)
            message = await deliver(self._bot, chat, written, attempted=letter.attempts > 0)
        except NeedlessError:
            return self._sent(letter, None, work, rest_too=True)
        except RetryAfter as asked:
            await self._hush(asked.retry_after)
        except Forbidden as refusal:
            LOG.info("a chat is closed to us")
            await self._bury(letter, refusal, all_of_chat=True)
        except BadRequest as refusal:  # a kind of NetworkError to the library
            LOG.warning("a letter was refused: %s", type(refusal).__name__)
            await self._bury(letter, refusal)
        except TelegramError as failure:
            await self._later(letter, failure)
        except Exception as error:
            LOG.error("a letter can't be sent: %s", fact(error))
            await self._bury(letter, error)
        else:
            return self._sent(letter, message, work)
        return None

    def _sent(
        self, letter: Letter, message: int | None, work: Work, *, rest_too: bool = False
    ) -> Sent:
        now = self._now()
        at = now.timestamp()
        recent: tuple[float, ...] = ()
        quiet = at + 1 / self._pace.chat
        if letter.chat.startswith(f"{CHANNEL}:-"):
            recent = (*(each for each in work.recent if each > at - MINUTE_S), at)
            quiet = max(quiet, opens(recent, self._pace.group, MINUTE_S, at))
        until = datetime.fromtimestamp(quiet, now.tzinfo)
        return Sent(letter, message, until, recent, rest_too)

    async def _bury(self, letter: Letter, why: Exception, *, all_of_chat: bool = False) -> None:
        error = type(why).__name__
        await self._run(self._office.bury, letter, error, all_of_chat=all_of_chat)

    async def _later(self, letter: Letter, failure: TelegramError) -> None:
        now = self._now()
        if now - letter.made_at > GIVEN_UP_AFTER:
            await self._bury(letter, failure)
            return
        LOG.warning("the channel broke down (%s); again later", type(failure).__name__)
        pause = min(FIRST_PAUSE_S * 2 ** min(letter.attempts, 10), LONGEST_PAUSE_S)
        until = now + timedelta(seconds=pause)
        await self._run(self._office.later, letter, type(failure).__name__, until)

    async def _hush(self, asked: float | timedelta) -> None:
        pause = asked if isinstance(asked, timedelta) else timedelta(seconds=asked)
        LOG.warning("the channel asks to wait %.0f s", pause.total_seconds())
        until = self._now() + pause + SLACK
        self._hushed = max(self._hushed or until, until)
        self._left = 0
        await self._run(self._office.hush, CHANNEL, until)

    async def _allowed(self) -> bool:
        """Whether one may be sent now, waited for if that is not long."""
        async with self._asking:
            while not self.hushed:
                now = self._now()
                if self._left and self._left_until and now < self._left_until:
                    self._left -= 1
                    return True
                allowed = await self._run(self._office.allow, CHANNEL, now, self._pace.overall)
                if allowed.count:
                    self._left, self._left_until = allowed.count - 1, allowed.until
                    return not self.hushed
                if allowed.until - now > WORTH_WAITING:
                    self._hushed = allowed.until
                else:
                    await asyncio.sleep(max(0.001, (allowed.until - self._now()).total_seconds()))
        return False
