"""Looks whether the system has what the demo or the tests need; installs by apt where it may, else names it.

Run by the Makefile with the system's own Python, before anything is installed: standard library only.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

LIST = Path(__file__).with_name("system-packages.txt")


def wanted(purpose: str) -> list[str]:
    lines = [line.split() for line in LIST.read_text().splitlines() if line and not line.startswith("#")]
    return [name for name, *purposes in lines if purpose in purposes]


def installed(package: str) -> bool:
    asked = subprocess.run(["dpkg-query", "-W", "-f=${Status}", package], capture_output=True, text=True)
    return asked.returncode == 0 and "install ok installed" in asked.stdout


def substitute(package: str) -> bool:
    """Ubuntu ships Chromium by snap: any Chromium on the path serves."""
    return package == "chromium" and any(shutil.which(name) for name in ("chromium", "chromium-browser"))


def install(packages: list[str]) -> bool:
    prefix = [] if os.geteuid() == 0 else ["sudo", "-n"]
    if prefix and not shutil.which("sudo"):
        return False
    apt = [
        *prefix,
        "env",
        "DEBIAN_FRONTEND=noninteractive",
        "apt-get",
        "-o",
        "DPkg::Lock::Timeout=300",
        "-qq",
    ]
    print("Installing by apt:", " ".join(packages), flush=True)
    for words in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        if subprocess.run([*apt, *words], stdout=subprocess.DEVNULL).returncode:
            return False
    return True


def main(purpose: str) -> int:
    if not shutil.which("dpkg-query"):
        print(
            "This is no Debian or Ubuntu: see tests/system-packages.txt for what is needed.", file=sys.stderr
        )
        return 0
    missing = [name for name in wanted(purpose) if not installed(name) and not substitute(name)]
    if missing and not install(missing):
        print("Please install, then try again: apt install " + " ".join(missing), file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
