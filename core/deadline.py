"""Until when somebody who asks about what is kept of her has to have her answer.

One month from being asked (Regulation (EU) 2016/679, Art. 12(3)): on the same date of the next
month, or on its last day where it has none such (Regulation 1182/71, Art. 3(2)(c)). A period that
ends on a weekend may run to the next working day (Art. 3(4)); whoever answers by the working day
before is safe wherever that is read otherwise. Public holidays are not known here.
"""

from calendar import monthrange
from datetime import date, timedelta

WORKDAYS = 5  # Monday to Friday


def month_after(asked: date) -> date:
    """The same date a month later, or the last day of that month."""
    year, month = (asked.year + 1, 1) if asked.month == 12 else (asked.year, asked.month + 1)
    return date(year, month, min(asked.day, monthrange(year, month)[1]))


def answer_by(asked: date) -> date:
    """The last working day within the month."""
    due = month_after(asked)
    return due - timedelta(days=max(0, due.weekday() - WORKDAYS + 1))
