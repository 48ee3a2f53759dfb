"""Classes logged, looked back at, learned from."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.reply import Incoming
from core.client import ClientId
from core.exercise import ExerciseId
from core.taught import Attendance, Done
from tests.people_talk import HEALTH, people_talk
from tests.talk import Replied, Talk, same_line, too_wide

NOW = datetime(2026, 11, 25, 10, tzinfo=UTC)
LINES = (
    "taught",
    "taught 48 rpe 5, skipped 2, ANA knee sore",
    "last",
    "last dawn",
    "history ANA",
    "history dawn",
    "load",
    "load ANA",
    "pace",
    "pace reset",
    "next ANA",
    "taught take back",
)


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    """ANA and BO come at dawn, and there is a class for them."""
    with people_talk(tmp_path) as talk:
        talk.all("client add ANA", "client add BO", "group dawn add ANA, BO")
        talk.all("plan 50 chair for dawn")
        yield talk


def lines(reply: Replied) -> list[str]:
    """What its buttons say when tapped."""
    return [button["line"] for button in reply["buttons"]]


def seed(talk: Talk, *days: int, exercise: str, springs: str, reps: int) -> None:
    """Classes in which ANA did one movement easily, so many days ago."""
    owner = talk.vault.owner("console:me")
    assert owner is not None
    did = (Done(ExerciseId(exercise), springs, reps),)
    with talk.vault.begin(owner) as store:
        ana = store.people.client_named("ANA")
        assert ana is not None
        for k, ago in enumerate(days):
            at = NOW - timedelta(days=ago)
            store.people.attend(Attendance(ClientId(ana.id), 90 + k, at, effort=4, did=did))


@pytest.mark.parametrize("line", LINES)
def test_every_reply_fits_a_phone(talk: Talk, line: str) -> None:
    talk.say("taught 52 rpe 6, BO tired")
    for reply in talk.all(line):
        assert too_wide(reply) == []
        assert "error" not in reply["data"], reply["text"]


@pytest.mark.parametrize("line", LINES)
def test_another_instructor_sees_nothing_of_it(talk: Talk, line: str) -> None:
    talk.say("taught 52 rpe 6, BO quillfeather")
    talk.vault.admit("console:other")
    before = talk.say("history BO")["data"]
    replies = talk.dispatch.answer(Incoming("console:other", "console:other", line, private=True))
    assert replies
    assert not any("quillfeather" in f"{reply.text}{reply.data}" for reply in replies)
    group = talk.dispatch.answer(Incoming("console:me", "group", line, private=False))
    assert "privately" in same_line(group[0].text)
    assert talk.say("history BO")["data"] == before


def test_a_class_is_logged_as_planned_and_corrected(talk: Talk) -> None:
    first = talk.say("taught")
    assert first["data"]["taught"]["took_s"] is None
    assert [each["client"] for each in first["data"]["attendances"]] == ["ANA", "BO"]
    assert "taught #1 rpe 5" in lines(first)
    second = talk.say("taught 48 skipped 2")["data"]["taught"]
    third = talk.say("taught #1 rpe 5")["data"]["taught"]
    assert (second["took_s"], second["skipped"], second["rpe"]) == (2880, [2], None)
    assert (third["took_s"], third["skipped"], third["rpe"]) == (2880, [2], 5)
    assert talk.say("taught take back")["data"]["untaught"] is True
    assert talk.say("last")["data"]["last"] is None
    assert "no logged class" in same_line(talk.say("history ANA")["text"])


def test_what_is_said_of_somebody_is_a_note_and_is_asked_about(talk: Talk) -> None:
    reply = talk.say("taught 48 rpe 5, BO left knee sore")
    assert "ask BO in 2 days about the knee" in lines(reply)
    assert same_line(reply["text"]).endswith(HEALTH)
    assert "left knee sore" in talk.say("client BO")["text"]
    again = talk.say("taught #1 rpe 6")
    assert not any(line.startswith("ask") for line in lines(again))
    notes = talk.say("client BO")["text"]
    assert notes.count("left knee sore") == 1


def test_what_is_minded_already_is_no_new_complaint(talk: Talk) -> None:
    talk.say("flag BO left knee mild")
    reply = talk.say("taught rpe 5, BO left knee sore")
    assert not any("about the knee" in line for line in lines(reply))


def test_a_sign_of_an_emergency_comes_first(talk: Talk) -> None:
    reply = talk.say("taught rpe 5, BO chest pain and dizzy")
    assert reply["data"]["red_flags"]


def test_whoever_misses_twice_is_written_to(talk: Talk) -> None:
    assert not any("missed" in line for line in lines(talk.say("taught 48 rpe 5, BO missed")))
    talk.say("plan 50 chair for dawn")
    reply = talk.say("taught 48 rpe 5, BO missed")
    assert "ask BO tomorrow about the missed classes" in lines(reply)
    assert "2 missed" in talk.say("history BO")["text"]


def test_a_review_that_is_near_is_asked_about(talk: Talk) -> None:
    talk.say("flag BO left wrist mild, review 28 nov")
    reply = talk.say("taught 48 rpe 5")
    assert "ask BO in 3 days about the wrist" in lines(reply)


def test_the_pace_is_learned_shown_used_and_forgotten(talk: Talk) -> None:
    before = talk.plan("plan 50 mat")
    assert "At your pace" not in same_line(talk.say("show")["text"])
    for _ in range(3):
        talk.say("plan 50 mat")
        talk.say("taught 60")
    known = talk.say("pace")["data"]["pace"]
    assert known["classes"] == 3
    assert known["work"] > 1.15
    reply = talk.say("plan 50 mat")
    assert "At your pace it ends after" in same_line(reply["text"])
    after = reply["data"]["plan"]
    assert 2940 <= after["total_s"] <= 3000
    reps = [sum(i["reps"] * i["sets"] * i["sides"] for s in plan["sections"] for i in s["items"])
            for plan in (before, after)]  # fmt: skip
    assert reps[1] < 0.95 * reps[0]  # slower, so less is done in the same time
    talk.say("pace reset")
    assert talk.say("pace")["data"]["pace"]["classes"] == 0
    assert "At your pace" not in same_line(talk.say("plan 50 mat")["text"])


def test_two_good_classes_bring_a_next_step_and_her_flags_hold_it_back(talk: Talk) -> None:
    library = talk.dispatch.library
    e = next(
        e for e in library.exercises.values()
        if e.springs is None and e.harder and "weight on wrists" in
        {d.value for d in library[e.harder].demands}
    )  # fmt: skip
    seed(talk, 1, 3, exercise=e.id, springs="none", reps=e.reps.high)
    reply = talk.say("next ANA")
    assert reply["data"]["next"][0]["to"] == e.harder
    assert any(line.startswith("note ANA: next: ") for line in lines(reply))
    talk.say("flag ANA left wrist acute")
    held = talk.say("next ANA")
    assert held["data"]["next"] == []
    assert held["data"]["held_back"] == [e.harder]


def test_after_four_weeks_one_step_back_is_proposed(talk: Talk) -> None:
    e = next(e for e in talk.dispatch.library.exercises.values() if e.springs is None and e.easier)
    seed(talk, 30, exercise=e.id, springs="none", reps=e.reps.usual)
    reply = talk.say("next ANA")
    assert [(step["way"], step["to"]) for step in reply["data"]["next"]] == [("back", e.easier)]
    assert "You decide" in reply["text"]


def test_load_is_effort_times_minutes(talk: Talk) -> None:
    talk.say("taught 50 rpe 6, BO rpe 8")
    assert talk.say("load")["data"]["load"][0]["load"] == 300
    assert talk.say("load ANA")["data"]["load"][0]["load"] == 300
    assert talk.say("load BO")["data"]["load"][0]["load"] == 400
    assert talk.say("load")["data"]["load"][0]["monotony"] is None


def test_whoever_is_erased_is_in_no_class_any_more(talk: Talk) -> None:
    talk.say("taught 50 rpe 6, BO tired")
    assert "class she was in" in same_line(talk.say("erase BO for good")["text"])
    assert "BO" not in talk.say("last dawn")["text"]


def test_edits_teach_a_little_taste(talk: Talk) -> None:
    plan = talk.plan("plan 30 mat")
    first = plan["sections"][1]["items"][0]
    talk.say(f"keep {first['n']}")
    out = plan["sections"][2]["items"][0]
    swapped = talk.say(f"swap {out['n']}")
    assert "plan" in swapped["data"], swapped["text"]
    assert talk.say("taste")["data"]["taste"] == {first["exercise"]: 1, out["exercise"]: -4}
    assert talk.say("taste reset")["data"]["taste"] == {}
    assert talk.say("taste")["data"]["taste"] == {}
