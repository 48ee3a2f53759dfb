"""A person and an exercise -> what to do about it, with each reason and its source.

The kinds of verdict have one order: fine, modify, swap, leave out, ask first. "Ask first" is the
strictest: not at all before a clinician has answered, so it covers what "leave out" forbids; a
stop rule is an "ask first" with `stop` set. Every step below can only move a verdict up when a
flag is added: flags only add rules, rules only add barred demands, barred demands only take
changes and swaps away. Nothing here clears anybody.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from functools import lru_cache

from core.apparatus import ApparatusId
from core.caution_change import Change, smallest_change
from core.caution_rule import Action, Cautions, Rule, Source
from core.client import Client, ClientId, Flag
from core.exercise import Demand, Exercise, ExerciseId, Modification
from core.lookup import likeness, stand_ins
from core.repertoire import Repertoire

PLAIN_SWAP = (
    3.0  # points of likeness a swap that needs no change of its own may lack (house choice)
)


class Kind(StrEnum):
    """What to do with an exercise, the mildest first."""

    FINE = "fine"
    MODIFY = "modify"
    SWAP = "swap"
    LEAVE_OUT = "leave out"
    ASK_FIRST = "ask first"


NO_CHANGE = Change()
STRICTNESS = {kind: n for n, kind in enumerate(Kind)}
FIRST = {action: n for n, action in enumerate(Action)}


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule that holds for a flag; `demands` are what it minds in the exercise, if by demand.

    Attributes:
        answered: it asked for a clinician, whose answer is recorded on the flag.
    """

    rule: Rule
    flag: Flag
    demands: frozenset[Demand] = frozenset()
    answered: bool = False

    @property
    def binding(self) -> bool:
        """Whether it holds back everything: stop, or ask first without an answer."""
        action = self.rule.action
        return self.rule.general and (
            action is Action.STOP or (action is Action.ASK and not self.answered)
        )

    @property
    def constant(self) -> bool:
        """Whether it stands with every exercise: it binds, or was answered for the person."""
        return self.binding or (self.answered and self.rule.general)

    @property
    def only_note(self) -> bool:
        """Whether it asks for nothing any more: allowed, or answered and no demand to mind."""
        return self.rule.action is Action.ALLOW or (self.answered and not self.demands)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one person does instead of an exercise as it is written.

    Attributes:
        stop: end the session and seek help, because a stop rule holds.
        change: for "modify"; the smallest that takes away all that is minded.
        swap: for "swap", and for "ask first" what may be done meanwhile, if there is anything.
        swap_change: what the swap itself needs, nothing when it is fine.
        reasons: the rules that make it so, the strongest first; empty only when it is fine.
        notes: rules that ask for nothing: what is allowed, and what a clinician has answered.
    """

    client: ClientId
    exercise: Exercise
    kind: Kind
    stop: bool
    change: Change
    swap: Exercise | None
    swap_change: Change
    reasons: tuple[Reason, ...]
    notes: tuple[Reason, ...]

    @property
    def modifications(self) -> tuple[Modification, ...]:
        """The changes of the library it takes."""
        return self.change.modifications

    @property
    def sources(self) -> tuple[Source, ...]:
        """Where the reasons come from, each once."""
        return tuple(dict.fromkeys(reason.rule.source for reason in self.reasons))


@dataclass(frozen=True, slots=True)
class Minded:
    """All that is minded about a person on a day.

    Attributes:
        avoid, ask, modify: demands by what their rules want; one may stand in several.
        binding: rules that hold for the person whatever is done: stop, and ask first unanswered.
        otherwise: rules that take hold of an exercise otherwise than by a demand.
        barred: the demands that no exercise may end up with.
        always: reasons that stand with every exercise.
        watching: reasons, answered ones too, that look at more of an exercise than its demands.
        touched: the demands that any reason names.
    """

    reasons: tuple[Reason, ...]
    avoid: frozenset[Demand]
    ask: frozenset[Demand]
    modify: frozenset[Demand]
    binding: tuple[Reason, ...]
    otherwise: tuple[Reason, ...]
    barred: frozenset[Demand] = field(init=False)
    always: bool = field(init=False)
    watching: tuple[Reason, ...] = field(init=False)
    touched: frozenset[Demand] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "barred", self.avoid | self.ask | self.modify)
        object.__setattr__(self, "always", any(r.constant for r in self.reasons))
        watching = tuple(r for r in self.reasons if r.rule.otherwise)
        object.__setattr__(self, "watching", watching)
        touched = frozenset[Demand]().union(*(r.demands for r in self.reasons))
        object.__setattr__(self, "touched", touched)

    def leaves_alone(self, e: Exercise) -> bool:
        """Whether no reason has anything to say of the exercise."""
        return (
            not self.always
            and self.touched.isdisjoint(e.demands)
            and not any(r.rule.meets(e) for r in self.watching)
        )

    @property
    def stop(self) -> bool:
        """Whether a stop rule holds."""
        return any(reason.rule.action is Action.STOP for reason in self.binding)


def minded(flags: Iterable[Flag], today: date, cautions: Cautions) -> Minded:
    """What these flags mind today, taken together; none weakens another."""
    reasons: list[Reason] = []
    by_action: dict[Action, set[Demand]] = {action: set() for action in Action}
    for flag in flags:
        answer = flag.answer_holds(today)
        for rule in cautions.holding(flag, today):
            answered = answer and rule.action is Action.ASK and rule.answerable
            reasons.append(Reason(rule, flag, rule.demands, answered))
            by_action[Action.MODIFY if answered else rule.action] |= rule.demands
    reasons.sort(key=lambda reason: FIRST[reason.rule.action])
    return Minded(
        reasons=tuple(reasons),
        avoid=frozenset(by_action[Action.AVOID]),
        ask=frozenset(by_action[Action.ASK]),
        modify=frozenset(by_action[Action.MODIFY]),
        binding=tuple(reason for reason in reasons if reason.binding),
        otherwise=tuple(r for r in reasons if r.rule.otherwise and not r.answered),
    )


def advice(client: Client, today: date, cautions: Cautions) -> tuple[Reason, ...]:
    """What to know about the person whatever is taught: rules that name no exercise."""
    return tuple(
        reason for reason in minded(client.flags, today, cautions).reasons if reason.rule.general
    )


def verdict(
    client: Client,
    exercise: Exercise,
    today: date,
    cautions: Cautions,
    repertoire: Repertoire,
    on: frozenset[ApparatusId] = frozenset(),
) -> Verdict:
    """What this person does with this exercise today.

    Args:
        on: the apparatus a swap may be on; empty means any, its own first.
    """
    return judge(client.id, exercise, minded(client.flags, today, cautions), repertoire, on)


def verdicts(
    client: Client,
    exercises: Iterable[Exercise],
    today: date,
    cautions: Cautions,
    repertoire: Repertoire,
    on: frozenset[ApparatusId] = frozenset(),
) -> tuple[Verdict, ...]:
    """What this person does with each of these exercises today, in their order."""
    mind = minded(client.flags, today, cautions)
    return tuple(judge(client.id, e, mind, repertoire, on) for e in exercises)


def judge(
    client: ClientId,
    e: Exercise,
    mind: Minded,
    repertoire: Repertoire,
    on: frozenset[ApparatusId] = frozenset(),
) -> Verdict:
    """The verdict on an exercise by all that is minded about a person."""
    if mind.leaves_alone(e):  # most exercises for most people, and quickly said
        return Verdict(client, e, Kind.FINE, False, NO_CHANGE, None, NO_CHANGE, (), ())
    kind, change = _weigh(e, mind)
    swap, swap_change = None, NO_CHANGE
    if kind in (Kind.SWAP, Kind.ASK_FIRST) and not mind.binding:
        swap, swap_change = _nearest(e, mind, repertoire, on)
        if swap is None and kind is Kind.SWAP:
            kind = Kind.LEAVE_OUT
    concerned = [
        Reason(r.rule, r.flag, r.demands & e.demands, r.answered)
        for r in mind.reasons
        if r.constant or not r.demands.isdisjoint(e.demands) or r.rule.meets(e)
    ]
    return Verdict(
        client=client,
        exercise=e,
        kind=kind,
        stop=mind.stop,
        change=change if kind is Kind.MODIFY else NO_CHANGE,
        swap=swap,
        swap_change=swap_change,
        reasons=tuple(r for r in concerned if not r.only_note),
        notes=tuple(r for r in concerned if r.only_note),
    )


def _weigh(e: Exercise, mind: Minded) -> tuple[Kind, Change]:
    """The kind before a swap has been looked for, and the change if one is enough."""
    if mind.binding:
        return Kind.ASK_FIRST, NO_CHANGE
    met = [r.rule for r in mind.otherwise if r.rule.meets(e)]
    chosen = smallest_change(e, mind.barred)
    asks = any(rule.action is Action.ASK for rule in met)
    if asks or (chosen is None and mind.ask & e.demands):
        return Kind.ASK_FIRST, NO_CHANGE
    if chosen is None or any(rule.action is Action.AVOID for rule in met):
        return Kind.SWAP, NO_CHANGE
    change = (
        Change(chosen, tuple(rule for rule in met if rule.change)) if chosen or met else NO_CHANGE
    )
    return (Kind.MODIFY if change else Kind.FINE), change


def _nearest(
    e: Exercise, mind: Minded, repertoire: Repertoire, on: frozenset[ApparatusId]
) -> tuple[Exercise | None, Change]:
    """The exercise most like this one that lacks all that is avoided, and what it needs itself."""
    second: tuple[float, Exercise, Change] | None = None
    forbidden = mind.avoid | mind.ask
    for alike, other in _candidates(e, repertoire):
        if second and alike < second[0] - PLAIN_SWAP:
            break
        if (on and other.apparatus not in on) or not forbidden.isdisjoint(other.demands):
            continue
        if second and not mind.modify.isdisjoint(other.demands):
            continue
        kind, change = _weigh(other, mind)
        if kind is Kind.FINE:
            return other, change
        if kind is Kind.MODIFY and second is None:
            second = (alike, other, change)
    return (second[1], second[2]) if second else (None, NO_CHANGE)


def _candidates(e: Exercise, repertoire: Repertoire) -> tuple[tuple[float, Exercise], ...]:
    if repertoire.exercises.get(e.id) is e:
        return _ranked(e.id, repertoire)
    return _rank(e, repertoire)


@lru_cache(maxsize=1024)
def _ranked(exercise_id: ExerciseId, repertoire: Repertoire) -> tuple[tuple[float, Exercise], ...]:
    return _rank(repertoire[exercise_id], repertoire)


def _rank(e: Exercise, repertoire: Repertoire) -> tuple[tuple[float, Exercise], ...]:
    """Everything that keeps its aim, the most alike first, with the points of likeness."""
    every = stand_ins(e, (), repertoire, most=len(repertoire.exercises))
    return tuple((likeness(e, other), other) for other in every)
