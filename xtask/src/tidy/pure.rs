//! Do the pure crates stay pure: same inputs, same bits, nothing read and nothing said?
//!
//! Looks for the doors to the outside by name in the part of each source that is not test. A word search is
//! no proof, but these doors have no other names, and clippy sees to the rest.

use super::Remark;
use super::arrows::CRATES;
use super::tree::{File, Tree};

/// The doors, and what is behind each.
const DOORS: &[(&str, &str)] = &[
    ("std::fs", "reads files"),
    ("std::net", "reaches a network"),
    ("std::env::", "reads the environment"),
    ("std::process", "starts processes"),
    ("std::io::std", "reads or writes the terminal"),
    ("SystemTime", "reads the clock"),
    ("Instant::now", "reads the clock"),
    ("println!", "writes to the terminal"),
    ("thread_rng", "draws numbers without a seed"),
    ("rand::rng(", "draws numbers without a seed"),
    ("from_os_rng", "draws numbers without a seed"),
];

/// No pure crate opens a door to the outside.
pub fn check(tree: &Tree) -> Vec<Remark> {
    let is_pure = |file: &&File| {
        let pure = CRATES.iter().filter(|known| known.pure);
        // The program of `conformance` prints what its library found.
        let mut folders =
            pure.flat_map(|known| [format!("crates/{}/src/", known.name), format!("{}/src/", known.name)]);
        folders.any(|folder| file.name.starts_with(&folder)) && !file.name.ends_with("/main.rs")
    };
    tree.rust().filter(is_pure).flat_map(check_file).collect()
}

fn check_file(file: &File) -> Vec<Remark> {
    let code = file.lines().take_while(|(_, line)| !line.starts_with("#[cfg(test)]"));
    let mut remarks = Vec::new();
    for (number, line) in code.filter(|(_, line)| !line.trim_start().starts_with("//")) {
        for (door, behind) in DOORS.iter().filter(|(door, _)| line.contains(door)) {
            let words = format!("`{door}` {behind}; a pure crate takes such things as arguments");
            remarks.push(Remark::fault(file.at(number), words));
        }
    }
    remarks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tree::told;

    #[test]
    fn a_pure_crate_that_reads_the_clock_is_broken() {
        let text = "//! Head.\nfn now() { std::time::Instant::now(); }\n";
        let tree = Tree::of(&[("crates/fit/src/a.rs", text), ("crates/workshop/src/a.rs", text)]);
        let expected = "crates/fit/src/a.rs:2: `Instant::now` reads the clock; a pure crate takes such things as arguments";
        assert_eq!(told(&check(&tree)), [expected]);
    }

    #[test]
    fn tests_and_prose_may_name_the_doors() {
        let text = "//! Never std::fs.\n/// not println!\n#[cfg(test)]\nmod tests { use std::fs; }\n";
        assert_eq!(check(&Tree::of(&[("crates/fit/src/a.rs", text)])), []);
    }
}
