"""A class as somebody wrote it -> exercises, repetitions, springs, phases; nothing dropped."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.apparatus import ApparatusId
from core.exercise import ExerciseId, Phase
from core.names import index_of
from core.paste import Kind, Line, read
from core.pasted import Chosen, steps
from core.repertoire import shipped

CORPUS: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "pasted_lines.toml").read_text(encoding="utf-8")
)["line"]


def reading(text: str, near: str = "chair", heading: str = "") -> Line:
    """The line, read for a class on one apparatus."""
    library = shipped()
    return read(text, index_of(library), library.apparatus, [ApparatusId(near)], heading)


def chosen(text: str, exercise: str, phase: Phase | None = None, near: str = "chair") -> Chosen:
    """The line, taken for an exercise."""
    return Chosen(shipped()[ExerciseId(exercise)], reading(text, near), phase)


def test_the_corpus_is_large() -> None:
    assert len(CORPUS) >= 60


@pytest.mark.parametrize("case", CORPUS, ids=lambda case: case["text"].strip()[:40])
def test_a_line_is_read_as_it_is_meant(case: dict[str, Any]) -> None:
    line = reading(case["text"], case["near"])
    want = case["want"]
    match line.kind:
        case Kind.EXERCISE:
            assert (line.found.sure.id if line.found.sure else "ask") == want
        case Kind.HEADING:
            assert (line.phase.value if line.phase else "heading") == want
        case _:
            assert line.kind.value == want
    assert line.reps == case.get("reps")
    assert line.sets == case.get("sets")
    assert (str(line.springs) if line.springs else None) == case.get("springs")


def test_a_line_asked_about_offers_what_may_be_meant() -> None:
    for case in CORPUS:
        line = reading(case["text"], case["near"])
        if case["want"] == "ask" and case["text"] not in ("blorp 5", "10x"):
            assert line.found.matches, case


def test_a_heading_is_the_first_part_of_a_name() -> None:
    assert reading("toes 10x").found.sure is None
    toes = reading("toes 10x", heading="Footwork").found.sure
    assert toes
    assert toes.id == "chair-footwork-toes"


def test_springs_that_the_apparatus_does_not_take_are_told() -> None:
    for text in ("pike 4@4", "pike 2 springs on 7", "pike spring 9"):
        line = reading(text)
        assert line.springs is None
        assert line.unread


def test_repetitions_and_sets_stay_in_their_range() -> None:
    assert chosen("pike x15", "chair-pike").reps() == 10
    assert chosen("pike x2", "chair-pike").reps() == 6
    assert chosen("pike", "chair-pike").reps() == shipped()[ExerciseId("chair-pike")].reps.usual
    assert chosen("pike 3x8", "chair-pike").sets() == 2
    assert chosen("pike 3x8", "chair-pike").reps() == 8


def test_headings_that_name_a_phase_set_it() -> None:
    peak, cool = Phase.PEAK, Phase.COOL_DOWN
    made = steps(
        [
            chosen("pelvic tilt", "chair-seated-pelvic-tilt", Phase.WARM_UP),
            chosen("footwork toes", "chair-footwork-toes", peak),
            chosen("pike", "chair-pike", peak),
            chosen("mermaid", "chair-mermaid", cool),
        ],
        shipped().apparatus,
    )
    assert [s.phase for s in made] == [Phase.WARM_UP, peak, peak, cool]


def test_without_headings_phases_follow_the_order() -> None:
    names = (
        "chair-seated-pelvic-tilt chair-mermaid chair-footwork-toes chair-footwork-heels "
        "chair-bridge chair-pike chair-swan-chair chair-tendon-stretch chair-pedal-roll-down"
    ).split()
    made = steps([chosen("x", name) for name in names], shipped().apparatus)
    phases = [s.phase for s in made]
    assert phases[0] is Phase.WARM_UP
    assert phases[-1] is Phase.COOL_DOWN
    assert phases == sorted(phases, key=list(Phase).index)
    assert all(s.phase in s.exercise.phases for s in made)


def test_springs_as_written_or_as_usual() -> None:
    written, usual = steps(
        [chosen("pike 4+3", "chair-pike"), chosen("pike", "chair-pike")], shipped().apparatus
    )
    assert str(written.springs) == "4+3"
    springs = shipped()[ExerciseId("chair-pike")].springs
    assert springs
    assert usual.springs == springs.usual


def test_nothing_pasted_is_nothing() -> None:
    assert steps([], shipped().apparatus) == ()


@settings(deadline=None)
@given(st.text(max_size=120))
def test_any_line_is_read_without_a_fault(text: str) -> None:
    line = reading(text)
    assert line.text == text.strip()
    if any(c.isalpha() for c in text) and line.kind is Kind.NOTHING:
        assert not any(c.isascii() and c.isalpha() for c in text)
    assert line.reps is None or 0 <= line.reps <= 999


@settings(deadline=None)
@given(
    exercise=st.sampled_from(sorted(shipped().exercises)),
    reps=st.integers(1, 20),
    form=st.sampled_from(("{n} x{r}", "{r}x {n}", "- {n} ({r})", "{n} {r} reps", "7. {n}: {r}x")),
)
def test_every_name_with_repetitions_is_read(exercise: str, reps: int, form: str) -> None:
    e = shipped()[ExerciseId(exercise)]
    line = reading(form.format(n=e.name, r=reps), e.apparatus)
    assert line.kind is Kind.EXERCISE
    assert line.reps == reps
    assert line.found.sure is e
