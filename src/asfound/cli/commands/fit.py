"""`asfound fit`: what is free to fit now, with how it was, its bag, its snags and cautions; move and add steps."""

from __future__ import annotations

from typing import Any

import click

from asfound.actions import own_steps, views
from asfound.actions.archive import Archive
from asfound.actions.away import list_away
from asfound.actions.fit import FitCard, FitPlan, cautions_due, move_step, name_step, plan_fit, read_fit_card
from asfound.actions.fit_list import ListedStep, list_fit_steps
from asfound.actions.fluids import list_fluids
from asfound.actions.lift import hold_name
from asfound.actions.log_list import as_listed
from asfound.actions.look_over import look_again
from asfound.actions.own_steps import resolve_step
from asfound.actions.phases import cautions_now
from asfound.actions.values import not_final
from asfound.cli.cards import print_fields, value_document
from asfound.cli.lines import print_lines
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.cli.value_lists import away_document, values_document
from asfound.core.log.looks import look_words
from asfound.core.refit.steps import HoldPoint, Lift, OwnStep, Step
from asfound.core.words import fold
from asfound.errors import Misused
from asfound.model.pictures import Picture

CARDS_SHOWN = 3
MOST_NAMED = 6
"""Of what a step waits for; an earth lead waits for everything."""


@click.group(invoke_without_command=True, epilog=example("asfound fit"))
@click.option("--all", "show_all", is_flag=True, help="The whole order, with what each thing waits for.")
@json_option
@click.pass_context
def COMMAND(ctx: click.Context, show_all: bool, as_json: bool) -> None:
    """Show what is free to fit now, the next thing first, and what still waits.

    The order is a draft: last off, first on, then your rules (asfound tag 17 --fit-after 18) and your moves. The
    machine's service manual comes before it.
    """
    if ctx.invoked_subcommand is not None:
        return
    with opened() as archive:
        plan = plan_fit(archive)
        if as_json:
            print_json(_document(archive, plan))
            return
        if show_all:
            for number, entry in enumerate(_still_waiting(archive), 1):
                console().print(f"{number:>3}  {entry.title}{_waits(entry)}")
        else:
            _show_free(archive, plan)
        for warning in plan.warnings:
            errors().print(warning)


@COMMAND.command("move", epilog=example("asfound fit move 17 before 18"))
@click.argument("step")
@click.argument("side", type=click.Choice(["before", "after"]))
@click.argument("other")
@json_option
def move(step: str, side: str, other: str, as_json: bool) -> None:
    """Put STEP right before or after OTHER. Your word goes before every rule.

    STEP is a tag or a step of your own; OTHER may be a hold too: lift-in or first-start.
    """
    with opened() as archive:
        mine, its = resolve_step(archive, step), resolve_step(archive, other)
        to_know = move_step(archive, mine, side, its)
        plan = plan_fit(archive)
        if as_json:
            print_json(_document(archive, plan))
        else:
            names = name_step(archive, mine), name_step(archive, its)
            console().print(f"{names[0]} is fitted right {side} {names[1]}. Take that back with: asfound undo")
        for line in filter(None, (to_know, *plan.warnings)):
            errors().print(line)


@COMMAND.command("step", epilog=example('asfound fit step "bleed the fuel" --before first-start'))
@click.argument("name", default="")
@click.option("--before", help="The tag, hold or step that it goes right before.")
@click.option("--after", help="The tag, hold or step that it goes right after.")
@click.option("--hold", "is_hold", is_flag=True, help="Work stops there until somebody has looked.")
@json_option
def step_(name: str, before: str | None, after: str | None, is_hold: bool, as_json: bool) -> None:
    """Put a step of your own on the list, such as priming, bleeding or final alignment. Without NAME, list them."""
    if before and after:
        raise Misused("Say --before or --after, not both.")
    with opened() as archive:
        if name:
            side, other = ("before", before) if before else ("after", after)
            own_steps.add_step(archive, name, side, resolve_step(archive, other) if other else None, is_hold=is_hold)
        done, plan = own_steps.find_done(archive), plan_fit(archive)
        steps = [one for one in plan.order.steps if isinstance(one, OwnStep)]
        if as_json:
            print_json(
                [
                    {"step": f"S{one.step_id}", "name": one.name, "is_hold": one.is_hold, "done": one in plan.done}
                    for one in steps
                ]
            )
            return
        for one in steps:
            line = done.get(fold(one.name))
            told = "" if line is None else f"  done {line.at:%Y-%m-%d}{f' by {line.by_whom}' if line.by_whom else ''}"
            console().print(f"S{one.step_id:<3} {'hold ' if one.is_hold else ''}{one.name}{told}")
        known = {fold(one.name) for one in steps}
        usual = [one.name for one in own_steps.USUAL_STEPS if fold(one.name) not in known]
        if usual and not name:
            console().print(f"Many jobs have: {', '.join(usual)}. The service manual says what this one needs.")


@COMMAND.command("done", epilog=example('asfound fit done "bleed the fuel" --by deckhand'))
@click.argument("name")
@click.option("--by", "by_whom", default="", help="Who did it, or looked.")
@click.option("--note", default="")
@at_option
def done_(name: str, by_whom: str, note: str, at: str | None) -> None:
    """Write down that a step of your own is done, by its NAME or its number on the list."""
    with opened() as archive:
        moment, is_day_only = said_moment(archive, at)
        own = own_steps.get_step(archive, name)
        waits = next((one.missing for one in plan_fit(archive).waiting if one.step == own), ())
        line = own_steps.do_step(archive, own, by_whom=by_whom, note=note, at=moment, is_day_only=is_day_only)
        print_lines(as_listed(archive, [line]), archive.job.zone)
        if waits:
            errors().print(f'"{own.name}" was meant to wait for {", ".join(name_step(archive, one) for one in waits)}.')


@COMMAND.command("drop", epilog=example('asfound fit drop "retighten warm"'))
@click.argument("name")
def drop_(name: str) -> None:
    """Take a step of your own off the list; what the log says of it stays."""
    with opened() as archive:
        own = own_steps.get_step(archive, name)
        own_steps.drop_step(archive, own)
        console().print(f'"{own.name}" is off the list. Take that back with: asfound undo')


def _show_free(archive: Archive, plan: FitPlan) -> None:
    out = console()
    if not plan.waiting:
        out.print("Nothing is written down as off, so nothing waits to be fitted.")
    elif not plan.free:
        out.print("Nothing is free: everything waits for something else.")
    steps = _still_waiting(archive)
    free, shown = [one for one in steps if one.is_free], 0
    for step in free:
        if not isinstance(step.step, int):
            out.print(_what_to_do(plan, step.step), style="bold")
            for caution in cautions_due(archive, step.step) if isinstance(step.step, Lift) else ():
                out.print(f"  {caution}")
        elif shown < CARDS_SHOWN:
            _show_card(archive, step, read_fit_card(archive, plan.record.by_id[step.step]))
            shown += 1
    free_tags = sum(step.card is not None for step in free)
    if free_tags > shown:
        out.print(f"and {free_tags - shown} more are free: asfound fit --all")
    waits = len(steps) - len(free)
    if waits:
        out.print(f"{waits} wait{'s' if waits == 1 else ''} for something else: asfound fit --all")
    by_hand = [plan.name(one.tag_id) for one in plan.not_tight if one.state == "by hand"]
    if by_hand:
        out.print(f"Fitted by hand only: {', '.join(by_hand)}")
    for away in list_away(archive):
        out.print(f"Not back: {away.words}")
    for fluid in list_fluids(archive):
        if fluid.is_open:
            out.print(f"Not filled: {fluid.name}{f' (came out: {fluid.out_words})' if fluid.out_words else ''}")
    for tag, line in look_again(archive):
        out.print(f"Look again at {plan.name(tag.tag_id)}{f' end {line.end}' if line.end else ''}: {look_words(line)}")
    for caution in cautions_due(archive, "refit") if plan.waiting else ():
        out.print(caution)


def _what_to_do(plan: FitPlan, step: Step) -> str:
    """A step that is no thing, with what to type when it is over."""
    if step is HoldPoint.LIFT_IN and not plan.lifts.are_known:
        return (
            "Hold before lift in: no lift is written down. If the engine was out, say when: asfound out --at DAY; "
            "look with: asfound hold lift-in"
        )
    if isinstance(step, HoldPoint):
        return f"Hold {step}: look first with: asfound hold {hold_name(step)}"
    if isinstance(step, OwnStep):
        return f'{plan.name(step).capitalize()}. When that is done: asfound fit done "{step.name}"'
    return "Lift the engine in. When it is in: asfound in"


def _show_card(archive: Archive, step: ListedStep, found: FitCard) -> None:
    out = console()
    is_away = any(one.line.tag_id == step.step for one in list_away(archive))
    away = "  sent out and not back" if is_away else ""
    out.print(f"{step.title}{_waits(step)}{away}", style="bold")
    wanted = ("place", "how_it_sat", "flow", "bag", "condition", "set", "value", "measured")
    print_fields(one for one in found.card.fields if one.name in wanted)
    for seen in found.seen:
        out.print(f"  as found {seen.pin.end}: {_path(archive, seen.picture) or seen.picture.file}")
    for snag in found.snags:
        out.print(f"  snag {snag.label}: {snag.what}")
    for caution in found.cautions:
        out.print(f"  {caution}")


def _still_waiting(archive: Archive) -> list[ListedStep]:
    """What is still to be fitted, in order; what to look at again has lines of its own."""
    return [one for one in list_fit_steps(archive) if one.said is None]


def _waits(step: ListedStep) -> str:
    if step.nearest:
        named = step.nearest
        more = f" and {len(named) - MOST_NAMED} more" if len(named) > MOST_NAMED + 1 else ""
        return f"  waits for {', '.join(named[: MOST_NAMED if more else None])}{more}"
    return f"  (by hand so far: {', '.join(step.loose)})" if step.loose else ""


def _path(archive: Archive, picture: Picture) -> str | None:
    path = views.find_path(archive, picture)
    return None if path is None else str(path)


def _document(archive: Archive, plan: FitPlan) -> dict[str, Any]:
    by_id = plan.record.by_id

    def named(step: Step) -> dict[str, Any]:
        if isinstance(step, int):
            tag = by_id[step]
            return {"hold": None, "step": None, "tag": tag.number, "order": tag.order, "name": tag.name}
        is_hold = isinstance(step, HoldPoint) or (isinstance(step, OwnStep) and step.is_hold)
        own = str(step)
        return {"hold": own if is_hold else None, "step": own, "tag": None, "order": None, "name": ""}

    def at_hand(step: Step) -> dict[str, Any]:
        if not isinstance(step, int):
            return {}
        found = read_fit_card(archive, by_id[step])
        pictures = [
            {"end": seen.pin.end, "picture": seen.picture.picture_id, "file": seen.picture.file,
             "path": _path(archive, seen.picture)}
            for seen in found.seen
        ]  # fmt: skip
        return {
            "as_found": pictures,
            "bags": list(found.card.bags),
            "values": [value_document(one) for one in found.card.values],
            "snags": [snag.label for snag in found.snags],
            "cautions": list(found.cautions),
        }

    return {
        "free": [
            {**named(step.step), "loose": [named(i) for i in step.loose], **at_hand(step.step)} for step in plan.free
        ],
        "waiting": [
            {**named(step.step), "waits_for": [named(one) for one in step.missing]}
            for step in plan.waiting
            if step.missing
        ],
        "loops": [[by_id[tag_id].number for tag_id in loop] for loop in plan.order.loops],
        "not_filled": [
            {"what": fluid.name, "drained": fluid.out_words} for fluid in list_fluids(archive) if fluid.is_open
        ],
        "away": [away_document(one) for one in list_away(archive)],
        "not_final": values_document(archive, not_final(archive)),
        "cautions": [caution.text for caution in cautions_now(archive)],
        "order": [{**named(step), "done": step in plan.done} for step in plan.order.steps],
        "not_tight": [{**named(one.tag_id), "state": one.state} for one in plan.not_tight],
        "warnings": list(plan.warnings),
    }
