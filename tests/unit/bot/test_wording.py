"""A sentence for everything that can be said; nothing said that does not exist."""

import ast
import textwrap
from collections.abc import Iterator
from inspect import signature
from pathlib import Path
from typing import get_args, get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st

import core
from bot import errors
from bot.commands import NAMES, WORDS
from bot.errors import UserError
from bot.wording.faults import sentence
from bot.wording.findings import SENTENCES, note
from bot.wording.help import ENTRIES
from bot.wording.phrases import WIDTH, count, listed, wrapped
from core.plan import Finding, Weight
from core.repertoire import shipped
from tests.talk import Talk
from tests.unit.bot.reading import read

CORE = Path(core.__file__).parent
SAMPLES: dict[type, object] = {str: "Something", int: 3, bool: True, tuple: ()}


def kinds(root: type[UserError] = UserError) -> Iterator[type[UserError]]:
    """Every error the sender can put right."""
    for kind in root.__subclasses__():
        yield kind
        yield from kinds(kind)


def facts(kind: type[UserError]) -> list[str]:
    """The names of what such an error carries."""
    names = list(signature(kind.__init__).parameters)[1:]
    return [name for name in names if name not in ("args", "kwargs")]


def sample(kind: type[UserError]) -> UserError:
    """Such an error with invented facts."""
    hints = get_type_hints(kind.__init__)
    values: dict[str, object] = {}
    for name in facts(kind):
        hint = hints[name]
        plain = getattr(hint, "__origin__", None) or (get_args(hint) or (hint,))[0]
        values[name] = SAMPLES[plain]
    return kind(**values)


@pytest.mark.parametrize("kind", list(kinds()), ids=lambda kind: str(kind.__name__))
def test_every_error_has_its_sentence(kind: type[UserError]) -> None:
    assert kind.__module__ == errors.__name__
    said = sentence(sample(kind))
    assert said[0].isupper() or said[0].isdigit()
    assert said.endswith((".", "?", "Something"))
    assert kind.__name__ not in said
    assert "  " not in said


def test_her_own_words_are_cut_before_they_are_repeated() -> None:
    for kind in kinds():
        error = sample(kind)
        for name in {"word", "typed", "text"} & set(facts(kind)):
            setattr(error, name, "x" * 900)
        assert len(sentence(error)) < 200


def emitted() -> Iterator[tuple[str, int | None]]:
    """The rule of every finding that the core can make, and how many facts it gives if plain."""
    for path in sorted(CORE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
                continue
            if node.func.id != "Finding" or path.name in ("codec.py", "check.py"):
                continue
            rule = node.args[0]
            assert isinstance(rule, ast.Constant), f"{path.name}: a rule's name stands in its call"
            facts = node.args[2] if len(node.args) > 2 else None
            plain = isinstance(facts, ast.Tuple) and not any(
                isinstance(each, ast.Starred) for each in facts.elts
            )
            yield (
                str(rule.value),
                len(facts.elts) if plain and isinstance(facts, ast.Tuple) else None,
            )


def test_every_rule_has_its_sentence_and_every_sentence_its_rule() -> None:
    rules = {rule for rule, _ in emitted()}
    assert rules - set(SENTENCES) == set()
    assert set(SENTENCES) - rules == set()


@pytest.mark.parametrize(("rule", "number"), sorted({(r, n or 3) for r, n in emitted()}))
def test_a_finding_is_said_with_the_facts_it_has(rule: str, number: int) -> None:
    finding = Finding(rule, Weight.NOTE, ("60", "2", "3")[:number], 7)
    said = note(finding, shipped())
    assert said.startswith("7: ")
    assert said.endswith(".")


def test_help_has_an_entry_for_each_command_and_no_other() -> None:
    assert set(ENTRIES) == set(NAMES)


EXAMPLES = [(name, line) for name, entry in ENTRIES.items() for line in entry.examples]


@pytest.mark.parametrize(("name", "line"), EXAMPLES, ids=[line for _, line in EXAMPLES])
def test_every_example_is_understood(name: str, line: str) -> None:
    assert ENTRIES[name].examples
    assert line.split(maxsplit=1)[0] in WORDS
    read(line)


def test_every_example_really_works() -> None:
    talk = Talk()
    talk.plan("plan 50 chair")
    first = {
        "compare tuesday core": "save as tuesday core",
        "handover tue": "plan 50 chair tue 18:00",
    }
    for _, line in EXAMPLES:
        talk.say(first.get(line, "help"))
        for reply in talk.all(line):
            assert "error" not in reply["data"], f"{line}: {reply['text']}"
            assert reply["text"]


def test_what_is_said_of_a_command_is_short() -> None:
    for name, entry in ENTRIES.items():
        assert len(f"{name}: {entry.short}") <= 2 * WIDTH
        assert entry.more.endswith(".")


def test_lines_are_wrapped_whatever_is_in_them() -> None:
    text = "word " * 20 + "x" * 100
    assert all(len(line) <= WIDTH for line in wrapped(text, "  ").splitlines())
    assert wrapped(text).replace("\n", "").replace(" ", "") == text.replace(" ", "")


def test_small_turns_of_phrase() -> None:
    assert (count(1, "change"), count(2, "change")) == ("1 change", "2 changes")
    assert (count(1, "person", "people"), count(0, "person", "people")) == ("1 person", "0 people")
    assert listed([]) == ""
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert listed(["a", "b"], "or") == "a or b"


@given(
    st.lists(st.text("abcé.,-· \n\t\N{NO-BREAK SPACE}", max_size=45), max_size=12).map(" ".join),
    st.sampled_from(("", "  ", "   ")),
)
def test_sentences_are_broken_as_the_standard_library_would(text: str, indent: str) -> None:
    slow = textwrap.wrap(text, WIDTH, subsequent_indent=indent, break_on_hyphens=False)
    assert wrapped(text, indent) == "\n".join(slow)
