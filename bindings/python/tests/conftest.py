import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from wholestep import _native  # noqa: E402


@pytest.fixture(autouse=True)
def _kinds_are_forgotten() -> Iterator[None]:
    """What one test registers no other sees, in whatever order they run."""
    yield
    _native._forget_kinds()
