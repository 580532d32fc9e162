"""Mesh shapes. Lengths in dm; every object keeps scale 1, so that worn textures keep one physical size."""

import bmesh
import bpy
import numpy as np
from mathutils import Matrix, Vector

MADE: list = []  # every object, in the order it was made

X, Y, Z = Vector((1, 0, 0)), Vector((0, 1, 0)), Vector((0, 0, 1))


def at(p):
    """Frame at point p with the boat's own axes."""
    return Matrix.Translation(Vector(p))


def frame(origin, z, x=None):
    """Frame whose z runs along `z` and whose x is as near to `x` as it can be."""
    z = Vector(z).normalized()
    x = Vector(x) if x is not None else (Z if abs(z.z) < 0.9 else X)
    x = (x - z * x.dot(z)).normalized()
    m = Matrix((x, z.cross(x), z)).transposed().to_4x4()
    m.translation = Vector(origin)
    return m


def shift(m, x=0.0, y=0.0, z=0.0, turn=0.0):
    """Frame m moved along its own axes, then turned about its z by `turn` radians."""
    return m @ Matrix.Translation((x, y, z)) @ Matrix.Rotation(turn, 4, "Z")


def gather(make, *args, **kw):
    """Call make and return (objects it made, its result)."""
    start = len(MADE)
    result = make(*args, **kw)
    return MADE[start:], result


def put(name, mesh, mat, m=None):
    """Place a mesh in the scene; m is its frame."""
    ob = bpy.data.objects.new(name, mesh)
    if mat is not None and not mesh.materials:
        mesh.materials.append(mat)
    ob.matrix_world = m or Matrix()
    bpy.context.scene.collection.objects.link(ob)
    MADE.append(ob)
    return ob


def solid(name, verts, faces, mat, m=None, uv=None, sharp=0.6, flat=False):
    """Object from vertices and faces; `sharp` is the crease angle in radians."""
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata([tuple(v) for v in verts], [], faces)
    if not flat:
        mesh.shade_smooth()
        mesh.set_sharp_from_angle(angle=sharp)
    if uv is not None:
        mesh.uv_layers.new(name="uv").data.foreach_set("uv", np.asarray(uv, np.float32).ravel())
    return put(name, mesh, mat, m)


def box(name, size, mat, m=None, bevel=0.05, segments=2):
    """Box of the given size centred on its frame, with rounded edges."""
    bm = bmesh.new()
    bmesh.ops.create_cube(bm, size=1.0)
    for v in bm.verts:
        v.co = Vector([a * b for a, b in zip(v.co, size, strict=True)])
    if bevel:
        width = min(bevel, min(size) * 0.45)
        bmesh.ops.bevel(bm, geom=bm.edges[:], offset=width, segments=segments, affect="EDGES", profile=0.5)
    mesh = bpy.data.meshes.new(name)
    bm.to_mesh(mesh)
    bm.free()
    mesh.shade_smooth()
    mesh.set_sharp_from_angle(angle=0.5)
    return put(name, mesh, mat, m)


def turned(name, profile, mat, m=None, seg=28, cap=True):
    """Turn (radius, height) pairs about the frame's z."""
    a = np.linspace(0, 2 * np.pi, seg, endpoint=False)
    verts = [(r * np.cos(t), r * np.sin(t), z) for r, z in profile for t in a]
    faces = []
    for k in range(len(profile) - 1):
        for i in range(seg):
            j = (i + 1) % seg
            faces.append((k * seg + i, k * seg + j, (k + 1) * seg + j, (k + 1) * seg + i))
    if cap:
        faces.append(tuple(range(seg))[::-1])
        faces.append(tuple((len(profile) - 1) * seg + i for i in range(seg)))
    return solid(name, verts, faces, mat, m)


def cylinder(name, r, length, mat, m=None, seg=28, edge=0.03):
    """Cylinder from the frame's origin along z, edges broken by `edge`."""
    e = min(edge, r * 0.4, abs(length) * 0.4)
    return turned(name, [(r - e, 0), (r, e), (r, length - e), (r - e, length)], mat, m, seg)


def plate(name, outline, thick, mat, m=None, bevel=0.03):
    """Flat plate: a closed outline in the frame's xy plane, raised by `thick` along z."""
    bm = bmesh.new()
    low = [bm.verts.new((x, y, 0)) for x, y in outline]
    face = bm.faces.new(low)
    made = bmesh.ops.extrude_face_region(bm, geom=[face])
    for v in made["geom"]:
        if isinstance(v, bmesh.types.BMVert):
            v.co.z += thick
    bmesh.ops.recalc_face_normals(bm, faces=bm.faces[:])
    if bevel:
        bmesh.ops.bevel(bm, geom=bm.edges[:], offset=min(bevel, thick * 0.4), segments=1, affect="EDGES")
    mesh = bpy.data.meshes.new(name)
    bm.to_mesh(mesh)
    bm.free()
    mesh.shade_smooth()
    mesh.set_sharp_from_angle(angle=0.5)
    return put(name, mesh, mat, m)


def card(name, w, h, mat, m, bend=0.0, mirror=False, n=8):
    """Rectangle in the frame's xy plane that shows a picture; `bend` in dm curls it."""
    verts, faces, uv = [], [], []
    for i in range(n + 1):
        u = i / n
        rise = bend * np.sin(u * np.pi)
        verts += [((u - 0.5) * w, -h / 2, rise), ((u - 0.5) * w, h / 2, rise)]
    for i in range(n):
        faces.append((2 * i, 2 * i + 2, 2 * i + 3, 2 * i + 1))
        a, b = (1 - i / n, 1 - (i + 1) / n) if mirror else (i / n, (i + 1) / n)
        uv += [(a, 0), (b, 0), (b, 1), (a, 1)]
    return solid(name, verts, faces, mat, m, uv)
