"""The contract of export, erasure and access: all of hers and nobody else's, and then gone."""

import json
from datetime import timedelta

import pytest

from core.instructor import OwnerId
from storage.errors import StrangerError
from storage.kept import Access, Audit
from tests.builders import brief, plan, record
from tests.contract.cast import READY, WRIST, cast
from tests.contract.scene import CODE, LIBRARY, NOW, AnyVault


class TestExport:
    def test_of_one_has_all_of_hers_and_nobody_elses(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            store.keep_line("t1", "client Ana show all of the notes")
            store.keep_line("t2", "group Dawn add Ana, Bo")
            store.add_plan(plan(LIBRARY, brief(group="ANA")), LIBRARY, NOW)
            store.add_plan(plan(LIBRARY, brief(group="Bo")), LIBRARY, NOW)
            form = store.people.export(NOW, ana)
        client = form["clients"][0]
        assert {key: client[key] for key in ("id", "name", "level", "goals", "springs")} == {
            "id": ana,
            "name": "Ana",
            "level": 2,
            "goals": ["sleep"],
            "springs": {"chair": "3+2"},
        }
        assert client["flags"][0]["words"] == WRIST.words
        assert client["flags"][0]["answered"] == "2026-02-03"
        assert [note["text"] for note in client["notes"]] == ["knee sore", "knee fine 🙂"]
        assert client["declarations"][0]["outcome"] == READY.outcome
        assert client["groups"] == ["Dawn"]
        assert [change["what"] for change in client["changes"]] == [
            "client added",
            "flags",
            "note",
            "note",
            "declaration",
        ]
        assert form["lines"] == ["client Ana show all of the notes"]
        assert form["plans"] == [1]
        assert form["unreadable"] == []
        text = json.dumps(form)
        assert "Bo" not in text
        assert "tired" not in text
        assert "pregnancy" not in text

    def test_of_all_has_everybody(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            form = store.people.export(NOW)
            assert [each["id"] for each in form["clients"]] == [ana, bo]
            assert [len(each["notes"]) for each in form["clients"]] == [2, 1]
            assert form["groups"] == [{"name": "Dawn", "members": ["Ana", "Bo"]}]
            assert json.loads(json.dumps(form)) == form

    def test_leaves_its_trace(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            cast(store)
            store.people.export(NOW)
            store.people.record("grant", NOW + timedelta(hours=1), {"codes": 1})
        with vault.begin(me) as store:
            assert store.people.audit() == [
                Audit(NOW + timedelta(hours=1), "grant", {"codes": 1}),
                Audit(NOW, "export", {"clients": 2}),
            ]


class TestErasing:
    def test_leaves_nothing_of_her(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.people.set_group("Ana alone", (ana,), NOW)
            store.people.set_group("Ana alone", (ana,), NOW)
            store.keep_line("t1", "client ana show")
            store.keep_line("t2", "client banana show")
            store.set_talk("c1", {"asked": ["note", {"of": "Ana"}]})
            store.set_talk("c2", {"asked": "note", "of": "Bo"})
            store.add_plan(plan(LIBRARY, brief(group="ana")), LIBRARY, NOW)
            store.add_plan(plan(LIBRARY, brief(group="Dawn")), LIBRARY, NOW)
            for name in ("ana", "Ana", "Ana's Friday", "Dawn"):
                store.keep_class(name, 1)
            store.keep_exercise("own-hop", record("own-hop") | {"name": "Hop as Ana does"})
            store.add_remark("mat-curl", "as ANA says: zip up")
            store.add_remark("mat-curl", "slowly")
            assert store.people.erase_client(ana, NOW) == {
                "notes": 2,
                "declarations": 1,
                "changes": 5,
                "attendances": 1,
                "groups": 2,
                "lines": 1,
                "talks": 1,
                "plans": 1,
                "classes": 0,
                "reminders": 0,
                "kept": 2,
                "mentions": 3,
            }
        with vault.begin(me) as store:
            assert store.people.client(ana) is store.people.client_named("Ana") is None
            assert store.people.notes(ana) == []
            assert store.people.declarations(ana) == []
            assert [group.name for group in store.people.groups()] == ["Dawn"]
            assert [each.id for each in store.people.clients()] == [bo]
            assert store.line("t1") is None
            assert store.line("t2") == "client banana show"
            assert store.talk("c1") == {}
            assert store.talk("c2") != {}
            assert store.groups() == ["Dawn"]
            assert [each.name for each in store.kept_classes()] == ["Ana's Friday", "Dawn"]
            kept = store.plan(1, LIBRARY)
            assert kept is not None
            assert kept.plan.brief.group == ""
            assert store.people.erase_client(ana, NOW) is None
            whole = json.dumps(store.people.export(NOW)).casefold()
            assert "ana" not in whole.replace("banana", "")
            assert "knee" not in whole
            assert [each.what for each in store.people.audit()] == ["export", "erase"]

    def test_says_where_others_still_name_her(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.people.add_note(bo, "came with ANA", NOW)
            store.people.set_group("Ana and Bo", (ana, bo), NOW)
            counts = store.people.erase_client(ana, NOW)
            assert counts is not None
            assert counts["mentions"] == 2
            assert store.people.notes(bo)[0].text == "came with ANA"


class TestAccess:
    def test_is_listed_with_when_it_was_given(self, vault: AnyVault) -> None:
        me = vault.admit("console:me")
        vault.add_code(CODE, NOW + timedelta(hours=1))
        you = vault.redeem(CODE, "telegram:7", NOW)
        her = vault.admit("telegram:8", at=NOW)
        assert vault.access() == [
            Access(me, "console:me"),
            Access(OwnerId(you or 0), "telegram:7", NOW),
            Access(her, "telegram:8", NOW),
        ]

    def test_once_revoked_is_no_more(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            cast(store)
        assert vault.revoke("console:me")
        assert not vault.revoke("console:me")
        assert not vault.revoke("console:you")
        assert vault.owner("console:me") is None
        assert not vault.anybody()
        assert vault.access() == []
        with pytest.raises(StrangerError), vault.begin(me):
            pass

    def test_given_again_finds_what_was_hers(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
        vault.revoke("console:me")
        assert vault.admit("console:you") != me
        vault.add_code(CODE, NOW + timedelta(hours=1))
        assert vault.redeem(CODE, "console:me", NOW) == me
        assert vault.access()[0] == Access(me, "console:me", NOW)
        with vault.begin(me) as store:
            assert store.people.client(ana) is not None
