"""The check before a start names all faults at once and changes nothing."""

from pathlib import Path

import pytest

from bot.checking import check
from bot.main import main, open_vault
from storage.crypto import key_text
from storage.migrate import downgrade

Said = pytest.CaptureFixture[str]
TOKEN = {"COILBOOK_TOKEN": "4711:invented"}


def test_all_faults_are_named_at_once_and_no_secret(tmp_path: Path, capsys: Said) -> None:
    environment = {
        "COILBOOK_TZ": "Mars/Base",
        "COILBOOK_LOG": "loud",
        "COILBOOK_KEY": "secretsecret",
        "COILBOOK_DB": "nosuchbase://me:secret@x",
    }
    assert check(environment) == 2
    said = capsys.readouterr()
    names = [line.partition(":")[0] for line in said.err.splitlines()]
    expected = ["COILBOOK_TZ", "COILBOOK_TOKEN", "COILBOOK_LOG", "COILBOOK_KEY", "COILBOOK_DB"]
    assert sorted(names) == sorted(expected)
    assert "secret" not in said.err + said.out
    assert list(tmp_path.iterdir()) == []


def test_a_first_start_is_said_to_be_one(tmp_path: Path, capsys: Said) -> None:
    assert check(TOKEN | {"COILBOOK_DB": str(tmp_path / "new" / "store.db")}) == 0
    assert "will be made" in capsys.readouterr().out
    assert list(tmp_path.iterdir()) == []


def test_one_that_is_set_up_is_all_right(
    tmp_path: Path, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = f"sqlite:///{tmp_path / 'store.db'}"
    open_vault(url).close()
    monkeypatch.setenv("COILBOOK_DB", url)
    monkeypatch.setenv("COILBOOK_TOKEN", "4711:invented")
    assert main(["check"]) == 0
    assert "opens" in capsys.readouterr().out
    downgrade(url, "0004")
    assert main(["check"]) == 0
    assert "brings it up to date" in capsys.readouterr().out


def test_a_key_that_does_not_fit_or_that_others_may_read(tmp_path: Path, capsys: Said) -> None:
    db = TOKEN | {"COILBOOK_DB": str(tmp_path / "store.db")}
    open_vault(f"sqlite:///{tmp_path / 'store.db'}").close()
    assert check(db | {"COILBOOK_KEY": key_text({1: bytes(32)})}) == 2
    assert "another key 1" in capsys.readouterr().err
    (tmp_path / "coilbook.key").chmod(0o644)
    assert check(db) == 2
    assert "chmod 600" in capsys.readouterr().err
