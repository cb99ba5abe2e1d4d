//! What is to be done when a device is gone, or somebody with one: three steps each.

use crate::device::{DeviceId, Role};
use crate::hose::words;
use crate::view::form::{Field, Form, Kind};
use crate::words::lost as say;

words!(
    /// What happened.
    Loss, "loss", {
        /// A phone is lost.
        Phone = "phone",
        /// A laptop, or a counter's computer, is lost or stolen.
        Laptop = "laptop",
        /// Somebody left who had a device.
        Left = "left",
    }
);

impl Loss {
    const fn words(self) -> [&'static str; 5] {
        match self {
            Self::Phone => say::PHONE,
            Self::Laptop => say::LAPTOP,
            Self::Left => say::LEFT,
        }
    }

    /// What it is called.
    #[must_use]
    pub const fn title(self) -> &'static str {
        let [title, ..] = self.words();
        title
    }

    /// What will come of it.
    #[must_use]
    pub const fn lead(self) -> &'static str {
        let [_, lead, ..] = self.words();
        lead
    }

    /// The three steps.
    #[must_use]
    pub const fn steps(self) -> [&'static str; 3] {
        let [.., first, second, third] = self.words();
        [first, second, third]
    }

    /// What is left to do once the device is dismissed.
    #[must_use]
    pub const fn after(self) -> &'static str {
        match self {
            Self::Phone => say::PHONE_AFTER,
            Self::Laptop => say::LAPTOP_AFTER,
            Self::Left => say::LEFT_AFTER,
        }
    }
}

/// A device that may be gone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LostDevice {
    /// The device.
    pub device: DeviceId,
    /// What the owner lets it write; nothing for a stranger.
    pub role: Option<Role>,
    /// It in the list to choose from.
    pub choice: String,
    /// What stands of it and what is missing, a sentence a line.
    pub words: Vec<String>,
}

impl LostDevice {
    /// Whether it can still be dismissed.
    #[must_use]
    pub fn may_write(&self) -> bool {
        self.role != Some(Role::Dismissed)
    }
}

/// The form that dismisses one of some devices. The owner's words are asked for where the
/// owner's key is not on this device.
#[must_use]
pub fn form(loss: Loss, devices: &[LostDevice], key_here: bool) -> Form {
    let devices = devices.iter().filter(|device| device.may_write());
    let choices: Vec<(String, &str)> =
        devices.map(|device| (device.device.to_string(), device.choice.as_str())).collect();
    let choices = choices.iter().map(|(value, label)| (value.as_str(), *label));
    let device = Field::choice("device", say::DEVICE, choices).needed();
    let words = Field::new("words", say::WORDS, Kind::Secret).hint(say::WORDS_HINT).needed();
    let fields = std::iter::once(device).chain((!key_here).then_some(words));
    let form = Form::new(loss.title(), say::DISMISS, fields.collect());
    if key_here { form.lead(say::KEY_HERE) } else { form }
}
