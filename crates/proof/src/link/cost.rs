//! What one thing more or less costs the link, or brings it, as metres of the range and as metres of the way on which it holds.
//!
//! The link is computed anew with one thing changed and all else kept as asked, and both are searched out as everywhere (`farthest.rs`,
//! `outward.rs`): the other hand on the craft, a metre of thin coax, a bank, a tree, a wall, a better pair of antennas. Where a barn ends every range
//! at its corner, the metres that break behind it still tell one antenna from another. Figures and panes tell this one list (`changes.rs`).
//!
//! Doubt: both links lean on the same facts, so both are searched out again together with twice the uncertainty of the margin less at the socket
//! and more; what the change comes to there is told, and between these ends lie four times its uncertainty: they seldom lie to both sides alike.
//! On top comes what is published of the tree or the wall itself, by how the changed link moves with the margin.

use super::band::{TIMES, metres_a_decibel};
use super::changes::{Change, better, changes, top};
use super::{Attitude, Farthest, Gone, KEPT_WORDS, LOOKED, Link, LinkAsked, LinkModel, Outward};
use crate::numbers::rounded;
use crate::subject::metres;
use crate::working::Lines;
use quantity::{Db, Dbm, FactLedger, Figure, Linear, Metres, Unit, standard_uncertainty};
use radio::{Part, RadioFault};

/// A range that grows by more than this behind an obstacle is told why, in metres.
const GROWS: f64 = 0.5;

/// What one thing costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// What is changed.
    pub what: String,
    /// How far the link then holds.
    pub range: Farthest,
    /// Where it is then gone on the way to the asked distance.
    pub gone: Gone,
    /// How the margin at the asked distance changes; below nought it costs.
    pub change: Db,
    /// How the range changes, with its working: below nought metres are lost.
    pub figure: Figure,
    /// How the metres change on which it holds on the way to the asked distance: below nought fewer hold.
    pub on_way: Figure,
}

/// The link as it is, as asked.
#[derive(Clone, Debug, PartialEq)]
pub struct AsItIs {
    /// How far it holds.
    pub range: Farthest,
    /// Where it is gone on the way to the asked distance.
    pub gone: Gone,
}

impl LinkModel {
    /// How far the link holds as asked, and what each change costs; `None` where something of the link lacks.
    pub fn costs(
        &self,
        asked: &LinkAsked,
        facts: &FactLedger,
    ) -> Option<Result<(AsItIs, Vec<Cost>), RadioFault>> {
        Some(costs(self.link().ok()?, asked, facts))
    }
}

impl LinkModel {
    /// How far the link holds as asked, and what a better pair of antennas brings; `None` where something of the link lacks.
    pub fn better(
        &self,
        asked: &LinkAsked,
        facts: &FactLedger,
    ) -> Option<Result<(AsItIs, Cost), RadioFault>> {
        let link = self.link().ok()?;
        let found = As::asked((link, asked), facts).and_then(|as_is| {
            let better = better(link, asked)?;
            let cost = cost(&as_is, better, (link, asked), facts)?;
            Ok((as_is.told(), cost))
        });
        Some(found)
    }
}

fn costs(link: &Link, asked: &LinkAsked, facts: &FactLedger) -> Result<(AsItIs, Vec<Cost>), RadioFault> {
    let as_is = As::asked((link, asked), facts)?;
    let rows = changes(link, asked)?.into_iter().map(|change| cost(&as_is, change, (link, asked), facts));
    Ok((as_is.told(), rows.collect::<Result<_, RadioFault>>()?))
}

/// How far a link holds and where it is gone, at three levels: with twice the doubt less at the socket, as thought, and with more.
struct Three {
    ranges: [Farthest; 3],
    gone: [Gone; 3],
}

impl Three {
    fn of(out: &mut Outward<'_>, asked: &LinkAsked, levels: [Dbm; 3]) -> Result<Self, RadioFault> {
        let found = out.ranges(&levels, Db::new(0.0))?;
        let [mut less, mut usual, mut more] = [const { None }; 3];
        for (gone, level) in [&mut less, &mut usual, &mut more].into_iter().zip(levels) {
            *gone = Some(out.gone(asked.distance, level)?);
        }
        Ok(Self {
            ranges: std::array::from_fn(|n| found.get(n).copied().unwrap_or(Farthest::Nowhere)),
            gone: [less, usual, more].map(Option::unwrap_or_default),
        })
    }

    /// The ranges in metres.
    fn far(&self) -> [f64; 3] {
        self.ranges.map(|range| range.distance().get())
    }

    /// The metres of the way on which it holds.
    fn holds(&self) -> [f64; 3] {
        std::array::from_fn(|n| self.gone[n].holds().get())
    }
}

/// The link as it is.
struct As {
    found: Three,
    /// At which levels that is.
    levels: [Dbm; 3],
    /// How the margin leans on all facts where the range ends, and its standard uncertainty.
    leaning: Linear,
    doubt: Db,
    margin: Db,
}

impl As {
    fn asked((link, asked): (&Link, &LinkAsked), facts: &FactLedger) -> Result<Self, RadioFault> {
        // A way of its own: what others asked of one before would move its ends by a hair.
        let mut out = link.outward_as_asked(asked)?;
        let (attitude, level) = (asked.attitude(), asked.level.at_socket);
        let end = out.range(level)?;
        let mut leaning = link.leaning((end.distance(), asked.height), attitude, &asked.level);
        leaning.slopes.extend(spread_at((link, asked), attitude, end)?);
        let doubt = Db::new(standard_uncertainty(&leaning, facts));
        let wide = Db::new(TIMES * doubt.get());
        let levels = [level - wide, level, level + wide];
        let found = Three::of(&mut out, asked, levels)?;
        let margin = link.margin(asked.place()?, attitude, level)?;
        Ok(Self { found, levels, leaning, doubt, margin })
    }

    fn told(&self) -> AsItIs {
        AsItIs { range: self.found.ranges[1], gone: self.found.gone[1].clone() }
    }
}

/// How the margin where a range ends leans on what is published of what stands about.
fn spread_at(
    (link, asked): (&Link, &LinkAsked),
    attitude: Attitude,
    range: Farthest,
) -> Result<Vec<(quantity::FactIndex, f64)>, RadioFault> {
    let end = Link::on_line(range.distance().max(LOOKED[0]), asked.height)?;
    link.spread_at(end, attitude, asked.level.at_socket)
}

fn cost(
    as_is: &As,
    change: Change,
    (link, asked): (&Link, &LinkAsked),
    facts: &FactLedger,
) -> Result<Cost, RadioFault> {
    let mut out = change.link.outward(asked.height, change.attitude, asked.level.at_socket)?;
    let after = Three::of(&mut out, asked, as_is.levels)?;
    let margin = change.link.margin(asked.place()?, change.attitude, asked.level.at_socket)?;
    let changed = margin - as_is.margin;
    let own = match change.link.between {
        Some(_) => Some(Linear {
            value: 0.0,
            slopes: spread_at((&change.link, asked), change.attitude, after.ranges[1])?,
        }),
        None => None,
    };
    let by = |now: [f64; 3], then: [f64; 3]| Changed::of(as_is, [now, then], own.as_ref(), facts);
    let far = by(as_is.found.far(), after.far());
    let on_way = by(as_is.found.holds(), after.holds());
    let figure = range_figure(&change, (as_is, &after), (&far, changed), (link, asked), facts)?;
    let on_way = way_figure(&change, (as_is, &after), &on_way, (link, asked), facts);
    let [_, range, _] = after.ranges;
    let [_, gone, _] = after.gone;
    Ok(Cost { what: change.what, range, gone, change: changed, figure, on_way })
}

/// By how many metres something changes.
struct Changed {
    /// With less at the socket, as thought, and with more.
    ends: [f64; 3],
    result: Linear,
}

impl Changed {
    fn of(as_is: &As, [now, then]: [[f64; 3]; 2], own: Option<&Linear>, facts: &FactLedger) -> Self {
        let ends: [f64; 3] = std::array::from_fn(|n| then[n] - now[n]);
        let value = ends[1];
        // Four times the uncertainty lie between the ends.
        let (least, most) = (ends[0].min(value).min(ends[2]), ends[0].max(value).max(ends[2]));
        let doubt = as_is.doubt.get();
        let slope = if doubt > 0.0 { (most - least) / (2.0 * TIMES * doubt) } else { 0.0 };
        let mut result = Linear::chained(value, &[(slope, &as_is.leaning)]);
        if let Some(own) = own {
            let a_decibel = metres_a_decibel([then[0], then[2]].map(Metres::new), as_is.doubt).abs();
            let own = Linear::chained(0.0, &[(a_decibel, own)]);
            // No more than the whole of either can be in doubt: it jumps, and a slope knows no end.
            let most = 0.5 * then[1].max(now[1]);
            let uncertain = standard_uncertainty(&own, facts);
            let share = if uncertain > 0.0 { (most / uncertain).min(1.0) } else { 1.0 };
            result = &result + &(&own * share);
        }
        Self { ends, result }
    }

    /// Between which ends it lies, in words after a comma; empty where they are as good as one.
    fn between(&self) -> String {
        let low = self.ends.iter().copied().fold(f64::INFINITY, f64::min);
        let high = self.ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let shown = |metres: f64| format!("{} m", rounded(metres, usize::from(metres.abs() < 10.0)));
        if high - low < 1.0 {
            return String::new();
        }
        format!(", between {} and {} with the doubt of both ends", shown(low), shown(high))
    }
}

fn range_figure(
    change: &Change,
    (as_is, after): (&As, &Three),
    (by, changed): (&Changed, Db),
    (link, asked): (&Link, &LinkAsked),
    facts: &FactLedger,
) -> Result<Figure, RadioFault> {
    let (now, then) = (as_is.found.ranges, after.ranges);
    let end = Link::on_line(now[1].distance().max(LOOKED[0]), asked.height)?;
    let kept = link.taken_by_fades(end, asked.attitude(), asked.level.at_socket)?;
    let mut lines = Lines::over(facts)
        .given("holds so far as it is", now[1].distance().get(), Unit::Metres, now[1].words())
        .given("holds so far with this", then[1].distance().get(), Unit::Metres, then[1].words())
        .given(
            "of the way may break before it ends",
            link.blink.gone().get(),
            Unit::Metres,
            link.blink.words(),
        )
        .given(KEPT_WORDS, kept.get(), Unit::Db, "where it ends as it is");
    for (n, more) in [(0, "less"), (2, "more")] {
        lines = lines.given(
            &format!("change of both with {more} at the socket"),
            by.ends[n],
            Unit::Metres,
            format!(
                "from {} to {}, with twice the standard uncertainty {more}",
                metres(now[n].distance()),
                metres(then[n].distance())
            ),
        );
    }
    lines = half_way(lines, change, (link, asked));
    let mut why = String::new();
    if change.link.between.is_some() && by.result.value > GROWS {
        let below = |link: &Link, attitude: Attitude| -> Result<Option<f64>, RadioFault> {
            let at = link.at(end, attitude, asked.level.at_socket)?;
            Ok(at.carrying().and_then(|pair| pair.budget.reception.bounce).map(|bounce| bounce.below.get()))
        };
        let both = [below(link, asked.attitude())?, below(&change.link, change.attitude)?];
        why = "; longer, for waves over, round and through it fill the null that ends the range as it is"
            .to_owned();
        if let [Some(before), Some(behind)] = both {
            for (taken, word) in [(before, "as it is"), (behind, "with this")] {
                let what = format!("ray off the ground under the straight one, {word}");
                lines = lines.given(&what, taken, Unit::Db, "where the range ends as it is");
            }
            if behind > before {
                why = "; longer, for it takes more from the ray off the ground, which ends the range as it is, than from the straight one".to_owned();
            }
        }
    }
    if change.key == "bank" && by.result.value > GROWS {
        why = gained_by(&change.link, [asked.attitude(), change.attitude], end, asked)?;
    }
    Ok(lines
        .given(
            "change of the margin at the asked distance",
            changed.get(),
            Unit::Db,
            "the same sum, with this alone changed",
        )
        .given("asked distance", asked.distance.get(), Unit::Metres, asked.level.out.to_string())
        .facts(&by.result)
        .figure(
            format!("link.change[{}]", change.key),
            format!("change of the range, {}{}, at {}{why}", change.what, by.between(), asked.level.out),
            (&by.result, Unit::Metres),
            "range with this − range as it is",
            change.source,
        ))
}

/// Why a range grows by turning, in words: what takes less from the link where the range ends as it is, most of all.
fn gained_by(
    link: &Link,
    [before, after]: [Attitude; 2],
    end: radio::Place,
    asked: &LinkAsked,
) -> Result<String, RadioFault> {
    let level = asked.level.at_socket;
    let of = |attitude: Attitude| -> Result<Vec<(Part, f64)>, RadioFault> {
        let at = link.at(end, attitude, level)?;
        let terms = at.carrying().into_iter().flat_map(|pair| &pair.budget.terms);
        Ok(terms.map(|term| (term.part, term.change.get())).collect())
    };
    let (before, after) = (of(before)?, of(after)?);
    let gains = after.iter().zip(&before).map(|((part, then), (_, now))| (*part, then - now));
    let most = gains.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, more)| *more > 0.05);
    Ok(most.map_or(String::new(), |(part, more)| {
        let words = if part == Part::Ground { "the ray off the ground" } else { part.words() };
        format!("; longer, for {words} takes {} less where the range ends as it is", crate::subject::db(more))
    }))
}

fn way_figure(
    change: &Change,
    (as_is, after): (&As, &Three),
    by: &Changed,
    (link, asked): (&Link, &LinkAsked),
    facts: &FactLedger,
) -> Figure {
    let (now, then) = (&as_is.found.gone[1], &after.gone[1]);
    let mut lines = Lines::over(facts).given(
        "the way that is asked about",
        (now.way[1] - now.way[0]).get(),
        Unit::Metres,
        format!("from {} to {}", metres(now.way[0]), metres(now.way[1])),
    );
    for (gone, word) in [(now, "as it is"), (then, "with this")] {
        lines = gone_lines(lines, gone, word);
    }
    for (n, more) in [(0, "less"), (2, "more")] {
        lines = lines.given(
            &format!("change of both with {more} at the socket"),
            by.ends[n],
            Unit::Metres,
            format!("with twice the standard uncertainty {more}"),
        );
    }
    lines = half_way(lines, change, (link, asked));
    lines.facts(&by.result).figure(
        format!("link.change_on_way[{}]", change.key),
        format!(
            "change of the metres on which it holds, on the way to {}, {}{}, at {}",
            metres(asked.distance),
            change.what,
            by.between(),
            asked.level.out
        ),
        (&by.result, Unit::Metres),
        "metres that hold 99 % of the time with this − as it is",
        change.source,
    )
}

/// Where a link holds on a way and where not, as lines that add up to the way.
pub(super) fn gone_lines<'p, 'a>(lines: Lines<'p, 'a>, gone: &Gone, word: &str) -> Lines<'p, 'a> {
    let breaks = &gone.breaks;
    let longest = Gone::longest(breaks).map_or("nowhere".to_owned(), |[from, to]| {
        let places =
            if breaks.len() == 1 { "in one place".to_owned() } else { format!("in {} places", breaks.len()) };
        format!("{places}, the longest from {} to {}", metres(from), metres(to))
    });
    lines
        .given(&format!("of it holds {word}"), gone.holds().get(), Unit::Metres, "99 % of the time and more")
        .given(&format!("of it breaks {word}"), Gone::length(breaks).get(), Unit::Metres, longest)
        .given(
            &format!("of that is lost {word}"),
            Gone::length(&gone.lost).get(),
            Unit::Metres,
            "nothing in hand even in the mean",
        )
}

/// How high the straight way is at what stands half way.
fn half_way<'p, 'a>(
    lines: Lines<'p, 'a>,
    change: &Change,
    (link, asked): (&Link, &LinkAsked),
) -> Lines<'p, 'a> {
    let Some(between) = change.link.between else { return lines };
    let station = link.grounds.iter().map(|ground| ground.place[2]).sum::<f64>();
    let station = station / link.grounds.len().max(1) as f64;
    let (ray, top) = (0.5 * (station + asked.height.get()), top(between).get());
    let way = if ray > top { "over" } else { "through" };
    lines.given(
        "the straight way half way is so high",
        ray,
        Unit::Metres,
        format!("{way} it: it is {top} m high"),
    )
}
