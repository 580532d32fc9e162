"""`asfound fit`: what is free to fit now, with how it was, its bag, its snags and cautions; move a step."""

from __future__ import annotations

from typing import Any

import click

from asfound.actions import resolve, views
from asfound.actions.archive import Archive
from asfound.actions.fit import FitCard, FitPlan, cautions_due, move_step, plan_fit, read_fit_card
from asfound.actions.look_over import look_again
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.core.log.looks import look_words
from asfound.core.refit.fit_next import Waiting
from asfound.core.refit.steps import HoldPoint
from asfound.model.pictures import Picture

CARDS_SHOWN = 3


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
            for number, step in enumerate(plan.waiting, 1):
                console().print(f"{number:>3}  {plan.name(step.step)}{_waits(plan, step)}")
        else:
            _show_free(archive, plan)
        for warning in plan.warnings:
            errors().print(warning)


@COMMAND.command("move", epilog=example("asfound fit move 17 before 18"))
@click.argument("tag")
@click.argument("side", type=click.Choice(["before", "after"]))
@click.argument("other")
@json_option
def move(tag: str, side: str, other: str, as_json: bool) -> None:
    """Put TAG right before or after the OTHER one; your word goes before every rule."""
    with opened() as archive:
        mine, its = resolve.get_tag(archive, tag).tag, resolve.get_tag(archive, other).tag
        move_step(archive, mine, side, its)
        plan = plan_fit(archive)
        if as_json:
            print_json(_document(archive, plan))
        else:
            console().print(f"{mine.number} is fitted right {side} {its.number}. Take that back with: asfound undo")
        for warning in plan.warnings:
            errors().print(warning)


def _show_free(archive: Archive, plan: FitPlan) -> None:
    out = console()
    if not plan.waiting:
        out.print("Nothing is written down as off, so nothing waits to be fitted.")
    elif not plan.free:
        out.print("Nothing is free: everything waits for something else.")
    shown = 0
    for step in plan.free:
        if isinstance(step.step, HoldPoint):
            out.print(f"Hold {step.step}: look first with: asfound hold {step.step.name.lower().replace('_', '-')}")
        elif shown < CARDS_SHOWN:
            _show_card(archive, plan, step, read_fit_card(archive, plan.record.by_id[step.step]))
            shown += 1
    free_tags = sum(not isinstance(step.step, HoldPoint) for step in plan.free)
    if free_tags > shown:
        out.print(f"and {free_tags - shown} more are free: asfound fit --all")
    waits = len(plan.waiting) - len(plan.free)
    if waits:
        out.print(f"{waits} wait for something else: asfound fit --all")
    by_hand = [plan.name(one.tag_id) for one in plan.not_tight if one.state == "by hand"]
    if by_hand:
        out.print(f"Fitted by hand only: {', '.join(by_hand)}")
    for tag, line in look_again(archive):
        out.print(f"Look again at {plan.name(tag.tag_id)}{f' end {line.end}' if line.end else ''}: {look_words(line)}")
    for caution in cautions_due(archive, "refit") if plan.waiting else ():
        out.print(caution)


def _show_card(archive: Archive, plan: FitPlan, step: Waiting, found: FitCard) -> None:
    out = console()
    out.print(f"{plan.name(step.step)}{_waits(plan, step)}", style="bold")
    wanted = ("end A", "sat at A", "end B", "sat at B", "how it sat", "flow", "bag", "condition")
    fields = [(name, value) for name, value in found.card.fields if name in wanted]
    width = max((len(name) for name, _value in fields), default=0)
    for name, value in fields:
        out.print(f"  {name:<{width}}  {value}")
    for seen in found.seen:
        out.print(f"  as found {seen.pin.end}: {_path(archive, seen.picture) or seen.picture.file}")
    for snag in found.snags:
        out.print(f"  snag {snag.label}: {snag.what}")
    for caution in found.cautions:
        out.print(f"  {caution}")


def _waits(plan: FitPlan, step: Waiting) -> str:
    if step.missing:
        named = ", ".join(
            f"hold {one}" if isinstance(one, HoldPoint) else plan.record.by_id[one].number for one in step.missing
        )
        return f"  waits for {named}"
    loose = ", ".join(plan.record.by_id[tag_id].number for tag_id in step.loose)
    return f"  (by hand so far: {loose})" if loose else ""


def _path(archive: Archive, picture: Picture) -> str | None:
    path = views.find_path(archive, picture)
    return None if path is None else str(path)


def _document(archive: Archive, plan: FitPlan) -> dict[str, Any]:
    by_id = plan.record.by_id

    def named(step: Any) -> dict[str, Any]:
        if isinstance(step, HoldPoint):
            return {"hold": str(step), "tag": None, "order": None, "name": ""}
        return {"hold": None, "tag": by_id[step].number, "order": by_id[step].order, "name": by_id[step].name}

    def at_hand(step: Any) -> dict[str, Any]:
        if isinstance(step, HoldPoint):
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
        "not_tight": [{**named(one.tag_id), "state": one.state} for one in plan.not_tight],
        "warnings": list(plan.warnings),
    }
