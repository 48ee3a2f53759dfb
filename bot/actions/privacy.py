"""All that is kept given out, somebody erased for good, notes kept for so long and no longer."""

import json
from datetime import timedelta

from bot.commands import Erase, Export, SetRetention, ShowRetention
from bot.desk import Desk
from bot.reply import File, Part, Reply
from bot.taken_back import can_not_take_back
from bot.whom import only
from bot.wording import people, privacy
from bot.wording.phrases import count, wrapped
from core.client import Client
from core.deadline import answer_by


def export(command: Export, desk: Desk) -> Reply:
    """Two files: one for programs, one to read."""
    store = desk.store.people
    client = only(command.typed, lambda name, _: f"export {name}", desk) if command.typed else None
    form = store.export(desk.now, client.id if client else None)
    number = count(len(form["clients"]), "person", "people")
    whom = client.name if client else privacy.EVERYBODY.format(people=number)
    text = privacy.readable(form, desk.now.astimezone(desk.zone))
    whole = json.dumps(form, ensure_ascii=False, indent=2)
    return Reply(
        (
            Part(wrapped(privacy.EXPORTED.format(whom=whom))),
            Part(wrapped(privacy.EXPORT_WARNING)),
            *_answer_by(client, desk),
        ),
        data={"export": {"clients": len(form["clients"])}},
        files=(
            File("coilbook-people.json", whole.encode(), "application/json"),
            File("coilbook-people.txt", text.encode(), "text/plain"),
        ),
    )


def erase(command: Erase, desk: Desk) -> Reply:
    """What erasing would take away; and, said in so many words, its doing."""
    store = desk.store.people
    client = only(command.typed, lambda name, _: f"erase {name}", desk)
    if not command.for_good:
        counts = {
            "flags": len(client.flags),
            "notes": len(store.notes(client.id)),
            "declarations": len(store.declarations(client.id)),
            "groups": sum(client.id in group.members for group in store.groups()),
        }
        what = privacy.counted(counts)
        return Reply(
            (
                Part(wrapped(privacy.ABOUT_TO_ERASE.format(name=client.name, what=what))),
                Part(wrapped(privacy.BACKUPS)),
                *_answer_by(client, desk),
                Part(wrapped(privacy.SAY_SO.format(name=client.name))),
            ),
            data={"missing": "for good", "erase": counts},
        )
    flags = {"flags": len(client.flags)}
    counts = flags | (store.erase_client(client.id, desk.now) or {})
    can_not_take_back(desk)
    day = people.day(desk.context.now.date())
    parts = [
        Part(wrapped(privacy.ERASED.format(what=privacy.counted(counts)))),
        Part(wrapped(privacy.TRACE.format(day=day))),
        Part(wrapped(privacy.BACKUPS)),
    ]
    if counts.get("mentions"):
        parts.insert(1, Part(privacy.mentioned(counts["mentions"])))
    return Reply(tuple(parts), data={"erased": counts})


def show_retention(_: ShowRetention, desk: Desk) -> Reply:
    """For how long notes are kept."""
    days = desk.store.people.retention()
    text = privacy.KEPT_FOR.format(days=days) if days else privacy.KEPT_FOREVER
    return Reply((Part(wrapped(text)),), data={"retention_days": days})


def set_retention(command: SetRetention, desk: Desk) -> Reply:
    """Notes kept for so many days; older ones go at once."""
    store = desk.store.people
    store.set_retention(command.days)
    if command.days is None:
        return Reply((Part(wrapped(privacy.KEPT_FOREVER)),), data={"retention_days": None})
    before = desk.now - timedelta(days=command.days)
    gone = store.purge(before, desk.now)
    past = desk.store.diary.purge(before)
    return Reply(
        (
            Part(wrapped(privacy.KEPT_FOR.format(days=command.days))),
            Part(privacy.purged(gone)),
            *((Part(privacy.past(past)),) if past else ()),
        ),
        data={"retention_days": command.days, "purged": gone, "purged_diary": past},
    )


def _answer_by(client: Client | None, desk: Desk) -> list[Part]:
    """Until when a person who asks has to have her answer."""
    if client is None:
        return []
    day = people.day(answer_by(desk.context.now.date()))
    return [Part(wrapped(privacy.ANSWER_BY.format(name=client.name, day=day)))]
