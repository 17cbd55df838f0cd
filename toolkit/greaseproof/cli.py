"""The command: arguments, exit codes and printing. What it tells comes from the rooms above.

Exit codes: 0, no errors; 1, errors; 2, it could not run.
"""

from __future__ import annotations

import contextlib
import gc
import io
import os
import sys
import textwrap
import time
from collections.abc import Callable, Collection, Iterable, Mapping
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import click

from . import __version__

if TYPE_CHECKING:
    from .manual import Manual, Report
    from .rules import Rule

__all__ = ["main"]

EXISTING_MANUAL = "The manual: a folder with manual.yaml in it, or one with `procedures` in it."


class Refusal(click.ClickException):
    """A command cannot run, and why, in a sentence."""

    exit_code = 2

    def show(self, file: IO[Any] | None = None) -> None:
        click.echo(f"greaseproof: {self.format_message()}", file=file or sys.stderr)


class Commands(click.Group):
    """The commands. What the system refuses is told in words."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            raise  # whoever read along has gone; click knows what to do
        except OSError as error:
            what = f"{error.filename}: {error.strerror}" if error.filename and error.strerror else str(error)
            raise Refusal(what) from None


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(__version__, message="%(prog)s %(version)s")
def cli() -> None:
    """Workshop procedures, written once and proven for every machine they cover."""


def main() -> None:
    """Run the command. Nothing that an author or a folder can hold ends in a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a pipe on Windows may be unable to say `≥`
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="replace")
    code = 2
    try:
        cli.main(prog_name="greaseproof")
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else int(ended.code is not None)
    except Exception as error:
        if os.environ.get("GREASEPROOF_TRACEBACK"):
            raise
        click.echo(
            f"greaseproof: the toolkit failed: {type(error).__name__}: {error}\n"
            "Report it to whoever looks after the toolkit, with the manual that brought it about.\n"
            "GREASEPROOF_TRACEBACK=1 in the environment shows where.",
            err=True,
        )
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError):  # whoever read them may be gone
            stream.flush()
    os._exit(code)  # at once: taking a large manual apart again costs a tenth of the time of proving it


# ------------------------------------------------------------------------------------------------ the manual


manual_option = click.option(
    "--manual", "folder", metavar="DIR", type=click.Path(path_type=Path), help=EXISTING_MANUAL,
)


def find_manual(given: Path | None, start: Path | None = None) -> Path:
    """The folder of the manual: the one given, else the nearest at or above `start` (or where we are)."""
    if given is not None:
        if not given.is_dir():
            raise Refusal(f"there is no folder {given}")
        found = manual_in(given)
        if found is None:
            raise Refusal(f"there is no manual in {given}: neither manual.yaml nor a folder `procedures`")
        return shown_path(found)
    start = plain_path(start or Path.cwd())
    for folder in (start, *start.parents):
        found = manual_in(folder) if folder.is_dir() else None
        if found is not None:
            return shown_path(found)
    raise Refusal(
        f"there is no manual in {start} or above it: no manual.yaml, and no folder `procedures`\n"
        "`greaseproof start DIR` writes one; `--manual DIR` names one"
    )


def manual_in(folder: Path) -> Path | None:
    """The manual that a folder is, or has in it as `procedures`."""
    if (folder / "manual.yaml").is_file():
        return folder
    inside = folder / "procedures"
    return inside if inside.is_dir() else None


def shown_path(path: Path) -> Path:
    """A path as it is printed: from the working directory, where the two have something in common."""
    here, there = Path.cwd(), plain_path(path)
    if there.is_relative_to(here) or here.is_relative_to(there.parent):
        return Path(os.path.relpath(there, here))
    return there


def plain_path(path: Path) -> Path:
    """The path in full, without `..` and without following links."""
    return Path(os.path.normpath(path.absolute()))


def proven(read: Callable[[], Manual]) -> Report:
    """Read a manual and prove it; the time is that of both."""
    began = time.perf_counter()
    gc.disable()  # all that is made here is needed until the end, ...
    report = read().report()
    gc.freeze()  # ... and nobody need look through it once more
    gc.enable()
    report.summary["seconds"] = round(time.perf_counter() - began, 3)
    return report


def exit_code(report: Report, *, strict: bool = False) -> int:
    """What the command ends with. `strict`: a warning counts as an error."""
    if report.crashed:
        return 2
    return int(report.errors > 0 or (strict and report.summary["warnings"] > 0))


def colour_wanted() -> bool:
    """Is this a terminal that shows colours, and whose user wants them? See no-color.org."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


# --------------------------------------------------------------------------------------------------- commands


@cli.command("help", short_help="Print this help, or that of a command.")
@click.argument("name", metavar="[COMMAND]", required=False)
@click.pass_context
def print_help(ctx: click.Context, name: str | None) -> None:
    """Print the help of the command as a whole, or that of one COMMAND."""
    assert ctx.parent is not None
    if name is None:
        click.echo(ctx.parent.get_help())
        return
    command = cli.commands.get(name)
    if command is None:
        raise Refusal(f"there is no command `{name}`; `greaseproof help` lists them")
    click.echo(command.get_help(click.Context(command, info_name=name, parent=ctx.parent)))


@cli.command(short_help="Write a new manual that builds at once.")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def start(folder: Path) -> None:
    """Write a new manual into DIR: a small one that builds at once."""
    from .starter import start as write_manual

    try:
        written = write_manual(folder)
    except FileExistsError:
        raise Refusal(f"{folder} is not empty; name an empty folder, or one that is not there yet") from None
    except NotADirectoryError:
        raise Refusal(f"{folder} is a file, or lies in one; name a folder that is not there yet") from None
    click.echo(f"{len(written)} files in {folder}. Everything in them is invented: write over it.")
    there = "" if plain_path(folder) == Path.cwd() else f"`cd {folder}`, then "
    click.echo(f"Next: {there}`greaseproof check` and `greaseproof build`.")


@cli.command()
@click.argument("id", metavar="ID")
@click.option("--title", metavar="TEXT", help="What is done; begins with a verb.")
@click.option("--system", metavar="SYSTEM", help="The system of the machine, and the folder of the file.")
@manual_option
def new(id: str, title: str | None, system: str | None, folder: Path | None) -> None:
    """Write a new procedure ID from a pattern."""
    from .manual import load
    from .reading.kinds import ID, made_well_formed
    from .reading.reader import nearest, one_of
    from .starter import new_procedure, taken, write_new

    manual = find_manual(folder)
    for name, what in ((id, "a procedure"), (system, "a system")):
        if name is not None and not ID.fullmatch(name):
            better = made_well_formed(name)
            mend = f"write `{better}`" if better else "use small letters, digits and single hyphens"
            raise Refusal(f"`{name}` cannot be the name of {what}: {mend}")
    why = taken(id)
    if why is not None:
        raise Refusal(f"`{id}` cannot be the name of a procedure: {why}")
    shop = load(manual).shop
    systems = shop.info.systems if shop.info else ()
    if system is None and len(systems) != 1:
        raise Refusal(f"--system is missing{f': write {one_of(systems)}' if systems else ''}")
    system = system or systems[0]
    if systems and system not in systems:
        near = nearest(system, systems)
        raise Refusal(
            f"manual.yaml has no system `{system}`: write {f'`{near}`' if near else one_of(systems)}, "
            "or add it to `systems` there"
        )
    if title is not None and not title.strip():
        raise Refusal("--title has nothing in it")
    other = shop.procedures.get(id)
    path = manual / system / f"{id}.yaml"
    if other is not None:
        raise Refusal(f"there is a procedure `{id}` already: {other.file}")
    try:
        write_new(path, new_procedure(id, title, system).encode())
    except FileExistsError:
        raise Refusal(f"{path.as_posix()} is there already") from None
    click.echo(f"{path.as_posix()} is a pattern: write over each sentence that begins with `…`.")
    click.echo(f"Next: `greaseproof check {id}`.")


@cli.command()
@click.argument("paths", metavar="[PATH]...", nargs=-1)
@click.option(
    "--format", "form", type=click.Choice(["text", "json", "github"]), default="text", show_default=True,
    help="Text for people, JSON for programs, workflow commands for GitHub.",
)
@click.option("--advice", is_flag=True, help="Tell every piece of advice, not only how many there are.")
@click.option(
    "--output", metavar="FILE", type=click.Path(path_type=Path), help="Write to FILE; print only counts.",
)
@manual_option
def check(paths: tuple[str, ...], form: str, advice: bool, output: Path | None, folder: Path | None) -> None:
    """Prove the manual for every machine it covers.

    The whole manual is read. A PATH is a file, a folder, a procedure's ID or a system: then only what
    is about these is told.

    Exit code: 0, no errors; 1, errors; 2, it could not run.
    """
    from .manual import load
    from .report import narrowed
    from .report.text import summary_line

    first = next((Path(path) for path in paths if Path(path).exists()), None)
    manual = find_manual(folder, first)
    report = proven(lambda: load(manual))
    if paths:
        report = narrowed(report, wanted_files(paths, manual, report))
    colour = output is None and colour_wanted()
    text = rendered(report, form, advice=advice, colour=colour)
    text = text.encode("utf-8", "replace").decode()  # a file's name need not be UTF-8
    if output is None:
        click.echo(text, nl=False, color=colour)
    else:
        if output.is_dir():
            raise Refusal(f"{output} is a folder; --output names a file")
        output.write_text(text, encoding="utf-8", newline="\n")
        click.echo(summary_line(report))
    sys.exit(exit_code(report))


def rendered(report: Report, form: str, *, advice: bool, colour: bool) -> str:
    """The report in one of the three forms."""
    if form == "json":
        from .report.json import report_json

        return report_json(report)
    if form == "github":
        from .report.github import report_github

        return report_github(report, advice=advice)
    from .report.text import report_text

    return report_text(report, advice=advice, colour=colour)


def wanted_files(paths: Iterable[str], manual: Path, report: Report) -> Callable[[str], bool]:
    """Tells of a file, as the report shows it, whether one of the paths means it."""
    from .reading.reader import nearest

    shop = report.manual.shop
    home = plain_path(manual)
    wanted: list[Path] = []
    for word in paths:
        path = plain_path(Path(word))
        if not path.exists() and word in shop.procedures:
            path = plain_path(Path(shop.procedures[word].file))
        elif not path.exists():
            path = plain_path(home / word)  # a system's folder, by its name alone
        if not path.exists():
            near = nearest(word, [*shop.procedures, *(shop.info.systems if shop.info else ())])
            mend = f"; the nearest is `{near}`" if near else ""
            raise Refusal(f"there is no file, folder, system or procedure {word}{mend}")
        within = path.is_relative_to(home) or home.is_relative_to(path)
        if not within or not (path.is_dir() or path.suffix in (".yaml", ".yml")):
            raise Refusal(f"{word} is no part of the manual in {manual}")
        wanted.append(path)
    return lambda file: any(plain_path(Path(file)).is_relative_to(path) for path in wanted)


@cli.command(short_help="Tell what a rule looks for, or list the rules.")
@click.argument("name", metavar="[RULE]", required=False)
def explain(name: str | None) -> None:
    """Tell what a rule looks for and why, with examples; or list the rules.

    RULE is what a finding shows in its square brackets, also where that is no rule but was found on reading.
    Any other word lists the rules that have it in their name or headline.
    """
    from .reading.findings import PAGES
    from .reading.reader import nearest
    from .rules import all_rules

    rules = all_rules()
    if name is None:
        click.echo(rule_list(rules.values()), nl=False)
        return
    name = name.strip().strip("[]`")
    if name in PAGES:
        click.echo(f"{name}: found before any rule looks\n\n{PAGES[name].strip()}")
        return
    rule = rules.get(name)
    if rule is None:
        telling = [each for each in rules.values() if speaks_of(name, each.slug, each.headline)]
        read = {slug: page for slug, page in PAGES.items() if speaks_of(name, slug, headline(page))}
        if telling or read:
            click.echo(f"no rule is called `{name}`, but these have it in their name or headline\n")
            click.echo(rule_list(telling, read), nl=False)
            return
        near = nearest(name, [*rules, *PAGES])
        mend = f"; the nearest is `{near}`" if near else "; `greaseproof explain` lists the rules"
        raise Refusal(f"there is no rule `{name}`{mend}")
    reads = "one procedure with what it calls" if rule.reads == "procedure" else "the whole manual"
    click.echo(f"{rule.slug}: {rule.level}, looks at {reads}, since {rule.since}\n\n{rule.page.strip()}")


def speaks_of(words: str, slug: str, told: str) -> bool:
    """Do the words stand in a rule's name or headline? Hyphens and capitals make no difference."""
    wanted, text = (each.replace("-", " ").casefold() for each in (words, f"{slug}\n{told}"))
    return bool(wanted.strip()) and wanted in text


def headline(page: str) -> str:
    """The first sentences of a page, in one line."""
    return " ".join(page.strip().split("\n\n")[0].split())


def rule_list(rules: Collection[Rule], read: Mapping[str, str] | None = None) -> str:
    """Name and headline of each rule, by level, errors first; then those of the pages of reading."""
    from .finding import Level

    groups = {
        f"{level}:": [(rule.slug, rule.headline) for rule in rules if rule.level is level] for level in Level
    }
    groups["found before any rule looks:"] = [(slug, headline(page)) for slug, page in (read or {}).items()]
    parts = []
    for title, entries in groups.items():
        lines = [title]
        for slug, told in entries:
            lines.append(f"  {slug}")
            lines.extend(textwrap.wrap(
                told, 80, initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False
            ))
        if entries:
            parts.append("\n".join(lines))
    parts.append("`greaseproof explain RULE` shows the page of a rule, or of any other finding.")
    return "\n\n".join(parts) + "\n"


@cli.command()
@click.option("--draft", is_flag=True, help="Build in spite of errors; pages with any are marked.")
@click.option("--strict", is_flag=True, help="Any warning is an error; every page is read anew.")
@click.option("--no-diagrams", is_flag=True, help="Draw nothing: quicker, for a look at the words.")
@manual_option
def build(draft: bool, strict: bool, no_diagrams: bool, folder: Path | None) -> None:
    """Prove the manual, and build its site.

    An error stops it, but for those of a procedure that is not issued: that is left out, with a notice.
    The book is the folder `book` beside the procedures; the site is put into book/_build/html.
    """
    from .report.text import counted, findings_text, summary_line
    from .site.building import build_site, unreadable
    from .site.manual import Book

    manual = find_manual(folder)
    home = shown_path(plain_path(manual).parent / "book")
    for path, what in ((home, "folder"), (home / "_config.yml", "file"), (home / "_toc.yml", "file")):
        if not (path.is_dir() if what == "folder" else path.is_file()):
            raise Refusal(f"there is no {what} {path.as_posix()}, and without it no book to build")
    book = Book(manual, draft)
    report = proven(lambda: book.manual)
    broken = unreadable(home)
    told = [finding for finding in (*report.findings, *broken) if finding.level != "advice"]
    if told:
        click.echo(findings_text(told, colour=colour_wanted()), color=colour_wanted())
    for line in () if draft else book.unfounded():
        click.echo(line)
    if not broken:
        click.echo(summary_line(report))
    code = exit_code(report, strict=True) if strict or report.crashed else int(book.complaint() is not None)
    if broken or code == 2 or (code and not draft):
        click.echo("not built: mend what stands above first")
        sys.exit(code or 1)
    began = time.perf_counter()
    click.echo("building the site ...")
    settings = {"greaseproof_draft": True} if draft else {}
    settings |= {"greaseproof_diagrams": False} if no_diagrams else {}
    warnings, failed = build_site(plain_path(home), book, strict=strict, settings=settings)
    if warnings:
        click.echo(click.unstyle(warnings), err=True)
    if failed:
        click.echo("not built: mend what stands above first")
        sys.exit(1)
    site = home / "_build" / "html"
    pages = counted(sum("_static" not in page.parts for page in site.rglob("*.html")), "page")
    click.echo(f"{pages} in {time.perf_counter() - began:.1f} s. Open {(site / 'index.html').as_posix()}")


@cli.command(short_help="Print the JSON Schema of a kind of file, for editors.")
@click.argument("kind", metavar="[KIND]", required=False)
@click.option(
    "--write", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write it, or all, into DIR.",
)
def schema(kind: str | None, folder: Path | None) -> None:
    """Print the JSON Schema of one kind of file, for editors; or list the kinds.

    With `# yaml-language-server: $schema=PATH` as the first line of a file, many editors
    tell its keys as you type.
    """
    import json

    from .reading.reader import nearest, one_of
    from .reading.schema import KINDS, SAYS, schema as schema_of

    if kind is not None and kind not in KINDS:
        near = nearest(kind, KINDS)
        raise Refusal(f"there is no kind of file `{kind}`: write {f'`{near}`' if near else one_of(KINDS)}")
    if kind is None and folder is None:
        width = max(map(len, KINDS))
        for name in KINDS:
            told = textwrap.wrap(SAYS[name], 80 - width - 2)
            click.echo("\n".join(f"{name if not n else '':<{width}}  {line}" for n, line in enumerate(told)))
        return
    kinds = [kind] if kind else list(KINDS)
    texts = {name: json.dumps(schema_of(name), ensure_ascii=False, indent=2) + "\n" for name in kinds}
    if folder is None:
        click.echo("".join(texts.values()), nl=False)
        return
    if folder.exists() and not folder.is_dir():
        raise Refusal(f"{folder} is a file; --write names a folder")
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in texts.items():
        (folder / f"{name}.json").write_text(text, encoding="utf-8", newline="\n")
        click.echo((folder / f"{name}.json").as_posix())
