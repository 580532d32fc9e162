"""`asfound labels`: print numbers to put on both ends of everything, bag labels and belt arrows, as PDF."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from asfound.actions.archive import Archive
from asfound.actions.labels import bag_labels, belt_labels, tag_labels, write_labels
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.cli.places import counted
from asfound.core.sheets.labels.content import GRIDS, Label, LabelOrder, LabelShape, TagLabel, grid_on
from asfound.errors import Misused

_PAPERS = {"a4": "A4", "letter": "Letter"}
_COMMON = ", ".join(f"{name} on {paper}" for paper, some in GRIDS.items() for name in some)
_TWO = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*[x×,]\s*([-+]?\d+(?:\.\d+)?)\s*", re.IGNORECASE)


class TwoSizes(click.ParamType[tuple[float, float]]):
    """Two sizes in millimetres: 63.5x38.1, or 0.3,-0.2."""

    name = "mm"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[float, float]:
        if isinstance(value, tuple):
            return value
        found = _TWO.fullmatch(str(value))
        if found is None:
            self.fail(f'"{value}" is not two sizes in mm; write them like 63.5x38.1', param, ctx)
        return float(found[1]), float(found[2])


@click.command(epilog=example("asfound labels flags.pdf --tags 1-20 --shape flag --cable 8"))
@click.argument("out", metavar="OUT.pdf", type=click.Path(path_type=Path))
@click.option("--tags", "numbers", default="", metavar="NUMBERS", help="These numbers, tagged or not yet: 1-20,25.")
@click.option("--spare", type=int, default=0, metavar="COUNT", help="Also this many new numbers, not used yet.")
@click.option("--again", is_flag=True, help="Also those that were printed before.")
@click.option("--bags", is_flag=True, help="Labels for bags, instead: what each is for, what is in it, how many.")
@click.option("--belts", is_flag=True, help="Labels for belts, instead: an arrow for the way each runs.")
@click.option(
    "--shape", type=click.Choice(["sticker", "flag", "band"]), default="sticker", show_default=True,
    help="A flag's halves are stuck together; a band goes once round.",
)  # fmt: skip
@click.option("--cable", "cable_mm", type=float, default=8.0, show_default=True, metavar="MM",
              help="Thickness of the cable or hose, for flags and bands.")  # fmt: skip
@click.option("--flag", "flag_mm", type=float, default=25.0, show_default=True, metavar="MM",
              help="Length of each half of a flag.")  # fmt: skip
@click.option("--height", "height_mm", type=float, default=14.0, show_default=True, metavar="MM",
              help="Height of flags and bands on paper.")  # fmt: skip
@click.option("--tape", "tape_mm", type=float, metavar="MM",
              help="For a label printer with tape of this height, a label a page: 9, 12, 18, 24.")  # fmt: skip
@click.option("--page", type=click.Choice(list(_PAPERS)), default="a4", show_default=True, help="The paper.")
@click.option("--sheet", default="", metavar="3x7", help=f"Labels on a sheet, columns x rows. Known: {_COMMON}.")
@click.option("--label", "label_mm", type=TwoSizes(), help="Width and height of one label, for any other sheet.")
@click.option("--edge", "edge_mm", type=TwoSizes(), help="From the left and the top of the paper to the first label.")
@click.option("--between", "between_mm", type=TwoSizes(), default="0,0", help="Bare paper between two labels.")
@click.option("--nudge", "nudge_mm", type=TwoSizes(), default="0,0", metavar="MM",
              help="Move everything right and down, for a printer that is off: 0.4,-0.6.")  # fmt: skip
@click.option("--skip", type=int, default=0, metavar="COUNT", help="Labels of the first sheet that are used already.")
@click.option("--lines", "frames", is_flag=True, help="A thin line round each label, to cut along on plain paper.")
@click.option("--replace", is_flag=True, help="Write over a file that is there already.")
@json_option
def COMMAND(
    out: Path,
    numbers: str,
    spare: int,
    again: bool,
    bags: bool,
    belts: bool,
    shape: LabelShape,
    page: str,
    sheet: str,
    label_mm: tuple[float, float] | None,
    edge_mm: tuple[float, float] | None,
    between_mm: tuple[float, float],
    replace: bool,
    as_json: bool,
    **sizes: Any,
) -> int:
    """Print labels true to size: 1A, 1B, 2A and so on, by default those of this job that were never printed.

    Print at 100 % and measure the bar of 100 mm. Beside each number stands a marker that `read` finds in a photo; the
    number is what counts. Put the labels on the ends before you take pictures.
    """
    paper = _PAPERS[page]
    check_sizes(sizes)
    grid = grid_on(paper, sheet, label_mm=label_mm, edge_mm=edge_mm, between_mm=between_mm)
    with opened() as archive:
        labels = _labels(archive, numbers, spare=spare, again=again, bags=bags, belts=belts)
        title = f"{archive.job.name}: labels"
        order = LabelOrder(title, tuple(labels), shape if not (bags or belts) else "sticker", grid, **sizes)
        made = write_labels(archive, out, order, paper=paper, replace_file=replace)
    if as_json:
        print_json(
            {
                "file": str(made.path),
                "paper": paper if order.tape_mm is None else f"{order.tape_mm:g} mm tape",
                "pages": made.pages,
                "labels": [_document(label) for label in made.labels],
                "without_marker": list(made.without_marker),
            }
        )
        return 0
    console().print(
        f"{out}: {counted(len(made.labels), 'label')} on {counted(made.pages, 'page')}. Print at 100 % and measure "
        "the bar of 100 mm."
        if order.tape_mm is None
        else f"{out}: {counted(len(made.labels), 'label')}, one a page.",
        soft_wrap=True,
    )
    if made.twice:
        errors().print(f"{', '.join(made.twice)}: more than one thing has the number, so two labels read the same.")
    if made.without_marker:
        errors().print(f"No marker for {', '.join(made.without_marker)}: markers stand for the numbers 1 to 293.")
    return 0


def check_sizes(sizes: dict[str, Any]) -> None:
    """`Misused` for a size that no label has."""
    least = {"cable_mm": 0.5, "flag_mm": 8.0, "height_mm": 5.0, "tape_mm": 6.0}
    for name, smallest in least.items():
        size = sizes.get(name)
        if size is not None and not smallest <= size <= 250:
            option = name.removesuffix("_mm")
            raise Misused(f"--{option} {size:g} mm is no size of a label: say {smallest:g} to 250.")
    if sizes["skip"] < 0:
        raise Misused("--skip takes a count of labels, 0 or more.")


def _labels(archive: Archive, numbers: str, *, spare: int, again: bool, bags: bool, belts: bool) -> Sequence[Label]:
    if bags and belts:
        raise Misused("Take --bags or --belts, one at a time.")
    if bags:
        return bag_labels(archive, numbers)
    return belt_labels(archive) if belts else tag_labels(archive, numbers, spare=spare, again=again)


def _document(label: Label) -> dict[str, object]:
    if isinstance(label, TagLabel):
        return {"tag": label.number, "end": label.end, "marker": label.marker is not None}
    return {"label": label.big, "lines": list(label.lines)}
