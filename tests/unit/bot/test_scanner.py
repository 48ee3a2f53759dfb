"""A line taken apart: its words, how far it is read, what an unknown word is near to."""

import pytest

from bot.errors import Guess, NotText, TooLongError
from bot.grammar.scanner import LONGEST_LINE, Scanner, clean, mistyped, nearest

KNOWN = ("chair", "chairs", "mat", "mats", "reformer", "weight on wrists", "intermediate", "side")


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("  plan   50\tchair \r\n", "plan 50 chair"),
        ("plan\n50\nchair", "plan 50 chair"),
        ("plan\x0050\x07chair", "plan 50 chair"),
        ("plan\u00a050\u2003chair", "plan 50 chair"),
        ("plan\u200b50", "plan 50"),
        ("pla\ud800n", "pla n"),
        ("Ćwiczenie", "Ćwiczenie"),
    ],
)
def test_control_characters_and_spaces_are_tidied(typed: str, read: str) -> None:
    assert clean(typed) == read


@pytest.mark.parametrize("typed", ["", " ", "\n\n", "\x00\x1b", "...", "🙂", "--- !!!", "\u200d"])
def test_what_has_no_letter_or_digit_is_not_text(typed: str) -> None:
    with pytest.raises(NotText):
        clean(typed)


def test_the_longest_line_is_read_and_one_more_character_is_not() -> None:
    assert clean("x" * LONGEST_LINE) == "x" * LONGEST_LINE
    with pytest.raises(TooLongError) as error:
        clean("x" * (LONGEST_LINE + 1))
    assert (error.value.length, error.value.most) == (LONGEST_LINE + 1, LONGEST_LINE)


def test_words_are_small_and_bare_and_raw_ones_are_kept() -> None:
    scanner = Scanner("Plan, 50; (CHAIR)! “Dawn”")
    assert scanner.words == ["plan", "50", "chair", "dawn"]
    assert scanner.raw == ["Plan", "50", "(CHAIR)!", "“Dawn”"]


def test_reading_on_and_looking_ahead() -> None:
    scanner = Scanner("one two Three")
    assert (scanner.peek(), scanner.peek(2), scanner.peek(3)) == ("one", "three", "")
    assert scanner.take(2) == "one two"
    assert (scanner.peek(), scanner.done) == ("three", False)
    assert scanner.take() == "Three"
    assert (scanner.peek(), scanner.done, scanner.take()) == ("", True, "")


def test_the_longest_phrase_wins() -> None:
    assert Scanner("weight on wrists chair").phrase([*KNOWN, "weight"]) == ("weight on wrists", 3)


@pytest.mark.parametrize("line", ["chair 🙂", "chair &", "chair -", "chair _"])
def test_a_sign_after_a_word_is_not_swallowed_with_it(line: str) -> None:
    assert Scanner(line).phrase(KNOWN) == ("chair", 1)


@pytest.mark.parametrize("line", ["-side", "–side", "−side"])
def test_a_dash_before_a_word_is_not_overlooked(line: str) -> None:
    assert Scanner(line).phrase(KNOWN) is None


def test_a_slip_is_read_and_remembered() -> None:
    scanner = Scanner("50 Chiar")
    scanner.take()
    assert scanner.phrase(KNOWN) == ("chair", 1)
    assert list(scanner.read_as.values()) == [("Chiar", "chair")]


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("chiar", "chair"),  # two letters swapped
        ("chaor", "chair"),  # one wrong
        ("chai", "chair"),  # one missing
        ("reforrmer", "reformer"),  # one more
        ("intermidate", "intermediate"),  # a long word may have two slips
        ("intmediat", None),
        ("rfrmer", None),  # two in a word of less than eight letters
        ("hcair", None),  # the first letter must be right
        ("vhair", None),
        ("mta", None),  # three letters must be right
        ("sid", None),
        ("s1de", None),
        ("", None),
    ],
)
def test_how_much_may_be_mistyped(typed: str, read: str | None) -> None:
    assert mistyped(typed, KNOWN) == read


def test_two_meanings_as_near_are_not_chosen_between() -> None:
    assert mistyped("bank", ["band", "bans"]) is None
    assert mistyped("band", ["band", "bans"]) == "band"


def test_the_nearest_meanings_come_with_the_whole_line() -> None:
    scanner = Scanner("plan 50 cheer no wrists")
    found = nearest(scanner, 2, KNOWN)
    assert found[0] in (
        Guess("chair", "plan 50 chair no wrists"),
        Guess("chairs", "plan 50 chairs no wrists"),
    )
    assert len(found) <= 3


def test_a_word_like_nothing_has_no_nearest() -> None:
    assert nearest(Scanner("zzz"), 0, KNOWN) == ()
