"""What a learner sees when reading the disk: the look down beside the boat, the rules and the sheet.

Figures of the view: `in_water`, `disk_contrast` and `disk_clearness` (1 at the surface, 0 where the disk is
lost), `on_bottom`, `in_plants`, `cloudiness` (mud, 0 to 1), `slant_deg`, `side` (0 none, 1 shaded, 2 sunny),
`sun`, `viewer`, `sunglasses`, `mark_at_water` (0 none, 1 short, 2 long, 3 double), `mark_heights` (short
marks over the water), `mark_kinds`, `marks_past_long`, `readings`; at the end also
those of `explorer.practice.agreement.agreement_figures`.
"""

from explorer.model.practice import Card, View
from explorer.practice.agreement import agreement_figures
from explorer.practice.disk_line import marks_in_air
from explorer.practice.disk_state import DiskState

__all__ = ["view"]

FAINT_CLEARNESS = 0.15  # [1] below it the disk is called faint


def view(state: DiskState) -> View:
    """Return the look down beside the boat, in numbers for a picture and in words.

    Parameters
    ----------
    state : DiskState
        Where the exercise stands.

    Examples
    --------
    >>> from explorer.model.practice_rules import PracticeRules
    >>> from explorer.practice.disk_water import draw_water
    >>> view(DiskState(seed=7, rules=PracticeRules(), water=draw_water(7))).scene
    'boat'
    """
    sight, hanging = state.sight, state.halves > 0
    heights, kinds = marks_in_air(state.line, state.halves)
    figures: dict[str, float | tuple[float, ...]] = {
        "in_water": float(hanging),
        "disk_contrast": sight.contrast if hanging else 0.0,
        "disk_clearness": sight.clearness if hanging else 0.0,
        "on_bottom": float(sight.on_bottom),
        "in_plants": float(sight.in_plants),
        "cloudiness": state.mud,
        "slant_deg": state.slant_deg if hanging else 0.0,
        "side": float(("", "shaded", "sunny").index(state.side)),
        "sun": float(state.water.is_sunny),
        "viewer": float(state.viewer),
        "sunglasses": float(state.sunglasses),
        "mark_at_water": float(state.line.kind(state.halves)),
        "mark_heights": heights,
        "mark_kinds": kinds,
        "marks_past_long": state.line.past_long(state.halves),
        "readings": float(len(state.readings)),
    }
    if state.finished:
        figures |= agreement_figures([reading.depth_m for reading in state.readings], state.line.mark_m)
    cards = (_rule_card(state), _sight_card(state), _sheet_card(state))
    caution = state.say("practice.ashore_only")
    return View("boat", _task(state), state.told_in_words(), figures, cards, caution, state.finished)


def _task(state: DiskState) -> str:
    step = (
        "finished" if state.finished
        else "choose_side" if not state.side
        else "write" if state.can_write
        else "raise" if state.gone is not None
        else "lower"
    )  # fmt: skip
    number, of = str(len(state.readings) + 1), str(state.rules.readings)
    return state.say(f"practice_disk.task_{step}", number=number, of=of)


def _rule_card(state: DiskState) -> Card:
    rules = state.rules
    lines = (
        ("rule_side", f"side_{rules.boat_side}"),
        ("rule_viewer", f"viewer_{'with' if rules.viewer else 'without'}"),
        ("rule_glasses", "no_sunglasses"),
        ("rule_depth", f"settle_{rules.settle}"),
        ("rule_line", f"line_{rules.line}"),
    )
    said = tuple(
        (state.say(f"practice_disk.{name}"), state.say(f"practice_disk.{text}")) for name, text in lines
    )
    return Card(state.say("practice_disk.card_rules"), said)


def _sight_card(state: DiskState) -> Card:
    sight, hanging = state.sight, state.halves > 0
    disk = (
        "disk_aboard" if not hanging
        else "disk_in_plants" if sight.in_plants
        else "disk_gone" if not sight.is_seen
        else "disk_on_bottom" if sight.on_bottom
        else "disk_faint" if sight.clearness < FAINT_CLEARNESS
        else "disk_plain"
    )  # fmt: skip
    slant = "slant" if hanging and state.slant_deg > 0 else "straight"
    lines = [
        (state.say("practice_disk.see_disk"), state.say(f"practice_disk.{disk}")),
        (
            state.say("practice_disk.see_water"),
            state.say(f"practice_disk.{'water_cloudy' if state.mud > 0 else 'water_settled'}"),
        ),
        (
            state.say("practice_disk.see_sky"),
            state.say(f"practice_disk.{'sky_sun' if state.water.is_sunny else 'sky_cloud'}"),
        ),
        (
            state.say("practice_disk.see_looking"),
            state.say(f"practice_disk.{'wears_sunglasses' if state.sunglasses else 'no_sunglasses'}"),
        ),
    ]
    if hanging:
        past = f"{state.line.past_long(state.halves):g}"
        angle = f"{state.slant_deg:.0f}"
        lines.insert(
            1, (state.say("practice_disk.see_line"), state.say(f"practice_disk.line_{slant}", angle=angle))
        )
        lines.insert(
            2, (state.say("practice_disk.see_marks"), state.say("practice_disk.marks_past", past=past))
        )
    return Card(state.say("practice_disk.card_sight"), tuple(lines))


def _sheet_card(state: DiskState) -> Card:
    lines = []
    for number, reading in enumerate(state.readings, 1):
        code = "written_bottom" if reading.on_bottom else "written_depth"
        name = state.say("practice_disk.reading_number", number=str(number))
        lines.append((name, state.say(f"practice_disk.{code}", depth=reading.text)))
    return Card(state.say("practice_disk.card_sheet"), tuple(lines))
