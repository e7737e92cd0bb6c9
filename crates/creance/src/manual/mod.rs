//! The manual, made from the code: rules, figures, sources, sheet format, checks, words.
//!
//! Nothing here is typed twice: each table is read from where the program itself reads it.

mod answers;
mod fault_finding;
pub mod figures;
mod glossary;
mod keeping;
mod link_and_view;
mod papers;
mod sheet_format;

use crate::commands;
use crate::wire::figure::SourceView;
use crate::wire::manual::{
    CheckRow, CheckValue, ChecksView, ClearanceRow, CommandDoc, DoubtsRow, FigureDoc, GlossaryEntry,
    GradeRow, ManualView, RuleView, Section,
};
use crate::wire::schema::spread_words;
use conformance::{Outcome, Report, Row};
use quantity::{DEFAULT_DOUBT_SOURCE, DEFAULT_DOUBTS, Grade};
use std::sync::OnceLock;

/// What every page and print says where work can hurt.
pub const CAUTIONS: [&str; 5] = [
    "Take the blades off before the pack goes on at the bench: a setting can start a motor.",
    "Charge lithium packs attended, in a fireproof place, as their maker asks; a crashed or swollen pack rests outdoors and is not charged again.",
    "Never power a video transmitter without its antenna, and only briefly without moving air: both destroy it, and it burns fingers.",
    "Transmit and fly only as your local rules allow; they go before anything said here.",
    "A verdict is computed from the facts that were entered. It does not replace a look, a dry fit, a test in a safe place, and licensed practice where that is asked for.",
];

/// The whole manual, put together once.
pub fn manual() -> &'static ManualView {
    static MANUAL: OnceLock<ManualView> = OnceLock::new();
    MANUAL.get_or_init(put_together)
}

fn put_together() -> ManualView {
    let report = conformance::run_all();
    let families = figures::families();
    let figure = |family: &figures::FigureFamily| FigureDoc {
        id: family.id.clone(),
        label: family.label.clone(),
        unit: family.unit,
        formula: family.formula.clone(),
        source: SourceView::from(&family.source),
    };
    ManualView {
        rules: proof::rules::RULES.iter().map(rule_view).collect(),
        figures: families.iter().map(figure).collect(),
        sources: sources(families, &report),
        sheet: sheet_format::sheet_format(),
        checks: checks(&report),
        glossary: glossary::GLOSSARY.iter().map(|(word, meaning)| GlossaryEntry { word, meaning }).collect(),
        clearances: fit::REQUIREMENTS.iter().map(clearance).collect(),
        doubts: doubts(),
        answers: answers::answers(),
        link_and_view: link_and_view::link_and_view(),
        fault_finding: fault_finding::fault_finding(),
        drawings: papers::drawings(),
        prints: papers::prints(),
        keeping: keeping::keeping(),
        commands: command_docs(),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    }
}

fn rule_view(rule: &proof::Rule) -> RuleView {
    let doc = rule.explained();
    let section = |(heading, text)| Section { heading, text };
    RuleView { id: rule.id, asks: doc.asks, sections: doc.sections.into_iter().map(section).collect() }
}

fn clearance(row: &fit::RequirementRow) -> ClearanceRow {
    let words = |roles: &'static [fit::Role]| roles.iter().map(|role| role.words()).collect();
    ClearanceRow {
        a: words(row.a),
        b: words(row.b),
        required: row.needs.distance.get(),
        why: row.needs.why,
        source: row.needs.source.line(),
    }
}

fn doubts() -> Vec<DoubtsRow> {
    let unit = |kind| if kind_is_length(kind) { "mm" } else { "" };
    let row = |row: &quantity::DoubtRow| DoubtsRow {
        words: row.words,
        measured: spread_words(row.measured, unit(row.kind)),
        data_sheet: spread_words(row.data_sheet, unit(row.kind)),
        typical: spread_words(row.typical, unit(row.kind)),
    };
    DEFAULT_DOUBTS.iter().map(row).collect()
}

fn kind_is_length(kind: quantity::DoubtKind) -> bool {
    use quantity::DoubtKind::*;
    matches!(
        kind,
        OuterSize
            | HolePosition
            | HoleDiameter
            | ComponentHeight
            | PlateThickness
            | PrintedSize
            | SoftMount
            | PlacePosition
            | LeadLength
    )
}

fn command_docs() -> Vec<CommandDoc> {
    commands::documented().into_iter().map(|(name, about, help)| CommandDoc { name, about, help }).collect()
}

/// Every source the program leans on, each once, in order of first mention.
fn sources(families: &[figures::FigureFamily], report: &Report) -> Vec<SourceView> {
    let of_figures = families.iter().map(|family| SourceView::from(&family.source));
    let of_clearances = fit::REQUIREMENTS.iter().map(|row| SourceView::from(&row.needs.source));
    let of_doubts = std::iter::once(SourceView::from(&DEFAULT_DOUBT_SOURCE));
    let of_checks = report.rows.iter().map(row_source);
    let mut all: Vec<SourceView> = Vec::new();
    for source in of_figures.chain(of_clearances).chain(of_doubts).chain(of_checks) {
        if !all.iter().any(|known| known.line == source.line) {
            all.push(source);
        }
    }
    all
}

fn row_source(row: &Row) -> SourceView {
    let source = &row.source;
    let line = if source.grade == Grade::CommonPractice {
        format!("common practice: {}", source.place)
    } else {
        format!("{}, {} ({})", source.title, source.place, source.grade.words())
    };
    SourceView { title: source.title.clone(), place: source.place.clone(), grade: source.grade.words(), line }
}

fn checks(report: &Report) -> ChecksView {
    let count = |count: conformance::GradeCount| GradeRow { grade: count.words, passed: count.passed as u32 };
    ChecksView {
        rows: report.rows.iter().map(check_row).collect(),
        counts: report.by_grade().into_iter().map(count).collect(),
        passed: report.passed() as u32,
        total: report.rows.len() as u32,
    }
}

fn check_row(row: &Row) -> CheckRow {
    let (outcome, reason) = match &row.outcome {
        Outcome::Passed => ("passed", String::new()),
        Outcome::Failed(reasons) => ("failed", reasons.join("; ")),
        Outcome::Skipped(reason) => ("skipped", reason.clone()),
    };
    let value = |value: &conformance::Compared| CheckValue {
        key: value.key.clone(),
        expected: value.expected,
        ours: value.ours,
        difference: value.difference,
        allowed: value.allowed,
    };
    CheckRow {
        file: row.file.clone(),
        asks: row.asks.clone(),
        values: row.values.iter().map(value).collect(),
        because: row.because.clone(),
        source: row_source(row),
        outcome,
        reason,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_is_in_the_manual_with_its_headings() {
        let manual = manual();
        assert_eq!(manual.rules.len(), proof::rules::RULES.len());
        for rule in &manual.rules {
            let headings: Vec<&str> = rule.sections.iter().map(|section| section.heading.as_str()).collect();
            assert_eq!(headings, proof::HEADINGS, "{}", rule.id);
        }
    }

    #[test]
    fn each_source_stands_once() {
        let mut lines: Vec<&str> = manual().sources.iter().map(|source| source.line.as_str()).collect();
        let all = lines.len();
        lines.sort();
        lines.dedup();
        assert_eq!(lines.len(), all);
    }
}
