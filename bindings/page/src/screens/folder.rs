//! Meeting in a folder that this computer sees: on a stick, or one that a program keeps alike on
//! several computers. Done at the desk's own computer: it names files there.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use hosewright_core::device::DeviceId;
use hosewright_core::journal::{HowFar, Writer};
use hosewright_core::view::form::{Field, Kind};
use hosewright_core::words::{meeting as say, sentence};
use hosewright_core::{Logbook, LogbookError, make_folder};
use maud::{Markup, html};

use super::bringing;
use crate::fields::query;
use crate::frame::Screen;
use crate::labels as l;
use crate::meeting::{Meeting, Met, Said, Work};
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;

const HERE: &str = "/owner/meet/folder";
const FIELD: &str = "folder";

/// Whether it can be done here.
fn is_here(state: &State<'_>) -> bool {
    state.host.serves() && state.at_the_desk().is_ok() && !state.request.demo
}

/// The form, where it can be done.
pub fn form(state: &State<'_>) -> Markup {
    let form = state.form(HERE);
    let field = Field::new(FIELD, l::FOLDER, Kind::Text).hint(l::FOLDER_HINT);
    html! {
        @if is_here(state) {
            section.card #folder {
                h2 { (l::FOLDER_TITLE) }
                p { (l::FOLDER_LEAD) }
                (form.drawn(html! { (form.field(&field)) p { button.main type="submit" { (l::FOLDER_GO) } } }))
            }
        }
    }
}

/// The folder that was named: whole, since nobody at a page knows where a program runs.
fn named(state: &State<'_>, text: &str) -> Result<PathBuf, Refusal> {
    if !state.host.serves() {
        return Err(Refusal::NoPage);
    }
    state.at_the_desk()?;
    if state.request.demo {
        return Err(Refusal::at(FIELD, l::FOLDER_DEMO));
    }
    let folder = Path::new(text.trim());
    if !folder.is_absolute() {
        return Err(Refusal::at(FIELD, l::FOLDER_WHOLE));
    }
    Ok(folder.to_owned())
}

/// What the system says of a folder stands beside the field.
fn of_folder(error: LogbookError) -> Refusal {
    match error {
        LogbookError::Io { .. } | LogbookError::File(_) => Refusal::at(FIELD, error),
        other => other.into(),
    }
}

/// Meets; if somebody wrote there who is not believed, that is shown first.
pub fn begin(state: &State<'_>) -> Shown {
    let text = state.request.form.get(FIELD);
    let folder = named(state, text)?;
    make_folder(&folder).map_err(of_folder)?;
    state.read(|logbook, _| logbook.left_in(&folder).map_err(of_folder))?;
    let (asks, today) = (format!("{HERE}?{}", query([(FIELD, text)])), state.request.moment.today);
    let work: Work = Box::new(move |logbook, meeting| {
        let writers =
            writers(logbook, &folder, |done, all| meeting.tell(HowFar::TakenIn(done, all)))?;
        if writers.iter().any(Writer::brings_doubt) {
            return Ok(Met::Asks(asks));
        }
        met(logbook, meeting, (&folder, &BTreeSet::new()), today)
    });
    state.begun(state.host.begin(Meeting::new(l::FOLDER_MET, HERE, (FIELD, text)), work))
}

/// Each writer once, in whatever files; what cannot be read is said when it is to be taken in.
fn writers(
    logbook: &Logbook,
    folder: &Path,
    mut progress: impl FnMut(u64, u64),
) -> Result<Vec<Writer>, Refusal> {
    let mut all = Vec::new();
    for file in logbook.left_in(folder).map_err(of_folder)? {
        match logbook.writers_in(&file, &mut progress) {
            Ok(writers) => all.extend(writers),
            Err(LogbookError::Store(error)) => return Err(error.into()),
            Err(_) => {}
        }
    }
    Ok(all)
}

/// Who wrote in the files there.
pub fn shown(state: &State<'_>) -> Shown {
    let Some(text) = state.request.query.given(FIELD) else { return Ok(redirect("/owner/meet")) };
    let folder = named(state, text)?;
    let writers = state.read(|logbook, _| writers(logbook, &folder, |_, _| ()))?;
    let form = state.form("/owner/meet/folder/take");
    let mut asked = BTreeSet::new();
    let doubtful = writers.iter().filter(|writer| writer.brings_doubt());
    let doubtful = doubtful.filter(|writer| asked.insert(writer.device));
    let body = html! {
        h1 { (l::BRING_TITLE) }
        p.result { (say::NOT_BELIEVED_HERE) " " b { (l::PLAN_NOTHING) } }
        (form.drawn(html! {
            input type="hidden" name=(FIELD) value=(text);
            (bringing::left_out(&form, doubtful))
            p { button.main type="submit" { (l::FOLDER_GO) } }
        }))
        p { a.button href="/owner/meet" { (l::MEET_BACK) } }
    };
    Ok(Screen::new(l::BRING_TITLE, body).shown(state))
}

/// Meets, once the writers were shown, without some of them.
pub fn take(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let folder = named(state, fields.get(FIELD))?;
    let without: Result<BTreeSet<DeviceId>, String> =
        fields.all("without").iter().map(|device| device.parse()).collect();
    let without = without.map_err(|why| Refusal::at("without", why))?;
    let (text, today) = (fields.get(FIELD), state.request.moment.today);
    let work: Work =
        Box::new(move |logbook, meeting| met(logbook, meeting, (&folder, &without), today));
    state.begun(state.host.begin(Meeting::new(l::FOLDER_MET, HERE, (FIELD, text)), work))
}

/// Meets, and says what came of each file.
fn met(
    logbook: &mut Logbook,
    meeting: &Meeting,
    (folder, without): (&Path, &BTreeSet<DeviceId>),
    today: NaiveDate,
) -> Result<Met, Refusal> {
    let progress = |done, all| meeting.tell(HowFar::TakenIn(done, all));
    let report = logbook.meet_in_without(folder, without, today, progress).map_err(of_folder)?;
    let name = |path: &Path| path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    for (path, merged) in &report.files {
        let came = merged.as_ref().map(say::merge_at_the_counter).map_err(|why| sentence(why));
        meeting.say(Said { of: name(path), came });
    }
    let nobody = report.files.is_empty().then(|| l::FOLDER_NOBODY.to_owned());
    let left = format!("{} {}.", l::FOLDER_LEFT, name(&report.own));
    meeting.say(Said::all(nobody.into_iter().chain([left]).collect()));
    Ok(Met::Done)
}
