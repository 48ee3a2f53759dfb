"""Forces, readings and equivalents."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.apparatus import Apparatus, SpringSetting
from core.calibration import BIG_STEP_PCT, Calibration, Reading, equivalents
from core.errors import CoreError, OverstretchError, ReadingError, SpringError
from core.load import (
    AnchoredLeg,
    Coil,
    PedalLever,
    carriage_curve,
    carriage_force_n,
    kgf_to_n,
    parallel,
    refuse_overstretch,
    series_n_per_m,
)
from core.repertoire import shipped
from tests.builders import CHAIR, MAT

REFORMER = shipped().apparatus[shipped()["reformer-footwork-toes"].apparatus]
stiffnesses = st.floats(10, 2000)
stretches = st.floats(0, 1)


def chair_readings(factor: float = 1.0, tokens: str = "1234") -> Calibration:
    """A chair whose notch n pulls 2n kg at the top and 4n kg at the bottom, times the factor."""
    return Calibration(
        CHAIR,
        tuple(Reading(t, 2 * int(t) * factor, 4 * int(t) * factor) for t in tokens),
    )


@given(stiffnesses, stretches, stretches)
def test_equal_steps_of_stretch_add_equal_steps_of_force(k: float, x: float, step: float) -> None:
    coil = Coil(k, 10)
    first, second, third = (coil.force_n(x + n * step) for n in range(3))
    assert third - second == pytest.approx(second - first, abs=1e-6)


@given(st.floats(-1, 0, exclude_max=True), stiffnesses, st.floats(0, 50))
def test_a_slack_spring_does_not_pull(stretch: float, k: float, preload: float) -> None:
    assert Coil(k, preload).force_n(stretch) == 0


@given(stiffnesses, stretches, stretches, stretches)
def test_work_adds_up_along_the_way(k: float, a: float, b: float, c: float) -> None:
    coil = Coil(k, 5)
    assert coil.work_j(a, b) + coil.work_j(b, c) == pytest.approx(coil.work_j(a, c), abs=1e-6)


@given(st.lists(stiffnesses, min_size=2, max_size=5))
def test_side_by_side_is_stiffer_and_end_to_end_softer_than_each(ks: list[float]) -> None:
    assert parallel([Coil(k) for k in ks]).stiffness_n_per_m > max(ks)
    assert series_n_per_m(ks) < min(ks)


def test_springs_side_by_side_share_the_shortest_known_length() -> None:
    both = parallel([Coil(100, 5, 0.4), Coil(200, 6), Coil(50, 0, 0.3)])
    assert both == Coil(350, 11, 0.3)
    assert parallel([]) == Coil(0)


@pytest.mark.parametrize("ks", [[], [100, 0], [-5]])
def test_end_to_end_needs_stiffness(ks: list[float]) -> None:
    with pytest.raises(ReadingError, match="stiffness above 0"):
        series_n_per_m(ks)


@pytest.mark.parametrize(
    "fault", [{"stiffness_n_per_m": -1}, {"stiffness_n_per_m": 1, "preload_n": -1}]
)
def test_a_spring_that_pushes_is_no_spring(fault: dict[str, float]) -> None:
    with pytest.raises(ReadingError, match="never pushes"):
        Coil(**fault)


def test_a_spring_at_rest_has_a_length() -> None:
    with pytest.raises(ReadingError, match="at rest"):
        Coil(100, 0, 0)


def test_stretch_is_refused_at_the_rest_length_and_not_before() -> None:
    refuse_overstretch(0.99 * 0.4, 0.4)
    Coil(100, 0, 0.4).force_n(0.99 * 0.4)
    for stretch in (0.4, 0.5):
        with pytest.raises(OverstretchError, match="hook it closer, shorten the travel"):
            Coil(100, 0, 0.4).force_n(stretch)
    assert issubclass(OverstretchError, CoreError)


levers = st.builds(
    PedalLever,
    st.floats(0.4, 0.8),
    st.floats(0.2, 0.4),
    st.floats(0.3, 0.6),
    st.floats(0.05, 0.2),
    st.floats(50, 800),
)


@given(levers, st.floats(0, 40), st.floats(0.01, 0.2))
def test_a_higher_notch_pushes_the_foot_harder(lever: PedalLever, angle: float, up: float) -> None:
    higher = PedalLever(
        lever.lever_m,
        lever.hook_m,
        lever.anchor_m + up,
        lever.rest_length_m,
        lever.stiffness_n_per_m,
    )
    assert higher.foot_force_n(angle) >= lever.foot_force_n(angle)


@given(levers, st.integers(1, 6), st.floats(0, 60))
def test_equal_springs_multiply_the_force(lever: PedalLever, n: int, angle: float) -> None:
    many = PedalLever(
        lever.lever_m,
        lever.hook_m,
        lever.anchor_m,
        lever.rest_length_m,
        lever.stiffness_n_per_m,
        n,
    )
    assert many.foot_force_n(angle) == pytest.approx(n * lever.foot_force_n(angle))


@given(levers, st.floats(0, 50), st.floats(1, 10))
def test_the_pedal_pushes_harder_the_lower_it_is(
    lever: PedalLever, angle: float, down: float
) -> None:
    assert lever.foot_force_n(angle) >= lever.foot_force_n(angle + down)


@given(st.floats(-30, 80))
def test_a_lever_whose_spring_hangs_slack_is_free(angle: float) -> None:
    assert PedalLever(0.6, 0.45, 0.3, 2.0, 400).foot_force_n(angle) == 0


def test_a_low_anchor_turns_the_torque_round_once() -> None:
    low = AnchoredLeg(0.8, 0.9, 0.3, 0.3, 200)
    signs = [t > 0 for angle in range(91) if (t := low.torque_n_m(angle))]
    assert sum(a != b for a, b in itertools.pairwise(signs)) == 1


@given(st.lists(st.builds(Coil, stiffnesses, st.floats(0, 50)), min_size=1, max_size=5))
def test_a_carriage_pulls_hardest_at_its_furthest(coils: list[Coil]) -> None:
    curve = carriage_curve(coils, 0.9)
    assert max(curve, key=lambda point: point[1]) == curve[-1]
    assert curve[-1] == (0.9, carriage_force_n(coils, 0.9))


def test_a_carriage_refuses_to_pull_a_spring_too_far() -> None:
    with pytest.raises(OverstretchError):
        carriage_force_n([Coil(100), Coil(100, 0, 0.5)], 0.5)


def test_two_readings_give_stiffness_preload_and_mean() -> None:
    reading = Reading("3", 2, 6, 0.2)
    assert reading.stiffness_n_per_m == pytest.approx(196.133)
    assert reading.preload_n == pytest.approx(19.6133)
    assert reading.mean_force_n == pytest.approx(kgf_to_n(4))
    assert reading.coil.force_n(0.2) == pytest.approx(kgf_to_n(6))


@given(st.floats(0, 40), st.floats(0.1, 40), st.floats(0.05, 1))
def test_the_mean_force_is_the_work_over_the_travel(top: float, more: float, travel: float) -> None:
    reading = Reading("3", top, top + more, travel)
    work = reading.coil.work_j(0, travel)
    assert work / travel == pytest.approx(reading.mean_force_n)


@pytest.mark.parametrize(
    ("top", "bottom", "travel"),
    [(6, 2, 0.3), (-1, 2, 0.3), (0, 0, 0.3), (50, 101, 0.3), (2, 6, 0), (2, 6, 3)],
)
def test_readings_that_cannot_be_are_refused(top: float, bottom: float, travel: float) -> None:
    with pytest.raises(ReadingError, match="can't"):
        Reading("3", top, bottom, travel)


def test_a_reading_belongs_to_a_spring_of_the_apparatus_and_stands_once() -> None:
    with pytest.raises(SpringError, match="no spring of the chair"):
        Calibration(CHAIR, (Reading("7", 2, 4),))
    with pytest.raises(ReadingError, match="read twice"):
        Calibration(CHAIR, (Reading("3", 2, 4), Reading("3", 2, 5)))


def test_springs_nobody_measured_stay_unknown() -> None:
    some = chair_readings(tokens="24")
    assert some.unknown() == ("1", "3")
    assert some.mean_force_n(CHAIR.parse("4+3")) is None
    assert some.coil(CHAIR.parse("3")) is None
    assert some.mean_force_n(CHAIR.parse("4+2")) == pytest.approx(kgf_to_n(18))
    assert some.coil(CHAIR.parse("4+2")) == parallel(
        [reading.coil for token in "42" if (reading := some.reading(token))]
    )


def test_measured_springs_are_compared_by_force() -> None:
    found = equivalents(CHAIR.parse("3"), chair_readings(), chair_readings(factor=0.5))
    assert not found.by_rank
    assert [str(each.setting) for each in found.nearest] == ["3+3", "4+2", "3+2"]
    assert [each.difference_pct for each in found.nearest] == pytest.approx([0, 0, -100 / 6])
    assert not any(each.big_step for each in found.nearest)


def test_a_big_step_is_flagged() -> None:
    only_heavy = chair_readings(factor=2, tokens="4")
    found = equivalents(CHAIR.parse("3"), chair_readings(), only_heavy)
    assert [(str(e.setting), e.big_step) for e in found.nearest] == [("4", True), ("4+4", True)]
    assert found.nearest[0].difference_pct == pytest.approx(500 / 3)


@pytest.mark.parametrize("measured", ["neither", "first", "second"])
def test_without_readings_on_both_sides_settings_are_ranked(measured: str) -> None:
    first = chair_readings(tokens="1234" if measured == "first" else "")
    second = Calibration(REFORMER, (Reading("full", 5, 15),) if measured == "second" else ())
    found = equivalents(CHAIR.parse("4+4"), first, second)
    assert found.by_rank
    assert found.nearest[0].setting.tokens == ("full", "full", "full", "half", "quarter")
    assert found.nearest[0].difference_pct == 0


def test_no_spring_has_no_equivalent() -> None:
    with pytest.raises(SpringError, match="feels like no spring"):
        equivalents(SpringSetting(), chair_readings(), chair_readings())
    with pytest.raises(SpringError, match="the mat has no springs"):
        equivalents(CHAIR.parse("3"), chair_readings(), Calibration(MAT))
    with pytest.raises(SpringError):
        equivalents(SpringSetting(("9",)), chair_readings(), chair_readings())


@given(
    st.sampled_from([CHAIR, REFORMER]),
    st.sampled_from([CHAIR, REFORMER]),
    st.lists(st.floats(1, 20), min_size=4, max_size=4),
    st.booleans(),
    st.data(),
)
def test_equivalents_are_few_sorted_and_flagged(
    a: Apparatus, b: Apparatus, kgs: list[float], measured: bool, data: st.DataObject
) -> None:
    def side(on: Apparatus) -> Calibration:
        pairs = zip(on.tokens(), kgs, strict=False)
        return Calibration(on, tuple(Reading(t, kg, 2 * kg) for t, kg in pairs if measured))

    setting = a.set([data.draw(st.sampled_from(a.tokens()))])
    found = equivalents(setting, side(a), side(b))
    off = [abs(each.difference_pct) for each in found.nearest]
    assert 1 <= len(found.nearest) <= 3
    assert off == sorted(off)
    assert found.by_rank is not measured
    assert all(each.big_step is (abs(each.difference_pct) > BIG_STEP_PCT) for each in found.nearest)
    assert all(b.set(each.setting.tokens) == each.setting for each in found.nearest)
