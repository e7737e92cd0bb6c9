//! Where the workshop lies when nobody says: the platform's folder for data of programs.
//!
//! Linux and other Unix: `$XDG_DATA_HOME/creance`, else `~/.local/share/creance` (XDG Base Directory
//! Specification 0.8; a relative path there counts as unset). macOS: `~/Library/Application Support/creance`.
//! Windows: `%APPDATA%\creance`.

use crate::refusal::{Cause, Refusal};
use std::path::{Path, PathBuf};

/// The file of the user's own workshop.
pub const WORKSHOP: &str = "workshop.sqlite";
/// The file of the demo's workshop.
pub const DEMO: &str = "demo.sqlite";

/// The data folder; it need not be there yet.
pub fn data_folder() -> Result<PathBuf, Refusal> {
    let variable = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let folder = if cfg!(windows) {
        variable("APPDATA")
    } else if cfg!(target_os = "macos") {
        variable("HOME").map(|home| home.join("Library/Application Support"))
    } else {
        variable("XDG_DATA_HOME").or_else(|| variable("HOME").map(|home| home.join(".local/share")))
    };
    folder.map(|folder| folder.join("creance")).ok_or_else(|| {
        Refusal::new(Cause::Misread, "this system names no folder for the workshop")
            .hint("Name a file with --workshop FILE.")
    })
}

/// A file in the data folder, the folder made if it is not there.
pub fn data_file(name: &str) -> Result<PathBuf, Refusal> {
    let folder = data_folder()?;
    make(&folder)?;
    Ok(folder.join(name))
}

fn make(folder: &Path) -> Result<(), Refusal> {
    std::fs::create_dir_all(folder).map_err(|cause| {
        Refusal::new(Cause::Ours, format!("folder {folder:?} cannot be made: {cause}"))
            .hint("Name a file elsewhere with --workshop FILE.")
    })
}
