"""Read the title of a trouble code into what it speaks of, how that failed, and which one of several it is.

Two titles are compared by these readings, so that wording, order and abbreviations do not matter. The tables
are the vocabulary of the trade; the names behind the abbreviations follow SAE J1930 where it has one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

# Ways to write one thing, applied in this order to the lower-case title.
_PHRASES = [
    (re.compile(pattern), replacement)
    for pattern, replacement in (
        # Names that contain words which would otherwise tell how something failed.
        (r"\b(?:high[- ]voltage|hv|traction) battery\b", "hybrid battery"),
        (r"\bhvil\b", "highvoltage interlock"),
        (r"\binter-lock\b", "interlock"),
        (r"\b(?:high[- ]voltage|hv)(?= (?:system|interlock|fuse|bus|contactor|isolation))", "highvoltage"),
        (r"\b(high|medium|low)[- ]speed can\b", r"\1speedcan"),
        (r"\bhybrid\s*/\s*ev\b|\bev\s*/\s*hybrid\b|\bev\b", "hybrid"),
        # Modules, the longer names first.
        (r"\bhybrid powertrain control module\b|\bhpcm\b", "hpcm"),
        (r"\bbattery energy control module\b|\bbecm\b", "becm"),
        (r"\bdrive motor control module\b", "dmcm"),
        (r"\bgenerator control module\b", "gcm"),
        (r"\b(?:engine|powertrain) control module\b|\becm\s*/\s*pcm\b|\becm\b|\bpcm\b", "ecm"),
        (r"\btransmission control module\b|\btcm\b", "tcm"),
        (r"\bbody control module\b|\bbcm\b", "bcm"),
        (r"\b(?:anti-?lock brak(?:e|ing)(?: system)?|abs)(?: control)?(?: module)?\b", "absmodule"),
        (r"\b(?:instrument (?:panel )?cluster|ipc)(?: control)?(?: module)?\b", "ipc"),
        # Parts and quantities.
        (r"\bect\b", "engine coolant temperature"),
        (r"\biat\b", "intake air temperature"),
        (r"\bmaf\b", "mass air flow"),
        (r"\bmap\b", "manifold absolute pressure"),
        (r"\bair-?flow\b", "air flow"),
        (r"\btps?\b", "throttle position"),
        (r"\bapp\b", "pedal position"),
        (r"\bckp\b", "crankshaft position"),
        (r"\bcmp\b", "camshaft position"),
        (r"\bh?o2s\b|\bho2\b|\boxygen\b|\blambda\b", "o2 sensor"),
        (r"\begr\b", "exhaust gas recirculation"),
        (r"\bevap\b(?: emissions?)?", "evaporative emission"),
        (r"\bcatalytic converter\b", "catalyst"),
        (r"\bdc\s*/\s*dc\b", "dcdc"),
        (r"\bair[- ]condition(?:ing|er)\b", "airconditioning"),
        (r"\bmalfunction indicator(?: (?:lamp|light))?\b", "mil"),
        (r"\bstop (?:lamp|light) switch\b|\bbrake (?:lamp|light|pedal) switch\b", "brake switch"),
        (r"\balternator\b", "generator"),
        (r"\binsulation\b", "isolation"),
        (r"\baccelerator pedal\b", "pedal"),
        (r"\bcooling fan\b|\bradiator fan\b", "fan"),
        (r"\btemp\b", "temperature"),
        (r"\bpos\b", "position"),
        (r"\bcyl\b", "cylinder"),
        (r"\bseveral\b", "multiple"),
        (r"\brandom access memory\b", "ram"),
        (r"\bread[- ]only memory\b", "rom"),
        (r"\bkeep[- ]alive memory\b", "kam"),
        (r"\bcheck sum\b", "checksum"),
        (r"\bpre-charge\b", "precharge"),
        (r"\bcontactor control\b", "contactor contactorcontrol"),
        (r"\blost comm\b|\b(?:no|loss of) communication\b|\bcommunication lost\b", "lost communication"),
        # How it failed.
        (r"\bover[- ]?(?:temperature|heat(?:ed|ing)?)\b", "temperature too high"),
        (r"\btemperature (?:is )?too high\b", "temperature high overtemperature"),
        (r"\bover[- ]?speed\b", "overspeed"),
        (r"\b(?:stuck|welded) closed\b|\bwelded\b", "stuckclosed"),
        (r"\bstuck[- ]open\b", "stuckopen"),
        (r"\bshort(?:ed)?(?: circuit)? to (?:ground|earth|chassis)\b", "short low"),
        (r"\bshort(?:ed)?(?: circuit)? to (?:battery|positive|plus|power|supply|voltage|b\+)", "short high"),
        (r"\bshorted\b|\bshorts\b", "short"),
        (r"\bcircuit\s*/\s*open\b", "circuit (open)"),
        (r"\bno (?:signal|activity|pulses?)\b", "nosignal"),
        (r"\bcircuit:? (high |low )?voltage\b", r"circuit \1"),
        (r"\brange(?:\s*/\s*| or | )performance\b|\bout of range\b", "performance"),
        (r"\bbelow\b|\binsufficient\b|\bunder\b|\blower\b", "low"),
        (r"\babove\b|\bexcessive\b|\bhigher\b", "high"),
        (r"\berratic\b", "intermittent"),
        (r"\bgross\b", "large"),
        (r"\bvery small\b", "verysmall"),
    )
]  # fmt: skip


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_MODES = _set(
    "low high performance intermittent short open stuckopen stuckclosed lean rich small verysmall large "
    "nosignal slow overspeed overtemperature correlation unstable"
)
# Words that two titles may share or lack without saying anything about whether they mean the same.
_WEAK = _set(
    "a an and at by control detected error failure fault for from in input is malfunction of off on or "
    "output problem response sensor signal switch system than the threshold to too with circuit expected"
)
# Words of one set exclude each other: if both titles use the set and share no word of it, they differ.
_RIVALS = [
    _set(words)
    for words in (
        "coolant oil fuel air refrigerant",
        "temperature pressure position speed level flow torque",
        "crankshaft camshaft",
        "left right",
        "front rear",
        "positive negative precharge",
        "driver passenger",
        "intake exhaust",
        "turbine output",
        "primary secondary",
        "purge vent",
        "sense control",
        "motor generator",
        "ecm tcm bcm absmodule ipc hpcm becm dmcm gcm gateway",
        "lost invalid incompatibility",
        "ram rom kam checksum",
        "u v w",
        "highspeedcan mediumspeedcan lowspeedcan",
    )
]
_LEAST_SHARED = 0.5

_PAIR = re.compile(r"\b([A-L])\s*/\s*([A-L])\b", re.IGNORECASE)
_LETTER = re.compile(r"(?<![\w°])([A-L])(?![\w+])")
_SMALL_LETTER = re.compile(r"\b(sensor|switch|motor|coil|pump) ([a-l])\b", re.IGNORECASE)
_NUMBER = re.compile(r"(?<![\w.])\d{1,2}(?![\w.])(?!\s*(?:v|volts?)\b)")


@dataclass(frozen=True)
class TitleReading:
    """What a title says.

    `words` are the words outside brackets and `modes` those of them that tell how it failed; `aside` are the
    same inside brackets. `letters`, `numbers` and `bank` single out one of several.
    """

    words: frozenset[str]
    modes: frozenset[str]
    aside: frozenset[str]
    letters: frozenset[str]
    numbers: frozenset[str]
    bank: frozenset[str]

    @property
    def subject(self) -> frozenset[str]:
        """The words that carry the meaning."""
        return self.words - _MODES - _WEAK

    def without_modes(self) -> TitleReading:
        """The same reading with nothing said about how it failed."""
        return replace(self, words=self.words - _MODES, modes=frozenset(), aside=frozenset())

    def clashes_with(self, other: TitleReading) -> bool:
        """True if the two cannot mean the same code."""
        return (
            not self._marks_agree(other)
            or _exclude(self.modes | self.aside, other.modes | other.aside)
            or any(_exclude(self.words & rivals, other.words & rivals) for rivals in _RIVALS)
            or self._shared(other) < _LEAST_SHARED
        )

    def repeats(self, other: TitleReading) -> bool:
        """True if both use the same words, apart from brackets and from marks that only one of them has."""
        return self.subject == other.subject and self.modes == other.modes and self._marks_agree(other)

    def _marks_agree(self, other: TitleReading) -> bool:
        pairs = ((self.letters, other.letters), (self.numbers, other.numbers), (self.bank, other.bank))
        return not any(mine and theirs and mine != theirs for mine, theirs in pairs)

    def _shared(self, other: TitleReading) -> float:
        """Share of the shorter subject that both have; 1 if one of them names no subject at all."""
        fewest = min(len(self.subject), len(other.subject))
        return len(self.subject & other.subject) / fewest if fewest else 1.0


def _exclude(first: frozenset[str], second: frozenset[str]) -> bool:
    return bool(first and second) and not first & second


@lru_cache(maxsize=1024)
def read_title(title: str) -> TitleReading:
    """Read one title, in any usual wording."""
    text = re.sub(r"['\"“”‘’]", "", title)
    # Abbreviations in brackets repeat what stands before them; A/C is no pair of letters.
    text = re.sub(r"\([A-Z]{2,5}\)", " ", text)
    text = re.sub(r"\bA/C\b", "airconditioning", text, flags=re.IGNORECASE)
    text = re.sub(r"\bB(\d)S(\d)\b", r"bank \1 sensor \2", re.sub(r"^A (?=[a-z])", "", text))
    text = _PAIR.sub(lambda found: f"{found[1]} {found[2]}".upper(), text)
    text = _SMALL_LETTER.sub(lambda found: f"{found[1]} {found[2].upper()}", text)
    letters = frozenset(_LETTER.findall(text))
    text = re.sub(r"\s+", " ", _LETTER.sub(" ", text)).lower()
    for pattern, replacement in _PHRASES:
        text = pattern.sub(replacement, text)
    bank = frozenset(re.findall(r"\bbank (\d)", text))
    text = re.sub(r"\bbank \d", "", text)
    words = _words(re.sub(r"\([^)]*\)", " ", text))
    aside = _words(" ".join(re.findall(r"\(([^)]*)\)", text))) & _MODES
    return TitleReading(words, words & _MODES, aside, letters=letters, numbers=_numbers(text), bank=bank)


def _numbers(text: str) -> frozenset[str]:
    return frozenset(str(int(number)) for number in _NUMBER.findall(text))


def _words(text: str) -> frozenset[str]:
    """The words of a lower-case text, numbers left out, in the singular."""
    found = re.findall(r"[a-z][a-z0-9]*", text)
    return frozenset(word[:-1] if re.fullmatch(r"\w{3,}[^s]s", word) else word for word in found)
