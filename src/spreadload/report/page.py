"""Pages that carry everything with them: templates, style and script become one HTML file.

Templates escape everything they are given. Scripts run only when they are the ones shipped here:
the page names their digests, so that no text of a job can ever run.
"""

from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from spreadload.words import setup_name

_FOLDER = "pages"


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("spreadload.report", _FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["setup"] = setup_name
    return environment


@cache
def shipped(name: str) -> str:
    """Return the text of a file that ships beside the templates."""
    return (files("spreadload.report") / _FOLDER / name).read_text(encoding="utf-8")


def page(template: str, style: Sequence[str], scripts: Sequence[str], **values: Any) -> str:  # noqa: ANN401 - whatever the template names
    """Return one self-contained page.

    Args:
        template: File name of the template.
        style: File names of style sheets, in order.
        scripts: File names of scripts, in the order they run.
        values: What the template speaks of.
    """
    texts = [shipped(name) for name in scripts]
    # Ours, not the job's: they are set as they are.
    return (
        _environment()
        .get_template(template)
        .render(
            css=Markup("".join(shipped(name) for name in style)),  # noqa: S704 - shipped with us
            scripts=[Markup(text) for text in texts],  # noqa: S704 - shipped with us
            script_hashes=" ".join(_digest(text) for text in texts),
            **values,
        )
    )


def _digest(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"
