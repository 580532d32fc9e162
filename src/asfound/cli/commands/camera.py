"""`asfound camera`: which cameras there are; treat two of them as one."""

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
    """List the cameras, with how many pictures and clips each took."""
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
    """Treat the second CAMERA as the first: for clips that name no camera, or a renamed phone.

    Its pictures and clips, also later ones, count as the first camera's. Clock corrections of the first camera hold for
    all of them; if it has none, those of the second do. The files are not changed.
    """
    with opened() as archive:
        other = get_camera(archive, same)
        joined = join_cameras(archive, get_camera(archive, camera), other)
        console().print(f"{other.name} now counts as {joined.name}. Take that back with: asfound undo", markup=False)


@COMMAND.command("split", epilog=example("asfound camera split VID"))
@click.argument("name")
def split(name: str) -> None:
    """Make the camera joined under this NAME separate again."""
    with opened() as archive:
        console().print(f"{split_camera(archive, name).name} is a separate camera again.", markup=False)
