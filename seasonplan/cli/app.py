"""The Typer app: its commands and its help. Imports nothing heavy."""

from __future__ import annotations

import typer

from seasonplan.cli import (
    busy,
    checking,
    conditions,
    edit_history,
    edit_verbs,
    export,
    guide,
    ill,
    injury,
    log,
    new,
    opening,
    others,
    planning,
    poster,
    publish,
    replanning,
    rules,
    serve,
    show,
    testing,
    today,
    week,
    why,
)
from seasonplan.cli.opening import FolderOpens

EXAMPLES = """Examples:

\b
  seasonplan my-year               open the year: see, move, plan anew
  seasonplan new my-year           answer a few questions
  seasonplan plan my-year          make the plan
  seasonplan show my-year          read the year
  seasonplan today my-year         what to do today; week: this week
  seasonplan why my-year base-1    why a block stands where it stands
  seasonplan export my-year        a calendar for your phone

\b
Ends with 0 fine, 1 a rule is broken, 2 bad input or no plan made yet,
3 no plan is possible, 4 a file is there already or changed, 5 cannot
write, 70 a mistake of ours, 130 stopped."""

app = typer.Typer(
    name="seasonplan",
    cls=FolderOpens,
    help="Plan a climbing year: blocks of training and rest around the days that count.",
    epilog=EXAMPLES,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command("open", epilog=opening.EXAMPLES)(opening.open_year)
app.command(epilog=new.EXAMPLES)(new.new)
app.command(epilog=planning.EXAMPLES)(planning.plan)
app.command(epilog=replanning.EXAMPLES)(replanning.replan)
app.command(epilog=others.EXAMPLES)(others.others)
app.command(epilog=checking.EXAMPLES)(checking.check)
app.command(epilog=why.EXAMPLES)(why.why)
app.command(epilog=show.EXAMPLES)(show.show)
app.command(epilog=poster.EXAMPLES)(poster.poster)
app.command(epilog=today.EXAMPLES)(today.today)
app.command(epilog=week.EXAMPLES)(week.week)
app.add_typer(log.app, name="log", epilog=log.EXAMPLES)
app.command(epilog=testing.EXAMPLES)(testing.tests)
app.command(epilog=injury.EXAMPLES)(injury.injury)
app.command(epilog=ill.EXAMPLES)(ill.ill)
app.command(epilog=conditions.EXAMPLES)(conditions.conditions)
app.add_typer(edit_verbs.app, name="edit", epilog=edit_verbs.EXAMPLES)
app.command(epilog=edit_history.UNDO_EXAMPLES)(edit_history.undo)
app.command(epilog=edit_history.REDO_EXAMPLES)(edit_history.redo)
app.command(epilog=edit_history.HISTORY_EXAMPLES)(edit_history.history)
app.command(epilog=edit_history.COMPARE_EXAMPLES)(edit_history.compare)
app.command(epilog=export.EXAMPLES)(export.export)
app.command(epilog=serve.EXAMPLES)(serve.serve)
app.command(epilog=publish.EXAMPLES)(publish.publish)
app.add_typer(busy.app, name="busy", epilog=busy.EXAMPLES)
app.command(epilog=rules.EXAMPLES)(rules.rules)
app.command(epilog=guide.EXAMPLES)(guide.guide)
