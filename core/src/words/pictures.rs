//! What the small pictures of a hose say, for the eye and for those who cannot
//! see them.

use crate::hose::{Service, Specification};
use crate::inspection::Checkpoint;

/// The left end of the picture.
pub const FIRST_STAGE: &str = "first stage";

/// The right end of the picture.
#[must_use]
pub const fn far_end(hose: &Specification) -> &'static str {
    match hose.service() {
        Service::SecondStage => "second stage",
        Service::Inflator => "inflator",
        Service::Gauge => "gauge",
    }
}

/// The place of a checkpoint: its name, and where it is.
#[must_use]
pub fn place(hose: &Specification, checkpoint: Checkpoint) -> (&'static str, String) {
    let far = far_end(hose);
    match checkpoint {
        Checkpoint::Protector => (
            "The protectors",
            "The sleeves that are pulled over the ends of the hose; wear and water hide under them."
                .to_owned(),
        ),
        Checkpoint::Run => (
            "The run",
            "The hose itself, between the two crimped sleeves: its cover or its braid.".to_owned(),
        ),
        Checkpoint::EndA => (
            "The first-stage end",
            "The nut that a spanner turns, the crimped sleeve behind it, and the hose where it \
             comes out of the sleeve, at the end that goes into the first stage."
                .to_owned(),
        ),
        Checkpoint::EndB => (
            "The far end",
            format!(
                "The crimped sleeve, the hose where it goes into it, and the {}, at the end that \
                 goes to the {far}.",
                match hose.service() {
                    Service::Inflator => "coupling with its collar",
                    Service::SecondStage | Service::Gauge => "nut that a spanner turns",
                }
            ),
        ),
        Checkpoint::SealA => (
            "The first-stage seal",
            "The O-ring on the thread that goes into the first stage, against the nut.".to_owned(),
        ),
        Checkpoint::SealB => (
            "The far seal",
            match hose.service() {
                Service::SecondStage => {
                    "The O-ring inside the nut that goes to the second stage.".to_owned()
                }
                Service::Inflator => {
                    "The O-ring inside the coupling that goes to the inflator.".to_owned()
                }
                Service::Gauge => {
                    "The two small O-rings on the swivel pin inside the nut at the gauge.".to_owned()
                }
            },
        ),
    }
}
