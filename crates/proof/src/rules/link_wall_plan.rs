//! Does the picture hold behind what stands in the way?

use super::link_line_clear::runs_through;
use crate::limits::WALL_PLAN;
use crate::link::{
    Attitude, Behind, Lack, Link, LinkAsked, LinkAt, LinkModel, LinkObstacle, better_pair, held_words,
    spread_lines,
};
use crate::numbers::{listed, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{
    LinkPlan, OUT_AND_HOME, db, lacking, metres, nose, reaches, stationed, within_limit, wrong,
};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Db, Degrees, FigureId, Linear, Metres, Unit};
use radio::{EDGE_SOURCE, Part, Place, RadioFault};

rule! {
    /// Does the picture hold behind what stands in the way?
    ///
    /// ## Why
    /// A barn or a row of trees takes 10 to 30 dB, and the picture goes within a metre or two of flying behind it, at a
    /// distance that holds a dozen times over in the open.
    ///
    /// ## Sound when
    /// Along the flying line, at the planned height, 6 dB or more are in hand wherever an obstacle takes a decibel or more of the straight
    /// ray: flying away, coming home, and turning away or home to either side as far banked as planned; fades not counted. Less is tight,
    /// under 0 dB the picture is lost: broken. Where less is left 99 % of the time than a whole picture wants, 3 dB or what the receiver's sheet
    /// states, it is breaking: over which length, is told beside where it is lost. Of a line that runs through a wall or a building nobody can say.
    ///
    /// ## Rests on
    /// What is entered of each obstacle, the station's antennas, and the rest of the link, with its doubt. What passes
    /// through and what goes over and round are both computed and add up as waves; leaves by their depth. Looked at as closely as
    /// the lobes of the ground lie: sixteen places to each, and the least between them, as the mean over half a metre; told is the centimetre in it where just so
    /// much is in hand, which `creance draw CRAFT budget` shows term by term. ITU-R P.526 and P.2040.
    ///
    /// ## Mend
    /// Stand where the line is clear: the place that is named was computed, the flight unchanged. Or fly over it, not behind; or set
    /// the level, within the limit you stated, that holds there; or take better antennas, told in decibels there and metres of range.
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

/// Out, home, and turning between them to either side.
fn attitudes(plan: &LinkPlan) -> Vec<Attitude> {
    let straight = OUT_AND_HOME.map(|heading| Attitude::cruising(heading, plan.tilt));
    let across = [90.0, 270.0].into_iter().flat_map(|heading| {
        let turning = |bank| Attitude::cruising(Degrees::new(heading), plan.tilt).banked(bank);
        plan.bank.filter(|bank| bank.get() > 0.0).map(|bank| [turning(bank), turning(-bank)])
    });
    straight.into_iter().chain(across.flatten()).collect()
}

/// How it is turned, in words.
fn turned(attitude: Attitude) -> String {
    let bank = attitude.bank.get();
    if bank == 0.0 {
        return nose(attitude.heading);
    }
    // Across the line the craft leans into its turn: its top away from the station where it turns away.
    let away = (attitude.heading.get() < 180.0) == (bank > 0.0);
    let (whither, side) = (if away { "away" } else { "home" }, if bank > 0.0 { "right" } else { "left" });
    format!("turning {whither} to the {side}, banked {}", Degrees::new(bank.abs()))
}

/// The attitude that leaves least behind what stands about; `None` where nothing stands in the way.
fn worst(link: &Link, plan: &LinkPlan, height: Metres) -> Result<Option<(Attitude, Behind)>, RadioFault> {
    let mut worst: Option<(Attitude, Behind)> = None;
    let level = plan.level.at_socket;
    // Which stretches lie behind something hardly hangs on how the craft is turned.
    let away = Attitude::cruising(OUT_AND_HOME[0], plan.tilt);
    let stretches = link.stretches_behind(plan.fly_to, height, away, level)?;
    for flown in attitudes(plan) {
        if let Some(behind) = link.behind(&stretches, height, flown, level)?
            && worst.as_ref().is_none_or(|(_, known)| behind.margin < known.margin)
        {
            worst = Some((flown, behind));
        }
    }
    Ok(worst)
}

/// What is in hand behind what stands about, in dB, out and home as planned; endless where nothing stands in the way.
pub(super) fn in_hand_behind(link: &Link, plan: &LinkPlan) -> Option<f64> {
    let found = worst(link, plan, plan.height).ok()?;
    Some(found.map_or(f64::INFINITY, |(_, behind)| behind.margin.get()))
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
    let judged = standing(proof, &margin, &WALL_PLAN);
    let (verdict, value) = (judged.verdict, margin.value);
    let name = crossed(model, link, &at, behind.at).map_or("what stands about", |o| o.name.as_str());
    let (where_, takes) = (format!("{} m out, {}", behind.at.get(), turned(flown)), takes(link, &at));
    let message = match verdict {
        Verdict::Sound => format!("Behind {name}, {where_}, {} are in hand at worst: {takes}", db(value)),
        Verdict::Broken => format!(
            "Behind {name} the picture is lost{}{}: {} too little {where_}, where it holds {} of the time, for {takes}{}",
            lost(&behind.lost),
            breaking(link, &behind),
            db(-value),
            held_words(at.held),
            straight(link, plan, (there, flown)).map_err(wrong)?
        ),
        _ if value >= WALL_PLAN.tight => format!(
            "Behind {name}, {where_}, {} are in hand, but in such doubt that it is only so likely to hold: {takes}",
            db(value)
        ),
        _ => {
            let breaks = breaking(link, &behind);
            format!("Behind {name}, {where_}, only {} are in hand{breaks}: {takes}", db(value))
        }
    } + &plan.held_words();
    let id = "link.margin_behind";
    let mut lines = Lines::of(proof)
        .given("distance", behind.at.get(), Unit::Metres, "where least is in hand, between samples too")
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
        "least margin, out, home and turning, where obstacles take more than 1 dB of the straight ray; sixteen places to a lobe of the ground",
        EDGE_SOURCE,
    );
    let mut finding = judged.finding(SEEN_BEHIND_WALLS.id, "obstacles", message);
    if verdict != Verdict::Sound && !proof.is_trial() {
        finding.mends.extend(plan.let_go(value, WALL_PLAN.tight));
        finding.mends.extend(plugs(model, (link, plan), value));
        finding.mends.extend(elsewhere(model, (link, plan), value));
        finding.mends.extend(over((link, plan)));
        finding.mends.extend(level(model, plan, value));
        finding.mends.extend(better_antennas(link, plan, (flown, &behind)));
        finding.mends.push(look(plan, flown, &behind));
    }
    finding.figure = Some(FigureId(id.into()));
    Ok(Answer { findings: vec![finding], figures: vec![figure] })
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

/// How much is in hand at a place where a turn loses the picture, were it flown straight.
fn straight(link: &Link, plan: &LinkPlan, (there, flown): (Place, Attitude)) -> Result<String, RadioFault> {
    if flown.bank.get() == 0.0 {
        return Ok(String::new());
    }
    let ways = OUT_AND_HOME.map(|heading| {
        let attitude = Attitude::cruising(heading, plan.tilt);
        Ok((heading, link.margin(there, attitude, plan.level.at_socket)?))
    });
    let [away, home] = ways;
    let (away, home): ((Degrees, Db), (Degrees, Db)) = (away?, home?);
    let (heading, least) = if away.1 < home.1 { away } else { home };
    Ok(match least.get() {
        least if least >= 0.05 => {
            format!("; flown straight, out or home, {} and more are in hand there", db(least))
        }
        least => format!("; flown straight, {}, {} are still lacking there", nose(heading), db(-least)),
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

/// Over which length it is breaking, where that is half as long again as where it is lost, or longer.
fn breaking(link: &Link, behind: &Behind) -> String {
    let long = length(&behind.breaking);
    if long < 0.5 || long < 1.5 * length(&behind.lost) {
        return String::new();
    }
    let whole = db(link.threshold.cliff.whole_from().get());
    format!(
        ", and it is breaking, with under {whole} left 99 % of the time, for {} in all",
        metres(Metres::new(long))
    )
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

/// What sound plugs would give there.
fn plugs(model: &LinkModel, (link, plan): (&Link, &LinkPlan), now: f64) -> Option<String> {
    let (sound, renewed) = link.with_sound_joints()?;
    let (_, behind) = worst(&sound, plan, plan.height).ok()??;
    let least = behind.margin.get();
    let enough = if least >= WALL_PLAN.tight { ", enough" } else { "" };
    let called = model.called(&renewed);
    (least > now + 1.0)
        .then(|| format!("Renew the plug of {called}, or push it home: {} more{enough}.", db(least - now)))
}

/// Where to stand instead, of some places near by: the whole line is looked at from there.
fn elsewhere(model: &LinkModel, (link, plan): (&Link, &LinkPlan), now: f64) -> Option<String> {
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
        let least = behind.margin.get();
        if least < now + 2.0 || best.as_ref().is_some_and(|(known, _)| least <= *known + 0.5) {
            continue;
        }
        let enough = if least >= WALL_PLAN.tight { ", enough" } else { "" };
        best = Some((least, format!("Stand {by} m {whither}: {} better there{enough}.", db(least - now))));
        if least >= WALL_PLAN.tight {
            break;
        }
    }
    best.map(|(_, words)| words)
}

/// How high to fly there instead.
fn over((link, plan): (&Link, &LinkPlan)) -> Option<String> {
    let heights = [5.0, 8.0, 12.0, 16.0, 20.0, 30.0].into_iter().filter(|height| *height > plan.height.get());
    let enough = |height: &f64| {
        let found = worst(link, plan, Metres::new(*height));
        found.is_ok_and(|found| found.is_none_or(|(_, behind)| behind.margin.get() >= WALL_PLAN.tight))
    };
    heights
        .into_iter()
        .find(enough)
        .map(|height| format!("Or fly {height} m high there: then 6 dB and more are in hand."))
}

/// The lowest level, within the limit that is stated, that leaves enough there.
fn level(model: &LinkModel, plan: &LinkPlan, now: f64) -> Option<String> {
    let more = |level: &crate::link::RadioLevel| level.at_socket - plan.level.at_socket;
    let found = plan
        .higher(model)
        .filter(|level| within_limit(model, level))
        .find(|level| Db::new(now) + more(level) >= Db::new(WALL_PLAN.tight))?;
    Some(format!("Or set {}: {} more, enough.", found.out, db(more(found).get())))
}

/// What a better pair of antennas would bring there, and to the range.
fn better_antennas(link: &Link, plan: &LinkPlan, (flown, behind): (Attitude, &Behind)) -> Option<String> {
    let asked = LinkAsked {
        distance: behind.at,
        height: plan.height,
        heading: flown.heading,
        nose_down: plan.tilt,
        bank: flown.bank,
        level: plan.level.clone(),
    };
    let (what, better) = better_pair(link, &asked).ok()?;
    let (_, least) = worst(&better, plan, plan.height).ok()??;
    let more = (least.margin - behind.margin).get();
    let [now, then] = [link, &better].map(|link| plan.range(link).ok());
    let enough = if least.margin.get() >= WALL_PLAN.tight { ", enough" } else { "" };
    let mut words = format!("Or take {what}: {} better there{enough}", db(more));
    let (before, after) = (length(&behind.lost), length(&least.lost));
    if before >= 0.5 {
        words += &match after {
            none if none < 0.05 => {
                let now = metres(Metres::new(before));
                format!("; the picture is then lost nowhere behind it, where it now is for {now}")
            }
            after => format!(
                "; the picture is then lost for {} instead of {}",
                metres(Metres::new(after)),
                metres(Metres::new(before))
            ),
        };
    }
    let (now, then) = (now?, then?);
    let further = (then.distance() - now.distance()).get() >= 1.0;
    if further {
        words += &format!("; nose away it then holds {}, where it now holds {}", reaches(then), reaches(now));
    }
    (more >= 0.5 && (further || after < before)).then(|| words + ".")
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
