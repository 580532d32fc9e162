"""The `asfound` command: finds its subcommands in `cli/commands/` and loads one only when it is used."""

from __future__ import annotations

import ast
import difflib
import importlib
import os
import pkgutil
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click
from click.shell_completion import shell_complete

from asfound import __version__
from asfound.cli import commands
from asfound.cli.phases import in_order
from asfound.cli.terminal import abandon, clean, prepare_streams
from asfound.errors import AsfoundError, MissingLibrary

PROGRAM = "asfound"
INTERRUPTED = 130
FAULT = 70
TRACE = "ASFOUND_TRACE"
COMPLETION = "_ASFOUND_COMPLETE"
LATER = "chosen_"

OpenScreens = Callable[[Path | None, int | None], None]


@dataclass(slots=True)
class Chosen:
    """What the main command's options chose, and how to open the screens (the command line knows no screens itself)."""

    open_screens: OpenScreens | None = None
    folder: Path | None = None
    job_id: int | None = None


class LazyGroup(click.Group):
    """A group whose commands are the modules of a folder; `--help` and a misspelt word load none of the heavy ones."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        names = [module.name for module in pkgutil.iter_modules(commands.__path__) if not module.name.startswith("_")]
        return sorted(name.rstrip("_").replace("_", "-") for name in names)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.list_commands(ctx):
            return None
        command: click.Command = importlib.import_module(f"{commands.__name__}.{_file(cmd_name).stem}").COMMAND
        _choose_here_too(command)
        if ctx.resilient_parsing:
            from asfound.cli.completing import teach

            teach(command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """A number in the place of a command asks for that tag; a misspelt command is answered with the likeliest."""
        word, known = args[0], self.list_commands(ctx)
        if word[:1].isdigit():
            return super().resolve_command(ctx, ["find", *args])
        if word not in known and not word.startswith("-") and not ctx.resilient_parsing:
            likely = difflib.get_close_matches(word, known, 1)
            hint = f"did you mean {likely[0]}?" if likely else "all of them are listed by --help."
            raise click.UsageError(f"There is no command {word}; {hint}", ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List every command with what its module says of it, in the order of the work; that loads none of them."""
        for heading, names in in_order(self.list_commands(ctx)):
            with formatter.section(heading):
                formatter.write_dl([(name, _purpose(_file(name))) for name in names])


def _file(cmd_name: str) -> Path:
    """The module of a command; a name that Python or a neighbour has taken ends with an underscore."""
    folder, name = Path(next(iter(commands.__path__))), cmd_name.replace("-", "_")
    plain = folder / f"{name}.py"
    return plain if plain.exists() else folder / f"{name}_.py"


def _purpose(module: Path) -> str:
    """What comes after the command's name in the first line of a module's own words."""
    words = (ast.get_docstring(ast.parse(module.read_text(encoding="utf-8"))) or "").splitlines()[0]
    return words.partition(": ")[2]


def _choosing(prefix: str, **settings: Any) -> list[click.Option]:
    """What names the archive and the job; the prefix keeps their names apart from a command's own."""
    folder, number = click.Path(path_type=Path, file_okay=False), click.IntRange(1, 999_999_999)
    told = (
        "The archive's folder. Default: $ASFOUND_ARCHIVE, or the system's place for your data.",
        "The job to work on, by its number. Default: the one used last.",
    )
    return [
        click.Option(["--archive", f"{prefix}folder"], type=folder, help=told[0], **settings),
        click.Option(["--job", f"{prefix}job_id"], type=number, metavar="NUMBER", help=told[1], **settings),
    ]


def _choose_here_too(command: click.Command) -> None:
    """Let the main command's options also come after a command's own words, where a hand expects them."""
    if isinstance(command, click.Group):
        for inner in command.commands.values():
            _choose_here_too(inner)
    if not any("--archive" in option.opts for option in command.params):
        command.params += _choosing(LATER, hidden=True, expose_value=False, callback=_chosen_here)


def _chosen_here(ctx: click.Context, option: click.Parameter, value: Any) -> None:
    chosen = ctx.find_object(Chosen)
    if value is not None and chosen is not None and option.name is not None:
        setattr(chosen, option.name.removeprefix(LATER), value)


@click.group(
    cls=LazyGroup,
    invoke_without_command=True,
    params=_choosing(""),
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110},
    epilog='Example: asfound job new "Sallow, diesel out" && asfound add ~/phone && asfound',
)
@click.version_option(__version__, "--version", "-V", message="asfound %(version)s")
@click.pass_context
def main(ctx: click.Context, folder: Path | None, job_id: int | None) -> None:
    """The record of how a machine was before anyone touched it.

    Without a command it opens the screens. A number in place of a command finds that tag. The options below may also
    come after the command.
    """
    ctx.obj = Chosen(ctx.obj.open_screens if ctx.obj else None, folder, job_id)
    if ctx.invoked_subcommand is None:
        command = main.get_command(ctx, "screens")
        assert command is not None
        ctx.invoke(command)


def run(words: Sequence[str] | None = None, *, open_screens: OpenScreens | None = None) -> None:
    """Run the command line and leave with its exit status: 0 done, 1 something refused or missing, 2 misused."""
    prepare_streams()
    try:
        status = _run(words, open_screens)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of our output has gone away, as with `| head`; that is no fault of ours.
        abandon(sys.stdout)
        status = 0
    except OSError as error:
        abandon(sys.stdout)
        _say(f"The output cannot be written: {error.strerror or error}; what was saved is kept.")
        status = AsfoundError.exit_status
    sys.exit(status)


def _run(words: Sequence[str] | None, open_screens: OpenScreens | None) -> int:
    """The exit status of one command; whatever went wrong has been said in one line."""
    try:
        return invoke(sys.argv[1:] if words is None else words, Chosen(open_screens))
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    except click.exceptions.NoArgsIsHelpError as error:
        error.show()
        return error.exit_code
    except click.ClickException as error:
        _say(explain_misuse(error))
        return error.exit_code
    except (click.Abort, KeyboardInterrupt):
        _say("stopped; what was done so far is kept.")
        return INTERRUPTED
    except AsfoundError as error:
        _say(str(error))
        return error.exit_status
    except ImportError as error:
        _say(explain_import(error))
        return MissingLibrary.exit_status
    except UnicodeEncodeError:
        _say("a word of the command is not UTF-8 text, so nothing here has that name; type it again, or use the id.")
        return AsfoundError.exit_status
    except BrokenPipeError:
        raise
    except OSError as error:
        _say(f"{error.filename or 'the system'}: {error.strerror or error}; what was saved is kept.")
        return AsfoundError.exit_status
    except Exception as error:
        # The last border: a fault of ours is said in one line; whoever fixes it asks for the rest.
        if os.environ.get(TRACE):
            raise
        _say(f"a fault in the program ({type(error).__name__}: {error}); what was saved is kept. {TRACE}=1 tells more.")
        return FAULT


def invoke(words: Sequence[str], chosen: Chosen) -> int:
    """Run one command and give its exit status; what goes wrong is raised."""
    asked = os.environ.get(COMPLETION)
    if asked:
        return shell_complete(main, {"obj": chosen}, PROGRAM, COMPLETION, asked)
    # Not click's own entry: it would count a reader of our output that went away as a failure.
    with main.make_context(PROGRAM, list(words), obj=chosen) as context:
        status = main.invoke(context)
    return status if isinstance(status, int) else 0


def explain_misuse(error: click.ClickException) -> str:
    """What is wrong with the words of a command, and where to see how they go."""
    said = " ".join(error.format_message().split())  # choices stand one below the other in it
    context = error.ctx if isinstance(error, click.UsageError) else None
    path = PROGRAM if context is None else context.command_path
    return f"{said if said[-1:] in '.?!' else said + '.'} See how with: {path} --help"


def explain_import(error: ImportError) -> str:
    """One plain sentence for a library that cannot be loaded, with the remedy."""
    text = str(error)
    if "libGL" in text or "libglib" in text or "libgthread" in text:
        part = text.split(":")[0]
        return (
            f"OpenCV cannot start because the system lacks {part}; install it "
            "(Debian, Ubuntu: sudo apt install libgl1 libglib2.0-0) and run this again."
        )
    return f"a library cannot be loaded ({text}); install asfound again with: pip install --force-reinstall asfound"


def _say(line: str) -> None:
    with suppress(OSError, ValueError):
        sys.stderr.write(f"{PROGRAM}: {clean(line)}\n")
        sys.stderr.flush()
