"""Safety first, before the boat and ashore: when not to go, when to stop, and who decides.

Guidance in outline, deferring to the programme's safety officer and local rules: flotation (USGS over-water
safety training), two people and no white caps (state volunteer training), lightning (US CDC; half an hour
after the last thunder: a county's 30/30 rule), cold (USGS Open-File Report 95-777; confusion and drowsiness
from memory), ice (the same), blooms and scum (WHO 1999/2003 as given by US EPA; touching and pets from
memory), vacuum over glass (EPA methods 445.0 and 446.0, from memory), acetone and acid (laboratory guidance;
acid from memory), indicating desiccant (EU Directive 98/98/EC). The rest is common practice.

Figures of the view: `scene`, `scenes` (which question of how many).
"""

from random import Random

from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.choices import ChoiceState, Scene, act, begin, is_risky, options, score, view
from explorer.practice.turn import Exercise

__all__ = ["EXERCISE", "LIGHTNING_WAIT_MINUTES", "start"]

LIGHTNING_WAIT_MINUTES = 30  # [min] after the last thunder


def start(seed: int, rules: PracticeRules = USUAL_RULES) -> ChoiceState:
    """Return the first scene: the landing, before anybody steps into the boat.

    Parameters
    ----------
    seed : int
        Any whole number; it draws wind, thunder and the order of the answers.
    rules : PracticeRules
        The programme's rules.

    Examples
    --------
    >>> options(start(7))[0].code.startswith("choose:")
    True
    """
    draw = Random(f"safety {seed}")
    scenes = (
        Scene("jacket", ("worn",), risky=("in_boat", "swimmer")),
        Scene("people", ("two_adults",), risky=("alone", "with_child")),
        _wind(draw.random() < 0.5),
        _thunder(draw.choice((draw.randint(5, 25), draw.randint(35, 80)))),
        Scene("on_water", ("ashore",), risky=("finish_first", "under_tree")),
        Scene("cold", ("dry_clothes",), risky=("lean_out", "carry_on")),
        Scene("scum", ("keep_out",), risky=("wade", "push_aside")),
        Scene("swimmer_asks", ("health_office",), risky=("number_says", "looks_clear")),
        Scene("unwell", ("stop",), risky=("finish", "drive_alone")),
        Scene("ice", ("stay_off",), risky=("looks_thick", "creep")),
        Scene(
            "vacuum", ("adult_low",), risky=("child", "hard"), values={"most": f"{rules.most_vacuum_kpa:g}"}
        ),
        Scene("glass", ("put_away",), risky=("tape", "carry_on")),
        Scene("reagents", ("trained_only",), risky=("child", "no_goggles")),
        Scene("desiccant", ("leave_closed",), risky=("open", "crush")),
    )
    return begin("practice_safety", scenes, seed, rules)


def _wind(white_caps: bool) -> Scene:
    if white_caps:
        return Scene("white_caps", ("stay",), risky=("near_shore", "quickly"))
    return Scene("calm", ("go", "stay"), risky=("tell_nobody",))


def _thunder(minutes: int) -> Scene:
    values = {"minutes": str(minutes), "wait": str(LIGHTNING_WAIT_MINUTES)}
    if minutes < LIGHTNING_WAIT_MINUTES:
        return Scene("thunder", ("wait",), risky=("moving_away", "hurry"), values=values)
    return Scene("thunder_past", ("go", "wait"), risky=("no_forecast",), values=values)


EXERCISE = Exercise("safety", start, options, act, view, score, is_risky, minutes=8)
