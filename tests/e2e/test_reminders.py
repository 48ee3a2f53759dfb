"""What is said by itself, in a terminal whose clock is moved by hand."""

import json

import pytest

from bot.reminders import AtDoor, Reminders
from tests.talk import ZONE, Replied, Talk, labels, same_line


@pytest.fixture
def talk() -> Talk:
    """A conversation with a group and its weekly class."""
    talk = Talk()
    talk.all(
        "client add ANA",
        "flag ANA left wrist marked",
        "client add BO",
        "group dawn add ANA, BO",
        "class tue 18:00 weekly 50 chair dawn",
    )
    return talk


def at(talk: Talk, moment: str) -> list[Replied]:
    """What is said when it is this time."""
    return talk.all(f"@now {moment}")


class TestOwn:
    def test_comes_at_its_time_and_once(self, talk: Talk) -> None:
        made = talk.say("remind me fri 9am order springs")["data"]["reminder"]
        assert made["at"] == "2026-11-27T09:00"
        assert (made["zone"], made["rule"]) == (ZONE, None)
        assert at(talk, "2026-11-27T08:59:59") == []
        (said,) = at(talk, "2026-11-27T09:00")
        assert said["text"] == "Reminder: order springs"
        assert labels(said) == ["Done", "In 1 h", "Tomorrow", "Pick a time"]
        assert said["data"]["reminder"]["id"] == made["id"]
        assert at(talk, "2026-11-28T09:00") == []

    def test_can_be_had_again_later(self, talk: Talk) -> None:
        talk.say("remind me fri 9am order springs")
        (said,) = at(talk, "2026-11-27T09:00")
        again = talk.say(f"@tap {labels(said)[1]}")
        assert again["data"]["reminder"]["at"] == "2026-11-27T10:00"
        assert at(talk, "2026-11-27T09:59") == []
        (second,) = at(talk, "2026-11-27T10:00")
        assert second["text"] == "Reminder: order springs"
        asked = talk.say("@tap Pick a time")
        assert asked["data"]["missing"] == "when"
        assert talk.say("mon 8:30")["data"]["reminder"]["at"] == "2026-11-30T08:30"
        assert len(at(talk, "2026-11-30T08:30")) == 1

    def test_a_week_without_power_brings_one_and_not_seven(self, talk: Talk) -> None:
        talk.say("remind me every day 8:00 water the plants")
        told = at(talk, "2026-12-03T10:00")
        (said,) = [each for each in told if "plants" in each["text"]]
        assert "was due Thu 26 Nov 08:00" in same_line(said["text"])
        (tomorrow,) = [e for e in at(talk, "2026-12-04T08:00") if "plants" in e["text"]]
        assert "was due" not in tomorrow["text"]

    @pytest.mark.parametrize(
        ("line", "before", "after"),
        [
            ("remind me 28 mar 2027 9:00 clocks", "2027-03-28T08:59", "2027-03-28T09:00"),
            ("remind me 29 mar 2027 9:00 clocks", "2027-03-29T08:59", "2027-03-29T09:00"),
        ],
    )
    def test_keeps_its_wall_time_over_a_change_of_clocks(
        self, talk: Talk, line: str, before: str, after: str
    ) -> None:
        talk.say(line)
        assert not [each for each in at(talk, before) if "clocks" in each["text"]]
        assert [each for each in at(talk, after) if "clocks" in each["text"]]

    def test_waits_while_it_is_quiet(self, talk: Talk) -> None:
        talk.all("quiet 22:00 to 7:00", "remind me fri 23:00 sleep", "digest off")
        assert at(talk, "2026-11-27T23:00") == []
        assert at(talk, "2026-11-28T06:59") == []
        (said,) = at(talk, "2026-11-28T07:00")
        assert "sleep" in said["text"]

    def test_waits_while_paused_and_comes_once_after(self, talk: Talk) -> None:
        talk.all("remind me fri 9am order springs", "digest off", "pause")
        assert at(talk, "2026-11-29T09:00") == []
        assert talk.say("reminders")["data"]["paused"] is True
        said = talk.all("resume")
        assert "order springs" in " ".join(each["text"] for each in said[1:])
        assert at(talk, "2026-12-09T09:00") == []

    def test_undone_is_not_said(self, talk: Talk) -> None:
        talk.all("remind me fri 9am order springs", "undo", "digest off")
        assert at(talk, "2026-11-27T09:00") == []


class TestFollowUps:
    def test_are_asked_however_late_and_stay_open_until_done(self, talk: Talk) -> None:
        talk.all("ask ANA in 2 days about the knee", "digest off")
        (said,) = at(talk, "2026-12-20T12:00")
        assert same_line(said["text"]).startswith("Ask ANA: the knee (was due")
        listed = talk.say("reminders")
        assert [each["open"] for each in listed["data"]["reminders"]] == [True]
        number = listed["data"]["reminders"][0]["id"]
        assert talk.say(f"done {number}")["data"]["done"] == number
        assert talk.say("reminders")["data"]["reminders"] == []

    def test_go_with_whom_they_are_about(self, talk: Talk) -> None:
        talk.all("ask ANA in 2 days about the knee", "erase ANA for good", "digest off")
        assert at(talk, "2026-12-20T12:00") == []


class TestDigest:
    def test_says_the_evening_before_what_tomorrow_needs(self, talk: Talk) -> None:
        assert at(talk, "2026-11-29T19:00") == []
        (said,) = at(talk, "2026-11-30T19:00")
        text = same_line(said["text"])
        assert "Tomorrow, Tue 1 Dec: 1 class." in text
        assert "not planned yet" in text
        assert "Comes: ANA and BO." in text
        assert "ANA: Wrist, left" in text
        assert text.endswith("local rules come first.")
        plan = talk.say("@tap Plan Tue 18:00")["data"]["plan"]
        assert plan["brief"]["group"] == "dawn"
        assert plan["brief"]["starts"].startswith("2026-12-01T18:00")
        assert talk.say("digest")["data"]["digest"]["classes"][0]["plan"] == plan["id"]
        assert "Begins with" in talk.say("digest")["text"]

    def test_says_nothing_when_there_is_nothing(self, talk: Talk) -> None:
        assert at(talk, "2026-11-26T19:00") == []
        talk.all("away 1 dec")
        assert at(talk, "2026-11-30T19:00") == []

    def test_is_about_today_when_it_comes_in_the_morning(self, talk: Talk) -> None:
        (said,) = at(talk, "2026-12-01T08:00")
        assert "Today, Tue 1 Dec: 1 class." in same_line(said["text"])

    def test_is_left_out_with_a_note_when_the_class_is_over(self, talk: Talk) -> None:
        (said,) = at(talk, "2026-12-01T20:00")
        assert "over now: what Tue 1 Dec needed" in same_line(said["text"])
        assert [each["day"] for each in said["data"]["dropped"]] == ["2026-12-01"]

    def test_names_open_questions(self, talk: Talk) -> None:
        talk.all("ask ANA in 2 days about the knee")
        at(talk, "2026-11-27T09:00")
        (said,) = at(talk, "2026-11-27T19:00")
        assert "ANA: the knee" in same_line(said["text"])


class TestLeads:
    def test_announce_a_class_and_offer_to_plan_it(self, talk: Talk) -> None:
        talk.all("lead 30 min", "digest off")
        assert at(talk, "2026-12-01T17:29") == []
        (said,) = at(talk, "2026-12-01T17:30")
        assert said["text"] == "dawn at 18:00, in 30 minutes."
        assert labels(said) == ["Plan it now"]
        assert at(talk, "2026-12-01T17:45") == []

    def test_follow_a_class_that_is_moved_or_called_off(self, talk: Talk) -> None:
        talk.all("lead 30 min", "digest off", "move tue to wed 17:00", "@tap This one")
        assert at(talk, "2026-12-01T17:30") == []
        (said,) = at(talk, "2026-12-02T16:30")
        assert "dawn at 17:00" in said["text"]
        talk.all("cancel 8 dec", "@tap This one")
        assert at(talk, "2026-12-08T17:30") == []

    def test_of_a_class_that_is_over_are_left_out_with_a_note(self, talk: Talk) -> None:
        talk.all("lead 30 min", "digest off")
        (said,) = at(talk, "2026-12-01T20:00")
        assert "I left it out" in same_line(said["text"])


def test_two_who_tick_say_it_once(talk: Talk) -> None:
    talk.say("remind me fri 9am order springs")
    talk.console.waker = None
    at(talk, "2026-11-27T09:00")
    doors = [
        AtDoor.of(talk.vault, talk.console.clock, talk.dispatch.desk, "console:") for _ in range(3)
    ]
    said = [reply for door in doors for reply in door.say("console:me")]
    assert len(said) == 1


def test_posted_once_under_one_name(talk: Talk) -> None:
    talk.say("remind me fri 9am order springs")
    talk.console.waker = None
    at(talk, "2026-11-27T09:00")
    waker = Reminders(talk.vault, talk.console.clock, talk.dispatch.desk, "w1", "console:")
    for _ in range(3):
        waker.tick()
    chats = talk.vault.office.claim("w1", talk.console.clock.now(), talk.console.clock.now(), 10)
    assert chats == ["console:me"]
    letter = talk.vault.office.work("console:me", talk.console.clock.now()).letter
    assert letter is not None
    assert letter.body is not None
    assert "order springs" in json.dumps(json.loads(letter.body))


def test_nobody_elses_are_said_at_a_door(talk: Talk) -> None:
    talk.all("remind me fri 9am order springs", "digest off", "@as you")
    assert at(talk, "2026-11-27T09:00") == []
    assert len(talk.all("@as me")) == 1
