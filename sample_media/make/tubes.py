"""Hoses, wires and pipes: smooth paths and what is swept along them. Lengths in dm."""

import numpy as np

from . import shapes


def spline(points, step=0.1, smooth=6):
    """Even-stepped smooth path through points; its ends and their directions stay."""
    p = np.array([list(q) for q in points], float)
    p = np.vstack([2 * p[0] - p[1], p, 2 * p[-1] - p[-2]])
    out = []
    for i in range(1, len(p) - 2):
        out.extend(_catmull(p[i - 1 : i + 3], t) for t in np.linspace(0, 1, 20, endpoint=False))
    q = np.array([*out, p[-2]])
    for _ in range(2):
        q = even(q, step)
        for _ in range(smooth):
            q[2:-2] = 0.25 * q[1:-3] + 0.5 * q[2:-2] + 0.25 * q[3:-1]
    return q


def _catmull(four, t):
    a, b, c, d = four
    cubic = (3 * b - a - 3 * c + d) * t**3
    return 0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + cubic)


def along(path):
    """Distance from the start at every point of a path."""
    return np.r_[0, np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))]


def even(path, step):
    """The same path in steps of about `step`."""
    s = along(path)
    n = max(6, int(s[-1] / step))
    return np.stack([np.interp(np.linspace(0, s[-1], n), s, path[:, j]) for j in range(3)], 1)


def sweep(name, path, r, mat, seg=12, rings=None):
    """Round tube of radius r; rings = (pitch, depth as a share of r) makes it corrugated."""
    p = np.asarray(path, float)
    if rings:
        p = even(p, rings[0] / 4)
    t = np.gradient(p, axis=0)
    t /= np.linalg.norm(t, axis=1, keepdims=True) + 1e-9
    verts, dist = [], along(p)
    a = np.linspace(0, 2 * np.pi, seg, endpoint=False)
    x = np.cross(t[0], [0.31, 0.22, 1.0])
    for i in range(len(p)):
        x = x - t[i] * x.dot(t[i])
        x /= np.linalg.norm(x) + 1e-9
        y = np.cross(t[i], x)
        wave = 1 + (rings[1] * (1 if i % 4 < 2 else -1) if rings else 0)
        verts += [p[i] + r * wave * (np.cos(q) * x + np.sin(q) * y) for q in a]
    faces, uv = _skin(len(p), seg, dist)
    return shapes.solid(name, verts, faces, mat, None, uv, sharp=0.5 if rings else 0.9)


def _skin(n, seg, dist):
    """Side faces and end caps of a tube, with u along it (per 2.4 dm) and v around it."""
    faces, uv = [], []
    for k in range(n - 1):
        for i in range(seg):
            j = (i + 1) % seg
            faces.append((k * seg + i, k * seg + j, (k + 1) * seg + j, (k + 1) * seg + i))
            u0, u1, v0, v1 = -dist[k] / 2.4, -dist[k + 1] / 2.4, i / seg, (i + 1) / seg
            uv += [(u0, v0), (u0, v1), (u1, v1), (u1, v0)]
    for ring in (range(seg - 1, -1, -1), range((n - 1) * seg, n * seg)):
        faces.append(tuple(ring))
        uv += [(0, 0)] * seg
    return faces, uv


def band(name, path, r, width, mat):
    """Closed V-belt round pulleys whose shafts lie along y: `width` across, 2 r thick."""
    p = np.asarray(path, float)
    t = np.roll(p, -1, 0) - np.roll(p, 1, 0)
    t /= np.linalg.norm(t, axis=1, keepdims=True)
    axis = np.array([0, 1.0, 0])
    n = np.cross(t, axis)
    shape = [(-width / 2, -r), (width / 2, -r), (width * 0.36, r), (-width * 0.36, r)]
    verts = [p[i] + axis * a + n[i] * -b for i in range(len(p)) for a, b in shape]
    m, faces = len(p), []
    for k in range(m):
        for i in range(4):
            a, b = k * 4 + i, k * 4 + (i + 1) % 4
            c, d = ((k + 1) % m) * 4 + (i + 1) % 4, ((k + 1) % m) * 4 + i
            faces.append((a, b, c, d))
    return shapes.solid(name, verts, faces, mat, None)
