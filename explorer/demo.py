"""Where the demo record's texts and the notebooks lie: beside the package, or inside it once installed."""

from pathlib import Path

from explorer.model.errors import RecordError

__all__ = ["demo_folder", "notebooks_folder"]

_PACKAGE = Path(__file__).resolve().parent


def demo_folder() -> Path:
    """Return the folder of the demo record: an invented district of twelve waters and twenty seasons.

    Returns
    -------
    Path
        A folder with `programme.toml`, `lakes.geojson`, `stations.geojson` and `readings/`, to be opened
        like any folder record; its `README.md` says what was planted in the numbers.

    Raises
    ------
    RecordError
        If the installation lacks it.

    Examples
    --------
    >>> sorted(path.name for path in demo_folder().glob("*.geojson"))
    ['lakes.geojson', 'stations.geojson']
    """
    return _shared_folder("demo_geo", "the demo record", "stations.geojson")


def notebooks_folder() -> Path:
    """Return the folder of the notebooks that come with the explorer.

    Returns
    -------
    Path
        The folder; copy a notebook from it before changing it.

    Raises
    ------
    RecordError
        If the installation lacks it.

    Examples
    --------
    >>> notebooks_folder().name
    'notebooks'
    """
    return _shared_folder("notebooks", "the notebooks", "")


def _shared_folder(name: str, what: str, needed: str) -> Path:
    places = (_PACKAGE / "_share" / name, _PACKAGE.parent / name)
    for place in places:
        if place.is_dir() and (place / needed).exists():
            return place
    raise RecordError(
        f"This installation lacks {what}: no folder {places[0]}, nor {places[1]}. Install the package again."
    )
