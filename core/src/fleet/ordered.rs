//! What an order says: what to buy, for which hoses, and what is in stock instead.

use chrono::NaiveDate;
use serde::Serialize;

use crate::hose::{Construction, Fitting, Label, Service};
use crate::measure::HoseLength;
use crate::tag::Code;
use crate::words::order_message::Because;

/// A hose that has to be replaced.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToReplace {
    /// The tag that it carries.
    pub code: Code,
    /// The shop's own number for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<Label>,
    /// Where it is, in words.
    pub place: String,
    /// Every reason, in words.
    pub why: Vec<String>,
    /// The same in a word, for people outside.
    #[serde(skip)]
    pub because: Because,
    /// The first day on which it may no longer be dived, or has not been.
    pub by: Option<NaiveDate>,
}

/// A hose in stock that can take a place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StockHose {
    /// The tag that it carries.
    pub code: Code,
    /// The hose whose place it can take.
    pub replaces: Code,
    /// How it differs from that one.
    pub differences: Vec<String>,
}

/// A hose in stock that would do but for something that can be put right.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeldInStock {
    /// The tag that it carries.
    pub code: Code,
    /// What holds it, in words.
    pub words: String,
}

/// One specification, and how many of it are needed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OrderLine {
    /// What it does.
    pub service: Service,
    /// How it is built.
    pub construction: Construction,
    /// How long it is.
    pub length: HoseLength,
    /// The end at the first stage.
    pub end_a: Fitting,
    /// The far end.
    pub end_b: Fitting,
    /// Whether it has to be cleaned for oxygen.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub oxygen: bool,
    /// The same in words.
    pub words: String,
    /// How many are needed.
    pub need: usize,
    /// How many of those the stock gives.
    pub in_stock: usize,
    /// How many are to be bought.
    pub to_buy: usize,
    /// The hoses that have to be replaced, the soonest first.
    pub hoses: Vec<ToReplace>,
    /// The hoses in stock that can take their places.
    pub stock: Vec<StockHose>,
    /// Hoses in stock with the same ends that would do once put right. They are
    /// not counted; where two lines have the same ends, they are in both.
    pub held: Vec<HeldInStock>,
}

/// What to buy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Order {
    /// The day up to which hoses are looked at.
    pub until: NaiveDate,
    /// What is needed, by service, construction, length and ends.
    pub lines: Vec<OrderLine>,
    /// How many are to be bought in all.
    pub to_buy: usize,
    /// Hoses to be replaced of which nobody has said what they are: they can
    /// not be ordered until someone has.
    pub undescribed: Vec<ToReplace>,
}

impl OrderLine {
    /// What the stock gives and what it could give, in words; one sentence each.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let stock = self.stock.iter().map(|stock| {
            let how = if stock.differences.is_empty() {
                "the same length and construction".to_owned()
            } else {
                stock.differences.join("; ")
            };
            format!("{} can take the place of {}: {how}.", stock.code, stock.replaces)
        });
        let held = self.held.iter().map(|held| {
            format!(
                "{} in stock has the same ends and is held, so it is not counted: {}",
                held.code, held.words
            )
        });
        stock.chain(held).collect()
    }
}

impl Order {
    /// What is said of hoses that cannot be ordered.
    #[must_use]
    pub fn undescribed_in_words(&self) -> Option<String> {
        let codes: Vec<String> =
            self.undescribed.iter().map(|hose| hose.code.to_string()).collect();
        (!codes.is_empty()).then(|| {
            format!(
                "The kind of hose {} is not known, so nothing can be ordered for it.",
                codes.join(", ")
            )
        })
    }
}
