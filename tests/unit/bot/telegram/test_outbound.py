"""Splitting: nothing lost, nothing too long, nothing torn."""

import html
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.letter import pack
from bot.reply import Part, Reply
from bot.split import MOST, cut, units
from bot.telegram.outbound import bubbles

FAMILY = "\U0001f468\u200d\U0001f469\u200d\U0001f467"
WORDS = st.lists(
    st.sampled_from(["a", "word", " ", "\n", "\n\n", "é", "\U0001f4aa", FAMILY, "<b>", "&amp;"]),
    max_size=60,
).map("".join)
TEXTS = st.builds(
    lambda text, times: text * times, st.one_of(st.text(max_size=40), WORDS), st.integers(0, 400)
)


def utf16(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2


@settings(deadline=None)  # the machine may be busy
@given(st.text())
def test_units_are_counted_as_the_channel_does(text: str) -> None:
    assert units(text) == utf16(text)


@settings(deadline=None)  # the machine may be busy
@given(TEXTS, st.integers(40, 200))
def test_pieces_fit_and_are_the_text_again(text: str, most: int) -> None:
    pieces = cut(text, most)
    assert "".join(pieces) == text
    assert all(utf16(piece) <= most for piece in pieces)
    assert len(pieces) == 1 or all(pieces)


@settings(deadline=None)  # the machine may be busy
@given(st.lists(st.builds(Part, TEXTS, st.booleans()), max_size=5))
def test_messages_fit_and_are_the_reply_again(parts: list[Part]) -> None:
    messages = pack(parts)
    texts = ["".join(piece.text for piece in message) for message in messages]
    assert "".join(texts) == Reply(tuple(parts)).text
    assert all(utf16(text) <= MOST for text in texts)


@settings(deadline=None)  # the machine may be busy
@given(st.lists(st.builds(Part, TEXTS, st.booleans()), max_size=5))
def test_markup_is_closed_in_every_message_and_reads_as_the_text(parts: list[Part]) -> None:
    for bubble in bubbles(Reply(tuple(parts))):
        bare = re.sub("</?pre>", "", bubble.html)
        assert html.unescape(bare) == bubble.plain or "&" in bubble.plain
        assert not re.search("[<>]", bare)
        assert bubble.html.count("<pre>") == bubble.html.count("</pre>")
        assert bubble.plain.strip()


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("one two", ["one two"]),
        ("one two three", ["one two ", "three"]),
        ("one two\nthree", ["one two\n", "three"]),
        ("one\n\ntwo\nthree", ["one\n\ntwo\n", "three"]),
        ("onetwothreefour", ["onetwothre", "efour"]),
        ("", [""]),
    ],
)
def test_a_piece_ends_where_one_would_pause(text: str, pieces: list[str]) -> None:
    assert cut(text, 10) == pieces


def test_a_sign_drawn_from_several_characters_is_not_torn() -> None:
    pieces = cut(FAMILY * 100, 100)
    assert all(piece.replace(FAMILY, "") == "" for piece in pieces)


def test_a_part_that_fits_stays_whole() -> None:
    reply = Reply((Part("a" * 3000), Part("b" * 3000, table=True), Part("c")))
    assert [bubble.html for bubble in bubbles(reply)] == [
        "a" * 3000 + "\n\n",
        "<pre>" + "b" * 3000 + "</pre>\n\nc",
    ]


def test_exactly_what_the_channel_takes_is_one_message() -> None:
    assert len(bubbles(Reply((Part("\U0001f4aa" * 2048),)))) == 1
    assert len(bubbles(Reply((Part("\U0001f4aa" * 2049),)))) == 2


def test_half_a_surrogate_pair_does_not_fail_the_message() -> None:
    assert bubbles(Reply((Part("a\ud83db"),)))[0].plain == "a\ufffdb"
