"""What may be typed after a command: every argument and option, each with its help.

A command names the ones it takes; what one means is said here once. Imports nothing of the project.
"""

from pathlib import Path
from typing import Annotated

import typer

_MAX_TIME_S = 24 * 3600.0
_PLAN = "--plan"

# Of every command.
JobPath = Annotated[
    Path, typer.Argument(metavar="JOB", help="A job file, or a folder with a job.yaml.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print data instead of text.")]
Debug = Annotated[bool, typer.Option("--debug", help="Show where in the program a fault arose.")]
TimeLimit = Annotated[
    float,
    typer.Option("--time-limit", min=0.1, max=_MAX_TIME_S, metavar="S", help="Seconds to look."),
]
SetupId = Annotated[str | None, typer.Option("--setup", metavar="ID", help="One set-up only.")]

# Plans.
IsBrief = Annotated[bool, typer.Option("--brief", help="Only the answer and the switchboards.")]
Alternatives = Annotated[
    int, typer.Option("--alternatives", min=0, max=20, metavar="N", help="Further plans, ranked.")
]
SavePlan = Annotated[
    Path | None, typer.Option("--save", metavar="FILE", help="Keep the plan in a file.")
]
SaveMoved = Annotated[
    Path | None, typer.Option("--save", metavar="FILE", help="Keep the plan after the move.")
]
SaveNewPlan = Annotated[
    Path | None, typer.Option("--save", metavar="FILE", help="Keep the new plan in a file.")
]
PlanToJudge = Annotated[Path, typer.Argument(metavar="PLAN", help="A plan file.")]
PlanRigged = Annotated[
    Path | None,
    typer.Option(_PLAN, metavar="FILE", help="What is rigged; else plan.json beside the job."),
]
PlanHeld = Annotated[
    Path | None,
    typer.Option(_PLAN, metavar="FILE", help="The plan to hold it against; else the best."),
]
PlanDrawn = Annotated[
    Path | None,
    typer.Option(_PLAN, metavar="FILE", help="Say what to move in this plan."),
]
PlanInHand = Annotated[
    Path | None, typer.Option(_PLAN, metavar="FILE", help="The plan in hand; else the best.")
]
PlanLookedAt = Annotated[
    Path | None, typer.Option(_PLAN, metavar="FILE", help="The plan to look at; else the best.")
]
Head = Annotated[str, typer.Argument(metavar="HEAD", help="A head or load of the job.")]
Outlet = Annotated[str, typer.Argument(metavar="OUTLET", help="Where you would plug it in.")]

# What could be otherwise.
Margin = Annotated[
    int | None,
    typer.Option(
        "--margin", min=10, max=100, metavar="PCT", help="Per cent that nothing may pass."
    ),
]
Variants = Annotated[
    list[str] | None,
    typer.Option("--variant", "-v", metavar="WORDS", help="Such as “kettle off”; repeat it."),
]
VariantsFile = Annotated[
    Path | None, typer.Option("--file", metavar="FILE", help="Variants kept in a file.")
]
Heads = Annotated[list[str], typer.Argument(metavar="HEAD", help="Heads of the job.")]
PlaceId = Annotated[str | None, typer.Option("--place", metavar="ID", help="Where they stand.")]
IsAlone = Annotated[bool, typer.Option("--alone", help="With the rest of the lighting list dark.")]
HasLeads = Annotated[
    bool, typer.Option("--enough-leads", help="With leads and boards for everything.")
]
Loads = Annotated[
    list[str], typer.Argument(metavar="LOAD", help="Heads or loads, such as DH1800=2.")
]
Phases = Annotated[int, typer.Option("--phases", min=1, max=3, metavar="N", help="Phases it has.")]
AltitudeM = Annotated[
    float,
    typer.Option("--altitude-m", min=0, max=5000, metavar="M", help="Height of the place, m."),
]
AmbientC = Annotated[
    float,
    typer.Option("--ambient-c", min=-30, max=60, metavar="C", help="Air around it, °C."),
]

# Volts.
MinV = Annotated[
    float | None, typer.Option("--min-v", metavar="V", help="Volts the board should keep.")
]
BoardC = Annotated[
    float | None,
    typer.Option("--board-c", metavar="C", help="Air in the board, °C; breakers feel it."),
]

# The question of the day.
What = Annotated[str, typer.Argument(metavar="WHAT", help="Amps (5A), watts (1200W), a load.")]
Where = Annotated[str, typer.Argument(metavar="WHERE", help="An outlet, a room, or anywhere.")]
Start = Annotated[
    str | None, typer.Option("--from", metavar="TIME|ID", help="From when: a time or a set-up.")
]
Until = Annotated[
    str | None, typer.Option("--until", metavar="TIME|ID", help="Until when: a time or a set-up.")
]
IsForMinutes = Annotated[bool, typer.Option("--briefly", help="It runs for minutes only.")]

# The log.
Words = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="WORDS",
        help="What was seen: breaker P1 off: dark B2 B3, lit B6 / trip P2: dark B5 / "
        "rcd RCD1: dark B5 / told B5 on P2 / held P2 3h: B5 6.5.",
        show_default=False,
    ),
]
ListLog = Annotated[bool, typer.Option("--list", help="Show the log with what each entry taught.")]
Strike = Annotated[str | None, typer.Option("--strike", metavar="ID", help="Set an entry aside.")]
Merge = Annotated[
    Path | None, typer.Option("--merge", metavar="LOG", help="Add another phone's log.")
]
Keep = Annotated[bool, typer.Option("--keep", help="Write it down even if it contradicts the log.")]
Who = Annotated[str, typer.Option("--who", metavar="NAME", help="Who saw it.")]
When = Annotated[
    str | None, typer.Option("--when", metavar="TIME", help="When it was; else by the clock here.")
]
How = Annotated[str, typer.Option("--how", metavar="TEXT", help="How it was seen.")]

# After a trip.
Dark = Annotated[
    list[str] | None,
    typer.Option("--dark", metavar="OUTLETS", help="Dead outlets or heads, one or more."),
]
Lit = Annotated[
    list[str] | None,
    typer.Option("--lit", metavar="OUTLETS", help="Outlets or heads that still work."),
]
Bright = Annotated[
    list[str] | None,
    typer.Option("--bright", metavar="OUTLETS", help="Outlets where lamps got brighter."),
]
Device = Annotated[
    str | None,
    typer.Option(
        "--device",
        metavar="ID",
        help="What is open: P2, RCD1, a sub-board, main, meter, service fuse, network; none.",
    ),
]
Just = Annotated[str, typer.Option("--just", metavar="LOAD", help="What was just switched on.")]
After = Annotated[
    str | None,
    typer.Option("--after", metavar="TIME", help="How long it had held: 5min, 30s, at once."),
]
SetupNow = Annotated[
    str | None, typer.Option("--setup", metavar="ID", help="The set-up that runs.")
]
IsLogged = Annotated[bool, typer.Option("--log", help="Write it down in the log.")]

# Tracing.
People = Annotated[
    int, typer.Option("--people", min=1, max=2, metavar="N", help="One person, or two.")
]
Minutes = Annotated[
    float | None,
    typer.Option("--minutes", min=0, metavar="N", help="Only tests that take no longer, min."),
]
Lamps = Annotated[
    list[str] | None,
    typer.Option("--lamps", metavar="OUTLETS", help="Outlets to put lamps in."),
]
WithSession = Annotated[
    bool, typer.Option("--session", help="Also plan tracing every outlet in one go.")
]

# The rest of the day again.
Since = Annotated[
    str,
    typer.Option(
        "--from", metavar="TIME|ID", help="From when: a time or the first set-up to come."
    ),
]
StaysOff = Annotated[
    list[str] | None,
    typer.Option(
        "--off", metavar="IDS", help="Circuits, RCDs or sub-boards that have to stay off."
    ),
]
Gone = Annotated[
    list[str] | None,
    typer.Option("--gone", metavar="OUTLETS", help="Outlets not to be used any more."),
]
IsSafe = Annotated[
    bool, typer.Option("--safe", help="Trip as seldom as can be, whatever that moves.")
]

# Paper, and help with writing a job.
Out = Annotated[Path, typer.Option("--out", metavar="FILE", help="The page to write.")]
Lists = Annotated[
    Path | None, typer.Option("--lists", metavar="DIR", help="Also write the lists as CSV.")
]
Revision = Annotated[
    str, typer.Option("--revision", metavar="TEXT", help="What the crew calls this state.")
]
RegionOfRecce = Annotated[
    str, typer.Option("--region", metavar="REGION", help="Whose practice to go by.")
]
RegionName = Annotated[str, typer.Argument(metavar="REGION", help="Such as AU, UK, IT or US.")]
KeyName = Annotated[
    str, typer.Argument(metavar="NAME", help="A section or a key; all sections if left out.")
]
AsSchema = Annotated[
    bool, typer.Option("--json", help="Print the JSON Schema of a job file, for an editor.")
]
