"""Items as a QTI 2.2 package for a training system: a manifest, a test, and a file for each item.

Source: 1EdTech (IMS Global) Question and Test Interoperability 2.2, information model and XML binding; IMS Content
Packaging 1.1 for the manifest.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping, Sequence
from xml.etree import ElementTree as Xml

from coaxtell.models.catalogue import Reason
from coaxtell.quiz import words
from coaxtell.quiz.item import Item

QTI = "http://www.imsglobal.org/xsd/imsqti_v2p2"
QTI_SCHEMA = "http://www.imsglobal.org/xsd/qti/qtiv2p2/imsqti_v2p2.xsd"
CP = "http://www.imsglobal.org/xsd/imscp_v1p1"
CP_SCHEMA = "http://www.imsglobal.org/xsd/qti/qtiv2p2/qtiv2p2_imscpv1p2_v1p0.xsd"
XSI = "http://www.w3.org/2001/XMLSchema-instance"
EPOCH = (1980, 1, 1, 0, 0, 0)
"""The time of each file in the package, so that the same items give the same bytes."""


def package(title: str, items: Sequence[Item], pictures: Mapping[int, bytes]) -> bytes:
    """The package as a ZIP file; `pictures` holds PNG files by the place of their item, from 0."""
    manifest = Xml.Element(
        "manifest", {"xmlns": CP, "xmlns:xsi": XSI, "xsi:schemaLocation": f"{CP} {CP_SCHEMA}", "identifier": "manifest"}
    )
    metadata = Xml.SubElement(manifest, "metadata")
    Xml.SubElement(metadata, "schema").text = "QTIv2.2 Package"
    Xml.SubElement(metadata, "schemaversion").text = "1.0.0"
    Xml.SubElement(manifest, "organizations")
    resources = Xml.SubElement(manifest, "resources")
    files: dict[str, bytes] = {"test.xml": _bytes(_test(title, items))}
    test = _resource(resources, "test", "imsqti_test_xmlv2p2", "test.xml")
    for place, item in enumerate(items):
        name = f"item-{place + 1}"
        Xml.SubElement(test, "dependency", identifierref=name)
        resource = _resource(resources, name, "imsqti_item_xmlv2p2", f"items/{name}.xml")
        picture = pictures.get(place)
        if picture is not None:
            files[f"items/{name}.png"] = picture
            Xml.SubElement(resource, "file", href=f"items/{name}.png")
        files[f"items/{name}.xml"] = _bytes(_item(item, name, picture is not None))
    files = {"imsmanifest.xml": _bytes(manifest), **files}
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for path, content in files.items():
            archive.writestr(zipfile.ZipInfo(path, EPOCH), content, zipfile.ZIP_DEFLATED)
    return held.getvalue()


def _resource(resources: Xml.Element, name: str, kind: str, href: str) -> Xml.Element:
    resource = Xml.SubElement(resources, "resource", identifier=name, type=kind, href=href)
    Xml.SubElement(resource, "file", href=href)
    return resource


def _bytes(root: Xml.Element) -> bytes:
    Xml.indent(root, " ")
    text: bytes = Xml.tostring(root, encoding="utf-8", xml_declaration=True)
    return text + b"\n"


def _root(name: str, attributes: Mapping[str, str]) -> Xml.Element:
    spaces = {"xmlns": QTI, "xmlns:xsi": XSI, "xsi:schemaLocation": f"{QTI} {QTI_SCHEMA}"}
    return Xml.Element(name, {**spaces, **attributes})


def _test(title: str, items: Sequence[Item]) -> Xml.Element:
    """The test; an item's category is its kind, and `harmful` where a wrong answer may end in a damaged contact."""
    root = _root("assessmentTest", {"identifier": "test", "title": title, "toolName": "coaxtell"})
    for outcome in ("SCORE", "POINTS"):
        _number(root, outcome)
    part = Xml.SubElement(root, "testPart", identifier="part", navigationMode="nonlinear", submissionMode="individual")
    section = Xml.SubElement(part, "assessmentSection", identifier="section", title=title, visible="true")
    for place, item in enumerate(items, start=1):
        category = f"{item.task.kind} harmful" if item.harmful else item.task.kind
        Xml.SubElement(
            section, "assessmentItemRef", identifier=f"item-{place}", href=f"items/item-{place}.xml", category=category
        )
    processing = Xml.SubElement(root, "outcomeProcessing")
    for outcome in ("SCORE", "POINTS"):
        total = Xml.SubElement(processing, "setOutcomeValue", identifier=outcome)
        Xml.SubElement(Xml.SubElement(total, "sum"), "testVariables", variableIdentifier=outcome)
    return root


def _number(root: Xml.Element, name: str) -> None:
    outcome = Xml.SubElement(root, "outcomeDeclaration", identifier=name, cardinality="single", baseType="float")
    Xml.SubElement(Xml.SubElement(outcome, "defaultValue"), "value").text = "0"


def _item(item: Item, name: str, pictured: bool) -> Xml.Element:
    said = words.of(item)
    root = _root(
        "assessmentItem",
        {
            "identifier": name,
            "title": words.kind(item.task.kind),
            "adaptive": "false",
            "timeDependent": "false",
            "toolName": "coaxtell",
        },
    )
    choices = {option.id: f"choice-{i}" for i, option in enumerate(item.options, start=1)}
    response = Xml.SubElement(
        root, "responseDeclaration", identifier="RESPONSE", cardinality="single", baseType="identifier"
    )
    Xml.SubElement(Xml.SubElement(response, "correctResponse"), "value").text = choices[item.right]
    Xml.SubElement(root, "responseDeclaration", identifier="SURE", cardinality="single", baseType="integer")
    for outcome in ("SCORE", "POINTS"):
        _number(root, outcome)
    Xml.SubElement(root, "outcomeDeclaration", identifier="FEEDBACK", cardinality="single", baseType="identifier")
    body = Xml.SubElement(root, "itemBody")
    if pictured:
        Xml.SubElement(Xml.SubElement(body, "p"), "img", src=f"{name}.png", alt=words.alternative(item))
    elif said.in_words:
        Xml.SubElement(body, "p").text = said.in_words
    interaction = Xml.SubElement(
        body, "choiceInteraction", responseIdentifier="RESPONSE", shuffle="false", maxChoices="1"
    )
    Xml.SubElement(interaction, "prompt").text = said.question if pictured else said.unseen
    for option_id, option in said.options.items():
        Xml.SubElement(interaction, "simpleChoice", identifier=choices[option_id]).text = option
    sure = Xml.SubElement(
        body, "sliderInteraction", responseIdentifier="SURE", lowerBound="0", upperBound="100", step="10"
    )
    Xml.SubElement(sure, "prompt").text = words.say(Reason("qti.sure"))
    _processing(root)
    feedback = Xml.SubElement(
        root, "modalFeedback", outcomeIdentifier="FEEDBACK", identifier="explained", showHide="show"
    )
    for line in (*said.reasons, said.look, *said.cautions):
        Xml.SubElement(feedback, "p").text = line
    return root


def _processing(root: Xml.Element) -> None:
    """One point for the right choice, the honest points of `quiz/score.py` for how sure, then the explanation.

    match_correct written out, since it shows no feedback.
    """
    processing = Xml.SubElement(root, "responseProcessing")
    condition = Xml.SubElement(processing, "responseCondition")
    right = Xml.SubElement(condition, "responseIf")
    match = Xml.SubElement(right, "match")
    Xml.SubElement(match, "variable", identifier="RESPONSE")
    Xml.SubElement(match, "correct", identifier="RESPONSE")
    wrong = Xml.SubElement(condition, "responseElse")
    for rule, score in ((right, "1"), (wrong, "0")):
        _base(Xml.SubElement(rule, "setOutcomeValue", identifier="SCORE"), score)
    stated = Xml.SubElement(processing, "responseCondition")
    unsaid = Xml.SubElement(stated, "responseIf")
    Xml.SubElement(Xml.SubElement(unsaid, "isNull"), "variable", identifier="SURE")
    _base(Xml.SubElement(unsaid, "setOutcomeValue", identifier="POINTS"), "0")
    said = Xml.SubElement(Xml.SubElement(stated, "responseElse"), "setOutcomeValue", identifier="POINTS")
    # 2 * sure * SCORE - sure * sure / 100, with how sure from 0 to 100 and SCORE 1 or 0
    points = Xml.SubElement(said, "subtract")
    gain = Xml.SubElement(points, "product")
    _base(gain, "2")
    Xml.SubElement(gain, "variable", identifier="SURE")
    Xml.SubElement(gain, "variable", identifier="SCORE")
    risk = Xml.SubElement(points, "divide")
    square = Xml.SubElement(risk, "product")
    for _ in range(2):
        Xml.SubElement(square, "variable", identifier="SURE")
    _base(risk, "100")
    shown = Xml.SubElement(processing, "setOutcomeValue", identifier="FEEDBACK")
    Xml.SubElement(shown, "baseValue", baseType="identifier").text = "explained"


def _base(parent: Xml.Element, value: str) -> None:
    Xml.SubElement(parent, "baseValue", baseType="float").text = value
