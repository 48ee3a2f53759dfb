"""Message -> command -> action -> reply, in one transaction; here the user's errors end."""

import json
import logging
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import lru_cache
from hashlib import sha256
from zoneinfo import ZoneInfo

from bot import buttons
from bot.actions import (
    apparatus,
    editing,
    helping,
    lookup,
    own,
    pasting,
    planning,
    series,
    setting,
    shelf,
)
from bot.commands import (
    AddCue,
    AddExercise,
    Another,
    Command,
    Compare,
    DescribeApparatus,
    EditPlan,
    Find,
    ForgetApparatus,
    Hello,
    Help,
    ListClasses,
    LookUp,
    MakePlan,
    MakeSeries,
    Measure,
    OpenClass,
    OwnExercises,
    Paste,
    PasteLine,
    RetireClass,
    RetireExercise,
    SameAs,
    SaveClass,
    SetField,
    SetHabit,
    SetZone,
    Show,
    ShowApparatus,
    ShowLadder,
    ShowSprings,
    SwapIdeas,
    Undo,
    Why,
)
from bot.desk import Desk
from bot.errors import Guess, UnclearDateError, UnknownCommandError, UnknownWordError, UserError
from bot.grammar.context import Context
from bot.grammar.parse import parse
from bot.kept_plan import has_plans
from bot.ports import Clock, Store, Vault
from bot.reply import Button, Incoming, Part, Reply
from bot.wording import asking
from bot.wording.faults import sentence
from bot.wording.help import ENTRIES
from bot.wording.phrases import wrapped
from core.apparatus import Apparatus
from core.own import own_repertoire
from core.planner.search import Budget
from core.repertoire import Repertoire

log = logging.getLogger(__name__)


def _milliseconds() -> float:
    return time.perf_counter() * 1000


@dataclass(frozen=True, slots=True)
class Dispatch:
    """Answers messages; safe to use from several threads, one chat at a time."""

    vault: Vault
    clock: Clock
    library: Repertoire
    elapsed_ms: Callable[[], float] = field(default=_milliseconds)
    budget: Budget = field(default=Budget())

    def answer(self, incoming: Incoming) -> list[Reply]:
        """The replies to a message; a fault of ours is logged without content and said calmly."""
        try:
            return self._replies(incoming)
        except Exception as error:
            log.error("answering failed: %s", type(error).__name__)
            return [_say(asking.BROKEN, "Broken")]

    def _replies(self, incoming: Incoming) -> list[Reply]:
        owner = self.vault.owner(incoming.door)
        if owner is None:
            return [self._stranger(incoming)]
        if not incoming.private:
            return [_say(asking.PRIVATE_ONLY, "PrivateOnly")]
        try:
            with self.vault.begin(owner) as store:
                replies = [self._answer(incoming, store)]
                buttons.keep(replies, store)
        except UserError as error:
            replies = [_fault(error)]
            with self.vault.begin(owner) as store:
                buttons.keep(replies, store)
        return replies

    def menu(self) -> tuple[tuple[str, str], ...]:
        """Command name and short description, for the channel's command menu."""
        return tuple((name, entry.short) for name, entry in ENTRIES.items())

    def _answer(self, incoming: Incoming, store: Store) -> Reply:
        text = incoming.text
        if incoming.tapped:
            line = buttons.line_of(text, store)
            if line is None:
                return _say(asking.STALE_BUTTON, "StaleButton")
            whole = buttons.unfold(line)
            if whole:
                return whole
            text = line
        desk = self._desk(incoming, store)
        pending = str(store.talk(incoming.chat).get("pending", ""))
        return act(parse(text, desk.context, pending), desk)

    def _desk(self, incoming: Incoming, store: Store) -> Desk:
        instructor = store.instructor()
        now = self.clock.now()
        repertoire = _hers(
            self.library,
            tuple(store.apparatus().values()),
            tuple(json.dumps(table, sort_keys=True) for table in store.exercises()),
        )
        local = now.astimezone(ZoneInfo(instructor.zone or "UTC")).replace(tzinfo=None)
        return Desk(
            store=store,
            instructor=instructor,
            base=self.library,
            repertoire=repertoire,
            context=Context(repertoire, local, instructor.habits.apparatus),
            chat=incoming.chat,
            now=now,
            elapsed_ms=self.elapsed_ms,
            budget=self.budget,
        )

    def _stranger(self, incoming: Incoming) -> Reply:
        """One polite sentence; or the welcome, for whoever brings a code that is still good."""
        words = incoming.text.split()
        if incoming.private and len(words) == 2 and words[0].casefold() in ("/start", "start"):
            owner = self.vault.redeem(digest(words[1]), incoming.door, self.clock.now())
            if owner is None:
                return _say(asking.BAD_CODE, "BadCode")
            with self.vault.begin(owner) as store:
                reply = act(Hello(), self._desk(incoming, store))
                buttons.keep([reply], store)
                return reply
        return _say(asking.STRANGER, "Stranger")


def act(command: Command, desk: Desk) -> Reply:
    """The reply of the action a command names."""
    match command:
        case MakePlan():
            return planning.make_plan(command, desk)
        case Another():
            return planning.another(command, desk)
        case Show():
            return planning.show(command, desk)
        case Why():
            return planning.why(command, desk)
        case EditPlan():
            return editing.edit(command, desk)
        case Undo():
            return editing.undo(command, desk)
        case SaveClass():
            return shelf.save(command, desk)
        case OpenClass():
            return shelf.open_class(command, desk)
        case RetireClass():
            return shelf.retire(command, desk)
        case ListClasses():
            return shelf.list_classes(command, desk)
        case Compare():
            return shelf.compare(command, desk)
        case MakeSeries():
            return series.make(command, desk)
        case Paste():
            return pasting.paste(command, desk)
        case PasteLine():
            return pasting.answer(command, desk)
        case LookUp():
            return lookup.look_up(command, desk)
        case Find():
            return lookup.find(command, desk)
        case ShowLadder():
            return lookup.show_ladder(command, desk)
        case SwapIdeas():
            return lookup.swap_ideas(command, desk)
        case AddExercise():
            return own.add(command, desk)
        case SetField():
            return own.set_field(command, desk)
        case RetireExercise():
            return own.retire(command, desk)
        case AddCue():
            return own.add_cue(command, desk)
        case OwnExercises():
            return own.own(command, desk)
        case ShowApparatus():
            return apparatus.show(command, desk)
        case DescribeApparatus():
            return apparatus.describe(command, desk)
        case ForgetApparatus():
            return apparatus.forget(command, desk)
        case Measure():
            return apparatus.measure(command, desk)
        case SameAs():
            return apparatus.same_as(command, desk)
        case ShowSprings():
            return apparatus.show_springs(command, desk)
        case Help():
            return helping.help_on(command, desk)
        case Hello():
            return setting.hello(command, desk)
        case SetZone():
            return setting.set_zone(command, desk)
        case SetHabit():
            return _and_first_class(setting.set_habit(command, desk), command, desk)


def _and_first_class(reply: Reply, command: SetHabit, desk: Desk) -> Reply:
    """After the third tap of first contact, a first class follows at once."""
    instructor = desk.store.instructor()
    complete = instructor.habits.minutes and instructor.habits.apparatus
    if not (command.minutes and complete) or has_plans(desk):
        return reply
    plan = planning.make_plan(MakePlan(line="plan"), replace(desk, instructor=instructor))
    return replace(plan, parts=(Part(asking.READY), *plan.parts))


@lru_cache(maxsize=64)
def _hers(base: Repertoire, described: tuple[Apparatus, ...], own: tuple[str, ...]) -> Repertoire:
    """The library as one instructor has it, made once for each state of it."""
    if not described and not own:
        return base
    return own_repertoire(base, {a.id: a for a in described}, [json.loads(each) for each in own])


def digest(code: str) -> bytes:
    """What is stored of a one-time code."""
    return sha256(code.strip().encode()).digest()


def _fault(error: UserError) -> Reply:
    guesses: Iterable[Guess] = ()
    if isinstance(error, UnknownWordError | UnknownCommandError | UnclearDateError):
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
