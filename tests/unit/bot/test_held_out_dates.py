"""Held-out date phrases: the answer is right or a question, and it comes quickly."""

import tomllib
from collections import Counter
from datetime import datetime
from itertools import islice
from pathlib import Path
from time import process_time
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from dateutil.rrule import rrulestr

from bot.when import NotADateError, WhenError, read

NOW = datetime(2026, 11, 25, 10, tzinfo=ZoneInfo("Europe/London"))
KINDS: dict[str, list[dict[str, Any]]] = tomllib.loads(
    Path(__file__).with_name("held_out_dates.toml").read_text(encoding="utf-8")
)
PHRASES = [phrase for kind in KINDS.values() for phrase in kind]
FEW = 60  # occurrences two rules are compared by
SLOW = 0.050  # seconds


def occurrences(starts: str, rule: str) -> tuple[datetime, ...]:
    """The first wall times of a repetition, however its rule is spelt; its last day counts."""
    until = rule.partition("UNTIL=")[2][:8]
    if until:
        rule = rule.replace(f"UNTIL={rule.partition('UNTIL=')[2].partition(';')[0]}", "")
    spelt = ";".join(part for part in rule.split(";") if part)
    found = islice(rrulestr(spelt, dtstart=datetime.fromisoformat(starts)), FEW)
    return tuple(each for each in found if not until or f"{each:%Y%m%d}" <= until)


def meaning(answer: str) -> object:
    """An answer of the table, to compare by."""
    starts, _, rule = answer.partition(" ")
    return occurrences(starts, rule) if rule else answer


def right(phrase: dict[str, Any]) -> list[object]:
    """What may be answered to the phrase."""
    answers = list(phrase.get("also", ()))
    answers += [phrase[key] for key in ("at", "day") if key in phrase]
    answers += [key for key in ("ask", "nodate") if phrase.get(key)]
    if "rule" in phrase:
        answers.append(f"{phrase['starts']} {phrase['rule']}")
    return [meaning(each) for each in answers]


def answered(say: str) -> object:
    """What the reader makes of it."""
    try:
        found = read(say, NOW)
    except WhenError:
        return "ask"
    except NotADateError:
        return "nodate"
    if found.rule:
        return occurrences(found.wall.isoformat(), found.rule)
    return f"{found.wall:%Y-%m-%dT%H:%M}" if found.timed else f"{found.wall:%Y-%m-%d}"


@pytest.mark.parametrize("phrase", PHRASES, ids=[phrase["say"] for phrase in PHRASES])
def test_it_is_right_or_a_question(phrase: dict[str, Any]) -> None:
    # "no date" is answered with a question too: nothing is taken for a date
    assert answered(phrase["say"]) in [*right(phrase), "ask", "nodate"]


def test_most_are_understood_and_all_quickly() -> None:
    got: Counter[str] = Counter()
    for phrase in PHRASES:
        answer, held = answered(phrase["say"]), right(phrase)
        nothing = answer in ("ask", "nodate")
        got["right" if answer in held else "asked back" if nothing else "wrong"] += 1
    took = []
    for phrase in PHRASES:
        started = process_time()
        answered(phrase["say"])
        took.append(process_time() - started)
    p95 = sorted(took)[int(len(took) * 0.95)]
    print(f"{len(PHRASES)} phrases, {dict(got)}, p95 {p95 * 1000:.2f} ms")  # noqa: T201
    assert got["wrong"] == 0
    assert p95 < SLOW
