"""Signs of an emergency in what was typed: answered before everything else."""

from dataclasses import replace

from bot.reply import Part, Reply
from bot.wording import cautions
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH
from core.client import Client
from core.red_flags import alarms

EXPECTING = ("pregnancy", "after-birth")  # conditions that make some signs weigh more


def warned(reply: Reply, text: str, client: Client | None = None) -> Reply:
    """The reply with stop and seek help before it, if the text gives cause; else as it is."""
    expecting = client is not None and any(f.condition in EXPECTING for f in client.flags)
    found = alarms(text, pregnant=expecting)
    if not found:
        return reply
    shown = [each for each in found if each.stops] or list(found)
    said = dict.fromkeys(cautions.alarm(each) for each in shown)
    parts = (*(Part(each) for each in said), *reply.parts)
    if all(part.text != wrapped(HEALTH) for part in reply.parts):
        parts = (*parts, Part(wrapped(HEALTH)))
    form = [
        {
            "sign": each.sign,
            "urgency": each.urgency.name.lower(),
            "said": each.said.name.lower(),
            "words": each.words,
        }
        for each in found
    ]
    return replace(reply, parts=parts, data={**reply.data, "red_flags": form})
