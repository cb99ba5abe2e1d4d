"""NDEF by ndeflib and CBOR by cbor2, for tests/peers/chips.rs: JSON in, JSON out.

With the argument `golden` it prints core/src/tag/golden/chips.txt instead."""

import datetime
import json
import sys
import uuid

import cbor2
import ndef

EPOCH = datetime.date(1970, 1, 1)
# User memory as the containers announce it, and the blocks before the message
# with which the chips leave their factory (NXP NTAG21x data sheet, from memory).
SIZES = {"ntag213": 144, "ntag215": 496, "ntag216": 872}


def look_bytes(look):
    day = datetime.date.fromisoformat(look["on"])
    fields = {0: 1, 1: cbor2.CBORTag(100, (day - EPOCH).days), 2: look["kind"]}
    if look.get("passed") is not None:
        fields[3] = look["passed"]
    if look.get("open"):
        fields[4] = look["open"]
    return cbor2.dumps(fields, canonical=True)


def encode(records):
    return b"".join(ndef.message_encoder(records))


def message(wanted):
    """A message of ours: the text, the look if there is one, the app if wanted."""
    text = wanted["text"]
    if text.startswith("HTTPS://"):
        text = "https://" + text.removeprefix("HTTPS://")
    records = [ndef.UriRecord(text)]
    if wanted.get("look"):
        records.append(ndef.Record("urn:nfc:ext:hosewright:look", "", look_bytes(wanted["look"])))
    if wanted.get("application"):
        package = wanted["application"].encode()
        records.append(ndef.Record("urn:nfc:ext:android.com:pkg", "", package))
    return encode(records)


def area(size, data):
    """A Type 2 data area with a message in it."""
    length = [len(data)] if len(data) < 255 else [255, len(data) >> 8, len(data) & 255]
    block = bytes([3, *length]) + data
    if len(block) > size:
        return None
    block += b"\xfe" * (len(block) < size)
    return block + bytes(-len(block) % 4)


def read(octets):
    """What ndeflib makes of a message: an address in full, other data in hexadecimal."""
    said = []
    for record in ndef.message_decoder(octets):
        said.append([record.type, record.iri if isinstance(record, ndef.UriRecord) else bytes(record.data).hex()])
    return said


def examples():
    """The messages that ndeflib's documentation makes, page by page."""
    made = {}
    made["readme"] = bytes.fromhex("9101085402656e48656c6c6f5101085402656e576f726c64")
    made["decoder"] = bytes.fromhex("9103034142436162635903030144454630646566")
    made["encoder"] = encode([ndef.Record("urn:nfc:wkt:ABC", "1", b"abc"), ndef.Record("urn:nfc:wkt:DEF", "2", b"def")])
    made["empty"] = encode([ndef.Record()])
    made["unknown"] = encode([ndef.Record("unknown", "", b"1234")])
    made["media"] = encode([ndef.Record("image/jpeg", "", b"1234")])
    made["absolute"] = encode([ndef.Record("http://schemas.xmlsoap.org/soap/envelope/", "", b"<x/>")])
    made["unchanged"] = encode([ndef.Record("unchanged", "", b"1234")])
    made["uri"] = encode([ndef.UriRecord("http://www.hääyö.com/~user/")])
    made["uri short"] = encode([ndef.UriRecord("http://www.example.com")])
    made["text"] = encode([ndef.TextRecord("Hello World"), ndef.TextRecord("Hallo Welt", "de")])
    made["text in UTF-16"] = encode([ndef.TextRecord("Hello", "en", "UTF-16")])
    poster = ndef.SmartposterRecord("https://github.com/nfcpy/ndeflib")
    poster.set_title("Python package for parsing and generating NDEF", "en")
    poster.resource_type, poster.resource_size, poster.action = "text/html", 1193970, "exec"
    made["smart poster"] = encode([poster])
    made["device"] = encode([ndef.DeviceInformationRecord("Company", "Device", "Name", uuid.UUID(int=1).hex, "1.0")])
    carrier = ndef.HandoverCarrierRecord("application/vnd.wfa.wsc", None, "wifi")
    handover = [ndef.HandoverRequestRecord("1.3", 0x1234), carrier]
    handover[0].add_alternative_carrier("active", carrier.name)
    made["handover request"] = encode(handover)
    for name, kind in [("select", ndef.HandoverSelectRecord), ("mediation", ndef.HandoverMediationRecord), ("initiate", ndef.HandoverInitiateRecord)]:
        carrier = ndef.Record("mimetype/subtype", "ref", b"1234")
        handover = [kind("1.3"), carrier]
        handover[0].add_alternative_carrier("active", carrier.name)
        made[f"handover {name}"] = encode(handover)
    carrier = ndef.HandoverCarrierRecord("application/vnd.wfa.wsc")
    carrier.name = "wlan"
    made["handover carrier"] = encode([carrier])
    made["wifi"] = encode([ndef.WifiSimpleConfigRecord((0x1001, b"\x00\x06"), ("ap-channel", b"\x00\x06"))])
    pairing = ndef.BluetoothEasyPairingRecord("01:02:03:04:05:06", (0x0D, b"\x04\x01\x12"), ("Shortened Local Name", b"My Blue"))
    made["bluetooth"] = encode([pairing])
    made["bluetooth low energy"] = encode([ndef.BluetoothLowEnergyRecord((0x08, b"My Blue"))])
    made["signature"] = encode([ndef.UriRecord("https://example.com"), ndef.TextRecord("TEST"), ndef.SignatureRecord(None, "SHA-256", b"", "", "X.509", [], "")])
    made["private, empty"] = encode([ndef.Record("urn:nfc:ext:nfcpy.org:x-empty")])
    made["private, temperature"] = encode([ndef.Record("urn:nfc:ext:nfcpy.org:x-temp", "", bytes.fromhex("57862bf90019"))])
    made["long"] = encode([ndef.Record("application/octet-stream", "", bytes(300))])
    return [[name, octets.hex()] for name, octets in made.items()]


def golden():
    tags = ["HW1:01H7K2M90101Y.10P1KNJXPZ5", "HW1:7K3M9QWXT4RBM.", "HTTPS://HOSES.EXAMPLE/HW1:01H7K2M90101Y.10P1KNJXPZ5"]
    looks = [
        None,
        {"on": "2026-06-13", "kind": "full"},
        {"on": "1969-12-31", "kind": "leak-test", "passed": False, "open": ["run:cut:cover", "seal-a:seal-missing"]},
        {"on": "2026-06-13", "kind": "leak-test", "passed": True},
        {"on": "2106-02-07", "kind": "quick", "open": [f"run:strands:{n}" for n in range(9)]},
    ]
    package = "org.hosewright.companion"
    print("# What is written on each chip: its whole data area, behind the container. Never")
    print("# regenerated: a line may be added, and none may change. Written by")
    print("# tests/peers/chips.py: chip | tag | inspection | bytes.")
    for chip, size in SIZES.items():
        for text in tags:
            for look in looks:
                wanted = [{"text": text, "look": look, "application": package}, {"text": text, "look": look}, {"text": text}]
                areas = [area(size, message(each)) for each in wanted]
                written = next(each for each in areas if each)
                print(" | ".join([chip, text, json.dumps(look), written.hex()]))


def answer(asked):
    return {
        "messages": [message(each).hex() for each in asked.get("messages", [])],
        "read": [read(bytes.fromhex(each)) for each in asked.get("read", [])],
        "prefixes": [ndef.UriRecord._decode_payload(bytes([code]) + b"x", "strict").iri for code in range(36)],
        "examples": examples(),
    }


if __name__ == "__main__":
    if sys.argv[1:] == ["golden"]:
        golden()
    else:
        json.dump(answer(json.load(sys.stdin)), sys.stdout)
