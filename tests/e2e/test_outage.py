"""The channel away, breaking down, asking to wait: nothing is lost, and nobody calls meanwhile."""

import asyncio
import random

from storage.memory import MemoryVault
from tests.bench.soak.channel import Channel
from tests.e2e.conftest import running
from tests.e2e.script import Script
from tests.e2e.standin.server import StandIn
from tests.e2e.standin.values import Fault, bad_gateway, too_many


async def test_faults_of_every_kind_at_once_lose_nothing(standin: StandIn) -> None:
    rng = random.Random(7)
    people = [standin.person(number) for number in range(1, 11)]
    kinds = (bad_gateway(), Fault(drop=True), Fault(500, "Internal"), Fault(delay_s=0.1))
    standin.befall("sendMessage", *(rng.choice(kinds) for _ in range(12)))
    standin.befall("getUpdates", bad_gateway(), Fault(drop=True))
    script = Script()
    async with running(standin, script):
        for text in "abc":
            for person in people:
                person.say(text)
        for person in people:
            await person.until(lambda p=person: p.texts == list("abc"), within=40)  # type: ignore[misc]
    assert len(script.heard) == 30
    assert standin.pending == 0


async def test_an_update_brought_twice_is_answered_once(standin: StandIn) -> None:
    visitor, script, vault = standin.person(), Script(), MemoryVault()
    async with running(standin, script, vault):
        visitor.say("one")
        await visitor.reads("one")
        await visitor.until(lambda: standin.pending == 0)
        standin.renumber(1000)
        visitor.say("one, brought again under its old number")
        await visitor.until(lambda: standin.pending == 0)
        visitor.say("two")
        await visitor.reads("two")
    assert visitor.texts == ["one", "two"]


async def test_numbers_in_any_order_and_brought_again_are_each_answered_once(
    standin: StandIn,
) -> None:
    visitor, vault = standin.person(), MemoryVault()
    async with running(standin, Script(), vault):
        for before, text in ((1000, "one"), (400, "two"), (1000, "one again"), (400, "two again")):
            standin.renumber(before)
            visitor.say(text)
            await visitor.until(lambda: standin.pending == 0)
        standin.renumber(2000)
        visitor.say("three")
        await visitor.reads("three")
    assert visitor.texts == ["one", "two", "three"]


async def test_nobody_calls_while_asked_to_wait(standin: StandIn) -> None:
    people = [standin.person(number) for number in range(1, 6)]
    standin.befall("sendMessage", too_many(2))
    async with running(standin, Script()):
        for person in people:
            person.say("hello")
        await people[0].until(lambda: bool(standin.made("sendMessage")))
        for person in people:
            await person.until(lambda p=person: p.texts == ["hello"], within=15)  # type: ignore[misc]
    calls = standin.made("sendMessage")
    # What was under way when the channel asked can't be called back; all others wait.
    late = [call.at for call in calls if call.at > calls[0].at + 0.3]
    assert late
    assert min(late) >= calls[0].at + 2.0


async def test_a_channel_that_is_away_for_a_while_is_answered_later() -> None:
    from bot.telegram.app import run  # noqa: PLC0415
    from tests.bench.soak.channel import TOKEN  # noqa: PLC0415
    from tests.e2e.conftest import QUICK  # noqa: PLC0415
    from tests.e2e.script import Posted, said  # noqa: PLC0415

    vault, stop = MemoryVault(), asyncio.Event()
    posted = Posted(Script(lambda i: [said(f"heard {i.text}")]), vault)
    async with Channel() as channel:
        bot = asyncio.create_task(run(posted, vault.office, TOKEN, channel.url, stop, QUICK))
        for number in range(20):
            channel.push(1 + number, f"{number}", f"heard {number}")
        await asyncio.sleep(0.3)
        channel.broken = True
        for number in range(20, 40):
            channel.push(1 + number, f"{number}", f"heard {number}")
        await asyncio.sleep(2.5)
        channel.broken = False
        ends = asyncio.get_running_loop().time() + 30
        while channel.waiting and asyncio.get_running_loop().time() < ends:
            await asyncio.sleep(0.05)
        assert channel.waiting == 0
        stop.set()
        await asyncio.wait_for(bot, 15)
    assert vault.office.problems() == []
