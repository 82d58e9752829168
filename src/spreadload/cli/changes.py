"""The commands that change the list: offers, what-ifs, how many, a generator.

Use cases are loaded by the command that needs them.
"""

from spreadload.cli.options import (
    AltitudeM,
    AmbientC,
    AsJson,
    Debug,
    HasLeads,
    Heads,
    IsAlone,
    JobPath,
    Loads,
    Margin,
    Phases,
    PlaceId,
    PlanDrawn,
    SetupId,
    TimeLimit,
    Variants,
    VariantsFile,
)
from spreadload.cli.shell import Told, cli, exit_with, given_plan, looking, shown


@cli.command()
def offers(
    job: JobPath,
    *,
    margin: Margin = None,
    plan_file: PlanDrawn = None,
    time_limit: TimeLimit = 30.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say what stops a list, and the cheapest changes that cure it.

    Each is planned again and judged.
    """

    def run() -> Told:
        from spreadload.app import planning, what_if

        stated = planning.load_job(job)
        known = planning.with_log(stated, job)
        config = looking(time_limit)
        drawn = given_plan(plan_file, stated)
        if drawn is not None:
            return shown(what_if.moves_of(known, drawn, config), as_json=as_json)
        where = what_if.lines_of(job)
        found = what_if.offers_of(known, config, margin_pct=margin, where=where)
        return shown(found, as_json=as_json)

    exit_with(run, debug=debug)


@cli.command()
def swap(
    job: JobPath,
    *,
    variant: Variants = None,
    variants_file: VariantsFile = None,
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan any number of what-ifs side by side."""

    def run() -> Told:
        from spreadload.app import planning, what_if

        stated = planning.load_job(job)
        known = planning.with_log(stated, job)
        kept = what_if.load_variants(variants_file, known) if variants_file else ()
        texts = [*kept, *(variant or ())]
        config = looking(time_limit)
        return shown(what_if.swap(known, texts, config), as_json=as_json)

    exit_with(run, debug=debug)


@cli.command(name="how-many")
def how_many(
    job: JobPath,
    heads: Heads,
    *,
    setup: SetupId = None,
    place: PlaceId = None,
    alone: IsAlone = False,
    enough_leads: HasLeads = False,
    time_limit: TimeLimit = 20.0,
    as_json: AsJson = False,
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
            config=looking(time_limit),
        )
        return shown(told, as_json=as_json)

    exit_with(run, debug=debug)


@cli.command()
def generator(
    job: JobPath,
    loads: Loads,
    *,
    phases: Phases = 1,
    altitude_m: AltitudeM = 0.0,
    ambient_c: AmbientC = 25.0,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say how large a generator feeds what the house cannot."""

    def run() -> Told:
        from spreadload.app import planning, what_if

        told = what_if.generator_for(
            planning.load_job(job), loads, phases=phases, altitude_m=altitude_m, ambient_c=ambient_c
        )
        return shown(told, as_json=as_json)

    exit_with(run, debug=debug)
