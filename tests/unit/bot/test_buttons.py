"""What a button carries: never more than the channel allows, and always back to its line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.buttons import MARK, MOST_BYTES, keep, line_of, unfold, unfolded, wire
from bot.reply import Button, Part, Reply
from storage.memory import MemoryVault

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=300)
LONG = "plan 45 mat level 2 focus glutes no wrists for the early group tue 18:00"


@given(TEXT)
def test_a_line_on_the_wire_has_64_bytes_at_most(line: str) -> None:
    assert len(wire(line).encode()) <= MOST_BYTES


@given(TEXT)
def test_every_line_comes_back(line: str) -> None:
    vault = MemoryVault()
    with vault.begin(vault.admit("console:me")) as store:
        keep([Reply((Part("?"),), ((Button("yes", line),),))], store)
        assert line_of(wire(line), store) == line


@pytest.mark.parametrize("line", ["plan 50 chair", "é" * 32, "x" * 64])
def test_a_line_that_fits_travels_as_it_is(line: str) -> None:
    assert wire(line) == line


@pytest.mark.parametrize("line", [LONG, "é" * 33, "x" * 65, "~plan", "~"])
def test_any_other_travels_as_a_token(line: str) -> None:
    assert wire(line).startswith(MARK)
    assert wire(line) != line


def test_a_token_depends_on_its_line_alone() -> None:
    assert wire(LONG) == wire(LONG) == "~d425d6acd8812533379f7192"
    assert wire(LONG) != wire(LONG + " ")


def test_a_button_still_works_in_a_later_transaction() -> None:
    vault = MemoryVault()
    owner = vault.admit("console:me")
    with vault.begin(owner) as store:
        keep([Reply((Part("?"),), ((Button("yes", LONG), Button("no", "show")),))], store)
    with vault.begin(owner) as store:
        assert line_of(wire(LONG), store) == LONG


def test_a_token_of_somebody_else_is_not_known() -> None:
    vault = MemoryVault()
    with vault.begin(vault.admit("console:me")) as store:
        keep([Reply((Part("?"),), ((Button("yes", LONG),),))], store)
    with vault.begin(vault.admit("console:other")) as store:
        assert line_of(wire(LONG), store) is None


def test_a_line_without_a_token_needs_no_store() -> None:
    vault = MemoryVault()
    with vault.begin(vault.admit("console:me")) as store:
        assert line_of("show 7", store) == "show 7"


def test_what_is_folded_is_kept_with_the_buttons() -> None:
    reply = Reply((Part("short"),), more=(Part("long"),))
    (line,) = unfolded(reply)
    assert unfold(line) == Reply((Part("short"), Part("long")))
    assert unfolded(Reply((Part("short"),))) == ()
    whole = Reply((Part("x" * 100),), more=(Part("long"),))
    (line,) = unfolded(whole)
    vault = MemoryVault()
    with vault.begin(vault.admit("console:me")) as store:
        keep([whole], store)
        assert line_of(wire(line), store) == line
