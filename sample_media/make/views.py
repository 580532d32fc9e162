"""A camera held in the hand: projection, and the search for a view that sees a spot. Lengths in dm."""

import numpy as np
from mathutils import Matrix, Vector

from . import shapes

LONG, SHORT = 1024, 768  # pixels


class Cam:
    """Camera at eye, looking at a point; lens in mm for a 36 mm wide frame; roll in degrees."""

    def __init__(self, eye, target, roll=0.0, lens=26.0, portrait=False, size=None):
        self.lens, self.portrait = lens, portrait
        self.w, self.h = size or ((SHORT, LONG) if portrait else (LONG, SHORT))
        z = (Vector(eye) - Vector(target)).normalized()
        x = shapes.Z.cross(z)
        x = x.normalized() if x.length > 0.1 else shapes.X
        self.m = shapes.frame(eye, z, x) @ Matrix.Rotation(np.radians(roll), 4, "Z")
        self.f = lens / 36.0 * max(self.w, self.h)
        self.back = self.m.inverted()
        r = self.m.to_3x3()
        self.eye, self.right, self.up = Vector(eye), r @ shapes.X, r @ shapes.Y

    def pixel(self, p):
        """Pixel of a point in the displayed picture and its depth, or None behind the camera."""
        q = self.back @ Vector(p)
        if -q.z <= 0.05:
            return None
        return self.w / 2 + self.f * q.x / -q.z, self.h / 2 - self.f * q.y / -q.z, -q.z

    def inside(self, p, margin=0.0):
        """True when the point falls in the frame, `margin` a share of its sides."""
        q = self.pixel(p)
        return q is not None and all(margin * s <= v <= (1 - margin) * s for v, s in zip(q, (self.w, self.h), strict=False))

    def box(self, points):
        """Pixel box [x0, y0, x1, y1] round points, cut to the frame, or None."""
        q = np.array([a[:2] for a in map(self.pixel, points) if a])
        if not len(q):
            return None
        b = [max(0, q[:, 0].min()), max(0, q[:, 1].min()), min(self.w, q[:, 0].max()), min(self.h, q[:, 1].max())]
        return [round(float(v), 1) for v in b] if b[2] - b[0] > 3 and b[3] - b[1] > 3 else None


def turn_from(d, degrees, rng):
    """Direction d swung by some degrees to a random side, mostly sideways as a person would step."""
    d = Vector(d).normalized()
    axis = shapes.Z if rng.random() < 0.7 else d.cross(shapes.Z)
    axis = (axis + Vector(rng.normal(0, 0.25, 3))).normalized()
    axis = (axis - d * axis.dot(d)).normalized()
    return Matrix.Rotation(np.radians(degrees) * rng.choice([-1, 1]), 3, axis) @ d


def find(spot_ends, seen, sight, target, base, angles, distance, rng, portrait=False, tries=26, roll=4.0, wander=0.18):
    """Best view between angles (low, high) off the base direction: (camera, angle off base, ends seen)."""
    best = (-1.0, None, 0.0, 0)
    for _ in range(tries):
        angle = rng.uniform(*angles)
        d = turn_from(base, angle, rng)
        dist = distance * rng.uniform(0.94, 1.06)
        eye = Vector(target) + d * dist
        if not (-7.2 < eye.x < 7.2 and -9.0 < eye.y < 8.4 and eye.z > 0.6):
            continue
        if sight.first(eye, Vector(target))[2] < min(1.6, dist * 0.4):
            continue
        aim = Vector(target) + Vector(rng.normal(0, wander, 3))
        cam = Cam(eye, aim, rng.normal(0, roll), float(rng.uniform(25.6, 27.4)), portrait)
        count = sum(cam.inside(e.anchor, 0.04) and seen(e, cam) >= 0.4 for e in spot_ends)
        score = count - _blocked(cam, sight, dist)
        if score > best[0]:
            best = (score, cam, angle, count)
        if score >= len(spot_ends):
            break
    return best[1:]


def _blocked(cam, sight, dist):
    """How much of the picture's middle is taken by things held close to the lens, 0 to 1."""
    ahead = -(cam.m.to_3x3() @ shapes.Z)
    n = 0
    for a in (-0.4, 0, 0.4):
        for b in (-0.3, 0, 0.3):
            to = cam.eye + ahead * 2 + cam.right * (2 * a) + cam.up * (2 * b)
            n += sight.first(cam.eye, to, 0.2)[2] < dist * 0.32
    return n / 9
