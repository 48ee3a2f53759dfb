"""Calendar files (RFC 5545): what is in the diary as one, and what one holds."""

from bot.ics.entry import AllDay, Contents, Entry
from bot.ics.reading import read_calendar
from bot.ics.writing import write_calendar

__all__ = ["AllDay", "Contents", "Entry", "read_calendar", "write_calendar"]
