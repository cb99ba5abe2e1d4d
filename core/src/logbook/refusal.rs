//! What a refusal is about: a field of a form, and what can be done about it. Its
//! words name no command or button; each face adds its own for the action.

use super::{LogbookError, NamingError, PlaceError, StaffError};
use crate::inspection::InspectionKind;
use crate::staff::PinError;
use crate::view::Action;

impl LogbookError {
    /// The field of a form that it is about, if it is about one.
    #[must_use]
    pub const fn field(&self) -> Option<&'static str> {
        match self {
            Self::ReasonNeeded(_) | Self::SetReasonNeeded(_) => Some("why"),
            Self::Staff(StaffError::NameTaken(_)) => Some("name"),
            Self::Staff(StaffError::Pin(PinError::Shape)) => Some("new_pin"),
            Self::Words(_) => Some("words"),
            Self::Naming(NamingError::TagInUse(_)) => Some("tag"),
            Self::Naming(NamingError::BarcodeInUse(_)) => Some("barcode"),
            _ => None,
        }
    }

    /// What can be done about it, if that is one thing.
    #[must_use]
    pub const fn action(&self) -> Option<Action> {
        Some(match *self {
            Self::NotAllowed { device, .. } => Action::AdmitDevice { device },
            Self::Naming(NamingError::UnknownTag(tag)) => Action::Register { tag: Some(tag) },
            Self::Undescribed(_) => Action::ImportRecord,
            Self::NotACustomers { edit, .. } => edit,
            Self::Place(PlaceError::NotFitted(hose)) => Action::Place { hose },
            Self::NotOutWith { hose, .. } => Action::Inspect { hose, kind: InspectionKind::Quick },
            _ => return None,
        })
    }
}
