"""Words are exact and read back; an example is one real machine of the set."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from greaseproof.machines import (
    Build,
    Feature,
    Interval,
    Kept,
    Machine,
    NotToldApartError,
    Stretch,
    Universe,
    UnknownNameError,
    UnreadableError,
    Variants,
    example,
    read_words,
    words,
)
from hypothesis import given, strategies as st

from .universes import as_set, catalogues, conditions


def shed() -> Universe:
    """Three models, one of them changed in production, and one machine of the shop's own."""
    charging = (
        Stretch("serial", Interval(None, 35117), ("dynamo",)),
        Stretch("serial", Interval(35118, None), ("alternator",)),
    )
    plover = {
        "charging": ("dynamo",),
        "cranking": ("starter-motor", "handle"),
        "ignition": ("coil", "magneto"),
        "fuel": ("petrol", "paraffin"),
    }
    major = {"charging": charging, "cranking": ("starter-motor",), "fuel": ("diesel",)}
    return Universe(
        [
            Feature("charging", ("dynamo", "alternator")),
            Feature("cranking", ("starter-motor", "handle")),
            Feature("ignition", ("coil", "magneto")),
            Feature("fuel", ("petrol", "paraffin", "diesel")),
        ],
        [
            Machine("plover", "Plover", {"built": Interval(1954, 1961)}, (Build(plover),)),
            Machine(
                "plover-major",
                "Plover Major",
                {"built": Interval(1962, 1974), "serial": Interval(30001, 48200)},
                (Build(major),),
            ),
            Machine("auk", "Auk with Cab", {"built": Interval(1958, 1970)}, (Build({"fuel": ("petrol",)}),)),
        ],
        [Kept("7", "plover-major", {"serial": Interval(36020, 36020)}, {"charging": ("dynamo",)})],
        {"built": [Interval(None, 1966), Interval(1967, None)]},
    )


@given(st.data())
def test_words_are_read_back(data: st.DataObject) -> None:
    """To the very same set; within a context, to what the set has in common with it."""
    catalogue = data.draw(catalogues())
    universe = catalogue.universe()
    of, within = (as_set(data.draw(conditions(catalogue)), universe) for _ in range(2))

    assert of is read_words(words(of, universe), universe)
    assert of & within is read_words(words(of, universe, within), universe) & within


@given(st.data())
def test_words_and_examples_depend_on_the_set_alone(data: st.DataObject) -> None:
    """A second universe, asked other things before, says the same; the example is in the set."""
    catalogue = data.draw(catalogues())
    condition, others = (
        data.draw(conditions(catalogue)),
        data.draw(st.lists(conditions(catalogue), max_size=3)),
    )
    one, two = catalogue.universe(), catalogue.universe()
    for other in others:
        words(as_set(other, two), two)
    of, again = as_set(condition, one), as_set(condition, two)

    assert words(of, one) == words(again, two)
    if of:
        assert example(of, one) == example(again, two)
        assert example(of, one).variant in of
        assert example(of, one).variant == one.first(of)


def cases(universe: Universe) -> list[tuple[Variants, str, str]]:
    """Sets with their words and their example."""
    test, machine = universe.test, universe.machine
    late, early = Interval(1967, None), Interval(None, 1966)
    shield, spark = universe.look("heat-shield"), universe.answers("spark", ("good", "weak", "none"))
    return [
        (universe.all, "every machine", "a Plover"),
        (machine("plover-major"), "Plover Major", "a Plover Major"),
        (machine("auk"), "auk", "an Auk with Cab"),
        (machine("plover") | machine("auk"), "Plover or auk", "a Plover"),
        (
            machine("plover-major") & test("built", [late]),
            "Plover Major built 1967..1974",
            "a Plover Major, built 1967 or later",
        ),
        (test("built", [early]), "machines built ..1966", "a Plover"),
        (
            test("charging", ["alternator"]),
            "machines with alternator charging",
            "a Plover Major, serial 35118 or later",
        ),
        (
            machine("plover-major") & test("charging", ["dynamo"]),
            "Plover Major with dynamo charging",
            "a Plover Major, serial 35117 or earlier",
        ),
        (test("kept", ["7"]), "kept 7", "kept machine 7, a Plover Major"),
        (test("kept", ["absent"]), "machines not kept", "a Plover"),
        (
            test("ignition", ["magneto"]) | machine("auk"),
            "machines with magneto ignition, or auk",
            "a Plover, with magneto ignition",
        ),
        (~test("ignition", ["magneto"]), "machines with coil or no ignition", "a Plover, with coil ignition"),
        (
            test("fuel", ["petrol"]) - shield,
            "machines with petrol fuel and heat-shield not fitted",
            "a Plover, with petrol fuel and heat-shield not fitted",
        ),
        (
            machine("plover") - spark["weak"],
            "Plover with spark answered good or none",
            "a Plover, with spark answered good",
        ),
    ]


def test_words_are_those_of_the_trade() -> None:
    """Models by name where that can be read back, values before their feature, ranges as authors write."""
    universe = shed()

    found = [(of, words(of, universe), str(example(of, universe))) for of, _, _ in cases(universe)]

    assert cases(universe) == found
    assert "no machine" == words(universe.none, universe)


def test_words_within_a_context_say_only_what_tells_apart() -> None:
    """What holds of the whole context goes without saying."""
    universe = shed()
    major = universe.machine("plover-major")

    assert "every machine" == words(universe.test("fuel", ["diesel"]), universe, major)
    assert "machines built ..1966" == words(universe.test("built", [Interval(None, 1966)]), universe, major)
    assert "a Plover Major" == str(example(universe.test("fuel", ["diesel"]), universe, major))


def test_the_same_words_under_any_hash_seed() -> None:
    """Words, examples and counts are printed alike by interpreters that order sets of text differently."""
    script = (
        "from tests.machines.test_words import cases, shed\n"
        "from greaseproof.machines import Mention, example, words\n"
        "universe = shed()\n"
        "mention = Mention(frozenset({'fuel', 'ignition', 'cranking'}))\n"
        "for of, _, _ in cases(universe):\n"
        "    print(words(of, universe), example(of, universe), universe.count(of, mention))\n"
        "    print(*universe.variants_of(of & universe.machine('plover')), sep='; ')\n"
    )
    root = Path(__file__).parents[2]
    printed = {
        subprocess.run(
            [sys.executable, "-c", script],
            env={
                **os.environ,
                "PYTHONHASHSEED": seed,
                "PYTHONPATH": os.pathsep.join([str(root), str(root / "toolkit")]),
            },
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in ("0", "1", "2")
    }

    assert 1 == len(printed)
    assert "Plover Major built 1967..1974 a Plover Major, built 1967 or later 2\n" in printed.pop()


@pytest.mark.parametrize(
    "text, error, says",
    [
        ("Plover or", UnreadableError, "cannot read 'Plover or': expected more words, found the end"),
        ("Plover, Auk", UnreadableError, "cannot read 'Plover, Auk': expected 'or', found 'Auk'"),
        (
            "Plover built late",
            UnreadableError,
            "cannot read 'Plover built late': expected a range like 1967..1974, found 'late'",
        ),
        ("Plovr", UnknownNameError, "there is no machine 'Plovr'; did you mean plover?"),
        ("Plover with diesel fule", UnknownNameError, "there is no feature 'fule'; did you mean fuel?"),
        (
            "Plover with deisel fuel",
            UnknownNameError,
            "there is no value of fuel 'deisel'; did you mean diesel?",
        ),
        ("kept 8", UnknownNameError, "there is no kept '8'"),
        (
            "Plover with spark answered bad",
            UnknownNameError,
            "there is no answer to spark 'bad'",
        ),
        (
            "Plover Major built 1968..",
            NotToldApartError,
            "built 1968.. ends within a stretch of plover-major that was not split there",
        ),
    ],
)
def test_what_cannot_be_read_is_said(text: str, error: type[Exception], says: str) -> None:
    """With the nearest known names."""
    universe = shed()
    universe.answers("spark", ("good", "weak"))

    with pytest.raises(error) as caught:
        read_words(text, universe)

    assert says == str(caught.value)


def test_a_name_that_two_looks_share_cannot_be_read_back() -> None:
    """It is said, not guessed."""
    universe = shed()
    of = universe.look(("starter", "shield"), says="shield") & universe.look(
        ("pump", "shield"), says="shield"
    )

    assert "machines with shield fitted and shield fitted" == words(of, universe)
    with pytest.raises(UnreadableError, match="2 things are called 'shield'"):
        read_words(words(of, universe), universe)
