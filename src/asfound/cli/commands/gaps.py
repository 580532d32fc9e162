"""`asfound gaps`: what the record lacks, while it can still be mended."""

from __future__ import annotations

import click

from asfound.actions.gaps import find_gaps
from asfound.actions.sort import finish_pending
from asfound.cli.json_documents import gaps_document
from asfound.cli.parts import console, example, json_option, opened, print_json, shown_progress


@click.command(epilog=example("asfound gaps"))
@json_option
def COMMAND(as_json: bool) -> None:
    """List what the record lacks; what can still be mended comes first."""
    with opened() as archive:
        with shown_progress() as progress:
            finish_pending(archive, progress)
        found = find_gaps(archive)
        if as_json:
            print_json(gaps_document(found))
            return
        kind = None
        for gap in found:
            if gap.kind != kind:
                kind = gap.kind
                console().print(str(kind), style="bold")
            console().print(f"  {gap.why}", markup=False)
        console().print(f"{len(found)} gaps." if found else "Nothing that this record could tell is missing.")
