"""The office: what arrives is kept, a chat is one worker's, what fails waits or is given up."""

from datetime import datetime, timedelta

from core.instructor import OwnerId
from storage.mail import Arrival, Letter, Sent
from tests.contract.scene import NOW, AnyVault, in_parallel

LEASE = timedelta(seconds=15)
SECOND = timedelta(seconds=1)


def take(vault: AnyVault, worker: str, *arrivals: tuple[int, str], at: datetime = NOW) -> list[str]:
    """Updates of these numbers and chats arrive at a worker."""
    found = [Arrival(number, chat, f'{{"n": {number}}}') for number, chat in arrivals]
    return vault.office.take(found, worker, at, at + LEASE, 99)


def claim(vault: AnyVault, worker: str, at: datetime = NOW, most: int = 99) -> list[str]:
    """What a worker gets that looks for work."""
    return vault.office.claim(worker, at, at + LEASE, most)


def answer(vault: AnyVault, number: int) -> None:
    """An update is answered, with nothing to say."""
    with vault.mail() as mail:
        mail.done(number)


def post(vault: AnyVault, owner: OwnerId, chat: str, *texts: str, at: datetime = NOW) -> None:
    """Letters are posted, each by itself."""
    for text in texts:
        with vault.begin(owner) as store:
            store.mail.post(chat, text, [text], at)


def head(vault: AnyVault, chat: str, at: datetime = NOW) -> Letter:
    """The letter in hand."""
    letter = vault.office.work(chat, at).letter
    assert letter is not None
    return letter


def release(vault: AnyVault, chat: str, worker: str = "a", at: datetime = NOW) -> bool:
    """Whether a chat without work was given back."""
    return vault.office.release(chat, worker, at, idle_only=True)


def mark(vault: AnyVault, sent: Sent) -> None:
    """A letter has left."""
    vault.office.turn("nobody", NOW, [], [sent])


class TestTurns:
    def test_the_next_of_every_chat_comes_once_what_left_is_marked(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        take(vault, "a", (7, "x"), (8, "y"), (9, "x"))
        post(vault, me, "x", "one", "two")
        found = vault.office.turn("a", NOW, ["x", "y"])
        assert found["x"].update
        assert found["y"].update
        assert (found["x"].update.number, found["y"].update.number) == (7, 8)
        assert found["x"].letter
        assert found["x"].letter.body == "one"
        answer(vault, 7)
        left = Sent(found["x"].letter, 5, NOW + SECOND, (1.5,))
        after = vault.office.turn("a", NOW, ["x"], [left])["x"]
        assert after.letter
        assert after.letter.body == "two"
        assert (after.quiet_until, after.recent) == (NOW + SECOND, (1.5,))
        assert after.update
        assert after.update.number == 9

    def test_a_chat_without_work_is_given_back(self, vault: AnyVault) -> None:
        take(vault, "a", (7, "x"), (8, "y"))
        answer(vault, 7)
        assert list(vault.office.turn("a", NOW, ["x", "y"])) == ["y"]
        assert take(vault, "b", (9, "x"), (10, "y")) == ["x"]

    def test_whoever_has_lost_a_chat_is_told_nothing_of_it(self, vault: AnyVault) -> None:
        take(vault, "a", (7, "x"))
        assert claim(vault, "b", NOW + LEASE) == ["x"]
        assert vault.office.turn("a", NOW + LEASE, ["x"]) == {}
        assert list(vault.office.turn("b", NOW + LEASE, ["x"])) == ["x"]

    def test_a_letter_that_is_due_later_waits_behind(self, vault: AnyVault, me: OwnerId) -> None:
        take(vault, "a", (7, "x"))
        with vault.begin(me) as store:
            store.mail.post("x", "later", ["tomorrow"], NOW, NOW + LEASE)
            store.mail.post("x", "now", ["today"], NOW)
        work = vault.office.turn("a", NOW, ["x"])["x"]
        assert work.letter
        assert work.letter.body == "today"


class TestBlame:
    def test_waiting_near_a_worker_that_dies_is_no_fault_and_being_answered_is(
        self, vault: AnyVault
    ) -> None:
        take(vault, "a", (7, "x"))
        seen = []
        for n in range(1, 7):
            if n == 4:
                vault.office.begun(7)
            assert claim(vault, f"w{n}", NOW + n * LEASE) == ["x"]
            update = vault.office.work("x", NOW).update
            assert update
            seen.append(update.attempts)
        assert seen == [1, 2, 2, 3, 3, 3]


class TestTaking:
    def test_the_same_number_is_the_same_update(self, vault: AnyVault) -> None:
        take(vault, "a", (7, "x"), (7, "x"))
        answer(vault, 7)
        take(vault, "a", (7, "x"))
        assert vault.office.work("x", NOW).update is None

    def test_a_chat_is_answered_in_the_order_of_numbers(self, vault: AnyVault) -> None:
        take(vault, "a", (9, "x"), (7, "x"))
        take(vault, "a", (8, "x"))
        seen = []
        while update := vault.office.work("x", NOW).update:
            seen.append(update.number)
            answer(vault, update.number)
        assert seen == [7, 8, 9]

    def test_no_more_chats_than_there_is_room_for(self, vault: AnyVault) -> None:
        found = [Arrival(n, f"chat {n}", "{}") for n in range(9)]
        assert len(vault.office.take(found, "a", NOW, NOW + LEASE, 4)) == 4
        assert vault.office.take(found, "a", NOW, NOW + LEASE, 0) == []
        assert len(claim(vault, "b", most=3)) == 3
        assert len(claim(vault, "b")) == 2


class TestALane:
    def test_is_one_workers_at_a_time(self, vault: AnyVault) -> None:
        assert take(vault, "a", (1, "x")) == ["x"]
        assert take(vault, "b", (2, "x"), (3, "y")) == ["y"]
        assert claim(vault, "b") == []

    def test_is_given_back_only_without_work(self, vault: AnyVault) -> None:
        take(vault, "a", (1, "x"))
        assert not release(vault, "x")
        answer(vault, 1)
        assert not release(vault, "x", "b")
        assert release(vault, "x")
        take(vault, "b", (2, "x"))
        assert vault.office.work("x", NOW).update is not None

    def test_of_many_at_once_one_gets_it(self, vault: AnyVault) -> None:
        take(vault, "dead", *((n, f"chat {n % 4}") for n in range(8)))
        later = NOW + LEASE
        got = in_parallel(lambda n: claim(vault, f"w{n}", later))
        assert sorted(chat for chats in got for chat in chats) == [f"chat {n}" for n in range(4)]

    def test_of_a_dead_worker_is_taken_over_and_what_it_was_at_counts(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        take(vault, "a", (1, "x"))
        post(vault, me, "x", "one")
        assert claim(vault, "b", NOW + LEASE - SECOND) == []
        vault.office.beat("a", NOW + 2 * LEASE)
        assert claim(vault, "b", NOW + LEASE) == []
        assert claim(vault, "b", NOW + 2 * LEASE) == ["x"]
        work = vault.office.work("x", NOW)
        assert work.update is not None
        assert work.letter is not None
        assert (work.update.attempts, work.letter.attempts) == (1, 1)

    def test_left_kindly_nothing_counts(self, vault: AnyVault) -> None:
        take(vault, "a", (1, "x"))
        vault.office.leave("a")
        assert claim(vault, "b") == ["x"]
        update = vault.office.work("x", NOW).update
        assert update is not None
        assert update.attempts == 0

    def test_of_all_the_dead_is_inherited_at_once(self, vault: AnyVault) -> None:
        take(vault, "a", (1, "x"))
        vault.office.inherit(NOW)
        assert claim(vault, "b") == ["x"]


class TestLetters:
    def test_a_chat_that_is_to_be_quiet_has_no_work(self, vault: AnyVault, me: OwnerId) -> None:
        post(vault, me, "x", "one", "two")
        assert claim(vault, "a") == ["x"]
        mark(vault, Sent(head(vault, "x"), 5, NOW + SECOND, (1.5, 2.5)))
        work = vault.office.work("x", NOW)
        assert (work.quiet_until, work.recent) == (NOW + SECOND, (1.5, 2.5))
        assert head(vault, "x").body == "two"
        vault.office.release("x", "a", NOW, idle_only=False)
        assert claim(vault, "a") == []
        assert claim(vault, "a", NOW + SECOND) == ["x"]

    def test_one_that_failed_stays_in_front(self, vault: AnyVault, me: OwnerId) -> None:
        post(vault, me, "x", "one", "two")
        vault.office.later(head(vault, "x"), "TimedOut", NOW + SECOND)
        again = head(vault, "x")
        assert (again.body, again.attempts) == ("one", 1)
        vault.office.later(again, None, NOW + SECOND)
        assert head(vault, "x").attempts == 1

    def test_the_rest_of_a_post_goes_with_it(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            store.mail.post("x", "a", ["one", "two"], NOW)
        post(vault, me, "x", "three")
        mark(vault, Sent(head(vault, "x"), None, NOW, rest_too=True))
        assert head(vault, "x").body == "three"

    def test_what_is_given_up_is_told_without_its_content(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        post(vault, me, "x", "one", "two")
        post(vault, me, "y", "three", at=NOW + SECOND)
        vault.office.bury(head(vault, "y", NOW + SECOND), "Forbidden")
        vault.office.bury(head(vault, "x"), "Forbidden", all_of_chat=True)
        take(vault, "a", (1, "x"))
        vault.office.bury_update(1, "WorkerDied")
        letters, update = vault.office.problems()
        assert (letters.kind, letters.error, letters.count, letters.chats) == (
            "letter",
            "Forbidden",
            3,
            2,
        )
        assert (letters.first, letters.last) == (NOW, NOW + SECOND)
        assert (update.kind, update.error, update.count) == ("update", "WorkerDied", 1)
        assert vault.office.depth(NOW).dead == 4
        assert vault.office.again(NOW) == 4
        assert vault.office.problems() == []
        assert head(vault, "x").body == "one"

    def test_what_is_forgotten_is_not_tried(self, vault: AnyVault, me: OwnerId) -> None:
        post(vault, me, "x", "one")
        vault.office.bury(head(vault, "x"), "BadRequest")
        assert vault.office.forget() == 1
        assert vault.office.again(NOW) == 0
        assert vault.office.work("x", NOW).letter is None

    def test_what_is_done_is_forgotten_in_time(self, vault: AnyVault, me: OwnerId) -> None:
        take(vault, "a", (1, "x"), (2, "x"))
        answer(vault, 1)
        post(vault, me, "x", "one", "two")
        mark(vault, Sent(head(vault, "x"), 1, NOW))
        assert vault.office.prune(NOW) == 0
        assert vault.office.prune(NOW + SECOND) == 2
        depth = vault.office.depth(NOW)
        assert (depth.updates, depth.letters, depth.oldest) == (1, 1, NOW)


class TestPace:
    def test_the_thirty_first_within_a_second_waits(self, vault: AnyVault) -> None:
        at = NOW
        for _ in range(30):
            assert vault.office.allow("telegram", at, 30).count == 1
            at += timedelta(milliseconds=10)
        refused = vault.office.allow("telegram", at, 30)
        assert (refused.count, refused.until) == (0, NOW + SECOND)
        assert vault.office.allow("telegram", NOW + SECOND, 30).count == 1

    def test_is_shared_by_all_workers(self, vault: AnyVault) -> None:
        got = in_parallel(
            lambda _: sum(vault.office.allow("telegram", NOW, 30).count for _ in range(10))
        )
        assert sum(got) == 30

    def test_a_faster_one_is_given_out_by_the_handful_and_never_exceeded(
        self, vault: AnyVault
    ) -> None:
        at, given = NOW, []
        while at < NOW + 3 * SECOND:
            allowed = vault.office.allow("telegram", at, 90)
            given += [at] * allowed.count
            at += timedelta(milliseconds=7)
        assert len(given) > 200
        assert all(sum(at <= each < at + SECOND for each in given) <= 90 for at in given)

    def test_a_request_to_wait_is_kept_by_all(self, vault: AnyVault) -> None:
        vault.office.hush("telegram", NOW + 5 * SECOND)
        vault.office.hush("telegram", NOW + 2 * SECOND)
        allowed = vault.office.allow("telegram", NOW + 4 * SECOND, 30)
        assert (allowed.count, allowed.until) == (0, NOW + 5 * SECOND)
        assert vault.office.allow("telegram", NOW + 5 * SECOND, 30).count == 1
