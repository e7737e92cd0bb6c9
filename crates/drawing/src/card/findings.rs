//! What the rules find, by verdict, with margin and mend; and what to measure next.

use super::{HEADING, left_out};
use crate::callout::headline;
use crate::flow::{Head, Row, fill};
use crate::scale::Area;
use crate::svg::{Lettering, RUST, text};
use crate::title_block::hue;
use crate::wrap::wrapped;
use proof::{Finding, Proved, Verdict};

const COLUMN: f64 = 90.0;
const SIZE: f64 = 2.8;
const ROW: f64 = 3.4;
/// Rows of facts to measure at most.
const ROWS_MAX: usize = 6;

/// Findings that are not sound, the worst first, in two columns; of the sound ones the number.
pub(super) fn findings(out: &mut String, proved: &Proved, area: Area) {
    text(out, [area.left, area.top + 2.0], HEADING, "Findings");
    let open: Vec<&Finding> = proved.findings.iter().filter(|f| f.verdict != Verdict::Sound).collect();
    let sound = proved.findings.len() - open.len();
    let words = match (proved.findings.len(), open.len()) {
        (0, _) => "No rule has anything to say yet: put parts in their places first.".to_owned(),
        (_, 0) => format!("All {sound} findings are sound."),
        _ => format!("{} to look at; {sound} more are sound.", open.len()),
    };
    text(out, [area.left + 26.0, area.top + 2.0], Lettering::plain(3.0), &words);
    // Sentences are cut only where there is no room for them.
    let tried = |out: &mut String, lines: [usize; 3]| {
        let mut rows: Vec<Row> = open.iter().flat_map(|finding| told(finding, lines)).collect();
        rows.reverse();
        for column in 0..2 {
            let left = area.left + column as f64 * (COLUMN + 6.0);
            let column = Area { left, top: area.top + 4.5, width: COLUMN, height: area.height - 8.0 };
            fill(out, &mut rows, column);
        }
        rows.iter().filter(|row| row.head.is_some()).count()
    };
    let whole = LINES.into_iter().find(|lines| tried(&mut String::new(), *lines) == 0);
    let remain = tried(out, whole.unwrap_or(LINES[LINES.len() - 1]));
    if remain > 0 {
        let words = left_out(remain, "finding", "for which there is no room here");
        text(out, [area.left, area.top + area.height - 1.0], Lettering::plain(SIZE).ink(RUST), &words);
    }
}

/// Lines of a finding's subject, message and mend at most: the first that leave room for all findings are taken.
const LINES: [[usize; 3]; 8] =
    [[6, 30, 10], [3, 8, 4], [3, 7, 3], [3, 6, 3], [3, 5, 3], [2, 5, 3], [2, 4, 2], [2, 3, 2]];

fn told(finding: &Finding, lines: [usize; 3]) -> Vec<Row> {
    // Letters of the program's own are narrower than lines are reckoned with, and the gap beside takes others.
    let width = (COLUMN - 6.0) * 1.1;
    let letters = Lettering::plain(SIZE);
    let head = letters.bold().ink(hue(finding.verdict));
    let subject = wrapped(&format!("{}; {}", headline(finding), finding.subject), width, SIZE, lines[0]);
    let message = wrapped(&finding.message, width, SIZE, lines[1]);
    let mend = finding.mends.first().map(|mend| wrapped(&format!("Mend: {mend}"), width, SIZE, lines[2]));
    let mut rows: Vec<Row> = subject
        .into_iter()
        .map(|words| (head, words))
        .chain(message.into_iter().map(|words| (letters, words)))
        .chain(mend.into_iter().flatten().map(|words| (letters, words)))
        .map(|(letters, words)| Row { indent: 6.0, holds: true, ..Row::new(letters, words, ROW) })
        .collect();
    if let Some(first) = rows.first_mut() {
        first.head = Some(Head::Verdict(finding.verdict));
    }
    if let Some(last) = rows.last_mut() {
        last.holds = false;
        last.room += 1.4;
    }
    rows
}

/// How high the rows on what to measure are, with their heading.
pub(super) fn measure_height(rows: &[String]) -> f64 {
    4.6 + ROW * rows.len() as f64
}

/// Which facts to measure, in rows: those that decide a verdict first, then those that are missing.
pub(super) fn facts_to_measure(proved: &Proved, width: f64) -> Vec<String> {
    let mut facts: Vec<(String, String)> = Vec::new();
    let mut add = |label: &str, why: String| {
        if !facts.iter().any(|(known, _)| known == label) {
            facts.push((label.to_owned(), why));
        }
    };
    let mut unhelped = 0;
    for finding in &proved.findings {
        if let Some(advice) = &finding.measure_next {
            let why = format!(
                "takes the certainty of a verdict from {} to {}",
                advice.certainty_now, advice.certainty_after
            );
            add(&advice.label, why);
        }
        match finding.no_single_fact.as_ref().map(|none| (none.certainty_now, &none.pair)) {
            Some((now, Some([first, second]))) => add(
                &format!("{} and {} together", first.label, second.label),
                format!("take the certainty of a verdict from {now} to {}", first.certainty_after),
            ),
            // Told together: there is nothing to measure.
            Some((_, None)) => unhelped += 1,
            None => {}
        }
    }
    for missing in proved.findings.iter().flat_map(|finding| &finding.missing) {
        add(&missing.label, "not known, and asked for".to_owned());
    }
    let rest = match unhelped {
        0 => None,
        1 => Some("One verdict that is not certain no single measurement would change.".to_owned()),
        count => Some(format!("{count} verdicts that are not certain no single measurement would change.")),
    };
    if facts.is_empty() {
        let nothing = "Nothing: no verdict hangs on doubt, and no fact is missing.".to_owned();
        return vec![rest.unwrap_or(nothing)];
    }
    let mut rows: Vec<String> = Vec::new();
    let mut shown = 0;
    for (label, why) in &facts {
        let more = wrapped(&format!("{}. {label}: {why}", shown + 1), width, SIZE, 3);
        // The last row is kept for how many more there are.
        let room = ROWS_MAX - usize::from(shown + 1 < facts.len()) - usize::from(rest.is_some());
        if rows.len() + more.len() > room {
            break;
        }
        rows.extend(more);
        shown += 1;
    }
    if shown < facts.len() {
        let count = facts.len() - shown;
        rows.push(format!("and {count} more {}", if count == 1 { "fact" } else { "facts" }));
    }
    rows.extend(rest);
    rows
}

/// Draws what to measure next.
pub(super) fn measure_next(out: &mut String, rows: &[String], [left, top]: [f64; 2]) {
    text(out, [left, top], HEADING, "Measure next");
    for (n, words) in rows.iter().enumerate() {
        text(out, [left, top + 4.6 + ROW * n as f64], Lettering::plain(SIZE), words);
    }
}
