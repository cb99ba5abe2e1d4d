//! An owner's questions about many hoses: what is due, what to order, how old
//! the fleet is, how long hoses last, where those of a lot are.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use rusqlite::Connection;

use super::around::Around;
use super::asking::Page;
use super::checks::{check_day, check_since, not_after_incident, not_out};
use super::moves::removal;
use super::{Logbook, LogbookError, believed};
use crate::answer::Asked;
use crate::event::{Event, RecallOf};
use crate::fleet::{
    Ages, DueList, Gathering, Group, Horizon, Lifetimes, LotReport, LotSearch, Order, Ordering,
    Reminder, recall_of,
};
use crate::hose::{Label, Prose};
use crate::index::{self, Filter};
use crate::journal::{Draft, Moment};
use crate::record::{self, HoseRecord, Meant, Recall, meant};
use crate::tag::Code;

impl Logbook {
    /// Everything that is due up to a day, for every hose that is not out of
    /// service and not at home with its customer, in stock or not.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn due(&self, within: Horizon, moment: &Moment) -> Result<DueList, LogbookError> {
        self.due_page(within, &Filter::default(), &Page::ALL, moment)
    }

    /// The next reminder of what is due; none if nothing is within a year.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn reminder(&self, moment: &Moment) -> Result<Option<Reminder>, LogbookError> {
        Ok(Reminder::of(&self.due(Horizon::YEAR, moment)?, moment.today))
    }

    /// What to buy, by specification, for what has to be replaced up to a day.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn order(&self, within: Horizon, moment: &Moment) -> Result<Order, LogbookError> {
        self.reading(|| {
            let asking = self.asking(moment.today)?;
            let rental = record::any_rental_set(&self.connection)?;
            let mut order = Ordering::new(within, moment.today, rental);
            if !asking.is_settled() {
                let begin = |_: &mut Around<'_>| Ok(order);
                return Ok(self.each_asked(moment.today, begin, Ordering::take)?.settled());
            }
            let mut around = self.around(moment.today)?;
            for hose in self.to_replace(within, &asking)? {
                around.ask_of(hose, |asked| {
                    if asked.record.seat.is_some() {
                        order.take(asked);
                    }
                })?;
            }
            let mut seen = BTreeSet::new();
            for kind in order.wanted() {
                for hose in record::in_stock_alike(&self.connection, &kind)? {
                    if seen.insert(hose) {
                        around.ask_of(hose, |asked| order.take(asked))?;
                    }
                }
            }
            Ok(order.settled())
        })
    }

    /// How old the fleet is.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn ages(&self, moment: &Moment) -> Result<Ages, LogbookError> {
        self.reading(|| {
            if !self.asking(moment.today)?.is_settled() {
                return self.each_asked(moment.today, |_| Ok(Ages::default()), Ages::take);
            }
            let (made, in_service, retired) = index::age_sums(&self.connection)?;
            Ok(Ages::of((&made, &in_service), retired, moment.today))
        })
    }

    /// How long hoses lasted in service, by group.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn survival(&self, by: Option<Group>, moment: &Moment) -> Result<Lifetimes, LogbookError> {
        self.reading(|| {
            let mut all = Gathering::new(by, moment.today);
            if !self.asking(moment.today)?.is_settled() {
                let take = |all: &mut Gathering, asked: &Asked<'_>| {
                    // A customer's hose says nothing about how long the centre's last.
                    if !asked.record.is_customers() {
                        all.take(asked.record);
                    }
                };
                return Ok(self.each_asked(moment.today, |_| Ok(all), take)?.estimated());
            }
            index::lives(&self.connection, |life| all.take_life(&life))?;
            Ok(all.estimated())
        })
    }

    /// Every hose of a lot, and lots of nearly the same spelling.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn lot(
        &self,
        lot: &Label,
        maker: Option<&Label>,
        moment: &Moment,
    ) -> Result<LotReport, LogbookError> {
        self.look_up(RecallOf::lot(lot.clone(), maker.cloned()), moment)
    }

    /// Every hose that a recall of this means or could mean, and lots of nearly the
    /// same spelling.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn look_up(&self, of: RecallOf, moment: &Moment) -> Result<LotReport, LogbookError> {
        self.reading(|| {
            let fleet = record::load_fleet(&self.connection)?;
            let mut search = LotSearch::new(of, &fleet);
            self.search(std::slice::from_mut(&mut search), moment.today)?;
            Ok(search.found())
        })
    }

    /// Every recall, with the hoses that it is about, in the order in which
    /// they were started.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn recalls(&self, moment: &Moment) -> Result<Vec<LotReport>, LogbookError> {
        self.reading(|| {
            let fleet = record::load_fleet(&self.connection)?;
            let believed = fleet.recalls.iter().filter(|recall| !recall.disbelieved);
            let mut searches: Vec<LotSearch> = believed.map(LotSearch::of_recall).collect();
            self.search(&mut searches, moment.today)?;
            Ok(searches.into_iter().map(LotSearch::found).collect())
        })
    }

    /// Goes through the hoses of the lots that are looked for, and no others.
    fn search(&self, searches: &mut [LotSearch], today: NaiveDate) -> Result<(), LogbookError> {
        let needed = |lot: Option<&Label>, maker: Option<&Label>| {
            searches.iter().any(|search| search.needs(lot, maker))
        };
        let near = |lot: &Label| searches.iter().any(|search| search.comes_near(lot));
        let others = record::makers_of_lots(&self.connection, near)?;
        for hose in record::hoses_of_lots(&self.connection, needed)? {
            let record = believed::record_on(&self.connection, hose, today)?;
            let seat = self.seat(&record)?;
            searches.iter_mut().for_each(|search| search.take(&record, seat.as_ref()));
        }
        for (lot, maker, hoses) in &others {
            let near = searches.iter_mut().filter(|search| search.comes_near(lot));
            near.for_each(|search| search.others(lot, maker.as_ref(), *hoses));
        }
        let near = |maker: &Label| searches.iter().any(|search| search.comes_near_maker(maker));
        for (maker, hoses) in record::hoses_of_makers(&self.connection, near)? {
            searches.iter_mut().for_each(|search| search.other_maker(&maker, hoses));
        }
        Ok(())
    }

    /// Records that a hose of a recalled lot was found and set aside; one
    /// that sits in a port is taken off it. The day is that of the finding.
    ///
    /// # Errors
    /// [`LogbookError`] if the lot is not recalled, the hose is not of it,
    /// was found already or is out with its set, or the day is invalid.
    pub fn found_recalled(
        &mut self,
        hose: Code,
        (lot, maker): (&Label, Option<&Label>),
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.found_for(hose, &RecallOf::lot(lot.clone(), maker.cloned()), on, moment)
    }

    /// The same for whatever a recall names.
    ///
    /// # Errors
    /// As [`Logbook::found_recalled`].
    pub fn found_for(
        &mut self,
        hose: Code,
        of: &RecallOf,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        let (_, tag) = self.write(moment, |work, _| {
            let record = believed::record_of(work, hose, moment.today)?;
            check_day(&record, on, moment)?;
            not_after_incident(work, &record, moment)?;
            let recall = recall_for(work, &record, of)?;
            not_out(&record)?;
            let mut drafts = Vec::new();
            if record.slots().next().is_some() {
                check_since(&record, on)?;
                drafts.push(Draft { on, event: removal(&record) });
            }
            let hose = record.hose;
            let event = match recall.of.lot_alone() {
                Some(lot) => Event::SetAside { hose, lot: lot.clone() },
                None => Event::SetAsideFor { hose, answers: [recall.entry] },
            };
            drafts.push(Draft { on, event });
            Ok((drafts, record.tag()))
        })?;
        Ok(tag)
    }

    /// Ends a recall.
    ///
    /// # Errors
    /// [`LogbookError::NotRecalled`] if the lot is under none.
    pub fn end_recall(
        &mut self,
        of: &RecallOf,
        why: Prose,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = moment.today;
        self.write(moment, |work, _| {
            let fleet = record::load_fleet(work)?;
            let recall = recall_of(&fleet, of);
            let recall = recall.ok_or_else(|| LogbookError::NotRecalled(of.to_string()))?;
            let event = Event::RecallEnded { why, answers: [recall.entry] };
            Ok((vec![Draft { on, event }], ()))
        })?;
        Ok(())
    }

    /// Checks a hose off: the owner found that a recall does not mean it. Setting
    /// it aside is no check-off.
    ///
    /// # Errors
    /// [`LogbookError`] if the lot is under no recall, or the recall is known
    /// not to mean the hose.
    pub fn check_off(
        &mut self,
        hose: Code,
        of: &RecallOf,
        why: Prose,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, None, moment, |record, work| {
            let fleet = record::load_fleet(work)?;
            let recall = recall_of(&fleet, of);
            let recall = recall.ok_or_else(|| LogbookError::NotRecalled(of.to_string()))?;
            if recall.means(&record.origin, &record.alternatives) == Meant::No {
                let (hose, of) = (record.tag(), of.to_string());
                return Err(LogbookError::NotOfLot { hose, of, own: None });
            }
            Ok(Event::CheckedOff { hose: record.hose, why, answers: [recall.entry] })
        })
    }
}

/// The recall that a hose is to be found for.
fn recall_for(
    work: &Connection,
    record: &HoseRecord,
    of: &RecallOf,
) -> Result<Recall, LogbookError> {
    let fleet = record::load_fleet(work)?;
    if recall_of(&fleet, of).is_none() {
        return Err(LogbookError::NotRecalled(of.to_string()));
    }
    let hose = record.tag();
    let origin = &record.origin;
    let means = |r: &&Recall| {
        meant(of, origin, &record.alternatives) > Meant::No
            && r.means(origin, &record.alternatives) > Meant::No
    };
    // The recall that is named, where it means the hose; else any that does.
    let named = recall_of(&fleet, of).filter(means);
    let recall = named.or_else(|| fleet.recalls.iter().find(means)).ok_or_else(|| {
        let of_maker = origin.maker.as_ref().map(|maker| format!(" of {maker}"));
        let own =
            origin.lot.as_ref().map(|own| format!("lot {own}{}", of_maker.unwrap_or_default()));
        LogbookError::NotOfLot { hose, of: of.to_string(), own }
    })?;
    let same = |aside: &Label| {
        recall.of.lot_alone().is_some_and(|lot| record::folded(aside) == record::folded(lot))
    };
    if record.set_aside.iter().any(same) || record.set_aside_for.contains(&recall.entry) {
        return Err(LogbookError::FoundAlready { hose, of: recall.of.to_string() });
    }
    Ok(recall.clone())
}

#[cfg(test)]
mod tests;
