"""Readiness and readings; the table of 16 rows stands in tests/figures/clinical.toml."""

from collections import Counter
from itertools import product

import pytest

from core.screening import (
    QUESTIONS,
    SYMPTOMS,
    TABLE,
    Answers,
    Outcome,
    Policy,
    glucose_band,
    glucose_band_type_1,
    glucose_detail,
    high_lung_pressure,
    hypermobile,
    is_active,
    pressure_details,
    pulse_cap,
    screen,
)


def test_the_table_counts_as_published() -> None:
    """6 clearance, 4 stop, 1 conditional, 5 none (EVIDENCE 6.1)."""
    count = Counter(TABLE.values())
    assert count[Outcome.CLEARANCE] == 6
    assert count[Outcome.STOP] == 4
    assert count[Outcome.RECENT_CLEARANCE] == 1
    assert count[Outcome.START] + count[Outcome.START_GENTLY] + count[Outcome.CONTINUE] == 5
    assert len(TABLE) == 2 ** len(QUESTIONS) == 16


def test_a_worse_answer_never_asks_for_less() -> None:
    strict = [Outcome.START, Outcome.START_GENTLY, Outcome.CONTINUE, Outcome.RECENT_CLEARANCE]
    rank = dict.fromkeys(strict[:3], 0) | {Outcome.RECENT_CLEARANCE: 1}
    rank |= {Outcome.CLEARANCE: 2, Outcome.STOP: 3}
    for active, disease, symptoms, vigorous in product((False, True), repeat=4):
        here = rank[TABLE[active, disease, symptoms, vigorous]]
        assert here <= rank[TABLE[active, True, symptoms, vigorous]]
        assert here <= rank[TABLE[active, disease, True, vigorous]]
        assert here <= rank[TABLE[active, disease, symptoms, True]]


def test_both_policies_of_clearance_in_diabetes() -> None:
    """DIA-7, SCR-5: ACSM is the default; ADA spares light to moderate work without symptoms."""
    light = Answers(False, True, False, False, only_diabetes=True)
    assert screen(light) is Outcome.CLEARANCE
    assert screen(light, Policy.ADA) is Outcome.START
    for other in (
        Answers(False, True, True, False, only_diabetes=True),
        Answers(False, True, False, True, only_diabetes=True),
        Answers(False, True, False, False),
    ):
        assert screen(other, Policy.ADA) is screen(other) is Outcome.CLEARANCE


@pytest.mark.parametrize(
    ("minutes", "days", "months", "active"),
    [(30, 3, 3, True), (29, 3, 3, False), (30, 2, 3, False), (30, 3, 2, False)],
)
def test_active_now(minutes: int, days: int, months: int, active: bool) -> None:
    """SCR-2."""
    assert is_active(minutes, days, months) is active


def test_nine_symptoms() -> None:
    """CAR-2, SCR-4."""
    assert len(set(SYMPTOMS)) == 9


@pytest.mark.parametrize(
    ("reading", "details"),
    [
        ((160, 100), 0),  # BP-4: strictly above
        ((161, 90), 1),
        ((180, 110), 1),  # BP-3: 180/110 itself is not over
        ((181, 110), 2),
        ((180, 111), 3),
        ((200, 110), 2),  # BP-1
        ((201, 80), 3),
        ((150, 111), 3),
    ],
)
def test_lines_of_resting_pressure(reading: tuple[int, int], details: int) -> None:
    assert len(pressure_details(*reading)) == details


@pytest.mark.parametrize(
    ("reading", "over"), [((250, 115), False), ((251, 100), True), ((200, 116), True)]
)
def test_line_of_pressure_in_effort(reading: tuple[int, int], over: bool) -> None:
    """BP-2: pinned as "over"."""
    assert bool(pressure_details(*reading, in_effort=True)) is over


@pytest.mark.parametrize(
    ("mg", "band"), [(89, 1), (90, 2), (149, 2), (150, 3), (249, 3), (250, 4), (349, 4), (350, 5)]
)
def test_glucose_bands(mg: int, band: int) -> None:
    """DIA-1: an edge belongs to the upper band."""
    assert glucose_band(mg) == band


@pytest.mark.parametrize(
    ("mmol", "band"), [(4.9, 1), (5.0, 2), (6.9, 2), (7.0, 3), (10.0, 3), (10.1, 4), (15.0, 4),
                       (15.1, 5)]
)  # fmt: skip
def test_glucose_bands_of_type_1(mmol: float, band: int) -> None:
    """DIA-2."""
    assert glucose_band_type_1(mmol) == band


@pytest.mark.parametrize(
    ("mmol", "detail"),
    [
        (2.8, "glucose under 2.9"),
        (2.9, "glucose under 4"),
        (3.9, "glucose under 4"),
        (4.9, "glucose 4 to 5"),
        (5.1, "glucose 5 to 8.3"),
        (9.0, ""),
        (14.0, "glucose 13.9 to 15"),
        (15.0, "glucose 13.9 to 15"),
        (15.1, "glucose over 15"),
    ],
)
def test_readings_become_details(mmol: float, detail: str) -> None:
    """EVIDENCE 5.17, DIA-1, DIA-2."""
    assert glucose_detail(mmol) == detail


@pytest.mark.parametrize(
    ("score", "age", "before", "history", "reached"),
    [
        (5, 50, False, 0, True),
        (4, 50, False, 0, False),
        (4, 51, False, 0, True),
        (4, 30, False, 2, True),
        (4, 30, False, 0, False),
        (5, 30, False, 0, True),
        (4, 55, False, 0, True),
        (5, 9, True, 1, False),
        (6, 9, True, 0, True),
    ],
)
def test_hypermobility_score(
    score: int, age: int, before: bool, history: int, reached: bool
) -> None:
    """HYP-1, EVIDENCE 5.15."""
    assert hypermobile(score, age, before, history) is reached


def test_lung_pressure_and_pulse() -> None:
    """CAR-1: 55 is not over, 56 is; CAR-4: ten beats below the onset of angina."""
    assert not high_lung_pressure(55)
    assert high_lung_pressure(56)
    assert pulse_cap(120) == 110
