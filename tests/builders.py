"""A small library and plans from it, for tests that want values without the shipped files."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from core.apparatus import Apparatus, ApparatusId, Hook, Spring
from core.brief import ClassBrief
from core.exercise import Phase
from core.plan import ClassPlan, Finding, Search, Step, Weight
from core.repertoire import Repertoire, build
from core.timing import Pace, closing_s, opening_s, timeline

CHAIR = Apparatus(
    id=ApparatusId("chair"),
    name="chair",
    aliases=("pedal chair",),
    springs=(Spring("spring", 2, 1.0),),
    hooks=(Hook("1", 0.5), Hook("2", 0.65), Hook("3", 0.8), Hook("4", 1.0)),
    short=(),
    rig=(("pedal", ("joined", "split")),),
    most=2,
    change_s=10,
    rig_s=10,
    swap_s=45,
    share=1,
)
MAT = Apparatus(
    id=ApparatusId("mat"),
    name="mat",
    aliases=(),
    springs=(),
    hooks=(),
    short=(),
    rig=(),
    most=0,
    change_s=0,
    rig_s=8,
    swap_s=30,
    share=1,
)


def record(exercise_id: str, **changes: object) -> dict[str, Any]:
    """The table of an exercise on the mat, complete; `changes` replace fields or add some."""
    name = exercise_id.replace("-", " ").capitalize()
    table: dict[str, Any] = {
        "id": exercise_id,
        "name": name,
        "short": name[:16],
        "apparatus": "mat",
        "level": 1,
        "phases": [phase.value for phase in Phase],
        "effort": 3,
        "position": "supine",
        "directions": ["flexion"],
        "themes": ["abdominals"],
        "muscles": {"primary": "abdominals"},
        "load": "body weight",
        "reps": {"from": 4, "to": 10, "usual": 8},
        "tempo": {"breaths": 1},
        "setup_s": 10,
        "no_easier": "it is the easiest",
        "no_harder": "it is the hardest",
        "family": exercise_id,
        "cues": ["Breathe out to lift."],
        "fault": "The neck works.",
        "breath": "out on the way up",
    }
    return table | changes


def repertoire(*records: Mapping[str, Any]) -> Repertoire:
    """A repertoire of these exercises on chair and mat, or of three of its own."""
    own = (
        record("mat-curl"),
        record("mat-bridge", position="supine", directions=["extension"], effort=4),
        record(
            "chair-press",
            apparatus="chair",
            position="seated on the apparatus",
            directions=[],
            themes=["knee extension"],
            load="resist",
            springs={"usual": "3+3", "easier": "3+2", "harder": "4+3", "limit": "4+4"},
        ),
    )
    return build(records or own, (CHAIR, MAT), {})


def brief(minutes: int = 30, group: str = "", starts: datetime | None = None) -> ClassBrief:
    """A brief for chair and mat; `replace` changes the rest of it."""
    return ClassBrief(minutes, (CHAIR.id, MAT.id), group=group, starts=starts)


def plan(library: Repertoire, asked: ClassBrief | None = None) -> ClassPlan:
    """A plan of every exercise of the library once, in its order, all in the foundation."""
    asked = asked or brief()
    steps = [
        Step(
            e,
            Phase.FOUNDATION,
            e.springs.usual if e.springs else CHAIR.parse("none"),
            e.reps.usual,
        )
        for e in library.exercises.values()
    ]
    return ClassPlan(
        brief=asked,
        items=timeline(steps, asked, library.apparatus, Pace()),
        opening_s=opening_s(asked),
        closing_s=closing_s(asked),
        findings=(Finding("room left", Weight.NOTE, ("600",)),),
        search=Search(seed=7, iterations=100, objective=42, elapsed_ms=3),
    )
