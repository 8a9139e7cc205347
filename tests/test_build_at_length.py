"""Twenty thousand random pieces, in blocks: refused in one clear line, or built true and mirrored true.

Each block has a seed of its own and can be run alone, so that a long run may be shared out or taken up again:
`python3 build.py soak tests/test_build_at_length.py -k block7-`.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import Phase, given, seed, settings
from strategies import piece_data
from test_build_properties import RULES, built_at_last, keeps_every_rule, mirror_image_is_built

BLOCKS, EACH = 40, 500
WHOLE = settings(RULES, derandomize=False, max_examples=EACH, phases=(Phase.explicit, Phase.generate))

pytestmark = pytest.mark.soak


@pytest.mark.parametrize("block", range(BLOCKS), ids=lambda block: f"block{block}-")
def test_pieces_at_length(block: int, record_property: Any) -> None:
    """Refused with parameter, value and limit, or every rule kept, the same when built again, and its mirror image too."""
    counts = {"seen": 0, "built": 0}

    @seed(block)
    @WHOLE
    @given(piece_data())
    def each(data: dict[str, Any]) -> None:
        counts["seen"] += 1
        data, built = built_at_last(data)
        if built is not None:
            counts["built"] += 1
            keeps_every_rule(data, built)
            mirror_image_is_built(data)

    each()
    for word, count in counts.items():
        record_property(word, count)
    assert counts["seen"] >= EACH and counts["built"] > EACH // 4
