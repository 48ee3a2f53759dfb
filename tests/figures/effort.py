"""Load of classes and the rule for the next step."""

from datetime import UTC, date, datetime, timedelta
from statistics import mean, pstdev

from core.client import ClientId
from core.effort import Session, monotony, session_load, week_of
from core.exercise import ExerciseId
from core.progress import next_steps
from core.repertoire import shipped
from core.taught import Attendance, Done
from tests.figures.figure import Computation, Figure

MONDAY = date(2026, 11, 23)
NOW = datetime(2026, 11, 27, 12, tzinfo=UTC)


def load(_: Figure) -> float:
    """Seven for an hour."""
    return session_load(7, 60)


def weeks(figure: Figure) -> list[list[float]]:
    """The numbers of each week."""
    found: list[list[float]] = []
    for daily in figure.given["daily"]:
        sessions = [
            Session(MONDAY + timedelta(days=k), each, 1) for k, each in enumerate(daily) if each
        ]
        week = week_of(sessions, MONDAY + timedelta(days=3))
        assert week.monotony is not None
        assert week.strain is not None
        found.append([week.load, week.load / 7, week.monotony, week.strain])
    return found


def other_divisor(figure: Figure) -> float:
    """How much larger monotony is with the other divisor."""
    daily: list[float] = figure.given["daily"]
    ours = monotony(daily)
    assert ours is not None
    return mean(daily) / pstdev(daily) / ours


def two_for_two(_: Figure) -> dict[str, bool]:
    """Two classes at the top of the range, with something between them or not."""
    e = _with_a_rung()

    def attended(day: int, reps: int, *, there: bool = True) -> Attendance:
        did = (Done(e, "none", reps),) if there else ()
        at = NOW - timedelta(days=day)
        return Attendance(ClientId(1), day, at, there, 5 if there else None, 0, "", did)

    top = shipped()[e].reps.high
    cases = {
        "both": [attended(1, top), attended(3, top)],
        "once": [attended(1, top - 1), attended(3, top)],
        "one-missed-between": [attended(1, top), attended(2, 0, there=False), attended(3, top)],
    }
    return {name: bool(next_steps(found, shipped(), NOW)) for name, found in cases.items()}


def _with_a_rung() -> ExerciseId:
    return next(e.id for e in shipped().exercises.values() if e.harder and e.springs is None)


COMPUTED: dict[str, Computation] = {
    "session-load": load,
    "weeks": weeks,
    "other-divisor": other_divisor,
    "two-for-two": two_for_two,
}
