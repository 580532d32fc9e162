"""Sorting and pinning a whole dump by a recorded script of presses, counted against the bar.

The bar is this project's own: at most 1.5 presses (a key or a click) for each picture and 2 for each tag end pinned by
hand, digits apart. `record_sort_script` makes the scripts anew when keys change.

Where numbers were read, ends are pinned by one press each instead; what that saves is held too.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.known import known_pictures, known_tags, spot_of
from asfound.actions.questions import is_doubtful, list_questions
from asfound.store import pins
from asfound.tui.app import ArchiveApp
from asfound.tui.screens.sort import SortScreen
from tests.tui.dump_archive import add_readings, load_images, made_up, make_archive
from tests.tui.record_sort_script import SCRIPT, SCRIPT_READ, SIZE, is_flag_of, play

PER_PICTURE = 1.5
PER_END = 2
NEAR_FRAC = 0.03
"""A pin may lie this far from its place: a click aims at the middle of a cell, and a cell is 1/20 of the height."""


@pytest.mark.parametrize(("script", "with_reading"), [(SCRIPT, False), (SCRIPT_READ, True)])
async def test_a_dump_is_sorted_and_pinned_within_the_bar(tmp_path: Path, script: Path, with_reading: bool) -> None:
    steps = script.read_text().split("\n")[:-1]
    with made_up(), make_archive(tmp_path / "archive") as archive:
        if with_reading:
            add_readings(archive)
        app = ArchiveApp(archive)
        left = []
        async with app.run_test(size=SIZE) as pilot:
            await pilot.pause()
            for step in steps:
                await play(app, pilot, step)
                if isinstance(app.screen, SortScreen):
                    left.append(len(app.screen.queue.questions))
                    assert left[-1] == 0 or f"{left[-1]} left" in app.screen.where()

        assert all(is_doubtful(question) for question in list_questions(archive))
        files = {picture_id: picture.file for picture_id, picture in known_pictures(archive).items()}
        places = dict(spot_of(archive))
        made = pins.list_pins(archive.store, archive.job.job_id)
        numbers = {tag_id: tag.number for tag_id, tag in known_tags(archive).items()}

    images = load_images()
    pinned = {(pin.tag_id, pin.end) for pin in made if pin.source != "carried"}
    by_hand = {(pin.tag_id, pin.end) for pin in made if pin.source == "hand"}
    presses = sum(not step.isdigit() for step in steps)
    assert len(files) >= 60
    assert len(pinned) >= 40
    assert presses <= PER_PICTURE * len(files) + PER_END * len(pinned)
    if with_reading:
        assert len(by_hand) <= len(pinned) / 2, "reading pins every second end"
        assert len(steps) <= 0.9 * len(SCRIPT.read_text().splitlines()), (
            "and saves a tenth of all keys, digits among them"
        )

    for pin in made:
        image, name = images[files[pin.picture_id]], f"{numbers[pin.tag_id]}{pin.end}"
        joints = [(one["x"], one["y"]) for one in image["connectors"] if one["id"] == name]
        at_joint = any(abs(x - pin.x_frac) < NEAR_FRAC and abs(y - pin.y_frac) < NEAR_FRAC for x, y in joints)
        assert at_joint or (pin.source == "read" and is_flag_of(image, name, pin.x_frac, pin.y_frac))
    for spot_id in set(places.values()):
        assert len({images[files[one]]["spot"] for one, mine in places.items() if mine == spot_id}) == 1
