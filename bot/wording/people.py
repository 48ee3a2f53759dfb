"""People as they are read back: the card, notes, flags, groups; what was kept and taken back."""

from collections.abc import Sequence
from datetime import date, datetime

from bot.wording.phrases import count, listed, wrapped
from core.caution_rule import UNKNOWN, Cautions
from core.client import Client, Flag, Group, Severity, Side
from storage.kept import Change, Declaration, Note, Undone

ADDED = "{name} is on the list, level {level}."
CHANGED = "Kept for {name}: {what}."
NOTHING_SAID = "Nothing new was said of {name}."
NICKNAME = "A nickname or initials would do as well, and say less about who it is."
READ_AS = "I read “{typed}” as {name}."
NOBODY_YET = "You keep nobody yet. Begin with: client add ANA"
NOTED = "Noted for {name}."
MAKE_FLAG = "It may be something to mind in classes. Keep it as a flag too?"
AS_A_FLAG, AS_A_NOTE = "Mind it in classes", "Keep it as a note"
TO_AGREE = "Ask {name} whether you may keep this; tap when it is so."
AGREES = "She has agreed that I keep this"
AGREED = "Kept: {name} agreed on {day} to what you hold."
NO_NOTES = "No notes yet."
NO_FLAGS = "No flags for {name}. That only means that you have told me of none."
NO_AGREEMENT = "No word yet that {name} agrees to what is kept."

UNFLAGGED = "Taken away for {name}: {what}. It is minded no longer."
ANSWER_KEPT = (
    "Kept for {name}: {by} has answered about {what}, {day}. It holds for a year at most, or until "
    "its review; then I ask again. What else is minded stays minded."
)
FLAG_KEPT = "Kept for {name}:"
FLAG_CHANGED = "Now for {name}:"
NOT_KNOWN = (
    "I don't know “{words}”. Until you say what it is, {name} does nothing without a clinician's "
    "word. Is it one of these?"
)
NOT_KNOWN_ALONE = (
    "I don't know “{words}”. Until you say what it is, {name} does nothing without a clinician's "
    "word. Say it with a body part, or leave it so."
)
LEFT_OVER = "I didn't understand “{words}”. Is it something of its own to mind?"
OF_ITS_OWN = "Mind “{words}”"
DENIED = "That reads as if there were none, so nothing is kept. To take a flag away say unflag."
WENT_AS = "I read “{typed}” as {meaning}."
REVIEW = "{n}. {what}: its review was due {day}. It goes on holding; please ask."
STILL, GONE = "{n} still there", "{n} has gone"
WHICH_SIDE = "{what}: which side?"
HOW_BAD = "{what}: how bad? I take it as marked until you say."
HOW_FAR = "{what}: how many weeks? Until you say, I mind every stage of it."
WHEN = "{what}: when was it? Until you say, I take it as fresh."
WHICH = "{what}: which {group}? Until you say, I mind all of them."
DATES = "{what}: the days don't fit each other. Say them again: {line}"
TYPE_IT = "Or type: {line}"

NO_GROUPS = "No groups yet. Begin with: group dawn add ANA, BO"
EMPTY_GROUP = "Nobody is in {name} now."
IN_GROUP = "{name}: {people}."
JOINED = "{people} {be} in {name} now."
LEFT = "{people} {be} no longer in {name}."
WAS_NOT_IN = "{people} {be} not in {name}; nothing is changed."
DROPPED = "The group {name} is gone; its people stay."
WHAT_CHANGES, DROP_UNDO = "What changes", "Undo"

BACK = {
    Change.ADDED: "Taken back: {name} is off the list again.",
    Change.CLIENT: "Taken back: {name} is as before.",
    Change.FLAGS: "Taken back: the flags of {name} are as before.",
    Change.NOTE: "Taken back: the last note on {name} is gone.",
    Change.DECLARATION: "Taken back: what {name} last declared is gone.",
    Change.GROUP: "Taken back: the group {name} is as before.",
    Change.CLASS: "Taken back: the diary is as before.",
    Change.AWAY: "Taken back: your holidays are as before.",
    Change.REMINDER: "Taken back: the reminder is as before.",
    Change.RHYTHM: "Taken back: you hear from me as before.",
}
SIDES = {Side.LEFT: "left", Side.RIGHT: "right", Side.BOTH: "both sides"}
NOTE_LONGEST = 300  # characters of a note on the card


def day(when: date) -> str:
    """ "1 Mar 2027"."""
    return f"{when.day} {when:%b %Y}"


def flag_name(flag: Flag, cautions: Cautions) -> str:
    """What a flag is about: "Wrist, left"."""
    condition = cautions.conditions.get(flag.condition)
    if condition is None or condition.id == UNKNOWN:
        return f"“{_cut(flag.words, 60)}”"
    side = SIDES.get(flag.side)
    return f"{condition.name}, {side}" if side else condition.name


def flag_line(n: int, flag: Flag, cautions: Cautions, today: date) -> str:
    """A flag on one line: what, how bad, since when, until when, who said so."""
    said = [flag_name(flag, cautions)]
    if flag.condition == UNKNOWN or flag.condition not in cautions.conditions:
        said.append("not known here, so ask first")
    else:
        said.append("acute" if flag.severity is Severity.ACUTE else flag.severity.value)
    weeks = flag.pregnant_days(today)
    if weeks is not None:
        said.append(f"week {weeks // 7}" if weeks <= 294 else "past the due date")
    after = flag.days_after(today)
    if after is not None:
        said.append(f"{count(after // 7, 'week')} after")
    said += flag.details
    if flag.since:
        said.append(f"since {day(flag.since)}")
    text = f"{n}. {', '.join(said)}."
    if flag.review:
        text += f" Review {day(flag.review)}{', due now' if flag.review_due(today) else ''}."
    if flag.said_by:
        text += f" Said by {_cut(flag.said_by, 40)}."
    if flag.answered:
        text += f" Answered by {_cut(flag.answered_by, 40) or 'a clinician'}, {day(flag.answered)}"
        text += "." if flag.answer_holds(today) else ", no longer valid."
    return wrapped(text, "   ")


def flags(client: Client, cautions: Cautions, today: date) -> str:
    """Every flag of a person."""
    if not client.flags:
        return wrapped(NO_FLAGS.format(name=client.name))
    lines = [flag_line(n, flag, cautions, today) for n, flag in enumerate(client.flags, 1)]
    return "\n".join(["To mind:", *lines])


def head(client: Client, groups: Sequence[Group], names: dict[str, str]) -> str:
    """Name, level, groups, usual springs, goals; `names` are those of the apparatus."""
    lines = [f"{client.name}, level {int(client.level)}"]
    mine = [group.name for group in groups if client.id in group.members]
    if mine:
        lines.append(f"In {listed(mine)}.")
    if client.springs:
        usual = [f"{names.get(on, on)} {setting}" for on, setting in client.springs]
        lines.append(f"Usual springs: {', '.join(usual)}.")
    if client.goals:
        lines.append(f"Goals: {listed(list(client.goals))}.")
    return "\n".join(wrapped(line, "  ") for line in lines)


def notes(found: Sequence[Note], to_local: Sequence[datetime]) -> str:
    """The latest notes, each with its day."""
    if not found:
        return NO_NOTES
    lines = [
        wrapped(f"· {when.day} {when:%b}: {_cut(note.text, NOTE_LONGEST)}", "  ")
        for note, when in zip(found, to_local, strict=True)
    ]
    return "\n".join(["Last notes:", *lines])


def agreement(name: str, said: Sequence[Declaration]) -> str:
    """Whether a person has agreed to what is kept."""
    if not said:
        return wrapped(NO_AGREEMENT.format(name=name))
    return wrapped(AGREED.format(name=name, day=day(said[0].day)))


def everybody(clients: Sequence[Client], more: int) -> str:
    """Everybody on a line each: level, and how much there is to mind."""
    if not clients:
        return wrapped(NOBODY_YET)
    lines = [
        wrapped(
            f"· {each.name}, level {int(each.level)}"
            + (f", {count(len(each.flags), 'flag')}" if each.flags else ""),
            "  ",
        )
        for each in clients
    ]
    if more:
        lines.append(f"and {more} more.")
    return "\n".join(lines)


def groups(found: Sequence[tuple[Group, Sequence[str]]]) -> str:
    """Every group with its people."""
    if not found:
        return wrapped(NO_GROUPS)
    return "\n".join(
        wrapped(f"· {group.name}: {listed(list(people)) or 'nobody'}", "  ")
        for group, people in found
    )


def in_group(name: str, people: Sequence[str]) -> str:
    """Who is in a group."""
    if not people:
        return wrapped(EMPTY_GROUP.format(name=name))
    return wrapped(IN_GROUP.format(name=name, people=listed(list(people))))


def moved(words: str, people: Sequence[str], name: str) -> str:
    """Who came or went."""
    be = "is" if len(people) == 1 else "are"
    return wrapped(words.format(people=listed(list(people)), be=be, name=name))


def taken_back(undone: Undone) -> str:
    """What undo has taken back."""
    return wrapped(BACK[undone.what].format(name=undone.name))


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
