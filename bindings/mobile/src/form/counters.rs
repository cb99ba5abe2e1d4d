//! The form by which a phone meets counters in the shop's network: by the symbol that one shows,
//! or those that let it in before.

use hosewright_core::device::{Invitation, InvitationError};
use hosewright_core::view::form::Form;
use hosewright_core::words::counters as say;
use hosewright_core::words::sentence;

use super::shown::FormShown;
use crate::answer::{ActionShown, Goes};
use crate::{Logbook, Moment, RefusedError, Words};

/// The counter that a symbol names.
pub(crate) fn invitation(symbol: &str) -> Result<Invitation, RefusedError> {
    symbol.parse().map_err(|error: InvitationError| RefusedError::Input {
        words: sentence(&error.to_string()).into(),
    })
}

impl Logbook {
    /// What is met, and how it stands: `said` of what was tried without anybody asking.
    pub(crate) fn counters_form(
        &self,
        symbol: Option<&str>,
        said: &[String],
        now: &Moment,
    ) -> Result<FormShown, RefusedError> {
        let (core, today) = (self.core(), now.core()?.today);
        let form = Form { title: say::TITLE.to_owned(), ..Form::default() };
        let shown = FormShown { cautions: Vec::new(), ..FormShown::of(&form) };
        if let Some(symbol) = symbol {
            let invitation = invitation(symbol)?;
            let lead = Words::all(say::asks(&invitation, core.owner()?.is_none()));
            return Ok(FormShown { lead, submit: say::MEET_IT.into(), ..shown });
        }
        let devices = core.devices()?;
        let met = core.met_counters()?;
        let scan = ActionShown { words: say::SCAN_SYMBOL.into(), goes: Goes::Scan };
        let mut lead = vec![say::PHONE_LEAD.to_owned()];
        let meets = self.drafts.meets_counters() && !met.is_empty();
        lead.push(
            match (meets, met.is_empty()) {
                (true, _) => say::PHONE_BY_ITSELF,
                (false, true) => say::PHONE_NONE,
                (false, false) => say::PHONE_OFF,
            }
            .to_owned(),
        );
        lead.extend(met.iter().map(|met| {
            let known = devices.iter().find(|known| known.device == met.device);
            let name = known.and_then(|known| known.name.as_ref());
            sentence(&say::known(&met.device, name, met.met, today))
        }));
        if meets && !said.is_empty() {
            lead.push(say::PHONE_LAST.to_owned());
            lead.extend(said.iter().cloned());
        }
        let submit = if meets { say::MEET_NOW.into() } else { Words::default() };
        Ok(FormShown { lead: Words::all(lead), submit, other: Some(scan), ..shown })
    }
}
