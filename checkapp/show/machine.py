"""Which machine this is, as far as it says so: a short name that another machine does not have."""

import hashlib
import platform
import sys
import uuid
from pathlib import Path

_FILES = (Path("/etc/machine-id"), Path("/var/lib/dbus/machine-id"))
_MULTICAST = 1 << 40


def machine_name() -> str:
    """16 hex digits made from the system's own id of the machine, else from its network address, else its name."""
    return hashlib.sha256(f"checkapp {_own_id()}".encode()).hexdigest()[:16]


def _own_id() -> str:
    for path in _FILES:
        try:
            found = path.read_text(encoding="utf-8").strip()
        except (OSError, ValueError):
            continue
        if found:
            return found
    if sys.platform == "win32":
        import winreg

        with winreg.OpenKey(winreg.HKEY_LOCAL_MACHINE, r"SOFTWARE\Microsoft\Cryptography") as key:
            return str(winreg.QueryValueEx(key, "MachineGuid")[0])
    address = uuid.getnode()
    return platform.node() if address & _MULTICAST else f"{address:012x}"  # with that bit it is drawn anew each time
