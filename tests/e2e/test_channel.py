"""Conversations over the messaging channel: what a person sends, what she sees."""

import asyncio
import time

import pytest

from bot.buttons import wire
from bot.reply import Button, File, Incoming, Part, Reply
from bot.wording.channel import MORE, TEXT_ONLY
from tests.e2e.conftest import running
from tests.e2e.script import Script, said
from tests.e2e.standin.server import StandIn
from tests.e2e.standin.service import units
from tests.e2e.standin.values import blocked

FAMILY = "\U0001f468\u200d\U0001f469\u200d\U0001f467"
PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 64


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
    def slowly(incoming: Incoming) -> list[Reply]:
        if incoming.tapped:
            time.sleep(1.0)
        return [Reply((Part(f"{incoming.tapped}"),), ((Button("Why", "why"),),))]

    visitor = standin.person()
    async with running(standin, Script(slowly)):
        visitor.say("plan")
        await visitor.gets(1)
        visitor.tap("Why")
        second = visitor.tap("Why")  # waits for the first in its lane, and does not spin
        await visitor.until(lambda: visitor.answered(second), within=0.5)
        assert visitor.texts == ["False"]
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


async def test_a_long_text_arrives_whole(standin: StandIn) -> None:
    visitor = standin.person()
    part = "".join(f"{line} {FAMILY} pulling straps, 5 springs, 8 times\n" for line in range(300))
    reply = said(part, "\U0001f4aa" * 4097, "the end")
    async with running(standin, Script(lambda _: [reply])):
        visitor.say("plan")
        await visitor.until(lambda: any("the end" in text for text in visitor.texts))
    assert "".join(visitor.texts) == reply.text
    assert max(units(text) for text in visitor.texts) <= 4096
    assert len(visitor.messages) < 10


async def test_signs_are_shown_as_they_are(standin: StandIn) -> None:
    visitor = standin.person()
    text = "<script>alert('x')</script> a < b && c > d &amp; <b>\"bold\"</b>"
    async with running(standin, Script(lambda _: [Reply((Part(text), Part(text, table=True)))])):
        visitor.say("plan")
        await visitor.gets(1)
    seen = visitor.messages[0]
    assert seen.text == f"{text}\n\n{text}"
    assert seen.marked.inside("pre") == [text]
    assert len(seen.marked.elements) == 1


async def test_a_table_keeps_its_columns_in_every_piece(standin: StandIn) -> None:
    visitor = standin.person()
    table = "\n".join(f"  {place:>3}  footwork & <more>   2+1" for place in range(300))
    async with running(standin, Script(lambda _: [Reply((Part("Plan"), Part(table, True)))])):
        visitor.say("plan")
        await visitor.until(lambda: any(text.endswith(table[-30:]) for text in visitor.texts))
    pieces = [piece for seen in visitor.messages for piece in seen.marked.inside("pre")]
    assert "".join(pieces) == table
    assert len(pieces) > 1
    assert all(piece.startswith("  ") for piece in pieces)


async def test_a_long_line_travels_as_a_token(standin: StandIn) -> None:
    visitor, line = standin.person(), "plan 45 chair " + "é" * 40
    exact = "x" * 64
    rows = ((Button("Long", line), Button("Exact", exact)),)
    script = Script(lambda incoming: [Reply((Part(incoming.text),), rows)])
    async with running(standin, script):
        visitor.say("plan")
        await visitor.gets(1)
        visitor.tap("Long")
        await visitor.reads(wire(line))
        visitor.tap("Exact")
        await visitor.reads(exact)
    assert [each.text for each in script.heard] == ["plan", wire(line), exact]


async def test_keyboards_keep_within_what_the_channel_takes(standin: StandIn) -> None:
    visitor = standin.person()
    wide = tuple(Button(f"{number} " + "long label " * 9, f"show {number}") for number in range(99))
    rows = (wide, (Button("A\nB", "a"), Button("nothing", "")), (Button(" ", "blank"),))
    reply = Reply((Part("short"),), rows, more=(Part("long"),))
    async with running(standin, Script(lambda _: [reply])):
        visitor.say("plan")
        await visitor.gets(1)
    labels = visitor.messages[0].labels
    assert labels[-1] == [MORE]
    assert sum(len(row) for row in labels) == 100
    assert max(len(row) for row in labels) == 8
    assert max(len(label) for row in labels for label in row) <= 40


async def test_a_folded_reply_unfolds_in_place(standin: StandIn) -> None:
    visitor = standin.person()
    button = (Button("Another", "another"),)
    long = "\n".join(f"{line}: why this comes here" for line in range(400))
    folded = Reply((Part("short"),), (button,), more=(Part(long),))
    whole = Reply((Part("short"), Part(long)), (button,))
    async with running(standin, Script(lambda i: [whole if i.tapped else folded])):
        visitor.say("why")
        first = (await visitor.gets(1))[0]
        assert first.text == "short"
        assert first.labels == [["Another"], [MORE]]
        visitor.tap(MORE)
        await visitor.until(lambda: "".join(visitor.texts) == whole.text)
    assert visitor.messages[0].edits == 1
    assert visitor.messages[0].labels == []
    assert visitor.messages[-1].labels == [["Another"]]
    assert sum(seen.edits for seen in visitor.messages) == 1


async def test_unfolding_twice_shows_the_rest_once(standin: StandIn) -> None:
    visitor = standin.person()
    folded = Reply((Part("short"),), more=(Part("long " * 2000),))
    whole = Reply((*folded.parts, *folded.more))
    async with running(standin, Script(lambda i: [whole if i.tapped else folded])):
        visitor.say("why")
        await visitor.gets(1)
        visitor.tap(MORE)
        visitor.tap(MORE)
        visitor.say("why")
        await visitor.until(lambda: visitor.texts[-1] == "short" and len(visitor.texts) > 2)
    assert "".join(visitor.texts[:-1]) == whole.text


async def test_files_come_as_pictures_or_documents(standin: StandIn) -> None:
    visitor = standin.person()
    files = (
        File("plan.png", PNG, "image/png"),
        File("broken.png", b"no picture", "image/png"),
        File("plan.txt", b"words", "text/plain"),
        File("large.png", PNG + b"\0" * 10_000_000, "image/png"),
    )
    async with running(standin, Script(lambda _: [Reply((Part("here"),), files=files)])):
        visitor.say("plan")
        await visitor.gets(5)
    came = [(seen.file[0], seen.file[1], seen.photo) for seen in visitor.messages if seen.file]
    assert came == [(file.name, file.content, file.name == "plan.png") for file in files]


async def test_one_chat_keeps_its_order_and_does_not_hold_up_another(standin: StandIn) -> None:
    def slow_if_asked(incoming: Incoming) -> list[Reply]:
        time.sleep(0.4 if incoming.text == "slow" else 0.0)
        return [said(incoming.text)]

    busy, other = standin.person(1), standin.person(2)
    async with running(standin, Script(slow_if_asked)):
        for text in ("slow", "/a", "b", "c"):
            busy.say(text)
        other.say("quick")
        await other.reads("quick")
        assert busy.texts == []
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


async def test_everything_taken_is_answered_before_the_bot_stops(standin: StandIn) -> None:
    def slowly(incoming: Incoming) -> list[Reply]:
        time.sleep(0.2)
        return [said(incoming.text)]

    visitor, script = standin.person(), Script(slowly)
    async with running(standin, script) as stop:
        for text in "abcde":
            visitor.say(text)
        await visitor.until(lambda: bool(script.heard))
        stop.set()
        visitor.say("after")
    assert visitor.texts == list("abcde")
    assert standin.pending == 1  # left for the next start


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


async def test_a_blocked_chat_does_not_stop_the_others(standin: StandIn) -> None:
    gone, visitor = standin.person(1), standin.person(2)
    standin.befall("sendMessage", blocked())
    async with running(standin, Script()):
        gone.say("hello")
        await gone.until(lambda: len(standin.made("sendMessage")) == 1)
        visitor.say("hello")
        await visitor.reads("hello")
    assert gone.texts == []
    assert len(standin.made("sendMessage")) == 2


def _picture() -> dict[str, object]:
    return {"file_id": "p", "file_unique_id": "p", "width": 9, "height": 9}


async def test_a_reply_without_text_brings_its_file_or_its_buttons(standin: StandIn) -> None:
    visitor = standin.person()
    replies = [
        Reply((), files=(File("plan.txt", b"words", "text/plain"),)),
        Reply((Part("\n "),)),
        Reply((), ((Button("Yes", "yes"),),)),
    ]
    async with running(standin, Script(lambda _: replies)):
        visitor.say("plan")
        await visitor.gets(2)
        await asyncio.sleep(0.05)
    assert visitor.messages[0].file == ("plan.txt", b"words", "text/plain")
    assert visitor.messages[1].labels == [["Yes"]]
    assert len(visitor.messages) == 2
