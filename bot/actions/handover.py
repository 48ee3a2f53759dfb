"""A class given to a colleague: its sheet with what to change, and nothing that says why."""

from bot.by_day import day_named, plans_on
from bot.commands import Handover
from bot.desk import Desk
from bot.errors import UnknownWordError
from bot.kept_plan import saved_plan
from bot.reply import Button, File, Part, Reply
from bot.running import sheet_of
from bot.sheet import typeset
from bot.wording import asking, handovers, sheets
from bot.wording.phrases import moment, paragraph, wrapped
from bot.wording.plans import HEALTH
from core.handover import handed_over
from storage.errors import KeyMissingError

OTHERS = 3  # other classes of that day that are a tap away


def hand_over(command: Handover, desk: Desk) -> Reply:
    """The sheet for the colleague, as a file to send on; that it was made is written down.

    Raises:
        UnknownWordError: words that are no day.
        NoClassOnError: there is none that day.
    """
    number = command.plan
    others: tuple[Button, ...] = ()
    if command.day:
        day = day_named(command.day, desk)
        if day is None:
            raise UnknownWordError(command.day)
        found = plans_on(day, desk)
        number = max(each.number for each in found)
        others = tuple(
            Button(moment(each.starts, desk.context.now), f"handover #{each.number}")
            for each in found
            if each.number != number
        )
    saved = saved_plan(number, desk)
    sheet = handed_over(sheet_of(saved.plan, desk, own_words=False))
    form = handovers.handover_form(sheet, desk.repertoire)
    name = handovers.FILE.format(number=saved.number)
    _record(len(sheet.people), desk)
    said = [
        handovers.GIVEN.format(title=form["title"]),
        *(handovers.told(sheet) if sheet.people else [sheets.NO_PEOPLE]),
    ]
    show = Button(asking.SHOW, f"show #{saved.number}")
    return Reply(
        (Part(wrapped(paragraph(said))), Part(wrapped(HEALTH))),
        tuple(row for row in ((show,), others[:OTHERS]) if row),
        data={"plan_id": saved.number, "handover": form},
        files=(File(name, typeset.paper(form, desk.now), "application/pdf"),),
    )


def _record(people: int, desk: Desk) -> None:
    """Write down that it was done, where there is a trail to write in."""
    try:
        desk.store.people.record("handover", desk.now, {"people": people})
    except KeyMissingError:
        return
