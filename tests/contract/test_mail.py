"""The post inside a transaction: kept with it, lost with it, given once."""

from contextlib import suppress
from datetime import timedelta

import pytest

from core.instructor import OwnerId
from storage.errors import TakenError
from storage.mail import Arrival
from tests.contract.scene import NOW, AnyVault, UnluckyError, in_parallel

CHAT = "telegram:1"
LEASE = NOW + timedelta(seconds=20)


def texts(vault: AnyVault, chat: str = CHAT) -> list[str | None]:
    """What leaves for a chat, letter by letter, each sent before the next is looked at."""
    seen = []
    while letter := vault.office.work(chat, NOW).letter:
        seen.append(letter.body)
        vault.office.sent(letter, 1, NOW, ())
    return seen


def test_what_is_posted_leaves_in_order(vault: AnyVault, me: OwnerId) -> None:
    with vault.begin(me) as store:
        assert store.mail.post(CHAT, "a", ["one 🙂", "two"], NOW)
    with vault.begin(me) as store:
        assert store.mail.post(CHAT, "b", ["three"], NOW)
    assert texts(vault) == ["one 🙂", "two", "three"]


def test_a_name_is_given_once_even_after_sending(vault: AnyVault, me: OwnerId) -> None:
    for n in range(3):
        with vault.begin(me) as store:
            assert store.mail.post(CHAT, "reminder 1", ["ring Ana"], NOW) == (n == 0)
            assert not store.mail.post(CHAT, "reminder 1", ["again"], NOW)
        assert texts(vault) == (["ring Ana"] if n == 0 else [])


def test_of_many_at_once_one_passes(vault: AnyVault, me: OwnerId) -> None:
    def remind(_: int) -> bool:
        with vault.begin(me) as store:
            return store.mail.post(CHAT, "reminder 1", ["ring Ana"], NOW)

    assert sum(in_parallel(remind)) == 1
    assert texts(vault) == ["ring Ana"]


def test_nothing_leaves_of_a_transaction_that_failed(vault: AnyVault, me: OwnerId) -> None:
    vault.office.take([Arrival(7, CHAT, "{}")], "w", NOW, LEASE, 9)
    with suppress(UnluckyError), vault.begin(me) as store:
        store.mail.post(CHAT, "a", ["one"], NOW)
        store.mail.done(7)
        raise UnluckyError
    assert texts(vault) == []
    assert vault.office.work(CHAT, NOW).update is not None


def test_what_is_due_later_waits_and_holds_nothing_up(vault: AnyVault, me: OwnerId) -> None:
    with vault.begin(me) as store:
        store.mail.post(CHAT, "later", ["tomorrow"], NOW, NOW + timedelta(days=1))
        store.mail.post(CHAT, "now", ["today"], NOW)
    assert texts(vault) == ["today"]
    work = vault.office.work(CHAT, NOW + timedelta(days=1))
    assert work.letter is not None
    assert work.letter.body == "tomorrow"


def test_an_update_is_answered_once(vault: AnyVault, me: OwnerId) -> None:
    vault.office.take([Arrival(7, CHAT, "{}")], "w", NOW, LEASE, 9)
    with vault.begin(me) as store:
        store.set_zone("Asia/Tokyo")
        store.mail.done(7)
    with vault.begin(me) as store, pytest.raises(TakenError):
        store.mail.done(7)
    with vault.begin(me) as store:
        assert store.instructor().zone == "Asia/Tokyo"
    assert vault.office.work(CHAT, NOW).update is None


def test_a_stranger_is_answered_too(vault: AnyVault) -> None:
    vault.office.take([Arrival(7, CHAT, "{}")], "w", NOW, LEASE, 9)
    with vault.mail() as mail:
        mail.post(CHAT, "update 7", ["who are you?"], NOW)
        mail.done(7)
    assert texts(vault) == ["who are you?"]
    assert vault.office.work(CHAT, NOW).update is None
