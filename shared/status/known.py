"""What is known of a field, under the names of the reckoner's inputs."""

from __future__ import annotations

from shared.status.field_status import FieldStatus
from shared.status.leaf_room import RoomLeft


def known_of_field(
    stands: FieldStatus, left: RoomLeft, spreadable_ac: float | None, load_yd3: float | None
) -> dict[str, float | tuple[float, ...] | None]:
    """Acres, the cap in inches, truck yards placed and in a load, and the depths of the newest fresh round; None
    where nothing is known."""
    depths = stands.leaf_depth[0].fresh_in if stands.leaf_depth else ()
    return {
        "area_ac": spreadable_ac,
        "cap_in": left.cap_in,
        "placed_yd3": left.placed_yd3 or None,
        "yards_yd3": left.placed_yd3 or None,
        "load_yd3": load_yd3,
        "depths_in": depths or None,
    }
