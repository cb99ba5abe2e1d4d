//! `answer`: may this hose be dived, or the hoses of this set?

use clap::Args;
use hosewright_core::Answered;
use hosewright_core::inspection::Verdict;

use crate::desk::{Desk, Outcome, Status};
use crate::show;
use crate::terminal::Screen;

/// Answers for a hose, or for a set with every hose in it.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright answer 7K2M9\n  hosewright answer 7K2M9 --json | jq .verdict\n\n\
    A set's own code answers for the whole set: its own reasons and each hose in it.\n\
    Exit code 0: ready or watch. 1: hold or retire."
)]
pub struct Answer {
    /// The code on the tag of a hose or a set, its first characters, or a bound barcode
    #[arg(value_name = "CODE")]
    code: String,
}

impl Answer {
    /// Answers, and says no by the exit code.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let answer = desk.open_to_answer()?.answered(&self.code, &desk.moment)?;
        shown(desk, &answer)
    }
}

/// Shows an answer; the exit code says no for a hose, or a set, that is not to be
/// dived.
pub fn shown(desk: &mut Desk, answer: &Answered) -> Outcome {
    let screen = Screen::of_stdout();
    let (verdict, page) = match answer {
        Answered::Hose(view) => {
            if desk.json {
                desk.json(&view.answer)?;
            }
            (view.answer.verdict, show::answer::page(view, screen))
        }
        Answered::Set(answer) => {
            if desk.json {
                desk.json(answer)?;
            }
            (answer.verdict, show::set_answer::page(answer, screen))
        }
    };
    if !desk.json {
        desk.out.text(page)?;
    }
    Ok(match verdict {
        Verdict::Ready | Verdict::Watch => Status::Done,
        Verdict::Hold | Verdict::Retire => Status::No,
    })
}
