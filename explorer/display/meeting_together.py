"""The fourth step of a meeting: what goes together here, and never what causes it."""

import numpy as np

from explorer.analysis.central_value import NOTHING, central_values
from explorer.display.meeting_basis import CLARITY, MeetingBasis
from explorer.display.meeting_values import IndexRows, MeetingPoint, MeetingStep
from explorer.display.station_words import capitalised
from explorer.display.together import Together, together_values
from explorer.model.words import say

__all__ = ["dimmed_beyond_algae", "together_step"]

SHOWN = (
    "total_phosphorus", "total_nitrogen", "chlorophyll_a", "chlorophyll_a_uncorrected", "secchi_depth",
    "true_colour",
)  # fmt: skip
DIMMED_BY = ("stained", "turbid")  # attributes that take light besides algae
SCALE = (20.0, 80.0)  # of Carlson's index on the picture: almost all waters lie between. [1]


def together_step(basis: MeetingBasis) -> MeetingStep:
    """Return the step on what goes together.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    """
    found = together_values(basis.seasons, basis.period, basis.programme.deviation_step)
    values = _value_lines(basis)
    judged = basis.lake.kind != "stream" and len(found.indices) > 1
    return MeetingStep(
        code="together",
        title=basis.say("title_together"),
        sentence=_sentence(basis, found),
        sureness=basis.say("together_cause"),
        picture=_picture(basis, found) if judged else None,
        figures=(basis.season_visits, *values.values()),
        known=tuple(_known(basis, found) if judged else ()),
        caution=say("caution.swimming", language=basis.language),
    )


def dimmed_beyond_algae(basis: MeetingBasis) -> bool:
    """Return whether the water is less clear than its algae suggest, by Carlson's indices.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    """
    found = together_values(basis.seasons, basis.period, basis.programme.deviation_step)
    return found.minus_secchi <= -basis.programme.deviation_step and not _thin(basis, found)


def _thin(basis: MeetingBasis, found: Together) -> bool:
    """Return whether one of the indices rests on fewer visits, or months, than a season needs."""
    middles, programme = central_values(basis.seasons, basis.period), basis.programme
    behind = [middles.get(code, NOTHING) for code in found.indices]
    return any(
        each.visits < programme.minimum_visits or each.months < programme.minimum_months for each in behind
    )


def _sentence(basis: MeetingBasis, found: Together) -> str:
    if basis.lake.kind == "stream":
        return basis.say("together_stream")
    middles = central_values(basis.seasons, basis.period)
    if CLARITY[0] not in found.indices and np.isinf(middles.get(CLARITY[0], NOTHING).high):
        return basis.say("together_bottom")
    if len(found.indices) < 2:
        return basis.say("together_few")
    if _thin(basis, found):
        return basis.say("together_thin")
    if found.relation == "colour_or_silt" or (
        not found.relation and found.minus_secchi <= -basis.programme.deviation_step
    ):
        dims = next((each for each in DIMMED_BY if each in basis.lake.attributes), "unknown")
        return basis.say(f"together_dim_{dims}")
    if found.relation:
        return basis.say(f"together_{found.relation}")
    return basis.say("together_two" if len(found.indices) < 3 else "together_none")


def _value_lines(basis: MeetingBasis) -> dict[str, str]:
    """Return the season's middle value of everything that is looked at together."""
    middles = central_values(basis.seasons, basis.period)
    lines = {}
    for code in SHOWN:
        middle = middles.get(code, NOTHING)
        if middle.visits and not np.isnan(middle.low):
            lines[code] = basis.say(
                "middle_value",
                quantity=capitalised(basis.name(code)),
                value=basis.value(code, middle.low, middle.high),
                visits=basis.count("count.visit", middle.visits),
            )
    return lines


def _known(basis: MeetingBasis, found: Together) -> list[str]:
    lines = [basis.say("index_what")]
    lines += [
        basis.say("index_line", quantity=capitalised(basis.name(code)), index=f"{index:.0f}")
        for code, index in found.indices.items()
    ]
    if found.of_nitrogen is not None:
        lines.append(basis.say("index_nitrogen", index=f"{found.of_nitrogen:.0f}"))
    if found.ratio:
        lines.append(basis.say(f"ratio_{found.ratio}", mole=f"{found.by_mole:.0f}"))
    return lines


def _picture(basis: MeetingBasis, found: Together) -> IndexRows:
    order = ("total_phosphorus", "chlorophyll_a", "chlorophyll_a_uncorrected", "secchi_depth")
    lines = _value_lines(basis)
    shown = [(code, found.indices[code]) for code in order if code in found.indices]
    if found.of_nitrogen is not None:
        shown.insert(1, ("total_nitrogen", found.of_nitrogen))
    low, high = SCALE
    points = tuple(
        MeetingPoint(
            float(np.clip((index - low) / (high - low), 0, 1)), 0.0,
            f"{lines.get(code, '')} {basis.say('index_here', index=f'{index:.0f}')}".strip(),
        )
        for code, index in shown
    )  # fmt: skip
    names = tuple(
        basis.say("low_clarity") if code in CLARITY else capitalised(basis.name(code)) for code, _ in shown
    )
    said = ", ".join(f"{name} {index:.0f}" for name, (_, index) in zip(names, shown, strict=True))
    ends = (basis.say("end_clear"), basis.say("end_rich"))
    return IndexRows(basis.say("alt_together", said=said), names, ends, points)
