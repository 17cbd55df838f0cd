"""The body of a procedure's page as HTML, from its page data. Every text of an author is escaped here."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from html import escape

from ..views.page import (
    ActShown,
    CallRow,
    ConditionRow,
    Figure,
    HeadingRow,
    Link,
    Material,
    Page,
    PutBackRow,
    Row,
    Signal,
    StepRow,
    ThingRow,
)

__all__ = ["PICTURES", "Writer", "address", "css_text"]

#: The safety alert symbol of ISO 3864 and ANSI Z535.6: it stands with every signal word that is about injury.
TRIANGLE = (
    '<svg class="gp-alert" viewBox="0 0 24 22" aria-hidden="true" focusable="false">'
    '<path d="M12 1 23 21H1Z" fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round"/>'
    '<path d="M12 8v6" stroke="currentColor" stroke-width="2.4"/>'
    '<circle cx="12" cy="17.6" r="1.5" fill="currentColor"/></svg>'
)

#: The folder of the manual's pictures within the site.
PICTURES = "_images/procedures"

#: Shown by the script where something is ticked.
CLEAR = (
    '<p class="gp-clear"><button type="button" data-clear hidden>Clear the ticks of this page</button></p>'
)

#: Where a step is done, in words that stand behind the sentence; other words stand as they are.
WHERE = {"under": "beneath the machine", "inside": "inside the machine"}

#: Only addresses that open mail or a page: an author's text must not become a script.
OPENS = ("mailto:", "https://", "http://")

#: How the parts of another procedure are called.
CALLS = {"steps": "steps", "closing": "refitting", "finally": "last steps"}

#: What stands before the name of a thing, where it is not plain from the sentence.
ACTS = {"mark": "Mark", "disturbs": "Off and on again", "renew": "New", "top_up": "Top up"}


def address(system: str, id: str) -> str:
    """Where a procedure's page is, without `.html`."""
    return f"procedures/{system}/{id}"


def css_text(text: str) -> str:
    """A text as a string of CSS that nothing can break out of."""
    return (
        '"'
        + "".join(c if (c.isalnum() and c.isascii()) or c == " " else f"\\{ord(c):x} " for c in text)
        + '"'
    )


def only(words: str | None) -> str:
    """The machines' words above what is only theirs."""
    return f'<p class="gp-only-words">Only: {escape(words)}</p>' if words else ""


def only_inline(words: str | None) -> str:
    return f' <span class="gp-only-inline">only: {escape(words)}</span>' if words else ""


def figures(values: Iterable[Figure]) -> str:
    """Figures, each for fewer machines with these above it."""
    return "".join(
        f'<li class="gp-differs">{only(value.only)}{figure_text(value.text)}</li>'
        if value.only
        else f"<li>{figure_text(value.text)}</li>"
        for value in values
    )


def for_all(values: Iterable[Figure]) -> list[str]:
    """The figures that are the same on all machines."""
    return [figure_text(value.text) for value in values if value.only is None]


def for_some(values: Iterable[Figure], words: str) -> list[str]:
    """The figures of some machines."""
    return [figure_text(value.text) for value in values if value.only == words]


def told_apart(*groups: Iterable[Figure]) -> list[str]:
    """The words by which figures differ, in the order of the first mention."""
    return list(dict.fromkeys(value.only for group in groups for value in group if value.only))


def figure_text(text: str) -> str:
    """A text in figures whose number and unit stay on one line."""
    return re.sub(r"(?<=\d) (?=[^\d\s(·])", "&nbsp;", escape(text))


class Writer:
    """Writes pages.

    `root` is the way from a page to the top of the site, `../../`; `pictures` are the names of those copied.
    """

    def __init__(
        self, root: str = "../../", suffix: str = ".html", pictures: frozenset[str] = frozenset()
    ) -> None:
        self.root, self.suffix, self.pictures = root, suffix, pictures

    def href(self, link: Link) -> str:
        part = f"#{link.part}" if link.part else ""
        return escape(f"{self.root}{address(link.system, link.id)}{self.suffix}{part}")

    def anchor(self, link: Link, text: str | None = None) -> str:
        return f'<a href="{self.href(link)}">{escape(text or link.title)}</a>'

    # ------------------------------------------------------------------------------------------------ the
    # page

    def page(
        self,
        page: Page,
        findings: tuple[str, ...] = (),
        drawing: str = "",
        before: Link | None = None,
        after: Link | None = None,
    ) -> str:
        """The whole body. `findings` make it a marked draft; `drawing` is HTML that was made elsewhere."""
        heading = "Refitting" if page.refit else "Closing"
        refit = self.section("closing", heading, self.refitting(page)) if page.refit or page.close else ""
        final = self.section("finally", "Finally", self.rows(page.finally_)) if page.finally_ else ""
        # Others link to the closing half, whatever it begins with.
        final = final if refit else f'<div id="closing">{final}</div>'
        return "".join(
            (
                f'<article class="gp" data-procedure="{escape(page.id)}">',
                running_foot(page),
                f"<h1>{escape(page.title)}</h1>",
                draft(page, findings),
                f'<p class="gp-notice-line">{escape(page.notice)}</p>' if page.notice else "",
                f'<p class="gp-purpose">{escape(page.purpose)}</p>' if page.purpose else "",
                self.symptoms(page),
                contents(page, bool(drawing)),
                self.section("before-you-start", "Before you start", self.before(page)),
                drawing,
                self.section("steps", "Steps", self.rows(page.steps)),
                refit,
                final,
                self.section("things", "Sizes, marks and amounts", self.things(page)) if page.things else "",
                self.section("sources", "Where the figures come from", self.sources(page))
                if page.sources
                else "",
                CLEAR,
                self.neighbours(before, after),
                self.title_block(page),
                "</article>",
            )
        )

    def section(self, id: str, heading: str, body: str) -> str:
        return f'<section id="{id}"><h2>{heading}</h2>{body}</section>' if body else ""

    def symptoms(self, page: Page) -> str:
        if not page.symptoms:
            return ""
        items = "".join(f"<li>{escape(symptom)}</li>" for symptom in page.symptoms)
        return f'<p class="gp-lead">Signs that it is wanted:</p><ul class="gp-plain">{items}</ul>'

    def before(self, page: Page) -> str:
        """Which machine, what can hurt you, what must be so first, what to have ready, who and how long."""
        machines = "".join(
            f"<li>{escape(machine.name)}, built {escape(machine.built)}{only_inline(machine.only)}</li>"
            for machine in page.machines
        )
        words = (
            "every machine of this manual" if page.machines_words == "every machine" else page.machines_words
        )
        parts = [
            (
                f"<h3>Which machine</h3><p>For {escape(lead(words))}:</p>"
                f'<ul class="gp-plain gp-machines">{machines}</ul>{self.tells(page)}'
            )
        ]
        if page.hazards:
            parts.append(f"<h3>What can hurt you</h3>{self.hazards(page)}")
        if page.first or page.needs:
            needs = "".join(f"<li>It must already be so: {escape(need)}.</li>" for need in page.needs)
            first = "".join(
                self.first(each.says, each.how, each.link, each.waiting, each.only) for each in page.first
            )
            parts.append(f'<h3>What must be so first</h3><ul class="gp-plain">{needs}{first}</ul>')
        ready = ""
        if page.tools:
            ready += f"<h4>Tools</h4>{self.materials(page.tools)}"
        if page.supplies:
            ready += f"<h4>Supplies and spares</h4>{self.materials(page.supplies)}"
        if page.waste:
            waste = "".join(f"<li>{escape(what)}: {escape(where)}</li>" for what, where in page.waste)
            ready += f'<h4>Where the waste goes</h4><ul class="gp-plain gp-materials">{waste}</ul>'
        if ready:
            parts.append(f"<h3>What to have ready</h3>{ready}")
        parts.append(f"<h3>Who, and how long</h3>{self.who(page)}")
        return "".join(parts)

    def tells(self, page: Page) -> str:
        """How to tell which machine stands there."""
        items = "".join(
            f"<li>{escape(tell.says)}"
            + (" <b>Owners change this: look, whatever the year.</b>" if tell.altered else "")
            + "</li>"
            for tell in page.tells
        )
        return f'<h4>How to tell</h4><ul class="gp-plain">{items}</ul>' if items else ""

    def who(self, page: Page) -> str:
        people = "One person." if page.people == 1 else f"{number_word(page.people)} people."
        roles = f" They are called {', '.join(page.roles)} here." if page.roles else ""
        skill = f" {sentence_end(page.skill)}" if page.skill else ""
        time = f" {sentence_end(page.time)}" if page.time else ""
        return f"<p>{escape(people + roles + skill + time)}</p>"

    def first(
        self, says: str, how: str | None, link: Link | None, waiting: str | None, only: str | None
    ) -> str:
        done = escape(how) if how else f"{escape(says[:1].upper() + says[1:])}."
        if link is not None:
            done += f" Do {self.anchor(link)}."
        wait = f" This takes {escape(waiting)}." if waiting else ""
        return f"<li>{done}{wait}{only_inline(only)}</li>"

    def materials(self, materials: Iterable[Material]) -> str:
        """What is wanted on all machines, then what some of them want, under their words."""
        listed = list(materials)
        groups: list[str] = []
        for words in dict.fromkeys(["", *(each.only or "" for each in listed)]):
            items = []
            for each in listed:
                if (each.only or "") == words:
                    what = f"<b>{figure_text(each.what)}</b>, new" if each.renew else figure_text(each.what)
                    items.append(f"<li>{what}{f', {figure_text(each.about)}' if each.about else ''}</li>")
            inside = f'<ul class="gp-plain gp-materials">{"".join(items)}</ul>'
            if items:
                groups.append(f'<div class="gp-only">{only(words)}{inside}</div>' if words else inside)
        return "".join(groups)

    # ------------------------------------------------------------------------------------------- signal words

    def hazards(self, page: Page) -> str:
        """This job's own, then those of the procedures that it leads through, under their titles."""
        parts = []
        for link in dict.fromkeys([None, *(signal.link for signal in page.hazards)]):
            signals = [signal for signal in page.hazards if signal.link == link]
            if signals:
                heading = f"<h4>In {self.anchor(link)}</h4>" if link is not None else ""
                parts.append(heading + self.signals(signals, where=link is None))
        return "".join(parts)

    def signals(self, signals: Iterable[Signal], where: bool = False) -> str:
        return "".join(self.signal(signal, where) for signal in signals)

    def signal(self, signal: Signal, where: bool) -> str:
        alert = "" if signal.word == "NOTICE" else TRIANGLE
        at = (
            f' <a class="gp-at" href="#{escape(signal.step)}">At its step</a>'
            if where and signal.step
            else ""
        )
        return (
            f'<div class="gp-signal gp-{signal.word.lower()}" role="note">'
            f'<p class="gp-word">{alert}<span>{signal.word}</span></p>'
            f'<p class="gp-says-signal">{escape(signal.says)}{only_inline(signal.only)}{at}</p></div>'
        )

    # --------------------------------------------------------------------------------------------------- rows

    def rows(self, rows: Iterable[Row]) -> str:
        """Lines of the job, as a list."""
        return f'<ol class="gp-rows">{"".join(self.row(row) for row in rows)}</ol>'

    def row(self, row: Row) -> str:
        if isinstance(row, StepRow):
            return self.step(row)
        if isinstance(row, HeadingRow):
            until = (
                f'<p class="gp-quiet">Again and again, until: {escape(row.until)}</p>' if row.until else ""
            )
            who = f'<p class="gp-quiet">{escape(row.who)}</p>' if row.who else ""
            inside = f"{self.signals(row.signals)}<h3>{escape(row.says)}</h3>{who}{until}"
            return self.item("gp-heading", row.anchor, row.depth, row.only, inside)
        if isinstance(row, ConditionRow):
            return self.condition(row)
        if isinstance(row, CallRow):
            return self.call(row)
        return self.put_back(row)

    def item(self, kind: str, anchor: str, depth: int, words: str | None, inside: str) -> str:
        differs = " gp-only" if words else ""
        deep = f' data-depth="{min(depth, 3)}"' if depth else ""
        return f'<li class="gp-row {kind}{differs}" id="{escape(anchor)}"{deep}>{only(words)}{inside}</li>'

    def tick(self, anchor: str, number: int | None, inside: str, end: str = "") -> str:
        """One tap target: the square, the number, the sentence, and what stands at the line's end."""
        shown = f'<span class="gp-number">{number}</span>' if number is not None else ""
        last = f'<span class="gp-end">{end}</span>' if end else ""
        return (
            '<label class="gp-do">'
            f'<input type="checkbox" class="gp-tick" data-tick="{escape(anchor)}">{shown}'
            f'<span class="gp-says">{inside}</span>{last}</label>'
        )

    def step(self, row: StepRow) -> str:
        parts = [self.signals(row.signals), self.tick(row.anchor, row.number, escape(row.says))]
        body = [self.acts(row.acts)]
        if row.picture:
            body.append(self.picture(row.picture))
        if row.measure:
            body.append(f'<p class="gp-measure">{figure_text(row.measure[:1].upper() + row.measure[1:])}</p>')
        body.extend(
            f'<p class="gp-write">{escape(record)} <span class="gp-line"></span></p>'
            for record in row.records
        )
        if row.tests:
            body.extend(f'<p class="gp-test">It is right if: {escape(test)}</p>' for test in row.tests)
        plain = [f"Done by: {row.who}."] if row.who else []
        plain.extend(circumstances(row))
        if row.checked_by:
            plain.append(f"To be checked by {row.checked_by}.")
        if row.waiting:
            plain.append(f"Then wait {row.waiting}.")
        if row.supplies:
            plain.append(f"Uses {'; '.join(row.supplies)}.")
        if row.safe_to_stop:
            plain.append("The job may be left here.")
        if plain:
            body.append(f'<p class="gp-quiet">{figure_text(" ".join(plain))}</p>')
        if row.keep:
            body.append(f'<p class="gp-quiet">Keep: {escape(row.keep)}</p>')
        if row.why:
            body.append(f'<p class="gp-quiet">Why: {escape(row.why)}</p>')
        if row.tip:
            body.append(f'<p class="gp-quiet">Tip: {escape(row.tip)}</p>')
        if row.ends_here:
            body.append(f'<p class="gp-test">Stop here: {escape(row.ends_here)}</p>')
        if row.goes_to is not None:
            body.append(f'<p class="gp-test">Go on with {self.anchor(row.goes_to)}.</p>')
        for branch in row.branches:
            link = f" {self.anchor(branch.link)}" if branch.link is not None else ""
            inside = self.rows(branch.rows) if branch.rows else ""
            body.append(f'<div class="gp-branch"><h4>{escape(branch.says)}{link}</h4>{inside}</div>')
        more = f'<div class="gp-more">{"".join(body)}</div>' if any(body) else ""
        return self.item("gp-step", row.anchor, row.depth, row.only, "".join(parts) + more)

    def picture(self, name: str) -> str:
        """A picture of the step, if its file is there; else its name."""
        if name not in self.pictures:
            return f'<p class="gp-quiet">Picture: {escape(name)}</p>'
        source = escape(f"{self.root}{PICTURES}/{name}")
        return f'<figure class="gp-picture"><img src="{source}" alt="" loading="lazy"></figure>'

    def acts(self, acts: Iterable[ActShown]) -> str:
        items = []
        for act in acts:
            verb = f"{ACTS[act.action]}: " if act.action in ACTS else ""
            mark = f' <span class="gp-mark">{escape(act.mark)}</span>' if act.mark else ""
            values = f'<ul class="gp-values">{figures(act.figures)}</ul>' if act.figures else ""
            items.append(
                f'<li><span class="gp-name">{verb}{escape(act.name)}</span>{mark}'
                f"{only_inline(act.only)}{values}</li>"
            )
        return f'<ul class="gp-acts">{"".join(items)}</ul>' if items else ""

    def condition(self, row: ConditionRow) -> str:
        if row.how is not None:
            says = escape(row.how)
        else:
            says = f"{'Make sure' if row.opens else 'No longer needed'}: {escape(row.condition)}."
        if row.link is not None:
            what = "" if row.opens else "the refitting and the last steps of "
            says += f" Do {what}{self.anchor(row.link)}."
        wait = f" This takes {escape(row.waiting)}." if row.waiting else ""
        inside = self.tick(row.anchor, None, f"{says}{wait}")
        return self.item("gp-condition", row.anchor, row.depth, row.only, inside)

    def call(self, row: CallRow) -> str:
        says = f"{escape(row.says)} " if row.says else ""
        says += f"Do the {CALLS[row.part]} of {self.anchor(row.link)}."
        if row.part == "closing":
            says += " Its last steps come later."
        why = f'<div class="gp-more"><p class="gp-quiet">Why: {escape(row.why)}</p></div>' if row.why else ""
        return self.item("gp-call", row.anchor, row.depth, row.only, self.tick(row.anchor, None, says) + why)

    def put_back(self, row: PutBackRow) -> str:
        """What goes back; where machines differ, a line for each of their sizes, renewals and torques."""
        renew = " and ".join(f'<b class="gp-new">{text}</b>' for text in for_all(row.renew))
        says = f"{escape(row.says)}{f' with {renew}' if renew else ''}"
        plain = "".join(f"<li>{text}</li>" for text in for_all(row.figures))
        differing = ""
        for words in told_apart(row.figures, row.renew, row.ends):
            new = [f'<b class="gp-new">{text}</b>' for text in for_some(row.renew, words)]
            left = " · ".join([*for_some(row.figures, words), *new])
            right = "".join(f'<span class="gp-end">{text}</span>' for text in for_some(row.ends, words))
            pair = f'<span class="gp-pair"><span>{left}</span>{right}</span>'
            differing += f'<li class="gp-differs">{only(words)}{pair}</li>'
        body = f'<ul class="gp-values">{plain}{differing}</ul>' if plain or differing else ""
        if row.of_step is not None and row.step_anchor is not None:
            link = f'<a href="#{escape(row.step_anchor)}">See step {row.of_step}</a>.'
            plain = " ".join(circumstances(row))
            body += f'<p class="gp-quiet">{figure_text(plain)} {link}</p>'
        more = f'<div class="gp-more">{body}</div>' if body else ""
        tick = self.tick(row.anchor, None, says, " · ".join(for_all(row.ends)))
        inside = self.signals(row.signals) + tick + more
        return self.item("gp-put-back", row.anchor, row.depth, row.only, inside)

    def refitting(self, page: Page) -> str:
        note = f'<p class="gp-quiet">{escape(page.refit_note)}</p>' if page.refit_note else ""
        if not page.refit_written:
            return note + self.rows((*page.refit, *page.close))
        check = "<h3>To check against: all that goes back</h3>"
        return note + self.rows(page.refit_written) + check + self.rows((*page.refit, *page.close))

    # -------------------------------------------------------------------------------------- tables and the
    # end

    def things(self, page: Page) -> str:
        kinds = dict.fromkeys(thing.kind for thing in page.things)
        return "".join(
            self.table(kind, [thing for thing in page.things if thing.kind == kind]) for kind in kinds
        )

    def table(self, kind: str, things: list[ThingRow]) -> str:
        blocks = []
        for thing in things:
            facts = [(label, ", ".join(for_all(values))) for label, values in thing.facts]
            if thing.source:
                facts.append(("From", escape(thing.source)))
            some = "".join(
                f'<div class="gp-differs">{only(words)}'
                + fact_list([(label, ", ".join(for_some(values, words))) for label, values in thing.facts])
                + "</div>"
                for words in told_apart(*(values for _, values in thing.facts))
            )
            differs = " gp-only" if thing.only else ""
            blocks.append(
                f'<div class="gp-thing{differs}"><h4>{escape(thing.name[:1].upper() + thing.name[1:])}</h4>'
                f"{only(thing.only)}{fact_list(facts)}{some}</div>"
            )
        return f'<h3>{escape(kind)}</h3><div class="gp-things">{"".join(blocks)}</div>'

    def sources(self, page: Page) -> str:
        items = "".join(
            f"<li>{escape(sentence_end(source))} "
            f'<span class="gp-quiet">For {escape(", ".join(names))}.</span></li>'
            for source, names in page.sources
        )
        return f'<ul class="gp-plain">{items}</ul>'

    def neighbours(self, before: Link | None, after: Link | None) -> str:
        """The procedures before and after it in its system."""
        links = [
            f'<a rel="{rel}" href="{self.href(link)}"><span>{label}</span> {escape(link.title)}</a>'
            for rel, label, link in (
                ("prev", "Before it in this system:", before),
                ("next", "After it:", after),
            )
            if link is not None
        ]
        return f'<nav class="gp-neighbours" aria-label="This system">{"".join(links)}</nav>' if links else ""

    def title_block(self, page: Page) -> str:
        """The fields that ISO 7200 names for the title block of a technical document."""
        revision = page.revision or "none stated"
        date = f", {page.revised}" if page.revised else ""
        contact = ""
        if page.contact is not None and page.contact.startswith(OPENS):
            shown = page.contact.removeprefix("mailto:")
            contact = f' <a href="{escape(page.contact)}">{escape(shown)}</a>'
        machines = "; ".join(
            f"{machine.name} ({machine.built}{', ' + machine.only if machine.only else ''})"
            for machine in page.machines
        )
        rows = (
            ("Title", escape(page.title)),
            ("Id", escape(page.id)),
            ("Machines", escape(machines)),
            ("Revision", escape(revision + date)),
            ("Status", escape(page.status)),
            ("Answers for it", escape(page.answers_for_it or "nobody named") + contact),
            ("From", escape(f"{page.manual}, {page.file}")),
        )
        cells = "".join(f"<div><dt>{label}</dt><dd>{value}</dd></div>" for label, value in rows)
        return f'<footer class="gp-title-block"><dl>{cells}</dl></footer>'


def fact_list(facts: list[tuple[str, str]]) -> str:
    """Labels and what is written beside them; those beside which nothing stands are left out."""
    items = "".join(f"<div><dt>{escape(label)}</dt><dd>{value}</dd></div>" for label, value in facts if value)
    return f'<dl class="gp-facts">{items}</dl>' if items else ""


def running_foot(page: Page) -> str:
    """What each printed sheet carries at its foot, as margin boxes of CSS Paged Media.

    It is not part of the page.
    """
    revision = f"revision {page.revision}" if page.revision else "no revision stated"
    left = css_text(f"{page.title} · {page.id} · {revision}")
    middle = css_text(f"{page.manual}: {page.answers_for_it}" if page.answers_for_it else page.manual)
    state = css_text("" if page.status == "issued" else "DRAFT")
    return (
        f'<style media="print">@page{{@bottom-left{{content:{left}}}@top-left{{content:{middle}}}'
        f"@top-right{{content:{state}}}}}</style>"
    )


def contents(page: Page, drawing: bool) -> str:
    """The parts of the page, for a thumb."""
    parts = [
        ("before-you-start", "Before you start", True),
        ("diagram", "At a glance", drawing),
        ("steps", "Steps", True),
        ("closing", "Refitting" if page.refit else "Closing", bool(page.refit or page.close)),
        ("finally", "Finally", bool(page.finally_)),
        ("things", "Sizes", bool(page.things)),
    ]
    links = "".join(f'<a href="#{id}">{title}</a>' for id, title, there in parts if there)
    return f'<nav class="gp-contents" aria-label="Parts of this page">{links}</nav>'


def circumstances(row: StepRow | PutBackRow) -> Iterator[str]:
    """Where a step is done, how many it takes, and what weighs how much."""
    if row.where:
        yield f"{'Done ' + WHERE[row.where] if row.where in WHERE else 'At the ' + row.where}."
    if row.people is not None and row.people > 1:
        yield f"Takes {number_word(row.people).lower()} people."
    if row.lift:
        yield f"Weight: {row.lift}."


def draft(page: Page, findings: tuple[str, ...]) -> str:
    """The mark of a page that nobody may rely on, and why: `findings` are what is wrong with it."""
    if page.status == "issued":
        return ""
    why = "It has faults." if findings else "It is not issued."
    listed = "".join(f"<li><pre>{escape(finding)}</pre></li>" for finding in findings)
    faults = f"<p>What is wrong with it:</p><ul>{listed}</ul>" if listed else ""
    says = f"<p><b>DRAFT</b> Work from this page only beside somebody who knows the job. {why}</p>"
    return f'<div class="gp-draft" role="note">{says}{faults}</div>'


def sentence_end(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def lead(words: str) -> str:
    """The words of a set behind `For`.

    `machines built 1964 or later`, `Dunlin`, `every machine of this manual`.
    """
    return f"machines {words}" if words.startswith(("with ", "built ", "serial ", "engine ")) else words


def number_word(number: int) -> str:
    words = ("No", "One", "Two", "Three", "Four", "Five", "Six")
    return words[number] if number < len(words) else str(number)
