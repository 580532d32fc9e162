"""`asfound filled`: write down a fluid that went back in, or list what was drained and what was filled."""

from __future__ import annotations

import click

from asfound.actions.fluids import FluidWords, list_fluids
from asfound.cli.fluid_lines import tell_fluid
from asfound.cli.moments import at_option
from asfound.cli.parts import console, example, json_option, opened, print_json
from asfound.model.log import FILLED, LEFT_OUT


@click.command(epilog=example('asfound filled "engine oil" "7.5 l" --grade "as the manual says" --from "new can"'))
@click.argument("what", default="")
@click.argument("amount", default="")
@click.option("--grade", default="", help="What it is, as it stands on the can.")
@click.option("--from", "container", default="", help="The can or container it came out of.")
@click.option("--left-out", "why", help="It is left out on purpose, and why; nothing was filled.")
@click.option("--by", "by_whom", default="", help="Who filled it.")
@click.option("--note", default="")
@at_option
@json_option
def COMMAND(
    what: str,
    amount: str,
    grade: str,
    container: str,
    why: str | None,
    by_whom: str,
    note: str,
    at: str | None,
    as_json: bool,
) -> None:
    """Write down WHAT was filled and how much. With no words, list what was drained and what is back in.

    Use the name it was drained under. Grade and amount are those of the service manual.
    """
    if not what:
        _show(as_json=as_json)
        return
    said = FluidWords(what, amount, grade, container, by_whom, why if why is not None else note)
    tell_fluid(FILLED if why is None else LEFT_OUT, said, at, as_json=as_json)


def _show(*, as_json: bool) -> None:
    with opened() as archive:
        fluids = list_fluids(archive)
    if as_json:
        print_json(
            [
                {
                    "what": fluid.name,
                    "drained": fluid.out_words,
                    "filled": fluid.in_words,
                    "left_out": "" if fluid.left_out is None else fluid.left_out.note,
                    "bled": fluid.bled is not None,
                    "leaks_looked_at": fluid.leaks is not None,
                    "open": fluid.is_open,
                }
                for fluid in fluids
            ]
        )
        return
    for fluid in fluids:
        if fluid.left_out is not None:
            back = f"left out: {fluid.left_out.note}"
        else:
            back = f"filled {fluid.in_words}".strip() if fluid.filled else "NOT FILLED"
        said = [back, *(["bled"] if fluid.bled else []), *(["leaks looked at"] if fluid.leaks else [])]
        console().print(f"{fluid.name}: {f'drained {fluid.out_words}; ' if fluid.drained else ''}{', '.join(said)}")
    if not fluids:
        console().print("No fluid is written down yet.")
