"""Published figures as values: read from TOML, compared with what the project computes."""

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent
TAGS = ("found", "from memory", "common practice, no source", "computed here")
FIELDS = {"id", "value", "unit", "source", "tag", "tolerance"}
WHERE = {"page", "where"}


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure from outside the project.

    Attributes:
        value: a number, a word, or a list or table of these.
        where: the page or place in the source.
        tag: how the figure was come by; one of TAGS.
        tolerance: the largest difference of a number, in the unit of the value.
        given: what the computation starts from.
    """

    id: str
    value: Any
    unit: str
    source: str
    where: str
    tag: str
    tolerance: float
    given: Mapping[str, Any]


Computation = Callable[[Figure], Any]


def read(entry: Mapping[str, Any]) -> Figure:
    """The figure of one TOML entry.

    Raises:
        ValueError: a field is missing, unknown or empty; the message names figure and field.
    """
    name = entry.get("id", "a figure without id")
    missing = FIELDS - set(entry)
    if missing or not WHERE & set(entry):
        lacking = sorted(missing) or ["page or where"]
        raise ValueError(f"{name}: {', '.join(lacking)} missing")
    unknown = set(entry) - FIELDS - WHERE - {"given"}
    if unknown:
        raise ValueError(f"{name}: {', '.join(sorted(unknown))} unknown")
    if entry["tag"] not in TAGS:
        raise ValueError(f"{name}: tag {entry['tag']!r} is none of {', '.join(TAGS)}")
    where = entry.get("page", entry.get("where"))
    if not all((entry["source"], where, entry["unit"])):
        raise ValueError(f"{name}: unit, source and page or where can't be empty")
    return Figure(
        entry["id"],
        entry["value"],
        entry["unit"],
        entry["source"],
        str(where),
        entry["tag"],
        float(entry["tolerance"]),
        entry.get("given", {}),
    )


def topics() -> list[Path]:
    """The files of figures, one a topic."""
    return sorted(FOLDER.glob("*.toml"))


def load(path: Path) -> list[Figure]:
    """The figures of a topic."""
    return [read(entry) for entry in tomllib.loads(path.read_text(encoding="utf-8"))["figure"]]


def agrees(value: object, computed: object, tolerance: float) -> bool:
    """Whether the two have the same shape and every number differs by the tolerance at most."""
    match value:
        case bool() | str():
            return type(value) is type(computed) and bool(value == computed)
        case int() | float():
            return (
                isinstance(computed, int | float)
                and not isinstance(computed, bool)
                and abs(value - computed) <= tolerance
            )
        case list():
            return (
                isinstance(computed, list | tuple)
                and len(value) == len(computed)
                and all(agrees(v, c, tolerance) for v, c in zip(value, computed, strict=True))
            )
        case dict():
            return (
                isinstance(computed, Mapping)
                and value.keys() == computed.keys()
                and all(agrees(value[key], computed[key], tolerance) for key in value)
            )
    return False
