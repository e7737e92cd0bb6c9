//! Does every rule say what it asks, why, when it is sound, what it rests on and how to mend?
//!
//! A rule's documentation is the doc comment inside its `rule!`: the first line is the question, then one
//! heading for each of the rest. The program prints it as it stands, so a heading left out is a gap on a page.
//! Which headings, `crates/proof/src/rule.rs` says, in its list `HEADINGS`.

use super::Remark;
use super::tree::{File, Tree};

const FOLDER: &str = "crates/proof/src/rules/";
const LIST: &str = "crates/proof/src/rule.rs";

/// Every file of rules uses `rule!` and every rule in it is documented in full.
pub fn check(tree: &Tree) -> Vec<Remark> {
    let headings = tree.file(LIST).map(headings).unwrap_or_default();
    if headings.is_empty() {
        return vec![Remark::fault(
            LIST,
            "no list `HEADINGS: … = [\"…\", …];`, on one line: which headings has a rule?",
        )];
    }
    let is_rule = |file: &&File| {
        // The list of rules, and tests that stand beside a rule too long to hold them.
        let no_rule = file.name.ends_with("/mod.rs") || file.name.ends_with("_tests.rs");
        file.name.starts_with(FOLDER) && !no_rule && file.is_rust()
    };
    tree.rust().filter(is_rule).flat_map(|file| check_file(file, &headings)).collect()
}

/// The quoted words of the line that lists the headings.
fn headings(file: &File) -> Vec<&str> {
    let list = file.text.lines().find_map(|line| line.split_once(" HEADINGS: ")?.1.split_once('='));
    list.map(|(_, words)| words.split('"').skip(1).step_by(2).collect()).unwrap_or_default()
}

fn check_file(file: &File, headings: &[&str]) -> Vec<Remark> {
    let starts: Vec<usize> =
        file.lines().filter(|(_, line)| line.starts_with("rule! {")).map(|(number, _)| number).collect();
    if starts.is_empty() {
        return vec![Remark::fault(
            &file.name,
            "no `rule! {` in this file: a rule documents itself through it",
        )];
    }
    starts.into_iter().flat_map(|start| check_rule(file, start, headings)).collect()
}

fn check_rule(file: &File, start: usize, headings: &[&str]) -> Vec<Remark> {
    let doc: Vec<&str> = file
        .lines()
        .skip(start)
        .map(|(_, line)| line.trim_start())
        .take_while(|line| line.starts_with("///") || line.starts_with("#["))
        .filter_map(|line| Some(line.strip_prefix("///")?.trim()))
        .collect();
    let mut remarks = Vec::new();
    if !doc.first().is_some_and(|asks| asks.ends_with('?')) {
        remarks.push(Remark::fault(
            file.at(start + 1),
            "the documentation must begin with the question this rule asks",
        ));
    }
    for heading in headings {
        let text = doc
            .iter()
            .skip_while(|line| {
                !line.strip_prefix("## ").is_some_and(|words| words.eq_ignore_ascii_case(heading))
            })
            .skip(1)
            .take_while(|line| !line.starts_with('#'))
            .filter(|line| !line.is_empty());
        if text.count() == 0 {
            remarks
                .push(Remark::fault(file.at(start), format!("the rule says nothing under `## {heading}`")));
        }
    }
    remarks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tree::told;

    const SOUND: &str = "//! Head.\nrule! {\n    /// Is it so?\n    ///\n    /// ## Why\n    /// Because.\n    ///\n    /// \
                         ## Sound when\n    /// It is.\n    /// ## Rests on\n    /// A fact.\n    /// ## Mend\n    /// Do so.\n    \
                         Name = \"fit.name\", run\n}\n";

    const HEADINGS: &str =
        "pub const HEADINGS: [&str; 4] = [\"Why\", \"Sound when\", \"Rests on\", \"Mend\"];\n";

    fn check_text(text: &str) -> Vec<String> {
        told(&check(&Tree::of(&[(LIST, HEADINGS), ("crates/proof/src/rules/name.rs", text)])))
    }

    #[test]
    fn a_documented_rule_is_kept() {
        assert_eq!(check_text(SOUND), [""; 0]);
    }

    #[test]
    fn an_empty_heading_is_as_good_as_none() {
        let expected = ["crates/proof/src/rules/name.rs:2: the rule says nothing under `## Why`"];
        assert_eq!(check_text(&SOUND.replace("    /// Because.\n", "")), expected);
        assert_eq!(check_text(&SOUND.replace("## Why", "")), expected);
    }

    #[test]
    fn a_rule_that_asks_nothing_is_broken() {
        let expected = [
            "crates/proof/src/rules/name.rs:3: the documentation must begin with the question this rule asks",
        ];
        assert_eq!(check_text(&SOUND.replace("so?", "so.")), expected);
    }

    #[test]
    fn a_file_of_rules_without_a_rule_is_broken() {
        assert_eq!(check_text("//! Head.\n").len(), 1);
        assert_eq!(
            check(&Tree::of(&[(LIST, HEADINGS), ("crates/proof/src/rules/mod.rs", "//! Head.\n")])),
            []
        );
    }

    #[test]
    fn without_the_list_of_headings_nothing_can_be_judged() {
        assert_eq!(check(&Tree::of(&[("crates/proof/src/rules/name.rs", SOUND)])).len(), 1);
    }
}
