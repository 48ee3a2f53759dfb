"""The question a chat has been asked and not answered: for a day, or until something else is said.

What is typed next may complete the line that lacked something. An answer that comes days later, or
after another command, is read for itself: nobody may be changed by a "yes" to a forgotten question.
"""

from datetime import datetime, timedelta

from bot.desk import Desk
from bot.ports import Store

HOLDS = timedelta(days=1)
LINE, ABOUT, AT = "pending", "asked", "asked_at"


def ask(line: str, about: str, desk: Desk) -> None:
    """Let the next message complete this line."""
    talk = desk.store.talk(desk.chat)
    asked = {LINE: line, ABOUT: about, AT: desk.now.isoformat()}
    desk.store.set_talk(desk.chat, {**talk, **asked})


def open_line(chat: str, now: datetime, store: Store) -> str:
    """The line that waits to be completed; nothing once the question is forgotten."""
    talk = store.talk(chat)
    line = str(talk.get(LINE, ""))
    if not line:
        return ""
    asked = datetime.fromisoformat(str(talk[AT])) if AT in talk else None
    return line if asked and timedelta() <= now - asked < HOLDS else ""


def is_about(about: str, desk: Desk) -> bool:
    """Whether what is being answered is a question about this."""
    return desk.store.talk(desk.chat).get(ABOUT) == about


def drop_line(chat: str, store: Store) -> None:
    """Something was said that is understood: the line waits no longer."""
    _without((LINE,), chat, store)


def forget(chat: str, store: Store) -> None:
    """What was asked is over, if nothing was asked anew."""
    if LINE not in store.talk(chat):
        _without((ABOUT, AT), chat, store)


def _without(keys: tuple[str, ...], chat: str, store: Store) -> None:
    talk = store.talk(chat)
    left = {key: value for key, value in talk.items() if key not in keys}
    if left != talk:
        store.set_talk(chat, left)
