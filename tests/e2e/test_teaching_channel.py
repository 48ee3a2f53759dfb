"""An hour of teaching over the channel, by a hand clock: one message, one restart."""

from datetime import timedelta
from pathlib import Path

from bot.console import HandClock, instant
from bot.dispatch import Dispatch
from bot.main import open_vault
from core.repertoire import shipped
from storage.sql import SqlVault
from tests.e2e.conftest import running
from tests.e2e.standin.person import Person
from tests.e2e.standin.server import StandIn
from tests.talk import QUICK, ZONE

MOST_A_MINUTE = 20  # edits of a message that a channel takes, with room to spare (from memory)
PLAN = "plan 60 chair mat wed 18:00"


async def edited(visitor: Person, label: str, clock: HandClock, at: list[float]) -> str:
    """The text of the class's message after a tap."""
    (message,) = [seen for seen in visitor.messages if seen.data(label) or seen.edits]
    before = message.edits
    visitor.tap(label)
    await visitor.until(lambda: message.edits > before)
    assert message.edits == before + 1  # one tap, one edit
    at.append(clock.now().timestamp())
    return message.text


async def test_an_hour_of_taps_and_a_restart_lose_nothing(standin: StandIn, tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'coilbook.db'}"
    clock = HandClock(instant("2026-11-25T17:50", ZONE))
    visitor = standin.person()
    at: list[float] = []

    def opened() -> tuple[Dispatch, SqlVault]:
        vault = open_vault(url)
        vault.admit(f"telegram:{visitor.chat}", ZONE)
        return Dispatch(vault, clock, shipped(), budget=QUICK), vault

    dispatch, vault = opened()
    async with running(standin, dispatch):
        visitor.say(PLAN)
        await visitor.until(lambda: any("WARM-UP" in text for text in visitor.texts), within=30)
        visitor.say("teach")
        await visitor.until(lambda: any("Set the room" in text for text in visitor.texts))
        clock.set(instant("2026-11-25T18:02", ZONE))
        text = await edited(visitor, "Begin", clock, at)
        places = int(text.split()[2])
        half = places // 2
        for n in range(2, half + 1):
            clock.move(timedelta(seconds=3300 / places))
            text = await edited(visitor, "Next", clock, at)
            assert text.startswith(f"{n} of {places}")
    vault.close()

    clock.move(timedelta(seconds=20))
    dispatch, vault = opened()
    async with running(standin, dispatch):
        for n in range(half + 1, places + 1):
            clock.move(timedelta(seconds=3300 / places))
            text = await edited(visitor, "Next", clock, at)
            assert text.startswith(f"{n} of {places}")
        clock.move(timedelta(seconds=120))
        text = await edited(visitor, "Next", clock, at)
    vault.close()

    assert text.startswith(f"Done: {places} of {places}")
    plain, teaching = visitor.messages[-2:]
    assert "WARM-UP" in plain.text
    assert teaching.edits == places + 1
    assert len([seen for seen in visitor.messages if "Done:" in seen.text]) == 1
    for begin in at:
        assert sum(begin <= each < begin + 60 for each in at) <= MOST_A_MINUTE

    dispatch, vault = opened()
    owner = vault.owner(f"telegram:{visitor.chat}")
    assert owner is not None
    with vault.begin(owner) as store:
        (kept,) = store.talk("teaching")["classes"]
    assert [mark[0] for mark in kept["marks"]] == list(range(1, places + 1))
    assert not any(mark[3] for mark in kept["marks"])
    vault.close()
