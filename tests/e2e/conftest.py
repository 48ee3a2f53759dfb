"""The bot running against the stand-in, both in this process, over real HTTP."""

import asyncio
import logging
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from io import StringIO

import pytest

from bot.channel import Hook, Pace
from bot.telegram.app import run
from storage.memory import MemoryVault
from tests.e2e.script import Posted, Says
from tests.e2e.standin.server import TOKEN, StandIn

STOP_S = 12.0
QUICK = Pace(overall=3000, chat=200, group=10_000)  # where the pace is not what is looked at


@pytest.fixture(autouse=True)
def no_proxy(monkeypatch: pytest.MonkeyPatch) -> None:
    """Loopback only, whatever this machine is told about proxies."""
    monkeypatch.setenv("NO_PROXY", "127.0.0.1")
    monkeypatch.setenv("no_proxy", "127.0.0.1")


@pytest.fixture
async def standin() -> AsyncIterator[StandIn]:
    """The stand-in; a test in which the bot did what it should not do fails."""
    async with StandIn() as api:
        yield api
    assert api.violations == []


@pytest.fixture
def log() -> Iterator[StringIO]:
    """All that is logged, as an operator would read it: what a logger keeps back is not in it."""
    written = StringIO()
    handler, root = logging.StreamHandler(written), logging.getLogger()
    level = root.level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield written
    root.removeHandler(handler)
    root.setLevel(level)


@asynccontextmanager
async def running(
    api: StandIn,
    says: Says,
    vault: MemoryVault | None = None,
    pace: Pace = QUICK,
    hook: Hook | None = None,
) -> AsyncIterator[asyncio.Event]:
    """The bot at work; setting the event stops it, as leaving does."""
    vault = vault or MemoryVault()
    stop = asyncio.Event()
    posted = Posted(says, vault)
    bot = asyncio.create_task(run(posted, vault.office, TOKEN, api.url, stop, pace, hook))
    try:
        yield stop
    finally:
        stop.set()
        await asyncio.wait_for(bot, STOP_S)
