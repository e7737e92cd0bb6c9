//! Shares of a picture found before, and whether they are still the ones that would be found.
//!
//! Which solid fills how much of a picture hangs on the view and on the solids that some square of it may meet. What
//! lies farther aside than the widest ray and the spread of a square no square can meet, and shares found with it are, bit for bit,
//! those found without it or with it elsewhere. So shares are kept with the view and with the solids that are not
//! surely aside, each with its number; where all of these are the same again, so are the shares.

use crate::scene::Seen;
use crate::share::{Shares, first_squares, shared_for};
use crate::vector::Triple;
use crate::{Scene, View};
use std::sync::Arc;

/// Shares found, with all they were found from.
#[derive(Debug)]
pub struct KnownShares {
    view: View,
    counted: Option<Vec<bool>>,
    count: usize,
    solids: Vec<(usize, Seen)>,
    found: Shares,
}

impl KnownShares {
    fn holds(&self, view: &View, scene: &Scene, counted: Option<&[bool]>, seen: &[usize]) -> bool {
        self.count == scene.len()
            && self.counted.as_deref() == counted
            && self.solids.len() == seen.len()
            && self.solids.iter().zip(seen).all(|((n, solid), m)| n == m && *solid == scene.solids[*m])
            && self.view == *view
    }
}

/// How much of the lit picture each solid fills, or only as far as the counted ones need it: kept where one of the known
/// holds, else found. What was found is given to be known from then on.
pub fn shares_again(
    view: &View,
    scene: &Scene,
    counted: Option<&[bool]>,
    known: &[Arc<KnownShares>],
) -> (Shares, Option<Arc<KnownShares>>) {
    let seen = not_aside(view, scene);
    // The latest is the likeliest.
    if let Some(known) = known.iter().rev().find(|known| known.holds(view, scene, counted, &seen)) {
        return (known.found.clone(), None);
    }
    let found = shared_for(view, scene, counted);
    let solids = seen.into_iter().map(|n| (n, scene.solids[n].clone())).collect();
    let counted = counted.map(<[bool]>::to_vec);
    let known = KnownShares { view: view.clone(), counted, count: scene.len(), solids, found: found.clone() };
    (found, Some(Arc::new(known)))
}

/// The solids that a square of the picture may meet, and perhaps others.
fn not_aside(view: &View, scene: &Scene) -> Vec<usize> {
    let widest = widest(view);
    let aside = |solid: &Seen| {
        solid.cone().is_some_and(|(axis, half)| axis.dot(Triple::X).clamp(-1.0, 1.0).acos() - half > widest)
    };
    (0..scene.len()).filter(|n| !aside(&scene.solids[*n])).collect()
}

/// No bundle of rays through a first square reaches farther from the axis than this, in radians. A square that is dark in
/// part has no bundle; it keeps all solids wherever they are.
fn widest(view: &View) -> f64 {
    let (mut off_axis, mut spread) = (1.0f64, 1.0f64);
    for (corners, middle) in first_squares(view) {
        let Some(middle) = view.rays().along(middle.0, middle.1) else { continue };
        for ray in corners.into_iter().filter_map(|(u, v)| view.rays().along(u, v)) {
            off_axis = off_axis.min(ray.dot(Triple::X));
            spread = spread.min(ray.dot(middle));
        }
    }
    // A bundle counts as a tenth wider than its rays are (`cell.rs`); it is told with room to spare.
    let [off_axis, spread] = [off_axis, spread].map(|cos| cos.clamp(-1.0, 1.0).acos());
    off_axis + 1.2 * spread + 0.02
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{Lens, Occluder, Placement, Point, Projection, SensorArea, Shape, shares};
    use proptest::prelude::*;
    use quantity::Millimetres;

    fn view(focal: f64) -> View {
        let mm = Millimetres::new;
        let lens = Lens::new(Projection::Equidistant, mm(focal)).unwrap();
        View::new(lens, SensorArea::of_sides(mm(6.0), mm(4.5)).unwrap(), 1280, 960).unwrap()
    }

    fn block(at: [f64; 3]) -> Occluder {
        let mm = Millimetres::new;
        let placement = Placement::at(Point::new(at[0], at[1], at[2]));
        Occluder { shape: Shape::cuboid(mm(9.0), mm(14.0), mm(6.0)).unwrap(), placement }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        #[test]
        fn kept_shares_are_those_found_anew(
            focal in 1.6..4.0f64,
            fixed in prop::collection::vec(prop::array::uniform3(-60.0..60.0f64), 1..5),
            from in prop::array::uniform3(-60.0..60.0f64),
            to in prop::array::uniform3(-60.0..60.0f64),
        ) {
            let view = view(focal);
            let scene = |last: [f64; 3]| Scene::new(fixed.iter().copied().chain([last]).map(block).collect());
            let counted: Vec<bool> = (0..=fixed.len()).map(|n| n % 2 == 0).collect();
            for counted in [None, Some(&counted[..])] {
                let (_, known) = shares_again(&view, &scene(from), counted, &[]);
                let (again, _) = shares_again(&view, &scene(to), counted, &[known.unwrap()]);
                prop_assert_eq!(&again, &shared_for(&view, &scene(to), counted));
            }
        }
    }

    #[test]
    fn what_moves_behind_the_camera_leaves_the_shares_known() {
        let scene = |x: f64| Scene::new(vec![block([50.0, 0.0, -12.0]), block([x, 3.0, 5.0])]);
        let (first, known) = shares_again(&view(2.5), &scene(-60.0), None, &[]);
        let known = [known.unwrap()];
        let (again, anew) = shares_again(&view(2.5), &scene(-61.0), None, &known);
        assert!(anew.is_none() && again == first && first == shares(&view(2.5), &scene(-60.0)));
        for (moved, seen) in [(view(2.5), scene(40.0)), (view(2.4), scene(-60.0))] {
            assert!(shares_again(&moved, &seen, None, &known).1.is_some());
        }
    }
}
