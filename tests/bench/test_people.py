"""The benchmark of large studios runs, and asks for what it says it asks for."""

import pytest

from tests.bench import people

KINDS = ("(empty)", "client ANA", "client <typo>", "mods tue", "mods ANA pike chair")


def test_it_runs_on_a_small_studio(capsys: pytest.CaptureFixture[str]) -> None:
    people.main(["--owners", "1", "--clients", "20", "--notes", "20", "--each", "2"])
    said = capsys.readouterr().out
    assert "1 instructors, 20 clients and 20 notes each" in said
    assert [kind for kind in KINDS if f"\n{kind} " not in said] == []
    assert "worst p95 over the echo" in said
