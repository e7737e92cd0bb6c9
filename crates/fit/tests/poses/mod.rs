//! Where a solid of a law's scene may stand: anywhere within reach, turned anyhow or by eighths of a turn.

use crate::scenes::turned;
use fit::Pose;
use proptest::prelude::*;

pub fn pose(reach: f64) -> impl Strategy<Value = Pose> {
    let place = (-reach..reach, -reach..reach, -reach..reach);
    let turn = prop_oneof![
        (-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64),
        (0..8i32, 0..8i32).prop_map(|(a, b)| (45.0 * f64::from(a), 45.0 * f64::from(b), 0.0)),
    ];
    (place, turn).prop_map(|((x, y, z), (a, b, c))| turned(x, y, z, a, b, c))
}
