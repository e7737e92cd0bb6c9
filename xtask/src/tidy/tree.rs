//! The files that are or would be tracked, read once, with what cargo knows of the dependencies.

use std::fs;
use std::process::Command;

use serde_json::Value;

use crate::place::Place;
use crate::step::Trouble;
use crate::tool;

/// Larger files hold data, not writing.
const BYTES_MAX: u64 = 2_000_000;

/// One text file.
pub struct File {
    /// From the project's folder, with forward slashes.
    pub name: String,
    /// What it says.
    pub text: String,
}

impl File {
    /// Whether it is a Rust source.
    pub fn is_rust(&self) -> bool {
        self.name.ends_with(".rs")
    }

    /// Its lines with their numbers.
    pub fn lines(&self) -> impl Iterator<Item = (usize, &str)> {
        self.text.lines().enumerate().map(|(index, line)| (index + 1, line))
    }

    /// A place in it for a remark.
    pub fn at(&self, line: usize) -> String {
        format!("{}:{line}", self.name)
    }
}

/// Everything the house rules look at.
#[derive(Default)]
pub struct Tree {
    /// The text files.
    pub files: Vec<File>,
    /// The packages that cargo resolves.
    pub packages: Vec<Value>,
}

impl Tree {
    /// Reads the tree as git sees it: tracked files and new ones that are not ignored.
    pub fn read(place: &Place) -> Result<Self, Trouble> {
        let mut git = Command::new("git");
        git.args(["ls-files", "-z", "--cached", "--others", "--exclude-standard"]).current_dir(&place.root);
        let names = tool::said(&mut git).ok_or_else(|| {
            Trouble::Lacking("git could not list the project's files: install git and work in a clone".into())
        })?;
        let mut files = Vec::new();
        for name in names.split('\0').filter(|name| !name.is_empty()) {
            let path = place.root.join(name);
            // A file that is deleted but still tracked, or holds data, says nothing here.
            let small = fs::metadata(&path).is_ok_and(|about| about.is_file() && about.len() <= BYTES_MAX);
            if let Some(text) =
                small.then(|| fs::read(&path).ok()).flatten().and_then(|bytes| String::from_utf8(bytes).ok())
            {
                files.push(File { name: name.to_owned(), text: text.replace("\r\n", "\n") });
            }
        }
        files.sort_by(|a, b| a.name.cmp(&b.name));
        let mut cargo = place.cargo(["metadata", "--format-version", "1", "--locked", "--quiet"]);
        let metadata =
            tool::said(&mut cargo).and_then(|text| serde_json::from_str::<Value>(&text).ok()).ok_or_else(
                || Trouble::Failed("`cargo metadata --locked` failed: is Cargo.lock up to date?".into()),
            )?;
        let packages = metadata["packages"].as_array().cloned().unwrap_or_default();
        Ok(Self { files, packages })
    }

    /// The file of this name.
    pub fn file(&self, name: &str) -> Option<&File> {
        self.files.iter().find(|file| file.name == name)
    }

    /// The Rust sources.
    pub fn rust(&self) -> impl Iterator<Item = &File> {
        self.files.iter().filter(|file| file.is_rust())
    }

    /// A tree of these files, for tests.
    #[cfg(test)]
    pub fn of(files: &[(&str, &str)]) -> Self {
        let file = |(name, text): &(&str, &str)| File { name: (*name).into(), text: (*text).into() };
        Self { files: files.iter().map(file).collect(), packages: Vec::new() }
    }
}

/// The places and words of remarks, a line each, for tests.
#[cfg(test)]
pub fn told(remarks: &[super::Remark]) -> Vec<String> {
    remarks.iter().map(|remark| format!("{}: {}", remark.place, remark.words)).collect()
}
