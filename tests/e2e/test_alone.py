"""One program at a time on a SQLite file: a second one is told so, whatever it wants to do."""

import asyncio
import os
import signal
import sys
from asyncio.subprocess import PIPE, Process
from pathlib import Path

import pytest

from storage.alone import alone
from storage.errors import HeldError, OpenError
from tests.e2e.standin.server import TOKEN, StandIn


async def started(folder: Path, api: StandIn, *words: str) -> Process:
    """The program with this database and these words."""
    return await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "bot", *words),
        env=os.environ
        | {
            "COILBOOK_TOKEN": TOKEN,
            "COILBOOK_API_URL": api.url,
            "COILBOOK_DB": str(folder / "coilbook.db"),
        },
        stdout=PIPE,
        stderr=PIPE,
    )


async def serving(folder: Path, api: StandIn) -> Process:
    """The program once it serves."""
    process = await started(folder, api, "serve")
    visitor = api.person()
    before = len(visitor.texts)
    visitor.say("hello")
    await visitor.until(lambda: len(visitor.texts) > before, within=60)
    return process


async def test_a_second_program_is_refused_and_the_first_goes_on(
    tmp_path: Path, standin: StandIn
) -> None:
    first = await serving(tmp_path, standin)
    try:
        for words in (("serve",), ("restore", str(tmp_path / "copy.db")), ("rotate",)):
            second = await started(tmp_path, standin, *words)
            _, errors = await second.communicate()
            assert second.returncode == 2
            assert "another program is at work" in errors.decode()
            assert "Traceback" not in errors.decode()
    finally:
        first.terminate()
        _, errors = await first.communicate()
    assert (first.returncode, errors) == (0, b"")


async def test_after_a_crash_the_next_may_begin_at_once(tmp_path: Path, standin: StandIn) -> None:
    first = await serving(tmp_path, standin)
    first.send_signal(signal.SIGKILL)
    await first.communicate()
    second = await serving(tmp_path, standin)
    assert second.returncode is None  # it has answered, and goes on
    second.terminate()
    _, errors = await second.communicate()
    assert "another program" not in errors.decode()


def test_a_lock_is_held_as_long_as_its_block(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'x.db'}"
    with alone(url), pytest.raises(HeldError, match="another program"), alone(url):
        raise AssertionError
    with alone(url):
        pass


def test_a_server_may_have_many_and_memory_is_nobodys() -> None:
    for url in ("postgresql+psycopg://host/name", "sqlite://"):
        with alone(url), alone(url):
            pass


def test_a_lock_that_can_not_be_made_is_named_plainly(tmp_path: Path) -> None:
    (tmp_path / "x.db.lock").mkdir()
    with pytest.raises(OpenError, match="folder"), alone(f"sqlite:///{tmp_path}/x.db"):
        raise AssertionError
