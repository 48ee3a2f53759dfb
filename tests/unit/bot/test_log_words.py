"""A line about a class that was taught: numbers, places, people, and nothing overlooked."""

import pytest

from bot.commands import (
    Command,
    LastClass,
    LogClass,
    NextSteps,
    ResetPace,
    ResetTaste,
    ShowHistory,
    ShowLoad,
    ShowPace,
    ShowTaste,
    UnlogClass,
)
from bot.errors import MissingWordError, OutOfRangeError, TwiceError, UnknownWordError, UserError
from tests.unit.bot.reading import read, refusal


@pytest.mark.parametrize(
    ("line", "command"),
    [
        ("taught", LogClass()),
        ("/taught", LogClass()),
        ("taught 48", LogClass(None, 48)),
        ("taught 48 min", LogClass(None, 48)),
        ("taught in 48 minutes, rpe 5", LogClass(None, 48, 5)),
        ("taught rpe 0", LogClass(None, None, 0)),
        ("taught effort 10", LogClass(None, None, 10)),
        ("taught #12", LogClass(12)),
        ("taught #12 rpe 5", LogClass(12, None, 5)),
        ("taught 48 rpe 5, skipped 7, BO tired", LogClass(None, 48, 5, (7,), ("BO tired",))),
        ("taught skipped 7 9 and 11", LogClass(skipped=(7, 9, 11))),
        ("taught skipped 7 7 rpe 5", LogClass(None, None, 5, (7,))),
        ("taught BO tired, ANA missed", LogClass(people=("BO tired", "ANA missed"))),
        ("taught BO rpe 7", LogClass(people=("BO rpe 7",))),
        ("taught as planned", LogClass()),
        ("taught take back", UnlogClass()),
        ("taught #12 take back", UnlogClass(12)),
        ("last", LastClass()),
        ("last dawn", LastClass("dawn")),
        ("last class of dawn", LastClass("dawn")),
        ("history ANA", ShowHistory("ANA")),
        ("load", ShowLoad()),
        ("load ANA", ShowLoad("ANA")),
        ("pace", ShowPace()),
        ("pace reset", ResetPace()),
        ("taste", ShowTaste()),
        ("taste reset", ResetTaste()),
        ("next ANA", NextSteps("ANA")),
        ("next for ANA", NextSteps("ANA")),
    ],
)
def test_a_line_is_read(line: str, command: Command) -> None:
    assert read(line) == command


@pytest.mark.parametrize(
    ("line", "error"),
    [
        ("taught 300", OutOfRangeError),
        ("taught -5", OutOfRangeError),
        ("taught rpe 11", OutOfRangeError),
        ("taught rpe -1", OutOfRangeError),
        ("taught rpe", MissingWordError),
        ("taught rpe hard", MissingWordError),
        ("taught skipped", MissingWordError),
        ("taught skipped mermaid", MissingWordError),
        ("taught 48 50", TwiceError),
        ("taught #1 #2", TwiceError),
        ("pace slowly", UnknownWordError),
        ("pace reset now", UnknownWordError),
        ("taste sweet", UnknownWordError),
        ("history", MissingWordError),
        ("next", MissingWordError),
    ],
)
def test_a_line_is_refused(line: str, error: type[UserError]) -> None:
    assert refusal(line, error)
