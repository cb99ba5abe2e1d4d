"""Swift without a Swift compiler: every source parses, and the module map, the
package and the script name files that are there. Types are checked by `ios/test`.

Peers: the grammar of tree-sitter-swift, and pbxproj (PyPI)."""

import json
import plistlib
import re
import sys
from pathlib import Path

import tree_sitter_swift
from pbxproj import XcodeProject
from tree_sitter import Language, Parser

ROOT = Path(__file__).resolve().parents[2]
IOS = ROOT / "ios"
parser = Parser(Language(tree_sitter_swift.language()))


def errors(source: str) -> list[int]:
    """Lines at which the grammar gives up."""
    # An attribute of the compiler's own that the grammar does not know.
    source = re.sub(r"^\s*@_documentation\(visibility: private\)$", "", source, flags=re.M)
    # A closure that gives nothing, of which the grammar knows other spellings.
    source = source.replace("{ () }", "{ Void() }")
    tree = parser.parse(source.encode())
    found, open_ = [], [tree.root_node]
    while open_:
        node = open_.pop()
        if node.type == "ERROR" or node.is_missing:
            found.append(node.start_point[0] + 1)
        elif node.has_error:
            open_.extend(node.children)
    return sorted(found)


failed = 0


def check(holds: bool, words: str) -> None:
    global failed
    if not holds:
        failed += 1
        print(f"swift: {words}", file=sys.stderr)


# The check can fail.
check(errors("func a() { let = }") != [], "the grammar takes anything")
check(errors("func a() -> Int { 1 }") == [], "the grammar takes nothing")

sources = sorted(IOS.rglob("*.swift"))
check(len(sources) >= 12, f"only {len(sources)} sources were found")
for source in sources:
    lines = errors(source.read_text())
    check(not lines, f"{source.relative_to(ROOT)} does not parse at line {lines[:5]}")

# Pages lie over each other and are made before anybody looks at them: whatever of the phone
# there is once is made once, and by no page.
app = "\n".join(source.read_text() for source in sorted((IOS / "App/Sources").glob("*.swift")))
for what, owner in (("AVCaptureSession()", "Camera"), ("AVSpeechSynthesizer()", "Voice")):
    check(app.count(what) == 1, f"{app.count(what)} places of the app make {what}")
    made = re.findall(rf"\b{owner}\(", app)
    check(len(made) == 1 and f"static let own = {owner}(" in app, f"a page makes a {owner} of its own")

kit = IOS / "HosewrightKit"
module_map = (kit / "Headers/module.modulemap").read_text()
package = (kit / "Package.swift").read_text()
script = (IOS / "build-xcframework").read_text()
manifest = (ROOT / "bindings/mobile/Cargo.toml").read_text()
module = re.search(r"module (\w+)", module_map)[1]
header = re.search(r'header "([^"]+)"', module_map)[1]
check((kit / "Headers" / header).is_file(), f"the module map names {header}, which is not there")
check(f'name: "{module}"' in package, f"the package has no binary target {module}")
generated = (kit / "Sources/HosewrightCore/HosewrightCore.swift").read_text()
check(f"import {module}\n" in generated, f"the generated source does not import {module}")
for target in re.findall(r'\.target\(name: "(\w+)"', package):
    check((kit / "Sources" / target).is_dir(), f"the package names {target}, which has no sources")
framework = re.search(r"framework=(\S+)", script)[1]
check((kit / re.search(r'path: "([^"]+\.xcframework)"', package)[1]) == ROOT / framework,
      "the package and the script do not name the same framework")
check((ROOT / re.search(r"headers=(\S+)", script)[1]).is_dir(), "the script's headers are not there")
library = re.search(r"library=lib(\S+)\.a", script)[1]
check(f'name = "{library.replace("_", "-")}"' in manifest, f"no crate makes lib{library}.a")
profile = re.search(r"--profile (\w+)", script)[1]
check(f"[profile.{profile}]" in (ROOT / "Cargo.toml").read_text(), f"there is no profile {profile}")

# What the app says it opens is what it makes, and what stands on a tag.
info = plistlib.loads((IOS / "App/Info.plist").read_bytes())
exported = {kind["UTTypeIdentifier"]: kind["UTTypeTagSpecification"]["public.filename-extension"]
            for kind in info["UTExportedTypeDeclarations"]}
for kind in (kind for document in info["CFBundleDocumentTypes"] for kind in document["LSItemContentTypes"]):
    check(kind in exported, f"the app opens {kind}, which it does not describe")
shared = re.search(r'"phone\.(\w+)"', (IOS / "App/Sources/ListViews.swift").read_text())[1]
check([shared] in exported.values(), f"the app shares a .{shared} that it does not open")
schemes = [scheme for link in info["CFBundleURLTypes"] for scheme in link["CFBundleURLSchemes"]]
tag = re.search(r"`(HW\d+):[0-9A-Z]+\.[0-9A-Z]+`", (ROOT / "README.md").read_text())[1].lower()
check(schemes == [tag], f"the app opens {schemes}, and tags begin with {tag}:")
check(f'== "{tag}"' in (kit / "Sources/HosewrightKit/Opened.swift").read_text(), f"the screens do not know {tag}:")

# The project follows the folder App, and all that it names is there.
project = XcodeProject.load(str(IOS / "Hosewright.xcodeproj/project.pbxproj"))
objects = {key: project.objects[key] for key in project.objects.get_keys()}
text = (IOS / "Hosewright.xcodeproj/project.pbxproj").read_text()
for key in re.findall(r"\b[0-9A-F]{24}\b", text):
    check(key in objects, f"the project names {key}, which is nothing")
folders = [one.path for one in objects.values() if one.isa == "PBXFileSystemSynchronizedRootGroup"]
check(folders == ["App"], f"the project builds {folders}")
packages = [one.relativePath for one in objects.values() if one.isa == "XCLocalSwiftPackageReference"]
check(packages == [kit.name], f"the project uses {packages}")
for setting in ("INFOPLIST_FILE", "CODE_SIGN_ENTITLEMENTS"):
    for named in re.findall(rf"\b{setting} = ([^;]+);", text):
        check((IOS / named).is_file(), f"the project names {named}, which is not there")
own = re.search(r'PACKAGE: &str = "([^"]+)"', (ROOT / "core/src/tag/ndef/record.rs").read_text())[1]
check(set(re.findall(r"PRODUCT_BUNDLE_IDENTIFIER = ([^;]+);", text)) == {own}, f"the app is not called {own}")
entitled = plistlib.loads((IOS / "App/Hosewright.entitlements").read_bytes())
check(entitled == {"com.apple.developer.nfc.readersession.formats": ["TAG"]}, f"the app asks for {entitled}")
private = plistlib.loads((IOS / "App/PrivacyInfo.xcprivacy").read_bytes())
check(private["NSPrivacyTracking"] is False and private["NSPrivacyCollectedDataTypes"] == [],
      "the app says that it collects something")
icons = IOS / "App/Assets.xcassets/AppIcon.appiconset"
for image in json.loads((icons / "Contents.json").read_text())["images"]:
    head = (icons / image["filename"]).read_bytes()[:24]
    # A PNG's size stands in its head.
    check((int.from_bytes(head[16:20]), int.from_bytes(head[20:24])) == (1024, 1024), "the icon is not 1024 wide")

print(f"{len(sources)} sources, {len(objects)} objects of the project: {'ok' if not failed else f'{failed} wrong'}")
sys.exit(1 if failed else 0)
