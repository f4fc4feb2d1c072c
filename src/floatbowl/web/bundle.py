"""The modules of a page as one script, for a file that stands alone: no browser loads modules from a disk.

Made for our own modules, which import by name from their neighbours and export
functions, constants and classes; tried in a browser, not proven for any other.
"""

from __future__ import annotations

import re
from collections.abc import Callable

_IMPORT = re.compile(r'^import \{ (?P<names>[^}]+) \} from "\./(?P<file>[\w-]+)\.js";$', flags=re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|const|class)\b)", flags=re.MULTILINE)
_EXPORTED = re.compile(r"^export (?:async )?(?:function|const|class) (\w+)", flags=re.MULTILINE)


def bundled(first: str, read: Callable[[str], str]) -> str:
    """Give a module with all that it imports, as one script; ``read`` gives a module by its name."""
    written: dict[str, str] = {}
    _write(first, read, written)
    script = "".join(written.values())
    assert "</script" not in script.casefold()  # noqa: S101  (our own files)
    return script


def _write(name: str, read: Callable[[str], str], written: dict[str, str]) -> None:
    """Write what a module needs, and behind it the module itself."""
    source = read(name)
    for needed in _IMPORT.finditer(source):
        if needed["file"] not in written:
            _write(needed["file"], read, written)
    body = _EXPORT.sub("", _IMPORT.sub(_taken, source))
    given = ", ".join(_EXPORTED.findall(source))
    written[name] = f"const {_name(name)} = (() => {{\n{body}\nreturn {{ {given} }};\n}})();\n"


def _taken(found: re.Match[str]) -> str:
    return f"const {{ {found['names'].replace(' as ', ': ')} }} = {_name(found['file'])};"


def _name(module: str) -> str:
    return f"{module.replace('-', '_')}_js"
