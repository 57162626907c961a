"""Jobs side by side: what is told of them, and that the end of one process costs one job."""

from __future__ import annotations

import ctypes
import faulthandler
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from cad.cli import crew
from cad.cli.crew import Done, Failed, Job, Step, Tell, side_by_side
from cad.cli.jobs import run_jobs
from cad.cli.status import Status
from cad.errors import CallError, KernelError, OutputError

ROOT = str(Path(__file__).parents[1])
SMALL = 'name = "{name}"\n[sole]\nform = "round"\nradius = {radius}\n'
FEW = ("--only", "iron,wedge", "--formats", "step,stl")


@pytest.fixture(autouse=True)
def no_kernel(monkeypatch: pytest.MonkeyPatch) -> None:
    """The jobs here need no kernel, which takes seconds to load."""
    monkeypatch.setattr(crew, "load_kernel", lambda: None)


def doubled(number: int) -> Job:
    def run(tell: Tell) -> int:
        tell("doubling")
        return 2 * number

    return Job(str(number), run)


def test_jobs_end_in_any_order_each_with_its_own_value() -> None:
    events = list(side_by_side([doubled(n) for n in range(7)], 3))
    assert {event.at: event.value for event in events if isinstance(event, Done)} == {
        n: 2 * n for n in range(7)
    }
    assert sorted(event.at for event in events if isinstance(event, Step)) == list(range(7))


def test_workers_are_processes_of_their_own_and_no_more_than_asked_for() -> None:
    def who(tell: Tell) -> int:
        time.sleep(0.05)
        return os.getpid()

    made = run_jobs([Job("who", who)] * 6, 2)
    assert len(set(made.values.values())) == 2 and os.getpid() not in made.values.values()
    assert len(set(run_jobs([Job("who", who)] * 3, 1).values.values())) == 1


def ends_by(number: signal.Signals) -> Job:
    def run(tell: Tell) -> None:
        os.kill(os.getpid(), number)

    return Job(f"ends by {number.name}", run)


def falls_over(tell: Tell) -> None:
    faulthandler.disable()  # pytest's own would print this crash as if it were one of the tests'
    ctypes.string_at(0)  # reads where nothing is, as a kernel does that crashes


def raises(tell: Tell) -> None:
    raise KeyError("slip")


def no_solid(tell: Tell) -> None:
    raise KernelError("body", "throat", "came out in two")


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        (ends_by(signal.SIGKILL), "was ended by SIGKILL (often for want of memory"),
        (Job("falls over", falls_over), "was ended by SIGSEGV"),
        (Job("leaves", lambda tell: os._exit(3)), "ended with status 3"),
        (Job("slips", raises), "KeyError: 'slip'"),
        (Job("no solid", no_solid), "no solid: body: throat: came out in two"),
        (Job("returns what cannot be sent", lambda tell: (n for n in ())), "ended with status 1"),
    ],
    ids=lambda value: value.name if isinstance(value, Job) else "",
)
def test_a_job_that_fails_is_named_and_the_others_finish(
    bad: Job, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    jobs = [doubled(1), bad, *(doubled(n) for n in range(2, 6))]
    made = run_jobs(jobs, 2)
    assert made.status is Status.FAILED
    assert made.values == {0: 2, 2: 4, 3: 6, 4: 8, 5: 10}
    told = capsys.readouterr().err
    assert f"{bad.name}: " in told and words in told


def test_what_is_wrong_for_all_is_told_once_and_ends_the_rest(capsys: pytest.CaptureFixture[str]) -> None:
    def full(tell: Tell) -> None:
        raise OutputError("out: the disk is full")

    made = run_jobs([Job("one", full), *([Job("long", lambda tell: time.sleep(60))] * 3)], 2)
    assert made.status is Status.WRONG and not made.values
    assert capsys.readouterr().err == "out: the disk is full\n"


def test_leaving_early_ends_the_workers() -> None:
    pids: list[int] = []

    def run(tell: Tell) -> None:
        tell(str(os.getpid()))
        time.sleep(60)

    events: Iterator[crew.Event] = side_by_side([Job("long", run)] * 2, 2)
    while len(pids) < 2:
        event = next(events)
        assert isinstance(event, Step)
        pids.append(int(event.what))
    events.close()  # type: ignore[attr-defined]  # a generator, seen as an iterator
    for pid in pids:
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)


def test_a_worker_whose_main_process_is_gone_ends_by_itself(tmp_path: Path) -> None:
    code = f"""
import sys, os, time
from pathlib import Path
from typing import Any
sys.path.insert(0, {ROOT!r})
from cad.cli import crew
crew.load_kernel = lambda: None
def run(tell):
    Path({str(tmp_path)!r}, str(os.getpid())).touch()
    for n in range(6000):
        time.sleep(0.05)
        tell("on")
list(crew.side_by_side([crew.Job("long", run)] * 2, 2))
"""
    main = subprocess.Popen([sys.executable, "-c", code])
    while len(pids := [int(path.name) for path in tmp_path.iterdir()]) < 2:
        assert main.poll() is None
        time.sleep(0.02)
    main.kill()
    main.wait()
    until = time.monotonic() + 120  # long before their jobs are done
    while not all(is_dead(pid) for pid in pids):
        assert time.monotonic() < until
        time.sleep(0.02)


def is_dead(pid: int) -> bool:
    """Return whether a process has ended and only waits to be counted off."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] == "Z"
    except FileNotFoundError:
        return True


def workers_of(pid: int) -> list[int]:
    """Return the processes that a process has started, while it runs."""
    return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def is_building(pid: int) -> bool:
    """Return whether a worker has loaded what it needs for its first plane, which takes it many seconds."""
    return "_geos" in Path(f"/proc/{pid}/maps").read_text()


def specs(folder: Path, *radii: int) -> list[Path]:
    paths = []
    for radius in radii:
        paths.append(folder / f"r{radius}.toml")
        paths[-1].write_text(SMALL.format(name=f"r{radius}", radius=radius))
    return paths


def tree(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def run_cli(patch: str, *arguments: object) -> subprocess.CompletedProcess[str]:
    """Run the command with something done to it first."""
    code = f"import os, sys\nsys.path.insert(0, {ROOT!r})\n{patch}\nfrom cad.cli.entry import entry\nentry()"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)], capture_output=True, text=True, check=False
    )


CRASH = """
import ctypes
from cad.cli import make
real = make.make_plane
def crashing(plan, order, begin):
    if plan.spec.name == "r12":
        import cad.parts
        ctypes.string_at(0)
    return real(plan, order, begin)
make.make_plane = crashing
"""


def test_side_by_side_and_one_after_another_give_the_same_bytes(tmp_path: Path) -> None:
    files = specs(tmp_path, 10, 12, 14)
    both = run_cli("", "make", *files, "--to", tmp_path / "both", "--workers", 2, *FEW)
    assert both.returncode == 0, both.stderr
    assert [line for line in both.stdout.splitlines() if "files in" in line] == [
        f"r{radius}: 5 files in {tmp_path / 'both' / f'r{radius}'}" for radius in (10, 12, 14)
    ], "summed up in the order of the specs"
    assert sorted(line.partition(": ")[2] for line in both.stderr.splitlines()) == ["r10", "r12", "r14"]
    for file in files:
        assert run_cli("", "make", file, "--to", tmp_path / "one", *FEW).returncode == 0
    assert tree(tmp_path / "both") == tree(tmp_path / "one")


def test_a_crash_in_the_kernel_is_told_with_the_specs_name_and_the_others_are_made(tmp_path: Path) -> None:
    files = specs(tmp_path, 10, 12, 14, 16)
    some = ("--only", "iron", "--formats", "step")  # of what is wanted next, so that there is more to make
    assert run_cli("", "make", files[1], "--to", tmp_path / "out", *some).returncode == 0
    before = tree(tmp_path / "out" / "r12")
    done = run_cli(CRASH, "make", *files, "--to", tmp_path / "out", "--workers", 2, *FEW)
    assert done.returncode == 1
    assert "r12: the process that made it was ended by SIGSEGV" in done.stderr
    assert tree(tmp_path / "out" / "r12") == before, "what was there before is untouched"
    for name in ("r10", "r14", "r16"):
        assert (tmp_path / "out" / name / "manifest.json").is_file()
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"r10", "r12", "r14", "r16"}


@pytest.mark.parametrize("group", [True, False], ids=["from the keyboard", "to the main process"])
def test_an_interrupt_ends_all_workers_and_leaves_what_was_there(tmp_path: Path, group: bool) -> None:
    files = specs(tmp_path, 10, 12, 14, 16)
    to = tmp_path / "out"
    assert run_cli("", "make", *files, "--to", to, *FEW).returncode == 0
    before = tree(to)
    command = [sys.executable, "-m", "cad", "make", *map(str, files), "--to", str(to), "--workers", "2"]
    process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True, start_new_session=True, cwd=ROOT)
    while sum(is_building(pid) for pid in workers_of(process.pid)) < 2:
        assert process.poll() is None
        time.sleep(0.02)
    os.killpg(process.pid, signal.SIGINT) if group else process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=300)
    assert process.returncode == 130, told
    assert "Traceback" not in told
    assert tree(to) == before
    with pytest.raises(ProcessLookupError):
        os.killpg(process.pid, 0)  # nobody of its group is left


def test_a_wrong_name_is_told_once_for_all_planes(tmp_path: Path) -> None:
    files = specs(tmp_path, 10, 12)
    done = run_cli("", "make", *files, "--only", "bdoy", "--formats", "stl", "--to", tmp_path / "out")
    assert done.returncode == 2 and done.stderr.count("there is no part, fixture or piece") == 1
    assert not list((tmp_path / "out").glob("*"))


def test_a_negative_number_of_workers_is_a_wrong_call(tmp_path: Path) -> None:
    done = run_cli("", "make", *specs(tmp_path, 10), "--workers", -1)
    assert done.returncode == 2 and "workers" in done.stderr


def test_failures_carry_their_status() -> None:
    def full(tell: Tell) -> None:
        raise OutputError("full")

    (event,) = side_by_side([Job("one", full)], 1)
    assert event == Failed(0, "full", Status.WRONG)


def test_a_system_that_gives_fewer_processes_than_wanted_gets_the_work_done(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real, given = crew._hired, []

    def scarce(*arguments: Any) -> Any:
        if given:
            raise BlockingIOError("no more")
        given.append(1)
        return real(*arguments)

    monkeypatch.setattr(crew, "_hired", scarce)
    events = list(side_by_side([doubled(n) for n in range(4)], 3))
    assert sorted(event.value for event in events if isinstance(event, Done)) == [0, 2, 4, 6]
    with pytest.raises(CallError, match=r"no process could be started \(no more\)"):
        list(side_by_side([doubled(1)], 1))
