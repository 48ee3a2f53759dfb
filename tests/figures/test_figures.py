"""Every figure is computed and every computation has its figure: a topic is a .toml and a .py."""

from collections import Counter
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from tests.figures.figure import Computation, Figure, agrees, load, read, topics

WHOLE: dict[str, Any] = {
    "id": "x",
    "value": 1,
    "unit": "N",
    "source": "a book",
    "page": 3,
    "tag": "found",
    "tolerance": 0,
}


def computations(path: Path) -> dict[str, Computation]:
    """What is computed for the figures of this topic."""
    computed: dict[str, Computation] = import_module(f"tests.figures.{path.stem}").COMPUTED
    return computed


CASES = [
    pytest.param(figure, computations(path).get(figure.id), id=figure.id)
    for path in topics()
    for figure in load(path)
]


@pytest.mark.parametrize(("figure", "compute"), CASES)
def test_the_figure_is_reached(figure: Figure, compute: Computation | None) -> None:
    assert compute, f"{figure.id}: nothing computes this figure"
    computed = compute(figure)
    assert agrees(figure.value, computed, figure.tolerance), (
        f"{figure.id}: want {figure.value!r} ± {figure.tolerance} {figure.unit}, got {computed!r}"
    )


@pytest.mark.parametrize("path", topics(), ids=lambda path: path.stem)
def test_every_computation_has_a_figure(path: Path) -> None:
    assert set(computations(path)) - {figure.id for figure in load(path)} == set()


def test_no_figure_stands_twice() -> None:
    ids = Counter(figure.id for path in topics() for figure in load(path))
    assert [each for each, count in ids.items() if count > 1] == []


@pytest.mark.parametrize("field", [key for key in WHOLE if key != "id"])
def test_an_entry_that_lacks_a_field_is_refused(field: str) -> None:
    assert read(WHOLE).where == "3"
    with pytest.raises(ValueError, match=r"x: .* missing"):
        read({key: value for key, value in WHOLE.items() if key != field})


@pytest.mark.parametrize(
    ("change", "sentence"),
    [({"tag": "hearsay"}, "tag"), ({"source": ""}, "empty"), ({"colour": "red"}, "colour unknown")],
)
def test_an_entry_that_says_something_odd_is_refused(change: dict[str, str], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        read(WHOLE | change)


@pytest.mark.parametrize(
    ("value", "computed", "same"),
    [
        (1, 1.5, True),
        (1, 1.6, False),
        (1, True, False),
        (1, "1", False),
        (True, True, True),
        (True, 1, False),
        ("a", "a", True),
        ("a", "b", False),
        ([1, 2], [1.4, 2], True),
        ([1, 2], [1], False),
        ({"a": [1]}, {"a": [1.2]}, True),
        ({"a": 1}, {"b": 1}, False),
        ({"a": 1}, [1], False),
        (None, None, False),
    ],
)
def test_values_agree_by_shape_and_tolerance(value: object, computed: object, same: bool) -> None:
    assert agrees(value, computed, 0.5) is same
