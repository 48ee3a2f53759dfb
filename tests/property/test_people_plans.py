"""Classes planned for people with whatever flags: nobody is given what they must avoid."""

from random import Random

from core.apparatus import ApparatusId
from core.brief import ClassBrief
from core.caution import Kind
from core.client import Client, ClientId
from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.request import Request
from core.planner.search import Budget
from core.repertoire import shipped
from core.room import Room
from tests.judged import CAUTIONS, TODAY, flag_like, judged, waits

SETS = 500  # of flags, one person or more each
MINUTES, ON = (25, 30, 45, 50), ("chair", "mat", "reformer", "tower")
LITTLE = Budget(anneals=2, length=5000, last=4000)
DOES = (Kind.FINE, Kind.MODIFY, Kind.SWAP)
LEAST = 450  # of these classes can be had; the others are refused with a reason


def people(random: Random) -> tuple[Client, ...]:
    """One to three people, each with one to three flags."""
    return tuple(
        Client(ClientId(n), f"P{n}", flags=tuple(flag_like(random) for _ in range(most)))
        for n, most in enumerate(random.choices((1, 2, 3), k=random.randint(1, 3)), 1)
    )


def test_a_class_gives_nobody_what_they_must_avoid() -> None:
    random = Random(11)
    planned = 0
    for _ in range(SETS):
        on = ApparatusId(random.choice(ON))
        room = Room(people(random), TODAY, CAUTIONS, shipped(), frozenset({on}))
        brief = ClassBrief(random.choice(MINUTES), (on,))
        result = compose(Request(brief, shipped(), room=room, budget=LITTLE))
        if not isinstance(result, ClassPlan):
            assert result.findings
            continue
        planned += 1
        for step in result.steps:
            for client, verdict in zip(room.people, room.verdicts(step.exercise), strict=True):
                fault = judged(verdict, client.flags, TODAY)
                assert not fault, (step.exercise.id, fault, client.flags)
                if not waits(client.flags, TODAY):
                    assert verdict.kind in DOES, (step.exercise.id, client.flags)
                    assert verdict.swap is None or verdict.swap.apparatus == on
    assert planned >= LEAST
