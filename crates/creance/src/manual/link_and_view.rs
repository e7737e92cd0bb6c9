//! The chapter on the link and the view: how margin, band, range, cliff, pattern and picture are read, and the story of the barn.
//!
//! What the story says of the demo craft is read off their proofs: it cannot say other than the program does.

use crate::demo;
use crate::wire::manual::SheetDoc;
use proof::{Finding, Proved};

/// The chapter, section by section.
pub fn link_and_view() -> Vec<SheetDoc> {
    let story = Story::new();
    vec![
        doc("What it answers", WHAT, WHAT_COMMANDS),
        doc("The margin, term by term", MARGIN, MARGIN_COMMANDS),
        doc("The band of doubt", BAND, ""),
        doc("Range", RANGE, RANGE_COMMANDS),
        doc("The cliff", CLIFF, ""),
        doc("Patterns of the antennas", PATTERN, PATTERN_COMMANDS),
        doc("A measured pattern of your own", MEASURED, MEASURED_EXAMPLE),
        doc("The ground, the heights and what stands about", GROUND, ""),
        told("Behind the barn", BARN, &story.barn),
        told("What better antennas bring", BETTER, &story.better),
        doc("The view: angle, detail and shape", VIEW, VIEW_COMMANDS),
        told("Which lens brings back the height of the picture", LENS, &story.lens),
        doc("Flying through it", FLYING, FLYING_COMMANDS),
        doc("What is left out", LEFT_OUT, ""),
    ]
}

fn doc(title: &str, text: &str, example: &str) -> SheetDoc {
    SheetDoc { title: title.to_owned(), text: text.to_owned(), example: example.to_owned() }
}

fn told(title: &str, text: &str, lines: &[String]) -> SheetDoc {
    doc(title, text, &lines.join("\n"))
}

/// What the demo craft are told, as the program tells it.
#[derive(Default)]
struct Story {
    barn: Vec<String>,
    better: Vec<String>,
    lens: Vec<String>,
}

impl Story {
    fn new() -> Self {
        // The sheets of the demo are held to be without fault by a test of their own.
        let craft = demo::craft().unwrap_or_default();
        let proved = |name: &str| {
            craft.iter().find(|(craft, _)| craft.name == name).map(|(craft, _)| proof::prove(craft))
        };
        let (Some(hurried), Some(mended), Some(wide)) =
            (proved("Brambling"), proved("Linnet"), proved("Fieldfare"))
        else {
            return Self::default();
        };
        let better = [("Brambling", &hurried), ("Linnet", &mended)];
        Self {
            barn: finding_lines(&hurried, "link.wall_plan"),
            better: behind_the_barn(&hurried)
                .into_iter()
                .chain(better.into_iter().flat_map(|(name, proved)| better_lines(name, proved)))
                .collect(),
            lens: finding_lines(&wide, "view.vertical"),
        }
    }
}

fn finding_lines(proved: &Proved, rule: &str) -> Vec<String> {
    let worst =
        proved.findings.iter().filter(|finding| finding.rule == rule).min_by_key(|finding| finding.verdict);
    let lines = |finding: &Finding| {
        let first = format!("{}, {}: {}", finding.rule, finding.verdict.word(), finding.message);
        std::iter::once(first).chain(finding.mends.iter().map(|mend| format!("  > {mend}"))).collect()
    };
    worst.map_or_else(Vec::new, lines)
}

/// What better antennas do to the break that is told.
fn behind_the_barn(proved: &Proved) -> Option<String> {
    let finding = proved.findings.iter().find(|finding| finding.rule == "link.wall_plan")?;
    let mend = finding.mends.iter().find_map(|mend| mend.strip_prefix("Or take better antennas, "))?;
    Some(format!("Brambling behind the barn: {mend}"))
}

fn better_lines(name: &str, proved: &Proved) -> Vec<String> {
    let figures = proved.link_figures();
    let line = |id: &str| {
        let figure = figures.iter().find(|figure| figure.id.0 == id)?;
        let doubt = figure.uncertainty.map_or(String::new(), |doubt| format!(" ± {doubt:.0}"));
        Some(format!("{name}: {}: {:.0}{doubt} m", figure.label, figure.quantity.value))
    };
    ["link.change[better pair]", "link.change_on_way[better pair]"].into_iter().filter_map(line).collect()
}

const WHAT: &str = "Does the picture reach the pilot, and does it show what is needed? Both follow from data sheets: antennas, feeds, levels, the place \
where one stands and what stands about it; lens, sensor, tilt and speed. The rules under link. and view. judge what is planned; the panes on the \
bench and the drawings answer any other pose: another distance, height, heading, nose down or up, bank or level. Each number opens its working. What a pilot may \
radiate, and where, no program knows: enter the limit you looked up, and check your local rules.";

const WHAT_COMMANDS: &str = "creance check CRAFT
creance figures CRAFT --only link.
creance figures CRAFT --only view.
creance explain link.margin_at_plan";

const MARGIN: &str = "The margin is what arrives at the receiver less what it needs, in dB: over nought the picture is there, under nought it is not. The budget \
lists every term with its sign: level, feed, gain in that direction, what the craft's own carbon and pack take, spreading, what is lost because hands \
or tilts do not fit, walls, leaves, ground, gain and feed at the station. 6 dB more is twice the distance in the open, 3 dB is half or double the power. \
Read from the top: the largest bar that takes is what to change first. Where several antennas listen, the one that carries is shown, and what the \
others add stands beside it.";

const MARGIN_COMMANDS: &str = "creance draw CRAFT budget --out budget.svg
creance draw CRAFT budget --distance 80 --height 3 --heading 90 --bank=40 --out turning.svg";

const BAND: &str = "Every fact has a doubt, and so has the margin: 2.1 ± 3.1 dB says that one standard uncertainty is 3.1. Beside it stands how likely the requirement \
holds, which is what the verdict goes by: under one half is broken, under 95 % tight. The hatched band of the budget is wider: every phase nobody knows, every \
published value of walls, leaves and ground at its worst and at its best, and twice the uncertainty of the facts. If one fact decides, it is named: measure that \
first. Where models that are published differ, the spread between them is part of the doubt and stands in the working.";

const RANGE: &str = "Range is one thing wherever it is told: how far out the picture holds 99 % of the time on all antennas of the station together, as the \
receiver chooses or adds them, through the fades of these surroundings, short breaks apart: of any 10 m of the way as much may break as is flown in 0.3 s of cruise, for which nobody lets go of the sticks, but no more than 3 m, and no more than 1 m \
of that lost outright (common practice). The range ends where the break begins that is too much. Breaks that are flown through are counted and told with their places, none is hidden; so is how long the break is that ends the range, and how much of the way that is asked about \
holds and breaks: both together are that way. \
The chart has the range at every level of the transmitter with its band of doubt, what is planned, and the limit that you stated; below it stands what better antennas \
would bring in metres of the range and of the way. Twice the range in the open wants four times the power: antennas and a place to stand are cheaper, and disturb nobody.";

const RANGE_COMMANDS: &str = "creance draw CRAFT range --out range.svg
creance figures CRAFT --only link.range
creance figures CRAFT --only link.change";

const CLIFF: &str = "Digital video does not fade as noise does: from 6 dB over its threshold up it is clean, from 3 down it comes with blocks, and under nought it is \
gone. Reflections come and go, and so there are four words, wherever it is told: clean, where 6 dB and more are left 99 % of the time; thin, where it holds 99 % of the time with less left; breaking, where it holds \
less than 99 % of the time; lost, where not even the mean reaches the threshold. The range ends where the picture breaks, short breaks apart. The 6 and the 3 dB are as the receiver's sheet states them for the mode, or as usual (common \
practice). A few decibels are few metres out there: turn home at the first block, not at the freeze.";

const PATTERN: &str = "A pattern is the gain of an antenna in every direction. A mast sends all round and hardly along itself; a patch looks one way and little back. The pane draws the cut \
with the craft turned as asked: bank it, and see which part of the pattern points at the station. The table beside it has the same in numbers, with hand and axial ratio: a \
circular antenna grows elliptical off its axis and may turn the other way behind. What the craft's own plates and pack take is drawn as the line within.";

const PATTERN_COMMANDS: &str = "creance draw CRAFT pattern --bank=60 --out pattern.pdf
creance draw CRAFT lobes --out lobes.svg";

const MEASURED: &str = "Who has measured an antenna puts its table in place of the formula: angle off the mast or off the aim, gain in dBi and, unless it is round, the angle round; hand and \
axial ratio where they were measured. The mean gain over all directions is the share of the power that is radiated. More than all of it is refused beyond the table's own doubt and \
what its sampling leaves open; under 30 % a word is said, for gains over their own peak look like that; under 5 % nothing is taken. Holes, directions given twice and rows \
that nothing reads are told with their line.";

const MEASURED_EXAMPLE: &str = "# omni.csv
off (°); gain (dBi); axial ratio (dB); hand
0; -12; 9; right
45; -1.5; 3; right
90; 1.4; 1.5; right
135; -2; 4; right
180; -14; 10; right

creance pattern omni.csv --part omni";

const GROUND: &str = "Off the ground comes a second ray. Where it is longer by half a wave it takes from the first, where by a whole one it adds: lobes, close together near by and low down. \
Farther out than four times both heights over the wavelength it takes more and more, and twice as far costs 12 dB instead of 6. Raising the receiver moves all of that \
outward, lawfully. Walls let a part through and bend a part over and round: both are worked out and added as waves. Leaves take by their depth. Rain and air are \
there to show that they do not matter here. A line that runs through a building is told before anything else is believed.";

const BARN: &str = "The story of the demo. Brambling was built in a hurry: its serial wires are crossed, so that the video unit never hears that the motors are armed and stays at 25 mW. Its \
pilot stands at the farmyard gate and flies past a brick barn; from there on the barn stands between. Flown straight, out or home, the mean is just enough, and reflections still take the picture for moments. Turning away, the craft leans, and with it its \
antenna: that and the barn together take more than there is. So says the program, with the length of the break, the place that it found, and what would help, cheapest first:";

const BETTER: &str = "First what it does to the metres that are lost behind the barn in the worst turn, then nose away, for both craft at the level each flies at, the range and the metres of the planned way \
on which the picture holds 99 % of the time. At 25 mW the barn ends that range, and flown straight better antennas hardly move that end: there they show in metres that no longer break. Linnet is the mended twin, at the 200 mW \
that are set:";

const VIEW: &str = "Pilots feel the view from bottom to top: it holds the ground in a landing and the horizon when the craft leans into speed. A wide picture of 16:9 shows less of it than a sensor of \
4:3 as wide, that is as many millimetres across and taller; a mode of 4:3 that cuts the sides off a 16:9 sensor gains nothing upward. A shorter lens brings the height back and costs detail: \
pixels to a degree, in the middle and toward the edge, say from how far a twig or a gate is seen. Where the image circle is smaller than the picture the corners are dark. Light is told in stops \
between two pairs of lens and sensor: one stop is half.";

const VIEW_COMMANDS: &str = "creance figures CRAFT --only view.
creance draw CRAFT view --beside 4:3 --out beside.svg";

const LENS: &str = "Fieldfare came with a wide sensor. What its lens shows, what it should, and which lens that lies in the drawer brings it back at what cost:";

const FLYING: &str = "Faster, a craft leans more, and the horizon climbs in the picture: the chart has its place against speed, and the tilt that keeps it in. Beside it, against speed: from how \
far a thing is seen, how far one flies blind until picture and hands have answered, how a turn smears, and the fastest speed at which what shows up can still be dodged. The \
picture over the course is exact for the lens as its sheet describes it, with the craft's own blades and cage in it: drag to turn, slide tilt and speed, put a second lens or shape beside it.";

const FLYING_COMMANDS: &str = "creance draw CRAFT flying --out flying.svg
creance draw CRAFT view --speed 12 --before 15 --out gate.svg";

const LEFT_OUT: &str = "One link a craft: the first transmitter, receiver and station count. The pilot's own body, other craft in the air and rays off walls are left out. Behind walls and leaves the mean counts nothing of what is scattered round them, and fades are reckoned as on a clear line: the one errs \
toward too little, the other toward too much. Sheets and plans are not a \
flight: walk or fly near first, and turn back while the picture is whole.";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_story_is_told_in_full_by_the_demo_craft() {
        let chapter = link_and_view();
        let section = |title: &str| {
            let found = chapter.iter().find(|section| section.title == title);
            found.map(|section| section.example.clone()).unwrap_or_default()
        };
        let barn = section("Behind the barn");
        for words in [
            "link.wall_plan, broken: Behind barn the picture is lost",
            "turning away",
            "> Mend the serial link first",
            "> Stand ",
            "draw CRAFT budget",
        ] {
            assert!(barn.contains(words), "{words}: {barn}");
        }
        let better = section("What better antennas bring");
        assert!(
            better.contains("lost")
                && better.contains("Brambling: change of the range, better antennas")
                && better.contains("Linnet: change of the range, better antennas"),
            "{better}"
        );
        let lens = section("Which lens brings back the height of the picture");
        assert!(lens.contains("it brings back") && lens.contains("4:3 as wide would show"), "{lens}");
    }

    #[test]
    fn the_table_of_the_manual_is_read() {
        let table: String = MEASURED_EXAMPLE
            .lines()
            .take_while(|line| !line.is_empty())
            .map(|line| format!("{line}\n"))
            .collect();
        assert!(proof::link::read_pattern(&table).is_ok());
    }
}
