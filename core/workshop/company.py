"""The company that makes the furniture, as it stands on paper."""

from __future__ import annotations

from dataclasses import fields, replace

from ..fields import parameters, text


@parameters
class Company:
    """Who makes the furniture and how it is reached: set once, printed on everything that goes out."""

    name: str = text(
        "", "Company", "Who makes it: the owner on every sheet, in the client book, the quotation", longest=60
    )
    address: str = text(
        "", "Address", "Where it is reached, on one line: in the client book, the quotation", longest=120
    )
    logo: str = text(
        "", "Logo", "Picture file (PNG or JPEG) beside the workshop file, for the cover of the client book"
    )

    def over(self, other: Company) -> Company:
        """Another company with what this one says in place of its own; what this one leaves out stays.

        >>> Company(name="Ours").over(Company(name="Theirs", address="1 Mill Lane"))
        Company(name='Ours', address='1 Mill Lane', logo='')
        """
        return replace(other, **{each.name: said for each in fields(self) if (said := getattr(self, each.name))})
