"""Programs read into moves. The language is that of "The NIST RS274/NGC Interpreter, version 3" (NISTIR 6556,
Kramer, Proctor and Messina, 2000); its rules and worked examples are given here from memory."""

from __future__ import annotations

from math import hypot, pi, sqrt

import pytest

from cad.simulate.moves import Move
from cad.simulate.reading import Reading, read

SIN_45 = sqrt(0.5)
HEAD = "G21 G90 G94 G17\nG0 Z5\nG0 X0 Y0\nF600\n"


def reading(lines: str, head: str = HEAD, end: str = "\nM2\n", **more: bool) -> Reading:
    return read("it.ngc", head + lines + end, **more)


def moves(lines: str, head: str = HEAD) -> tuple[Move, ...]:
    """Return the moves of some lines, which must be without fault."""
    found = reading(lines, head)
    assert not found.findings, [str(one) for one in found.findings]
    return found.moves


def faults(lines: str, head: str = HEAD, end: str = "\nM2\n") -> list[tuple[str, int]]:
    return [(one.kind, one.line) for one in reading(lines, head, end).findings]


def test_blanks_and_case_mean_nothing() -> None:
    """The description's own example: "g0x +0. 12 34y 7" is "g0 x+0.1234 y7"."""
    (move,) = moves("g0x +0. 12 34y 7")
    assert move.end == (0.1234, 7.0, 5.0) and move.rapid


def test_an_arc_by_its_centre_as_in_the_description() -> None:
    """Its example: from X 7 Y 7, "G17 G2 x10 y16 i3 j4 z9" has its centre at X 10, Y 11 and a radius of 5."""
    move = moves("G0 X7 Y7 Z3\nG17 G2 x 10 y 16 i 3 j 4 z 9")[-1]
    assert move.bend is not None and move.bend.centre == (10.0, 11.0) and not move.bend.ccw
    assert move.radius == pytest.approx(5.0)
    assert move.end == (10.0, 16.0, 9.0)
    # From 233.13° clockwise to 90°, while z rises by 6.
    angle = pi * (180 - 90 + 53.13010235) / 180
    assert abs(move.turn) == pytest.approx(angle)
    assert move.length == pytest.approx(hypot(5 * angle, 6))


@pytest.mark.parametrize(
    ("word", "radius", "centre"),
    [("G2", 10, (10, 0)), ("G3", 10, (0, 10)), ("G2", -10, (0, 10)), ("G3", -10, (10, 0))],
)
def test_an_arc_by_its_radius(word: str, radius: int, centre: tuple[int, int]) -> None:
    """A positive radius means up to a half turn, a negative one more. Clockwise from (0, 0) to (10, 10) a
    quarter turn goes about (10, 0), as the hands of a clock go from nine to twelve."""
    move = moves(f"{word} X10 Y10 R{radius}")[-1]
    assert move.bend is not None and move.bend.centre == pytest.approx(centre)
    assert abs(move.turn) == pytest.approx(pi / 2 if radius > 0 else 3 * pi / 2)
    assert (move.turn > 0) == (word == "G3")


def test_which_side_the_lesser_arc_bulges() -> None:
    """Clockwise from west to east goes over the north."""
    assert moves("G2 X10 Y0 R5.1")[-1].at(0.5)[1] > 0
    assert moves("G3 X10 Y0 R5.1")[-1].at(0.5)[1] < 0
    assert moves("G2 X10 Y0 R-5.1")[-1].at(0.5)[1] > 5.1


def test_full_circles_and_helices_in_each_plane() -> None:
    circle = moves("G3 X0 Y0 I-4 J0")[-1]
    assert circle.length == pytest.approx(8 * pi) and circle.at(0.5)[0] == pytest.approx(-8)
    helix = moves("G3 X0 Y0 Z-1 I-4 J0")[-1]
    assert helix.length == pytest.approx(hypot(8 * pi, 6)) and helix.at(0.25)[2] == pytest.approx(3.5)
    # Counter-clockwise seen from the positive end of the third axis: from z to x, and from y to z.
    upright = moves("G18 G3 X4 Z1 I0 K-4")[-1]
    assert upright.at(0.5) == pytest.approx((4 * SIN_45, 0.0, 1 + 4 * SIN_45), abs=1e-9)
    side = moves("G19 G2 Y4 Z9 J4 K0")[-1]
    assert side.at(0.5) == pytest.approx((0.0, 4 - 4 * SIN_45, 5 + 4 * SIN_45), abs=1e-9)


@pytest.mark.parametrize(("end", "wrong"), [("X10.0019", False), ("X10.0021", True)])
def test_the_ends_of_an_arc_agree_to_two_thousandths_of_a_mm(end: str, wrong: bool) -> None:
    found = reading(f"G2 {end} Y0 I5 J0").findings
    assert [one.kind for one in found] == ["arc"] * wrong
    if wrong:
        assert found[0].line == 5 and found[0].amount_mm == pytest.approx(0.0021, abs=1e-6)
        assert "0.002 mm may be" in str(found[0])


@pytest.mark.parametrize(("end", "wrong"), [("X1.00019", False), ("X1.00021", True)])
def test_in_inches_they_agree_to_two_ten_thousandths(end: str, wrong: bool) -> None:
    head = HEAD.replace("G21", "G20")
    assert faults(f"G2 {end} Y0 I.5 J0", head) == [("arc", 5)] * wrong


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("G2 I5 J0", "an arc without X or Y"),
        ("G2 X10 Y0", "its radius or its centre"),
        ("G2 X10 Y0 R5 I5", "its radius or its centre"),
        ("G2 X10 Y0 I5 K2", "its radius or its centre"),
        ("G1 X10 I5", "a word of an arc on a line with G1"),
        ("G80\nX3", "a place with no motion in force"),
        ("G1", "a motion without X, Y or Z"),
        ("G1 X1 X2", "a second X"),
        ("G0 G1 X1", "a second word for the motion"),
        ("G20 G21", "a second word for the units"),
        ("M3 M5", "a second word for the spindle"),
        ("G4", "G4 and P belong together"),
        ("M3 M8 M48 M0 M9", "a second word for the coolant"),
        ("X#1", "a parameter or an expression"),
        ("#1=3", "a parameter or an expression"),
        ("X[1+2]", "a parameter or an expression"),
        ("G1 X1e3", "E3: a word that this reader does not know"),
        ("G1 X", "no word"),
        ("G1 A30", "does not know"),
        ("G81 X1 Z-3 R2", "a drilling cycle"),
        ("G41 D3", "compensation"),
        ("G43 H1", "tool's length"),
        ("G55", "a change of the zero"),
        ("G92 X0", "a change of the zero"),
        ("G53 G0 Z0", "the machine's own coordinates"),
        ("G28", "the machine's own coordinates"),
        ("G5 X1", "a code that this reader does not know"),
        ("M98", "a program within the program"),
        ("G90.1", "arcs whose centres are places"),
        ("G91.1", "as they are in the standard anyway"),
        ("T1 M6", "a change of tool within a program"),
        ("F-100", "F takes no number below 0"),
        ("N1.5 G1", "N takes a whole number"),
        ("G1 N10", "a line number behind other words"),
        ("(one (two))", "a comment that is not closed, or holds a parenthesis"),
        ("(open", "a comment that is not closed"),
        ("G1 X1 ; note", "a comment after a semicolon"),
        ("G1 X" + "1" * 260, "characters"),
        ("G91 X5 % ", "a percent sign beside words"),
    ],
)
def test_what_is_not_read_is_named_with_its_line_and_cure(line: str, says: str) -> None:
    found = reading("G0 Z4\n" + line)
    assert not found.moves
    assert [one.kind for one in found.findings] == ["word"]
    (one,) = found.findings
    assert says in one.words
    assert one.line == 6 + line.count("\n") and str(one).startswith(f"it.ngc:{one.line}: ")
    assert one.cure and one.cure[0].isupper()


def test_harmless_words_change_nothing() -> None:
    """A preamble as many programs have it, with line numbers, a slash, a percent sign and a comment."""
    plain = moves("G1 X10 Y0 Z-1")
    dressed = moves(
        "N10 G40 G49 G54 G80 G61\nN20 T1\nN30 M7 M8\nN40 G64\n\nM48 M9\nG4 P0.5\n(a comment)\n"
        "/N50 G1 (here) X10 Y0 Z-1 (there)"
    )
    assert [(m.start, m.end) for m in plain] == [(m.start, m.end) for m in dressed]


def test_block_delete_is_the_operators_switch() -> None:
    assert len(moves("/G1 X10\nG1 X20")) == 2
    off = reading("/G1 X10\nG1 X20", block_delete=True)
    assert len(off.moves) == 1 and off.moves[0].end[0] == 20


def test_words_stay_in_force_and_inches_may_follow_mm() -> None:
    found = moves("G1 X10\nY5\nG91 X1 Y1\nG90 G20 X2")
    assert [m.end[:2] for m in found] == [(10, 0), (10, 5), (11, 6), (50.8, 6)]
    assert [m.feed_mm_min for m in found] == [600, 600, 600, 600 * 25.4]
    assert found[0].seconds == pytest.approx(1.0)


def test_a_line_is_carried_out_in_the_order_of_the_standard() -> None:
    """Feed, spindle, units and distance mode hold for the move of their own line; a stop comes last."""
    move = moves("X2 G1 G20 M3 G91 S9000 F10", HEAD.replace("F600\n", ""))[0]
    assert move.end[0] == pytest.approx(50.8) and move.rpm == 9000
    assert move.feed_mm_min == pytest.approx(254)
    assert len(reading("G1 X5 M2", end="\nG1 X9").moves) == 1
    assert moves("M3 S100 G1 X1\nM5 X2")[1].rpm == 0


def test_inverse_time_is_one_over_f_minutes() -> None:
    found = moves("G93 G1 X10 F2\nX30 F2")
    assert [m.seconds for m in found] == [30, 30]
    assert [m.feed_mm_min for m in found] == [20, 40]
    assert faults("G93 G1 X10 F2\nX20") == [("feed", 6)]
    assert faults("G93 G1 X10 F2\nG94 X20") == [("feed", 6)]


def test_what_is_missing_is_said() -> None:
    assert faults("G1 X1", HEAD.replace("F600\n", "")) == [("feed", 4)]
    assert faults("G1 X1", HEAD.replace("G21 ", "")) == [("unit", 2)]
    assert faults("G1 X1", HEAD.replace("G0 Z5\n", "")) == [("start", 2), ("start", 4)]
    assert faults("G1 Z-1", HEAD.replace("G0 X0 Y0\n", "")) == [("start", 4)]
    assert faults("G1 X1", end="\n") == [("end", 0)]
    assert not reading("G1 X1", head="%\n" + HEAD, end="\n%\nwhat follows is no program").findings
    assert faults("G91 G1 X1", "G21 F60\nG0 Z5\n") == [("word", 3)]


def test_a_tool_may_be_named_before_the_first_move_only() -> None:
    assert not reading("", head="T1 M6\n" + HEAD).findings
    assert not reading("M0\nM1\nG1 X1").findings


def test_a_place_that_no_router_reaches_is_a_slip_and_not_run() -> None:
    """A lost decimal point must not be run as a million pieces: 10 m from zero is further than any router."""
    for lines in ("G1 X99999999 Y99999999", "G0 Z-1" + "0" * 200, "G91 G1 X9999\nX9999"):
        assert [one.kind for one in reading(lines).findings] == ["word"], lines
        assert reading(lines).moves == ()
    assert not reading("G1 X9999 Y-9999").findings
    for lines in ("G2 X1 R-900000", "G3 X0 Y0 J99999999"):
        (found,) = reading(lines).findings
        assert found.kind == "word" and "m long" in found.words, lines
    assert not reading("G2 X1 I0.5 J-900000").findings, "a short arc may be all but straight"


def test_what_a_program_says_cannot_command_the_terminal() -> None:
    for line in ("\x1b]0;mine\x07", "(\x1b[2J", "G1 X1 \u202e Y2"):
        (found,) = reading(line).findings
        assert str(found).isprintable(), line
