"""Stocks, labels and rasterised pages for the tests of tags."""

from pathlib import Path

import pypdfium2
import pytest

from checkapp.rig.planfile import load_plan
from checkapp.tags.label import labels_of
from checkapp.tags.layout import layouts
from checkapp.tags.sheet import AS_IT_IS, write_pdf
from checkapp.tags.stock import find_stock

ROOT = Path(__file__).parents[2]
STOCKS = sorted(path.stem for path in (ROOT / "labels").glob("*.toml"))


def pytest_generate_tests(metafunc):
    """A test that takes ``stock_name`` runs on every stock that ships."""
    if "stock_name" in metafunc.fixturenames:
        metafunc.parametrize("stock_name", STOCKS)


@pytest.fixture(scope="session")
def stock_named():
    """A shipped stock by name."""
    return lambda name: find_stock(name, [ROOT / "labels"])


@pytest.fixture(scope="session")
def demo_rig():
    return load_plan(ROOT / "plans" / "demo.toml")


@pytest.fixture(scope="session")
def small_rig():
    return load_plan(ROOT / "plans" / "small.toml")


@pytest.fixture(scope="session")
def demo_labels(demo_rig):
    return labels_of(demo_rig)


@pytest.fixture
def printed(tmp_path):
    """Print labels on a stock and open the PDF that comes out."""

    def printer(labels, stock, title="Test rig", where=AS_IT_IS):
        out = tmp_path / "tags.pdf"
        write_pdf(layouts(labels, stock), stock, out, title, where)
        return pypdfium2.PdfDocument(out.read_bytes())

    return printer


@pytest.fixture(scope="session")
def raster():
    """A page as an array of grey values, 0 black, at so many dots an inch."""
    return lambda page, dpi: page.render(scale=dpi / 72, grayscale=True).to_numpy().squeeze()
