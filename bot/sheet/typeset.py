"""Run sheets set as PDF and picture: the templates beside this file, the fonts in `fonts`.

Nothing is read but these; nothing is fetched. What people wrote goes in as JSON values.
"""

import json
from collections.abc import Mapping
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    import typst

HERE = Path(__file__).parent
PICTURE_PPI = 240.0  # of a page 95.25 mm wide: 900 dots, what is left of more after sending
_TURN = Lock()  # the compiler serves one at a time


def paper(form: Mapping[str, Any], at: datetime) -> bytes:
    """A PDF of A4 pages."""
    return document("paper", form, at)


def phone(form: Mapping[str, Any], at: datetime) -> bytes:
    """A PDF of pages in the shape of a phone."""
    return document("phone", form, at)


def picture(form: Mapping[str, Any], at: datetime) -> bytes:
    """A PNG in the shape of a phone: what is taught at a glance."""
    return _set("picture", form, at, "png")


def document(template: str, form: Mapping[str, Any], at: datetime) -> bytes:
    """Any of the templates as a PDF."""
    return _set(template, form, at, "pdf")


def _set(
    template: str, form: Mapping[str, Any], at: datetime, kind: Literal["pdf", "png"]
) -> bytes:
    with _TURN:
        made = _compiler().compile(
            input=str(HERE / f"{template}.typ"),
            format=kind,
            ppi=PICTURE_PPI,
            sys_inputs={"sheet": json.dumps(form, ensure_ascii=False)},
            timestamp=int(at.timestamp()),
        )
    if isinstance(made, list):  # a picture for each page; the glance has one
        return made[0]
    assert made is not None  # only a file written to disk gives nothing back
    return made


@lru_cache(maxsize=1)
def _compiler() -> "typst.Compiler":
    import typst  # late: half of the conversations never set a sheet  # noqa: PLC0415

    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(HERE / "fonts")]
    )
    return typst.Compiler(root=str(HERE), font_paths=fonts, ignore_system_fonts=True)
