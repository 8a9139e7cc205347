"""The stock: sheets and lengths that can be bought, and the offcuts in the rack."""

from __future__ import annotations

from ..errors import ParameterError
from ..fields import choice, count, ident, items, number, parameters, text
from ..fields import length as measure  # `length` is a parameter here
from ..fittings import fitting_entry
from ..materials import material

DEAREST = 1e6  # of one sheet or length, in whatever currency: beyond it a price is a slip of the pen
GRAINS = {"length": "Along the length", "width": "Along the width"}


@parameters
class SheetSize:
    """Sheets of one size that can be bought, as many as wanted."""

    material: str = ident("mdf", "Material", "An entry of the materials library")
    thickness: float = measure(18, 1, 120, "Thickness", "As sold; a piece's board may measure 0.7 more or less")
    length: float = measure(2440, 100, 6000, "Length", "Of the whole sheet, edges not trimmed")
    width: float = measure(1220, 100, 3000, "Width", "Of the whole sheet, edges not trimmed")
    grain: str = choice("length", GRAINS, "Grain runs", "Of a sheet that has grain")
    price: float = number(0, 0, DEAREST, "Price", "Of one sheet; 0 where it is not known")
    name: str = text("", "Name", "What the yard calls it; empty for the size in figures", longest=60)

    def __post_init__(self) -> None:
        _known_material(self.material)
        _length_first(self.length, self.width)


@parameters
class StockLength:
    """Solid stock, moulding or rail of one section and length that can be bought, as many as wanted."""

    material: str = ident("", "Material", "An entry of the materials library; empty for a fitting")
    fitting: str = ident("", "Fitting", "An entry of the fittings library that is cut to length")
    thickness: float = measure(20, 0, 200, "Thickness", "Of the section as planed; 0 for a fitting")
    width: float = measure(70, 0, 1000, "Width", "Of the section as planed; 0 for a fitting")
    length: float = measure(2400, 50, 12_000, "Length", "As it is sold, ends not trimmed")
    price: float = number(0, 0, DEAREST, "Price", "Of one length; 0 where it is not known")
    name: str = text("", "Name", "What the yard calls it; empty for the section in figures", longest=60)

    def __post_init__(self) -> None:
        _one_kind(self.material, self.fitting)
        _section(self.material, self.width, self.thickness)


@parameters
class Stretch:
    """A stretch of a length that is not to be used: a knot, a shake, a bruise."""

    start: float = measure(0, 0, 12_000, "From", "From the marked end")
    end: float = measure(0, 0, 12_000, "To", "From the marked end")

    def __post_init__(self) -> None:
        if self.end < self.start:
            raise ParameterError(
                "end", f"{self.end:g} mm lies before the start at {self.start:g} mm; put the larger figure last"
            )


@parameters
class Offcut:
    """Something in the rack: a sheet or a piece of one, or a length; used before anything is bought."""

    material: str = ident("", "Material", "An entry of the materials library; empty for a fitting")
    fitting: str = ident("", "Fitting", "An entry of the fittings library that is cut to length")
    thickness: float = measure(18, 0, 200, "Thickness", "As measured; 0 for a fitting")
    length: float = measure(600, 20, 12_000, "Length", "As measured")
    width: float = measure(300, 0, 3000, "Width", "As measured; 0 for a fitting")
    grain: str = choice("length", GRAINS, "Grain runs", "Of a material that has grain")
    count: int = count(1, 1, 1000, "How many", "Alike")
    avoid: tuple[Stretch, ...] = items(Stretch, "Not to be used", "Stretches with a defect; of lengths only", most=40)
    name: str = text("", "Name", "What is written on it, or where it lies", longest=60)

    def __post_init__(self) -> None:
        _one_kind(self.material, self.fitting)
        _section(self.material, self.width, self.thickness)
        if self.avoid and self.is_sheet:
            raise ParameterError(
                "avoid", "stretches can be avoided in lengths only; of a sheet enter the sound piece alone"
            )

    @property
    def is_sheet(self) -> bool:
        """Whether it is a piece of a sheet, not a length."""
        return bool(self.material) and material(self.material).kind == "sheet"


@parameters
class Stock:
    """What the parts of a job can be cut from."""

    sheets: tuple[SheetSize, ...] = items(SheetSize, "Sheets", "That can be bought")
    lengths: tuple[StockLength, ...] = items(StockLength, "Lengths", "Of solid stock, moulding and rail to be bought")
    offcuts: tuple[Offcut, ...] = items(Offcut, "Offcuts", "In the rack, used first", most=1000)


def _known_material(id: str) -> None:
    found = material(id)
    if found.kind != "sheet":
        raise ParameterError("material", f'"{id}" is sold in lengths, not in sheets; enter it under stock.lengths')


def _length_first(long: float, wide: float) -> None:
    if wide > long:
        raise ParameterError(
            "width",
            f"{wide:g} mm is more than the length of {long:g} mm; the longer side is the length",
        )


def _one_kind(material_id: str, fitting_id: str) -> None:
    if bool(material_id) == bool(fitting_id):
        raise ParameterError("material", "name either a material or a fitting, not both and not neither")
    if material_id:
        material(material_id)
    elif not fitting_entry(fitting_id).cut_to_length:
        raise ParameterError("fitting", f'"{fitting_id}" is bought whole, not cut to length; take it out of the stock')


def _section(material_id: str, wide: float, thick: float) -> None:
    for field, size in (("width", wide), ("thickness", thick)) if material_id else ():
        if size <= 0:
            raise ParameterError(field, f"{size:g} mm is no section to cut from; give the {field} as measured")
