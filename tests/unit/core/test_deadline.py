"""An answer within a month, on a working day."""

from datetime import date, timedelta

from core.deadline import answer_by, month_after


def test_every_day_of_eight_years_has_its_month_and_a_working_day_in_it() -> None:
    day = date(2024, 1, 1)
    while day < date(2032, 1, 1):
        due = month_after(day)
        assert (due.year * 12 + due.month) - (day.year * 12 + day.month) == 1
        assert due.day == day.day or (due + timedelta(days=1)).day == 1
        safe = answer_by(day)
        assert due - timedelta(days=2) <= safe <= due
        assert safe.weekday() < 5
        assert safe == due or due.weekday() >= 5
        day += timedelta(days=1)


def test_a_year_ends_in_the_next() -> None:
    assert month_after(date(2026, 12, 31)) == date(2027, 1, 31)
