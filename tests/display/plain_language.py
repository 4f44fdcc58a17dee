"""How hard a text is to read, and what no public text may say; for the tests of what a hall sees."""

import re
from pathlib import Path

FORBIDDEN = (Path(__file__).parents[1] / "forbidden_words.txt").read_text().split()
FORBIDDEN_CLAIMS = (
    "anomal", "bootstrap", "cancer", "caused by", "cleanest", "disease", "drink", "fault", "harmful",
    "house price", "illegal", "illness", "in compliance", "infection", "invest", "law", "liab", "market",
    "microcystin", "outlier", "p-value", "poison", "property value", "rank", "rash", "ruin", "swimmable",
    "toxin", "worst",
)  # fmt: skip


def reading_grade(text: str) -> float:
    """Return the Flesch-Kincaid grade of a text.

    J. P. Kincaid and others, "Derivation of new readability formulas for Navy enlisted personnel", 1975 (the
    formula from memory): 0.39 words a sentence + 11.8 syllables a word - 15.59. Syllables are counted as runs
    of vowels, less a silent e.
    """
    sentences = [each for each in re.split(r"[.!?]+(?:\s|$)", text) if re.search("[a-z]", each)]
    words = re.findall(r"[A-Za-z']+", text)
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def syllables(word: str) -> int:
    bare = re.sub(r"(?:[^laeiouy]es|[^tdaeiouy]ed|[^laeiouy]e)$", "", word.casefold())
    return max(1, len(re.findall(r"[aeiouy]+", bare)))


_WORDS = "|".join(map(re.escape, FORBIDDEN))
_SAID = re.compile("|".join([rf"(?<![\w-])(?:{_WORDS})(?![\w-])", *map(re.escape, FORBIDDEN_CLAIMS)]))


def forbidden_in(text: str) -> list[str]:
    """Return what a text says that it may not say, but for the caution's own words."""
    return _SAID.findall(text.casefold().replace("safe to swim", ""))
