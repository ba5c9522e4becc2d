"""Nothing unseen goes out: names come from strangers, and a terminal obeys more than it shows."""

from __future__ import annotations

import json
import re

# What a terminal obeys or a reader cannot see: control characters but for the line's end and the tab, marks that turn
# the direction of writing, separators of lines, what takes no room, halves of characters.  Joiners that scripts need
# to write words are no such thing.
_UNSEEN = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f]"
    r"|[\ud800-\udfff\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)


def visible(text: str) -> str:
    r"""The text with everything unseen in it written out, as ``\u202e``: names come from strangers.

    In JSON that is the same text still, for so it is written there.

    >>> print(visible("a\x1b[31mb"))
    a\u001b[31mb
    """
    return _UNSEEN.sub(lambda match: json.dumps(match[0])[1:-1], text)
