"""One plane made by several processes: the same files as by one, and failures told as if there were one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.test_63_crew import run_cli, specs, tree

ONLY, FORMATS = ("--only", "iron,wedge,saw_guide"), "dxf,notes,step,stl"
SOME = (*ONLY, "--formats", FORMATS)
FAILING = """
from cad.parts import iron
from cad.errors import {error}
def build(plan):
    raise {error}({words})
iron.build = build
"""
CRASHING = "import ctypes\nfrom cad.parts import iron\niron.build = lambda plan: ctypes.string_at(0)"


def test_two_processes_make_the_same_bytes_as_one_also_of_what_is_not_there_yet(tmp_path: Path) -> None:
    (file,) = specs(tmp_path, 12)
    for to, hands, formats in (("two", 2, "stl"), ("two", 2, FORMATS), ("one", 1, FORMATS)):
        call = ("make", file, "--to", tmp_path / to, "--workers", hands, *ONLY, "--formats", formats)
        done = run_cli("", *call)
        assert done.returncode == 0, done.stderr
    assert tree(tmp_path / "two") == tree(tmp_path / "one")


@pytest.mark.parametrize("hands", [1, 2])
@pytest.mark.parametrize(
    "error, words, told, status",
    [
        ("KernelError", '"iron", "edge", "would not do"', "iron: edge: would not do", 1),
        ("OutputError", '"no room"', "no room", 2),
    ],
)
def test_what_fails_in_a_process_is_told_in_its_own_words(
    tmp_path: Path, hands: int, error: str, words: str, told: str, status: int
) -> None:
    (file,) = specs(tmp_path, 12)
    patch = FAILING.format(error=error, words=words)
    done = run_cli(patch, "make", file, "--to", tmp_path / "out", "--workers", hands, *SOME)
    assert (done.returncode, done.stderr.strip(), done.stdout) == (status, told, "")
    assert tree(tmp_path / "out") == {}


def test_a_crash_of_the_kernel_is_told_and_leaves_what_was_there(tmp_path: Path) -> None:
    (file,) = specs(tmp_path, 12)
    assert run_cli("", "make", file, "--to", tmp_path, "--only", "wedge", "--formats", "stl").returncode == 0
    before = tree(tmp_path)
    done = run_cli(CRASHING, "make", file, "--to", tmp_path, "--workers", 2, *SOME)
    assert done.returncode == 1
    assert "was ended by SIGSEGV" in done.stderr and "untouched" in done.stderr
    assert tree(tmp_path) == before
