//! The demo: the sheets of `demo/`, carried in the program.

use crate::intake;
use crate::refusal::Refusal;
use craft::{Craft, read_sheet};
use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "$CARGO_MANIFEST_DIR/../../demo"]
#[allow_missing = true]
struct Sheets;

/// Every craft of the demo with the text of its sheet, by the name of the sheet.
pub fn craft() -> Result<Vec<(Craft, String)>, Refusal> {
    let mut craft = Vec::new();
    for (name, text) in sheets() {
        craft.push((intake::whole(read_sheet(&text), &format!("demo sheet {name:?}"))?, text));
    }
    Ok(craft)
}

fn sheets() -> Vec<(String, String)> {
    let mut names: Vec<_> = Sheets::iter().filter(|name| name.ends_with(".toml")).collect();
    names.sort();
    let text = |name: &str| Some(String::from_utf8_lossy(&Sheets::get(name)?.data).into_owned());
    names.into_iter().filter_map(|name| Some((name.to_string(), text(&name)?))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sheet_of_the_demo_is_without_fault() {
        for (name, text) in sheets() {
            let faults: Vec<String> = intake::remarks(&read_sheet(&text));
            assert!(faults.is_empty(), "{name}: {faults:?}");
        }
        assert!(craft().is_ok());
    }
}
