"""The small calculators by their commands: the check values, and words that never say more than they know."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner, Result

from asfound.cli.main import Chosen, main
from asfound.errors import Misused


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words), obj=Chosen(), standalone_mode=False, catch_exceptions=False)


@pytest.mark.parametrize(("angle", "pull_kg"), [("90", 210.0), ("60", 242.5), ("45", 297.0), ("30", 420.0)])
def test_sling_gives_the_check_values(angle: str, pull_kg: float):
    """Check value 34: 420 kg on two legs."""
    assert json.loads(run("sling", "420", "--angle", angle, "--json").stdout)["pull_kg"] == pull_kg


def test_sling_tells_common_practice_and_defers_to_the_manual():
    done = run("sling", "420", "--legs", "4", "--angle", "45")
    told = " ".join(done.output.split())

    for words in ("eye bolt without a shoulder", "rated ones", "no source", "two of 4 legs", "That is flat"):
        assert words in told
    assert "service manual, local law and licensed practice" in told
    assert "out from under a hanging engine" in told
    assert " safe" not in told.casefold()


def test_sling_works_out_two_legs_at_angles_of_their_own():
    found = json.loads(run("sling", "100", "--angle", "30", "--angle", "60", "--json").stdout)

    assert found["pulls_kg"] == [50.0, 86.6]
    assert (found["pull_kg"], found["angles_deg"]) == (86.6, [30.0, 60.0])
    with pytest.raises(Misused, match="two at a time"):
        run("sling", "100", "--legs", "4", "--angle", "30", "--angle", "60")


def test_sling_that_is_too_flat_gives_no_number():
    assert json.loads(run("sling", "420", "--angle", "20", "--json").stdout)["pull_kg"] is None
    with pytest.raises(Misused, match="measure from level"):
        run("sling", "420", "--angle", "100")


def test_flag_gives_the_check_values():
    """Check values 32 and 33: a 14 mm cable with two flags of 25 mm, read from 700 mm."""
    found = json.loads(run("flag", "14", "--json").stdout)

    assert found["length_mm"] == 94.0
    assert found["figures_mm"] == {"least": 3.05, "preferred": 4.07}
    assert "Cut 94 mm" in run("flag", "14").output
    with pytest.raises(Misused):
        run("flag", "0")
