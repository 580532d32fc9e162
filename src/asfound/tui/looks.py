"""How the screens look: dark for the shop, bright for the yard. Yellow and blue carry meaning, never red and green."""

from __future__ import annotations

from textual.theme import Theme

DARK_SHOP = Theme(
    name="dark shop",
    primary="#6cb2ff",
    secondary="#ffb454",
    accent="#ffd60a",
    foreground="#e6e6e6",
    background="#121212",
    surface="#1b1b1b",
    panel="#33373d",
    dark=True,
)
BRIGHT_YARD = Theme(
    name="bright yard",
    primary="#0b4f9e",
    secondary="#8a4b00",
    accent="#7a5c00",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#d5dae1",
    dark=False,
)
LOOKS = {look.name: look for look in (DARK_SHOP, BRIGHT_YARD)}
