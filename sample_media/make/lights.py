"""Light as it was on the day: daylight through the hatch, a work lamp, a phone's flash, tubes at night."""

import bpy
import numpy as np
from mathutils import Vector

from . import shapes

KINDS = ("hatch", "lamp", "flash", "tubes", "bench", "quay")


def _clear():
    for o in [o for o in bpy.context.scene.objects if o.type == "LIGHT"]:
        bpy.data.objects.remove(o)


def area(p, aim, watts, size, colour=(1, 1, 1), shape="SQUARE", size_y=None):
    """Area light at p aimed at a point; sizes in dm."""
    lamp = bpy.data.lights.new("light", "AREA")
    lamp.energy, lamp.size, lamp.color, lamp.shape = watts, size, colour, shape
    if size_y:
        lamp.size_y = size_y
    o = bpy.data.objects.new("light", lamp)
    bpy.context.scene.collection.objects.link(o)
    o.matrix_world = shapes.frame(p, Vector(p) - Vector(aim), shapes.X)


def sky(colour, strength):
    """Even light from everywhere that is not covered."""
    w = bpy.data.worlds.get("sky") or bpy.data.worlds.new("sky")
    bpy.context.scene.world = w
    w.use_nodes = True
    bg = next(n for n in w.node_tree.nodes if n.type == "BACKGROUND")
    bg.inputs[0].default_value, bg.inputs[1].default_value = (*colour, 1), strength


def hatch(watts, colour=(0.9, 0.96, 1.0)):
    """Daylight through the open hatch."""
    area((0, -1, 14.6), (0, -1, 0), watts, 9.0, colour, "RECTANGLE", 11.0)


def apply(light):
    """light: kind, seed, target (point photographed), eye (camera)."""
    _clear()
    r = np.random.default_rng(light["seed"])
    t, eye, kind = Vector(light["target"]), Vector(light["eye"]), light["kind"]
    sky((0.75, 0.86, 1.0), 0.12)
    if kind == "quay":
        sky((0.78, 0.85, 0.95), 1.0)
        area((30, -25, 40), (0, 0, 0), 30000, 14, (1, 0.95, 0.86))
    elif kind == "bench":
        area((-3, -4, 9), (0, 1, 0), 420, 1.0, (1, 0.95, 0.85), "RECTANGLE", 6.0)
        area((6, -6, 7), (0, 0, 0), 300, 4.0, (0.85, 0.93, 1))
    elif kind == "hatch":
        hatch(r.uniform(3600, 4700))
        area((r.normal(0, 1), 7.6, 9.5), (0, 0, 4), 380, 3.0, (1, 0.95, 0.88))
    elif kind == "lamp":
        hatch(900)
        side = 1 if r.random() < 0.5 else -1
        d = (eye - t).normalized()
        p = t + d * r.uniform(3.0, 3.8) + d.cross(shapes.Z).normalized() * (side * r.uniform(1.6, 2.6)) + shapes.Z * r.uniform(0.8, 2.0)
        area(p, t, r.uniform(330, 420), 0.9, (1, 0.88, 0.7))
        sky((0.75, 0.86, 1.0), 0.06)
    elif kind == "flash":
        hatch(1500)
        area(eye + shapes.Z * 0.25, t, 150, 0.16, (1, 0.98, 0.94))
    else:
        for s in (-1, 1):
            area((s * 3.4, r.uniform(-3, 1), 12.3), (s * 1.5, -1, 3), 1900, 0.5, (0.94, 1, 0.93), "RECTANGLE", 9.0)
        area((0, 7.6, 8), (0, 0, 4), 350, 2.0, (0.94, 1, 0.93))
