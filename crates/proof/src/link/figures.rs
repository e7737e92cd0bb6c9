//! What a link gives in numbers: budget, share of time held, ranges, what spoils it, what is radiated. Figures, each with its
//! working; no verdict is passed here.
//!
//! What a wrong hand, thin coax, a bank, a tree or a wall costs is told in decibels, and as what is lost of the range where the
//! field falls as in free space: R·(1 − 10^(−loss/20)).

use super::{Attitude, Farthest, KEPT_WORDS, Link, LinkAntenna, LinkAt, LinkModel, Mounted, RadioLevel};
use crate::numbers::rounded;
use crate::subject::nose;
use crate::working::Lines;
use quantity::{
    Basis, Db, Dbm, Degrees, FactLedger, Figure, Linear, Metres, Millimetres, Source, Unit,
};
use radio::{
    BUDGET_SOURCE, COAX_SOURCE, Coax, EMISSION_LIMITS, EXPOSURE_LEVEL_W_PER_M2, EXPOSURE_SOURCE,
    FADING_SOURCE, GROUND_SOURCE, JOINT_SOURCE, LIMIT_CAUTION, MATERIAL_SOURCE, Material,
    POLARISATION_SOURCE, RadioFault, Slab, WOODLAND_SOURCE, exposure_distance, loss_of, radiated,
    woodland_loss,
};
use std::f64::consts::LN_10;

/// How often a heading is tried all round.
const HEADINGS: u32 = 8;
/// Directions round the station in which it is asked which antenna carries.
const ROUND: u32 = 36;
/// A tree, a wall, a lead and a bank to show what they cost. Common practice.
const CROWN: Metres = Metres::new(8.0);
const WALL: (&str, Millimetres) = ("brick", Millimetres::new(240.0));
const THIN: (&str, Metres) = ("1.13 mm", Metres::new(1.0));
const STEEP: Degrees = Degrees::new(60.0);

/// The figures of the link, as far as its facts are known. They rest on the model and on the facts it was read from alone.
pub(crate) fn link_figures(model: &LinkModel, facts: &FactLedger) -> Vec<Figure> {
    let mut figures: Vec<Figure> = Vec::new();
    // Those of the craft's antennas stand beside the rule that judges them.
    figures.extend(model.grounds.iter().filter_map(|antenna| feed_figure(facts, antenna)));
    if let Ok(level) = &model.plan.level {
        figures.extend(radiation(facts, model, level));
        if let Ok(link) = model.link() {
            // What cannot be computed is no figure: rules say why.
            figures.extend(flown(facts, model, link, level).unwrap_or_default());
        }
    }
    // What is told without its doubt rests on the facts all the same.
    let weakest = model.facts().into_iter().filter_map(|fact| facts.get(fact)).map(|entry| entry.basis);
    if let Some(weakest) = weakest.reduce(Basis::weaker) {
        figures
            .iter_mut()
            .filter(|figure| figure.uncertainty.is_none())
            .for_each(|figure| figure.basis = weakest);
    }
    figures
}

/// What is lost between a radio and its antenna.
pub(crate) fn feed_figure(facts: &FactLedger, antenna: &LinkAntenna) -> Option<Figure> {
    let mounted = antenna.built.as_ref().ok()?;
    let total = mounted.feed_loss();
    let slope = |nudged: &super::radiator::Nudged| {
        let slope = (nudged.loss - total.usual).get() / nudged.step;
        (slope != 0.0).then_some((nudged.fact, slope))
    };
    let loss = Linear { value: total.usual.get(), slopes: mounted.nudged.iter().filter_map(slope).collect() };
    let part = |label: &str, loss: Db, origin: &str| (label.to_owned(), loss.get(), origin.to_owned());
    let lines = [
        part("in coax and stated leads", mounted.loss.leads, "length and kind of coax, or as stated"),
        part("in joints, usually", mounted.loss.joints.usual, "0.15 dB a sound joint, 1 to 6 dB a worn one"),
        part(
            "by mismatch, usually",
            mounted.loss.mismatch.usual,
            "standing wave ratios of both ends, any phase",
        ),
        part("all together at least", total.least, "every joint and phase at its best"),
        part("all together at most", total.most, "every joint and phase at its worst"),
    ];
    let lines = lines.into_iter().fold(Lines::over(facts), |lines, (label, value, origin)| {
        lines.given(&label, value, Unit::Db, origin)
    });
    Some(lines.facts(&loss).figure(
        format!("link.feed[{}]", antenna.called),
        format!("lost between radio and antenna, {}", antenna.called),
        (&loss, Unit::Db),
        "coax + joints + mismatch",
        JOINT_SOURCE,
    ))
}

/// What is radiated at the level set, and how near one may stand.
fn radiation(facts: &FactLedger, model: &LinkModel, level: &RadioLevel) -> Vec<Figure> {
    let built: Option<Vec<&Mounted>> =
        model.senders.iter().map(|antenna| antenna.built.as_ref().ok()).collect();
    let Some(built) = built.filter(|built| !built.is_empty()) else { return Vec::new() };
    let share = level.at_socket - Db::new(10.0 * (built.len() as f64).log10());
    let of =
        |antenna: &radio::Antenna, loss: Db| radiated(share, loss, antenna.greatest_gain()).power().get();
    let all: f64 = built.iter().map(|mounted| of(&mounted.antenna, mounted.feed_loss().usual)).sum();
    let mut slopes = vec![(level.fact, all * LN_10 / 10.0)];
    for mounted in &built {
        let own = of(&mounted.antenna, mounted.feed_loss().usual);
        for nudged in &mounted.nudged {
            slopes.push((nudged.fact, (of(&nudged.antenna, nudged.loss) - own) / nudged.step));
        }
    }
    let power = Linear::chained(all, &[(1.0, &Linear { value: all, slopes })]);
    let mut lines =
        Lines::over(facts).given("level at the socket", level.at_socket.get(), Unit::Dbm, "as set");
    for (antenna, mounted) in model.senders.iter().zip(&built) {
        let called = &antenna.called;
        let gain = mounted.antenna.greatest_gain().get();
        lines = lines
            .given(
                &format!("less the feed of {called}"),
                -mounted.feed_loss().usual.get(),
                Unit::Db,
                "see its own figure",
            )
            .given(&format!("greatest gain of {called}"), gain, Unit::Dbi, "its pattern");
    }
    if built.len() > 1 {
        lines = lines.given(
            "antennas that share the level",
            built.len() as f64,
            Unit::Count,
            "taken as even shares",
        );
    }
    if let Ok(limit) = &model.plan.radiated_limit {
        lines = lines.given(
            "limit you entered",
            limit.get(),
            Unit::Milliwatts,
            "stated by you; check your local rules",
        );
    }
    let frequency = model.carrier.as_ref().ok().map(|carrier| carrier.frequency());
    for limit in
        EMISSION_LIMITS.iter().filter(|limit| frequency.is_some_and(|f| limit.from <= f && f <= limit.to))
    {
        let origin = format!("{}, {}; {LIMIT_CAUTION}", limit.source.title, limit.source.place);
        let label = format!("published: {}", limit.words);
        lines = lines.given(&label, limit.eirp.power().get(), Unit::Milliwatts, origin);
    }
    let label = format!("radiated at {}, as if it went all ways (check your local rules)", level.out);
    let eirp = lines.facts(&power).figure(
        "link.radiated_most",
        label,
        (&power, Unit::Milliwatts),
        "level − feed + greatest gain, as power; of several antennas the sum",
        BUDGET_SOURCE,
    );
    let mut figures = vec![eirp];
    let near = Dbm::from_power(quantity::Milliwatts::new(all))
        .and_then(|eirp| exposure_distance(eirp, EXPOSURE_LEVEL_W_PER_M2));
    if let Some(near) = near {
        // d ∝ √P.
        let near = near.get() * 1e3;
        let distance = Linear::chained(near, &[(0.5 * near / all, &power)]);
        let mut lines = Lines::over(facts)
            .given("radiated", all, Unit::Milliwatts, "see its own figure")
            .given("reference level in W/m²", EXPOSURE_LEVEL_W_PER_M2, Unit::Count, EXPOSURE_SOURCE.title);
        if let Ok(people) = &model.plan.people_at {
            lines = lines.given("people come as near as", people.get(), Unit::Metres, "as planned");
        }
        figures.push(lines.facts(&distance).figure(
            "link.exposure",
            "beyond this the field is under the reference level for the public",
            (&distance, Unit::Millimetres),
            "d = √(P/(4π·S)); within a few wavelengths an order, not a measure",
            EXPOSURE_SOURCE,
        ));
    }
    figures
}

/// All that rests on how it is flown.
fn flown(
    facts: &FactLedger,
    model: &LinkModel,
    link: &Link,
    level: &RadioLevel,
) -> Result<Vec<Figure>, RadioFault> {
    let plan = &model.plan;
    let (Ok(height), Ok(tilt)) = (plan.height.as_ref(), plan.cruise_tilt.as_ref()) else {
        return Ok(Vec::new());
    };
    let (height, tilt) = (*height, *tilt);
    let away = Attitude::cruising(Degrees::new(0.0), tilt);
    let mut figures = Vec::new();
    if let Ok(fly_to) = plan.fly_to.as_ref() {
        figures.extend(at_the_farthest(facts, model, link, level, (*fly_to, height), tilt)?);
        figures.extend(carriers(facts, model, link, level, (*fly_to, height), tilt)?);
    }
    let reserve = link.kept();
    let levels: Vec<Dbm> = model.levels.iter().map(|level| level.at_socket).collect();
    let farthest = link.farthest(height, away, &levels, reserve)?;
    let mut range = None;
    for (offered, farthest) in model.levels.iter().zip(&farthest) {
        if offered.out == level.out {
            range = Some(farthest.distance());
        }
        let leaning = link.leaning((farthest.distance(), height), away, offered);
        figures.push(range_figure(facts, link, (offered, &leaning), *farthest, reserve, height));
    }
    if let Some(range) = range {
        figures.extend(spoilers(facts, link, level, (range, height), away)?);
    }
    Ok(figures)
}

fn at_the_farthest(
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
        let origin = format!("holds {} of the time", at.held);
        lines =
            lines.given(&format!("in hand, {}", nose(Degrees::new(*heading))), at.margin.get(), Unit::Db, origin);
    }
    let held = all.iter().map(|(_, _, at)| at.held.get()).fold(1.0, f64::min);
    let held_figure = lines.figure(
        "link.held_far",
        format!("share of the time it holds at the farthest planned place, the worst of {HEADINGS} headings"),
        (&Linear::exact(100.0 * held), Unit::Percent),
        "chance that a Rician signal with these means stays over the threshold",
        FADING_SOURCE,
    );
    Ok(vec![margin_figure, held_figure])
}

/// Which antenna carries the link where, round the station.
fn carriers(
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

fn range_figure(
    facts: &FactLedger,
    link: &Link,
    (level, leaning): (&RadioLevel, &Linear),
    farthest: Farthest,
    reserve: Db,
    height: Metres,
) -> Figure {
    let words = match farthest {
        Farthest::Nowhere => "it does not hold even close by",
        Farthest::To(_) => "where it first breaks",
        Farthest::Beyond(_) => "as far as was looked: it may hold farther",
    };
    let lines = Lines::over(facts)
        .given("level at the socket", level.at_socket.get(), Unit::Dbm, format!("offered as {}", level.out))
        .given("needed", link.threshold.level.get(), Unit::Dbm, format!("mode {}", link.threshold.mode))
        .given(KEPT_WORDS, reserve.get(), Unit::Db, "by the surroundings")
        .given("height", height.get(), Unit::Metres, "as planned");
    let distance = farthest.distance();
    // With doubt of d decibels the distance of free space moves by ln 10/20 of it a decibel.
    let slope = distance.get() * LN_10 / 20.0;
    let result = Linear::chained(distance.get(), &[(slope, leaning)]);
    lines.facts(&result).figure(
        format!("link.range[{}]", level.out),
        format!("holds all the way along the flying line at {}, nose away; {words}", level.out),
        (&result, Unit::Metres),
        "the nearest distance, from as far out as it flies high, at which the margin falls under what is kept in hand; every lobe of the ground is looked into",
        GROUND_SOURCE,
    )
}

/// What spoils it, in metres of the range.
fn spoilers(
    facts: &FactLedger,
    link: &Link,
    level: &RadioLevel,
    (range, height): (Metres, Metres),
    away: Attitude,
) -> Result<Vec<Figure>, RadioFault> {
    // Well within the range and clear of what stands about: what the antennas themselves lose.
    let mut clear = link.clone();
    clear.scenery = radio::Scenery::default();
    let at = Link::on_line(range.max(Metres::new(10.0)), height)?;
    let margin = |link: &Link, attitude: Attitude| link.margin(at, attitude, level.at_socket);
    let as_is = margin(&clear, away)?;
    let mut figures = Vec::new();
    let mut put = |key: &str, words: String, loss: Db, more: String, source: Source| {
        let left = 10f64.powf(-loss.get() / 20.0);
        let lost = range.get() * (1.0 - left);
        let lines = Lines::over(facts)
            .given("it takes", loss.get(), Unit::Db, more)
            .given("range at the level set", range.get(), Unit::Metres, "see its own figure")
            .given("left of it", 100.0 * left, Unit::Percent, "as in free space");
        let label = format!("lost of the range at {} by {words}", level.out);
        let formula = "range · (1 − 10^(−loss/20))";
        let result = Linear::exact(lost);
        figures.push(lines.figure(
            format!("link.lost[{key}]"),
            label,
            (&result, Unit::Metres),
            formula,
            source,
        ));
    };
    if clear.senders.iter().all(|sender| sender.hand.is_some()) {
        let mut crossed = clear.clone();
        for sender in &mut crossed.senders {
            if let Some(other) = sender.antenna.other_handed() {
                sender.antenna = other;
            }
        }
        let loss = as_is - margin(&crossed, away)?;
        let more = "all antennas of the craft wound the other way".to_owned();
        put("other hand", "antennas of the other hand".to_owned(), loss, more, POLARISATION_SOURCE);
    }
    if let Some(coax) = Coax::of_word(THIN.0) {
        let loss = coax.loss(THIN.1, link.carrier)?;
        let more = format!("{} of {} coax", THIN.1, THIN.0);
        put("thin coax", format!("{} of thin coax", THIN.1), loss, more, COAX_SOURCE);
    }
    let banked = [STEEP, -STEEP].map(|bank| margin(&clear, away.banked(bank)));
    let [right, left] = banked;
    let (right, left) = (as_is - right?, as_is - left?);
    let (loss, side) = if right > left { (right, "right") } else { (left, "left") };
    let more = format!("banked to the {side}, the worse of the two");
    put("bank", format!("a bank of {STEEP}"), loss, more, POLARISATION_SOURCE);
    let tree = woodland_loss(CROWN, link.carrier)?;
    let more = format!(
        "{CROWN} of leaves; by other models {} to {} dB, wet leaves 3 to 5 dB more",
        rounded(tree.least.get(), 1),
        rounded(tree.most.get(), 1)
    );
    put("tree", "one tree crown in the way".to_owned(), tree.usual, more, WOODLAND_SOURCE);
    if let Some(material) = Material::of_word(WALL.0) {
        let through = Slab::of(material, WALL.1)?.waves(1.0, link.carrier)?.through;
        let more = format!("{} of {}, straight through", WALL.1, WALL.0);
        put("wall", "one wall in the way".to_owned(), loss_of(through.across.power()), more, MATERIAL_SOURCE);
    }
    Ok(figures)
}
