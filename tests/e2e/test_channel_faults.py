"""The channel when it refuses, breaks down or is slow; and faults of our own."""

import asyncio
import logging
import os
import signal
import sys
import time
from io import StringIO

import pytest

from bot.reply import Button, Incoming, Part, Reply
from bot.telegram import app
from bot.telegram.app import run
from bot.telegram.door import TokenRefusedError
from bot.wording.channel import WENT_WRONG
from storage.memory import MemoryVault
from storage.memory_office import MemoryOffice
from tests.e2e.conftest import running
from tests.e2e.script import Posted, Script, said
from tests.e2e.standin.server import TOKEN, StandIn
from tests.e2e.standin.values import Fault, bad_gateway, refused, too_many

SECRET = "a bad left knee"
PROGRAM = """
import sys
from bot.telegram.app import serve
from storage.memory import MemoryVault
from tests.e2e.script import Posted, Script
vault = MemoryVault()
serve(Posted(Script(), vault), vault.office, sys.argv[1], sys.argv[2])
"""


async def test_a_request_to_wait_is_kept(standin: StandIn) -> None:
    visitor = standin.person()
    standin.befall("sendMessage", too_many(1))
    async with running(standin, Script()):
        start = time.monotonic()
        visitor.say("plan")
        await visitor.reads("plan")
    assert time.monotonic() - start >= 1.0
    assert len(standin.made("sendMessage")) == 2


@pytest.mark.parametrize("fault", [bad_gateway(), Fault(drop=True)], ids=["502", "dropped"])
async def test_a_breakdown_is_tried_once_more(standin: StandIn, fault: Fault) -> None:
    visitor = standin.person()
    standin.befall("sendMessage", fault)
    async with running(standin, Script()):
        visitor.say("plan")
        await visitor.reads("plan")


async def test_an_edit_that_was_made_but_not_confirmed_is_made_once(standin: StandIn) -> None:
    visitor = standin.person()
    long = Reply((Part("long " * 2000),))
    short = Reply((Part("short"),), ((Button("Why", "why"),),))
    standin.befall("editMessageText", Fault(drop=True, served=True))
    async with running(standin, Script(lambda i: [long if i.tapped else short])):
        visitor.say("plan")
        await visitor.gets(1)
        visitor.tap("Why")
        await visitor.until(lambda: "".join(visitor.texts) == long.text)


async def test_a_message_nobody_confirmed_is_sent_again(
    standin: StandIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app, "ANSWER_S", 0.3)
    visitor = standin.person()
    standin.befall("sendMessage", Fault(delay_s=0.6))
    async with running(standin, Script()):
        visitor.say("one")
        visitor.say("two")
        await visitor.until(lambda: "two" in visitor.texts)
    # Twice is a nuisance; never would be a fault, and nobody can tell which it would have been.
    assert [text for text in visitor.texts if text != "two"] in (["one", "one"], ["one"])
    assert len(standin.made("sendMessage")) == 3


async def test_fetching_survives_everything(standin: StandIn) -> None:
    visitor = standin.person()
    conflict = Fault(409, "Conflict: terminated by other getUpdates request")
    standin.befall("getMe", bad_gateway())
    standin.befall("setMyCommands", refused("BOT_COMMANDS_TOO_MUCH"))
    standin.befall("getUpdates", bad_gateway(), Fault(drop=True), too_many(1), conflict)
    async with running(standin, Script()):
        visitor.say("plan")
        await visitor.until(lambda: visitor.texts == ["plan"], within=15)


async def test_what_was_taken_is_confirmed_even_while_the_channel_fails(standin: StandIn) -> None:
    visitor = standin.person()
    standin.befall("getUpdates", Fault(), bad_gateway())
    async with running(standin, Script()):
        visitor.say("plan")
        await visitor.reads("plan")
        await visitor.until(lambda: len(standin.made("getUpdates")) == 2)
    assert standin.pending == 0


async def test_markup_that_is_not_taken_is_left_out(standin: StandIn) -> None:
    visitor, text = standin.person(), "2 < 3 & 4"
    standin.befall("sendMessage", refused("can't parse entities: whatever"))
    async with running(standin, Script(lambda _: [Reply((Part(text, table=True),))])):
        visitor.say("plan")
        seen = await visitor.reads(text)
    assert seen.marked.elements == []


async def test_a_fault_of_ours_is_said_calmly_and_logged_without_words(
    standin: StandIn, log: StringIO
) -> None:
    def fail_once(incoming: Incoming) -> list[Reply]:
        if incoming.text == SECRET:
            raise ValueError(incoming.text)
        return [said("well")]

    visitor = standin.person()
    async with running(standin, Script(fail_once)):
        visitor.say(SECRET)
        await visitor.reads(WENT_WRONG)
        visitor.say("plan")
        await visitor.reads("well")
    assert "ValueError in fail_once" in log.getvalue()
    assert SECRET not in log.getvalue()
    assert TOKEN not in log.getvalue()


async def test_an_unreadable_update_is_passed_over(standin: StandIn, log: StringIO) -> None:
    visitor = standin.person()
    async with running(standin, Script()):
        standin.garble({"text": SECRET})
        visitor.say("plan")
        await visitor.reads("plan")
        await visitor.until(lambda: standin.pending == 0)
    assert "can't be read" in log.getvalue()
    assert SECRET not in log.getvalue()


async def test_the_library_logs_facts_only(standin: StandIn, log: StringIO) -> None:
    visitor = standin.person()
    async with running(standin, Script()):
        visitor.say("plan")
        await visitor.reads("plan")
        logging.getLogger("telegram.ext.ExtBot").critical("Received data was %r", SECRET)
        logging.getLogger("httpx").info("POST %s", TOKEN)
    assert log.getvalue().count("Received data was %r") == 1
    assert SECRET not in log.getvalue()
    assert TOKEN not in log.getvalue()


async def test_an_unknown_token_ends_it_without_naming_it(standin: StandIn) -> None:
    with pytest.raises(TokenRefusedError) as ended:
        await run(*_nobody(), "1:wrong", standin.url, asyncio.Event())
    assert "wrong" not in repr(ended.value)


async def test_a_channel_that_is_away_is_waited_for_until_told_to_stop() -> None:
    stop = asyncio.Event()
    bot = asyncio.create_task(run(*_nobody(), "1:any", "http://127.0.0.1:9", stop))
    await asyncio.sleep(0.2)
    assert not bot.done()
    stop.set()
    await asyncio.wait_for(bot, 2)


@pytest.mark.parametrize("name", [signal.SIGTERM, signal.SIGINT])
async def test_a_signal_ends_the_program_well(standin: StandIn, name: signal.Signals) -> None:
    visitor = standin.person()
    program = await asyncio.create_subprocess_exec(
        *(sys.executable, "-W", "error", "-c", PROGRAM, "99:stand-in", standin.url),
        env=os.environ | {"PYTHONPATH": os.getcwd()},
        stderr=asyncio.subprocess.PIPE,
    )
    visitor.say("plan")
    await visitor.until(lambda: visitor.texts == ["plan"], within=15)
    program.send_signal(name)
    _, errors = await asyncio.wait_for(program.communicate(), 5)
    assert (program.returncode, errors) == (0, b"")
    assert standin.pending == 0


def _nobody() -> tuple[Posted, MemoryOffice]:
    vault = MemoryVault()
    return Posted(Script(), vault), vault.office
