"""Run sheets as they look: every page small and grey, held against the kept one.

After a change that is meant, let them be made anew and look at them:

    REWRITE_SNAPSHOTS=1 python -m pytest tests/snapshots/test_pictures.py
"""

import os
from pathlib import Path

import numpy as np
import pytest

from bot.sheet import typeset
from tests.pixels import load, pages, save, unlike
from tests.sheets import NOW, small_form

HERE = Path(__file__).parent / "pictures"
TEMPLATES = ("paper", "phone", "picture")


@pytest.mark.parametrize("template", TEMPLATES)
def test_a_sheet_looks_as_kept(template: str) -> None:
    found = pages(typeset.document(template, small_form(), NOW))
    if os.environ.get("REWRITE_SNAPSHOTS"):
        for old in HERE.glob(f"{template}-*.png"):
            old.unlink()
        for n, page in enumerate(found, 1):
            save(HERE / f"{template}-{n}.png", page)
    kept = sorted(HERE.glob(f"{template}-*.png"))
    assert len(found) == len(kept)
    for page, path in zip(found, kept, strict=True):
        assert unlike(page, load(path)) == "", path.name


def test_a_picture_that_lost_a_line_is_unlike() -> None:
    kept = load(HERE / "paper-1.png")
    dark = np.flatnonzero(kept.mean(axis=1) < 245)
    row = int(dark[len(dark) // 2])
    changed = kept.copy()
    changed[row - 6 : row + 6] = 255
    assert unlike(changed, kept)
    assert not unlike(kept, kept)
