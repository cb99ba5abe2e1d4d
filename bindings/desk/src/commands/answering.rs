//! `answer`: may this hose be dived?

use clap::Args;
use hosewright_core::answer::Answer as Answered;
use hosewright_core::inspection::Verdict;

use crate::desk::{Desk, Outcome, Status};
use crate::show;

/// Answers for a hose.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright answer 7K2M9\n  hosewright answer 7K2M9 --json | jq .verdict\n\n\
    Exit code 0: ready or watch. 1: hold or retire."
)]
pub struct Answer {
    /// The code on the tag, its first characters, or a bound barcode
    #[arg(value_name = "CODE")]
    code: String,
}

impl Answer {
    /// Answers, and says no by the exit code.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let answer = desk.open_to_answer()?.answer_typed(&self.code, &desk.moment)?;
        shown(desk, &answer)
    }
}

/// Shows an answer; the exit code says no for a hose that is not to be dived.
pub fn shown(desk: &mut Desk, answer: &Answered) -> Outcome {
    if desk.json {
        desk.json(answer)?;
    } else {
        desk.out.text(show::answer::page(answer, show::Screen::of_stdout()))?;
    }
    Ok(match answer.verdict {
        Verdict::Ready | Verdict::Watch => Status::Done,
        Verdict::Hold | Verdict::Retire => Status::No,
    })
}
