"""Typed days and times at a fixed moment: the right one, or a question; never a wrong one."""

from datetime import date, datetime, time

import pytest

from bot.errors import OutOfRangeError, TwiceError, UnclearDateError, UnknownWordError
from bot.when import WhenError, join, spot
from tests.unit.bot.reading import NOW, at, refusal, wishes

WED, THU = date(2026, 11, 25), date(2026, 11, 26)  # today is Wednesday, ten o'clock


@pytest.mark.parametrize(
    ("words", "moment"),
    [
        ("18:00", at("2026-11-25 18:00")),
        ("10:01", at("2026-11-25 10:01")),
        ("10:00", at("2026-11-26 10:00")),  # now is too late for now
        ("9:00", at("2026-11-26 09:00")),
        ("18.30", at("2026-11-25 18:30")),
        ("18h", at("2026-11-25 18:00")),
        ("18h30", at("2026-11-25 18:30")),
        ("6pm", at("2026-11-25 18:00")),
        ("6PM", at("2026-11-25 18:00")),
        ("6 pm", at("2026-11-25 18:00")),
        ("6p.m.", at("2026-11-25 18:00")),
        ("7 a.m.", at("2026-11-26 07:00")),
        ("6.30pm", at("2026-11-25 18:30")),
        ("6:30 pm", at("2026-11-25 18:30")),
        ("9.05pm", at("2026-11-25 21:05")),
        ("at 18:00", at("2026-11-25 18:00")),
        ("at 6 pm", at("2026-11-25 18:00")),
        ("12am", at("2026-11-26 00:00")),
        ("12pm", at("2026-11-25 12:00")),
        ("noon", at("2026-11-25 12:00")),
        ("midday tomorrow", at("2026-11-26 12:00")),
        ("today 18:00", at("2026-11-25 18:00")),
        ("tonight 8pm", at("2026-11-25 20:00")),
        ("tomorrow 9am", at("2026-11-26 09:00")),
        ("tomorrow at 7pm", at("2026-11-26 19:00")),
        ("tmrw 18:00", at("2026-11-26 18:00")),
        ("wed 18:00", at("2026-11-25 18:00")),
        ("18:00 wed", at("2026-11-25 18:00")),
        ("Wednesday 6pm", at("2026-11-25 18:00")),
        ("tue 18:00", at("2026-12-01 18:00")),
        ("on thursday 9am", at("2026-11-26 09:00")),
        ("for sat 10am", at("2026-11-28 10:00")),
        ("3 dec 18:00", at("2026-12-03 18:00")),
        ("dec 3 18:00", at("2026-12-03 18:00")),
        ("3rd december 18:00", at("2026-12-03 18:00")),
        ("december 3rd 18:00", at("2026-12-03 18:00")),
        ("1st of dec 18:00", at("2026-12-01 18:00")),
        ("25 nov 18:00", at("2026-11-25 18:00")),
        ("wed 25 nov 18:00", at("2026-11-25 18:00")),
        ("15 mar 18:00", at("2027-03-15 18:00")),
        ("15 sept 9am", at("2027-09-15 09:00")),
        ("2026-12-01 18:00", at("2026-12-01 18:00")),
        ("2027-12-25 18:00", at("2027-12-25 18:00")),
    ],
)
def test_a_moment_is_read(words: str, moment: datetime) -> None:
    assert wishes(f"plan 50 chair {words}") == {
        "minutes": 50,
        "apparatus": "chair",
        "starts": moment,
    }


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ("today 9:00", "09:00 today has passed"),
        ("wed 9:00", "09:00 today has passed"),
        ("9:00 wed", "09:00 today has passed"),
        ("wed 10:00", "10:00 today has passed"),
        ("wed 25 nov 9am", "09:00 today has passed"),
        ("2026-11-24 18:00", "Tue 24 Nov 2026 has passed"),
        ("24 nov 18:00", "24 nov has passed; the next is 2027-11-24"),
        ("1 oct 18:00", "1 oct has passed; the next is 2027-10-01"),
        ("31 feb 18:00", "31 feb is no date of the calendar"),
        ("31 april 18:00", "31 april is no date of the calendar"),
        ("0 jan 18:00", "0 jan is no date of the calendar"),
        ("50 dec 18:00", "50 dec is no date of the calendar"),
        ("2026-02-30 18:00", "2026-02-30 is no date of the calendar"),
        ("2026-13-01 18:00", "2026-13-01 is no date of the calendar"),
        ("2027-12-27 18:00", "that is more than thirteen months ahead"),
        ("29 feb 18:00", "that is more than thirteen months ahead"),  # the next is in 2028
        ("24:00", "24:00 is no time of day"),
        ("25:00", "25:00 is no time of day"),
        ("18:60", "18:60 is no time of day"),
        ("13pm", "13pm is no time of day"),
        ("0am", "0am is no time of day"),
        ("may 18:00", "which day of may? Say it like 3 may"),
        ("dec 18:00", "which day of dec? Say it like 3 dec"),
        ("at 6", "in the morning or the evening?"),
        ("tomorrow at 7", "in the morning or the evening?"),
        ("at 19", "say it like 19:00"),
        ("3.12", "a time or a date?"),
        ("03.12. 18:00", "a time or a date?"),
    ],
)
def test_a_moment_that_can_not_be_is_refused(words: str, why: str) -> None:
    assert refusal(f"plan 50 chair {words}", UnclearDateError).why == why


@pytest.mark.parametrize(
    ("words", "readings"),
    [
        ("at 6", ["plan 50 chair 6am", "plan 50 chair 6pm"]),
        ("at 19", ["plan 50 chair 19:00"]),
        ("3.12", ["plan 50 chair 3:12", "plan 50 chair 3 dec"]),
    ],
)
def test_both_readings_are_offered(words: str, readings: list[str]) -> None:
    error = refusal(f"plan 50 chair {words}", UnclearDateError)
    assert [guess.line for guess in error.guesses] == readings


@pytest.mark.parametrize(
    "words",
    ["next tuesday 18:00", "tue week 18:00", "week tomorrow 18:00", "day after tomorrow 18:00",
     "in 2 hours", "half past 6", "midnight", "12/15 6pm", "3/12 6pm", "18-00", "18:5",
     "marching 18:00", "decadent 18:00", "7a"],
)  # fmt: skip
def test_words_not_on_the_list_are_asked_about(words: str) -> None:
    refusal(f"plan 50 chair {words}", UnknownWordError)


@pytest.mark.parametrize("words", ["7 tonight", "1830", "18.5", "25 nov 2026 18:00"])
def test_a_bare_number_is_never_a_time(words: str) -> None:
    refusal(f"plan chair {words}", OutOfRangeError)


def test_a_weekday_that_disagrees_with_the_date_is_refused() -> None:
    error = refusal("plan 50 chair thu 25 nov 18:00", TwiceError)
    assert error.values == ("Thu 26 Nov", "Wed 25 Nov")


@pytest.mark.parametrize(("word", "minutes"), [("1h", 60), ("2h", 120), ("1h15", 75)])
def test_one_or_two_hours_are_a_length_and_eighteen_a_time(word: str, minutes: int) -> None:
    assert wishes(f"plan chair {word} 18h") == {
        "minutes": minutes,
        "apparatus": "chair",
        "starts": at("2026-11-25 18:00"),
    }


def test_a_leap_day_is_found_on_the_day_itself() -> None:
    now = at("2028-02-29 10:00")
    assert wishes("plan 29 feb 18:00", now) == {"starts": at("2028-02-29 18:00")}
    assert wishes("plan 29 feb 18:00", at("2027-11-25 00:00"))["starts"] == at("2028-02-29 18:00")


def test_dates_run_over_the_turn_of_the_year() -> None:
    now = at("2026-12-31 20:00")
    assert wishes("plan tomorrow 9am", now) == {"starts": at("2027-01-01 09:00")}
    assert wishes("plan 1 jan 9am", now) == {"starts": at("2027-01-01 09:00")}
    assert wishes("plan 9am", now) == {"starts": at("2027-01-01 09:00")}
    refusal("plan 20 dec 9am", UnclearDateError, at("2027-01-05 00:00"))


@pytest.mark.parametrize("weekday", range(7))
def test_each_weekday_is_the_coming_one_today_included(weekday: int) -> None:
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    found = spot([names[weekday]], NOW)
    assert found is not None
    assert found.day is not None
    assert found.day.weekday() == weekday
    assert 0 <= (found.day - NOW.date()).days < 7


def test_nothing_is_spotted_in_words_without_a_date() -> None:
    for words in ([], ["chair"], ["50"], ["mars"], ["wedding"], ["1"], ["of", "may"], ["at"]):
        assert spot(words, NOW) is None


def test_a_day_and_a_time_make_a_moment_and_neither_makes_none() -> None:
    assert join(None, None, NOW) is None
    assert join(THU, time(9), NOW) == at("2026-11-26 09:00")
    assert join(WED, time(10, 1), NOW) == at("2026-11-25 10:01")
    for day, clock in ((WED, time(10)), (THU, None), (date(2026, 11, 24), time(23, 59))):
        with pytest.raises(WhenError):
            join(day, clock, NOW)
