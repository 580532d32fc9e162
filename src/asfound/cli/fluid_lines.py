"""A line of the log about a fluid: written down and told, with what is odd about it."""

from __future__ import annotations

from asfound.actions.fluids import FluidWords, fluid_oddity, write_fluid
from asfound.actions.log_list import as_listed
from asfound.cli.lines import line_document, print_lines
from asfound.cli.moments import said_moment
from asfound.cli.parts import errors, opened, print_json


def tell_fluid(kind: str, said: FluidWords, at: str | None, *, as_json: bool) -> None:
    """Write down what happened to a fluid at a moment as a person typed it; none is now."""
    with opened() as archive:
        moment, is_day_only = said_moment(archive, at)
        odd = fluid_oddity(archive, said.what)
        listed = as_listed(archive, [write_fluid(archive, kind, said, at=moment, is_day_only=is_day_only)])
        if as_json:
            print_json(line_document(listed[0]))
        else:
            print_lines(listed, archive.job.zone)
        if odd:
            errors().print(odd)
