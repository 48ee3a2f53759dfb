"""The channel's door: opened, kept open, closed."""

import asyncio
import logging
import os
import secrets
import signal
import ssl
from collections.abc import Callable
from contextlib import nullcontext, suppress
from datetime import UTC, datetime
from typing import Any

import httpx
from telegram import Bot, BotCommand
from telegram.error import TelegramError
from telegram.request import HTTPXRequest

from bot.channel import Hook, Pace
from bot.mail_ports import Office
from bot.telegram.alarm import Alarm, Waker
from bot.telegram.counter import Counter
from bot.telegram.courier import Courier
from bot.telegram.door import Answerer, Beside, unwatched
from bot.telegram.handlers import SPINNERS, Handlers
from bot.telegram.intake import KINDS, Intake, query_of
from bot.telegram.polling import Take, persist, poll
from bot.telegram.quiet import quieten
from bot.telegram.raw import RawUpdates
from bot.telegram.shift import Shift
from bot.telegram.threads import Threads
from bot.telegram.webhook import MOST_CONNECTIONS, Webhook
from storage.mail import Update

LOG = logging.getLogger(__name__)
POOL_S = 60.0  # waiting for a free connection is no failure
ANSWER_S = 15.0  # how long the channel may take for a message


def serve(
    answerer: Answerer,
    office: Office,
    token: str,
    api_url: str = "",
    pace: Pace | None = None,
    hook: Hook | None = None,
    beside: Beside | None = None,
    waker: Waker | None = None,
) -> None:
    """Answer the channel's messages until the process is asked to end.

    Args:
        answerer: who answers.
        office: where updates and letters are kept.
        token: what the channel knows us by.
        api_url: where the channel is, e.g. "http://127.0.0.1:8081"; its official address if empty.
        pace: how fast it may be written to.
        hook: where it brings updates to; without one it is asked for them.
        beside: what runs in the meantime and takes signs of life.
        waker: who says reminders.

    Raises:
        TokenRefusedError: the channel does not know the token.
    """

    async def until_told() -> None:
        stop = asyncio.Event()
        for name in (signal.SIGTERM, signal.SIGINT):
            with suppress(NotImplementedError):  # not on every system; Ctrl-C ends it there too
                asyncio.get_running_loop().add_signal_handler(name, stop.set)
        if beside is None:
            await run(answerer, office, token, api_url, stop, pace, hook, waker=waker)
            return
        async with beside.told():
            await run(answerer, office, token, api_url, stop, pace, hook, beside.beat, waker)

    asyncio.run(until_told())


async def run(
    answerer: Answerer,
    office: Office,
    token: str,
    api_url: str,
    stop: asyncio.Event,
    pace: Pace | None = None,
    hook: Hook | None = None,
    beat: Callable[[str], None] = unwatched,
    waker: Waker | None = None,
) -> None:
    """Answer messages until `stop` is set; what is not answered by then waits in the inbox.

    Raises:
        TokenRefusedError: the channel does not know the token.
    """
    pace = pace or Pace()
    trust = httpx.create_ssl_context()  # one for both clients: it is slow to make
    raw = RawUpdates(connection_pool_size=1, **_options(trust))
    bot, threads = build(token, api_url, raw, pace, trust), Threads()
    worker = f"{os.getpid()}-{secrets.token_hex(4)}"
    counter = Counter(worker, office, threads, _now)
    courier = Courier(bot, office, pace, threads, _now, counter.turn)
    handlers = Handlers(bot, answerer, courier, threads)
    alarm: Alarm | None = None

    async def answer(update: Update) -> None:
        await handlers.answer(update)
        if alarm:
            alarm.look()  # something may be due sooner now

    shift = Shift(worker, office, courier, answer, counter, threads, _now, beat)
    if waker:
        alarm = Alarm(waker, threads.post, shift.poke)
    intake = Intake(shift.keep)

    async def take(updates: list[dict[str, Any]]) -> None:
        await intake.take(updates)
        for update in updates:
            query = query_of(update)
            if query:
                handlers.seen(query)

    try:
        await persist(bot.initialize, stop)
        if not stop.is_set():
            await _set_menu(bot, answerer)
            working = asyncio.create_task(shift.work(stop))
            try:
                async with alarm.running() if alarm else nullcontext():
                    await _receive(bot, raw, take, stop, hook, beat)
            finally:
                stop.set()
                await working
                await handlers.end()
    finally:
        threads.close()
        with suppress(TelegramError):
            await bot.shutdown()
        await bot.request.shutdown()  # it stays open when initializing has failed
        await raw.shutdown()


async def _receive(
    bot: Bot,
    raw: RawUpdates,
    take: Take,
    stop: asyncio.Event,
    hook: Hook | None,
    beat: Callable[[str], None],
) -> None:
    """Take updates in until told to stop."""
    if hook is None:
        await persist(bot.delete_webhook, stop)
        beat("channel")  # it has answered; its first answer to `poll` may take a while
        await poll(bot, raw, take, stop, beat)
        return

    async def here() -> bool:
        return await bot.set_webhook(
            hook.url,
            secret_token=hook.secret,
            allowed_updates=KINDS,
            max_connections=MOST_CONNECTIONS,
        )

    async with Webhook(hook, take):
        await persist(here, stop)
        await stop.wait()


def build(token: str, api_url: str, raw: RawUpdates, pace: Pace, trust: ssl.SSLContext) -> Bot:
    """The channel's library, not yet connected."""
    # Asks the library for spans of time as such; it warns about the numbers it gives otherwise.
    os.environ.setdefault("PTB_TIMEDELTA", "true")
    quieten()
    size = pace.at_once + SPINNERS + 1
    request = HTTPXRequest(connection_pool_size=size, **_options(trust))
    if not api_url:
        return Bot(token, request=request, get_updates_request=raw)
    address = api_url.rstrip("/")
    return Bot(
        token,
        base_url=f"{address}/bot",
        base_file_url=f"{address}/file/bot",
        request=request,
        get_updates_request=raw,
    )


def _options(trust: ssl.SSLContext) -> dict[str, Any]:
    return {
        "pool_timeout": POOL_S,
        "read_timeout": ANSWER_S,
        "httpx_kwargs": {"verify": trust},
    }


async def _set_menu(bot: Bot, answerer: Answerer) -> None:
    commands = [BotCommand(name, said) for name, said in answerer.menu()]
    try:
        await bot.set_my_commands(commands)
    except TelegramError as failure:
        LOG.warning("the menu of commands was not taken: %s", type(failure).__name__)


def _now() -> datetime:
    return datetime.now(UTC)
