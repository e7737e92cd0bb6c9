//! What one antenna takes of what another sends, term by term?
//!
//! Two rays: the straight one and the one off the ground, each with the gain and polarisation that both antennas have in
//! its direction, through walls and leaves on its way. The amplitude over that of isotropic antennas is
//! λ/(4π)·Σ e^(−jkr)/r·(taken). Its decibels are told apart in the order of a budget: spreading, the gains of both ends along the
//! straight ray, polarisation, walls, leaves, and what the ground adds or takes. The last is what is left over, so the terms add up
//! to the whole exactly.
//!
//! Where many are asked for, a [`Site`] gives the total alone, and faster.
//!
//! Left out: rays off walls and over roofs with the ground together, and everything that moves (see `fading`).

use crate::air::spreading;
use crate::{
    Antenna, Carrier, DEEPEST, Ground, LossRange, Place, RadioFault, Site, Turn, Wall, Wood, loss_of,
    woodland_loss,
};
use quantity::{Db, Dbi, Degrees, Metres};

/// An antenna in its place, turned as it stands or flies.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// The antenna.
    pub antenna: Antenna,
    /// How it is turned.
    pub turn: Turn,
    /// Where it is; z above the ground.
    pub place: Place,
}

/// What stands about.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scenery {
    /// The ground; `None` far above it.
    pub ground: Option<Ground>,
    /// Walls.
    pub walls: Vec<Wall>,
    /// Woods, hedges and trees.
    pub woods: Vec<Wood>,
}

/// The ray off the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounce {
    /// How steeply it meets the ground.
    pub grazing: Degrees,
    /// How much longer its way is.
    pub longer: Metres,
    /// How far it lies below the straight ray.
    pub below: Db,
}

/// What arrives, term by term. Losses are above nought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reception {
    /// The straight way.
    pub distance: Metres,
    /// Loss by spreading.
    pub spreading: Db,
    /// Gain of the sender toward the receiver.
    pub sender: Dbi,
    /// Gain of the receiver toward the sender.
    pub receiver: Dbi,
    /// Loss because the two do not fit in polarisation: as their ellipses are taken to be tilted, and over all tilts where one is elliptical, for no sheet
    /// says how an ellipse lies.
    pub polarisation: LossRange,
    /// Loss by walls, through, over and round.
    pub walls: Db,
    /// Loss by leaves.
    pub leaves: LossRange,
    /// What the ground adds, or takes if below nought.
    pub ground: Db,
    /// The ray off the ground, where there is one.
    pub bounce: Option<Bounce>,
    /// All together: what arrives over what is sent, below nought.
    pub total: Db,
}

/// What one end takes of what the other sends.
pub fn reception(from: &End, to: &End, scenery: &Scenery, carrier: Carrier) -> Result<Reception, RadioFault> {
    let rays = Site::new(scenery, carrier)?.rays(from, to)?;
    let leaves = leaves(&rays.straight_leaves, carrier)?;
    let bounce = match &rays.bounced {
        Some(bounced) => {
            let below = loss_of(bounced.taken.power()) - loss_of(rays.straight.power());
            let grazing = Degrees::new(bounced.sine.clamp(0.0, 1.0).asin().to_degrees());
            Some(Bounce { grazing, longer: Metres::new(bounced.longer), below })
        }
        None => None,
    };
    let spreading = spreading(rays.distance, carrier);
    let [sender, receiver] = [rays.sent, rays.fitting].map(|wave| Dbi::new(-loss_of(wave.power()).get()));
    let both = rays.sent.power() * rays.fitting.power();
    let plain = rays.plain.power();
    let polarisation = if both > 0.0 { loss_of(plain / both) } else { Db::new(0.0) };
    let tilts = [from, to].map(|end| end.antenna.polarisation().hand());
    let polarisation = match tilts {
        [None, None] => LossRange::new(polarisation.get(), polarisation.get(), polarisation.get()),
        _ => {
            let [least, most] =
                rays.sent.fits_at_any_tilt(rays.fitting).map(|share| loss_of(share).get().min(DEEPEST.get()));
            LossRange::new(least.min(polarisation.get()), polarisation.get(), most.max(polarisation.get()))
        }
    };
    let walls = if plain > 0.0 { loss_of(rays.walled.power() / plain) } else { Db::new(0.0) };
    let arrived = spreading.get() + loss_of(rays.all().power()).get();
    let total = Db::new(-arrived.min(DEEPEST.get()));
    let before = sender.get() + receiver.get()
        - spreading.get()
        - polarisation.usual.get()
        - walls.get()
        - leaves.usual.get();
    let ground = Db::new(total.get() - before);
    Ok(Reception {
        distance: Metres::new(rays.distance),
        spreading,
        sender,
        receiver,
        polarisation,
        walls,
        leaves,
        ground,
        bounce,
        total,
    })
}

/// What crowns take together: each its own.
fn leaves(crowns: &[f64], carrier: Carrier) -> Result<LossRange, RadioFault> {
    // Past 400 m of leaves no model reaches, and nothing arrives.
    crowns.iter().map(|depth| woodland_loss(Metres::new(depth.min(400.0)), carrier)).sum()
}
