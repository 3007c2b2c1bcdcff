"""What each command does, once settings stand."""

from __future__ import annotations

import argparse

from django.core.management import call_command
from django.db import transaction

from server.people import reads, slips, writes
from server.people.clock import now


def laid() -> None:
    """The tables as this version wants them."""
    call_command("migrate", verbosity=0, interactive=False)


def new_farm(told: argparse.Namespace) -> None:
    laid()
    at = now()
    with transaction.atomic():
        farm = writes.found_farm(told.name, told.zone, at)
        owner = told.owner or f"Owner of {told.name}"
        account = writes.add_account(owner, at)
        writes.add_person(farm.id, at, name=owner, role="owner", account=account)
        token = writes.sign_in_token(account, at)
    print(f"{told.address}/sign-in/{token}/")


def code(told: argparse.Namespace) -> None:
    laid()
    print(slips.make_slip(reads.farm_named(told.farm).id, now()))


def serve(told: argparse.Namespace) -> None:
    import waitress

    from server.config.wsgi import application

    laid()
    print(f"http://{told.host}:{told.port}/", flush=True)
    waitress.serve(
        application,
        host=told.host,
        port=told.port,
        threads=told.threads,
        max_request_body_size=256 * 1024 * 1024,
        ident="goodground",
    )


def rebuild_status(told: argparse.Namespace) -> None:
    laid()
    from server.status import writes as status

    for name, rows in status.rebuild_all(now()):
        print(f"{name}: {rows}")
