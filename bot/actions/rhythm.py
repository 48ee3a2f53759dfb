"""When she hears something by itself: the digest, announcements of classes, quiet hours."""

from dataclasses import replace
from typing import Any

from bot.commands import SetDigest, SetLead, SetQuiet, ShowDigest, ShowRhythm
from bot.desk import Desk
from bot.diary import Diary, local, refresh
from bot.digest import digest_of
from bot.errors import OutOfRangeError
from bot.reply import Button, Part, Reply
from bot.taken_back import can_take_back
from bot.wording import asking
from bot.wording import reminding as words
from bot.wording.people import day
from bot.wording.phrases import wrapped
from core.reminder import LEADS, Rhythm


def set_digest(command: SetDigest, desk: Desk) -> Reply:
    """The evening digest at another time, or not at all."""
    rhythm = replace(desk.store.diary.rhythm(), digest=command.clock)
    said = (
        words.DIGEST.format(clock=words.clock(command.clock)) if command.clock else words.DIGEST_OFF
    )
    return _kept(rhythm, said, desk)


def show_digest(_: ShowDigest, desk: Desk) -> Reply:
    """What tomorrow needs, said now."""
    tomorrow = local(desk, desk.zone.key).date().toordinal() + 1
    wanted = type(desk.context.now.date()).fromordinal(tomorrow)
    reply = digest_of(wanted, desk, Diary.of(desk.store))
    if reply:
        return reply
    said = words.NOTHING_TOMORROW.format(day=day(wanted))
    return Reply((Part(wrapped(said)),), data={"digest": None})


def set_lead(command: SetLead, desk: Desk) -> Reply:
    """Classes announced so many minutes before, or not at all.

    Raises:
        OutOfRangeError: too few or too many minutes.
    """
    if command.minutes is not None and command.minutes not in LEADS:
        raise OutOfRangeError(
            "lead", str(command.minutes), LEADS[0], LEADS[-1], "minutes before a class"
        )
    rhythm = replace(desk.store.diary.rhythm(), lead=command.minutes)
    if command.minutes is None:
        return _kept(rhythm, words.LEAD_OFF, desk)
    quiet = words.LEAD_QUIET if rhythm.quiet else ""
    said = words.LEAD.format(minutes=words.minutes(command.minutes), quiet=quiet)
    return _kept(rhythm, said, desk)


def set_quiet(command: SetQuiet, desk: Desk) -> Reply:
    """Hours in which nothing is said, or none."""
    rhythm = replace(desk.store.diary.rhythm(), quiet=command.hours)
    said = words.quiet(command.hours) if command.hours else words.QUIET_OFF
    return _kept(rhythm, said, desk)


def show_rhythm(_: ShowRhythm, desk: Desk) -> Reply:
    """When she hears something by itself."""
    rhythm = desk.store.diary.rhythm()
    return Reply((Part(words.rhythm(rhythm)),), data={"rhythm": _form(rhythm)})


def _kept(rhythm: Rhythm, said: str, desk: Desk) -> Reply:
    desk.store.diary.set_rhythm(rhythm, desk.now)
    refresh(desk.store, desk.zone.key, desk.now)
    can_take_back(desk)
    return Reply(
        (Part(wrapped(said)),),
        ((Button(asking.UNDO, "undo"),),),
        data={"rhythm": _form(rhythm)},
    )


def _form(rhythm: Rhythm) -> dict[str, Any]:
    clocks = [f"{each:%H:%M}" for each in rhythm.quiet] if rhythm.quiet else None
    return {
        "digest": f"{rhythm.digest:%H:%M}" if rhythm.digest else None,
        "lead": rhythm.lead,
        "quiet": clocks,
        "paused": rhythm.paused,
    }
