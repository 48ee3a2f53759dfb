"""Conversations over the messaging channel: what a person sends, what she sees."""

import threading
import time
from io import StringIO

import pytest

from bot.reply import Button, Incoming, Part, Reply
from bot.wording.channel import TEXT_ONLY
from storage.memory import MemoryVault
from tests.e2e.conftest import running
from tests.e2e.script import Script, said
from tests.e2e.standin.server import StandIn
from tests.e2e.standin.values import blocked


async def test_the_menu_is_set_at_the_start(standin: StandIn) -> None:
    visitor = standin.person()
    async with running(standin, Script()):
        await visitor.until(lambda: bool(standin.made("getUpdates")))
    assert standin.service.menu == [("plan", "Plan a class"), ("help", "What I can do")]


async def test_a_message_is_answered(standin: StandIn) -> None:
    visitor, script = standin.person(), Script()
    async with running(standin, script):
        visitor.say("plan 45 chair")
        await visitor.reads("plan 45 chair")
    assert script.heard == [Incoming("telegram:4711", "telegram:4711", "plan 45 chair")]
    assert standin.pending == 0


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("/plan 45 chair", "plan 45 chair"),
        ("/plan@planner_bot 45 chair", "plan 45 chair"),
        ("/plan@Planner_Bot", "plan"),
        ("/start 4f-Q_x", "start 4f-Q_x"),
        ("/ what", "/ what"),
    ],
)
async def test_a_command_is_read_as_its_word(standin: StandIn, typed: str, read: str) -> None:
    visitor = standin.person()
    async with running(standin, Script()):
        visitor.say(typed)
        await visitor.reads(read)


async def test_a_group_is_named_and_another_bots_command_is_left_alone(standin: StandIn) -> None:
    visitor, script = standin.person(group=-100200), Script()
    async with running(standin, script):
        visitor.say("/plan@other_bot 45")
        visitor.send(photo=[_picture()])
        visitor.say("see you at six")
        visitor.say("/plan 50")
        await visitor.gets(1)
    assert script.heard == [Incoming("telegram:4711", "telegram:-100200", "plan 50", private=False)]


async def test_a_button_changes_its_message_in_place(standin: StandIn) -> None:
    visitor = standin.person()
    script = Script(
        lambda incoming: (
            [said("the plan, again")]
            if incoming.tapped
            else [Reply((Part("the plan"),), ((Button("Another", "another"),),))]
        )
    )
    async with running(standin, script):
        visitor.say("plan")
        await visitor.reads("the plan")
        query = visitor.tap("Another")
        await visitor.reads("the plan, again")
    assert len(visitor.messages) == 1
    assert visitor.messages[0].keys == []
    assert visitor.answered(query)
    assert script.heard[-1] == Incoming("telegram:4711", "telegram:4711", "another", tapped=True)


async def test_a_button_stops_spinning_before_the_answer_is_there(standin: StandIn) -> None:
    thought = threading.Event()

    def slowly(incoming: Incoming) -> list[Reply]:
        if incoming.tapped:
            thought.wait(10)
        return [Reply((Part(f"{incoming.tapped}"),), ((Button("Why", "why"),),))]

    visitor = standin.person()
    async with running(standin, Script(slowly)):
        visitor.say("plan")
        await visitor.gets(1)
        visitor.tap("Why")
        second = visitor.tap("Why")  # waits for the first in its lane, and does not spin
        await visitor.until(lambda: visitor.answered(second), within=1.0)
        assert visitor.texts == ["False"]
        thought.set()
        await visitor.reads("True")


async def test_pressing_what_changes_nothing_is_no_fault(standin: StandIn) -> None:
    visitor = standin.person()
    same = Reply((Part("the plan"),), ((Button("Show", "show"),),))
    async with running(standin, Script(lambda _: [same])):
        visitor.say("plan")
        await visitor.gets(1)
        visitor.tap("Show")
        await visitor.until(lambda: len(standin.made("editMessageText")) == 1)
    assert visitor.texts == ["the plan"]


async def test_a_message_that_is_gone_is_answered_anew(standin: StandIn) -> None:
    visitor = standin.person()
    gone = {"message_id": 7, "date": 0, "chat": {"id": 4711, "type": "private"}}
    async with running(standin, Script()):
        visitor.press("show 2", gone)
        await visitor.reads("show 2")


async def test_one_chat_keeps_its_order_and_does_not_hold_up_another(standin: StandIn) -> None:
    thought = threading.Event()

    def slow_if_asked(incoming: Incoming) -> list[Reply]:
        if incoming.text == "slow":
            thought.wait(10)
        return [said(incoming.text)]

    busy, other = standin.person(1), standin.person(2)
    async with running(standin, Script(slow_if_asked)):
        for text in ("slow", "/a", "b", "c"):
            busy.say(text)
        other.say("quick")
        await other.reads("quick")
        assert busy.texts == []
        thought.set()
        await busy.gets(4)
    assert busy.texts == ["slow", "a", "b", "c"]


async def test_sixteen_chats_at_once_and_no_more(standin: StandIn) -> None:
    def slowly(incoming: Incoming) -> list[Reply]:
        time.sleep(0.1)
        return [said(incoming.text)]

    script, people = Script(slowly), [standin.person(number) for number in range(1, 41)]
    async with running(standin, script):
        for person in people:
            for text in ("first", "second"):
                person.say(text)
        for person in people:
            await person.gets(2)
    assert script.crowd == 16
    assert all(person.texts == ["first", "second"] for person in people)


async def test_a_slow_answer_is_announced_and_a_quick_one_is_not(standin: StandIn) -> None:
    def slow_if_asked(incoming: Incoming) -> list[Reply]:
        time.sleep(0.6 if incoming.text == "slow" else 0.0)
        return [said(incoming.text)]

    visitor = standin.person()
    async with running(standin, Script(slow_if_asked)):
        visitor.say("quick")
        await visitor.reads("quick")
        assert standin.service.signs == []
        visitor.say("slow")
        await visitor.reads("slow")
    assert standin.service.signs == [(4711, "typing", 1)]


async def test_what_is_no_text_gets_one_sentence(standin: StandIn) -> None:
    visitor, script = standin.person(), Script()
    sticker = {"type": "regular", "width": 9, "height": 9, "is_animated": False, "is_video": False}
    async with running(standin, script):
        visitor.send(photo=[_picture()], caption="plan")
        visitor.send(sticker=sticker | {"file_id": "s", "file_unique_id": "s"})
        visitor.send(voice={"file_id": "v", "file_unique_id": "v", "duration": 2})
        visitor.correct("plan 55")
        visitor.send(
            pinned_message={"message_id": 1, "date": 0, "chat": {"id": 4711, "type": "private"}}
        )
        visitor.say("plan")
        await visitor.gets(4)
    assert visitor.texts == [TEXT_ONLY] * 3 + ["plan"]
    assert len(script.heard) == 1


async def test_what_is_not_answered_before_the_bot_stops_is_answered_at_its_next_start(
    standin: StandIn,
) -> None:
    def slowly(incoming: Incoming) -> list[Reply]:
        time.sleep(0.2)
        return [said(incoming.text)]

    visitor, script, vault = standin.person(), Script(slowly), MemoryVault()
    async with running(standin, script, vault) as stop:
        for text in "abcde":
            visitor.say(text)
        await visitor.until(lambda: bool(script.heard))
        stop.set()
        visitor.say("f")
    assert visitor.texts == ["a"]
    async with running(standin, script, vault):
        await visitor.gets(6)
    assert visitor.texts == list("abcdef")
    assert len(script.heard) == 6
    assert standin.pending == 0


async def test_a_large_id_and_a_smaller_update_number_are_nothing_special(standin: StandIn) -> None:
    visitor = standin.person(2**52 - 1)
    async with running(standin, Script()):
        visitor.say("one")
        await visitor.reads("one")
        await visitor.until(lambda: standin.pending == 0)
        standin.renumber(3)
        visitor.say("two")
        await visitor.reads("two")
        await visitor.until(lambda: standin.pending == 0)
    assert standin.made("getUpdates")[-1].values["offset"] == 5  # right after the fourth, its own


async def test_a_blocked_chat_does_not_stop_the_others(standin: StandIn, log: StringIO) -> None:
    gone, visitor = standin.person(1), standin.person(2)
    standin.befall("sendMessage", blocked())
    async with running(standin, Script()):
        gone.say("hello")
        await gone.until(lambda: len(standin.made("sendMessage")) == 1)
        visitor.say("hello")
        await visitor.reads("hello")
    assert gone.texts == []
    assert len(standin.made("sendMessage")) == 2
    assert "a chat is closed to us" in log.getvalue()
    assert "failed" not in log.getvalue()


def _picture() -> dict[str, object]:
    return {"file_id": "p", "file_unique_id": "p", "width": 9, "height": 9}
