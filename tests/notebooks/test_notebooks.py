"""Each notebook runs from its first cell to its last, and is committed without outputs."""

from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

ROOT = Path(__file__).parent.parent.parent
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))


def test_there_are_notebooks():
    assert [path.stem[:2] for path in NOTEBOOKS][:2] == ["01", "02"]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_it_is_committed_without_outputs(path):
    for cell in nbformat.read(path, as_version=4).cells:
        assert not cell.get("outputs") and cell.get("execution_count") is None


@pytest.mark.filterwarnings("default")
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_it_runs_to_the_end(path, tmp_path, monkeypatch):
    monkeypatch.setenv("ENGINEWRIGHT_EXAMPLES", str(ROOT / "examples"))
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(
        notebook, timeout=120, kernel_name="python3", resources={"metadata": {"path": tmp_path}}
    )
    client.execute()
    texts = [
        output
        for cell in notebook.cells
        for output in cell.get("outputs", [])
        if output.output_type in ("execute_result", "display_data")
    ]
    assert texts
