//! What hoses are held to: `limits` and `rules`.

use clap::{Args, Subcommand};
use hosewright_core::answer::REASONS;
use hosewright_core::fleet::LimitsTried;
use hosewright_core::hose::{Construction, Service};
use hosewright_core::inspection::{FINDINGS, LeastPressure, Place};
use hosewright_core::policy::{Change, DEFAULTS, Limits as LimitsOfUse, Scope, Use};
use hosewright_core::record::{ENDINGS, Ending};
use hosewright_core::words;
use serde_json::{Value, json};

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::table::Column::{Text, Whole};
use crate::show::{brief, numbered, progress, table};
use crate::terminal::Screen;
use crate::values::{self, DiveLimit, Months};

/// The limits that hoses are held to.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright limits\n  hosewright limits set --use rental --dives 300"
)]
pub struct Limits {
    #[command(subcommand)]
    command: Option<LimitsCommand>,
}

#[derive(Subcommand)]
enum LimitsCommand {
    /// Set limits for some hoses, or for all
    Set(Set),
}

/// Sets limits; what is not given stays as it was.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright limits set --use rental --dives 300 --full-inspection \
        3m\n  hosewright limits set --service gauge --in-service 4y\n  \
        hosewright limits set --construction braided --in-service 4y --try\n\n\
    If several rules cover a hose, the most specific wins: service, then construction, then use."
)]
struct Set {
    /// Only hoses in this use: personal or rental
    #[arg(long = "use", value_name = "USE", value_parser = values::word(Use::ALL, Use::word), hide_possible_values = true)]
    in_use: Option<Use>,
    /// Only hoses of this service
    #[arg(long, value_parser = values::word(Service::ALL, Service::word), hide_possible_values = true)]
    service: Option<Service>,
    /// Only hoses of this construction
    #[arg(long, value_parser = values::word(Construction::ALL, Construction::word), hide_possible_values = true)]
    construction: Option<Construction>,
    /// How long in service, from the first fitting, as 60m or 5y
    #[arg(long, value_name = "TIME")]
    in_service: Option<Months>,
    /// How long from made, whatever the service
    #[arg(long, value_name = "TIME")]
    from_made: Option<Months>,
    /// How many dives, or none
    #[arg(long, value_name = "N|none")]
    dives: Option<DiveLimit>,
    /// How long from one full inspection to the next
    #[arg(long, value_name = "TIME")]
    full_inspection: Option<Months>,
    /// The pressure in the cylinder under which leak tests count: in bar, for low-pressure
    /// hoses and for high-pressure ones; for all hoses
    #[arg(long, value_name = "LP,HP", num_args = 2, value_delimiter = ',')]
    leak_test: Option<Vec<u32>>,
    /// The dives that count for each day out if a return does not know how many were made; for
    /// all hoses
    #[arg(long, value_name = "N")]
    unknown_dives: Option<u32>,
    /// Set nothing: show what would change today
    #[arg(long = "try")]
    only_try: bool,
}

impl Limits {
    /// Sets limits if asked to, and shows those in force.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let only_try = matches!(&self.command, Some(LimitsCommand::Set(set)) if set.only_try);
        let writes = self.command.is_some() && !only_try;
        let mut logbook = if writes { desk.open() } else { desk.open_to_read() }?;
        if let Some(LimitsCommand::Set(set)) = self.command {
            let months = |given: Option<Months>| given.map(|months| months.0);
            let dives = set.dives.map(|limit| limit.0);
            let service = months(set.in_service);
            let full = months(set.full_inspection);
            let change = match set.leak_test.as_deref() {
                _ if set.unknown_dives.is_some() => {
                    Change::of_unknown_dives(set.unknown_dives.unwrap_or_default())?
                }
                Some([low_bar, high_bar]) => {
                    let (low_bar, high_bar) = (*low_bar, *high_bar);
                    Change::of_leak_tests(LeastPressure { low_bar, high_bar })?
                }
                _ => Change::new(service, months(set.from_made), dives, full)?,
            };
            let scope =
                Scope { service: set.service, construction: set.construction, in_use: set.in_use };
            let bar = progress::bar("hoses", progress::UNKNOWN);
            if only_try {
                let told = progress::told(&bar);
                let tried = logbook.try_limits(scope, change, &desk.moment, told)?;
                bar.finish_and_clear();
                return tried_shown(desk, &tried);
            }
            logbook.limit(scope, change, &desk.moment, progress::told(&bar))?;
            bar.finish_and_clear();
        }
        let policy = logbook.fleet()?.policy();
        let limits: Vec<_> = Use::ALL.iter().map(|u| (*u, policy.limits(None, *u))).collect();
        if desk.json {
            let rules = policy.rules();
            let rules: Vec<Value> = rules.map(|(s, c)| json!({ "for": s, "limits": c })).collect();
            let entries = logbook.fleet_history()?;
            let of_limits = entries.iter().filter(|line| line.entry.kind == "limited");
            let entries: Vec<Value> = of_limits.map(crate::show::line_as_json).collect();
            let limits = limits_json(&limits);
            desk.json(&json!({ "limits": limits, "rules": rules, "entries": entries }))?;
            return Ok(Status::Done);
        }
        limits_shown(desk, &limits)?;
        let a_day = logbook.dives_a_day(&desk.moment)?;
        desk.out.text(brief::filled(Screen::of_stdout(), &words::returns::dives_unknown(a_day)))?;
        for (scope, change) in policy.rules() {
            desk.out.line(format!("Set by the owner for {scope}: {change}"))?;
        }
        Ok(Status::Done)
    }
}

/// The most hoses that are listed; a program gets all.
const LISTED: usize = 50;

/// What other limits would change.
fn tried_shown(desk: &mut Desk, tried: &LimitsTried) -> Outcome {
    if desk.json {
        desk.json(tried)?;
        return Ok(Status::Done);
    }
    desk.out.line(&tried.words)?;
    desk.out.line(format!(
        "{} {}",
        words::limits::judged(tried.hoses),
        words::limits::NOT_WRITTEN
    ))?;
    if tried.changed.is_empty() {
        return Ok(Status::Done);
    }
    desk.out.line("")?;
    let head = [Whole("Code"), Whole("Now"), Whole("Then"), Text("Where", 8), Text("Why", 12)];
    let mut rows = table::new(Screen::of_stdout(), head);
    for hose in tried.changed.iter().take(LISTED) {
        rows.add_row([
            numbered(hose.number.as_ref(), hose.code),
            hose.before.to_string(),
            hose.after.to_string(),
            hose.place.clone(),
            hose.words.clone(),
        ]);
    }
    desk.out.text(rows.drawn())?;
    if let Some(left) = tried.changed.len().checked_sub(LISTED).filter(|left| *left > 0) {
        desk.out.line(words::limits::more(left))?;
    }
    Ok(Status::Done)
}

fn limits_json(limits: &[(Use, LimitsOfUse)]) -> Value {
    let limits = limits.iter().map(|(u, limits)| (u.to_string(), json!(limits)));
    Value::Object(limits.collect())
}

fn limits_shown(desk: &mut Desk, limits: &[(Use, LimitsOfUse)]) -> Result<(), Failure> {
    let head = [
        Whole("Use"),
        Whole("In service"),
        Whole("From made"),
        Whole("Dives"),
        Text("Full inspection every", 10),
    ];
    let mut rows = table::new(Screen::of_stdout(), head);
    for (in_use, limits) in limits {
        rows.add_row([
            in_use.to_string(),
            words::months(limits.in_service_months),
            words::months(limits.from_made_months),
            limits.dives.map_or_else(|| "none".to_owned(), |n| n.to_string()),
            words::months(limits.full_inspection_months),
        ]);
    }
    Ok(desk.out.text(rows.drawn())?)
}

/// The rules themselves.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright rules\n  hosewright rules --json | jq .findings\n\n\
    All of them are common practice: makers' instructions and local codes come first."
)]
pub struct Rules {}

impl Rules {
    /// Shows the core's tables.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        if desk.json {
            desk.json(&json!({
                "findings": findings_json(),
                "reasons": reasons_json(),
                "endings": endings_json(),
                "limits": limits_json(DEFAULTS),
            }))?;
            return Ok(Status::Done);
        }
        desk.out.text("What can be found on a hose\n")?;
        findings_shown(desk)?;
        desk.out.text("\nEvery other reason\n")?;
        reasons_shown(desk)?;
        desk.out.text("\nWhat may end a reason; nothing else does\n")?;
        endings_shown(desk)?;
        desk.out.text("\nLimits, until the owner sets others\n")?;
        limits_shown(desk, DEFAULTS)?;
        Ok(Status::Done)
    }
}

fn findings_json() -> Vec<Value> {
    let row = |rule: &hosewright_core::inspection::FindingRule| {
        let at: Vec<_> = Place::ALL.iter().filter(|place| rule.at.has(**place)).collect();
        json!({ "finding": rule.finding, "at": at, "on": rule.on.in_words(),
            "grade": rule.grade.in_words(), "verdict": rule.verdict,
            "words": rule.seen, "todo": rule.todo, "ends": rule.ends.in_words() })
    };
    FINDINGS.iter().map(row).collect()
}

fn findings_shown(desk: &mut Desk) -> Result<(), Failure> {
    let head = [
        Whole("Finding"),
        Text("Where", 12),
        Whole("Verdict"),
        Text("What is seen, and what to do", 16),
    ];
    let mut rows = table::new(Screen::of_stdout(), head);
    for rule in FINDINGS {
        rows.add_row([
            [rule.finding.to_string(), rule.grade.in_words()].join(" ").trim().to_owned(),
            format!("{}; {}", rule.at.in_words(), rule.on.in_words()),
            format!("{} {}", words::shape(rule.verdict), rule.verdict),
            format!("{}. {} Ends by: {}.", rule.seen, rule.todo, rule.ends.in_words()),
        ]);
    }
    Ok(desk.out.text(rows.drawn())?)
}

fn reasons_json() -> Vec<Value> {
    let row = |rule: &hosewright_core::answer::ReasonRule| {
        json!({ "code": rule.code, "when": rule.when, "personal": rule.personal,
            "rental": rule.rental, "ends": rule.ends })
    };
    REASONS.iter().map(row).collect()
}

fn reasons_shown(desk: &mut Desk) -> Result<(), Failure> {
    let mut rows = table::new(
        Screen::of_stdout(),
        [
            Whole("Reason"),
            Text("When", 16),
            Whole("Personal"),
            Whole("Rental"),
            Text("What ends it", 12),
        ],
    );
    for rule in REASONS {
        rows.add_row([
            rule.code.to_owned(),
            rule.when.to_owned(),
            format!("{} {}", words::shape(rule.personal), rule.personal),
            format!("{} {}", words::shape(rule.rental), rule.rental),
            rule.ends.to_owned(),
        ]);
    }
    Ok(desk.out.text(rows.drawn())?)
}

fn endings_json() -> Vec<Value> {
    let row = |row: &Ending| {
        let codes = row.ends.iter().flat_map(|matter| matter.codes());
        let codes: Vec<&str> = codes.copied().filter(|code| !code.is_empty()).collect();
        json!({ "act": row.act, "ends": codes, "which": row.which })
    };
    ENDINGS.iter().map(row).collect()
}

fn endings_shown(desk: &mut Desk) -> Result<(), Failure> {
    let head = [Whole("Act"), Text("May end", 16), Text("Which of them", 16)];
    let mut rows = table::new(Screen::of_stdout(), head);
    for row in ENDINGS {
        let mut codes: Vec<&str> =
            row.ends.iter().flat_map(|matter| matter.codes()).copied().collect();
        codes.sort_unstable();
        codes.dedup();
        let all = codes.contains(&"");
        let codes = if all { "any".to_owned() } else { codes.join(", ").replace("-,", "…,") };
        let codes = codes.strip_suffix('-').map_or(codes.clone(), |c| format!("{c}-…"));
        rows.add_row([row.act.to_string(), codes, row.which.to_owned()]);
    }
    Ok(desk.out.text(rows.drawn())?)
}
