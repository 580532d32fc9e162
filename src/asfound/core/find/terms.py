"""What a word that was asked for may stand written as: the same thing in the words of another trade, coast or shop.

Looser than `core.words.SAME_THING`, for it only says where to look: "fan belt" also looks at the alternator's belt, and
whoever asked sees what is written there. Nothing is decided by it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from asfound.core.words import query_words

Spelling = tuple[str, ...]


class Term(NamedTuple):
    """One thing asked for: its spellings, as typed first; each is words that must all be held."""

    spellings: tuple[Spelling, ...]

    @property
    def typed(self) -> Spelling:
        """The words as they were asked for."""
        return self.spellings[0]


ALSO_WRITTEN: tuple[tuple[str, ...], ...] = (
    # Positions
    ("port", "left", "lh", "nearside"),
    ("starboard", "right", "rh", "stbd", "offside"),
    ("front", "forward", "fore", "fwd", "bow"),
    ("rear", "aft", "back", "behind", "stern"),
    ("upper", "top"),
    ("lower", "bottom", "lowest"),
    ("centre", "center", "middle"),
    # Lines and wires
    ("hose", "pipe", "line", "tube", "tubing", "ducting"),
    ("wire", "cable", "lead", "cord"),
    ("plug", "connector", "socket", "coupler", "loom plug", "multiplug", "multi plug"),
    ("loom", "wiring"),
    ("lug", "ring", "eyelet"),
    ("return", "back", "leak off"),
    ("leak off", "leakoff", "spill pipe", "spill line", "spill rail", "spill", "injector return",
     "injector overflow", "backleak"),
    ("feed", "supply", "delivery"),
    ("inlet", "intake", "suction", "induction"),
    ("outlet", "out", "discharge"),
    ("breather", "vent", "ventilation", "pcv"),
    # Fuel and stopping
    ("fuel", "gas", "petrol", "diesel"),
    ("throttle", "gas", "accelerator", "speed"),
    ("stop", "kill", "fuel cut off", "fuel cutoff", "fuel shut off", "fuel shutoff", "fuel stop",
     "shutoff", "shut off", "shutdown", "shut down", "cutoff", "cut off", "cutout"),
    ("lift pump", "feed pump", "transfer pump", "supply pump", "fuel pump", "priming pump"),
    ("injection pump", "injector pump", "fuel pump", "diesel pump", "high pressure pump", "fip"),
    ("injector", "nozzle", "atomiser", "atomizer"),
    ("primary filter", "pre filter", "prefilter", "water separator", "fuel filter", "sedimenter"),
    ("water in fuel", "water separator", "wif"),
    ("glow plug", "heater plug", "glowplug", "preheat", "pre heat", "preheater", "glow"),
    ("carburettor", "carb"),
    # Electrics
    ("alternator", "dynamo", "charger", "charging"),
    ("charge", "charging", "ignition"),
    ("lamp", "light", "bulb", "telltale"),
    ("alarm", "warning", "buzzer", "lamp", "light"),
    ("alarm", "overheat", "overheating", "buzzer"),
    ("gauge", "meter", "instrument", "dial", "sensor", "sender"),
    ("sender", "sensor", "sending unit", "transmitter", "transducer", "probe", "switch"),
    ("coolant", "water", "antifreeze"),
    ("coolant", "temperature", "temp"),
    ("oil pressure", "oil"),
    ("temperature", "temp", "overheat"),
    ("tacho", "rpm", "rev", "tach"),
    ("starter", "cranking", "crank motor", "starting"),
    ("starter signal", "starter solenoid", "start signal", "crank signal"),
    ("relay", "solenoid", "contactor"),
    ("isolator", "battery switch", "master switch", "cut off switch", "disconnect"),
    ("negative", "neg", "minus", "earth"),
    ("positive", "pos", "plus"),
    ("main", "heavy", "thick"),
    ("bonding", "bond", "anode"),
    ("key switch", "ignition switch", "ignition"),
    ("panel", "dash", "dashboard", "fascia", "console"),
    ("wheelhouse", "cab", "helm", "cockpit", "pilothouse"),
    ("distributor", "dizzy"),
    ("spark plug lead", "ht lead", "plug wire", "ignition lead", "plug lead"),
    ("lambda sensor", "oxygen sensor", "o2 sensor"),
    ("air mass meter", "air flow meter", "maf"),
    ("control unit", "ecu", "ecm", "computer"),
    ("indicator", "turn signal", "blinker"),
    ("tail light", "rear light", "tail lamp", "rear lamp"),
    ("fuse box", "fuse panel", "fuse board"),
    # Cooling and sea water
    ("air conditioning", "a/c", "aircon", "air con", "air conditioner"),
    ("expansion bottle", "recovery bottle", "recovery tank", "overflow tank", "degas bottle", "surge tank",
     "coolant bottle", "header bottle", "reservoir"),
    ("heat exchanger", "cooler"),
    ("radiator", "rad"),
    ("thermostat", "stat"),
    ("raw water", "salt water", "saltwater", "cooling water", "lake water", "river water"),
    ("strainer", "weed filter", "water filter", "mud box", "filter"),
    ("vented loop", "siphon break", "syphon break", "anti siphon", "antisiphon", "anti syphon", "swan neck"),
    ("seacock", "sea cock", "skin fitting", "through hull", "thru hull"),
    ("check valve", "non return valve", "one way valve", "nonreturn valve"),
    ("water pump", "coolant pump", "circulating pump", "circulation pump"),
    ("raw water pump", "impeller pump", "impeller"),
    ("heater", "heating"),
    # Air and exhaust
    ("air filter", "air cleaner", "airbox", "air box"),
    ("rocker cover", "valve cover", "cam cover", "rocker box", "tappet cover"),
    ("exhaust", "tail pipe", "tailpipe", "downpipe", "down pipe"),
    ("exhaust elbow", "mixing elbow", "riser", "injection elbow", "injection bend", "mixer"),
    ("manifold", "header"),
    ("boost", "manifold pressure", "turbo pressure"),
    ("restriction", "vacuum", "service indicator"),
    ("intercooler", "charge air cooler", "aftercooler"),
    ("turbo", "blower", "supercharger"),
    # Gear, shaft and mounts
    ("gearbox", "gear", "trans", "reduction gear"),
    ("gear shift", "gear change", "gearchange", "gearshift", "shift", "shifter", "selector"),
    ("gear oil", "gearbox oil", "transmission fluid", "atf"),
    ("propeller", "prop", "screw"),
    ("propeller shaft", "driveshaft", "drive shaft", "prop shaft", "half shaft", "shaft"),
    ("coupling", "flange", "half coupling"),
    ("mount", "mounting", "foot", "feet", "engine mount", "motor mount", "engine foot"),
    ("engine", "motor"),
    ("bearer", "engine bed", "stringer"),
    ("bell housing", "bellhousing", "flywheel housing", "clutch housing"),
    ("bell crank", "bellcrank", "relay lever"),
    ("cross rod", "link rod", "linkage", "pushrod", "push rod"),
    ("power take off", "pto"),
    ("three point linkage", "three point hitch", "hitch"),
    # Belts and fasteners
    ("alternator belt", "fan belt", "v belt", "vee belt", "drive belt", "generator belt", "serpentine belt",
     "auxiliary belt"),
    ("adjusting bracket", "adjuster", "tensioner", "adjusting strap", "adjuster bracket", "belt tensioner"),
    ("pulley", "sheave"),
    ("crank", "crankshaft"),
    ("cam", "camshaft"),
    ("bolt", "screw", "stud", "setscrew", "cap screw", "fastener"),
    ("nut", "fastener"),
    ("washer", "gasket", "seal"),
    ("shim", "packer", "packing", "spacer"),
    ("clip", "clamp", "p clip", "bracket"),
    ("lifting eye", "lifting lug", "hoist ring", "lift eye", "lifting ring"),
    ("gudgeon pin", "wrist pin"),
    ("big end", "rod bearing"),
    ("tappet", "lifter", "cam follower"),
    ("track rod", "tie rod"),
    ("knob", "handle", "pull"),
    ("pair", "twin", "double"),
)  # fmt: skip
"""Spellings that are looked for together. From memory of both coasts' and several trades' usage; no source."""


def _spellings() -> dict[Spelling, tuple[Spelling, ...]]:
    found: dict[Spelling, dict[Spelling, None]] = {}
    for group in ALSO_WRITTEN:
        written = list(dict.fromkeys(map(query_words, group)))
        for one in written:
            found.setdefault(one, {}).update(dict.fromkeys(written))
    return {one: (one, *(other for other in others if other != one)) for one, others in found.items()}


_SPELLINGS = _spellings()
_LONGEST = max(map(len, _SPELLINGS))
_KNOWN = frozenset(word for spelling in _SPELLINGS for word in spelling)


def terms_of(words: Iterable[str]) -> tuple[Term, ...]:
    """Put the words of a question together to what they ask for, the longest phrase first.

    Examples
    --------
    >>> terms_of(("red", "cord"))[0].spellings, terms_of(("non", "return", "valve"))[0].spellings[1]
    ((('red',),), ('check', 'valve'))
    """
    left, terms = tuple(words), []
    while left:
        lengths = range(min(_LONGEST, len(left)), 0, -1)
        length = next((one for one in lengths if left[:one] in _SPELLINGS), 1)
        terms.append(Term(_SPELLINGS.get(left[:length], (left[:length],))))
        left = left[length:]
    return tuple(terms)


def is_trade_word(word: str) -> bool:
    """Whether a word belongs to the trade, and so is not a misspelt other one."""
    return word in _KNOWN
