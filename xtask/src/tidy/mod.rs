//! Are the rules of the house kept?
//!
//! Each rule is a plain function from the tree (the files that are or would be tracked, read once) to
//! remarks. A fault fails the run, a hint does not. Left out on purpose: what the compiler, clippy or a
//! crate's own tests already hold, such as that the generated TypeScript is fresh.

mod arrows;
mod heads;
mod licences;
mod paths;
mod pure;
mod rule_docs;
mod sources;
mod spdx;
mod tree;

use std::process::ExitCode;

use crate::place::Place;
use crate::step::{Outcome, Trouble};
use tree::Tree;

/// What a house rule says of one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    weight: Weight,
    /// File, or file and line.
    place: String,
    words: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Weight {
    Fault,
    Hint,
}

impl Remark {
    fn fault(place: impl Into<String>, words: impl Into<String>) -> Self {
        Self { weight: Weight::Fault, place: place.into(), words: words.into() }
    }

    fn hint(place: impl Into<String>, words: impl Into<String>) -> Self {
        Self { weight: Weight::Hint, place: place.into(), words: words.into() }
    }
}

/// A house rule.
struct Rule {
    name: &'static str,
    holds: &'static str,
    run: fn(&Tree) -> Vec<Remark>,
}

const RULES: &[Rule] = &[
    Rule { name: "arrows", holds: "crates know only those below them", run: arrows::check },
    Rule {
        name: "picture",
        holds: "ARCHITECTURE.md shows the arrows and every folder",
        run: arrows::check_picture,
    },
    Rule { name: "pure", holds: "pure crates read no file, clock, network or environment", run: pure::check },
    Rule { name: "heads", holds: "every Rust file says first what it answers", run: heads::check_heads },
    Rule { name: "length", holds: "no file has grown into two", run: heads::check_lengths },
    Rule { name: "names", holds: "files are named for the thing they hold", run: heads::check_names },
    Rule { name: "rule docs", holds: "every rule documents itself", run: rule_docs::check },
    Rule { name: "sources", holds: "every source says where", run: sources::check },
    Rule { name: "paths", holds: "no file names a machine or a registry", run: paths::check },
    Rule { name: "licences", holds: "every dependency is under a permissive licence", run: licences::check },
];

/// The command: checks, after bringing the picture up to date if asked to.
pub fn tidy(place: &Place, arguments: &[String]) -> Result<ExitCode, Trouble> {
    match arguments {
        [] => {}
        [option] if option == "--write" => arrows::write_picture(place)?,
        [other, ..] => return Err(Trouble::Usage(format!("tidy has no option `{other}`; it has --write"))),
    }
    check(place).map(|()| ExitCode::SUCCESS)
}

/// Runs every house rule and prints what each says.
pub fn check(place: &Place) -> Outcome {
    let tree = Tree::read(place)?;
    let mut faults = 0;
    for rule in RULES {
        let remarks = (rule.run)(&tree);
        let broken = remarks.iter().filter(|remark| remark.weight == Weight::Fault).count();
        faults += broken;
        println!("{:<10} {:<7} {}", rule.name, if broken == 0 { "kept" } else { "BROKEN" }, rule.holds);
        for Remark { weight, place, words } in remarks {
            println!("  {} {place}: {words}", if weight == Weight::Fault { "fault" } else { "hint " });
        }
    }
    println!("\n{} files read, {} rules of the house, faults: {faults}", tree.files.len(), RULES.len());
    if faults == 0 {
        Ok(())
    } else {
        Err(Trouble::Failed(format!("the rules of the house are broken, faults: {faults}")))
    }
}
