"""The commands that change the list: offers, what-ifs, how many, a generator.

Use cases are loaded by the command that needs them.
"""

from pathlib import Path
from typing import Annotated

import typer

from spreadload.cli.shell import (
    AsJson,
    Debug,
    JobPath,
    SetupId,
    TimeLimit,
    Told,
    cli,
    exit_with,
    given_plan,
    progress,
    say,
    style,
)


@cli.command()
def offers(
    job: JobPath,
    *,
    margin: Annotated[
        int | None,
        typer.Option("--margin", min=10, max=100, metavar="PCT", help="Most per cent anywhere."),
    ] = None,
    plan_file: Annotated[
        Path | None, typer.Option("--plan", metavar="FILE", help="Fewest plugs to move from it.")
    ] = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 30.0,
    debug: Debug = False,
) -> None:
    """Say what stops a list, and offer the cheapest changes that make it fit."""

    def run() -> Told:
        from spreadload.app import planning, what_if

        stated = planning.load_job(job)
        known = planning.with_log(stated, job)
        config = planning.SolverConfig(time_limit_s=time_limit, progress=progress)
        told: what_if.MovesTold | what_if.OffersTold
        drawn = given_plan(plan_file, stated)
        if drawn is not None:
            told = what_if.moves_of(known, drawn, config)
        else:
            where = what_if.lines_of(job)
            told = what_if.offers_of(known, config, margin_pct=margin, where=where)
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)


@cli.command()
def swap(
    job: JobPath,
    *,
    variant: Annotated[
        list[str] | None,
        typer.Option("--variant", "-v", metavar="WORDS", help="Such as “kettle off”; repeat it."),
    ] = None,
    variants_file: Annotated[
        Path | None, typer.Option("--file", metavar="FILE", help="Variants kept in a file.")
    ] = None,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Plan any number of what-ifs side by side."""

    def run() -> Told:
        from spreadload.app import planning, what_if

        stated = planning.load_job(job)
        known = planning.with_log(stated, job)
        texts = [*(what_if.load_variants(variants_file) if variants_file else ()), *(variant or ())]
        config = planning.SolverConfig(time_limit_s=time_limit, progress=progress)
        told = what_if.swap(known, texts, config)
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)


@cli.command(name="how-many")
def how_many(
    job: JobPath,
    heads: Annotated[list[str], typer.Argument(metavar="HEAD...", help="Heads of the job.")],
    *,
    setup: SetupId = None,
    place: Annotated[
        str | None, typer.Option("--place", metavar="ID", help="Where they stand.")
    ] = None,
    alone: Annotated[
        bool, typer.Option("--alone", help="With the rest of the lighting list dark.")
    ] = False,
    enough_leads: Annotated[
        bool, typer.Option("--enough-leads", help="With leads and boards for everything.")
    ] = False,
    as_json: AsJson = False,
    time_limit: TimeLimit = 20.0,
    debug: Debug = False,
) -> None:
    """Say how many heads of a kind the house holds, with proof."""

    def run() -> Told:
        from spreadload.app import planning, what_if

        told = what_if.how_many(
            planning.with_log(planning.load_job(job), job),
            heads,
            setup=setup,
            place=place,
            is_alone=alone,
            has_leads=enough_leads,
            config=planning.SolverConfig(time_limit_s=time_limit, progress=progress),
        )
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)


@cli.command()
def generator(
    job: JobPath,
    loads: Annotated[
        list[str], typer.Argument(metavar="LOAD...", help="Heads or loads, such as DH1800=2.")
    ],
    *,
    phases: Annotated[int, typer.Option("--phases", min=1, max=3, metavar="N")] = 1,
    altitude_m: Annotated[float, typer.Option("--altitude-m", min=0, max=5000)] = 0.0,
    ambient_c: Annotated[float, typer.Option("--ambient-c", min=-30, max=60)] = 25.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say how large a generator has to be for what the house cannot feed."""

    def run() -> Told:
        from spreadload.app import planning, what_if

        told = what_if.generator_for(
            planning.load_job(job), loads, phases=phases, altitude_m=altitude_m, ambient_c=ambient_c
        )
        say(told.data() if as_json else told.text(style()))
        return told

    exit_with(run, debug=debug)
