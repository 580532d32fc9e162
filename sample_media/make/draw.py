"""Cycles set-up and the drawing of one picture to PNG."""

import os
import sys

import bpy
import numpy as np
from PIL import Image

from . import lights, shapes


def setup(samples, gpu=False):
    """Prepare the renderer; samples per pixel at most, denoised."""
    s = bpy.context.scene
    s.render.engine = "CYCLES"
    c = s.cycles
    c.samples, c.use_adaptive_sampling, c.adaptive_threshold = samples, True, 0.02
    c.max_bounces, c.diffuse_bounces, c.glossy_bounces, c.transmission_bounces = 6, 4, 3, 2
    c.caustics_reflective = c.caustics_refractive = False
    c.use_denoising, c.denoiser, c.denoising_input_passes = True, "OPENIMAGEDENOISE", "RGB_ALBEDO_NORMAL"
    c.sample_clamp_indirect = 4
    s.render.use_persistent_data = True
    s.render.image_settings.file_format = "PNG"
    s.view_settings.view_transform = "AgX"
    s.view_settings.look = "AgX - Medium High Contrast"
    if gpu:
        _use_gpu(s)
    cam = bpy.data.cameras.new("cam")
    cam.sensor_width, cam.clip_start = 36, 0.05
    s.camera = bpy.data.objects.new("cam", cam)
    s.collection.objects.link(s.camera)


def _use_gpu(s):
    prefs = bpy.context.preferences.addons["cycles"].preferences
    prefs.compute_device_type = "CUDA"
    prefs.get_devices()
    for d in prefs.devices:
        d.use = d.type == "CUDA"
    s.cycles.device = "GPU"
    s.cycles.denoising_use_gpu = True
    print("drawing on", [d.name for d in prefs.devices if d.use], flush=True)


def show(hidden):
    """Hide objects by name, show all others."""
    for o in shapes.MADE:
        h = o.name in hidden
        if o.hide_render != h:
            o.hide_render = h


def metered(cam, light, exposure, path):
    """Exposure in stops as the camera would choose it: a small quick draft is measured first."""
    c = bpy.context.scene.cycles
    keep, c.samples = c.samples, 12
    picture(cam, light, exposure, path, 0.125)
    c.samples = keep
    grey = np.asarray(Image.open(path).convert("L"), np.float32) / 255
    mean = 0.5 * grey.mean() + 0.5 * np.median(grey)
    return exposure + float(np.clip(0.9 * np.log2(0.3 / max(mean, 0.02)), -0.7, 1.7))


def picture(cam, light, exposure, path, scale=1.0):
    """Draw one picture. exposure in stops; scale shrinks drafts."""
    s = bpy.context.scene
    data = s.camera.data
    data.lens, data.sensor_fit = cam.lens, "VERTICAL" if cam.portrait else "HORIZONTAL"
    data.sensor_width = data.sensor_height = 36
    s.camera.matrix_world = cam.m
    s.render.resolution_x, s.render.resolution_y = round(cam.w * scale), round(cam.h * scale)
    s.render.resolution_percentage = 100
    lights.apply(light)
    s.view_settings.exposure = exposure
    s.render.filepath = path
    _quietly(lambda: bpy.ops.render.render(write_still=True))


def _quietly(call):
    """Run call with the renderer's own chatter thrown away."""
    keep, null = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    sys.stdout.flush()
    os.dup2(null, 1)
    try:
        call()
    finally:
        os.dup2(keep, 1)
        os.close(keep)
        os.close(null)
