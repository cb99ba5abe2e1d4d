//! The one table of where each action is done on this page.

use hosewright_core::inspection::InspectionKind;
use hosewright_core::view::Action;

use crate::fields::query;

/// The address of the screen on which an action is done.
pub fn address(action: Action) -> String {
    match action {
        Action::ContinueSwap { old, new } => format!("/swap/{old}/{new}"),
        Action::ScanOwnTag { hose } => format!("/hose/{hose}"),
        Action::ScanAnother => "/".to_owned(),
        Action::Inspect { hose, kind: InspectionKind::Quick } => {
            format!("/hose/{hose}/inspect?kind=quick")
        }
        Action::Inspect { hose, kind: InspectionKind::Full } => {
            format!("/hose/{hose}/inspect?kind=full")
        }
        Action::Inspect { hose, kind: InspectionKind::LeakTest } => {
            format!("/hose/{hose}/inspect?kind=leak-test")
        }
        Action::Reseal { hose, .. } => format!("/hose/{hose}/care#reseal"),
        Action::ReplaceCoupling { hose } => format!("/hose/{hose}/care#coupling"),
        Action::Clean { hose } => format!("/hose/{hose}/care#clean"),
        Action::Dive { hose } => format!("/hose/{hose}/care#dives"),
        Action::Swap { hose } => format!("/hose/{hose}/swap"),
        Action::Retire { hose } => format!("/hose/{hose}/care#retire"),
        Action::Describe { hose } => format!("/hose/{hose}/describe"),
        Action::Hold { hose } => format!("/hose/{hose}/hold"),
        Action::Release { hose } => format!("/hose/{hose}/hold#release"),
        Action::ReleaseSet { set } => format!("/set/{set}/change#release"),
        Action::ChangeSet { set } => format!("/set/{set}/change#change"),
        Action::TakeBack { set } => format!("/set/{set}/in"),
        Action::Place { hose } => format!("/hose/{hose}/place"),
        Action::ConfirmPlace { hose } => format!("/hose/{hose}/place#confirm"),
        Action::Identify { hose } => format!("/hose/{hose}/identify"),
        Action::SetAside { .. } => "/owner/recall".to_owned(),
        Action::ImportRecord => "/owner/record".to_owned(),
        Action::Register { tag: None } => "/register".to_owned(),
        Action::Register { tag: Some(tag) } => {
            format!("/register?{}", query([("tag", tag.to_string().as_str())]))
        }
        Action::BindBarcode { hose } => format!("/hose/{hose}/care#bind"),
        Action::Retag { hose } => format!("/hose/{hose}/care#retag"),
        Action::AdmitDevice { device } => {
            format!("/owner/devices?{}", query([("device", device.to_string().as_str())]))
        }
        Action::PrintTag { hose } => {
            format!("/tags?{}", query([("codes", hose.to_string().as_str())]))
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use hosewright_core::event::SetId;
    use hosewright_core::tag::Code;

    use super::*;
    use crate::route::How;
    use crate::routes::ROUTES;

    #[test]
    fn every_action_leads_to_a_screen() {
        let code: Code = "2RWB-XCB4-GDEA-7".parse().unwrap();
        for action in Action::all(
            code,
            code,
            SetId::new(code),
            "00112233445566778899aabbccddeeff".parse().unwrap(),
        ) {
            let to = address(action);
            let path = to.split(['?', '#']).next().unwrap();
            let leads = |pattern: &str| {
                let (wanted, given) = (pattern.split('/'), path.split('/'));
                wanted.clone().count() == given.clone().count()
                    && wanted.zip(given).all(|(step, text)| step == text || step.starts_with('{'))
            };
            let shown = ROUTES.iter().filter(|route| route.how == How::Get);
            assert!(shown.into_iter().any(|route| leads(route.path)), "{to}");
        }
    }
}
