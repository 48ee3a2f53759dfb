"""Wall times and instants as tests write them."""

from datetime import UTC, datetime


def wall(text: str) -> datetime:
    return datetime.fromisoformat(text)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


NEVER = utc("2999-01-01")
