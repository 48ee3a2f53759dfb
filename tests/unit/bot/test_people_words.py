"""What lines about people ask for: cut at the marks that were typed, nothing overlooked."""

import pytest

from bot.commands import (
    AddClient,
    AddNote,
    AddToGroup,
    Answered,
    ChangeClient,
    Command,
    Consent,
    Details,
    DropGroup,
    Erase,
    Export,
    FlagClient,
    Invite,
    LeaveGroup,
    ListClients,
    ListFlags,
    ListGroups,
    LookUpClient,
    Mods,
    Revoke,
    Screen,
    SetRetention,
    ShowGroup,
    ShowRetention,
    Unflag,
    WhoHasAccess,
)
from bot.errors import MissingWordError, OutOfRangeError, SpringsError, UnknownWordError
from core.apparatus import ApparatusId
from core.exercise import Level
from tests.unit.bot.reading import read, refusal

CHAIR, REFORMER = ApparatusId("chair"), ApparatusId("reformer")
ONE, TWO = Level.FUNDAMENTAL, Level.INTERMEDIATE


@pytest.mark.parametrize(
    ("line", "command"),
    [
        ("client ANA", LookUpClient("ANA")),
        ("/client ANA", LookUpClient("ANA")),
        ("cleint ANA", LookUpClient("ANA")),
        ("client ana maria", LookUpClient("ana maria")),
        ("clients", ListClients()),
        ("client add ANA", AddClient("ANA")),
        ("client new ANA", AddClient("ANA")),
        ("client add Mat", AddClient("Mat")),
        (
            "client add ANA, level 1, chair 3, goal stronger back",
            AddClient("ANA", Details(ONE, ((CHAIR, "3"),), ("stronger back",))),
        ),
        (
            "client add ANA level 1 chair 3 goal stronger back",
            AddClient("ANA", Details(ONE, ((CHAIR, "3"),), ("stronger back",))),
        ),
        ("client ANA: level 2", ChangeClient("ANA", Details(TWO))),
        ("client ANA level 2", ChangeClient("ANA", Details(TWO))),
        ("client ANA: beginner", ChangeClient("ANA", Details(ONE))),
        (
            "client ANA, level 2, reformer full half",
            ChangeClient("ANA", Details(TWO, ((REFORMER, "full+half"),))),
        ),
        (
            "client ANA: chair 3+2 no goals",
            ChangeClient("ANA", Details(springs=((CHAIR, "3+2"),), without=("goals",))),
        ),
        ("client ANA: no chair", ChangeClient("ANA", Details(without=("chair",)))),
        ("client ANA: name ANI", ChangeClient("ANA", Details(name="ANI"))),
        (
            "client ANA: goal walk, goal sleep",
            ChangeClient("ANA", Details(goals=("walk", "sleep"))),
        ),
        ("note ANA: left knee sore", AddNote("ANA", "left knee sore")),
        ("note ANA left knee sore", AddNote("ANA left knee sore")),
        ("note ANA came at 18:00", AddNote("ANA came at 18:00")),
        ("note ANA: came at 18:00", AddNote("ANA", "came at 18:00")),
        ("flag ANA left wrist marked", FlagClient("ANA left wrist marked")),
        ("flag ANA 2 wrist: left", FlagClient("ANA 2 wrist", "left")),
        ("flags ANA", ListFlags("ANA")),
        ("unflag ANA 2", Unflag("ANA 2")),
        ("unflag ANA left wrist", Unflag("ANA left wrist")),
        ("answered ANA 2 by physio", Answered("ANA 2", "physio")),
        ("consent ANA", Consent("ANA")),
        ("group dawn", ShowGroup("dawn")),
        ("group early dawn", ShowGroup("early dawn")),
        ("groups", ListGroups()),
        ("group dawn add ANA, BO and CLEO", AddToGroup("dawn", ("ANA", "BO", "CLEO"))),
        ("group dawn: add ANA & BO", AddToGroup("dawn", ("ANA", "BO"))),
        ("group dawn remove BO", LeaveGroup("dawn", ("BO",))),
        ("group dawn drop", DropGroup("dawn")),
        ("mods", Mods()),
        ("mods tue", Mods("tue")),
        ("mods ANA pike chair", Mods("ANA pike chair")),
        ("mods #3", Mods("", 3)),
        ("mods ANA #3", Mods("ANA", 3)),
        ("screen ANA", Screen("ANA")),
        ("screen ANA yes no", Screen("ANA", (True, False))),
        ("screen ANA y n n y", Screen("ANA", (True, False, False, True))),
        ("export", Export()),
        ("export all", Export()),
        ("export ANA", Export("ANA")),
        ("erase ANA", Erase("ANA")),
        ("erase ANA for good", Erase("ANA", for_good=True)),
        ("erase ANA For Good!", Erase("ANA", for_good=True)),
        ("retention", ShowRetention()),
        ("retention 2 years", SetRetention(730)),
        ("retention 18 months", SetRetention(540)),
        ("retention 90days", SetRetention(90)),
        ("retention off", SetRetention(None)),
        ("who has access", WhoHasAccess()),
        ("access", WhoHasAccess()),
        ("invite", Invite()),
        ("revoke telegram:4711", Revoke("telegram:4711")),
    ],
)
def test_what_a_line_asks_for(line: str, command: Command) -> None:
    assert read(line) == command


@pytest.mark.parametrize(
    "line",
    [
        "client", "client add", "client !!", "client ANA: level", "client ANA: goal",
        "client ANA: no", "note", "note ANA:", "note : sore", "flag", "flag ANA:", "flags",
        "unflag", "answered", "answered ANA 2", "answered ANA 2 by", "group", "group dawn add",
        "group dawn remove", "screen", "erase", "erase for good", "retention 2", "revoke",
    ],
)  # fmt: skip
def test_what_is_missing_is_asked_with_an_example_that_can_be_read(line: str) -> None:
    if line == "erase for good":
        assert read(line) == Erase("for good")
        return
    example = refusal(line, MissingWordError).example
    assert example


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("client ANA: banana", "banana"),
        ("client ANA: level 7", "7"),
        ("client ANA: no banana", "banana"),
        ("clients now", "now"),
        ("groups now", "now"),
        ("retention soon", "soon"),
        ("retention 2 years please", "please"),
        ("who is there", "is"),
        ("invite BO", "BO"),
        ("revoke telegram:1 now", "now"),
    ],
)
def test_a_word_that_says_nothing_is_named(line: str, word: str) -> None:
    assert refusal(line, UnknownWordError).word == word


def test_a_mistyped_field_is_offered_in_the_whole_line() -> None:
    guesses = refusal("client ANA: levl 2", UnknownWordError).guesses
    assert "client ANA: level 2" in [guess.line for guess in guesses]


def test_springs_that_are_none_are_refused() -> None:
    assert "chair" in refusal("client add ANA, chair 9", SpringsError).why


@pytest.mark.parametrize("line", ["retention 3 days", "retention 40 years"])
def test_a_span_that_makes_no_sense_is_refused(line: str) -> None:
    refusal(line, OutOfRangeError)
