//! How much does a plate or pack on the craft take of a ray that passes it?
//!
//! The part is seen along the ray: a rectangle whose edges lie so far left, right, below and above the ray, at a distance s from the
//! antenna. The other end is far off, so ν = x·√(2/(λ·s)) for each edge, and what is left is 1 − B, B as for a wall (`wall`).
//! Carbon plate and pack let nothing through.
//!
//! Within two wavelengths of the antenna the theory is at its end: expect the depth of the shadow within some 5 dB and its
//! edges within a centimetre. Custom puts such shadows at 10 to 25 dB; more than [`SHADOW_MOST`] is not believed, as other parts of the
//! craft scatter into it.

use crate::fresnel::passed_nearly;
use crate::{Carrier, Complex, RadioFault, loss_of};
use quantity::{Db, Millimetres, Source};

/// The deepest shadow on a craft, and how deep they are.
pub const SHADOW_MOST: Db = Db::new(25.0);
/// Where that comes from.
pub const SHADOW_SOURCE: Source = Source::common_practice(
    "carbon plate or pack between the antennas: 10 to 25 dB; the shape by Fresnel's integral",
);

/// A part that stands in or near a ray, seen along it from the antenna.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Screen {
    /// From the antenna along the ray.
    pub distance: Millimetres,
    /// Its left edge, counted to the left of the ray; below nought if that edge is to the right.
    pub left: Millimetres,
    /// Its right edge, counted to the right of the ray.
    pub right: Millimetres,
    /// Its upper edge, above the ray.
    pub above: Millimetres,
    /// Its lower edge, below the ray.
    pub below: Millimetres,
}

impl Screen {
    /// What it takes; at its rim it may also give a little.
    pub fn loss(&self, carrier: Carrier) -> Result<Db, RadioFault> {
        shadow(std::slice::from_ref(self), carrier)
    }

    /// The share of the wavefront that it stands before.
    fn blocked(&self, carrier: Carrier) -> Result<Complex, RadioFault> {
        let (least, most) = (Millimetres::new(1.0), Millimetres::new(5_000.0));
        let distance = RadioFault::within(
            "distance of a screen",
            self.distance,
            least,
            most,
            "it must stand apart from the antenna",
        )?;
        let scale = (2.0 / (carrier.lambda() * 1e3 * distance.get())).sqrt();
        let mut blocked = Complex::ONE;
        for [first, second] in [[self.left, self.right], [self.below, self.above]] {
            for edge in [first, second] {
                RadioFault::within("edge of a screen", edge, -most, most, "check the unit")?;
            }
            RadioFault::within(
                "far edge of a screen",
                second,
                -first,
                most,
                "it must lie beyond the near one",
            )?;
            let [one, other] = [-first.get() * scale, second.get() * scale].map(passed_nearly);
            blocked = blocked * (one - other);
        }
        Ok(blocked)
    }
}

/// What several pieces take together that do not cover one another, such as those of one plate: what they stand before adds up
/// (Babinet).
pub fn shadow(pieces: &[Screen], carrier: Carrier) -> Result<Db, RadioFault> {
    let mut open = Complex::ONE;
    for piece in pieces {
        open = open - piece.blocked(carrier)?;
    }
    let loss = loss_of(open.power());
    Ok(if loss < SHADOW_MOST { loss } else { SHADOW_MOST })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Megahertz;

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn screen(distance: f64, [left, right, above, below]: [f64; 4]) -> Screen {
        let [distance, left, right, above, below] =
            [distance, left, right, above, below].map(Millimetres::new);
        Screen { distance, left, right, above, below }
    }
    fn loss(distance: f64, edges: [f64; 4]) -> f64 {
        screen(distance, edges).loss(carrier()).map_or(f64::NAN, Db::get)
    }

    #[test]
    fn a_pack_across_the_way_takes_ten_decibels_and_more() {
        let hidden = loss(60.0, [200.0, 200.0, 60.0, 300.0]);
        assert!((10.0..=25.0).contains(&hidden), "{hidden}");
        assert!((loss(60.0, [2000.0, 2000.0, 0.0, 2000.0]) - 6.0).abs() < 0.5);
        assert!(loss(60.0, [40.0, 40.0, -60.0, 90.0]).abs() < 1.5);
    }

    #[test]
    fn a_plate_on_the_antenna_or_inside_out_is_refused() {
        let told = screen(0.0, [1.0; 4]).loss(carrier()).map_err(|fault| fault.to_string());
        assert!(told.is_err_and(|words| {
            words.starts_with("distance of a screen 0 mm must lie between 1 mm and 5000 mm")
        }));
        assert!(screen(30.0, [5.0, -9.0, 1.0, 1.0]).loss(carrier()).is_err());
        assert!(screen(30.0, [f64::NAN, 9.0, 1.0, 1.0]).loss(carrier()).is_err());
    }

    #[test]
    fn a_plate_cut_in_two_takes_what_it_took_whole() {
        let whole = loss(60.0, [40.0, 70.0, 30.0, 30.0]);
        let halves = [screen(60.0, [40.0, 10.0, 30.0, 30.0]), screen(60.0, [-10.0, 70.0, 30.0, 30.0])];
        let together = shadow(&halves, carrier()).map_or(f64::NAN, Db::get);
        assert!((whole - together).abs() < 1e-9, "{whole} {together}");
        assert_eq!(shadow(&[], carrier()), Ok(Db::new(0.0)));
    }

    proptest! {
        #[test]
        fn a_screen_and_its_mirror_image_take_the_same(left in -50.0..90.0f64, more in 0.0..90.0f64, above in 0.0..60.0f64) {
            let right = more - left;
            let (one, two) = (loss(40.0, [left, right, above, 30.0]), loss(40.0, [right, left, above, 30.0]));
            prop_assert!((one - two).abs() < 1e-9 && one.is_finite());
        }
    }
}
