//! Why something was not done, and the page that says so. The core's own
//! sentences are shown; what a browser did wrong is said here.

use hosewright_core::hose::HoseError;
use hosewright_core::inspection::FindingError;
use hosewright_core::journal::StoreError;
use hosewright_core::staff::PinError;
use hosewright_core::tag::{Code, DrawError};
use hosewright_core::view::Action;
use hosewright_core::words::counters::ONE_AT_A_TIME;
use hosewright_core::words::meeting::AT_THE_DESK_ONLY;
use hosewright_core::{
    CounterError, DayError, FormRefused, LogbookError, NamingError, PlaceError, StaffError,
};
use http::StatusCode;
use thiserror::Error;

/// Why a request was refused; nothing was changed.
#[derive(Debug, Error)]
pub enum Refusal {
    /// The core refuses it.
    #[error(transparent)]
    Core(#[from] LogbookError),
    /// What was typed cannot be.
    #[error("{0}")]
    Bad(String),
    /// What was typed into a field cannot be.
    #[error("{words}")]
    At {
        /// The field's name in the form.
        field: String,
        /// Why, in words.
        words: String,
    },
    /// There is no such page.
    #[error("there is no page of that name here")]
    NoPage,
    /// The page does not answer to that way of asking.
    #[error("this page cannot be asked in that way")]
    NoMethod,
    /// The request was sent to a name that is not ours.
    #[error(
        "this page does not answer under that name; open it by the address that hosewright desk \
         printed"
    )]
    Host,
    /// Sent from another site, or from a page from before a restart.
    #[error(
        "this did not come from a page of this desk, or the desk was restarted since that page \
         was loaded; go back, load the page again, and send it once more"
    )]
    Foreign,
    /// More than is taken.
    #[error("that is larger than this page takes; the most is {0}")]
    TooLarge(&'static str),
    /// It did not come within the time that a sender is given.
    #[error("what was sent stopped on the way, or came too slowly; send it again")]
    Slow,
    /// The pass phrase has not been given.
    #[error("give the pass phrase first")]
    SignIn,
    /// Done at the desk's own computer alone.
    #[error("{AT_THE_DESK_ONLY}")]
    AtTheDesk,
    /// Too many wrong pass phrases.
    #[error("too many attempts; wait a minute and try again")]
    TooMany,
    /// Another meeting goes on.
    #[error("{ONE_AT_A_TIME}")]
    Busy,
    /// Something here is broken.
    #[error("{0}")]
    Broken(String),
}

impl Refusal {
    /// The page is about to be closed.
    pub fn closing() -> Self {
        Self::Broken("this desk is closing".to_owned())
    }

    /// A slip of this program.
    pub fn failed() -> Self {
        Self::Broken("this page failed; please report it".to_owned())
    }

    /// Something typed that cannot be, in words.
    pub fn bad(words: impl ToString) -> Self {
        Self::Bad(words.to_string())
    }

    /// Something typed into a field that cannot be.
    pub fn at(field: &str, words: impl ToString) -> Self {
        Self::At { field: field.to_owned(), words: words.to_string() }
    }

    /// The field that it is about, where it is about one.
    pub fn field(&self) -> Option<&str> {
        match self {
            Self::At { field, .. } => Some(field),
            Self::Core(error) => error.field(),
            _ => None,
        }
    }

    /// Whether somebody asked that it end.
    pub const fn is_stopped(&self) -> bool {
        matches!(
            self,
            Self::Core(
                LogbookError::Counter(CounterError::Stopped)
                    | LogbookError::Store(StoreError::Stopped)
            )
        )
    }

    /// What can be done about it, if that is one thing.
    pub const fn action(&self) -> Option<Action> {
        match self {
            Self::Core(error) => error.action(),
            _ => None,
        }
    }

    /// The status that goes with it.
    pub const fn status(&self) -> StatusCode {
        match self {
            Self::Core(error) => of_core(error),
            Self::Bad(_) | Self::At { .. } => StatusCode::BAD_REQUEST,
            Self::NoPage => StatusCode::NOT_FOUND,
            Self::NoMethod => StatusCode::METHOD_NOT_ALLOWED,
            Self::Host => StatusCode::MISDIRECTED_REQUEST,
            Self::Foreign | Self::AtTheDesk => StatusCode::FORBIDDEN,
            Self::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Slow => StatusCode::REQUEST_TIMEOUT,
            Self::Busy => StatusCode::CONFLICT,
            Self::SignIn => StatusCode::UNAUTHORIZED,
            Self::TooMany => StatusCode::TOO_MANY_REQUESTS,
            Self::Broken(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// Hoses that may have been meant.
    pub fn near(&self) -> &[Code] {
        match self {
            Self::Core(LogbookError::Naming(NamingError::WrongCheck { near, .. })) => near,
            Self::Core(LogbookError::Naming(NamingError::Several { codes, .. })) => codes,
            _ => &[],
        }
    }
}

/// What names nothing on record is not found; what the record speaks against is
/// a conflict; the rest was typed wrong.
const fn of_core(error: &LogbookError) -> StatusCode {
    match error {
        LogbookError::Naming(NamingError::UnknownTag(_))
        | LogbookError::Naming(NamingError::NothingBeginsSo(_))
        | LogbookError::NoSuchSet { .. }
        | LogbookError::NoSuchPhotograph { .. }
        | LogbookError::NoSuchEntry(_)
        | LogbookError::Staff(StaffError::Nobody(_))
        | LogbookError::Naming(NamingError::ForeignText(_)) => StatusCode::NOT_FOUND,
        LogbookError::Store(_) | LogbookError::Io { .. } => StatusCode::INTERNAL_SERVER_ERROR,
        LogbookError::Naming(NamingError::NotACode(_))
        | LogbookError::Naming(NamingError::TooShort(_))
        | LogbookError::Naming(NamingError::WholeCodeNeeded(_))
        | LogbookError::ReasonNeeded(_)
        | LogbookError::SetReasonNeeded(_)
        | LogbookError::NameLikeCode(_)
        | LogbookError::Words(_)
        | LogbookError::Naming(NamingError::BarcodeLikeTag(_))
        | LogbookError::Naming(NamingError::WrongCheck { .. })
        | LogbookError::Hose(_)
        | LogbookError::Finding(_)
        | LogbookError::Payload(_)
        | LogbookError::Picture(_)
        | LogbookError::Film(_)
        | LogbookError::Photograph(_)
        | LogbookError::Naming(NamingError::NoTagSeen)
        | LogbookError::Naming(NamingError::SeveralTagsSeen(_))
        | LogbookError::Place(PlaceError::BadPorts(_))
        | LogbookError::Day(DayError::FutureDay { .. })
        | LogbookError::Day(DayError::BeforeMade { .. })
        | LogbookError::Staff(StaffError::Pin(PinError::Shape))
        | LogbookError::TooManyDives { .. } => StatusCode::BAD_REQUEST,
        _ => StatusCode::CONFLICT,
    }
}

impl From<StoreError> for Refusal {
    fn from(error: StoreError) -> Self {
        Self::Core(error.into())
    }
}

impl From<FormRefused> for Refusal {
    fn from(refused: FormRefused) -> Self {
        match refused {
            FormRefused::Field(refused) => Self::At { field: refused.field, words: refused.words },
            FormRefused::Logbook(error) => Self::Core(error),
        }
    }
}

impl From<HoseError> for Refusal {
    fn from(error: HoseError) -> Self {
        Self::Core(error.into())
    }
}

impl From<FindingError> for Refusal {
    fn from(error: FindingError) -> Self {
        Self::Core(error.into())
    }
}

impl From<DrawError> for Refusal {
    fn from(error: DrawError) -> Self {
        Self::bad(error)
    }
}

impl From<std::io::Error> for Refusal {
    fn from(error: std::io::Error) -> Self {
        Self::Broken(format!("cannot use the output: {error}"))
    }
}

impl From<::csv::Error> for Refusal {
    fn from(error: ::csv::Error) -> Self {
        Self::Broken(format!("the list cannot be written: {error}"))
    }
}
