"""A value changed in a spec's text: read back by tomllib, with all that the maker wrote around it."""

from __future__ import annotations

import threading
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cad.errors import CallError, OutputError
from cad.serve.bench import MOST_PAGES, Bench, BusyError, SupersededError
from cad.serve.form import kinds_of, looked_at
from cad.serve.specfile import SpecFile
from cad.spec import keys, parse_spec, starter
from cad.spec.editing import with_values
from tests.conftest import DEMOS, demo_path
from tests.serving import PATIENCE_S

OWN = """\
# Aunt Ada's cove.
name = "ada"    # as on her plane

[sole]          # measured twice
form   =  'round'
radius = "3/8 in"   # from the old one
arc    = 60

[shop.abrasive]
grits = [
  "P100",  # from the drawer
  "P220",
]

[body]
length=240
"""


def change(text: str, **written: str) -> str:
    """Set keys, their dots written as two underlines."""
    return with_values(text, {k.replace("__", "."): v for k, v in written.items()}, kinds_of(text))


def test_only_the_value_changes() -> None:
    assert change(OWN, sole__radius="9.5 mm") == OWN.replace('"3/8 in"', '"9.5 mm"')
    assert change(OWN, sole__radius="10") == OWN.replace('"3/8 in"', "10")
    assert change(OWN, body__length="250.5") == OWN.replace("length=240", "length=250.5")
    assert change(OWN, sole__radius="3/8 in") == OWN  # the same again


def test_inch_marks_lists_and_words_are_written_as_toml_has_them() -> None:
    read = tomllib.loads(
        change(OWN, sole__radius='3/8"', shop__abrasive__grits="P80, P120", body__hand="left")
    )
    assert read["sole"]["radius"] == '3/8"' and read["body"] == {"length": 240, "hand": "left"}
    assert read["shop"]["abrasive"]["grits"] == ["P80", "P120"]
    assert tomllib.loads(change(OWN, shop__printer__volume="200, 8 in, 180"))["shop"]["printer"] == {
        "volume": [200, "8 in", 180]
    }


def test_an_emptied_field_leaves_its_line_as_a_comment_and_is_worked_out_again() -> None:
    emptied = change(OWN, sole__arc="")
    assert emptied == OWN.replace("arc    = 60", "# arc    = 60")
    assert not parse_spec(emptied, "x").origins["sole.arc"].given
    assert change(emptied, sole__arc="70") == OWN.replace("60", "70").replace("arc    = 70", "arc    = 70")


def test_a_starter_is_filled_in_where_its_lines_stand() -> None:
    text = starter("round", "12 mm", "mm")
    filled = change(text, body__length="260", wood__species="black cherry", shop__printer__nozzle="0.6")
    before, after = text.split("\n"), filled.split("\n")
    assert len(before) == len(after)
    changed = [new for old, new in zip(before, after, strict=True) if old != new]
    assert [line.split("  #")[0] for line in changed] == [
        "[body]", "length = 260", "[wood]", 'species = "black cherry"', "[shop.printer]", "nozzle = 0.6",
    ]  # fmt: skip


def test_prose_that_looks_like_a_key_is_left_alone() -> None:
    text = OWN.replace("[sole]", "# relief = what the hand likes best\n[sole]").replace(
        "arc    = 60", "arc    = 60\n# relief = as steep as it will go"
    )
    made = change(text, sole__relief="22")
    assert "# relief = as steep as it will go" in made and tomllib.loads(made)["sole"]["relief"] == 22


@pytest.mark.parametrize(
    "text",
    [
        'name = "x"\nsole.form = "round"\nsole.radius = 9\nshop = { printer = { nozzle = 0.4 } }\n',
        'name = "x"\nsole = { form = "round", radius = 9 }\n',
        "[sole]\nradius = 9\n[shop.router]\ncutter = 6\n[throat]\nbed = 50\n[shop.printer]\nnozzle = 0.4",
        '"name" = "x"\n[ sole ]\n"form" = "round"\nradius = 9\n',
        "# nothing yet\n",
    ],
)
def test_every_way_of_writing_tables_can_be_changed(text: str) -> None:
    before = tomllib.loads(text)
    made = tomllib.loads(change(text, sole__radius="10", shop__printer__nozzle="0.6", throat__front="61"))
    assert made["sole"] == {**before.get("sole", {}), "radius": 10}
    assert made["shop"]["printer"]["nozzle"] == 0.6 and made["throat"]["front"] == 61


def test_what_cannot_be_changed_is_refused() -> None:
    with pytest.raises(CallError, match=r"there is no key 'sole\.wobble'"):
        change(OWN, sole__wobble="1")
    with pytest.raises(CallError, match="a value where a table belongs"):
        change("sole = 3\n", sole__radius="1")


VALUES = st.one_of(
    st.sampled_from(
        ["", "12", "3/8 in", '3/8"', "0.5", "flat", "round", "P100, P120", "1, 2, 3", "-4", "1e400", "nan"]
    ),
    st.text(max_size=12),
)


@settings(max_examples=150, deadline=None)
@given(
    demo=st.sampled_from(DEMOS),
    edits=st.lists(st.tuples(st.sampled_from([key.dotted for key in keys("round")]), VALUES), max_size=4),
)
def test_any_edits_leave_toml_all_comments_and_all_other_values(
    demo: str, edits: list[tuple[str, str]]
) -> None:
    text = demo_path(demo).read_text(encoding="utf-8") + "\n# the end\n"
    before, comments = tomllib.loads(text), {line for line in text.split("\n") if line.startswith("#")}
    for key, value in edits:
        text = with_values(text, {key: value}, {one.dotted: one.kind for one in keys("round")})
    after = tomllib.loads(text)
    assert comments <= set(text.split("\n"))
    touched = {key for key, _ in edits}
    for key in (one.dotted for one in keys("round")):
        if key not in touched:
            assert value_at(before, key) == value_at(after, key)
    shown = {field["key"]: field["written"] for field in looked_at(text, "x")["fields"]}
    for key in touched & shown.keys():  # the field shows what the file now holds
        assert (shown[key] == "") == (value_at(after, key) in (None, "", []))


def value_at(table: object, dotted: str) -> object:
    for name in dotted.split("."):
        table = table.get(name) if isinstance(table, dict) else None
    return table


def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real.toml", tmp_path / "link.toml"
    real.write_text(OWN)
    real.chmod(0o640)
    link.symlink_to(real)
    file = SpecFile(link)
    file.save(OWN + "# more\n", file.read().digest)
    assert link.is_symlink() and real.read_text() == OWN + "# more\n" and real.stat().st_mode & 0o777 == 0o640


def test_a_file_that_is_no_text_or_gone_is_told(tmp_path: Path) -> None:
    path = tmp_path / "x.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(OutputError, match="UTF-8"):
        SpecFile(path).read()
    path.unlink()
    with pytest.raises(OutputError, match="cannot be read"):
        SpecFile(path).read()


def test_the_bench_does_the_newest_of_each_page_and_tells_the_others() -> None:
    bench, done = Bench(), []

    def job(name: str) -> Callable[[Callable[[], None]], str]:
        def work(step: Callable[[], None]) -> str:
            step()
            done.append(name)
            return name

        return work

    old, new, other = bench.ask("a", job("a1")), bench.ask("a", job("a2")), bench.ask("b", job("b1"))
    with pytest.raises(SupersededError):
        old.result(PATIENCE_S)
    working = threading.Thread(target=bench.work)
    working.start()
    assert new.result(PATIENCE_S) == "a2" and other.result(PATIENCE_S) == "b1" and done == ["a2", "b1"]
    bench.close()
    working.join(PATIENCE_S)
    assert not working.is_alive()
    with pytest.raises(BusyError):
        bench.ask("a", job("late"))


def test_a_running_job_stops_between_steps_when_its_page_asks_anew() -> None:
    bench, begun, go_on = Bench(), threading.Event(), threading.Event()

    def long(step: Callable[[], None]) -> str:
        begun.set()
        assert go_on.wait(PATIENCE_S)
        step()
        return "never"

    working = threading.Thread(target=bench.work)
    working.start()
    old = bench.ask("a", long)
    assert begun.wait(PATIENCE_S)
    new = bench.ask("a", lambda step: "new")
    go_on.set()
    with pytest.raises(SupersededError):
        old.result(PATIENCE_S)
    assert new.result(PATIENCE_S) == "new"
    failing = bench.ask("a", lambda step: 1 // 0)
    with pytest.raises(ZeroDivisionError):  # a job that fails is told, and the bench goes on
        failing.result(PATIENCE_S)
    bench.close()
    working.join(PATIENCE_S)


def test_pages_beyond_measure_are_told_to_wait() -> None:
    bench = Bench()
    for number in range(MOST_PAGES):
        bench.ask(str(number), lambda step: None)
    with pytest.raises(BusyError):
        bench.ask("one more", lambda step: None)
    bench.close()
