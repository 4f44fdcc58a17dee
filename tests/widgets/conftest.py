import pytest

from explorer import demo_folder, open_record
from explorer.widgets import StationExplorer


@pytest.fixture(scope="session")
def demo_record():
    return open_record(demo_folder())


@pytest.fixture
def explorer(demo_record):
    return StationExplorer(demo_record)
