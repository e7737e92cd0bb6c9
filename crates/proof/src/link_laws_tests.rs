//! Laws that hold for every link: more power never leaves less, the other hand never helps, and a limit is a limit.

#![allow(clippy::unwrap_used)]

use crate::Proof;
use crate::link::{Attitude, Link};
use crate::rules::rule_of;
use crate::subject::LinkPlan;
use crate::testing::set;
use crate::testing_link::sound_link;
use craft::Craft;
use proptest::prelude::*;
use quantity::{Db, Degrees, Metres};

fn linked(craft: &Craft) -> (Link, LinkPlan) {
    let proof = Proof::new(craft);
    let model = proof.link().unwrap();
    (model.link().unwrap().clone(), LinkPlan::of(model).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn more_power_never_leaves_less(more in 0.0..20.0f64, far in 20.0..2000.0f64, tilt in 0.0..45.0f64) {
        let (link, plan) = linked(&sound_link());
        let at = |more: f64| {
            let mut level = plan.level.clone();
            level.at_socket = level.at_socket + Db::new(more);
            LinkPlan::at(&link, (Metres::new(far), plan.height, Degrees::new(tilt)), level).unwrap()
        };
        let (less, more_of_it) = (at(0.0), at(more));
        prop_assert!((more_of_it.in_ten.get() - less.in_ten.get() - more).abs() < 3e-3);
        prop_assert!(more_of_it.held.get() >= less.held.get() - 1e-9, "{} {}", more_of_it.held.get(), less.held.get());
        prop_assert!(more_of_it.in_hundred.get() >= less.in_hundred.get() - 3e-3, "{} {}", more_of_it.in_hundred.get(), less.in_hundred.get());
    }

    #[test]
    fn farther_in_free_space_never_leaves_more(near in 20.0..1500.0f64, further in 1.0..3.0f64, heading in 0.0..360.0f64) {
        let (mut link, plan) = linked(&sound_link());
        link.scenery = radio::Scenery::default();
        let margin = |distance: f64| {
            // As high as the station's antennas, so that it is seen in one direction wherever it is.
            let there = Link::on_line(Metres::new(distance), Metres::new(2.6)).unwrap();
            let attitude = Attitude::cruising(Degrees::new(heading), Degrees::new(15.0));
            link.margin(there, attitude, plan.level.at_socket).unwrap().get()
        };
        prop_assert!(margin(near * further) <= margin(near) + 0.02);
    }

    #[test]
    fn the_other_hand_never_helps(far in 20.0..2000.0f64, which in 0usize..2) {
        let mut craft = sound_link();
        set(&mut craft, "craft.fly_to", &format!("{far} m"));
        let right = linked(&craft).1;
        set(&mut craft, &format!("field.antenna[{which}].hand"), "left");
        prop_assert!(linked(&craft).1.in_ten.get() <= right.in_ten.get() + 3e-3);
    }

    #[test]
    fn a_higher_limit_is_never_harder_to_keep(limit in 5.0..500.0f64, times in 1.0..10.0f64) {
        let margin = |limit: f64| {
            let mut craft = sound_link();
            set(&mut craft, "craft.radiated_limit", &format!("{limit} mW"));
            let finding = (rule_of("link.eirp").unwrap().run)(&Proof::new(&craft)).findings.remove(0);
            (finding.margin.unwrap().quantity.value, finding.verdict)
        };
        let (low, high) = (margin(limit), margin(limit * times));
        prop_assert!((high.0 - low.0 - 10.0 * times.log10()).abs() < 1e-9 && high.1 >= low.1);
    }
}
