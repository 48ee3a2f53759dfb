"""The other commands: a head word, its few words, and nothing overlooked."""

from contextlib import suppress

import pytest

from bot.commands import (
    BUTTON_WORDS,
    NAMES,
    WORDS,
    Another,
    Command,
    Hello,
    Help,
    LookUp,
    SetHabit,
    SetZone,
    Show,
    Why,
)
from bot.errors import (
    MissingWordError,
    NotText,
    TooLongError,
    UnknownCommandError,
    UnknownWordError,
    UserError,
)
from bot.grammar.parse import parse
from core.apparatus import ApparatusId
from tests.unit.bot.reading import context, read, refusal


@pytest.mark.parametrize(
    ("line", "command"),
    [
        ("show", Show()),
        ("/show", Show()),
        ("SHOW", Show()),
        ("shwo", Show()),
        ("show 7", Show(7)),
        ("/show@some_bot 7", Show(7)),
        ("show 7.", Show(7)),
        ("show 07", Show(7)),
        ("show #3", Show(None, 3)),
        ("show 7 #3", Show(7, 3)),
        ("show #3 7", Show(7, 3)),
        ("show plan", Show()),
        ("show number 7", Show(7)),
        ("show 0", Show(0)),
        ("show -1", Show(-1)),
        ("show 99999", Show(99999)),
        ("show #0", Show(None, 0)),
        ("show mermaid", LookUp("mermaid")),
        ("why", Why()),
        ("why 7", Why(7)),
        ("why 7 #3", Why(7, 3)),
        ("another", Another()),
        ("again", Another()),
        ("anoter", Another()),
        ("another one", Another()),
        ("another #3", Another(3)),
        ("help", Help()),
        ("hlep", Help()),
        ("help plan", Help("plan")),
        ("help Plan!", Help("plan")),
        ("help class", Help("class")),
        ("exercise mermaid chair", LookUp("mermaid chair")),
        ("start", Hello()),
        ("/start", Hello()),
        ("/start aB-9_x", Hello("aB-9_x")),
        ("hello!", Hello()),
        ("hi", Hello()),
        ("zone Europe/Lisbon", SetZone("Europe/Lisbon")),
        ("zone new york", SetZone("new_york")),
        ("zone Europe/Lisbon then", SetZone("Europe/Lisbon", first=True)),
        ("usual 50", SetHabit(50)),
        ("usual 50 chair", SetHabit(50, (ApparatusId("chair"),))),
        ("usual chiar", SetHabit(None, (ApparatusId("chair"),))),
    ],
)
def test_what_a_line_asks_for(line: str, command: Command) -> None:
    assert read(line) == command


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("show 7 8", "8"),
        ("show the mermaid", "mermaid"),
        ("why not", "not"),
        ("why 7 banana", "banana"),
        ("why #9999999999", "#9999999999"),
        ("another chair", "chair"),
        ("another 3", "3"),
        ("help banana", "banana"),
        ("help line", "line"),
        ("help pln", "pln"),
        ("help plan chair", "chair"),
        ("start one two", "two"),
        ("hello there", "there"),
        ("hi, plan 50 chair", "plan"),
        ("usual 50 chair focus glutes", "focus"),
        ("usual 50 chair for dawn", "for"),
        ("usual 50 chair tomorrow", "tomorrow"),
        ("make me a plan", "make"),
    ],
)
def test_a_word_too_many_is_named(line: str, word: str) -> None:
    assert refusal(line, UnknownWordError).word == word


@pytest.mark.parametrize("word", ["zone", "usual", "exercise", "exercise !!"])
def test_a_command_that_wants_more_says_so(word: str) -> None:
    error = refusal(word, MissingWordError)
    assert error.after == word.split(maxsplit=1)[0]
    read(error.example)


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("banana", "banana"),
        ("/banana", "banana"),
        ("select * from plans;", "select"),
        ("'; DROP TABLE plans; --", "'"),
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
        ("glutes", "glutes"),
        ("@me", "@me"),
    ],
)
def test_a_line_that_begins_with_no_command_says_with_what_it_begins(line: str, word: str) -> None:
    assert refusal(line, UnknownCommandError).word == word


@pytest.mark.parametrize("line", ["", "/", "/@bot", "//", "🙂", "...", "\x00", "/ ,;"])
def test_a_line_with_nothing_to_read_says_so(line: str) -> None:
    refusal(line, NotText)


def test_a_line_of_ten_thousand_characters_is_too_long() -> None:
    assert refusal("plan " * 2000, TooLongError).length == 10_000


def test_a_name_without_a_command_is_offered_as_an_exercise() -> None:
    guesses = refusal("mermaid", UnknownCommandError).guesses
    assert "exercise Mermaid on the chair" in [guess.line for guess in guesses]


def test_a_mistyped_command_is_offered() -> None:
    assert "plan 50 chair" in [g.line for g in refusal("pln 50 chair", UnknownCommandError).guesses]


@pytest.mark.parametrize("word", WORDS)
def test_every_word_of_a_command_is_read_or_asks_for_more(word: str) -> None:
    assert WORDS[word] in (*NAMES, *BUTTON_WORDS)
    for line in (word, f"{word} banana", f"{word} 7", f"{word} ,", f"{word} 🙂"):
        with suppress(UserError):
            read(line)


@pytest.mark.parametrize(
    ("pending", "answer", "whole"),
    [
        ("plan chair", "45", "plan chair 45"),
        ("plan chair", "an hour", "plan chair an hour"),
        ("plan 45", "mat", "plan 45 mat"),
        ("45", "mat", "45 mat"),
        ("plan no wrists for dawn", "45 mat", "plan no wrists for dawn 45 mat"),
    ],
)
def test_an_answer_completes_the_line_that_lacked_it(pending: str, answer: str, whole: str) -> None:
    assert parse(answer, context(), pending) == read(whole)


@pytest.mark.parametrize("line", ["help", "show 7", "plan 50 chair", "another"])
def test_a_command_is_no_answer(line: str) -> None:
    assert parse(line, context(), "plan mat") == read(line)


@pytest.mark.parametrize("line", ["banana", "5", "45 banana", ""])
def test_what_is_no_answer_is_read_for_itself(line: str) -> None:
    with pytest.raises(UserError) as alone:
        read(line)
    with pytest.raises(type(alone.value)) as asked:
        parse(line, context(), "plan chair")
    assert str(asked.value) == str(alone.value)
