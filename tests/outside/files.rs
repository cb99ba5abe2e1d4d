//! Files from outside: they cost no more work than their size says, who wrote in
//! them is said before they are taken in, and what was altered is refused.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::io::{Cursor, Write};
use std::path::Path;

use hosewright_core::photograph::Photograph;
use hosewright_core::tag::read_picture;
use hosewright_tests::desk::{Desk, Said, said};
use hosewright_tests::page::{Page, plain};
use hosewright_tests::pictures::symbol;
use hosewright_tests::terminal::talk;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

/// A chunk of a PNG file.
fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let body = [kind, data].concat();
    let mut check = flate2::Crc::new();
    check.update(&body);
    let length = u32::try_from(data.len()).unwrap().to_be_bytes();
    [&length, body.as_slice(), &check.sum().to_be_bytes()].concat()
}

/// Zeros, packed as PNG packs.
fn zeros(bytes: usize) -> Vec<u8> {
    let mut packed = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::best());
    let piece = vec![0; 1 << 20];
    (0..bytes >> 20).for_each(|_| packed.write_all(&piece).unwrap());
    packed.finish().unwrap()
}

/// A picture of a symbol in which other things are packed too.
fn packed_picture(path: &Path, more: &[Vec<u8>]) -> Vec<u8> {
    symbol("HW1:2RWBXCB4GDEA7.").save(path).unwrap();
    let plain = fs::read(path).unwrap();
    // Behind the signature and the header.
    let (head, rest) = plain.split_at(33);
    let bytes = [head, &more.concat(), rest].concat();
    fs::write(path, &bytes).unwrap();
    bytes
}

#[test]
fn a_picture_takes_memory_by_its_pixels() {
    let desk = Desk::new();
    let profile = chunk(b"iCCP", &[b"icc\0\0".as_slice(), &zeros(256 << 20)].concat());
    let note = chunk(b"zTXt", &[b"Comment\0\0".as_slice(), &zeros(256 << 20)].concat());
    let words = [b"XML:com.adobe.xmp\0\x01\0\0\0".as_slice(), &zeros(256 << 20)].concat();
    let bytes = packed_picture(&desk.path("code.png"), &[profile, note, chunk(b"iTXt", &words)]);
    assert!(bytes.len() < 2 << 20, "{}", bytes.len());
    let mut read = None;
    let used = allocation_counter::measure(|| read = Some(read_picture(&bytes)));
    assert_eq!(read.unwrap().unwrap()[0].text, "HW1:2RWBXCB4GDEA7.");
    assert!(used.bytes_max < 16 << 20, "{} MB", used.bytes_max >> 20);
    let used = allocation_counter::measure(|| drop(Photograph::make(&bytes).unwrap()));
    assert!(used.bytes_max < 16 << 20, "{} MB", used.bytes_max >> 20);
    // The program reads it in little room, and so does the page.
    assert_eq!(in_little_room(&desk, 300, "read code.png").out, "code.png: HW1:2RWBXCB4GDEA7.\n");
    let page = Page::of(&desk, &[]);
    let before = page.most_memory();
    let fields = [("to", "/scan"), ("field", "text")];
    assert_eq!(page.photo(&fields, &bytes).status, 303);
    if let (Some(before), Some(after)) = (before, page.most_memory()) {
        assert!(after < before + (64 << 10), "{before} kB before, {after} kB after");
    }

    // A colour profile in a JPEG file is not packed: the file's size bounds it.
    let mut jpeg = Vec::new();
    let grey = image::DynamicImage::new_luma8(64, 64);
    grey.write_to(&mut Cursor::new(&mut jpeg), image::ImageFormat::Jpeg).unwrap();
    let marker = [b"\xFF\xE2\xFF\xFFICC_PROFILE\0\x01\x01".as_slice(), &[0; 65_519]].concat();
    let large = [&jpeg[..2], &marker.repeat(100), &jpeg[2..]].concat();
    let used = allocation_counter::measure(|| drop(read_picture(&large)));
    assert!(used.bytes_max < 8 * large.len() as u64, "{} MB", used.bytes_max >> 20);
}

/// Runs a command with so many megabytes of addresses and no more.
fn in_little_room(desk: &Desk, megabytes: u32, line: &str) -> Said {
    let own = desk.command(line.split_whitespace());
    let mut command = std::process::Command::new("sh");
    command.arg("-c").arg(format!("ulimit -v {}; exec \"$0\" \"$@\"", megabytes * 1024));
    command.arg(own.get_program()).args(own.get_args());
    command.current_dir(own.get_current_dir().unwrap());
    for (name, value) in own.get_envs() {
        match value {
            Some(value) => command.env(name, value),
            None => command.env_remove(name),
        };
    }
    said(command.output())
}

/// A block of a bundle as it is in the file.
fn block(text: &[u8]) -> Vec<u8> {
    let packed = zstd::bulk::compress(text, 19).unwrap();
    let length = u32::try_from(packed.len()).unwrap().to_be_bytes();
    [&length[..], &Sha256::digest(&packed)[..8], &packed].concat()
}

fn bundle_of(blocks: &[Vec<u8>]) -> Vec<u8> {
    let all = [
        b"Hosewright bundle 1\n".to_vec(),
        block(b"{\"holds\":{},\"entries\":9}\n"),
        blocks.concat(),
        vec![0; 4],
    ];
    let all = all.concat();
    let digest = Sha256::digest(&all);
    [all, digest.to_vec()].concat()
}

#[test]
fn a_bundle_takes_work_by_its_size() {
    let desk = Desk::new();
    desk.hose();
    let before = desk.export();
    let empty = vec![b'\n'; 64 << 20];
    let letters = b"x\n".repeat(32 << 20);
    let nested = [b"{\"a\":[".as_slice(), &b"0,".repeat(30 << 20), b"0]}\n"].concat();
    for (what, text) in [("empty lines", empty), ("letters", letters), ("numbers", nested)] {
        let bytes = bundle_of(&[block(&text)]);
        assert!(bytes.len() < 16_000, "{what}: {}", bytes.len());
        fs::write(desk.path("bomb"), bytes).unwrap();
        let said = in_little_room(&desk, 400, "merge bomb --json");
        assert_eq!(said.code, 1, "{what}: {}{}", said.out, said.err);
        let report: Value = serde_json::from_str(&said.out).unwrap();
        assert_eq!(report["merge"]["refused"], 1, "{what}: {report}");
        assert!(said.out.contains("unpacks to more"), "{what}: {}", said.out);
        assert_eq!(in_little_room(&desk, 400, "merge bomb --list").code, 0, "{what}");
    }
    // What is no entry is not looked at line by line without end.
    for (lines, refused) in [(40, 40), (100_000, 51)] {
        fs::write(desk.path("lines"), bundle_of(&[block(&b"\n".repeat(lines))])).unwrap();
        let report = desk.json("merge lines");
        assert_eq!(report["merge"]["refused"], refused, "{report}");
    }
    // The parts before are taken in, and a line that no entry can be is not read.
    let entries = block(before.as_bytes());
    fs::write(desk.path("good"), bundle_of(&[entries, block(&vec![b' '; 64 << 20])])).unwrap();
    let other = Desk::new();
    fs::copy(desk.path("good"), other.path("good")).unwrap();
    let report = other.json("merge good");
    assert_eq!((&report["merge"]["new"], &report["merge"]["refused"]), (&json!(1), &json!(1)));
    let long = [b"{\"a\":[".as_slice(), &b"0,".repeat(1 << 20), b"0]}\n"].concat();
    fs::write(desk.path("long.jsonl"), [&long, before.as_bytes()].concat()).unwrap();
    let refused = desk.run("import long.jsonl");
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("line 1: it is longer than any entry"), "{}", refused.err);
    assert_eq!(desk.export(), before);
}

/// An owner's desk, and a bundle in which a device that it admitted and a stranger
/// wrote, who also carries the owner's words. The stranger is named by its number.
fn with_a_stranger() -> (Desk, String, String) {
    let (centre, boat, stranger) = (Desk::new(), Desk::new(), Desk::new());
    let hose = centre.hose();
    let fleet = centre.json("device found")["fleet"].as_str().unwrap().to_owned();
    let path = |desk: &Desk, name: &str| desk.path(name).to_str().unwrap().to_owned();
    let own = |desk: &Desk| desk.json("device show")["device"].as_str().unwrap().to_owned();
    centre.done(&format!("device admit {} --name Boat", own(&boat)));
    let file = path(&centre, "centre.hwbundle");
    centre.done(&format!("bundle --out {file}"));
    for desk in [&boat, &stranger] {
        desk.done(&format!("merge {file}"));
    }
    boat.done(&format!("device join {fleet}"));
    boat.done(&format!("clean {hose}"));
    let boats = path(&boat, "boat.hwbundle");
    boat.done(&format!("bundle --out {boats}"));
    stranger.done(&format!("merge {boats}"));
    stranger.done(&format!("inspect {hose} --kind full"));
    stranger.done(&format!("inspect {hose} --kind quick"));
    let bundle = path(&stranger, "all.hwbundle");
    stranger.done(&format!("bundle --out {bundle}"));
    stranger.done(&format!("export --out {}", path(&stranger, "all.jsonl")));
    for name in ["all.hwbundle", "all.jsonl"] {
        fs::copy(stranger.path(name), centre.path(name)).unwrap();
    }
    (centre, own(&stranger), fleet)
}

#[test]
fn who_is_not_believed_is_named_before_a_merge_and_can_be_left_out() {
    let (centre, stranger, fleet) = with_a_stranger();
    let before = centre.export();
    let listed = centre.run("merge all.hwbundle --list");
    assert_eq!(listed.code, 0, "{}", listed.err);
    let lines: Vec<&str> = listed.out.lines().collect();
    assert!(lines[1].contains(&stranger[..12]), "{}", listed.out);
    assert!(
        lines[1].contains("2 entries; 2 not believed: the owner has not admitted the device"),
        "{}",
        listed.out
    );
    assert!(listed.out.contains("(Boat): 1 entry; believed"), "{}", listed.out);
    let all = centre.json("merge all.hwbundle --list");
    let writers = all["writers"].as_array().unwrap();
    assert_eq!(writers.len(), 3, "{all}");
    assert_eq!(writers[0]["device"], stranger.as_str());
    assert_eq!(writers[0]["not_believed"], json!({ "stranger": 2 }));
    assert_eq!((&writers[0]["entries"], &writers[0]["role"]), (&json!(2), &Value::Null));
    assert!(writers[1..].iter().all(|writer| writer["not_believed"] == json!({})), "{all}");
    assert_eq!(centre.export(), before, "a list changes nothing");

    // In a terminal they are named before it is done.
    let copy = Desk::new();
    for name in ["store.hosewright", "all.hwbundle"] {
        fs::copy(centre.path(name), copy.path(name)).unwrap();
    }
    let (shown, code) = talk(&copy, "merge all.hwbundle", &[]);
    assert_eq!(code, 0, "{shown}");
    let named = shown.find("2 not believed: the owner has not admitted").unwrap();
    assert!(named < shown.find("3 entries new").unwrap(), "{shown}");

    for (typed, words) in [("abc", "no device"), ("0000", "no device whose number begins")] {
        let refused = centre.run(&format!("merge all.hwbundle --without {typed}"));
        assert_eq!(refused.code, 2, "{typed}");
        assert!(refused.err.contains(words), "{}", refused.err);
    }
    assert_eq!(centre.export(), before);
    let line = format!("merge all.hwbundle --without {}", &stranger[..8]);
    let report = centre.json(&line)["merge"].clone();
    assert_eq!((&report["new"], &report["left_out"]), (&json!(1), &json!(2)), "{report}");
    assert_eq!(report["set_aside"], json!({}));
    assert!(!centre.export().contains(&stranger));
    assert!(centre.run(&line).out.contains("2 entries left out, as asked"));
    // It was not taken in whole, and comes in whole when it is asked for.
    let report = centre.json("merge all.hwbundle")["merge"].clone();
    assert_eq!((&report["new"], &report["set_aside"]), (&json!(2), &json!({ "stranger": 2 })));

    // The owner's words come in, no matter who brings them.
    let phone = Desk::new();
    fs::copy(centre.path("all.hwbundle"), phone.path("all.hwbundle")).unwrap();
    phone.done(&format!("device join {fleet}"));
    phone.done(&line);
    let list = phone.run("device list").out;
    assert!(list.contains("(Boat)") && !list.contains(&stranger[..12]), "{list}");
}

#[test]
fn who_is_not_believed_is_named_in_a_shared_folder_too() {
    let (centre, stranger, _) = with_a_stranger();
    let before = centre.export();
    fs::create_dir(centre.path("shared")).unwrap();
    fs::copy(centre.path("all.hwbundle"), centre.path("shared/others.hwbundle")).unwrap();
    let listed = centre.run("exchange shared --list");
    assert_eq!(listed.code, 0, "{}", listed.err);
    assert!(listed.out.contains("2 entries; 2 not believed"), "{}", listed.out);
    assert_eq!(fs::read_dir(centre.path("shared")).unwrap().count(), 1, "a list leaves nothing");
    let refused = centre.run("exchange shared --without 0000");
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert_eq!(centre.export(), before);
    // In a terminal they are named before it is done.
    let copy = Desk::new();
    fs::create_dir(copy.path("shared")).unwrap();
    for name in ["store.hosewright", "shared/others.hwbundle"] {
        fs::copy(centre.path(name), copy.path(name)).unwrap();
    }
    let (shown, code) = talk(&copy, "exchange shared", &[]);
    assert_eq!(code, 0, "{shown}");
    let named = shown.find("2 not believed: the owner has not admitted").unwrap();
    assert!(named < shown.find("3 entries new").unwrap(), "{shown}");
    let left = centre.run(&format!("exchange shared --without {}", &stranger[..8]));
    assert!(left.out.contains("2 entries left out, as asked"), "{}{}", left.out, left.err);
    assert!(!centre.export().contains(&stranger));
    assert_eq!(fs::read_dir(centre.path("shared")).unwrap().count(), 2, "its own is left");
}

#[test]
fn the_page_shows_who_is_not_believed_before_it_takes_them_in() {
    for name in ["all.hwbundle", "all.jsonl"] {
        let (centre, stranger, _) = with_a_stranger();
        let before = centre.export();
        let page = Page::of(&centre, &[]);
        let sent =
            page.file("/owner/record/entries", &[], "file", &fs::read(centre.path(name)).unwrap());
        assert_eq!(sent.status, 303, "{name}: {}", plain(&sent.text()));
        let to = sent.header("location").to_owned();
        let shown = page.shown(&to);
        let words = plain(&shown);
        assert!(words.contains("2 not believed: the owner has not admitted the device"), "{words}");
        assert!(words.contains("(Boat): 1 entry; believed"), "{words}");
        assert!(words.contains("Nothing is saved yet."), "{words}");
        assert!(shown.contains(&format!("name=\"without\" value=\"{stranger}\"")), "{shown}");
        assert_eq!(centre.export(), before, "nothing is written before a yes");
        let key = to.split("file=").nth(1).unwrap();
        let bad = page.post("/owner/record/entries/take", &[("file", key), ("without", "me")]);
        assert_eq!(bad.status, 400);
        assert_eq!(centre.export(), before);
        let take = [("file", key), ("without", stranger.as_str())];
        let taken = page.post("/owner/record/entries/take", &take);
        let words = plain(&taken.text());
        assert_eq!(taken.status, 200, "{words}");
        assert!(words.contains("1 entry new") && words.contains("2 entries left out"), "{words}");
        assert!(!centre.export().contains(&stranger));
        let twice = page.post("/owner/record/entries/take", &take);
        assert_eq!(twice.status, 400);
        assert!(plain(&twice.text()).contains("is not here any more"));
        // Where all are believed nothing is asked.
        let known = centre.path("known.hwbundle");
        centre.done(&format!("bundle --out {}", known.display()));
        let sent = page.file("/owner/record/entries", &[], "file", &fs::read(known).unwrap());
        assert_eq!(sent.status, 200, "{}", plain(&sent.text()));
    }
}

#[test]
fn one_altered_line_refuses_an_export_and_the_rest_goes_in_where_it_is_asked_for() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done(&format!("clean {hose}"));
    desk.done(&format!("inspect {hose} --kind full"));
    let altered = desk.export().replace("\"kind\":\"cleaned\"", "\"kind\":\"polished\"");
    let other = Desk::new();
    fs::write(other.path("altered.jsonl"), &altered).unwrap();
    let refused = other.run("import altered.jsonl");
    assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{}", refused.err);
    assert!(refused.err.contains("line 2: entry 2 of device"), "{}", refused.err);
    assert!(refused.err.contains("is not what that device signed"), "{}", refused.err);
    assert!(refused.err.contains("nothing was changed"), "{}", refused.err);
    assert_eq!(other.export(), "");
    let page = Page::of(&other, &[]);
    let sent = page.file("/owner/record/entries", &[], "file", altered.as_bytes());
    assert_eq!(sent.status, 400);
    assert!(
        plain(&sent.text()).contains("Line 2 of the export is refused"),
        "{}",
        plain(&sent.text())
    );
    assert_eq!(other.export(), "");

    let partial = other.run("import altered.jsonl --partial");
    assert_eq!(partial.code, 1, "{}{}", partial.out, partial.err);
    for words in ["altered.jsonl:", "2 entries new, 0 known already", "Refused: line 2: entry 2"] {
        assert!(partial.out.contains(words), "{words}: {}", partial.out);
    }
    let report = other.json("import altered.jsonl --partial");
    assert_eq!((&report["taken"], &report["known"]), (&json!(0), &json!(2)), "{report}");
    assert_eq!(
        (&report["refused"][0]["line"], &report["merge"]["refused"]),
        (&json!(2), &json!(1))
    );
    // It speaks as a merge does.
    desk.done("bundle --out all.hwbundle");
    let (merged, imported) = (Desk::new(), Desk::new());
    fs::copy(desk.path("all.hwbundle"), merged.path("file")).unwrap();
    fs::write(imported.path("file"), desk.export()).unwrap();
    let both = [merged.run("merge file"), imported.run("import file")];
    assert_eq!(both[0].out, both[1].out);
    assert_eq!((both[0].code, both[1].code), (0, 0));
}
