"""The whole grid of exercises, conditions and severities, and random sets of flags.

`asked_of` and `judged` read the values themselves and share no code with `core.caution`.
"""

import random
import time
from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from itertools import chain, combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.caution import STRICTNESS, Kind, Verdict, verdict, verdicts
from core.caution_change import smallest_change
from core.caution_record import shipped_cautions
from core.caution_rule import Action, Rule
from core.client import Client, ClientId, Flag, Severity
from core.exercise import Demand, Exercise, Modification
from core.repertoire import shipped

CAUTIONS = shipped_cautions()
LIBRARY = shipped()
EVERY = tuple(LIBRARY.exercises.values())
TODAY = date(2027, 3, 1)
CONDITIONS = tuple(CAUTIONS.conditions)
MIND = {Action.AVOID, Action.ASK, Action.MODIFY}


def rules_of(flag: Flag, today: date) -> list[Rule]:
    """The rules that hold, found by reading each one of them again."""
    condition = flag.condition if flag.condition in CAUTIONS.conditions else "unknown"
    described = CAUTIONS.conditions[condition]
    days = None
    if described.timed.value == "pregnancy" and flag.due:
        days = 280 - (flag.due - today).days
    if described.timed.value == "after" and flag.event and flag.event <= today:
        days = (today - flag.event).days
    named = {d.group for d in described.details if d.group and d.id in flag.details}
    found: list[Rule] = []
    for rule in CAUTIONS.rules.values():
        if rule.condition != condition or flag.severity not in rule.severities:
            continue
        groups = {d.group for d in described.details if d.id in rule.details and d.group}
        if rule.details and not rule.details & set(flag.details) and not groups - named:
            continue
        low, high = rule.first_day, rule.end_day
        early = days is not None and low is not None and days < low
        late = days is not None and high is not None and days >= high
        if not early and not late:
            found.append(rule)
    return found


def asked_of(e: Exercise, changes: Iterable[Modification]) -> set[Demand]:
    """What an exercise asks after these changes: what one adds stays, whatever another removes."""
    left, added = set(e.demands), set[Demand]()
    for change in changes:
        left -= change.removes
        added |= change.adds
    return left | added


def judged(v: Verdict, flags: Sequence[Flag], today: date) -> str:
    """What is wrong with a verdict, or nothing."""
    held = [(rule, flag) for flag in flags for rule in rules_of(flag, today)]
    minded = {d for rule, _ in held if rule.action in MIND for d in rule.demands}
    avoided = {
        d
        for rule, flag in held
        if rule.action is Action.AVOID or (rule.action is Action.ASK and flag.answered is None)
        for d in rule.demands
    }
    everything = [
        rule
        for rule, flag in held
        if not (rule.demands or rule.positions or rule.themes or rule.muscles or rule.from_effort)
        and (rule.action is Action.STOP or (rule.action is Action.ASK and flag.answered is None))
    ]
    if everything and v.kind is not Kind.ASK_FIRST:
        return f"{everything[0].id} holds everything back, verdict is {v.kind}"
    if any(rule.action is Action.STOP for rule in everything) != v.stop:
        return "stop is wrong"
    if v.kind in (Kind.FINE, Kind.MODIFY):
        left = asked_of(v.exercise, v.modifications) & minded
        if left:
            return f"{v.kind} with {left}"
    if v.kind is Kind.MODIFY and not v.change:
        return "modify without a change"
    if v.kind is Kind.SWAP and v.swap is None:
        return "swap without a swap"
    if v.swap:
        if v.swap.demands & avoided or asked_of(v.swap, v.swap_change.modifications) & minded:
            return "the swap asks for what is minded"
        if v.swap.themes and not (
            v.exercise.themes[0] in v.swap.themes or v.exercise.primary is v.swap.primary
        ):
            return "the swap loses the aim"
    if (v.kind is Kind.FINE) == bool(v.reasons):
        return "reasons do not fit the verdict"
    return ""


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


def flag_like(rng: random.Random) -> Flag:
    """A flag with a random condition, severity, details and time."""
    condition = CAUTIONS.conditions[rng.choice(CONDITIONS)]
    timed = condition.timed.value
    details = [d.id for d in condition.details if rng.random() < 0.1]
    return Flag(
        condition.id,
        severity=rng.choice(list(Severity)),
        due=TODAY + timedelta(days=rng.randint(-10, 270)) if timed == "pregnancy" else None,
        event=TODAY - timedelta(days=rng.randint(0, 300))
        if timed == "after" and rng.random() < 0.7
        else None,
        details=tuple(details),
        **({"answered": TODAY, "answered_by": "gp"} if rng.random() < 0.5 else {}),  # type: ignore[arg-type] # both or none
    )


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
