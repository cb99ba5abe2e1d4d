//! The one table of the command that each action is done with, and how a finding is
//! written.

use hosewright_core::hose::End;
use hosewright_core::inspection::FindingError;
use hosewright_core::view::Action;

/// The command, with what is to be filled in as capital words; nothing if there is
/// none.
pub fn command(action: Action) -> Option<String> {
    let command = match action {
        Action::ScanAnother => return None,
        Action::ContinueSwap { old, new } => format!("swap {old} {new}"),
        Action::ScanOwnTag { hose } => format!("answer {hose}"),
        Action::Inspect { hose, kind } => format!("inspect {hose} --kind {kind}"),
        Action::Reseal { hose, end: Some(End::A) } => format!("reseal {hose} --end a"),
        Action::Reseal { hose, end: Some(End::B) } => format!("reseal {hose} --end b"),
        Action::Reseal { hose, end: None } => format!("reseal {hose} --end END"),
        Action::ReplaceCoupling { hose } => format!("reseal {hose} --coupling"),
        Action::Clean { hose } => format!("clean {hose}"),
        Action::Dive { hose } => format!("dived {hose} --dives N"),
        Action::Swap { hose } => format!("swap {hose} NEW"),
        Action::Retire { hose } => format!("retire {hose} --why TEXT"),
        Action::Describe { hose } => format!("describe {hose} --why TEXT"),
        Action::Hold { hose } => format!("hold {hose} --why TEXT"),
        Action::Release { hose } => format!("release {hose} --why TEXT"),
        Action::ReleaseSet { set } => format!("release --set {set} --why TEXT"),
        Action::ChangeSet { set } => format!("set change {set} --why TEXT"),
        Action::TakeBack { set } => format!("rental in {set} --dives N --nothing-found CODE"),
        Action::Place { hose } => format!("fit {hose} --set NAME --port PORT"),
        Action::ConfirmPlace { hose } => format!("place {hose} --confirm"),
        Action::Identify { hose } => format!("retag {hose} --of ENTRY"),
        Action::SetAside { hose } => format!("recall --found {hose}"),
        Action::ImportRecord => "merge FILE".to_owned(),
        Action::Register { tag: Some(tag) } => format!("register --tag {tag}"),
        Action::Register { tag: None } => "register".to_owned(),
        Action::BindBarcode { hose } => format!("bind {hose} BARCODE"),
        Action::Retag { hose } => format!("retag {hose}"),
        Action::PrintTag { hose } => format!("tag {hose} --out tag.pdf"),
        Action::AdmitDevice { device } => format!("device admit {} --role ROLE", device.short()),
    };
    Some(format!("hosewright {command}"))
}

/// How a finding that was refused is written here.
pub fn written(refused: &FindingError) -> Option<String> {
    Some(match refused {
        FindingError::BadForm(_) => {
            "PLACE:FINDING or PLACE:FINDING:GRADE, as run:cut:cover".to_owned()
        }
        FindingError::BubblesFromWhere { place } => {
            format!("{place}:bubbles:joint or {place}:bubbles:sleeve")
        }
        FindingError::NoAnswer(_) => {
            "--finding PLACE:FINDING:GRADE, as end-b:bubbles:joint, or --gone PLACE:FINDING --why TEXT"
                .to_owned()
        }
        FindingError::NoDamage(_) => "--gone run:cut".to_owned(),
        _ => return None,
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use clap::CommandFactory;
    use clap::error::ErrorKind;
    use hosewright_core::event::SetId;
    use hosewright_core::tag::Code;

    use super::*;
    use crate::cli::Typed;

    /// Every command is one that the program has, with its options; what is to be
    /// filled in may still be refused.
    #[test]
    fn every_action_is_a_command_that_parses() {
        let code: Code = "2RWB-XCB4-GDEA-7".parse().unwrap();
        for action in Action::all(
            code,
            code,
            SetId::new(code),
            "00112233445566778899aabbccddeeff".parse().unwrap(),
        ) {
            let Some(command) = command(action) else { continue };
            let parsed = Typed::command().try_get_matches_from(command.split(' '));
            let refused = parsed.err().map(|error| error.kind());
            assert!(
                matches!(
                    refused,
                    None | Some(ErrorKind::ValueValidation | ErrorKind::MissingRequiredArgument)
                ),
                "{command}: {refused:?}"
            );
        }
    }
}
