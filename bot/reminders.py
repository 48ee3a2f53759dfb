"""Reminders that are due: claimed, put into words, posted and settled, in one transaction.

The row of a reminder is the only truth. Whoever ticks claims what is due under a lease; a worker
that dies leaves it to the next. What is posted and what the reminder waits for next are kept
together or not at all, so each time of it is posted exactly once.
"""

import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime, time, timedelta
from itertools import groupby

from bot import buttons
from bot.desk import Desk
from bot.diary import Diary, lesson_form, next_lead, plan_line, reminder_form, whose
from bot.digest import digest_of
from bot.ports import Clock, Store, Vault
from bot.posting import post
from bot.reply import Button, Part, Reply
from bot.sweeping import sweep
from bot.wording import diary as diary_words
from bot.wording import reminding as words
from bot.wording.phrases import listed, wrapped
from core.cadence import instant_of, wall_of
from core.diary import Lesson
from core.instructor import OwnerId
from core.reminder import LATE, Kind, Reminder, announced, later_on, quiet_until, told_day
from storage.errors import StorageError, StrangerError
from storage.kept import Claim

log = logging.getLogger(__name__)

LEASE = timedelta(seconds=20)  # what is said late is not said twice: its row tells
BATCH = 50
MOST = 5000  # said in one go; the rest a moment later
SHUT_OUT = timedelta(days=1)  # when she is not let in it is tried again
FAILED = timedelta(minutes=5)

Send = Callable[[Store, str, Reply, str, datetime], None]


def by_post(store: Store, chat: str, reply: Reply, name: str, now: datetime) -> None:
    """Put a reply into the outbox; the same name goes in once."""
    post(store, chat, reply, name, now)


@dataclass(frozen=True, slots=True)
class Reminders:
    """Says what is due.

    Attributes:
        desk: what is at hand for somebody, by chat and store.
        doors: with what the doors begin that can be written to, e.g. "telegram:".
        worker: who claims.
        send: how a reply leaves, inside the transaction that settles the reminder.
    """

    vault: Vault
    clock: Clock
    desk: Callable[[str, Store], Desk]
    worker: str
    doors: str
    send: Send = field(default=by_post)

    def tick(self, owner: OwnerId | None = None) -> datetime | None:
        """When to tick again, everything that is due by now having been said.

        Args:
            owner: say only hers.
        """
        now = self.clock.now()
        said = 0
        while said < MOST:
            claims = self.vault.claim_due(now, LEASE, BATCH, self.worker, owner)
            said += len(claims)
            claims.sort(key=lambda claim: (claim.owner, claim.due))
            for whom, hers in groupby(claims, key=lambda claim: claim.owner):
                self._say_all(whom, list(hers), now)
            if len(claims) < BATCH:
                break
        return self.vault.earliest_due()

    def _say_all(self, owner: OwnerId, claims: list[Claim], now: datetime) -> None:
        try:
            with self.vault.begin(owner) as store:
                door = store.instructor().door
                if door.startswith(self.doors):
                    desk = self.desk(door, store)
                    for claim in claims:
                        _say(claim, desk, now, self.send)
                    return
            wait = SHUT_OUT
        except StrangerError:
            wait = SHUT_OUT
        except Exception as error:
            log.error("a reminder could not be said: %s", type(error).__name__)
            wait = FAILED
        for claim in claims:
            try:
                self.vault.put_off(claim, now + wait)
            except StorageError as error:
                log.error("a reminder could not be put off: %s", type(error).__name__)


def _say(claim: Claim, desk: Desk, now: datetime, send: Send) -> None:
    """Post one reminder and settle it."""
    kept = desk.store.diary
    reminder = kept.reminder(claim.reminder)
    if reminder is None or reminder.due is None or reminder.due > now:
        return  # done, put off or said meanwhile
    rhythm = kept.rhythm()
    zone = desk.zone.key
    ends = quiet_until(now, rhythm, zone)
    if ends and reminder.kind is not Kind.LEAD:
        kept.settle(replace(reminder, due=ends))
        return
    match reminder.kind:
        case Kind.OWN | Kind.FOLLOW_UP:
            replies, settled = [_told(reminder, now, desk)], later_on(reminder, now)
        case Kind.DIGEST:
            replies, settled = _digest(reminder, now, desk), later_on(reminder, now)
            sweep(desk.store, now)
        case Kind.LEAD:
            replies = [] if ends else _leads(reminder, rhythm.lead, now, desk)
            settled = replace(reminder, due=next_lead(Diary.of(desk.store), rhythm, now))
    kept.settle(replace(settled, rung=now))
    for number, reply in enumerate(replies):
        name = f"reminder {claim.owner} {reminder.id} {reminder.due.isoformat()} {number}"
        send(desk.store, desk.chat, reply, name, now)


def _told(reminder: Reminder, now: datetime, desk: Desk) -> Reply:
    """A reminder of her own or a question, with what she can do about it."""
    assert reminder.due is not None  # it was claimed
    name = ""
    if reminder.client is not None:
        name = desk.store.people.names().get(reminder.client, "")
    late = wall_of(reminder.due, desk.zone.key) if now - reminder.due > LATE else None
    number = reminder.id
    rows = (
        (
            Button(words.DONE_BUTTON, f"done {number}"),
            Button(words.HOUR_BUTTON, f"later {number} 1h"),
            Button(words.TOMORROW_BUTTON, f"later {number} tomorrow"),
            Button(words.PICK_BUTTON, f"later {number}"),
        ),
        *(((Button(name, f"client {name}"),),) if name else ()),
    )
    form = reminder_form(reminder, desk)
    return Reply(
        (Part(words.due(reminder, name, late)),), rows, data={"reminder": form, "rings": True}
    )


def _digest(reminder: Reminder, now: datetime, desk: Desk) -> list[Reply]:
    """What the day after this evening needs; a note where that day is over."""
    assert reminder.due is not None
    assert reminder.cadence is not None
    clock = reminder.cadence.start.time()
    diary = Diary.of(desk.store)
    replies = []
    zone = desk.zone.key
    day = told_day(now, clock, zone)
    since = instant_of(datetime.combine(told_day(reminder.due, clock, zone), time()), zone)
    missed = [
        each
        for each in diary.between(since, now)
        if not each.away and each.ends <= now and each.wall.date() < day
    ]
    if missed:
        days = dict.fromkeys(f"{each.wall:%a} {each.wall.day} {each.wall:%b}" for each in missed)
        names = [words.MISSED_DIGEST.format(day=each) for each in list(days)[-3:]]
        replies.append(_too_late(names, missed, desk))
    told = digest_of(day, desk, diary)
    return [*replies, told] if told else replies


def _leads(reminder: Reminder, lead: int | None, now: datetime, desk: Desk) -> list[Reply]:
    """Classes about to begin, and a note on those that are over."""
    if lead is None or reminder.due is None:
        return []
    diary = Diary.of(desk.store)
    coming, over = announced(diary.entries, diary.away, lead, reminder.due, now)
    replies = []
    if over:
        names = [
            words.MISSED_LEAD.format(
                who=whose(e.entry, desk) or diary_words.A_CLASS, when=diary_words.stamp(e.wall)
            )
            for e in over[-3:]
        ]
        replies.append(_too_late(names, over, desk))
    if coming:
        replies.append(_begins(coming, now, desk))
    return replies


def _begins(coming: Iterable[Lesson], now: datetime, desk: Desk) -> Reply:
    found = list(coming)
    lines, rows = [], []
    for each in found:
        here = wall_of(now, each.entry.cadence.zone)
        what = whose(each.entry, desk) or diary_words.A_CLASS
        lines.append(
            words.LEAD_SAID.format(
                what=what, clock=f"{each.wall:%H:%M}", far=diary_words.how_far(each.wall, here)
            )
        )
        button = (
            Button(diary_words.SHOW_PLAN, f"show #{each.plan}")
            if each.plan
            else Button(words.PLAN_NOW, plan_line(each, desk))
        )
        rows.append((button,))
    return Reply(
        (Part("\n".join(wrapped(line) for line in lines)),),
        tuple(rows),
        data={"lead": [lesson_form(each, desk) for each in found]},
    )


def _too_late(names: list[str], over: list[Lesson], desk: Desk) -> Reply:
    said = words.TOO_LATE.format(what=listed(names))
    return Reply(
        (Part(wrapped(said)),), data={"dropped": [lesson_form(each, desk) for each in over]}
    )


@dataclass(slots=True)
class Spoken:
    """A way to send that keeps what was said, for a door that shows it at once."""

    replies: list[tuple[str, Reply]] = field(default_factory=list)

    def send(self, store: Store, chat: str, reply: Reply, name: str, now: datetime) -> None:
        """Keep the reply; its buttons work as any."""
        assert name  # it is settled with the reminder, so it is said once
        assert now.tzinfo
        buttons.keep([reply], store)
        self.replies.append((chat, reply))

    def taken(self) -> list[tuple[str, Reply]]:
        """What was said since this was asked last."""
        found, self.replies = self.replies, []
        return found


@dataclass(frozen=True, slots=True)
class AtDoor:
    """Reminders for a door that is open only while somebody sits at it."""

    reminders: Reminders
    spoken: Spoken

    @classmethod
    def of(
        cls, vault: Vault, clock: Clock, desk: Callable[[str, Store], Desk], doors: str
    ) -> "AtDoor":
        """Those of whoever speaks at such a door."""
        spoken = Spoken()
        return cls(Reminders(vault, clock, desk, "door", doors, spoken.send), spoken)

    def say(self, door: str) -> list[tuple[str, Reply]]:
        """What is due by now for whoever is at this door."""
        owner = self.reminders.vault.owner(door)
        if owner is not None:
            self.reminders.tick(owner)
        return self.spoken.taken()
