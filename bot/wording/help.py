"""What can be asked, and how each command goes. A test keeps it equal to the table of commands."""

from bot.wording.entries.classes import CLASSES
from bot.wording.entries.diary import DIARY
from bot.wording.entries.entry import Entry
from bot.wording.entries.house import HOUSE
from bot.wording.entries.library import LIBRARY
from bot.wording.entries.log import LOG
from bot.wording.entries.people import PEOPLE
from bot.wording.entries.setting import SETTING
from bot.wording.entries.teaching import TEACHING

# In the order of the list.
ENTRIES: dict[str, Entry] = {
    **CLASSES,
    **DIARY,
    **LIBRARY,
    **PEOPLE,
    **LOG,
    **HOUSE,
    **TEACHING,
    **SETTING,
}
