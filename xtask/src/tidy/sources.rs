//! Does every source say where, and does every script that made vectors lie beside them?

use toml_edit::{Document, Item};

use super::Remark;
use super::tree::{File, Tree};

/// No source literal leaves its title or place empty; no vectors name a script that is not there.
pub fn check(tree: &Tree) -> Vec<Remark> {
    let in_code = tree.rust().filter(|file| !file.name.starts_with("xtask/")).flat_map(check_literals);
    let vectors = tree
        .files
        .iter()
        .filter(|file| file.name.starts_with("conformance/") && file.name.ends_with(".toml"));
    in_code.chain(vectors.filter_map(|file| check_script(tree, file))).collect()
}

fn check_literals(file: &File) -> Vec<Remark> {
    let mut remarks = Vec::new();
    let mut inside = false;
    for (number, line) in file.lines().filter(|(_, line)| !line.trim_start().starts_with("//")) {
        inside |= line.contains("Source {");
        let spaceless: String = line.chars().filter(|letter| !letter.is_whitespace()).collect();
        let empty_field =
            inside && ["place:\"\"", "title:\"\""].iter().any(|empty| spaceless.contains(empty));
        if empty_field || spaceless.contains("common_practice(\"\")") {
            remarks.push(Remark::fault(
                file.at(number),
                "a source that does not say where; name the table, equation or clause",
            ));
        }
        inside &= !line.contains('}');
    }
    remarks
}

fn check_script(tree: &Tree, file: &File) -> Option<Remark> {
    let document = Document::parse(file.text.as_str()).ok()?;
    let script = document.as_table().get("made_by")?.get("script").and_then(Item::as_str)?;
    let (folder, _) = file.name.rsplit_once('/')?;
    let name = script.rsplit('/').next().unwrap_or(script);
    let there = tree.file(&format!("{folder}/{name}")).is_some();
    (!there).then(|| Remark::fault(&file.name, format!("made by `{script}`, which does not lie beside it")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tree::told;

    #[test]
    fn a_source_with_an_empty_place_is_broken() {
        let text = "//! Head.\nconst A: Source = Source {\n    title: \"ISO 273\",\n    place: \"\",\n    grade,\n};\n\
                    const B: Source = Source { title: \"ISO 273\", place: \"table 1\", grade };\n\
                    const C: Source = Source::common_practice(\"\");\nstruct Other { place: &'static str }\n";
        let tree = Tree::of(&[("crates/fit/src/a.rs", text)]);
        let words = "a source that does not say where; name the table, equation or clause";
        assert_eq!(
            told(&check(&tree)),
            [format!("crates/fit/src/a.rs:4: {words}"), format!("crates/fit/src/a.rs:8: {words}")]
        );
    }

    #[test]
    fn vectors_whose_script_is_gone_are_broken() {
        let vectors = "[made_by]\nscript = \"make.py\"\nversions = \"1\"\n";
        let tree = Tree::of(&[("conformance/a/x.toml", vectors)]);
        assert_eq!(
            told(&check(&tree)),
            ["conformance/a/x.toml: made by `make.py`, which does not lie beside it"]
        );
        let tree = Tree::of(&[("conformance/a/x.toml", vectors), ("conformance/a/make.py", "")]);
        assert_eq!(check(&tree), []);
    }
}
