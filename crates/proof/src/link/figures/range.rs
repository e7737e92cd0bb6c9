//! How far the link holds at each level, as figures: those of the plan, and those of any pose that a pane asks for.
//!
//! Doubt: the margin's slopes on every fact, each decibel moving the range by ln 10/20 of itself as in free space; and what the spread of
//! published values of ground and walls makes of the range at the level set, searched out anew with each, in the same proportion at every level.

use crate::link::spread::{others, rests_on};
use crate::link::{Farthest, KEPT_WORDS, Link, LinkAsked, LinkModel};
use crate::subject::nose;
use crate::working::Lines;
use quantity::{Dbm, FactIndex, FactLedger, Figure, Linear, Unit};
use radio::{GROUND_SOURCE, Part, RadioFault};
use std::f64::consts::LN_10;

impl LinkModel {
    /// How far the link holds at each level that is offered, as asked in all else; `None` where something of the link lacks.
    pub fn range_figures(
        &self,
        asked: &LinkAsked,
        facts: &FactLedger,
    ) -> Option<Result<Vec<(Farthest, Figure)>, RadioFault>> {
        Some(range_figures(self, self.link().ok()?, asked, facts))
    }
}

/// How the range moves to the ends of the spread of what stands about, in shares of itself.
struct Wide {
    part: Part,
    fact: FactIndex,
    share: f64,
}

fn range_figures(
    model: &LinkModel,
    link: &Link,
    asked: &LinkAsked,
    facts: &FactLedger,
) -> Result<Vec<(Farthest, Figure)>, RadioFault> {
    let levels: Vec<Dbm> = model.levels.iter().map(|level| level.at_socket).collect();
    let farthest = link.farthest(asked.height, asked.attitude(), &levels, link.kept())?;
    let wide = wide(link, asked)?;
    let figures = model.levels.iter().zip(farthest).map(|(level, farthest)| {
        let asked = LinkAsked { level: level.clone(), ..asked.clone() };
        (farthest, figure(link, &asked, farthest, &wide, facts))
    });
    Ok(figures.collect())
}

fn wide(link: &Link, asked: &LinkAsked) -> Result<Vec<Wide>, RadioFault> {
    let usual = link.range_as_asked(asked)?;
    let Farthest::To(usual) = usual else { return Ok(Vec::new()) };
    let mut wide: Vec<Wide> = Vec::new();
    for (part, scenery) in others(&link.scenery) {
        let Some(fact) = link.spreads.fact(part) else { continue };
        let other = Link { scenery, ..link.clone() }.range_as_asked(asked)?;
        let share = ((other.distance() - usual).get() / usual.get()).abs();
        match wide.iter_mut().find(|known| known.part == part) {
            Some(known) => known.share = known.share.max(share),
            None => wide.push(Wide { part, fact, share }),
        }
    }
    // Past what stands in the way a range jumps: that is told as far again, for a doubt to either side can be no more than the range.
    wide.iter_mut().for_each(|wide| wide.share = wide.share.min(1.0));
    wide.retain(|wide| wide.share > 1e-6);
    Ok(wide)
}

fn figure(link: &Link, asked: &LinkAsked, farthest: Farthest, wide: &[Wide], facts: &FactLedger) -> Figure {
    let words = match farthest {
        Farthest::Nowhere => "it does not hold even close by",
        Farthest::To(_) => "where it first breaks",
        Farthest::Beyond(_) => "as far as was looked: it may hold farther",
    };
    let (level, distance) = (&asked.level, farthest.distance());
    let mut lines = Lines::over(facts)
        .given("level at the socket", level.at_socket.get(), Unit::Dbm, format!("offered as {}", level.out))
        .given("needed", link.threshold.level.get(), Unit::Dbm, format!("mode {}", link.threshold.mode))
        .given(KEPT_WORDS, link.kept().get(), Unit::Db, "by the surroundings")
        .given("height", asked.height.get(), Unit::Metres, "as asked")
        .given("nose down", asked.nose_down.get(), Unit::Degrees, nose(asked.heading));
    // With doubt of d decibels the distance of free space moves by ln 10/20 of it a decibel.
    let leaning = link.leaning((distance, asked.height), asked.attitude(), level);
    let slope = distance.get() * LN_10 / 20.0;
    let mut result = Linear::chained(distance.get(), &[(slope, &leaning)]);
    for wide in wide {
        let most = wide.share * distance.get();
        result.slopes.push((wide.fact, most));
        lines = lines.given(
            &format!("{} may move it by", wide.part.words()),
            most,
            Unit::Metres,
            rests_on(wide.part),
        );
    }
    let bank = if asked.bank.get() == 0.0 { String::new() } else { format!(", banked by {}", asked.bank) };
    lines.facts(&result).figure(
        format!("link.range[{}]", level.out),
        format!(
            "holds all the way along the flying line at {}, {}{bank}, 99 % of the time; {words}",
            level.out,
            nose(asked.heading)
        ),
        (&result, Unit::Metres),
        "the nearest distance, from as far out as it flies high, at which the margin falls under what is kept in hand; every lobe of the ground is looked into",
        GROUND_SOURCE,
    )
}
