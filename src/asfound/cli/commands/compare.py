"""`asfound compare`: what differs between a picture as found and one of now."""

from __future__ import annotations

from collections.abc import Hashable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from asfound.actions import resolve
from asfound.actions.archive import Archive
from asfound.cli.drawing import can_draw, draw_beside, draw_whole
from asfound.cli.parts import console, example, json_option, opened, print_json, settle
from asfound.cli.places import end_label, place_in_words
from asfound.errors import NotFound
from asfound.model.pictures import Picture

if TYPE_CHECKING:
    from asfound.actions.compare import ComparedPictures
    from asfound.core.match.differences import Difference

LEAST_SHOWN = 0.15
"""Weaker boxes are noise to a person. `--json` has all of them."""
CLEAR = 0.5
"""From here on it is more likely than not that something differs."""
MOST_SHOWN = 9
CROPS_SHOWN = 3


@click.command(epilog=example("asfound compare P1_0014.jpg P1_0027.jpg"))
@click.argument("before")
@click.argument("after")
@click.option("--plain", is_flag=True, help="Do not draw the pictures in the terminal.")
@json_option
def COMMAND(before: str, after: str, plain: bool, as_json: bool) -> None:
    """Show where AFTER seems to differ from BEFORE: places to look at, not a verdict.

    Either may be the path of a file outside the archive, so you can compare the photo you just took.
    """
    from asfound.actions.compare import compare

    with opened() as archive:
        settle(archive)
        found = compare(archive, _picture_or_photo(archive, before), _picture_or_photo(archive, after))
        if as_json:
            print_json(_document(found))
            return
        shown = [d for d in found.comparison.differences if d.score >= LEAST_SHOWN][:MOST_SHOWN]
        if shown and can_draw() and not plain:
            draw_whole(found.after_source, [(str(n), *_middle(d)) for n, d in enumerate(shown, 1)])
            for number, d in enumerate(shown[:CROPS_SHOWN], 1):
                if d.in_before is not None:
                    console().print(f"{number}  before, and now:")
                    draw_beside(found.before_source, d.in_before, found.after_source, _box(d), str(number))
    _tell(found, shown)


def _picture_or_photo(archive: Archive, words: str) -> Picture | Path:
    """The picture of the archive that the words name, else the file."""
    path = Path(words)
    if path.is_file() and path.name != words:
        # A path was typed: a photo of today may be called like one of last year.
        from asfound.actions.compare import kept_picture

        return kept_picture(archive, path) or path
    picture = resolve.find_picture(archive, words)
    if picture is None and not path.is_file():
        raise NotFound(
            f'"{words}" is not a photo file, and no picture of this job has that name. See: asfound pictures'
        )
    return picture or path


def _tell(found: ComparedPictures, shown: list[Difference]) -> None:
    out = console()
    if not found.comparison.registered:
        out.print("The two pictures could not be lined up; compare them by eye.")
    elif not shown:
        out.print("Nothing stands out. That does not mean nothing changed: look for yourself.")
    if shown:
        out.print(f"Look here in {_name(found.after)}, the most likely first:")
    for number, d in enumerate(shown, 1):
        box = f"{d.x_frac:.2f} to {d.x_frac + d.w_frac:.2f} across, {d.y_frac:.2f} to {d.y_frac + d.h_frac:.2f} down"
        near = ", ".join(end_label(*found.named[key]) for key in d.near_keys)
        told = f"{'clear' if d.score >= CLEAR else 'faint'}{f', near {near}' if near else ''}"
        out.print(f"  {number}  {place_in_words(*_middle(d)):<13}  {box}  {told}")
    for swap in found.swapped:
        first, second = (end_label(*found.named[key]) for key in (swap.first, swap.second))
        out.print(f"  {first} and {second} are alike and both seem changed: might they be swapped?")


def _name(picture: Picture | Path) -> str:
    return picture.file if isinstance(picture, Picture) else picture.name


def _middle(d: Difference) -> tuple[float, float]:
    return d.x_frac + d.w_frac / 2, d.y_frac + d.h_frac / 2


def _box(d: Difference) -> tuple[float, float, float, float]:
    return d.x_frac, d.y_frac, d.w_frac, d.h_frac


def _document(found: ComparedPictures) -> dict[str, Any]:
    comparison = found.comparison
    return {
        "registered": comparison.registered,
        "inliers": comparison.inliers,
        "differences": [
            {
                **_box_document(_box(d)),
                "score": round(d.score, 4),
                "near": [_end_document(found, key) for key in d.near_keys],
                "in_before": None if d.in_before is None else _box_document(d.in_before),
            }
            for d in comparison.differences
        ],
        "swapped": [
            {"tags": [_end_document(found, key) for key in (swap.first, swap.second)], "score": round(swap.score, 4)}
            for swap in found.swapped
        ],
    }


def _end_document(found: ComparedPictures, key: Hashable) -> dict[str, str]:
    tag, end = found.named[key]
    return {"tag": tag.number, "end": end}


def _box_document(box: tuple[float, float, float, float]) -> dict[str, float]:
    return dict(zip(("x", "y", "w", "h"), box, strict=True))
