//! Do the screws bite, and do they stop before they hurt something.
//!
//! Basic profile of ISO metric threads (ISO 724): pitch diameter d₂ = d − 0.649519·P, minor diameter
//! D₁ = d − 1.082532·P; stress area (ISO 898-1) A = π/4·((d₂ + d₃)/2)² with d₃ = d − 1.226869·P; tap drill d − P.
//! Clearance holes are those of ISO 273. Head sizes and engagement are common practice.
//!
//! A screw of length l through a clamped stack s bites e = l − s, but no more than the thread is deep; its
//! tip stands l − s beyond the stack, so the room left behind it is the depth there less l − s.
//!
//! Left out: strength of the joint. These are small screws in soft things; the torque is set by what they
//! are screwed into.

use crate::solid::add_linear;
use quantity::{Grade, Linear, Millimetres, Source};

/// A metric thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thread {
    /// How it is written: `M3`.
    pub name: &'static str,
    /// The outer diameter d.
    pub diameter: Millimetres,
    /// The pitch P.
    pub pitch: Millimetres,
}

const fn thread(name: &'static str, diameter: f64, pitch: f64) -> Thread {
    Thread { name, diameter: Millimetres::new(diameter), pitch: Millimetres::new(pitch) }
}

/// Where the threads come from.
pub const THREAD_SOURCE: Source = Source {
    title: "ISO 724 and ISO 261",
    place: "basic dimensions; pitches of the coarse series and of lens threads",
    grade: Grade::Memory,
};

/// The threads found on such craft.
pub const THREADS: &[Thread] = &[
    thread("M1.4", 1.4, 0.3),
    thread("M1.6", 1.6, 0.35),
    thread("M2", 2.0, 0.4),
    thread("M2.5", 2.5, 0.45),
    thread("M3", 3.0, 0.5),
    thread("M4", 4.0, 0.7),
    thread("M5", 5.0, 0.8),
    thread("M7x0.35", 7.0, 0.35),
    thread("M8x0.5", 8.0, 0.5),
    thread("M12x0.5", 12.0, 0.5),
];

impl Thread {
    /// The thread written so; `None` if it is not in the table.
    pub fn named(name: &str) -> Option<Self> {
        THREADS.iter().copied().find(|t| t.name == name)
    }
    /// The coarse thread of a nominal diameter, within 0.05 mm.
    pub fn of_diameter(diameter: Millimetres) -> Option<Self> {
        THREADS.iter().copied().find(|t| (t.diameter - diameter).get().abs() < 0.05)
    }
    /// The pitch diameter d₂, ISO 724.
    pub fn pitch_diameter(&self) -> Millimetres {
        self.diameter - self.pitch * 0.649_519
    }
    /// The minor diameter of the nut D₁, ISO 724.
    pub fn minor_diameter(&self) -> Millimetres {
        self.diameter - self.pitch * 1.082_532
    }
    /// The stress area in mm², ISO 898-1.
    pub fn stress_area_mm2(&self) -> f64 {
        let root = self.diameter - self.pitch * 1.226_869;
        let mean = (self.pitch_diameter() + root) / 2.0;
        std::f64::consts::FRAC_PI_4 * mean.get() * mean.get()
    }
    /// The drill for a tapped hole: d − P.
    pub fn tap_drill(&self) -> Millimetres {
        self.diameter - self.pitch
    }
}

/// Clearance holes for one thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearanceHole {
    /// The thread.
    pub thread: &'static str,
    /// Close fit.
    pub fine: Millimetres,
    /// Usual fit.
    pub medium: Millimetres,
    /// Loose fit.
    pub coarse: Millimetres,
}

const fn hole(thread: &'static str, fine: f64, medium: f64, coarse: f64) -> ClearanceHole {
    let mm = Millimetres::new;
    ClearanceHole { thread, fine: mm(fine), medium: mm(medium), coarse: mm(coarse) }
}

/// Where the clearance holes come from.
pub const CLEARANCE_HOLE_SOURCE: Source = Source {
    title: "ISO 273:1979",
    place: "clearance holes for bolts and screws, fine, medium and coarse series, from two tables that agree",
    grade: Grade::PublishedValue,
};

/// Clearance holes by thread.
pub const CLEARANCE_HOLES: &[ClearanceHole] = &[
    hole("M1.6", 1.7, 1.8, 2.0),
    hole("M2", 2.2, 2.4, 2.6),
    hole("M2.5", 2.7, 2.9, 3.1),
    hole("M3", 3.2, 3.4, 3.6),
    hole("M4", 4.3, 4.5, 4.8),
    hole("M5", 5.3, 5.5, 5.8),
];

/// The clearance holes of a thread; `None` where the table has none.
pub fn clearance_hole(thread: &Thread) -> Option<ClearanceHole> {
    CLEARANCE_HOLES.iter().copied().find(|h| h.thread == thread.name)
}

/// The form of a screw head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HeadForm {
    /// Domed, stands on the plate.
    Button,
    /// Conical, sinks into the plate.
    Countersunk,
}

/// The size of a screw head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Head {
    /// The thread.
    pub thread: &'static str,
    /// Its form.
    pub form: HeadForm,
    /// The least usual diameter.
    pub diameter_min: Millimetres,
    /// The greatest usual diameter: the one to plan with.
    pub diameter_max: Millimetres,
    /// How far it stands out.
    pub height: Millimetres,
}

const fn head(thread: &'static str, form: HeadForm, min: f64, max: f64, height: f64) -> Head {
    let mm = Millimetres::new;
    Head { thread, form, diameter_min: mm(min), diameter_max: mm(max), height: mm(height) }
}

/// Where the head sizes come from.
pub const HEAD_SOURCE: Source =
    Source::common_practice("sizes of screw heads: M2 and M3 as they are sold, the rest in proportion");

/// Heads by thread.
pub const HEADS: &[Head] = &[
    head("M1.4", HeadForm::Button, 2.4, 2.6, 0.9),
    head("M1.6", HeadForm::Button, 2.8, 3.0, 1.0),
    head("M2", HeadForm::Button, 3.5, 3.8, 1.3),
    head("M2.5", HeadForm::Button, 4.4, 4.7, 1.5),
    head("M3", HeadForm::Button, 5.5, 5.7, 1.65),
    head("M4", HeadForm::Button, 7.0, 7.6, 2.2),
    head("M5", HeadForm::Button, 8.8, 9.5, 2.75),
    head("M3", HeadForm::Countersunk, 5.5, 5.5, 0.0),
];

/// The head of a thread in a form; `None` where the table has none.
pub fn head_of(thread: &Thread, form: HeadForm) -> Option<Head> {
    HEADS.iter().copied().find(|h| h.thread == thread.name && h.form == form)
}

/// What a screw is screwed into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ThreadMaterial {
    /// Steel or brass.
    Steel,
    /// Aluminium: standoffs and motor bases.
    Aluminium,
    /// Plastic, printed or moulded.
    Plastic,
}

/// How deep a screw must bite, as multiples of its diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EngagementRow {
    /// Into what.
    pub material: ThreadMaterial,
    /// Less strips at once.
    pub least_diameters: f64,
    /// What is wanted.
    pub wanted_diameters: f64,
}

/// Where the engagements come from.
pub const ENGAGEMENT_SOURCE: Source =
    Source::common_practice("thread engagement by material, in multiples of the diameter");

/// Engagement by material.
pub const ENGAGEMENTS: &[EngagementRow] = &[
    EngagementRow { material: ThreadMaterial::Steel, least_diameters: 0.8, wanted_diameters: 1.0 },
    EngagementRow { material: ThreadMaterial::Aluminium, least_diameters: 1.0, wanted_diameters: 1.5 },
    EngagementRow { material: ThreadMaterial::Plastic, least_diameters: 2.0, wanted_diameters: 2.5 },
];

impl ThreadMaterial {
    /// Its row of the table.
    pub fn engagement(self) -> EngagementRow {
        match self {
            ThreadMaterial::Steel => ENGAGEMENTS[0],
            ThreadMaterial::Aluminium => ENGAGEMENTS[1],
            ThreadMaterial::Plastic => ENGAGEMENTS[2],
        }
    }
}

/// A screw whose tip comes nearer than this to a winding or board is broken. Common practice.
pub const TIP_GAP_LEAST: Millimetres = Millimetres::new(0.3);
/// A screw tip should stay this far from a winding or board. Common practice.
pub const TIP_GAP_WANTED: Millimetres = Millimetres::new(0.5);

/// A screw and what it goes through.
#[derive(Clone, Debug, PartialEq)]
pub struct ScrewJoint {
    /// The thread.
    pub thread: Thread,
    /// Length under the head (of a countersunk screw: over all), in mm.
    pub length: Linear,
    /// What lies between head and thread: plates, boards, washers, spacers, in mm.
    pub clamped: Vec<Linear>,
    /// How deep the thread goes from where the clamped stack ends, in mm, where known.
    pub thread_depth: Option<Linear>,
    /// How far behind the clamped stack the first thing lies that the tip must not reach, in mm.
    pub room: Option<Linear>,
}

/// What comes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ScrewFit {
    /// How deep the thread bites, in mm; negative if the screw does not reach it.
    pub engagement: Linear,
    /// The engagement in multiples of the diameter.
    pub diameters: f64,
    /// How many turns of thread bite.
    pub turns: f64,
    /// Air between the tip and what lies behind, in mm; negative if the tip reaches it.
    pub tip_gap: Option<Linear>,
    /// How far the tip goes past the end of a blind thread: the screw seizes before it clamps. In mm,
    /// negative while there is thread left.
    pub past_thread: Option<Linear>,
}

/// How deep a screw bites and how far its tip stays from what lies behind.
pub fn screw_fit(joint: &ScrewJoint) -> ScrewFit {
    let mut reach = joint.length.clone();
    for layer in &joint.clamped {
        add_linear(&mut reach, layer, -1.0);
    }
    let less = |from: &Linear, what: &Linear| {
        let mut rest = from.clone();
        add_linear(&mut rest, what, -1.0);
        rest
    };
    let engagement = match &joint.thread_depth {
        Some(depth) if depth.value < reach.value => depth.clone(),
        _ => reach.clone(),
    };
    ScrewFit {
        diameters: engagement.value / joint.thread.diameter.get(),
        turns: (engagement.value / joint.thread.pitch.get()).max(0.0),
        tip_gap: joint.room.as_ref().map(|room| less(room, &reach)),
        past_thread: joint.thread_depth.as_ref().map(|depth| less(&reach, depth)),
        engagement,
    }
}

/// Screw lengths in any drawer. Common practice.
pub const STOCK_LENGTHS_MM: &[f64] =
    &[3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 25.0, 28.0, 30.0, 35.0, 40.0];

/// The stock lengths that bite as deep as wanted in this material and keep the tip clear, shortest first.
pub fn lengths_that_serve(joint: &ScrewJoint, material: ThreadMaterial) -> Vec<Millimetres> {
    let wanted = material.engagement().wanted_diameters * joint.thread.diameter.get();
    let serves = |length: f64| {
        let fit = screw_fit(&ScrewJoint { length: exact(length), ..joint.clone() });
        fit.engagement.value >= wanted
            && fit.tip_gap.is_none_or(|gap| gap.value >= TIP_GAP_WANTED.get())
            && fit.past_thread.is_none_or(|past| past.value <= 0.0)
    };
    STOCK_LENGTHS_MM.iter().copied().filter(|l| serves(*l)).map(Millimetres::new).collect()
}

/// A value no fact moves.
pub(crate) fn exact(value: f64) -> Linear {
    Linear { value, slopes: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::FactIndex;

    fn follows(value: f64, fact: FactIndex) -> Linear {
        Linear { value, slopes: vec![(fact, 1.0)] }
    }

    fn joint(length: f64, clamped: &[f64], depth: Option<f64>, room: Option<f64>) -> ScrewJoint {
        ScrewJoint {
            thread: THREADS[4],
            length: follows(length, FactIndex(0)),
            clamped: clamped.iter().enumerate().map(|(i, t)| follows(*t, FactIndex(1 + i as u32))).collect(),
            thread_depth: depth.map(exact),
            room: room.map(exact),
        }
    }

    #[test]
    fn a_screw_bites_what_the_stack_leaves() {
        // M3 x 8 through a 2 mm plate and a 1.5 mm board: 4.5 mm, one and a half diameters, 9 turns.
        let fit = screw_fit(&joint(8.0, &[2.0, 1.5], None, Some(5.2)));
        assert!((fit.engagement.value - 4.5).abs() < 1e-12);
        assert!((fit.diameters - 1.5).abs() < 1e-12 && (fit.turns - 9.0).abs() < 1e-12);
        assert_eq!(
            fit.engagement.slopes,
            vec![(FactIndex(0), 1.0), (FactIndex(1), -1.0), (FactIndex(2), -1.0)]
        );
        assert!((fit.tip_gap.map_or(0.0, |gap| gap.value) - 0.7).abs() < 1e-12);
    }

    #[test]
    fn a_blind_thread_bounds_the_bite() {
        let fit = screw_fit(&joint(12.0, &[2.0], Some(6.0), None));
        assert_eq!(fit.engagement.value, 6.0);
        assert_eq!(fit.past_thread.map(|past| past.value), Some(4.0));
    }

    #[test]
    fn only_lengths_that_bite_and_stay_clear_serve() {
        // 5 mm of plate: 4.5 mm of bite asks for 9.5 mm, 5.8 mm of room less 0.5 allows 10.3 mm.
        let serve = lengths_that_serve(&joint(6.0, &[5.0], None, Some(5.8)), ThreadMaterial::Aluminium);
        assert_eq!(serve, vec![Millimetres::new(10.0)]);
    }

    #[test]
    fn threads_are_found_by_name_and_by_size() {
        assert_eq!(Thread::named("M2.5").map(|t| t.pitch), Some(Millimetres::new(0.45)));
        assert_eq!(Thread::of_diameter(Millimetres::new(2.0)).map(|t| t.name), Some("M2"));
        assert_eq!(Thread::of_diameter(Millimetres::new(2.2)), None);
    }
}
