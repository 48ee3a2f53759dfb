"""What is counted and timed for whoever runs the program: commands by name, never what was said."""

from collections.abc import Callable, Iterable
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import datetime
from time import perf_counter
from typing import TYPE_CHECKING, Protocol

from bot.mail_ports import Office
from bot.posting import Receipt
from bot.reply import Incoming, Reply
from storage.mail import Depth

if TYPE_CHECKING:
    from prometheus_client import CollectorRegistry

NONE = "none"
SECONDS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0)
_heard: ContextVar[str] = ContextVar("heard", default=NONE)


def heard(command: object) -> None:
    """Note what the message at hand was understood as."""
    _heard.set(type(command).__name__)


@dataclass(frozen=True, slots=True)
class Waiting:
    """How much waits at this instant.

    Attributes:
        late_s: for how long the reminder that is due longest has waited.
    """

    depth: Depth
    late_s: float


class Meter:
    """Counts and times, in a registry of its own."""

    def __init__(self, waiting: Callable[[], Waiting]) -> None:
        # Loaded late: whoever asks for no metrics does not pay for the library.
        from prometheus_client import (  # noqa: PLC0415
            CollectorRegistry,
            Counter,
            Histogram,
            ProcessCollector,
        )

        self.registry = CollectorRegistry()
        self._waiting = waiting
        self._messages = Counter(
            "coilbook_messages",
            "Messages answered, by command and by the fault that was answered with.",
            ("command", "fault"),
            registry=self.registry,
        )
        self._seconds = Histogram(
            "coilbook_answer_seconds",
            "From a message in hand to its answer kept, by command.",
            ("command",),
            buckets=SECONDS,
            registry=self.registry,
        )
        self._planner = Histogram(
            "coilbook_planner_seconds",
            "Search for a class plan.",
            buckets=SECONDS,
            registry=self.registry,
        )
        ProcessCollector(registry=self.registry)

    def answered(self, command: str, seconds: float, replies: Iterable[Reply]) -> None:
        """Count a message and time its answer."""
        fault = NONE
        for reply in replies:
            fault = str(reply.data.get("error") or fault)
            plan = reply.data.get("plan")
            search = plan.get("search") if isinstance(plan, dict) else None
            if isinstance(search, dict) and search.get("elapsed_ms") is not None:
                self._planner.observe(float(search["elapsed_ms"]) / 1000)
        self._messages.labels(command, fault).inc()
        self._seconds.labels(command).observe(seconds)

    def text(self) -> bytes:
        """Everything, in the text format that is scraped."""
        from prometheus_client import generate_latest  # noqa: PLC0415

        return generate_latest(self.registry) + generate_latest(_waiting_now(self._waiting()))


def _waiting_now(now: Waiting) -> "CollectorRegistry":
    from prometheus_client import CollectorRegistry, Gauge  # noqa: PLC0415

    registry = CollectorRegistry()
    for name, said, value in (
        ("inbox_waiting", "Updates kept and not answered yet.", now.depth.updates),
        ("outbox_waiting", "Messages due and not sent yet.", now.depth.letters),
        ("dead", "Updates and messages given up.", now.depth.dead),
        ("reminder_late_seconds", "How long the longest due reminder waits.", now.late_s),
    ):
        Gauge(f"coilbook_{name}", said, registry=registry).set(value)
    return registry


class Answers(Protocol):
    """Who answers."""

    def answer(self, incoming: Incoming, receipt: Receipt | None = None) -> list[Reply]:
        """The answers to a message."""

    def say(self, replies: list[Reply], chat: str, receipt: Receipt | None) -> list[Reply]:
        """Post what needs no thinking."""

    def menu(self) -> tuple[tuple[str, str], ...]:
        """Commands worth a place in the channel's menu."""


class Watched(Protocol):
    """What is asked how much waits."""

    @property
    def office(self) -> Office:
        """The post."""

    def earliest_due(self) -> datetime | None:
        """When the first reminder is due."""


def waiting(vault: Watched, now: datetime) -> Waiting:
    """How much waits at this instant."""
    due = vault.earliest_due()
    return Waiting(vault.office.depth(now), max(0.0, (now - due).total_seconds()) if due else 0.0)


class Answering:
    """Whoever answers, with a meter beside."""

    def __init__(self, answerer: Answers, meter: Meter) -> None:
        self._answerer = answerer
        self._meter = meter

    def answer(self, incoming: Incoming, receipt: Receipt | None = None) -> list[Reply]:
        """The answers to a message."""
        token = _heard.set(NONE)
        started = perf_counter()
        try:
            replies = self._answerer.answer(incoming, receipt)
            self._meter.answered(_heard.get(), perf_counter() - started, replies)
            return replies
        finally:
            _heard.reset(token)

    def say(self, replies: list[Reply], chat: str, receipt: Receipt | None) -> list[Reply]:
        """Post what needs no thinking."""
        return self._answerer.say(replies, chat, receipt)

    def menu(self) -> tuple[tuple[str, str], ...]:
        """Commands worth a place in the channel's menu."""
        return self._answerer.menu()
