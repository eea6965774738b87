"""Days as they are typed and shown."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legtaper_wizard.flow.dates import ORDERS, Order, read_date, say_date

TODAY = date(2026, 3, 20)


@given(day=st.dates(date(1000, 1, 1)), order=st.sampled_from(ORDERS))
def test_a_day_that_is_shown_reads_back_as_the_same_day(day: date, order: Order) -> None:
    """What stands in a field can be taken as it is, in every order."""
    assert read_date(say_date(day, order), order, TODAY) == day


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("text", ["2026-03-14", "14 Mar 2026", "March 14, 2026", "14. march 2026"])
def test_a_day_without_doubt_is_read_whatever_the_order(text: str, order: Order) -> None:
    """The year first, or the month by its name, says itself which number is which."""
    assert read_date(text, order, TODAY) == date(2026, 3, 14)


def test_two_numbers_are_read_in_the_order_of_the_place() -> None:
    """3/4/2026 is a day in March or in April, as the settings or the locale say."""
    assert read_date("3/4/2026", "month-first", TODAY) == date(2026, 3, 4)
    assert read_date("3.4.2026", "day-first", TODAY) == date(2026, 4, 3)


@pytest.mark.parametrize("order", ORDERS)
def test_a_number_above_12_is_the_day_in_every_order(order: Order) -> None:
    """Nobody means a thirteenth month."""
    assert read_date("12/25/2026", order, TODAY) == date(2026, 12, 25)
    assert read_date("25.12.2026", order, TODAY) == date(2026, 12, 25)


def test_today_and_yesterday_are_days() -> None:
    """The two days that are meant most can be said in a word."""
    assert read_date(" Today", "iso", TODAY) == TODAY
    assert read_date("yesterday", "iso", date(2026, 3, 1)) == date(2026, 2, 28)


@pytest.mark.parametrize(
    ("text", "order", "problem"),
    [
        ("3/4/2026", "iso", "could be two days"),
        ("31 Feb 2026", "day-first", "not in the calendar"),
        ("13/13/2026", "month-first", "not in the calendar"),
        ("14 Mai 2026", "day-first", "names no month"),
        ("Mar Apr 2026", "day-first", "is not a day"),
        ("soon", "day-first", "is not a day"),
        ("2026-3-14", "iso", "is not a day"),
        ("14 Mar 26", "day-first", "is not a day"),
    ],
)
def test_what_is_no_day_is_refused_with_what_would_be_right(
    text: str, order: Order, problem: str
) -> None:
    """The line ends in a day as it is written here."""
    with pytest.raises(ValueError, match=problem) as refusal:
        read_date(text, order, TODAY)
    assert f"write it like {say_date(date(2026, 3, 14), order)}" in str(refusal.value)
