//! Is a part fed with what it stands, from the fullest pack to the deepest sag?

use quantity::Volts;

/// What comes and what is wanted at a supply pad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SupplyPad {
    /// The least that comes: at the deepest sag.
    pub least: Volts,
    /// The most that comes: at full charge.
    pub most: Volts,
    /// The least it works at, if said.
    pub works_from: Option<Volts>,
    /// The most it stands, if said.
    pub stands: Option<Volts>,
}

/// What is wrong at a supply pad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SupplyFault {
    /// More comes than it stands: by so much.
    Above(Volts),
    /// Less comes at the deepest sag than it works at: by so much.
    BelowAtSag(Volts),
    /// Even the fullest pack gives less than it works at: by so much.
    BelowAlways(Volts),
}

/// Everything wrong at a supply pad.
pub fn supply_faults(pad: &SupplyPad) -> Vec<SupplyFault> {
    let mut found = Vec::new();
    if let Some(stands) = pad.stands.filter(|stands| pad.most > *stands) {
        found.push(SupplyFault::Above(pad.most - stands));
    }
    if let Some(least) = pad.works_from {
        if pad.most < least {
            found.push(SupplyFault::BelowAlways(least - pad.most));
        } else if pad.least < least {
            found.push(SupplyFault::BelowAtSag(least - pad.least));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(least: f64, most: f64, from: f64, stands: f64) -> Vec<SupplyFault> {
        let [least, most, from, stands] = [least, most, from, stands].map(Volts::new);
        supply_faults(&SupplyPad { least, most, works_from: Some(from), stands: Some(stands) })
    }

    #[test]
    fn a_full_pack_and_a_sagging_one_are_both_looked_at() {
        assert_eq!(told(13.2, 16.8, 6.0, 26.0), []);
        assert!(matches!(told(13.2, 26.1, 6.0, 26.0).as_slice(), [SupplyFault::Above(_)]));
        assert!(matches!(told(2.7, 4.2, 2.9, 5.5).as_slice(), [SupplyFault::BelowAtSag(_)]));
        assert!(matches!(told(4.8, 5.1, 6.0, 26.0).as_slice(), [SupplyFault::BelowAlways(_)]));
    }
}
