"""Clean hands: bottle, jug, filter and clip handled so that nothing but the lake reaches the laboratory.

All answers are common practice of sampling for nutrients and chlorophyll. The finding is arithmetic: about a
gram of phosphorus in a kilogram of topsoil (from memory) makes 3 µg in a crumb of 3 mg; a bottle of 250 mL at
5 µg/L holds 1.25 µg.

Figures of the view: `scene`, `scenes` (which question of how many).
"""

from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.choices import ChoiceState, Scene, act, begin, is_risky, options, score, view
from explorer.practice.turn import Exercise

__all__ = ["EXERCISE", "SCENES", "start"]

SCENES = (
    Scene("hands", ("wash",), ("trousers", "sunscreen")),
    Scene("bottle", ("supplied",), ("drink", "soap")),
    Scene("fill", ("below_surface",), ("skim", "motor")),
    Scene("jug", ("lake_water",), ("tap_water", "as_it_is")),
    Scene("forceps", ("forceps",), ("fingers", "nail")),
    Scene("filter_count", ("one",), ("two", "torn")),
    Scene("dropped", ("other_pair",), ("shirt", "go_on")),
    Scene("fold", ("stain_inside",), ("stain_outside", "crumple")),
    Scene("clip", ("coated",), ("bare", "tape")),
    Scene("dry", ("desiccant",), ("wet", "sun")),
    Scene("label", ("pencil_now",), ("on_filter", "later")),
)


def start(seed: int, rules: PracticeRules = USUAL_RULES) -> ChoiceState:
    """Return the first scene: hands, before the bottle is touched.

    Parameters
    ----------
    seed : int
        Any whole number; it draws the order of the answers.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> view(start(7)).figures["scenes"]
    11.0
    """
    return begin("practice_clean", SCENES, seed, rules)


EXERCISE = Exercise(
    "clean_hands", start, options, act, view, score, is_risky, minutes=5, cautions=("ashore",)
)
