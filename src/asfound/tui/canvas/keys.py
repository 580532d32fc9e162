"""The keys of a picture."""

from __future__ import annotations

from textual.binding import Binding, BindingType

BINDINGS: list[BindingType] = [
    Binding("left,h", "step(-1, 0)", "left", show=False),
    Binding("right,l", "step(1, 0)", "right", show=False),
    Binding("up,k", "step(0, -1)", "up", show=False),
    Binding("down,j", "step(0, 1)", "down", show=False),
    Binding("H,shift+left", "step(-8, 0)", "far left", show=False),
    Binding("L,shift+right", "step(8, 0)", "far right", show=False),
    Binding("K,shift+up", "step(0, -4)", "far up", show=False),
    Binding("J,shift+down", "step(0, 4)", "far down", show=False),
    Binding("plus,equals_sign", "zoom(1)", "closer", show=False),
    Binding("minus,underscore", "zoom(-1)", "wider", show=False),
    Binding("w", "whole", "whole picture", show=False),
    Binding("z", "read_here", "read here", show=False),
    Binding("b", "corner", "box corner", show=False),
    Binding("S", "sharpen", "sharpen", show=False),
    Binding("V", "lift", "lift shadows", show=False),
    Binding("c", "colours", "colours", show=False),
    Binding("C", "glyphs", "characters", show=False),
]

KEY_WORDS = {
    "arrows or h j k l": "move the crosshair; with shift (or capital letters) far",
    "+ -": "zoom about the crosshair",
    "w": "the whole picture",
    "z": "close enough to read a number",
    "b": "corner of a box, twice",
    "S": "sharpen: usual, strong, off",
    "V": "lift the shadows",
    "c": "colours: true, 256, grey",
    "C": "characters: choose what this terminal draws best",
    "mouse": "click puts the crosshair, drag pans, the wheel zooms; drag a pin's number to move the pin; "
    "after b, drag draws the box",
}
"""The same keys as the help tells them."""
