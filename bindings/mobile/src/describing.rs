//! Putting a hose on record, and putting right what is written down about it:
//! a form of fields, kept as it was typed.

use hosewright_core::journal;
use hosewright_core::tag::{Code, Payload};
use hosewright_core::words::form::{self as say, HoseField};
use hosewright_core::{FieldEntry as Entry, HoseForm as Form, Logbook as Core, LogbookError};
use serde::{Deserialize, Serialize};

use crate::logbook::stands;
use crate::{Answer, Logbook, Moment, RefusedError, Words};

/// Which hose a form describes.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum HoseSubject {
    /// One that is not on record yet.
    New {
        /// The tag that is on it, as it was scanned or typed; none where the
        /// form asks for it, or a new one is drawn.
        tag: Option<String>,
    },
    /// One that is on record.
    OnRecord {
        /// Whatever names it.
        hose: String,
    },
}

/// How a field is answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum FieldEntry {
    /// By one of its choices.
    Choice,
    /// By `yes`, or by nothing for no.
    YesNo,
    /// By a text.
    Text,
    /// By a text, or by scanning a tag.
    Tag,
    /// By a text, or by scanning a barcode.
    Barcode,
}

/// Something that can be chosen in a field.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FieldChoice {
    /// What fills the field in.
    pub value: String,
    /// The same in words.
    pub words: Words,
    /// Whether it counts now.
    pub chosen: bool,
}

/// A field as it is filled in.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FieldShown {
    /// Its name, for [`Logbook::fill_in_hose`].
    pub name: String,
    /// What it is called.
    pub label: Words,
    /// How it is written, or what it is for, where that is not plain.
    pub hint: Option<Words>,
    /// How it is answered.
    pub entry: FieldEntry,
    /// What can be chosen.
    pub choices: Vec<FieldChoice>,
    /// What stands in it, as it was typed.
    pub value: String,
    /// What is wrong with that.
    pub wrong: Option<Words>,
}

/// The form that describes a hose, as far as it is filled in.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HoseForm {
    /// What stands over it.
    pub title: Words,
    /// What stands beside it, a paragraph each.
    pub lead: Vec<Words>,
    /// The hose's tag, where it has one.
    pub tag: Option<String>,
    /// Its fields, in the order in which they are filled in.
    pub fields: Vec<FieldShown>,
    /// Whether it can be written down as it is.
    pub complete: bool,
    /// What is still missing or wrong, in words.
    pub missing: Option<Words>,
}

/// A hose whose form was written down.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Described {
    /// How it stands now.
    pub answer: Answer,
    /// What was done, and what to do next.
    pub words: Words,
}

/// What is kept of a form.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
struct Draft {
    form: Form,
    /// The tag under which the hose is being registered. Where that is on
    /// record, the phone stopped after the hose was written and before the
    /// draft was forgotten.
    registering: Option<Code>,
}

#[uniffi::export]
impl Logbook {
    /// The form of a hose, with what was filled in before the phone was put
    /// away. A new one's begins with what its tag says, and that of a hose on
    /// record with what is written down.
    ///
    /// # Errors
    /// [`RefusedError::Field`] where the tag is in use already; others where it
    /// is no tag, no hose is found, or the store cannot be read.
    pub fn hose_form(&self, of: HoseSubject, moment: Moment) -> Result<HoseForm, RefusedError> {
        let core = self.core();
        let subject = Subject::find(&core, &of)?;
        let draft = self.begun(&core, &subject)?;
        shown(&core, &subject, &draft.form, &moment.core()?)
    }

    /// Fills one field in. Whatever is typed is kept, also what is wrong, until
    /// the form is written down or dropped.
    ///
    /// # Errors
    /// [`RefusedError`] as for [`Logbook::hose_form`], or where it cannot be
    /// kept.
    pub fn fill_in_hose(
        &self,
        of: HoseSubject,
        field: String,
        value: String,
        moment: Moment,
    ) -> Result<HoseForm, RefusedError> {
        let core = self.core();
        let subject = Subject::find(&core, &of)?;
        let mut draft = self.begun(&core, &subject)?;
        draft.form.fill(field.parse()?, &value);
        self.drafts.keep(&subject.name(), &Some(&draft))?;
        shown(&core, &subject, &draft.form, &moment.core()?)
    }

    /// Writes the form down, and answers for the hose as it stands then.
    ///
    /// # Errors
    /// [`RefusedError::Field`] with the field that is missing or wrong; others
    /// where the store cannot be written. What is filled in stays.
    pub fn finish_hose(&self, of: HoseSubject, moment: Moment) -> Result<Described, RefusedError> {
        let (mut core, now) = (self.core(), moment.core()?);
        let subject = Subject::find(&core, &of)?;
        let mut draft = self.begun(&core, &subject)?;
        let (hose, words) = match &subject {
            Subject::New(scanned) => {
                let own = scanned.as_ref().map(|tag| tag.code);
                let own = own.map_or_else(|| draft.form.tag(), |tag| Ok(Some(tag)))?;
                let hose = self.register(&mut core, &subject, &mut draft, own, &now)?;
                (hose, if own.is_some() { say::REGISTERED_WITH_TAG } else { say::REGISTERED })
            }
            Subject::OnRecord(hose) => {
                let described = draft.form.described(now.today)?;
                let hose = core.describe(*hose, described, draft.form.why()?, &now);
                (hose.map_err(at_the_reason)?, say::DESCRIBED)
            }
        };
        self.drafts.forget(&subject.name());
        Ok(Described { answer: stands(&core, hose, &now)?, words: words.into() })
    }

    /// Drops what is filled in.
    ///
    /// # Errors
    /// [`RefusedError`] where it is no tag, or no hose is found.
    pub fn drop_hose_form(&self, of: HoseSubject) -> Result<(), RefusedError> {
        let subject = Subject::find(&self.core(), &of)?;
        self.drafts.forget(&subject.name());
        Ok(())
    }

    /// Binds a maker's own barcode to a hose as a second tag.
    ///
    /// # Errors
    /// [`RefusedError::Field`] where it is a tag of ours; others where no hose
    /// is found, the barcode leads to another, or the store cannot be written.
    pub fn bind_barcode(
        &self,
        typed: String,
        barcode: String,
        moment: Moment,
    ) -> Result<Answer, RefusedError> {
        let (mut core, now) = (self.core(), moment.core()?);
        let hose = core.find_typed(&typed)?.hose;
        let mut form = Form::default();
        form.fill(HoseField::Barcode, &barcode);
        if let Some(barcode) = form.barcode()? {
            core.bind(hose, barcode, &now)?;
        }
        stands(&core, hose, &now)
    }
}

impl Logbook {
    /// The draft of a form, or one that begins with what is known.
    fn begun(&self, core: &Core, subject: &Subject) -> Result<Draft, RefusedError> {
        let kept: Option<Draft> = self.drafts.find(&subject.name());
        if let Some(draft) = kept {
            return Ok(draft);
        }
        let form = match subject {
            Subject::New(None) => Form::default(),
            Subject::New(Some(tag)) => {
                if on_record(core, tag.code)? {
                    let words = LogbookError::TagInUse(tag.code).to_string();
                    return Err(RefusedError::Field {
                        field: HoseField::Tag.word().to_owned(),
                        words: words.into(),
                    });
                }
                tag.payload.as_ref().map(Form::of_tag).unwrap_or_default()
            }
            Subject::OnRecord(hose) => {
                let record = core.record(*hose)?;
                Form::of(record.specification.as_ref(), &record.origin)
            }
        };
        Ok(Draft { form, registering: None })
    }

    /// Registers a hose once, also where the phone stops in the middle: the
    /// tag is kept before anything is written under it.
    fn register(
        &self,
        core: &mut Core,
        subject: &Subject,
        draft: &mut Draft,
        own: Option<Code>,
        now: &journal::Moment,
    ) -> Result<Code, RefusedError> {
        if let Some(written) = draft.registering
            && on_record(core, written)?
        {
            return Ok(written);
        }
        draft.form.described(now.today)?;
        let drawn = if own.is_none() { core.blank_tags(1)?.first().copied() } else { None };
        let tag = own.or(drawn).ok_or(LogbookError::Nothing("no tag was drawn"))?;
        // A tag that is in use must not look like one that was written just now.
        if !on_record(core, tag)? {
            draft.registering = Some(tag);
            self.drafts.keep(&subject.name(), &Some(&*draft))?;
        }
        Ok(core.register_form(&draft.form, tag, now)?)
    }
}

/// A subject that was looked up.
enum Subject {
    New(Option<Scanned>),
    OnRecord(Code),
}

/// A tag that was scanned, or whose code was typed.
struct Scanned {
    code: Code,
    payload: Option<Payload>,
}

impl Subject {
    fn find(core: &Core, of: &HoseSubject) -> Result<Self, RefusedError> {
        match of {
            HoseSubject::New { tag: None } => Ok(Self::New(None)),
            HoseSubject::New { tag: Some(text) } => {
                let mut form = Form::default();
                form.fill(HoseField::Tag, text);
                let code = form.tag()?;
                let payload = Payload::parse(text).ok();
                Ok(Self::New(code.map(|code| Scanned { code, payload })))
            }
            HoseSubject::OnRecord { hose } => Ok(Self::OnRecord(core.find_typed(hose)?.hose)),
        }
    }

    fn name(&self) -> String {
        match self {
            Self::New(None) => "register".to_owned(),
            Self::New(Some(tag)) => format!("register {}", tag.code),
            Self::OnRecord(hose) => format!("describe {hose}"),
        }
    }

    fn lead(&self) -> Vec<&'static str> {
        let beside = match self {
            Self::New(None) | Self::OnRecord(_) => None,
            Self::New(Some(tag)) => Some(match &tag.payload {
                None => say::TAG_WAS_TYPED,
                Some(Payload { passport: None, .. }) => say::TAG_WAS_BLANK,
                Some(_) => say::TAG_OF_ANOTHER_RECORD,
            }),
        };
        beside.into_iter().chain([say::REGISTER_LEAD]).collect()
    }

    /// Whether a field is asked: a tag that is known is not, a barcode is bound
    /// to a hose on record by itself, and only what is on record is put right.
    const fn asks(&self, field: HoseField) -> bool {
        match self {
            Self::New(None) => !matches!(field, HoseField::Why),
            Self::New(Some(_)) => !matches!(field, HoseField::Tag | HoseField::Why),
            Self::OnRecord(_) => !matches!(field, HoseField::Tag | HoseField::Barcode),
        }
    }
}

/// A reason that is missing is missing in its field.
fn at_the_reason(error: LogbookError) -> RefusedError {
    match error {
        LogbookError::ReasonNeeded(_) => RefusedError::Field {
            field: HoseField::Why.word().to_owned(),
            words: HoseField::Why.missing().into(),
        },
        other => other.into(),
    }
}

fn on_record(core: &Core, tag: Code) -> Result<bool, RefusedError> {
    match core.record(tag) {
        Ok(_) => Ok(true),
        Err(LogbookError::UnknownTag(_)) => Ok(false),
        Err(other) => Err(other.into()),
    }
}

fn shown(
    core: &Core,
    subject: &Subject,
    form: &Form,
    now: &journal::Moment,
) -> Result<HoseForm, RefusedError> {
    let tag = match subject {
        Subject::New(scanned) => scanned.as_ref().map(|tag| tag.code),
        Subject::OnRecord(hose) => Some(core.record(*hose)?.tag()),
    };
    let refused = form.described(now.today).err();
    let refused = refused.or_else(|| {
        let tag = if subject.asks(HoseField::Tag) { form.tag().err() } else { None };
        let barcode = if subject.asks(HoseField::Barcode) { form.barcode().err() } else { None };
        let why = if subject.asks(HoseField::Why) { form.why().err() } else { None };
        tag.or(barcode).or(why)
    });
    let fields = HoseField::ALL.iter().filter(|field| subject.asks(**field));
    let title = if matches!(subject, Subject::New(_)) { say::REGISTER } else { say::DESCRIBE };
    Ok(HoseForm {
        title: title.into(),
        lead: Words::all(subject.lead()),
        tag: tag.map(|tag| tag.to_string()),
        fields: fields.filter_map(|field| field_shown(form, *field, now)).collect(),
        complete: refused.is_none(),
        missing: refused.map(|refused| refused.words.into()),
    })
}

fn field_shown(form: &Form, field: HoseField, now: &journal::Moment) -> Option<FieldShown> {
    let (entry, choices) = match form.entry(field)? {
        Entry::Choice(choices) => (FieldEntry::Choice, choices),
        Entry::YesNo => (FieldEntry::YesNo, Vec::new()),
        Entry::Text => (FieldEntry::Text, Vec::new()),
        Entry::Tag => (FieldEntry::Tag, Vec::new()),
        Entry::Barcode => (FieldEntry::Barcode, Vec::new()),
    };
    let choices = choices.into_iter().map(|choice| FieldChoice {
        value: choice.value,
        words: choice.words.into(),
        chosen: choice.chosen,
    });
    Some(FieldShown {
        name: field.word().to_owned(),
        label: field.label().into(),
        hint: field.hint().map(Into::into),
        entry,
        choices: choices.collect(),
        value: form.typed(field).to_owned(),
        wrong: form.wrong(field, now.today).map(Into::into),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test")]
mod tests {
    use super::*;
    use crate::Place;

    fn moment() -> Moment {
        Moment { today: "2026-06-15".into(), by: "phone".into() }
    }

    /// A phone may stop between the entry and the forgetting of its draft: the
    /// same form is then written down no second time.
    #[test]
    fn a_hose_is_registered_once_however_the_phone_stops() {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
        let book = Logbook::open(Place { store: path("record"), keys: path("keys") }).unwrap();
        let of = || HoseSubject::New { tag: None };
        for (field, value) in
            [("service", "gauge"), ("construction", "rubber"), ("length", "80 cm")]
        {
            book.fill_in_hose(of(), field.into(), value.into(), moment()).unwrap();
        }
        let first = book.finish_hose(of(), moment()).unwrap().answer.code;
        let mut draft = Draft { form: Form::default(), registering: first.parse().ok() };
        for (field, value) in [
            (HoseField::Service, "gauge"),
            (HoseField::Construction, "rubber"),
            (HoseField::Length, "80 cm"),
        ] {
            draft.form.fill(field, value);
        }
        book.drafts.keep("register", &Some(&draft)).unwrap();
        let again = book.finish_hose(of(), moment()).unwrap().answer.code;
        assert_eq!(again, first);
        assert_eq!(book.core().hose_page(None, None, 9).unwrap().len(), 1);
        // And the next form is a new one.
        assert!(!book.hose_form(of(), moment()).unwrap().complete);
    }
}
