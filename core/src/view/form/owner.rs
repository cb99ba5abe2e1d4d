//! The owner's forms: recalls, devices, what is not believed, and sets that are one,
//! gone or at home. What they say, their handlers read field by field.

use super::care::why;
use super::rental::TICKET;
use super::{Field, Form, Kind};
use crate::device::{DeviceId, Role};
use crate::event::RecallOf;
use crate::hose::Label;
use crate::record::SetRecord;
use crate::words::form::{NEW_TAG, NEW_TAG_HINT};
use crate::words::inspection::{OPTIONAL, TICKET_HINT};
use crate::words::notices::RECALL_HOLDS;
use crate::words::screens::{RECALL_CHECK_OFF_LEAD, SET_JOIN_LEAD};
use crate::words::{calendar, meeting, owner as say};

/// The form that starts a recall.
#[must_use]
pub fn recall(of: &RecallOf) -> Form {
    of_recall(of, (say::RECALL, say::RECALL), vec![why()]).lead(RECALL_HOLDS)
}

/// The form that says that a recalled hose was found and set aside.
#[must_use]
pub fn found(of: &RecallOf, code: &str) -> Form {
    of_recall(of, ("", say::RECALL_FOUND), vec![Field::fixed("code", code)])
}

/// The form for a hose that a recall does not mean.
#[must_use]
pub fn check_off(of: &RecallOf) -> Form {
    let fields = vec![Field::text("code", say::CODE).needed(), why()];
    let form = of_recall(of, (say::RECALL_CHECK_OFF, say::RECALL_CHECK_OFF_GO), fields);
    form.lead(RECALL_CHECK_OFF_LEAD)
}

/// The form that ends a recall.
#[must_use]
pub fn end_recall(of: &RecallOf) -> Form {
    of_recall(of, (say::RECALL_END, say::RECALL_END), vec![why()])
}

fn of_recall(of: &RecallOf, (title, submit): (&str, &str), fields: Vec<Field>) -> Form {
    let named = recalled(of).into_iter().map(|(name, text)| Field::fixed(name, text));
    Form::new(title, submit, named.chain(fields).collect())
}

/// What a recall names, as fields of its forms.
#[must_use]
pub fn recalled(of: &RecallOf) -> Vec<(&'static str, String)> {
    let RecallOf { lot, maker, model, made } = of;
    let text = |label: &Option<Label>| label.as_ref().map(ToString::to_string);
    let made = made.map(|made| made.to_string());
    let all = [("lot", text(lot)), ("maker", text(maker)), ("model", text(model)), ("made", made)];
    all.into_iter().filter_map(|(name, text)| Some((name, text?))).collect()
}

/// The form that believes a device's unsigned entries.
#[must_use]
pub fn admit(device: &DeviceId) -> Form {
    of_device(device, say::ADMIT, Vec::new()).lead(say::ADMIT_LEAD)
}

/// The form that dismisses a device's entries that are not believed.
#[must_use]
pub fn dismiss(device: &DeviceId) -> Form {
    of_device(device, say::DISMISS, vec![why()]).lead(say::DISMISS_LEAD)
}

/// The form that declares a device's missing entries lost.
#[must_use]
pub fn lost(device: &DeviceId) -> Form {
    of_device(device, say::LOST, vec![why()]).lead(say::LOST_LEAD)
}

fn of_device(device: &DeviceId, title: &str, fields: Vec<Field>) -> Form {
    let fields = [Field::fixed("device", device)].into_iter().chain(fields);
    Form::new(title, title, fields.collect())
}

/// The form for what a device may record.
#[must_use]
pub fn permissions(device: &str) -> Form {
    let roles = [Role::Read, Role::Bench, Role::Owner, Role::Dismissed];
    let roles = roles.map(|role| (role.word(), meeting::role(Some(role))));
    let fields = vec![
        Field::text("device", say::DEVICE).value(device).needed(),
        Field::choice("role", say::DEVICE_MAY, roles).needed(),
        Field::text("name", say::DEVICE_NAME).hint(OPTIONAL),
        Field::tick("from_the_start", say::FROM_START),
    ];
    Form::new(say::PERMISSIONS, say::PERMISSIONS_GO, fields).lead(meeting::OWNERS_WORD)
}

/// The form that begins a fleet.
#[must_use]
pub fn found_fleet() -> Form {
    Form::new(say::FOUND, say::FOUND_GO, Vec::new()).lead(meeting::FOUNDING)
}

/// The form that joins a fleet.
#[must_use]
pub fn join_fleet() -> Form {
    Form::new(say::JOIN, say::JOIN_GO, vec![Field::text("fleet", say::FLEET).needed()])
}

/// The form that replaces the owner's key.
#[must_use]
pub fn replace_key() -> Form {
    let words = Field::new("words", say::REPLACE_WORDS, Kind::Secret).needed();
    let since = Field::new("since", say::REPLACE_SINCE, Kind::Date).hint(say::REPLACE_SINCE_HINT);
    Form::new(say::REPLACE, say::REPLACE_GO, vec![words, since]).lead(say::REPLACE_LEAD)
}

/// The form that asks for the pass phrase of the owner's key.
#[must_use]
pub fn pass_phrase(name: &str) -> Form {
    let field = Field::new(name, say::KEY_PASS, Kind::Secret).needed();
    Form::new(say::KEY_PASS_TITLE, say::KEY_PASS_GO, vec![field])
}

/// The form that puts the owner's key under a pass phrase.
#[must_use]
pub fn seal_key() -> Form {
    let field = Field::new("pass", say::SEAL_PASS, Kind::Secret).hint(say::SEAL_HINT).needed();
    Form::new(say::SEAL, say::SEAL_GO, vec![field]).lead(say::SEAL_LEAD)
}

/// The form that takes another fleet in.
#[must_use]
pub fn take_in() -> Form {
    let fleet = Field::text("fleet", say::FLEET).needed();
    Form::new(say::TAKE_IN, say::TAKE_IN_GO, vec![fleet]).lead(say::TAKE_IN_LEAD)
}

/// The form with which a fleet follows another.
#[must_use]
pub fn follow() -> Form {
    let fleet = Field::text("fleet", say::FLEET).needed();
    Form::new(say::FOLLOW, say::FOLLOW_GO, vec![fleet]).lead(say::FOLLOW_LEAD)
}

/// The form that checks the words of the owner's key.
#[must_use]
pub fn key() -> Form {
    let words = Field::new("words", say::RECOVER_WORDS, Kind::Secret).needed();
    Form::new(say::KEY, say::KEY_GO, vec![words]).lead(say::KEY_LEAD)
}

/// The form that brings the owner's key to this device.
#[must_use]
pub fn recover() -> Form {
    let words = Field::new("words", say::RECOVER_WORDS, Kind::Secret).needed();
    Form::new(say::RECOVER, say::RECOVER_GO, vec![words])
}

/// The form that makes a calendar's address, the first or another.
#[must_use]
pub fn calendar_address(has_one: bool) -> Form {
    if has_one {
        return Form::new(calendar::NEW, calendar::NEW, Vec::new()).lead(calendar::NEW_LEAD);
    }
    Form::new(calendar::TITLE, calendar::ON_GO, Vec::new()).lead(calendar::OFF)
}

/// The form that ends it.
#[must_use]
pub fn end_calendar() -> Form {
    Form::new(calendar::END, calendar::END, Vec::new()).lead(calendar::END_LEAD)
}

/// The form that sends a customer's hose or set home.
#[must_use]
pub fn send_home() -> Form {
    Form::new(say::SEND_HOME, say::SEND_HOME, Vec::new())
}

/// The form that takes it in again, under a new ticket.
#[must_use]
pub fn come_in() -> Form {
    let ticket = Field::text(TICKET, say::NEW_TICKET).hint(TICKET_HINT).needed();
    Form::new(say::COME_IN, say::COME_IN, vec![ticket])
}

/// The form that says that a set and another are one.
#[must_use]
pub fn join_sets(other: &str) -> Form {
    let other = Field::text("other", say::SET_JOIN_OTHER).value(other).needed();
    Form::new(say::SET_JOIN, say::SET_JOIN_GO, vec![other, why()]).lead(SET_JOIN_LEAD)
}

/// The form that dissolves a set.
#[must_use]
pub fn dissolve() -> Form {
    let form = Form::new(say::SET_DISSOLVE, say::SET_DISSOLVE, vec![why()]);
    form.lead(say::SET_DISSOLVE_LEAD)
}

/// The form that gives a set a new tag.
#[must_use]
pub fn tag_set(set: &SetRecord) -> Form {
    let field = Field::new("tag", NEW_TAG, Kind::Tag).hint(NEW_TAG_HINT);
    let own = set.tag().map(|tag| format!("{} {tag}", say::SET_TAG_OWN));
    let lead = own.unwrap_or_else(|| say::SET_TAG_NONE.to_owned());
    Form::new(say::SET_TAG, say::SET_TAG, vec![field]).lead(lead)
}
