//! The station from above: its antennas with their aim, what stands about, the flying line and which antenna carries it where.
//!
//! The flying line runs to the right. One scale for both ways, so that angles are true; antennas of a station stand within a few metres, and are
//! told apart by their letters, each beside the cross of its mast, and the lines of their aim.

use super::held::farthest;
use super::words::{decibels, metres};
use super::{EXPOSURE_NOTE, LinkFault, LinkShown, radio};
use crate::chart::{Ground, on_ground};
use crate::scale::{Area, Bounds};
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, RUST, escaped, line, number, path, text};
use crate::wrap::{on_one_line, width_of};
use proof::link::{Carried, LOOKED};
use quantity::Metres;
use std::collections::BTreeMap;
use std::fmt::Write;

const LETTER: f64 = 3.4;
const STROKES: [(&str, &str, f64); 4] =
    [(INK, "", 1.4), (RUST, "3.2 1.2", 1.4), (INK, "1 1", 1.2), (RUST, "", 0.7)];

/// The station from above.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanView {
    /// The picture.
    pub svg: String,
    /// What it shows, of what.
    pub title: String,
    /// Which antenna carries where, in a sentence.
    pub message: String,
    /// Stretch by stretch: from, to, antenna, the least margin on it.
    pub rows: Vec<[String; 4]>,
    /// Cautions.
    pub notes: Vec<String>,
}

/// The station from above, so many mm wide.
pub fn plan_view(shown: &LinkShown, width: f64, ground: Ground) -> Result<PlanView, LinkFault> {
    let far = farthest(shown)?.min(shown.asked.distance.get().max(20.0) * 1.25);
    let carried = shown.link.carried(shown.asked, [LOOKED[0], Metres::new(far)]).map_err(radio)?;
    let rows: Vec<[String; 4]> = carried
        .iter()
        .map(|run| {
            let name = shown.model.ground_called(run.ground);
            [metres(run.from.get()), metres(run.to.get()), name, decibels(run.least.get())]
        })
        .collect();
    let message = carried_words(&carried, |n| shown.model.ground_called(n));
    let title = format!("{}: the station from above", shown.craft);
    let svg = drawn(shown, &carried, far, width, &title, &message);
    Ok(PlanView { svg: on_ground(svg, ground), title, message, rows, notes: vec![EXPOSURE_NOTE.to_owned()] })
}

/// So many stretches are told one after the other; more are told by the share of the way of each antenna.
const STRETCHES_TOLD: usize = 4;

/// Which antenna carries where. Close by, the lobes of the ground make antennas take turns every metre or two: nobody reads thirty stretches,
/// so of many only the shares are told, and who carries last.
fn carried_words(carried: &[Carried], called: impl Fn(usize) -> String) -> String {
    let [Some(first), Some(last)] = [carried.first(), carried.last()] else {
        return "No antenna carries the link on this line.".to_owned();
    };
    if carried.len() <= STRETCHES_TOLD {
        let told: Vec<String> = carried
            .iter()
            .map(|run| {
                let [from, to] = [run.from, run.to].map(|end| metres(end.get()));
                format!("{} from {from} to {to}", called(run.ground))
            })
            .collect();
        return format!("The link is carried by {}.", told.join(", then by "));
    }
    let whole = last.to.get() - first.from.get();
    let mut shares: BTreeMap<usize, f64> = BTreeMap::new();
    for run in carried {
        *shares.entry(run.ground).or_default() += run.to.get() - run.from.get();
    }
    let mut shares: Vec<(usize, f64)> = shares.into_iter().collect();
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    let told: Vec<String> = shares
        .iter()
        .map(|(ground, length)| format!("{} over {:.0} %", called(*ground), 100.0 * length / whole))
        .collect();
    format!(
        "From {} to {} the link goes from antenna to antenna {} times: {} of the way. From {} on {} carries it.",
        metres(first.from.get()),
        metres(last.to.get()),
        carried.len() - 1,
        told.join(", "),
        metres(last.from.get()),
        called(last.ground)
    )
}

fn drawn(shown: &LinkShown, carried: &[Carried], far: f64, width: f64, title: &str, message: &str) -> String {
    let mut points: Vec<[f64; 2]> = vec![[0.0, 0.0], [far, 0.0]];
    let within = |p: &[f64; 2]| p[0] > -0.4 * far && p[0] < 1.2 * far && p[1].abs() < 0.6 * far;
    points.extend(
        shown.model.obstacles.iter().flat_map(|obstacle| obstacle.outline.iter().copied()).filter(within),
    );
    points.extend(shown.link.grounds.iter().map(|ground| [ground.place[0], ground.place[1]]));
    let bounds = Bounds::of(&points).unwrap_or(Bounds { low: [0.0, 0.0], high: [far, 1.0] });
    let times = (width - 27.0) / bounds.size()[0].max(1.0);
    let room = (bounds.size()[1] * times).clamp(26.0, 150.0);
    let key = shown.link.grounds.len() as f64 * 5.0;
    let height = room + 34.0 + key;
    let middle = 6.0 + room / 2.0 + 6.0;
    let centre = bounds.middle()[1];
    let at = |[x, y]: [f64; 2]| [18.0 + (x - bounds.low[0]) * times, middle - (y - centre) * times];
    let [w, h] = [width, height].map(number);
    let mut out = format!(
        concat!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="img">"#,
            "\n<title>{title}</title>\n<desc>{words}</desc>\n<rect width=\"{w}\" height=\"{h}\" fill=\"{paper}\"/>\n"
        ),
        w = w,
        h = h,
        title = escaped(title),
        words = escaped(message),
        paper = PAPER,
    );
    obstacles(&mut out, shown, &at, Area { left: 0.0, top: 0.0, width, height: middle + room / 2.0 });
    for run in carried {
        let (ink, dashes, thick) = STROKES[run.ground % STROKES.len()];
        let [from, to] = [at([run.from.get(), 0.0]), at([run.to.get(), 0.0])];
        stroke(&mut out, [from, to], ink, dashes, thick);
        line(&mut out, [from[0], from[1] - 2.0], [from[0], from[1] + 2.0], HAIRLINE, 0.3);
    }
    let here = at([shown.asked.distance.get().min(far), 0.0]);
    let _ = writeln!(
        out,
        r#"<circle cx="{}" cy="{}" r="1.6" fill="{PAPER}" stroke="{INK}" stroke-width="0.5"/>"#,
        number(here[0]),
        number(here[1])
    );
    let words = format!("craft, {}", metres(shown.asked.distance.get()));
    let half = width_of(&words, LETTER) / 2.0;
    let x = here[0].clamp(half + 1.0, width - half - 1.0);
    text(&mut out, [x, here[1] - 3.6], Lettering::plain(LETTER).centred(), &words);
    antennas(&mut out, shown, &at);
    bar(&mut out, [18.0, middle + room / 2.0 + 11.0], times, far);
    for (n, _) in shown.link.grounds.iter().enumerate() {
        let y = middle + room / 2.0 + 21.0 + 5.0 * n as f64;
        let (ink, dashes, thick) = STROKES[n % STROKES.len()];
        stroke(&mut out, [[9.0, y - 1.1], [19.0, y - 1.1]], ink, dashes, thick);
        let words = format!("{}  {}", letter_of(n), shown.model.ground_called(n));
        text(&mut out, [22.0, y], Lettering::plain(LETTER), &on_one_line(&words, width - 24.0, LETTER));
    }
    out.push_str("</svg>\n");
    out
}

fn letter_of(n: usize) -> char {
    char::from(b'A' + (n % 26) as u8)
}

fn stroke(out: &mut String, [from, to]: [[f64; 2]; 2], ink: &str, dashes: &str, width: f64) {
    let dashes = if dashes.is_empty() { String::new() } else { format!(r#" stroke-dasharray="{dashes}""#) };
    let _ = writeln!(
        out,
        r#"<line x1="{}" y1="{}" x2="{}" y2="{}" stroke="{ink}" stroke-width="{width}"{dashes}/>"#,
        number(from[0]),
        number(from[1]),
        number(to[0]),
        number(to[1])
    );
}

fn obstacles(out: &mut String, shown: &LinkShown, at: &impl Fn([f64; 2]) -> [f64; 2], frame: Area) {
    for obstacle in &shown.model.obstacles {
        let ring: Vec<[f64; 2]> = obstacle.outline.iter().map(|p| at(*p)).collect();
        let inside = |p: &&[f64; 2]| p[0] > 0.0 && p[0] < frame.width && p[1] > 0.0 && p[1] < frame.height;
        let Some(first) = ring.iter().find(inside) else { continue };
        let dashes = if obstacle.form == "trees" { r#" stroke-dasharray="0.6 0.8""# } else { "" };
        let _ = writeln!(
            out,
            r#"<path d="{}" fill="{HAIRLINE}" fill-opacity="0.3" stroke="{INK}" stroke-width="0.5"{dashes}/>"#,
            path(std::slice::from_ref(&ring))
        );
        let top = ring.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
        let words = format!("{}, {}", obstacle.name, metres(obstacle.height.get()));
        let half = width_of(&words, LETTER) / 2.0;
        let x = first[0].clamp(half + 1.0, frame.width - half - 1.0);
        text(out, [x, (top - 1.4).max(4.0)], Lettering::plain(LETTER).centred(), &words);
    }
}

/// Masts nearer together on paper than this share a column of letters.
const NEAR: f64 = 5.0;

fn antennas(out: &mut String, shown: &LinkShown, at: &impl Fn([f64; 2]) -> [f64; 2]) {
    let station = at([0.0, 0.0]);
    let mut placed: Vec<[f64; 2]> = vec![station];
    for (n, ground) in shown.link.grounds.iter().enumerate() {
        let here = at([ground.place[0], ground.place[1]]);
        let (ink, dashes, _) = STROKES[n % STROKES.len()];
        if !ground.on_mast {
            let look = aim(ground);
            let end = [here[0] + look[0] * 16.0, here[1] - look[1] * 16.0];
            stroke(out, [here, end], ink, dashes, 0.5);
        }
        // A mast seen from above is a cross where it stands.
        for [x, y] in [[1.3, 1.3], [1.3, -1.3]] {
            stroke(out, [[here[0] - x, here[1] - y], [here[0] + x, here[1] + y]], ink, "", 0.6);
        }
        let near = |other: &&[f64; 2]| (other[0] - here[0]).hypot(other[1] - here[1]) < NEAR;
        let before = placed.iter().filter(near).count() as f64;
        let x = (here[0] - 3.4 - 3.6 * before).max(2.0);
        text(
            out,
            [x, here[1] + 1.2],
            Lettering::plain(LETTER).bold().ink(ink).centred(),
            &letter_of(n).to_string(),
        );
        placed.push(here);
    }
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="2.4" height="2.4" fill="{PAPER}" stroke="{INK}" stroke-width="0.5"/>"#,
        number(station[0] - 1.2),
        number(station[1] - 1.2)
    );
    text(out, [station[0] - 1.2, station[1] + 5.4], Lettering::plain(LETTER).bold(), "station");
}

/// Which way an aimed antenna looks, seen from above.
fn aim(ground: &proof::link::Mounted) -> [f64; 2] {
    let looks = ground.looks();
    let size = looks[0].hypot(looks[1]);
    if size < 1e-6 { [0.0, 0.0] } else { [looks[0] / size, looks[1] / size] }
}

/// A bar of a round length.
fn bar(out: &mut String, [x, y]: [f64; 2], times: f64, far: f64) {
    let power = 10f64.powf((far / 3.0).log10().floor());
    let round =
        [5.0, 2.0, 1.0].into_iter().map(|step| step * power).find(|step| *step <= far / 3.0).unwrap_or(power);
    line(out, [x, y], [x + round * times, y], INK, 0.5);
    for end in [x, x + round * times] {
        line(out, [end, y - 1.2], [end, y + 1.2], INK, 0.4);
    }
    text(out, [x + round * times + 2.0, y + 1.2], Lettering::plain(LETTER), &metres(round));
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Db;

    fn run(ground: usize, from: f64, to: f64) -> Carried {
        Carried { ground, from: Metres::new(from), to: Metres::new(to), least: Db::new(10.0) }
    }

    fn called(n: usize) -> String {
        ["left patch", "right patch"][n].to_owned()
    }

    #[test]
    fn few_stretches_are_told_one_by_one() {
        let words = carried_words(&[run(0, 5.0, 9.5), run(1, 9.5, 40.0)], called);
        assert_eq!(
            words,
            "The link is carried by left patch from 5 m to 9.5 m, then by right patch from 9.5 m to 40 m."
        );
        assert_eq!(carried_words(&[], called), "No antenna carries the link on this line.");
    }

    #[test]
    fn many_stretches_are_told_by_their_share_of_the_way() {
        let many: Vec<Carried> = (0..5).map(|n| run(n % 2, 20.0 * n as f64, 20.0 * (n + 1) as f64)).collect();
        assert_eq!(
            carried_words(&many, called),
            "From 0 m to 100 m the link goes from antenna to antenna 4 times: left patch over 60 %, right patch over 40 % of the way. From 80 m on left patch carries it."
        );
    }
}
