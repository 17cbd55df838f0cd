"""manual.yaml and machines.yaml: who answers for the manual, and the machines it covers."""

from __future__ import annotations

from typing import Any

from ..applies import Differing, DifferingKind, Stretch, StretchKind
from ..kinds import Id, ListOf, MapOf, OneOf, Ref, RefKind
from ..nodes import Mapping
from ..records import Record, RecordKind, key
from .values import IDS, MASS, SENTENCE, WORDS, Sourced


class ManualFile(Sourced, called="the manual"):
    """`manual.yaml`: what the manual is called and who answers for it."""

    title: str = key(WORDS, "The manual's title.", default="", required=True)
    language: str = key(WORDS, "The language it is written in, as a BCP 47 tag: `en-GB`.", default="en-GB")
    units: str = key(
        OneOf("metric first", "imperial first", "metric", "imperial"),
        "Which units a reader sees first.",
        default="metric first",
    )
    answers_for_it: str | None = key(WORDS, "Who answers for what the manual says.")
    contact: str | None = key(WORDS, "How to reach them: a mail or web address.")
    systems: tuple[str, ...] = key(IDS, "The systems of a machine, in the order of the contents.", default=())
    notice: str | None = key(
        SENTENCE, "A sentence that every page carries, such as that the data are invented."
    )


class Feature(Sourced, called="a feature"):
    """Something in which machines differ."""

    values: tuple[str, ...] = key(IDS, "The values it may have.", default=(), required=True, name="is")
    tell: str | None = key(SENTENCE, "How somebody in front of the machine can tell which it is.")
    altered: str | None = key(
        OneOf("often", "seldom"),
        "Whether owners change it, so that the year cannot be trusted.",
        proven=False,
    )


class FeatureKind(RecordKind):
    """A feature, or just the list of its values."""

    def __init__(self) -> None:
        super().__init__(Feature)

    def read(self, node: Any, reader: Any) -> Feature | None:

        if isinstance(node, Mapping):
            feature: Feature | None = super().read(node, reader)
            return feature
        values = IDS.read(node, reader)
        if values is None:
            return None
        built = Feature.__new__(Feature)
        built.node, built.file, built.values = Mapping({}, node.start, node.end), reader.file, values
        return built

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [IDS.schema(definitions), super().schema(definitions)]}


class HasKind:
    """`has`: features and their values; or a list of such, one for each build.

    The value is a tuple of builds.
    """

    one = MapOf(DifferingKind(IDS), "features and their values")
    several = ListOf(one, "a list of builds")

    def read(self, node: Any, reader: Any) -> tuple[dict[str, Differing], ...] | None:

        if isinstance(node, Mapping):
            build = self.one.read(node, reader)
            return None if build is None else (build,)
        return self.several.read(node, reader)

    def schema(self, definitions: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [self.one.schema(definitions), self.several.schema(definitions)]}


class Machine(Sourced, called="a machine"):
    """A model of machine, over all the years it was built."""

    name: str = key(WORDS, "The model's name, as people say it.", default="", required=True)
    built: Stretch = key(StretchKind(), "The years in which it was built.", required=True)
    serial: Stretch | None = key(StretchKind(), "The serial numbers it was given.")
    engine: Stretch | None = key(StretchKind(), "The engine numbers it was given.")
    mass: Differing | None = key(DifferingKind(MASS), "Its mass, ready to drive.", proven=False)
    has: tuple[dict[str, Differing], ...] = key(
        HasKind(),
        "What it is fitted with. A list of values means any of these; a list of mappings ties options that "
        "come together.",
        default=(),
    )


class KeptMachine(Sourced, called="a kept machine"):
    """One machine of the workshop's own."""

    machine: Ref = key(RefKind("a machine"), "The model it is.", required=True)
    name: str | None = key(WORDS, "What the workshop calls it.")
    built: Stretch | None = key(StretchKind(), "The year it was built, or the years it may have been.")
    serial: Stretch | None = key(StretchKind(), "Its serial number.")
    engine: Stretch | None = key(StretchKind(), "Its engine number.")
    has: dict[str, tuple[str, ...]] = key(
        MapOf(IDS, "features and their values"),
        "What it is fitted with, where that is known or was altered.",
        default={},
    )
    note: str | None = key(SENTENCE, "What else there is to know about it.")


class MachinesFile(Record, called="machines.yaml"):
    """`machines.yaml`: features, hardware by years, machines, the workshop's own machines."""

    features: dict[str, Feature] = key(
        MapOf(FeatureKind(), "features"), "In what the machines differ.", default={}
    )
    hardware: Differing | None = key(
        DifferingKind(Id()), "Which thread standard machines have, by years: becomes the feature `hardware`."
    )
    machines: dict[str, Machine] = key(
        MapOf(RecordKind(Machine), "machines"),
        "The models that the manual covers.",
        default={},
        required=True,
    )
    kept: dict[str, KeptMachine] = key(
        MapOf(RecordKind(KeptMachine), "the workshop's machines", names=WORDS),
        "The workshop's own machines.",
        default={},
    )
