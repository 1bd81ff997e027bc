"""The command `ebbline`: its parts and its exit codes (layer: app)."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from io import TextIOWrapper

import click

from analysis.errors import LogError, OptionError
from dashboard.command_check import check
from dashboard.command_open import open_dashboard
from dashboard.command_review import review_client
from dashboard.command_sheet import sheet_of_client
from dashboard.command_store import add, backup, export, forget
from dashboard.store.refusals import StoreError

DONE, LOG_HAS_PROBLEMS, WRONG_USE, ANYTHING_ELSE = range(4)

EXAMPLES = """
\b
Examples:
  ebbline open                               the sample logs, in the browser
  ebbline open --logs ~/logs                 your own
  ebbline check ~/logs/K-07                  is this log in order?
  ebbline review K-07 --logs ~/logs          where pain comes back, as text
  ebbline review K-07 --logs ~/logs --json   the same for a program
  ebbline sheet K-07 --logs ~/logs --out k.pdf    one page to hand over
  ebbline add ~/logs/K-07                    into the store
  ebbline export ~/handover                  and out of it

\b
Exit codes: 0 done, 1 the log has problems, 2 wrong use, 3 anything else.
"""


@click.group(
    epilog=EXAMPLES, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.version_option(package_name="ebbline", prog_name="ebbline")
def ebbline() -> None:
    """Where does pain come back? Reads per-set training logs that lie on this machine.

    Records and estimates, not a diagnosis.
    """


ebbline.add_command(open_dashboard)
ebbline.add_command(check)
ebbline.add_command(review_client)
ebbline.add_command(sheet_of_client)
for of_store in (add, export, backup, forget):
    ebbline.add_command(of_store)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code; errors are told in one line or more on stderr."""
    try:
        outcome = ebbline.main(args=arguments, prog_name="ebbline", standalone_mode=False)
    except click.exceptions.NoArgsIsHelpError as error:
        error.show()
        return WRONG_USE
    except click.ClickException as error:
        error.show()
        return WRONG_USE
    except LogError as error:
        click.echo(str(error), err=True)
        return LOG_HAS_PROBLEMS
    except OptionError as error:
        click.echo(f"Error: {error}", err=True)
        return WRONG_USE
    except StoreError as error:
        click.echo(f"Error: {error}", err=True)
        return ANYTHING_ELSE
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped.", err=True)
        return ANYTHING_ELSE
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # nobody reads on; end without a word
        return ANYTHING_ELSE
    except Exception as error:
        if os.environ.get("EBBLINE_TRACEBACK"):
            raise
        click.echo(f"Error: {type(error).__name__}: {error}", err=True)
        click.echo(
            "This is a fault of Ebbline. EBBLINE_TRACEBACK=1 before the command shows where.", err=True
        )
        return ANYTHING_ELSE
    return outcome if isinstance(outcome, int) else DONE


def main() -> None:
    """Entry point of the console script."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding="utf-8")
    sys.exit(run())


if __name__ == "__main__":
    main()
