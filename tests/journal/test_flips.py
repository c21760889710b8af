"""A byte changed anywhere in the file is harmless or told. All 2,000 places: ``tests/bench/check_flips.py``."""

import importlib.util
import random
from pathlib import Path
from typing import Any

import pytest

from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify

HERE = Path(__file__).parent


@pytest.fixture(scope="module")
def flipping() -> Any:
    spec = importlib.util.spec_from_file_location("flipping", HERE / "flipping.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def sound(flipping: Any, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sound") / "journal.db"
    flipping.make_journal(path)
    with Journal.read(path) as journal:
        assert verify(journal) == []
    return path


@pytest.mark.parametrize("seed", range(4))
def test_a_byte_changed_anywhere_is_harmless_or_told(flipping: Any, sound: Path, path: Path, seed: int) -> None:
    expected = flipping.held(sound)
    told = 0
    for at, to in flipping.places(sound, 40, random.Random(seed)):
        flipping.flip(sound, path, at, to)
        if flipping.told(path):
            told += 1
        else:
            assert flipping.is_harmless(path, expected), f"byte {at} made {to}"
    assert told > 10


@pytest.mark.parametrize("first", range(0, 112, 28))
def test_every_byte_of_the_header_is_harmless_or_told(flipping: Any, sound: Path, path: Path, first: int) -> None:
    expected = flipping.held(sound)
    content = sound.read_bytes()
    for at in range(first, first + 28):
        flipping.flip(sound, path, at, content[at] ^ (1 << at % 8))
        assert flipping.told(path) or flipping.is_harmless(path, expected), f"byte {at}"
