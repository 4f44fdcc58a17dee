"""Where a learner stands in reading the disk: line, boat, water, and what is on the sheet."""

from dataclasses import dataclass

from explorer.practice.disk_line import LINES, MarkedLine
from explorer.practice.disk_water import LookingManner, Sight, Water, sight_of_disk
from explorer.practice.turn import PracticeState

__all__ = ["DiskReading", "DiskState"]


@dataclass(frozen=True, slots=True)
class DiskReading:
    """One depth on the sheet.

    Attributes
    ----------
    depth_m : float
        What was written. [m]
    text : str
        How it was written, with its unit.
    on_bottom : bool
        Whether it was marked as "still in sight on the bottom".
    line_m : float
        Line in the water by the programme's rule, whatever was written. [m]
    """

    depth_m: float
    text: str
    on_bottom: bool
    line_m: float


@dataclass(frozen=True, kw_only=True)
class DiskState(PracticeState):
    """The exercise at one moment.

    Attributes
    ----------
    water : Water
        Hidden from the learner.
    side : str
        "shaded", "sunny" or empty while none is chosen.
    viewer, sunglasses : bool
        Whether the learner looks through them.
    mud : float
        Mud that is still in the water. [1]
    slant_deg : float
        Slant of the line. [deg]
    halves : int
        Line in the water. [half marks]
    crossed_from : int
        Line in the water before the step in which the disk was last lost or came back. [half marks]
    gone, back, bottom : int or None
        Where the learner noted the disk as lost, as back in sight, as lying on the bottom. [half marks]
    readings : tuple of DiskReading
        What is on the sheet.
    """

    water: Water
    side: str = ""
    viewer: bool = False
    sunglasses: bool = False
    mud: float = 0.0
    slant_deg: float = 0.0
    halves: int = 0
    crossed_from: int = 0
    gone: int | None = None
    back: int | None = None
    bottom: int | None = None
    readings: tuple[DiskReading, ...] = ()

    @property
    def line(self) -> MarkedLine:
        """The line that the programme uses."""
        return LINES[self.rules.line]

    @property
    def sight(self) -> Sight:
        """What is seen of the disk now."""
        manner = LookingManner(self.side, self.viewer, self.sunglasses, self.mud, self.slant_deg)
        line_m = self.line.length_m(self.halves)
        return sight_of_disk(self.water, manner, line_m, len(self.readings))

    @property
    def can_write(self) -> bool:
        """Whether there is something to write."""
        return self.bottom is not None or (self.gone is not None and self.back is not None)

    @property
    def wanted(self) -> float:
        """What the programme's rule makes of what was noted. [half marks]"""
        if self.bottom is not None:
            return self.bottom
        if self.gone is None or self.back is None:
            return 0.0
        return float(self.back) if self.rules.settle == "back" else (self.gone + self.back) / 2
