"""The whole grid of exercises, conditions and severities, and random sets of flags."""

import random
import time
from collections.abc import Callable
from itertools import chain, combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.caution import STRICTNESS, Kind, verdict, verdicts
from core.caution_change import smallest_change
from core.client import Client, ClientId, Flag, Severity
from core.exercise import Demand, Exercise
from core.repertoire import shipped
from tests.judged import CAUTIONS, TODAY, asked_of, flag_like, judged

LIBRARY = shipped()
EVERY = tuple(LIBRARY.exercises.values())
CONDITIONS = tuple(CAUTIONS.conditions)


@pytest.mark.parametrize("condition", [*CONDITIONS, "words nobody knows"])
def test_no_hole_for_any_exercise_and_severity(condition: str) -> None:
    for severity in Severity:
        flags = (Flag(condition, severity=severity),)
        person = Client(ClientId(1), "ANA", flags=flags)
        for v in verdicts(person, EVERY, TODAY, CAUTIONS, LIBRARY):
            fault = judged(v, flags, TODAY)
            assert not fault, (condition, severity, v.exercise.id, fault)


@pytest.mark.parametrize("condition", CONDITIONS)
def test_a_worse_severity_is_never_milder(condition: str) -> None:
    ranks = [
        [
            STRICTNESS[v.kind]
            for v in verdicts(
                Client(ClientId(1), "ANA", flags=(Flag(condition, severity=severity),)),
                EVERY[::7],
                TODAY,
                CAUTIONS,
                LIBRARY,
            )
        ]
        for severity in Severity
    ]
    assert all(a <= b <= c for a, b, c in zip(*ranks, strict=True))


def test_500_random_sets_of_flags_are_judged_without_a_violation() -> None:
    rng = random.Random(5)
    kinds = set[Kind]()
    for _ in range(500):
        flags = tuple(flag_like(rng) for _ in range(rng.randint(1, 4)))
        person = Client(ClientId(1), "ANA", flags=flags)
        for v in verdicts(person, rng.sample(EVERY, 12), TODAY, CAUTIONS, LIBRARY):
            fault = judged(v, flags, TODAY)
            assert not fault, (v.exercise.id, fault, [f.condition for f in flags])
            kinds.add(v.kind)
    assert kinds >= {Kind.FINE, Kind.MODIFY, Kind.SWAP, Kind.ASK_FIRST}


def test_more_flags_never_make_a_verdict_milder() -> None:
    rng = random.Random(6)
    for _ in range(500):
        flags = tuple(flag_like(rng) for _ in range(rng.randint(1, 4)))
        fewer = Client(ClientId(1), "ANA", flags=flags[1:])
        more = Client(ClientId(1), "ANA", flags=flags)
        some = rng.sample(EVERY, 12)
        before = verdicts(fewer, some, TODAY, CAUTIONS, LIBRARY)
        after = verdicts(more, some, TODAY, CAUTIONS, LIBRARY)
        for a, b in zip(before, after, strict=True):
            assert STRICTNESS[a.kind] <= STRICTNESS[b.kind], (a.exercise.id, a.kind, b.kind)
            assert a.stop <= b.stop


@given(
    st.sampled_from([e for e in EVERY if e.demands]),
    st.frozensets(st.sampled_from(list(Demand)), max_size=12),
)
@settings(max_examples=500, deadline=None)
def test_the_change_is_the_smallest_there_is(e: Exercise, barred: frozenset[Demand]) -> None:
    sets = chain.from_iterable(
        combinations(e.modifications, n) for n in range(len(e.modifications) + 1)
    )
    good = [len(chosen) for chosen in sets if not asked_of(e, chosen) & barred]
    found = smallest_change(e, barred)
    assert (found is None) == (not good)
    if found is not None:
        assert len(found) == min(good)
        assert not asked_of(e, found) & barred


def test_the_order_of_flags_changes_nothing() -> None:
    rng = random.Random(7)
    for _ in range(100):
        flags = [flag_like(rng) for _ in range(3)]
        e = rng.choice(EVERY)
        one = verdict(Client(ClientId(1), "A", flags=tuple(flags)), e, TODAY, CAUTIONS, LIBRARY)
        flags.reverse()
        two = verdict(Client(ClientId(1), "A", flags=tuple(flags)), e, TODAY, CAUTIONS, LIBRARY)
        assert (one.kind, one.stop, one.modifications, one.swap, one.swap_change.modifications) == (
            two.kind,
            two.stop,
            two.modifications,
            two.swap,
            two.swap_change.modifications,
        )


def test_a_group_of_twelve_has_its_twenty_verdicts_in_time(
    record_property: Callable[[str, object], None],
) -> None:
    """12 people with 1-3 flags, 20 exercises: below 50 ms, the best of five."""
    rng = random.Random(8)
    people = [
        Client(ClientId(n), "A", flags=tuple(flag_like(rng) for _ in range(rng.randint(1, 3))))
        for n in range(12)
    ]
    some = rng.sample(EVERY, 20)
    taken: list[float] = []
    for _ in range(5):
        start = time.perf_counter()
        for person in people:
            verdicts(person, some, TODAY, CAUTIONS, LIBRARY)
        taken.append((time.perf_counter() - start) * 1000)
    record_property("verdicts_ms", min(taken))
    assert min(taken) < 50
