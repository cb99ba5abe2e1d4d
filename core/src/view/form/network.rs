//! The forms of a shop's network: the door to it, and the devices that come in.

use super::{Field, Form, Kind};
use crate::device::{DeviceId, Role};
use crate::words::inspection::OPTIONAL;
use crate::words::{counters as say, meeting, owner};

/// The form that opens the door; `chosen`: there is a pass phrase already.
#[must_use]
pub fn open(chosen: bool) -> Form {
    let hint = if chosen { say::PASS_PHRASE_KEPT } else { say::PASS_PHRASE_HINT };
    let field = Field::new("pass", say::PASS_PHRASE, Kind::Secret).hint(hint);
    Form::new(say::OPEN_TITLE, say::OPEN_GO, vec![field]).lead(say::CLOSED)
}

/// The form that closes it.
#[must_use]
pub fn close() -> Form {
    Form::new(say::CLOSE, say::CLOSE, Vec::new()).lead(say::CLOSE_LEAD)
}

/// The form that shows a symbol for one device; `admits`: the owner's key is here, so that the
/// device is admitted by it.
#[must_use]
pub fn let_in(admits: bool) -> Form {
    let roles = [Role::Bench, Role::Read, Role::Owner];
    let roles = roles.map(|role| (role.word(), meeting::role(Some(role))));
    let mut fields = Vec::new();
    if admits {
        fields.push(
            Field::choice("role", owner::DEVICE_MAY, roles).value(Role::Bench.word()).needed(),
        );
        fields.push(Field::text("name", owner::DEVICE_NAME).hint(OPTIONAL));
    }
    Form::new(say::LET_IN, say::LET_IN_GO, fields)
}

/// The form that calls a counter or a server.
#[must_use]
pub fn call() -> Form {
    let place = Field::text("place", say::PLACE).hint(say::PLACE_HINT);
    let word = Field::new("word", say::PASS_WORD, Kind::Secret);
    Form::new(say::CALL, say::CALL_GO, vec![place, word]).lead(say::CALL_LEAD)
}

/// The form that ends a symbol.
#[must_use]
pub fn end_symbol() -> Form {
    Form::new("", say::END_SYMBOL, Vec::new())
}

/// The form that lets a device in no longer.
#[must_use]
pub fn forget(device: &DeviceId) -> Form {
    Form::new("", say::FORGET, vec![Field::fixed("device", device)])
}
