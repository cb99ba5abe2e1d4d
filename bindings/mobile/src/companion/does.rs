//! What each touch does that is no form's.

use std::fs;
use std::path::{Path, PathBuf};

use hosewright_core::device::Invitation;
use hosewright_core::file::Source;
use hosewright_core::journal::Stop;
use hosewright_core::words::{meeting, sight};

use super::film::by_sight;
use super::page::{Asked, Brought, Page, State};
use super::shown::{Follows, HoseShown, Question};
use super::touch::{PageOf, Touch, Wanted};
use super::trouble::Near;
use crate::form::counters;
use crate::hoses::{HosesAsked, PART};
use crate::{
    Answer, ChipHolds, FilmOf, FormOf, RefusedError, Words, all_labels, chip_content, phone,
    salvage_lead,
};

impl Page {
    /// Does what a touch does; refused, it changed nothing.
    pub(super) fn does(
        &self,
        state: &mut State,
        touch: Touch,
        today: &str,
    ) -> Result<(), RefusedError> {
        match touch {
            Touch::Look => {
                self.sight().look();
                self.look(state, today)?;
            }
            Touch::Seen { texts } if self.ticks().is_some() => self.tick(state, &texts, today)?,
            Touch::Typed { text } if self.ticks().is_some() => self.tick(state, &[text], today)?,
            Touch::Seen { texts } => {
                let of = texts.first().filter(|_| texts.len() == 1).cloned();
                self.scanned(state, of, |book, now| book.answer_seen(texts, now), today)?;
            }
            Touch::Typed { text } => {
                let typed = text.clone();
                self.scanned(state, Some(text), |book, now| book.answer(typed, now), today)?;
            }
            Touch::ChipRead { message } => {
                let content = chip_content(message);
                let Some(text) = content.text.filter(|_| content.holds == ChipHolds::Tag) else {
                    return Err(RefusedError::Chip { words: content.words });
                };
                let texts = vec![text.clone()];
                if self.ticks().is_some() {
                    return self.tick(state, &texts, today);
                }
                self.scanned(state, Some(text), |book, now| book.answer_seen(texts, now), today)?;
            }
            Touch::Within { time } => {
                state.within = time;
                self.due(state, today)?;
            }
            Touch::Find { text } => {
                state.listed = HosesAsked { text: text.trim().to_owned(), ..HosesAsked::default() };
                self.list(state, today)?;
            }
            Touch::OfVerdict { verdict } => {
                state.listed = HosesAsked { verdict, ..HosesAsked::default() };
                self.list(state, today)?;
            }
            Touch::More { shown } => {
                state.listed.most = shown.saturating_add(PART);
                self.list(state, today)?;
            }
            Touch::DrawTag { format, size, dpi } => {
                let PageOf::Hose { text } = &self.of else { return Ok(()) };
                let code = state.shown.hose.as_ref().map(|hose| hose.answer.code.clone());
                let code = code.unwrap_or_else(|| text.clone());
                let drawn = self.record.book()?.tag_picture(code, format, size, dpi)?;
                state.shown.tag = Some(drawn);
            }
            Touch::Bundle { path } => {
                let words = self.record.book()?.bundle_out(path.clone())?;
                state.shown.said = vec![words.into()];
                state.follows = Some(Follows::Share { path });
            }
            Touch::TakeIn { path } => self.ask_about(state, Brought::File(path))?,
            Touch::Pace { pace } => self.goes_at(state, &pace)?,
            Touch::KeepFilm => self.keep_half()?,
            Touch::FilmSeen => self.film_seen(state)?,
            Touch::WatchOn => self.watch_on(state),
            Touch::ForgetFilms => self.forget_half(state)?,
            Touch::Begin => {
                let saved = self.record.salvage(self.progress.clone())?;
                state.shown.said = saved.words.clone();
                state.shown.salvaged = Some(saved);
            }
            Touch::ChipNear { room, held } => self.chip_near(state, room, held, today)?,
            Touch::ChipWritten => state.shown.awaits_chip = false,
            Touch::AnotherChip => {
                (state.agreed, state.shown.awaits_chip) = (None, true);
                state.shown.said.clear();
            }
            touch => self.fills_in(state, touch, today)?,
        }
        Ok(())
    }

    /// Shows what there is now.
    pub(super) fn look(&self, state: &mut State, today: &str) -> Result<(), RefusedError> {
        let now = self.record.moment(today);
        match &self.of {
            PageOf::Scan { wanted } => {
                if *wanted == Wanted::Answer {
                    let book = self.record.book()?;
                    state.shown.welcome = book.welcome()?;
                    state.shown.sharing = book.closing(&now)?;
                    state.shown.reminding = Some(book.reminding(&now)?);
                }
            }
            PageOf::Hose { text } => {
                let book = self.record.book()?;
                let answer = book.answer(text.clone(), now)?;
                let known = |answer: &Answer| answer.on_record.then(|| answer.code.clone());
                let (history, photographs) = match known(&answer) {
                    Some(code) => (book.history(code.clone())?, book.photographs(code)?),
                    None => (Vec::new(), Vec::new()),
                };
                let aloud = self.record.speaks();
                state.shown.hose = Some(HoseShown { answer, history, photographs, aloud });
            }
            PageOf::Form { .. } if state.shown.done.is_some() => {}
            PageOf::Form { of: FormOf::Counters { symbol } } => {
                let (book, said) = (self.record.book()?, self.met_by_itself());
                state.shown.form = Some(book.counters_form(symbol.as_deref(), &said, &now)?);
            }
            PageOf::Form { of } => {
                let book = self.record.book()?;
                let form = book.form(of.clone(), now.clone())?;
                self.shows(state, form);
                // What is scanned first is scanned without a touch; once.
                let first = !std::mem::replace(&mut state.looked, true);
                if first && book.ticks_first(of, &now)? {
                    state.follows = Some(Follows::Ticks { of: of.clone() });
                }
            }
            PageOf::Ticks { of } => {
                state.shown.ticks = Some(self.record.book()?.ticks(of, &now)?);
            }
            PageOf::Hoses => self.list(state, today)?,
            PageOf::Stock { old } => {
                state.shown.stock = Some(self.record.book()?.stock(old, &now)?)
            }
            PageOf::Sets => state.shown.sets = Some(self.record.book()?.sets(now)?),
            PageOf::Set { name } => {
                let book = self.record.book()?;
                state.shown.set_tag = None;
                // A tag of a set names it as well; of one without a record here it is all
                // that is known.
                let name = match book.set_of_tag(name, &now)? {
                    Ok(name) => name,
                    Err(tag) => {
                        state.shown.set_tag = Some(*tag);
                        return Ok(());
                    }
                };
                state.shown.set = Some(book.set(name.clone(), now.clone())?);
                state.shown.picture = Some(book.set_picture(name, now)?);
            }
            PageOf::Due => self.due(state, today)?,
            PageOf::Meeting => {
                state.shown.set_aside = self.record.set_aside();
                // A damaged record is set right from here as well.
                let sharing = self.record.book().and_then(|book| book.sharing(&now));
                state.shown.sharing = sharing.ok();
                state.shown.by_sight = by_sight();
            }
            PageOf::Show { film, calm } => self.show(state, film, *calm, &now)?,
            PageOf::Watch => self.watch(state)?,
            PageOf::Salvage if state.shown.salvaged.is_none() => {
                state.shown.said = vec![salvage_lead().into()];
            }
            PageOf::Salvage | PageOf::Chip { .. } => {}
        }
        Ok(())
    }

    fn list(&self, state: &mut State, today: &str) -> Result<(), RefusedError> {
        if self.of == PageOf::Hoses {
            let now = self.record.moment(today);
            state.shown.hoses = Some(self.record.book()?.hoses(&state.listed, &now)?);
        }
        Ok(())
    }

    fn due(&self, state: &mut State, today: &str) -> Result<(), RefusedError> {
        let now = self.record.moment(today);
        state.shown.due = Some(self.record.book()?.due(state.within.clone(), now)?);
        Ok(())
    }

    /// Something was scanned or typed; `text` is what is written there, if it is one.
    fn scanned(
        &self,
        state: &mut State,
        text: Option<String>,
        ask: impl FnOnce(&crate::Logbook, crate::Moment) -> Result<Answer, RefusedError>,
        today: &str,
    ) -> Result<(), RefusedError> {
        let wanted = if let PageOf::Scan { wanted } = self.of { wanted } else { Wanted::Answer };
        if wanted == Wanted::Text {
            let several =
                || RefusedError::NotOneTag { words: phone::SEVERAL.into(), tags: Vec::new() };
            let text = text.ok_or_else(several)?;
            state.follows = Some(Follows::Found { text });
            return Ok(());
        }
        if let (Wanted::Answer, Some(text)) = (wanted, &text)
            && Invitation::is_meant(text)
        {
            counters::invitation(text)?;
            let of = FormOf::Counters { symbol: Some(text.trim().to_owned()) };
            state.follows = Some(Follows::Form { of });
            return Ok(());
        }
        let (book, now) = (self.record.book()?, self.record.moment(today));
        if let (Wanted::Answer, Some(text)) = (wanted, &text)
            && book.set_answer(text.clone(), now.clone())?.is_some()
        {
            state.follows = Some(Follows::Set { name: text.clone() });
            return Ok(());
        }
        let answer = ask(&book, now)?;
        state.follows = Some(match wanted {
            Wanted::Hose if !answer.on_record => {
                let (words, tag) = (answer.meaning, Some(answer.code));
                return Err(RefusedError::UnknownHose { words, near: Vec::new(), tag });
            }
            Wanted::Hose => Follows::Found { text: answer.code },
            // A tag without a record here is known by its text alone.
            Wanted::Answer | Wanted::Text => {
                let known = answer.on_record || text.is_none();
                let text = text.filter(|_| !known).unwrap_or(answer.code);
                Follows::Hose { text, said: Words::default(), aloud: true }
            }
        });
        Ok(())
    }

    /// Says whose it is and how much is in it, and asks.
    pub(super) fn ask_about(
        &self,
        state: &mut State,
        brought: Brought,
    ) -> Result<(), RefusedError> {
        state.shown.said.clear();
        let bundle = self.bundle(&brought)?;
        let book = self.record.book()?;
        let Some(words) = book.brings(&*bundle, self.progress.as_ref(), &self.begin())? else {
            // Which entries another device has brings nothing, and needs no yes.
            self.take_in(state, &brought)?;
            state.shown.said = vec![sight::HELD_SEEN.into()];
            return Ok(());
        };
        let labels = all_labels();
        let question = Question { words, field: None, yes: labels.take_in, no: labels.leave_it };
        state.ask(Asked::TakeIn(brought), question);
        Ok(())
    }

    /// Takes it in, and says what came of it; the device that wrote it can be shown the rest.
    pub(super) fn take_in(&self, state: &mut State, brought: &Brought) -> Result<(), RefusedError> {
        let book = self.record.book()?;
        let bundle = self.bundle(brought)?;
        let merged = book.merge_in(&*bundle, self.progress.clone(), &self.begin())?;
        state.put_away();
        state.shown.said = merged.words;
        state.shown.lacks = Some(FilmOf::Rest { has: book.held(&*bundle)? });
        match brought {
            // A copy of this app's own, made to be read here.
            Brought::File(path) => drop(fs::remove_file(Path::new(path))),
            Brought::Film => self.film_came_in(state, merged.new)?,
        }
        Ok(())
    }

    fn bundle(&self, brought: &Brought) -> Result<Box<dyn Source>, RefusedError> {
        Ok(match brought {
            Brought::File(path) => Box::new(PathBuf::from(path)),
            Brought::Film => Box::new(self.watching().bundle()?),
        })
    }

    fn chip_near(
        &self,
        state: &mut State,
        room: u32,
        held: Vec<u8>,
        today: &str,
    ) -> Result<(), RefusedError> {
        let PageOf::Chip { code } = &self.of else { return Ok(()) };
        if !state.shown.awaits_chip {
            return Ok(());
        }
        let agreed = state.agreed.as_ref() == Some(&held);
        let now = self.record.moment(today);
        let book = self.record.book()?;
        match book.chip_message(code.clone(), room, held.clone(), agreed, now) {
            Ok(message) => {
                state.put_away();
                state.shown.said = vec![message.words];
                state.follows = Some(Follows::WriteChip { bytes: message.bytes });
            }
            Err(RefusedError::ChipHoldsAnother { words }) => {
                let labels = all_labels();
                let (yes, no) = (labels.overwrite, labels.leave_it);
                let question = Question { words: vec![words], field: None, yes, no };
                state.ask(Asked::Overwrite(held), question);
            }
            Err(other) => return Err(other),
        }
        Ok(())
    }

    /// Hoses to choose from are called by their own numbers.
    pub(super) fn name_near(&self, state: &mut State, today: &str) {
        let Some(trouble) = &mut state.shown.trouble else { return };
        let Ok(book) = self.record.book() else { return };
        for Near { code, words } in &mut trouble.near {
            if let Ok(answer) = book.answer(code.clone(), self.record.moment(today)) {
                *words = answer.named;
            }
        }
    }
}

impl crate::Logbook {
    /// Whose a bundle is and how much is in it, a sentence a line; nothing is taken in. None
    /// if it only says what its device has.
    fn brings(
        &self,
        bundle: &dyn Source,
        progress: Option<&std::sync::Arc<dyn crate::ProgressListener>>,
        stop: &Stop,
    ) -> Result<Option<Vec<Words>>, RefusedError> {
        let mut core = self.core();
        let header = core.bundle_header(bundle)?;
        core.obey(stop)?;
        let writers = core.writers_in(bundle, |done, all| {
            if let Some(progress) = progress {
                progress.told(done, all, phone::merging(done, all));
            }
        });
        core.obey(&Stop::default())?;
        let writers = writers?;
        if writers.is_empty() {
            return Ok(None);
        }
        let mut said = vec![phone::brings(header.entries, header.made)];
        said.extend(writers.iter().map(meeting::writer));
        if writers.iter().any(|writer| !writer.not_believed.is_empty()) {
            said.push(meeting::NOT_BELIEVED_HERE.to_owned());
        }
        Ok(Some(Words::all(said)))
    }
}
