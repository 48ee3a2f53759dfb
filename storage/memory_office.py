"""The post in memory: the twin of that in a database."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from itertools import groupby

from storage.form import utc
from storage.mail import (
    BEGUN,
    SUSPECT,
    Allowed,
    Arrival,
    Depth,
    Letter,
    Problem,
    Sent,
    State,
    Update,
    Work,
)
from storage.memory_mail import Boxes, In, Lane, Out, Pace
from storage.pacing import kept, share


class MemoryOffice:
    """The inbox, the outbox and the lanes, for as long as the program runs."""

    def __init__(self, boxes: Boxes) -> None:
        self._boxes = boxes
        self._lock = boxes.lock
        self._in, self._out = boxes.inbox, boxes.outbox
        self._lanes, self._paces = boxes.lanes, boxes.paces

    def take(
        self,
        arrivals: Sequence[Arrival],
        worker: str,
        now: datetime,
        lease_until: datetime,
        most: int,
    ) -> list[str]:
        """Chats of these updates that are now this worker's."""
        with self._lock:
            for each in arrivals:
                update = Update(each.number, each.chat, each.body)
                self._in.setdefault(each.number, In(update, utc(now)))
                self._lanes.setdefault(each.chat, Lane())
            chats = dict.fromkeys(each.chat for each in arrivals)
            return self._claim(chats, worker, now, lease_until, most)

    def claim(self, worker: str, now: datetime, lease_until: datetime, most: int) -> list[str]:
        """Chats with work that are now this worker's."""
        with self._lock:
            waiting = [each.update.chat for each in self._boxes.waiting()]
            due = [each.letter.chat for each in self._boxes.due(now)]
            return self._claim(dict.fromkeys(waiting + due), worker, now, lease_until, most)

    def _claim(
        self, chats: dict[str, None], worker: str, now: datetime, lease_until: datetime, most: int
    ) -> list[str]:
        ours: list[str] = []
        for chat in chats:
            lane = self._lanes[chat]
            if len(ours) < most and lane.free(now) and self._busy(chat, now):
                if lane.worker is not None:
                    self._blame(chat, now)
                lane.worker, lane.lease_until = worker, lease_until
                ours.append(chat)
        return ours

    def _busy(self, chat: str, now: datetime) -> bool:
        quiet = self._lanes[chat].quiet(now)
        return any(each.update.chat == chat for each in self._boxes.waiting()) or (
            not quiet and any(each.letter.chat == chat for each in self._boxes.due(now))
        )

    def _blame(self, chat: str, now: datetime) -> None:
        work = self.work(chat, now)
        if work.update:
            known = self._in[work.update.number]
            if known.update.attempts < SUSPECT or known.error == BEGUN:
                update = replace(known.update, attempts=known.update.attempts + 1)
                self._in[work.update.number] = replace(known, update=update, error="")
        if work.letter:
            self._attempted(work.letter, "")

    def work(self, chat: str, now: datetime) -> Work:
        """What there is to do in a chat."""
        with self._lock:
            lane = self._lanes.setdefault(chat, Lane())
            ours = [each.update for each in self._boxes.waiting() if each.update.chat == chat]
            due = [each.letter for each in self._boxes.due(now) if each.letter.chat == chat]
            return Work(
                ours[0] if ours else None,
                due[0] if due else None,
                lane.quiet_until,
                lane.recent,
            )

    def turn(
        self, worker: str, now: datetime, chats: Sequence[str], letters: Sequence[Sent] = ()
    ) -> dict[str, Work]:
        """What there is to do in these chats once these letters are marked; idle ones go back."""
        with self._lock:
            for each in letters:
                self._mark(each)
            ours = [chat for chat in chats if self._lanes[chat].worker == worker]
            kept = [c for c in ours if not self.release(c, worker, now, idle_only=True)]
            return {chat: self.work(chat, now) for chat in kept}

    def _mark(self, sent: Sent) -> None:
        for number, each in self._out.items():
            same = each.letter.post == sent.letter.post and each.state is State.OPEN
            if number == sent.letter.id or (sent.rest_too and same):
                gone = replace(each.letter, body=None)
                self._out[number] = replace(each, letter=gone, state=State.DONE)
        lane = self._lanes[sent.letter.chat]
        lane.quiet_until, lane.recent = utc(sent.quiet_until), sent.recent

    def later(self, letter: Letter, error: str | None, quiet_until: datetime) -> None:
        """Try a letter again then."""
        with self._lock:
            if error is not None and letter.id in self._out:
                self._attempted(letter, error)
            self._lanes[letter.chat].quiet_until = utc(quiet_until)

    def _attempted(self, letter: Letter, error: str) -> None:
        known = self._out[letter.id]
        again = replace(known.letter, attempts=known.letter.attempts + 1)
        self._out[letter.id] = replace(known, letter=again, error=error or known.error)

    def bury(self, letter: Letter, error: str, *, all_of_chat: bool = False) -> None:
        """Give a letter up, or all that wait for its chat."""
        with self._lock:
            for number, each in self._out.items():
                same = all_of_chat and each.letter.chat == letter.chat
                if each.state is State.OPEN and (number == letter.id or same):
                    self._out[number] = replace(each, state=State.DEAD, error=error)

    def bury_update(self, number: int, error: str) -> None:
        """Give an update up."""
        with self._lock:
            self._in[number] = replace(self._in[number], state=State.DEAD, error=error)

    def release(self, chat: str, worker: str, now: datetime, *, idle_only: bool) -> bool:
        """Whether a chat was given back."""
        with self._lock:
            lane = self._lanes[chat]
            work = self.work(chat, now)
            if lane.worker != worker or (idle_only and (work.update or work.letter)):
                return False
            lane.worker = lane.lease_until = None
            return True

    def begun(self, number: int) -> None:
        """Note that an update near which workers have died is being answered now."""
        with self._lock:
            self._in[number] = replace(self._in[number], error=BEGUN)

    def beat(self, worker: str, lease_until: datetime) -> None:
        """Renew the lease of all that is this worker's."""
        with self._lock:
            for lane in self._lanes.values():
                if lane.worker == worker:
                    lane.lease_until = lease_until

    def leave(self, worker: str) -> None:
        """Give everything back."""
        with self._lock:
            for lane in self._lanes.values():
                if lane.worker == worker:
                    lane.worker = lane.lease_until = None

    def inherit(self, now: datetime) -> None:
        """Free the chats of all workers."""
        with self._lock:
            for lane in self._lanes.values():
                if lane.worker is not None:
                    lane.lease_until = utc(now)

    def allow(self, channel: str, now: datetime, most: int) -> Allowed:
        """Count a message about to be sent."""
        with self._lock:
            pace = self._paces.setdefault(channel, Pace())
            if pace.quiet_until and pace.quiet_until > now:
                return Allowed(0, pace.quiet_until)
            at = now.timestamp()
            count, until = share(pace.spent, most, at)
            if count:
                pace.spent = [*kept(pace.spent, at), (at, count)]
            return Allowed(count, datetime.fromtimestamp(until, now.tzinfo))

    def hush(self, channel: str, until: datetime) -> None:
        """Send nothing to a channel before this instant."""
        with self._lock:
            pace = self._paces.setdefault(channel, Pace())
            pace.quiet_until = max(pace.quiet_until or until, until)

    def problems(self) -> list[Problem]:
        """What was given up, by kind and error."""
        with self._lock:
            dead = [
                ("letter", each.error, each.letter.chat, each.letter.made_at)
                for each in self._out.values()
                if each.state is State.DEAD
            ] + [
                ("update", each.error, each.update.chat, each.arrived)
                for each in self._in.values()
                if each.state is State.DEAD
            ]
        found = []
        for (kind, error), group in groupby(sorted(dead), key=lambda each: each[:2]):
            rows = list(group)
            times = [at for *_, at in rows]
            chats = len({chat for _, _, chat, _ in rows})
            found.append(Problem(kind, error, len(rows), chats, min(times), max(times)))
        return found

    def again(self, now: datetime) -> int:
        """How much of what was given up is tried once more."""
        with self._lock:
            ins, outs = self._dead()
            for number, known in ins.items():
                fresh = replace(known.update, attempts=0)
                self._in[number] = replace(known, state=State.OPEN, update=fresh)
            for number, sent in outs.items():
                anew = replace(sent.letter, attempts=0)
                self._out[number] = replace(sent, state=State.OPEN, letter=anew)
            return len(ins) + len(outs)

    def forget(self) -> int:
        """How much of what was given up is forgotten."""
        with self._lock:
            ins, outs = self._dead()
            for number, known in ins.items():
                empty = replace(known.update, body=None)
                self._in[number] = replace(known, state=State.DONE, update=empty)
            for number, sent in outs.items():
                blank = replace(sent.letter, body=None)
                self._out[number] = replace(sent, state=State.DONE, letter=blank)
            return len(ins) + len(outs)

    def _dead(self) -> tuple[dict[int, In], dict[int, Out]]:
        ins = {n: each for n, each in self._in.items() if each.state is State.DEAD}
        return ins, {n: each for n, each in self._out.items() if each.state is State.DEAD}

    def prune(self, before: datetime) -> int:
        """How much that is done was forgotten."""
        with self._lock:
            old_in = [
                n for n, e in self._in.items() if e.state is State.DONE and e.arrived < before
            ]
            old_out = [
                n
                for n, e in self._out.items()
                if e.state is State.DONE and e.letter.made_at < before
            ]
            for number in old_in:
                del self._in[number]
            for number in old_out:
                del self._out[number]
            return len(old_in) + len(old_out)

    def depth(self, now: datetime) -> Depth:
        """How much waits."""
        with self._lock:
            waiting, due = self._boxes.waiting(), self._boxes.due(now)
            since = [each.arrived for each in waiting] + [each.due for each in due]
            ins, outs = self._dead()
            return Depth(len(waiting), len(due), len(ins) + len(outs), min(since, default=None))
