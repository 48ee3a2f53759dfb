"""Typed names find their exercise; ordinary words never become one unasked."""

import sys
import time
import tomllib
from itertools import chain
from pathlib import Path
from random import Random

import pytest

from core.apparatus import ApparatusId
from core.fold import fold
from core.names import SHOWN, NameIndex, index_of
from core.repertoire import shipped
from tests.builders import record, repertoire

TYPED = tomllib.loads((Path(__file__).parent / "typed_names.toml").read_text(encoding="utf-8"))
DIGITS = " 0123456789"
KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
INDEX = index_of(shipped())
APPARATUS = tuple(shipped().apparatus)
P95_MS = 50  # on a machine busy with other things; on an idle one it is a tenth of that


def forms(kind: str) -> list[tuple[str, str]]:
    """What is typed, and the exercise it means."""
    return [(typed, wanted) for wanted, every in TYPED[kind].items() for typed in every]


def missed(kind: str) -> list[str]:
    """Forms whose exercise is not among the first, or not the only one with the best score."""
    found = []
    for typed, wanted in forms(kind):
        matches = INDEX.find(typed).matches
        if not matches or matches[0].exercise.id != wanted:
            found.append(f"{typed!r} -> {matches[0].exercise.id if matches else None}")
    return found


def near(key: str) -> str:
    """The letters around a letter on the keyboard."""
    row = next(k for k, keys in enumerate(KEYS) if key in keys)
    at = KEYS[row].index(key)
    around = chain.from_iterable(
        k[max(0, at - 1) : at + 2] for k in KEYS[max(0, row - 1) : row + 2]
    )
    return "".join(sorted(set(around) - {key}))


def mistyped(name: str, random: Random) -> str:
    """The name with one letter wrong, left out, doubled, slipped in or swapped with the next."""
    at = random.choice([k for k, c in enumerate(name) if c.isascii() and c.isalpha()])
    key, rest = name[at], name[at + 1 :]
    slip = random.choice(near(key))
    swapped = rest[:1] + key + rest[1:]
    middle = random.choice((slip + rest, rest, key + key + rest, key + slip + rest, swapped))
    return name[:at] + middle


def test_there_are_enough_typed_forms() -> None:
    assert len(forms("typos")) >= 100
    assert len(forms("abbreviations")) >= 60
    assert sum(len(forms(kind)) for kind in TYPED if kind != "ordinary") >= 220
    assert len(TYPED["ordinary"]) >= 60


def test_every_expected_exercise_exists() -> None:
    for kind in ("typos", "abbreviations", "joined", "beside"):
        assert set(TYPED[kind]) <= set(shipped().exercises)


@pytest.mark.parametrize(
    ("kind", "least"), [("typos", 0.97), ("abbreviations", 0.9), ("joined", 0.97), ("beside", 0.97)]
)
def test_what_is_typed_finds_its_exercise_first(kind: str, least: float) -> None:
    wrong = missed(kind)
    assert 1 - len(wrong) / len(forms(kind)) >= least, wrong


@pytest.mark.parametrize("kind", ["typos", "joined", "beside"])
def test_nothing_is_taken_for_another_exercise_unasked(kind: str) -> None:
    for typed, wanted in forms(kind):
        sure = INDEX.find(typed).sure
        assert sure is None or sure.id == wanted, typed


def test_any_name_with_one_slip_finds_its_exercise() -> None:
    random = Random(3)
    owners: dict[str, set[str]] = {}
    for e in shipped().exercises.values():
        for name in (e.name, e.short, *e.aliases):
            owners.setdefault(fold(name), set()).add(e.id)
    known = sorted(
        (n, min(o)) for n, o in owners.items() if len(o) == 1 and len(n) > 4 and n.strip(DIGITS)
    )
    first = unasked = 0
    tries = random.sample(known, 400)
    for name, wanted in tries:
        found = INDEX.find(mistyped(name, random))
        first += bool(found.matches) and found.matches[0].exercise.id == wanted
        unasked += found.sure is not None and found.sure.id != wanted
    assert first / len(tries) >= 0.97
    assert unasked <= 2  # one slip can spell another exercise


@pytest.mark.parametrize("word", TYPED["ordinary"])
def test_ordinary_words_are_never_taken_for_an_exercise(word: str) -> None:
    for use in ((), *((name,) for name in APPARATUS), APPARATUS):
        assert INDEX.find(word, use).sure is None, use


def test_a_name_is_found_quickly() -> None:
    took = []
    for typed in [*TYPED["ordinary"], *(t for t, _ in forms("abbreviations"))]:
        began = time.perf_counter()
        INDEX.find(typed, APPARATUS[:1])
        took.append(1000 * (time.perf_counter() - began))
    took.sort()
    p95 = took[len(took) * 95 // 100]
    sys.stdout.write(f"look-up p50 {took[len(took) // 2]:.1f} ms, p95 {p95:.1f} ms\n")
    assert p95 < P95_MS


def test_a_name_or_an_alias_is_the_exercise_itself() -> None:
    random = Random(9)
    for e in shipped().exercises.values():
        for name in (e.name, *random.sample(e.aliases, min(1, len(e.aliases)))):
            found = INDEX.find(name)
            assert e.id in [m.exercise.id for m in found.matches if m.score == 100], name
            assert found.sure in (None, e), name


def test_a_name_of_several_apparatus_asks_unless_one_is_in_use() -> None:
    found = INDEX.find("mermaid")
    assert found.sure is None
    assert len({m.exercise.apparatus for m in found.matches}) > 1
    for name in ("chair", "mat", "reformer", "tower"):
        sure = INDEX.find("mermaid", [ApparatusId(name)]).sure
        assert sure is not None
        assert sure.id == f"{name}-mermaid"


@pytest.mark.parametrize("typed", ["mermaid chair", "chair mermaid", "mermaid on a Chair!"])
def test_an_apparatus_beside_the_name_narrows_it(typed: str) -> None:
    sure = INDEX.find(typed, [ApparatusId("mat")]).sure
    assert sure is not None
    assert sure.id == "chair-mermaid"


def test_candidates_come_best_first_and_are_few() -> None:
    for typed, _ in forms("typos"):
        scores = [m.score for m in INDEX.find(typed).matches]
        assert len(scores) <= SHOWN
        assert scores == sorted(scores, reverse=True)
        assert all(60 <= score <= 100 for score in scores)


@pytest.mark.parametrize("typed", ["", "  ", "?!", "xq", "😀", "zzzzzzzz"])
def test_nonsense_finds_nothing(typed: str) -> None:
    assert INDEX.find(typed).matches == ()


def test_an_own_exercise_is_found_by_its_names() -> None:
    index = NameIndex(repertoire(record("mat-lantern", name="Lantern", aliases=["the lamp"])))
    for typed in ("lantern", "Lamp, the", "lanterns"):
        sure = index.find(typed).sure
        assert sure is not None
        assert sure.id == "mat-lantern"
