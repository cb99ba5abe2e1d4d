//! The counter page under load: `page_load PROGRAM STORE [SECONDS]` copies the
//! store, serves the copy to other devices, and lets 16 clients that gave the
//! pass phrase ask for its screens, each its next as soon as the last one came.
//! One request in ten writes: a quick inspection, or a set that goes out and
//! comes back with its dives.
//!
//! It prints how many requests there were, how many failed, and how long half of
//! them and 99 of 100 took at most, in milliseconds; what goes through every hose
//! (one read in forty) by itself. Each write is made under a
//! name of its own: in the end every one that was acknowledged has to be in the
//! journal, else it exits with 1.

use std::collections::BTreeSet;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};
use std::time::{Duration, Instant};

use hosewright_tests::page::{Page, Reply, escaped, plain};

const CLIENTS: usize = 16;
const WRITES_IN: usize = 10;
/// The day on which the fleets of the benchmarks are asked about.
const TODAY: &str = "2026-06-15";
const PHRASE: &str = "sea horse under harbour wall";

type Failed = Box<dyn std::error::Error + Send + Sync>;

fn main() -> Result<ExitCode, Failed> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let (program, store, seconds) = match words.as_slice() {
        [program, store] => (program, store, 60),
        [program, store, seconds] => (program, store, seconds.parse()?),
        _ => return Err("page_load PROGRAM STORE [SECONDS]".into()),
    };
    let folder = Path::new(store).parent().ok_or("a store in a folder")?;
    let folder = tempfile::Builder::new().prefix("load-").tempdir_in(folder)?;
    let copy = folder.path().join("store");
    fs::copy(store, &copy)?;
    let told = loaded(&|| command(program, &copy), Duration::from_secs(seconds))?;
    let kept = journal(command(program, &copy))?;
    for (name, mut times) in
        [("read", told.reads), ("whole fleet", told.fleet), ("write", told.writes)]
    {
        times.sort_by(f64::total_cmp);
        let at = |share: usize| times.get((times.len() * share / 100).min(times.len() - 1));
        let (half, most) = (at(50).ok_or("no request")?, at(99).ok_or("no request")?);
        println!("{name}\t{}\tp50 {half:.1} ms\tp99 {most:.1} ms", times.len());
    }
    let lost: Vec<&String> = told.acknowledged.difference(&kept).collect();
    println!(
        "failed\t{}\nstopped by a check\t{}\nacknowledged\t{}\nlost\t{}",
        told.failed.len(),
        told.stopped,
        told.acknowledged.len(),
        lost.len()
    );
    for said in told.failed.iter().chain(lost.iter().copied()).take(20) {
        println!("\t{said}");
    }
    let good = lost.is_empty() && told.failed.is_empty() && !told.acknowledged.is_empty();
    Ok(if good { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn command(program: &str, store: &Path) -> Command {
    let mut command = Command::new(program);
    command.env("HOSEWRIGHT_STORE", store).env("HOSEWRIGHT_KEYS", store.with_extension("keys"));
    command.args(["--today", TODAY]);
    command
}

/// What came of the load.
#[derive(Default)]
struct Told {
    reads: Vec<f64>,
    fleet: Vec<f64>,
    writes: Vec<f64>,
    /// The names under which something was written and acknowledged.
    acknowledged: BTreeSet<String>,
    /// Hand-outs that the record speaks against.
    stopped: usize,
    failed: Vec<String>,
}

fn loaded(command: &dyn Fn() -> Command, time: Duration) -> Result<Told, Failed> {
    let mut chosen = command();
    chosen.args(["desk", "--pass-phrase"]).stdin(Stdio::piped());
    let mut child = chosen.stdout(Stdio::null()).spawn()?;
    child.stdin.take().ok_or("its input")?.write_all(format!("{PHRASE}\n").as_bytes())?;
    child.wait()?;
    let mut served = command();
    served.args(["desk", "--port", "0", "--lan"]);
    let mut page = Page::served(served);
    page.sign_in(PHRASE);
    let hoses = all(&page.shown("/hoses"), "/hose/");
    let sets = all(&page.shown("/sets"), "/set/");
    let token = page.token();
    let (page, hoses, sets, token) = (&page, &hoses, &sets, token.as_str());
    let end = Instant::now() + time;
    let clients: Vec<Told> = std::thread::scope(|scope| {
        let running: Vec<_> = (0..CLIENTS)
            .map(|number| {
                let client = Client { page, hoses, sets, token, number, told: Told::default() };
                scope.spawn(move || client.run(end))
            })
            .collect();
        running.into_iter().filter_map(|client| client.join().ok()).collect()
    });
    if clients.len() < CLIENTS {
        return Err("a client failed".into());
    }
    Ok(clients.into_iter().fold(Told::default(), |mut all, one| {
        all.reads.extend(one.reads);
        all.fleet.extend(one.fleet);
        all.writes.extend(one.writes);
        all.acknowledged.extend(one.acknowledged);
        all.stopped += one.stopped;
        all.failed.extend(one.failed);
        all
    }))
}

struct Client<'p> {
    page: &'p Page,
    hoses: &'p [String],
    sets: &'p [String],
    token: &'p str,
    number: usize,
    told: Told,
}

impl Client<'_> {
    fn run(mut self, end: Instant) -> Told {
        let mut turn = 0;
        while Instant::now() < end {
            if turn % WRITES_IN == self.number % WRITES_IN {
                self.write(turn);
            } else {
                self.read(turn);
            }
            turn += 1;
        }
        self.told
    }

    fn one<'t>(&self, of: &'t [String], turn: usize) -> &'t str {
        of.get((turn * CLIENTS + self.number) % of.len().max(1)).map_or("", String::as_str)
    }

    fn read(&mut self, turn: usize) {
        let hose = self.one(self.hoses, turn);
        // People at sixteen screens do not ask the same at the same moment.
        let kind = (turn + self.number * 5) % 41;
        let path = match kind {
            0 => "/owner/due".to_owned(),
            1 => "/sets".to_owned(),
            2 | 3 => "/hoses".to_owned(),
            4 => format!("/hoses?begins={}", hose.get(..4).unwrap_or_default()),
            5 => format!("/hose/{hose}/care"),
            6 => format!("/tags?codes={hose}"),
            7..=10 => format!("/set/{}", self.one(self.sets, turn)),
            11..=14 => format!("/set/{}/out?scanned={hose}", self.one(self.sets, turn)),
            15..=18 => format!("/hose/{hose}/inspect?kind=full"),
            19..=28 => format!("/scan?text={}", escaped(hose)),
            _ => format!("/hose/{hose}"),
        };
        let start = Instant::now();
        let reply = self.page.get(&path);
        let times = if kind == 0 { &mut self.told.fleet } else { &mut self.told.reads };
        times.push(start.elapsed().as_secs_f64() * 1000.0);
        if !matches!(reply.status, 200 | 303) {
            self.told.failed.push(format!("{path}: {}", reply.status));
        }
    }

    /// Sends a form under a name of its own.
    fn send(&mut self, name: &str, path: &str, fields: &[(&str, &str)]) -> Reply {
        let by = format!("Cookie: hosewright_by={name}");
        let start = Instant::now();
        let reply = self.page.post_with(self.token, path, &[&by], fields);
        self.told.writes.push(start.elapsed().as_secs_f64() * 1000.0);
        match reply.status {
            200 | 303 => drop(self.told.acknowledged.insert(name.to_owned())),
            409 => self.told.stopped += 1,
            status => {
                let said = plain(&reply.text());
                self.told.failed.push(format!("{path}: {status}: {said}"));
            }
        }
        reply
    }

    /// Two inspections in three turns; in the third a set goes out and comes back.
    fn write(&mut self, turn: usize) {
        let name = format!("load-{}-{turn}", self.number);
        if !(turn / WRITES_IN).is_multiple_of(3) {
            let path = format!("/hose/{}/inspect", self.one(self.hoses, turn));
            self.send(&name, &path, &[("kind", "quick"), ("note", &name)]);
            return;
        }
        // Sets of its own, so that what stops it is not another client.
        let own: Vec<String> =
            self.sets.iter().skip(self.number).step_by(CLIENTS).cloned().collect();
        let Some(set) = own.get(turn / WRITES_IN / 3 % own.len().max(1)) else { return };
        let scanned = all(&self.page.get(&format!("/set/{set}")).text(), "/hose/");
        let ticket = format!("{}-{turn}", self.number);
        let fields = scanned.iter().map(|code| ("scanned", code.as_str()));
        let fields: Vec<(&str, &str)> = fields
            .chain([("ticket", ticket.as_str()), ("why", "a load test"), ("name", name.as_str())])
            .collect();
        let out = self.send(&format!("{name}-out"), &format!("/set/{set}/out"), &fields);
        if out.status == 303 {
            // An override is written under the name that it was made with.
            self.told.acknowledged.remove(&format!("{name}-out"));
            self.told.acknowledged.insert(name.clone());
            let here = scanned.iter().flat_map(|code| {
                [(format!("{code}|at"), "here"), (format!("{code}|clear"), "yes")]
            });
            let here: Vec<(String, &str)> = here.collect();
            let back = here.iter().map(|(field, value)| (field.as_str(), *value));
            let back: Vec<(&str, &str)> = back.chain([("dives", "1")]).collect();
            self.send(&format!("{name}-in"), &format!("/set/{set}/in"), &back);
        }
    }
}

/// The names under which this load wrote, as the journal has them.
fn journal(mut command: Command) -> Result<BTreeSet<String>, Failed> {
    let mut child = command.arg("export").stdout(Stdio::piped()).spawn()?;
    let mut names = BTreeSet::new();
    for line in BufReader::new(child.stdout.take().ok_or("its output")?).lines() {
        let line = line?;
        if let Some((_, rest)) = line.split_once("\"by\":\"load-") {
            names.extend(rest.split('"').next().map(|name| format!("load-{name}")));
        }
    }
    if child.wait()?.success() { Ok(names) } else { Err("the export failed".into()) }
}

/// The hoses or sets that a screen leads to.
fn all(text: &str, to: &str) -> Vec<String> {
    let href = format!("href=\"{to}");
    let links = text.split(&href).skip(1).filter_map(|rest| rest.split(['"', '/', '?']).next());
    let mut found: Vec<String> = Vec::new();
    for name in links.filter(|name| !name.is_empty()) {
        if !found.iter().any(|known| known == name) {
            found.push(name.to_owned());
        }
    }
    found
}
