"""What `undo` goes back over: classes by their number, and changes about people."""

from bot.desk import Desk

PEOPLE = "people"  # stands between the numbers of plans for one change about people


def can_take_back(desk: Desk) -> None:
    """Let `undo` in this chat take back the change about people just made."""
    talk = desk.store.talk(desk.chat)
    talk["past"] = [*talk.get("past", ()), PEOPLE]
    desk.store.set_talk(desk.chat, talk)


def can_not_take_back(desk: Desk) -> None:
    """Let `undo` take back no change about people any more, because something went for good."""
    talk = desk.store.talk(desk.chat)
    if talk:
        talk["past"] = [each for each in talk.get("past", ()) if each != PEOPLE]
        desk.store.set_talk(desk.chat, talk)
