//! `swap`: the guided swap of one hose for another.

use std::io::{self, BufRead, IsTerminal, Write};

use clap::Args;
use hosewright_core::event::PortName;
use hosewright_core::hose::Prose;
use hosewright_core::swap::open_still;
use hosewright_core::tag::Code;
use hosewright_core::words::notices::SWAP_FINISHED;
use hosewright_core::words::swap::off_and_on;
use hosewright_core::{Logbook, SwapView};
use textwrap::Options;

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::brief;
use crate::terminal::Screen;
use crate::values::{self, On};

/// Swaps one hose for another, step by step.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright swap 7K2M9 3FQ8Z\n  \
    hosewright swap 7K2M9 3FQ8Z --step depressurised=done --step laid-out=done\n  \
    hosewright swap 7K2M9 3FQ8Z --step spanner=\"16 mm\"\n  \
    hosewright swap 7K2M9 3FQ8Z --back\n  \
    hosewright swap 7K2M9 3FQ8Z --another XJ4TT\n  \
    hosewright swap 7K2M9 3FQ8Z --give-up \"spanner missing\"\n\n\
    In a terminal it asks one question a step; an empty answer stops there, and the same\n\
    command continues it, on any device with the record. Elsewhere it shows the steps.")]
pub struct Swap {
    /// The hose that comes off: its code, or its first characters
    #[arg(value_name = "OLD")]
    old: String,
    /// The hose that goes on
    #[arg(value_name = "NEW")]
    new: String,
    /// Another port of the same set for the new hose
    #[arg(long, value_name = "PORT")]
    port: Option<PortName>,
    /// Answer the next step; may be given again for the steps after it
    #[arg(long = "step", value_name = "NAME=ANSWER")]
    steps: Vec<String>,
    /// Take the last answer back
    #[arg(long, conflicts_with_all = ["steps", "give_up"])]
    back: bool,
    /// Take another new hose, and go on: its code, or its first characters
    #[arg(long, value_name = "CODE", conflicts_with_all = ["steps", "give_up", "back"])]
    another: Option<String>,
    /// Give the swap up, and why
    #[arg(long, value_name = "WHY", value_parser = values::why, conflicts_with = "steps")]
    give_up: Option<Prose>,
    #[command(flatten)]
    when: On,
}

impl Swap {
    /// Goes on with it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let asked = self.steps.is_empty() && !self.back && self.another.is_none() && !desk.json;
        let asked = asked && io::stdin().is_terminal() && crate::terminal::is_terminal();
        let changes = self.give_up.is_some() || self.back || self.another.is_some();
        let writes = asked || !self.steps.is_empty() || changes;
        let mut logbook = if writes { desk.open() } else { desk.open_to_read() }?;
        let pair = (logbook.find_typed(&self.old)?.hose, logbook.find_typed(&self.new)?.hose);
        if let Some(why) = &self.give_up {
            let said = logbook.swap_give_up(pair, why, &desk.moment)?;
            if !desk.json {
                desk.out.text(brief::filled(Screen::of_stdout(), &said))?;
            }
            brief::after(desk, &logbook, pair.0)?;
            return Ok(Status::Done);
        }
        if let Some(other) = &self.another {
            let other = logbook.find_typed(other)?.hose;
            let view = logbook.swap_exchange(pair, other, &desk.moment)?;
            return show(desk, &view);
        }
        if self.back {
            let view = logbook.swap_back(pair, &desk.moment)?;
            return show(desk, &view);
        }
        let mut view = None;
        for step in &self.steps {
            let (name, answer) = step.split_once('=').ok_or_else(|| {
                Failure::refused(format!("“{step}” is not NAME=ANSWER, as depressurised=done"))
            })?;
            let after = self.answer(&mut logbook, pair, (name, answer), desk)?;
            let open = after.next.as_ref().filter(|next| next.step == name.trim());
            if let Some(step) = open.filter(|_| !desk.json) {
                desk.out.text(brief::filled(Screen::of_stdout(), open_still(step.step)))?;
            }
            view = Some(after);
        }
        let view = match view {
            Some(view) => view,
            None => logbook.swap(pair.0, pair.1, self.port, &desk.moment)?,
        };
        if asked {
            return self.ask(desk, &mut logbook, pair, view);
        }
        show(desk, &view)
    }

    fn answer(
        &self,
        logbook: &mut Logbook,
        pair: (Code, Code),
        said: (&str, &str),
        desk: &Desk,
    ) -> Result<SwapView, Failure> {
        Ok(logbook.swap_step(pair, self.port, said, self.when.on, &desk.moment)?)
    }

    /// One question a step, until it is finished or left.
    fn ask(
        &self,
        desk: &mut Desk,
        logbook: &mut Logbook,
        pair: (Code, Code),
        mut view: SwapView,
    ) -> Outcome {
        let screen = Screen::of_stdout();
        desk.out.line(off_and_on(&view.names, &view.seat))?;
        brief::cautions(desk, view.cautions)?;
        while let Some(step) = view.next.clone() {
            let done = view.steps.iter().filter(|step| step.answer.is_some()).count();
            let head = format!("\n[{} of {}] {}", done + 1, view.steps.len(), step.step);
            desk.out.text(head)?;
            desk.out.text(wrapped(step.todo, screen))?;
            for said in view.exchanged.iter().chain(&view.remembered) {
                desk.out.text(wrapped(said, screen))?;
            }
            write!(desk.out, "  ({}): ", step.answers)?;
            desk.out.flush()?;
            let mut typed = String::new();
            io::stdin().lock().read_line(&mut typed)?;
            if typed.trim().is_empty() {
                desk.out.text("\nLeft here; the same command takes it up again.")?;
                return Ok(Status::Done);
            }
            match self.answer(logbook, pair, (step.step, typed.trim()), desk) {
                Ok(after) => {
                    if after.next.as_ref().is_some_and(|next| next.step == step.step) {
                        desk.out.text(wrapped(open_still(step.step), screen))?;
                    }
                    view = after;
                }
                Err(failure) => desk.out.text(wrapped(&failure.to_string(), screen))?,
            }
        }
        desk.out.text(format!("\n{SWAP_FINISHED}"))?;
        Ok(Status::Done)
    }
}

fn wrapped(text: &str, screen: Screen) -> String {
    let options = Options::new(screen.width).initial_indent("  ").subsequent_indent("  ");
    textwrap::fill(text, options.break_words(false))
}

/// The steps as they stand.
fn show(desk: &mut Desk, view: &SwapView) -> Outcome {
    if desk.json {
        desk.json(view)?;
        return Ok(Status::Done);
    }
    let screen = Screen::of_stdout();
    desk.out.line(off_and_on(&view.names, &view.seat))?;
    for step in &view.steps {
        let answer = step.answer.as_ref().map(|said| format!(": {said}")).unwrap_or_default();
        let tick = if step.answer.is_some() { "[x]" } else { "[ ]" };
        desk.out.line(format!("{tick} {}{answer}", step.step))?;
    }
    match &view.next {
        Some(step) => {
            desk.out.text(format!("\nNext: {} (answer {})", step.step, step.answers))?;
            desk.out.text(wrapped(step.todo, screen))?;
            for said in view.exchanged.iter().chain(&view.remembered) {
                desk.out.text(wrapped(said, screen))?;
            }
        }
        None => desk.out.line(SWAP_FINISHED)?,
    }
    if let Some(giving_up) = &view.giving_up {
        desk.out.text(brief::filled(screen, giving_up))?;
    }
    brief::cautions(desk, view.cautions)?;
    Ok(Status::Done)
}
