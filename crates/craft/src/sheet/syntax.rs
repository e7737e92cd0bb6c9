//! Text that is no TOML: told in our words, all of it in one pass.
//!
//! The parser stops at the first slip. To tell the rest in the same pass, the line that holds the slip is
//! blanked and the text parsed again, a few times over. What such a text still yields is checked value by
//! value, but not as a whole: with lines missing, references would seem to dangle.

use super::SheetFaultKind;
use super::lines::Lines;
use crate::text_fault::shown;
use toml_edit::Document;

/// How many slips are told before the rest is left unread.
const SLIPS_MAX: usize = 25;
/// How many bytes may be parsed again for the sake of further slips.
const AGAIN_BYTES_MAX: usize = 1 << 20;
/// What a heading with a slip becomes, so that what stands under it is not taken for something else's.
pub(super) const LOST: &str = "creance_lost_heading";

/// A text that could be parsed, with the slips that were blanked in it.
pub(super) struct Parsed {
    /// The text that was parsed; its lines are those of the sheet.
    pub(super) text: String,
    /// Each slip: line and column from 1, and what is wrong.
    pub(super) slips: Vec<(usize, usize, SheetFaultKind)>,
    /// Whether what was parsed holds all that could be told apart.
    pub(super) readable: bool,
}

/// Blanks slips until the text parses or there are too many.
pub(super) fn mended(text: &str) -> Parsed {
    let mut parsed = Parsed { text: text.to_owned(), slips: Vec::new(), readable: true };
    let mut left = AGAIN_BYTES_MAX;
    loop {
        let error = match Document::parse(parsed.text.as_str()) {
            Ok(_) => return parsed,
            Err(error) => error,
        };
        let lines = Lines::of(&parsed.text);
        let offset = error.span().map_or(0, |span| span.start).min(parsed.text.len());
        let slip = told(error.message(), offset, &lines);
        let at = lines.place(slip.offset);
        parsed.slips.push((at.0, at.1, SheetFaultKind::Syntax { message: slip.message }));
        let (from, to) = slip.blank;
        let mut blanked: Vec<String> =
            (0..=lines.number(parsed.text.len())).map(|n| lines.line(n).to_owned()).collect();
        let mut changed = false;
        for line in blanked.iter_mut().take(to + 1).skip(from) {
            let mend = if is_heading(line) { format!("[[{LOST}]]") } else { String::new() };
            changed |= line.trim() != mend;
            *line = mend;
        }
        left = left.saturating_sub(parsed.text.len());
        if !changed || left == 0 || parsed.slips.len() >= SLIPS_MAX {
            parsed.readable = false;
            return parsed;
        }
        parsed.text = blanked.join("\n");
    }
}

fn is_heading(line: &str) -> bool {
    let line = line.trim_start();
    let inner = line.trim_start_matches('[');
    line.starts_with('[')
        && inner.trim_start().starts_with(|c: char| c.is_alphabetic() || c == '"' || c == '\'')
}

struct Slip {
    offset: usize,
    message: String,
    /// The lines to blank, first and last, from 0.
    blank: (usize, usize),
}

fn told(message: &str, offset: usize, lines: &Lines<'_>) -> Slip {
    let number = lines.number(offset);
    let line = lines.line(number);
    let key = line.split('=').next().unwrap_or("").trim();
    let value = line.split_once('=').map_or("", |(_, value)| value.trim());
    let value = value.split('#').next().unwrap_or("").trim();
    let here = |message: String| Slip { offset, message, blank: (number, number) };
    let says = |start: &str| message.starts_with(start);

    if says("invalid multi-line") && offset >= lines.text.trim_end().len() {
        let opened = lines.text.rfind("\"\"\"").max(lines.text.rfind("'''")).unwrap_or(offset);
        let message =
            "a text opened here with three quotes is never closed; close it with three quotes".to_owned();
        return Slip {
            offset: opened,
            message,
            blank: (lines.number(opened), lines.number(lines.text.len())),
        };
    }
    if let Some(opened) = open_brace(lines, number) {
        let message = "the table that begins here with { is not closed; close it with }".to_owned();
        return Slip { offset: lines.line_start(opened), message, blank: (opened, opened) };
    }
    if (says("missing comma between array") || says("unclosed array")) && !says("unclosed array table") {
        let opened = (0..=number).rev().find(|n| lines.line(*n).contains('=')).unwrap_or(number);
        // The line that is wrong may belong to the next value: then the list above it was not closed.
        let next_value = number > 0 && (line.contains('=') || is_heading(line));
        if says("unclosed array") || next_value {
            let above = if next_value { number - 1 } else { number };
            let opened = (0..=above).rev().find(|n| lines.line(*n).contains('=')).unwrap_or(opened);
            let start = lines.text.len().min(lines.line_start(opened));
            let message = "the list that begins here is not closed; close it with ]".to_owned();
            return Slip { offset: start, message, blank: (opened, above.max(opened)) };
        }
        return here("no comma stands between two entries of the list; write one".to_owned());
    }
    here(if says("duplicate key") {
        let name = word_at(lines.text, offset);
        match is_heading(line) {
            true => format!(
                "{} stands here a second time; give it an id of its own or join the two",
                shown(line.trim())
            ),
            false => format!("{} is said a second time here; keep one of the two", shown(&name)),
        }
    } else if says("string values must be quoted")
        || says("unexpected key or value") && value.starts_with([',', ';'])
    {
        match value.trim_start_matches([',', ';']) {
            "" => format!("{} has no value; write one after the = or take the line out", shown(key)),
            "yes" | "Yes" | "True" | "TRUE" => format!("{value} must be written true: write {key} = true"),
            "no" | "No" | "False" | "FALSE" => format!("{value} must be written false: write {key} = false"),
            value if value.starts_with(['[', '{', '"', '\'']) => {
                "entries of a list are numbers, texts in quotes or lists, with commas between them".to_owned()
            }
            value => format!("text and facts stand in quotes: write {key} = \"{}\"", value.replace('"', "")),
        }
    } else if says("invalid basic string") || says("invalid literal string") {
        match lines.text.get(offset..).unwrap_or("").starts_with(['\n', '\r']) || offset == lines.text.len() {
            true => "the quote that opens this text is not closed on its line; close it".to_owned(),
            false => unseen(),
        }
    } else if says("unclosed table") {
        "the heading is not closed; close it with ]".to_owned()
    } else if says("unclosed array table") {
        "the heading is not closed; close it with ]]".to_owned()
    } else if says("key with no value") || says("missing value for key") {
        format!(
            "no = stands after {}; write key = value",
            shown(&word_at(lines.text, lines.line_start(number)))
        )
    } else if says("unquoted keys") || says("invalid unquoted key") {
        "a key is made of letters a to z, digits, _ and -; write it as the manual lists it".to_owned()
    } else if says("unexpected key or value") {
        "something stands behind the end of the value; put it on its own line, or behind a # if it is a comment"
            .to_owned()
    } else if says("missing escaped value") || says("too few unicode") || says("invalid value") {
        "a backslash opens a special sign such as \\n; write \\\\ for the backslash itself".to_owned()
    } else if says("cannot extend") {
        format!(
            "{} has a value already and cannot be a table too; rename one",
            shown(&word_at(lines.text, offset))
        )
    } else if says("recursion limit") || says("cannot recurse") {
        "lists and tables lie too deep in one another; a sheet needs no more than three levels".to_owned()
    } else if says("invalid comment") || says("carriage return") {
        unseen()
    } else if says("invalid key-value pair") {
        "this is neither a heading such as [part.cam] nor a value such as mass = \"7.4 g\"; is it a sheet?"
            .to_owned()
    } else if value.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | '_')) {
        format!(
            "{} is no number as TOML writes it; write it such as 12.5, and a fact in quotes",
            shown(value)
        )
    } else {
        "this line is no TOML; write key = value under a heading such as [part.cam]".to_owned()
    })
}

/// The line above or at `number` whose value opens a brace that is still open there.
fn open_brace(lines: &Lines<'_>, number: usize) -> Option<usize> {
    let open = |n: usize| {
        let line = lines.line(n).split('#').next().unwrap_or("");
        line.matches('{').count() > line.matches('}').count() && line.contains('=')
    };
    let nearest = (0..=number).rev().take(50).find(|n| lines.line(*n).contains('='))?;
    let above = (0..nearest).rev().take(50).find(|n| lines.line(*n).contains('='));
    [Some(nearest), above].into_iter().flatten().find(|n| open(*n))
}

fn unseen() -> String {
    "a sign that cannot be seen stands here; delete it and type the text again".to_owned()
}

/// The word that starts at an offset, for quoting.
fn word_at(text: &str, offset: usize) -> String {
    let rest = text.get(offset..).unwrap_or("").trim_start();
    rest.split([' ', '=', '.', ']', '\n', '\r']).next().unwrap_or("").trim_matches('"').to_owned()
}
