"""Pitches of threads and the spanners for their heads, each table with its source. To describe, not to choose."""

from __future__ import annotations

COARSE_MM = {
    "M4": 0.7,
    "M5": 0.8,
    "M6": 1.0,
    "M8": 1.25,
    "M10": 1.5,
    "M12": 1.75,
    "M14": 2.0,
    "M16": 2.0,
    "M18": 2.5,
    "M20": 2.5,
    "M22": 2.5,
    "M24": 3.0,
}
"""Coarse pitches of ISO 261, from memory."""

FINE_MM = {
    "M8": (1.0,),
    "M10": (1.25, 1.0),
    "M12": (1.25, 1.5),
    "M14": (1.5, 1.25),
    "M16": (1.5,),
    "M18": (1.5, 2.0),
    "M20": (1.5, 2.0),
    "M22": (1.5, 2.0),
    "M24": (2.0, 1.5),
}
"""Fine pitches usual on engines, from memory."""

UNC_UNF = {
    "1/4": (20, 28),
    "5/16": (18, 24),
    "3/8": (16, 24),
    "7/16": (14, 20),
    "1/2": (13, 20),
    "9/16": (12, 18),
    "5/8": (11, 18),
    "3/4": (10, 16),
}
"""Threads per inch, coarse and fine: ASME B1.1, read in secondary text."""

ISO_272 = {"M5": 8, "M6": 10, "M8": 13, "M10": 16, "M12": 18, "M14": 21, "M16": 24, "M22": 34}
"""Widths across flats in millimetres: ISO 272:1982 and ISO 4014, read in secondary text."""

ISO_272_REMEMBERED = {"M4": 7, "M18": 27, "M20": 30, "M24": 36}
"""More widths across flats of ISO 272, from memory."""

OLDER_DIN = {**ISO_272, "M10": 17, "M12": 19, "M14": 22, "M22": 32}
"""Widths across flats in millimetres: DIN 931 and 933, read in secondary text."""

ASME_B18 = {
    "1/4": "7/16",
    "5/16": "1/2",
    "3/8": "9/16",
    "7/16": "5/8",
    "1/2": "3/4",
    "9/16": "13/16",
    "5/8": "15/16",
    "3/4": "1-1/8",
}
"""Widths across flats of bolt heads in inches: ASME B18.2.1, read in secondary text."""

REMEMBERED_HEADS = {"M10": ("14 mm", "15 mm"), "7/16": ("11/16 in",), "9/16": ("7/8 in",)}
"""Flange and small heads of M10, nuts of 7/16 and 9/16; from memory."""
