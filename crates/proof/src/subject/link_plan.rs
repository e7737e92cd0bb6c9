//! The link where it is planned to be worst: at the farthest planned point, on every heading, through fades.
//!
//! [`HEADINGS`] headings evenly round are looked at, nose down as in cruise, not banked. On each the mean margin of every input is
//! known; fades take from all of them by the law of the surroundings, chosen or put together as the receiver does, as in every range. So many per cent
//! of the worst of headings and fades together is the x for which the mean over headings of the chance that all inputs, x less, are lost
//! is that share. Which heading decides, for its doubts, is the one with the least margin.
//!
//! Doubt is first order: the slopes of the margin on the deciding heading hold for x too, which moves with it decibel for decibel.

use crate::kept::OutlineStore;
use crate::link::{Attitude, Farthest, HeldLow, Lack, Link, LinkModel, RadioLevel};
use crate::{Finding, Proof, Verdict};
use craft::Craft;
use quantity::{Db, Dbm, Degrees, FactIndex, Linear, Metres, Probability};
use radio::{Place, RadioFault};
use std::cell::OnceCell;

/// Headings that are looked at.
pub(crate) const HEADINGS: u32 = 12;
/// The interval in which a share lies ends at this, in decibels, and after so many steps.
const ENDS_AT: f64 = 5e-4;
const STEPS_MAX: u32 = 40;

/// So many standard uncertainties over nought a margin holds with the likelihood that a sound verdict wants, 95 %.
pub(crate) const SURELY: f64 = 1.645;

/// A way is asked flying out and coming home.
pub(crate) const OUT_AND_HOME: [Degrees; 2] = [Degrees::new(0.0), Degrees::new(180.0)];

/// Where the nose points, in words.
pub fn nose(heading: Degrees) -> String {
    match heading.get().rem_euclid(360.0) {
        turned if !(0.5..359.5).contains(&turned) => "nose away".to_owned(),
        turned if (turned - 180.0).abs() < 0.5 => "nose home".to_owned(),
        turned if turned < 180.0 => format!("nose {} to the left", Degrees::new(turned)),
        turned => format!("nose {} to the right", Degrees::new(360.0 - turned)),
    }
}

/// How the craft is turned, in words: where its nose points, or how it turns.
pub(crate) fn turned(attitude: Attitude) -> String {
    let bank = attitude.bank.get();
    if bank == 0.0 {
        return nose(attitude.heading);
    }
    // Across the line the craft leans into its turn: its top away from the station where it turns away.
    let away = (attitude.heading.get() < 180.0) == (bank > 0.0);
    let (whither, side) = (if away { "away" } else { "home" }, if bank > 0.0 { "right" } else { "left" });
    format!("turning {whither} to the {side}, banked {}", Degrees::new(bank.abs()))
}

/// The link at its farthest planned point.
#[derive(Clone, Debug)]
pub(crate) struct LinkPlan {
    /// How far.
    pub fly_to: Metres,
    /// How high.
    pub height: Metres,
    /// How far the nose is down.
    pub tilt: Degrees,
    /// How far it banks in turns, where that is planned.
    pub bank: Option<Degrees>,
    /// The level it flies at.
    pub level: RadioLevel,
    /// What holds it at that level, where a higher one is set.
    pub held_low: Option<HeldLow>,
    /// The mean margin on each heading.
    pub headings: Vec<(Degrees, Db)>,
    /// The margin that 90 % of all headings and fades together leave at least.
    pub in_ten: Db,
    /// The margin that 99 % leave.
    pub in_hundred: Db,
    /// The share of the time that the picture holds, all headings together.
    pub held: Probability,
}

impl LinkPlan {
    /// Worked out from a model, or what lacks.
    pub fn of(model: &LinkModel) -> Result<Self, Lack> {
        let plan = &model.plan;
        let mut lack = Lack::default();
        let link = model.link().map_err(|other| lack.add(other)).ok();
        let number = |lack: &mut Lack, read: &Result<Metres, craft::Missing>| {
            read.as_ref().copied().map_err(|missing| lack.add(&Lack::missing(missing.clone()))).ok()
        };
        let (fly_to, height) = (number(&mut lack, &plan.fly_to), number(&mut lack, &plan.height));
        let tilt = plan.cruise_tilt().map_err(|missing| lack.add(&Lack::missing(missing))).ok();
        let level = plan.level.clone().map_err(|other| lack.add(&other)).ok();
        let (Some(link), Some(fly_to), Some(height), Some(tilt), Some(level)) =
            (link, fly_to, height, tilt, level)
        else {
            return Err(lack);
        };
        let planned = Self::at(link, (fly_to, height, tilt), level).map_err(wrong)?;
        Ok(Self { held_low: plan.held_low.clone(), bank: plan.bank.as_ref().ok().copied(), ..planned })
    }

    /// Worked out where everything is known.
    pub fn at(
        link: &Link,
        (fly_to, height, tilt): (Metres, Metres, Degrees),
        level: RadioLevel,
    ) -> Result<Self, RadioFault> {
        let there = Link::on_line(fly_to, height)?;
        let (mut headings, mut each) = (Vec::new(), Vec::new());
        for n in 0..HEADINGS {
            let heading = Degrees::new(360.0 * f64::from(n) / f64::from(HEADINGS));
            let margins = link.margins(there, Attitude::cruising(heading, tilt), level.at_socket)?;
            headings.push((heading, link.of_all(&margins)));
            each.push(margins);
        }
        let lost = |less: f64| lost(link, &each, less);
        let margins = || headings.iter().map(|(_, margin)| margin.get());
        let ends = [margins().fold(f64::INFINITY, f64::min), margins().fold(f64::NEG_INFINITY, f64::max)];
        let [in_ten, in_hundred] = [0.1, 0.01].map(|share| Db::new(worst_share(lost, ends, share)));
        let held = Probability::new(1.0 - lost(0.0).clamp(0.0, 1.0));
        Ok(Self {
            fly_to,
            height,
            tilt,
            bank: None,
            level,
            held_low: None,
            headings,
            in_ten,
            in_hundred,
            held,
        })
    }

    /// Said beside every margin at a level to which something holds the unit; empty where it flies at the level that is set.
    pub fn held_words(&self) -> String {
        let Some(HeldLow { set, why }) = &self.held_low else { return String::new() };
        format!(
            "; that is at {}: {} is set, but {why}, and so it stays at its lowest",
            self.level.out, set.out
        )
    }

    /// What the level that is set would bring, were it not held low; with so much in hand now, and so much wanted.
    pub fn let_go(&self, now: f64, wanted: f64) -> Option<String> {
        let HeldLow { set, .. } = self.held_low.as_ref()?;
        let more = (set.at_socket - self.level.at_socket).get();
        let enough = if now + more >= wanted { ", enough" } else { "" };
        Some(format!("Mend the serial link first: at {}, as set, {} more{enough}.", set.out, db(more)))
    }

    /// The levels over that at which it flies; none where it is held low, for none can be set.
    pub fn higher<'m>(&self, model: &'m LinkModel) -> impl Iterator<Item = &'m RadioLevel> {
        let own = self.level.at_socket;
        let levels = if self.held_low.is_some() { &[][..] } else { &model.levels[..] };
        levels.iter().filter(move |level| level.at_socket > own)
    }

    /// The attitude on the heading with the least margin.
    pub fn decides(&self) -> Attitude {
        let least = self.headings.iter().min_by(|a, b| a.1.get().total_cmp(&b.1.get()));
        Attitude::cruising(least.map_or(Degrees::new(0.0), |(heading, _)| *heading), self.tilt)
    }

    /// Every way it is turned along the line: out, home, and turning between them to either side, as far banked as planned.
    pub fn poses(&self) -> Vec<Attitude> {
        let straight = OUT_AND_HOME.map(|heading| Attitude::cruising(heading, self.tilt));
        let across = [90.0, 270.0].into_iter().flat_map(|heading| {
            let turning = |bank| Attitude::cruising(Degrees::new(heading), self.tilt).banked(bank);
            self.bank.filter(|bank| bank.get() > 0.0).map(|bank| [turning(bank), turning(-bank)])
        });
        straight.into_iter().chain(across.flatten()).collect()
    }

    /// The place it is about.
    pub fn there(&self) -> Result<Place, RadioFault> {
        Link::on_line(self.fly_to, self.height)
    }

    /// The facts its margins lean on, each with its slope.
    fn leans(&self, link: &Link) -> Result<Vec<(FactIndex, f64)>, RadioFault> {
        Ok(link.margin_with_doubt(self.there()?, self.decides(), &self.level)?.slopes)
    }

    /// The range at the level set, nose away: as figures and charts tell it.
    pub fn range(&self, link: &Link) -> Result<Farthest, RadioFault> {
        let away = Attitude::cruising(Degrees::new(0.0), self.tilt);
        let found = link.farthest(self.height, away, &[self.level.at_socket], Db::new(0.0))?;
        Ok(found.first().copied().unwrap_or(Farthest::Nowhere))
    }

    /// As far as the worst tenth of headings and fades leaves so much in hand: the heading that decides at the farthest planned point is
    /// asked at every distance.
    pub fn leaves_to(&self, link: &Link, in_hand: Db) -> Result<Farthest, RadioFault> {
        // What is left 99 % of the time on that heading moves with what the worst tenth leaves, decibel for decibel.
        let left = link.lasting_at(self.there()?, self.decides(), self.level.at_socket)?;
        let reserve = left - self.in_ten + in_hand;
        let found = link.farthest(self.height, self.decides(), &[self.level.at_socket], reserve)?;
        Ok(found.first().copied().unwrap_or(Farthest::Nowhere))
    }

    /// How far it holds at a level with so much left 99 % of the time, however it is turned.
    pub fn holds_to(&self, link: &Link, level: Dbm, reserve: Db) -> Result<Metres, RadioFault> {
        let mut least = self.fly_to;
        for flown in self.poses() {
            let found = link.farthest(self.height, flown, &[level], reserve)?;
            least = least.min(found.first().map_or(Metres::new(0.0), |range| range.distance()));
        }
        Ok(least)
    }

    /// By how much a level is over the lowest that holds the flight, with its slopes on all that may be off where most is asked: facts of both ends, and
    /// what is published of what stands about.
    pub fn spare(&self, link: &Link, wanted: &Wanted, level: &RadioLevel) -> Result<Linear, RadioFault> {
        let flown = wanted.flown.unwrap_or_else(|| self.decides());
        let mut spare = link.leaning((wanted.at, self.height), flown, level);
        spare.slopes.extend(link.spread_at(
            Link::on_line(wanted.at, self.height)?,
            flown,
            level.at_socket,
        )?);
        spare.value = (level.at_socket - wanted.level).get();
        Ok(spare)
    }

    /// What holds the flight 99 % of the time: every distance up to the farthest planned one, nose away, coming home and turning to either side as far
    /// banked as planned, as a range is meant; and at that point 99 of 100 headings and fades together.
    ///
    /// What an earlier proof found is taken again where neither the link nor what is asked of it changed.
    pub fn wanted(&self, link: &Link, kept: &OutlineStore) -> Result<Wanted, RadioFault> {
        let asked = [
            self.level.at_socket.get(),
            self.in_hundred.get(),
            self.fly_to.get(),
            self.height.get(),
            self.tilt.get(),
            self.bank.map_or(0.0, Degrees::get),
        ];
        kept.wanted(link, asked, || self.wanted_anew(link))
    }

    fn wanted_anew(&self, link: &Link) -> Result<Wanted, RadioFault> {
        let level = self.level.at_socket;
        let mut wanted = Wanted { level: level - self.in_hundred, at: self.fly_to, flown: None };
        for flown in self.poses() {
            let mut out = link.outward(self.height, flown, level)?;
            // What asks for no more than another does is searched out no further.
            if out.range(wanted.level)?.distance() >= self.fly_to {
                continue;
            }
            let (at, left) = out.left(self.fly_to, level)?;
            let needs = level - left;
            if needs > wanted.level {
                wanted = Wanted { level: needs, at, flown: Some(flown) };
            }
        }
        Ok(wanted)
    }
}

/// The lowest level that holds a flight, and what asks for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Wanted {
    /// At the socket.
    pub level: Dbm,
    /// Where most is wanted.
    pub at: Metres,
    /// Turned how; `None` if it is all headings together.
    pub flown: Option<Attitude>,
}

impl Wanted {
    /// What asks for most, in words: `at 102 m, nose home`.
    pub fn because(&self) -> String {
        match self.flown {
            Some(flown) => format!("at {}, {}", metres(self.at), turned(flown)),
            None => format!("at {}, all headings together", metres(self.at)),
        }
    }
}

/// A range in words: one that reaches as far as was looked is said to go on.
pub(crate) fn reaches(range: Farthest) -> String {
    match range {
        Farthest::Nowhere => "nowhere".to_owned(),
        Farthest::To(distance) => format!("to {}", metres(distance)),
        Farthest::Beyond(distance) => format!("past {}", metres(distance)),
    }
}

/// What all rules of the link share, worked out when first asked for.
#[derive(Debug, Default)]
pub(crate) struct PlannedLink {
    plan: OnceCell<Result<LinkPlan, Lack>>,
    leans: OnceCell<Result<Vec<(FactIndex, f64)>, Lack>>,
}

impl Proof<'_> {
    /// The link at its farthest planned point, or what lacks; `None` without a video transmitter.
    pub(crate) fn link_plan(&self) -> Option<Result<&LinkPlan, &Lack>> {
        let model = self.link()?;
        Some(self.planned.plan.get_or_init(|| LinkPlan::of(model)).as_ref())
    }

    /// A margin of that plan with the facts it leans on.
    pub(crate) fn link_margin(&self, margin: Db) -> Result<Linear, Lack> {
        let leans =
            self.planned.leans.get_or_init(|| match (self.link().map(LinkModel::link), self.link_plan()) {
                (Some(Ok(link)), Some(Ok(plan))) => plan.leans(link).map_err(wrong),
                (_, Some(Err(lack))) => Err(lack.clone()),
                _ => Err(Lack::default()),
            });
        let slopes = leans.clone()?;
        Ok(Linear { value: margin.get(), slopes })
    }
}

/// The mean chance over headings that all inputs are lost, with so much less in hand.
fn lost(link: &Link, each: &[Vec<Db>], less: f64) -> f64 {
    let less = Db::new(less);
    let on = |margins: &Vec<Db>| link.lost(&margins.iter().map(|margin| *margin - less).collect::<Vec<Db>>());
    each.iter().map(on).sum::<f64>() / each.len().max(1) as f64
}

/// The margin that all but a share of headings and fades leave, by the chance that all is lost with so much less; between the least and the
/// most that any heading has.
fn worst_share(lost: impl Fn(f64) -> f64, [least, most]: [f64; 2], share: f64) -> f64 {
    let off = |less: f64| lost(less).max(1e-300).ln() - share.ln();
    // A fade of 50 dB comes less than once in a hundred thousand, whatever the surroundings; none adds 10 dB.
    let (mut low, mut high) = (least - 50.0, most + 10.0);
    let (mut at_low, mut at_high) = (off(low), off(high));
    for step in 0..STEPS_MAX {
        if high - low < ENDS_AT {
            break;
        }
        // Illinois, and every third step the middle: the ends lie far out.
        let secant = high - at_high * (high - low) / (at_high - at_low);
        let middle =
            if step % 3 == 2 || !secant.is_finite() { 0.5 * (low + high) } else { secant.clamp(low, high) };
        let at_middle = off(middle);
        if at_middle.abs() < 1e-6 {
            return middle;
        }
        if at_middle < 0.0 {
            (low, at_low) = (middle, at_middle);
            at_high *= 0.5;
        } else {
            (high, at_high) = (middle, at_middle);
            at_low *= 0.5;
        }
    }
    0.5 * (low + high)
}

/// A fault of the discipline as what lacks.
pub(crate) fn wrong(fault: RadioFault) -> Lack {
    Lack::wrong(fault.to_string())
}

/// What a rule says where link or supply is not known: which facts are missing, or what cannot be and how it is written.
pub(crate) fn lacking(rule: &'static str, subject: impl Into<String>, lack: &Lack) -> Finding {
    match lack.wrong.first() {
        Some(first) if lack.missing.is_empty() => {
            let (wrong, mend) = wrong_and_mend(first);
            let message = format!("Nobody can say yet: {wrong}");
            Finding::new(rule, Verdict::Unknown, subject, message).mend(mend)
        }
        _ => Finding::unknown(rule, subject, lack.missing.clone()),
    }
}

/// What is wrong, and the mend that follows the last semicolon.
pub(crate) fn words_and_mend(words: &str) -> (&str, Option<&str>) {
    words.rsplit_once("; ").map_or((words, None), |(wrong, mend)| (wrong, Some(mend)))
}
/// The same of a fault of supply.
pub(crate) fn fault_and_mend(fault: &power::PowerFault) -> (String, Option<String>) {
    let words = fault.to_string();
    let (wrong, mend) = words_and_mend(&words);
    (wrong.to_owned(), mend.map(str::to_owned))
}

/// What is wrong, and its mend as a sentence: in the words of a fault the mend follows the last semicolon.
pub(crate) fn wrong_and_mend(words: &str) -> (&str, String) {
    let (wrong, Some(mend)) = words_and_mend(words) else {
        return (words, "Correct what is named.".to_owned());
    };
    let mut letters = mend.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    (wrong, format!("{first}{}.", letters.as_str().trim_end_matches('.')))
}

/// The model of the link, where the craft has a ground station at all; without one a single rule asks for it.
pub(crate) fn stationed<'p>(proof: &'p Proof) -> Option<&'p LinkModel> {
    proof.link().filter(|model| model.station.is_some())
}

/// What is found of the link of the same craft changed a little; nothing in a trial, which tries nothing further.
pub(crate) fn link_tried<R>(
    proof: &Proof,
    change: impl FnOnce(&mut Craft) -> Option<()>,
    of: impl FnOnce(&LinkModel) -> Option<R>,
) -> Option<R> {
    if proof.is_trial() {
        return None;
    }
    let mut changed = proof.craft.clone();
    change(&mut changed)?;
    let trial = proof.trial(&changed);
    of(trial.link()?)
}

/// The plan of the same craft changed a little.
pub(crate) fn plan_tried(proof: &Proof, change: impl FnOnce(&mut Craft) -> Option<()>) -> Option<LinkPlan> {
    link_tried(proof, change, |model| LinkPlan::of(model).ok())
}

/// Decibels as messages say them: `7.5 dB`.
pub(crate) fn db(value: f64) -> String {
    format!("{} dB", crate::numbers::rounded(value, 1))
}

/// A distance as messages, figures and charts say it: whole metres, tenths below ten.
pub(crate) fn metres(value: Metres) -> String {
    let value = value.get();
    format!("{} m", crate::numbers::rounded(value, usize::from(value < 10.0)))
}

/// Milliwatts of a level.
pub(crate) fn milliwatts(level: Dbm) -> String {
    let mw = level.power().get();
    format!("{} mW", crate::numbers::rounded(mw, if mw < 10.0 { 1 } else { 0 }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_worst_share_is_lost_by_that_share(
            margins in prop::collection::vec(-20.0..40.0f64, 1..12), factor in -5.0..12.0f64, share in 0.01..0.5f64,
        ) {
            let fading = radio::Fading::rician(Db::new(factor)).unwrap_or(radio::Fading::RAYLEIGH);
            let worst = |margins: &[f64], share: f64| {
                let lost = |less: f64| {
                    let each = margins.iter().map(|margin| fading.share_lost(Db::new(margin - less)).get());
                    each.sum::<f64>() / margins.len() as f64
                };
                let ends = [f64::INFINITY, f64::NEG_INFINITY];
                let ends = margins.iter().fold(ends, |[low, high], m| [low.min(*m), high.max(*m)]);
                let found = worst_share(lost, ends, share);
                (found, lost(found))
            };
            let (found, lost) = worst(&margins, share);
            prop_assert!((lost - share).abs() < 2e-3);
            let more: Vec<f64> = margins.iter().map(|margin| margin + 3.0).collect();
            prop_assert!((worst(&more, share).0 - found - 3.0).abs() < 5e-3);
            prop_assert!(worst(&margins, share * 0.5).0 <= found + 2e-3);
        }
    }
}
