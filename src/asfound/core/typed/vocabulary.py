"""Words in which people tell what happened. The trade's own, common practice, no source.

A phrase is written as said of a number: "came off" is "17 came off"; one that takes its number in between or behind
("took 17 off", "took off 17") needs no second entry. "|" stands between words of which any will do.
"""

from __future__ import annotations

MARKS = str.maketrans(
    {"’": "'", "‘": "'", "`": "'", "“": '"', "”": '"', "–": "-", "—": "-", "−": "-", "\t": " ", "[": "(", "]": ")"}
)

UNITS = {
    "vol": "l ltr ltrs lt litre litres liter liters dl cl ml cc qt qts quart quarts pt pint pints gal gals gallon gallons",
    "len": 'mm cm µm um micron microns thou inch inches in " ft m metre metres meter meters',
    "nm": "nm n.m newtonmetre newtonmetres newtonmeter newtonmeters ftlb ftlbs ft.lb ft.lbs ft-lb ft-lbs footpounds "
    "lbft lb.ft lb-ft lbfft inlb inlbs in.lb in-lb in-lbs lbin lb-in kgm kgfm kpm",
    "ang": "deg degs degree degrees °",
    "x": "bar psi kpa v volt volts mv ohm ohms amp amps c °c kg g rpm % turn turns hour hours",
}
GLUED_ONLY = frozenset("in c g m ft".split())
"""Units that are other words too: behind a blank they count only after a decimal."""

SPELLED = {
    word: number
    for number, word in enumerate(
        "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
        "eighteen nineteen twenty".split()
    )
} | {"a": 1, "half": 0, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90}
LEAST_SPELLED_TAG = 13
"""Smaller numbers in words are more often counts: "took two off"."""

PIECES = frozenset(
    "bolt bolts screw screws nut nuts washer washers stud studs clip clips clamp clamps pin pins pcs pieces piece spacer "
    "spacers shim shims tie ties fastener fasteners setscrew setscrews capscrew capscrews rivet rivets circlip circlips "
    "bucket buckets can cans jug jugs container containers bottle bottles drum drums tray trays jerry".split()
)
SORTS = frozenset(
    "long short small big large m6 m8 m10 m12 hex allen torx lag jubilee spring plain flat lock split hose cable "
    "zip old new jerry cap set drain".split()
)

BAG_WORDS = frozenset("bag baggie bags sack".split())
BETWEEN = frozenset("in into to inside -> => → @ /".split())

FILLERS = frozenset(
    "the a an i we ive weve have has had been be is are was were got just now also ok okay so my our its his "
    "finally today's both's lot both- again successfully already myself ourselves it's also well yep yeah =".split()
)
"""Words that change nothing of what a line says."""

THINGS = frozenset(
    "hose hoses pipe pipes line lines wire wires cable cables plug plugs connector connectors tube tubes bracket brackets "
    "mount mounts belt belts strap straps lead leads loom linkage rod rods bracket unit tag tags item items part parts no "
    "nr nos num number numbers thing things piece fitting union".split()
)
"""Words that stand beside a number and say what it is on."""

DESCRIBERS = frozenset(
    "fuel oil water coolant heater radiator rad return feed supply vacuum brake throttle accelerator earth ground battery "
    "starter alternator sensor temperature temp top bottom upper lower front rear left right port starboard stbd n/s o/s "
    "nearside offside near off inner outer main small big large long short thick thin black red blue green yellow white "
    "brown grey gray orange purple exhaust intake inlet outlet injector injection leak breather bypass raw sea engine "
    "gearbox clutch control shift gear stop solenoid glow heat exchanger drain pump lift header tank turbo oil power "
    "steering hydraulic tacho rev counter oilpressure pressure crank cam timing fan drive old rubber steel copper metal "
    "lh rh l/h r/h forward aft aftermost mounting support spill preheat charge wiring harness positive negative".split()
)
"""Words that say which hose or wire it is, beside its number."""

IN_ROWS = frozenset(
    "cylinder cyl cylinders cyls piston pistons injector injectors valve valves lifter lifters cap caps bearing bearings "
    "rocker rockers rod pushrod journal main mains terminal fuse relay step page photo picture line-no day week".split()
)
"""Words whose number can be their place in a row: "injector 3" is the third, or tag 3."""

PARTS = (
    "bolt|bolts|stud|studs|screw|screws|nut|nuts|clip|clips|clamp|clamps|latch|tab|tabs|lug|lugs|ear|ears|thread|"
    "threads|terminal|terminals|pin|pins|seal|seals|gasket|o ring|oring|olive|union|spigot|barb|stub|neck|flange|head|"
    "bracket|bush|bushing|washer|retainer|housing|connector|plug|boot|sleeve|insulation|strap|tie|tang|key|eye|end|"
    "banjo|hose|nipple|collar|lock|catch|spring|insert|joint|weld|cover|shoulder|spade|eyelet|ferrule|grommet"
)
STOPPERS = (
    "rag|rags|cork|corks|bung|bungs|plug|plugs|cap|caps|stopper|cloth|cling film|clingfilm|foil|glove|"
    "blank|blanking plug|plastic bag|paper towel|towel|wooden plug|dowel"
)

_PULLS = (
    "took|taken|pulled|lifted|slid|slipped|popped|prised|prized|pried|knocked|tapped|drew|drawn|eased|worked|got|came|yanked|whipped|built|"
    "come|screwed|unscrewed|unbolted|unclipped|unhooked|undone|wriggled|wiggled|twisted|levered|driven|hoisted|brought|"
    "unplugged|removed|disconnected|dismounted|tooken|hauled|pressed|drifted|craned"
)
OFF = (
    "off",
    f"{_PULLS} off",
    f"{_PULLS} away",
    "took|taken|pulled|lifted|slid|eased|got|drew|drawn|unscrewed|removed|worked|prised|hauled|hoisted|pressed out",
    "built out",
    "off again",
    "out",
    "out again",
    "pulled|yanked",
    "taken|took|came|pulled apart",
    "removed|disconnected|unplugged|unscrewed|unbolted|undid|undone|unclipped|uncoupled|unhooked|unfastened|unmounted|"
    "dismounted|demounted|detached|withdrawn|withdrew|extracted|deconnected|disassembled|dismantled|unshipped|unlinked|"
    "deinstalled|uninstalled|desoldered|unsoldered|unpinned|disconn|discon|disconnect'd|remd|rem'd|rmvd|unattached|"
    "unconnected|unjointed|demontated|disjoined|unmounted|unbuttoned|unhitched|unshackled|unlaced",
)

_PUTS = (
    "put|went|slid|pushed|pressed|screwed|bolted|clipped|hooked|plugged|fitted|mounted|slipped|popped|clicked|placed"
)
_JOINS = (
    "refitted|refit|reinstalled|reconnected|reattached|remounted|installed|fitted|mounted|connected|attached|coupled"
)
ON = (
    "on",
    "on back|again",
    "back|again on",
    "back on again",
    "back|again in",
    "back|again in|on place|position",
    "in place",
    "on place|position",
    "back on place",
    "put|screwed|bolted|clipped|hooked|plugged|fitted|mounted|fixed|placed|dropped|lifted back|again",
    f"{_PUTS}|got|dropped|lifted|set|fixed back|again on|in|onto|home|together",
    f"{_PUTS}|got on",
    f"{_PUTS}|got on again",
    "put in place",
    "put|fitted|mounted|set|fixed|placed back|again in|on place|position",
    "hooked|plugged|coupled|connected|joined|screwed|bolted up",
    "hooked|plugged|coupled|connected|joined|screwed|bolted up again",
    "hooked|plugged|coupled|connected|joined|screwed|bolted back|again up",
    "plugged|clicked|clipped in",
    "plugged|clicked|clipped in again",
    "snapped|clicked back|again in|on",
    "built in",
    "built in again",
    f"{_JOINS}|reassembled|rehung|replugged|recoupled|reinserted|refixed|rebolted|refastened|rejoined|rehooked|reclipped|"
    "assembled|fastened|refited|reffited|reffitted|refitt|reconected",
    f"{_JOINS}|assembled|fastened|joined back|again",
    f"{_JOINS}|assembled back|again in|on",
    "re connected|fitted|installed|mounted|attached|assembled|fixed",
)
BY_HAND = (
    "by hand",
    "hand|finger tight",
    "handtight",
    "fingertight",
    "hand|finger tightened",
    "tightened|done|screwed by hand",
    "on|refitted|fitted|mounted|installed|reconnected by hand",
    "back on|in by hand",
    "on|refitted|fitted|mounted|installed hand|finger tight",
    "back on|in hand|finger tight",
    "put|screwed|wound on|in hand|finger tight",
    "on loose|loosely",
    "back on loose|loosely",
    "loosely on|fitted|refitted|mounted|installed",
    "on|fitted|refitted handtight|fingertight",
    "put|screwed back|again on|in by hand",
    "nipped up by hand",
)
TIGHT = (
    "tight",
    "tightened",
    "tightened up|down|fully",
    "done|did up|down",
    "nipped|snugged|cinched up|down|tight",
    "fully tight|tightened",
    "on|in tight",
    "back on|in tight",
    "back on|in and tight|tightened",
    "on and tight|tightened",
    "on fully tight",
    "refitted|fitted|mounted|installed|reconnected tight",
    "refitted|fitted|mounted|installed|reconnected and tight|tightened",
    "bolted|screwed down|up tight",
    "put|screwed|bolted back|again on|in tight",
    "cinched down",
    "retightened",
)
TORQUED = (
    "torqued",
    "torqued up|down",
    "on torqued",
    "refitted|fitted torqued",
    "on|back|refitted and torqued",
    "torqued to spec",
    "back on torqued",
)
MARKED = ("marked", "paint marked", "marked with paint", "on marked", "paint mark", "paint marked on", "witness marked")
CHECKED = ("checked", "double checked", "rechecked", "checked again", "on checked", "checked over", "checked and ok")

BROKEN = (
    "snapped|broke|broken|cracked|split|sheared|shattered|burst|tore|torn|ripped|chipped|fractured|bursted|broked|"
    "snapt|splitted",
    "snapped|broke|broken|sheared|torn|tore|ripped|chipped|cracked off",
    "broke|broken|snapped|cracked|torn|split|ripped in two|half|pieces|halves",
    "broke|snapped|cracked|split right through",
    "broke|fell|came to pieces|bits",
)
CUT = (
    "cut|sawed|sawn|hacksawed|snipped",
    "cut|sawed|sawn|hacksawed|ground|snipped through|off|away|free",
    "cut|sawed|sawn in two|half",
    "cut|sawed|sawn|ground loose",
)
CAPPED = (
    "capped|blanked|bunged|stoppered|corked|caped",
    "capped|blanked|plugged|bunged|sealed|stoppered|closed off|up",
    "taped over|shut",
)
PLUGGED = ("plugged",)
UNCAPPED = ("uncapped", "uncorked", "unblanked", "uncap'd")
REPAIRED = (
    "repaired|mended|welded|brazed|soldered|helicoiled|rethreaded|straightened|resoldered|rebuilt|patched|reconditioned|"
    "overhauled|crimped|recrimped|rewelded|respliced|spliced",
)
NEW_PART = (
    "renewed",
    "replaced",
    "new part",
    "new part fitted|installed",
    "new",
    "new one",
    "new unit",
    "new one fitted|installed",
    "replaced with new|replacement",
    "replaced by|with new",
    "replaced with new one|part|unit",
    "replaced by new one|part|unit",
    "swapped|changed|exchanged for|with|against new",
    "swapped|changed|exchanged for|with|against new one|part|unit",
    "swapped|changed for replacement",
    "new item",
)
NEUTRAL = (
    "wrapped|tied|hung|tucked|cleaned|washed|degreased|sprayed|soaked|oiled|greased|painted|photographed|supported|"
    "propped|lashed|loosened|slackened|labelled|labeled|moved|pushed|zip-tied|ziptied|rinsed|flushed|dried|blown|"
    "polished|coated|protected|covered|inspected|loosed|freed|eased|wiped|filmed|sketched|swung|rolled|"
    "folded|tapped|dabbed|wirebrushed|scraped|primed|slacked|"
    "looks|looked|seems|smells|feels|points|pointed|faces|faced|sits|sat|runs|routed|rubs|rubbed|touches|shows",
)
"""What was done to a thing without taking it off or putting it back: it is kept as a note."""

STUCK = (
    "stuck|seized|jammed|frozen|rusted|corroded|damaged|worn|leaking|leaks|weeping|weeps|perished|chafed|"
    "bent|rounded|kinked|swollen|brittle|burnt|melted|crushed|pinched|rotten|scored|pitted|frayed|siezed|"
    "shot|knackered|chewed|collapsed|blocked|clogged|dripping|drips|crossthreaded|distorted|warped|deformed|cracking",
    "rusted|seized|stuck|frozen|jammed|corroded solid|fast|in|on|through|tight|up",
    "badly|very|quite|rather|totally|completely|slightly|really stuck|seized|rusted|corroded|worn|damaged|chafed|"
    "perished|kinked|bent|frayed",
)

FLUID = (
    r"(?:(?:engine|motor|gear|gearbox|hydraulic|hyd|power|steering|brake|clutch|raw|sea|bilge|washer|auto|automatic|"
    r"transmission|trans|diff|axle|saildrive|sterndrive|stern|drive|cooling|heater|box|injection|screen|tank|lube|cooler|"
    r"cylinder|block|radiator|rad|sump|winch|outdrive|final) )*"
    r"(?:oil|coolant|antifreeze|anti freeze|freshwater|fuel|diesel|petrol|gasoline|water|fluid|atf|refrigerant|seawater|lube|adblue|kerosene|"
    r"paraffin|derv|screenwash|glycol)"
)
CIRCUITS = (
    r"(?:(?:cooling|coolant|fuel|hydraulic|hydraulics?|brake|clutch|steering|heating|heater|injection|power|water) )+"
    r"(?:system|circuit|lines?|side|pump)|brakes?|clutch|injectors|hydraulics|steering"
)
DRAINED = (
    r"drained(?: off| out| down)?|draind|let (?:out|off)|letted out|ran (?:off|out)|run off|emptied(?: out)?|"
    r"sucked (?:out|up)|pumped out|siphoned(?: off| out)?|syphoned(?: off| out)?|dropped|tapped off|dumped|poured out|"
    r"caught|took out|taken out|evacuated|extracted|let go|drained away|came out|ran out|flowed out|released"
)
FILLED = (
    r"filled(?: up| in)?(?: again| with)*|refilled(?: with)?|topped (?:up|off)(?: with)?|poured (?:in|back in|into)|put (?:back )?in|"
    r"put back|added|went in|went back in|back in|fill in|filled back|filled back in|replenished|tipped in|charged with"
)
BLED = (
    r"bled(?: out| through| off)?|bleeded|purged|vented|deaerated|air(?: bled| let)? out(?: of)?|bled air out of|bled air from|"
    r"bleeding done(?: on)?|air bled"
)
GRADE = r"(?:sae )?\d+w ?-?\d+|(?:sae|iso|api|vg|gl|dot|hlp|uttf?|stou|atf|acea) ?-?[\w./-]+|g1[123]\+*|tdto"
CAN = (
    r"can|bucket|buckets|tray|drum|jug|jerry can|jerrycan|container|bottle|tub|pan|cans|canister|bowl|barrel|carboy|bin"
)

UNNUMBERED = (
    r"(?:(?:cylinder|cyl|starter|injection|injector|fuel|water|oil|heat|raw|lift|con|connecting|valve|rocker|exhaust|"
    r"intake|inlet|drive|prop|propeller|wiring|engine|brake|clutch|turbo|front|rear|both|two|all|main|balance|timing|"
    r"gear|hydraulic|steering|sea|complete|charge|air|whole|crank|cam|stern) )*"
    r"(?:head|heads|block|crankshaft|crank|camshaft|cam|alternator|starter|dynamo|pump|pumps|injectors|turbo|"
    r"turbocharger|radiator|rad|flywheel|manifold|exchanger|gearbox|pistons|rods|valves|shaft|propeller|prop|cooler|"
    r"intercooler|aftercooler|tank|loom|harness|clutch|carb|carburettor|carburetor|liners|nozzles|cover|motor|housing|"
    r"sump|pan|bearings|damper|elbow|riser|mounts|gears|disc|plate|charger)"
)
"""What is sent out and comes back without having a number."""
SHOPS = (
    r"shop|works|workshop|engineer|engineers|engineering|garage|machinist|machinists|specialist|specialists|firm|yard|"
    r"dealer|rebuilder|rebuilders|company|service|foundry|lab|laboratory|welder|welders|welding|guy|man|people|center|"
    r"centre|grinder|grinders|reconditioner|balancer|turner|mechanic|electrician|blacksmith|fabricator|place"
)

VALUES = (
    r"(?:(?:end|valve|tappet|belt|bearing|side|crank|shaft|piston|ring|plug|air|gasket|coolant|oil|battery|fuel|input|"
    r"output|coil|winding|radial|axial|ring|flange|thread|free|inner|outer|wall) )*"
    r"(?:gap|float|endfloat|play|endplay|clearance|backlash|lash|runout|run out|preload|deflection|tension|height|"
    r"length|depth|width|thickness|diameter|dia|voltage|volts|resistance|pressure|compression|temperature|temp|shims?|"
    r"slack|distance|protrusion|toe|angle|offset|misalignment|alignment|stickout|sag|squish|nip|wear)"
)

OTHER_WORDS = frozenset(
    "tapped chipped clapped flipped tracked trained trapped scrapped wrapped renewed unpacked remarked remoted checked "
    "chocked drained stained strained cracked mounted counted sounded painted pointed replaced repacked refilled "
    "refitted installed instilled unhooked unlocked tightened lightened frightened connected corrected collected "
    "detached attached measured pleasured plugged lugged slugged unplugged sheared cleared smeared snapped swapped "
    "slapped capped gapped lapped mapped napped broken spoken token bolted belted jolted fitted filled pulled pushed "
    "removed reviewed relieved released unfitted reached washed ordered bordered bought brought".split()
)
"""Words of their own that differ in a letter from one of ours: never taken for a slip of it."""
