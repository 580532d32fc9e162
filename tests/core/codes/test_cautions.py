"""Cautions: signal words by ANSI Z535.4, the closing words, and once a day."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from asfound.core.codes.caution_table import CAUTIONS, DEFER, Caution, signal_word
from asfound.core.codes.cautions import cautions_for, cautions_of, due_today

TODAY = date(2025, 10, 18)


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.key)
def test_every_caution_ends_by_deferring_and_calls_nothing_safe(caution: Caution) -> None:
    assert caution.text.endswith("follow the service manual, local law and licensed practice.")
    assert caution.text.startswith(f"{caution.signal}: ")
    assert "safe" not in (caution.text + caution.note).casefold()
    assert not caution.sentence.endswith(".")


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.key)
def test_every_caution_names_its_source_or_says_that_it_has_none(caution: Caution) -> None:
    named = re.search(r"\d+ CFR|UN R100|WAC|EPA", caution.note)

    assert named or "common practice, no source" in caution.note.casefold()


def test_what_can_kill_and_what_breaks_things_only_are_told_apart() -> None:
    """The worst of each: common practice, no source. The words: ANSI Z535.4, read in secondary text."""
    signals = {caution.key: caution.signal for caution in CAUTIONS}

    assert signals["springs"] == signals["oily rags"] == "WARNING"
    assert signals["pulled in"] == signals["wet exhaust"] == "NOTICE"


def test_damage_to_things_only_is_a_notice() -> None:
    """ANSI Z535.4, 4.14, read in secondary text."""
    assert signal_word("things") == signal_word("things", will=True) == "NOTICE"
    assert signal_word("injury") == "CAUTION"
    assert signal_word("death") == "WARNING"
    assert signal_word("death", will=True) == "DANGER"


def test_table_is_whole() -> None:
    """Counts phase by phase, and the three extremes."""
    phases = [caution.phase for caution in CAUTIONS]

    assert {phase: phases.count(phase) for phase in dict.fromkeys(phases)} == {
        "prepare": 7, "drain": 9, "disconnect": 4, "lift": 4, "store": 1, "refit": 2, "afloat": 1, "first start": 5,
    }  # fmt: skip
    assert [c.key for c in CAUTIONS if c.signal == "DANGER"] == ["traction battery", "hanging engine", "closed space"]
    assert len({caution.key for caution in CAUTIONS}) == len(CAUTIONS)


def test_phases_go_by_their_other_words() -> None:
    assert cautions_of("Lift out") == cautions_of("lift in") == cautions_of("lift") != ()
    assert cautions_of("resume") == ()


def test_each_caution_is_shown_once_a_day() -> None:
    shown = {caution.key: TODAY for caution in cautions_of("drain")[:2]}

    assert due_today("drain", {}, TODAY) == cautions_of("drain")
    assert due_today("drain", shown, TODAY) == cautions_of("drain")[2:]
    assert due_today("drain", shown, TODAY + timedelta(days=1)) == cautions_of("drain")


@pytest.mark.parametrize(
    ("hazards", "kind", "keys"),
    [
        (["fuel"], "", ["fuel pressure", "extinguisher"]),
        ([], "fuel line", ["fuel pressure", "extinguisher"]),
        (["flooding"], "hose", ["seacocks"]),
        (["battery"], "cable", ["earth lead", "battery gas", "rings and tools", "charger"]),
        (["Airbag; spring"], "", ["airbag", "springs"]),
        (["refrigerant"], "", ["air-conditioning"]),
        (["high voltage"], "", ["traction battery"]),
        (["lifting"], "mount", ["hanging engine", "stands", "flat chains", "tipping"]),
        (["hot"], "", ["hot coolant", "hot parts"]),
        ([], "coolant hose", ["hot coolant", "poisonous coolant"]),
        (["exhaust"], "hose", ["closed space"]),
        (["unknown"], "wire", []),
    ],
)
def test_hazards_call_for_their_cautions(hazards: list[str], kind: str, keys: list[str]) -> None:
    """Common practice, no source."""
    assert [caution.key for caution in cautions_for(hazards, kind)] == keys


def test_every_hazard_of_the_trade_calls_for_a_caution() -> None:
    """Which hazards there are is common practice, no source."""
    hazards = [*"fuel pressure hot battery spring lifting flooding refrigerant airbag".split(), "high voltage"]

    assert all(cautions_for([hazard]) for hazard in hazards)
    assert DEFER in cautions_for(hazards)[0].text
