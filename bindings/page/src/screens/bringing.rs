//! What another device wrote, brought in. If someone wrote in it who is not
//! believed here, that is shown first, and can be left out.

use std::collections::BTreeSet;
use std::io::{BufRead, Read};
use std::sync::Arc;

use chrono::NaiveDate;
use hosewright_core::device::DeviceId;
use hosewright_core::file::InMemory;
use hosewright_core::journal::{HowFar, MergeReport, Viewer, Writer};
use hosewright_core::words::{meeting, sight};
use hosewright_core::{Logbook, LogbookError};
use maud::{Markup, html};

use super::network::at_the_door;
use super::show;
use crate::fields::query;
use crate::form::Form;
use crate::frame::Screen;
use crate::host::{Upload, Waiting};
use crate::labels as l;
use crate::meeting::{Meeting, Met, Said, Work};
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;

/// The most bytes of an export, which is read at once.
const MOST_LINES: u64 = 64 * 1024 * 1024;
/// The most lines of a kind that are shown.
const SHOWN: usize = 200;

/// A bundle of more entries is taken in beside its page: these take some seconds.
const MANY: u64 = 5_000;
/// Where a file is chosen.
pub const RECORD: &str = "/owner/record";

/// What PNG and JPEG pictures begin with.
const PICTURES: [&[u8]; 2] = [b"\x89PN", b"\xFF\xD8\xFF"];

/// What a file is, by its content.
enum Sent {
    Bundle,
    /// A picture of a film.
    Picture,
    Lines(Box<dyn BufRead>),
}

impl Sent {
    fn of(file: &dyn Upload) -> Result<Self, Refusal> {
        let mut lines = file.open()?;
        let start = lines.fill_buf()?;
        let bare = start.strip_prefix("\u{feff}".as_bytes()).unwrap_or(start);
        match bare.iter().find(|byte| !byte.is_ascii_whitespace()) {
            None => Err(Refusal::at("file", "the file is empty; nothing to take in")),
            Some(b'{') if file.length()? > MOST_LINES => {
                Err(Refusal::TooLarge("64 MB of lines; send a bundle"))
            }
            Some(b'{') => Ok(Self::Lines(lines)),
            Some(_) if PICTURES.iter().any(|begins| start.starts_with(begins)) => Ok(Self::Picture),
            Some(_) => Ok(Self::Bundle),
        }
    }
}

/// What came of entries that were sent.
struct Came {
    merge: MergeReport,
    refused: Vec<(usize, String)>,
}

/// Takes in what another device wrote: all that is good in a bundle; all of an
/// export, or its good lines. If it would bring what is not believed, its
/// writers are shown first.
pub fn entries(state: &State<'_>) -> Shown {
    let (file, partial) = (state.upload()?, state.request.form.ticked("partial"));
    match Sent::of(&**file)? {
        Sent::Picture => brought(state, &filmed(&**file)?, partial),
        _ => brought(state, file, partial),
    }
}

/// The bundle that a picture has as a film.
fn filmed(picture: &dyn Upload) -> Result<Arc<dyn Upload>, Refusal> {
    let mut bytes = Vec::new();
    picture.open()?.read_to_end(&mut bytes)?;
    let mut viewer = Viewer::new();
    let bundle = viewer.see_picture(&bytes).and_then(|()| viewer.bundle("the film"));
    Ok(Arc::new(bundle.map_err(|why| Refusal::at("file", why))?))
}

/// The same of a file, wherever it comes from.
pub fn brought(state: &State<'_>, file: &Arc<dyn Upload>, partial: bool) -> Shown {
    if is_long(state, &**file) {
        let key = state.host.keep(Waiting::Entries, file.clone())?;
        let asks = format!("/owner/record/entries?{}", query([("file", key.as_str())]));
        return begun(state, file, Some(asks), BTreeSet::new());
    }
    let writers = state.read(|logbook, _| writers(logbook, &**file))?;
    if writers.iter().any(Writer::brings_doubt) {
        let key = state.host.keep(Waiting::Entries, file.clone())?;
        let partial = partial.then_some(("partial", "yes"));
        let asked = [("file", key.as_str())].into_iter().chain(partial);
        return Ok(redirect(&format!("/owner/record/entries?{}", query(asked))));
    }
    came(state, &**file, partial, &BTreeSet::new())
}

/// Who wrote in a file that waits for a yes.
pub fn shown(state: &State<'_>) -> Shown {
    let Some(key) = state.request.query.given("file") else {
        return Ok(redirect("/owner/record"));
    };
    let file = state.host.kept(Waiting::Entries, key)?;
    let writers = state.read(|logbook, _| writers(logbook, &*file))?;
    let (doubtful, others): (Vec<_>, Vec<_>) =
        writers.iter().partition(|writer| writer.brings_doubt());
    let body = html! {
        h1 { (l::BRING_TITLE) }
        p.result { (meeting::NOT_BELIEVED_HERE) " " b { (l::PLAN_NOTHING) } }
        @let form = state.form("/owner/record/entries/take");
        (form.drawn(html! {
            input type="hidden" name="file" value=(key);
            @if state.request.query.ticked("partial") { input type="hidden" name="partial" value="yes"; }
            (left_out(&form, doubtful))
            @if !others.is_empty() {
                h2 { (l::BRING_OTHERS) }
                ul.list { @for writer in others.iter().take(SHOWN) { li { (meeting::writer(writer)) } } }
            }
            p { button.main type="submit" { (l::RECORD_ENTRIES_GO) } }
        }))
        p { a.button href="/owner/record" { (l::RECORD_BACK) } }
    };
    Ok(Screen::new(l::BRING_TITLE, body).shown(state))
}

/// Takes in a file whose writers were shown, without some of them.
pub fn take(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let key = fields.get("file");
    let file = state.host.kept(Waiting::Entries, key)?;
    let without: Result<BTreeSet<DeviceId>, String> =
        fields.all("without").iter().map(|device| device.parse()).collect();
    let without = without.map_err(|why| Refusal::at("without", why))?;
    if is_long(state, &*file) {
        return begun(state, &file, None, without);
    }
    let shown = came(state, &*file, fields.ticked("partial"), &without)?;
    state.host.done(Waiting::Entries, key);
    Ok(shown)
}

/// The writers that are not believed, each to be left out.
pub fn left_out<'w>(form: &Form<'_>, doubtful: impl IntoIterator<Item = &'w Writer>) -> Markup {
    html! {
        fieldset {
            legend { (l::BRING_LEAVE_OUT) }
            @for writer in doubtful {
                label.pick {
                    @let device = writer.device.to_string();
                    input type="checkbox" name="without" value=(device)
                        checked[form.is_chosen("without", &device, false)];
                    span { (meeting::writer(writer)) }
                }
            }
        }
    }
}

fn came(
    state: &State<'_>,
    file: &dyn Upload,
    partial: bool,
    without: &BTreeSet<DeviceId>,
) -> Shown {
    let came =
        state.write(|logbook, moment| taken_in(logbook, file, partial, without, moment.today))?;
    let shown = came.refused.iter().take(SHOWN);
    let back = back_to_it(state, file)?;
    let body = html! {
        h1 { (l::RECORD_CAME) }
        ul.list { @for line in meeting::merge_at_the_counter(&came.merge) { li { (line) } } }
        @if !came.refused.is_empty() {
            h2 { (l::RECORD_NOT_TAKEN) " (" (came.merge.refused) ")" }
            ul.list { @for (line, why) in shown { li { b { (l::RECORD_LINE) " " (line) } " " (why) } } }
        }
        (back)
        p.under { a.button href="/owner/meet" { (l::MEET_BACK) } a.button href="/hoses" { (l::HOSES_TITLE) } }
    };
    Ok(Screen::new(l::RECORD_CAME, body).shown(state))
}

/// Whether a file takes so long that it goes on beside its page, where that can be: it is a bundle
/// of many entries.
fn is_long(state: &State<'_>, file: &dyn Upload) -> bool {
    at_the_door(state).is_ok()
        && matches!(Sent::of(file), Ok(Sent::Bundle))
        && state
            .read(|logbook, _| Ok(logbook.bundle_header(file)?.entries))
            .is_ok_and(|entries| entries > MANY)
}

/// Takes in a file beside its page; where there is a screen that asks about writers that are not
/// believed, they are looked for first.
fn begun(
    state: &State<'_>,
    file: &Arc<dyn Upload>,
    asks: Option<String>,
    without: BTreeSet<DeviceId>,
) -> Shown {
    let holdings = holdings_of(state, &**file)?;
    let (file, today) = (file.clone(), state.request.moment.today);
    let work: Work = Box::new(move |logbook, meeting| {
        let mut progress = |done, all| meeting.tell(HowFar::TakenIn(done, all));
        if let Some(asks) = asks {
            let writers = logbook.writers_in(&*file, &mut progress).map_err(nameless)?;
            if writers.iter().any(Writer::brings_doubt) {
                return Ok(Met::Asks(asks));
            }
        }
        let merged = logbook.merge_without(&*file, &without, today, progress).map_err(nameless)?;
        meeting.say(Said::all(meeting::merge_at_the_counter(&merged)));
        Ok(Met::Done)
    });
    let meeting = Meeting::new(l::RECORD_CAME, RECORD, ("", "")).shows(holdings);
    state.begun(state.host.begin(meeting, work))
}

/// The way back to the device that made a bundle: a film of what it lacks.
fn back_to_it(state: &State<'_>, file: &dyn Upload) -> Result<Markup, Refusal> {
    let holdings = holdings_of(state, file)?;
    Ok(html! {
        @if let Some(key) = holdings {
            (show::button(state, &[("since", &key)], sight::SHOW_REST, true))
        }
    })
}

/// The key of what the device has that made a bundle.
fn holdings_of(state: &State<'_>, file: &dyn Upload) -> Result<Option<String>, Refusal> {
    let header = state.read(|logbook, _| Ok(logbook.bundle_header(file).ok()))?;
    let Some(header) = header else { return Ok(None) };
    let mut holdings = Vec::new();
    header.write(&mut holdings)?;
    let holdings = Arc::new(InMemory::new("what it has", holdings));
    state.host.keep(Waiting::Holdings, holdings).map(Some)
}

fn writers(logbook: &Logbook, file: &dyn Upload) -> Result<Vec<Writer>, Refusal> {
    match Sent::of(file)? {
        Sent::Lines(mut lines) => Ok(logbook.writers_in_lines(&mut *lines)?),
        _ => logbook.writers_in(file, |_, _| ()).map_err(nameless),
    }
}

fn taken_in(
    logbook: &mut Logbook,
    file: &dyn Upload,
    partial: bool,
    without: &BTreeSet<DeviceId>,
    today: NaiveDate,
) -> Result<Came, Refusal> {
    match Sent::of(file)? {
        Sent::Lines(mut lines) => {
            let report =
                logbook.import_lines_without(&mut *lines, partial, without, today, |_, _| ())?;
            match report.refused.first() {
                Some((line, why)) if !partial => {
                    let first = match report.merge.refused {
                        1 => String::new(),
                        n => format!(", the first of {n},"),
                    };
                    let words = format!("line {line} of the export{first} is refused: {why}");
                    Err(Refusal::at("file", words))
                }
                _ => {
                    // Each stands below with its line.
                    let merge = MergeReport { refusals: Vec::new(), ..report.merge };
                    Ok(Came { merge, refused: report.refused })
                }
            }
        }
        _ => {
            let merge = logbook.merge_without(file, without, today, |_, _| ()).map_err(nameless)?;
            Ok(Came { merge, refused: Vec::new() })
        }
    }
}

/// What is wrong with a bundle, without its file's name here, which means nothing
/// to who sent it.
pub fn nameless(error: LogbookError) -> Refusal {
    match error {
        LogbookError::Bundle { source, .. } => Refusal::at("file", source),
        error => error.into(),
    }
}
