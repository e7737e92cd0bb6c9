//! Do the vectors still come out of the programs that made them?
//!
//! Makes a Python environment of our own below the build folder, installs the pinned packages of
//! `conformance/requirements.txt` into it and runs every script `conformance/FOLDER/NAME.py` with
//! `--check`: it computes its vectors afresh and ends with status 0 if those in the tree agree. A script
//! whose name starts with `_` is a part of others.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::place::Place;
use crate::step::{Outcome, Trouble};
use crate::{tool, web};

/// Runs every script in the reference environment; all of them, even after one has failed.
pub fn check(place: &Place) -> Outcome {
    let python = environment(place)?;
    let scripts = scripts(&place.root.join("conformance"))?;
    if scripts.is_empty() {
        return Err(Trouble::Failed(
            "no script lies in a folder of conformance/: nothing was checked".into(),
        ));
    }
    let mut failed = Vec::new();
    for script in &scripts {
        let shown = place.shown(script);
        if tool::run(script_command(place, &python, script).arg("--check")).is_err() {
            failed.push(shown);
        }
    }
    let agreed = scripts.len() - failed.len();
    println!("\nreference: {agreed} passed, {} failed", failed.len());
    if failed.is_empty() {
        Ok(())
    } else {
        Err(Trouble::Failed(format!("vectors no longer agree: {}", failed.join(", "))))
    }
}

/// A script, ready to run in the reference environment, leaving no compiled files in the tree.
pub fn script_command(place: &Place, python: &Path, script: &Path) -> Command {
    let mut command = Command::new(python);
    command.arg(place.shown(script)).current_dir(&place.root);
    command.env("PYTHONDONTWRITEBYTECODE", "1").env("PYTHONUTF8", "1");
    command
}

/// The Python of the reference environment, which is made where it is missing or out of date.
pub fn environment(place: &Place) -> Result<PathBuf, Trouble> {
    let wanted = place.root.join("conformance/requirements.txt");
    let folder = place.target.join("pyref");
    let python = folder.join(if cfg!(windows) { "Scripts/python.exe" } else { "bin/python" });
    let stamp = folder.join("requirements.stamp");
    let made_of = format!("{:016x}\n", web::hashed(std::slice::from_ref(&wanted))?);
    if python.is_file() && fs::read_to_string(&stamp).is_ok_and(|text| text == made_of) {
        return Ok(python);
    }

    let base = tool::python()?;
    let mut venv = Command::new(base[0]);
    venv.args(&base[1..]).args(["-m", "venv", "--clear"]).arg(&folder);
    tool::run(&mut venv).map_err(|trouble| {
        Trouble::Lacking(format!(
            "{trouble}; Python lacks its `venv` module (Debian: `apt-get install python3-venv`)"
        ))
    })?;
    let mut pip = Command::new(&python);
    pip.args(["-m", "pip", "install", "--disable-pip-version-check", "--quiet", "-r"]).arg(&wanted);
    tool::run(&mut pip).map_err(|trouble| {
        Trouble::Lacking(format!(
            "{trouble}; the reference packages could not be installed: see above, then check the network and \
             conformance/requirements.txt"
        ))
    })?;
    web::write_all(&stamp, &made_of)?;
    Ok(python)
}

/// The scripts one folder down, sorted.
fn scripts(conformance: &Path) -> Result<Vec<PathBuf>, Trouble> {
    let children = |folder: &Path| -> Result<Vec<PathBuf>, Trouble> {
        let entries = fs::read_dir(folder)
            .map_err(|cause| Trouble::Failed(format!("{}: {cause}", folder.display())))?;
        Ok(entries.filter_map(Result::ok).map(|entry| entry.path()).collect())
    };
    let mut scripts = Vec::new();
    for folder in children(conformance)?.into_iter().filter(|path| path.is_dir()) {
        let is_script = |path: &PathBuf| {
            path.extension().is_some_and(|extension| extension == "py")
                && !path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('_'))
        };
        scripts.extend(children(&folder)?.into_iter().filter(is_script));
    }
    scripts.sort();
    Ok(scripts)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn scripts_are_found_one_folder_down_and_parts_are_left_out() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["a/make_b.py", "a/_part.py", "a/a.toml", "b/make_a.py", "top.py"] {
            web::write_all(&folder.path().join(name), "").unwrap();
        }
        let found = scripts(folder.path()).unwrap();
        let names: Vec<_> = found.iter().map(|file| file.file_name().unwrap().to_str().unwrap()).collect();
        assert_eq!(names, ["make_b.py", "make_a.py"]);
    }
}
