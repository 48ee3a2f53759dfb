"""What the doors may ask of the post: letters inside a transaction, and an office beside them.

All instants are aware and in UTC. A chat is one worker's at a time: whoever has claimed it answers
its updates and sends its letters, in order, and renews the lease while alive.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Protocol

from storage.mail import Allowed, Arrival, Depth, Letter, Problem, Sent, Work


class Mail(Protocol):
    """The post inside a transaction: it is kept or lost with all the rest of it."""

    def post(
        self,
        chat: str,
        post: str,
        letters: Sequence[str],
        at: datetime,
        due: datetime | None = None,
    ) -> bool:
        """Have these letters sent, in this order; False when this post was given before.

        Args:
            post: a name that is given once only, e.g. "reminder 12 2026-12-01".
            letters: each as text.
            at: this instant.
            due: not before this one; at once without it.
        """

    def done(self, number: int) -> None:
        """Mark an update as answered; its body goes.

        Raises:
            TakenError: somebody else has answered it; this transaction must come to nothing.
        """

    def answered(self, number: int, chat: str, letters: Sequence[str], at: datetime) -> None:
        """Mark an update as answered by these letters, which may be none; its body goes.

        Raises:
            TakenError: somebody else has answered it; this transaction must come to nothing.
        """


class Office(Protocol):
    """The inbox, the outbox and the lanes; each method is one transaction."""

    def take(
        self,
        arrivals: Sequence[Arrival],
        worker: str,
        now: datetime,
        lease_until: datetime,
        most: int,
    ) -> list[str]:
        """Keep updates for good before the channel is told; those known already are left out.

        Returns: chats of theirs that are now this worker's, at most so many.
        """

    def claim(self, worker: str, now: datetime, lease_until: datetime, most: int) -> list[str]:
        """Make chats with work this worker's: at most so many, those that have waited longest.

        Whatever was under way with a worker that is gone counts as attempted once more.
        """

    def work(self, chat: str, now: datetime) -> Work:
        """What there is to do in a chat."""

    def turn(
        self, worker: str, now: datetime, chats: Sequence[str], letters: Sequence[Sent] = ()
    ) -> Mapping[str, Work]:
        """What there is to do in chats of this worker's.

        Args:
            letters: those that have left: they are marked first, their bodies go.

        Returns: the work of each chat that has some. The others are no longer this worker's: they
        are given back, or somebody else has them.
        """

    def later(self, letter: Letter, error: str | None, quiet_until: datetime) -> None:
        """Try a letter again then; without an error the attempt does not count."""

    def bury(self, letter: Letter, error: str, *, all_of_chat: bool = False) -> None:
        """Give a letter up, or all that wait for its chat; `problems` then has them."""

    def bury_update(self, number: int, error: str) -> None:
        """Give an update up."""

    def begun(self, number: int) -> None:
        """Note that an update near which workers have died is being answered now.

        Only then is the next death blamed on it: most chats of a dead worker just waited.
        """

    def release(self, chat: str, worker: str, now: datetime, *, idle_only: bool) -> bool:
        """Give a chat back, or only if it has no work; whether it was given back."""

    def beat(self, worker: str, lease_until: datetime) -> None:
        """Renew the lease of all that is this worker's."""

    def leave(self, worker: str) -> None:
        """Give everything back."""

    def inherit(self, now: datetime) -> None:
        """Free the chats of all workers, where it is known that none of them lives."""

    def allow(self, channel: str, now: datetime, most: int) -> Allowed:
        """Count a message about to be sent, where so many a second are allowed to all workers."""

    def hush(self, channel: str, until: datetime) -> None:
        """Send nothing to a channel before this instant."""

    def problems(self) -> list[Problem]:
        """What was given up, by kind and error."""

    def again(self, now: datetime) -> int:
        """Try everything that was given up once more; how much it was."""

    def forget(self) -> int:
        """Forget everything that was given up; how much it was."""

    def prune(self, before: datetime) -> int:
        """Forget what is done since before this instant; how much it was."""

    def depth(self, now: datetime) -> Depth:
        """How much waits."""
