"""Four plain questions, one at a time; the answers stand in the line, so nothing is half kept."""

from bot import open_question
from bot.commands import Screen
from bot.desk import Desk
from bot.reply import Button, Part, Reply
from bot.taken_back import can_take_back
from bot.whom import only
from bot.wording import asking, cautions, people
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH
from core.screening import QUESTIONS, Answers, screen
from storage.kept import Declaration

KIND = "readiness"


def ask(command: Screen, desk: Desk) -> Reply:
    """The next question, or the outcome of all four answers."""
    answers = command.answers
    said = "".join(f" {'yes' if each else 'no'}" for each in answers)
    client = only(command.typed, lambda name, _: f"screen {name}{said}", desk)
    if len(answers) < len(QUESTIONS):
        question = cautions.QUESTIONS[QUESTIONS[len(answers)]].format(name=client.name)
        line = f"screen {client.name}{said}"
        open_question.ask(line, KIND, desk)
        row = (Button(cautions.YES, f"{line} yes"), Button(cautions.NO, f"{line} no"))
        return Reply(
            (Part(wrapped(question)), Part(wrapped(HEALTH))),
            (row,),
            data={"client": client.name, "missing": QUESTIONS[len(answers)]},
        )
    given = dict(zip(QUESTIONS, answers, strict=True))
    outcome = screen(Answers(**given))
    today = desk.context.now.date()
    desk.store.people.declare(client.id, Declaration(KIND, today, outcome.value, given), desk.now)
    can_take_back(desk)
    return Reply(
        (
            Part(cautions.outcome(client.name, people.day(today), outcome)),
            Part(wrapped(f"{cautions.NOT_FIT} {cautions.TABLE_SOURCE}")),
            Part(wrapped(HEALTH)),
        ),
        ((Button(cautions.AGAIN, f"screen {client.name}"), Button(asking.UNDO, "undo")),),
        data={
            "client": client.name,
            "readiness": {"day": today.isoformat(), "outcome": outcome.value, "answers": given},
        },
    )
