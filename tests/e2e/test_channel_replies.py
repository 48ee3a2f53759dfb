"""Replies of every shape, as they arrive: long, folded, tabular, with keyboards and files."""

import asyncio

from bot.buttons import wire
from bot.reply import Button, File, Part, Reply
from bot.wording.channel import MORE
from tests.e2e.conftest import running
from tests.e2e.script import Script, said
from tests.e2e.standin.server import StandIn
from tests.e2e.standin.service import units

FAMILY = "\U0001f468\u200d\U0001f469\u200d\U0001f467"
PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 64


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
