"""The licences of what the program ships with, and the list of its parts (SBOM) as CycloneDX.

`python -m tests.trust.licences` writes the table LICENCES.md anew; with a file name it also writes the list
of parts there, made from the pinned list and from what is installed.
"""

import json
import re
import sys
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, metadata
from pathlib import Path

from cyclonedx.contrib.license.factories import LicenseFactory
from cyclonedx.model import HashAlgorithm, HashType
from cyclonedx.model.bom import Bom
from cyclonedx.model.component import Component, ComponentType
from cyclonedx.output import make_outputter
from cyclonedx.schema import OutputFormat, SchemaVersion
from packageurl import PackageURL

from app.settings import ROOT, STATIC

TABLE = Path(__file__).with_name("LICENCES.md")
_PIN = re.compile(r"^([A-Za-z0-9_.-]+)==([^ ;\\]+)(?: ; ([^\\]*\S))?\s*\\?$")
_HASH = re.compile(r"^\s+--hash=sha256:([0-9a-f]{64})")
# Where a package's own data say less than an SPDX name: read in its licence file.
_READ = {
    "BSD": "BSD-3-Clause",
    "BSD License": "BSD-3-Clause",
    "MIT License": "MIT",
    "Apache Software License": "Apache-2.0",
}
# The package pypdfium2 says "BSD-3-Clause, Apache-2.0, dependency licenses": its wheel carries PDFium and the
# parts built into it, each with its text in the folder BUILD_LICENSES. Read one by one; where a part offers
# several, the one taken (FreeType's own and not the GPL, for example). Other systems' parts lie in folders.
PDFIUM = {
    "abseil.txt": "Apache-2.0",
    "agg23.txt": "LicenseRef-AGG-2.3",  # no SPDX name: to be copied, changed and sold with its notice
    "all_except_musl/llvm-libc.txt": "Apache-2.0 WITH LLVM-exception",
    "dragonbox-Apache2-LLVM.txt": "Apache-2.0 WITH LLVM-exception",
    "dragonbox-Boost.txt": "Apache-2.0 WITH LLVM-exception",  # offered beside the one above
    "fast_float.txt": "MIT",
    "freetype.txt": "FTL",
    "harfbuzz.txt": "MIT-Modern-Variant",
    "highway.txt": "Apache-2.0",
    "icu.txt": "Unicode-3.0",
    "lcms.txt": "MIT",
    "libjpeg_turbo.ijg": "IJG",
    "libjpeg_turbo.md": "IJG AND BSD-3-Clause AND Zlib",
    "libopenjpeg.txt": "BSD-2-Clause",
    "libpng.txt": "libpng-2.0",
    "libtiff.txt": "libtiff",
    "pbin_and_sbuild/brotli.txt": "MIT",
    "pbin_and_sbuild/libyuv.txt": "BSD-3-Clause",
    "pdfium-binaries.txt": "MIT",
    "pdfium.txt": "BSD-3-Clause AND Apache-2.0",
    "simdutf.txt": "MIT",
    "zlib.txt": "Zlib",
}
_NOTES = {
    "pypdfium2": "the package and PDFium with the parts built into it, each as read in the wheel; "
    "`LicenseRef-AGG-2.3` lets it be copied, changed and sold with its notice",
    "pyphen": "used under MPL-1.1",
}
_BY_NAME = {
    "python-dateutil": "Apache-2.0 OR BSD-3-Clause",
    "pyphen": "GPL-2.0-or-later OR LGPL-2.1-or-later OR MPL-1.1",
    "uvloop": "Apache-2.0 OR MIT",
    "pyopenssl": "Apache-2.0",
    "pyasn1-modules": "BSD-2-Clause",
    "pypdfium2": " AND ".join(sorted({one for found in PDFIUM.values() for one in found.split(" AND ")})),
}
# All of them let a program under the MIT licence be passed on; a licence that is not here fails the test.
ALLOWED = frozenset(
    {
        "0BSD",
        "Apache-2.0",
        "Apache-2.0 WITH LLVM-exception",
        "BSD-2-Clause",
        "BSD-3-Clause",
        "CC0-1.0",
        "FTL",
        "IJG",
        "LicenseRef-AGG-2.3",
        "MIT",
        "MIT-0",
        "MIT-CMU",
        "MIT-Modern-Variant",
        "MPL-1.1",
        "OFL-1.1",
        "PSF-2.0",
        "Unicode-3.0",
        "Zlib",
        "libpng-2.0",
        "libtiff",
    }
)


@dataclass(frozen=True)
class Part:
    """One part that the program ships with or installs."""

    name: str
    version: str
    licence: str
    kind: str
    hashes: tuple[str, ...] = ()


def packages() -> tuple[Part, ...]:
    """Every package of the pinned list that is installed here, with the hashes it may have."""
    found: list[Part] = []
    hashes: dict[tuple[str, str], list[str]] = {}
    pin = ("", "")
    for line in (ROOT / "requirements.txt").read_text(encoding="utf-8").splitlines():
        if named := _PIN.match(line):
            pin = (named[1].lower(), named[2])
            hashes[pin] = []
        elif mark := _HASH.match(line):
            hashes[pin].append(mark[1])
    for (name, version), marks in sorted(hashes.items()):
        try:
            about = metadata(name)
        except PackageNotFoundError:
            continue  # for another system or another Python
        if about["Version"] == version:
            found.append(Part(name, version, licence_of(name), "pypi", tuple(sorted(marks))))
    return tuple(found)


def licence_of(name: str) -> str:
    """What a package says of its licence, as an SPDX expression."""
    if name in _BY_NAME:
        return _BY_NAME[name]
    about = metadata(name)
    stated = about.get("License-Expression") or about.get("License") or ""
    if not stated or len(stated) > 60:
        classes = [one for one in about.get_all("Classifier") or () if one.startswith("License ::")]
        stated = classes[0].rpartition(" :: ")[2] if classes else ""
    return _READ.get(stated, stated)


def bundled() -> tuple[Part, ...]:
    """What lies in the tree itself: scripts and type."""
    listed = json.loads((STATIC / "vendor" / "vendor.json").read_text(encoding="utf-8"))
    return tuple(
        Part(row["name"], row["version"], row["licence"], "npm", tuple(sorted(row["files"].values())))
        for row in listed
    )


def table() -> str:
    """The licences as a table; versions stand in the pinned list alone."""
    rows = sorted({f"| {part.name} | {part.licence} |" for part in (*packages(), *bundled())})
    head = (
        "# Licences of what Upstand ships with",
        "",
        "Written by `python -m tests.trust.licences`; a test holds it against what is installed. "
        "Where a package offers several, the first that is not of the GPL family is used.",
        "",
        "| part | licence (SPDX) |",
        "| --- | --- |",
    )
    notes = [f"- {name}: {words}." for name, words in _NOTES.items()]
    return "\n".join((*head, *rows, "", *notes, ""))


def bill() -> str:
    """The list of parts as CycloneDX 1.6 JSON; no address of a registry is in it."""
    licences = LicenseFactory()
    bom = Bom()
    whole = bom.metadata.component = Component(
        name="upstand",
        bom_ref="upstand",
        version=metadata("upstand")["Version"],
        type=ComponentType.APPLICATION,
        licenses=[licences.make_with_expression("MIT")],
    )
    for part in (*packages(), *bundled()):
        space, _, name = part.name.rpartition("/")
        marks = part.hashes if part.kind == "npm" and len(part.hashes) == 1 else ()
        made = Component(
            name=name,
            group=space or None,
            version=part.version,
            type=ComponentType.LIBRARY,
            bom_ref=f"{part.kind}:{part.name}@{part.version}",
            purl=PackageURL(part.kind, space or None, name, part.version),
            licenses=[licences.make_from_string(part.licence)],
            hashes=[HashType(alg=HashAlgorithm.SHA_256, content=mark) for mark in marks],
        )
        bom.components.add(made)
        bom.register_dependency(whole, [made])
    return make_outputter(bom, OutputFormat.JSON, SchemaVersion.V1_6).output_as_string(indent=1)


def main(arguments: list[str]) -> int:
    """Write the table anew; write the list of parts too where a file is named."""
    TABLE.write_text(table(), encoding="utf-8")
    print(f"{TABLE.name} written")
    if arguments:
        Path(arguments[0]).write_text(bill() + "\n", encoding="utf-8")
        print(f"{len(packages()) + len(bundled())} parts written to {arguments[0]}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
