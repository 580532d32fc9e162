"""Days as a person says them: ``yesterday``, ``sat``, ``31/5``, ``the 18th of october``."""

from __future__ import annotations

import re
from datetime import date, timedelta

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_LONG_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
LONG_MONTHS = tuple("january february march april may june july august september october november december".split())
_MORE_DAYS = {"tues": 1, "weds": 2, "thur": 3, "thurs": 3}
YEARS = range(1970, 2100)
SOON = timedelta(days=60)
DAY_PART = re.compile(
    r"(?:this|earlier this|later this|last(?= evening| night)) (?P<part>morning|afternoon|evening|night)"
)


def place_of_weekday(word: str) -> int | None:
    """Monday is 0; None for what is no day of the week."""
    if word in _LONG_DAYS:
        return _LONG_DAYS.index(word)
    short = [name.casefold() for name in DAYS]
    return short.index(word) if word in short else _MORE_DAYS.get(word)


def read_days(text: str, today: date, *, is_sure: bool) -> tuple[date, ...] | None:
    """The days that words can name; empty where there is none such, None where they name no day."""
    near = {"today": 0, "yesterday": 1, "day before yesterday": 2, "the day before yesterday": 2, "earlier today": 0}
    near |= {
        "last night": 1,
        "last evening": 1,
        "tonight": 0,
        "yday": 1,
        "yest": 1,
        "ystd": 1,
        "yesterday's": 1,
        "yesturday": 1,
    }
    near |= {"yersterday": 1, "yesteday": 1, "2day": 0, "tody": 0} if is_sure or len(text) > 5 else {}
    if text in near:
        return (today - timedelta(days=near[text]),)
    if DAY_PART.fullmatch(text):
        return (today,)
    ways = (_weekday(text, today, is_sure=is_sure), _named_month(text, today), _in_figures(text, today))
    return next((days for days in ways if days is not None), None)


def _weekday(text: str, today: date, *, is_sure: bool) -> tuple[date, ...] | None:
    found = re.fullmatch(r"(?P<lead>(?:on|last|this past|past|on last) )?(?P<day>[a-z]+)\.?", text)
    if found is None:
        return None
    place = place_of_weekday(found["day"])
    if place is None or (len(found["day"]) == 3 and not (is_sure or found["lead"])):
        return None
    back = (today.weekday() - place) % 7
    is_last = "last" in (found["lead"] or "")
    if is_last and 0 < back <= 2:  # "last monday" on a Wednesday may be the one of the week before
        return today - timedelta(days=back), today - timedelta(days=back + 7)
    return (today - timedelta(days=back or (7 if is_last else 0)),)


def _named_month(text: str, today: date) -> tuple[date, ...] | None:
    """``18 oct``, ``the 18th of october 2025``, ``oct 18``; ``on the 3rd`` is the last third that was."""
    day = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?\.?"
    year = r"(?:,? (?P<year>\d{4}|'\d\d))?"
    month = r"(?P<month>[a-z]{3,9})\.?"
    for form in (rf"(?:on )?(?:the )?{day} (?:of )?{month}{year}", rf"(?:on )?{month} (?:the )?{day}{year}"):
        found = re.fullmatch(form, text)
        place = _month(found["month"]) if found else None
        if found is not None and place is not None:
            said = found["year"]
            whole = None if said is None else int(said.removeprefix("'")) + (2000 if len(said) < 4 else 0)
            return _dated(int(found["day"]), place, whole, today)
    found = re.fullmatch(r"(?:on )?the (\d{1,2})(?:st|nd|rd|th)|on (\d{1,2})(?:st|nd|rd|th)", text)
    return _last_day(int(found[1] or found[2]), today) if found else None


def _month(word: str) -> int | None:
    names = [name.casefold() for name in MONTHS]
    if word in LONG_MONTHS:
        return LONG_MONTHS.index(word) + 1
    return names.index(word) + 1 if word in names else 9 if word == "sept" else None


def _last_day(number: int, today: date) -> tuple[date, ...]:
    first = today.replace(day=1)
    for _ in range(3):
        try:
            if (day := first.replace(day=number)) <= today:
                return (day,)
        except ValueError:
            pass
        first = (first - timedelta(days=1)).replace(day=1)
    return ()


def _in_figures(text: str, today: date) -> tuple[date, ...] | None:
    """``2025-10-18``, ``31.5.``, ``31/5``, ``31.5.25``; a stroke between two small numbers leaves two readings."""
    text = text.removeprefix("on ").removeprefix("the ")
    if (found := re.fullmatch(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})", text)) is not None:
        return _dated(int(found[4]), int(found[3]), int(found[1]), today)
    found = re.fullmatch(r"(\d{1,2})([./-])(\d{1,2})(?:(\2)(\d{4}|\d\d)?)?", text)
    if found is None or (found[2] == "-" and not found[5]) or (found[2] == "/" and found[4] and not found[5]):
        return None
    if (
        found[2] == "."
        and not found[4]
        and ((len(found[3]) == 2 and found[3] > "12") or found[3] == "0" or found[1] == "0")
    ):
        return None  # an amount, such as 0.25
    year = None if not found[5] else int(found[5]) + (2000 if len(found[5]) == 2 else 0)
    one, other = int(found[1]), int(found[3])
    orders = [(one, other)] if found[2] == "." else [(one, other), (other, one)]
    return tuple(dict.fromkeys(day for number, month in orders for day in _dated(number, month, year, today)))


def _dated(number: int, month: int, year: int | None, today: date) -> tuple[date, ...]:
    """That day; without a year the last that was. Empty where the calendar has none."""
    try:
        if year is not None:
            return (date(year, month, number),) if year in YEARS else ()
        this_year = date(today.year, month, number)
        # A day soon to come is a slip, or a plan: it is not taken for last year's.
        is_past = this_year <= today or this_year - today > SOON
        return (this_year if this_year <= today or not is_past else this_year.replace(year=today.year - 1),)
    except ValueError:
        if year is None and (number, month) == (29, 2):
            return _dated(29, 2, today.year - today.year % 4, today)
        return ()
