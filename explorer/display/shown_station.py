"""A station on the screen: its page and what lies behind it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import pandas as pd

from explorer.display.choice import Choice
from explorer.display.station_page import StationPage
from explorer.model.classes import ClassResult, ClassScheme
from explorer.model.history import StationHistory
from explorer.model.station_trends import StationTrend
from explorer.records.record import Record

__all__ = ["ShownStation"]


@dataclass(frozen=True)
class ShownStation:
    """A station's page and what lies behind it.

    Attributes
    ----------
    page : StationPage
        What the screen shows.
    seasons : DataFrame
        Its season table.
    result : ClassResult
        Its class in the chosen period.
    choice : Choice
        What the reader had chosen.
    scheme : ClassScheme
        The chosen scheme.
    record : Record
        Where it was read.
    trends : mapping of str to StationTrend
        Its trends over the whole record, by quantity.
    """

    page: StationPage
    seasons: pd.DataFrame
    result: ClassResult
    choice: Choice
    scheme: ClassScheme
    record: Record
    trends: Mapping[str, StationTrend]

    @cached_property
    def history(self) -> StationHistory:
        """The station, its water and all that is known of its readings, read when it is first asked for."""
        return self.record.history(self.page.station)
