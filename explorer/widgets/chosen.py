"""What a reader has chosen, as traits: set and observed from a notebook, and kept in a page's address."""

import traitlets

from explorer.display.address import View
from explorer.display.choice import Choice
from explorer.display.map_groups import MAP_SHOWS
from explorer.model.calendar import Period
from explorer.model.programme import Programme

__all__ = ["Chosen"]


class Chosen(traitlets.HasTraits):
    """All state of a screen of stations.

    Attributes
    ----------
    station : str
        Code of the picked station, empty for none.
    period : Period or None
        The picked seasons; None for all, judged by the record's latest.
    scheme : str
        Key of the class scheme.
    length_unit : {"m", "ft"}
        Unit of depths.
    log : bool
        Whether concentrations stand on a logarithmic scale.
    map_shows : str
        What the map's colours mean, one of `MAP_SHOWS`.
    beside : str
        What stands beside the station's readings: nothing (empty), "water" for the other stations of its
        water, "district" for the middle of the district's stations, or the code of a station.
    days : tuple of str
        Days whose visits stay strong on all panels, ISO 8601; empty: none is picked.
    reading : int
        Id of the reading behind which the reader looks, 0 for none.
    change_on : str
        Date, ISO 8601, before and after which seasons are compared; empty for none.
    profile_visit : int
        The visit whose depth profile is shown, by its id; 0 for the latest.
    profile_quantity : str
        The quantity that is shown by depth on all days, empty for the first.
    text_size : {"", "large"}
        Usual or large.
    theme : {"", "light", "dark"}
        Colours; empty for those of the computer.
    background : str
        Folder or address of map tiles, empty for none.
    Examples
    --------
    >>> chosen = Chosen()
    >>> chosen.follow(View(station="HM1", map_shows="visits", theme="bright"))
    >>> chosen.station, chosen.map_shows, chosen.theme
    ('HM1', 'visits', '')
    """

    station = traitlets.Unicode("")
    period = traitlets.Instance(Period, allow_none=True)
    scheme = traitlets.Unicode()
    length_unit = traitlets.Enum(("m", "ft"))
    log = traitlets.Bool(True)
    map_shows = traitlets.Enum(MAP_SHOWS, MAP_SHOWS[0])
    beside = traitlets.Unicode("")
    days = traitlets.Tuple()
    reading = traitlets.Int(0)
    change_on = traitlets.Unicode("")
    profile_visit = traitlets.Int(0)
    profile_quantity = traitlets.Unicode("")
    text_size = traitlets.Enum(("", "large"), "")
    theme = traitlets.Enum(("", "light", "dark"), "")
    background = traitlets.Unicode("")

    def choice_by(self, latest: Period, language: str) -> Choice:
        """Return what is chosen, as pages are built from it.

        Parameters
        ----------
        latest : Period
            What is judged while no period is picked.
        language : str
            Language of the words.
        """
        return Choice(
            station=self.station,
            period=self.period or latest,
            picked=self.period is not None,
            scheme=self.scheme,
            length_unit="ft" if self.length_unit == "ft" else "m",
            log=self.log,
            map_shows=self.map_shows,
            language=language,
            beside=self.beside,
            days=self.days,
        )

    def view_beside(self, usual: Programme) -> View:
        """Return what an address must say to show the same; what is usual in a programme is left out."""
        return View(
            station=self.station,
            period=self.period,
            scheme=self.scheme if self.scheme != usual.scheme else "",
            length_unit=self.length_unit if self.length_unit != usual.length_unit else "",
            scale="" if self.log else "linear",
            map_shows=self.map_shows if self.map_shows != MAP_SHOWS[0] else "",
            beside=self.beside,
            text_size=self.text_size,
            theme=self.theme,
        )

    def follow(self, view: View) -> None:
        """Show what a page's address says, as far as it says it."""
        self.period = view.period
        self.log = view.scale != "linear"
        self.beside = view.beside
        for name in ("scheme", "length_unit", "map_shows", "text_size", "theme", "station"):
            value = getattr(view, name)
            allowed = getattr(type(self).class_traits()[name], "values", None)
            if value and (allowed is None or value in allowed):
                self.set_trait(name, value)
