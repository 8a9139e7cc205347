"""Posts: the stiles of sides that are frames themselves, run straight down to the floor.

They are laid down with the frames, when those take the place of the boards that stood for them, so the feet are fitted then.
"""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import ident, length, parameters
from ...geometry import vector
from ..bench import Bench
from ..protocols import BoardById
from ..setting_out import SettingOut
from ..standing import foot_height, foot_width, put_foot

LEAST_POST = 20.0  # mm of stile thickness that stands on the floor; common practice, no source


@parameters
class StilePosts:
    """Stiles of the sides' own frames, run down."""

    style = "stile_posts"
    label = "Posts: stiles of framed sides, run down"
    of_frames = True  # the stiles of sides that are frames run down by themselves

    height: float = length(
        120, 40, 400, "Height under the carcass", "Floor to the underside of the carcass, feet included"
    )
    foot: str = ident("glide-20", "Foot", "A glide or levelling foot of the fittings library; empty for none")

    def under(self, board: BoardById) -> float:
        """The height under the carcass."""
        return self.height

    def run_down(self) -> float:
        """The stiles end at the top of the feet."""
        return round(self.height - foot_height("foot", self.foot), 6)

    def clear_under(self, out: SettingOut) -> tuple[float, float]:
        """Between the posts."""
        return out.inner.left, out.inner.right

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Nothing yet; only what the posts must be."""
        if not out.framed_sides:
            raise ParameterError(
                "style",
                f'"{self.style}" are the stiles of sides that are frames themselves, and the sides are "{out.piece.carcass.sides}"; take "frame" for them, or another support',
            )
        thick, pad = out.wall_board.thickness, foot_width("foot", self.foot)
        if thick < LEAST_POST:
            raise ParameterError(
                "style", f"posts {thick:g} mm thick are too slight; the frames need at least {LEAST_POST:g} mm"
            )
        if pad > thick:
            raise ParameterError("foot", f'"{self.foot}" is {pad:g} mm wide, the posts only {thick:g} mm thick')
        if out.piece.site.skirting.meets != "stand_off" and out.piece.site.skirting.height:
            raise ParameterError(
                "style",
                f'"{self.style}" stand where the skirting is, {out.piece.site.skirting.thickness:g} mm thick, and site.skirting.meets is "{out.piece.site.skirting.meets}"; let the piece stand off the wall',
            )
        return []

    def fit_feet(self, bench: Bench, out: SettingOut, side: str) -> list[str]:
        """A foot under each post of a side, in the middle of its end; their keys."""
        made: list[str] = []
        for end in ("front", "rear"):
            post = bench.parts[f"side.{side}/stile.{end}"]
            _, wide, thick = post.size
            under = post.place.point((0.0, wide / 2, thick / 2))
            made += put_foot(bench, "support.foot", self.foot, f"side.{side}/foot.{end}", vector(*under), post.key)
        return made


ENTRY = StilePosts
