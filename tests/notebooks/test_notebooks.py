"""Each notebook runs from its first cell to its last without network, and keeps no outputs."""

from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

ROOT = Path(__file__).resolve().parents[2]
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))
each_notebook = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)

# Run by the kernel before the first cell. The kernel itself talks to the test through ZeroMQ,
# which does not pass through Python's sockets.
NO_NETWORK = """
import socket


def _refuse(*_):
    raise OSError("no network in this test")


for _name in ("connect", "connect_ex", "sendto"):
    setattr(socket.socket, _name, _refuse)
socket.getaddrinfo = _refuse
"""

# Added as the last cell: without it a guard that was never loaded would not be noticed.
IS_GUARDED = """
import socket

try:
    socket.create_connection(("192.0.2.1", 9), timeout=1)
except OSError as refused:
    assert str(refused) == "no network in this test", refused
else:
    raise AssertionError("the network could be reached")
"""


def code(notebook):
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


@pytest.fixture
def execute(tmp_path, monkeypatch):
    """Run a notebook in a folder of its own; give it back with its outputs, and the folder."""
    startup = tmp_path / "ipython" / "profile_default" / "startup"
    startup.mkdir(parents=True)
    (startup / "00-no-network.py").write_text(NO_NETWORK, encoding="utf-8")
    folder = tmp_path / "work"
    folder.mkdir()
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path / "ipython"))
    monkeypatch.setenv("ENGINEWRIGHT_EXAMPLES", str(ROOT / "examples"))

    def run(path):
        notebook = nbformat.read(path, as_version=4)
        notebook.cells.append(nbformat.v4.new_code_cell(IS_GUARDED))
        client = NotebookClient(
            notebook, timeout=120, kernel_name="python3", resources={"metadata": {"path": folder}}
        )
        client.execute()
        del notebook.cells[-1]
        return notebook, folder

    return run


def test_the_notebooks_are_there():
    names = {path.stem for path in NOTEBOOKS}
    assert {"01_one_job", "02_custom_check", "03_many_jobs"} <= names


@each_notebook
def test_it_is_well_formed_and_keeps_no_outputs(path):
    notebook = nbformat.read(path, as_version=nbformat.NO_CONVERT)
    nbformat.validate(notebook)
    assert (notebook.nbformat, notebook.nbformat_minor) == (4, 5)
    ids = [cell.id for cell in notebook.cells]
    assert len(set(ids)) == len(ids)
    assert [cell.id for cell in code(notebook) if cell.outputs or cell.execution_count] == []


@each_notebook
def test_it_checks_its_own_figures(path):
    notebook = nbformat.read(path, as_version=4)
    assert sum(cell.source.count("assert ") for cell in code(notebook)) >= 4


@each_notebook
def test_a_heading_asks_before_each_cell(path):
    cells = nbformat.read(path, as_version=4).cells
    for above, cell in zip(cells, cells[1:], strict=False):
        if cell.cell_type == "code":
            asked = above.source.splitlines()[0]
            assert asked.startswith("## ") and asked.endswith("?"), cell.id


# Libraries of the notebook's machinery warn about each other; that is not the notebook's doing.
@pytest.mark.filterwarnings("default")
@each_notebook
def test_it_runs_to_its_end_and_every_cell_answers(path, execute):
    notebook, folder = execute(path)
    for cell in code(notebook):
        kinds = [output.output_type for output in cell.outputs]
        assert kinds == ["execute_result"], (cell.id, cell.outputs)
    figures = [
        output.data["image/svg+xml"]
        for cell in code(notebook)
        for output in cell.outputs
        if "image/svg+xml" in output.data
    ]
    drawn = {"01_one_job": 4, "02_custom_check": 1, "03_many_jobs": 2}
    assert len(figures) == drawn.get(path.stem, len(figures))
    assert all(figure.lstrip().startswith(("<?xml", "<svg")) for figure in figures)
    written = {file.name for file in folder.iterdir()}
    assert written == ({"work_list.html"} if path.stem == "01_one_job" else set())
