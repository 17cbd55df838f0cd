"""The Sphinx extension that publishes a manual with an ordinary book.

Name `greaseproof.site` in its `_config.yml`.
"""

from __future__ import annotations

from typing import Any

from sphinx.application import Sphinx

__all__ = ["setup"]


def setup(app: Sphinx) -> dict[str, Any]:
    """Connect each part of the extension."""
    from .. import __version__
    from .appearance import setup_appearance
    from .config import setup_config
    from .embedding import setup_embedding
    from .publishing import setup_publishing
    from .rulebook import setup_rulebook

    setup_config(app)
    setup_appearance(app)
    setup_publishing(app)
    setup_embedding(app)
    setup_rulebook(app)
    return {"version": __version__, "env_version": 1, "parallel_read_safe": True, "parallel_write_safe": True}
