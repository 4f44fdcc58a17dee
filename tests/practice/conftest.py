"""Scripted learners: they see an exercise's view and its options, and nothing else."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest

from explorer.model.practice import Action, Score, View
from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.practice.exercises import EXERCISES

MOST_ACTIONS = 2000
RIGHT_ANSWERS = {
    "worn", "two_adults", "stay", "wait", "ashore", "dry_clothes", "keep_out", "health_office", "stop",
    "stay_off", "adult_low", "put_away", "trained_only", "leave_closed",
    "wash", "supplied", "below_surface", "lake_water", "forceps", "one", "other_pair", "stain_inside",
    "coated", "desiccant", "pencil_now",
}  # fmt: skip


class Hand:
    """An exercise in a learner's hand: the state stays inside."""

    def __init__(self, code: str, seed: int, rules: PracticeRules = USUAL_RULES) -> None:
        self.exercise = EXERCISES[code]
        self.rules = rules
        self.actions: list[Action] = []
        self.told: list[str] = []
        self._state: Any = self.exercise.start(seed, rules)
        self._seen: View | None = None
        self._labels: dict[str, str] | None = None

    @property
    def view(self) -> View:
        if self._seen is None:
            self._seen = self.exercise.view(self._state)
        return self._seen

    def _offered(self) -> dict[str, str]:
        if self._labels is None:
            self._labels = {option.code: option.label for option in self.exercise.options(self._state)}
        return self._labels

    def figure(self, name: str) -> float:
        value = self.view.figures[name]
        assert isinstance(value, float)
        return value

    def can(self, code: str) -> bool:
        return code in self._offered()

    def codes(self) -> list[str]:
        return list(self._offered())

    def do(self, code: str, written: str = "") -> None:
        assert len(self.actions) < MOST_ACTIONS, "the learner has lost the way"
        assert self.can(code), f"{code} is not among {self.codes()}"
        self.actions.append(Action(code, written))
        self._state = self.exercise.act(self._state, self.actions[-1])
        self._seen = self._labels = None
        self.told += self.view.told

    def score(self) -> Score:
        return self.exercise.score(self._state)

    @property
    def hidden_state(self) -> Any:
        """For the test alone."""
        return self._state


@dataclass(frozen=True)
class DiskHabits:
    """How a learner reads the disk; as given, by the rules."""

    side: str = ""
    viewer: bool | None = None
    keeps_sunglasses: bool = False
    waits: bool = True
    straightens: bool = True
    clears_plants: bool = True
    fine: bool = True
    back_step: str = "half"
    lowers_on: int = 0  # half marks past the place
    notes_gone_early: bool = False
    notes_back_late: bool = False
    marks_bottom: bool = True
    slack: bool = False
    miscounts: Callable[[int], int] = field(default=lambda reading: 0)  # long marks, by reading
    form: str = ""
    writes: Callable[[float, PracticeRules], str] | None = None  # half marks -> text
    settles: str = ""


def depth_text(halves: float, rules: PracticeRules, form: str) -> str:
    """Write a length of line rightly, in any form."""
    metres = halves / 2 * {"decimetres": 0.1, "tenths": 0.03048, "inches": 0.0254}[rules.line]
    if form == "metres":
        return f"{metres:.3f}"
    if form == "feet":
        return f"{metres / 0.3048:.3f}"
    inches = round(metres / 0.0254 * 4) / 4
    return f"{inches // 12:.0f} ft {inches % 12:g} in"


class DiskLearner:
    """Reads the disk through a hand, counting the line as it goes out."""

    def __init__(self, hand: Hand, habits: DiskHabits) -> None:
        self.hand, self.habits, self.halves = hand, habits, 0
        self.rules = hand.rules
        self.of = {"half": 1, "mark": 2, "long": 2 * (12 if self.rules.line == "inches" else 10)}

    def move(self, way: str, step: str) -> None:
        by = -min(self.of[step], self.halves) if way == "raise" else self.of[step]
        self.hand.do(f"{way}:{step}")
        self.halves += by
        if self.habits.straightens and self.hand.figure("slant_deg") > 0:
            self.hand.do("straighten")

    def sees(self) -> bool:
        return self.hand.figure("disk_contrast") > 0

    def prepare(self) -> None:
        hand, habits = self.hand, self.habits
        side = habits.side or self.rules.boat_side
        if hand.can(f"side:{side}"):
            hand.do(f"side:{side}")
        viewer = self.rules.viewer if habits.viewer is None else habits.viewer
        if bool(hand.figure("viewer")) != viewer:
            hand.do(f"viewer:{'on' if viewer else 'off'}")
        if hand.can("glasses_off") and not habits.keeps_sunglasses:
            hand.do("glasses_off")
        while habits.waits and hand.figure("cloudiness") > 0:
            hand.do("wait")

    def read_once(self, reading: int) -> None:
        hand, habits = self.hand, self.habits
        self.halves = 0
        while self.sees() or self.halves == 0:
            self.move("lower", "long")
            if self.sees() and hand.figure("on_bottom"):
                if self.read_on_bottom():
                    return
                break
            if hand.figure("in_plants") and habits.clears_plants:
                hand.do("move_clear")
                self.halves = 0
                continue
            if habits.notes_gone_early:
                break
        if habits.fine and not habits.notes_gone_early and not self.sees() and not hand.figure("in_plants"):
            while not self.sees():
                self.move("raise", "half")
            self.move("lower", "half")
        for _ in range(habits.lowers_on):
            self.move("lower", "half")
        gone = self.halves
        hand.do("note_gone")
        step = habits.back_step if habits.fine else "long"
        while not self.sees():
            self.move("raise", step)
        if habits.notes_back_late:
            while self.sees():
                self.move("lower", "half")
        back = self.halves
        hand.do("note_back")
        settle = habits.settles or self.rules.settle
        self.write(back if settle == "back" else (gone + back) / 2, reading)

    def read_on_bottom(self) -> bool:
        """Pull the line tight and note the bottom; return False to go on as if it were gone."""
        if not self.habits.marks_bottom:
            return False
        if not self.habits.slack:
            while self.hand.figure("on_bottom"):
                self.move("raise", "half")
            self.move("lower", "half")
        self.hand.do("note_bottom")
        self.write(self.halves, len(self.hand.view.cards[-1].lines))
        return True

    def write(self, halves: float, reading: int) -> None:
        halves += self.of["long"] * self.habits.miscounts(reading)
        form = (
            self.habits.form
            or {"decimetres": "metres", "tenths": "feet", "inches": "feet_inches"}[self.rules.line]
        )
        written = self.habits.writes or (lambda h, rules: depth_text(h, rules, form))
        self.hand.do(f"write:{form}", written(max(halves, 1.0), self.rules))


def read_disk(hand: Hand, habits: DiskHabits = DiskHabits(), readings: int | None = None) -> None:
    learner = DiskLearner(hand, habits)
    learner.prepare()
    for reading in range(readings or hand.rules.readings):
        learner.read_once(reading)


@dataclass(frozen=True)
class FilterHabits:
    """How a learner filters; as given, by the rules."""

    swirls: bool = True
    eye: str = "level"
    vessel: str = "cylinder"
    aims_at: str = "level_ml"  # or the rim
    stops_short_ml: float = 0.0
    pumps_hard: bool = False
    portion_ml: float = 0.0
    stops_early: bool = False
    leaves_water: bool = False
    writes: Callable[[list[float]], str] = field(default=lambda portions: f"{sum(portions):.0f}")


def pour_to(hand: Hand, aim_ml: float, habits: FilterHabits) -> None:
    steps = (("splash", 50.0), ("little", 10.0), ("drops", 1.0))
    for manner, most in steps:
        while hand.figure(habits.aims_at) <= aim_ml - most:
            hand.do(f"pour:{manner}")


def filter_water(hand: Hand, habits: FilterHabits = FilterHabits()) -> None:
    hand.do(f"take:{habits.vessel}")
    if habits.eye == "level":
        hand.do("eye:level")
    portion = habits.portion_ml or {1.0: 250.0, 2.0: 100.0, 3.0: 50.0}[hand.figure("jug_colour")]
    portions: list[float] = []
    while not portions or hand.figure("stain_step") < 2:
        if habits.swirls:
            hand.do("swirl")
        pour_to(hand, portion - habits.stops_short_ml, habits)
        hand.do("into_funnel")
        portions.append(portion)
        if habits.pumps_hard:
            hand.do("pump:hard")
        if habits.leaves_water:
            break
        while hand.figure("funnel_ml") > 0 and not hand.figure("blocked"):
            hand.do("pump:gently")
        if habits.stops_early or hand.figure("blocked"):
            break
    hand.do("stop")
    hand.do("write_total", habits.writes(portions))


def check_character(digits: str) -> str:
    """ISO/IEC 7064, MOD 11,10, as the standard's own loop says it."""
    product = 10
    for digit in digits:
        total = (int(digit) + product) % 10 or 10
        product = total * 2 % 11
    return str((11 - product) % 10)


def fits(code: str) -> bool:
    return len(code) == 8 and check_character(code[:5]) == code[5]


def lines_that_do_not_correspond(view: View) -> set[str]:
    """What a careful reader of the three papers would mark, from their words alone."""
    bottle, filtered, sheet = (dict(card.lines) for card in view.cards)
    empty = "(empty)"
    found = set()
    for paper, name, digit in ((bottle, "bottle", "1"), (filtered, "filter", "2")):
        code, line = paper["sample code"], sheet[name]
        if not fits(code) or not fits(line) or code != line or code[-1] != digit:
            found.add(f"{name}.code")
    if not found and bottle["sample code"][:6] != filtered["sample code"][:6]:
        found.add("filter.code")
    for line in ("station", "date"):
        if len({bottle[line], filtered[line], sheet[line]}) > 1:
            found.add(f"bottle.{line}")
    if empty in (bottle["time"], sheet["time"]):
        found |= {
            f"{name}.time" for name, paper in (("bottle", bottle), ("sheet", sheet)) if paper["time"] == empty
        }
    elif bottle["time"] != sheet["time"]:
        found.add("sheet.time")
    volumes = filtered["total volume filtered"], sheet["total volume filtered"]
    if empty in volumes:
        found |= {
            f"{name}.volume" for name, each in zip(("filter", "sheet"), volumes, strict=True) if each == empty
        }
    elif volumes[0] != volumes[1]:
        found.add("filter.volume")
    if not sheet["disk depth"].endswith(" m"):
        found.add("sheet.disk")
    if sheet["observer"] == empty:
        found.add("sheet.observer")
    return found


def check_papers(hand: Hand, leaves: int = 0, also_marks: tuple[str, ...] = ()) -> None:
    places = sorted(lines_that_do_not_correspond(hand.view))
    for place in (*places[leaves:], *also_marks):
        hand.do(f"mark:{place}")
    hand.do("hand_in")


RIGHT_DAY = (
    "pack:three", "boat:cooler", "bench:cooler", "drive:cooler", "home:freezer", "delivery:first",
    "transport:frozen",
)  # fmt: skip


def plan_day(hand: Hand, changes: Mapping[str, str] = {}) -> None:
    for code in RIGHT_DAY:
        hand.do(changes.get(code, code))


def answer_all(hand: Hand, wrongly: tuple[str, ...] = ()) -> None:
    while hand.view.scene == "choice" and not hand.view.finished:
        before = hand.view.task
        for code in hand.codes():
            if code.removeprefix("choose:") in wrongly:
                hand.do(code)
                assert hand.view.task == before, "a wrong answer is asked again"
        right = [code for code in hand.codes() if code.removeprefix("choose:") in RIGHT_ANSWERS]
        hand.do(right[0])


def make_visit(hand: Hand, wrongly: tuple[str, ...] = (), copies: Mapping[str, str] = {}) -> None:
    answer_all(hand, wrongly)
    read_disk(hand, readings=1)
    answer_all(hand, wrongly)
    filter_water(hand)
    plan_day(hand)
    printed = dict(hand.view.cards[0].lines)
    for line, label in (("bottle", "Code of the bottle"), ("filter", "Code of the filter")):
        hand.do(f"write:{line}", copies.get(line, printed[label]))
    hand.do("write:observer", copies.get("observer", "Ada"))
    hand.do("hand_in")


CAREFUL: Mapping[str, Callable[[Hand], None]] = {
    "safety": answer_all,
    "disk": read_disk,
    "clean_hands": answer_all,
    "filtering": filter_water,
    "labelling": check_papers,
    "cold_chain": plan_day,
    "whole_visit": make_visit,
}


class Learners:
    """What tests take from here: test files do not import one another."""

    Hand = Hand
    DiskHabits = DiskHabits
    FilterHabits = FilterHabits
    careful = CAREFUL
    RIGHT_DAY = RIGHT_DAY
    depth_text = staticmethod(depth_text)
    read_disk = staticmethod(read_disk)
    filter_water = staticmethod(filter_water)
    check_papers = staticmethod(check_papers)
    plan_day = staticmethod(plan_day)
    answer_all = staticmethod(answer_all)
    make_visit = staticmethod(make_visit)
    lines_that_do_not_correspond = staticmethod(lines_that_do_not_correspond)


@pytest.fixture(scope="session")
def learners() -> type[Learners]:
    """Scripted learners and the hand through which they act."""
    return Learners
