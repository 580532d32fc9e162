"""How sure the program is: every curve that turns what was measured into a probability, with what it was fitted on.

All are logistic curves: the logarithm of the odds is a constant plus a weight times each thing measured. A curve holds
as far as the pictures it was fitted on are like a person's own; docs/measured.md says how far it held on others. The
sets named are rendered jobs with known truth: "the bay" is the bay of the scores, n1 to n4, t1, t2, h3 and h4 are
further bays, `sample_media` ships with the project.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

SUREST = 0.99
"""A proposal of the machine is never said to be surer than this, however sure the curve is; chosen by hand."""
LEAST_ODDS = -700.0
"""Logarithm of odds below which the probability is nought; exp(709) is the last that a double holds."""
DOUBT_LEFT = 1e-3
"""No measured belief counts as nearer to 0 or to 1 than this; chosen by hand, and in use when `CARRIED` was fitted."""


def probability(odds: float) -> float:
    """Probability, 0 to 1, of what has a logarithm of the odds of `odds`."""
    return 1 / (1 + math.exp(-odds)) if odds > LEAST_ODDS else 0.0


def log_odds(believed: float) -> float:
    """Logarithm of the odds of a probability, held between `DOUBT_LEFT` and one less that, so that it is finite."""
    held = min(max(believed, DOUBT_LEFT), 1 - DOUBT_LEFT)
    return math.log(held / (1 - held))


@dataclass(frozen=True)
class BeliefCurve:
    """A fitted curve.

    Attributes
    ----------
    says : str
        What the probability is of.
    constant : float
        Logarithm of the odds when all that is measured is nought.
    weights : dict of str to float
        What each thing measured adds to it, by its name, in the order in which `at` takes the values.
    fitted_on : str
        The data, as far as it is known.
    fitted : str
        Day of the fit, YYYY-MM-DD.
    refit : str
        The command that fits it again; FOLDER is a rendered job with its truth.
    most : float
        Greatest probability said.
    """

    says: str
    constant: float
    weights: dict[str, float]
    fitted_on: str
    fitted: str
    refit: str
    most: float = 1.0

    def at(self, *measured: float) -> float:
        """Probability, 0 to `most`; 0 where anything measured is not a finite number.

        `measured` has one value for each of `weights`, in their order.
        """
        if not all(map(math.isfinite, measured)):
            return 0.0
        odds = self.constant
        for weight, value in zip(self.weights.values(), measured, strict=True):
            odds += weight * value
        return min(self.most, probability(odds))


ONE_PLACE = BeliefCurve(
    says="two pictures with eight agreeing matches or more show one place",
    constant=1.5,
    weights={"log of the share of cells held": 2.9, "log of matches along to matches astray": 0.85},
    fitted_on="pairs of sample_media (counted twice), the bay, n1, n3, n4 and t1; docs/decisions/0038",
    fitted="2026-11-27",
    refit="python tests/bench/pair_odds.py FOLDER...",
)
ONE_SPOT = BeliefCurve(
    says="two pictures of a job with eight agreeing matches or more are of one spot",
    constant=2.35,
    weights={
        "log of agreeing matches to eight": 0.9,
        "gap of the middles, in diagonals": -18.8,
        "octaves of scale": -4.8,
    },
    fitted_on="eight rendered jobs, which ones was not written down; docs/decisions/0042",
    fitted="2026-11-27",
    refit="python tests/bench/spot_odds.py FOLDER...",
)
CARRIED = BeliefCurve(
    says="a pin carried through depth lies within 5 % of the diagonal of where it should",
    constant=-2.5,
    weights={"log odds that the posterior of the depths gives": 9.8, "1 where near matches lead there too": 5.1},
    fitted_on="493 carried pins, 8 of them wrong, of five rendered jobs, docs/decisions/0019; the last weight, "
    "2026-12-01, on 726 pins of the bay and sample_media, 12 of them wrong, docs/decisions/0045",
    fitted="2026-11-25",
    refit="python tests/bench/carry_odds.py FOLDER...",
    most=SUREST,
)
CARRIED_NEAR = BeliefCurve(
    says="a pin carried by the matches around it lies within 5 % of the diagonal of where it should",
    constant=-7.96,
    weights={"log of the distance to the fourth match": -1.93, "log of the spread": -1.01},
    fitted_on="2,101 pins of the bay, sample_media and 34 pairs of photographs of buildings and of things moved on a "
    "table, each set counted alike, with whether the depth of three pictures leads there too; where it does a pin is "
    "carried through depth, so what is left is the curve for the others; docs/decisions/0045",
    fitted="2026-12-01",
    refit="python tests/bench/near_odds.py FOLDER... --pairs FOLDER",
    most=SUREST,
)
DIFFERS = BeliefCurve(
    says="something differs at a joint, in a picture in which one joint of seven does",
    constant=-4.88,
    weights={"share unanswered close to the joint": 13.9},
    fitted_on="528 joints of the bay, sample_media, n1, n3, n4 and t1; docs/decisions/0036",
    fitted="2026-11-27",
    refit="python tests/bench/joint_odds.py FOLDER...",
)
_SHOWN = "a photo shows a place, the likeliest of its archive, when every second photo shows none"
_SHOWN_ON = "105 photos of n1, n2, n4, t1, t2 and h3, each asked of its own and of a foreign job; docs/decisions/0021"
_SHOWN_REFIT = "python tests/bench/where_odds.py FOLDER FOLDER..."
SHOWN_ONE_SIZE = BeliefCurve(
    says=_SHOWN + ", looked at in one size",
    constant=-4.4,
    weights={"score": 1.35, "excess of the pose": 0.96},
    fitted_on=_SHOWN_ON,
    fitted="2026-11-27",
    refit=_SHOWN_REFIT,
    most=SUREST,
)
SHOWN_BOTH_SIZES = BeliefCurve(
    says=_SHOWN + ", looked at in two sizes",
    constant=-3.7,
    weights={"score": 1.26, "excess of the pose": 1.05},
    fitted_on=_SHOWN_ON,
    fitted="2026-11-27",
    refit=_SHOWN_REFIT,
    most=SUREST,
)
SHOWN_ALONE = BeliefCurve(
    says=_SHOWN + ", told from a picture on its own at the second size",
    constant=-5.0,
    weights={"score": 1.5, "excess of the pose": 0.0},
    fitted_on=_SHOWN_ON + "; made more cautious by hand below a score of 4.5 than the fit, -3.3 and 1.12, "
    "because the best of ten pictures is likelier to be best by chance",
    fitted="2026-11-27",
    refit=_SHOWN_REFIT,
    most=SUREST,
)
CURVES = (ONE_PLACE, ONE_SPOT, CARRIED, CARRIED_NEAR, DIFFERS, SHOWN_ONE_SIZE, SHOWN_BOTH_SIZES, SHOWN_ALONE)
"""Every curve in use."""
