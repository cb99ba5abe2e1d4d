//! How long the counter page takes: `page_times PROGRAM STORE…` serves a copy of
//! each store, asks for every kind of screen again and again over HTTP on this
//! computer, and writes a line a screen with the median and the slowest but one
//! of twenty times, in milliseconds. An owner's questions are asked once more
//! with something written before each time.

use std::path::Path;
use std::process::Command;
use std::time::Instant;

use hosewright_tests::page::{Page, escaped};

const TIMES: usize = 20;
/// The day on which the fleets of the benchmarks are asked about.
const TODAY: &str = "2026-06-15";

type Outcome = Result<(), Box<dyn std::error::Error>>;

fn main() -> Outcome {
    let mut words = std::env::args().skip(1);
    let program = words.next().ok_or("page_times PROGRAM STORE…")?;
    for store in words {
        times(&program, Path::new(&store))?;
    }
    Ok(())
}

fn times(program: &str, store: &Path) -> Outcome {
    let folder = tempfile::tempdir_in(store.parent().ok_or("a store in a folder")?)?;
    let copy = folder.path().join("store");
    std::fs::copy(store, &copy)?;
    let mut command = Command::new(program);
    command.args(["--today", TODAY, "desk", "--port", "0"]);
    command.env("HOSEWRIGHT_STORE", copy).env("HOSEWRIGHT_KEYS", folder.path().join("keys"));
    let page = Page::served(command);
    let code = first(&page.shown("/hoses"), "/hose/").ok_or("a store with hoses")?;
    let set = first(&page.shown("/sets"), "/set/");
    let short: String = code.chars().take(4).collect();
    let mut screens = vec![
        ("start", "/".to_owned()),
        ("scan", format!("/scan?text={}", escaped(&code))),
        ("answer", format!("/hose/{code}")),
        ("inspection form", format!("/hose/{code}/inspect?kind=full")),
        ("hoses", "/hoses".to_owned()),
        ("hoses that begin so", format!("/hoses?begins={short}")),
        ("sets", "/sets".to_owned()),
        ("swap: which fits", format!("/hose/{code}/swap")),
        ("due", "/owner/due".to_owned()),
        ("order", "/owner/order".to_owned()),
        ("ages", "/owner/ages".to_owned()),
        ("survival", "/owner/survival?by=maker".to_owned()),
        ("recalls", "/owner/recall".to_owned()),
        ("a lot", "/owner/recall?lot=L17".to_owned()),
        ("tags", format!("/tags?codes={code}")),
    ];
    if let Some(set) = set {
        screens.push(("set", format!("/set/{set}")));
        screens.push(("hand-out", format!("/set/{set}/out?scanned={code}")));
    }
    let line = |name: &str, path: &str, written: bool| {
        let mut all = Vec::with_capacity(TIMES);
        let mut statuses = Vec::new();
        for _ in 0..TIMES {
            if written {
                page.done(&format!("/hose/{code}/inspect"), &[("kind", "quick")]);
            }
            let start = Instant::now();
            let status = page.get(path).status;
            all.push(start.elapsed().as_secs_f64() * 1000.0);
            if !statuses.contains(&status) {
                statuses.push(status);
            }
        }
        all.sort_by(f64::total_cmp);
        let at = |n: usize| all.get(n).copied().unwrap_or_default();
        let (median, slow) = (at(TIMES / 2), at(TIMES - 2));
        println!("{}\t{name}\t{statuses:?}\t{median:.1}\t{slow:.1}", store.display());
    };
    for (name, path) in &screens {
        line(name, path, false);
    }
    for (name, path) in screens.iter().filter(|(_, path)| path.starts_with("/owner/")) {
        line(&format!("{name}, after a write"), path, true);
    }
    Ok(())
}

/// The first hose or set that a list leads to.
fn first(text: &str, to: &str) -> Option<String> {
    let href = format!("href=\"{to}");
    let links = text.split(&href).skip(1).filter_map(|rest| rest.split(['"', '/']).next());
    let mut links = links.filter(|name| !name.is_empty());
    links.next().map(ToOwned::to_owned)
}
