"""Every rule's page is true: its Bad blocks yield exactly what they say, its Good blocks nothing."""

from __future__ import annotations

import itertools

import pytest
from greaseproof.manual import check
from greaseproof.report.text import findings_text
from greaseproof.rules import Rule, all_rules
from rules.pages import Example, bad, examples, good, sound

RULES = all_rules()


def pairs(rule: Rule) -> list[tuple[Example, Example]]:
    """Each Bad with the Good that follows it."""
    found = examples(rule.page)
    return [
        (b, g) for b, g in itertools.pairwise(found) if (b.heading, g.heading) == ("Bad", "Good")
    ]


def test_rules_are_found() -> None:
    """There are rules at all, so that the tests below test something."""
    assert len(RULES) >= 15


def test_sound_manual_is_sound() -> None:
    """The manual that examples are laid over has no finding of its own."""
    assert [] == check(sound()).findings


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_page_has_examples(rule: Rule) -> None:
    """A page has a headline, a Bad block followed by a Good one, and the printed text once at least."""
    headline = rule.headline

    assert headline.endswith(".")
    assert len(headline) > 20
    assert pairs(rule)
    assert any(b.printed for b, _ in pairs(rule))


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_bad_is_found(rule: Rule) -> None:
    """A Bad block yields exactly the findings it expects, this rule's among them, and the printed text."""
    for example, _ in pairs(rule):
        files = bad(example)
        findings = check(files).findings

        assert example.expected(files) == sorted((f.rule, f.span.file, f.span.line) for f in findings)
        assert rule.slug in {f.rule for f in findings}
        if example.printed:
            assert example.printed == findings_text([f for f in findings if f.rule == rule.slug])


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_good_is_clean(rule: Rule) -> None:
    """A Good block laid over the Bad one yields no finding from any rule."""
    for b, g in pairs(rule):
        findings = check(good(g, b)).findings

        assert [] == [(f.rule, str(f.span), f.message) for f in findings]
