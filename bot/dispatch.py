"""Message -> command -> action -> reply, in one transaction; here the user's errors end."""

import json
import logging
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from functools import lru_cache
from hashlib import sha256
from zoneinfo import ZoneInfo

from bot import buttons, house, metering, open_question, posting
from bot.acting import act
from bot.actions import today
from bot.alarmed import warned
from bot.commands import Hello, HouseCommand
from bot.desk import Desk
from bot.errors import (
    Guess,
    NoSuchFlagError,
    UnclearDateError,
    UnknownCommandError,
    UnknownWordError,
    UserError,
    WhoError,
)
from bot.grammar.context import Context
from bot.grammar.parse import parse
from bot.ports import Clock, Store, Vault
from bot.posting import Receipt
from bot.rate import Rate
from bot.reply import Button, Incoming, Part, Reply
from bot.sweeping import sweep
from bot.when import Order
from bot.wording import asking, privacy
from bot.wording.faults import sentence
from bot.wording.help import ENTRIES
from bot.wording.phrases import wrapped
from core.apparatus import Apparatus
from core.instructor import OwnerId
from core.own import own_repertoire
from core.planner.search import Budget, usual
from core.repertoire import Repertoire
from storage.errors import KeyMissingError, SealError, StrangerError, TakenError

log = logging.getLogger(__name__)


def _milliseconds() -> float:
    return time.perf_counter() * 1000


@dataclass(frozen=True, slots=True)
class Dispatch:
    """Answers messages; safe to use from several threads, one chat at a time.

    Attributes:
        limit: how many messages a minute one door may send; None for any number.
    """

    vault: Vault
    clock: Clock
    library: Repertoire
    elapsed_ms: Callable[[], float] = field(default=_milliseconds)
    budget: Budget = field(default_factory=usual)
    limit: int | None = None
    _rate: Rate = field(init=False, repr=False)
    _known: dict[str, OwnerId] = field(init=False, repr=False, default_factory=dict)
    _swept: dict[OwnerId, date] = field(init=False, repr=False, default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_rate", Rate(self.limit))

    def answer(self, incoming: Incoming, receipt: Receipt | None = None) -> list[Reply]:
        """The replies to a message; a fault of ours is logged without content and said calmly.

        Args:
            receipt: the update that brought it. The replies are then posted, and the update is
                marked, by the transaction that does what the message asks for.

        Raises:
            TakenError: another worker has answered the update, or changed something meanwhile;
                nothing has been done.
        """
        try:
            return self._replies(incoming, receipt)
        except TakenError:
            raise
        except KeyMissingError:
            reply = _say(privacy.NO_KEY, "NoKey")
        except SealError as fault:
            log.error("sealed data can't be read: %s %s", fault.table, fault.column)
            reply = _say(privacy.unreadable([fault]), "Unreadable")
        except Exception as error:
            log.error("answering failed: %s", type(error).__name__)
            reply = _say(asking.BROKEN, "Broken")
        return self.say([reply], incoming.chat, receipt)

    def say(self, replies: list[Reply], chat: str, receipt: Receipt | None) -> list[Reply]:
        """The replies, which nothing had to be done for; posted where there is a receipt."""
        if receipt:
            with self.vault.mail() as mail:
                posting.answer(mail, chat, replies, receipt, self.clock.now())
        return replies

    def _replies(self, incoming: Incoming, receipt: Receipt | None) -> list[Reply]:
        if not self._rate.allows(incoming.door, self.elapsed_ms()):
            return self.say([_say(privacy.TOO_MANY, "TooMany")], incoming.chat, receipt)
        # Whether she is still let in is seen when her data is asked for.
        owner = self._known.get(incoming.door) or self.vault.owner(incoming.door)
        if owner is None:
            return self._stranger(incoming, receipt)
        self._known[incoming.door] = owner
        try:
            return self._hers(owner, incoming, receipt)
        except StrangerError:
            self._known.pop(incoming.door, None)
            return self._stranger(incoming, receipt)

    def _hers(self, owner: OwnerId, incoming: Incoming, receipt: Receipt | None) -> list[Reply]:
        """The replies to somebody who is let in, unless she no longer is."""
        if not incoming.private:
            return self.say([_say(asking.PRIVATE_ONLY, "PrivateOnly")], incoming.chat, receipt)
        try:
            with self.vault.begin(owner, replayed=receipt is not None) as store:
                self._sweep(owner, store)
                found = self._answer(incoming, store)
                if isinstance(found, Reply):
                    reply = _with_faults(found, store.faults)
                    return self._kept([reply], store, incoming.chat, receipt)
            reply = house.answer(found, self.vault, owner, self.clock.now(), digest)
        except UserError as error:
            reply = warned(_fault(error), incoming.text)
        with self.vault.begin(owner, replayed=receipt is not None) as store:
            return self._kept([reply], store, incoming.chat, receipt)

    def _kept(
        self, replies: list[Reply], store: Store, chat: str, receipt: Receipt | None
    ) -> list[Reply]:
        """The replies, with all that has to be kept of them."""
        buttons.keep(replies, store)
        if receipt:
            posting.answer(store.mail, chat, replies, receipt, self.clock.now())
        return replies

    def menu(self) -> tuple[tuple[str, str], ...]:
        """Command name and short description, for the channel's command menu."""
        return tuple((name, entry.short) for name, entry in ENTRIES.items())

    def _sweep(self, owner: OwnerId, store: Store) -> None:
        """Once a day, remove what is older than she keeps it."""
        now = self.clock.now()
        if self._swept.get(owner) == now.date():
            return
        sweep(store, now)
        self._swept[owner] = now.date()

    def _answer(self, incoming: Incoming, store: Store) -> Reply | HouseCommand:
        """The reply; or what is asked for, when it can't be done inside this transaction."""
        text = incoming.text
        if incoming.tapped:
            line = buttons.line_of(text, store)
            if line is None:
                return _say(asking.STALE_BUTTON, "StaleButton")
            whole = buttons.unfold(line)
            if whole:
                return whole
            text = line
        desk = self.desk(incoming.chat, store)
        waiting = open_question.open_line(incoming.chat, desk.now, store)
        try:
            command = parse(text, desk.context, waiting)
        except UnknownCommandError:
            reply = _plainly(text, desk)
            if reply is None:
                raise
            open_question.drop_line(incoming.chat, store)
            open_question.forget(incoming.chat, store)
            return reply
        metering.heard(command)
        open_question.drop_line(incoming.chat, store)
        done = command if isinstance(command, HouseCommand) else act(command, desk)
        open_question.forget(incoming.chat, store)
        return done

    def desk(self, chat: str, store: Store) -> Desk:
        """What an action has at hand in a chat."""
        instructor = store.instructor()
        now = self.clock.now()
        repertoire = _hers(
            self.library,
            tuple(store.apparatus().values()),
            tuple(json.dumps(table, sort_keys=True) for table in store.exercises()),
        )
        zone = instructor.zone or "UTC"
        local = now.astimezone(ZoneInfo(zone)).replace(tzinfo=None)
        order = Order.MONTH_FIRST if instructor.habits.month_first else Order.DAY_FIRST
        return Desk(
            store=store,
            instructor=instructor,
            base=self.library,
            repertoire=repertoire,
            context=Context(repertoire, local, instructor.habits.apparatus, zone, order),
            chat=chat,
            now=now,
            elapsed_ms=self.elapsed_ms,
            budget=self.budget,
        )

    def _stranger(self, incoming: Incoming, receipt: Receipt | None) -> list[Reply]:
        """One polite sentence; or the welcome, for whoever brings a code that is still good."""
        words = incoming.text.split()
        if incoming.private and len(words) == 2 and words[0].casefold() in ("/start", "start"):
            owner = self.vault.redeem(digest(words[1]), incoming.door, self.clock.now())
            if owner is None:
                return self.say([_say(asking.BAD_CODE, "BadCode")], incoming.chat, receipt)
            with self.vault.begin(owner) as store:
                reply = act(Hello(), self.desk(incoming.chat, store))
                return self._kept([reply], store, incoming.chat, receipt)
        return self.say([_say(asking.STRANGER, "Stranger")], incoming.chat, receipt)


def _plainly(text: str, desk: Desk) -> Reply | None:
    """The answer to plain words about somebody, where people are kept."""
    try:
        return today.plain(text, desk)
    except KeyMissingError:
        return None


@lru_cache(maxsize=64)
def _hers(base: Repertoire, described: tuple[Apparatus, ...], own: tuple[str, ...]) -> Repertoire:
    """The library as one instructor has it, made once for each state of it."""
    if not described and not own:
        return base
    return own_repertoire(base, {a.id: a for a in described}, [json.loads(each) for each in own])


def digest(code: str) -> bytes:
    """What is stored of a one-time code."""
    return sha256(code.strip().encode()).digest()


OFFERING = (UnknownWordError, UnknownCommandError, UnclearDateError, WhoError, NoSuchFlagError)


def _with_faults(reply: Reply, faults: tuple[SealError, ...]) -> Reply:
    """The reply, with what could not be read and was left out."""
    if not faults:
        return reply
    said = Part(wrapped(privacy.unreadable(faults)))
    form = [{"table": f.table, "row": f.row, "column": f.column} for f in faults]
    return replace(reply, parts=(*reply.parts, said), data={**reply.data, "unreadable": form})


def _fault(error: UserError) -> Reply:
    guesses: Iterable[Guess] = ()
    if isinstance(error, OFFERING):
        guesses = error.guesses
    return Reply(
        (Part(wrapped(sentence(error))),),
        rows=tuple((Button(guess.label, guess.line),) for guess in guesses),
        data={"error": type(error).__name__.removesuffix("Error")},
    )


def _say(text: str, error: str) -> Reply:
    return Reply((Part(wrapped(text)),), data={"error": error})


class SystemClock:
    """The clock of the machine."""

    def now(self) -> datetime:
        """This instant, aware, in UTC."""
        return datetime.now(UTC)
