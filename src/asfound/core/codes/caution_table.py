"""Every caution of the work, with where it is said. The sentences are ours; the list is not full."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Phase = Literal["prepare", "drain", "disconnect", "lift", "store", "refit", "afloat", "first start"]
Worst = Literal["death", "injury", "things"]
SignalWord = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]

DEFER = "follow the service manual, local law and licensed practice."


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution.

    Attributes
    ----------
    key : str
        Under which the day it was last shown is kept.
    worst : {"death", "injury", "things"}
        The worst that could come of it: death or serious injury, slight or moderate injury, damage to things only.
    will : bool
        Whether the worst will come, and not only could, if it is not avoided; for the extreme only.
    sentence : str
        What to do, without its final stop.
    note : str
        Folk advice that is wrong, and where things are said; empty when there is none.
    hazards : tuple of str
        Hazards of a tag that call for it.
    """

    key: str
    phase: Phase
    worst: Worst
    sentence: str
    note: str = ""
    hazards: tuple[str, ...] = ()
    will: bool = False

    @property
    def signal(self) -> SignalWord:
        """The signal word by ANSI Z535.4."""
        return signal_word(self.worst, will=self.will)

    @property
    def text(self) -> str:
        """The whole caution as it is shown."""
        return f"{self.signal}: {self.sentence}; {DEFER}"


def signal_word(worst: Worst, *, will: bool = False) -> SignalWord:
    """Signal word for the worst that will or could happen; damage to things alone is always NOTICE.

    References
    ----------
    ANSI Z535.4, 4.14, read in secondary text.
    """
    if worst == "things":
        return "NOTICE"
    if worst == "injury":
        return "CAUTION"
    return "DANGER" if will else "WARNING"


CAUTIONS = (
    Caution(
        "traction battery", "prepare", "death",
        "Orange cables or a traction battery: stop, this is work for trained people",
        "UN R100, 5.1.1.5.3: orange covering. High voltage there is above 60 V DC or 30 V AC (from memory).",
        ("high voltage",), will=True,
    ),
    Caution(
        "airbag", "prepare", "death",
        "Airbag or belt tensioner within reach: leave it alone and look in the manual",
        "\"Wait a few minutes\" varies by make; never probe. Common practice, no source.",
        ("airbag",),
    ),
    Caution(
        "earth lead", "prepare", "death",
        "Take the earth lead off first and put it on last",
        "\"Negative first\" is true only on negative-earth machines; old ones may be positive earth. Two batteries: "
        "both earths. Common practice, no source.",
        ("battery",),
    ),
    Caution(
        "battery gas", "prepare", "death",
        "Charging batteries give off explosive gas: no flame, no sparks, open air",
        "A second battery that keeps the settings also keeps the loom live. Common practice, no source.",
        ("battery",),
    ),
    Caution(
        "rings and tools", "prepare", "death",
        "At the battery take off rings, watch and chains, cover its live terminal, and lay no tool across the two",
        "A spanner across it welds itself fast and can burst the battery. Common practice, no source.",
        ("battery",),
    ),
    Caution(
        "charger", "prepare", "death",
        "Switch off and unplug chargers, shore power, inverters and solar panels before a cable comes off",
        "A charger that stays on keeps the loom live without the battery. Common practice, no source.",
        ("battery", "mains"),
    ),
    Caution(
        "asbestos", "prepare", "death",
        "Old gaskets, lagging, brake and clutch linings may hold asbestos: do not sand, brush, blow or break them, ask "
        "for a test",
        "A paper mask and an air line are wrong. Brakes and clutches: 29 CFR 1910.1001, appendix F (from memory).",
        ("asbestos",),
    ),
    Caution(
        "hot coolant", "drain", "death",
        "Let it cool before opening anything with coolant in it",
        "\"A rag on the cap is enough\" is wrong. Common practice, no source.",
        ("coolant", "hot"),
    ),
    Caution(
        "fuel pressure", "drain", "death",
        "Release fuel pressure as the manual says and keep flames away",
        "Diesel injection pressure pierces skin: never feel for a leak. Common practice, no source.",
        ("fuel",),
    ),
    Caution(
        "pressure", "drain", "death",
        "Lines and tanks can hold pressure long after the engine stops: release it as the manual says, then open",
        "Never feel for a leak: a fine jet pierces skin, and that needs a doctor at once. Common practice, no source.",
        ("pressure",),
    ),
    Caution(
        "hydraulics", "drain", "death",
        "Lower loader, linkage and implement to the ground and release hydraulic pressure before opening a line",
        "A raised arm on its oil alone comes down when the line opens; a jack does not hold it. Common practice, no "
        "source.",
        ("hydraulic",),
    ),
    Caution(
        "hot parts", "drain", "injury",
        "Hot metal and oil burn: let them cool first",
        "Common practice, no source.",
        ("hot",),
    ),
    Caution(
        "one container", "drain", "things",
        "One container, one fluid, one label",
        "Mixed oil may become hazardous waste: 40 CFR 279.10(b); EU 2008/98/EC art. 21 (from memory).",
    ),
    Caution(
        "poisonous coolant", "drain", "death",
        "Coolant poisons animals and people: cover it at once",
        "\"It is biodegradable, pour it out\" is wrong, and often illegal. Common practice, no source.",
        ("coolant",),
    ),
    Caution(
        "used fluids", "drain", "things",
        "Take used fluids to a collection point",
        "Oil on a dusty yard is prohibited: 40 CFR 279.82. Burning it, painting fences with it, a hole in the ground, "
        "draining to a bilge (33 CFR 155.770, from memory): ask local rules, assume no.",
    ),
    Caution(
        "air-conditioning", "drain", "death",
        "Air-conditioning is opened only by a certified technician",
        "US: venting is prohibited for all, a certificate is needed for paid work (EPA MVAC rules, CAA 608, 609). "
        "EU: certificate, Reg. 2024/573 (from memory). \"Just crack the line\" is an offence. Often the compressor can "
        "stay connected and be tied aside: see the manual.",
        ("refrigerant",),
    ),
    Caution(
        "springs", "disconnect", "death",
        "Springs and tensioners let go suddenly: hold them and stand aside",
        "Common practice, no source.",
        ("spring",),
    ),
    Caution(
        "open lines", "disconnect", "things",
        "Cap every open line and port now",
        "Rags pushed into ports get left: count them. Common practice, no source.",
    ),
    Caution(
        "brakes", "disconnect", "death",
        "Before the machine moves, fill, bleed and test every opened brake and clutch line as the manual says",
        "Brake fluid takes water from the air and lifts paint. Common practice, no source.",
        ("brake",),
    ),
    Caution(
        "split tractor", "disconnect", "death",
        "Before a tractor is split: chock the wheels, wedge the front axle so that it cannot swing, support each half",
        "A trolley jack under one half is wrong: it rolls. Common practice, no source.",
        ("splitting",),
    ),
    Caution(
        "hanging engine", "lift", "death",
        "Keep everybody out from under a hanging engine, and every hand out from between it and the frame",
        "Not even \"only to guide it\". Common practice, no source.",
        ("lifting",), will=True,
    ),
    Caution(
        "stands", "lift", "death",
        "Stands carry the machine; a jack only raises it",
        "29 CFR 1910.244(a)(2)(iii): secured at once; WAC 296-307-22509(3): no work under jacks alone. Bricks and "
        "wheel rims are not stands.",
        ("lifting",),
    ),
    Caution(
        "flat chains", "lift", "death",
        "Flat chains pull harder: keep each leg at 60 degrees or steeper",
        "Pull per leg = weight / (legs x sine of the angle from level); count two legs even if there are four (common "
        "practice, no source). Under 30 degrees not used (ASME B30.9, from memory). Rated gear only, 29 CFR 1910.184. "
        "A \"strong bolt\" says nothing about the bracket or thread it is in; use the maker's lifting points.",
        ("lifting",),
    ),
    Caution(
        "tipping", "lift", "death",
        "An engine that comes out or goes in shifts the balance: check that the machine cannot tip or roll",
        "Common practice, no source.",
        ("lifting",),
    ),
    Caution(
        "oily rags", "store", "death",
        "Oily rags can catch fire by themselves: keep them in a metal bin with a lid",
        "They set buildings on fire. Common practice, no source.",
    ),
    Caution(
        "pulled in", "refit", "things",
        "Never pull an engine in with its bolts",
        "It cracks housings: stop and look. Common practice, no source.",
    ),
    Caution(
        "new seals", "refit", "things",
        "Fit new seals and new one-use bolts where the manual says so",
        "\"It came off fine, it goes on fine\" is wrong. Common practice, no source.",
    ),
    Caution(
        "seacocks", "afloat", "death",
        "Keep seacocks shut and tagged until every hose is tight and checked",
        "Common practice, no source.",
        ("flooding",),
    ),
    Caution(
        "extinguisher", "first start", "death",
        "Have an extinguisher in hand, know how to stop the engine, keep clear of belts and fan",
        "\"Pour fuel in the intake\": fire. Common practice, no source.",
        ("fuel", "turning"),
    ),
    Caution(
        "closed space", "first start", "death",
        "Never run an engine in a closed space",
        "Carbon monoxide; an open door is not enough. Common practice, no source.",
        ("exhaust",), will=True,
    ),
    Caution(
        "bilge blower", "first start", "death",
        "Petrol in a boat: run the bilge blower first, as long as the manual says, and smell the bilge before "
        "the key is turned",
        "Its label in the US says four minutes: 33 CFR 183.610 (from memory). Petrol vapour is heavier than air and "
        "lies in the bilge.",
        ("petrol",),
    ),
    Caution(
        "runaway diesel", "first start", "death",
        "A diesel can run away, and then its key does not stop it: be ready to shut off its air as the manual says, "
        "and stand clear",
        "A hand or a rag over the intake is wrong. Common practice, no source.",
        ("diesel",),
    ),
    Caution(
        "wet exhaust", "first start", "things",
        "Wet exhaust: long cranking fills it and then the engine with water; crank no longer than the manual says and "
        "drain it between tries",
        "Cranking with the seacock shut spares the exhaust but can burn the pump: ask the manual. Common practice, no "
        "source.",
        ("wet exhaust",),
    ),
)  # fmt: skip
"""Every caution, by phase in the order of the work."""
