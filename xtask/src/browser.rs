//! The browser in which the pages are tried.
//!
//! Taken from `CHROMIUM` if that is set, else from the search path, else from where the system's installer
//! puts it. Where we may (root on Debian) it is installed; elsewhere one line says how to get it.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::place::Place;
use crate::step::{Outcome, Trouble};
use crate::{tool, web};

/// Runs the browser tests of the pages against the release build of the program.
///
/// They read two variables: `CHROMIUM`, the browser, and `CREANCE`, the program.
pub fn test(place: &Place) -> Outcome {
    web::build(place)?;
    tool::run(&mut place.cargo(["build", "--release", "--package", "creance"]))?;
    let chromium = chromium()?;
    println!("browser: {}", chromium.display());
    let mut command = tool::npm(&web::present(place)?, &["run", "e2e"])?;
    command.env("CHROMIUM", &chromium).env("CREANCE", place.program());
    tool::run(&mut command)
}

/// The browser's program file, installed if need be and allowed.
fn chromium() -> Result<PathBuf, Trouble> {
    if let Some(named) = std::env::var_os("CHROMIUM").map(PathBuf::from) {
        return if named.is_file() {
            Ok(named)
        } else {
            Err(Trouble::Lacking(format!(
                "CHROMIUM names {}, which is no file; set it to the browser's program",
                named.display()
            )))
        };
    }
    if let Some(found) = found() {
        return Ok(found);
    }
    if Path::new("/etc/debian_version").is_file()
        && tool::said(Command::new("id").arg("-u")).as_deref() == Some("0")
    {
        tool::run(Command::new("apt-get").args(["update", "-q"]))?;
        let install = ["install", "-y", "-q", "--no-install-recommends", "chromium"];
        tool::run(Command::new("apt-get").args(install).env("DEBIAN_FRONTEND", "noninteractive"))?;
        if let Some(found) = found() {
            return Ok(found);
        }
    }
    Err(Trouble::Lacking(format!(
        "Chromium is missing: {}; or set CHROMIUM to a browser built on it",
        how_to_get()
    )))
}

fn found() -> Option<PathBuf> {
    tool::on_path(&["chromium", "chromium-browser"])
        .or_else(|| usual_places().into_iter().find(|file| file.is_file()))
}

fn usual_places() -> Vec<PathBuf> {
    let below =
        |variable: &str, rest: &str| std::env::var_os(variable).map(|folder| Path::new(&folder).join(rest));
    let mac = "Applications/Chromium.app/Contents/MacOS/Chromium";
    let windows = "Chromium/Application/chrome.exe";
    let places = match std::env::consts::OS {
        "macos" => vec![Some(Path::new("/").join(mac)), below("HOME", mac)],
        "windows" => ["LOCALAPPDATA", "ProgramFiles", "ProgramFiles(x86)"]
            .map(|variable| below(variable, windows))
            .into(),
        _ => vec![Some("/usr/lib/chromium/chromium".into()), Some("/snap/bin/chromium".into())],
    };
    places.into_iter().flatten().collect()
}

fn how_to_get() -> &'static str {
    match std::env::consts::OS {
        "macos" | "windows" => "install it from the Chromium project's download page",
        _ => "install it with this system's package manager (Debian: `sudo apt-get install chromium`)",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_system_has_places_to_look_in_and_a_way_to_get_it() {
        assert!(!usual_places().is_empty());
        assert!(how_to_get().contains("install"));
    }
}
