"""The record for spreadsheets and training systems: no formulas, nothing lost, statements and packages by standard."""

from __future__ import annotations

import csv
import io
import json
import math
import zipfile
from datetime import timedelta
from functools import cache
from pathlib import Path
from random import Random
from xml.etree import ElementTree as Xml

import msgspec
import openpyxl
import pytest

from coaxtell.models import cells
from coaxtell.models.errors import InputError
from coaxtell.quiz import exam, exchange, log, qti, words
from coaxtell.quiz.item import Item
from coaxtell.quiz.log import Answered, Event, Mode
from coaxtell.quiz.score import points
from coaxtell.quiz.stock import Stock
from tests.halves import all_halves
from tests.quiz import qti_model, qti_schema, xapi
from tests.quiz.kill import START, answer, started

NOW = START + timedelta(days=1)

# Cells that spreadsheets take for formulas: OWASP, CSV Injection, lists = + - @ tab and carriage return; a line
# feed is kept out as well.
ATTACKS = ["=HYPERLINK(1)", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1"]


def events(person: str = "Ana") -> list[Answered]:
    return [answer("s", n, person=person, right=n % 2 == 0) for n in range(1, 5)]


@pytest.mark.parametrize("text", ATTACKS)
def test_no_cell_of_text_is_a_formula(text: str) -> None:
    said = exchange.as_csv([started("s", person=text), *events(text)], START)
    for row in list(csv.reader(io.StringIO(said, newline="")))[1:]:
        for name, cell in zip(exchange.COLUMNS, row, strict=True):
            if name != "points":  # a number, which may be below zero
                assert not cell.startswith(cells.FORMULA), (name, cell)
    assert f"'{text.strip()[:3]}" in said or "'" in said


def test_a_spreadsheet_reads_the_table_as_it_is() -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in csv.reader(
        io.StringIO(exchange.as_csv([started("s", person="=1+1"), *events("=1+1")], START), newline="")
    ):
        sheet.append(row)
    assert {cell.data_type for row in sheet.iter_rows() for cell in row} <= {"s", "n", "inlineStr"}  # "f" is a formula


def test_csv_and_json_hold_every_answer() -> None:
    found: list[Event] = [started("s"), *events()]
    table = list(csv.DictReader(io.StringIO(exchange.as_csv(found, START), newline="")))
    listed = json.loads(exchange.as_json(found, START))
    assert len(table) == len(listed) == 5
    for event, row, entry in zip(found, table, listed, strict=True):
        assert row["id"] == entry["id"] == event.id
        if isinstance(event, Answered):
            assert float(row["points"]) == entry["points"] == pytest.approx(event.points, abs=0.01)
            assert (row["correct"] == "True") == entry["correct"] == event.correct
            assert entry["mode"] == Mode.PRACTICE.value


def test_a_phone_hands_over_times_with_their_zone_alone() -> None:
    """A time without a zone can be held against no other: no record takes it."""
    given: list[Event] = [started("s"), *events()]
    text = f"[{','.join(map(log.encode, given))}]"
    assert exchange.from_json(text, "answers.json") == given
    with pytest.raises(InputError, match="timezone"):
        exchange.from_json(text.replace('Z"', '"'), "answers.json")


@pytest.mark.outside(
    "Statements of the record",
    "xAPI 2.0 (IEEE 9274.1.1)",
    "none: its rules",
)
def test_statements_hold_to_the_standard() -> None:
    start = started("6f9619ff-8b86-4d01-b42d-00cf4fc964ff")
    given = [msgspec.structs.replace(e, sitting=start.id) for e in events("李雷")]
    statements = [xapi.statement(line) for line in exchange.as_xapi([start, *given], NOW).splitlines()]
    assert len(statements) == 4
    for event, made in zip(given, statements, strict=True):
        assert made.id == event.id
        assert made.actor.account.name == "李雷"
        assert made.result.success == event.correct
        assert made.result.score.raw == pytest.approx(event.points, abs=0.01)
        assert made.context.registration == event.sitting


def test_one_activity_has_one_definition_in_whatever_order_its_choices_stood() -> None:
    one = answer("s", 1)
    two = msgspec.structs.replace(one, id="x", options=list(reversed(one.options)))
    other = msgspec.structs.replace(one, id="y", b="rp-tnc-jack")
    made = [json.loads(line)["object"] for line in exchange.as_xapi([one, two, other], NOW).splitlines()]
    assert made[0] == made[1]
    assert made[0]["id"] != made[2]["id"]


def test_a_person_leaves_under_one_name_however_it_was_typed() -> None:
    both = [*events("Mia"), *(msgspec.structs.replace(e, id=f"{e.id}2", person="mia") for e in events("Mia"))]
    actors = {json.loads(line)["actor"]["account"]["name"] for line in exchange.as_xapi(both, NOW).splitlines()}
    assert actors == {"Mia"}
    assert {row["person"] for row in exchange.rows(both, NOW)} == {"Mia"}


def test_the_schema_can_refuse() -> None:
    good = json.loads(exchange.as_xapi(events(), NOW).splitlines()[0])
    for change in (
        {"id": "no uuid"},
        {"verb": {"id": "answered", "display": {}}},
        {"extra": 1},
        {"result": {**good["result"], "score": {"scaled": 2, "raw": 0, "min": -1, "max": 1}}},
        {"result": {**good["result"], "response": "never offered"}},
        {"timestamp": "yesterday"},
    ):
        with pytest.raises(msgspec.ValidationError):
            xapi.statement(json.dumps({**good, **change}))


@cache
def drawn() -> list[Item]:
    return exam.draw(Stock(all_halves()), 25, Random(3))


@cache
def whole_package() -> bytes:
    return qti.package("Test & <more>", drawn(), {0: b"\x89PNG", 3: b"\x89PNG"})


def package() -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(whole_package()))


CP, QTI = f"{{{qti.CP}}}", f"{{{qti.QTI}}}"


@pytest.mark.outside(
    "Packages of items",
    "QTI 2.2, a model of its structure",
    "none: its rules",
)
def test_package_follows_the_structure_of_the_standard() -> None:
    archive = package()
    names = set(archive.namelist())
    manifest = Xml.fromstring(archive.read("imsmanifest.xml"))
    assert archive.namelist()[0] == "imsmanifest.xml"
    assert [child.tag for child in manifest] == [CP + "metadata", CP + "organizations", CP + "resources"]
    resources = manifest.findall(f"{CP}resources/{CP}resource")
    named = {file.get("href") for resource in resources for file in resource.findall(f"{CP}file")}
    assert named == names - {"imsmanifest.xml"}
    assert {r.get("type") for r in resources} == {"imsqti_test_xmlv2p2", "imsqti_item_xmlv2p2"}
    held = {r.get("identifier") for r in resources}
    assert {d.get("identifierref") for r in resources for d in r.findall(f"{CP}dependency")} <= held
    for name in names:
        if name.endswith(".xml") and name != "imsmanifest.xml":
            assert qti_model.faults(Xml.fromstring(archive.read(name)), qti.QTI) == [], name


# Changes after which a file no longer holds to the standard: text before and after, in an item or in the test.
BREACHES = [
    ("item", 'cardinality="single"', 'cardinality="one"'),
    ("item", "<itemBody>", '<itemBody colour="red">'),
    ("item", "<prompt>", "<question>", "</prompt>", "</question>"),
    ("item", "<value>choice-", "<value>option-"),
    ("item", ' responseIdentifier="RESPONSE"', ""),
    ("item", '<correct identifier="RESPONSE"', '<correct identifier="ANSWER"'),
    ("item", 'identifier="choice-2"', 'identifier="choice-1"'),
    ("item", 'showHide="show"', 'showHide="yes"'),
    ("item", "<simpleChoice ", "<prompt>again</prompt><simpleChoice "),
    ("test", 'navigationMode="nonlinear"', 'navigationMode="free"'),
    ("item", 'upperBound="100"', 'upperBound="all"'),
    ("item", "<isNull>", "<isNothing>", "</isNull>", "</isNothing>"),
    ("test", ' visible="true"', ""),
    ("test", 'identifier="item-2"', 'identifier="item-1"'),
]


@pytest.mark.parametrize("breach", BREACHES, ids=[breach[2] or breach[1] for breach in BREACHES])
def test_the_structure_test_can_refuse(breach: tuple[str, ...]) -> None:
    where, *changes = breach
    text = package().read("items/item-1.xml" if where == "item" else "test.xml").decode()
    for before, after in zip(changes[::2], changes[1::2], strict=True):
        assert before in text
        text = text.replace(before, after, 1)
    assert qti_model.faults(Xml.fromstring(text), qti.QTI)


def test_items_of_a_package_ask_what_the_quiz_asks() -> None:
    archive = package()
    for place, item in enumerate(drawn(), start=1):
        root = Xml.fromstring(archive.read(f"items/item-{place}.xml"))
        choices = {c.get("identifier"): c.text for c in root.iter(f"{QTI}simpleChoice")}
        right = root.findtext(f"{QTI}responseDeclaration/{QTI}correctResponse/{QTI}value")
        told = words.of(item)
        assert list(choices.values()) == list(told.options.values())
        assert choices[right] == told.options[item.right]
        said = " ".join(p.text or "" for p in root.iter(f"{QTI}p"))
        assert told.look in said
        declared = {d.get("identifier") for d in root if d.tag.endswith("Declaration")}
        used = {e.get("identifier") for e in root.iter() if e.tag in (QTI + "setOutcomeValue", QTI + "variable")}
        assert used <= declared


def worked_out(element: Xml.Element, held: dict[str, float]) -> float:
    """An expression of response processing, by the standard's meaning of its name."""
    name, below = element.tag.removeprefix(QTI), [worked_out(child, held) for child in element]
    if name == "variable":
        return held[str(element.get("identifier"))]
    if name == "baseValue":
        return float(str(element.text))
    if name == "product":
        return math.prod(below)
    return below[0] - below[1] if name == "subtract" else below[0] / below[1]


def test_how_sure_is_asked_and_scored_as_in_the_quiz() -> None:
    root = Xml.fromstring(package().read("items/item-1.xml"))
    slider = root.find(f".//{QTI}sliderInteraction")
    assert slider is not None
    assert (slider.get("lowerBound"), slider.get("upperBound")) == ("0", "100")
    rules = root.findall(f".//{QTI}responseElse/{QTI}setOutcomeValue[@identifier='POINTS']")
    assert len(rules) == 1
    for right in (True, False):
        for sure in (0, 20, 70, 100):
            told = worked_out(rules[0][0], {"SURE": sure, "SCORE": float(right)})
            assert told == pytest.approx(points(right, sure / 100))


def test_the_class_of_an_item_is_its_category() -> None:
    test = Xml.fromstring(package().read("test.xml"))
    found = [str(one.get("category")).split() for one in test.iter(f"{QTI}assessmentItemRef")]
    assert [one[0] for one in found] == [item.task.kind for item in drawn()]
    assert ["harmful" in one for one in found] == [item.harmful for item in drawn()]


def test_the_same_items_give_the_same_bytes() -> None:
    assert qti.package("t", drawn(), {}) == qti.package("t", drawn(), {})


def test_package_against_the_schema_files(request: pytest.FixtureRequest, tmp_path: Path) -> None:
    folder = request.config.getoption("--qti-xsd")
    if folder is None:
        # without the files the structure tests above stand in their place; nothing is left untested or skipped
        test_package_follows_the_structure_of_the_standard()
        return
    assert qti_schema.faults(whole_package(), Path(folder), tmp_path) == []


# A few rules of the standard as schema files of our own, split and named as 1EdTech's are, so that it is shown that a
# folder of schema files is read and can refuse. They do not stand for the standard's own.
ITEM_XSD = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns="http://www.imsglobal.org/xsd/imsqti_v2p2"
  xmlns:m="urn:marks" targetNamespace="http://www.imsglobal.org/xsd/imsqti_v2p2" elementFormDefault="qualified">
  <xs:import namespace="urn:marks" schemaLocation="https://schemas.invalid/xsd/marks.xsd"/>
  <xs:element name="assessmentItem"><xs:complexType><xs:sequence>
    <xs:element name="responseDeclaration"><xs:complexType><xs:sequence>
      <xs:any processContents="skip"/></xs:sequence>
      <xs:attribute name="identifier" use="required"/><xs:attribute name="baseType"/>
      <xs:attribute name="cardinality" type="m:cardinality" use="required"/></xs:complexType></xs:element>
    <xs:any processContents="skip" maxOccurs="unbounded"/></xs:sequence>
    <xs:anyAttribute processContents="skip"/></xs:complexType></xs:element>
  <xs:element name="assessmentTest"><xs:complexType><xs:sequence>
    <xs:any processContents="skip" maxOccurs="unbounded"/></xs:sequence>
    <xs:anyAttribute processContents="skip"/></xs:complexType></xs:element>
</xs:schema>"""
MARKS_XSD = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="urn:marks">
  <xs:simpleType name="cardinality"><xs:restriction base="xs:string">
    <xs:enumeration value="multiple"/><xs:enumeration value="ordered"/><xs:enumeration value="record"/>
    <xs:enumeration value="single"/></xs:restriction></xs:simpleType>
</xs:schema>"""
MANIFEST_XSD = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
  targetNamespace="http://www.imsglobal.org/xsd/imscp_v1p1" elementFormDefault="qualified">
  <xs:element name="manifest"><xs:complexType><xs:sequence>
    <xs:element name="metadata"/><xs:element name="organizations"/><xs:element name="resources"/></xs:sequence>
    <xs:anyAttribute processContents="skip"/></xs:complexType></xs:element>
</xs:schema>"""


def test_schema_files_are_read_and_can_refuse(tmp_path: Path) -> None:
    folder, rooms = tmp_path / "xsd", [tmp_path / name for name in ("one", "two", "three")]
    for path in (folder, *rooms):
        path.mkdir()
    with pytest.raises(FileNotFoundError, match="imsqti"):
        qti_schema.faults(whole_package(), folder, rooms[0])
    (folder / "imsqti_v2p2p4.xsd").write_text(ITEM_XSD, encoding="utf-8")
    (folder / "marks.xsd").write_text(MARKS_XSD, encoding="utf-8")
    (folder / "qtiv2p2_imscpv1p2_v1p0.xsd").write_text(MANIFEST_XSD, encoding="utf-8")
    assert qti_schema.faults(whole_package(), folder, rooms[1]) == []
    # one of the values in the file that is named by its web address goes, and an element of the manifest
    (folder / "marks.xsd").write_text(MARKS_XSD.replace('value="single"', 'value="only"'), encoding="utf-8")
    (folder / "qtiv2p2_imscpv1p2_v1p0.xsd").write_text(MANIFEST_XSD.replace("organizations", "other"), encoding="utf-8")
    found = qti_schema.faults(whole_package(), folder, rooms[2])
    assert sum(name.startswith("items/") and "single" in name for name in found) >= len(drawn())
    assert any(name.startswith("imsmanifest.xml") and "organizations" in name for name in found)
