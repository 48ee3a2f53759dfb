"""Settings of the library in the terms of other apparatus."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.apparatus import Apparatus, ApparatusId, Hook, Spring, SpringSetting
from core.errors import SpringError
from core.exercise import Exercise, Load, Springs
from core.repertoire import shipped
from core.translate import (
    MOST_ALIKE,
    MOST_NOTCHES,
    heaviest_rank,
    possible_settings,
    redescribe,
    share,
    translate,
)
from tests.builders import MAT

LIBRARY = shipped()
CHAIR, REFORMER, TOWER = (
    LIBRARY.apparatus[ApparatusId(name)] for name in ("chair", "reformer", "tower")
)
sprung = {
    on.id: [e for e in LIBRARY.by_apparatus[on.id] if e.springs] for on in (CHAIR, REFORMER, TOWER)
}
alike = st.builds(redescribe, st.just(CHAIR), st.integers(1, 4), st.integers(1, 6))


@st.composite
def odd_chairs(draw: st.DrawFn) -> Apparatus:
    """A chair of 1-4 springs whose 1-6 notches have any grades."""
    count = draw(st.integers(1, 4))
    grades = draw(st.lists(st.floats(0.2, 2), min_size=1, max_size=6, unique=True))
    hooks = tuple(Hook(str(n + 1), grade) for n, grade in enumerate(sorted(grades)))
    return replace(CHAIR, springs=(Spring("spring", count, 1.0),), hooks=hooks, most=count)


@st.composite
def reformers(draw: st.DrawFn) -> Apparatus:
    """A reformer with one to eight springs of the known kinds."""
    kinds = st.sampled_from(["full", "half", "quarter"])
    return redescribe(REFORMER, draw(st.lists(kinds, min_size=1, max_size=8)))


@st.composite
def towers(draw: st.DrawFn) -> Apparatus:
    """A tower with one to eight springs of the known kinds."""
    kinds = st.sampled_from(["arm", "leg", "bar"])
    return redescribe(TOWER, draw(st.lists(kinds, min_size=1, max_size=8)))


def sign(a: float, b: float) -> int:
    """-1, 0 or 1 as a is less than, about or more than b."""
    return 0 if abs(a - b) < 1e-6 else (1 if a > b else -1)


def ranks(on: Apparatus, springs: Springs) -> list[float]:
    """Ranks of easier, usual, harder and limit."""
    return [on.rank(s) for s in (springs.easier, springs.usual, springs.harder, springs.limit)]


def check_kept(exercise: Exercise, before: Apparatus, hers: Apparatus) -> None:
    """The order and the limit stand in the translation, and every setting is one of hers."""
    assert exercise.springs
    try:
        springs = translate(exercise, before, hers).springs
    except SpringError:
        assume(False)
        return
    assert springs
    old, new = ranks(before, exercise.springs), ranks(hers, springs)
    assert {springs.easier, springs.usual, springs.harder, springs.limit} <= set(
        possible_settings(hers)
    )
    side = -1 if exercise.load is Load.ASSIST else 1
    assert all(side * rank <= side * new[3] + 1e-6 for rank in new[:3])
    for a, b in ((0, 1), (1, 2), (0, 2)):
        assert sign(new[a], new[b]) in (sign(old[a], old[b]), 0)
    within = enough(exercise, hers, new[3])
    distinct = len({round(rank, 6) for rank in old[:3]})
    if within >= distinct:
        assert len({round(rank, 6) for rank in new[:3]}) == distinct


def enough(exercise: Exercise, hers: Apparatus, limit: float) -> int:
    """How many different single-kind choices she surely has on the right side of the limit."""
    assert exercise.springs
    if "@" in str(exercise.springs.usual):
        return 0
    singles = {round(hers.grade(token), 6) for token in hers.tokens()}
    if exercise.load is Load.ASSIST:
        return sum(1 for rank in singles if rank >= limit - 1e-6)
    return sum(1 for rank in singles if rank <= limit + 1e-6)


@given(st.sampled_from(sprung[CHAIR.id]), st.one_of(alike, odd_chairs()))
def test_a_chair_of_any_make_keeps_order_and_limit(exercise: Exercise, hers: Apparatus) -> None:
    check_kept(exercise, CHAIR, hers)


@given(st.sampled_from(sprung[REFORMER.id]), reformers())
def test_a_reformer_of_any_make_keeps_order_and_limit(exercise: Exercise, hers: Apparatus) -> None:
    check_kept(exercise, REFORMER, hers)


@given(st.sampled_from(sprung[TOWER.id]), towers())
def test_a_tower_of_any_make_keeps_order_and_limit(exercise: Exercise, hers: Apparatus) -> None:
    check_kept(exercise, TOWER, hers)


@given(st.sampled_from(sprung[CHAIR.id] + sprung[REFORMER.id]), odd_chairs(), reformers())
def test_resisted_work_never_gets_heavier_than_the_limit_written(
    exercise: Exercise, chair: Apparatus, reformer: Apparatus
) -> None:
    before, hers = (CHAIR, chair) if exercise.apparatus == CHAIR.id else (REFORMER, reformer)
    assume(exercise.load is Load.RESIST)
    try:
        springs = translate(exercise, before, hers).springs
    except SpringError:
        assume(False)
        return
    assert exercise.springs
    assert springs
    lightest = min(hers.grade(token) for token in hers.tokens())
    limit = max(before.rank(exercise.springs.limit), lightest)
    assert all(rank <= limit + 1e-6 for rank in ranks(hers, springs))


@given(st.sampled_from(sprung[CHAIR.id]), alike)
def test_carried_work_never_gets_lighter_than_its_share(
    exercise: Exercise, hers: Apparatus
) -> None:
    assume(exercise.load is Load.ASSIST)
    springs = translate(exercise, CHAIR, hers).springs
    assert exercise.springs
    assert springs
    scale = min(1.0, heaviest_rank(hers) / heaviest_rank(CHAIR))
    limit = CHAIR.rank(exercise.springs.limit) * scale
    assert all(rank >= limit - 1e-6 for rank in ranks(hers, springs))


@pytest.mark.parametrize("on", [CHAIR, REFORMER, TOWER], ids=lambda on: str(on.id))
def test_the_same_description_gives_the_same_exercise(on: Apparatus) -> None:
    kinds = [spring.name for spring in on.springs for _ in range(spring.count)]
    again = redescribe(on, 2 if on is CHAIR else kinds)
    assert again == on
    for exercise in sprung[on.id]:
        assert translate(exercise, on, again) is exercise


@pytest.mark.parametrize(
    ("springs", "notches", "then"),
    [
        (1, 4, "4 3 2 2"),  # half the springs: half the weight, and never below half the limit
        (4, 4, "3+3 3+2 2+2 2+1"),  # more springs: as written
        (2, 4, "3+3 3+2 2+2 2+1"),
        (1, 1, "1 1 1 1"),
    ],
)
def test_the_mountain_climb_on_other_chairs(springs: int, notches: int, then: str) -> None:
    climb = LIBRARY["chair-mountain-climb"]
    written = replace(
        climb,
        springs=Springs(*(CHAIR.parse(text) for text in ("3+2", "3+3", "2+2", "2+1"))),
    )
    new = translate(written, CHAIR, redescribe(CHAIR, springs, notches)).springs
    assert new
    assert " ".join(str(s) for s in (new.easier, new.usual, new.harder, new.limit)) == then


def test_one_more_full_spring_leaves_a_reformer_as_it_is() -> None:
    hers = redescribe(REFORMER, ["full", "full", "full", "full", "half", "quarter"])
    footwork = LIBRARY["reformer-footwork-toes"]
    assert translate(footwork, REFORMER, hers) is footwork


def test_a_kind_she_lacks_is_made_up_of_others() -> None:
    hers = redescribe(REFORMER, ["full", "full", "half", "half", "half"])
    written = replace(
        LIBRARY["reformer-footwork-toes"],
        springs=Springs(
            *(
                REFORMER.parse(text)
                for text in ("full full half", "full full", "full full full", "full full full half")
            )
        ),
    )
    new = translate(written, REFORMER, hers).springs
    assert new
    assert str(new.harder) == "full+full+half+half"
    assert str(new.limit) == "full+full+half+half+half"


def test_an_apparatus_too_heavy_for_an_exercise_is_refused() -> None:
    with pytest.raises(SpringError, match="every setting of the reformer is too heavy for"):
        translate(LIBRARY["reformer-arm-floats"], REFORMER, redescribe(REFORMER, ["full"]))


def test_an_apparatus_too_light_for_an_exercise_is_refused() -> None:
    with pytest.raises(SpringError, match="every setting of the reformer is too light for"):
        translate(LIBRARY["reformer-elephant"], REFORMER, redescribe(REFORMER, ["quarter"]))


def test_a_tower_keeps_the_height_and_the_kind_of_spring() -> None:
    hers = redescribe(TOWER, ["arm", "arm", "arm", "arm", "leg"])
    frog = translate(LIBRARY["tower-frog"], TOWER, hers).springs
    assert frog
    assert {token.partition("@")[2] for token in frog.harder.tokens} == {"high"}
    with pytest.raises(SpringError, match="the tower has none of"):
        translate(LIBRARY["tower-chest-press"], TOWER, redescribe(TOWER, ["arm", "arm"]))


def test_work_done_without_a_spring_too_stays_so() -> None:
    bare = Springs(*(CHAIR.parse(text) for text in ("1", "none", "2", "3")))
    new = translate(
        replace(LIBRARY["chair-roll-up"], springs=bare), CHAIR, redescribe(CHAIR, 1, 3)
    ).springs
    assert new
    assert new.easier == SpringSetting()


def test_work_with_springs_needs_springs() -> None:
    with pytest.raises(SpringError, match="has no springs"):
        translate(LIBRARY["chair-pike"], CHAIR, replace(CHAIR, springs=(), hooks=(), most=0))
    bare = LIBRARY["chair-calf-raise"]
    assert translate(bare, CHAIR, MAT) is bare


def test_settings_respect_counts_and_the_most_at_once() -> None:
    assert [str(s) for s in possible_settings(redescribe(CHAIR, 2, 2))] == [
        "none", "1", "2", "1+1", "2+1", "2+2",
    ]  # fmt: skip
    tower = possible_settings(TOWER)
    assert max(len(s.tokens) for s in tower) == TOWER.most
    assert len(set(tower)) == len(tower)
    assert possible_settings(MAT) == (SpringSetting(),)
    assert heaviest_rank(CHAIR) == 2
    assert share(CHAIR, CHAIR.parse("4")) == 0.5
    with pytest.raises(SpringError, match="the mat has no springs"):
        share(MAT, SpringSetting())


@given(st.integers(1, MOST_ALIKE), st.integers(1, MOST_NOTCHES))
def test_notches_rise_to_the_heaviest(springs: int, notches: int) -> None:
    hers = redescribe(CHAIR, springs, notches)
    grades = [hook.grade for hook in hers.hooks]
    assert grades == sorted(set(grades))
    assert grades[-1] == 1.0
    assert grades[0] == (0.5 if notches > 1 else 1.0)
    assert (hers.most, len(hers.hooks)) == (springs, notches)


def test_springs_are_named_in_full_or_short() -> None:
    assert redescribe(REFORMER, ["F", "Full", "h"]).springs == (
        Spring("full", 2, 1.0),
        Spring("half", 1, 0.5),
    )
    assert redescribe(TOWER, ["bar"]).most == 1
    assert redescribe(TOWER, ["bar"] * 8).most == TOWER.most


@pytest.mark.parametrize(
    ("describe", "sentence"),
    [
        (lambda: redescribe(CHAIR, 0), "1 to 6 springs, not 0"),
        (lambda: redescribe(CHAIR, 9), "1 to 6 springs, not 9"),
        (lambda: redescribe(CHAIR, 2, 20), "1 to 8 notches, not 20"),
        (lambda: redescribe(CHAIR, 2, 0), "1 to 8 notches, not 0"),
        (lambda: redescribe(CHAIR, ["full"]), "springs of the chair are alike"),
        (lambda: redescribe(REFORMER, ["full", "huge"]), "'huge' is no spring of a reformer"),
        (lambda: redescribe(REFORMER, []), "1 to 8 springs, not 0"),
        (lambda: redescribe(REFORMER, ["full"] * 9), "1 to 8 springs, not 9"),
        (lambda: redescribe(REFORMER, 4), "name each spring of the reformer: full, half, quarter"),
        (lambda: redescribe(TOWER, ["arm"], 3), "name each spring of the tower"),
        (lambda: redescribe(MAT, 2), "the mat has no springs"),
    ],
)
def test_nonsense_is_refused_with_what_is_possible(
    describe: Callable[[], Apparatus], sentence: str
) -> None:
    with pytest.raises(SpringError, match=sentence):
        describe()
