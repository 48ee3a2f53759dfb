"""The post inside a transaction: kept with it, lost with it, given once."""

import json
from contextlib import suppress
from datetime import datetime, timedelta

import pytest

from core.instructor import OwnerId
from storage.crypto import Keys
from storage.errors import TakenError
from storage.mail import Arrival, Sent
from storage.rotate import rotate
from tests.contract.scene import NOW, AnyVault, UnluckyError, in_parallel
from tests.contract.sealed import NEW, OLD, Scene

CHAT = "telegram:1"
LEASE = NOW + timedelta(seconds=20)
LATER = NOW + timedelta(days=1)


def texts(vault: AnyVault, chat: str = CHAT, at: datetime = NOW) -> list[str | None]:
    """What leaves for a chat, letter by letter, each sent before the next is looked at."""
    seen = []
    while letter := vault.office.work(chat, at).letter:
        seen.append(letter.body)
        vault.office.turn("w", at, [], [Sent(letter, 1, at)])
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


def test_whoever_is_erased_is_named_in_nothing_that_leaves(vault: AnyVault, me: OwnerId) -> None:
    said = [json.dumps({"parts": [[text, False]]}) for text in ("ring Ana\nSole", "ring Bo")]
    lost = {"update_id": 8, "message": {"text": "note Ana Sole: knee"}}
    vault.office.take([Arrival(8, "console:me", json.dumps(lost))], "w", NOW, LEASE, 9)
    vault.office.bury_update(8, "WorkerDied")
    with vault.begin(me) as store:
        ana = store.people.add_client("Ana Sole", NOW).id
        store.mail.post(CHAT, "tomorrow", said, NOW, LATER)
        store.mail.post(CHAT, "file", [json.dumps({"file": ["a", "b", "c"]})], NOW, LATER)
        store.mail.post(CHAT, "now", said, NOW)
    with vault.begin(me) as store:
        store.people.erase_client(ana, NOW)
        store.mail.post(CHAT, "answer", ["Erased for good"], NOW)
    assert texts(vault) == [said[1], "Erased for good"]
    assert texts(vault, at=LATER) == [said[1]]
    assert vault.office.problems() == []
    with vault.begin(me) as store:
        assert not store.mail.post(CHAT, "file", ["again"], NOW)


def test_what_waits_is_sealed_anew_with_the_rest(scene: Scene) -> None:
    with scene.vault.begin(scene.me) as store:
        store.mail.post(CHAT, "a", ["one"], NOW)
    with scene.vault.mail() as mail:
        mail.post(CHAT, "b", ["two"], NOW)
    scene.vault.office.take([Arrival(7, CHAT, "{}")], "w", NOW, LEASE, 9)
    assert b"one" not in b"".join(body for (body,) in scene.raw("SELECT body FROM outbox"))
    scene.reopen(Keys({2: NEW, 1: OLD}))
    rotate(scene.vault)
    scene.reopen(Keys({2: NEW}))
    update = scene.vault.office.work(CHAT, NOW).update
    assert update is not None
    assert update.body == "{}"
    assert texts(scene.vault) == ["one", "two"]
