//! The pages: installed and built when what they are made of has changed, else left alone.
//!
//! What they are made of is hashed into a stamp file beside the build; the same hash again means fresh. For
//! the packages that is the lock file, for the pages every source below `web/`, for both the version of
//! Node.js. A stamp is written only after the step succeeded, so an interrupted one is done again.

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

use crate::place::Place;
use crate::step::{Outcome, Trouble};
use crate::tool;

/// Folders of `web/` that are made, not written.
const MADE: &[&str] = &["node_modules", "dist", "test-results"];

/// Installs the packages that the lock file names, unless they are there.
pub fn install(place: &Place) -> Outcome {
    let web = present(place)?;
    let made_of = hashed(&[web.join("package.json"), web.join("package-lock.json")])?;
    let stamp = Stamp::new(place, "web-packages", made_of)?;
    if stamp.is_fresh() && web.join("node_modules").is_dir() {
        println!("packages of the pages are fresh");
        return Ok(());
    }
    tool::run(&mut tool::npm(&web, &["ci", "--no-audit", "--no-fund"])?)?;
    stamp.write()
}

/// Builds the pages, unless they are as new as their sources.
pub fn build(place: &Place) -> Outcome {
    install(place)?;
    let web = present(place)?;
    let stamp = Stamp::new(place, "web-pages", hashed(&sources(&web)?)?)?;
    if stamp.is_fresh() && web.join("dist/index.html").is_file() {
        println!("pages are fresh");
        return Ok(());
    }
    tool::run(&mut tool::npm(&web, &["run", "build"])?)?;
    if !web.join("dist/index.html").is_file() {
        return Err(Trouble::Failed("the build of the pages left no web/dist/index.html".into()));
    }
    stamp.write()
}

/// Runs one of the scripts that `web/package.json` lists.
pub fn script(place: &Place, name: &str) -> Outcome {
    install(place)?;
    tool::run(&mut tool::npm(&present(place)?, &["run", name])?)
}

/// The folder of the pages, if they are there to be installed.
pub fn present(place: &Place) -> Result<PathBuf, Trouble> {
    let web = place.web();
    for name in ["package.json", "package-lock.json"] {
        if !web.join(name).is_file() {
            return Err(Trouble::Failed(format!("web/{name} is missing: the pages cannot be built")));
        }
    }
    Ok(web)
}

struct Stamp {
    file: PathBuf,
    text: String,
}

impl Stamp {
    fn new(place: &Place, name: &str, made_of: u64) -> Result<Self, Trouble> {
        let node = tool::node_version()?;
        Ok(Self {
            file: place.target.join(format!("{name}.stamp")),
            text: format!("{made_of:016x} node {node}\n"),
        })
    }

    fn is_fresh(&self) -> bool {
        fs::read_to_string(&self.file).is_ok_and(|text| text == self.text)
    }

    fn write(&self) -> Outcome {
        write_all(&self.file, &self.text)
    }
}

/// Writes a small file, folders included.
pub fn write_all(file: &Path, text: &str) -> Outcome {
    let folder = file.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder)
        .and_then(|()| fs::write(file, text))
        .map_err(|cause| Trouble::Failed(format!("{}: {cause}", file.display())))
}

/// One number for the names and contents of files.
pub fn hashed(files: &[PathBuf]) -> Result<u64, Trouble> {
    let mut hasher = DefaultHasher::new();
    for file in files {
        let bytes =
            fs::read(file).map_err(|cause| Trouble::Failed(format!("{}: {cause}", file.display())))?;
        file.hash(&mut hasher);
        bytes.hash(&mut hasher);
    }
    Ok(hasher.finish())
}

/// Every file below a folder that somebody wrote, sorted.
fn sources(folder: &Path) -> Result<Vec<PathBuf>, Trouble> {
    let trouble = |cause| Trouble::Failed(format!("{}: {cause}", folder.display()));
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(trouble)? {
        let path = entry.map_err(trouble)?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            if !MADE.contains(&name.as_str()) && !name.starts_with('.') {
                files.extend(sources(&path)?);
            }
        } else {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_is_made_is_no_source_and_a_change_of_one_letter_is_seen() {
        let folder = tempfile::tempdir().unwrap();
        let write = |name: &str, text: &str| write_all(&folder.path().join(name), text).unwrap();
        write("src/a.ts", "a");
        write("package.json", "{}");
        write("node_modules/x/index.js", "x");
        write("dist/index.html", "<html>");
        write(".svelte-kit/made.ts", "made");
        let found = sources(folder.path()).unwrap();
        let names: Vec<_> = found.iter().map(|file| file.file_name().unwrap().to_str().unwrap()).collect();
        assert_eq!(names, ["package.json", "a.ts"]);

        let before = hashed(&found).unwrap();
        assert_eq!(hashed(&found).unwrap(), before);
        write("src/a.ts", "b");
        assert_ne!(hashed(&found).unwrap(), before);
    }

    #[test]
    fn missing_pages_are_told_by_file() {
        let folder = tempfile::tempdir().unwrap();
        let place = Place { root: folder.path().into(), target: folder.path().join("target") };
        assert_eq!(
            install(&place),
            Err(Trouble::Failed("web/package.json is missing: the pages cannot be built".into()))
        );
    }
}
