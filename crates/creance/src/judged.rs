//! A craft with its proof, and proofs kept for as long as the craft stays as it is.

use craft::{Craft, CraftFault, CraftId};
use proof::{OutlineStore, Proved};
use std::collections::HashMap;
use std::sync::Arc;
use std::time::Instant;

/// A craft with its proof.
pub struct Judged {
    /// The craft.
    pub craft: Craft,
    /// What the rules say of it.
    pub proved: Proved,
    /// What is wrong with it as a whole: names that lead nowhere, values that cannot be.
    pub faults: Vec<CraftFault>,
    /// How long the proof took, in ms.
    pub prove_ms: f64,
}

/// Proofs by craft, each used again while the craft is the very same.
#[derive(Default)]
pub struct Proofs {
    outlines: Arc<OutlineStore>,
    kept: HashMap<CraftId, Arc<Judged>>,
}

/// Proofs kept at most; beyond it all are let go.
const KEPT_MAX: usize = 500;

impl Proofs {
    /// The outlines cut so far.
    pub fn outlines(&self) -> Arc<OutlineStore> {
        Arc::clone(&self.outlines)
    }

    /// The proof of a craft, made anew only if the craft changed.
    pub fn of(&mut self, craft: Craft) -> Arc<Judged> {
        if let Some(kept) = self.kept.get(&craft.id).filter(|kept| kept.craft == craft) {
            return Arc::clone(kept);
        }
        if self.kept.len() >= KEPT_MAX {
            self.kept.clear();
        }
        let id = craft.id.clone();
        let judged = Arc::new(self.tried(craft));
        self.kept.insert(id, Arc::clone(&judged));
        judged
    }

    /// The proof of a craft that is only tried: it is not kept.
    pub fn tried(&self, craft: Craft) -> Judged {
        let started = Instant::now();
        let proved = proof::prove_again(&craft, &self.outlines);
        let prove_ms = started.elapsed().as_secs_f64() * 1000.0;
        let faults = craft::faults(&craft);
        Judged { craft, proved, faults, prove_ms }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::CraftClass;

    #[test]
    fn a_proof_is_used_again_until_the_craft_changes() {
        let mut proofs = Proofs::default();
        let craft = Craft::new(CraftId::from_name("first"), "first");
        let once = proofs.of(craft.clone());
        assert!(Arc::ptr_eq(&once, &proofs.of(craft.clone())));
        let changed = Craft { class: Some(CraftClass::Open3), ..craft };
        assert!(!Arc::ptr_eq(&once, &proofs.of(changed)));
    }
}
