"""Scenes without the engine: a bench with a thermos, a quay with a bollard, a phone that shows its clock."""

import bpy
import numpy as np
from mathutils import Matrix

from . import drawn, fittings, shapes
from .palette import palette
from .shapes import X, Y, at, box, card, frame, turned
from .surfaces import image
from .tubes import spline, sweep


class Scene:
    """kind: thermos, quay, clock, clock late. Has an eye, a point looked at and a light."""

    def __init__(self, kind, seed):
        bpy.ops.wm.read_factory_settings(use_empty=True)
        shapes.MADE.clear()
        fittings.reset()
        self.rng = np.random.default_rng(seed)
        self.p, self.maker = palette(self.rng)
        self.kind = kind
        if kind == "quay":
            self._quay()
        else:
            self._bench()
            if kind == "thermos":
                self._thermos()
            else:
                self._phone("09:44:50" if kind == "clock" else "08:27:59", "Saturday 11 October" if kind == "clock" else "Saturday 1 November")

    def _bench(self):
        """Planks, a vice, spanners, loose bolts."""
        p, r = self.p, self.rng
        for i in range(7):
            box("plank", (22, 1.3, 0.3), p["wood"], at((r.normal(0, 0.2), -4 + i * 1.33, -0.15)), 0.05)
        box("back board", (22, 0.2, 7), p["bulkhead"], at((0, 5.6, 3)), 0.05)
        for k in range(6):
            m = frame((-4.5 + k * 0.9, 5.4, 2.6), -Y, X)
            box("spanner", (0.22, 1.9 + 0.15 * k, 0.08), p["steel"], m, 0.04)
            turned("spanner end", [(0.16, -0.05), (0.34, -0.05), (0.34, 0.05), (0.16, 0.05)], p["steel"], m @ at((0, 1.1 + 0.07 * k, 0)), 6, cap=False)
        for _ in range(16):
            fittings.bolt(at((r.uniform(-5, 5), r.uniform(-3, 4), 0.0)) @ Matrix.Rotation(r.uniform(0, 6), 4, "Z"), p["bolt"], r.uniform(0.08, 0.16), 0.1)
        box("tray", (2.6, 1.8, 0.5), p["grey paint"], at((3.6, 2.2, 0.25)), 0.1)
        box("vice", (1.6, 2.4, 1.2), p["blue paint"], at((-4.2, 2.4, 0.6)), 0.25, 3)
        turned("vice screw", [(0.2, 0), (0.2, 1.6)], p["steel"], frame((-4.2, 1.2, 0.7), -Y), 16)
        self.eye, self.aim, self.light = (0.6, -6.4, 6.0), (0.1, 1.0, 0.9), "bench"

    def _thermos(self):
        """A dented thermos, its cup with coffee, a sandwich box."""
        p = self.p
        body = [(0.62, 0), (0.68, 0.06), (0.68, 3.2), (0.6, 3.5), (0.42, 3.7), (0.42, 3.85)]
        turned("thermos", body, p["engine2"], at((-0.6, 1.2, 0)), 44)
        turned("thermos ring", [(0.69, 0.4), (0.71, 0.42), (0.71, 0.7), (0.69, 0.72)], p["stainless"], at((-0.6, 1.2, 0)), 44, cap=False)
        turned("stopper", [(0.5, 3.8), (0.52, 3.84), (0.52, 4.2), (0.4, 4.3)], p["plastic"], at((-0.6, 1.2, 0)), 30)
        turned("cup", [(0.4, 0), (0.52, 0.9), (0.5, 0.9), (0.4, 0.1), (0.1, 0.1)], p["stainless"], at((0.9, 0.3, 0)), 36)
        turned("coffee", [(0.47, 0.66), (0.05, 0.661)], p["oil"], at((0.9, 0.3, 0)), 30)
        box("lunch box", (2.2, 1.5, 0.8), p["red paint"], at((2.2, -1.2, 0.4)), 0.2, 3)

    def _phone(self, clock, date):
        """A phone lying on the bench, awake, its clock large."""
        p = self.p
        m = at((0.1, 0.2, 0.08)) @ Matrix.Rotation(0.12, 4, "Z")
        box("phone", (0.78, 1.6, 0.085), p["plastic"], m, 0.04, 3)
        face = self.maker.get("screen", (1, 1, 1), rough=0.08, grime=0.06, wear=0, rust=0, dust=0.06, grain=0, bump=0, glow=1.1,
                              picture=image("screen", drawn.clock_screen(clock, date)))
        card("screen", 0.72, 1.5, face, m @ at((0, 0, 0.046)))
        self.eye, self.aim, self.light = (0.2, -1.0, 2.0), (0.1, 0.2, 0.1), "bench"

    def _quay(self):
        """Stones, a bollard with a line, the water beyond, a grey sky."""
        p, r = self.p, self.rng
        for i in range(-5, 6):
            for j in range(3):
                box("stone", (2.9, 1.9, 1.2), p["hull"], at((i * 3.0 + 1.4 * (j % 2), -3 + j * 2.0, -0.6 + r.normal(0, 0.03))), 0.12)
        box("coping", (40, 1.2, 0.7), p["iron"], at((0, 3.4, -0.2)), 0.1)
        water = self.maker.get("water", (0.02, 0.045, 0.04), rough=0.1, grime=0, wear=0, rust=0, dust=0, bump=0.9, grain=0.1)
        box("water", (160, 120, 0.1), water, at((0, 64, -6)), 0)
        box("far bank", (160, 6, 9), p["bilge"], at((0, 118, -2)), 1)
        for k in range(7):
            tall = r.uniform(5, 9)
            box("shed", (r.uniform(17, 26), 6, tall), p[["bulkhead", "hull", "bearer"][k % 3]], at((-66 + k * 21, 116, 2.5 + tall / 2)), 0.2)
        turned("bollard", [(1.0, 0), (1.0, 0.2), (0.7, 0.35), (0.6, 1.8), (0.8, 2.2), (0.95, 2.35), (0.9, 2.6), (0.4, 2.7)], p["iron"], at((-0.6, 1.2, 0)), 48)
        for k in range(3):
            a = np.linspace(0, 2 * np.pi, 40)
            ring = np.stack([-0.6 + 0.78 * np.cos(a), 1.2 + 0.78 * np.sin(a), 0.75 + 0.22 * k + 0.04 * np.sin(2 * a)], 1)
            sweep("line", ring, 0.1, p["hose clear"], 12, rings=(0.09, 0.08))
        sweep("line", spline([(-0.6, 2.0, 0.8), (1.4, 3.2, 0.4), (4.0, 4.3, -0.2), (9, 8, -4)]), 0.1, p["hose clear"], 12, rings=(0.09, 0.08))
        coil = [(3.0 + (0.4 + 0.025 * k) * np.cos(k * 0.5), -0.6 + (0.4 + 0.025 * k) * np.sin(k * 0.5), 0.12 + 0.001 * k) for k in range(60)]
        sweep("coil", spline(coil), 0.1, p["hose clear"], 12, rings=(0.09, 0.08))
        self.eye, self.aim, self.light = (2.4, -6.6, 4.6), (-0.2, 3.4, 0.7), "quay"
