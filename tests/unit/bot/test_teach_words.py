"""What is typed or tapped while a class is taught, and what the card says."""

import pytest

from bot.commands import Early, Teach
from bot.errors import MissingWordError, OutOfRangeError, UnknownWordError
from bot.wording.teaching import in_hand
from tests.unit.bot.reading import read


@pytest.mark.parametrize(
    ("line", "command"),
    [
        ("teach", Teach()),
        ("teach the class", Teach()),
        ("teach 12", Teach("", 12)),
        ("teach #12", Teach("", 12)),
        ("teach next", Teach("next")),
        ("teach next 7 #12", Teach("next", 12, 7)),
        ("teach skip 0 #1", Teach("skip", 1, 0)),
        ("teach stop", Teach("stop")),
        ("teach late 3 #12", Teach("late", 12, 3)),
        ("early 5", Early(5)),
        ("early by 5 minutes", Early(5)),
        ("early 5 mermaid chair", Early(5, "mermaid chair")),
        ("early 5 with Hinge, one leg", Early(5, "Hinge, one leg")),
    ],
)
def test_it_is_understood(line: str, command: object) -> None:
    assert read(line) == command


@pytest.mark.parametrize("line", ["teach blue", "teach next 7 8", "early soon"])
def test_what_is_not_understood_is_said(line: str) -> None:
    with pytest.raises(UnknownWordError):
        read(line)


def test_early_takes_minutes() -> None:
    with pytest.raises(MissingWordError):
        read("early")
    with pytest.raises(OutOfRangeError):
        read("early 31")


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (0, "on time"),
        (-29, "on time"),
        (29, "on time"),
        (30, "0:30 in hand"),
        (90, "1:30 in hand"),
        (-130, "2:10 late"),
        (3700, "61:40 in hand"),
    ],
)
def test_time_in_hand_is_said_in_minutes(seconds: int, said: str) -> None:
    assert in_hand(seconds) == said
