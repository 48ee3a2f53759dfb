"""The channel's application: built, run, stopped."""

import asyncio
import logging
import os
import signal
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import Any

from telegram import BotCommand, LinkPreviewOptions
from telegram.error import TelegramError
from telegram.ext import (
    Application,
    ApplicationBuilder,
    CallbackQueryHandler,
    Defaults,
    MessageHandler,
    filters,
)

from bot.telegram.door import AT_ONCE, Answerer
from bot.telegram.handlers import Handlers
from bot.telegram.polling import persist, poll
from bot.telegram.quiet import quieten
from bot.telegram.readable import ReadableUpdates

LOG = logging.getLogger(__name__)
ANSWER_S = 15.0  # how long the channel may take for a message
POOL_S = 60.0  # waiting for a free connection is no failure

App = Application[Any, Any, Any, Any, Any, Any]


def serve(answerer: Answerer, token: str, api_url: str = "") -> None:
    """Answer the channel's messages until the process is asked to end.

    Args:
        answerer: who answers.
        token: what the channel knows us by.
        api_url: where the channel is, e.g. "http://127.0.0.1:8081"; its official address if empty.

    Raises:
        TokenRefusedError: the channel does not know the token.
    """

    async def until_told() -> None:
        stop = asyncio.Event()
        for name in (signal.SIGTERM, signal.SIGINT):
            with suppress(NotImplementedError):  # not on every system; Ctrl-C ends it there too
                asyncio.get_running_loop().add_signal_handler(name, stop.set)
        await run(answerer, token, api_url, stop)

    asyncio.run(until_told())


async def run(answerer: Answerer, token: str, api_url: str, stop: asyncio.Event) -> None:
    """Answer messages until `stop` is set and everything taken has been answered.

    Raises:
        TokenRefusedError: the channel does not know the token.
    """
    # As many threads as lanes: the loop's own pool depends on the machine and may be smaller.
    asyncio.get_running_loop().set_default_executor(ThreadPoolExecutor(AT_ONCE, "answer"))
    application = build(answerer, token, api_url)
    try:
        await persist(application.initialize, stop)
        await persist(application.bot.delete_webhook, stop)
        if stop.is_set():
            return
        if application.post_init:
            await application.post_init(application)
        await application.start()
        try:
            await poll(application.bot, application.update_queue.put, stop)
        finally:
            # The application waits for handlers it has started, not for those still in its queue.
            await application.update_queue.join()
            await application.stop()
    finally:
        await application.shutdown()
        await application.bot.request.shutdown()  # it stays open when initializing has failed


def build(answerer: Answerer, token: str, api_url: str = "") -> App:
    """The application, not yet running."""
    # Asks the library for spans of time as such; it warns about the numbers it gives otherwise.
    os.environ.setdefault("PTB_TIMEDELTA", "true")
    quieten()
    handlers = Handlers(answerer)

    async def set_menu(application: App) -> None:
        commands = [BotCommand(name, said) for name, said in answerer.menu()]
        try:
            await application.bot.set_my_commands(commands)
        except TelegramError as failure:
            LOG.warning("the menu of commands was not taken: %s", type(failure).__name__)

    builder = (
        ApplicationBuilder()
        .token(token)
        .updater(None)  # we fetch ourselves: see polling
        .job_queue(None)
        .connection_pool_size(AT_ONCE)
        .pool_timeout(POOL_S)
        .read_timeout(ANSWER_S)
        .get_updates_request(ReadableUpdates(connection_pool_size=1, pool_timeout=POOL_S))
        .defaults(Defaults(link_preview_options=LinkPreviewOptions(is_disabled=True)))
        .post_init(set_menu)
    )
    if api_url:
        address = api_url.rstrip("/")
        builder = builder.base_url(f"{address}/bot").base_file_url(f"{address}/file/bot")
    application = builder.build()
    # Not blocking: each update starts at once and in order, and waits in its chat's lane.
    application.add_handler(CallbackQueryHandler(handlers.on_tap, block=False))
    application.add_handler(
        MessageHandler(filters.UpdateType.MESSAGE, handlers.on_message, block=False)
    )
    application.add_error_handler(handlers.on_error)
    return application
