"""`asfound clock`: put a camera's clock right."""

from __future__ import annotations

from datetime import datetime

import click

from asfound.actions import clock as actions
from asfound.actions import resolve
from asfound.cli.json_documents import moment
from asfound.cli.moments import in_past
from asfound.cli.parts import TakesNumbers, console, example, json_option, opened, print_json
from asfound.cli.places import counted
from asfound.cli.times import TIME, length_in_words
from asfound.model.pictures import Camera, ClockCorrection


@click.command(cls=TakesNumbers, epilog=example("asfound clock K1 --picture K1_0002.jpg --true 2025-10-11T09:44:50"))
@click.argument("camera", required=False)
@click.option("--offset", metavar="TIME", help="What to add to its times: -4m, +1h4m, 90s; 0 removes the correction.")
@click.option("--picture", help="A picture of this camera whose true time is known.")
@click.option("--true", "true_time", type=TIME, help="The true time of --picture.")
@click.option(
    "--same-as", metavar="PICTURE", help="A picture from another camera, taken at the same moment as --picture."
)
@click.option("--since", type=TIME, help="Correct only pictures from this time on, by the camera's own clock.")
@json_option
def COMMAND(
    camera: str | None,
    offset: str | None,
    picture: str | None,
    true_time: datetime | None,
    same_as: str | None,
    since: datetime | None,
    as_json: bool,
) -> None:
    """List cameras, or correct the clock of CAMERA.

    The time that the camera wrote is kept; the corrected one is worked out from it.
    """
    with opened() as archive:
        if camera is not None:
            found = actions.get_camera(archive, camera)
            if [offset is None, true_time is None, same_as is None].count(False) > 1 or (offset and picture):
                raise click.UsageError("Give one of them: --offset, or --picture with either --true or --same-as.")
            if since is not None:
                since = since.replace(tzinfo=None)
            if offset is not None:
                actions.correct_by_offset(archive, found, actions.parse_seconds(offset), since)
            elif picture is not None and true_time is not None:
                shown = resolve.get_picture(archive, picture)
                actions.correct_by_true_time(archive, found, shown, in_past(archive, true_time), since)
            elif picture is not None and same_as is not None:
                shown, other = resolve.get_picture(archive, picture), resolve.get_picture(archive, same_as)
                actions.correct_by_same_moment(archive, found, shown, other, since)
            else:
                raise click.UsageError("Give --offset, or --picture with --true or --same-as.")
        cameras = actions.list_cameras(archive)
        moved = {one.name: actions.count_out_of_order(archive, one) for one in cameras if one.corrections}
        _show(cameras, moved, as_json)


def _show(cameras: list[Camera], moved: dict[str, int], as_json: bool) -> None:
    if as_json:
        print_json(
            [
                {
                    "camera": camera.name,
                    "corrections": [{"since": moment(c.since), "seconds": c.seconds} for c in camera.corrections],
                    "were_out_of_order": moved.get(camera.name, 0),
                }
                for camera in cameras
            ]
        )
        return
    for camera in cameras:
        said = "; ".join(map(_in_words, camera.corrections))
        count = moved.get(camera.name, 0)
        told = f". Before, {counted(count, 'picture')} stood ahead of one taken earlier" if count else ""
        console().print(f"{camera.name}: {said or 'not corrected'}{told}", markup=False)
    if not cameras:
        console().print("No cameras yet. Bring pictures in with: asfound add FOLDER")


def _in_words(correction: ClockCorrection) -> str:
    """What is added to the times, and from when on; a clock that was compared and needs nothing is right."""
    since = f" since {correction.since:%Y-%m-%d %H:%M}" if correction.since else ""
    return (length_in_words(correction.seconds) if round(correction.seconds) else "right") + since
