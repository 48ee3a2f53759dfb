"""Flags as they are typed: read whole, guessed where one thing can be meant, nothing dropped."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.caution_record import shipped_cautions
from core.client import Flag, Severity, Side
from core.flag_dates import Span, read_day, read_span
from core.flag_vocabulary import tokens
from core.flag_words import Typed, read_flags

CAUTIONS = shipped_cautions()
TODAY = date(2026, 11, 25)  # a Wednesday
LEFT, RIGHT, BOTH = Side.LEFT, Side.RIGHT, Side.BOTH
MILD, MARKED, ACUTE = Severity


def read(text: str) -> Typed:
    """What a text says on the day of these tests."""
    return read_flags(text, TODAY, CAUTIONS)


def one(text: str) -> Flag:
    """The only flag of a text."""
    (found,) = read(text).read
    return found.flag


# text -> the fields that are not what they would be without words
WHOLE: list[tuple[str, dict[str, Any]]] = [
    (
        "left wrist marked since may, until review 1 mar, says physio",
        {"condition": "wrist", "side": LEFT, "since": date(2026, 5, 1),
         "review": date(2027, 3, 1), "said_by": "physio"},
    ),
    (
        "osteoporosis with a spine fracture, marked",
        {"condition": "osteoporosis", "details": ("spine fracture",)},
    ),
    ("osteoporosis without fracture", {"condition": "osteoporosis"}),
    ("osteoporosis, no spine fracture", {"condition": "osteoporosis"}),
    ("pregnant 24 weeks", {"condition": "pregnancy", "due": date(2027, 3, 17)}),
    ("24+3 weeks pregnant", {"condition": "pregnancy", "due": date(2027, 3, 14)}),
    ("24/40 preggers", {"condition": "pregnancy", "due": date(2027, 3, 17)}),
    ("pregnant, due 3 june", {"condition": "pregnancy", "due": date(2027, 6, 3)}),
    ("pregnant week 24", {"condition": "pregnancy", "due": date(2027, 3, 17)}),
    (
        "hip replacement 6 weeks ago posterior",
        {"condition": "hip-replacement", "event": date(2026, 10, 14), "details": ("posterior",)},
    ),
    ("THR right 3 months ago", {"condition": "hip-replacement", "side": RIGHT,
                                "event": date(2026, 8, 25)}),
    ("knee", {"condition": "knee"}),
    ("bad knee", {"condition": "knee"}),
    ("low back pain mild", {"condition": "low-back", "severity": MILD}),
    ("diabetes", {"condition": "diabetes"}),
    ("sternotomy", {"condition": "sternotomy"}),
    ("SIJ", {"condition": "sacroiliac"}),
    ("carpal", {"condition": "carpal-tunnel"}),
    ("slipped disc", {"condition": "disc"}),
    ("osteopenia", {"condition": "osteopenia"}),
    ("left wirst", {"condition": "wrist", "side": LEFT}),
    ("sholder both", {"condition": "shoulder", "side": BOTH}),
    ("left and right shoulder", {"condition": "shoulder", "side": BOTH}),
    ("spondylolisthisis unstable", {"condition": "spondylolisthesis", "details": ("unstable",)}),
    ("wrist is bad today", {"condition": "wrist", "severity": ACUTE, "since": TODAY}),
    ("arthritis in the right knee", {"condition": "knee-arthrosis", "side": RIGHT}),
    ("had a baby 6 weeks ago", {"condition": "after-birth", "event": date(2026, 10, 14)}),
    ("bp 165/95", {"condition": "high-blood-pressure", "details": ("over 160/100",)}),
    ("hypertension 170 over 95", {"condition": "high-blood-pressure",
                                  "details": ("over 160/100",)}),
    ("diabetes glucose 4.5", {"condition": "diabetes", "details": ("glucose 4 to 5",)}),
    (
        "heart attack 2019, gp cleared 3 nov",
        {"condition": "heart-disease", "since": date(2019, 1, 1),
         "answered": date(2026, 11, 3), "answered_by": "gp"},
    ),
    ("neck, dr smith says mild", {"condition": "neck", "severity": MILD, "said_by": "dr smith"}),
    ("vertigo epley yesterday", {"condition": "vertigo", "details": ("treated",),
                                 "since": date(2026, 11, 24)}),
    ("wrist until 1/3", {"condition": "wrist", "review": date(2027, 3, 1)}),
    ("wrist review in 6 weeks", {"condition": "wrist", "review": date(2027, 1, 6)}),
    ("twins 29 weeks pregnant", {"condition": "pregnancy", "details": ("twins",),
                                 "due": date(2027, 2, 10)}),
]  # fmt: skip


@pytest.mark.parametrize(("text", "fields"), WHOLE, ids=[text for text, _ in WHOLE])
def test_a_flag_is_read_whole(text: str, fields: dict[str, Any]) -> None:
    typed = read(text)
    (found,) = typed.read
    assert found.flag == Flag(**({"severity": MARKED} | fields), words=text)
    assert typed.unknown == ()
    assert typed.candidates == ()


def test_several_conditions_are_several_flags() -> None:
    found = [r.flag for r in read("glaucoma and left knee mild, review 1 mar").read]
    assert [(f.condition, f.side, f.severity) for f in found] == [
        ("glaucoma", Side.NONE, MARKED),
        ("knee", LEFT, MILD),
    ]
    assert {f.review for f in found} == {date(2027, 3, 1)}
    beside = [(r.flag.condition, r.flag.side) for r in read("osteoporosis left knee").read]
    assert beside == [("osteoporosis", Side.NONE), ("knee", LEFT)]


def test_an_operation_on_a_part_is_both() -> None:
    found = [r.flag for r in read("knee surgery 3 weeks ago left").read]
    assert [(f.condition, f.side, f.event) for f in found] == [
        ("knee", LEFT, None),
        ("surgery", Side.NONE, date(2026, 11, 4)),
    ]


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        ("knee mild", ("side",)),
        ("left knee", ("severity",)),
        ("pregnant mild", ("weeks",)),
        ("thr left mild", ("event", "approach")),
        ("left wrist marked since june, review 1 january 2026", ("dates",)),
    ],
)
def test_what_the_rules_would_like_to_know_is_asked(text: str, missing: tuple[str, ...]) -> None:
    (found,) = read(text).read
    assert found.missing == missing


@pytest.mark.parametrize(
    ("text", "candidates"),
    [
        ("arthritis", {"hand", "hip", "inflammatory-arthritis", "knee-arthrosis"}),
        ("labrum", {"shoulder", "hip"}),
    ],
)
def test_words_that_fit_several_conditions_are_a_question(text: str, candidates: set[str]) -> None:
    typed = read(text)
    assert {c.id for c in typed.candidates} == candidates
    assert [r.flag.condition for r in typed.read] == ["unknown"]


@pytest.mark.parametrize("text", ["frobnitis", "spleen frobnicated since may", "left something"])
def test_unknown_words_become_a_flag_that_asks_first(text: str) -> None:
    typed = read(text)
    assert [r.flag.condition for r in typed.read] == ["unknown"]
    assert typed.unknown


def test_what_is_denied_is_no_flag() -> None:
    assert read("not pregnant").read == ()
    assert read("not pregnant").unknown == ("not pregnant",)
    assert [r.flag.condition for r in read("no knee pain but hip left").read] == ["hip"]


def test_a_clearance_needs_somebody_and_no_denial() -> None:
    for text in ("heart disease not cleared", "heart disease cleared", "heart disease"):
        assert one(text).answered is None
    assert read("heart disease cleared").unknown == ("cleared",)
    assert one("heart disease cleared by her cardiologist").answered == TODAY


def test_an_event_that_may_be_still_to_come_is_asked_about() -> None:
    for text in ("hip replacement on 3 dec", "hip replacement in 6 weeks"):
        (found,) = read(text).read
        assert found.flag.event is None
        assert "event" in found.missing
        assert read(text).unknown
    assert one("hip replacement 3 dec 2025").event == date(2025, 12, 3)


def test_slips_are_told_and_only_mended_when_one_word_can_be_meant() -> None:
    assert read("left wirst").guessed == (("wirst", "wrist"),)
    for everyday in ("hard floor", "feel", "half"):
        assert not read(everyday).guessed
    assert one("left knee").condition == "knee"


def test_controlled_is_mild_and_not_controlled_is_not() -> None:
    """BP-6: controlled high blood pressure and a hold is information only."""
    assert one("high bp, well controlled on tablets").severity is MILD
    assert one("high bp not controlled").details == ("uncontrolled",)
    assert one("asthma not controlled").severity is MARKED
    assert "controlled" in read("asthma not controlled").unknown


def test_the_same_condition_twice_is_one_flag() -> None:
    assert one("left knee, bad knee").condition == "knee"


@given(st.text(alphabet="abcdefghijklmnoprstuwy 0123456789,/+", max_size=60))
@settings(max_examples=300, deadline=None)
def test_any_text_is_read_and_kept(text: str) -> None:
    typed = read(text)
    assert all(r.flag.words == text.strip() for r in typed.read)
    assert typed.read or typed.unknown


@given(st.lists(st.sampled_from(
    "left knee wrist neck since may until review 1 mar says physio pregnant 24 weeks ago hip "
    "replacement posterior mild acute and , cleared by gp no due in today 140/90 cancer".split()
), max_size=14))  # fmt: skip
@settings(max_examples=400, deadline=None)
def test_any_order_of_known_words_is_read(words: list[str]) -> None:
    typed = read(" ".join(words))
    assert typed.read or typed.unknown
    for found in typed.read:
        assert found.flag.answered is None or found.flag.answered <= TODAY
        assert found.flag.event is None or found.flag.event <= TODAY


@pytest.mark.parametrize(
    ("text", "forward", "day"),
    [
        ("may", False, date(2026, 5, 1)),
        ("december", False, date(2025, 12, 1)),
        ("december", True, date(2026, 12, 1)),
        ("1 mar", True, date(2027, 3, 1)),
        ("1st of march", False, date(2026, 3, 1)),
        ("1/3", True, date(2027, 3, 1)),
        ("1/3/28", True, date(2028, 3, 1)),
        ("1.3.2028", True, date(2028, 3, 1)),
        ("2028-03-01", True, date(2028, 3, 1)),
        ("29 feb", False, date(2024, 2, 29)),
        ("29 feb", True, date(2028, 2, 29)),
        ("25 nov", False, TODAY),
        ("25 nov", True, TODAY),
        ("monday", False, date(2026, 11, 23)),
        ("wednesday", False, date(2026, 11, 18)),
        ("last week", False, date(2026, 11, 18)),
        ("yesterday", False, date(2026, 11, 24)),
        ("6 weeks ago", False, date(2026, 10, 14)),
        ("in 6 weeks", True, date(2027, 1, 6)),
        ("a month", True, date(2026, 12, 25)),
        ("two years ago", False, date(2024, 11, 25)),
        ("2019", False, date(2019, 1, 1)),
    ],
)
def test_days_are_read_in_british_order(text: str, forward: bool, day: date) -> None:
    found = read_day(tokens(text), TODAY, forward)
    assert found
    assert (found.day, found.taken) == (day, len(tokens(text)))


@pytest.mark.parametrize("text", ["31 feb", "13/13", "99/99", "0/3", "knee", ""])
def test_what_is_no_day_is_not_read(text: str) -> None:
    assert read_day(tokens(text), TODAY, True) is None


def test_months_are_clamped_to_their_end() -> None:
    """EVIDENCE 11.1: a month from 31 January is the end of February."""
    for today, day in (
        (date(2026, 1, 31), date(2026, 2, 28)),
        (date(2024, 1, 31), date(2024, 2, 29)),
    ):
        found = read_day(("in", "1", "month"), today, True)
        assert found
        assert found.day == day


@pytest.mark.parametrize(
    ("text", "span"),
    [
        ("6 weeks", Span(days=42)),
        ("6wks", Span(days=42)),
        ("24+3", Span(days=171)),
        ("6/52", Span(days=42)),
        ("6 weeks 3 days", Span(days=45)),
        ("a couple of months", Span(months=2)),
        ("10 days", Span(days=10)),
        ("2 years", Span(months=24)),
    ],
)
def test_spans_are_read(text: str, span: Span) -> None:
    found = read_span(tokens(text))
    assert found
    assert found[0] == span
