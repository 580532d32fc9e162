"""Which pictures were taken, when and by whom: the days of the job, told in the boat's own time."""

import datetime as dt

from . import sallow

SUMMER, WINTER = dt.timezone(dt.timedelta(hours=2)), dt.timezone(dt.timedelta(hours=1))
CLOCK_CHECK = dt.datetime(2025, 10, 11, 9, 44, 50, tzinfo=SUMMER)
CLOCK_CHECK_2 = dt.datetime(2025, 11, 1, 8, 27, 59, tzinfo=WINTER)
TWICE_FOUND = ("s01", "s06", "s10", "s12", "s17")
REFITTED = ("s15", "s17", "s01", "s05", "s06", "s08", "s04", "s12", "s13")
DAY_OFF = {**{s: "D3" for s in sallow.ORDER[:10]}, **{s: "D4" for s in sallow.ORDER[10:17]}, **{s: "D5" for s in sallow.ORDER[17:]}}
START = {
    "D1": dt.datetime(2025, 10, 11, 9, 52, 10, tzinfo=SUMMER), "D2": dt.datetime(2025, 10, 12, 10, 14, 17, tzinfo=SUMMER),
    "D3": dt.datetime(2025, 10, 18, 10, 5, 31, tzinfo=SUMMER), "D4": dt.datetime(2025, 10, 26, 9, 14, 17, tzinfo=WINTER),
    "D5": dt.datetime(2025, 11, 1, 8, 6, 12, tzinfo=WINTER), "D9": dt.datetime(2026, 4, 26, 9, 14, 17, tzinfo=SUMMER),
}


def written(true, camera):
    """What the camera's clock said: K1 runs 4 minutes fast and was never put back to winter time."""
    if camera != "K1":
        return true
    slow = dt.timedelta(minutes=4)
    if true.utcoffset() == dt.timedelta(hours=1):
        slow += dt.timedelta(hours=1)
    return true + slow


def overviews():
    """(view, camera, time) of the pictures from afar on the first day."""
    at = START["D1"].replace(hour=9)
    return [("front", "P1", at.replace(minute=24, second=17)), ("port", "K1", at.replace(minute=26, second=34)),
            ("starboard", "P1", at.replace(minute=28, second=51)), ("top", "P1", at.replace(minute=33, second=25))]


def found():
    """(spot, role, camera, time): each spot as it was met, some twice, one pressed twice."""
    out, t = [], START["D1"]
    for i, spot in enumerate(sallow.ORDER):
        camera = ("P1", "P2", "P1", "P1", "P2")[i % 5]
        out.append((spot, "first", camera, t))
        if spot == "s08":
            out.append((spot, "burst", camera, t + dt.timedelta(seconds=2)))
        if spot in TWICE_FOUND:
            other = "P2" if camera == "P1" and i % 2 else camera
            out.append((spot, "second", other, t + dt.timedelta(seconds=17 + 5 * (i % 4))))
        t += dt.timedelta(minutes=4, seconds=37 + 11 * (i % 3))
    return out


def tagged():
    """(spot, camera, time): the second day, every end with its tape."""
    out, t = [], START["D2"]
    for i, spot in enumerate(sallow.ORDER):
        out.append((spot, "P2" if i % 3 == 1 else "P1", t))
        t += dt.timedelta(minutes=5, seconds=3 + 17 * (i % 2))
    return out


def off():
    """(spot, camera, time): after the spot's hoses, wires and brackets came off."""
    out, clock = [], dict(START)
    for i, spot in enumerate(sallow.ORDER):
        day = DAY_OFF[spot]
        camera = "K1" if day == "D5" or (day == "D4" and i % 3 == 0) else ("P2" if i % 2 else "P1")
        out.append((spot, camera, clock[day]))
        clock[day] += dt.timedelta(minutes=(21 if day != "D5" else 4), seconds=13 * (i % 4))
    return out


def refitted():
    """(spot, camera, time): months later, all back, some of it wrong."""
    out, t = [], START["D9"]
    for i, spot in enumerate(REFITTED):
        out.append((spot, "P2" if i % 3 == 2 else "P1", t))
        t += dt.timedelta(minutes=31, seconds=17)
    return out


def asked():
    """(spot, end aimed at, state, camera, time): close pictures taken to ask 'what goes here'."""
    t = START["D9"].replace(hour=9, minute=2, second=5)
    step = dt.timedelta(minutes=2, seconds=40)
    return [("s02", "5A", "off", "P2", t), ("s18", "26A", "off", "P2", t + step), ("s16", "4B", "off", "P1", t + 2 * step),
            ("s11", "25A", "refit", "P2", t + 500 * dt.timedelta(minutes=1))]


def unrelated():
    """(scene, camera, time): pictures that have nothing to do with the engine, and the two clock checks."""
    return [("clock", "K1", CLOCK_CHECK), ("thermos", "P2", dt.datetime(2025, 10, 18, 12, 21, 40, tzinfo=SUMMER)),
            ("quay", "P1", dt.datetime(2025, 10, 26, 13, 2, 11, tzinfo=WINTER)), ("clock late", "K1", CLOCK_CHECK_2)]


CLIPS = [
    {"name": "port side", "camera": "P1", "time": dt.datetime(2025, 10, 11, 9, 42, 33, tzinfo=SUMMER), "suffix": "mov", "turned": False,
     "pass": [("s02", 0.0), ("s05", 0.5), ("s01", 1.0)]},
    {"name": "belt end", "camera": "P2", "time": dt.datetime(2025, 10, 11, 9, 47, 7, tzinfo=SUMMER), "suffix": "mp4", "turned": True,
     "pass": [("s03", 0.0), ("s03", 0.35), ("s04", 1.0)]},
]
