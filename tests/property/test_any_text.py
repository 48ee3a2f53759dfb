"""Whatever is typed, there is an answer: clear, calm, and with no word overlooked."""

import string

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.grammar.scanner import LONGEST_LINE, mistyped
from bot.grammar.vocabulary import FOCUS
from bot.reply import Incoming, Reply
from bot.when import DAY_WORDS, MONTHS
from bot.wording import asking
from core.aims import AIM_WORDS, AIMS, BAR_WORDS, BARS
from core.fold import fold
from core.repertoire import shipped
from tests.talk import WIDEST, Talk, same_line
from tests.unit.bot.reading import context

KNOWN_FORMS = {
    "plan", "item", "why", "help", "missing", "exercise", "candidates", "zone", "habits", "error",
}  # fmt: skip
LEAKS = ("Traceback", "Error", "Exception", ".py", "None", "0x", "core.", "bot.")
QUICKLY = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)

COMMANDS = st.sampled_from(
    "plan show why another help exercise zone usual start find ladder swap apparatus "
    "springs same measure edit drop swap add move keep unkeep easier harder reps fit late "
    "undo redo save open copy as retire plans compare series weeks paste line is mine "
    "shipped notches /plan /start #1 7 -3 50 chair mat level focus no with for private "
    "18:00 tue 31 feb glutes wrists mermaid people then add set cue 👍 <b> ' ; -- %s {} ~".split()
)
LINES = st.lists(st.one_of(COMMANDS, st.text(max_size=8)), max_size=10).map(" ".join)
TEXT = st.one_of(st.text(max_size=60), LINES, st.text(st.characters(categories=["C"]), max_size=9))


@pytest.fixture(scope="module")
def talk() -> Talk:
    """One long conversation; nothing said in it may spoil what comes after."""
    talk = Talk()
    talk.plan("plan 45 chair")
    return talk


def answer(talk: Talk, text: str, *, tapped: bool = False) -> Reply:
    """The reply to any text, past the terminal's own steering."""
    (reply,) = talk.dispatch.answer(Incoming("console:me", "console:me", text, tapped=tapped))
    return reply


@QUICKLY
@given(TEXT)
def test_any_text_has_an_answer(talk: Talk, text: str) -> None:
    said = answer(talk, text)
    assert said.text.strip()
    assert asking.BROKEN not in same_line(said.text), text
    assert set(said.data), said.text
    leaks = [leak for leak in LEAKS if leak in said.text and leak not in text]
    assert leaks == []


@QUICKLY
@given(st.text(max_size=80))
def test_any_button_has_an_answer(talk: Talk, text: str) -> None:
    said = answer(talk, text, tapped=True)
    assert said.text.strip()
    assert asking.BROKEN not in same_line(said.text), text


@QUICKLY
@given(st.integers(LONGEST_LINE + 1, 20_000), st.sampled_from(["x", "plan ", "é", "🙂", "\n", "1"]))
def test_a_line_over_the_limit_is_refused(talk: Talk, length: int, piece: str) -> None:
    said = answer(talk, (piece * length)[:length])
    assert said.data["error"] == "TooLong"
    assert str(length) in said.text


@QUICKLY
@given(TEXT)
def test_what_is_refused_fits_a_phone(talk: Talk, text: str) -> None:
    said = answer(talk, text)
    if "error" in said.data:
        assert [line for line in said.text.splitlines() if len(line) > WIDEST] == []


PIECES = ["50", "chair", "level 2", "focus glutes", "no wrists", "private", "tomorrow 18:00"]
UNKNOWN = st.text(st.sampled_from(string.ascii_letters + "éñøλжя漢あ"), min_size=1, max_size=14)


def means_nothing(word: str) -> bool:
    """Whether no reading of the word is known, near or exact."""
    plain = fold(word)
    meanings = {*context().apparatus_words, *MEANINGS, *FOCUS, *AIM_WORDS, *BAR_WORDS, *DAY_WORDS}
    meanings |= {each.name for each in AIMS} | {each.name for each in BARS} | MONTHS.keys()
    return (
        bool(plain)
        and plain not in meanings
        and all(mistyped(plain, (meaning,)) is None for meaning in meanings)
        and not context().names.find(word).matches
    )


MEANINGS = set(
    "a an the of on at and or min mins minute minutes please class plan session group level "
    "lvl focus no not without avoid with must include including for people private solo both "
    "all mixed one two three today tonight tomorrow tmr tmrw noon midday hour fundamental "
    "beginner beginners intermediate advanced fifteen twenty thirty forty fifty sixty ninety "
    "l my our ppl h hr it me number".split()
)


@QUICKLY
@given(st.permutations(PIECES), st.integers(0, len(PIECES)), UNKNOWN.filter(means_nothing))
def test_one_unknown_word_is_named_and_nothing_is_planned(
    talk: Talk, pieces: list[str], at: int, word: str
) -> None:
    before = talk.plans
    said = answer(talk, " ".join(["plan", *pieces[:at], word, *pieces[at:]]))
    assert said.data == {"error": "UnknownWord"}
    assert word in said.text.replace("\n", ""), said.text
    assert talk.plans == before


@QUICKLY
@given(UNKNOWN.filter(means_nothing), st.sampled_from(["show 7 {}", "why {}", "another {}"]))
def test_a_word_too_many_is_named_in_every_command(talk: Talk, word: str, line: str) -> None:
    said = answer(talk, line.format(word))
    assert said.data.get("error") == "UnknownWord"
    assert word in said.text.replace("\n", "")


@QUICKLY
@given(st.sampled_from([e.name for e in shipped().exercises.values()]), st.integers(0, 30))
def test_a_name_with_a_slip_is_no_fault(talk: Talk, name: str, at: int) -> None:
    typed = name[:at] + name[at + 1 :]
    said = answer(talk, f"exercise {typed}")
    assert {"exercise", "candidates"} & set(said.data) or said.data["error"] == "NoMatch"
