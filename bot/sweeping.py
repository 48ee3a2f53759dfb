"""What grows old, removed once a day: when she writes, and with her evening digest."""

from datetime import datetime, timedelta

from bot.ports import Store
from storage.errors import KeyMissingError

SAID_KEPT = timedelta(days=30)  # a reminder of her own that was said, where she sets nothing


def sweep(store: Store, now: datetime) -> None:
    """Remove notes and past entries of the diary older than she keeps them, and old reminders."""
    try:
        days = store.people.retention()
        if days:
            store.people.purge(now - timedelta(days=days), now)
            store.diary.purge(now - timedelta(days=days))
        store.diary.tidy(now - SAID_KEPT)
    except KeyMissingError:
        pass  # nothing about people or of the diary is kept, so nothing grows old
