"""Threads, drives, spanner marks and property classes: what is read, what is refused and in which words."""

from __future__ import annotations

import doctest
import pickle
from collections.abc import Callable
from fractions import Fraction

import pytest
from greaseproof.reading import sizes
from greaseproof.reading.quantity import BadQuantity
from greaseproof.reading.sizes import (
    Drive,
    PropertyClass,
    Recess,
    Series,
    SpannerMark,
    Thread,
    parse_across_flats,
    parse_drive,
    parse_property_class,
    parse_size,
    parse_thread,
)
from hypothesis import given, strategies as st


@pytest.mark.parametrize(
    "typed, canonical, expected",
    [
        ("M10", "M10", Thread(Series.M, Fraction(10))),
        ("m 3.5", "M3.5", Thread(Series.M, Fraction("3.5"))),
        ("M10x1.25", "M10×1.25", Thread(Series.M, Fraction(10), Fraction("1.25"))),
        ("M10 x 1.25 mm", "M10×1.25", Thread(Series.M, Fraction(10), Fraction("1.25"))),
        ("M10×1", "M10×1", Thread(Series.M, Fraction(10), Fraction(1))),
        ("M8-LH", "M8-LH", Thread(Series.M, Fraction(8), left_handed=True)),
        ("M8x1 left hand", "M8×1-LH", Thread(Series.M, Fraction(8), Fraction(1), left_handed=True)),
        ("3/8 UNF", "3/8 UNF", Thread(Series.UNF, Fraction(3, 8))),
        ("3/8-24 UNF", "3/8-24 UNF", Thread(Series.UNF, Fraction(3, 8), per_inch=Fraction(24))),
        ('5/16" UNC', "5/16 UNC", Thread(Series.UNC, Fraction(5, 16))),
        ("5/16 in UNC", "5/16 UNC", Thread(Series.UNC, Fraction(5, 16))),
        ("1 UNC", "1 in UNC", Thread(Series.UNC, Fraction(1))),
        ("1 1/8 UNF", "1 1/8 UNF", Thread(Series.UNF, Fraction(9, 8))),
        ("1-1/8-12 UNF", "1 1/8-12 UNF", Thread(Series.UNF, Fraction(9, 8), per_inch=Fraction(12))),
        ("#10-32 UNF", "No. 10-32 UNF", Thread(Series.UNF, Fraction(10), None, Fraction(32), numbered=True)),
        ("10 UNF", "No. 10 UNF", Thread(Series.UNF, Fraction(10), numbered=True)),
        ("4-40 UNC", "No. 4-40 UNC", Thread(Series.UNC, Fraction(4), None, Fraction(40), numbered=True)),
        ("4-4 UNC", "4 in-4 UNC", Thread(Series.UNC, Fraction(4), per_inch=Fraction(4))),
        ("1/4 BSW", "1/4 BSW", Thread(Series.BSW, Fraction(1, 4))),
        ("1/4 Whit", "1/4 BSW", Thread(Series.BSW, Fraction(1, 4))),
        ("1/4 x 26 BSF", "1/4-26 BSF", Thread(Series.BSF, Fraction(1, 4), per_inch=Fraction(26))),
        ("1/8 BSP", "1/8 BSP", Thread(Series.BSP, Fraction(1, 8))),
        ("2BA", "2 BA", Thread(Series.BA, Fraction(2))),
        ("0 BA", "0 BA", Thread(Series.BA, Fraction(0))),
    ],
)
def test_threads(typed: str, canonical: str, expected: Thread) -> None:
    """A designation as typed gives the thread, written canonically as in ISO 965-1 and ASME B1.1."""
    thread = parse_thread(typed)

    assert expected == thread
    assert (canonical, typed) == (str(thread), thread.text)
    assert thread == parse_thread(canonical)


@given(
    st.sampled_from(Series),
    st.fractions(Fraction(1, 16), 12, max_denominator=16),
    st.sampled_from([None, *map(Fraction, ("4", "12", "13.5", "20", "28", "40"))]),
    st.booleans(),
)
def test_threads_read_back_equal(
    series: Series, size: Fraction, per_inch: Fraction | None, left: bool
) -> None:
    """Any thread of any series reads back from its canonical writing."""
    if series is Series.M:
        diameter = Fraction(int(size) + 1)
        thread = Thread(series, diameter, per_inch and diameter / 4, left_handed=left)
    elif series is Series.BA:
        thread = Thread(series, Fraction(int(size)), left_handed=left)
    else:
        thread = Thread(series, size, per_inch=per_inch, left_handed=left)

    assert thread == parse_thread(str(thread))


@pytest.mark.parametrize(
    "typed, canonical",
    [
        ("17 mm", "17 mm"),
        ('9/16"', "9/16 in"),
        ("0.445 in", "0.445 in"),
        ("1/4 W", "1/4 W"),
        ("1/4 Whit", "1/4 W"),
        ("1/4 BSW", "1/4 W"),
        ("5/16 BSF", "5/16 BS"),
        ("5/16 BS", "5/16 BS"),
        ("2BA", "2 BA"),
        ("cross 2", "cross 2"),
        ("PH2", "cross 2"),
        ("cross Z 2", "cross Z 2"),
        ("PZ 2", "cross Z 2"),
        ("slot", "slot"),
        ("slotted 6 mm", "slot 6 mm"),
        ("hex 6 mm", "hex 6 mm"),
        ('hexagon 1/4"', "hex 1/4 in"),
        ("star 30", "star 30"),
        ("T30", "star 30"),
        ('square 1/2"', "square 1/2 in"),
    ],
)
def test_sizes(typed: str, canonical: str) -> None:
    """What a tool fits is a hexagon, the mark of its spanner, or a drive."""
    size = parse_size(typed)

    assert (canonical, typed) == (str(size), size.text)
    assert size == parse_size(canonical)


def test_parts_of_a_size() -> None:
    """A cross recess of form Z is not one of form H; a mark keeps its series and inches."""
    assert Drive(Recess.CROSS, 2) == parse_drive("cross 2") != parse_drive("cross Z 2")
    assert SpannerMark("W", Fraction(1, 4)) == parse_across_flats("1/4 W")
    assert SpannerMark("BS", Fraction(5, 16)) == parse_across_flats("5/16 BSF")


def test_property_classes() -> None:
    """The figures of a bolt's class give its strength (ISO 898-1); a nut's class or a grade does not."""
    texts = ("8.8", "10.9", "8", "Grade 5", "SAE grade 8", "SAE 5")
    known = {text: parse_property_class(text) for text in texts}

    assert ["8.8", "10.9", "8", "grade 5", "grade 8", "grade 5"] == [str(each) for each in known.values()]
    assert (800, Fraction(8, 10)) == (known["8.8"].tensile, known["8.8"].yields_at)
    assert (1000, Fraction(9, 10)) == (known["10.9"].tensile, known["10.9"].yields_at)
    assert [None, None] == [known["8"].tensile, known["Grade 5"].tensile]


_LIKE = "write it like `M10`, `M10×1.25`, `3/8 UNF`, `1/4 BSW` or `2 BA`"
_DRIVES = "write it like `cross 2`, `slot`, `hex 6 mm`, `star 30` or `square 1/2 in`"


@pytest.mark.parametrize(
    "parse, typed, wrong, mend",
    [
        (parse_thread, "M10x1,25", "`M10x1,25` has a comma in the number", "write `M10x1.25`"),
        (parse_thread, "3/8-24", "`3/8-24` does not say of which series the thread is", _LIKE),
        (parse_thread, "10", "`10` does not say of which series the thread is", _LIKE),
        (parse_thread, "3/8 UNX", "`3/8 UNX` is no thread that is known here", _LIKE),
        (parse_thread, "M0", "`M0` is no thread", _LIKE),
        (
            parse_thread, "2 UNC", "`2 UNC` does not say whether 2 is a number or inches",
            "write `No. 2 UNC` or `2 in UNC`",
        ),
        (parse_thread, "#10 BSF", "`#10 BSF` has a number that is no size of BSF", _LIKE),
        (parse_size, "17", "`17` has no unit", "write it in mm, cm, m or in"),
        (parse_size, "17 kg", "`17 kg` is a mass, not a length", "write it in mm, cm, m or in"),
        (
            parse_size, "M10", "`M10` is a thread, not the size of its hexagon",
            "write the size, such as `17 mm`",
        ),
        (parse_size, "0 mm", "`0 mm` is no size", "write the size across flats, such as `17 mm`"),
        (parse_size, "cross 9", "`cross 9` has no size of a cross recess", "write its number, 0 to 4"),
        (parse_size, "cross", "`cross` has no size", _DRIVES),
        (parse_size, "claw 3", "`claw 3` is no drive that is known here", _DRIVES),
        (parse_property_class, "8,8", "`8,8` has a comma in the number", "write `8.8`"),
        (
            parse_property_class, "7.7", "`7.7` is no property class that is known here",
            "write `3.6`, `4.6`, `4.8`, `5.6`, `5.8`, `6.8`, `6.9`, `8.8`, `9.8`, `10.9`, `12.9` or `14.9`",
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_with_a_mend(
    parse: Callable[[str], object], typed: str, wrong: str, mend: str
) -> None:
    """A text that is no such size raises a `BadQuantity` with both texts in full."""
    with pytest.raises(BadQuantity) as bad:
        parse(typed)

    assert (wrong, mend) == (bad.value.wrong, bad.value.mend)


@given(
    st.sampled_from([parse_thread, parse_size, parse_property_class]),
    st.text(alphabet="0123456789./- x×MUNCFBSWATPHZ\"'inmcrosxhetaqu#,L", max_size=16),
)
def test_no_text_raises_anything_else(parse: Callable[[str], object], text: str) -> None:
    """Whatever is typed is read so that its writing reads back equal, or is refused as a bad quantity."""
    try:
        value = parse(text)
    except BadQuantity as bad:
        refused = bad
    else:
        assert str(value) == str(parse(str(value)))
        return
    assert refused.wrong
    assert refused.mend


def test_values_can_be_kept_and_sent() -> None:
    """The same text gives the same object; values survive pickling with what was written."""
    values: list[Thread | Drive | SpannerMark | PropertyClass] = [
        parse_thread("M10x1.25"), parse_drive("PH2"), SpannerMark("W", Fraction(1, 4)),
        parse_property_class("8.8"),
    ]  # fmt: skip

    assert parse_thread("M10x1.25") is values[0]
    assert values == pickle.loads(pickle.dumps(values))
    assert 4 == len(set(values))


def test_examples_in_the_docstrings() -> None:
    """The examples that the module shows are true."""
    results = doctest.testmod(sizes)

    assert 0 == results.failed
    assert results.attempted >= 5
