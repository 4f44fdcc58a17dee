"""The first step of a meeting: where the lake stands this season by the programme's scheme."""

from explorer.display.judged_readings import judged_readings, limits_cause, months_of_window
from explorer.display.judged_seasons import judged_period
from explorer.display.limit_words import class_span_lines, class_text, value_text
from explorer.display.meeting_basis import MeetingBasis
from explorer.display.meeting_values import ClassLadder, MeetingPoint, MeetingStep
from explorer.display.numbers import months_text
from explorer.display.station_words import LESS_THAN_LIKELY, MINDED, capitalised
from explorer.model.words import has_words, say

__all__ = ["state_step"]

FAMILIES = {
    "chlorophyll_a": "algae", "chlorophyll_a_uncorrected": "algae", "total_phosphorus": "food",
    "total_nitrogen": "food", "secchi_depth": "clarity",
}  # fmt: skip


def state_step(basis: MeetingBasis) -> MeetingStep:
    """Return the step on the lake's class; a class is never named without its scheme.

    Parameters
    ----------
    basis : MeetingBasis
        The lake.
    """
    values = _value_lines(basis)
    return MeetingStep(
        code="state",
        title=basis.say("title_state"),
        sentence=_sentence(basis),
        sureness=_sureness(basis),
        picture=_picture(basis, values),
        figures=(_visits(basis), *values),
        known=(*_month_lines(basis), *_mind_lines(basis)),
        caution=say("caution.swimming", language=basis.language),
    )


def _sentence(basis: MeetingBasis) -> str:
    result = basis.result
    if result.label is None:
        visits = basis.count("count.visit", result.visits)
        return basis.say(f"state_{result.missing}", visits=visits)
    if result.also:
        also = class_text(result.also, basis.language)
        return basis.say("state_or", class_name=class_text(result.label, basis.language), also=also)
    gloss = _gloss(basis, result.label, result.quantity)
    return basis.say("state", class_name=class_text(result.label, basis.language), gloss=gloss)


def _visits(basis: MeetingBasis) -> str:
    """Return the visits behind the class; without one, all visits of the season."""
    code = basis.result.quantity
    return basis.season_visits_of(code, basis.scheme.limits[code].window) if code else basis.season_visits


def _gloss(basis: MeetingBasis, label: str, quantity: str) -> str:
    """Return what a class's name means of the quantity that gave it, in a few words."""
    classes = basis.scheme.classes
    code = f"gloss_{FAMILIES.get(quantity, '')}_{label}"
    if has_words(f"meeting.{code}"):
        return basis.say(code)
    return basis.say("gloss", place=classes.index(label) + 1, count=len(classes))


def _sureness(basis: MeetingBasis) -> str:
    result = basis.result
    if result.label is None:
        if result.missing == "too_few_visits":
            programme = basis.programme
            return basis.say(
                "needed",
                visits=basis.count("count.visit", programme.minimum_visits),
                months=basis.count("heading.different_month", programme.minimum_months),
            )
        if result.missing == "only_limits":
            return basis.say(f"why_limits_{_cause(basis)}")
        return basis.say(f"why_{result.missing}")
    name = basis.name(result.quantity)
    if result.also:
        return basis.say(f"why_limits_{_cause(basis)}")
    if result.sureness == "cannot_tell":
        return basis.say("sure_open", quantity=name)
    word = capitalised(say(f"sureness.{result.sureness}", language=basis.language))
    others = {each: share for each, share in result.shares.items() if each != result.label}
    if result.sureness in LESS_THAN_LIKELY and others:
        other = max(others, key=lambda each: others[each])
        code = "sure_next" if others[other] < result.shares[result.label] else "sure_other"
        return basis.say(code, sureness=word, quantity=name, other=class_text(other, basis.language))
    return basis.say("sure", sureness=word, quantity=name)


def _cause(basis: MeetingBasis) -> str:
    codes = basis.scheme.priority if basis.result.label is None else (basis.result.quantity,)
    judged = judged_readings(basis.counted, codes, basis.choice, basis.scheme, basis.programme)
    return limits_cause(judged, basis.programme)


def _value_lines(basis: MeetingBasis) -> list[str]:
    """Return the value behind the class and the class's limits."""
    result, scheme = basis.result, basis.scheme
    if result.label is None:
        return []
    code = result.quantity
    judged = judged_period(basis.seasons, code, basis.period, scheme, basis.programme, basis.lake.kind)
    statistic = basis.say(f"statistic_{scheme.limits[code].statistic}")
    value = value_text(
        judged.value, judged.low, judged.high, scheme.limits[code], basis.quantity(code), basis.choice
    )
    line = basis.say("value", statistic=statistic, quantity=capitalised(basis.name(code)), value=value)
    lines = [line, *class_span_lines(result, scheme, basis.quantity(code), basis.choice)]
    return [*lines, *_other_lines(basis)]


def _other_lines(basis: MeetingBasis) -> list[str]:
    """Return the classes that the season would have by its other quantities."""
    said = []
    for code in basis.scheme.priority:
        judged = judged_period(
            basis.seasons, code, basis.period, basis.scheme, basis.programme, basis.lake.kind
        )
        known = judged.seasons and judged.low == judged.high  # an open value may belong to another class
        if code != basis.result.quantity and known and judged.seasons[-1].class_name:
            label = class_text(judged.seasons[-1].class_name, basis.language)
            said.append(basis.say("other_class", quantity=basis.name(code), class_name=label))
    return [" ".join(said)] if said else []


def _month_lines(basis: MeetingBasis) -> list[str]:
    """Return in which months nothing was measured."""
    missing = basis.result.missing_months
    months = months_of_window(
        basis.result.quantity or basis.scheme.priority[0], basis.scheme, basis.programme
    )
    if basis.lake.kind == "stream" or len(missing) == len(months):
        return []
    of = basis.name(basis.result.quantity or basis.scheme.priority[0])
    if not missing:
        first, last = (months_text([month], basis.language) for month in (months[0], months[-1]))
        return [basis.say("months_complete", first=first, last=last, quantity=of)]
    code = "months_missing" if basis.result.quantity else "months_missing_all"
    return [basis.say(code, months=months_text(missing, basis.language), quantity=of)]


def _mind_lines(basis: MeetingBasis) -> list[str]:
    """Return what to mind of the water, what its name means, and by which station it is judged."""
    lines = [
        basis.say(f"mind_{attribute.replace('-', '_')}")
        for attribute in MINDED
        if attribute in basis.lake.attributes
    ]
    if basis.result.label is not None:
        lines.append(basis.say("scheme_line", quantity=basis.name(basis.result.quantity)))
    if basis.lake.kind in basis.scheme.kinds:
        each = zip(basis.scheme.letters, basis.scheme.classes, strict=True)
        classes = ", ".join(f"{letter} {class_text(label, basis.language)}" for letter, label in each)
        lines.append(basis.say("letters_line", classes=classes))
    return [*lines, basis.say("station_line", station=basis.history.station.name)]


def _picture(basis: MeetingBasis, values: list[str]) -> ClassLadder | None:
    """Return the classes side by side; None for a water that the scheme does not class."""
    result, classes = basis.result, basis.scheme.classes
    names = tuple(class_text(each, basis.language) for each in classes)
    if basis.lake.kind not in basis.scheme.kinds:
        return None
    here = tuple(classes.index(each) for each in (result.label, result.also) if each)
    points = tuple(MeetingPoint((at + 0.5) / len(names), 0.5, " ".join(values)) for at in sorted(here))
    named = basis.say("or").join(names[at] for at in sorted(here))
    alt = basis.say("alt_state" if here else "alt_state_none", classes=", ".join(names), here=named)
    family = FAMILIES.get(result.quantity or basis.scheme.priority[0])
    ends = (basis.say(f"end_less_{family}"), basis.say(f"end_more_{family}")) if family else ()
    return ClassLadder(alt, names, basis.scheme.letters, tuple(sorted(here)), points, ends)
