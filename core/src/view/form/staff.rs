//! The forms about people who work here: who they are, their PIN, and that they left.

use super::{Choice, Field, FieldRefused, Filled, Form, Kind};
use crate::device::DeviceId;
use crate::hose::Label;
use crate::staff::{Deed, Person, Staffing};
use crate::words::staff as say;

/// The field of the PIN, in whatever form it is asked for.
pub const PIN: &str = "pin";

const NAME: &str = "name";
const MAY: &str = "may";
const CARRIES: &str = "carries";

/// The form for a person; `devices` are those that one may carry, with their names.
#[must_use]
pub fn draw(filled: &Filled, devices: &[(DeviceId, String)], new: bool) -> Form {
    let may = Deed::ALL.iter().map(|deed| Choice::new(deed.word(), say::choice(*deed)));
    let carries = devices.iter().map(|(device, name)| Choice::new(device.to_string(), name));
    let fields = [
        Field::text(NAME, say::NAME).hint(say::NAME_HINT).needed(),
        Field::new(MAY, say::MAY, Kind::Many(may.collect())),
        Field::new(CARRIES, say::CARRIES, Kind::Many(carries.collect())),
    ];
    let fields = fields.into_iter().filter(|field| field.name != CARRIES || !devices.is_empty());
    let (title, go) = if new { (say::NEW, say::NEW) } else { ("", say::CHANGE) };
    Form::new(title, go, fields.collect()).filled(filled)
}

/// The form for a person who is on record.
#[must_use]
pub fn on_record(person: &Person) -> Filled {
    let mut filled = Filled::default();
    filled.set(NAME, person.name.as_str());
    person.may.iter().for_each(|deed| filled.add(MAY, deed.word()));
    person.carries.iter().for_each(|device| filled.add(CARRIES, &device.to_string()));
    filled
}

/// What the form says.
///
/// # Errors
/// [`FieldRefused`] with what is missing or wrong.
pub fn read(filled: &Filled) -> Result<Staffing, FieldRefused> {
    let name = Label::new("a name", filled.get(NAME)).map_err(|e| FieldRefused::new(NAME, e))?;
    let may = filled.all(MAY).map(|word| word.parse().map_err(|e| FieldRefused::new(MAY, e)));
    let carries =
        filled.all(CARRIES).map(|number| number.parse().map_err(|e| FieldRefused::new(CARRIES, e)));
    let (may, carries) = (may.collect::<Result<_, _>>()?, carries.collect::<Result<_, _>>()?);
    Ok(Staffing { name, may, carries })
}

/// The form that chooses a PIN.
#[must_use]
pub fn pin(has_one: bool) -> Form {
    let field = Field::new("new_pin", say::PIN, Kind::Secret).hint(say::PIN_HINT).needed();
    let form = Form::new(say::PIN_TITLE, say::PIN_GO, vec![field]).lead(say::PIN_LEAD);
    if has_one { form.lead(say::PIN_IS_CHOSEN) } else { form }
}

/// The form that takes a PIN away.
#[must_use]
pub fn no_pin() -> Form {
    Form::new(say::PIN_FORGET, say::PIN_FORGET, Vec::new())
}

/// The form that says that somebody left.
#[must_use]
pub fn leaves() -> Form {
    Form::new("", say::LEAVES, Vec::new())
}

/// Who says yes to what the writer may not do by themselves, or by their name alone:
/// those who may, and the PIN.
#[must_use]
pub fn who_says_yes(who: &[Label], writer: &Label) -> Form {
    let each = who.iter().map(|name| Choice::new(name.as_str(), name.as_str())).collect();
    let (who, pin) = match who {
        [only] => (Field::fixed(AS, only), say::pin_of(only)),
        _ => {
            let one = Field::new(AS, say::WHO_SAYS_YES, Kind::Choice(each));
            (one.value(writer.as_str()).needed(), say::PIN.to_owned())
        }
    };
    let pin = Field::new(PIN, pin, Kind::Secret).hint(say::PIN_IF_ANY);
    Form::new(say::WHO_SAYS_YES, say::SAYS_YES, vec![who, Field { goes_on: true, ..pin }])
}

/// The field of who says yes.
pub const AS: &str = "as_person";
