//! Which crate may know which: one list, from which the check and the picture in ARCHITECTURE.md both come.
//!
//! Arrows run downward only. The list is in the order of the picture, top first, and a crate may know only
//! crates further down; that alone rules out circles. Tests may know what their crate may know and no more.

use std::fs;

use toml_edit::{Document, Item};

use super::Remark;
use super::tree::{File, Tree};
use crate::place::Place;
use crate::step::{Outcome, Trouble};

/// One crate of the workspace, what it may know, and whether it is pure.
pub struct Crate {
    /// Its name.
    pub name: &'static str,
    /// The crates of the workspace that it may know.
    pub knows: &'static [&'static str],
    /// No file, clock, network, environment or randomness without a seed.
    pub pure: bool,
}

/// Every crate, top first.
pub const CRATES: &[Crate] = &[
    Crate {
        name: "creance",
        knows: &[
            "workshop",
            "cards",
            "care",
            "firmware",
            "drawing",
            "conformance",
            "proof",
            "craft",
            "faults",
            "fit",
            "optics",
            "quantity",
        ],
        pure: false,
    },
    Crate { name: "workshop", knows: &["craft", "care", "firmware", "quantity"], pure: false },
    Crate { name: "drawing", knows: &["proof", "craft", "fit", "quantity"], pure: true },
    Crate {
        name: "conformance",
        knows: &["fit", "optics", "radio", "power", "wiring", "faults", "firmware", "quantity"],
        pure: true,
    },
    Crate {
        name: "proof",
        knows: &["care", "firmware", "craft", "fit", "optics", "radio", "power", "wiring", "quantity"],
        pure: true,
    },
    Crate { name: "craft", knows: &["quantity"], pure: true },
    Crate { name: "fit", knows: &["quantity"], pure: true },
    Crate { name: "optics", knows: &["quantity"], pure: true },
    Crate { name: "radio", knows: &["quantity"], pure: true },
    Crate { name: "power", knows: &["quantity"], pure: true },
    Crate { name: "faults", knows: &["quantity"], pure: true },
    Crate { name: "care", knows: &["quantity"], pure: true },
    Crate { name: "cards", knows: &["firmware"], pure: false },
    Crate { name: "firmware", knows: &[], pure: true },
    Crate { name: "wiring", knows: &["quantity"], pure: true },
    Crate { name: "quantity", knows: &[], pure: true },
    Crate { name: "xtask", knows: &[], pure: false },
];

const MAP: &str = "ARCHITECTURE.md";
const BEGIN: &str = "<!-- arrows: made by `cargo xtask tidy --write` -->";
const END: &str = "<!-- end of arrows -->";

/// No crate depends on one that the list does not let it know, and every crate is listed.
pub fn check(tree: &Tree) -> Vec<Remark> {
    let mut remarks = Vec::new();
    for file in
        tree.files.iter().filter(|file| file.name.ends_with("Cargo.toml") && file.name != "Cargo.toml")
    {
        remarks.extend(check_manifest(file));
    }
    for known in CRATES.iter().filter(|known| manifest(tree, known.name).is_none()) {
        remarks.push(Remark::fault(
            "xtask/src/tidy/arrows.rs",
            format!("crate `{}` is listed but not there", known.name),
        ));
    }
    remarks
}

fn manifest<'t>(tree: &'t Tree, name: &str) -> Option<&'t File> {
    tree.file(&format!("crates/{name}/Cargo.toml")).or_else(|| tree.file(&format!("{name}/Cargo.toml")))
}

fn check_manifest(file: &File) -> Vec<Remark> {
    let document = match Document::parse(file.text.as_str()) {
        Ok(document) => document,
        Err(error) => return vec![Remark::fault(&file.name, error.message().to_owned())],
    };
    let root = document.as_table();
    let name = root
        .get("package")
        .and_then(|package| package.get("name"))
        .and_then(Item::as_str)
        .unwrap_or_default();
    let Some(place) = CRATES.iter().position(|known| known.name == name) else {
        // The fuzz targets are a workspace of their own, outside the arrows.
        let apart = root.get("workspace").is_some();
        let words = format!(
            "crate `{name}` is not in the list of xtask/src/tidy/arrows.rs; say there what it may know"
        );
        return if apart { Vec::new() } else { vec![Remark::fault(&file.name, words)] };
    };

    let mut remarks = Vec::new();
    for section in ["dependencies", "dev-dependencies", "build-dependencies"] {
        let Some(table) = root.get(section).and_then(Item::as_table_like) else { continue };
        for (dependency, _) in table.iter() {
            let ours = CRATES.iter().any(|known| known.name == dependency);
            if ours && !CRATES[place].knows.contains(&dependency) {
                let words =
                    format!("`{name}` may not know `{dependency}` ({section}); arrows run downward only");
                remarks.push(Remark::fault(&file.name, words));
            }
        }
    }
    let inherits = root.get("lints").and_then(|lints| lints.get("workspace")).and_then(Item::as_bool);
    if inherits != Some(true) {
        remarks.push(Remark::fault(
            &file.name,
            "the lints of the workspace do not apply; add `[lints] workspace = true`",
        ));
    }
    remarks
}

/// The picture in ARCHITECTURE.md is the one this list gives, and every folder has its line there.
pub fn check_picture(tree: &Tree) -> Vec<Remark> {
    let Some(map) = tree.file(MAP) else {
        return vec![Remark::fault(MAP, "the map is missing")];
    };
    let mut remarks = Vec::new();
    match with_picture(&map.text) {
        None => remarks.push(Remark::fault(
            MAP,
            format!("the picture's place is missing: a line `{BEGIN}`, then `{END}`"),
        )),
        Some(fresh) if fresh != map.text => {
            remarks
                .push(Remark::fault(MAP, "the picture lags behind the list; run `cargo xtask tidy --write`"));
        }
        Some(_) => {}
    }
    let mut folders: Vec<&str> =
        tree.files.iter().filter_map(|file| Some(file.name.split_once('/')?.0)).collect();
    folders.dedup();
    for folder in folders.iter().filter(|folder| !map.text.contains(&format!("`{folder}/"))) {
        remarks.push(Remark::fault(MAP, format!("folder `{folder}/` has no line on the map")));
    }
    remarks
}

/// Brings the picture up to date.
pub fn write_picture(place: &Place) -> Outcome {
    let path = place.root.join(MAP);
    let trouble = |cause| Trouble::Failed(format!("{MAP}: {cause}"));
    let text = fs::read_to_string(&path).map_err(trouble)?;
    let fresh = with_picture(&text).ok_or_else(|| {
        Trouble::Failed(format!("{MAP} has no place for the picture: a line `{BEGIN}`, then `{END}`"))
    })?;
    if fresh != text {
        fs::write(&path, fresh).map_err(trouble)?;
        println!("{MAP}: picture of arrows written");
    }
    Ok(())
}

fn with_picture(text: &str) -> Option<String> {
    let (before, rest) = text.split_once(BEGIN)?;
    let (_, after) = rest.split_once(END)?;
    Some(format!("{before}{BEGIN}\n```text\n{}```\n{END}{after}", picture()))
}

fn picture() -> String {
    let width = CRATES.iter().map(|known| known.name.len()).max().unwrap_or(0);
    let line = |known: &Crate| {
        let knows = if known.knows.is_empty() { "nobody".to_owned() } else { known.knows.join(", ") };
        format!("{:<width$} ──▶ {knows}\n", known.name)
    };
    CRATES.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tree::told;

    fn manifest(name: &str, dependencies: &str) -> String {
        format!("[package]\nname = \"{name}\"\n[lints]\nworkspace = true\n[dependencies]\n{dependencies}")
    }

    fn check_one(name: &str, text: &str) -> Vec<String> {
        told(&check_manifest(&File { name: format!("crates/{name}/Cargo.toml"), text: text.into() }))
    }

    #[test]
    fn the_list_itself_runs_downward() {
        for (place, known) in CRATES.iter().enumerate() {
            for below in known.knows {
                let there = CRATES.iter().position(|other| other.name == *below);
                assert!(there.is_some_and(|there| there > place), "{} -> {below}", known.name);
            }
        }
    }

    #[test]
    fn an_arrow_downward_is_kept() {
        assert_eq!(
            check_one("proof", &manifest("proof", "craft.workspace = true\nserde = \"1\"\n")),
            [""; 0]
        );
    }

    #[test]
    fn an_arrow_upward_is_broken_even_for_tests() {
        let expected =
            "crates/fit/Cargo.toml: `fit` may not know `craft` (dependencies); arrows run downward only";
        assert_eq!(check_one("fit", &manifest("fit", "craft.workspace = true\n")), [expected]);
        let tests = manifest("fit", "[dev-dependencies]\ncraft = { path = \"../craft\" }\n");
        assert_eq!(check_one("fit", &tests), [expected.replace("(dep", "(dev-dep")]);
    }

    #[test]
    fn a_crate_that_is_not_listed_is_broken() {
        let told = check_one("extra", &manifest("extra", ""));
        assert!(told[0].contains("crate `extra` is not in the list"), "{told:?}");
        assert_eq!(check_one("extra", &format!("{}[workspace]\n", manifest("extra", ""))), [""; 0]);
    }

    #[test]
    fn a_crate_without_the_shared_lints_is_broken() {
        let text = manifest("fit", "").replace("workspace = true", "");
        assert!(check_one("fit", &text)[0].contains("lints of the workspace"));
    }

    #[test]
    fn a_stale_picture_is_seen_and_written_afresh() {
        let stale = format!("# Map\n`crates/`\n{BEGIN}\nold\n{END}\nafter\n");
        let fresh = with_picture(&stale).unwrap_or_default();
        assert!(fresh.contains("optics      ──▶ quantity\n") && fresh.ends_with("after\n"), "{fresh}");
        let files = [(MAP, stale.as_str()), ("crates/fit/Cargo.toml", "")];
        assert_eq!(check_picture(&Tree::of(&files)).len(), 1);
        assert_eq!(check_picture(&Tree::of(&[(MAP, fresh.as_str()), ("crates/fit/Cargo.toml", "")])), []);
    }

    #[test]
    fn a_folder_without_a_line_on_the_map_is_broken() {
        let map = with_picture(&format!("{BEGIN}{END}")).unwrap_or_default();
        let told = told(&check_picture(&Tree::of(&[(MAP, map.as_str()), ("misc/a.rs", "")])));
        assert_eq!(told, ["ARCHITECTURE.md: folder `misc/` has no line on the map"]);
    }
}
