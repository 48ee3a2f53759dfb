"""People and flags that can't be built wrong, and days counted from them."""

from datetime import date, timedelta
from typing import Any

import pytest

from core.apparatus import ApparatusId
from core.client import Client, ClientError, ClientId, Flag, Group

TODAY = date(2027, 3, 1)
MARCH, MAY = date(2027, 3, 15), date(2027, 5, 1)


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"condition": " "}, "names a condition"),
        ({"since": MAY, "review": MARCH}, "review"),
        ({"event": MAY, "review": MARCH}, "review"),
        ({"event": MAY, "answered": MARCH, "answered_by": "gp"}, "answer"),
        ({"due": MARCH, "event": MARCH}, "not both"),
        ({"due": MARCH, "since": MAY}, "due date"),
        ({"details": ("posterior", "posterior")}, "twice"),
        ({"details": (" ",)}, "empty"),
        ({"answered_by": "gp"}, "its day"),
    ],
)
def test_a_flag_that_contradicts_itself_is_refused(fields: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ClientError, match=sentence):
        Flag(**({"condition": "knee"} | fields))


@pytest.mark.parametrize(
    ("weeks", "days"), [(0, 0), (12, 6), (24, 0), (27, 6), (28, 1), (40, 0), (41, 3)]
)
def test_pregnancy_is_counted_from_the_due_date(weeks: int, days: int) -> None:
    due = TODAY + timedelta(days=280 - 7 * weeks - days)
    assert Flag("pregnancy", due=due).pregnant_days(TODAY) == 7 * weeks + days


def test_days_after_an_event_are_unknown_without_it_and_before_it() -> None:
    assert Flag("surgery").days_after(TODAY) is None
    assert Flag("surgery", event=MAY).days_after(TODAY) is None
    assert Flag("surgery", event=date(2027, 1, 18)).days_after(TODAY) == 42


def test_an_answer_holds_a_year_or_until_the_review() -> None:
    answered: dict[str, Any] = {"answered": date(2026, 6, 1), "answered_by": "gp"}
    assert Flag("heart-disease", **answered).answer_holds(TODAY)
    assert not Flag("heart-disease", **answered).answer_holds(date(2027, 6, 1))
    assert not Flag("heart-disease", **answered, review=TODAY).answer_holds(TODAY)
    assert not Flag("heart-disease", **answered).answer_holds(date(2026, 5, 31))


def test_a_review_is_due_on_its_day_and_after_a_due_date() -> None:
    flags = (
        Flag("knee", review=TODAY),
        Flag("wrist", review=TODAY + timedelta(days=1)),
        Flag("pregnancy", due=TODAY - timedelta(days=1)),
        Flag("neck"),
    )
    assert Client(ClientId(1), "ANA", flags=flags).reviews(TODAY) == (flags[0], flags[2])


def test_a_flag_shows_nothing_of_a_person_where_values_are_printed() -> None:
    flag = Flag("knee", words="ANA fell at home", said_by="her physio")
    person = Client(ClientId(1), "ANA", goals=("walk to work",), flags=(flag,))
    for value in (flag, person, Group("ANA and BO")):
        assert not any(word in repr(value) for word in ("ANA", "knee", "fell", "physio", "walk"))


def test_names_and_usual_settings_are_checked() -> None:
    chair = ApparatusId("chair")
    Client(ClientId(1), "ANA", springs=((chair, "3+2"),))
    for wrong in ({"name": " "}, {"name": "x" * 41}, {"springs": ((chair, "3"), (chair, "2"))}):
        with pytest.raises(ClientError):
            Client(**({"id": ClientId(1), "name": "ANA"} | wrong))  # type: ignore[arg-type] # a mix of fields
    with pytest.raises(ClientError, match="once"):
        Group("dawn", (ClientId(1), ClientId(1)))
