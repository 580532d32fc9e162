"""Record the presses of a person who knows the machine: ``python -m tests.tui.record_sort_script``.

The person looks at what the screen asks and answers by the truth, and leaves what is doubtful; the presses go to
`sort_script.txt`, those of one whose tags are known and whose pictures were read to `sort_script_read.txt`.
"""

from __future__ import annotations

import asyncio
import tempfile
from pathlib import Path
from typing import Any

from textual.events import MouseScrollUp
from textual.pilot import Pilot

from asfound.actions.known import known_pictures
from asfound.actions.pinned import ProposalEntry
from asfound.actions.questions import NumberQuestion, PinsQuestion, bursts_of
from asfound.actions.spot_list import list_spots_seen
from asfound.actions.to_sort import BurstProposal, PairProposal, SpotProposal
from asfound.model.tags import PinProposal
from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.sort import SortScreen
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.widgets.rows import RowList
from tests.tui.dump_archive import add_readings, load_images, made_up, make_archive

SCRIPT = Path(__file__).with_name("sort_script.txt")
SCRIPT_READ = Path(__file__).with_name("sort_script_read.txt")
SIZE = (80, 24)


class Person:
    """Sorts and pins a dump, and remembers every press."""

    def __init__(self, app: ArchiveApp, pilot: Pilot[None]) -> None:
        self.app, self.pilot = app, pilot
        self.truth = load_images()
        self.files = {one: picture.file for one, picture in known_pictures(app.shared.here).items()}
        self.pinned: set[str] = set()
        self.said: list[str] = []

    async def press(self, *steps: str) -> None:
        for step in steps:
            self.said.append(step)
            await play(self.app, self.pilot, step)

    async def sort(self) -> None:
        await self.press("i")
        while True:
            screen = self.app.screen
            assert isinstance(screen, SortScreen)
            question = screen.question
            if question is None:
                return
            if isinstance(question, SpotProposal):
                await self.look_at_spot()
            elif isinstance(question, PairProposal):
                await self.press("enter")
            elif isinstance(question, BurstProposal):
                await self.press("a" if len(bursts_of(screen.items)) > 1 else "enter")
            elif isinstance(question, NumberQuestion | PinsQuestion) and question.doubtful:
                await self.press("space")
            elif isinstance(question, NumberQuestion):
                await self.press(self.word_on(question.entry))
            elif isinstance(question, PinsQuestion):
                await self.answer_pins(screen, question)

    async def look_at_spot(self) -> None:
        ids = [item.picture_id for item in self.sheet.items]
        spots = [self.truth[self.files[one]]["spot"] for one in ids]
        mine = max(set(spots), key=spots.count)
        strays = [index for index, spot in enumerate(spots) if spot != mine]
        if strays:
            await self.press(*["right"] * strays[0], "f")
            await self.choose_spot(spots[strays[0]])
            return
        place = self.sheet.index
        while (best := self.best_picture(ids)) is not None:
            step = "right" if best >= place else "left"
            await self.press(*[step] * abs(best - place), "v")
            assert isinstance(self.app.screen, PictureScreen)
            assert self.app.screen.picture_id == ids[best]
            await self.pin_all(ids[best])
            await self.press("escape")
            place = best
        await self.press("enter")

    def best_picture(self, ids: list[int]) -> int | None:
        """The picture that shows most ends not pinned yet; of equal ones the one with most numbers read."""
        read = [sum(word.endswith("?") for word in item.words.split()) for item in self.sheet.items]
        counts = [(len(self.open_ends(one)), many) for one, many in zip(ids, read, strict=True)]
        return counts.index(max(counts)) if max(counts)[0] else None

    @property
    def sheet(self) -> ContactSheet:
        return self.app.screen.query_one(ContactSheet)

    def open_ends(self, picture_id: int) -> list[dict[str, Any]]:
        image = self.truth[self.files[picture_id]]
        seen = [one for one in image["connectors"] if one["visible"] and one["spot"] == image["spot"]]
        # The second thing of number 12 is "12x" in the truth; it is left for another evening.
        return [one for one in seen if one["id"] not in self.pinned and "x" not in one["id"]]

    async def pin_all(self, picture_id: int) -> None:
        await self.answer_read()
        for end in sorted(self.open_ends(picture_id), key=lambda one: (one["tag"], one["end"])):
            screen = self.app.screen
            assert isinstance(screen, PictureScreen)
            column, row = self.cell(screen, end)
            if not screen.canvas.size.region.contains(column, row):
                await self.press("w")
                column, row = self.cell(screen, end)
            while screen.canvas.painter.drawing.mark_at(column, row) is not None:
                # The number of another pin lies over the place: closer, they part.
                await self.press(f"wheel {column} {row}")
                column, row = self.cell(screen, end)
            await self.press(f"click {column} {row}", *str(end["tag"]))
            marked = screen.number_box.meant("space")
            assert marked is not None
            if marked.name != f"{end['tag']} {end['end']}":
                await self.press("tab")
            await self.press("space")
            self.pinned.add(end["id"])

    async def answer_read(self) -> None:
        """Go through the pins that were read in the picture at hand: `space` to the first, then right or wrong."""
        screen = self.app.screen
        assert isinstance(screen, PictureScreen)
        read = [one for one in screen.pins.marked if isinstance(one, ProposalEntry) and one.proposal.source == "read"]
        if not read:
            return
        await self.press("space")
        while isinstance(mark := screen.pins.current, ProposalEntry):
            await self.press(self.word_on(mark))

    def word_on(self, entry: ProposalEntry) -> str:
        """What answers a number that was read: the end whose flag hangs there, or no."""
        right = [one.end for one in entry.both if self.is_right_at(entry.number, one)]
        if not right:
            return "n"
        self.pinned.add(f"{entry.number}{right[0]}")
        return "y" if entry.other is None else right[0]

    @staticmethod
    def cell(screen: PictureScreen, end: dict[str, Any]) -> tuple[int, int]:
        view, picture = screen.canvas.view, screen.entry.picture
        assert view is not None
        return view.cell_at(end["x"] * picture.width_px, end["y"] * picture.height_px)

    async def choose_spot(self, spot: str) -> None:
        """Go down the list to a spot that holds pictures of that place."""
        rows = self.app.screen.query_one(RowList)
        wanted = [
            entry.spot.spot_id
            for entry in list_spots_seen(self.app.shared.here)
            if any(self.truth[self.files[one]]["spot"] == spot for one in entry.spot.picture_ids)
        ]
        place = next(index for index, row in enumerate(rows.rows) if row.key in wanted)
        await self.press(*["down"] * place, "enter")

    async def answer_pins(self, screen: SortScreen, question: PinsQuestion) -> None:
        if screen.sure_count > 1:
            await self.press("a")
            return
        wrong = [index for index, one in enumerate(question.entries) if not self.is_right(one)]
        if wrong:
            ahead = (wrong[0] - screen.view.marked) % len(question.entries)
            back = len(question.entries) - ahead
            await self.press(*(["tab"] * ahead if ahead <= back else ["shift+tab"] * back), "n")
        else:
            await self.press("enter")

    def is_right(self, entry: ProposalEntry) -> bool:
        return self.is_right_at(entry.number, entry.proposal)

    def is_right_at(self, number: str, at: PinProposal) -> bool:
        """On the joint; or on the flag, where it was read."""
        image, name = self.truth[self.files[at.picture_id]], f"{number}{at.end}"
        joints = [one for one in image["connectors"] if one["id"] == name]
        if any(abs(one["x"] - at.x_frac) < 0.02 and abs(one["y"] - at.y_frac) < 0.02 for one in joints):
            return True
        return at.source == "read" and is_flag_of(image, name, at.x_frac, at.y_frac)


FLAG_FRAC = 0.06
"""A number may be read so far from the middle of its flag."""


def is_flag_of(image: dict[str, Any], name: str, x: float, y: float) -> bool:
    """Whether a flag of this end lies there in a picture."""
    boxes = [one["box"] for one in image["flags"] if f"{one['tag']}{one['end']}" == name]
    middles = [((a + c) / 2 / image["width"], (b + d) / 2 / image["height"]) for a, b, c, d in boxes]
    return any(abs(x - a) < FLAG_FRAC and abs(y - b) < FLAG_FRAC for a, b in middles)


async def play(app: ArchiveApp, pilot: Pilot[None], step: str) -> None:
    """One press or click, and wait until nothing moves any more."""
    if " " in step:
        what, column, row = step.split()
        canvas, at = app.screen.query_one(Canvas), (int(column), int(row))
        if what == "click":
            await pilot.click(canvas, offset=at)
        else:
            await pilot._post_mouse_events([MouseScrollUp], canvas, offset=at)
    else:
        await pilot.press(step)
    if any(not worker.is_finished for worker in app.workers):
        await app.workers.wait_for_complete()
    await pilot.pause()


async def record(*, with_reading: bool) -> list[str]:
    with tempfile.TemporaryDirectory() as folder, made_up(), make_archive(Path(folder) / "archive") as archive:
        if with_reading:
            add_readings(archive)
        app = ArchiveApp(archive)
        async with app.run_test(size=SIZE) as pilot:
            await pilot.pause()
            person = Person(app, pilot)
            await person.sort()
            return person.said


if __name__ == "__main__":
    for script, with_reading in ((SCRIPT, False), (SCRIPT_READ, True)):
        steps = asyncio.run(record(with_reading=with_reading))
        script.write_text("\n".join(steps) + "\n")
        digits = sum(step.isdigit() for step in steps)
        print(f"{script.name}: {len(steps) - digits} presses and {digits} digits")
