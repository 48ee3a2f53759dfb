"""What an exercise can't be, and what its parts can't be."""

from dataclasses import replace

import pytest

from core.errors import LibraryError
from core.exercise import Exercise, Level, Phase, Reps, Tempo
from tests.builders import repertoire

MAT = repertoire()["mat-curl"]
CHAIR = repertoire()["chair-press"]


@pytest.mark.parametrize("numbers", [(0, 4, 2), (5, 4, 4), (4, 8, 3), (4, 8, 9), (1, 61, 8)])
def test_repetitions_are_a_range_with_the_usual_number_inside(
    numbers: tuple[int, int, int],
) -> None:
    low, high, usual = numbers
    with raises_naming("want 1 <= low <= usual <= high <= 60"):
        Reps(low, high, usual)


def test_a_range_may_be_a_single_number() -> None:
    assert Reps(1, 1, 1).usual == 1


@pytest.mark.parametrize("both", [(None, None), (1.0, 2.0)])
def test_a_tempo_is_by_breath_or_by_seconds(both: tuple[float | None, float | None]) -> None:
    with raises_naming("either breaths or seconds"):
        Tempo(*both)


@pytest.mark.parametrize("seconds", [0.0, 0.05, 61.0])
def test_a_repetition_has_a_sane_length(seconds: float) -> None:
    with raises_naming("between 0.1 breaths and 60 seconds"):
        Tempo(seconds=seconds)


@pytest.mark.parametrize("effort", [0, 11])
def test_effort_runs_from_one_to_ten(effort: int) -> None:
    with raises_naming(f"mat-curl: effort {effort} is outside 1-10"):
        replace(MAT, effort=effort)


@pytest.mark.parametrize("sides", [0, 3])
def test_there_are_one_or_two_sides(sides: int) -> None:
    with raises_naming("must be 1 or 2"):
        replace(MAT, sides=sides)


@pytest.mark.parametrize("seconds", [-1, 121])
def test_a_set_up_lasts_at_most_two_minutes(seconds: int) -> None:
    with raises_naming("outside 0-120"):
        replace(MAT, setup_s=seconds)


@pytest.mark.parametrize("short", ["", "seventeen letters"])
def test_a_short_name_fits_a_phone_line(short: str) -> None:
    with raises_naming("is not 1-16 characters"):
        replace(MAT, short=short)


def test_an_exercise_stands_in_some_phase() -> None:
    with raises_naming("no phase given"):
        replace(MAT, phases=frozenset())


@pytest.mark.parametrize("wrong", [replace(MAT, sides=2), replace(CHAIR, effort=5)])
def test_springs_and_direction_of_load_agree(wrong: Exercise) -> None:
    other = CHAIR if wrong.springs is None else MAT
    with raises_naming("springs and load direction disagree"):
        replace(wrong, springs=other.springs)


def test_levels_and_phases_have_an_order() -> None:
    assert Level.FUNDAMENTAL < Level.INTERMEDIATE < Level.ADVANCED
    assert list(Phase) == ["warm-up", "foundation", "peak", "cool-down"]


def raises_naming(text: str) -> pytest.RaisesExc[LibraryError]:
    """A refusal of a record that says why."""
    return pytest.RaisesExc(LibraryError, check=lambda fault: text in str(fault))
