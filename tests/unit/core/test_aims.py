"""The words for what a class is about and what it does without."""

import itertools

import pytest

from core.aims import AIM_WORDS, AIMS, BAR_WORDS, BARS, aim, bar
from core.exercise import Demand, Direction, Exercise, Level
from core.fold import fold
from core.planner.nodes import hits
from core.repertoire import shipped

EVERY = tuple(shipped().exercises.values())
MAIN = ("chair", "mat", "reformer", "tower")


def test_every_word_leads_to_a_meaning() -> None:
    for word in AIM_WORDS:
        assert aim(word) is not None, word
    for word in BAR_WORDS:
        assert bar(word) is not None, word


def test_names_are_said_once() -> None:
    for names in ([a.name for a in AIMS], [b.name for b in BARS]):
        assert len(names) == len(set(names))
    assert not {a.name for a in AIMS} & set(AIM_WORDS)
    assert not {b.name for b in BARS} & set(BAR_WORDS)


def test_words_can_be_typed() -> None:
    """A folded word has no capitals and no punctuation, so neither has what it is looked up by."""
    for word in itertools.chain(
        AIM_WORDS, BAR_WORDS, (a.name for a in AIMS), (b.name for b in BARS)
    ):
        assert fold(word) == word


@pytest.mark.parametrize("each", AIMS, ids=lambda each: each.name)
def test_each_main_apparatus_can_serve_a_focus(each: object) -> None:
    focus = next(a for a in AIMS if a is each)
    for name in MAIN:
        served = [e for e in EVERY if e.apparatus == name and e.level < Level.ADVANCED]
        assert any(hits(focus, e) for e in served), name


@pytest.mark.parametrize("each", BARS, ids=lambda each: each.name)
def test_each_bar_rules_something_out_and_leaves_a_class(each: object) -> None:
    without = next(b for b in BARS if b is each)
    out = [e for e in EVERY if without.rules_out(e)]
    assert out
    for name in ("chair", "mat", "reformer"):
        left = [e for e in EVERY if e.apparatus == name and not without.rules_out(e)]
        assert len(left) >= 20, name


def test_what_is_mainly_meant_counts_double() -> None:
    saw, glutes, rotation = shipped()["mat-saw"], aim("glutes"), aim("twist")
    assert glutes
    assert rotation
    assert hits(rotation, saw) == 1
    assert hits(glutes, saw) == 0
    assert hits(glutes, shipped()["mat-bridge"]) == 2


def test_a_focus_can_be_done_without() -> None:
    """Only where it is the main thing: a class without glutes still has bridges' helpers."""
    without = bar("glutes")
    assert without is not None
    assert not without.demands
    for e in EVERY:
        main = e.themes[0] in without.themes or e.primary in without.muscles
        assert without.rules_out(e) == main


def test_a_bar_wins_over_a_focus_of_the_same_name() -> None:
    shoulders, rotation = bar("shoulders"), bar("twists")
    assert shoulders is not None
    assert rotation is not None
    assert Demand.OVERHEAD in shoulders.demands
    assert Demand.ROTATION in rotation.demands


def test_directions_are_aims_of_their_own() -> None:
    for word, direction in (
        ("flexion", Direction.FLEXION),
        ("extension", Direction.EXTENSION),
        ("side bend", Direction.LATERAL),
        ("rotation", Direction.ROTATION),
    ):
        found = aim(word)
        assert found is not None
        assert found.directions == {direction}


@pytest.mark.parametrize("word", ["", "tomorrow", "mermaid", "for dawn", "7"])
def test_other_words_mean_nothing(word: str) -> None:
    assert aim(word) is None
    assert bar(word) is None


def test_wrists_are_spared_by_the_bar_named_after_them() -> None:
    without = bar("wrist")
    assert without is not None

    def spared(e: Exercise) -> bool:
        return not without.rules_out(e)

    assert not any(Demand.WRISTS in e.demands for e in EVERY if spared(e))
