"""The words of dates and times, and the pieces of pattern that are built from them."""

from enum import Enum

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
DAY_WORDS = {
    **{name: k for k, name in enumerate(WEEKDAYS)},
    **{name[:3]: k for k, name in enumerate(WEEKDAYS)},
    "tues": 1,
    "weds": 2,
    "thur": 3,
    "thurs": 3,
}
MONTH_NAMES = (
    "january february march april may june july august september october november december"
).split()
MONTHS = {
    **{name: k for k, name in enumerate(MONTH_NAMES, 1)},
    **{name[:3]: k for k, name in enumerate(MONTH_NAMES, 1)},
    "sept": 9,
}
NUMBERS = {
    "a": 1,
    "an": 1,
    **{
        word: k
        for k, word in enumerate(
            "one two three four five six seven eight nine ten eleven twelve".split(), start=1
        )
    },
}
PLACES = {"first": 1, "second": 2, "third": 3, "fourth": 4, "last": -1} | {
    "1st": 1, "2nd": 2, "3rd": 3, "4th": 4,
}  # fmt: skip


def any_of(words: object) -> str:
    """A pattern for any of the words, the longest first."""
    return "|".join(sorted(map(str, words), key=len, reverse=True))  # type: ignore[call-overload]


DAY = f"(?:{any_of(DAY_WORDS)})"
MONTH = f"(?:{any_of(MONTHS)})"
NUMBER = rf"(?:\d{{1,3}}|{any_of(NUMBERS)})"
PLACE = f"(?:{any_of(PLACES)})"
AND = r"(?: ?, ?and | and | ?& ?| ?\+ ?| ?/ ?| ?, ?| )"


class Order(Enum):
    """Whether 3/4 is the third of April or the fourth of March."""

    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


def number(word: str) -> int:
    """The value of digits or of a word for a number."""
    return int(word) if word.isdecimal() else NUMBERS[word]
