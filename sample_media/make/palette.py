"""The named surfaces of the boat: paint, iron, brass, rubber, plastic, cable colours."""

from . import drawn
from .surfaces import Surfaces, image

GREEN = (0.045, 0.13, 0.095)  # the engine's paint, a dull sea green
CREAM = (0.47, 0.43, 0.33)  # the bulkhead

CABLES = {
    "RD": (0.45, 0.02, 0.015), "BK": (0.012, 0.012, 0.013), "BU": (0.02, 0.07, 0.4), "WH": (0.62, 0.6, 0.55),
    "BN": (0.13, 0.055, 0.025), "GY": (0.22, 0.22, 0.23), "VT": (0.18, 0.035, 0.28), "GN": (0.02, 0.22, 0.07),
    "YE": (0.62, 0.47, 0.03), "GNYE": (0.2, 0.4, 0.04),
}
TAPES = [(0.83, 0.82, 0.76), (0.8, 0.66, 0.1), (0.83, 0.82, 0.76), (0.78, 0.74, 0.6)]


def _metals(g):
    g("engine", GREEN, rough=0.38, grime=0.9, wear=0.7, under=(0.2, 0.19, 0.17), rust=0.24, dust=0.3, bump=0.16, oil=0.8)
    g("engine2", (0.045, 0.135, 0.098), rough=0.34, grime=0.8, wear=0.8, under=(0.3, 0.29, 0.27), rust=0.14, bump=0.14, oil=0.8)
    g("iron", (0.06, 0.056, 0.053), rough=0.6, metal=0.3, grime=0.8, rust=0.5, bump=0.35, oil=0.5)
    g("exhaust", (0.13, 0.1, 0.085), rough=0.75, metal=0.2, grime=0.4, rust=0.95, bump=0.5)
    g("cast", (0.3, 0.3, 0.295), rough=0.52, metal=0.75, grime=0.95, wear=0.3, under=(0.5, 0.5, 0.48), rust=0.12, grain=0.55, bump=0.35, oil=0.4)
    g("steel", (0.42, 0.41, 0.4), rough=0.34, metal=0.9, grime=0.55, rust=0.35, bump=0.1)
    g("bright", (0.55, 0.55, 0.54), rough=0.25, metal=0.95, grime=0.4, rust=0.14, bump=0.06)
    g("bolt", (0.4, 0.38, 0.34), rough=0.4, metal=0.85, grime=0.65, rust=0.5, bump=0.12)
    g("zinc", (0.55, 0.47, 0.27), rough=0.38, metal=0.8, grime=0.5, rust=0.3, bump=0.08)
    g("stainless", (0.6, 0.59, 0.57), rough=0.24, metal=0.95, grime=0.35, rust=0.05, bump=0.03)
    g("brass", (0.52, 0.34, 0.11), rough=0.36, metal=0.9, grime=0.5, rust=0.0, bump=0.08)
    g("bronze", (0.38, 0.24, 0.1), rough=0.42, metal=0.85, grime=0.6, rust=0.0, bump=0.3)
    g("copper", (0.55, 0.24, 0.13), rough=0.35, metal=0.9, grime=0.5, rust=0.0, bump=0.08)
    g("lead", (0.3, 0.3, 0.31), rough=0.6, metal=0.4, grime=0.5, rust=0.1, dust=0.8)


def _paints(g):
    g("bulkhead", CREAM, rough=0.5, grime=0.5, wear=0.5, under=(0.24, 0.12, 0.06), rust=0.34, dust=0.1, bump=0.12)
    g("hull", (0.13, 0.135, 0.13), rough=0.55, grime=0.8, wear=0.4, under=(0.2, 0.09, 0.04), rust=0.5, dust=0.2, bump=0.2)
    g("bilge", (0.17, 0.06, 0.045), rough=0.4, grime=0.9, wear=0.4, rust=0.5, dust=0.3, bump=0.25, oil=0.9)
    g("bearer", (0.21, 0.065, 0.05), rough=0.5, grime=0.7, wear=0.7, under=(0.17, 0.09, 0.05), rust=0.5, dust=0.4, bump=0.2)
    g("grey paint", (0.17, 0.18, 0.19), rough=0.4, grime=0.6, wear=0.6, rust=0.2, bump=0.14, oil=0.4)
    g("blue paint", (0.03, 0.09, 0.22), rough=0.36, grime=0.5, wear=0.6, under=(0.4, 0.38, 0.36), rust=0.12, bump=0.1)
    g("red paint", (0.38, 0.03, 0.02), rough=0.36, grime=0.5, wear=0.5, under=(0.3, 0.28, 0.26), rust=0.15, bump=0.1)
    g("white paint", (0.6, 0.59, 0.55), rough=0.4, grime=0.5, wear=0.4, rust=0.12, bump=0.08)
    g("wood", (0.27, 0.15, 0.07), rough=0.6, grime=0.8, wear=0.2, under=(0.4, 0.27, 0.15), rust=0.0, dust=0.4, bump=0.4)


def _soft(g, rng):
    g("rubber", (0.014, 0.014, 0.015), rough=0.55, grime=0.2, wear=0, rust=0, dust=0.55, bump=0.08)
    g("hose", (0.017, 0.017, 0.019), rough=0.5, grime=0.2, wear=0, rust=0, dust=0.5, bump=0.06)
    g("hose blue", (0.02, 0.07, 0.26), rough=0.5, grime=0.5, wear=0, rust=0, dust=0.4, bump=0.06)
    g("hose grey", (0.13, 0.13, 0.135), rough=0.55, grime=0.5, wear=0, rust=0, dust=0.3, bump=0.06)
    g("hose clear", (0.42, 0.33, 0.16), rough=0.25, grime=0.4, wear=0, rust=0, dust=0.2, bump=0.03, coat=0.4)
    g("plastic", (0.022, 0.022, 0.024), rough=0.45, grime=0.3, wear=0.2, under=(0.1, 0.1, 0.1), rust=0, dust=0.5, bump=0.08)
    g("plug grey", (0.2, 0.2, 0.2), rough=0.5, grime=0.45, wear=0.1, rust=0, dust=0.3, bump=0.05)
    g("plug white", (0.56, 0.54, 0.48), rough=0.45, grime=0.5, wear=0, rust=0, dust=0.3, bump=0.05)
    g("tank white", (0.6, 0.58, 0.48), rough=0.35, grime=0.35, wear=0, rust=0.04, dust=0.3, bump=0.04, coat=0.2)
    g("coolant", (0.06, 0.3, 0.12), rough=0.3, grime=0.2, wear=0, rust=0, dust=0.1, bump=0.02, coat=0.2)
    g("seal", (0.5, 0.15, 0.03), rough=0.55, grime=0.4, wear=0, rust=0)
    g("black tape", (0.014, 0.014, 0.014), rough=0.3, grime=0.2, wear=0, rust=0, dust=0.4, bump=0.08)
    g("tie", (0.5, 0.48, 0.42), rough=0.4, grime=0.5, wear=0, rust=0, dust=0.2)
    g("tie black", (0.016, 0.016, 0.017), rough=0.4, grime=0.2, wear=0, rust=0, dust=0.3)
    g("filter white", (0.62, 0.6, 0.55), rough=0.35, grime=0.45, wear=0.2, rust=0.06, dust=0.2)
    g("filter black", (0.02, 0.02, 0.022), rough=0.3, grime=0.5, wear=0.3, rust=0.06, dust=0.3, oil=0.7)
    g("glass bowl", (0.36, 0.25, 0.07), rough=0.12, grime=0.3, wear=0, rust=0, dust=0.15, coat=0.6)
    g("oil", (0.006, 0.005, 0.004), rough=0.06, grime=0, wear=0, rust=0, dust=0, bump=0.02)
    for bore in (19, 25, 32, 75):
        g(f"hose {bore}", (0.017, 0.017, 0.019), rough=0.5, grime=0.2, wear=0, rust=0, dust=0.45, bump=0.06,
          print_mask=image(f"print {bore}", drawn.hose_print(rng, bore), True))
    for code, colour in CABLES.items():
        g(f"cable {code}", colour, rough=0.42, grime=0.5, wear=0, rust=0, dust=0.25, bump=0.04, grain=0.2)
    for i, colour in enumerate(TAPES):
        g(f"tape {i}", colour, rough=0.5, grime=0.2, wear=0, rust=0, dust=0.15, bump=0.05, grain=0.15)


def _stickers(g, rng):
    faces = {
        "sticker hot": (["CAUTION", "HOT SURFACE", "LET COOL BEFORE", "OPENING CAP"], (238, 234, 220), (186, 44, 28)),
        "sticker belt": (["CAUTION", "ROTATING BELTS", "STOP ENGINE FIRST"], (240, 206, 60), (30, 30, 30)),
        "plate": (["MARINE DIESEL", "4 CYL   2.9 L   TURBO", "No 4-0387-S   1987", "FIRING ORDER 1-3-4-2"], (150, 150, 146), (40, 62, 52)),
        "plate gear": (["MARINE GEAR", "RATIO 2.04 : 1", "OIL SAE 30   1.8 L"], (150, 148, 140), (60, 60, 66)),
        "plate switch": (["MAIN SWITCH", "12 V  NEG EARTH"], (150, 28, 24), (120, 20, 18)),
        "sticker fuel": (["DIESEL", "DRAIN WATER", "EVERY 50 H"], (238, 234, 220), (26, 80, 130)),
    }
    for name, (lines, ground, band) in faces.items():
        g(name, (1, 1, 1), rough=0.35, grime=0.25, wear=0, rust=0.04, dust=0.2, bump=0.03, grain=0.15,
          picture=image(name, drawn.placard(rng, lines, ground=ground, band=band)))


def palette(rng):
    """All surfaces by name, and their maker for those made later."""
    maker = Surfaces(rng)
    named = {}

    def g(name, base, **kw):
        named[name] = maker.get(name, base, **kw)

    _metals(g)
    _paints(g)
    _soft(g, rng)
    _stickers(g, rng)
    return named, maker
