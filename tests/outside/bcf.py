#!/usr/bin/env python3
"""BCF archives against buildingSMART's published schemas, with an independent validator (pip install xmlschema).

Usage: bcf.py SCHEMAS FILE.bcf...   SCHEMAS is the folder of the XSD files
"""
import sys, zipfile
import xmlschema

schemas, files = sys.argv[1], sys.argv[2:]
load = lambda name: xmlschema.XMLSchema(f"{schemas}/{name}.xsd")
version, extensions, markup = load("version"), load("extensions"), load("markup")
topics = 0
for file in files:
    with zipfile.ZipFile(file) as archive:
        assert archive.testzip() is None, file
        names = archive.namelist()
        assert names[:2] == ["bcf.version", "extensions.xml"] and len(set(names)) == len(names), names[:3]
        version.validate(archive.read("bcf.version").decode())
        extensions.validate(archive.read("extensions.xml").decode())
        for name in names[2:]:
            guid, leaf = name.split("/")
            text = archive.read(name).decode()
            markup.validate(text)
            assert leaf == "markup.bcf" and f'Guid="{guid}"' in text, name
            topics += 1
assert files, "no archives given"
print(f"{topics} topics in {len(files)} archives hold to the schemas")
