"""The pace that is learned, against scipy, worked-out numbers and a few simulated instructors."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import sqrt

import numpy as np
import pytest
from scipy import integrate, stats  # type: ignore[import-untyped]

from core.exercise import ExerciseId, Position
from core.pace import (
    CLASSES,
    OVERALL,
    Z80,
    Learned,
    Piece,
    Timed,
    learned,
    learned_from,
    pieces_of,
    posterior,
    times_of,
)
from core.repertoire import shipped
from core.taught import TaughtClass, TaughtItem
from core.timing import Clock, Pace, duration_s, setup_s, timeline
from tests.bench.pace import Ways, plans, run
from tests.builders import brief, plan, record, repertoire

BEGAN = datetime(2026, 11, 2, 9, tzinfo=UTC)


def taught(
    day: int, factor: float = 1.0, *, tapped: bool = True, people: int = 4, items: int = 12
) -> TaughtClass:
    """A class of twelve places that took `factor` of what was planned, to the second."""
    made = tuple(
        TaughtItem(
            n=n,
            exercise=ExerciseId("mat-curl"),
            kinds=("on mat", "lying"),
            springs="none",
            reps=8,
            sets=1,
            change_s=20,
            work_s=180,
            took_s=round(200 * factor) if tapped else None,
        )
        for n in range(1, items + 1)
    )
    total = 120 + round(200 * items * factor)
    return TaughtClass(1, BEGAN + timedelta(days=day), people, 120, made, total)


def test_without_logs_it_is_the_default_exactly() -> None:
    assert Learned().pace == Pace()
    assert learned(()).pace == Pace()
    library = repertoire()
    made = plan(library)
    assert timeline(made.steps, made.brief, library.apparatus, learned(()).pace) == made.items


def test_the_posterior_of_one_term_is_the_normal_normal_one() -> None:
    """Against numerical integration of prior times likelihood."""
    y, spread, prior = np.array([0.2, 0.31, 0.28]), 0.15, 0.25
    mean, cov = posterior(np.ones((3, 1)), y, np.full(3, spread**2), np.array([prior]))

    def weight(b: float) -> float:
        return float(stats.norm.pdf(b, 0, prior) * np.prod(stats.norm.pdf(y, b, spread)))

    whole = integrate.quad(weight, -2, 2, points=[0.2])[0]
    first = integrate.quad(lambda b: b * weight(b), -2, 2, points=[0.2])[0] / whole
    second = integrate.quad(lambda b: b * b * weight(b), -2, 2, points=[0.2])[0] / whole
    assert mean[0] == pytest.approx(first, abs=1e-9)
    assert cov[0, 0] == pytest.approx(second - first**2, abs=1e-9)
    by_hand = y.sum() / spread**2 / (3 / spread**2 + 1 / prior**2)
    assert mean[0] == pytest.approx(by_hand, abs=1e-12)


def test_the_posterior_of_several_terms_is_the_conditional_of_the_joint_normal() -> None:
    """b and y are jointly normal; what is known of b given y follows from their covariance."""
    rng = np.random.default_rng(3)
    x, noise = rng.normal(size=(9, 4)), rng.uniform(0.01, 0.05, 9)
    prior, y = np.array([0.2, 0.1, 0.05, 0.3]), rng.normal(size=9)
    mean, cov = posterior(x, y, noise, prior)
    joint = stats.multivariate_normal(np.zeros(9), x @ np.diag(prior**2) @ x.T + np.diag(noise))
    gain = np.diag(prior**2) @ x.T @ np.linalg.inv(joint.cov)
    assert mean == pytest.approx(gain @ y, abs=1e-9)
    assert cov == pytest.approx(np.diag(prior**2) - gain @ x @ np.diag(prior**2), abs=1e-9)


def test_the_interval_is_the_middle_80_per_cent() -> None:
    assert stats.norm.ppf(0.9) == pytest.approx(Z80, abs=1e-12)


def test_much_data_is_believed_and_little_is_shrunk() -> None:
    one = learned([taught(1, 1.3, items=1)]).pace.work
    many = learned([taught(day, 1.3) for day in range(12)])
    assert 1.05 < one < 1.25
    assert many.expected(pieces_of(taught(0).items), 4, 120).seconds == pytest.approx(
        120 + 1.3 * 2400, rel=0.01
    )


def test_what_is_learned_of_a_kind_does_not_spread_to_others_in_full() -> None:
    slow = Piece(180, False, ("standing",))
    quick = Piece(180, False, ("lying",))
    times = [
        Timed((piece,), piece.seconds * factor, day=day)
        for day in range(10)
        for piece, factor in ((slow, 1.15), (quick, 0.95))
    ]
    known = dict(learned_from(times).pace.kinds)
    assert known["standing"] > 1.05
    assert known["lying"] < 0.97
    unknown = learned_from(times).expected([Piece(1000, False, ("on the hands",))], 4, 0)
    assert unknown.seconds == pytest.approx(1000 * sqrt(1.15 * 0.95), rel=0.03)


def test_an_interruption_is_set_aside() -> None:
    quiet = [taught(day, 1.1) for day in range(3)]
    first = quiet[0].items[0]
    broken = replace(quiet[0], items=(replace(first, took_s=700), *quiet[0].items[1:]))
    calm, upset = learned(quiet), learned([broken, *quiet[1:]])
    assert upset.set_aside == 1
    assert calm.set_aside == 0
    assert upset.pace.work == pytest.approx(calm.pace.work, rel=0.003)


def test_a_bigger_group_moves_the_term_for_people() -> None:
    rooms = [taught(day, 1.0 + 0.02 * (people - 4), people=people)
             for day, people in enumerate((1, 2, 4, 8, 10, 12) * 4)]  # fmt: skip
    pace = learned(rooms).pace
    assert pace.change_person > 1
    assert pace.work_person > 1


def test_classes_nobody_tapped_in_count_as_a_whole() -> None:
    whole = [taught(day, 1.2, tapped=False) for day in range(6)]
    assert [len(each.pieces) for each in times_of(whole[:1])] == [24]
    assert learned(whole).pace.work == pytest.approx(1.2, rel=0.02)


def test_what_was_skipped_teaches_nothing() -> None:
    made = taught(1, 1.0)
    items = (replace(made.items[0], skipped=True, took_s=None), *made.items[1:])
    assert len(times_of([replace(made, items=items)])) == 11
    assert replace(made, items=items).planned_s == 120 + 2400 - 200


def test_an_interval_comes_with_the_third_class_and_narrows() -> None:
    pieces = pieces_of(taught(0).items)
    early = learned([taught(day) for day in range(CLASSES - 1)]).expected(pieces, 4, 120)
    third = learned([taught(day) for day in range(CLASSES)]).expected(pieces, 4, 120)
    late = learned([taught(day) for day in range(30)]).expected(pieces, 4, 120)
    assert early.low is None
    assert early.high is None
    assert third.low is not None
    assert third.high is not None
    assert late.low is not None
    assert late.high is not None
    assert third.low < 2520 < third.high
    assert late.high - late.low < third.high - third.low


def test_what_is_learned_is_bounded() -> None:
    fast, slow = (learned([taught(day, f) for day in range(20)]).pace for f in (0.3, 3.0))
    assert fast.work == 0.70
    assert slow.work == 1.60
    assert all(0.92 <= factor <= 1.09 for _, factor in fast.kinds + slow.kinds)


def test_no_pace_makes_the_clock_doubt_a_side() -> None:
    """The rule that counts sides allows 0.49 of the plain time, and 0.7 of the usual of a class."""
    least = 0.70 * 0.92 * 0.92 * 0.92 * 0.99**8
    assert least > 0.49
    assert (0.92 / 1.09) ** 2 > 0.7


def test_the_clock_takes_the_factors_of_a_kind() -> None:
    e = repertoire(record("mat-press", sides=2, tempo={"seconds": 4}, setup_s=10))["mat-press"]
    kinds = (("on mat", 1.1), ("standing", 2.0))
    clock = Clock(1.0, 1.0, 1.0, kinds)
    assert setup_s(e, clock) == 11
    assert duration_s(e, 8, 1, clock) == 76  # 1.1 × (64 + 5)
    upright = replace(e, position=Position.STANDING)
    assert setup_s(upright, clock) == 22
    own = Clock.of(replace(brief(), people=6), Pace(1.2, 1.0, (), 1.01, 1.02))
    assert own.own == pytest.approx(1.2 * 1.01**2)
    assert own.change == pytest.approx((1 + 0.03 * 5) * 1.02**2)


def test_the_same_times_teach_the_same() -> None:
    times = times_of([taught(day, 1.1) for day in range(5)])
    assert learned_from(times).pace == learned_from(list(times)).pace


def test_only_the_latest_classes_count() -> None:
    old = [taught(day, 1.5) for day in range(40)]
    new = [taught(40 + day, 0.9) for day in range(40)]
    assert learned(old + new).pace == learned(new).pace


def test_a_prior_is_as_wide_as_it_says() -> None:
    none = Learned()
    assert float(none.cov[0, 0]) == pytest.approx(OVERALL**2)
    wide = none.expected([Piece(1000, False)], 4, 0)
    assert (wide.seconds, wide.low) == (1000, None)


def test_simulated_instructors_are_met() -> None:
    """A short form of tests/bench/pace.py, with room for chance."""
    library = shipped()
    found = run(120, Ways(), library, plans(6, library))
    assert found.off < 0.04
    assert found.centre < 0.03
    assert found.untaught > 2 * found.off
    assert 0.72 <= found.covered <= 0.92
