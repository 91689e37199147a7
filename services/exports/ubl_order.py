"""An order to one supplier as a document of the Universal Business Language.

Source:
    OASIS Universal Business Language 2.3, document type Order: names, order and cardinality of
    its elements. Every element used here is in 2.1 too, so both schemas take the document.
    UN/ECE Recommendations 20 and 21: unit codes EA, each, and XPK, package.
"""

from __future__ import annotations

import re
from typing import Final
from xml.etree.ElementTree import (
    Element,
    SubElement,
    indent,
    register_namespace,
    tostring,
)

from schemas.order import OrderLine, OrderTotals
from services.exports.table import money

VERSION: Final = "2.3"
_SCHEMA: Final = "urn:oasis:names:specification:ubl:schema:xsd:"
ORDER: Final = f"{_SCHEMA}Order-2"
CAC: Final = f"{_SCHEMA}CommonAggregateComponents-2"
CBC: Final = f"{_SCHEMA}CommonBasicComponents-2"
register_namespace("cac", CAC)
register_namespace("cbc", CBC)
register_namespace("", ORDER)

_NOTE: Final = (
    "Totals of the load-outs for that day of work. What is on the shelf is not taken off."
)
_OPEN: Final = "Supplier not decided"
_NOT_XML: Final = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 cannot hold, escaped or not."""


def ubl_order(order: OrderTotals, *, supplier: str | None) -> bytes:
    """The order to one supplier, as XML.

    Args:
        order: Totals of the night.
        supplier: Whose lines; none: those of nobody yet.
    """
    lines = order.of(supplier)
    root = Element(f"{{{ORDER}}}Order")
    _say(root, "UBLVersionID", VERSION)
    _say(root, "ID", f"{order.key}-{supplier or 'open'}")
    _say(root, "IssueDate", order.issued.isoformat())
    _say(root, "Note", _NOTE)
    if order.currency:
        _say(root, "DocumentCurrencyCode", order.currency)
    _say(root, "LineCountNumeric", str(len(lines)))
    _party(_part(root, "BuyerCustomerParty"), order.buyer)
    _party(_part(root, "SellerSupplierParty"), supplier or _OPEN)
    period = _part(_part(root, "Delivery"), "RequestedDeliveryPeriod")
    _say(period, "EndDate", order.needed_by.isoformat())
    if order.currency:
        total = _part(root, "AnticipatedMonetaryTotal")
        for name in ("LineExtensionAmount", "PayableAmount"):
            _amount(total, name, sum(line.cents for line in lines), order.currency)
    for number, line in enumerate(lines, 1):
        _line(_part(_part(root, "OrderLine"), "LineItem"), number, line, order.currency)
    indent(root)
    document: bytes = tostring(root, encoding="UTF-8", xml_declaration=True)
    return document


def _line(item: Element, number: int, line: OrderLine, currency: str | None) -> None:
    unit = "EA" if line.package == 1 else "XPK"
    _say(item, "ID", str(number))
    _say(item, "Note", line.for_jobs)
    _say(item, "Quantity", str(line.packages)).set("unitCode", unit)
    if currency:
        _amount(item, "LineExtensionAmount", line.cents, currency)
        price = _part(item, "Price")
        _amount(price, "PriceAmount", line.each, currency)
        _say(price, "BaseQuantity", "1").set("unitCode", unit)
    thing = _part(item, "Item")
    _say(thing, "Description", f"{line.says}, {line.variant}" if line.variant else line.says)
    _say(thing, "PackSizeNumeric", str(line.package))
    _say(thing, "Name", line.says)
    _say(_part(thing, "BuyersItemIdentification"), "ID", line.item)
    if line.variant:
        variant = _part(thing, "AdditionalItemProperty")
        _say(variant, "Name", "Colour and height")
        _say(variant, "Value", line.variant)


def _party(role: Element, name: str) -> None:
    _say(_part(_part(role, "Party"), "PartyName"), "Name", name)


def _part(of: Element, name: str) -> Element:
    return SubElement(of, f"{{{CAC}}}{name}")


def _say(of: Element, name: str, text: str) -> Element:
    said = SubElement(of, f"{{{CBC}}}{name}")
    said.text = _NOT_XML.sub("\ufffd", text)
    return said


def _amount(of: Element, name: str, cents: int, currency: str) -> None:
    _say(of, name, money(cents)).set("currencyID", currency)
