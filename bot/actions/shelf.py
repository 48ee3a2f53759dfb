"""Classes kept under a name: saved, listed, opened, copied, put away, compared."""

from bot.commands import Compare, ListClasses, OpenClass, RetireClass, SaveClass
from bot.desk import Desk
from bot.errors import NoSuchClassError
from bot.kept_plan import keep, saved_plan, shown, turn_to
from bot.reply import Button, Part, Reply
from bot.wording import changes, comparing
from bot.wording.phrases import wrapped
from core.codec import plan_to_json
from core.fold import fold
from core.saved import KeptClass


def save(command: SaveClass, desk: Desk) -> Reply:
    """The class kept under a name, or a copy of it as a class of its own."""
    saved = saved_plan(None, desk)
    if command.copy:
        saved = keep(saved.plan, desk)
    kept = desk.store.keep_class(command.name, saved.number)
    words = changes.COPIED if command.copy else changes.SAVED
    return Reply(
        (Part(wrapped(words.format(name=kept.name, version=kept.version))),),
        ((Button(kept.name, f"open {kept.name}"),),),
        data={"kept": _form(kept)},
    )


def open_class(command: OpenClass, desk: Desk) -> Reply:
    """A kept class; this chat is about it from now on."""
    kept = _named(command.name, desk)
    saved = saved_plan(kept.plan, desk)
    turn_to(saved, desk)
    said = changes.OPENED.format(name=kept.name, version=kept.version)
    return shown(saved, desk, [said])


def retire(command: RetireClass, desk: Desk) -> Reply:
    """A kept class put away; its plans stay in the past."""
    kept = _named(command.name, desk)
    desk.store.retire_class(kept.name)
    return Reply(
        (Part(wrapped(changes.PUT_AWAY.format(name=kept.name))),), data={"retired": _form(kept)}
    )


def list_classes(_: ListClasses, desk: Desk) -> Reply:
    """Every kept class, each a button."""
    kept = desk.store.kept_classes()
    return Reply(
        (Part(comparing.shelf(kept)),),
        tuple((Button(each.name, f"open {each.name}"),) for each in kept[:20]),
        data={"kept": [_form(each) for each in kept]},
    )


def compare(command: Compare, desk: Desk) -> Reply:
    """This class held against another."""
    here = saved_plan(None, desk)
    number = command.plan or _named(command.name, desk).plan
    other = saved_plan(number, desk)
    name = command.name or f"#{number}"
    return Reply(
        tuple(Part(text) for text in comparing.plans(here.plan, other.plan, name)),
        ((Button(name, f"show #{other.number}"),),),
        data={
            "plan": plan_to_json(here.plan, desk.repertoire, here.number),
            "other": plan_to_json(other.plan, desk.repertoire, other.number),
        },
    )


def _named(typed: str, desk: Desk) -> KeptClass:
    kept = desk.store.kept_classes()
    for each in kept:
        if fold(each.name) == fold(typed):
            return each
    raise NoSuchClassError(typed, tuple(each.name for each in kept))


def _form(kept: KeptClass) -> dict[str, object]:
    return {"name": kept.name, "version": kept.version, "plan": kept.plan}
