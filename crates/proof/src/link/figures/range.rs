//! How far the link holds at each level, as figures: those of the plan, and those of any pose that a pane asks for.
//!
//! Doubt: each range is searched out again with twice the standard uncertainty of the margin less and more at the socket, and with what else may
//! stand about (`band.rs`). The ends stand in the working; the figure's own uncertainty takes each
//! fact by how the range moves between them.

use crate::link::band::{Ends, TIMES, metres_a_decibel, together};
use crate::link::cost::gone_lines;
use crate::link::spread::rests_on;
use crate::link::{Farthest, Gone, KEPT_WORDS, LOOKED, Link, LinkAsked, LinkModel, LinkObstacle, Outward};
use crate::subject::{db, metres, nose};
use crate::working::Lines;
use quantity::{Db, Dbm, FactLedger, Figure, Linear, Metres, Unit, standard_uncertainty};
use radio::{GROUND_SOURCE, Part, RadioFault};

/// How far the link holds at a level, with its doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct RangeTold {
    /// As far as it holds.
    pub range: Farthest,
    /// The standard uncertainty of the margin by the facts of both ends.
    pub doubt: Db,
    /// The ends of the range by what else may stand about.
    pub by_scenery: [Metres; 2],
    /// The ends with all doubt.
    pub ends: [Metres; 2],
    /// The same with its working.
    pub figure: Figure,
}

impl LinkModel {
    /// Of what is entered, the first wall or building that the flying line runs through up to a distance at a height: of what is told beyond it nobody can say
    /// anything.
    pub fn runs_through(&self, to: Metres, height: Metres) -> Option<&LinkObstacle> {
        crate::rules::runs_through(&self.obstacles, to, height)
    }

    /// How far the link holds at each level that is offered, on a way out as asked; `None` where something of the link lacks.
    pub fn range_figures(
        &self,
        asked: &LinkAsked,
        facts: &FactLedger,
        out: &mut Outward<'_>,
    ) -> Option<Result<Vec<RangeTold>, RadioFault>> {
        Some(range_figures(self, self.link().ok()?, asked, facts, out))
    }
}

fn range_figures(
    model: &LinkModel,
    link: &Link,
    asked: &LinkAsked,
    facts: &FactLedger,
    out: &mut Outward<'_>,
) -> Result<Vec<RangeTold>, RadioFault> {
    let (height, attitude) = (asked.height, asked.attitude());
    let levels: Vec<Dbm> = model.levels.iter().map(|level| level.at_socket).collect();
    let farthest = out.ranges(&levels, Db::new(0.0))?;
    let leaning = model.levels.iter().zip(&farthest).map(|(level, range)| {
        let leaning = link.leaning((range.distance(), height), attitude, level);
        let doubt = Db::new(standard_uncertainty(&leaning, facts));
        (leaning, doubt)
    });
    let leaning: Vec<(Linear, Db)> = leaning.collect();
    let doubted: Vec<(Dbm, Db)> =
        levels.iter().zip(&leaning).map(|(level, (_, doubt))| (*level, *doubt)).collect();
    let by_facts = out.ends_by_facts(&doubted)?;
    let mut by_scenery = link.ends_by_scenery(height, attitude, &levels, &farthest)?;
    // What comes through walls beats with what comes round them, and nobody knows its phase: two thicknesses say little of it. So the range is
    // searched out, too, with as much less and more as the budget about its end has in doubt by walls.
    let mut by_walls = Vec::with_capacity(levels.len());
    for (level, range) in levels.iter().zip(&farthest) {
        by_walls.push((*level, link.doubt_by_walls(range.distance(), height, attitude, *level)?));
    }
    if by_walls.iter().any(|(_, doubt)| doubt.get() > 0.0) {
        let walls = out.ends_by_facts(&by_walls)?;
        for moved in by_scenery.iter_mut().filter(|moved| moved.part == Part::Walls) {
            for (ends, more) in moved.ends.iter_mut().zip(&walls) {
                *ends = together(ends[0], &[*ends, *more]);
            }
        }
    }
    let mut told = Vec::with_capacity(model.levels.len());
    for (n, level) in model.levels.iter().enumerate() {
        let asked = LinkAsked { level: level.clone(), ..asked.clone() };
        let moved: Vec<(Part, Ends)> = by_scenery.iter().map(|moved| (moved.part, moved.ends[n])).collect();
        let (leaning, doubt) = &leaning[n];
        let breaks = out.flown_through(farthest[n], level.at_socket)?;
        let gone = out.gone(asked.distance, level.at_socket)?;
        let found = (farthest[n], &breaks, &gone);
        let mut one = one(link, &asked, found, (leaning, *doubt, by_facts[n]), &moved, facts)?;
        if let Some(through) = model.runs_through(one.range.distance(), height) {
            one.figure.label += &format!(
                "; the line runs through {}, where no craft is: from there on this counts for nothing",
                through.name
            );
        }
        told.push(one);
    }
    Ok(told)
}

fn one(
    link: &Link,
    asked: &LinkAsked,
    (range, before, gone): (Farthest, &Gone, &Gone),
    (leaning, doubt, by_facts): (&Linear, Db, Ends),
    moved: &[(Part, Ends)],
    facts: &FactLedger,
) -> Result<RangeTold, RadioFault> {
    let words = range.words();
    let (level, distance) = (&asked.level, range.distance());
    let each: Vec<Ends> = moved.iter().map(|(_, ends)| *ends).collect();
    let by_scenery = together(distance, &each);
    let ends = together(distance, &[by_facts, by_scenery]);
    let twice = db(TIMES * doubt.get());
    let end = Link::on_line(distance.max(LOOKED[0]), asked.height)?;
    let kept = link.taken_by_fades(end, asked.attitude(), level.at_socket)?;
    let mut lines = Lines::over(facts)
        .given("level at the socket", level.at_socket.get(), Unit::Dbm, format!("offered as {}", level.out))
        .given("needed", link.threshold.level.get(), Unit::Dbm, format!("mode {}", link.threshold.mode))
        .given(KEPT_WORDS, kept.get(), Unit::Db, "by the surroundings, and by how alike the antennas get it")
        .given(
            "of the way may break before it ends",
            link.blink.gone().get(),
            Unit::Metres,
            link.blink.words(),
        );
    let flown_through = match Gone::longest(&before.breaks) {
        None => "none".to_owned(),
        Some([from, to]) => {
            format!("{} of them, the longest {} at {}", before.breaks.len(), metres(to - from), metres(from))
        }
    };
    lines = lines
        .given(
            "breaks before it ends, short ones, together",
            Gone::length(&before.breaks).get(),
            Unit::Metres,
            flown_through,
        )
        .given(
            "the way that is asked about",
            (gone.way[1] - gone.way[0]).get(),
            Unit::Metres,
            format!("from {} to {}", metres(gone.way[0]), metres(gone.way[1])),
        );
    lines = gone_lines(lines, gone, "as it is")
        .given("height", asked.height.get(), Unit::Metres, "as asked")
        .given("nose down", asked.nose_down.get(), Unit::Degrees, nose(asked.heading))
        .given(
            "with less at the socket it holds to",
            by_facts[0].get(),
            Unit::Metres,
            format!("{twice} less, twice the standard uncertainty"),
        )
        .given(
            "with more at the socket it holds to",
            by_facts[1].get(),
            Unit::Metres,
            format!("{twice} more, twice the standard uncertainty"),
        );
    let mut result = Linear::chained(distance.get(), &[(metres_a_decibel(by_facts, doubt), leaning)]);
    for (part, [low, high]) in moved {
        let half = 0.5 * (*high - *low).get();
        let Some(fact) = link.spreads.fact(*part).filter(|_| half > 1e-6) else { continue };
        result.slopes.push((fact, half));
        for (end, which) in [(low, "least"), (high, "most")] {
            let what = format!("{} may make it, at {which}", part.words());
            lines = lines.given(&what, end.get(), Unit::Metres, rests_on(*part));
        }
    }
    for (end, which) in [(ends[0], "least"), (ends[1], "most")] {
        let what = format!("holds so far with all doubt, at {which}");
        lines = lines.given(&what, end.get(), Unit::Metres, "the end that lies farthest to that side");
    }
    let bank = if asked.bank.get() == 0.0 { String::new() } else { format!(", banked by {}", asked.bank) };
    let figure = lines.facts(&result).figure(
        format!("link.range[{}]", level.out),
        format!(
            "holds so far along the flying line, at {}, {}{bank}, between {} and {} with all doubt: picture held 99 % of the time on all antennas of the station together, short breaks apart, {}; {words}",
            level.out,
            nose(asked.heading),
            metres(ends[0]),
            metres(ends[1]),
            link.blink.allowed()
        ),
        (&result, Unit::Metres),
        "the nearest distance, from as far out as it flies high, at which a break begins with which more of the way than may be has nothing left 99 % of the time; every lobe of the ground is looked into",
        GROUND_SOURCE,
    );
    Ok(RangeTold { range, doubt, by_scenery, ends, figure })
}
