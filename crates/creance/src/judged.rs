//! A craft with its proof, and proofs kept for as long as the craft stays as it is.

use craft::{Craft, CraftFault, CraftId, PlaceId};
use proof::{
    FlyingCurves, FlyingMark, History, OutlineStore, PartAtHand, Proof, Proved, flying_curves, flying_marks,
};
use quantity::MetresPerSecond;
use std::collections::HashMap;
use std::sync::{Arc, OnceLock};
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
    /// What flying does to the picture: worked out when first asked for.
    flying: OnceLock<Vec<FlyingCurves>>,
}

impl Judged {
    /// A craft judged so, with how long that took.
    fn by(craft: Craft, judge: impl FnOnce(&Craft) -> Proved) -> Self {
        let started = Instant::now();
        let proved = judge(&craft);
        let prove_ms = started.elapsed().as_secs_f64() * 1000.0;
        let faults = craft::faults(&craft);
        Self { craft, proved, faults, prove_ms, flying: OnceLock::new() }
    }

    /// The curves of every lens.
    pub fn flying(&self, outlines: &Arc<OutlineStore>) -> &[FlyingCurves] {
        let made = || flying_curves(&Proof::with_outlines(&self.craft, Arc::clone(outlines)));
        self.flying.get_or_init(made)
    }

    /// What the curves of one lens say at a speed, with its working.
    pub fn flying_marks(
        &self,
        outlines: &Arc<OutlineStore>,
        lens: &PlaceId,
        speed: MetresPerSecond,
    ) -> Vec<FlyingMark> {
        flying_marks(&Proof::with_outlines(&self.craft, Arc::clone(outlines)), lens, speed)
    }
}

/// A proof with what the craft has been through, and what it was made from.
struct Told {
    bare: Arc<Judged>,
    history: Arc<History>,
    judged: Arc<Judged>,
}

/// Proofs by craft, each used again while the craft is the very same.
#[derive(Default)]
pub struct Proofs {
    outlines: Arc<OutlineStore>,
    kept: HashMap<CraftId, Kept>,
    told: HashMap<CraftId, Told>,
}

/// A proof with the parts that were at hand for it.
struct Kept {
    judged: Arc<Judged>,
    at_hand: Vec<PartAtHand>,
}

/// Proofs kept at most; beyond it all are let go.
const KEPT_MAX: usize = 500;

impl Proofs {
    /// The outlines cut so far.
    pub fn outlines(&self) -> Arc<OutlineStore> {
        Arc::clone(&self.outlines)
    }

    /// The proof of a craft, made anew only if the craft changed, or what is at hand for it.
    pub fn of(&mut self, craft: Craft, at_hand: Vec<PartAtHand>) -> Arc<Judged> {
        let same = |kept: &&Kept| kept.judged.craft == craft && kept.at_hand == at_hand;
        if let Some(kept) = self.kept.get(&craft.id).filter(same) {
            return Arc::clone(&kept.judged);
        }
        if self.kept.len() >= KEPT_MAX {
            self.kept.clear();
        }
        let id = craft.id.clone();
        let judged = Arc::new(self.tried(craft, &at_hand));
        self.kept.insert(id, Kept { judged: Arc::clone(&judged), at_hand });
        judged
    }

    /// The same proof with what the craft has been through: only the rules that ask for that are asked again.
    pub fn told(&mut self, bare: Arc<Judged>, history: &Arc<History>) -> Arc<Judged> {
        if **history == History::nothing(history.now) {
            return bare;
        }
        let id = bare.craft.id.clone();
        if let Some(told) = self.told.get(&id)
            && Arc::ptr_eq(&told.bare, &bare)
            && (Arc::ptr_eq(&told.history, history) || told.history == *history)
        {
            return Arc::clone(&told.judged);
        }
        if self.told.len() >= KEPT_MAX {
            self.told.clear();
        }
        let judged = Arc::new(Judged {
            craft: bare.craft.clone(),
            proved: proof::told_anew(&bare.craft, &bare.proved, history),
            faults: bare.faults.clone(),
            prove_ms: bare.prove_ms,
            flying: bare.flying.clone(),
        });
        let told = Told { bare, history: Arc::clone(history), judged: Arc::clone(&judged) };
        self.told.insert(id, told);
        judged
    }

    /// The proof of a craft that is only tried: it is not kept.
    pub fn tried(&self, craft: Craft, at_hand: &[PartAtHand]) -> Judged {
        Judged::by(craft, |craft| proof::prove_with(craft, &self.outlines, at_hand, None))
    }

    /// What some rules say of such a craft.
    pub fn tried_by(&self, craft: Craft, at_hand: &[PartAtHand], rules: &[&str]) -> Judged {
        Judged::by(craft, |craft| proof::prove_by(craft, &self.outlines, at_hand, rules))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::schema::PartKind;
    use craft::{CraftClass, Part, PartId};

    #[test]
    fn a_proof_is_used_again_until_the_craft_changes() {
        let mut proofs = Proofs::default();
        let craft = Craft::new(CraftId::from_name("first"), "first");
        let once = proofs.of(craft.clone(), vec![]);
        assert!(Arc::ptr_eq(&once, &proofs.of(craft.clone(), vec![])));
        let part = Part::new(PartId::from_name("lens"), PartKind::Lens, "lens");
        let beside = proofs.of(craft.clone(), vec![PartAtHand { part, on: vec![] }]);
        assert!(!Arc::ptr_eq(&once, &beside));
        let changed = Craft { class: Some(CraftClass::Open3), ..craft };
        assert!(!Arc::ptr_eq(&beside, &proofs.of(changed, vec![])));
    }
}
