"""The two looks, and how far words stand out in them."""

from __future__ import annotations

import pytest

from asfound.actions.archive import Archive
from asfound.tui.looks import BRIGHT_YARD, DARK_SHOP, LOOKS
from tests.tui.screens_of import running


async def test_the_look_is_changed_and_kept_for_this_terminal(archive: Archive) -> None:
    async with running(archive, terminal="xterm") as (app, pilot):
        assert app.theme == DARK_SHOP.name
        dark = app.screen.styles.background
        await pilot.press("ctrl+t")
        await pilot.pause()
        assert app.theme == BRIGHT_YARD.name
        assert app.screen.styles.background.brightness > 0.9 > dark.brightness
    async with running(archive, terminal="xterm") as (again, _):
        assert again.theme == BRIGHT_YARD.name


@pytest.mark.parametrize("name", list(LOOKS))
async def test_words_stand_out_in_both_looks(archive: Archive, name: str) -> None:
    """At least 7 to 1, the ratio of WCAG 2.2 success criterion 1.4.6 for text."""
    async with running(archive) as (app, pilot):
        app.theme = name
        await pilot.pause()
        for widget in ("#top", "#said", "RowList", "KeyLine"):
            shown = app.screen.query_one(widget)
            paper, ink = shown.background_colors[1], shown.colors[1]
            lighter, darker = sorted((luminance((paper + ink).rgb), luminance(paper.rgb)), reverse=True)
            assert (lighter + 0.05) / (darker + 0.05) >= 7, (widget, ink, paper)


def luminance(rgb: tuple[int, int, int]) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (part / 255 for part in rgb)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
