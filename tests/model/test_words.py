import re
import string

import pytest

from explorer.model.errors import UnknownNameError
from explorer.model.words import join_words, say, word_codes

# Words that a public screen never says (house style: plain words, no verdicts, no statistics jargon).
FORBIDDEN = ("censored", "anomaly", "quadrant", "bootstrap", "poor", "bad", "p-value", "safe water")


@pytest.mark.parametrize("code", word_codes())
def test_every_sentence_fills_from_its_own_names(code):
    names = _names(code)
    assert "{" not in say(code, {name: f"<{name}>" for name in names})


@pytest.mark.parametrize("code", word_codes())
def test_no_sentence_holds_a_forbidden_word(code):
    sentence = say(code, dict.fromkeys(_names(code), "")).casefold()
    assert not [word for word in FORBIDDEN if re.search(rf"\b{re.escape(word)}\b", sentence)]


def _names(code):
    from explorer.model import words

    return {name for _, name, _, _ in string.Formatter().parse(words._words("en")[code]) if name}


def test_say_without_a_value_says_which_is_missing():
    with pytest.raises(UnknownNameError, match=r"needs a value for 'date'"):
        say("heading.last_visit")


def test_say_in_an_unknown_language_names_the_languages():
    with pytest.raises(UnknownNameError, match=r'No language "xx"'):
        say("water.lake", language="xx")


@pytest.mark.parametrize(
    ("parts", "text"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (list("abc"), "a, b and c")]
)
def test_join_words_of_any_number(parts, text):
    assert join_words(parts) == text
