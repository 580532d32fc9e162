"""The keys of a picture, each told once."""

from __future__ import annotations

from asfound.tui.keys import Key

KEYS = (
    Key(
        "left,h",
        "step(-1, 0)",
        "move the crosshair; with shift (or capital letters) in long steps",
        "left",
        shown="arrows or h j k l",
    ),
    Key("right,l", "step(1, 0)", "", "right"),
    Key("up,k", "step(0, -1)", "", "up"),
    Key("down,j", "step(0, 1)", "", "down"),
    Key("H,shift+left", "step(-8, 0)", "", "far left"),
    Key("L,shift+right", "step(8, 0)", "", "far right"),
    Key("K,shift+up", "step(0, -4)", "", "far up"),
    Key("J,shift+down", "step(0, 4)", "", "far down"),
    Key("plus,equals_sign", "zoom(1)", "zoom in or out at the crosshair", "closer", shown="+ -"),
    Key("minus,underscore", "zoom(-1)", "", "wider"),
    Key("w", "whole", "the whole picture"),
    Key("z", "read_here", "zoom in far enough to read a number", "read here"),
    Key("b", "corner", "draw a box: press at one corner, then at the opposite one", "box corner"),
    Key("S", "sharpen", "sharpen: usual, strong, off", "sharpen"),
    Key("V", "lift", "lift the shadows", "lift shadows"),
    Key("c", "colours", "colours: true, 256, grey", "colours"),
    Key("C", "glyphs", "characters: choose what this terminal draws best", "characters"),
    Key(
        "",
        "",
        "click puts the crosshair, drag pans, the wheel zooms; drag a pin's number to move the pin; "
        "after b, drag draws the box",
        shown="mouse",
    ),
)
