"""Where a reading comes from: its cell, its visit, its batch and its earlier states, as plain values."""

from dataclasses import dataclass

from explorer.model.problems import Source
from explorer.model.record_changes import ReadingState

__all__ = ["MARKS", "BatchReading", "ReadingOrigin", "VisitFacts"]

# What can be decided on a reading; the words are those of what to do next, and "hold".
MARKS = ("accept", "ask_the_laboratory", "measure_again", "hold")


@dataclass(frozen=True, slots=True)
class BatchReading:
    """A blank, duplicate or spike of the same batch and quantity.

    Attributes
    ----------
    reading_id : int
        Its id.
    sample_type, sample_code : str
        What it is, and its label.
    value : float
        Value or limit; [record unit] NaN where none could be read.
    sign : str
        "=", "<" or ">".
    parent_sample : str
        Label of the sample that it belongs to, empty for a blank.
    parent_value : float
        What was read in that sample; [record unit] NaN where that is not known.
    parent_sign : str
        Its sign, empty where it is not known.
    """

    reading_id: int
    sample_type: str
    sample_code: str
    value: float
    sign: str
    parent_sample: str
    parent_value: float
    parent_sign: str


@dataclass(frozen=True, slots=True)
class VisitFacts:
    """What a data sheet says of a visit and of a sample besides its readings; empty where it says nothing.

    Attributes
    ----------
    bottom_depth_m : float
        Depth of the water as the sheet says it. [m] NaN where it does not.
    trained_on, line_checked_on, calibrated_on : str
        When the observer was trained, the line and the probe were checked: ISO dates, else as written.
    sunglasses : str
        Whether they were worn, as written.
    on_ice_time : str
        When the sample went on ice, "no" where it did not.
    frozen_on : str
        Day on which it went into the freezer, ISO 8601.
    """

    bottom_depth_m: float = float("nan")
    trained_on: str = ""
    line_checked_on: str = ""
    calibrated_on: str = ""
    sunglasses: str = ""
    on_ice_time: str = ""
    frozen_on: str = ""


@dataclass(frozen=True, slots=True)
class ReadingOrigin:
    """All that a record holds of one reading.

    Attributes
    ----------
    reading_id : int
        The reading as it stands now.
    station_code, quantity : str
        What was measured where.
    taken_on, taken_time : str
        Local date and time, ISO 8601; empty where not known.
    depth_m : float
        [m] NaN where not known.
    value, detection_limit, reporting_limit : float
        [record unit] NaN where not known.
    sign, status, reason, qualifier : str
        Sign, status, the problem's code or the remark behind the status, the laboratory's mark.
    as_written, unit_as_written : str
        The cell and its unit as written.
    source : Source
        File, checksum, sheet, row and column.
    sample_code, sample_type, parent_sample : str
        Label and kind of the sample.
    method, batch, analysed_on : str
        How, with which others and when it was analysed; empty where not known.
    volume_filtered_ml : float
        [mL] NaN where nothing was filtered, or it is not known.
    observer, weather, remark : str
        What the sheet says of the visit.
    batch_size : int
        Readings of this quantity in the batch.
    companions : tuple of BatchReading
        Blanks, duplicates and spikes of the batch, those of this sample first.
    states : tuple of ReadingState
        All states of the reading, the first one first, each with the change that brought it.
    visit : VisitFacts
        What the sheet says of training, line, probe, ice and freezer.
    """

    reading_id: int
    station_code: str
    quantity: str
    taken_on: str
    taken_time: str
    depth_m: float
    value: float
    detection_limit: float
    reporting_limit: float
    sign: str
    status: str
    reason: str
    qualifier: str
    as_written: str
    unit_as_written: str
    source: Source
    sample_code: str
    sample_type: str
    parent_sample: str
    method: str
    batch: str
    analysed_on: str
    volume_filtered_ml: float
    observer: str
    weather: str
    remark: str
    batch_size: int
    companions: tuple[BatchReading, ...]
    states: tuple[ReadingState, ...]
    visit: VisitFacts = VisitFacts()
