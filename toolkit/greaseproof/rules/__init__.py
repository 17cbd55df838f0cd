"""The rules: one a file, found by looking through this folder. What a rule finds becomes a finding here."""

from __future__ import annotations

import importlib
import pkgutil
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from ..finding import Finding, Level, Related, Span
from ..machines.variants import Variants
from ..proof import Proof, Proofs
from ..reading.model import Step

__all__ = ["Found", "Rule", "all_rules", "rule", "run_rule"]


@dataclass(slots=True)
class Found:
    """What a rule found. The rule's name and level are stamped on it; `variants` of `within` become words."""

    at: Span
    wrong: str
    variants: Variants | None = None
    within: Variants | None = None
    procedure: str | None = None
    step: Step | None = None
    because: tuple[Related, ...] = ()
    mend: str | None = None


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. `reads` says what it looks at: one procedure with what it calls, or the whole manual."""

    slug: str
    level: Level
    reads: Literal["procedure", "manual"]
    since: str
    page: str
    check: Callable[..., Iterator[Found]]

    @property
    def headline(self) -> str:
        """The first sentence of its page."""
        return self.page.strip().split("\n\n")[0].replace("\n", " ")


_RULES: dict[str, Rule] = {}


def rule(
    *, level: Level, reads: Literal["procedure", "manual"], since: str
) -> Callable[[Callable[..., Iterator[Found]]], Callable[..., Iterator[Found]]]:
    """Make a function a rule. Its name, with hyphens, is the rule's; its docstring is the rule's page."""

    def register(check: Callable[..., Iterator[Found]]) -> Callable[..., Iterator[Found]]:
        slug = check.__name__.replace("_", "-")
        page = re.sub(r"^    ", "", check.__doc__ or "", flags=re.MULTILINE)
        _RULES[slug] = Rule(slug, level, reads, since, page, check)
        return check

    return register


@cache
def all_rules() -> dict[str, Rule]:
    """Every rule by name, in alphabetical order."""
    for module in pkgutil.iter_modules(__path__):
        importlib.import_module(f"{__name__}.{module.name}")
    return dict(sorted(_RULES.items()))


def run_rule(each: Rule, proofs: Proofs) -> Iterator[Finding]:
    """All findings of one rule on one manual. A rule that fails is itself a finding; the others still run."""
    try:
        if each.reads == "manual":
            for found in each.check(proofs):
                yield stamped(each, found, proofs, None)
        else:
            for proof in proofs.proofs():
                for found in each.check(proof, proofs):
                    yield stamped(each, found, proofs, proof)
    except Exception as error:  # one rule's fault must not hide what the others find
        yield crashed(each, error, proofs)


def stamped(each: Rule, found: Found, proofs: Proofs, proof: Proof | None) -> Finding:
    """A finding, from what a rule found."""
    procedure = found.procedure or (proof.procedure.id if proof else None)
    within = found.within if found.within is not None else proof.applies if proof else proofs.resolver.all
    told = None
    if found.variants is not None and found.variants and (found.variants != within or procedure is not None):
        told = proofs.for_variants(found.variants, within, procedure)
    return Finding(
        each.slug,
        each.level,
        found.at,
        found.wrong,
        procedure,
        found.step.name if found.step else None,
        told,
        found.because,
        found.mend,
    )


def crashed(each: Rule, error: Exception, proofs: Proofs) -> Finding:
    """The finding that says that a rule failed, and how, in one line."""
    what: Any = type(error).__name__
    place = Span(proofs.shop.info.file, 1, 1, 1, 1) if proofs.shop.info else Span("manual.yaml", 1, 1, 1, 1)
    return Finding(
        "rule-crashed",
        Level.ERROR,
        place,
        f"the rule {each.slug} failed: {what}: {error}",
        mend="report it to whoever looks after the toolkit, with the manual that brought it about",
    )
