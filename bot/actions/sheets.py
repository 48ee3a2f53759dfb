"""The run sheet of a class, for paper, for the phone, and as a picture."""

from bot.commands import SendSheet
from bot.desk import Desk
from bot.kept_plan import saved_plan
from bot.reply import Button, File, Part, Reply
from bot.running import sheet_of
from bot.sheet import typeset
from bot.wording import asking, sheets
from bot.wording.phrases import paragraph, wrapped
from bot.wording.plans import HEALTH

SETTERS = {"paper": typeset.paper, "phone": typeset.phone, "picture": typeset.picture}
KINDS = {"paper": "application/pdf", "phone": "application/pdf", "picture": "image/png"}


def send(command: SendSheet, desk: Desk) -> Reply:
    """The sheet in the form asked for, or in all of them."""
    saved = saved_plan(command.plan, desk)
    number = saved.number
    sheet = sheet_of(saved.plan, desk)
    form = sheets.sheet_form(sheet, desk.repertoire)
    wanted = [command.form] if command.form else list(SETTERS)
    files = tuple(
        File(sheets.FILES[each].format(number=number), SETTERS[each](form, desk.now), KINDS[each])
        for each in wanted
    )
    said = [
        sheets.SENT.format(title=form["title"]),
        sheets.HAS_PEOPLE if sheet.people else sheets.NO_PEOPLE,
        "" if command.form else sheets.ONE_OF,
    ]
    return Reply(
        (Part(wrapped(paragraph(said))), Part(wrapped(HEALTH))),
        ((Button(asking.SHOW, f"show #{number}"),),),
        data={"plan_id": number, "sheet": form},
        files=files,
    )
