"""The commands ``patinarium import`` and ``new``, and pieces begun from photographs."""

from __future__ import annotations

import datetime as dt
import sys
import textwrap
import uuid
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import click

from builder.collect.new_piece import plan_piece
from builder.collect.sidecar_making import make_sidecar
from builder.digests import digest_file
from builder.errors import Problem, TableError, Weight
from builder.filing.intake import Handed, carry_out, look_at, match_glimpse, plan_handed
from builder.filing.joining import Join, Joined, join_table
from builder.filing.planning import Plan as FilingPlan
from builder.filing.planning import Told
from builder.filing.recording import note_anew
from builder.holding import STORE, hold
from builder.importing.day_orders import Order
from builder.importing.doubts import Doubt
from builder.importing.last_time import last_file, read_last, write_last
from builder.importing.mapping import (
    Mapping,
    add_to_mapping,
    mapping_file,
    read_mapping,
    write_mapping,
)
from builder.importing.merging import Said
from builder.importing.planning import Action, PiecePlan, Plan, plan_pieces
from builder.importing.preparing import Prepared, follow_mapping, propose_mapping
from builder.importing.reading import read_tables
from builder.importing.rows import Rows, read_rows
from builder.importing.telling import count_pieces, list_columns, list_doubts, list_pieces
from builder.importing.writing import change_piece, write_file, write_new
from builder.ledger import Book
from builder.pipeline import choose_day
from builder.read.editor_hints import place_schema
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.read.sidecar import SIDECAR
from builder.read.wording import quote, show_name
from builder.records.ledger import Deed, Draft
from builder.records.library import IMPORTS, Library
from builder.records.moments import read_moment
from builder.records.piece import Entry
from builder.relate.cautions import FIRST, list_gravest
from builder.said import (
    DONE,
    PROBLEMS,
    align,
    find_settings,
    library_option,
    print_problems,
    said,
    show_progress,
    today_option,
)

_WIDE = 100
_DAYS = ("started", "finished", "sealant.date")


@dataclass
class _Import:
    """One run: what was read, and what came of it."""

    root: Path
    library: Library
    prepared: Prepared
    rows: Rows
    plan: Plan
    mapping_path: Path
    is_new: bool
    asked: Order | None = None
    handed: Handed | None = None
    join: Join | None = None
    doubts: list[Doubt] = field(default_factory=list)


@click.command("import")
@click.argument("table", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("photos", nargs=-1, metavar="[PHOTOS]...", type=click.Path(path_type=Path))
@library_option
@click.option("--sheet", default="", metavar="NAME", help="The sheet of a workbook.")
@click.option(
    "--dates",
    type=click.Choice([order.value for order in Order], case_sensitive=False),
    default=None,
    help="The order of dates in figures, where the table does not tell it.",
)
@click.option(
    "--mapping",
    "mapping_path",
    default=None,
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="What the columns are; imports/TABLE.yaml of the library if left out.",
)
@click.option("--yes", is_flag=True, help="Take the columns as they are understood.")
@click.option("--dry-run", is_flag=True, help="Show what would be made and every doubt; no more.")
@today_option
def import_table(
    table: Path,
    photos: tuple[Path, ...],
    library: Path,
    sheet: str,
    dates: str | None,
    mapping_path: Path | None,
    yes: bool,
    dry_run: bool,
    today: dt.date | None,
) -> None:
    """Make a piece of each row of TABLE (CSV, TSV, XLSX, ODS), with its photographs from PHOTOS.

    What the columns are is shown first, asked on a terminal, and kept in imports/TABLE.yaml, which
    is yours to edit. Imported again, a corrected table changes what was corrected, and nothing that
    you edited in a sidecar since. Neither TABLE nor PHOTOS is changed.

    \b
    Example: patinarium import notebook.xlsx --dry-run
    Example: patinarium import notebook.xlsx /media/phone/DCIM --dates dmy
    """
    with said():
        root = find_settings(library).parent
        settings = read_settings_file(root)
        by = choose_day(today, settings)
        path = mapping_path or mapping_file(root, table.name)
        order = Order(dates.lower()) if dates else None
        with hold(root / STORE, "import"):
            run = _prepare(root, read_library(root, settings, by), table, path, sheet, order, by)
            _show_columns(run)
            if run.is_new and not dry_run and not _agree(run, yes):
                sys.exit(DONE)
            run = _settle_dates(run, table, by, dry_run)
            run.doubts += [*run.prepared.doubts, *run.rows.doubts, *run.plan.doubts]
            _look_at_photos(run, photos)
            if dry_run:
                _tell(run, run.plan.pieces)
                click.echo("Nothing was done: this was a dry run.")
                sys.exit(_judge(run))
            done, filed = _carry_out(run, table.name, by)
        _tell(run, done)
        _tell_filed(filed)
        sys.exit(_judge(run))


@click.command()
@click.argument("number")
@click.option(
    "--like", required=True, metavar="NUMBER", help="The piece it is like; “SH-012 attempt 2”."
)
@click.option(
    "--change", "changes", multiple=True, metavar="KEY=VALUE", help="What differs. May be repeated."
)
@library_option
@today_option
def new(
    number: str, like: str, changes: tuple[str, ...], library: Path, today: dt.date | None
) -> None:
    """Begin piece NUMBER: as another, but for what you say with --change.

    Its folder gets a sidecar with the day left to be filled in. Nothing is written over. What must
    not meet in its mixture is said.

    \b
    Example: patinarium new SH-031 --like SH-012 --change exposure=14d --change sealant=none
    """
    with said():
        root = find_settings(library).parent
        settings = read_settings_file(root)
        with hold(root / STORE, "new"):
            there = read_library(root, settings, choose_day(today, settings))
            piece = plan_piece(there, number, like, changes)
            schema, made = place_schema(root, settings.samples)
            if made:
                click.echo(f"made {made}")
            text = f"{schema}\n{piece.text}" if schema else piece.text
            make_sidecar(root, piece.file, text)
            made_so = read_library(root, settings, choose_day(today, settings))
        print_problems(piece.problems)
        click.echo(f"made {root / piece.file}")
        _warn(entry for entry in made_so.entries if entry.file == piece.file)


def _warn(entries: Iterable[Entry]) -> None:
    told = [caution.said for entry in entries for caution in list_gravest(entry)]
    if told:
        click.echo("Before it is begun:")
        for words in (*told, FIRST):
            click.echo(textwrap.fill(words, 100, initial_indent="  ", subsequent_indent="  "))


def _judge(run: _Import) -> int:
    """The same of a dry run and of the run itself: whether anything is left out, as all is where
    the order of dates would have to be asked for."""
    left = any(doubt.left_out for doubt in run.doubts)
    return PROBLEMS if left or run.rows.open_dates else DONE


def _prepare(
    root: Path,
    library: Library,
    table: Path,
    path: Path,
    sheet: str,
    order: Order | None,
    by: dt.date,
) -> _Import:
    """The table read by its mapping, or by one proposed for it."""
    is_new = not path.exists()
    if is_new:
        prepared = propose_mapping(read_tables(table), sheet)
    else:
        mapping = read_mapping(path, _name(path, root))
        prepared = follow_mapping(read_tables(table, mapping.encoding), mapping, sheet)
    if order:
        prepared = replace(prepared, mapping=replace(prepared.mapping, dates=order))
    rows, plan = _plan(root, library, prepared, table, by)
    return _Import(root, library, prepared, rows, plan, path, is_new, order)


def _plan(
    root: Path, library: Library, prepared: Prepared, table: Path, by: dt.date
) -> tuple[Rows, Plan]:
    """The table's rows, and what would become of each."""
    rows = read_rows(prepared.table, prepared.placed, prepared.mapping, by)
    last = read_last(last_file(root, table.name))
    return rows, plan_pieces(rows.pieces, library, last, prepared.mapping.rows)


def _settle_dates(run: _Import, table: Path, by: dt.date, dry_run: bool) -> _Import:
    """Ask for the order of dates that nothing in the table tells."""
    dates = run.rows.open_dates
    if not dates:
        return run
    row, heading, text = dates[0]
    found = f"{quote(text)} (row {row}) may be day and month, or month and day"
    if dry_run:
        run.doubts.append(
            Doubt(0, heading, f"{found}, as {len(dates)} dates in this table", "say --dates dmy or "
                  "--dates mdy: nothing in the table tells it")
        )  # fmt: skip
        return run
    if not sys.stdin.isatty():
        raise TableError(
            Problem(
                table.name, row, f"{heading}: {found}, and nothing in the table tells which",
                "the order of its dates", "say --dates dmy or --dates mdy; nothing was written",
                Weight.STOPS,
            )
        )  # fmt: skip
    click.echo(f"{heading}: {found}.")
    answer = click.prompt("Which comes first", type=click.Choice(["day", "month"]))
    order = Order.DMY if answer == "day" else Order.MDY
    again = replace(run.prepared, mapping=replace(run.prepared.mapping, dates=order))
    rows, plan = _plan(run.root, run.library, again, table, by)
    return replace(run, prepared=again, rows=rows, plan=plan, asked=order)


def _show_columns(run: _Import) -> None:
    table, prepared = run.prepared.table, run.prepared
    first, last = prepared.mapping.header
    rows = f"row {first}" if first == last else f"rows {first} to {last}"
    where = f"{table.file}, {table.sheet}" if table.sheet else table.file
    source = "by their headings" if run.is_new else f"by {_name(run.mapping_path, run.root)}"
    click.echo(f"{where}: header in {rows}; {len(run.rows.pieces)} pieces. Columns, {source}:")
    for line in align(list_columns(prepared)):
        click.echo(line)


def _agree(run: _Import, yes: bool) -> bool:
    """Whether the columns are as they should be; where not, the mapping is written to be edited."""
    if yes:
        return True
    if not sys.stdin.isatty():
        raise TableError(
            Problem(
                run.prepared.table.file, 0, "nobody has looked yet at what its columns become",
                "a yes, or a mapping", "look at the list above and import again with --yes; or see "
                "more with --dry-run", Weight.STOPS,
            )
        )  # fmt: skip
    if click.confirm("Is this what they are?", default=True):
        return True
    write_file(run.mapping_path, write_mapping(run.prepared.mapping))
    click.echo(f"made {run.mapping_path}: correct it there and import again. No piece was made.")
    return False


def _look_at_photos(run: _Import, photos: Sequence[Path]) -> None:
    """Open each photograph once and find out whose it is; names of the table that are not among
    them are doubts."""
    pieces = [piece for piece in run.plan.pieces if piece.action is not Action.LEFT]
    join = join_table(
        [Joined(p.number, p.photos, tuple(_days(p.said))) for p in pieces],
        [entry.piece.piece for entry in run.library.entries],
    )
    run.doubts += [
        Doubt(0, "", f"the photograph {quote(name)} is named by {' and '.join(claims)}",
              "told by its label or name, if these say one piece")
        for name, claims in join.twice.items()
    ]  # fmt: skip
    if not photos:
        return
    with show_progress() as progress:
        run.handed = look_at(run.root, run.library.settings, photos, progress)
    run.join = join
    names = {path.name.casefold() for path in run.handed.incoming.photos}
    names |= {photo.path.rpartition("/")[2].casefold() for photo in run.library.photos}
    names |= {name.rpartition(".")[0] for name in names}
    for piece in pieces:
        for file in piece.photos:
            if not join.finds(file, names):
                run.doubts.append(
                    Doubt(piece.row, "", f"there is no photograph {quote(file)} among those handed "
                          "over", "file it later: patinarium add")
                )  # fmt: skip


def _days(piece: Said) -> Iterator[dt.date]:
    for name in _DAYS:
        value = piece.leaves.get(tuple(name.split(".")))
        moment = read_moment(value) if isinstance(value, str) else None
        if moment:
            yield moment.day


def _carry_out(run: _Import, table: str, by: dt.date) -> tuple[list[PiecePlan], FilingPlan | None]:
    """Write what was planned: sidecars, mapping, what is kept for next time, photographs."""
    now = dt.datetime.now(tz=dt.UTC)
    book = Book(run.root, str(uuid.uuid4()))
    last = read_last(last_file(run.root, table))
    _keep_mapping(run)
    schema, made = place_schema(run.root, run.library.settings.samples)
    if made:
        click.echo(f"made {made}")
    done: list[PiecePlan] = []
    try:
        for plan in run.plan.pieces:
            piece, doubts = _do(run.library, plan, table, schema, book, now)
            run.doubts += doubts
            done.append(piece)
            if piece.was:
                last.pop(piece.was, None)
            if piece.kept:
                last[piece.number] = piece.kept
    finally:
        write_file(last_file(run.root, table), write_last(last))
    return done, _file_photos(run, by) if run.handed else None


def _do(
    library: Library, plan: PiecePlan, table: str, schema: str, book: Book, now: dt.datetime
) -> tuple[PiecePlan, Iterable[Doubt]]:
    """One piece, and the ledger's entry on its sidecar."""
    if plan.action is Action.LEFT or (plan.action is Action.SAME and not plan.was):
        return plan, ()
    why = f"row {plan.row} of {table} imported"
    if plan.action is Action.NEW:
        file = f"{library.settings.samples}/{plan.number}/{SIDECAR}"
        make_sidecar(library.root, file, write_new(plan, table, schema))
        book.append(note_anew(library.root, file, book.standing, why), now)
        return replace(plan, file=file), ()
    book.append(note_anew(library.root, plan.file, book.standing, "edited by hand"), now)
    piece, doubts = change_piece(library, plan)
    if piece.file != plan.file:
        path = library.root / piece.file
        facts = {"from": plan.file}
        book.append(
            [Draft(Deed.MOVED, piece.file, digest_file(path), path.stat().st_size, facts)], now
        )
    book.append(note_anew(library.root, piece.file, book.standing, why), now)
    return piece, doubts


def _keep_mapping(run: _Import) -> None:
    """The mapping, made, or added to where rows, columns or an order of dates are new."""
    mapping: Mapping = run.prepared.mapping
    if run.is_new:
        mapping = replace(mapping, rows=run.plan.numbered)
        write_file(run.mapping_path, write_mapping(mapping))
        click.echo(f"made {run.mapping_path}")
        return
    text = run.mapping_path.read_text(encoding="utf-8-sig")
    known = read_mapping(run.mapping_path, _name(run.mapping_path, run.root))
    order = run.asked if known.dates is None else None
    columns, rows = run.prepared.added, run.plan.numbered
    if columns or rows or order:
        name = _name(run.mapping_path, run.root)
        write_file(run.mapping_path, add_to_mapping(text, name, columns, rows, order))


def _file_photos(run: _Import, by: dt.date) -> FilingPlan | None:
    if run.handed is None or run.join is None:
        return None
    with show_progress() as progress:
        intake = plan_handed(
            run.root, run.library.settings, run.handed, Told(), by, None, progress, run.join
        )
        plan, _ = carry_out(intake, Told(), lambda: dt.datetime.now(tz=dt.UTC), progress)
    problems = (*run.handed.incoming.problems, *plan.problems)
    return replace(plan, problems=problems)


def _tell(run: _Import, pieces: Sequence[PiecePlan]) -> None:
    """The table of pieces, whose the photographs are, the doubts, and a line that counts."""
    for line in align(list_pieces(pieces)):
        click.echo(line)
    _tell_photos(run)
    doubts = list(list_doubts(run.doubts))
    if doubts:
        click.echo(f"\nDoubts: {len(doubts)}", err=True)
    for doubt in doubts:
        wrapped = textwrap.fill(
            doubt, _WIDE, subsequent_indent="    ", break_long_words=False, break_on_hyphens=False
        )
        click.echo(wrapped, err=True)
    count = f"{len(doubts)} doubt{'' if len(doubts) == 1 else 's'}"
    click.echo(f"{count_pieces(pieces)}; {count}. {run.prepared.table.file} is as it was.")


def _tell_photos(run: _Import) -> None:
    """Whose each photograph is, before any is filed."""
    if run.handed is None or run.join is None:
        return
    for seen in run.handed.glimpses:
        _, match = match_glimpse(seen, "", run.join.numbering, {}, None, run.join)
        name = show_name(seen.source.name)
        if match.because:
            click.echo(f"  {name} → {match.piece}, {match.because}")
        else:
            why = match.problem.found if match.problem else "it cannot be told"
            run.doubts.append(Doubt(0, "", f"photograph {name}: {why}", "left; patinarium add"))


def _tell_filed(plan: FilingPlan | None) -> None:
    if plan is None:
        return
    print_problems(plan.problems)
    there = f", {len(plan.there)} there already" if plan.there else ""
    click.echo(f"Photographs: {len(plan.filings)} filed{there}, {len(plan.problems)} left.")


def _name(path: Path, root: Path) -> str:
    """A file as it is named in problems."""
    try:
        return path.resolve().relative_to(root.resolve()).as_posix()
    except ValueError:
        return f"{IMPORTS}/{path.name}" if path.parent.name == IMPORTS else path.as_posix()
