"""Words of an emergency kind in a note or message -> which sign, and how urgent.

An alarm is about what stands in the text, not about a person: the answer is "stop and seek help"
or a question, and nothing else changes. A denied sign ("no chest pain") is kept apart and asked
about in one line, because a note is often half a sentence; "but", a full stop, "and" or a comma
end a denial, except in a list that runs to "or". Better one alarm too many than one missed: what
settles, clicks, or belongs to a movement's name is told apart, the rest is not weighed.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache

from rapidfuzz.distance import OSA

from core.red_flag_signs import Pattern, Urgency, signs

LONG = 6  # letters of a word in which any one slip is forgiven; in four or five, two swapped
EXPECTING = re.compile(
    r"\b(?:pregnan\w*|preggers|trimester|antenatal|prenatal|postnatal|postpartum|gave birth"
    r"|weeks? gone|baby bump|due date)\b"
)
SETTLES = re.compile(
    r"\b(?:settles|settled|settle|settling|eases|eased|recovers|recovered|passes|passed quickly"
    r"|gone now|goes away|fine after|ok after|fine again|better after a rest)\b"
)
UNSETTLED = re.compile(
    r"\b(?:not|doesnt|wont|didnt|isnt|does not|will not|did not|never) (?:settl|eas|go|pass)\w*"
)
# Words of the signs in which a slip of the keys is forgiven.
SPELLED = frozenset(
    "chest pain pains calf breath breathe breaths breathing breathless breathlessness dizzy "
    "dizziness lightheaded fainted fainting collapsed palpitations swollen swelling bladder bowel "
    "saddle numbness weakness tingling bleeding contractions headache pregnant pregnancy sudden "
    "suddenly severe throbbing pressure tightness slurred drooping seizure fever "
    "unexplained".split()
)
NOT = re.compile(
    r"\b(?:no|not|without|denies|denied|never|nil|isnt|hasnt|havent|doesnt|didnt|wasnt|none)\b"
    r"(?! (?:sure|certain|better|well|longer able|idea|good|great|feeling|improving|settl))"
)
ENDS = re.compile(r"[.;]|\b(?:but|however|though|although|and|yet|except|only|now)\b")


class Said(IntEnum):
    """How an alarm is to be taken."""

    DENIED = 0
    MEANT = 1


@dataclass(frozen=True, slots=True)
class Alarm:
    """A sign found in a text.

    Attributes:
        words: the words that raised it, as they were read.
    """

    sign: str
    urgency: Urgency
    said: Said
    words: str

    @property
    def sentence(self) -> str:
        """The key of the sentence to answer with."""
        if self.said is Said.DENIED:
            return "red-flag-denied"
        return f"red-flag-{self.urgency.name.lower()}"

    @property
    def stops(self) -> bool:
        """Whether the answer begins with stop and seek help."""
        return self.said is Said.MEANT and self.urgency > Urgency.ASK


def alarms(text: str, pregnant: bool = False) -> tuple[Alarm, ...]:
    """The signs in a text, each once, the most urgent first.

    Args:
        pregnant: the text is about somebody pregnant or newly delivered, which makes some signs
            weigh more; the text itself may say so too.
    """
    plain = _plain(text)
    expecting = pregnant or bool(EXPECTING.search(plain))
    best: dict[str, Alarm] = {}
    for sign, pattern, words in _hits(plain):
        urgency = pattern.expecting if expecting else pattern.urgency
        if urgency is Urgency.NONE:
            continue
        sentence = _sentence(plain, words.start(), words.end())
        if pattern.may_settle and UNSETTLED.search(sentence):
            urgency = max(urgency, Urgency.STOP)
        elif pattern.may_settle and SETTLES.search(sentence):
            continue
        if pattern.also and not pattern.also.search(plain):
            continue
        denied = _denied(plain, words.start())
        alarm = Alarm(sign, urgency, Said.DENIED if denied else Said.MEANT, words.group().strip())
        old = best.get(sign)
        if old is None or (alarm.said, alarm.urgency) > (old.said, old.urgency):
            best[sign] = alarm
    return tuple(sorted(best.values(), key=lambda a: (-a.said, -a.urgency)))


def _hits(plain: str) -> Iterator[tuple[str, Pattern, re.Match[str]]]:
    for sign in signs():
        for pattern in sign.patterns:
            for found in pattern.words.finditer(plain):
                yield sign.id, pattern, found


def _sentence(plain: str, start: int, end: int) -> str:
    before = max(plain.rfind(".", 0, start), plain.rfind(";", 0, start))
    stops = [at for at in (plain.find(".", end), plain.find(";", end)) if at >= 0]
    return plain[before + 1 : min(stops, default=len(plain))]


def _denied(plain: str, start: int) -> bool:
    """Whether a denial before `start` reaches it."""
    begin = 0
    for end in ENDS.finditer(plain, 0, start):
        begin = end.end()
    before = plain[begin:start]
    found = list(NOT.finditer(before))
    if not found:
        return False
    between = before[found[-1].end() :]
    if "," not in between:
        return len(between.split()) <= 6
    rest = re.split(r"[.;]|\b(?:but|and)\b", plain[start:], maxsplit=1)[0]
    return " or " in f"{between}{rest} " or " nor " in f"{between}{rest} "


def _plain(text: str) -> str:
    """Small letters, no accents or apostrophes; only . ; , are kept, each a word of its own."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(c for c in bare if not unicodedata.combining(c))
    bare = re.sub(r"['’`]", "", bare)
    bare = re.sub(r"[.!?\n:]+", " . ", bare)
    bare = re.sub(r"([;,])", r" \1 ", bare)
    words = re.findall(r"[a-z0-9]+|[.;,]", bare)
    return " ".join(_spelled(word) for word in words)


@lru_cache(maxsize=4096)
def _spelled(word: str) -> str:
    """The word as the patterns spell it, one slip forgiven."""
    if word in SPELLED or len(word) < LONG - 2:
        return word
    near = [known for known in SPELLED if OSA.distance(word, known, score_cutoff=1) <= 1]
    if len(word) < LONG:  # short words lie close together
        near = [known for known in near if sorted(known) == sorted(word)]
    return near[0] if len(near) == 1 else word
