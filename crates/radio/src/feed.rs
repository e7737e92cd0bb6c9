//! What is lost between a radio and its antenna?
//!
//! Coax by kind and length, joints by their state, and the mismatch of both ends. An adapter is two joints. Joints
//! reflect as well as lose; here their state stands for both. Each loss has a least and a most: a joint's
//! from its state, the mismatch's from the phase that nobody knows.

use crate::{Carrier, Coax, LossRange, Match, RadioFault, mismatch_loss};
use quantity::{Db, Metres, Source};

/// Where the losses of joints come from.
pub const JOINT_SOURCE: Source = Source::common_practice(
    "a sound joint 0.1 to 0.2 dB; a worn push-on 1 to 6 dB; half unplugged 20 to 35 dB",
);

/// The most parts a feed may have.
const PARTS_MAX: usize = 32;

/// How a joint is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum JointState {
    /// Clean and tight.
    Sound,
    /// A worn or pinched push-on plug.
    Worn,
    /// Not fully home.
    HalfUnplugged,
}

impl JointState {
    /// Every state.
    pub const ALL: [JointState; 3] = [JointState::Sound, JointState::Worn, JointState::HalfUnplugged];

    /// What it loses.
    pub const fn loss(self) -> LossRange {
        match self {
            JointState::Sound => LossRange::new(0.1, 0.15, 0.2),
            JointState::Worn => LossRange::new(1.0, 3.0, 6.0),
            JointState::HalfUnplugged => LossRange::new(20.0, 27.0, 35.0),
        }
    }
}

/// One part of a feed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FeedPart {
    /// A length of coax.
    Lead(Coax, Metres),
    /// A joint.
    Joint(JointState),
    /// Anything whose loss was measured or stated.
    Stated(Db),
}

/// Everything between a radio and its antenna.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// In order from the radio.
    pub parts: Vec<FeedPart>,
    /// How well the radio is matched.
    pub radio: Match,
    /// How well the antenna is matched.
    pub antenna: Match,
}

/// What a feed loses, apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeedLoss {
    /// In coax and in what was stated.
    pub leads: Db,
    /// In joints.
    pub joints: LossRange,
    /// By mismatch.
    pub mismatch: LossRange,
}

impl FeedLoss {
    /// All together.
    pub fn total(&self) -> LossRange {
        LossRange::known(self.leads) + self.joints + self.mismatch
    }
}

impl Feed {
    /// Nothing between: the antenna sits on the radio, and both fit.
    pub const NONE: Self = Self { parts: Vec::new(), radio: Match::PERFECT, antenna: Match::PERFECT };

    /// What it loses.
    pub fn loss(&self, carrier: Carrier) -> Result<FeedLoss, RadioFault> {
        if self.parts.len() > PARTS_MAX {
            return Err(RadioFault::Count { what: "parts of a feed", most: PARTS_MAX });
        }
        let mut leads = Db::new(0.0);
        let mut joints = LossRange::default();
        for part in &self.parts {
            match part {
                FeedPart::Lead(coax, length) => leads = leads + coax.loss(*length, carrier)?,
                FeedPart::Joint(state) => joints = joints + state.loss(),
                FeedPart::Stated(loss) => {
                    let most = Db::new(100.0);
                    leads = leads
                        + RadioFault::within(
                            "loss of a feed",
                            *loss,
                            Db::new(0.0),
                            most,
                            "give it without a sign",
                        )?;
                }
            }
        }
        let mismatch = mismatch_loss(self.radio, self.antenna, leads + joints.usual);
        Ok(FeedLoss { leads, joints, mismatch })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Measure, Megahertz, Ratio};

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn pigtail(state: JointState) -> Feed {
        let lead = FeedPart::Lead(Coax::ALL[1], Metres::new(0.1));
        let joint = FeedPart::Joint(JointState::Sound);
        let fit = |ratio| Match::of_standing_wave_ratio(Ratio::of(ratio)).unwrap_or(Match::PERFECT);
        Feed { parts: vec![FeedPart::Joint(state), lead, joint], radio: fit(1.3), antenna: fit(1.5) }
    }

    #[test]
    fn a_pigtail_with_two_joints_costs_about_a_decibel() {
        let loss = pigtail(JointState::Sound).loss(carrier()).map(|loss| loss.total());
        assert!(
            loss.is_ok_and(|l| (0.8..1.2).contains(&l.usual.get()) && l.least < l.usual && l.usual < l.most)
        );
    }

    #[test]
    fn a_worn_plug_costs_decibels_and_a_loose_one_the_link() {
        let usual = |state| pigtail(state).loss(carrier()).map_or(f64::NAN, |loss| loss.total().usual.get());
        assert!(usual(JointState::Worn) - usual(JointState::Sound) > 2.5);
        assert!(usual(JointState::HalfUnplugged) > 20.0);
    }

    #[test]
    fn a_loss_with_a_sign_is_refused() {
        let feed = Feed { parts: vec![FeedPart::Stated(Db::new(-1.0))], ..Feed::NONE };
        let told = feed.loss(carrier()).map_err(|fault| fault.to_string());
        assert_eq!(
            told,
            Err("loss of a feed -1 dB must lie between 0 dB and 100 dB; give it without a sign".to_owned())
        );
        assert_eq!(Feed::NONE.loss(carrier()).map(|loss| loss.total().usual), Ok(Db::new(0.0)));
    }
}
