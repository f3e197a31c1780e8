"""How hard words are to read: the grade of Kincaid, Fishburne, Rogers and Chissom (1975), with syllables counted by rule."""

from __future__ import annotations

import re

PER_WORD_OF_A_SENTENCE, PER_SYLLABLE_OF_A_WORD, OFF = 0.39, 11.8, 15.59
SENTENCE = re.compile(r"[.!?:;…]+(?:\s+|$)")
WORD = re.compile(r"[A-Za-z][A-Za-z'’-]*")
MUTE = re.compile(r"(?<=[aeiouy])(?P<between>[^aeiouy]|[^aeiouyl]+)e(?:s|d)?$|(?<![td])ed$")


def syllables(word: str) -> int:
    """Groups of vowels, without an e that is not heard: `parcel` 2, `sale` 1, `promised` 2, `little` 2, `needed` 2."""
    heard = re.sub(r"[^a-z]", "", word.lower())
    if not re.search(r"(?:[cs]h|[csxz])es$|[td]ed$", heard):
        heard = MUTE.sub(lambda found: found["between"] or "", heard)
    return max(1, len(re.findall(r"[aeiouy]+", heard)))


def grade(text: str) -> float:
    """The school grade in which one reads this with ease; 0 where there are no words."""
    words = WORD.findall(text)
    if not words:
        return 0.0
    sentences = [part for part in SENTENCE.split(text) if WORD.search(part)]
    spoken = sum(map(syllables, words))
    return PER_WORD_OF_A_SENTENCE * len(words) / len(sentences) + PER_SYLLABLE_OF_A_WORD * spoken / len(words) - OFF
