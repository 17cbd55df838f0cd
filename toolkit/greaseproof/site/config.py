"""What a book may set in its configuration."""

from __future__ import annotations

import os
from pathlib import Path

from sphinx.application import Sphinx

__all__ = ["is_draft", "procedures_folder", "setup_config"]

#: Set to 1 by `greaseproof build --draft`.
DRAFT_VARIABLE = "GREASEPROOF_DRAFT"


def setup_config(app: Sphinx) -> None:
    # Where the manual is, from the book's folder.
    app.add_config_value("greaseproof_procedures", "../procedures", "env", types=(str,))
    # Publish in spite of errors, every page concerned marked as a draft.
    app.add_config_value("greaseproof_draft", False, "env", types=(bool,))
    # A step diagram on every page.
    app.add_config_value("greaseproof_diagrams", True, "env", types=(bool,))


def procedures_folder(app: Sphinx) -> Path:
    """The manual's folder, as a path that reads well from where the build was started."""
    folder = (Path(app.srcdir) / str(app.config.greaseproof_procedures)).resolve()
    here = Path.cwd()
    return folder.relative_to(here) if folder.is_relative_to(here) else folder


def is_draft(app: Sphinx) -> bool:
    return bool(app.config.greaseproof_draft) or os.environ.get(DRAFT_VARIABLE) == "1"
