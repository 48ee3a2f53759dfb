"""What `undo` goes back over: classes by their number, and changes about people."""

from bot.desk import Desk

PEOPLE = "people"  # stands between the numbers of plans for one change about people


def can_take_back(desk: Desk, changes: int = 1) -> None:
    """Let `undo` in this chat take back what was just changed about people or in the diary.

    Args:
        changes: how many were made at once, and are taken back at once.
    """
    talk = desk.store.talk(desk.chat)
    talk["past"] = [*talk.get("past", ()), PEOPLE if changes == 1 else f"{PEOPLE} {changes}"]
    desk.store.set_talk(desk.chat, talk)


def can_not_take_back(desk: Desk) -> None:
    """Let `undo` take back no change about people any more, because something went for good."""
    talk = desk.store.talk(desk.chat)
    if talk:
        talk["past"] = [each for each in talk.get("past", ()) if not taken_back_at(each)]
        desk.store.set_talk(desk.chat, talk)


def taken_back_at(mark: object) -> int:
    """How many changes about people or in the diary a mark stands for; none for a plan's number."""
    if not isinstance(mark, str) or not mark.startswith(PEOPLE):
        return 0
    return int(mark.removeprefix(PEOPLE) or 1)
