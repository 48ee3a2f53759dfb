"""The words of a class that is given to a colleague."""

from collections.abc import Sequence
from typing import Any

from bot.wording.phrases import listed
from bot.wording.sheets import CUE_LONGEST, NOTHING, need_words, plain, sheet_form
from core.repertoire import Repertoire
from core.sheet import RunSheet

GIVEN = "{title}, for whoever takes it. Send the file on yourself."
PEOPLE = (
    "It has first names and what to change, no notes and no reasons. Ask your people first, and "
    "have it deleted after the class."
)
SIT_OUT = "On the sheet {names} until whoever takes the class has spoken with you."
MORE = (
    "About {names} there is more to mind all through than the sheet says: tell your colleague "
    "what you have leave to tell."
)
FILE = "handover-{number}.pdf"
ABOUT = "handover · delete it after the class"
SITS_OUT = "sits out until you have spoken with the instructor who gave you this"


def handover_form(sheet: RunSheet, repertoire: Repertoire) -> dict[str, Any]:
    """The sheet for a colleague as values for a template; it has been made one for her before."""
    form = sheet_form(sheet, repertoire)
    people = []
    for each, person in zip(form["people"], sheet.people, strict=True):
        needs = [need_words(need) for need in person.needs]
        if person.stop or person.waits:
            needs = [("", SITS_OUT)]
        words = [
            {"at": at, "text": plain(text, CUE_LONGEST)} for at, text in needs or [("", NOTHING)]
        ]
        people.append(each | {"needs": words})
    return form | {"people": people, "about": f"{form['about']} · {ABOUT}"}


def told(sheet: RunSheet) -> Sequence[str]:
    """What the instructor herself is told beside the sheet; the colleague does not see it."""
    out = [each.name for each in sheet.people if each.stop or each.waits]
    more = [each.name for each in sheet.people if each.all_through and each.name not in out]
    sit = f"{listed(out)} {'sits' if len(out) == 1 else 'sit'} out" if out else ""
    return [
        PEOPLE,
        SIT_OUT.format(names=sit) if sit else "",
        MORE.format(names=listed(more)) if more else "",
    ]
