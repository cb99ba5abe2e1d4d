//! An owner's lists: `order`, `ages`, `survival`.

use clap::Args;
use hosewright_core::fleet::survival::{LEAST_HOSES, SURVIVAL_NOTE};
use hosewright_core::fleet::{
    AgeProfile, Ages as AgesOfFleet, Group, GroupLifetimes, Horizon, Lifetimes, Order as Ordered,
};
use hosewright_core::hose::Service;
use hosewright_core::words::counted;
use hosewright_core::words::notices::NONE_IN_SERVICE;
use hosewright_core::words::order_message;
use hosewright_core::words::screens::nothing_to_replace;
use hosewright_core::words::survival as say;

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::csv::{self, Csv};
use crate::show::numbered;
use crate::show::table;
use crate::show::table::Column::{Text, Whole};
use crate::terminal::Screen;
use crate::values;

/// What to buy.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright order --within 1y\n  hosewright order --csv > order.csv\n  \
    hosewright order --message > order.txt\n\n\
    Needed is a hose for each port whose hose reaches its limit, is over its dives, recalled or\n\
    retired by a finding. A hose that was retired has left its port and is not counted. Good hoses\n\
    in stock with the same service and both threads are set against it."
)]
pub struct Order {
    /// How far ahead to look, as 90d, 2w, 6m or 1y [default: 90d]
    #[arg(long, value_name = "TIME", default_value_t, hide_default_value = true)]
    within: Horizon,
    /// Print what to buy as a message to a supplier
    #[arg(long, conflicts_with_all = ["json", "csv"])]
    message: bool,
    #[command(flatten)]
    csv: Csv,
}

impl Order {
    /// Shows a row a specification, and the hoses behind it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let order = desk.open_to_read()?.order(self.within, &desk.moment)?;
        if self.message {
            let text = order.message(desk.moment.today);
            desk.out.text(text.as_deref().unwrap_or(order_message::NOTHING).trim_end())?;
        } else if desk.json {
            desk.json(&order)?;
        } else if self.csv.csv {
            order_csv(desk, &order)?;
        } else {
            order_shown(desk, &order)?;
        }
        Ok(Status::Done)
    }
}

fn order_csv(desk: &mut Desk, order: &Ordered) -> Result<(), Failure> {
    let head =
        ["buy", "need", "in stock", "service", "construction", "length", "end a", "end b", "for"];
    let rows = order.lines.iter().map(|line| {
        let codes: Vec<String> = line.hoses.iter().map(|hose| hose.code.to_string()).collect();
        [
            line.to_buy.to_string(),
            line.need.to_string(),
            line.in_stock.to_string(),
            line.service.to_string(),
            line.construction.to_string(),
            line.length.to_string(),
            line.end_a.to_string(),
            line.end_b.to_string(),
            codes.join(" "),
        ]
    });
    csv::write(desk, head, rows)
}

fn order_shown(desk: &mut Desk, order: &Ordered) -> Result<(), Failure> {
    if order.lines.is_empty() && order.undescribed.is_empty() {
        return Ok(desk.out.line(nothing_to_replace(order.until))?);
    }
    desk.out.line(format!("To be replaced up to {}:\n", order.until))?;
    let head = [Whole("Buy"), Whole("Need"), Whole("In stock"), Text("Hose", 12)];
    let mut rows = table::new(Screen::of_stdout(), head);
    for line in &order.lines {
        let counts = [line.to_buy, line.need, line.in_stock].map(|n| n.to_string());
        let [buy, need, stock] = counts;
        rows.add_row([buy, need, stock, line.words.clone()]);
    }
    desk.out.text(rows.drawn())?;
    desk.out.text("\nFor these:\n")?;
    let head = [Whole("Code"), Text("Where", 8), Text("Why", 12)];
    let mut rows = table::new(Screen::of_stdout(), head);
    let lines = order.lines.iter().flat_map(|line| &line.hoses);
    for hose in lines.chain(&order.undescribed) {
        rows.add_row([
            numbered(hose.number.as_ref(), hose.code),
            hose.place.clone(),
            hose.why.join("; "),
        ]);
    }
    desk.out.text(rows.drawn())?;
    let mut notes: Vec<String> = order.lines.iter().flat_map(|line| line.notes()).collect();
    notes.sort_unstable();
    notes.dedup();
    notes.extend(order.undescribed_in_words());
    for note in notes {
        desk.out.text(format!("\n{}", textwrap::fill(&note, Screen::of_stdout().width)))?;
    }
    Ok(())
}

/// How old the fleet is.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright ages\n  hosewright ages --csv\n\n\
    Ages are in whole years, the oldest that a hose can be. If made is unknown, bought is used.")]
pub struct Ages {
    #[command(flatten)]
    csv: Csv,
}

impl Ages {
    /// Shows a row a year.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let ages = desk.open_to_read()?.ages(&desk.moment)?;
        if desk.json {
            desk.json(&ages)?;
        } else if self.csv.csv {
            let made = age_rows(&ages.from_made, "unknown").into_iter().map(|row| ("made", row));
            let service =
                age_rows(&ages.in_service, "never").into_iter().map(|row| ("service", row));
            let head =
                ["from", "years", "second-stage", "inflator", "gauge", "not described", "all"];
            let rows = made
                .chain(service)
                .map(|(from, [a, b, c, d, e, f])| [from.to_owned(), a, b, c, d, e, f]);
            csv::write(desk, head, rows)?;
        } else {
            ages_shown(desk, &ages)?;
        }
        Ok(Status::Done)
    }
}

fn ages_shown(desk: &mut Desk, ages: &AgesOfFleet) -> Result<(), Failure> {
    for (title, profile, unknown) in [
        ("Years from made (or bought)", &ages.from_made, "not known"),
        ("Years in service", &ages.in_service, "never fitted"),
    ] {
        let head = [
            Text(title, 10),
            Whole("Second stage"),
            Whole("Inflator"),
            Whole("Gauge"),
            Whole("Not described"),
            Whole("All"),
        ];
        let mut rows = table::new(Screen::of_stdout(), head);
        for row in age_rows(profile, unknown) {
            rows.add_row(row);
        }
        desk.out.text(rows.drawn())?;
        desk.out.line("")?;
    }
    let retired = counted(ages.retired.into(), "hose");
    Ok(desk.out.line(format!("{retired} out of service: not counted."))?)
}

/// A row a year, then those of no age, then all.
fn age_rows(profile: &AgeProfile, unknown: &str) -> Vec<[String; 6]> {
    let row = |name: String, count: &hosewright_core::fleet::AgeCount| {
        let [a, b, c] = [Service::SecondStage, Service::Inflator, Service::Gauge]
            .map(|service| count.of(service).to_string());
        [name, a, b, c, count.undescribed.to_string(), count.total.to_string()]
    };
    let years = profile.years.iter().map(|(years, count)| row(years.to_string(), count));
    let rest = [row(unknown.to_owned(), &profile.unknown), row("all".to_owned(), &profile.total)];
    years.chain(rest).collect()
}

/// How long hoses last in service.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright survival --group maker\n  hosewright survival --group lot --csv\n\n\
    The Kaplan-Meier estimate: a hose still in service counts for as long as it has lasted. A\n\
    hose ends when someone retires it, or on the day of a finding that does. Few hoses say little."
)]
pub struct Survival {
    /// Tell hoses apart by this
    #[arg(long, value_name = "maker|lot|construction", value_parser = values::word(Group::ALL, Group::word), hide_possible_values = true)]
    group: Option<Group>,
    #[command(flatten)]
    csv: Csv,
}

impl Survival {
    /// Shows a row a group; as CSV, a row for each step of each group.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let lifetimes = desk.open_to_read()?.survival(self.group, &desk.moment)?;
        if desk.json {
            desk.json(&lifetimes)?;
        } else if self.csv.csv {
            survival_csv(desk, &lifetimes)?;
        } else {
            survival_shown(desk, &lifetimes)?;
        }
        Ok(Status::Done)
    }
}

fn survival_csv(desk: &mut Desk, lifetimes: &Lifetimes) -> Result<(), Failure> {
    let head = ["group", "days", "at risk", "retired", "censored", "survival", "lower", "upper"];
    let steps = lifetimes.groups.iter().flat_map(|group| {
        group.survival.steps.iter().map(|step| {
            let [days, at_risk, events, censored] =
                [step.days, step.at_risk, step.events, step.censored].map(|n| n.to_string());
            let [survival, lower, upper] =
                [step.survival, step.lower, step.upper].map(|share| share.to_string());
            [group.group.clone(), days, at_risk, events, censored, survival, lower, upper]
        })
    });
    csv::write(desk, head, steps)
}

/// The days after which the share of a group is shown: 1, 3 and 5 years.
const SHOWN: [u32; 3] = [365, 1096, 1826];

/// The share that lasts and, under it, its band; nothing of too few hoses.
fn share(group: &GroupLifetimes, days: u32) -> String {
    if !group.enough {
        return "-".to_owned();
    }
    let band = group.survival.step_at(days).filter(|step| step.survival < 1.0);
    let band = band.map(|step| format!("\n{}", say::range_briefly((step.lower, step.upper))));
    let share = group.survival.beyond(days).map(say::percent);
    share.map_or_else(|| "?".to_owned(), |share| share + &band.unwrap_or_default())
}

fn survival_shown(desk: &mut Desk, lifetimes: &Lifetimes) -> Result<(), Failure> {
    if lifetimes.groups.is_empty() {
        desk.out.line(NONE_IN_SERVICE)?;
    } else {
        let head = [
            Text("Group", 10),
            Whole("Retired"),
            Whole("Serving"),
            Text("Half last", 9),
            Whole("1 year"),
            Whole("3 years"),
            Whole("5 years"),
        ];
        let mut rows = table::new(Screen::of_stdout(), head);
        for group in &lifetimes.groups {
            let [one, three, five] = SHOWN.map(|days| share(group, days));
            let median = match group.survival.median_days {
                _ if !group.enough => say::TOO_FEW.to_lowercase(),
                Some(days) => counted(days.into(), "day"),
                None => "more than half are left".to_owned(),
            };
            let [retired, serving] = [group.retired, group.in_service].map(|n| n.to_string());
            rows.add_row([group.group.clone(), retired, serving, median, one, three, five]);
        }
        desk.out.text(rows.drawn())?;
    }
    let never = counted(lifetimes.never_in_service.into(), "hose");
    let note = format!(
        "{never} never in service: not counted. {SURVIVAL_NOTE} Under each share: its 95 % band. ?: \
         none was followed so long. {}: fewer than {LEAST_HOSES}.",
        say::TOO_FEW
    );
    let note = textwrap::fill(&note, Screen::of_stdout().width);
    Ok(desk.out.text(format!("\n{note}"))?)
}
