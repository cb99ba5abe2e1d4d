//! The form that says where a hose goes: into a port of a set, or to stock.

use super::{FormRefused, Logbook, LogbookError};
use crate::hose::Label;
use crate::journal::{Moment, StoreError};
use crate::tag::Code;
use crate::view::form::care::{self, Placing};
use crate::view::form::{ANSWER, Choice, FieldRefused, Filled, Form};
use crate::words::form as say;

/// So many sets are offered.
const SETS: u32 = 200;

impl Logbook {
    /// What it begins with: a hose moves within its own set, or goes into any.
    pub(super) fn begin_place(&self, hose: Code) -> Result<Filled, LogbookError> {
        let mut filled = Filled::default();
        if let Some(slot) = self.record(hose)?.seat {
            filled.set("set", &slot.set.to_string());
            self.choose_port(hose, &mut filled)?;
        }
        Ok(filled)
    }

    /// Chooses the best port of the set that is chosen; another can be chosen instead.
    pub(super) fn choose_port(&self, hose: Code, filled: &mut Filled) -> Result<(), LogbookError> {
        let set = filled.label("set", "the name of a set").ok().flatten();
        let ports = set.map(|set| self.suggest_ports(hose, &set)).transpose()?.unwrap_or_default();
        filled.set("port", &ports.first().map(ToString::to_string).unwrap_or_default());
        Ok(())
    }

    /// It, with the ports of the chosen set that take the hose, the best first.
    pub(super) fn place_form(
        &self,
        hose: Code,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Form, LogbookError> {
        let answer = self.answer_of(hose, moment)?;
        let own = self.record(hose)?.seat.map(|slot| slot.set);
        let chosen = match own {
            Some(set) => Some(Label::from(set)),
            None => filled.label("set", "the name of a set").ok().flatten(),
        };
        let (chosen, ports) = match chosen.map(|set| self.set(&set)).transpose()? {
            Some(set) => (Some(set.name), self.suggest_ports(hose, &Label::from(set.id))?),
            None => (None, Vec::new()),
        };
        let sets = match own {
            Some(_) => Vec::new(),
            None => self.sets_to_choose()?,
        };
        let of = Placing { sets, chosen: chosen.as_ref(), fitted: own.is_some(), ports: &ports };
        Ok(care::place(of, &answer.place.words).filled(filled).about(&answer))
    }

    fn sets_to_choose(&self) -> Result<Vec<Choice>, StoreError> {
        let sets = self.set_page("", "", SETS)?.into_iter();
        Ok(sets.map(|set| Choice::new(set.id.to_string(), set.name.to_string())).collect())
    }

    /// Puts it there.
    pub(super) fn submit_place(
        &mut self,
        hose: Code,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Code, FormRefused> {
        let on = filled.day("on")?;
        if filled.get(ANSWER) == care::TO_STOCK {
            return Ok(self.remove(hose, on, moment)?);
        }
        let missing = |_| FieldRefused::new("set", crate::words::care::NO_SET);
        let set = filled.needed_label("set", "the name of a set").map_err(missing)?;
        Ok(self.fit(hose, &set, filled.needed("port", say::NO_PORT)?, on, moment)?)
    }
}

#[cfg(test)]
#[path = "place_forms_tests.rs"]
mod tests;
