"""`asfound book`: print the record for the bench: a PDF in the order of the way back."""

from __future__ import annotations

from pathlib import Path

import click

from asfound.actions.book import BookReport, write_book
from asfound.actions.pdf_file import check_target
from asfound.cli.parts import console, errors, example, json_option, opened, print_json, settle, shown_progress
from asfound.cli.places import counted

_PAPERS = {"a4": "A4", "letter": "Letter"}


@click.command(epilog=example("asfound book sallow.pdf --page a4"))
@click.argument("out", metavar="OUT.pdf", type=click.Path(path_type=Path))
@click.option("--page", type=click.Choice(list(_PAPERS)), default="a4", show_default=True, help="The paper.")
@click.option(
    "--tags", "numbers", default="", metavar="NUMBERS", help="Only these tags and what belongs to them: 1-20,25."
)
@click.option("--replace", is_flag=True, help="Write over a file that is there already.")
@json_option
def COMMAND(out: Path, page: str, numbers: str, replace: bool, as_json: bool) -> int:
    """Print the record as a book to work from without a computer.

    Cautions, every step of the way back with its as-found pictures and boxes to tick, holds, bags, snags, gaps, spots,
    the log and an index. Its pictures carry no location and no camera details.
    """
    check_target(out, "book", replace=replace)
    with opened() as archive:
        settle(archive)
        with shown_progress() as progress:
            made = write_book(archive, out, paper=_PAPERS[page], numbers=numbers, replace=replace, progress=progress)
        if as_json:
            print_json(_document(made, _PAPERS[page]))
        else:
            size = f"{made.size_bytes / 1e6:.1f} MB"
            console().print(f"{out}: {counted(made.pages, 'page')} of {_PAPERS[page]}, {size}.", soft_wrap=True)
            if not made.tags:
                console().print("Nothing is tagged yet, so it says what to do first.")
        for file, why in made.missing.items():
            errors().print(f"{file} is not in the book: {why}")
    return 1 if made.missing else 0


def _document(made: BookReport, paper: str) -> dict[str, object]:
    return {
        "file": str(made.path),
        "paper": paper,
        "pages": made.pages,
        "bytes": made.size_bytes,
        "sections": [{"title": title, "page": page} for title, page in made.sections],
        "tags": [{"tag": entry.label, "name": entry.name, "page": page} for entry, page in made.tags],
        "missing": [{"file": file, "why": why} for file, why in made.missing.items()],
    }
