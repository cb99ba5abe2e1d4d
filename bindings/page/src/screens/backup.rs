//! A backup with one press, and a record brought back from one.

use hosewright_core::hose::Label;
use hosewright_core::view::BackupState;
use hosewright_core::view::form::{Field, Kind};
use hosewright_core::words::backup as say;
use hosewright_core::{Restored, Restoring};
use http::header::CACHE_CONTROL;
use maud::{Markup, html};

use super::bringing::nameless;
use crate::frame::Screen;
use crate::labels as l;
use crate::response::Shown;
use crate::state::State;

/// How the backups stand, with the button that makes one.
pub fn drawn(state: &State<'_>, backup: &BackupState) -> Markup {
    html! {
        section.card #backup {
            h2 { (say::TITLE) }
            @for line in &backup.words { p { (line) } }
            (state.form("/backup").drawn(html! { p { button.main type="submit" { (say::BACKUP) } } }))
            p.hint { (say::WHAT) }
        }
    }
}

/// Makes a backup, and notes that it was made.
pub fn download(state: &State<'_>) -> Shown {
    let name = format!("backup-{}.hwbundle", state.request.moment.today);
    let made = state.read(|logbook, moment| {
        state.file("application/octet-stream", ("attachment", &name), |out| {
            Ok(logbook.backup(out, moment, |_| ()).map(drop)?)
        })
    })?;
    state.write(|logbook, moment| Ok(logbook.backed_up(moment)?))?;
    Ok(made.header(CACHE_CONTROL, "no-store"))
}

/// The form that brings a record back.
pub fn form(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let words = Field::new("words", say::WORDS, Kind::Secret).hint(say::WORDS_HINT);
    let name = Field::text("name", say::NAME);
    let form = state.form("/restore").with_files();
    let body = html! {
        h1 { (say::RESTORE) }
        p.lead { (say::RESTORE_LEAD) " " (say::RESTORE_STEPS) }
        section.card {
            (form.drawn(html! {
                (form.field(&words))
                (form.field(&name))
                (form.tick("dismiss", say::DISMISS, false))
                p.field {
                    label for="file" { (say::FILE) }
                    input type="file" id="file" name="file" accept=".hwbundle" required;
                }
                p { button.main type="submit" { (say::RESTORE_GO) } }
            }))
        }
    };
    Ok(Screen::new(say::RESTORE, body).shown(state).header(CACHE_CONTROL, "no-store"))
}

/// Brings it back, and says what may be missing.
pub fn restore(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let (file, fields) = (state.upload()?, &state.request.form);
    let name: Option<Label> = fields.label("name", "a name")?;
    let restoring =
        Restoring { words: fields.get("words"), name, dismiss: fields.ticked("dismiss") };
    let restored = state.write(|logbook, moment| {
        logbook.restore(&**file, &restoring, moment, |_, _| ()).map_err(nameless)
    })?;
    Ok(Screen::new(say::RESTORED, came(&restored)).shown(state))
}

fn came(restored: &Restored) -> Markup {
    html! {
        h1 { (say::RESTORED) }
        @for line in &restored.words { p { (line) } }
        section.card {
            h2 { (say::MISSING) }
            ul.list { @for line in &restored.missing { li { (line) } } }
            p { (say::MISSING_LEAD) }
            p { a.button href="/owner/record" { (say::MISSING_GO) } }
        }
        p.under {
            a.button.main href="/" { (l::DOOR_TODAY) }
            a.button href="/owner/devices" { (l::DEVICES_TITLE) }
        }
    }
}
