"""Each rule of a whole sequence, broken once."""

from random import Random

import pytest

from core.planner.problem import BROKEN, Node
from core.planner.structure import ABSENT, BLUNT, broken
from tests.problems import flaws, node, problem, tiny


def points(*nodes: Node, **changes: object) -> int:
    """Points of what a sequence breaks."""
    return broken(problem(nodes, **changes), nodes)


def test_a_plain_sequence_breaks_nothing() -> None:
    assert points(node(0), node(1), node(2)) == 0
    assert points() == 0


def test_two_of_a_family_break_a_rule_unless_they_are_a_series() -> None:
    assert points(node(0, family=7), node(1, family=7)) == BROKEN
    assert points(node(0, family=7, series=1), node(1, family=7, series=2)) == BROKEN
    assert points(node(0, family=7, series=1), node(1, family=7, series=1, place=1)) == 0


def test_a_series_that_is_left_may_not_be_gone_on_with() -> None:
    first, second = node(0, series=1), node(2, series=1, place=1)
    assert points(first, second, node(1)) == 0
    assert points(first, node(1), second) == BROKEN


def test_a_preparation_comes_first() -> None:
    giver, taker = node(0, gives=0b01), node(1, needs=0b01)
    assert points(giver, taker) == 0
    assert points(taker, giver) == BROKEN
    assert points(taker) == BROKEN
    assert points(node(2, gives=0b10), node(1, needs=0b11)) == 0


def test_nothing_prepares_itself() -> None:
    assert points(node(0, gives=1, needs=1)) == BROKEN


def test_a_run_has_its_limit() -> None:
    run = [node(item, run=5) for item in range(4)]
    assert points(*run[:3]) == 0
    assert points(*run) == BROKEN
    assert points(*run, node(9, run=5)) == 2 * BROKEN
    assert points(*run[:2], node(9), *run[2:]) == 0


def test_tracks_change_only_so_often() -> None:
    there, back = [node(0), node(1, track=1)], [node(2)]
    assert points(*there, *back, track_changes=2) == 0
    assert points(*there, *back, track_changes=1) == BROKEN
    assert points(*there, *back, track_changes=0) == 2 * BROKEN


def test_the_last_node_before_the_summit_has_the_highest_peak() -> None:
    low, high = node(0, peak=3), node(1, peak=6)
    assert points(low, high, node(2, 1, peak=6), summit=0) == 0
    assert points(high, low, summit=0) == 3 * BLUNT
    assert points(low, node(2, 1, peak=5), summit=0) == 2 * BLUNT


def test_what_is_required_is_there() -> None:
    assert points(node(0), required=frozenset({0})) == 0
    assert points(node(0), required=frozenset({1, 2})) == 2 * ABSENT


@pytest.mark.parametrize("seed", range(20))
def test_any_sequence_costs_what_a_slow_count_says(seed: int) -> None:
    random = Random(seed)
    p = tiny(random)
    for _ in range(50):
        order = sorted(random.sample(range(len(p.nodes)), random.randint(0, len(p.nodes))))
        order.sort(key=lambda k: (p.nodes[k].stage, random.random()))
        nodes = [p.nodes[k] for k in order]
        assert broken(p, nodes) == flaws(p, nodes)
