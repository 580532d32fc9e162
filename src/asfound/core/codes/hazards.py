"""The words people use for a hazard, and which hazard each names; a word that is not among them is asked back.

Common practice, no source. The list is not full: that a word calls for no caution never says that there is no danger.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches

from asfound.core.words import fold, singular

_WORDS = {
    ("fuel",): "fuel, gas, lpg, flammable, explosive, fire, fuel pressure, injector, injection",
    ("fuel", "petrol"): "petrol, gasoline, carburettor, carburetor",
    ("fuel", "diesel"): "diesel, gas oil, common rail",
    ("fuel", "exhaust"): "fumes, vapour, vapor",
    ("coolant",): "coolant, hot coolant, antifreeze, coolant pressure, radiator, steam, scalding, hot water",
    ("hot",): "hot, heat, burn, manifold, turbo",
    ("exhaust",): "exhaust, exhaust gas, carbon monoxide, co",
    ("exhaust", "hot"): "hot exhaust",
    ("exhaust", "wet exhaust"): "wet exhaust, water lock, waterlock, exhaust elbow, mixing elbow",
    ("pressure",): "pressure, pressurised, pressurized, under pressure, high pressure, power steering, "
    "steering pressure, oil pressure, compressed air, air pressure",
    ("hydraulic", "pressure"): "hydraulic, hydraulic pressure, hydraulic oil, loader, accumulator, three point linkage",
    ("brake",): "brake, brake fluid, brake line, brake pipe, brake hose, clutch fluid",
    (
        "battery",
    ): "battery, battery acid, acid, plus lead, live, 12 v, 12v, 12 volt, 24 v, 24v, 24 volt, short circuit, "
    "starter cable",
    ("high voltage",): "high voltage, hv, orange, orange cable, orange lead, orange wire, traction battery, hybrid, "
    "electric drive, inverter cable",
    ("mains",): "mains, shore power, charger, battery charger, inverter, solar, 110 v, 110v, 120 v, 120v, 230 v, 230v, "
    "240 v, 240v",
    ("high voltage", "mains"): "electric shock, electrocution, voltage",
    ("airbag",): "airbag, air bag, srs, pretensioner, pre tensioner, seat belt, seat belt tensioner",
    ("airbag", "spring"): "belt tensioner",
    ("spring",): "spring, tensioner, spring loaded, gas strut, stored energy",
    ("refrigerant",): "refrigerant, refrigerant gas, a/c, ac, aircon, air con, air conditioning, r12, r134a, r1234yf",
    ("lifting",): "lifting, lift, heavy, weight, load, crane, hoist, sling, chain, crushing, crush, tipping, tip",
    ("splitting", "lifting"): "splitting, split, tractor split",
    ("flooding",): "flooding, flood, seacock, sea cock, through hull, raw water, sea water, seawater, sinking",
    ("turning",): "turning, rotating, moving parts, fan, pto, power take off, drive belt",
    ("asbestos",): "asbestos, lagging, old gasket, brake dust, clutch dust, brake lining, clutch lining",
}
_BETWEEN = re.compile(r"[;,+&]|\b(?:and|or)\b")
_PARTS = re.compile(r"[^\W_]+")
_NEAR = 0.6


def _key(text: str) -> tuple[str, ...]:
    return tuple(singular(word) for word in _PARTS.findall(fold(text)))


HAZARDS = {_key(phrase): (phrase, hazards) for hazards, row in _WORDS.items() for phrase in row.split(", ")}
"""By the folded words of a phrase: the phrase as written, and the hazards it names."""

_LONGEST = max(map(len, HAZARDS))
_SPELLINGS = {" ".join(key): phrase for key, (phrase, _hazards) in HAZARDS.items()}


@dataclass(frozen=True, slots=True)
class HazardReading:
    """What a text on hazards was understood to say.

    Attributes
    ----------
    hazards : frozenset of str
        Names that cautions hang on.
    unknown : tuple of str
        Parts of the text in which no word is known, as typed.
    nearest : tuple of str
        For each unknown part the known word that is spelled most like it, empty when none is near.
    """

    hazards: frozenset[str]
    unknown: tuple[str, ...] = ()
    nearest: tuple[str, ...] = ()

    @property
    def question(self) -> str:
        """What to ask about the unknown parts; empty when there is none."""
        return " ".join(map(_question, self.unknown, self.nearest))


def read_hazards(text: str) -> HazardReading:
    """Read one text that may name several hazards: "fuel; hot", "petrol and orange cables"; never raises."""
    hazards: set[str] = set()
    unknown = []
    for part in filter(_key, _BETWEEN.split(text)):
        found = _named(_key(part))
        hazards |= found
        if not found:
            unknown.append(part.strip())
    return HazardReading(frozenset(hazards), tuple(unknown), tuple(map(_nearest, unknown)))


def _named(words: tuple[str, ...]) -> set[str]:
    """Hazards of the phrases in a row of words, the longest taken first at each word."""
    found: set[str] = set()
    at = 0
    while at < len(words):
        lengths = (length for length in range(_LONGEST, 0, -1) if words[at : at + length] in HAZARDS)
        length = min(next(lengths, 0), len(words) - at)
        found |= set(HAZARDS[words[at : at + length]][1]) if length else set()
        at += length or 1
    return found


def _nearest(part: str) -> str:
    near = get_close_matches(" ".join(_key(part)), _SPELLINGS, n=1, cutoff=_NEAR)
    return _SPELLINGS[near[0]] if near else ""


def _question(part: str, near: str) -> str:
    ask = f"is it {near}?" if near else "say it in another word, such as fuel, pressure, battery or lifting."
    return f'No caution is known for the hazard "{part}": {ask} No caution does not mean no danger.'
