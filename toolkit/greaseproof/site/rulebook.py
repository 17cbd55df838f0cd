"""The directive that lists every rule, from the docstrings that are also the rules' tests."""

from __future__ import annotations

from typing import ClassVar

from docutils import nodes
from docutils.statemachine import StringList
from sphinx.application import Sphinx
from sphinx.util.docutils import SphinxDirective

from ..rules import Rule, all_rules

__all__ = ["setup_rulebook"]


def setup_rulebook(app: Sphinx) -> None:
    app.add_directive("rules", RulesDirective)


class RulesDirective(SphinxDirective):
    """A section for each rule: its name, its level, and its page in Markdown."""

    has_content: ClassVar[bool] = False

    def run(self) -> list[nodes.Node]:
        found: list[nodes.Node] = []
        for rule in all_rules().values():
            found.append(self.section(rule))
        return found

    def section(self, rule: Rule) -> nodes.section:
        section = nodes.section("", nodes.title("", rule.slug), ids=[f"rule-{rule.slug}"], names=[rule.slug])
        section["classes"].append("gp-rule")
        about = f"Level: {rule.level}. Since {rule.since}."
        section.append(nodes.paragraph("", about, classes=["gp-quiet"]))
        text = as_subheadings(rule.page)
        place = nodes.Element()
        self.state.nested_parse(StringList(text.split("\n"), source=f"rule {rule.slug}"), 0, place)
        section.extend(place.children)
        return section


def as_subheadings(page: str) -> str:
    """The page's own headings (`## Bad`) as bold lines: a directive cannot open sections within its own."""
    lines = []
    for line in page.strip().split("\n"):
        lines.append(f"**{line.removeprefix('## ')}**" if line.startswith("## ") else line)
    return "\n".join(lines)
