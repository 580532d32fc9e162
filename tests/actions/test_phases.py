"""The cautions shown are those of the work that the job is at, by what the log says."""

from __future__ import annotations

from datetime import timedelta

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.lift import write_lift
from asfound.actions.phases import cautions_now, phases_now
from asfound.actions.tag import TagWords, add_tag
from asfound.core.codes.cautions import cautions_of
from asfound.core.refit.steps import Lift
from tests.small_archive import now

DAY = timedelta(days=1)


def test_phase_follows_the_log(archive: Archive):
    assert phases_now(archive) == ("prepare",)

    hose = add_tag(archive, "17", TagWords(kind="hose"))
    assert phases_now(archive) == ("prepare",), "a number on a tape takes nothing off"

    log.mark_off(archive, hose, at=now() - 4 * DAY)
    assert phases_now(archive) == ("disconnect",)

    write_lift(archive, Lift.OUT, at=now() - 3 * DAY)
    assert phases_now(archive) == ("store",)

    write_lift(archive, Lift.IN, at=now() - 2 * DAY)
    assert phases_now(archive) == ("refit",)


def test_something_back_on_is_a_refit_also_without_a_lift(archive: Archive):
    hose = add_tag(archive, "17", TagWords(kind="hose"))
    log.mark_off(archive, hose)
    log.mark_refitted(archive, hose)

    assert phases_now(archive) == ("refit",)


def test_struck_line_moves_no_phase(archive: Archive):
    hose = add_tag(archive, "17", TagWords(kind="hose"))
    event = log.mark_off(archive, hose)
    log.strike(archive, log.get_line(archive, event.event_id))

    assert phases_now(archive) == ("prepare",)


def test_water_outside_the_hull_adds_its_cautions_in_every_phase(archive: Archive):
    add_tag(archive, "1", TagWords(kind="hose", hazard="seacock below waterline"))
    assert phases_now(archive) == ("prepare", "afloat")

    shown = cautions_now(archive)

    assert shown == (*cautions_of("prepare"), *cautions_of("afloat"))
    assert any("seacocks" in one.sentence for one in shown)
