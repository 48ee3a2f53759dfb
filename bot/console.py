"""The terminal door: a message a line, the same answers as on the phone.

Lines that begin with `@` steer the door and are no messages; see STEERING.
"""

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol, TextIO
from zoneinfo import ZoneInfo

from bot.reply import Button, File, Incoming, Part, Reply
from bot.wording import console as words
from bot.wording.phrases import wrapped

SPAN = re.compile(r"([+-])(\d{1,12})([smhdw])")
NUMBER = re.compile(r"\d{1,3}")
YEARS = range(1970, 2201)  # what the clock may be set to; beyond, dates run out of numbers
UNITS = {"s": "seconds", "m": "minutes", "h": "hours", "d": "days", "w": "weeks"}
STEERING = ("@now", "@as", "@chat", "@tap", "@files")


class Answerer(Protocol):
    """Who answers."""

    def answer(self, incoming: Incoming) -> list[Reply]:
        """The replies to a message."""


class Admitter(Protocol):
    """Who lets people in at this door."""

    def admit(self, door: str, zone: str = "") -> object:
        """Let somebody in; somebody already in stays who she is."""


class Waker(Protocol):
    """Who says reminders that are due at this door."""

    def say(self, door: str) -> list[tuple[str, Reply]]:
        """What is due by now, each with the chat it goes to."""


class HandClock:
    """A clock that can be set; until then it is the machine's."""

    def __init__(self, at: datetime | None = None) -> None:
        self._at = at
        self._ahead = timedelta()

    def now(self) -> datetime:
        """This instant, aware, in UTC."""
        return (self._at or datetime.now(UTC)) + self._ahead

    def set(self, at: datetime) -> None:
        """Stand still at this instant."""
        self._at, self._ahead = at, timedelta()

    def move(self, span: timedelta) -> None:
        """Go forwards or back."""
        self._ahead += span


@dataclass(slots=True)
class Console:
    """A conversation in a terminal.

    Attributes:
        waker: who says reminders; without one none are said here.
        zone: of new instructors, and of times typed after @now.
        as_json: every reply as one JSON object a line.
        prompting: somebody sits at the terminal; a number alone presses a button.
    """

    answerer: Answerer
    admitter: Admitter
    clock: HandClock
    zone: str
    out: TextIO
    name: str = "me"
    as_json: bool = False
    prompting: bool = False
    private: bool = True
    waker: Waker | None = None
    buttons: tuple[Button, ...] = field(default=())
    folder: Path | None = None  # where files of replies are put; nowhere until she says so

    def run(self, lines: Iterable[str]) -> None:
        """Answer every message until there are no more."""
        self.admitter.admit(self.door, self.zone)
        for message in messages(lines):
            self.take(message)

    @property
    def door(self) -> str:
        """Who speaks."""
        return f"console:{self.name}"

    @property
    def chat(self) -> str:
        """Where she speaks: her own chat, or a group's."""
        return self.door if self.private else f"{self.door}:group"

    def take(self, message: str) -> None:
        """One message or one steering line."""
        if message.startswith("@") and "\n" not in message:
            self._steer(message)
        elif self.prompting and NUMBER.fullmatch(message.strip()) and self._button(message.strip()):
            self._tap(message.strip())
        else:
            self._say(message, tapped=False)
        self._ring()

    def _ring(self) -> None:
        """Show what has fallen due meanwhile, the same as it would come on the phone."""
        for chat, reply in self.waker.say(self.door) if self.waker else ():
            self.buttons = reply.buttons
            self._print(reply, chat)

    def _say(self, text: str, *, tapped: bool) -> None:
        incoming = Incoming(self.door, self.chat, text, self.private, tapped)
        for reply in self.answerer.answer(incoming):
            self.buttons = reply.buttons
            for file in reply.files:
                self._keep(file)
            self._print(reply)

    def _steer(self, line: str) -> None:
        word, _, rest = line.partition(" ")
        rest = rest.strip()
        match word:
            case "@now":
                self._now(rest)
            case "@as" if rest:
                self.name = "-".join(rest.split())
                self.buttons = ()
                self.admitter.admit(self.door, self.zone)
            case "@chat" if rest in ("group", "private"):
                self.private = rest == "private"
            case "@files" if rest:
                self._files(rest)
            case "@tap":
                self._tap(rest)
            case _:
                self._print(_note(words.NO_STEERING.format(line=line[:40])))

    def _files(self, name: str) -> None:
        folder = Path(name).expanduser()
        if not folder.is_dir():
            self._print(_note(words.NO_FOLDER.format(name=name[:40])))
            return
        self.folder = folder

    def _keep(self, file: File) -> None:
        """Put a file into the folder, for its owner's eyes only."""
        if self.folder is None:
            return
        path = self.folder / file.name
        path.write_bytes(file.content)
        path.chmod(0o600)

    def _now(self, text: str) -> None:
        span = SPAN.fullmatch(text)
        try:
            if span:
                far = timedelta(**{UNITS[span[3]]: int(span[1] + span[2])})
                sane(self.clock.now() + far)
                self.clock.move(far)
            else:
                self.clock.set(instant(text, self.zone))
        except (ValueError, OverflowError):
            self._print(_note(words.NO_TIME.format(text=text[:40])))

    def _tap(self, wanted: str) -> None:
        button = self._button(wanted)
        if button is None:
            labels = ", ".join(f"{n} {b.label}" for n, b in enumerate(self.buttons, 1))
            self._print(_note(words.NO_BUTTON.format(wanted=wanted[:40], labels=labels or "none")))
            return
        self._say(button.line, tapped=True)

    def _button(self, wanted: str) -> Button | None:
        if NUMBER.fullmatch(wanted) and 1 <= int(wanted) <= len(self.buttons):
            return self.buttons[int(wanted) - 1]
        folded = wanted.casefold()
        return next((b for b in self.buttons if b.label.casefold() == folded), None)

    def _print(self, reply: Reply, chat: str = "") -> None:
        if self.as_json:
            self.out.write(json.dumps(to_json(reply, chat or self.chat), ensure_ascii=False) + "\n")
        else:
            self.out.write(to_text(reply, self.folder) + "\n\n")
        self.out.flush()


def messages(lines: Iterable[str]) -> Iterator[str]:
    """The messages in these lines: one each, or all between <<< and >>> as one."""
    block: list[str] | None = None
    for raw in lines:
        line = raw.rstrip("\r\n")
        if block is None and line.strip() == "<<<":
            block = []
        elif block is not None and line.strip() == ">>>":
            yield "\n".join(block)
            block = None
        elif block is not None:
            block.append(line)
        else:
            yield line
    if block:
        yield "\n".join(block)


def instant(text: str, zone: str) -> datetime:
    """The instant an ISO time names, in this zone if it gives none.

    Raises:
        ValueError: it is no ISO time.
    """
    from_text = datetime.fromisoformat(text)
    if from_text.tzinfo is None:
        from_text = from_text.replace(tzinfo=ZoneInfo(zone))
    return sane(from_text).astimezone(UTC)


def sane(at: datetime) -> datetime:
    """The instant, if a clock may be set to it.

    Raises:
        ValueError: it lies too far off.
    """
    if at.year not in YEARS:
        raise ValueError(at)
    return at


def to_json(reply: Reply, chat: str) -> dict[str, object]:
    """A reply as the public contract has it."""
    return {
        "to": chat,
        "text": reply.text,
        "buttons": [
            {"n": n, "label": button.label, "line": button.line}
            for n, button in enumerate(reply.buttons, 1)
        ],
        "files": [
            {"name": file.name, "kind": file.kind, "bytes": len(file.content)}
            for file in reply.files
        ],
        "data": dict(reply.data),
    }


def to_text(reply: Reply, folder: Path | None = None) -> str:
    """A reply as it stands in a terminal, its buttons numbered.

    Args:
        folder: where its files have been put.
    """
    text = reply.text
    if reply.files:
        text += "\n\n" + "  ".join(
            words.FILE.format(name=file.name, size=max(1, len(file.content) // 1000))
            for file in reply.files
        )
        text += "\n" + (words.PUT.format(folder=folder) if folder else words.NOT_PUT)
    if reply.buttons:
        labels = "  ".join(f"[{n}] {b.label}" for n, b in enumerate(reply.buttons, 1))
        text += f"\n\n{labels}"
    return text


def prompted() -> Iterator[str]:
    """Lines typed at a prompt, until the end or Ctrl-C."""
    while True:
        try:
            yield input("› ")
        except (EOFError, KeyboardInterrupt):
            return


def _note(text: str) -> Reply:
    return Reply((Part(wrapped(text)),), data={"error": "Steering"})
