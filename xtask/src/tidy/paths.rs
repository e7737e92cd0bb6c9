//! Does any file name a folder of somebody's machine, or the address of a package registry?
//!
//! A path into a home folder works on one machine only. A registry's address belongs to the reader's own
//! set-up: lock files keep names, versions and digests. `Cargo.lock` is left out, since its format needs one;
//! `package-lock.json` is held to have no download address at all. The words looked for are put together
//! here from parts, so that this file passes its own rule.

use serde_json::Value;

use super::Remark;
use super::tree::{File, Tree};

/// Beginnings of paths that exist on one machine only.
const HOMES: &[&str] = &[
    concat!("/ho", "me/"),
    concat!("/Us", "ers/"),
    concat!("/ro", "ot/"),
    concat!("/wo", "rk/"),
    concat!(":\\Us", "ers\\"),
];

/// Hosts of package registries, and settings that point a client at one.
const REGISTRIES: &[&str] = &[
    concat!("crates", ".io"),
    concat!("pypi", ".org"),
    concat!("python", "hosted.org"),
    concat!("npm", "js.org"),
    concat!("npm", "js.com"),
    concat!("deb.", "debian.org"),
    concat!("proxy.", "golang.org"),
    concat!("index", "-url"),
    concat!("replace", "-with"),
    concat!("npm_config_", "registry"),
];

/// No file but the lock files names such a place, and the lock of the pages names no address.
pub fn check(tree: &Tree) -> Vec<Remark> {
    let mut remarks = Vec::new();
    for file in &tree.files {
        match file.name.rsplit('/').next() {
            Some("Cargo.lock") => {}
            Some("package-lock.json") => remarks.extend(check_lock(file)),
            _ => remarks.extend(check_lines(file)),
        }
    }
    remarks
}

fn check_lines(file: &File) -> Vec<Remark> {
    let mut remarks = Vec::new();
    for (number, line) in file.lines() {
        for home in HOMES.iter().filter(|home| begins_a_path(line, home)) {
            let words = format!("`{home}…` exists on one machine only; make it relative, or ask for it");
            remarks.push(Remark::fault(file.at(number), words));
        }
        for host in REGISTRIES.iter().filter(|host| line.contains(*host)) {
            let words = format!("`{host}` points at a package registry; that is the reader's own set-up");
            remarks.push(Remark::fault(file.at(number), words));
        }
    }
    remarks
}

/// Whether the words begin a path here: inside a longer path or an address they are part of something else.
fn begins_a_path(line: &str, start: &str) -> bool {
    line.match_indices(start).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        start.starts_with(':')
            || !before.is_some_and(|letter| letter.is_alphanumeric() || "._-~/}*$".contains(letter))
    })
}

fn check_lock(file: &File) -> Vec<Remark> {
    let Ok(lock) = serde_json::from_str::<Value>(&file.text) else {
        return vec![Remark::fault(&file.name, "this lock file is no JSON")];
    };
    let packages = lock["packages"].as_object();
    let addressed = packages
        .into_iter()
        .flatten()
        .filter(|(_, package)| package["resolved"].as_str().is_some_and(|address| address.contains("://")));
    let remark = |(name, _): (&String, &Value)| {
        Remark::fault(
            &file.name,
            format!(
                "`{name}` has a download address; set `omit-lockfile-registry-resolved` in web/.npmrc and lock again"
            ),
        )
    };
    addressed.map(remark).take(5).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tree::told;

    #[test]
    fn a_path_into_a_home_folder_is_broken() {
        for home in HOMES {
            let line = format!("read \"{home}ada/craft.toml\"\n");
            assert_eq!(check(&Tree::of(&[("a.md", &line)])).len(), 1, "{line}");
        }
    }

    #[test]
    fn a_relative_path_or_an_address_is_kept() {
        for home in &HOMES[..4] {
            for line in
                [format!("web{home}page"), format!("frame{home}x"), format!("~{home}x"), format!("*{home}x")]
            {
                assert_eq!(check(&Tree::of(&[("a.md", &line)])), [], "{line}");
            }
        }
    }

    #[test]
    fn a_registry_is_broken_anywhere_but_in_the_cargo_lock() {
        for host in REGISTRIES {
            let line = format!("see {host}\n");
            assert_eq!(check(&Tree::of(&[("a.toml", &line), ("Cargo.lock", &line)])).len(), 1, "{line}");
        }
    }

    #[test]
    fn a_page_package_with_a_download_address_is_broken() {
        let lock = r#"{"packages": {"": {}, "node_modules/a": {"version": "1.0.0"},
            "node_modules/b": {"resolved": "https://host.invalid/b.tgz"}}}"#;
        let told = told(&check(&Tree::of(&[("web/package-lock.json", lock)])));
        assert_eq!(told.len(), 1);
        assert!(told[0].contains("`node_modules/b` has a download address"), "{told:?}");
    }
}
