"""Replies put into the outbox, by the transaction that does what they say.

A reminder is sent so, too: in the transaction that moves it to its next time,

    with vault.begin(owner) as store:
        post(store, instructor.door, reply, f"reminder {number} {day}", now)

and nothing has to be sent by whoever found it due. The post is named after what it is about, and
a name is given once only, so that the same thing found due twice is said once.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from bot import buttons
from bot.letter import letters, to_text
from bot.mail_ports import Mail
from bot.ports import Store
from bot.reply import Reply


@dataclass(frozen=True, slots=True)
class Receipt:
    """The update that is being answered.

    Attributes:
        number: what the channel calls it.
        over: the message that the answer takes the place of, where a button was pressed.
    """

    number: int
    over: int | None = None


def post(
    store: Store, chat: str, reply: Reply, name: str, now: datetime, due: datetime | None = None
) -> bool:
    """Have a reply sent to a chat of hers, without her having asked just now.

    Args:
        chat: e.g. "telegram:4711".
        name: what it is about; when a post of this name was given before, nothing is sent.
        due: not before this instant; at once without it.

    Returns: False when a post of this name was given before.
    """
    buttons.keep([reply], store)
    return store.mail.post(chat, name, [to_text(each) for each in letters([reply])], now, due)


def answer(
    mail: Mail, chat: str, replies: Iterable[Reply], receipt: Receipt, now: datetime
) -> None:
    """Have the answer to an update sent, and mark the update.

    Raises:
        TakenError: somebody else has answered it; this transaction must come to nothing.
    """
    written = [to_text(each) for each in letters(replies, receipt.over)]
    mail.answered(receipt.number, chat, written, now)
