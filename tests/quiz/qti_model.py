"""The part of QTI 2.2 that the packages use, written down from the standard's information model: closed, so that an
element, attribute or value that it does not name is a fault.

1EdTech, Question and Test Interoperability: Assessment Test, Section and Item Information Model 2.2, sections on items,
item body, interactions, response processing, expressions and tests; written from memory, without a copy at hand, so
that the schema files themselves (`--qti-xsd DIR`) remain the better judge. Each element has its attributes with what
they may hold (one that may be left out ends in `?`) and the sequence of its children as a regular expression over their
names.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree as Xml

NAME, TEXT, WHOLE, YES_NO = r"[A-Za-z_][\w.\-]*", r"(?s).*", r"\d+", "true|false"
NUMBER = r"-?\d+(\.\d+)?"
CARDINALITY = "single|multiple|ordered|record"
BASE = "identifier|boolean|integer|float|string|point|pair|directedPair|duration|file|uri|intOrIdentifier|coords"
EXPRESSION = "(match|variable|correct|baseValue|sum|testVariables|isNull|subtract|product|divide) "
RULE = "(responseCondition|setOutcomeValue) "

MODEL: dict[str, tuple[dict[str, str], str]] = {
    "assessmentItem": (
        {"identifier": TEXT, "title": TEXT, "adaptive": YES_NO, "timeDependent": YES_NO, "toolName?": TEXT},
        "(responseDeclaration )*(outcomeDeclaration )*(templateDeclaration )*(templateProcessing )?"
        "(assessmentStimulusRef )*(stylesheet )*(itemBody )?(responseProcessing )?(modalFeedback )*",
    ),
    "responseDeclaration": (
        {"identifier": NAME, "cardinality": CARDINALITY, "baseType?": BASE},
        "(defaultValue )?(correctResponse )?(mapping )?(areaMapping )?",
    ),
    "outcomeDeclaration": (
        {"identifier": NAME, "cardinality": CARDINALITY, "baseType?": BASE, "normalMaximum?": TEXT},
        "(defaultValue )?(matchTable |interpolationTable )?",
    ),
    "defaultValue": ({}, "(value )+"),
    "correctResponse": ({}, "(value )+"),
    "value": ({}, ""),
    "itemBody": ({}, "((p|div|choiceInteraction|sliderInteraction) )*"),
    "p": ({}, "((img|em|strong|span) )*"),
    "img": ({"src": TEXT, "alt": TEXT, "width?": WHOLE, "height?": WHOLE}, ""),
    "choiceInteraction": (
        {"responseIdentifier": NAME, "shuffle": YES_NO, "maxChoices": WHOLE, "minChoices?": WHOLE},
        "(prompt )?(simpleChoice )+",
    ),
    "sliderInteraction": (
        {
            "responseIdentifier": NAME,
            "lowerBound": NUMBER,
            "upperBound": NUMBER,
            "step?": WHOLE,
            "stepLabel?": YES_NO,
            "orientation?": "horizontal|vertical",
            "reverse?": YES_NO,
        },
        "(prompt )?",
    ),
    "prompt": ({}, "((img|em|strong|span) )*"),
    "simpleChoice": ({"identifier": NAME, "fixed?": YES_NO, "showHide?": "show|hide"}, "((p|img|span) )*"),
    "responseProcessing": ({"template?": TEXT}, f"({RULE})*"),
    "responseCondition": ({}, "responseIf (responseElseIf )*(responseElse )?"),
    "responseIf": ({}, f"{EXPRESSION}({RULE})*"),
    "responseElse": ({}, f"({RULE})*"),
    "setOutcomeValue": ({"identifier": NAME}, EXPRESSION),
    "match": ({}, f"({EXPRESSION}){{2}}"),
    "isNull": ({}, EXPRESSION),
    "subtract": ({}, f"({EXPRESSION}){{2}}"),
    "divide": ({}, f"({EXPRESSION}){{2}}"),
    "product": ({}, f"({EXPRESSION})+"),
    "sum": ({}, f"({EXPRESSION})+"),
    "variable": ({"identifier": TEXT}, ""),
    "correct": ({"identifier": NAME}, ""),
    "baseValue": ({"baseType": BASE}, ""),
    "testVariables": ({"variableIdentifier": NAME}, ""),
    "modalFeedback": ({"outcomeIdentifier": NAME, "identifier": NAME, "showHide": "show|hide"}, "((p|div|img) )*"),
    "assessmentTest": (
        {"identifier": TEXT, "title": TEXT, "toolName?": TEXT},
        "(outcomeDeclaration )*(timeLimits )?(stylesheet )*(testPart )+(outcomeProcessing )?(testFeedback )*",
    ),
    "testPart": (
        {"identifier": NAME, "navigationMode": "linear|nonlinear", "submissionMode": "individual|simultaneous"},
        "(preCondition )*(branchRule )*(itemSessionControl )?(timeLimits )?(assessmentSection )+(testFeedback )*",
    ),
    "assessmentSection": (
        {"identifier": NAME, "title": TEXT, "visible": YES_NO},
        "(selection )?(ordering )?(rubricBlock )*((assessmentSection|assessmentItemRef) )*",
    ),
    "assessmentItemRef": ({"identifier": NAME, "href": TEXT, "category?": rf"{NAME}( {NAME})*"}, ""),
    "outcomeProcessing": ({}, "(setOutcomeValue )*"),
}
PLACE = "{http://www.w3.org/2001/XMLSchema-instance}schemaLocation"


def faults(root: Xml.Element, space: str) -> list[str]:
    """What an item or a test has that the standard does not, or lacks that it asks for."""
    return [*_shape(root, space), *_references(root, f"{{{space}}}")]


def _shape(element: Xml.Element, space: str) -> Iterator[str]:
    name = element.tag.removeprefix(f"{{{space}}}")
    if name not in MODEL:
        yield f"{name} is no element of this part of the standard"
        return
    attributes, children = MODEL[name]
    allowed = {key.removesuffix("?"): pattern for key, pattern in attributes.items()}
    for key in attributes:
        if not key.endswith("?") and key not in element.attrib:
            yield f"{name} lacks {key}"
    for key, value in element.attrib.items():
        if key != PLACE and (key not in allowed or re.fullmatch(allowed[key], value) is None):
            yield f"{name} may not have {key} = {value!r}"
    found = "".join(f"{child.tag.removeprefix(f'{{{space}}}')} " for child in element)
    if re.fullmatch(children, found) is None:
        yield f"{name} may not hold {found or 'nothing'}"
    for child in element:
        yield from _shape(child, space)


def _references(root: Xml.Element, space: str) -> Iterator[str]:
    """Identifiers that are used and not declared, or declared twice."""
    responses = [one.get("identifier") for one in root.iter(f"{space}responseDeclaration")]
    outcomes = [one.get("identifier") for one in root.iter(f"{space}outcomeDeclaration")]
    choices = [one.get("identifier") for one in root.iter(f"{space}simpleChoice")]
    items = [one.get("identifier") for one in root.iter(f"{space}assessmentItemRef")]
    for names in (responses + outcomes, choices, items):
        if len(set(names)) != len(names):
            yield f"an identifier stands twice: {names}"
    used = [(one.get("responseIdentifier"), responses) for one in root.iter(f"{space}choiceInteraction")]
    used += [(one.get("responseIdentifier"), responses) for one in root.iter(f"{space}sliderInteraction")]
    used += [(one.get("identifier"), responses) for one in root.iter(f"{space}correct")]
    used += [(one.get("identifier"), responses + outcomes) for one in root.iter(f"{space}variable")]
    used += [(one.get("identifier"), outcomes) for one in root.iter(f"{space}setOutcomeValue")]
    used += [(one.get("outcomeIdentifier"), outcomes) for one in root.iter(f"{space}modalFeedback")]
    used += [(one.text, choices) for one in root.iterfind(f".//{space}correctResponse/{space}value")]
    yield from (f"{name} is not declared" for name, declared in used if name not in declared)
