//! Why something was not done: one type for the commands (exit status 2) and the server (an HTTP status).
//!
//! The words name the thing, the value, the limit and the mend. Sorted by whose move it is.

use crate::wire::refused::{Refused, SheetFaultView};
use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use std::fmt;
use workshop::WorkshopFault;

/// Whose move it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// The request or command is not understood.
    Misread,
    /// It does not come from this program's own pages.
    Outsider,
    /// There is no such thing.
    NoSuch,
    /// It clashes with what is there, or with another process.
    Clash,
    /// It is larger than is handled.
    TooLarge,
    /// It is of a type that is not read here.
    WrongType,
    /// It is understood and cannot be.
    Unfit,
    /// The machine or this program failed.
    Ours,
}

/// Why something was not done.
#[derive(Debug)]
pub struct Refusal {
    /// Whose move it is.
    pub cause: Cause,
    /// What is the matter, boxed for small results.
    told: Box<Refused>,
}

/// What to do about a question whose numbers cannot be read.
pub const PLAIN_NUMBERS: &str = "Write each number plainly, without a unit, such as distance=80&bank=-30; what is left out is as planned.";

impl Refusal {
    /// A refusal in these words.
    pub fn new(cause: Cause, words: impl Into<String>) -> Self {
        let told = Refused { refused: words.into(), hint: None, faults: Vec::new() };
        Self { cause, told: Box::new(told) }
    }

    /// The same refusal with what to do.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.told.hint = Some(hint.into());
        self
    }

    /// The same refusal with all that is wrong with a sheet.
    pub fn faults(mut self, faults: Vec<SheetFaultView>) -> Self {
        self.told.faults = faults;
        self
    }

    /// The HTTP status that says as much.
    pub fn status(&self) -> StatusCode {
        match self.cause {
            Cause::Misread => StatusCode::BAD_REQUEST,
            Cause::Outsider => StatusCode::FORBIDDEN,
            Cause::NoSuch => StatusCode::NOT_FOUND,
            Cause::Clash => StatusCode::CONFLICT,
            Cause::TooLarge => StatusCode::PAYLOAD_TOO_LARGE,
            Cause::WrongType => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Cause::Unfit => StatusCode::UNPROCESSABLE_ENTITY,
            Cause::Ours => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told.refused)?;
        for fault in &self.told.faults {
            write!(f, "\n  line {}, column {}: {}", fault.line, fault.column, fault.message)?;
            if let Some(hint) = &fault.hint {
                write!(f, "; {hint}")?;
            }
        }
        match &self.told.hint {
            Some(hint) => write!(f, "\n{hint}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for Refusal {}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        (self.status(), Json(*self.told)).into_response()
    }
}

const RESTORE: &str =
    "`creance restore` puts that backup in place, with --workshop FILE if you named one; nothing is deleted.";

impl From<WorkshopFault> for Refusal {
    fn from(fault: WorkshopFault) -> Self {
        use WorkshopFault::*;
        let cause = match &fault {
            NoCraft { .. } | NoPart { .. } | NoKept { .. } | Missing { .. } => Cause::NoSuch,
            NoFolder { .. } | IsAFolder { .. } | NotAWorkshop { .. } => Cause::Misread,
            Edit { .. } | EditElsewhere { .. } | Unsound { .. } => Cause::Unfit,
            AlreadyThere { .. }
            | InUse { .. }
            | NotOverwritten { .. }
            | PartInUse { .. }
            | NotTakenBack { .. }
            | NothingToUndo { .. }
            | NothingToRedo { .. }
            | ChangedSince { .. } => Cause::Clash,
            _ => Cause::Ours,
        };
        let hint = fault.last_good_backup().map(|_| RESTORE);
        let mut words = fault.to_string();
        let mut source = std::error::Error::source(&fault);
        while let Some(why) = source {
            words.push_str(&format!(": {why}"));
            source = why.source();
        }
        let refusal = Self::new(cause, words);
        match hint {
            Some(hint) => refusal.hint(hint),
            None => refusal,
        }
    }
}
