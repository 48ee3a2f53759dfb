"""People to play with."""

from datetime import date, timedelta

from core.client import ClientId, Flag, Severity, Side
from core.exercise import Level
from core.taught import Attendance
from storage.kept import Declaration
from tests.builders import CHAIR
from tests.contract.scene import NOW, AnyStore

WRIST = Flag(
    "wrist",
    Side.LEFT,
    Severity.ACUTE,
    since=date(2026, 1, 2),
    review=date(2026, 5, 1),
    said_by="physio",
    words="left wrist, acute",
    event=date(2025, 12, 24),
    details=("cast off", "splint"),
    answered=date(2026, 2, 3),
    answered_by="surgeon",
)
EXPECTING = Flag("pregnancy", due=date(2026, 9, 1))
READY = Declaration("readiness", date(2026, 3, 1), "no clearance", {"active": True})
LATER = NOW + timedelta(days=1)


def cast(store: AnyStore) -> tuple[ClientId, ClientId]:
    """Two clients, each with something of every kind, and a group of both."""
    people = store.people
    ana = people.add_client(
        "Ana", NOW, level=Level.INTERMEDIATE, goals=("sleep",), springs=((CHAIR.id, "3+2"),)
    ).id
    bo = people.add_client("Bo", NOW).id
    people.add_flag(ana, WRIST, NOW)
    people.add_flag(bo, EXPECTING, NOW)
    for client, text in ((ana, "knee sore"), (ana, "knee fine 🙂"), (bo, "tired")):
        people.add_note(client, text, NOW)
    people.declare(ana, READY, NOW)
    people.set_group("Dawn", (ana, bo), NOW)
    people.attend(Attendance(ana, 1, NOW, effort=4))
    return ana, bo


def texts(store: AnyStore, client: ClientId) -> list[str]:
    """What her notes say."""
    return [note.text for note in store.people.notes(client)]
