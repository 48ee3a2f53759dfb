"""Whatever is asked, the answer is a sound plan or a reason; the usual slots always have a plan."""

import json
import os
import subprocess
import sys
from random import Random

import pytest

from core.aims import BARS
from core.brief import ClassBrief
from core.codec import plan_to_json
from core.plan import ClassPlan, Weight
from core.planner.compose import compose
from core.planner.request import NoPlan, Request
from core.planner.search import Budget
from core.repertoire import shipped
from tests.briefs import any_brief, faults
from tests.composed import QUICK, asked

LITTLE = Budget(anneals=1, length=5000, last=2000)
LIBRARY = shipped()


@pytest.mark.parametrize("seed", range(40))
def test_any_brief_has_a_sound_answer(seed: int) -> None:
    brief = any_brief(Random(seed))
    assert faults(compose(Request(brief, LIBRARY, budget=LITTLE)), LIBRARY) == [], brief


@pytest.mark.parametrize("minutes", range(20, 91, 5))
@pytest.mark.parametrize("apparatus", [("chair",), ("mat",), ("chair", "mat")])
def test_every_usual_slot_has_a_plan(minutes: int, apparatus: tuple[str, ...]) -> None:
    made = compose(Request(asked(minutes, apparatus), LIBRARY, budget=LITTLE))
    assert isinstance(made, ClassPlan), made
    assert faults(made, LIBRARY) == []


def test_wishes_that_contradict_each_other_are_named_before_any_search() -> None:
    for brief, rule in (
        (asked(45, ("mat",), must=("chair-pike",)), "must-apparatus"),
        (asked(45, ("chair",), must=("chair-pike",), without=("wrists",)), "must-barred"),
        (asked(45, ("mat",), must=("mat-swan-prep", "mat-swan")), "must-twice"),
        (ClassBrief(45, asked(45, ("barrel",)).apparatus, without=BARS), "pool-empty"),
        (asked(120, ("barrel",)), "too-little"),
    ):
        answer = compose(Request(brief, LIBRARY, budget=Budget(0, 0, 0)))
        assert isinstance(answer, NoPlan)
        assert answer.proven
        assert rule in {f.rule for f in answer.findings}
        assert all(f.weight is Weight.FAULT for f in answer.findings)


def test_the_same_request_gives_the_same_plan_and_another_turn_another_one() -> None:
    request = Request(asked(45, ("chair",)), LIBRARY, budget=QUICK)
    first, again = compose(request), compose(request)
    assert first == again
    other = compose(Request(request.brief, LIBRARY, turn=1, budget=QUICK))
    assert isinstance(first, ClassPlan)
    assert isinstance(other, ClassPlan)
    assert first.steps != other.steps


def test_what_they_had_last_time_is_varied() -> None:
    request = Request(asked(45, ("mat",)), LIBRARY, budget=QUICK)
    last = compose(request)
    assert isinstance(last, ClassPlan)
    had = frozenset(step.exercise.id for step in last.steps)
    new = compose(Request(request.brief, LIBRARY, recent=had, budget=QUICK))
    assert isinstance(new, ClassPlan)
    kept = had & {step.exercise.id for step in new.steps}
    assert len(kept) < len(had) * 0.7


SCRIPT = """
import json
from core.codec import plan_to_json
from core.planner.compose import compose
from core.planner.request import Request
from core.repertoire import shipped
from tests.composed import QUICK, asked
plan = compose(Request(asked(30, ("chair", "mat"), focus=("back",)), shipped(), budget=QUICK))
print(json.dumps(plan_to_json(plan, shipped())))
"""


@pytest.mark.parametrize("hashing", ["1", "2"])
def test_another_process_makes_the_same_plan(hashing: str) -> None:
    here = compose(Request(asked(30, ("chair", "mat"), focus=("back",)), LIBRARY, budget=QUICK))
    assert isinstance(here, ClassPlan)
    there = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        env=os.environ | {"PYTHONHASHSEED": hashing},
        capture_output=True,
        check=True,
        text=True,
    )
    assert json.loads(there.stdout) == plan_to_json(here, LIBRARY)
