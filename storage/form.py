"""Core values <-> the plain values that both stores keep, so that both keep the same."""

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from core.apparatus import ApparatusId
from core.fold import fold
from core.instructor import Habits

Json = Mapping[str, Any]


def utc(moment: datetime) -> datetime:
    """The same instant in UTC.

    Raises:
        ValueError: it has no zone, so it is no instant.
    """
    if moment.utcoffset() is None:
        raise ValueError("an instant needs a zone")
    return moment.astimezone(UTC)


def group_key(name: str) -> str:
    """What a group's name is compared by; empty only for no group at all.

    Nothing is left of a name of emoji alone when it is folded: it stands for itself.
    """
    return fold(name) or name.strip()


def habits_to_json(habits: Habits) -> dict[str, Any]:
    """The plain form of habits."""
    return {
        "minutes": habits.minutes,
        "apparatus": list(habits.apparatus),
        "month_first": habits.month_first,
    }


def habits_from_json(form: Json) -> Habits:
    """The habits whose plain form this is."""
    apparatus = tuple(map(ApparatusId, form["apparatus"]))
    return Habits(form["minutes"], apparatus, form.get("month_first", False))
