"""Run sheets as files: their size, their pages, their text, what they cost."""

import re
import struct
import time
from io import BytesIO
from typing import Any

import pypdf
import pypdfium2  # type: ignore[import-untyped]
import pytest

from bot.sheet import typeset
from bot.wording.sheets import plain
from tests.sheets import NOW, big_form, small_form

PDFS = (typeset.paper, typeset.phone)
ALL = (*PDFS, typeset.picture)
LARGEST = 300_000
SLOWEST_MS = 150.0
# What a name or a cue may be: signs that mean something to the typesetter, scripts, pictures.
NASTY = (
    "#panic()",
    "$ x^2 $",
    "\\ backslash \\n",
    '"] #set page(fill: red) [',
    "*bold* _it_ `raw` @ref <label> = head",
    "// no comment /* none */",
    "#{while true {}}",
    "Ζωή, Мария, Łucja, Þóra",
    "בוקר טוב",
    "صباح الخير",
    "ANA \N{GRINNING FACE}",
    "x" * 200,
    "a long name " * 16,
)


def text_of(pdf: bytes) -> str:
    """What can be selected in a document, in its order."""
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    return "\n".join(page.extract_text() for page in pages).replace("\u200b", "")


def pages_of(pdf: bytes) -> int:
    """How many pages it has."""
    return len(pypdf.PdfReader(BytesIO(pdf)).pages)


@pytest.mark.parametrize("make", ALL, ids=lambda make: str(make.__name__))
@pytest.mark.parametrize(("many", "people"), [(10, 0), (14, 3), (20, 8), (26, 8)])
def test_a_file_is_small(make: Any, many: int, people: int) -> None:  # noqa: ANN401
    assert len(make(big_form(many, people), NOW)) <= LARGEST


@pytest.mark.parametrize(("many", "people", "pages"), [(10, 0, 1), (14, 3, 1), (20, 8, 1)])
def test_twenty_exercises_and_eight_people_stand_on_one_page(
    many: int, people: int, pages: int
) -> None:
    assert pages_of(typeset.paper(big_form(many, people), NOW)) == pages


def test_more_than_a_page_holds_goes_on_on_a_second_at_a_good_size() -> None:
    form = big_form(20, 8)
    form = form | {"sections": [*form["sections"], *form["sections"]]}
    pdf = typeset.paper(form, NOW)
    assert pages_of(pdf) == 2
    assert "page 2/2" in text_of(pdf)


@pytest.mark.parametrize("make", PDFS, ids=lambda make: str(make.__name__))
def test_text_reads_in_the_order_of_the_class(make: Any) -> None:  # noqa: ANN401
    form = big_form(20, 8)
    said = re.sub(r"\s+", " ", text_of(make(form, NOW)))
    rows = [row for section in form["sections"] for row in section["rows"]]
    at = 0
    for row in rows:
        for value in (row["n"], row["name"], row["reps"]):
            found = said.find(value, at)
            assert found >= 0, f"{value} after {at}"
            at = found if value != row["reps"] else found + 1
    for person in form["people"]:
        assert person["name"] in said
    order = [said.find(form["title"]), said.find(form["set_up"][0][:12])]
    assert order == sorted(order)
    assert min(order) >= 0


def test_both_readers_find_the_same_words() -> None:
    pdf = typeset.paper(small_form(), NOW)
    document = pypdfium2.PdfDocument(pdf)
    other = document[0].get_textpage().get_text_bounded()
    for row in (row for section in small_form()["sections"] for row in section["rows"]):
        assert row["name"] in other
        assert row["name"] in text_of(pdf)


@pytest.mark.parametrize("typed", NASTY, ids=range(len(NASTY)))
@pytest.mark.parametrize("make", ALL, ids=lambda make: str(make.__name__))
def test_whatever_is_typed_is_set_as_it_is(make: Any, typed: str) -> None:  # noqa: ANN401
    form = small_form()
    shown = plain(typed, 200)
    form["title"] = form["about"] = shown
    form["set_up"] = [shown]
    form["people"][0]["name"] = shown
    form["people"][0]["needs"] = [{"at": "1", "text": shown}]
    row = form["sections"][0]["rows"][0]
    row |= {"name": shown, "short": shown, "who": shown, "cues": [shown], "options": [shown]}
    made = make(form, NOW)
    if make is typeset.picture:
        return
    said = text_of(made)
    if typed.isascii():
        squeezed = re.sub(r"\s+", "", said)
        assert squeezed.count(re.sub(r"\s+", "", typed)) >= 5
    elif typed.startswith("Ζ"):
        assert typed in said


def test_nothing_runs_out_of_its_page() -> None:
    form = small_form()
    form["sections"][0]["rows"][0]["name"] = plain("x" * 200, 200)
    form["people"][0]["name"] = plain("W" * 40, 40)
    for pdf in (typeset.paper(form, NOW), typeset.phone(form, NOW)):
        for page in pypdfium2.PdfDocument(pdf):
            text = page.get_textpage()
            boxes = [text.get_charbox(n) for n in range(text.count_chars())]
            assert all(left >= -1 and right <= page.get_width() + 1 for left, _, right, _ in boxes)


def test_a_picture_is_as_wide_as_a_phone() -> None:
    made = typeset.picture(small_form(), NOW)
    wide, high = struct.unpack(">II", made[16:24])
    assert wide == 900
    assert 1.7 < high / wide < 1.85


def test_the_same_sheet_is_the_same_file() -> None:
    form = small_form()
    for make in ALL:
        assert make(form, NOW) == make(form, NOW)


@pytest.mark.parametrize("make", ALL, ids=lambda make: str(make.__name__))
def test_after_the_first_a_sheet_is_soon_there(make: Any) -> None:  # noqa: ANN401
    spent = []
    for n in range(5):
        form = big_form(20, 8) | {"about": f"the class number {n}"}
        form["sections"][0]["rows"][0]["cues"] = [f"The cue number {n}."]
        begun = time.process_time()
        make(form, NOW)
        spent.append((time.process_time() - begun) * 1000)
    assert min(spent[1:]) <= SLOWEST_MS, spent


def test_only_the_fonts_that_ship_are_used() -> None:
    pages: Any = pypdf.PdfReader(BytesIO(typeset.paper(big_form(14, 3), NOW))).pages
    fonts = {
        str(font.get_object()["/BaseFont"]).split("+")[-1]
        for page in pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert {name.split("-")[0] for name in fonts} == {"DejaVuSansCondensed"}
    assert (typeset.HERE / "fonts" / "LICENSE.txt").read_text(encoding="utf-8")
    size = sum(path.stat().st_size for path in (typeset.HERE / "fonts").iterdir())
    assert size <= 1_500_000
