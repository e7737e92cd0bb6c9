//! Is every dependency, of the program and of the pages, under a permissive licence?
//!
//! The list of licences and the exceptions stand in `xtask/licences.toml`. Crates are read from what cargo
//! resolves, the packages of the pages from their lock file; a licence text without an identifier does not
//! count. An exception that nothing needs any more is told as a hint.

use serde_json::Value;
use toml_edit::{Document, Item};

use super::Remark;
use super::spdx::is_met;
use super::tree::Tree;

const LIST: &str = "xtask/licences.toml";
const LOCK: &str = "web/package-lock.json";

struct Exception {
    name: String,
    licence: String,
    not_shipped: bool,
}

impl Exception {
    fn covers(&self, name: &str) -> bool {
        match self.name.strip_suffix('*') {
            Some(beginning) => name.starts_with(beginning),
            None => name == self.name,
        }
    }
}

struct List {
    allowed: Vec<String>,
    exceptions: Vec<Exception>,
}

/// One thing we depend on.
struct Dependency {
    place: &'static str,
    name: String,
    licence: String,
    not_shipped: bool,
}

/// Every dependency can be had under an allowed licence, or is a listed exception.
pub fn check(tree: &Tree) -> Vec<Remark> {
    let list = match tree.file(LIST).map(|file| read_list(&file.text)) {
        Some(Ok(list)) => list,
        Some(Err(words)) => return vec![Remark::fault(LIST, words)],
        None => return vec![Remark::fault(LIST, "the list of licences is missing")],
    };
    let mut dependencies: Vec<Dependency> = tree.packages.iter().filter_map(crate_of).collect();
    if let Some(lock) = tree.file(LOCK).and_then(|file| serde_json::from_str::<Value>(&file.text).ok()) {
        dependencies.extend(lock["packages"].as_object().into_iter().flatten().filter_map(page_package));
    }
    judge(&list, &dependencies)
}

fn judge(list: &List, dependencies: &[Dependency]) -> Vec<Remark> {
    let excepted = |dependency: &Dependency| {
        list.exceptions.iter().any(|exception| {
            exception.covers(&dependency.name)
                && exception.licence == dependency.licence
                && (dependency.not_shipped || !exception.not_shipped)
        })
    };
    let allowed = |licence: &str| list.allowed.iter().any(|known| known == licence);
    let mut remarks: Vec<Remark> = dependencies
        .iter()
        .filter(|dependency| !is_met(&dependency.licence, &allowed) && !excepted(dependency))
        .map(|Dependency { place, name, licence, not_shipped }| {
            let licence = if licence.is_empty() { "no licence identifier" } else { licence };
            let for_what = if *not_shipped { "not shipped" } else { "part of the product" };
            Remark::fault(
                *place,
                format!("`{name}` ({for_what}) is under {licence}; take another, or see {LIST}"),
            )
        })
        .collect();
    let unused =
        |exception: &&Exception| !dependencies.iter().any(|dependency| exception.covers(&dependency.name));
    for Exception { name, .. } in list.exceptions.iter().filter(unused) {
        remarks.push(Remark::hint(LIST, format!("the exception for `{name}` is not needed; remove it")));
    }
    remarks
}

fn crate_of(package: &Value) -> Option<Dependency> {
    // Packages without a source are our own.
    package["source"].as_str()?;
    Some(Dependency {
        place: "Cargo.lock",
        name: package["name"].as_str().unwrap_or_default().to_owned(),
        licence: package["license"].as_str().unwrap_or_default().to_owned(),
        not_shipped: false,
    })
}

fn page_package((path, package): (&String, &Value)) -> Option<Dependency> {
    let (_, name) = path.rsplit_once("node_modules/")?;
    Some(Dependency {
        place: LOCK,
        name: name.to_owned(),
        licence: package["license"].as_str().unwrap_or_default().to_owned(),
        not_shipped: package["dev"].as_bool() == Some(true),
    })
}

fn read_list(text: &str) -> Result<List, String> {
    let document = Document::parse(text).map_err(|error| error.message().to_owned())?;
    let root = document.as_table();
    let allowed = root.get("allowed").and_then(Item::as_array).into_iter().flatten();
    let allowed = allowed.filter_map(|licence| Some(licence.as_str()?.to_owned())).collect();
    let rows = root.get("exception").and_then(Item::as_array_of_tables).into_iter().flatten();
    let exception = |row: &toml_edit::Table| {
        let words = |key: &str| row.get(key).and_then(Item::as_str).filter(|words| !words.trim().is_empty());
        words("because").ok_or("an exception needs its reason: because = \"…\"")?;
        Ok(Exception {
            name: words("name").ok_or("an exception needs a name")?.to_owned(),
            licence: words("licence").ok_or("an exception needs a licence")?.to_owned(),
            not_shipped: row.get("not_shipped").and_then(Item::as_bool) == Some(true),
        })
    };
    Ok(List { allowed, exceptions: rows.map(exception).collect::<Result<_, String>>()? })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::tidy::tree::{File, told};

    const TEXT: &str = "allowed = [\"MIT\"]\n[[exception]]\nname = \"scan\"\nlicence = \"MPL-2.0\"\nnot_shipped = true\nbecause = \"tests\"\n";

    fn tree(lock: &str, crate_licence: Value) -> Tree {
        Tree {
            files: vec![
                File { name: LIST.into(), text: TEXT.into() },
                File { name: LOCK.into(), text: format!("{{\"packages\": {{\"\": {{}}, {lock}}}}}") },
            ],
            packages: vec![
                serde_json::json!({"name": "ours", "source": null, "license": null}),
                serde_json::json!({"name": "theirs", "source": "registry", "license": crate_licence}),
            ],
        }
    }

    const SCAN: &str = r#""node_modules/scan": {"license": "MPL-2.0", "dev": true}"#;

    #[test]
    fn permissive_dependencies_and_the_listed_exception_are_kept() {
        assert_eq!(check(&tree(SCAN, "MIT OR GPL-2.0".into())), []);
    }

    #[test]
    fn an_exception_for_tests_does_not_cover_the_product() {
        let told = told(&check(&tree(&SCAN.replace(", \"dev\": true", ""), "MIT".into())));
        let expected = "web/package-lock.json: `scan` (part of the product) is under MPL-2.0; take another, or see xtask/licences.toml";
        assert_eq!(told, [expected]);
    }

    #[test]
    fn a_crate_without_identifier_or_under_another_licence_is_broken() {
        for licence in [Value::Null, "GPL-3.0".into()] {
            assert_eq!(check(&tree(SCAN, licence)).len(), 1);
        }
    }

    #[test]
    fn a_star_covers_all_names_that_begin_so() {
        let list = read_list(&TEXT.replace("\"scan\"", "\"scan*\"")).unwrap();
        let covered: Vec<bool> =
            ["scan", "scan-linux", "unscan"].map(|name| list.exceptions[0].covers(name)).into();
        assert_eq!(covered, [true, true, false]);
    }

    #[test]
    fn an_exception_that_nothing_needs_is_told() {
        let told = told(&check(&tree(r#""node_modules/a": {"license": "MIT"}"#, "MIT".into())));
        assert_eq!(told, ["xtask/licences.toml: the exception for `scan` is not needed; remove it"]);
    }

    #[test]
    fn an_exception_needs_its_reason() {
        assert!(read_list(&TEXT.replace("because = \"tests\"", "")).is_err());
    }

    #[test]
    fn the_list_that_is_shipped_can_be_read() {
        let list = read_list(include_str!("../../licences.toml")).unwrap();
        assert!(list.allowed.len() > 5 && !list.allowed.iter().any(|licence| licence.contains("GPL")));
    }
}
