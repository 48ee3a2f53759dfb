"""The soak in its short form: what it counts must come out right."""

from pathlib import Path

import pytest

from tests.bench.soak.ringing import burst
from tests.bench.soak.run import Plan, soak


@pytest.mark.parametrize("sends", [1, 16])
async def test_killed_and_started_again_nothing_is_lost_or_done_twice(
    tmp_path: Path, sends: int
) -> None:
    report = await soak(f"sqlite:///{tmp_path}/soak.db", tmp_path, Plan(60, 2, 1, sends))
    print("\n".join(report.lines))  # noqa: T201
    assert report.figures["missing"] == report.figures["doubled"] == 0
    assert report.figures["most"] <= sends
    assert report.kept


async def test_reminders_due_at_once_are_said_once_whoever_is_killed(tmp_path: Path) -> None:
    report = await burst(f"sqlite:///{tmp_path}/ringing.db", tmp_path, Plan(60, 2, 1, 1))
    print("\n".join(report.lines))  # noqa: T201
    assert report.figures["lost"] == 0
    assert report.figures["settled"] == report.figures["posted"] == 60
    assert report.figures["most"] <= 1
    assert report.kept
