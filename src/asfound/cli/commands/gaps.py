"""`asfound gaps`: what the record lacks, while it can still be mended."""

from __future__ import annotations

import click

from asfound.actions.gaps import find_gaps
from asfound.actions.sort import finish_pending
from asfound.cli.json_documents import gaps_document
from asfound.cli.parts import console, example, json_option, opened, print_json, shown_progress
from asfound.model.log import Gap, GapKind


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
        for mendable, heading in ((True, "Can still be mended"), (False, "Too late to mend; keep it in mind")):
            _show([gap for gap in found if gap.mendable == mendable], heading)
        console().print(f"{len(found)} gaps." if found else "Nothing that this record could tell is missing.")


def _show(gaps: list[Gap], heading: str) -> None:
    if not gaps:
        return
    console().print(heading, style="bold")
    missing = [gap.number for gap in gaps if gap.kind is GapKind.NUMBER_MISSING]
    for gap in gaps:
        if gap.kind is not GapKind.NUMBER_MISSING or len(missing) == 1:
            console().print(f"  {gap.kind}: {gap.why}", markup=False)
        elif gap.number == missing[0]:
            # One line for all: a sheet of printed numbers leaves dozens unused.
            said = f"  {gap.kind}: {', '.join(str(number) for number in missing)}"
            console().print(f"{said}. Look for their tapes, or say that they were skipped.", markup=False)
