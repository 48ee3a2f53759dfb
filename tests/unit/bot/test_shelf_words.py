"""Typed words of kept classes, series and pasted classes -> commands."""

import pytest

from bot.commands import (
    Command,
    Compare,
    ListClasses,
    MakeSeries,
    OpenClass,
    Paste,
    PasteLine,
    RetireClass,
    SaveClass,
)
from bot.errors import MissingWordError, OutOfRangeError, TooLongError, UnknownWordError
from core.exercise import Level
from tests.unit.bot.reading import read, refusal

READ: list[tuple[str, Command]] = [
    ("save as tuesday core", SaveClass("tuesday core")),
    ("save as Tuesday Core!", SaveClass("Tuesday Core!")),
    ("save tuesday core", SaveClass("tuesday core")),
    ('save as "tuesday core"', SaveClass("tuesday core")),
    ("save as 50", SaveClass("50")),
    ("copy as wednesday", SaveClass("wednesday", copy=True)),
    ("copy wednesday", SaveClass("wednesday", copy=True)),
    ("open tuesday core", OpenClass("tuesday core")),
    ("open TUESDAY CORE.", OpenClass("TUESDAY CORE")),
    ("retire tuesday core", RetireClass("tuesday core")),
    ("plans", ListClasses()),
    ("compare tuesday core", Compare("tuesday core")),
    ("compare with tuesday core", Compare("tuesday core")),
    ("compare #12", Compare(plan=12)),
    ("compare to #12", Compare(plan=12)),
    ("line 3 is mermaid", PasteLine(2, "mermaid")),
    ("line 3 mermaid", PasteLine(2, "mermaid")),
    ("line 3 is -", PasteLine(2, "-")),
    ("line 60 is Side bend, kneeling", PasteLine(59, "Side bend, kneeling")),
]


@pytest.mark.parametrize(("line", "command"), READ, ids=[line for line, _ in READ])
def test_a_line_is_read(line: str, command: Command) -> None:
    assert read(line) == command


@pytest.mark.parametrize(
    "line", ["save", "save as", "copy", "copy as", "open", "retire", "compare", "line", "line 3",
             "line 3 is", "line mermaid", "series", "series of chair", "paste"]
)  # fmt: skip
def test_what_is_missing_is_asked_for_with_an_example(line: str) -> None:
    assert len(refusal(line, MissingWordError).example) > 5


def test_names_have_a_length() -> None:
    assert read(f"save as {'x' * 40}") == SaveClass("x" * 40)
    for verb in ("save as", "open", "retire", "compare"):
        assert refusal(f"{verb} {'x' * 41}", OutOfRangeError).high == 40


def test_plans_takes_no_more_words() -> None:
    assert refusal("plans tomorrow", UnknownWordError).word == "tomorrow"


@pytest.mark.parametrize(
    "line",
    [
        "series 6 weeks 50 chair for dawn",
        "series 6w 50 chair for dawn",
        "series 6 50 chair for dawn",
        "series 6weeks 50 chair for dawn",
        "series 6 classes 50 chair for dawn",
    ],
)
def test_a_series_is_weeks_and_a_class(line: str) -> None:
    command = read(line)
    assert isinstance(command, MakeSeries)
    assert command.weeks == 6
    brief = command.brief
    assert (brief.minutes, brief.apparatus, brief.group) == (50, ("chair",), "dawn")


def test_a_series_has_all_the_words_of_a_class() -> None:
    command = read("series 4 weeks 45 mat level 2 no wrists with mermaid 6 people")
    assert isinstance(command, MakeSeries)
    brief = command.brief
    assert (brief.level, brief.people) == (Level.INTERMEDIATE, 6)
    assert [b.name for b in brief.without] == ["wrists"]
    assert brief.must


@pytest.mark.parametrize("weeks", [0, 1, 13, 52])
def test_a_series_has_two_to_twelve_weeks(weeks: int) -> None:
    fault = refusal(f"series {weeks} weeks 50 chair", OutOfRangeError)
    assert (fault.low, fault.high) == (2, 12)


def test_a_pasted_class_is_its_lines() -> None:
    command = read("paste 45 chair for dawn\nPike x8\n\n  Swan (3)\n\t\nWARM UP\n")
    assert isinstance(command, Paste)
    assert command.lines == ("Pike x8", "Swan (3)", "WARM UP")
    assert (command.brief.minutes, command.brief.group) == (45, "dawn")


def test_paste_alone_knows_nothing_of_the_class() -> None:
    command = read("/paste\nPike x8")
    assert isinstance(command, Paste)
    assert command.brief.minutes is None
    assert command.brief.apparatus == ()


def test_a_pasted_class_has_a_length() -> None:
    lines = "\n".join(["Pike x8"] * 500)
    assert isinstance(read(f"paste\n{lines}"), Paste)
    assert refusal("paste\n" + "x" * 7000, TooLongError).most == 6000


def test_a_first_line_that_is_no_class_is_said() -> None:
    assert refusal("paste 45 chair banana\nPike x8", UnknownWordError).word == "banana"
