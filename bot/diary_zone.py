"""What becomes of the diary when she goes by another clock."""

from dataclasses import replace

from bot.desk import Desk
from bot.diary import refresh
from bot.reply import Button
from bot.taken_back import can_take_back
from bot.wording import diary as words
from bot.wording.phrases import listed
from core.diary import in_zone
from core.reminder import STANDING
from storage.errors import KeyMissingError

Rows = tuple[tuple[Button, ...], ...]


def zone_of_diary(zone: str, desk: Desk, *, move: bool) -> tuple[str, Rows] | None:
    """What is to be said of classes and reminders kept for another clock; None without any.

    They stay on the clock they were made for, because a class is where its people are; moving
    them all is one tap. The digest and quiet hours go with her.
    """
    try:
        kept = desk.store.diary
    except KeyMissingError:
        return None
    classes = [each for each in kept.classes() if each.cadence.zone != zone]
    reminders = [
        each
        for each in kept.reminders()
        if each.kind not in STANDING and each.cadence and each.cadence.zone != zone
    ]
    changes = 0
    if move:
        for entry in classes:
            kept.save_class(in_zone(entry, zone), desk.now)
        for each in reminders:
            assert each.cadence is not None  # they were chosen so
            moved = replace(each, cadence=replace(each.cadence, zone=zone), due=None)
            kept.save_reminder(moved, desk.now)
        changes = len(classes) + len(reminders)
    refresh(desk.store, zone, desk.now)
    if changes:
        can_take_back(desk, changes)
        return words.MOVED_CLOCK.format(zone=zone), ()
    if not classes and not reminders:
        return None
    zones = dict.fromkeys(
        [
            *(each.cadence.zone for each in classes),
            *(e.cadence.zone for e in reminders if e.cadence),
        ]
    )
    said = f"{words.OTHER_CLOCK.format(zones=listed(list(zones)))} {words.GOES_WITH}"
    return said, ((Button(words.MOVE_CLOCK.format(zone=zone), f"zone {zone} move"),),)
