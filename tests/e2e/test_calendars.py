"""The diary as a calendar file, and files of others read."""

from typing import Any

from icalendar import Calendar

from bot.reply import Incoming
from tests.talk import Talk, labels, same_line

FILE = """import
BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//invented//test//EN
BEGIN:VEVENT
UID:a@example
SUMMARY:Early group
DTSTAMP:20261101T000000Z
DTSTART;TZID=Europe/London:20261201T070000
DURATION:PT50M
RRULE:FREQ=WEEKLY;BYDAY=TU
END:VEVENT
BEGIN:VEVENT
UID:b@example
SUMMARY:Dentist
DTSTAMP:20261101T000000Z
DTSTART:20261203T093000Z
DURATION:PT5M
END:VEVENT
BEGIN:VEVENT
UID:c@example
SUMMARY:Away
DTSTAMP:20261101T000000Z
DTSTART;VALUE=DATE:20261220
DTEND;VALUE=DATE:20270104
END:VEVENT
END:VCALENDAR
"""


def file_of(talk: Talk, line: str) -> str:
    """The text of the file that comes for a line."""
    (reply,) = talk.dispatch.answer(Incoming("console:me", "console:me", line))
    (file,) = reply.files
    assert file.kind == "text/calendar"
    return file.content.decode()


def test_a_calendar_has_no_names_unless_asked() -> None:
    talk = Talk()
    talk.all(
        "client add ANA",
        "client add BO",
        "class tue 18:00 weekly 50 chair private ANA at ANA home",
        "class thu 9:00 50 mat for dusk",
        "ask ANA in 2 days about the knee",
        "remind me fri 9am call BO",
        "move tue to wed 17:00",
        "@tap This one",
        "away 15 dec",
        "lead 30 min",
    )
    plain = file_of(talk, "calendar")
    assert "ANA" not in plain
    assert "BO" not in plain
    assert "dusk" in plain
    named = file_of(talk, "calendar names")
    assert "ANA" in named
    events: list[Any] = list(Calendar.from_ical(plain).walk("VEVENT"))
    assert len(events) == 5
    weekly = next(each for each in events if "RRULE" in each)
    off = {str(each.dt.date()) for each in weekly["EXDATE"].dts}
    assert off == {"2026-12-01", "2026-12-15"}
    assert len({str(each["UID"]) for each in events}) == 5
    assert file_of(talk, "calendar") == plain
    assert weekly.walk("VALARM")


def test_a_file_is_read_and_each_entry_is_kept_by_a_tap() -> None:
    talk = Talk()
    (reply,) = talk.dispatch.answer(Incoming("console:me", "console:me", FILE))
    found = reply.data["import"]
    assert [each["title"] for each in found["entries"]] == ["Early group", "Dentist"]
    assert [each["first"] for each in found["days"]] == ["2026-12-20"]
    lines = [button.line for button in reply.buttons]
    kept = talk.say(lines[0])["data"]["class"]
    assert (kept["at"], kept["minutes"]) == ("2026-12-01T07:00", 50)
    assert (kept["rule"], kept["group"]) == ("FREQ=WEEKLY;BYDAY=TU", "Early group")
    assert talk.say(lines[1])["data"]["reminder"]["at"] == "2026-12-03T09:30"
    assert talk.say(lines[2])["data"]["away"]["last"] == "2027-01-03"


def test_nonsense_after_import_is_refused_calmly() -> None:
    talk = Talk()
    (reply,) = talk.dispatch.answer(Incoming("console:me", "console:me", "import\nhello\nyou"))
    assert reply.data["error"] == "CalendarFile"


def test_another_zone_leaves_classes_where_they_are_and_offers_to_move_them() -> None:
    talk = Talk()
    talk.all("class tue 18:00 weekly 50 chair", "remind me fri 9am order springs")
    said = talk.say("zone Europe/Lisbon")
    assert "Europe/Lisbon" in said["text"]
    said = talk.say("zone Asia/Tokyo")
    assert "stay on the clock" in same_line(said["text"])
    assert talk.say("classes")["data"]["classes"][0]["zone"] == "Europe/London"
    talk.say("zone Asia/Tokyo")
    assert "goes by the clock of Asia/Tokyo" in same_line(
        talk.say("@tap Move all to Asia/Tokyo")["text"]
    )
    kept = talk.say("classes")["data"]["classes"][0]
    assert (kept["zone"], kept["at"]) == ("Asia/Tokyo", "2026-12-01T18:00")
    talk.say("undo")
    assert talk.say("classes")["data"]["classes"][0]["zone"] == "Europe/London"
    assert labels(talk.say("zone Asia/Tokyo")) == ["Move all to Asia/Tokyo"]
