//! Does the flying line keep clear of walls and buildings, and the station too?

use crate::limits::LINE_CLEAR;
use crate::link::{LinkAntenna, LinkObstacle, outline, walled_in};
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{metres, stationed};
use crate::working::Lines;
use crate::{Answer, Finding, Placed, Proof, Verdict};
use craft::schema::station::{self, obstacle};
use craft::schema::{Field, PartKind};
use craft::{Item, Missing, Reading};
use quantity::{FactIndex, FactPath, FigureId, Linear, Measure, Metres, Unit};

rule! {
    /// Does the flying line keep clear of walls and buildings, and the station too?
    ///
    /// ## Why
    /// A line that runs through a barn was entered wrong, or will be flown wrong. Whatever is worked out of the link along it then speaks of
    /// places where no craft is: inside a wall there is no range, no margin and no picture.
    ///
    /// ## Sound when
    /// From the station to the farthest planned point, at the planned height, the line passes every wall and building beside or above it
    /// by 1 m or more: a craft flown by hand is not held closer. Nearer is tight; through one, under its top, is broken, and so is a line that
    /// begins or ends inside, and an antenna of the station in a wall or under a roof.
    ///
    /// ## Rests on
    /// Where each obstacle is entered, with its width, depth, turn and height; the planned distance and height; where the station's antennas
    /// stand. Trees across the line are tight outside woodland: among them one flies on purpose, and what their leaves take is told of behind them. Where nothing at all is entered nobody can say, save in an open field, which
    /// has nothing to fly into; nor in a yard or a hall of which trees alone are entered.
    ///
    /// ## Mend
    /// Fly over it, or past it, or end the line before it; the numbers that are named were worked out. If it does not stand there, correct where
    /// it does.
    LINE_IS_CLEAR = "link.line_clear", run
}

const SUBJECT: &str = "flying line";
const ID: &str = "link.line_clearance";

fn run(proof: &Proof) -> Answer {
    let station = proof.places_of(PartKind::Station).next();
    let (Some(model), Some(station)) = (stationed(proof), station) else { return Answer::default() };
    let mut answer = Answer::default();
    let (mut stood, mut missing): (Vec<Stood>, Vec<Missing>) = (Vec::new(), Vec::new());
    for row in station.part.rows(&obstacle::TABLE).filter(|row| row.text(&obstacle::FORM) != Ok("trees")) {
        match Stood::read(proof, &row) {
            Ok(read) => stood.push(read),
            Err(lacks) => missing.extend(lacks),
        }
    }
    answer.findings.extend(antennas(&model.grounds, &stood));
    answer.findings.extend(trees(
        station,
        &model.obstacles,
        model.plan.fly_to.as_ref().ok().zip(model.plan.height.as_ref().ok()),
    ));
    missing.extend(model.plan.fly_to.as_ref().err().cloned());
    missing.extend(model.plan.height.as_ref().err().cloned());
    if station.part.rows(&obstacle::TABLE).next().is_none() {
        answer.findings.extend(nothing_stated(station));
    } else if !missing.is_empty() {
        answer.findings.push(Finding::unknown(LINE_IS_CLEAR.id, SUBJECT, missing.clone()));
    } else if let Some(built) =
        station.part.item().text(&station::SURROUNDINGS).ok().filter(|_| stood.is_empty()).and_then(built)
    {
        answer.findings.push(only_trees(station, built));
    } else if stood.is_empty() {
        let message = "Of all that is entered about the station nothing is a wall or a building";
        answer.findings.push(Finding::new(LINE_IS_CLEAR.id, Verdict::Sound, SUBJECT, message));
    }
    if let (Ok(fly_to), Ok(height)) = (&model.plan.fly_to, &model.plan.height) {
        let line = Line { fly_to: fly_to.get(), height: height.get() };
        judge(proof, &stood, line, &mut answer);
    }
    let places = [model.station.clone(), Some(model.unit.clone())];
    let at = |finding: Finding| finding.at(places.clone().into_iter().flatten());
    Answer { findings: answer.findings.into_iter().map(at).collect(), ..answer }
}

/// What must stand in surroundings that are built, if they are.
fn built(surroundings: &str) -> Option<&'static str> {
    match surroundings {
        "yard" => Some("a yard lies between walls"),
        "hall" => Some("a hall has walls"),
        _ => None,
    }
}

/// What is said where trees are entered, and walls that must be there are not.
fn only_trees(station: Placed, built: &str) -> Finding {
    let item = station.part.item();
    let path = FactPath(format!("{}.{}", item.path, obstacle::TABLE.key));
    let missing = Missing { path, label: format!("walls and buildings about {}", item.called) };
    let mut finding = Finding::unknown(LINE_IS_CLEAR.id, SUBJECT, vec![missing]);
    finding.message =
        format!("Nobody can say yet: {built}, and nothing but trees is entered about {}", item.called);
    finding.mends = vec![
        "Enter every wall and building as an obstacle of the station; or, if there is none, what its surroundings are: an open field, a park, woodland."
            .to_owned(),
    ];
    finding
}

/// What is said of trees that the line runs through, where one does not fly among trees on purpose.
fn trees(station: Placed, obstacles: &[LinkObstacle], flown: Option<(&Metres, &Metres)>) -> Vec<Finding> {
    let woodland = station.part.item().text(&station::SURROUNDINGS) == Ok("woodland");
    let Some((fly_to, height)) = flown.filter(|_| !woodland) else { return Vec::new() };
    let line = Line { fly_to: fly_to.get(), height: height.get() };
    let through = |one: &&LinkObstacle| {
        one.form == "trees" && Passed::of(&one.outline, one.height.get(), line).clear < 0.0
    };
    let told = |one: &LinkObstacle| {
        let message = format!(
            "The flying line runs through {} at {}, under its top of {}: branches stand there, and `link.wall_plan` tells what its leaves take",
            one.name,
            metres(*height),
            metres(one.height)
        );
        let over = Metres::new(one.height.get() + 1.0);
        Finding::new(LINE_IS_CLEAR.id, Verdict::Tight, format!("{SUBJECT} and {}", one.name), message)
            .mend(format!("Fly {} high or more there, or end the line before it.", metres(over)))
            .mend("Where you fly among trees on purpose, say woodland of the surroundings.")
    };
    obstacles.iter().filter(through).map(told).collect()
}

/// Of what is entered, the first wall or building that a line runs through, from the station to a distance at a height.
pub(crate) fn runs_through(
    obstacles: &[LinkObstacle],
    fly_to: Metres,
    height: Metres,
) -> Option<&LinkObstacle> {
    let line = Line { fly_to: fly_to.get(), height: height.get() };
    let through = |one: &&LinkObstacle| Passed::of(&one.outline, one.height.get(), line).clear < 0.0;
    obstacles.iter().filter(|one| one.form != "trees").find(through)
}

/// What is said where not one thing is entered.
fn nothing_stated(station: Placed) -> Option<Finding> {
    let item = station.part.item();
    if item.text(&station::SURROUNDINGS) == Ok("open field") {
        let message = "It is an open field, and nothing is entered that stands in it";
        return Some(Finding::new(LINE_IS_CLEAR.id, Verdict::Sound, SUBJECT, message));
    }
    let path = FactPath(format!("{}.{}", item.path, obstacle::TABLE.key));
    let missing = Missing { path, label: format!("what stands about {}", item.called) };
    let mut finding = Finding::unknown(LINE_IS_CLEAR.id, SUBJECT, vec![missing]);
    finding.message = format!(
        "Nobody can say yet: nothing is entered that stands about {}, and it is no open field",
        item.called
    );
    finding.mends =
        vec!["Enter every wall, building and row of trees as an obstacle of the station; or, if there is none, that its surroundings are an open field.".to_owned()];
    Some(finding)
}

/// Antennas of the station that stand in something.
fn antennas(grounds: &[LinkAntenna], stood: &[Stood]) -> Vec<Finding> {
    let obstacles: Vec<LinkObstacle> = stood.iter().map(Stood::obstacle).collect();
    let told = |[what, mend]: [String; 2]| {
        let (first, rest) = mend.split_at(1);
        Finding::new(LINE_IS_CLEAR.id, Verdict::Broken, "station", what)
            .mend(format!("{}{rest}.", first.to_uppercase()))
    };
    walled_in(grounds, &obstacles).into_iter().map(told).collect()
}

/// The line that is flown: from the station straight ahead.
#[derive(Clone, Copy)]
struct Line {
    fly_to: f64,
    height: f64,
}

/// A wall or a building as it is entered: middle ahead, middle aside, width, depth, turn, height.
struct Stood {
    name: String,
    numbers: [f64; 6],
    /// The fact of each number, where it stands in the sheet.
    facts: Vec<(usize, FactIndex)>,
}

const HEIGHT: usize = 5;

impl Stood {
    fn read(proof: &Proof, row: &Item) -> Result<Self, Vec<Missing>> {
        let form = row.text(&obstacle::FORM).map_err(|missing| vec![missing])?;
        let (mut numbers, mut facts, mut missing) = ([0.0; 6], Vec::new(), Vec::new());
        let mut take = |n: usize, read: Result<(f64, FactIndex), Missing>| match read {
            Ok((value, fact)) => {
                numbers[n] = value;
                facts.push((n, fact));
            }
            Err(lacks) => missing.push(lacks),
        };
        take(0, number(proof, row, &obstacle::AHEAD));
        // What may be left out is nought then, as its field states.
        take(1, number(proof, row, &obstacle::ASIDE));
        take(2, number(proof, row, &obstacle::WIDTH));
        if form == "building" {
            take(3, number(proof, row, &obstacle::DEPTH));
        }
        take(4, number(proof, row, &obstacle::TURN));
        take(HEIGHT, number(proof, row, &obstacle::HEIGHT));
        if missing.is_empty() {
            Ok(Self { name: row.name().unwrap_or(form).to_owned(), numbers, facts })
        } else {
            Err(missing)
        }
    }

    fn outline(&self) -> Vec<[f64; 2]> {
        let [ahead, aside, width, depth, turn, _] = self.numbers;
        outline([ahead, aside], turn, [width, depth])
    }

    fn obstacle(&self) -> LinkObstacle {
        LinkObstacle {
            name: self.name.clone(),
            form: "building".to_owned(),
            material: None,
            outline: self.outline(),
            height: Metres::new(self.numbers[HEIGHT]),
        }
    }

    /// How the line passes it.
    fn passed(&self, line: Line) -> Passed {
        Passed::of(&self.outline(), self.numbers[HEIGHT], line)
    }

    /// The way between the line and it, leaning on every number that is in doubt.
    fn clearance(&self, line: Line) -> Linear {
        let value = self.passed(line).clear;
        let step = 1e-4;
        let slope = |(n, fact): &(usize, FactIndex)| {
            let mut moved = Self { name: String::new(), numbers: self.numbers, facts: Vec::new() };
            moved.numbers[*n] += step;
            (*fact, (moved.passed(line).clear - value) / step)
        };
        let slopes = self.facts.iter().map(slope).filter(|(_, slope)| *slope != 0.0).collect();
        Linear { value, slopes }
    }
}

fn number<M: Measure>(proof: &Proof, row: &Item, field: &Field<M>) -> Result<(f64, FactIndex), Missing> {
    row.read(field).map(|read: Reading<M>| (read.value.raw(), proof.enter(&read)))
}

/// How a line passes an outline, in metres.
#[derive(Clone, Copy)]
struct Passed {
    /// The way between both; where the line runs through, less than nought by the least that moves it out, up or aside.
    clear: f64,
    /// What of the line lies within the outline, seen from above.
    within: Option<[f64; 2]>,
    /// How far the outline reaches to the right of the line and to the left of it, abreast of it.
    reaches: [f64; 2],
    /// Where along the line it is nearest.
    at: f64,
}

impl Passed {
    fn of(outline: &[[f64; 2]], top: f64, line: Line) -> Self {
        // The side from the last corner of a wall back to its first is the wall itself.
        let sides = outline.iter().copied().zip(outline.iter().copied().cycle().skip(1));
        // What of the outline lies abreast of the line: its corners, and where its sides meet the ends of the line.
        let mut abreast: Vec<[f64; 2]> =
            outline.iter().copied().filter(|[x, _]| (0.0..=line.fly_to).contains(x)).collect();
        let (mut nearest, mut crossings) = ((f64::INFINITY, 0.0), Vec::new());
        for ([ax, ay], [bx, by]) in sides {
            for end in [0.0, line.fly_to] {
                if (ax < end) != (bx < end) {
                    abreast.push([end, ay + (end - ax) / (bx - ax) * (by - ay)]);
                }
            }
            if (ay < 0.0) != (by < 0.0) {
                crossings.push(ax + ay / (ay - by) * (bx - ax));
            }
            // The ends of the line against this side; the corners against the line are looked at below.
            for end in [0.0, line.fly_to] {
                let (dx, dy) = (bx - ax, by - ay);
                let share = ((end - ax) * dx - ay * dy) / (dx * dx + dy * dy).max(f64::MIN_POSITIVE);
                let share = share.clamp(0.0, 1.0);
                let off = (ax + share * dx - end).hypot(ay + share * dy);
                nearest = if off < nearest.0 { (off, end) } else { nearest };
            }
        }
        for [x, y] in outline {
            let along = x.clamp(0.0, line.fly_to);
            let off = (x - along).hypot(*y);
            nearest = if off < nearest.0 { (off, along) } else { nearest };
        }
        let (low, high) =
            crossings.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(*x), b.max(*x)));
        let within = [low.max(0.0), high.min(line.fly_to)];
        let within = (within[0] <= within[1]).then_some(within);
        let reach = |way: f64| abreast.iter().map(|[_, y]| way * y).fold(f64::NEG_INFINITY, f64::max);
        let reaches = [reach(-1.0), reach(1.0)];
        let over = line.height - top;
        let clear = match within {
            None => nearest.0.hypot(over.max(0.0)),
            Some(_) if over >= 0.0 => over,
            Some(_) => -(-over).min(reaches[0]).min(reaches[1]),
        };
        Self { clear, within, reaches, at: within.map_or(nearest.1, |[from, _]| from) }
    }
}

fn judge(proof: &Proof, stood: &[Stood], line: Line, answer: &mut Answer) {
    let mut nearest: Option<(Linear, &Stood, Finding)> = None;
    for one in stood {
        let (passed, clear) = (one.passed(line), one.clearance(line));
        let judged = standing(proof, &clear, &LINE_CLEAR);
        let verdict = judged.verdict;
        let mut finding = judged.finding(
            LINE_IS_CLEAR.id,
            format!("{SUBJECT} and {}", one.name),
            told(one, &passed, line, verdict),
        );
        finding.figure = Some(FigureId(ID.into()));
        if verdict != Verdict::Sound {
            finding.mends.extend(mends(one, &passed));
            answer.findings.push(finding.clone());
        }
        if nearest.as_ref().is_none_or(|(known, _, _)| clear.value < known.value) {
            nearest = Some((clear, one, finding));
        }
    }
    let Some((clear, one, finding)) = nearest else { return };
    let [ahead, aside, width, depth, turn, height] = one.numbers;
    let entered = format!("{}, as entered", one.name);
    let lines = Lines::of(proof)
        .given("middle ahead", ahead, Unit::Metres, entered.clone())
        .given("middle aside, left positive", aside, Unit::Metres, entered.clone())
        .given("width", width, Unit::Metres, entered.clone())
        .given("depth", depth, Unit::Metres, entered.clone())
        .given("turn", turn, Unit::Degrees, entered.clone())
        .given("height", height, Unit::Metres, entered)
        .given("farthest planned", line.fly_to, Unit::Metres, "the craft's sheet")
        .given("height flown at", line.height, Unit::Metres, "the craft's sheet")
        .facts(&clear);
    answer.figures.push(lines.figure(
        ID,
        format!("way between the flying line and {}, the nearest wall or building", one.name),
        (&clear, Unit::Metres),
        "least way from the line to its outline and over its top; under nought by what moves the line out of it",
        LINE_CLEAR.source,
    ));
    if finding.verdict == Verdict::Sound {
        answer.findings.push(finding);
    }
}

fn told(one: &Stood, passed: &Passed, line: Line, verdict: Verdict) -> String {
    let (name, top) = (&one.name, metres(Metres::new(one.numbers[HEIGHT])));
    let height = metres(Metres::new(line.height));
    let m = |value: f64| metres(Metres::new(value));
    match passed.within {
        Some([from, to]) if line.height < one.numbers[HEIGHT] => {
            let how = match (from <= 0.0, to >= line.fly_to) {
                (true, true) => format!("lies wholly inside {name}"),
                (true, false) => format!("begins inside {name} and leaves it {} out", m(to)),
                (false, true) => format!("ends inside {name}, which it enters {} out", m(from)),
                (false, false) if to - from < 0.05 => format!("runs through {name} {} out", m(from)),
                (false, false) => format!("runs through {name} from {} to {}", m(from), m(to)),
            };
            format!("The flying line {how}: {height} high, under its top at {top}")
        }
        Some(_) => format!(
            "The flying line passes {} over {name}{}",
            m(passed.clear),
            if verdict == Verdict::Sound { "" } else { ", closer than a craft is held by hand" }
        ),
        None => format!(
            "The flying line passes {name} by {}, {} out{}",
            m(passed.clear),
            m(passed.at),
            if verdict == Verdict::Sound { "" } else { ", closer than a craft is held by hand" }
        ),
    }
}

fn mends(one: &Stood, passed: &Passed) -> Vec<String> {
    let (name, keep) = (&one.name, LINE_CLEAR.tight);
    let up = |value: f64| rounded((2.0 * value).ceil() / 2.0, 1);
    let mut mends = vec![format!(
        "Fly {} m high and more over {name}: enter that as the height flown at.",
        up(one.numbers[HEIGHT] + keep)
    )];
    let [right, left] = passed.reaches;
    if right.is_finite() && left.is_finite() {
        // The obstacle moves to the side on which less of it lies over the line.
        let aside = one.numbers[1];
        let (by, to, word) = if left <= right {
            (left + keep, aside - left - keep, "left")
        } else {
            (right + keep, aside + right + keep, "right")
        };
        mends.push(format!(
            "Or fly past it: with the line {} m further to the {word} its middle lies {} m aside; stand so, and enter that.",
            up(by),
            rounded(to, 1)
        ));
    }
    if let Some([from, _]) = passed.within
        && from - keep >= 1.0
    {
        mends.push(format!(
            "Or end the line before it: enter {} m as the farthest planned.",
            rounded((from - keep).floor(), 0)
        ));
    }
    mends.push(format!(
        "If {name} does not stand there, correct where its middle is, ahead and aside, and how large it is."
    ));
    mends
}

#[cfg(test)]
#[path = "link_line_clear_tests.rs"]
mod tests;
