"""Worn surfaces for the renderer: base colour, then grain, grime in corners, wear on edges, rust, runs, dust.

Wear is looked up in two tileable masks by box projection in object space; corners and edges come from short rays.
"""

import bpy
import numpy as np

from . import drawn


def image(name, pixels, data=False):
    """Picture held in memory; `data` means plain numbers, not colours."""
    h, w = pixels.shape[:2]
    im = bpy.data.images.new(name, w, h, alpha=False)
    if data:
        im.colorspace_settings.name = "Non-Color"
    rgba = np.ones((h, w, 4), np.float32)
    rgba[..., :3] = pixels[::-1]
    im.pixels.foreach_set(rgba.ravel())
    im.pack()
    return im


class Tree:
    """Short hand for building one node tree."""

    def __init__(self, name):
        self.mat = bpy.data.materials.new(name)
        self.mat.use_nodes = True
        self.t = self.mat.node_tree
        self.t.nodes.clear()

    def node(self, kind, **settings):
        n = self.t.nodes.new(kind)
        for key, value in settings.items():
            setattr(n, key, value)
        return n

    def into(self, socket, value):
        """Set or link an input."""
        if isinstance(value, tuple):
            socket.default_value = (*value[:3], 1) if len(socket.default_value) == 4 else value
        elif isinstance(value, (int, float)):
            socket.default_value = value
        else:
            self.t.links.new(value, socket)

    def math(self, op, *values, clamp=False):
        n = self.node("ShaderNodeMath", operation=op, use_clamp=clamp)
        for socket, value in zip(n.inputs, values, strict=False):
            self.into(socket, value)
        return n.outputs[0]

    def mix(self, share, a, b, blend="MIX"):
        n = self.node("ShaderNodeMixRGB", blend_type=blend)
        for socket, value in zip(n.inputs, (share, a, b), strict=False):
            self.into(socket, value)
        return n.outputs[0]

    def between(self, x, a, b):
        n = self.node("ShaderNodeMapRange", interpolation_type="SMOOTHSTEP")
        self.into(n.inputs[0], x)
        n.inputs[1].default_value, n.inputs[2].default_value = a, b
        return n.outputs[0]

    def mask(self, im, vec, offset, scale):
        """Three channels of a mask, box-projected at `scale` tiles per dm."""
        mp = self.node("ShaderNodeMapping")
        mp.inputs["Scale"].default_value = (scale,) * 3
        self.into(mp.inputs["Vector"], vec)
        self.into(mp.inputs["Location"], offset)
        tx = self.node("ShaderNodeTexImage", image=im, projection="BOX", projection_blend=0.3)
        self.t.links.new(mp.outputs[0], tx.inputs[0])
        sp = self.node("ShaderNodeSeparateColor")
        self.t.links.new(tx.outputs[0], sp.inputs[0])
        return sp.outputs


class Surfaces:
    """Makes each named surface once."""

    def __init__(self, rng):
        a, b = drawn.masks(rng)
        self.ma, self.mb = image("mask a", a, True), image("mask b", b, True)
        self.made: dict = {}

    def get(self, name, base, rough=0.5, metal=0.0, grime=0.5, wear=0.3, under=(0.16, 0.15, 0.14), rust=0.2,
            bump=0.2, dust=0.3, grain=0.3, oil=0.0, picture=None, print_mask=None, glow=0.0, coat=0.0):
        """Surface by name. All strengths 0 to 1; `under` shows where edges are worn through."""
        if name not in self.made:
            self.made[name] = self._make(name, base, rough, metal, grime, wear, under, rust, bump, dust, grain, oil,
                                         picture, print_mask, glow, coat)
        return self.made[name]

    def _make(self, name, base, rough, metal, grime, wear, under, rust, bump, dust, grain, oil, picture, print_mask, glow, coat):
        k = Tree(name)
        co, info = k.node("ShaderNodeTexCoord"), k.node("ShaderNodeObjectInfo")
        rv = k.node("ShaderNodeCombineXYZ")
        for i, f in enumerate((17.3, 41.7, 29.1)):
            k.into(rv.inputs[i], k.math("MULTIPLY", info.outputs["Random"], f))
        vec, off = co.outputs["Object"], rv.outputs[0]
        fine, big, det = k.mask(self.ma, vec, off, 0.5), k.mask(self.ma, vec, off, 0.13), k.mask(self.mb, vec, off, 0.28)
        col = self._base(k, co, base, picture, print_mask)
        tone = k.math("ADD", k.math("MULTIPLY", fine[0], 1.2 * grain), 1.0 - 0.6 * grain)
        tone = k.math("MULTIPLY", tone, k.math("ADD", k.math("MULTIPLY", big[1], 0.5 * grain + 0.15), 0.92 - 0.25 * grain))
        grey = k.node("ShaderNodeCombineXYZ")
        for i in range(3):
            k.into(grey.inputs[i], tone)
        col = k.mix(1.0, col, grey.outputs[0], "MULTIPLY")
        geo = k.node("ShaderNodeNewGeometry")
        up = k.node("ShaderNodeSeparateXYZ")
        k.into(up.inputs[0], geo.outputs["Normal"])
        metal_in: object = float(metal)
        edge = self._edge(k, geo, fine, big) if wear else None
        if edge is not None:
            worn = k.math("MULTIPLY", edge, wear * 1.6, clamp=True)
            col = k.mix(worn, col, under)
        flake = k.math("MULTIPLY", fine[2], k.between(big[1], 0.66 - 0.34 * rust, 0.74 - 0.2 * rust))
        rusted = k.math("MULTIPLY", flake, min(1.0, rust * 2.2), clamp=True)
        col = k.mix(rusted, col, k.mix(fine[0], (0.07, 0.024, 0.012), (0.33, 0.12, 0.04)))
        corner = k.node("ShaderNodeAmbientOcclusion", samples=6)
        corner.inputs["Distance"].default_value = 0.45
        deep = k.between(k.math("SUBTRACT", 1.0, corner.outputs["AO"]), 0.25, 0.8)
        spread = k.between(k.math("ADD", k.math("MULTIPLY", big[1], 0.6), k.math("MULTIPLY", fine[1], 0.4)), 0.46, 0.72)
        runs = k.math("MULTIPLY", det[1], 0.6)
        dirt = k.math("MULTIPLY", k.math("MAXIMUM", k.math("MAXIMUM", spread, runs), deep), grime, clamp=True)
        col = k.mix(k.math("MULTIPLY", dirt, 0.92), col, (0.028, 0.021, 0.015))
        lying = k.between(up.outputs[2], 0.35, 0.95)
        dusty = k.math("MULTIPLY", k.math("MULTIPLY", lying, k.between(fine[1], 0.3, 0.75)), dust * 0.55)
        dusty = k.math("ADD", dusty, k.math("MULTIPLY", det[2], dust * 0.5), clamp=True)
        col = k.mix(dusty, col, (0.27, 0.235, 0.185))
        bs = k.node("ShaderNodeBsdfPrincipled")
        k.into(bs.inputs["Base Color"], col)
        if metal:
            lost = k.math("ADD", k.math("ADD", rusted, dirt), dusty, clamp=True)
            metal_in = k.math("MULTIPLY", k.math("SUBTRACT", 1.0, lost), metal)
        k.into(bs.inputs["Metallic"], metal_in)
        r = k.math("ADD", k.math("MULTIPLY", fine[1], 0.25), rough - 0.12)
        r = k.math("ADD", r, k.math("MULTIPLY", k.math("ADD", rusted, dusty), 0.35))
        wet = k.math("MULTIPLY", k.math("MULTIPLY", dirt, oil), 0.6)
        k.into(bs.inputs["Roughness"], k.math("MAXIMUM", k.math("SUBTRACT", r, wet), 0.08, clamp=True))
        if coat:
            bs.inputs["Coat Weight"].default_value, bs.inputs["Coat Roughness"].default_value = coat, 0.15
        if bump:
            h = k.math("ADD", k.math("MULTIPLY", fine[0], 0.6), k.math("MULTIPLY", rusted, 0.8))
            h = k.math("ADD", h, k.math("MULTIPLY", det[0], -0.25))
            bp = k.node("ShaderNodeBump")
            bp.inputs["Strength"].default_value, bp.inputs["Distance"].default_value = bump, 0.04
            k.into(bp.inputs["Height"], h)
            k.into(bs.inputs["Normal"], bp.outputs[0])
        if glow:
            k.into(bs.inputs["Emission Color"], col)
            bs.inputs["Emission Strength"].default_value = glow
        k.into(k.node("ShaderNodeOutputMaterial").inputs[0], bs.outputs[0])
        return k.mat

    def _base(self, k, co, base, picture, print_mask):
        """Plain colour, a picture, or a colour with printing on it."""
        if picture is not None:
            tx = k.node("ShaderNodeTexImage", image=picture, extension="EXTEND")
            k.into(tx.inputs[0], co.outputs["UV"])
            return tx.outputs[0]
        if print_mask is not None:
            tx = k.node("ShaderNodeTexImage", image=print_mask)
            k.into(tx.inputs[0], co.outputs["UV"])
            return k.mix(tx.outputs[0], base, (0.3, 0.29, 0.25))
        return k.mix(0.0, base, base)

    def _edge(self, k, geo, fine, big):
        """1 on sharp edges, broken up so that wear looks rubbed, not drawn."""
        bv = k.node("ShaderNodeBevel", samples=4)
        bv.inputs["Radius"].default_value = 0.045
        dot = k.node("ShaderNodeVectorMath", operation="DOT_PRODUCT")
        k.into(dot.inputs[0], bv.outputs[0])
        k.into(dot.inputs[1], geo.outputs["Normal"])
        curve = k.between(k.math("SUBTRACT", 1.0, dot.outputs["Value"]), 0.015, 0.12)
        broken = k.between(k.math("ADD", k.math("MULTIPLY", fine[0], 0.5), k.math("MULTIPLY", big[1], 0.5)), 0.44, 0.6)
        return k.math("MULTIPLY", curve, broken)
