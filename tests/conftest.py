"""What every family of tests shares: its share of the time, and hypothesis made repeatable."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "house",
    deadline=None,
    derandomize=True,
    database=None,
    print_blob=False,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("house")

CORES = 2
MINUTES = {"house": 3.0, "reckoner": 2.0, "sync": 4.5, "phone": 2.5, "manager": 2.0, "ahead": 1.0}
"""The share of each family in fifteen minutes on two cores."""
FAMILY = {
    ("house",): "house",
    ("main_job",): "house",
    ("docs",): "house",
    ("demo",): "house",
    ("shared",): "reckoner",
    ("shared", "wire"): "sync",
    ("shared", "sync"): "sync",
    ("shared", "proof"): "sync",
    ("server",): "sync",
    ("simulation",): "sync",
    ("kills",): "sync",
    ("walls",): "sync",
    ("mobile", "storage"): "sync",
    ("mobile", "transport"): "sync",
    ("mobile",): "phone",
    ("server", "test_commands.py"): "house",
    ("server", "test_documents.py"): "house",
    ("server", "test_erasing.py"): "manager",
    ("server", "test_rebuilding.py"): "manager",
    ("server", "web"): "manager",
    ("server", "registers"): "manager",
    ("server", "reading"): "manager",
    ("server", "ahead"): "ahead",
    ("server", "web", "ahead"): "ahead",
    ("shared", "status"): "ahead",
}


def family(nodeid: str) -> str:
    """The family of a test, by the longest path that is listed, of its file or of a folder that it is in."""
    parts = Path(nodeid.split("::")[0]).parts[1:]
    for length in range(len(parts), 0, -1):
        if parts[:length] in FAMILY:
            return FAMILY[parts[:length]]
    return "house"


CPU = "seconds of the processor"


def processor_seconds() -> float:
    """What this process and its ended children used so far: other work on the machine makes it no longer."""
    used = os.times()
    return used.user + used.system + used.children_user + used.children_system


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> Iterator[None]:
    item.stash[BEGAN] = processor_seconds()
    return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Iterator[pytest.TestReport]:
    report: pytest.TestReport = yield
    if report.when == "teardown":
        report.user_properties.append((CPU, processor_seconds() - item.stash[BEGAN]))
    return report


BEGAN = pytest.StashKey[float]()


class Shares:
    """Adds up the processor's seconds of each family and fails the run where one went over its share."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = defaultdict(float)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        for name, spent in report.user_properties:
            if name == CPU and report.when == "teardown":
                self.seconds[family(report.nodeid)] += spent

    def over(self) -> dict[str, float]:
        return {name: spent for name, spent in self.seconds.items() if spent > MINUTES[name] * 60 * CORES}

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        told = ", ".join(
            f"{name} {spent:.0f} s of {MINUTES[name] * 60 * CORES:.0f}"
            for name, spent in self.seconds.items()
        )
        terminalreporter.write_line(f"shares of the time on {CORES} cores: {told}")
        for name in self.over():
            terminalreporter.write_line(f"the family {name} went over its share of the time", red=True)

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        if self.over() and session.exitstatus == 0:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_configure(config: pytest.Config) -> None:
    if not hasattr(config, "workerinput"):
        config.pluginmanager.register(Shares(), "shares-of-time")
