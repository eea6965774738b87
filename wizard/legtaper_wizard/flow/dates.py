"""Days as people write them: typed in the order of the place, shown without doubt."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Literal, get_args

Order = Literal["iso", "day-first", "month-first"]
"""How a day is written: 2026-03-14, 14 Mar 2026 or Mar 14, 2026."""
ORDERS: tuple[Order, ...] = get_args(Order)

_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_ISO = re.compile(r"(\d{4})-(\d{2})-(\d{2})", re.ASCII)
_PARTS = re.compile(r"(\d{1,2}|[a-z]{3,9})[ ./-]+(\d{1,2}|[a-z]{3,9})[ .,/-]+(\d{4})", re.ASCII)


def say_date(day: date, order: Order) -> str:
    """Return a day as text that `read_date` reads back; a month is never only a number but in ISO.

    Month names are English, as all texts are.
    """
    month = _MONTHS[day.month - 1][:3].title()
    if order == "day-first":
        return f"{day.day} {month} {day.year:04d}"
    if order == "month-first":
        return f"{month} {day.day}, {day.year:04d}"
    return day.isoformat()


def read_date(text: str, order: Order, today: date) -> date:
    """Read a day: 2026-03-14 always, else in the order of the place; or today, or yesterday.

    Raises `ValueError` with what would be right.
    """
    typed = " ".join(text.lower().split())
    if typed in {"today", "yesterday"}:
        return today - timedelta(days=typed == "yesterday")
    works = f"write it like {say_date(date(2026, 3, 14), order)}, or today"
    if found := _ISO.fullmatch(typed):
        year, month, day = (int(part) for part in found.groups())
    elif found := _PARTS.fullmatch(typed):
        first, second, year = found[1], found[2], int(found[3])
        month_first = _month_first(first, second, order, works)
        month_text, day_text = (first, second) if month_first else (second, first)
        if not day_text.isdigit():
            raise ValueError(f"is not a day that can be read; {works}")
        month, day = _month(month_text, works), int(day_text)
    else:
        raise ValueError(f"is not a day that can be read; {works}")
    try:
        return date(year, month, day)
    except ValueError:
        raise ValueError(f"is not in the calendar; {works}") from None


def _month_first(first: str, second: str, order: Order, works: str) -> bool:
    """Return whether the month comes first: a name says so itself, two numbers need the order."""
    if first.isalpha() or second.isalpha():
        return first.isalpha()
    if (int(first) > 12) != (int(second) > 12):  # only one of them can be a month
        return int(second) > 12
    if order == "iso":
        raise ValueError(f"could be two days, month and day changed over; {works}")
    return order == "month-first"


def _month(text: str, works: str) -> int:
    if text.isdigit():
        return int(text)
    for number, name in enumerate(_MONTHS, start=1):
        if name.startswith(text):
            return number
    raise ValueError(f"names no month; {works}")
