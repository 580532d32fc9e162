"""`asfound reject`: say that a proposal is wrong; it does not come back."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.pin import reject_proposal
from asfound.cli.parts import console, example, opened
from asfound.cli.places import end_label


@click.command(epilog=example("asfound reject 2b P2_0002.jpg"))
@click.argument("tag")
@click.argument("picture")
def COMMAND(tag: str, picture: str) -> None:
    """Reject what is proposed for TAG's end on PICTURE."""
    with opened() as archive:
        ref, shown = resolve.get_tag(archive, tag), resolve.get_picture(archive, picture)
        reject_proposal(archive, ref.tag, ref.end_or_default(), shown)
        console().print(f"{end_label(ref.tag, ref.end_or_default())} is not proposed on {shown.file} again.")
