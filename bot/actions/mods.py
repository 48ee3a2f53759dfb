"""Who does what instead: in a class, on a day, for a group, for a person, for a movement."""

from datetime import date

from bot.commands import Mods
from bot.desk import Desk
from bot.errors import Guess, NoClassOnError, NoMatchError, UnknownWordError
from bot.kept_plan import saved_plan
from bot.minding import class_verdicts, day_of, people_of, verdict_form, verdict_on
from bot.reply import Button, Part, Reply
from bot.when import WhenError, spot
from bot.whom import looked_up
from bot.wording import cautions, people
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH, title
from core.caution import advice
from core.client import Client
from core.codec import StaleError
from core.fold import fold
from core.saved import SavedPlan

LOOKED_BACK = 300  # plans looked through for one of a day
GROUPS_OFFERED = 6
UNFOLDED = 4  # reasons shown at once; more of them stay folded on a phone
ON = ("for", "on", "with", "doing", "in")  # between a name and a movement


def mods(command: Mods, desk: Desk) -> Reply:
    """What is asked for, found out by its words."""
    typed = command.typed
    if not typed:
        return _class(saved_plan(command.plan, desk), None, desk)
    day = _day(typed, desk)
    if day:
        return _class(_on(day, desk), None, desk)
    if desk.store.people.group(typed):
        return _class(saved_plan(command.plan, desk), people_of(typed, desk), desk)
    whom = looked_up(typed, lambda name, rest: f"mods {name} {rest}".strip(), desk)
    said = (
        [people.READ_AS.format(typed=whom.typed[:40], name=whom.client.name)] if whom.typed else []
    )
    words = whom.rest.split()
    while words and fold(words[0]) in ON:
        words.pop(0)
    if words:
        return _movement(whom.client, " ".join(words), said, desk)
    return _class(saved_plan(command.plan, desk), (whom.client,), desk, said)


def _class(
    saved: SavedPlan, whose: tuple[Client, ...] | None, desk: Desk, said: list[str] | None = None
) -> Reply:
    """Everybody of a class, or these people in it."""
    plan = saved.plan
    who = people_of(plan.brief.group, desk) if whose is None else whose
    head = [*(Part(wrapped(text)) for text in said or ()), Part(title(plan.brief, desk.repertoire))]
    if not who:
        groups = desk.store.people.groups()[:GROUPS_OFFERED]
        return Reply(
            (*head, Part(wrapped(cautions.NOBODY)), Part(wrapped(HEALTH))),
            tuple((Button(group.name, f"mods {group.name}"),) for group in groups),
            data={"plan_id": saved.number, "people": [], "verdicts": []},
        )
    today = day_of(plan, desk)
    found = [
        (
            client.name,
            list(enumerate(class_verdicts(client, plan, desk), 1)),
            advice(client, today, desk.cautions),
        )
        for client in who
    ]
    rows = [Button(each.name, f"client {each.name}") for each in who]
    lines, reasons = cautions.of_class(found)
    health = Part(wrapped(HEALTH))
    folded = len(reasons) > UNFOLDED
    why = (Part("\n".join(reasons)),) if reasons else ()
    return Reply(
        (
            *head,
            *(Part(text) for text in lines),
            *(Part(wrapped(text)) for text in _due(who, today, desk)),
            *(() if folded else why),
            health,
        ),
        (
            *(tuple(rows[at : at + 3]) for at in range(0, len(rows), 3)),
            (Button(cautions.REFIT, f"refit #{saved.number}"),),
        ),
        data={
            "plan_id": saved.number,
            "people": [each.name for each in who],
            "verdicts": [
                verdict_form(name, v, n) for name, verdicts, _ in found for n, v in verdicts
            ],
        },
        more=(*why, health) if folded else (),
    )


def _movement(client: Client, typed: str, said: list[str], desk: Desk) -> Reply:
    """One movement for one person."""
    found = desk.context.names.find(typed, desk.context.usual_apparatus)
    e = found.sure
    if e is None:
        if not found.matches:
            raise NoMatchError(typed)
        names = [m.exercise.name for m in found.matches]
        raise UnknownWordError(typed, tuple(Guess(n, f"mods {client.name} {n}") for n in names))
    v = verdict_on(client, e, desk)
    row = [Button(e.short, f"exercise {e.name}")]
    if v.swap:
        row.append(Button(v.swap.short, f"exercise {v.swap.name}"))
    return Reply(
        (
            *(Part(wrapped(text)) for text in said),
            *(Part(text) for text in cautions.of_movement(client.name, v)),
            Part(wrapped(HEALTH)),
        ),
        (tuple(row), (Button(client.name, f"client {client.name}"),)),
        data={"verdicts": [verdict_form(client.name, v)]},
    )


def _due(who: tuple[Client, ...], today: date, desk: Desk) -> list[str]:
    """A question for each review that is due by then."""
    return [
        f"{client.name}: "
        + people.REVIEW.format(
            n=n,
            what=people.flag_name(flag, desk.cautions),
            day=people.day(flag.review or flag.due or today),
        )
        for client in who
        for n, flag in enumerate(client.flags, 1)
        if flag.review_due(today)
    ]


def _day(typed: str, desk: Desk) -> date | None:
    """The day that all of these words name."""
    words = [fold(word) if word.isalpha() else word.casefold() for word in typed.split()]
    try:
        spotted = spot(words, desk.context.now)
    except WhenError:
        return None
    return spotted.day if spotted and spotted.words == len(words) else None


def _on(day: date, desk: Desk) -> SavedPlan:
    """The latest class of a day.

    Raises:
        NoClassOnError: there is none.
    """
    try:
        number = saved_plan(None, desk).number
        latest = desk.store.latest_plan(desk.repertoire)
        number = max(number, latest.number) if latest else number
    except StaleError:
        pass
    for n in range(number, max(0, number - LOOKED_BACK), -1):
        try:
            saved = desk.store.plan(n, desk.repertoire)
        except StaleError:
            continue
        if saved and saved.plan.brief.starts and saved.plan.brief.starts.date() == day:
            return saved
    raise NoClassOnError(people.day(day))
