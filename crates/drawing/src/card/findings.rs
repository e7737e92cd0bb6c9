//! What the rules find, by verdict, with margin and mend; and what to measure next.

use super::HEADING;
use crate::callout::headline;
use crate::flow::{Head, Row, fill};
use crate::scale::Area;
use crate::svg::{Lettering, RUST, text};
use crate::title_block::hue;
use crate::wrap::{on_one_line, wrapped};
use proof::{Finding, Proved, Verdict};

const COLUMN: f64 = 90.0;
const SIZE: f64 = 2.8;
const ROW: f64 = 3.4;
/// Facts named at most.
const FACTS_MAX: usize = 6;

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
    let mut rows: Vec<Row> = open.iter().flat_map(|finding| told(finding)).collect();
    rows.reverse();
    for column in 0..2 {
        let left = area.left + column as f64 * (COLUMN + 6.0);
        let column = Area { left, top: area.top + 4.5, width: COLUMN, height: area.height - 8.0 };
        fill(out, &mut rows, column);
    }
    let left_out = rows.iter().filter(|row| row.head.is_some()).count();
    if left_out > 0 {
        let words = format!("and {left_out} more findings, for which there is no room here");
        text(out, [area.left, area.top + area.height], Lettering::plain(SIZE).ink(RUST), &words);
    }
}

fn told(finding: &Finding) -> Vec<Row> {
    let width = COLUMN - 6.0;
    let letters = Lettering::plain(SIZE);
    let head = letters.bold().ink(hue(finding.verdict));
    let subject = wrapped(&format!("{}; {}", headline(finding), finding.subject), width, SIZE, 2);
    let message = wrapped(&finding.message, width, SIZE, 3);
    let mend = finding.mends.first().map(|mend| wrapped(&format!("Mend: {mend}"), width, SIZE, 2));
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

/// Which facts to measure: those that decide a verdict first, then those that are missing.
pub(super) fn measure_next(out: &mut String, proved: &Proved, area: Area) {
    text(out, [area.left, area.top], HEADING, "Measure next");
    let mut facts: Vec<(String, String)> = Vec::new();
    let mut add = |label: &str, why: String| {
        if !facts.iter().any(|(known, _)| known == label) {
            facts.push((label.to_owned(), why));
        }
    };
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
            Some((now, None)) => {
                add(&finding.subject, format!("{now} certain, and no single measurement would change that"))
            }
            None => {}
        }
    }
    for missing in proved.findings.iter().flat_map(|finding| &finding.missing) {
        add(&missing.label, "not known, and asked for".to_owned());
    }
    let letters = Lettering::plain(SIZE);
    if facts.is_empty() {
        text(
            out,
            [area.left, area.top + 5.0],
            letters,
            "Nothing: no verdict hangs on doubt, and no fact is missing.",
        );
        return;
    }
    let shown = if facts.len() > FACTS_MAX { FACTS_MAX - 1 } else { facts.len() };
    for (n, (label, why)) in facts.iter().take(shown).enumerate() {
        let words = on_one_line(&format!("{}. {label}: {why}", n + 1), area.width, SIZE);
        text(out, [area.left, area.top + 4.6 + ROW * n as f64], letters, &words);
    }
    if shown < facts.len() {
        let words = format!("and {} more facts", facts.len() - shown);
        text(out, [area.left, area.top + 4.6 + ROW * shown as f64], letters, &words);
    }
}
