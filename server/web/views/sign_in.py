"""Signing in by name and password, or by a link that works once; signing out; the first farm."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from server.people import reads, second_step, writes
from server.people.clock import now
from server.people.errors import LinkUsed
from server.people.models import Account
from server.web.desk import browser_language, told

SEVERAL_FARMS = "several_farms"
HALF, HALF_LASTS = "half_signed_in", timedelta(minutes=5)
"""Whose password was right and who has not given the second step yet."""
BACKEND = "django.contrib.auth.backends.ModelBackend"


def first(request: HttpRequest) -> HttpResponse:
    """The farm that somebody is of, or a list of several; the sign-in where nobody is signed in."""
    if not request.user.is_authenticated:
        return HttpResponseRedirect(reverse("sign_in"))
    farms = reads.farms_of(request.user)  # type: ignore[arg-type]
    if not farms:
        return told(request, "not_of_this_farm", 404)
    # The foot of each page leads back to the list, so it is remembered: no page has to look for it.
    request.session[SEVERAL_FARMS] = len(farms) > 1
    if len(farms) > 1:
        language = getattr(request.user, "language", None) or browser_language(request)
        return render(request, "web/farms.html", {"farms": farms, "language": language})
    return HttpResponseRedirect(reverse("lie_of_the_land", args=[farms[0].id]))


def sign_in(request: HttpRequest) -> HttpResponse:
    """By name and password; who has a second step is then asked for six figures, within a few minutes."""
    after = request.POST.get("next") or request.GET.get("next") or ""
    facts = {"language": browser_language(request), "next": after, "name": request.POST.get("name", "")}
    if request.method != "POST":
        request.session.pop(HALF, None)
        return render(request, "web/sign_in.html", facts)
    if "figures" in request.POST:
        return _second_step(request, facts)
    account = authenticate(request, username=request.POST.get("name"), password=request.POST.get("password"))
    if account is None:
        return render(request, "web/sign_in.html", facts | {"wrong": True}, status=403)
    if second_step.is_on(account):  # type: ignore[arg-type]
        request.session[HALF] = [str(account.pk), now().timestamp()]
        return render(request, "web/sign_in.html", facts | {"half": True})
    login(request, account)
    return HttpResponseRedirect(_within(request, after))


def _second_step(request: HttpRequest, facts: dict[str, Any]) -> HttpResponse:
    """The figures of whoever gave the right password just now. Too late: from the beginning."""
    who, at = request.session.get(HALF) or ("", 0.0)
    account = Account.objects.filter(id=who, is_active=True).first() if who else None
    if account is None or now().timestamp() - at > HALF_LASTS.total_seconds():
        request.session.pop(HALF, None)
        return render(request, "web/sign_in.html", facts | {"wrong": True}, status=403)
    if not second_step.verified(account, request.POST.get("figures", "")):
        return render(request, "web/sign_in.html", facts | {"half": True, "wrong": True}, status=403)
    request.session.pop(HALF, None)
    login(request, account, backend=BACKEND)
    return HttpResponseRedirect(_within(request, facts["next"]))


def by_link(request: HttpRequest, token: str) -> HttpResponse:
    """A link is used by the button, not by being fetched: a preview of it would use it up."""
    if request.method != "POST":
        return render(request, "web/sign_in_by_link.html", {"language": browser_language(request)})
    try:
        account = writes.use_sign_in(token, now())
    except LinkUsed:
        return told(request, "link_used", 410)
    login(request, account, backend=BACKEND)
    return HttpResponseRedirect("/")


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return HttpResponseRedirect(reverse("sign_in"))


def _within(request: HttpRequest, address: str) -> str:
    """An address of ours, or the first page: nobody is sent elsewhere after signing in."""
    fits = url_has_allowed_host_and_scheme(address, {request.get_host()}, require_https=request.is_secure())
    return address if address and fits else "/"
