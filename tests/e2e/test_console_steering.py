"""Lines that steer the terminal, questions and their answers, and who sees what."""

import json
from io import StringIO
from pathlib import Path

import pytest

from bot.console import Console, HandClock, instant, messages, to_text
from bot.reply import Button, File, Incoming, Part, Reply
from tests.e2e.contract import check_reply
from tests.e2e.script import Script, said
from tests.talk import NOW, ZONE, Talk, labels, same_line


@pytest.fixture
def talk() -> Talk:
    """A conversation with nothing said yet."""
    return Talk()


def test_the_clock_is_set_and_moved(talk: Talk) -> None:
    assert talk.all("@now 2026-12-01T18:00") == []
    assert talk.plan("plan 50 chair 19:00")["brief"]["starts"] == "2026-12-01T19:00"
    assert talk.all("@now +2h") == []
    assert talk.plan("plan 50 chair 19:00")["brief"]["starts"] == "2026-12-02T19:00"
    assert talk.all("@now -1d", "@now +30m", "@now +1w", "@now -10s") == []
    assert talk.plan("plan 50 chair today 21:00")["brief"]["starts"] == "2026-12-07T21:00"


def test_a_time_with_its_own_offset_is_taken_as_it_is(talk: Talk) -> None:
    talk.all("@now 2026-12-01T18:00-05:00")
    assert talk.plan("plan 50 chair 23:30")["brief"]["starts"] == "2026-12-01T23:30"


@pytest.mark.parametrize(
    "line",
    [
        "@now", "@now yesterday", "@now +2", "@now +h", "@now 25:00", "@now +²h",
        "@now 9999-12-31T23:59", "@now 0001-01-01T00:00", "@now +99999999d",
        f"@now +{'9' * 5000}h", "@", "@who", "@as", "@chat", "@chat public", "@NOW +2h",
        "@tap", "@tap 1", "@tap ²", "@tap 0", "@tap -1", f"@tap {'9' * 5000}", "@tap Another",
    ],
    ids=lambda line: line[:30],
)  # fmt: skip
def test_a_steering_line_that_can_not_be_followed_says_so(talk: Talk, line: str) -> None:
    reply = talk.say(line)
    check_reply(reply)
    assert reply["data"] == {"error": "Steering"}
    assert talk.plan("plan 50 chair 18:00")["brief"]["starts"] == f"{NOW[:10]}T18:00"


def test_buttons_are_pressed_by_number_and_by_label(talk: Talk) -> None:
    talk.plan("plan 50 chair")
    assert "Arc:" in talk.say("@tap 2")["text"]
    talk.plan("show")
    assert "Arc:" in talk.say("@tap why")["text"]
    talk.plan("@tap Whole class")
    assert talk.plan("@tap ANOTHER")["id"] == 2


def test_a_button_goes_with_the_reply_it_came_with(talk: Talk) -> None:
    talk.plan("plan 50 chair")
    talk.say("banana and more")
    missing = talk.say("@tap Another")
    assert missing["data"] == {"error": "Steering"}
    assert "No button Another" in same_line(missing["text"])


def test_several_lines_are_one_message() -> None:
    heard = Script()
    console = Console(heard, Talk().vault, HandClock(), ZONE, StringIO())
    console.run(["one\n", "<<<\n", "two\n", "\n", "  three\n", ">>>\n", "four\r\n"])
    assert [incoming.text for incoming in heard.heard] == ["one", "two\n\n  three", "four"]


def test_lines_of_a_block_do_not_steer() -> None:
    heard = Script()
    console = Console(heard, Talk().vault, HandClock(), ZONE, StringIO())
    console.run(["<<<", "@as nobody", "plan 50 chair", ">>>"])
    assert [incoming.text for incoming in heard.heard] == ["@as nobody\nplan 50 chair"]


def test_a_block_that_is_not_closed_ends_with_the_lines() -> None:
    assert list(messages(["<<<", "a", "b"])) == ["a\nb"]
    assert list(messages(["<<<"])) == []
    assert list(messages(["<<<", ">>>", "", ">>>"])) == ["", "", ">>>"]


def test_a_message_of_several_lines_is_planned(talk: Talk) -> None:
    (reply,) = talk.all("<<<", "plan 45 mat", "no wrists", "focus legs", ">>>")
    assert reply["data"]["plan"]["brief"]["minutes"] == 45


def test_missing_minutes_are_asked_pressed_and_remembered(talk: Talk) -> None:
    asked = talk.say("plan chair")
    assert asked["data"] == {"missing": "minutes"}
    assert "45" in labels(asked)
    assert talk.plans == 0
    reply = talk.say("@tap 45")
    assert reply["data"]["plan"]["brief"]["minutes"] == 45
    assert reply["data"]["plan"]["brief"]["apparatus"] == ["chair"]
    assert "45 min and chair as your usual from now on" in same_line(reply["text"])
    again = talk.say("plan")
    assert again["data"]["plan"]["brief"]["minutes"] == 45
    assert again["data"]["plan"]["brief"]["apparatus"] == ["chair"]
    assert "45 min and chair as usual" in same_line(again["text"])
    other = talk.say("plan 50 mat")
    assert "as usual" not in same_line(other["text"])
    assert "from now on" not in same_line(other["text"])


def test_missing_minutes_may_be_typed(talk: Talk) -> None:
    talk.say("plan mat no wrists for dawn")
    plan = talk.plan("45")
    assert (plan["brief"]["minutes"], plan["brief"]["apparatus"]) == (45, ["mat"])
    assert (plan["brief"]["group"], plan["brief"]["without"][0]["name"]) == ("dawn", "wrists")
    assert talk.plan("plan no wrists")["brief"]["minutes"] == 45


def test_both_are_asked_one_after_the_other(talk: Talk) -> None:
    assert talk.say("plan focus legs")["data"] == {"missing": "minutes"}
    asked = talk.say("an hour")
    assert asked["data"] == {"missing": "apparatus"}
    assert {"chair", "mat", "reformer"} <= set(labels(asked))
    plan = talk.plan("@tap mat")
    assert (plan["brief"]["minutes"], plan["brief"]["apparatus"]) == (60, ["mat"])
    assert [aim["name"] for aim in plan["brief"]["focus"]] == ["legs"]


def test_every_button_of_a_question_answers_it() -> None:
    for line in ("plan chair with mermaid", "plan 45 no wrists"):
        for button in Talk().say(line)["buttons"]:
            talk = Talk()
            talk.say(line)
            reply = talk.say(f"@tap {button['label']}")
            assert "error" not in reply["data"], (button, reply["text"])
            assert "missing" not in reply["data"]


def test_a_question_is_left_by_another_command(talk: Talk) -> None:
    talk.say("plan chair")
    assert "help" in talk.say("help")["data"]
    assert talk.plan("plan 50 mat")["brief"]["apparatus"] == ["mat"]
    assert talk.say("45")["data"]["missing"] == "apparatus"


def test_another_instructor_sees_nothing_of_mine(talk: Talk) -> None:
    mine = talk.plan("plan 50 chair for dawn")
    talk.say("usual 50 chair")
    talk.all("@as Someone Else")
    for line in ("show", "show #1", "why 3", "another", "another #1"):
        assert talk.say(line)["data"]["error"] in ("NoPlanYet", "NoSuchPlan")
    assert talk.say("plan")["data"] == {"missing": "minutes"}
    theirs = talk.say("plan 45 mat for dawn")
    assert theirs["to"] == "console:Someone-Else"
    assert theirs["data"]["plan"]["id"] == 1
    assert "dawn is new to me" in same_line(theirs["text"])
    talk.all("@as me")
    assert talk.plan("show") == mine
    assert talk.say("@tap 1")["data"]["plan"]["brief"] == mine["brief"]


def test_buttons_of_another_can_not_be_pressed(talk: Talk) -> None:
    talk.plan("plan 50 chair")
    talk.all("@as other")
    assert talk.say("@tap 1")["data"] == {"error": "Steering"}


def test_a_group_chat_is_told_nothing(talk: Talk) -> None:
    talk.plan("plan 50 chair")
    talk.all("@chat group")
    for line in ("show", "plan 50 chair", "help", "", "x" * 5000, "@tap 1"):
        reply = talk.say(line)
        check_reply(reply)
        assert "group chats" in same_line(reply["text"])
        assert reply["data"] == {"error": "PrivateOnly"}
        talk.all("@chat private")
        talk.say("show")
        talk.all("@chat group")
    talk.all("@chat private")
    assert talk.plans == 1


def test_at_a_prompt_a_number_alone_presses_a_button() -> None:
    talk = Talk(prompting=True)
    talk.plan("plan 50 chair")
    assert "Arc:" in talk.say("2")["text"]
    asked = Talk(prompting=True)
    asked.say("plan chair")
    assert asked.plan("55")["brief"]["minutes"] == 55  # more than there are buttons
    assert Talk(prompting=True).say("²")["data"]["error"]


def test_the_terminal_numbers_its_buttons() -> None:
    reply = Reply((Part("Yes?"),), ((Button("yes", "a"), Button("no", "b")),))
    assert to_text(reply) == "Yes?\n\n[1] yes  [2] no"


def test_files_are_named_in_json_and_their_bytes_counted() -> None:
    out = StringIO()
    reply = Reply((Part("Here."),), files=(File("a.pdf", b"1234", "application/pdf"),))
    console = Console(Script(lambda _: [reply]), Talk().vault, HandClock(), ZONE, out, as_json=True)
    console.run(["now"])
    (file,) = json.loads(out.getvalue())["files"]
    assert file == {"name": "a.pdf", "kind": "application/pdf", "bytes": 4}


def test_more_than_one_reply_is_more_than_one_line() -> None:
    def twice(incoming: Incoming) -> list[Reply]:
        return [said(incoming.text), said("and more")]

    out = StringIO()
    Console(Script(twice), Talk().vault, HandClock(), ZONE, out, as_json=True).run(["one"])
    assert [json.loads(line)["text"] for line in out.getvalue().splitlines()] == ["one", "and more"]


def test_an_instant_is_read_in_the_zone() -> None:
    assert instant("2026-07-01T12:00", "Europe/London").isoformat() == "2026-07-01T11:00:00+00:00"
    assert instant("2026-07-01", "UTC").isoformat() == "2026-07-01T00:00:00+00:00"
    for text in ("", "noon", "9999-12-31", "1066-10-14"):
        with pytest.raises(ValueError, match=text or "Invalid"):
            instant(text, "Europe/London")


def test_where_the_files_of_a_reply_went_is_said(tmp_path: Path) -> None:
    reply = Reply((Part("Here."),), files=(File("a.txt", b"text", "text/plain"),))
    assert to_text(reply) == (
        "Here.\n\n(a.txt, 1 kB)\nTo have files: say @files and a folder, then ask again."
    )
    assert to_text(reply, tmp_path).endswith(f"Put into {tmp_path}, for your eyes only.")
