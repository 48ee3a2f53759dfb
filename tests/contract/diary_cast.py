"""A diary to play with."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

from core.apparatus import ApparatusId
from core.cadence import Cadence
from core.client import ClientId
from core.diary import ClassEntry, ClassId
from core.reminder import Kind, Reminder, ReminderId, Rhythm
from tests.contract.scene import AnyStore

ZONE = "Europe/Madrid"
at = datetime.fromisoformat  # naive wall times
NO_CLASS, NO_REMINDER = ClassId(0), ReminderId(0)
TUESDAYS = ClassEntry(
    NO_CLASS,
    Cadence(at("2026-04-07T18:00"), ZONE, "FREQ=WEEKLY", frozenset({date(2026, 4, 21)})),
    50,
    (ApparatusId("chair"),),
    "Dawn",
    place="north room",
    moved=((date(2026, 4, 14), at("2026-04-15T17:00")),),
    plans=((date(2026, 4, 7), 3),),
)
LAUNDRY = Reminder(
    NO_REMINDER, Kind.OWN, "laundry", Cadence(at("2026-04-06T08:00"), ZONE, "FREQ=WEEKLY")
)
SLOW = Rhythm(time(20), 30, (time(22), time(7)))


def knee(client: ClientId, due: datetime | None = None) -> Reminder:
    """A question about somebody."""
    cadence = Cadence(at("2026-04-02T09:00"), ZONE)
    return Reminder(NO_REMINDER, Kind.FOLLOW_UP, "the knee", cadence, client, due)


def diary_cast(store: AnyStore, client: ClientId, at: datetime, word: str = "") -> None:
    """Something of each kind, with a word in it."""
    diary = store.diary
    private = replace(TUESDAYS, group=word, people=(client,), place=word)
    diary.drop_class(diary.add_class(TUESDAYS, at).id, at)
    diary.add_class(private, at)
    diary.add_class(TUESDAYS, at)
    diary.add_away(date(2026, 12, 20), date(2027, 1, 3), at)
    diary.add_reminder(replace(LAUNDRY, text=f"laundry {word}", due=at), at)
    diary.add_reminder(replace(knee(client, at + timedelta(days=2)), text=f"knee {word}"), at)
    diary.set_rhythm(SLOW, at)
