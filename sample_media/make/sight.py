"""Ray casts against exactly the objects that show in one state."""

import numpy as np
from mathutils import Vector
from mathutils.bvhtree import BVHTree

_TREES: dict = {}


def tree(ob):
    """The search tree of one object, in boat coordinates."""
    if ob.name not in _TREES:
        verts = [ob.matrix_world @ v.co for v in ob.data.vertices]
        _TREES[ob.name] = BVHTree.FromPolygons(verts, [tuple(q.vertices) for q in ob.data.polygons])
    return _TREES[ob.name]


def reset():
    """Forget trees when a new scene begins."""
    _TREES.clear()


class Sight:
    """What can be seen from where."""

    def __init__(self, obs):
        self.obs = list(obs)
        centres, radii = [], []
        for o in self.obs:
            corners = np.array([list(o.matrix_world @ Vector(q)) for q in o.bound_box])
            c = (corners.min(0) + corners.max(0)) / 2
            centres.append(c)
            radii.append(np.linalg.norm(corners - c, axis=1).max())
        self.c, self.r = np.array(centres), np.array(radii)

    def first(self, eye, p, past=0.5):
        """First hit on the way from eye to p and a little past it: (object, point, distance in dm)."""
        eye, p = Vector(eye), Vector(p)
        d = p - eye
        length = d.length
        d = d / length
        rel = self.c - np.array(eye)
        t = rel @ np.array(d)
        off = np.linalg.norm(rel - t[:, None] * np.array(d), axis=1)
        best = (None, None, length + past)
        for i in np.nonzero((off < self.r) & (t > -self.r) & (t < length + self.r + past))[0]:
            hit, _, _, dist = tree(self.obs[i]).ray_cast(eye, d, best[2])
            if hit is not None:
                best = (self.obs[i], hit, dist)
        return best

    def share(self, cam, anchor, own, near=0.5, spread=0.1):
        """Share of 5 rays to and round the anchor that end on the joint's own objects."""
        names, n = {o.name for o in own}, 0
        for a, b in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)):
            ob, hit, _ = self.first(cam.eye, Vector(anchor) + cam.right * (a * spread) + cam.up * (b * spread))
            n += ob is not None and ob.name in names and (hit - Vector(anchor)).length < near
        return n / 5
