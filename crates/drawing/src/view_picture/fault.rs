//! Why there is no picture of what a lens sees.

use thiserror::Error;

/// Why there is no picture of what a lens sees.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ViewPictureFault {
    /// No lens is seated on a camera.
    #[error("no lens of {craft:?} is seated on a camera, so there is no picture to show; {mend}")]
    NoLens {
        /// The craft.
        craft: String,
        /// What to do.
        mend: &'static str,
    },
}
