"""The boxes in memory, and the post inside a transaction on them."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from threading import RLock

from core.instructor import OwnerId
from storage.drawers import mentioned
from storage.errors import TakenError
from storage.form import utc
from storage.mail import Letter, State, Update


@dataclass(frozen=True, slots=True)
class In:
    """An update in the inbox."""

    update: Update
    arrived: datetime
    state: State = State.OPEN
    error: str = ""


@dataclass(frozen=True, slots=True)
class Out:
    """A letter in the outbox."""

    letter: Letter
    owner: OwnerId | None
    due: datetime
    state: State = State.OPEN
    error: str = ""


@dataclass(slots=True)
class Lane:
    """A chat, which one worker has at a time."""

    worker: str | None = None
    lease_until: datetime | None = None
    quiet_until: datetime | None = None
    recent: tuple[float, ...] = ()

    def free(self, now: datetime) -> bool:
        """Whether it may be claimed."""
        return self.worker is None or self.lease_until is None or self.lease_until <= now

    def quiet(self, now: datetime) -> bool:
        """Whether nothing may be sent there yet."""
        return self.quiet_until is not None and self.quiet_until > now


@dataclass(slots=True)
class Pace:
    """How fast a channel is written to."""

    quiet_until: datetime | None = None
    spent: list[tuple[float, int]] = field(default_factory=list)


class Boxes:
    """What all transactions share; hold the lock to look."""

    def __init__(self) -> None:
        self.lock = RLock()
        self.inbox: dict[int, In] = {}
        self.outbox: dict[int, Out] = {}
        self.lanes: dict[str, Lane] = {}
        self.paces: dict[str, Pace] = {}
        self._last = 0

    def waiting(self) -> list[In]:
        """Updates that wait, by number."""
        return [each for _, each in sorted(self.inbox.items()) if each.state is State.OPEN]

    def due(self, now: datetime) -> list[Out]:
        """Letters that are due, in the order they are to be sent."""
        open_ones = [e for e in self.outbox.values() if e.state is State.OPEN and e.due <= now]
        return sorted(open_ones, key=lambda each: (each.due, each.letter.id))

    def given(self, post: str) -> bool:
        """Whether this post was given before."""
        return any(each.letter.post == post for each in self.outbox.values())

    def add(self, out: Out) -> None:
        """Put a letter into the outbox, under the next number."""
        self._last += 1
        self.outbox[self._last] = replace(out, letter=replace(out.letter, id=self._last))
        self.lanes.setdefault(out.letter.chat, Lane())

    def forget(self, owner: OwnerId | None, chat: str, name: str) -> None:
        """Let nothing leave that names somebody, or has a file; nor keep what was given up."""
        for number, each in self.outbox.items():
            if each.owner == owner and _named(each.letter.body, name):
                gone = replace(each.letter, body=None)
                self.outbox[number] = replace(each, letter=gone, state=State.DONE)
        for number, known in self.inbox.items():
            dead = known.state is State.DEAD and known.update.chat == chat
            if dead and _named(known.update.body, name):
                empty = replace(known.update, body=None)
                self.inbox[number] = replace(known, update=empty, state=State.DONE)


def _named(body: str | None, name: str) -> bool:
    form = json.loads(body or "{}")
    return "file" in form or mentioned(form, name)


class MemoryMail:
    """The post inside one transaction: put into the boxes when that ends well."""

    def __init__(self, boxes: Boxes, owner: OwnerId | None, door: str = "") -> None:
        self._boxes = boxes
        self._owner = owner
        self._door = door
        self._forgotten: list[str] = []
        self._outs: list[Out] = []
        self._done: list[int] = []

    def post(
        self,
        chat: str,
        post: str,
        letters: Sequence[str],
        at: datetime,
        due: datetime | None = None,
    ) -> bool:
        """Whether these letters will be sent; False when this post was given before."""
        with self._boxes.lock:
            if self._boxes.given(post) or any(each.letter.post == post for each in self._outs):
                return False
        self._outs += [
            Out(Letter(0, chat, post, part, text, utc(at)), self._owner, utc(due or at))
            for part, text in enumerate(letters)
        ]
        return True

    def done(self, number: int) -> None:
        """Mark an update as answered; its body goes.

        Raises:
            TakenError: somebody else has answered it.
        """
        self._check([number])
        self._done.append(number)

    def answered(self, number: int, chat: str, letters: Sequence[str], at: datetime) -> None:
        """Mark an update as answered by these letters; its body goes.

        Raises:
            TakenError: somebody else has answered it.
        """
        self.done(number)
        self.post(chat, f"update {number}", letters, at)

    def forget(self, name: str) -> None:
        """Let nothing leave that names somebody and was posted before this transaction."""
        self._forgotten.append(name)

    def keep(self) -> None:
        """Put everything into the boxes.

        Raises:
            TakenError: somebody else has answered an update meanwhile.
        """
        with self._boxes.lock:
            self._check(self._done)
            for name in self._forgotten:
                self._boxes.forget(self._owner, self._door, name)
            for number in self._done:
                known = self._boxes.inbox[number]
                empty = replace(known.update, body=None)
                self._boxes.inbox[number] = replace(known, update=empty, state=State.DONE)
            for out in self._outs:
                self._boxes.add(out)

    def _check(self, numbers: Sequence[int]) -> None:
        with self._boxes.lock:
            for number in numbers:
                known = self._boxes.inbox.get(number)
                if known is None or known.state is not State.OPEN:
                    raise TakenError(f"update {number} has been answered by another worker")
