"""Shows that type-checking the app can fail: puts one mistake of each kind into a
copy of it, and looks whether the compiler found each where it was put.

    mistakes.py APP COPY            makes the copy
    mistakes.py --found COPY LOG    reads what the compiler said of it"""

import re
import sys
from pathlib import Path

# A kind of mistake, and a source with it: each is a file of its own in the app's module.
MISTAKES = {
    "a wrong name": "@MainActor func wrongName(_ desk: Desk) { desk.thereIsNoSuchCall() }",
    "a missing case": "func missingCase(_ verdict: Verdict) -> Int { switch verdict { case .ready: 1; case .watch: 2 } }",
    "a wrong type": 'func wrongType() -> WayOn { "tryAgain" }',
    "a call from the wrong actor": "nonisolated func wrongActor(_ above: Above) { above.close() }",
    "a closure bound to another parameter":
        "@MainActor func wrongClosure(_ desk: Desk) -> some View { CLOSURE }",
    "a missing argument": "@MainActor func missingArgument() -> some View { ScanView() }",
}
# Views that take a closure: without its name it must not be bound to whatever is there.
CLOSURE = "LargeButton(words: say.scan, main: true, then: {}) { (text: String) in print(text) }"

HEAD = "import HosewrightKit\nimport SwiftUI\n"


def name(kind: str) -> str:
    return "Mistake" + "".join(word.capitalize() for word in kind.split()) + ".swift"


if sys.argv[1] == "--found":
    copy, log = Path(sys.argv[2]), Path(sys.argv[3]).read_text()
    missed = [kind for kind in MISTAKES
              if not re.search(rf"{re.escape(name(kind))}:\d+:\d+: error:", log)]
    # Nothing else is wrong with the copy: the errors are those that were put there.
    others = [line for line in log.splitlines() if re.search(r"\.swift:\d+:\d+: error:", line)
              and "Mistake" not in line]
    for kind in missed:
        print(f"ios/check: {kind} is not noticed", file=sys.stderr)
    for line in others:
        print(f"ios/check: {line}", file=sys.stderr)
    print(f"{len(MISTAKES) - len(missed)} of {len(MISTAKES)} mistakes that were put in are found")
    sys.exit(1 if missed or others else 0)

app, copy = Path(sys.argv[1]), Path(sys.argv[2])
copy.mkdir(parents=True, exist_ok=True)
for old in copy.glob("*.swift"):
    old.unlink()
for source in app.glob("*.swift"):
    (copy / source.name).write_text(source.read_text())
for kind, text in MISTAKES.items():
    (copy / name(kind)).write_text(HEAD + text.replace("CLOSURE", CLOSURE) + "\n")
