"""The same request gives the same plan and the same edits in every process."""

import os
import subprocess
import sys

import pytest

SCRIPT = """
import hashlib, json, sys
from core.codec import plan_to_json
from core.edit import apply
from core.planner.compose import compose
from core.planner.relax import ways_out
from core.planner.request import Request
from core.repertoire import shipped
from core.series import weeks
from core.wish import Drop, Fit, Late, Swap
from tests.composed import QUICK, asked

library = shipped()

def show(name, plan):
    form = json.dumps(plan_to_json(plan, library, 1), sort_keys=True, default=str)
    print(name, hashlib.sha256(form.encode()).hexdigest())

for kinds in (("chair",), ("mat", "chair")):
    request = Request(asked(45, kinds, focus=("legs", "core"), without=("wrists",)), library,
                      budget=QUICK)
    plan = compose(request)
    show(kinds, plan)
    for edits in ([Drop(5)], [Swap(7)], [Swap(3), Drop(9)], [Late(10)], [Fit(55)]):
        result = apply(edits, plan, Request(plan.brief, library, budget=QUICK))
        show(edits, result)
request = Request(asked(45, ("chair",), must=("chair-pike",), without=("wrists",)), library,
                  budget=QUICK)
print([way.given_up for way in ways_out(request)])
for plan in weeks(Request(asked(30, ("mat",)), library, budget=QUICK), 3):
    show("week", plan)
"""


def run(seed: str) -> str:
    """What the script prints in a process with this hash seed."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", SCRIPT],
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


@pytest.fixture(scope="module")
def first() -> str:
    """What one process makes of the requests."""
    return run("1")


def test_another_process_makes_the_same(first: str) -> None:
    assert len(first.splitlines()) == 16
    assert run("271828") == first


def test_the_plans_differ_from_one_another(first: str) -> None:
    plans = [line.split()[-1] for line in first.splitlines() if "[" not in line.split()[-1]]
    assert len(set(plans)) >= 14
