"""Words beside a date that could make another date of it."""

JOINS = tuple("and or to till until except not but then from & + - –".split())
LEADS = (*JOINS, *"in on at during excluding without before after by".split())
CHANGES = (  # before a date, these words make another of it
    *JOINS, "before", "after", "by", "since", "than", "last", "past", "every", "each", "of", "for",
    "about", "around", "between", "if", "unless", "half", "quarter", "next", "this", "week",
    "weeks", "day", "days", "month", "months", "hour", "hours", "within", "during", "in",
)  # fmt: skip
