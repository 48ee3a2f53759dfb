"""Taste: bounded, even, and nothing without edits."""

from core.exercise import ExerciseId
from core.planner.compose import compose
from core.planner.request import Request
from core.planner.search import Budget
from core.taste import MOST, WEIGHT, Act, Taste
from tests.builders import brief, repertoire

CURL, SWAN = ExerciseId("mat-curl"), ExerciseId("mat-swan")


def test_without_edits_nothing_has_points() -> None:
    assert Taste().points(CURL) == 0
    assert Taste().all_points() == {}
    assert Request(brief(), repertoire()).taste == Taste()


def test_each_edit_moves_its_exercise_alone() -> None:
    taste = Taste().after(Act.ADDED, CURL).after(Act.SWAPPED, SWAN)
    assert taste.points(CURL) == WEIGHT[Act.ADDED]
    assert taste.points(SWAN) == WEIGHT[Act.SWAPPED]
    assert list(taste.all_points()) == [CURL, SWAN]


def test_points_are_bounded() -> None:
    liked = disliked = Taste()
    for _ in range(30):
        liked, disliked = liked.after(Act.KEPT, CURL), disliked.after(Act.DROPPED, CURL)
    assert liked.points(CURL) == MOST
    assert disliked.points(CURL) == -MOST


def test_the_order_of_edits_does_not_matter() -> None:
    one = Taste().after(Act.ADDED, CURL).after(Act.KEPT, SWAN)
    other = Taste().after(Act.KEPT, SWAN).after(Act.ADDED, CURL)
    assert one == other


def test_no_taste_makes_an_impossible_class_possible() -> None:
    taste = Taste.of({CURL: {Act.ADDED: 9}})
    asked = Request(brief(), repertoire(), budget=Budget(anneals=1, length=200, last=100))
    plain = compose(asked)
    liked = compose(Request(brief(), repertoire(), budget=asked.budget, taste=taste))
    assert type(liked) is type(plain)
