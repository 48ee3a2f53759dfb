"""A second reading of verdicts and caution rules, which shares no code with `core.caution`."""

import random
from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from core.caution import Kind, Verdict
from core.caution_record import shipped_cautions
from core.caution_rule import Action, Rule
from core.client import Flag, Severity
from core.exercise import Demand, Exercise, Modification

CAUTIONS = shipped_cautions()
TODAY = date(2027, 3, 1)
MIND = {Action.AVOID, Action.ASK, Action.MODIFY}


def rules_of(flag: Flag, today: date) -> list[Rule]:
    """The rules that hold, found by reading each one of them again."""
    condition = flag.condition if flag.condition in CAUTIONS.conditions else "unknown"
    described = CAUTIONS.conditions[condition]
    days = None
    if described.timed.value == "pregnancy" and flag.due:
        days = 280 - (flag.due - today).days
    if described.timed.value == "after" and flag.event and flag.event <= today:
        days = (today - flag.event).days
    named = {d.group for d in described.details if d.group and d.id in flag.details}
    found: list[Rule] = []
    for rule in CAUTIONS.rules.values():
        if rule.condition != condition or flag.severity not in rule.severities:
            continue
        groups = {d.group for d in described.details if d.id in rule.details and d.group}
        if rule.details and not rule.details & set(flag.details) and not groups - named:
            continue
        low, high = rule.first_day, rule.end_day
        early = days is not None and low is not None and days < low
        late = days is not None and high is not None and days >= high
        if not early and not late:
            found.append(rule)
    return found


def asked_of(e: Exercise, changes: Iterable[Modification]) -> set[Demand]:
    """What an exercise asks after these changes: what one adds stays, whatever another removes."""
    left, added = set(e.demands), set[Demand]()
    for change in changes:
        left -= change.removes
        added |= change.adds
    return left | added


def judged(v: Verdict, flags: Sequence[Flag], today: date) -> str:
    """What is wrong with a verdict, or nothing."""
    held = [(rule, flag) for flag in flags for rule in rules_of(flag, today)]
    minded = {d for rule, _ in held if rule.action in MIND for d in rule.demands}
    avoided = {
        d
        for rule, flag in held
        if rule.action is Action.AVOID or (rule.action is Action.ASK and flag.answered is None)
        for d in rule.demands
    }
    everything = [
        rule
        for rule, flag in held
        if not (rule.demands or rule.positions or rule.themes or rule.muscles or rule.from_effort)
        and (rule.action is Action.STOP or (rule.action is Action.ASK and flag.answered is None))
    ]
    if everything and v.kind is not Kind.ASK_FIRST:
        return f"{everything[0].id} holds everything back, verdict is {v.kind}"
    if any(rule.action is Action.STOP for rule in everything) != v.stop:
        return "stop is wrong"
    if v.kind in (Kind.FINE, Kind.MODIFY):
        left = asked_of(v.exercise, v.modifications) & minded
        if left:
            return f"{v.kind} with {left}"
    if v.kind is Kind.MODIFY and not v.change:
        return "modify without a change"
    if v.kind is Kind.SWAP and v.swap is None:
        return "swap without a swap"
    if v.swap:
        if v.swap.demands & avoided or asked_of(v.swap, v.swap_change.modifications) & minded:
            return "the swap asks for what is minded"
        if v.swap.themes and not (
            v.exercise.themes[0] in v.swap.themes or v.exercise.primary is v.swap.primary
        ):
            return "the swap loses the aim"
    if (v.kind is Kind.FINE) == bool(v.reasons):
        return "reasons do not fit the verdict"
    return ""


def waits(flags: Sequence[Flag], today: date) -> bool:
    """Whether everything waits on a clinician or is stopped for a person with these flags."""
    return any(
        not (rule.demands or rule.positions or rule.themes or rule.muscles or rule.from_effort)
        and (
            rule.action is Action.STOP
            or (rule.action is Action.ASK and not (flag.answered and rule.answerable))
        )
        for flag in flags
        for rule in rules_of(flag, today)
    )


def flag_like(rng: random.Random) -> Flag:
    """A flag with a random condition, severity, details and time."""
    condition = CAUTIONS.conditions[rng.choice(tuple(CAUTIONS.conditions))]
    timed = condition.timed.value
    details = [d.id for d in condition.details if rng.random() < 0.1]
    return Flag(
        condition.id,
        severity=rng.choice(list(Severity)),
        due=TODAY + timedelta(days=rng.randint(-10, 270)) if timed == "pregnancy" else None,
        event=TODAY - timedelta(days=rng.randint(0, 300))
        if timed == "after" and rng.random() < 0.7
        else None,
        details=tuple(details),
        **({"answered": TODAY, "answered_by": "gp"} if rng.random() < 0.5 else {}),  # type: ignore[arg-type] # both or none
    )
