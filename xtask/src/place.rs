//! Where the project and what is built of it lie on this machine.
//!
//! The project is the folder that holds the workspace; what is built goes where cargo puts it (a user may
//! have moved that by `CARGO_TARGET_DIR`). Everything that xtask makes itself lies below the same folder.

use std::path::{Path, PathBuf};
use std::process::Command;

/// The folders that every command needs.
pub struct Place {
    /// The project.
    pub root: PathBuf,
    /// What cargo builds, and what we make beside it.
    pub target: PathBuf,
}

impl Place {
    /// Finds the project from the folder that cargo started us in.
    pub fn find() -> Result<Self, String> {
        let start = match std::env::var_os("CARGO_MANIFEST_DIR") {
            Some(folder) => PathBuf::from(folder),
            None => std::env::current_dir().map_err(|cause| format!("current folder: {cause}"))?,
        };
        let root = start
            .ancestors()
            .find(|folder| folder.join("xtask/Cargo.toml").is_file())
            .ok_or_else(|| format!("{}: not inside the project; go to its folder", start.display()))?
            .to_path_buf();
        let target = match std::env::var_os("CARGO_TARGET_DIR") {
            Some(folder) => root.join(folder),
            None => root.join("target"),
        };
        Ok(Self { root, target })
    }

    /// The folder of the pages.
    pub fn web(&self) -> PathBuf {
        self.root.join("web")
    }

    /// The program as the release build leaves it.
    pub fn program(&self) -> PathBuf {
        self.target.join("release").join(format!("creance{}", std::env::consts::EXE_SUFFIX))
    }

    /// The cargo that started us, in the project's folder.
    pub fn cargo<const N: usize>(&self, arguments: [&str; N]) -> Command {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let mut command = Command::new(cargo);
        command.args(arguments).current_dir(&self.root);
        command
    }

    /// A path as the reader would write it: from the project's folder where it lies inside.
    pub fn shown(&self, path: &Path) -> String {
        path.strip_prefix(&self.root).unwrap_or(path).display().to_string()
    }
}
