import re
from dataclasses import replace
from pathlib import Path

import pytest

from explorer.analysis.class_schemes import schemes
from explorer.analysis.classes import class_result
from explorer.analysis.season_table import season_table
from explorer.display.glossary import glossary_of
from explorer.display.station_page import build_station_page
from explorer.model.programme import Programme
from explorer.model.words import say, word_codes

FORBIDDEN = (Path(__file__).parents[1] / "forbidden_words.txt").read_text().split()
HARDEST_GRADE = 8.0  # what an eighth year at school reads with ease
SCHEMES = schemes()
CARLSON = SCHEMES["carlson_simpson_1996"]
SUMMER = [f"2024-{month:02d}-15" for month in (5, 6, 7, 8, 9)]
TEXTS = [code for code in word_codes() if re.match(r"glossary\.(text|class|sure)_|glossary\.any_class", code)]


def syllables(word):
    """Count groups of vowels, without a silent e at the end (common practice; a number counts as one)."""
    groups = re.findall(r"[aeiouyµ]+", word)
    silent = len(groups) > 1 and word.endswith("e") and not word.endswith(("le", "ee", "ae"))
    return max(1, len(groups) - silent)


def reading_grade(text):
    """Return the Flesch-Kincaid grade.

    J. P. Kincaid and others, Derivation of new readability formulas for Navy enlisted personnel, Research
    Branch Report 8-75, Naval Technical Training Command, 1975.
    """
    words = re.findall(r"[^\W_]+(?:-[^\W_]+)?", text.casefold())
    sentences = max(1, len(re.findall(r"[.!?](?:\s|$)", text)))
    return 0.39 * len(words) / sentences + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def test_syllables_of_plain_words_are_counted():
    assert [syllables(word) for word in ("water", "one", "algae", "table", "phosphorus", "see", "99")] == [
        2, 1, 2, 2, 3, 1, 1,
    ]  # fmt: skip


def test_grade_of_a_known_text_is_that_of_the_formula():
    # 6 words, 1 sentence, 6 syllables; 0.39 * 6 + 11.8 * 1 - 15.59
    assert reading_grade("The cat sat on the mat.") == pytest.approx(-1.45)


@pytest.mark.parametrize("code", TEXTS)
def test_meaning_is_one_plain_sentence(code):
    text = say(code, {"place": 2, "count": 4, "scheme": "the rule"})
    assert re.fullmatch(r"[A-Z].*[^.]\.", text)
    assert not re.search(r"[.!?]\s", text)
    assert reading_grade(text) <= HARDEST_GRADE
    assert not set(re.findall(r"[a-z-]+", text.casefold())) & set(FORBIDDEN)


def test_every_term_has_a_meaning_and_every_sureness_a_sentence():
    parts = {kind: {code.split("_", 1)[1] for code in word_codes() if code.startswith(f"glossary.{kind}_")}
             for kind in ("term", "text", "sure", "found")}  # fmt: skip
    assert parts["term"] == parts["text"]
    assert parts["found"] <= parts["term"]
    words = {code.removeprefix("sureness.") for code in word_codes() if code.startswith("sureness.")}
    assert parts["sure"] == words - {"cannot_tell"}


@pytest.mark.parametrize("scheme", SCHEMES.values(), ids=SCHEMES.keys())
def test_every_class_of_the_schemes_has_a_meaning_of_its_own(scheme):
    known = {code.removeprefix("glossary.class_") for code in word_codes()}
    assert set(scheme.classes) <= known


@pytest.fixture
def help_of(choice):
    def help_of(history, scheme=CARLSON, choice=choice, others=()):
        programme = Programme()
        seasons = season_table(history.readings, programme)
        result = class_result(history, seasons, choice.period, scheme, programme)
        page = build_station_page(history, seasons, result, choice, scheme, programme)
        return page, dict(glossary_of(page, result, choice, scheme, others))

    return help_of


def test_help_explains_what_is_on_the_page_and_nothing_else(help_of, make_history, make_readings):
    page, terms = help_of(make_history(make_readings(SUMMER, [3.0] * 5), attributes=["stained"]))
    assert {"clarity", "middle value", "visit", "stained", *CARLSON.classes} <= set(terms)
    absent = {"silt", "usual range", "waiting for an answer", "whole-year mean", "from here", "equal steps",
              "below what the laboratory can measure", "disk still in sight on the bottom",
              "clarity in the tube", "chlorophyll a, uncorrected"}  # fmt: skip
    assert not absent & set(terms)
    assert list(terms) == sorted(terms, key=str.casefold)
    assert "mesotrophic" in page.sentences[0].casefold()


def test_class_is_placed_among_the_classes_of_its_scheme(help_of, make_history, make_readings):
    _, terms = help_of(make_history(make_readings(SUMMER, [3.0] * 5)))
    assert terms["mesotrophic"].endswith("class 2 of 4 by Carlson & Simpson.")


def test_class_with_a_local_name_is_placed_without_a_guess_at_its_meaning(
    help_of, make_history, make_readings
):
    local = replace(CARLSON, name="County rule", classes=("class A", "class B", "class C", "class D"))
    _, terms = help_of(make_history(make_readings(SUMMER, [3.0] * 5)), scheme=local)
    assert terms["class B"] == "Class 2 of 4 by County rule; class 1 is the clearest."


@pytest.mark.parametrize(
    ("change", "term"),
    [
        ({"signs": "<", "quantity": "total_phosphorus"}, "below what the laboratory can measure"),
        ({"signs": ">"}, "disk still in sight on the bottom"),
        ({"status": "held"}, "waiting for an answer"),
        ({"quantity": "transparency_tube"}, "clarity in the tube"),
        ({"quantity": "chlorophyll_a_uncorrected"}, "chlorophyll a, uncorrected"),
    ],
)
def test_special_readings_bring_their_word(help_of, make_history, make_readings, change, term):
    _, terms = help_of(make_history(make_readings(SUMMER, [3.0] * 5, **change)))
    assert term in terms


def test_longer_name_does_not_explain_the_shorter_one(help_of, make_history, make_readings):
    tube = make_readings(SUMMER, [60.0] * 5, quantity="transparency_tube")
    _, terms = help_of(make_history(tube, kind="stream"))
    assert "clarity in the tube" in terms
    assert "clarity" not in terms


def test_stream_has_no_class_names_to_explain(help_of, make_history, make_readings):
    _, terms = help_of(make_history(make_readings(SUMMER, [3.0] * 5), kind="stream"))
    assert not set(CARLSON.classes) & set(terms)


def test_linear_scale_and_picked_period_bring_their_words(help_of, make_history, make_readings, choice):
    history = make_history(make_readings(SUMMER, [3.0] * 5))
    _, terms = help_of(history, choice=replace(choice, log=False, picked=True))
    assert {"equal steps", "period chosen by you"} <= set(terms)
    assert "equal ratios" not in terms


def test_words_beside_the_page_are_explained_too(help_of, make_history, make_readings):
    history = make_history(make_readings(SUMMER, [3.0] * 5))
    _, terms = help_of(history, others=["These limits are from memory."])
    assert "from memory" in terms
    assert "from memory" not in help_of(history)[1]


def test_name_of_a_water_is_no_word_to_explain(help_of, make_history, make_readings):
    _, terms = help_of(make_history(make_readings(SUMMER, [3.0] * 5), name="Silt Mere"))
    assert "silt" not in terms
