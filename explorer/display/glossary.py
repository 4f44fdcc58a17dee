"""Help in place: the words of a page that a volunteer may not know, each with one plain sentence."""

import re
from collections.abc import Iterator, Sequence

from explorer.display.choice import Choice
from explorer.display.legend import legend_entries
from explorer.display.station_page import StationPage
from explorer.model.classes import ClassResult, ClassScheme
from explorer.model.words import say, word_codes

__all__ = ["glossary_of"]

GROUP = "glossary"  # of the sentences: term_…, text_… and, where the term is written otherwise, found_…
ALTERNATIVES = "|"  # between the ways in which a term is written

_Entry = tuple[tuple[str, ...], str, str]  # how it is written, the term, what it means


def glossary_of(
    page: StationPage, result: ClassResult, choice: Choice, scheme: ClassScheme, others: Sequence[str] = ()
) -> tuple[tuple[str, str], ...]:
    """Return the words of a page that want an explanation.

    Parameters
    ----------
    page : StationPage
        The page on the screen.
    result : ClassResult
        The class that it names.
    choice : Choice
        Scale and language.
    scheme : ClassScheme
        The chosen scheme.
    others : sequence of str
        Texts that stand on the screen beside the page.

    Returns
    -------
    tuple of (str, str)
        Term and one sentence, by alphabet. Only terms that are on the screen: of "chlorophyll a,
        uncorrected" the longest that is written there.
    """
    language = choice.language
    entries = [*_terms(language), *_classes(scheme, language), *_sureness(result, language)]
    text = "\n".join([*_texts(page, choice), *others]).casefold()
    written = [(phrase.casefold(), entry) for entry in entries for phrase in entry[0]]
    found = {}
    for phrase, (_, term, meaning) in sorted(written, key=lambda each: -len(each[0])):
        pattern = rf"(?<![\w-]){re.escape(phrase)}(?![\w-])"
        text, times = re.subn(pattern, " ", text)
        if times:
            found[term] = meaning
    return tuple(sorted(found.items(), key=lambda each: each[0].casefold()))


def _texts(page: StationPage, choice: Choice) -> Iterator[str]:
    """Yield what a reader sees of a page; names of stations and waters are not looked at."""
    language = choice.language
    yield from page.sentences
    yield from page.change
    yield page.caption
    yield say("strip.title", language=language)
    yield say("choice.log" if choice.log else "choice.linear", language=language)
    for panel in page.panels:
        yield from (panel.title, panel.unit, panel.value, panel.message)
        yield from (band.name for band in panel.bands)
        yield from (each.label for each in panel.breaks)
    yield from (words for _, words in legend_entries(page, language))


def _terms(language: str) -> Iterator[_Entry]:
    codes = set(word_codes(language))
    for code in sorted(codes):
        group, _, rest = code.partition(".term_")
        if group == GROUP:
            term = say(code, language=language)
            found = f"{GROUP}.found_{rest}"
            written = say(found, language=language) if found in codes else term
            meaning = say(f"{GROUP}.text_{rest}", language=language)
            yield tuple(written.split(ALTERNATIVES)), term, meaning


def _classes(scheme: ClassScheme, language: str) -> Iterator[_Entry]:
    codes = set(word_codes(language))
    for place, name in enumerate(scheme.classes, 1):
        known = f"{GROUP}.class_{name}"
        values = {"place": place, "count": len(scheme.classes), "scheme": scheme.name}
        yield (name,), name, say(known if known in codes else f"{GROUP}.any_class", values, language)


def _sureness(result: ClassResult, language: str) -> Iterator[_Entry]:
    if result.label is not None and result.sureness != "cannot_tell":
        word = say(f"sureness.{result.sureness}", language=language)
        yield (word,), word, say(f"{GROUP}.sure_{result.sureness}", language=language)
