//! Has a pack of this craft stood full for too long?

use crate::history::HOUR;
use crate::history_limits::{STORAGE_VOLTS, STORED_FULL_HOURS, STORED_FULL_VOLTS};
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use care::charge_of;
use quantity::Volts;
use std::collections::BTreeSet;

rule! {
    /// Has a pack of this craft stood full for too long?
    ///
    /// ## Why
    /// A full pack ages by standing: it swells, and its resistance rises, which is a picture lost at the punch next month.
    ///
    /// ## Sound when
    /// No pack flown on this craft has stood above 3.95 V a cell for more than 48 hours. Longer is tight.
    ///
    /// ## Rests on
    /// The volts a cell last noted for each pack, and no flight since. Common practice.
    ///
    /// ## Mend
    /// Bring it to storage charge, 3.80 to 3.85 V a cell, or fly it.
    PACKS_REST = "care.storage", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mine = history.entries.iter().filter(|entry| entry.craft.as_deref() == Some(craft));
    let packs: BTreeSet<&str> = mine.flat_map(|entry| &entry.packs).map(|pack| pack.trim()).collect();
    let mut answer = Answer::default();
    for pack in packs {
        let Some(charge) = charge_of(&history.entries, pack) else { continue };
        let hours = (history.now - charge.at) / HOUR;
        let full = charge.volts > STORED_FULL_VOLTS;
        let margin = Volts::new(STORED_FULL_VOLTS - charge.volts);
        let finding = |verdict, words: String| {
            Finding::new(PACKS_REST.id, verdict, format!("pack {pack}"), words).margin(margin, None)
        };
        answer.findings.push(if full && hours > STORED_FULL_HOURS {
            finding(Verdict::Tight, format!("Pack {pack} has stood full for {} days", hours / 24)).mend(
                format!(
                    "Bring it to storage charge, {STORAGE_VOLTS}, or fly it. Charge and discharge attended."
                ),
            )
        } else {
            finding(
                Verdict::Sound,
                format!("Pack {pack} was at {:.2} V a cell {}", charge.volts, history.ago(charge.at)),
            )
        });
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::PACKS_REST;
    use crate::testing_history::{check_history, is_sound_history, read};
    use care::{EntryKind, Reading};
    use expect_test::expect;

    #[test]
    fn a_pack_at_storage_charge_is_sound() {
        is_sound_history(&PACKS_REST);
    }

    #[test]
    fn a_pack_that_stands_full_is_tight() {
        check_history(
            &PACKS_REST,
            |history| {
                history.entries.retain(|entry| entry.kind != EntryKind::Charged);
                let mut charged = read(4, Reading::CellVolts, 4.19);
                charged.packs = vec!["P1".into()];
                history.entries.push(charged);
            },
            expect![[r#"
                tight · pack P1 · Pack P1 has stood full for 4 days
                  > Bring it to storage charge, 3.80 to 3.85 V a cell, or fly it. Charge and discharge attended.
            "#]],
        );
    }
}
