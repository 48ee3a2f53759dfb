"""What is kept and for how long, given out and erased; who is let in."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from bot.wording.phrases import count, listed, wrapped
from storage.errors import SealError
from storage.kept import Access

NO_KEY = (
    "People can't be kept here yet: their data is sealed, and there is no key. Whoever runs this "
    "sets COILBOOK_KEY. Classes work without it."
)
UNREADABLE = (
    "Something can't be read: {what}. It was changed outside the program, or its key is missing. "
    "Everything else is as it was."
)
TOO_MANY = "That is a lot at once. Nothing of it is done; please go on in a minute."
EXPORTED = "Two files with all that is kept about {whom}: one to read, one for programs."
EVERYBODY = "everybody ({people})"
EXPORT_WARNING = "They are no longer sealed: keep them where nobody else looks, or delete them."
ANSWER_BY = (
    "If {name} asked for this today, the answer is due within a month, by {day}. Local rules come "
    "first."
)
ABOUT_TO_ERASE = "Erasing {name} can't be taken back. It takes away: {what}."
BACKUPS = (
    "Backups made earlier still hold it until they are replaced by newer ones. Messages in this "
    "chat stay on your phone until you delete them there."
)
SAY_SO = "If you are sure, type: erase {name} for good"
ERASED = "Erased for good: {what}."
TRACE = "Only this stays: that something was erased on {day}, and how much."
MENTIONED = (
    "{count} about others may still have the name in it; they are yours to change. Look with "
    "export."
)
KEPT_FOR = (
    "Notes, and classes, holidays and reminders that are past, are kept for {days} days, then they "
    "go by themselves."
)
KEPT_FOREVER = "Notes are kept until you erase them. To change it: retention 2 years"
PURGED = "{notes} older than that {be} gone for good."
PAST = "{entries} of the diary older than that {be} gone too."
NONE_OLDER = "None is older than that now."
OWN_ONLY = "Only the first instructor of this house can do that."
ACCESS = "Let in:"
REVOKE = "Revoke {door}"
REVOKED = "{door} is let in no longer. Her data waits for her, sealed; invite her to let her back."
OWN_DOOR = "That is your own door; I keep it open."
NO_DOOR = "Nobody is let in by {door}."
INVITED = (
    "One person can get in with this, once, until {until}. Send it to her yourself: /start {code}"
)

COUNTED = {
    "notes": ("note", "notes"),
    "flags": ("flag", "flags"),
    "declarations": ("declaration", "declarations"),
    "attendances": ("class she was in", "classes she was in"),
    "changes": ("earlier state", "earlier states"),
    "groups": ("place in a group", "places in groups"),
    "lines": ("kept button", "kept buttons"),
    "talks": ("open conversation", "open conversations"),
    "plans": ("name on a plan", "names on plans"),
    "classes": ("place in a class", "places in classes"),
    "reminders": ("reminder", "reminders"),
    "kept": ("class kept under the name", "classes kept under the name"),
}


def unreadable(faults: Sequence[SealError]) -> str:
    """Where something can't be read; nothing of what it was."""
    places = dict.fromkeys(f"{f.column} of {f.table} {f.row}" for f in faults)
    return UNREADABLE.format(what=listed(list(places)[:5]))


def counted(counts: Mapping[str, int]) -> str:
    """ "the name, 2 notes and 1 place in a group"."""
    said = [
        count(counts[key], one, many) for key, (one, many) in COUNTED.items() if counts.get(key)
    ]
    return listed(["name and card", *said])


def mentioned(number: int) -> str:
    """That the name still stands elsewhere."""
    return wrapped(MENTIONED.format(count=count(number, "record")))


def purged(notes: int) -> str:
    """How many notes went because of their age."""
    if not notes:
        return NONE_OLDER
    return wrapped(PURGED.format(notes=count(notes, "note"), be="is" if notes == 1 else "are"))


def past(entries: int) -> str:
    """How many entries of the diary went because of their age."""
    said = count(entries, "entry", "entries")
    return wrapped(PAST.format(entries=said, be="is" if entries == 1 else "are"))


def access(found: Sequence[Access], own: str) -> str:
    """Who is let in, and since when."""
    lines = [ACCESS]
    for each in found:
        since = f", since {_day(each.admitted_at)}" if each.admitted_at else ""
        lines.append(wrapped(f"· {each.door}{since}{' (you)' if each.door == own else ''}", "  "))
    return "\n".join(lines)


def readable(form: Mapping[str, Any], made: datetime) -> str:
    """An export as a page to read: a line a fact, everything in the form in it."""
    lines = [f"What Coilbook keeps, {_day(made)}", ""]
    for client in form["clients"]:
        lines += [str(client.get("name", f"number {client['id']}")), "=" * 20]
        lines += _facts({k: v for k, v in client.items() if k not in ("id", "name")}, 0)
        lines.append("")
    rest = {key: value for key, value in form.items() if key != "clients"}
    lines += _facts(rest, 0)
    return "\n".join(lines) + "\n"


def _facts(value: Mapping[str, Any], depth: int) -> list[str]:
    """Names and values, what is empty left out."""
    lines: list[str] = []
    for key, each in value.items():
        if each in (None, "", [], {}):
            continue
        name = str(key).replace("_", " ")
        lines += _fact(name, each, depth)
    return lines


def _fact(name: str, value: object, depth: int) -> list[str]:
    indent = "  " * depth
    if isinstance(value, Mapping):
        return [f"{indent}{name}:", *_facts(value, depth + 1)]
    if isinstance(value, list):
        lines = [f"{indent}{name}:"]
        for each in value:
            if isinstance(each, Mapping):
                facts = _facts(each, depth + 2)
                lines += [f"{indent}  - {facts[0].strip()}", *facts[1:]] if facts else []
            else:
                lines.append(f"{indent}  - {each}")
        return lines
    return [f"{indent}{name}: {value}"]


def _day(when: datetime) -> str:
    return f"{when.day} {when:%b %Y}"
