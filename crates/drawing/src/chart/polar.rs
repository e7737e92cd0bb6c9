//! A cut through a pattern of gain: how much goes which way, with rings of dBi that carry their numbers.
//!
//! Radius grows evenly with decibels, from a stated least at the centre to a whole step above the greatest value. What is under the least stands at the centre.

use super::ChartFault;
use super::axis::{LETTER, Plot};
use super::fault::sound;
use super::ground::GRID;
use super::hatch::LOOKS;
use super::lettering::{fixed, short, with_unit};
use super::room::{Caption, over};
use crate::scale::Area;
use crate::svg::{INK, Lettering, PAPER, RUST, line, number, text};
use crate::wrap::{width_of, wrapped};
use quantity::{Dbi, Degrees, Unit};
use std::fmt::Write;

/// Where 0° lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Zero {
    /// At the top: for a look from above, with the nose up the page.
    Top,
    /// At the right: for a look from the side, with the nose to the right.
    Right,
}

/// Which way angles grow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turning {
    /// As the hands of a clock.
    Clockwise,
    /// Against them.
    Anticlockwise,
}

/// A closed curve of gain by angle.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Its name.
    pub name: String,
    /// Its points, round the circle.
    pub points: Vec<(Degrees, Dbi)>,
}

/// A direction with words.
#[derive(Clone, Debug, PartialEq)]
pub struct PolarMark {
    /// Which way.
    pub angle: Degrees,
    /// What lies there.
    pub words: String,
    /// The gain that way, which is marked on the ray.
    pub gain: Option<Dbi>,
}

/// A cut through a pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct PolarChart {
    /// What stands about it.
    pub caption: Caption,
    /// The curves.
    pub cuts: Vec<Cut>,
    /// Directions with words.
    pub marks: Vec<PolarMark>,
    /// The least gain that is drawn, at the centre.
    pub least: Dbi,
    /// Where 0° lies.
    pub zero: Zero,
    /// Which way angles grow.
    pub turning: Turning,
    /// What lies at 0°, 90°, 180° and 270°: `nose`, `left`, `tail`, `right`.
    pub quarters: [String; 4],
}

/// How far apart spokes stand.
const SPOKES: usize = 12;
/// The most rings.
const RINGS: f64 = 7.0;
const KEY_ROW: f64 = 4.4;

impl PolarChart {
    fn check(&self) -> Result<(), ChartFault> {
        let what = format!("cuts of {:?}", self.caption.title);
        if self.cuts.is_empty() {
            return Err(ChartFault::TooFew { what, found: 0, least: 1 });
        }
        if self.cuts.len() > LOOKS.len() {
            return Err(ChartFault::TooMany { what, found: self.cuts.len(), most: LOOKS.len() });
        }
        sound(self.least.get(), "the least gain")?;
        for cut in &self.cuts {
            let what = format!("the cut {:?}", cut.name);
            if cut.points.len() < 3 {
                return Err(ChartFault::TooFew { what, found: cut.points.len(), least: 3 });
            }
            for (angle, gain) in &cut.points {
                sound(angle.get(), &format!("an angle of {what}"))?;
                // A true null is minus infinity; it stands at the centre.
                if gain.get() != f64::NEG_INFINITY {
                    sound(gain.get(), &what)?;
                }
            }
        }
        for mark in &self.marks {
            sound(mark.angle.get(), &format!("the angle of the mark {:?}", mark.words))?;
            if let Some(gain) = mark.gain {
                sound(gain.get(), &format!("the mark {:?}", mark.words))?;
            }
        }
        Ok(())
    }

    /// The gain of the outermost ring, and the step of rings.
    fn rings(&self) -> (f64, f64) {
        let gains = self.cuts.iter().flat_map(|cut| &cut.points).map(|(_, gain)| gain.get());
        let greatest = gains.fold(self.least.get() + 1.0, f64::max);
        let step = super::ticks::round_step((greatest - self.least.get()) / RINGS);
        let outer = self.least.get() + ((greatest - self.least.get()) / step - 1e-9).ceil() * step;
        (outer, step)
    }

    fn greatest(cut: &Cut) -> Option<(Degrees, Dbi)> {
        cut.points.iter().copied().max_by(|a, b| a.1.get().total_cmp(&b.1.get()))
    }

    pub(super) fn told(&self) -> Result<String, ChartFault> {
        self.check()?;
        let mut words = String::from("Gain by direction.");
        for cut in &self.cuts {
            let least = cut.points.iter().min_by(|a, b| a.1.get().total_cmp(&b.1.get()));
            if let (Some((to, most)), Some((at, least))) = (Self::greatest(cut), least) {
                let _ = write!(
                    words,
                    " {}: greatest {} at {}, least {} at {}.",
                    cut.name,
                    gain_words(most),
                    angle_words(to),
                    gain_words(*least),
                    angle_words(*at)
                );
            }
        }
        for mark in &self.marks {
            let gain = mark.gain.map_or(String::new(), |gain| format!(", {}", gain_words(gain)));
            let _ = write!(words, " {}: {}{gain}.", mark.words, angle_words(mark.angle));
        }
        Ok(words)
    }

    pub(super) fn height(&self, width: f64) -> f64 {
        let round = width.min(130.0);
        if width > 190.0 { round } else { round + KEY_ROW * self.key(width).len() as f64 + 3.0 }
    }

    /// The words of the key, in rows: curve or mark, and the row.
    fn key(&self, width: f64) -> Vec<(Option<usize>, String)> {
        let mut rows = Vec::new();
        let mut put = |looks: usize, words: &str| {
            for (n, row) in wrapped(words, width - 12.0, LETTER, 3).into_iter().enumerate() {
                rows.push(((n == 0).then_some(looks), row));
            }
        };
        for (n, cut) in self.cuts.iter().enumerate() {
            put(n, &cut.name);
        }
        for (n, mark) in self.marks.iter().enumerate() {
            let gain = mark.gain.map_or(String::new(), |gain| format!(", {}", gain_words(gain)));
            put(self.cuts.len() + n, &format!("{}: {}{gain}", mark.words, angle_words(mark.angle)));
        }
        rows
    }

    fn turned(&self, angle: f64) -> [f64; 2] {
        let angle = match self.turning {
            Turning::Clockwise => angle,
            Turning::Anticlockwise => -angle,
        };
        let (sin, cos) = angle.to_radians().sin_cos();
        match self.zero {
            Zero::Top => [sin, -cos],
            Zero::Right => [cos, sin],
        }
    }

    pub(super) fn draw(&self, out: &mut String, area: Area) -> Result<(), ChartFault> {
        self.check()?;
        let aside = area.width > 190.0;
        let room = if aside { area.width * 0.36 } else { area.width };
        let key = self.key(room);
        let below = if aside { 0.0 } else { KEY_ROW * key.len() as f64 + 3.0 };
        let (wide, high) = (if aside { area.width - room } else { area.width }, area.height - below);
        // Words that stand beside the dial take of its width; those over and under it do not.
        let beside = if self.zero == Zero::Top { [1, 3] } else { [0, 2] };
        let side = beside.into_iter().map(|n: usize| width_of(&self.quarters[n], LETTER));
        let side = side.fold(8.0, f64::max).min(wide * 0.2);
        let radius = (wide / 2.0 - side - 3.0).min(high / 2.0 - 6.5).max(12.0);
        let dial = Round {
            chart: self,
            centre: [area.left + wide / 2.0, area.top + high / 2.0],
            radius,
            rings: self.rings(),
        };
        dial.ground(out);
        for (cut, look) in self.cuts.iter().zip(LOOKS) {
            let mut ring: Vec<[f64; 2]> = cut.points.iter().map(|(a, g)| dial.at(a.get(), g.get())).collect();
            ring.push(ring[0]);
            Plot::polyline(out, &ring, look.ink, look.width, look.dashes);
        }
        dial.numbers(out);
        for (n, mark) in self.marks.iter().enumerate() {
            dial.mark(out, n, mark);
        }
        let (left, mut y) = if aside {
            (area.left + wide + 2.0, area.top + high / 2.0 - KEY_ROW * key.len() as f64 / 2.0)
        } else {
            (area.left + 2.0, area.top + high + 4.0)
        };
        for (looks, words) in key {
            match looks {
                Some(n) if n < self.cuts.len() => {
                    let look = LOOKS[n];
                    Plot::polyline(
                        out,
                        &[[left, y - 1.1], [left + 7.5, y - 1.1]],
                        look.ink,
                        look.width,
                        look.dashes,
                    );
                }
                Some(n) => letter(out, [left + 3.7, y - 1.1], n - self.cuts.len()),
                None => {}
            }
            text(out, [left + 9.5, y], Lettering::plain(LETTER), &words);
            y += KEY_ROW;
        }
        Ok(())
    }
}

fn gain_words(gain: Dbi) -> String {
    if gain.get() == f64::NEG_INFINITY {
        "none".to_owned()
    } else {
        with_unit(&fixed(gain.get(), 1), Unit::Dbi)
    }
}

fn angle_words(angle: Degrees) -> String {
    // A whole turn is none.
    let tenths = (angle.get() * 10.0).round().rem_euclid(3600.0);
    with_unit(&short(tenths / 10.0), Unit::Degrees)
}

/// The letter of a mark, ringed.
fn letter(out: &mut String, at: [f64; 2], n: usize) {
    let _ = writeln!(
        out,
        r#"<circle cx="{}" cy="{}" r="2.2" fill="{PAPER}" stroke="{RUST}" stroke-width="0.3"/>"#,
        number(at[0]),
        number(at[1])
    );
    let name = char::from(b'A' + (n % 26) as u8).to_string();
    text(out, [at[0], at[1] + 1.1], Lettering::plain(3.2).centred().bold().ink(RUST), &name);
}

/// How the round lies on the paper.
struct Round<'a> {
    chart: &'a PolarChart,
    centre: [f64; 2],
    radius: f64,
    rings: (f64, f64),
}

impl Round<'_> {
    fn share(&self, gain: f64) -> f64 {
        let least = self.chart.least.get();
        ((gain - least) / (self.rings.0 - least)).clamp(0.0, 1.0)
    }

    fn at(&self, angle: f64, gain: f64) -> [f64; 2] {
        self.out(angle, self.share(gain) * self.radius)
    }

    fn out(&self, angle: f64, radius: f64) -> [f64; 2] {
        let [x, y] = self.chart.turned(angle);
        [self.centre[0] + x * radius, self.centre[1] + y * radius]
    }

    fn gains(&self) -> impl Iterator<Item = f64> {
        let (least, (outer, step)) = (self.chart.least.get(), self.rings);
        let count = ((outer - least) / step).round() as usize;
        (1..=count).map(move |n| least + n as f64 * step)
    }

    fn ground(&self, out: &mut String) {
        let [x, y] = self.centre.map(number);
        for gain in self.gains() {
            let outer = gain > self.rings.0 - self.rings.1 / 2.0;
            let (ink, width) = if outer { (INK, 0.3) } else { (GRID, 0.25) };
            let r = number(self.share(gain) * self.radius);
            let _ = writeln!(
                out,
                r#"<circle cx="{x}" cy="{y}" r="{r}" fill="none" stroke="{ink}" stroke-width="{width}"/>"#
            );
        }
        for n in 0..SPOKES {
            let angle = n as f64 * 360.0 / SPOKES as f64;
            line(out, self.centre, self.out(angle, self.radius), GRID, 0.2);
        }
        for (n, words) in self.chart.quarters.iter().enumerate() {
            let angle = n as f64 * 90.0;
            let [x, y] = self.chart.turned(angle);
            let letters = Lettering::plain(LETTER).bold();
            let letters = match x {
                x if x > 0.5 => letters,
                x if x < -0.5 => letters.ending(),
                _ => letters.centred(),
            };
            let at = [
                self.centre[0] + x * (self.radius + 2.0),
                self.centre[1]
                    + y * (self.radius + 2.0)
                    + if y > 0.5 {
                        2.6
                    } else if y < -0.5 {
                        -0.4
                    } else {
                        1.2
                    },
            ];
            text(out, at, letters, words);
        }
    }

    /// The numbers of the rings, along a ray where no spoke lies.
    fn numbers(&self, out: &mut String) {
        let along = 360.0 * 1.5 / SPOKES as f64;
        for gain in self.gains() {
            let at = self.at(along, gain);
            let outer = gain > self.rings.0 - self.rings.1 / 2.0;
            let words = if outer { with_unit(&short(gain), Unit::Dbi) } else { short(gain) };
            over(out, [at[0], at[1] + 1.1], Lettering::plain(3.2).centred(), &words);
        }
    }

    fn mark(&self, out: &mut String, n: usize, mark: &PolarMark) {
        let angle = mark.angle.get();
        line(out, self.centre, self.out(angle, self.radius), RUST, 0.4);
        if let Some(gain) = mark.gain {
            let [x, y] = self.at(angle, gain.get()).map(number);
            let _ = writeln!(
                out,
                r#"<circle cx="{x}" cy="{y}" r="1.1" fill="{PAPER}" stroke="{RUST}" stroke-width="0.5"/>"#
            );
        }
        // On the ray where the gain is not, clear of the words about the round.
        let gain = mark.gain.map_or(0.0, |gain| self.share(gain.get()));
        let share = if gain > 0.55 { 0.4 } else { 0.72 };
        letter(out, self.out(angle, self.radius * share), n);
    }
}
