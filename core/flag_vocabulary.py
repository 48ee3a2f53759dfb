"""The words flags are written in: conditions and details by their tokens, and one slip forgiven."""

import re
import unicodedata
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rapidfuzz.distance import OSA

from core.caution_rule import UNKNOWN, Cautions, Condition
from core.client import Severity, Side
from core.flag_dates import MONTHS, NEAR, NUMBERS, UNITS, WEEKDAYS

SIDES = {
    "left": Side.LEFT, "lt": Side.LEFT, "l": Side.LEFT, "right": Side.RIGHT, "rt": Side.RIGHT,
    "r": Side.RIGHT, "both": Side.BOTH, "bilateral": Side.BOTH, "bilat": Side.BOTH,
}  # fmt: skip
SEVERITIES = {
    **dict.fromkeys(
        "mild mildly controlled slight slightly niggle niggly niggling bit".split(), Severity.MILD
    ),
    **dict.fromkeys("marked moderate bad badly severe strong quite worse".split(), Severity.MARKED),
    **dict.fromkeys("acute flare flared flaring flareup fresh".split(), Severity.ACUTE),
}
ROLES = frozenset(
    "physio physiotherapist physiotherapists gp doctor doctors dr consultant surgeon midwife nurse "
    "osteopath chiropractor specialist clinician cardiologist oncologist hospital clinic letter "
    "herself himself client she he they obstetrician therapist neurologist rheumatologist".split()
)
SAYS = frozenset("says said say reports reported".split())
NEGATIONS = frozenset("no not without never isnt hasnt".split())
JOINS = frozenset(", ; + and plus also &".split())
LITTLE = frozenset("a an the of in on at to with her his my their".split())
# Words that say no more than the condition beside them says already.
FILLERS = LITTLE | frozenset(
    "but though only feels felt into torn twinge tightness letter bruise bruised joints muscle "
    "muscles tendon ligament nerve body tablets medication well "
    "from by for has had is pain painful sore soreness ache aches aching hurts hurt hurting "
    "trouble problem problems issue issues injury injured condition history dodgy stiff "
    "stiffness tight client she he they who got having been very some still post after since "
    "until till til review due weeks ago was were it and plus also ; , + operation op surgery "
    "symptoms signs disease diagnosed known recent recently joint side week pregnant".split()
)
KEYWORDS = frozenset(
    "since until till review due says said cleared clearance weeks months ago pregnant".split()
) | {word for known in (SIDES, SEVERITIES, MONTHS) for word in known if len(word) > 3}
# Everyday words that lie one letter from a word for a body part.
EVERYDAY = frozenset(
    "hard band bank land feel feels heal food root look like live half hold told gold hear here "
    "heat hot held help work word walk week less last best rest test this that then when what more "
    "move made make back side wide long done down feet legs lift high hips head good great first "
    "class three there their other often after under reach strong things think stand sitting class "
    "well note need needs only over same some sure take than them very want went with your from "
    "have just keep kept left right both mild bad sharp light early lately early".split()
)
KEPT = frozenset[str]().union(
    FILLERS,
    EVERYDAY,
    ROLES,
    SAYS,
    NEGATIONS,
    SIDES,
    SEVERITIES,
    MONTHS,
    WEEKDAYS,
    NUMBERS,
    UNITS,
    NEAR,
)
SHORTEST = 4  # letters of a word in which one slip is forgiven
LONG = 9  # ... and two from here on

Tokens = tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Vocabulary:
    """What is known of the words of flags.

    Attributes:
        aliases: tokens of an alias, little words left out -> conditions it may mean.
        words: every single word that can be meant when another was hit.
    """

    aliases: Mapping[Tokens, tuple[Condition, ...]]
    longest: int
    words: frozenset[str]

    def named(self, words: Sequence[str], at: int) -> tuple[tuple[Condition, ...], tuple[int, ...]]:
        """The conditions of the longest alias that begins here, and its places; or none."""
        key: list[str] = []
        places: list[int] = []
        best: tuple[tuple[Condition, ...], tuple[int, ...]] = ((), ())
        for place in range(at, len(words)):
            word = words[place]
            if word in JOINS:
                break
            if word in LITTLE or word in SIDES:
                if place == at:
                    break
                continue
            key.append(word)
            places.append(place)
            if len(key) > self.longest:
                break
            found = self.aliases.get(tuple(key))
            if found:
                best = (found, tuple(places))
        return best

    def spelled(self, word: str) -> tuple[str, ...]:
        """The words that may be meant by this one; itself alone when it is known or hopeless."""
        if word in self.words or word in KEPT or len(word) < SHORTEST or not word.isalpha():
            return (word,)
        if word.endswith("s") and word[:-1] in self.words:
            return (word[:-1],)
        slips = 2 if len(word) >= LONG else 1
        distance = {
            known: d
            for known in self.words
            if (d := OSA.distance(word, known, score_cutoff=slips)) <= slips
            and len(known) >= SHORTEST
            and (len(word) > SHORTEST or len(known) != len(word) or sorted(known) == sorted(word))
        }
        least = min(distance.values(), default=0)
        return tuple(k for k, d in sorted(distance.items()) if d == least) or (word,)


@lru_cache(maxsize=4)
def vocabulary_of(cautions: Cautions) -> Vocabulary:
    """The vocabulary of these cautions, made once."""
    aliases: defaultdict[Tokens, list[Condition]] = defaultdict(list)
    words: set[str] = set(KEYWORDS)
    for condition in cautions.conditions.values():
        if condition.id == UNKNOWN:
            continue
        for alias in condition.aliases:
            key = bare(tokens(alias))
            if condition not in aliases[key]:
                aliases[key].append(condition)
            words |= set(key)
        for detail in condition.details:
            for each in detail.words:
                words |= set(bare(tokens(each)))
    return Vocabulary(
        {key: tuple(found) for key, found in aliases.items()},
        max(map(len, aliases)),
        frozenset(words),
    )


def tokens(text: str) -> Tokens:
    """Words, figures and the marks , ; + of a text, in small letters without apostrophes."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    plain = re.sub(r"['’`]", "", plain).replace("&", " and ")
    plain = re.sub(r"(?<=\d)(?:st|nd|rd|th)\b", "", plain)
    plain = re.sub(r"\b(\d{2,3}) over (\d{2,3})\b", r"\1/\2", plain)
    found = re.findall(r"\d+(?:[./+-]\d+)*|[ctls]\d{1,2}\b|[a-z]+|[,;+]", plain)
    return tuple(found)


def bare(words: Sequence[str]) -> Tokens:
    """The tokens without little words; all of them if nothing else is there."""
    return tuple(word for word in words if word not in LITTLE) or tuple(words)


def phrase_at(words: Sequence[str], phrase: Tokens, at: int) -> int:
    """Where a phrase that begins here ends, little words and sides between passed over; or 0."""
    key = bare(phrase)
    done = 0
    for end in range(at, len(words)):
        if words[end] == key[done]:
            done += 1
            if done == len(key):
                return end + 1
        elif done == 0 or (words[end] not in LITTLE and words[end] not in SIDES):
            return 0
    return 0
