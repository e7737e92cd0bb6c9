//! Does the picture hold behind what stands in the way?

use super::link_line_clear::runs_through;
use crate::limits::{TIGHT_UNDER, WALL_PLAN};
use crate::link::{
    Attitude, Behind, Lack, Link, LinkAsked, LinkAt, LinkModel, LinkObstacle, TIMES, better_pair, held_words,
    spread_lines,
};
use crate::numbers::{listed, rounded};
use crate::rule::rule;
use crate::standing::{Standing, advice, standing, standing_as};
use crate::subject::{
    LinkPlan, OUT_AND_HOME, SURELY, db, lacking, metres, nose, reaches, stationed, turned, within_limit,
    wrong,
};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{
    Db, Degrees, Figure, FigureId, Linear, Metres, Probability, Unit, chance_at_least, standard_uncertainty,
};
use radio::{BEAM_SOURCE, EDGE_SOURCE, Part, Place, RadioFault};

rule! {
    /// Does the picture hold behind what stands in the way?
    ///
    /// ## Why
    /// A barn or a row of trees takes 10 to 30 dB, and the picture goes within a metre or two of flying behind it, at a
    /// distance that holds a dozen times over in the open.
    ///
    /// ## Sound when
    /// Along the flying line, at the planned height, the picture holds 99 % of the time wherever an obstacle takes a decibel or more of the straight
    /// ray: flying away, coming home, and turning away or home to either side as far banked as planned; and that is 95 % likely with all doubt, with 6 dB or more in hand in the mean. Where it
    /// holds less, it breaks: tight. Where nothing is in hand even in the mean it is lost: broken. Over which length it is lost, and breaks, is told.
    /// Of a line that runs through a wall or a building nobody can say.
    ///
    /// ## Rests on
    /// What is entered of each obstacle, the station's antennas, and the rest of the link, with its doubt. What passes
    /// through and what goes over and round are both computed and add up as waves; leaves by their depth. Looked at as closely as
    /// the lobes of the ground lie: sixteen places to each, and the least between them, as the mean over half a metre; told is the centimetre in it where just so
    /// much is left, which `creance draw CRAFT budget` shows term by term. ITU-R P.526 and P.2040.
    ///
    /// ## Mend
    /// Stand where the line is clear: the place that is named was computed, the flight unchanged. Or fly over it, not behind; or set
    /// the level, within the limit you stated, that holds there; or take better antennas, told in decibels at that place, in metres lost there and in metres of range.
    SEEN_BEHIND_WALLS = "link.wall_plan", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = stationed(proof).filter(|model| !model.obstacles.is_empty()) else {
        return Answer::default();
    };
    let judged = match (model.link(), proof.link_plan()) {
        (Ok(link), Some(Ok(plan))) => judge(proof, model, link, plan),
        (_, Some(Err(lack))) => Err(lack.clone()),
        _ => return Answer::default(),
    };
    let answer = judged.unwrap_or_else(|lack| Answer::of(lacking(SEEN_BEHIND_WALLS.id, "obstacles", &lack)));
    let at = |finding: Finding| finding.at(model.station.clone());
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// The attitude that leaves least behind what stands about; `None` where nothing stands in the way.
fn worst(link: &Link, plan: &LinkPlan, height: Metres) -> Result<Option<(Attitude, Behind)>, RadioFault> {
    let mut worst: Option<(Attitude, Behind)> = None;
    let level = plan.level.at_socket;
    // Which stretches lie behind something hardly hangs on how the craft is turned.
    let away = Attitude::cruising(OUT_AND_HOME[0], plan.tilt);
    let stretches = link.stretches_behind(plan.fly_to, height, away, level)?;
    for flown in plan.poses() {
        if let Some(behind) = link.behind(&stretches, height, flown, level)?
            && worst.as_ref().is_none_or(|(_, known)| behind.left < known.left)
        {
            worst = Some((flown, behind));
        }
    }
    Ok(worst)
}

/// What is left 99 % of the time behind what stands about, in dB, as it is flown; endless where nothing stands in the way.
pub(super) fn in_hand_behind(link: &Link, plan: &LinkPlan) -> Option<f64> {
    let found = worst(link, plan, plan.height).ok()?;
    Some(found.map_or(f64::INFINITY, |(_, behind)| behind.left.get()))
}

fn judge(proof: &Proof, model: &LinkModel, link: &Link, plan: &LinkPlan) -> Result<Answer, Lack> {
    if let Some(through) = runs_through(&model.obstacles, plan.fly_to, plan.height) {
        let words = format!(
            "the flying line runs through {}, where no craft is; enter a line that passes it, over, aside or short of it: `link.line_clear` says by how much",
            through.name
        );
        return Err(Lack::wrong(words));
    }
    let Some((flown, behind)) = worst(link, plan, plan.height).map_err(wrong)? else {
        let message =
            format!("Nothing stands between the station and the flying line up to {}", metres(plan.fly_to));
        return Ok(Answer::of(Finding::new(SEEN_BEHIND_WALLS.id, Verdict::Sound, "obstacles", message)));
    };
    let there = Link::on_line(behind.at, plan.height).map_err(wrong)?;
    let slopes = link.margin_with_doubt(there, flown, &plan.level).map_err(wrong)?.slopes;
    let margin = Linear { value: behind.margin.get(), slopes };
    let at = link.at(there, flown, plan.level.at_socket).map_err(wrong)?;
    let open = link.in_the_open().margin(there, flown, plan.level.at_socket).map_err(wrong)?;
    let left = Linear { value: behind.left.get(), slopes: margin.slopes.clone() };
    let mut judged = standing(proof, &margin, &WALL_PLAN);
    let likely = chance_at_least(&left, &proof.ledger(), 0.0).get();
    // Where the share of the time decides, what is left of it and how likely that is enough are the margin, not the mean.
    if judged.verdict != Verdict::Broken && likely < TIGHT_UNDER {
        let by_share = (Verdict::Tight, Probability::new(likely));
        judged = Standing {
            advice: advice(proof, std::slice::from_ref(&left)),
            ..standing_as(proof, &left, WALL_PLAN.unit, by_share)
        };
    }
    // So much must be left that it is likely enough with all doubt, and that enough is in hand in the mean.
    let wanted = (SURELY * standard_uncertainty(&left, &proof.ledger()))
        .max(WALL_PLAN.tight - (behind.margin - behind.left).get());
    let (verdict, value) = (judged.verdict, margin.value);
    let name = crossed(model, link, &at, behind.at).map_or("what stands about", |o| o.name.as_str());
    let (where_, takes) = (format!("{} m out, {}", behind.at.get(), turned(flown)), takes(link, &at));
    let (held, spare) = (held_words(at.held), db(behind.left.get().abs()));
    let message = match verdict {
        Verdict::Sound => format!(
            "Behind {name}, {where_}, the picture holds {held} of the time at worst, with {spare} more in hand than fades take: {takes}"
        ),
        Verdict::Broken => format!(
            "Behind {name} the picture is lost{}{}: {} too little {where_}, where it holds {held} of the time, for {takes}{}",
            lost(&behind.lost),
            breaking(&behind),
            db(-value),
            straight(link, plan, (there, flown)).map_err(wrong)?
        ),
        _ if behind.left.get() >= 0.0 && likely >= TIGHT_UNDER => format!(
            "Behind {name}, {where_}, only {} are in hand, with which it holds {held} of the time: {takes}",
            db(value)
        ),
        _ if behind.left.get() >= 0.0 => format!(
            "Behind {name}, {where_}, the picture holds {held} of the time, with {spare} more in hand than fades take, but in such doubt that it is only {} % likely to hold 99 % of the time: {takes}",
            rounded(100.0 * likely, 0)
        ),
        _ => format!(
            "Behind {name}, {where_}, the picture breaks{}: it holds {held} of the time, for {} are in hand and fades take {spare} more; {takes}{}",
            so_long(&behind),
            db(value),
            straight(link, plan, (there, flown)).map_err(wrong)?
        ),
    } + &plan.held_words();
    let id = "link.margin_behind";
    let mut lines = Lines::of(proof)
        .given(
            "distance",
            behind.at.get(),
            Unit::Metres,
            "where least is left 99 % of the time, between samples too",
        )
        .given(
            "left there 99 % of the time",
            behind.left.get(),
            Unit::Db,
            "in hand there less what fades take",
        )
        .given("in hand there with nothing in the way", open.get(), Unit::Db, "same place and attitude");
    if let Some(pair) = at.carrying() {
        for term in pair.budget.terms.iter().filter(|term| term.change.get() != 0.0) {
            lines = lines.given(term.part.words(), term.change.get(), Unit::Db, turned(flown));
        }
        let others = at.margin - pair.budget.margin();
        if others.get().abs() > 1e-9 {
            lines = lines.given("the other antennas add", others.get(), Unit::Db, "their powers add");
        }
        lines = spread_lines(lines, &pair.budget);
    }
    lines = lines.given(
        "in hand at that very place",
        at.margin.get(),
        Unit::Db,
        "level and terms above, less what is needed; the half metre about it has as much as a mean",
    );
    let figure = lines.facts(&margin).figure(
        id,
        "in hand at the worst place behind an obstacle",
        (&margin, Unit::Db),
        "margin where least is left, out, home and turning, where obstacles take more than 1 dB of the straight ray; sixteen places to a lobe of the ground",
        EDGE_SOURCE,
    );
    let mut finding = judged.finding(SEEN_BEHIND_WALLS.id, "obstacles", message);
    let mut figures = vec![figure];
    if verdict != Verdict::Sound && !proof.is_trial() {
        let now = behind.left.get();
        finding.mends.extend(plan.let_go(now, wanted));
        finding.mends.extend(plugs(model, (link, plan), (now, wanted)));
        finding.mends.extend(elsewhere(model, (link, plan), (now, wanted)));
        finding.mends.extend(over((link, plan), wanted));
        finding.mends.extend(level(model, plan, (now, wanted)));
        if let Some(better) = Better::of(link, plan, (flown, &behind)) {
            finding.mends.extend(better.words(link, plan, wanted));
            figures.extend(better.figure(proof, (link, plan), &margin));
        }
        finding.mends.push(look(plan, flown, &behind));
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures })
}

/// What takes most there: what stands in the way, the ground where it takes as well, and the craft's own antenna and body where they do.
fn takes(link: &Link, at: &LinkAt) -> String {
    let of = |part: Part| taken(at, part);
    let (way, ground) = (of(Part::Walls) + of(Part::Leaves), of(Part::Ground));
    let best = at.carrying().and_then(|pair| link.senders.get(pair.sender));
    let best = best.map_or(0.0, |sender| sender.antenna.greatest_gain().get());
    let own = best + of(Part::SenderGain) + of(Part::SenderShadow);
    let mut parts = vec![format!("it takes {}", db(way.min(99.0)))];
    parts.extend((ground >= 1.0).then(|| format!("the ground {}", db(ground))));
    parts.extend(
        (own >= 0.5).then(|| format!("the craft's antenna, leaning as it does, and its body {}", db(own))),
    );
    listed(&parts)
}

/// How much is in hand at a place where a turn breaks the picture, were it flown straight, and how long it then holds.
fn straight(link: &Link, plan: &LinkPlan, (there, flown): (Place, Attitude)) -> Result<String, RadioFault> {
    if flown.bank.get() == 0.0 {
        return Ok(String::new());
    }
    let mut least: Option<(Degrees, Db, Vec<Db>)> = None;
    for heading in OUT_AND_HOME {
        let margins = link.margins(there, Attitude::cruising(heading, plan.tilt), plan.level.at_socket)?;
        let left = link.lasting(&margins);
        if least.as_ref().is_none_or(|(_, known, _)| left < *known) {
            least = Some((heading, left, margins));
        }
    }
    let Some((heading, _, margins)) = least else { return Ok(String::new()) };
    let (margin, held) = (link.of_all(&margins).get(), held_words(link.held(&margins)?));
    let nose = nose(heading);
    Ok(match margin {
        margin if margin >= 0.05 => {
            format!(
                "; flown straight, {nose}, {} are in hand there, and it holds {held} of the time",
                db(margin)
            )
        }
        margin => {
            format!(
                "; flown straight, {nose}, {} are still lacking there, and it holds {held} of the time",
                db(-margin)
            )
        }
    })
}

/// How long stretches are together.
fn length(stretches: &[[Metres; 2]]) -> f64 {
    stretches.iter().map(|[from, to]| (*to - *from).get()).sum()
}

/// How far two places are apart, as the difference of the two as they are shown.
fn apart(from: Metres, to: Metres) -> String {
    let shown =
        |at: Metres| if at.get() < 10.0 { (at.get() * 10.0).round() / 10.0 } else { at.get().round() };
    metres(Metres::new(shown(to) - shown(from)))
}

/// Where it is lost.
fn lost(breaks: &[[Metres; 2]]) -> String {
    let long = length(breaks);
    let longest = breaks.iter().max_by(|a, b| (a[1] - a[0]).get().total_cmp(&(b[1] - b[0]).get()));
    match (breaks, longest) {
        ([], _) | (_, None) => String::new(),
        ([[from, to]], _) if long >= 1.0 => {
            format!(" for {}, from {} to {}", apart(*from, *to), metres(*from), metres(*to))
        }
        ([_], _) => format!(" for {}", metres(Metres::new(long.max(0.1)))),
        ([[from, _], .., [_, to]], Some(most)) => {
            let mut words = format!(
                " for {} in all between {} and {}",
                metres(Metres::new(long)),
                metres(*from),
                metres(*to)
            );
            if (most[1] - most[0]).get() >= (0.4 * long).max(1.0) {
                words += &format!(
                    ", {} of it from {} to {}",
                    apart(most[0], most[1]),
                    metres(most[0]),
                    metres(most[1])
                );
            }
            words
        }
    }
}

/// Over which length it breaks, where that is half as long again as where it is lost, or longer.
fn breaking(behind: &Behind) -> String {
    let long = length(&behind.breaking);
    if long < 0.5 || long < 1.5 * length(&behind.lost) {
        return String::new();
    }
    format!(", and it breaks, holding less than 99 % of the time, for {} in all", metres(Metres::new(long)))
}

/// Over which length it breaks, where it is lost nowhere or hardly.
fn so_long(behind: &Behind) -> String {
    let (long, lost) = (length(&behind.breaking), length(&behind.lost));
    let gone = if lost >= 0.05 {
        format!(", and is lost for {} of them", metres(Metres::new(lost)))
    } else {
        String::new()
    };
    if long >= 0.05 { format!(" for {} in all{gone}", metres(Metres::new(long))) } else { String::new() }
}

/// The obstacle that the straight way to a place on the line passes, seen from above: of several one of those that take most there, leaves or walls.
fn crossed<'m>(model: &'m LinkModel, link: &Link, at: &LinkAt, distance: Metres) -> Option<&'m LinkObstacle> {
    let leaves = taken(at, Part::Leaves) > taken(at, Part::Walls);
    let station = link.grounds.first()?.place;
    let (a, b) = ([station[0], station[1]], [distance.get(), 0.0]);
    let side =
        |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    let meets =
        |p: [f64; 2], q: [f64; 2]| side(a, b, p) * side(a, b, q) < 0.0 && side(p, q, a) * side(p, q, b) < 0.0;
    let passes = |obstacle: &&LinkObstacle| {
        let ring = &obstacle.outline;
        (0..ring.len()).any(|n| meets(ring[n], ring[(n + 1) % ring.len()]))
    };
    let mut passed: Vec<&LinkObstacle> = model.obstacles.iter().filter(passes).collect();
    passed.sort_by_key(|obstacle| (obstacle.form == "trees") != leaves);
    passed.first().copied()
}

/// What a part takes of the link that carries, in dB.
fn taken(at: &LinkAt, part: Part) -> f64 {
    let terms = at.carrying().into_iter().flat_map(|pair| &pair.budget.terms);
    -terms.filter(|term| term.part == part).map(|term| term.change.get()).sum::<f64>()
}

/// Whether a place lies inside an obstacle, or within a metre of its corners' box: nobody stands there.
fn inside(obstacle: &LinkObstacle, at: [f64; 2]) -> bool {
    let reach = |axis: usize| {
        let along = obstacle.outline.iter().map(|corner| corner[axis]);
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
        (low - 1.0..=high + 1.0).contains(&at[axis])
    };
    reach(0) && reach(1)
}

/// Whether what is then left is enough, in words after a number.
fn enough(left: f64, wanted: f64) -> &'static str {
    if left >= wanted { ", enough" } else { "" }
}

/// What sound plugs would give there.
fn plugs(model: &LinkModel, (link, plan): (&Link, &LinkPlan), (now, wanted): (f64, f64)) -> Option<String> {
    let (sound, renewed) = link.with_sound_joints()?;
    let (_, behind) = worst(&sound, plan, plan.height).ok()??;
    let least = behind.left.get();
    let (called, enough) = (model.called(&renewed), enough(least, wanted));
    (least > now + 1.0)
        .then(|| format!("Renew the plug of {called}, or push it home: {} more{enough}.", db(least - now)))
}

/// Where to stand instead, of some places near by: the whole line is looked at from there.
fn elsewhere(
    model: &LinkModel,
    (link, plan): (&Link, &LinkPlan),
    (now, wanted): (f64, f64),
) -> Option<String> {
    let moves = [5.0, 10.0, 20.0, 40.0].into_iter().flat_map(|by| [[0.0, by], [0.0, -by], [by, 0.0]]);
    let mut best: Option<(f64, String)> = None;
    for [ahead, aside] in moves {
        if model.obstacles.iter().any(|obstacle| inside(obstacle, [ahead, aside])) {
            continue;
        }
        let mut moved = link.clone();
        for ground in &mut moved.grounds {
            ground.place[0] += ahead;
            ground.place[1] += aside;
        }
        let Ok(found) = worst(&moved, plan, plan.height) else { continue };
        let by = rounded(ahead.abs().max(f64::abs(aside)), 0);
        let whither = match (ahead, aside) {
            (ahead, _) if ahead > 0.0 => "further ahead",
            (_, aside) if aside > 0.0 => "to the left",
            _ => "to the right",
        };
        let Some((_, behind)) = found else {
            return Some(format!("Stand {by} m {whither}: nothing is in the way there."));
        };
        let least = behind.left.get();
        if least < now + 2.0 || best.as_ref().is_some_and(|(known, _)| least <= *known + 0.5) {
            continue;
        }
        let enough = enough(least, wanted);
        best = Some((
            least,
            format!(
                "Stand {by} m {whither}: seen from there the worst place has {} more{enough}.",
                db(least - now)
            ),
        ));
        if least >= wanted {
            break;
        }
    }
    best.map(|(_, words)| words)
}

/// How high to fly there instead.
fn over((link, plan): (&Link, &LinkPlan), wanted: f64) -> Option<String> {
    let heights = [5.0, 8.0, 12.0, 16.0, 20.0, 30.0].into_iter().filter(|height| *height > plan.height.get());
    let enough = |height: &f64| {
        let found = worst(link, plan, Metres::new(*height));
        found.is_ok_and(|found| found.is_none_or(|(_, behind)| behind.left.get() >= wanted))
    };
    heights
        .into_iter()
        .find(enough)
        .map(|height| format!("Or fly {height} m high there: then it holds 99 % of the time."))
}

/// The lowest level, within the limit that is stated, that leaves enough there.
fn level(model: &LinkModel, plan: &LinkPlan, (now, wanted): (f64, f64)) -> Option<String> {
    let more = |level: &crate::link::RadioLevel| level.at_socket - plan.level.at_socket;
    let found = plan
        .higher(model)
        .filter(|level| within_limit(model, level))
        .find(|level| Db::new(now) + more(level) >= Db::new(wanted))?;
    Some(format!("Or set {}: {} more, enough.", found.out, db(more(found).get())))
}

/// What a better pair of antennas changes behind what stands about, the craft turned as where least is left.
struct Better<'b> {
    /// What it is.
    what: String,
    link: Link,
    flown: Attitude,
    stretches: Vec<[f64; 2]>,
    now: &'b Behind,
    /// On the same stretches, turned alike.
    then: Behind,
    /// How much more is left at the very place where least is.
    more: Db,
}

impl<'b> Better<'b> {
    fn of(link: &Link, plan: &LinkPlan, (flown, now): (Attitude, &'b Behind)) -> Option<Self> {
        let asked = LinkAsked {
            distance: now.at,
            height: plan.height,
            heading: flown.heading,
            nose_down: plan.tilt,
            bank: flown.bank,
            level: plan.level.clone(),
        };
        let (what, better) = better_pair(link, &asked).ok()?;
        let (away, level) = (Attitude::cruising(OUT_AND_HOME[0], plan.tilt), plan.level.at_socket);
        let stretches = link.stretches_behind(plan.fly_to, plan.height, away, level).ok()?;
        let then = better.behind(&stretches, plan.height, flown, level).ok()??;
        let there = Link::on_line(now.at, plan.height).ok()?;
        let more = better.lasting_at(there, flown, level).ok()? - now.left;
        Some(Self { what, link: better, flown, stretches, now, then, more })
    }

    /// In decibels at that place, in metres there, and in metres of the range.
    fn words(&self, link: &Link, plan: &LinkPlan, wanted: f64) -> Option<String> {
        let (_, least) = worst(&self.link, plan, plan.height).ok()??;
        let [now, then] = [link, &self.link].map(|link| plan.range(link).ok());
        let mut words = format!(
            "Or take {}: {} more at that place{}",
            self.what,
            db(self.more.get()),
            enough(least.left.get(), wanted)
        );
        let mut told = Vec::new();
        let lengths = [
            (Self::lost(self.now), Self::lost(&self.then), "is lost"),
            (Self::breaks(self.now), Self::breaks(&self.then), "breaks"),
        ];
        for (before, after, verb) in lengths {
            let [before_words, after_words] = [before, after].map(|long| metres(Metres::new(long)));
            if before < 0.5 || before_words == after_words {
                continue;
            }
            told.push(match after {
                none if none < 0.05 => format!("{verb} nowhere behind it instead of for {before_words}"),
                _ => format!("{verb} for {after_words} instead of {before_words}"),
            });
        }
        if !told.is_empty() {
            words += &format!("; {}, the picture then {}", turned(self.flown), listed(&told));
        }
        let (now, then) = (now?, then?);
        let further = (then.distance() - now.distance()).get() >= 1.0;
        if further {
            words +=
                &format!("; nose away it then holds {}, where it now holds {}", reaches(then), reaches(now));
        }
        (self.more.get() >= 0.5 && (further || !told.is_empty())).then(|| words + ".")
    }

    fn lost(behind: &Behind) -> f64 {
        length(&behind.lost)
    }

    fn breaks(behind: &Behind) -> f64 {
        length(&behind.breaking)
    }

    /// The same as a figure, with its working.
    fn figure(&self, proof: &Proof, (link, plan): (&Link, &LinkPlan), margin: &Linear) -> Option<Figure> {
        let doubt = standard_uncertainty(margin, &proof.ledger());
        let gained = |more: f64| -> Option<f64> {
            let level = plan.level.at_socket + Db::new(more);
            let breaks = |link: &Link| {
                let behind = link.behind(&self.stretches, plan.height, self.flown, level).ok()??;
                Some(Self::breaks(&behind))
            };
            Some(breaks(link)? - breaks(&self.link)?)
        };
        let value = Self::breaks(self.now) - Self::breaks(&self.then);
        let [less, more] = [-TIMES, TIMES].map(|times| gained(times * doubt));
        let (less, more) = (less?, more?);
        let (low, high) = (less.min(value).min(more), less.max(value).max(more));
        let slope = if doubt > 0.0 { (high - low) / (2.0 * TIMES * doubt) } else { 0.0 };
        let result = Linear::chained(value, &[(slope, margin)]);
        let pose = turned(self.flown);
        let mut lines = Lines::of(proof).given(
            "of the way lies behind something",
            self.stretches.iter().map(|[from, to]| to - from).sum::<f64>(),
            Unit::Metres,
            "where more than 1 dB of the straight ray is taken",
        );
        for (behind, word) in [(self.now, "as it is"), (&self.then, "with this")] {
            lines = lines
                .given(
                    &format!("of it breaks {word}"),
                    Self::breaks(behind),
                    Unit::Metres,
                    "holds less than 99 % of the time",
                )
                .given(
                    &format!("of that is lost {word}"),
                    Self::lost(behind),
                    Unit::Metres,
                    "nothing in hand even in the mean",
                );
        }
        lines = lines.given(
            "more left at the place where least is",
            self.more.get(),
            Unit::Db,
            format!("{} m out", self.now.at.get()),
        );
        for (end, which) in [(less, "less"), (more, "more")] {
            let what = format!("with {which} at the socket");
            lines = lines.given(&what, end, Unit::Metres, format!("twice the standard uncertainty {which}"));
        }
        Some(lines.facts(&result).figure(
            "link.change_behind[better pair]",
            format!(
                "metres behind what stands in the way on which the picture no longer breaks, {}, {pose}, at {}",
                self.what, plan.level.out
            ),
            (&result, Unit::Metres),
            "metres that break as it is − with this, the craft turned alike",
            BEAM_SOURCE,
        ))
    }
}

/// How to see that place term by term.
fn look(plan: &LinkPlan, flown: Attitude, behind: &Behind) -> String {
    let mut asked = format!("--distance {} --height {}", behind.at.get(), plan.height.get());
    if flown.heading.get() != 0.0 {
        asked.push_str(&format!(" --heading {}", flown.heading.get()));
    }
    if flown.bank.get() != 0.0 {
        asked.push_str(&format!(" --bank={}", flown.bank.get()));
    }
    format!("See every term of it: `creance draw CRAFT budget {asked} --out budget.svg`.")
}

#[cfg(test)]
#[path = "link_wall_plan_tests.rs"]
mod tests;
