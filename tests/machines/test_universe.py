"""Base points, counts, concrete variants, and what a universe refuses."""

from __future__ import annotations

from itertools import islice
from random import Random
from typing import Any

import pytest
from greaseproof.machines import (
    ABSENT,
    Build,
    CatalogueError,
    Feature,
    Interval,
    Kept,
    Machine,
    Mention,
    NotToldApartError,
    Stretch,
    Test,
    Universe,
    UnknownNameError,
    Variant,
    WrongTestError,
)
from hypothesis import given, strategies as st

from .universes import LOOKS, QUESTION, as_set, catalogues, concrete, conditions, everything, holds

FUEL = Feature("fuel", ("petrol", "diesel"))
CHARGING = Feature("charging", ("dynamo", "alternator"))


@given(st.data())
def test_variants_of_lists_each_kind_of_machine_once(data: st.DataObject) -> None:
    """Every listed variant is in the set, and every machine of the set is like exactly one of them."""
    catalogue = data.draw(catalogues())
    universe = catalogue.universe()
    of = as_set(data.draw(conditions(catalogue)), universe)
    asked = universe.asked(of)

    def kind(variant: Variant) -> tuple[Any, ...]:
        stretches = tuple(universe.stretches(variant).items())
        looks = tuple(variant.looks.get(key, True) for key in LOOKS if key in asked)
        answer = variant.answers.get(QUESTION) if QUESTION in asked else None
        return (variant.machine, variant.kept, stretches, tuple(variant.values.items()), looks, answer)

    listed = [kind(variant) for variant in universe.variants_of(of)]

    assert all(variant in of for variant in universe.variants_of(of))
    assert len(set(listed)) == len(listed)
    assert {kind(machine) for machine in everything(catalogue) if machine in of} == set(listed)


@given(st.data())
def test_a_sample_is_a_machine_of_the_catalogue(data: st.DataObject) -> None:
    """With every look and answer settled, and in a set where its condition holds."""
    catalogue = data.draw(catalogues())
    if not concrete(catalogue):
        return
    universe = catalogue.universe()
    condition = data.draw(conditions(catalogue))
    of = as_set(condition, universe)
    for seed in range(5):
        variant = universe.sample(Random(seed))

        assert (variant.machine, variant.kept, variant.axes, variant.values) in concrete(catalogue)
        assert list(LOOKS) == list(variant.looks)
        assert holds(condition, variant) == (variant in of)


@given(st.data())
def test_a_count_tells_apart_what_is_mentioned(data: st.DataObject) -> None:
    """One for each machine, possible values of what is mentioned, side of a cut and way to choose."""
    catalogue = data.draw(catalogues())
    universe = catalogue.universe()
    condition = data.draw(conditions(catalogue))
    features = data.draw(st.sets(st.sampled_from([each.id for each in catalogue.features])))
    cuts = (
        data.draw(
            st.sets(st.sampled_from([(a, each) for a, ranges in catalogue.cuts.items() for each in ranges]))
        )
        if any(catalogue.cuts.values())
        else set()
    )
    looks = data.draw(st.sets(st.sampled_from([*LOOKS, QUESTION])))
    mention = Mention(frozenset(features), frozenset(cuts), frozenset(looks))

    def told(variant: Variant) -> tuple[Any, ...]:
        point = universe._points[universe._find(variant)]
        may = tuple(fit for name, fit in zip(universe.features, point.fit, strict=True) if name in features)
        sides = tuple(
            axis in variant.axes and variant.axes[axis] in each for axis, each in sorted(cuts, key=str)
        )
        chosen = tuple(value for name, value in variant.values.items() if name in features)
        asked = tuple(value for key, value in {**variant.looks, **variant.answers}.items() if key in looks)
        return (variant.machine, variant.kept, may, sides, chosen, asked)

    expected = {told(machine) for machine in everything(catalogue) if holds(condition, machine)}

    assert len(expected) == universe.count(as_set(condition, universe), mention)


def test_axes_are_split_only_where_something_changes() -> None:
    """At a change in the machine's own production and at ranges mentioned anywhere, within its extent."""
    changed = (
        Stretch("serial", Interval(None, 500), ("dynamo",)),
        Stretch("serial", Interval(501, None), ("alternator",)),
    )
    axes = {"built": Interval(1954, 1961), "serial": Interval(1, 900)}
    universe = Universe(
        [CHARGING],
        [Machine("plover", "Plover", axes, (Build({"charging": changed}),)), Machine("teal", "Teal", axes)],
        cuts={"built": [Interval(1958, 1959), Interval(1970, None)]},
    )

    stretches = [
        (variant.machine, *(str(each) for each in universe.stretches(variant).values()))
        for variant in universe.variants_of(universe.all)
    ]

    assert [
        ("plover", "..1957", "..500"),
        ("plover", "..1957", "501.."),
        ("plover", "1958..1959", "..500"),
        ("plover", "1958..1959", "501.."),
        ("plover", "1960..", "..500"),
        ("plover", "1960..", "501.."),
        ("teal", "..1957", ".."),
        ("teal", "1958..1959", ".."),
        ("teal", "1960..", ".."),
    ] == stretches


def test_builds_tie_options_and_axes() -> None:
    """No machine has an option of one build and another of a second; what two builds share is one variant."""
    builds = (
        Build({"fuel": ("petrol", "diesel"), "charging": ("dynamo",)}, {"built": Interval(None, 1966)}),
        Build({"fuel": ("diesel",), "charging": ("dynamo", "alternator")}),
    )
    universe = Universe(
        [FUEL, CHARGING],
        [Machine("plover", "Plover", {"built": Interval(1954, 1974)}, builds)],
        cuts={"built": [Interval(1967, None)]},
    )

    assert not universe.test("fuel", ["petrol"]) & universe.test("charging", ["alternator"])
    assert not universe.test("fuel", ["petrol"]) & universe.test("built", [Interval(1967, None)])
    assert [
        "machine: plover; built: 1954; fuel: petrol; charging: dynamo",
        "machine: plover; built: 1954; fuel: diesel; charging: dynamo",
        "machine: plover; built: 1954; fuel: diesel; charging: alternator",
        "machine: plover; built: 1967; fuel: diesel; charging: dynamo",
        "machine: plover; built: 1967; fuel: diesel; charging: alternator",
    ] == [str(variant) for variant in universe.variants_of(universe.all)]


def test_a_kept_machine_narrows_its_model_or_departs_from_it() -> None:
    """It answers to its id and to its model; what contradicts the catalogue counts as described."""
    model = Machine(
        "plover",
        "Plover",
        {"serial": Interval(1, 900)},
        (Build({"fuel": ("petrol", "diesel"), "charging": ("dynamo",)}),),
    )
    universe = Universe(
        [FUEL, CHARGING],
        [model],
        [
            Kept("7", "plover", {"serial": Interval(12, 12)}, {"fuel": ("diesel",)}),
            Kept("8", "plover", {}, {"charging": ("alternator",)}),
            Kept("9", "plover", {"serial": Interval(1000, 1000)}),
        ],
    )

    assert ("8", "9") == universe.departing
    assert [
        "machine: plover; kept: 7; serial: 12; fuel: diesel; charging: dynamo",
        "machine: plover; kept: 8; serial: 1; fuel: petrol; charging: alternator",
        "machine: plover; kept: 8; serial: 1; fuel: diesel; charging: alternator",
        "machine: plover; kept: 9; serial: 1000; fuel: petrol; charging: dynamo",
        "machine: plover; kept: 9; serial: 1000; fuel: diesel; charging: dynamo",
    ] == [str(variant) for variant in universe.variants_of(~universe.test("kept", [ABSENT]))]
    assert universe.test("kept", ["7", "8", "9"]) < universe.machine("plover")


def test_where_joins_alternatives_of_tests() -> None:
    """Any alternative, in it all tests; no alternative holds nowhere, an empty one everywhere."""
    universe = Universe(
        [FUEL, CHARGING],
        [Machine("plover", "Plover", {}, (Build({"fuel": ("petrol", "diesel")}),)), Machine("teal", "Teal")],
    )
    where = ((Test("machine", ("plover",)), Test("fuel", ("diesel",))), (Test("fuel", (ABSENT,)),))

    assert (universe.machine("plover") & universe.test("fuel", ["diesel"])) | universe.machine(
        "teal"
    ) is universe.where(where)
    assert universe.none is universe.where(())
    assert universe.all is universe.where(((),))
    assert Mention(frozenset({"machine", "fuel"})) == Mention.of(where)


def test_a_range_never_holds_where_a_machine_has_no_such_axis() -> None:
    """But `absent` does."""
    universe = Universe(
        [], [Machine("plover", "Plover"), Machine("teal", "Teal", {"serial": Interval(1, 9)})]
    )

    assert universe.machine("teal") is universe.test("serial", [Interval(None, None)])
    assert universe.machine("plover") is universe.test("serial", [ABSENT])


def test_variants_may_be_listed_in_part() -> None:
    """A universe of 2^40 variants is no obstacle."""
    features = [Feature(f"option-{number}", ("yes", "no")) for number in range(40)]
    every = Build({feature.id: feature.values for feature in features})
    universe = Universe(features, [Machine("plover", "Plover", {}, (every,))])

    assert 5 == len(list(islice(universe.variants_of(universe.all), 5)))
    assert 2**40 == universe.count(universe.all, Mention(frozenset(universe.features)))


PLOVER = Machine("plover", "Plover", {"built": Interval(1954, 1961)})


@pytest.mark.parametrize(
    "name, values, error, says",
    [
        ("fule", ["petrol"], UnknownNameError, "there is no feature 'fule'; did you mean fuel?"),
        ("fuel", ["petrl"], UnknownNameError, "there is no value of fuel 'petrl'; did you mean petrol?"),
        ("machine", ["plovr"], UnknownNameError, "there is no machine 'plovr'; did you mean plover?"),
        ("kept", ["7"], UnknownNameError, "there is no kept '7'"),
        ("fuel", [Interval(1, 2)], WrongTestError, "fuel is not an axis: it has no range 1..2"),
        ("built", ["early"], WrongTestError, "built is an axis: 'early' is not a range"),
        (
            "built",
            [Interval(1957, None)],
            NotToldApartError,
            "built 1957.. ends within a stretch of plover that was not split there",
        ),
    ],
)
def test_a_wrong_test_is_never_silently_false(
    name: str, values: list[Any], error: type[Exception], says: str
) -> None:
    """It says what is wrong, with the nearest known names."""
    with pytest.raises(error) as caught:
        Universe([FUEL], [PLOVER]).test(name, values)

    assert says == str(caught.value)


@pytest.mark.parametrize(
    "arguments, error, says",
    [
        (([FUEL, FUEL], [PLOVER]), CatalogueError, "two things are called feature 'fuel'"),
        (
            ([Feature("built", ("early",))], [PLOVER]),
            CatalogueError,
            "a feature cannot be called 'built': that name has a meaning of its own",
        ),
        (
            ([FUEL], [PLOVER], [Kept("7", "plovr")]),
            UnknownNameError,
            "there is no machine 'plovr'; did you mean plover?",
        ),
        (
            ([FUEL], [Machine("teal", "Teal", {}, (Build({"fule": ("petrol",)}),))]),
            UnknownNameError,
            "there is no feature 'fule'; did you mean fuel?",
        ),
        (
            ([FUEL], [Machine("teal", "Teal", {}, (Build({"fuel": ("petrl",)}),))]),
            UnknownNameError,
            "there is no value of fuel 'petrl'; did you mean petrol?",
        ),
        (([FUEL], [PLOVER], [], {"years": []}), UnknownNameError, "there is no axis 'years'"),
    ],
)
def test_a_contradictory_catalogue_is_refused(
    arguments: tuple[Any, ...], error: type[Exception], says: str
) -> None:
    """Before any set is made."""
    with pytest.raises(error) as caught:
        Universe(*arguments)

    assert says == str(caught.value)


def test_a_question_keeps_its_answers() -> None:
    """Asked again with others, or of a machine with an answer it does not have, it is refused."""
    universe = Universe([FUEL], [PLOVER])
    universe.answers("spark", ("good", "weak"))
    variant = universe.first(universe.all)

    with pytest.raises(CatalogueError, match="'spark' was asked before with other answers"):
        universe.answers("spark", ("good", "none"))
    with pytest.raises(UnknownNameError, match="there is no answer to spark 'none'"):
        _ = (
            Variant(variant.machine, None, variant.axes, variant.values, {}, {"spark": "none"})
            in universe.answers("spark", ("good", "weak"))["good"]
        )
    with pytest.raises(UnknownNameError, match="there is no look or question 'sparks'"):
        universe.count(universe.all, Mention(looks=frozenset({"sparks"})))
