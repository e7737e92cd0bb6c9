//! The link at the farthest planned place, and which antenna carries it in which direction, as figures.

use crate::link::spread::spread_lines;
use crate::link::{Attitude, Link, LinkAt, LinkModel, RadioLevel, held_percent, held_words};
use crate::subject::nose;
use crate::working::Lines;
use quantity::{Dbm, Degrees, FactLedger, Figure, Linear, Metres, Probability, Unit};
use radio::{BUDGET_SOURCE, FADING_SOURCE, RadioFault};

/// How often a heading is tried all round.
const HEADINGS: u32 = 8;
/// Directions round the station in which it is asked which antenna carries.
const ROUND: u32 = 36;

/// The budget at the farthest planned place on the worst heading, and the share of the time it holds there.
pub(super) fn at_the_farthest(
    facts: &FactLedger,
    model: &LinkModel,
    link: &Link,
    level: &RadioLevel,
    (fly_to, height): (Metres, Metres),
    tilt: Degrees,
) -> Result<Vec<Figure>, RadioFault> {
    let place = Link::on_line(fly_to, height)?;
    let mut all: Vec<(f64, Attitude, LinkAt)> = Vec::new();
    for n in 0..HEADINGS {
        let heading = 360.0 * f64::from(n) / f64::from(HEADINGS);
        let attitude = Attitude::cruising(Degrees::new(heading), tilt);
        all.push((heading, attitude, link.at(place, attitude, level.at_socket)?));
    }
    let Some(worst) = all.iter().min_by(|a, b| a.2.margin.get().total_cmp(&b.2.margin.get())) else {
        return Ok(Vec::new());
    };
    let (heading, attitude, at) = worst;
    let margin = link.margin_with_doubt(place, *attitude, level)?;
    let mut lines = Lines::over(facts)
        .given("distance", fly_to.get(), Unit::Metres, "farthest planned")
        .given("height", height.get(), Unit::Metres, "as planned")
        .given("nose down", tilt.get(), Unit::Degrees, model.plan.nose_because())
        .given("level at the socket", level.at_socket.get(), Unit::Dbm, "as set");
    if link.senders.len() > 1 {
        let share = link.shared(Dbm::new(0.0)).get();
        lines = lines.given(
            "share of one antenna",
            share,
            Unit::Db,
            "the unit's antennas share its level evenly",
        );
    }
    if let Some(pair) = at.carrying() {
        let (from, to) = (&model.senders[pair.sender].called, &model.grounds[pair.ground].called);
        for term in &pair.budget.terms {
            let origin = format!("from {from} to {to}");
            lines = lines.given(term.part.words(), term.change.get(), Unit::Db, origin);
        }
        let received = pair.budget.received();
        lines = lines.given("received from it", received.get(), Unit::Dbm, "sum of the above");
        let more = at.margin - pair.budget.margin();
        if more.get().abs() > 1e-9 {
            lines = lines.given("the other antennas add", more.get(), Unit::Db, "their powers add");
        }
    }
    let lines = match at.carrying() {
        Some(pair) => spread_lines(lines, &pair.budget),
        None => lines,
    };
    let lines =
        lines.given("needed", link.threshold.level.get(), Unit::Dbm, format!("mode {}", link.threshold.mode));
    let margin_figure = lines.facts(&margin).figure(
        "link.margin_far",
        format!(
            "in hand at the farthest planned place, {}, the worst of {HEADINGS} headings",
            nose(Degrees::new(*heading))
        ),
        (&margin, Unit::Db),
        "level − feed + gain − spreading − all losses ± ground + gain − feed − needed",
        BUDGET_SOURCE,
    );
    let mut lines = Lines::over(facts);
    for (heading, _, at) in &all {
        let origin = format!("holds {} of the time", held_words(at.held));
        lines = lines.given(
            &format!("in hand, {}", nose(Degrees::new(*heading))),
            at.margin.get(),
            Unit::Db,
            origin,
        );
    }
    let held = Probability::new(all.iter().map(|(_, _, at)| at.held.get()).fold(1.0, f64::min));
    let held_figure = lines.figure(
        "link.held_far",
        format!(
            "share of the time it holds at the farthest planned place, the worst of {HEADINGS} headings{}",
            at_the_end(held)
        ),
        (&Linear::exact(held_percent(held)), Unit::Percent),
        "chance that a Rician signal with these means stays over the threshold",
        FADING_SOURCE,
    );
    Ok(vec![margin_figure, held_figure])
}

/// Which antenna carries the link where, round the station.
pub(super) fn carriers(
    facts: &FactLedger,
    model: &LinkModel,
    link: &Link,
    level: &RadioLevel,
    (fly_to, height): (Metres, Metres),
    tilt: Degrees,
) -> Result<Vec<Figure>, RadioFault> {
    if link.grounds.len() < 2 {
        return Ok(Vec::new());
    }
    let mut carried: Vec<Vec<f64>> = vec![Vec::new(); link.grounds.len()];
    for n in 0..ROUND {
        let round = 360.0 * f64::from(n) / f64::from(ROUND);
        let (s, c) = round.to_radians().sin_cos();
        let place = radio::Place::new(fly_to * c, fly_to * s, height)?;
        // Nose away from the station, as on the line.
        let attitude = Attitude::cruising(Degrees::new(round), tilt);
        let margins = link.margins(place, attitude, level.at_socket)?;
        if let Some(best) = radio::carrying(&margins) {
            carried[best].push(if round > 180.0 { round - 360.0 } else { round });
        }
    }
    let figures = model.grounds.iter().zip(&carried).map(|(antenna, where_)| {
        let share = 100.0 * where_.len() as f64 / f64::from(ROUND);
        let mut lines = Lines::over(facts)
            .given("round the station at", fly_to.get(), Unit::Metres, "farthest planned")
            .given("directions tried", f64::from(ROUND), Unit::Count, "evenly round");
        if let Some(nearest) = where_.iter().copied().min_by(|a, b| a.abs().total_cmp(&b.abs())) {
            lines = lines.given("nearest to the flying line", nearest, Unit::Degrees, "left positive");
        }
        lines.figure(
            format!("link.carries[{}]", antenna.called),
            format!("share of directions in which {} carries the link", antenna.called),
            (&Linear::exact(share), Unit::Percent),
            "directions in which it has most in hand, of all",
            BUDGET_SOURCE,
        )
    });
    Ok(figures.collect())
}

/// Said where the share is nearer to never or to always than anything is told apart.
fn at_the_end(held: Probability) -> String {
    let percent = held_percent(held);
    if (percent - 100.0 * held.get()).abs() < 1e-9 {
        String::new()
    } else {
        format!("; {}, and nothing is told apart beyond", held_words(held))
    }
}
