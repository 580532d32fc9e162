"""`asfound camera`: which cameras there are; say that two of them are one."""

from __future__ import annotations

import click

from asfound.actions.camera import count_taken, join_cameras, split_camera
from asfound.actions.clock import get_camera, list_cameras
from asfound.cli.parts import console, example, json_option, opened, print_json
from asfound.cli.times import length_in_words


@click.group(invoke_without_command=True, epilog=example('asfound camera join "Handset P2" VID'))
@json_option
@click.pass_context
def COMMAND(ctx: click.Context, as_json: bool) -> None:
    """List the cameras that the files tell of, with how much each took."""
    if ctx.invoked_subcommand is not None:
        return
    with opened() as archive:
        cameras, taken = list_cameras(archive), count_taken(archive)
        if as_json:
            print_json(
                [
                    {
                        "camera": camera.name,
                        "also": list(camera.also),
                        "photos": taken.get(camera.camera_id, (0, 0))[0],
                        "clips": taken.get(camera.camera_id, (0, 0))[1],
                    }
                    for camera in cameras
                ]
            )
            return
        for camera in cameras:
            photos, clips = taken.get(camera.camera_id, (0, 0))
            also = f", also named {', '.join(camera.also)}" if camera.also else ""
            clock = f", clock {'; '.join(length_in_words(c.seconds) for c in camera.corrections)}"
            told = f"{photos} photos, {clips} clips{also}{clock if camera.corrections else ''}"
            console().print(f"{camera.name}: {told}", markup=False)
        if not cameras:
            console().print("No cameras yet. Bring pictures in with: asfound add FOLDER")


@COMMAND.command("join", epilog=example('asfound camera join "Handset P2" VID'))
@click.argument("camera")
@click.argument("same", metavar="CAMERA")
def join(camera: str, same: str) -> None:
    """Say that the second CAMERA is the first: a clip that names no camera, a phone that was given another name.

    Its pictures and clips, also those still to come, are the first one's, and so is its clock: corrections of the first
    hold for all, or those of the second when the first has none. Nothing of the files is changed.
    """
    with opened() as archive:
        other = get_camera(archive, same)
        joined = join_cameras(archive, get_camera(archive, camera), other)
        console().print(f"{other.name} is {joined.name}. Take that back with: asfound undo", markup=False)


@COMMAND.command("split", epilog=example("asfound camera split VID"))
@click.argument("name")
def split(name: str) -> None:
    """Say that a camera joined under this NAME is one of its own after all."""
    with opened() as archive:
        console().print(f"{split_camera(archive, name).name} is a camera of its own again.", markup=False)
