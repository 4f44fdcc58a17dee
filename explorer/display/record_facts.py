"""What stands beside numbers and pictures that leave the screen: which record, in which state."""

from dataclasses import dataclass
from importlib.metadata import version as software_version
from pathlib import Path

from explorer.model.words import say

__all__ = ["SOFTWARE", "RecordFacts"]

SOFTWARE = f"station-explorer {software_version('station-explorer')}"


@dataclass(frozen=True, slots=True)
class RecordFacts:
    """A state of a record.

    Attributes
    ----------
    name : str
        What the record is called.
    path : Path
        Where it lies, as `open_record` takes it.
    version : int
        The record's version from which the page was built.
    settings_hash : str
        Checksum of the programme's settings.

    Examples
    --------
    >>> facts = RecordFacts("lakes.gpkg", Path("lakes.gpkg"), 12, "2fd69af24d90")
    >>> facts.line().startswith("Record lakes.gpkg, version 12.")
    True
    """

    name: str
    path: Path
    version: int
    settings_hash: str

    def line(self, language: str = "en") -> str:
        """Return the facts in a sentence, for the foot of a picture.

        Parameters
        ----------
        language : str
            Language of the words.
        """
        values = {"record": self.name, "version": self.version, "software": SOFTWARE}
        return say("keep.source", values, language)
