"""Run sheets for tests: of a small library of their own, and of the shipped one at full size."""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from functools import lru_cache
from typing import Any

from bot.wording.sheets import sheet_form
from core.apparatus import ApparatusId
from core.brief import ClassBrief
from core.caution import advice, verdicts
from core.caution_record import shipped_cautions
from core.client import Client, ClientId, Flag, Side
from core.exercise import Exercise, ExerciseId, Level, Phase
from core.plan import ClassPlan, Search, Step
from core.repertoire import Repertoire, build, shipped
from core.sheet import Minding, RunSheet, run_sheet
from core.timing import Pace, closing_s, opening_s, timeline
from tests import builders

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 10, tzinfo=UTC)
EVENING = datetime.fromisoformat("2026-12-01T18:00")  # a wall-clock time, as a brief has it
SPREAD = (Phase.WARM_UP, Phase.FOUNDATION, Phase.PEAK, Phase.COOL_DOWN)
FOLK = (
    ("ANA", "wrist", "3"),
    ("BO", "", ""),
    ("CLEO", "knee", "2"),
    ("DI", "low-back", ""),
    ("EVA", "shoulder", ""),
    ("Federica", "osteoporosis", "2"),
    ("GUS", "", "4"),
    ("Hana-Lucía", "neck", ""),
)


def plan_of(exercises: Sequence[Exercise], brief: ClassBrief, library: Repertoire) -> ClassPlan:
    """These exercises in this order, as they usually are, spread over the four parts."""
    steps = []
    for k, e in enumerate(exercises):
        share = (k + 0.5) / len(exercises)
        phase = SPREAD[0 if share < 0.15 else 1 if share < 0.45 else 2 if share < 0.88 else 3]
        springs = e.springs.usual if e.springs else builders.CHAIR.parse("none")
        steps.append(Step(e, phase, springs, e.reps.usual))
    return ClassPlan(
        brief=brief,
        items=timeline(steps, brief, library.apparatus, Pace()),
        opening_s=opening_s(brief),
        closing_s=closing_s(brief),
        findings=(),
        search=Search(seed=7, iterations=1, objective=0, elapsed_ms=0),
    )


def folk(many: int) -> tuple[Client, ...]:
    """Invented people, some with something to mind."""
    return tuple(
        Client(
            ClientId(n),
            name,
            springs=((ApparatusId("chair"), springs),) if springs else (),
            flags=(Flag(flag, Side.LEFT),) if flag else (),
        )
        for n, (name, flag, springs) in enumerate(FOLK[:many], 1)
    )


def minding(people: Sequence[Client], plan: ClassPlan, library: Repertoire) -> list[Minding]:
    """What each does at each place."""
    cautions, taught = shipped_cautions(), [item.step.exercise for item in plan.items]
    return [
        Minding(
            each,
            verdicts(each, taught, TODAY, cautions, library),
            advice(each, TODAY, cautions),
        )
        for each in people
    ]


@lru_cache
def big_sheet(many: int, people: int, minutes: int = 50) -> RunSheet:
    """A sheet of so many shipped exercises on the chair, no two of one family, for these people."""
    library = shipped()
    brief = ClassBrief(
        minutes,
        (ApparatusId("chair"),),
        people=max(1, people),
        group="dawn",
        starts=EVENING,
    )
    families: dict[str, Exercise] = {}
    for e in library.by_apparatus[ApparatusId("chair")]:
        if e.level <= Level.INTERMEDIATE:
            families.setdefault(e.family, e)
    found = list(families.values())[:many]
    assert len(found) == many
    plan = plan_of(found, brief, library)
    return run_sheet(plan, library, minding(folk(people), plan, library))


def big_form(many: int, people: int, minutes: int = 50) -> dict[str, Any]:
    """The same as values for a template."""
    return sheet_form(big_sheet(many, people, minutes), shipped())


def small_library() -> Repertoire:
    """Six exercises on chair and mat that stay as they are whatever ships."""

    def sprung(name: str, usual: str, load: str = "resist", **more: object) -> dict[str, Any]:
        return builders.record(
            name,
            apparatus="chair",
            load=load,
            springs={"usual": usual, "easier": "2", "harder": "4", "limit": "4+4"}
            if load == "resist"
            else {"usual": usual, "easier": "4", "harder": "2", "limit": "4+4"},
            **more,
        )

    return build(
        [
            builders.record("mat-curl", harder="mat-bridge", no_harder="", props=["ball"]),
            builders.record("mat-bridge", directions=["extension"], effort=4),
            sprung("chair-press", "3", position="seated on the apparatus", sides=2,
                   rig={"pedal": "joined"}, effort=5),
            sprung("chair-step", "3", position="standing", effort=6, rig={"pedal": "split"},
                   cues=["Push the floor away.", "Grow tall at the top."]),
            sprung("chair-pike", "4", "assist", position="standing on the apparatus", effort=8,
                   rig={"pedal": "joined"}),
            builders.record("mat-rest", effort=1, position="side-lying", sides=2),
        ],
        (builders.CHAIR, builders.MAT),
        {},
    )  # fmt: skip


def small_plan() -> ClassPlan:
    """Those six in a class of half an hour."""
    library = small_library()
    brief = builders.brief(30, "dawn", EVENING)
    return plan_of(list(library.exercises.values()), brief, library)


def small_sheet(said: dict[ExerciseId, list[str]] | None = None) -> RunSheet:
    """Its sheet, with three people."""
    plan, library = small_plan(), small_library()
    return run_sheet(plan, library, minding(folk(3), plan, library), said)


def small_form() -> dict[str, Any]:
    """The same as values for a template."""
    return sheet_form(small_sheet(), small_library())
