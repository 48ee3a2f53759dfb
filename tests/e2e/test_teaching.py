"""A class taught in a conversation: taps, being late and early, and going on after anything."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.people_talk import HEALTH, people_talk
from tests.talk import Replied, Talk, labels, same_line, too_wide

CAST = (
    "client add ANA, level 1, chair 3",
    "flag ANA left wrist marked since may",
    "group dawn add ANA",
)
CLASS = "plan 50 chair wed 18:00 for dawn"  # today, a Wednesday


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    """ANA's class this evening, opened five minutes before."""
    with people_talk(tmp_path) as talk:
        talk.all(*CAST)
        talk.plan(CLASS)
        talk.all("@now 2026-11-25T17:55")
        yield talk


def where(reply: Replied) -> dict[str, Any]:
    """Where the class stands."""
    found: dict[str, Any] = reply["data"]["teaching"]
    return found


def begin(talk: Talk, places: int = 0) -> Replied:
    """The class begun on time, and so many places done in a minute and a half each."""
    talk.say("teach")
    talk.all("@now 2026-11-25T18:01:30")
    reply = talk.say("@tap Begin")
    for _ in range(places):
        talk.all("@now +90s")
        reply = talk.say("@tap Next")
    return reply


def test_before_it_begins_the_room_is_set(talk: Talk) -> None:
    reply = talk.say("teach")
    assert "Set the room:" in reply["text"]
    assert "× chair" in reply["text"]
    assert same_line(HEALTH) in same_line(reply["text"])
    assert labels(reply) == ["Begin", "Late", "Stop", "Run sheet", "Who needs what"]
    assert where(reply) | {"place": 0, "in_hand_s": 0, "over": False} == where(reply)


def test_every_tap_shows_one_exercise_at_a_glance(talk: Talk) -> None:
    plan = talk.say("show")["data"]["plan"]
    items = [item for section in plan["sections"] for item in section["items"]]
    reply = begin(talk)
    for item in items:
        said = same_line(reply["text"])
        assert item["name"].upper() in said
        assert f"{item['n']} of {len(items)}" in said
        assert labels(reply)[:3] == ["Next", "Back", "Skip"]
        assert too_wide(reply) == []
        assert len(reply["text"].splitlines()) <= 24
        needs = [v for v in item["verdicts"] if v["verdict"] != "fine"]
        assert ("ANA:" in said) == bool(needs)
        talk.all(f"@now +{item['duration_s'] + item['setup_s']}s")
        reply = talk.say("@tap Next")
    assert where(reply)["over"]
    assert labels(reply) == ["How was it?", "Back", "Whole class"]
    assert next(b["line"] for b in reply["buttons"]) == f"taught #{plan['id']}"
    assert len(where(reply)["took_s"]) >= len(items) - 2


def test_what_was_tapped_is_in_the_log(talk: Talk) -> None:
    begin(talk, places=3)
    talk.say("@tap Skip")
    reply = talk.say("@tap Stop")
    here = where(reply)
    logged = talk.say("@tap How was it?")["data"]["taught"]
    assert logged["plan_id"] == here["plan_id"]
    assert logged["skipped"] == here["left_out"]
    assert logged["took_s"] == here["lasted_s"]
    assert logged["at"] == "2026-11-25T18:00:00+00:00"


def test_a_button_pressed_twice_moves_once(talk: Talk) -> None:
    reply = begin(talk)
    (line,) = [b["line"] for b in reply["buttons"] if b["label"] == "Next"]
    assert where(talk.say(line))["place"] == 2
    again = talk.say(line)
    assert where(again)["place"] == 2
    assert "another moment" in same_line(again["text"])


def test_late_takes_from_what_is_left(talk: Talk) -> None:
    begin(talk, places=4)
    before = where(talk.say("teach"))
    talk.all("@now +6m")
    reply = talk.say("@tap Late")
    assert "5 min" in labels(reply)
    behind = -where(reply)["in_hand_s"]
    assert behind > 0
    reply = talk.say("late 10")
    after = where(reply)
    assert after["plan_id"] > before["plan_id"]
    assert after["first"] == before["first"]
    assert after["place"] == before["place"]
    assert after["in_hand_s"] >= 600 - behind - 30
    assert "10 min shorter" in same_line(reply["text"])
    plan = talk.say("show")["data"]["plan"]
    assert plan["brief"]["minutes"] == 40
    assert plan["sections"][-1]["phase"] == "cool-down"


def test_more_than_can_be_saved_is_answered_with_what_can(talk: Talk) -> None:
    reply = begin(talk, places=3)
    reply = talk.say("late 45")
    assert "at least" in same_line(reply["text"]) or "cool-down" in same_line(reply["text"])
    assert where(reply)["place"] == 4
    assert "Next" in labels(reply)


def test_early_offers_one_more_and_takes_it_in(talk: Talk) -> None:
    begin(talk, places=4)
    reply = talk.say("early 5")
    ideas = reply["data"]["early"]
    assert 1 <= len(ideas) <= 3
    assert labels(reply)[-1] == "Back to the class"
    reply = talk.say("@tap 1")
    assert where(reply)["places"] > ideas[0]["n"] - 1
    assert "comes in as" in same_line(reply["text"])
    plan = talk.say("show")["data"]["plan"]
    items = [item["exercise"] for section in plan["sections"] for item in section["items"]]
    assert items[ideas[0]["n"] - 1] == ideas[0]["exercise"]


def test_early_without_a_running_class_is_about_the_plan() -> None:
    talk = Talk()
    talk.plan("plan 50 chair")
    reply = talk.say("early 5")
    assert "Back to the class" not in labels(reply)
    reply = talk.say(reply["buttons"][0]["line"])
    assert reply["data"]["plan"]["brief"]["minutes"] == 55


def test_a_change_on_the_way_and_its_undo_are_followed(talk: Talk) -> None:
    begin(talk, places=2)
    here = where(talk.say("teach"))
    # Dropping may change what was taught already, to fill the time; then the class stays as it is.
    for n in range(here["places"] - 1, here["place"] + 1, -1):
        changed = talk.say(f"drop {n}")["data"]["plan"]["id"]
        if where(talk.say("teach"))["plan_id"] == changed:
            break
        talk.say("undo")
    else:
        pytest.fail("no change was followed")
    assert where(talk.say("teach"))["place"] == here["place"]
    talk.say("undo")
    assert where(talk.say("teach"))["plan_id"] == here["plan_id"]


def test_another_class_looked_at_meanwhile_changes_nothing(talk: Talk) -> None:
    begin(talk, places=2)
    here = where(talk.say("teach"))
    talk.plan("plan 25 mat")
    talk.say("client ANA")
    assert where(talk.say("teach")) == here


def test_it_stops_by_itself_and_what_was_tapped_is_kept(talk: Talk) -> None:
    reply = begin(talk, places=3)
    timed = where(reply)["took_s"]
    talk.all("@now 2026-11-25T19:30")
    reply = talk.say("@tap Next")
    assert "over by itself" in same_line(reply["text"])
    assert where(reply)["over"]
    assert where(reply)["took_s"] == timed
    assert where(reply)["left_out"] == []
    assert where(reply)["lasted_s"] is None


def test_stop_and_back_again(talk: Talk) -> None:
    begin(talk, places=3)
    reply = talk.say("@tap Stop")
    assert where(reply)["over"]
    assert "Stopped: 4 of" in same_line(reply["text"])
    reply = talk.say("@tap Back")
    assert not where(reply)["over"]
    assert where(reply)["place"] == 4


def test_skip_leaves_one_out(talk: Talk) -> None:
    begin(talk, places=1)
    reply = talk.say("@tap Skip")
    assert where(reply)["left_out"] == [2]
    reply = talk.say("@tap Back")
    assert where(reply)["left_out"] == []


def test_another_class_opened_stops_the_one_before(talk: Talk) -> None:
    begin(talk, places=2)
    talk.plan("plan 25 mat")
    reply = talk.say("teach 2")
    assert "class before is stopped" in same_line(reply["text"])
    assert where(reply)["first"] == 2


def test_in_a_group_chat_nothing_is_taught(talk: Talk) -> None:
    begin(talk)
    talk.all("@chat group")
    reply = talk.say("teach")
    assert "teaching" not in reply["data"]
    assert "ANA" not in reply["text"]
