//! The record in and out: a shop's own list, what other devices wrote, and the
//! whole of it as a file.

use std::sync::Arc;

use hosewright_core::spreadsheet::template;
use maud::html;

use super::bringing::nameless;
use crate::frame::Screen;
use crate::host::Upload;
use crate::labels as l;
use crate::response::Shown;
use crate::state::State;

/// What can be taken in, and away.
pub fn show(state: &State<'_>) -> Shown {
    let upload = |to: &str, accept: &str, id: &str, partial: bool, go: &str| {
        html! {
            @let form = state.form(to).with_files();
            (form.drawn(html! {
                @if partial { (form.tick("partial", l::RECORD_PARTIAL, false)) }
                p.field {
                    label for=(id) { (l::RECORD_FILE) }
                    input type="file" id=(id) name="file" accept=(accept) required;
                }
                p { button.main type="submit" { (go) } }
            }))
        }
    };
    let body = html! {
        h1 { (l::RECORD_TITLE) }
        section.card {
            h2 { (l::RECORD_LIST) }
            p { (l::RECORD_LIST_LEAD) }
            (upload("/owner/record/list", ".csv,.txt,.tsv,text/csv,text/plain", "list", false, l::RECORD_LIST_GO))
            p { (l::RECORD_TEMPLATE_LEAD) }
            p { a.button href="/owner/record/template.csv" { (l::RECORD_TEMPLATE) } }
        }
        section.card {
            h2 { (l::RECORD_ENTRIES) }
            p { (l::RECORD_ENTRIES_LEAD) }
            (upload("/owner/record/entries", ".hwbundle,.jsonl,.png,.jpg", "entries", true, l::RECORD_ENTRIES_GO))
        }
        section.card {
            h2 { (l::RECORD_OUT) }
            p { (l::RECORD_OUT_LEAD) }
            p.under {
                a.button href="/owner/record/bundle.hwbundle" { (l::RECORD_BUNDLE) }
                a.button href="/owner/record/export.jsonl" { (l::RECORD_EXPORT) }
            }
            p { (l::RECORD_SINCE_LEAD) }
            (upload("/owner/record/since", ".hwbundle", "since", false, l::RECORD_SINCE_GO))
        }
    };
    Ok(Screen::new(l::RECORD_TITLE, body).shown(state))
}

/// The whole journal as lines.
pub fn export(state: &State<'_>) -> Shown {
    state.read(|logbook, _| {
        state.file("application/jsonl", ("attachment", "record.jsonl"), |out| {
            Ok(logbook.export(out, |_, _| ()).map(drop)?)
        })
    })
}

/// The whole journal as a bundle for another device.
pub fn bundle(state: &State<'_>) -> Shown {
    bundled(state, "record.hwbundle", None)
}

/// A bundle without what the maker of the one that was sent has.
pub fn since(state: &State<'_>) -> Shown {
    bundled(state, "answer.hwbundle", Some(state.upload()?))
}

fn bundled(state: &State<'_>, name: &str, since: Option<&Arc<dyn Upload>>) -> Shown {
    state.read(|logbook, moment| {
        let since = since.map(|file| logbook.bundle_header(&**file).map_err(nameless));
        let since = since.transpose()?;
        state.file("application/octet-stream", ("attachment", name), |out| {
            Ok(logbook.bundle(out, since.as_ref(), moment.today, |_| ()).map(drop)?)
        })
    })
}

/// A list to fill in.
pub fn template_csv(state: &State<'_>) -> Shown {
    state.file("text/csv; charset=utf-8", ("attachment", "hoses.csv"), |out| {
        Ok(out.write_all(template().as_bytes())?)
    })
}
