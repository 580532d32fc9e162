"""Errors of every kind planted in 1,000 random jobs that were kept well: all are found, and nothing else is.

A job gets up to six errors, each with a thing of its own. `python -m tests.core.log.test_planted_gaps` prints the table
of `docs/measured.md`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import pytest

from asfound.core.log.gaps import find_gaps
from asfound.core.log.record import BagContents, CameraClock, DamagedFile, DoubtfulTime, LooseFind
from asfound.model.log import Gap, GapKind
from asfound.model.tags import Belt, EndLetter
from asfound.model.walk import WalkStanding
from tests.core.log.kept_jobs import KeptJob, make_kept_job

JOBS = 1000
MOST_ERRORS = 6

Named = tuple[GapKind, str, str]
"""Kind, what it is about as a person names it, and the end."""

LINES = ("hose", "vacuum line", "fuel line", "coolant hose")


def _unsee(job: KeptJob, tag_id: int, *letters: str) -> None:
    job.sightings = [one for one in job.sightings if one.tag_id != tag_id or (letters and one.end not in letters)]


def _two_look_alikes(job: KeptJob) -> tuple[str, str]:
    one, other = job.thing("wire", "on"), job.thing("wire", "on")
    for tag in (one, other):
        job.tags[tag.tag_id] = replace(tag, size="0.75 mm2")
        for letter in ("A", "B"):
            job.ends[tag.tag_id, letter] = replace(job.ends[tag.tag_id, letter], place="loom branch, rear")
    return one.number, ""


def _tight_too_soon(job: KeptJob) -> tuple[str, str]:
    first, later = job.thing("wire", "off"), job.thing("mount", "refitted")
    job.fit_after.append((later.tag_id, first.tag_id))
    return later.number, ""


def _loop(job: KeptJob) -> tuple[str, str]:
    one, other = job.thing("wire", "off"), job.thing("wire", "off")
    job.fit_after += [(one.tag_id, other.tag_id), (other.tag_id, one.tag_id)]
    return one.number, ""


def _never(job: KeptJob) -> tuple[str, str]:
    one = job.thing("cable", "on")
    _unsee(job, one.tag_id)
    return one.number, ""


def _one_end(job: KeptJob) -> tuple[str, str]:
    one, letter = job.thing("cable"), job.dice.choice("AB")
    job.sightings = [
        seen for seen in job.sightings if (seen.tag_id, seen.end, seen.stage) != (one.tag_id, letter, "before")
    ]
    return one.number, letter


def _only_after(job: KeptJob) -> tuple[str, str]:
    one = job.thing("cable", job.dice.choice(("off", "refitted")))
    _unsee(job, one.tag_id)
    job.see(one.tag_id, "A", "after")
    return one.number, ""


def _only_guessed(job: KeptJob) -> tuple[str, str]:
    """A guess from before, with a picture of that end from after removal beside it, or with none."""
    one, letter = job.thing("cable", "off"), _letter(job)
    job.sightings = [seen for seen in job.sightings if (seen.tag_id, seen.end) != (one.tag_id, letter)]
    if job.dice.random() < 0.5:
        job.see(one.tag_id, letter, "after")
    job.guess(one.tag_id, letter)
    return one.number, letter


def _twice(job: KeptJob) -> tuple[str, str]:
    one, other = job.thing("wire"), job.thing("hose")
    job.settled.add(other.number)
    job.tags[other.tag_id] = replace(other, number=one.number, order=2)
    return one.number, ""


def _missing(job: KeptJob) -> tuple[str, str]:
    skipped = job.next_number
    job.skipped += 1
    job.settled.discard(str(skipped))
    job.thing("wire")
    return str(skipped), ""


def _no_place(job: KeptJob) -> tuple[str, str]:
    one, letter = job.thing("cable"), _letter(job)
    job.ends[one.tag_id, letter] = replace(job.ends[one.tag_id, letter], place="")
    return one.number, letter


def _tape_lost(job: KeptJob) -> tuple[str, str]:
    one, letter = job.thing("cable"), _letter(job)
    job.ends[one.tag_id, letter] = replace(job.ends[one.tag_id, letter], tape_lost=True)
    return one.number, letter


def _left_open(job: KeptJob) -> tuple[str, str]:
    one, letter = job.thing(job.dice.choice(LINES), job.dice.choice(("off", "refitted"))), _letter(job)
    job.ends[one.tag_id, letter] = replace(job.ends[one.tag_id, letter], capped=False)
    return one.number, letter


def _cap_unsaid(job: KeptJob) -> tuple[str, str]:
    one, letter = job.thing(job.dice.choice((*LINES, "other")), job.dice.choice(("off", "refitted"))), _letter(job)
    place = job.dice.choice(("turbo", "turbocharger, oil outlet", "Intake manifold", "inlet manifold", "intercooler"))
    job.ends[one.tag_id, letter] = replace(job.ends[one.tag_id, letter], place=place, capped=None)
    return one.number, letter


def _no_flow(job: KeptJob) -> tuple[str, str]:
    one = job.thing(job.dice.choice(LINES))
    job.tags[one.tag_id] = replace(job.tags[one.tag_id], flow="")
    job.thing("hose")  # whoever notes no direction at all is not asked for one
    return one.number, ""


def _colours(job: KeptJob) -> tuple[str, str]:
    one = job.thing("wire")
    for letter, colour in (("A", "RD"), ("B", "BN")):
        job.ends[one.tag_id, letter] = replace(job.ends[one.tag_id, letter], colour=colour)  # type: ignore[index]
    return one.number, ""


def _belt(job: KeptJob) -> tuple[str, str]:
    """A belt without its slack, its path, or both; an arrow alone does not tell how it ran."""
    one = job.thing("belt")
    job.belts[one.tag_id] = job.dice.choice(
        [Belt(one.tag_id), Belt(one.tag_id, arrow="to the front"), Belt(one.tag_id, path="crank, pump")]
    )
    places = ("crank pulley", "") if job.dice.random() < 0.5 else ("crank pulley", "pump pulley")
    for letter, place in zip(("A", "B"), places, strict=True):
        answered = place or "not found"
        end = job.ends[one.tag_id, letter]  # type: ignore[index]
        job.ends[one.tag_id, letter] = replace(end, how_it_sat="", place=answered)  # type: ignore[index]
    return one.number, ""


def _no_bag(job: KeptJob) -> tuple[str, str]:
    one = job.thing("fastener group", "off")
    job.bags.pop(job.tags[one.tag_id].bag, None)
    job.tags[one.tag_id] = replace(job.tags[one.tag_id], bag="")
    _bag(job)
    return one.number, ""


def _stray_bag(job: KeptJob) -> tuple[str, str]:
    label = f"S{job.new_id()}"
    job.bags[label] = BagContents(label, "clips")
    return label, ""


def _short(job: KeptJob) -> tuple[str, str]:
    label = _bag(job)
    job.bags[label] = replace(job.bags[label], count_out=8, count_back=job.dice.randint(0, 7))
    return label, ""


def _two_sizes(job: KeptJob) -> tuple[str, str]:
    label = _bag(job)
    contents = job.dice.choice(
        ("bolts, M8 x 25, bolts, M10 x 25", "bolts, M8 x 25, bolts, M8 x 40", "studs M8 x 1.25 and M8 x 1.0",
         "bolts 3/8-16 and 5/16-18", "hose clamps, two sizes")
    )  # fmt: skip
    job.bags[label] = replace(job.bags[label], contents=contents)
    return label, ""


def _part_of_no_tag(job: KeptJob) -> tuple[str, str]:
    """A snag with a picture and nothing else."""
    picture_id = job.new_id()
    job.loose_finds.append(LooseFind("N1", "plug without tape", f"L_{picture_id}.jpg", picture_id))
    return f"L_{picture_id}.jpg", ""


def _lone_photo(job: KeptJob) -> tuple[str, str]:
    """A lone photo without pins among many with pins."""
    lone = job.shoot(1, datetime(2025, 10, 11, 9, 30), tied=False)
    job.shoot(1, datetime(2025, 10, 11, 9, 31))
    job.shoot(1, datetime(2025, 10, 11, 9, 32))
    return lone.file, ""


def _upside_down(job: KeptJob) -> tuple[str, str]:
    one, other = job.thing("wire"), job.thing("wire")
    job.settled |= {str(number) for number in (*range(17, 21), *range(job.next_number, 91))}
    job.settled |= {one.number, other.number}
    job.tags[one.tag_id] = replace(one, number="16")
    job.tags[other.tag_id] = replace(other, number="91")
    return "16", ""


def _alike(job: KeptJob) -> tuple[str, str]:
    shots = [job.shoot(1, datetime(2025, 10, 11, 10, 0, second)) for second in (0, 2)]
    job.bursts.append(tuple(shot.picture_id for shot in shots))
    return shots[0].file, ""


def _doubtful(job: KeptJob) -> tuple[str, str]:
    picture_id = job.new_id()
    job.doubts.append(DoubtfulTime(f"D_{picture_id}.jpg", "this hour came twice", picture_id))
    return f"D_{picture_id}.jpg", ""


def _damaged(job: KeptJob) -> tuple[str, str]:
    picture_id = job.dice.choice((job.new_id(), None))
    name = f"T_{job.new_id()}.{'jpg' if picture_id else 'mp4'}"
    job.damaged.append(DamagedFile(name, "the file is cut off", picture_id))
    return name, ""


def _clock(job: KeptJob) -> tuple[str, str]:
    job.clocks.append(CameraClock(9, "K1"))
    return job.shoot(9, datetime(2025, 10, 11, 12, 0)).file, ""


def _drained_unsaid(job: KeptJob) -> tuple[str, str]:
    fluid = _fluid(job)
    said = job.dice.choice(({"amount": "7 l"}, {"container": "C3"}, {}))
    job.say("drained", what=fluid, **said)
    job.say("filled", what=fluid, amount="7 l")
    return fluid, ""


def _not_filled(job: KeptJob) -> tuple[str, str]:
    fluid = _fluid(job)
    if job.dice.random() < 0.5:
        job.say("filled", what=fluid, amount="7 l")
    job.say("drained", what=fluid, amount="7 l", container="C3")
    return fluid, ""


def _not_back(job: KeptJob) -> tuple[str, str]:
    if job.dice.random() < 0.5:
        what = f"head {job.new_id()}"
        job.say("sent out", what=what, by_whom="engine shop")
        return what, ""
    one = job.thing("other")
    job.say("sent out", one.tag_id)
    return one.number, ""


def _not_repaired(job: KeptJob) -> tuple[str, str]:
    one = job.thing(job.dice.choice(("hose", "wire", "cable")))
    job.say("repaired", one.tag_id)
    job.say(job.dice.choice(("cut", "broken")), one.tag_id, end=job.dice.choice(("", "A")), note="in two")
    return one.number, ""


def _not_bought(job: KeptJob) -> tuple[str, str]:
    one = job.thing("hose")
    job.tags[one.tag_id] = replace(job.tags[one.tag_id], condition=job.dice.choice(("replace", "Replace, as a pair")))
    return one.number, ""


def _not_walked(job: KeptJob) -> tuple[str, str]:
    at = job.dice.randrange(len(job.walk))
    item = job.walk[at].item
    job.walk[at] = WalkStanding(item, job.dice.choice(("open", "lost")))
    return item.name, ""


def _letter(job: KeptJob) -> EndLetter:
    return job.dice.choice(("A", "B"))


def _fluid(job: KeptJob) -> str:
    return job.fluids_left.pop(job.dice.randrange(len(job.fluids_left)))


def _bag(job: KeptJob) -> str:
    one, label = job.thing("bracket", "off"), f"B{job.new_id()}"
    job.tags[one.tag_id] = replace(one, bag=label)
    job.bags[label] = BagContents(label, "bolts, M8 x 30", 8, 8)
    return label


PLANTS: dict[str, tuple[GapKind, Callable[[KeptJob], tuple[str, str]]]] = {
    "left out on the walk round": (GapKind.WALK_ROUND, _not_walked),
    "tight before its prerequisite": (GapKind.TIGHT_TOO_SOON, _tight_too_soon),
    "fit-after loop": (GapKind.FIT_LOOP, _loop),
    "never photographed": (GapKind.NEVER_PHOTOGRAPHED, _never),
    "one end only": (GapKind.ONE_END, _one_end),
    "only after removal": (GapKind.ONLY_AFTER, _only_after),
    "only a guess": (GapKind.ONLY_GUESSED, _only_guessed),
    "number used twice": (GapKind.NUMBER_TWICE, _twice),
    "number missing": (GapKind.NUMBER_MISSING, _missing),
    "end without place": (GapKind.NO_PLACE, _no_place),
    "tape lost": (GapKind.TAPE_LOST, _tape_lost),
    "an end said to be left open": (GapKind.NOT_CAPPED, _left_open),
    "turbo or intake, nobody said whether capped": (GapKind.NOT_CAPPED, _cap_unsaid),
    "no flow direction": (GapKind.NO_FLOW, _no_flow),
    "colour differs": (GapKind.COLOUR_DIFFERS, _colours),
    "belt without path or slack": (GapKind.NOTHING_NOTED, _belt),
    "fasteners without a bag": (GapKind.NO_BAG, _no_bag),
    "bag without a tag": (GapKind.BAG_WITHOUT_TAG, _stray_bag),
    "bag counted short": (GapKind.BAG_SHORT, _short),
    "two fastener sizes in one bag": (GapKind.TWO_GROUPS, _two_sizes),
    "look-alikes in no one frame": (GapKind.LOOK_ALIKE, _two_look_alikes),
    "a part of no tag": (GapKind.LOOSE_FIND, _part_of_no_tag),
    "a photo without pins": (GapKind.NO_PINS, _lone_photo),
    "numbers that read alike upside down": (GapKind.UPSIDE_DOWN, _upside_down),
    "near-duplicate": (GapKind.NEAR_DUPLICATE, _alike),
    "damaged picture": (GapKind.DAMAGED, _damaged),
    "doubtful time": (GapKind.DOUBTFUL_TIME, _doubtful),
    "clock not compared": (GapKind.CLOCK_UNCHECKED, _clock),
    "drained without amount or can": (GapKind.DRAINED_UNSAID, _drained_unsaid),
    "drained and not filled": (GapKind.NOT_FILLED, _not_filled),
    "sent out and not back": (GapKind.NOT_BACK, _not_back),
    "cut or broken and not repaired": (GapKind.NOT_REPAIRED, _not_repaired),
    "to be replaced and not bought": (GapKind.NOT_BOUGHT, _not_bought),
}


def plant(seed: int) -> tuple[KeptJob, dict[str, Named]]:
    """A job with its errors: the kind of the error to what must be found."""
    job = make_kept_job(seed)
    chosen = job.dice.sample(sorted(PLANTS), job.dice.randint(0, MOST_ERRORS))
    # One job after another leads with each kind, so that each comes often.
    chosen = list(dict.fromkeys([sorted(PLANTS)[seed % len(PLANTS)], *chosen])) if seed % 10 else []
    planted = {}
    for name in chosen:
        kind, act = PLANTS[name]
        planted[name] = (kind, *act(job))
    return job, planted


def named(gap: Gap) -> Named:
    return gap.kind, gap.subject, gap.end or ""


def count(jobs: int) -> tuple[Counter[str], Counter[str], list[tuple[int, Named]]]:
    """Errors planted and found, by kind of error, and what was told and is no error, with the job."""
    planted: Counter[str] = Counter()
    found: Counter[str] = Counter()
    false = []
    for seed in range(jobs):
        job, errors = plant(seed)
        told = {named(gap) for gap in find_gaps(job.record())}
        planted.update(errors.keys())
        found.update(name for name, error in errors.items() if error in told)
        false += [(seed, one) for one in told - set(errors.values())]
    return planted, found, false


@pytest.fixture(scope="module")
def counted() -> tuple[Counter[str], Counter[str], list[tuple[int, Named]]]:
    return count(JOBS)


def test_every_error_is_found_and_nothing_else_is_told(counted: tuple):
    planted, found, false = counted
    assert found == planted
    assert false == []


def test_every_kind_was_planted_often(counted: tuple):
    planted, _found, _false = counted
    assert set(planted) == set(PLANTS)
    assert min(planted.values()) >= JOBS // 20


def test_no_kind_of_gap_is_left_out():
    assert {kind for kind, _act in PLANTS.values()} == set(GapKind)


def test_jobs_that_were_kept_well_are_told_nothing():
    for seed in range(0, JOBS, 10):
        job, errors = plant(seed)
        assert errors == {}
        assert find_gaps(job.record()) == []
        assert len(job.tags) > 8


def test_the_count_would_tell_of_an_error_that_is_missed():
    job, errors = plant(1)
    assert errors
    without = [gap for gap in find_gaps(job.record()) if named(gap) not in errors.values()]
    assert without == []
    assert len(find_gaps(job.record())) == len(set(errors.values()))


if __name__ == "__main__":
    all_planted, all_found, told_wrongly = count(JOBS)
    print("| planted | times | found |\n| --- | --- | --- |")
    for name in PLANTS:
        print(f"| {name} | {all_planted[name]} | {all_found[name]} |")
    print(f"| all | {all_planted.total()} | {all_found.total()} |\n\ntold and not planted: {len(told_wrongly)}")
