"""What is for tests only is never loaded while classes are planned."""

import os
import subprocess
import sys

PLAN = """
import sys
from core.apparatus import ApparatusId
from core.brief import ClassBrief
from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.request import Request
from core.planner.search import Budget
from core.repertoire import shipped

brief = ClassBrief(45, (ApparatusId("chair"), ApparatusId("mat")))
plan = compose(Request(brief, shipped(), budget=Budget(1, 5000, 1000)))
assert isinstance(plan, ClassPlan), plan
import bot.main
print(*sorted(name for name in ("ortools", "pandas", "scipy", "numba") if name in sys.modules))
print([item.step.exercise.id for item in plan.items], plan.search)
"""


def run(seed: str) -> list[str]:
    """The lines that a process of its own prints; `seed` shuffles its hashes."""
    asked = [sys.executable, "-c", PLAN]
    known = {**os.environ, "PYTHONHASHSEED": seed}
    done = subprocess.run(asked, capture_output=True, check=True, text=True, env=known)
    return done.stdout.splitlines()


def test_planning_loads_no_solver_and_does_not_depend_on_the_process() -> None:
    loaded, plan = run("1")
    assert loaded == ""
    assert run("2") == [loaded, plan]
