"""What reading a line may depend on: the library, the local time, her habits."""

from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

from bot.when import Finder, Order
from core.apparatus import ApparatusId
from core.fold import fold
from core.names import NameIndex, index_of
from core.repertoire import Repertoire


@dataclass(frozen=True, slots=True)
class Context:
    """The circumstances of one message.

    Attributes:
        now: local wall time, naive.
        usual_apparatus: what she usually teaches on; breaks ties between names.
        zone: IANA name of where she is.
        order: of day and month in dates of figures.
    """

    repertoire: Repertoire
    now: datetime
    usual_apparatus: tuple[ApparatusId, ...] = ()
    zone: str = "UTC"
    order: Order = Order.DAY_FIRST
    names: NameIndex = field(init=False)
    apparatus_words: dict[str, ApparatusId] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "names", index_of(self.repertoire))
        words = {
            fold(word): each.id
            for each in self.repertoire.apparatus.values()
            for word in (each.id, each.name, *each.aliases)
        }
        plural = {word + "s": each for word, each in words.items() if not word.endswith("s")}
        object.__setattr__(self, "apparatus_words", plural | words)

    @property
    def dates(self) -> Finder:
        """Reads dates typed now."""
        return Finder(self.now.replace(tzinfo=ZoneInfo(self.zone)), self.order)
