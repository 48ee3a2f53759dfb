"""A calendar file sent over the channel: fetched, read, and offered; or it is said why not."""

import pytest

from bot.console import HandClock, instant
from bot.dispatch import Dispatch
from bot.telegram.inbound import MOST_FILE
from bot.wording.channel import FILE_TOO_LONG, NO_FILE, TEXT_ONLY
from core.repertoire import shipped
from storage.memory import MemoryVault
from tests.e2e.conftest import running
from tests.e2e.script import Script
from tests.e2e.standin.server import StandIn
from tests.e2e.test_calendars import FILE
from tests.talk import QUICK, ZONE

CONTENT = FILE.removeprefix("import\n").replace("\n", "\r\n").encode()
TOO_LONG = FILE_TOO_LONG.format(most=MOST_FILE // 1000)


async def test_what_is_in_a_sent_file_is_offered_and_kept_by_a_tap(standin: StandIn) -> None:
    visitor, vault = standin.person(), MemoryVault()
    vault.admit(f"telegram:{visitor.chat}", ZONE)
    clock = HandClock(instant("2026-11-25T10:00", ZONE))
    dispatch = Dispatch(vault, clock, shipped(), budget=QUICK)
    async with running(standin, dispatch, vault):
        visitor.attach("studio.ics", CONTENT, "text/calendar")
        await visitor.until(lambda: any("Early group" in text for text in visitor.texts))
        label = next(
            key["text"]
            for seen in visitor.messages
            for row in seen.keys
            for key in row
            if key["text"].startswith("Early group")
        )
        visitor.tap(label)
        await visitor.until(lambda: any("Kept: Early group" in text for text in visitor.texts))


@pytest.mark.parametrize(
    ("name", "kind"), [("CLASSES.ICS", ""), ("classes", "text/calendar"), ("a.ics", "text/plain")]
)
async def test_a_file_is_read_as_if_it_were_pasted(standin: StandIn, name: str, kind: str) -> None:
    visitor, script = standin.person(), Script()
    async with running(standin, script):
        visitor.attach(name, CONTENT, kind)
        await visitor.gets(1)
    assert [heard.text for heard in script.heard] == [FILE]


@pytest.mark.parametrize("told", [MOST_FILE + 1, 0])
async def test_too_long_a_file_is_refused_whatever_is_told_of_it(
    standin: StandIn, told: int
) -> None:
    visitor, script = standin.person(), Script()
    async with running(standin, script):
        visitor.attach("studio.ics", b"x" * (MOST_FILE + 1), "text/calendar", size=told)
        await visitor.reads(TOO_LONG)
    assert script.heard == []
    assert bool(standin.made("getFile")) == (told == 0)


async def test_a_file_the_channel_no_longer_has_is_asked_for_again(standin: StandIn) -> None:
    visitor, script = standin.person(), Script()
    async with running(standin, script):
        visitor.attach("studio.ics", CONTENT)
        standin.service.sent_files.clear()
        await visitor.reads(NO_FILE)
        visitor.attach("studio.ics", CONTENT)
        await visitor.until(lambda: bool(script.heard))
    assert standin.pending == 0


async def test_another_kind_of_file_is_not_fetched(standin: StandIn) -> None:
    visitor, script = standin.person(), Script()
    async with running(standin, script):
        visitor.attach("plan.pdf", b"%PDF", "application/pdf")
        await visitor.reads(TEXT_ONLY)
    assert standin.made("getFile") == []


async def test_in_a_group_no_file_is_fetched(standin: StandIn) -> None:
    visitor, script = standin.person(group=-100200), Script()
    async with running(standin, script):
        visitor.attach("studio.ics", CONTENT, "text/calendar")
        visitor.say("/plan 50")
        await visitor.gets(1)
    assert standin.made("getFile") == []
