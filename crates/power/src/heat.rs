//! How hot does a unit get, how fast, and what cools it?
//!
//! Two masses at most: the board, into which all power goes that is not radiated, and a sink behind a pad. What goes off from each face to the
//! air: `face.rs`. Steady temperatures between two ends, since what goes off grows with the face's temperature; warming up by the fourth-order rule of Runge and
//! Kutta in steps of a fraction of the time constant. Left out: chips hotter than their board, hot spots, the sun.

use crate::measures::FREEZING;
use crate::{Air, Face, JoulesPerKelvin, PowerFault, Surroundings, WattsPerKelvin};
use quantity::{Celsius, Grade, MetresPerSecond, Milliwatts, Seconds, Source, Watts};

/// Where the rest comes from.
pub const COOLING_SOURCE: Source = Source {
    title: "Bergman, Lavine, Incropera, DeWitt, Fundamentals of Heat and Mass Transfer, 7th edition",
    place: "section 1.2.3 (radiation), section 5.1 (lumped capacitance, good below a Biot number of 0.1)",
    grade: Grade::Memory,
};

/// Beyond this nothing here holds, and everything has long failed.
const HOTTEST: f64 = 1_500.0;
/// No stronger wind is looked for, in m/s.
const STRONGEST_WIND: f64 = 60.0;

/// A mass with its faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// Heat it takes to warm it: 0.9 J/K a gram of board, aluminium and most else.
    pub capacity: JoulesPerKelvin,
    /// Its faces.
    pub faces: Vec<Face>,
}

/// A unit that makes heat: its board, and perhaps a sink or frame behind a pad.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    board: Body,
    sink: Option<(Body, f64)>,
}

/// Temperatures of board and sink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warmth {
    /// Of the board.
    pub board: Celsius,
    /// Of the sink; the board's own where there is none.
    pub sink: Celsius,
}

/// What of the power drawn becomes heat: all but what the antenna takes.
pub fn heat_of(drawn: Watts, radiated: Milliwatts) -> Result<Watts, PowerFault> {
    let [none, most] = [0.0, 1_000.0].map(Watts::new);
    let drawn = PowerFault::within("power drawn", drawn, none, most, "a load takes")?;
    let out = Watts::new(radiated.get() * 1e-3);
    let mend = "no unit radiates more than it draws: check both";
    Ok(drawn - PowerFault::within("radiated power", out, none, drawn, mend)?)
}

impl Unit {
    /// A board, and perhaps a sink with the conductance of the pad between.
    pub fn new(board: Body, sink: Option<(Body, WattsPerKelvin)>) -> Result<Self, PowerFault> {
        let [least, most] = [0.1, 1e4].map(JoulesPerKelvin::new);
        let mend = "weigh it: 0.9 J/K a gram";
        for body in [Some(&board), sink.as_ref().map(|(body, _)| body)].into_iter().flatten() {
            PowerFault::within("heat capacity", body.capacity, least, most, mend)?;
        }
        let faces = board.faces.len() + sink.as_ref().map_or(0, |(body, _)| body.faces.len());
        if faces == 0 {
            return Err(PowerFault::Short {
                what: "unit",
                has: 0,
                needs: "one face at least that gives off heat",
            });
        }
        let sink = match sink {
            None => None,
            Some((body, pad)) => {
                let [least, most] = [1e-4, 1e3].map(WattsPerKelvin::new);
                let pad = PowerFault::within(
                    "conductance of the pad",
                    pad,
                    least,
                    most,
                    "area times conductivity over thickness",
                )?;
                Some((body, pad.get()))
            }
        };
        Ok(Self { board, sink })
    }

    /// Rates of warming in K/s.
    fn rates(&self, [board, sink]: [f64; 2], heat: f64, about: &Surroundings) -> [f64; 2] {
        let off = |body: &Body, at: f64| body.faces.iter().map(|face| face.watts(at, about)).sum::<f64>();
        let across = self.sink.as_ref().map_or(0.0, |(_, pad)| pad * (board - sink));
        let of_board = (heat - off(&self.board, board) - across) / self.board.capacity.get();
        let of_sink =
            self.sink.as_ref().map_or(0.0, |(body, _)| (across - off(body, sink)) / body.capacity.get());
        [of_board, of_sink]
    }

    /// The sink's temperature at which it gives off what reaches it from a board of this temperature.
    fn sink_at(&self, board: f64, about: &Surroundings) -> f64 {
        if self.sink.is_none() {
            return board;
        }
        falls_through(about.air.kelvin(), board, |sink| self.rates([board, sink], 0.0, about)[1])
    }

    /// The temperatures it comes to at length.
    pub fn steady(&self, heat: Watts, about: Surroundings) -> Result<Warmth, PowerFault> {
        let heat = checked(heat, &about)?;
        let air = about.air.kelvin();
        let board = falls_through(air, HOTTEST, |board| {
            self.rates([board, self.sink_at(board, &about)], heat, &about)[0]
        });
        Ok(told([board, self.sink_at(board, &about)]))
    }

    /// The temperatures after a time.
    pub fn after(
        &self,
        from: Warmth,
        heat: Watts,
        about: Surroundings,
        time: Seconds,
    ) -> Result<Warmth, PowerFault> {
        let heat = checked(heat, &about)?;
        let time = lasting(time)?;
        let mut at = self.begin(from, &about)?;
        let mut done = 0.0;
        while done < time {
            let h = self.stride(at, &about).min(time - done);
            at = self.stepped(at, heat, &about, h);
            done += h;
            if h < 1e-9 {
                break;
            }
        }
        Ok(told(if self.sink.is_some() { at } else { [at[0], at[0]] }))
    }

    /// How long until the board is at its limit; none if it never is. Up to two hours are followed.
    pub fn time_to(
        &self,
        limit: Celsius,
        from: Warmth,
        heat: Watts,
        about: Surroundings,
    ) -> Result<Option<Seconds>, PowerFault> {
        let watts = checked(heat, &about)?;
        let mut at = self.begin(from, &about)?;
        let [cold, hot] = [-40.0, 300.0].map(Celsius::new);
        let limit =
            PowerFault::within("temperature limit", limit, cold, hot, "see the data sheet")?.get() + FREEZING;
        if at[0] >= limit {
            return Ok(Some(Seconds::new(0.0)));
        }
        if self.steady(heat, about)?.board.get() + FREEZING <= limit {
            return Ok(None);
        }
        let mut done = 0.0;
        while done < 7_200.0 {
            let h = self.stride(at, &about);
            let next = self.stepped(at, watts, &about, h);
            if next[0] >= limit {
                // Within a step warmth runs nearly straight.
                let crossing = falls_through(0.0, h, |part| limit - self.stepped(at, watts, &about, part)[0]);
                return Ok(Some(Seconds::new(done + crossing)));
            }
            (at, done) = (next, done + h);
        }
        Ok(None)
    }

    /// What a wait at one power leaves of the time at another: the warmth when armed, and how long the board then stays below its limit
    /// if the air does not begin to move; none if for ever.
    pub fn after_wait(
        &self,
        [waiting, armed]: [Watts; 2],
        wait: Seconds,
        limit: Celsius,
        about: Surroundings,
    ) -> Result<(Warmth, Option<Seconds>), PowerFault> {
        let cold = Warmth { board: about.air.temperature(), sink: about.air.temperature() };
        let then = self.after(cold, waiting, about, wait)?;
        Ok((then, self.time_to(limit, then, armed, about)?))
    }

    /// The least air speed at which the board stays at its limit at length; none if no wind up to 60 m/s does.
    pub fn needed_speed(
        &self,
        limit: Celsius,
        heat: Watts,
        air: Air,
    ) -> Result<Option<MetresPerSecond>, PowerFault> {
        let over = |speed: f64| {
            let about = Surroundings { air, speed: MetresPerSecond::new(speed) };
            self.steady(heat, about).map(|warmth| (warmth.board - limit).get())
        };
        if over(STRONGEST_WIND)? > 0.0 {
            return Ok(None);
        }
        let speed = falls_through(0.0, STRONGEST_WIND, |speed| over(speed).unwrap_or(f64::NAN));
        Ok(Some(MetresPerSecond::new(speed)))
    }

    fn begin(&self, from: Warmth, about: &Surroundings) -> Result<[f64; 2], PowerFault> {
        let [cold, hot] = [-60.0, 400.0].map(Celsius::new);
        for at in [from.board, from.sink] {
            PowerFault::within("temperature at the start", at, cold, hot, "check the unit: °C is meant")?;
        }
        checked(Watts::new(0.0), about)?;
        Ok([from.board.get() + FREEZING, from.sink.get() + FREEZING])
    }

    /// A step well below the shortest time constant there.
    fn stride(&self, at: [f64; 2], about: &Surroundings) -> f64 {
        let slope = |k: usize| {
            let mut near = at;
            near[k] += 0.5;
            let (here, there) = (self.rates(at, 0.0, about)[k], self.rates(near, 0.0, about)[k]);
            ((here - there) / 0.5).abs()
        };
        let fastest = slope(0).max(if self.sink.is_some() { slope(1) } else { 0.0 });
        (0.2 / fastest.max(1e-6)).clamp(1e-3, 30.0)
    }

    fn stepped(&self, at: [f64; 2], heat: f64, about: &Surroundings, h: f64) -> [f64; 2] {
        let on = |rate: [f64; 2], part: f64| [at[0] + rate[0] * part, at[1] + rate[1] * part];
        let one = self.rates(at, heat, about);
        let two = self.rates(on(one, 0.5 * h), heat, about);
        let three = self.rates(on(two, 0.5 * h), heat, about);
        let four = self.rates(on(three, h), heat, about);
        let mean = |k: usize| (one[k] + 2.0 * two[k] + 2.0 * three[k] + four[k]) / 6.0;
        on([mean(0), mean(1)], h)
    }
}

/// Where what falls from above nought to below it is nought; the end that is nearest to that where it does not. Inverse parabolas through the
/// last three points where they may be trusted, else halves (Chandrupatla, Advances in Engineering Software 28 (1997); from memory).
fn falls_through(low: f64, high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let ([mut a, mut b], [mut of_a, mut of_b]) = ([low, high], [of(low), of(high)]);
    if of_a <= 0.0 {
        return low;
    }
    if of_b > 0.0 {
        return high;
    }
    let (mut best, mut part) = (b, 0.5);
    for _ in 0..200 {
        let at = a + part * (b - a);
        let found = of(at);
        let (c, of_c) = if (found > 0.0) == (of_a > 0.0) {
            (a, of_a)
        } else {
            let other = (b, of_b);
            (b, of_b) = (a, of_a);
            other
        };
        (a, of_a) = (at, found);
        best = if of_a.abs() < of_b.abs() { a } else { b };
        let near = NEAR * (high - low) / (b - a).abs();
        if near > 0.5 || found == 0.0 || !near.is_finite() {
            break;
        }
        let (x, y) = ((a - b) / (c - b), (of_a - of_b) / (of_c - of_b));
        part = if y * y < x && (1.0 - y) * (1.0 - y) < 1.0 - x {
            of_a / (of_b - of_a) * of_c / (of_b - of_c)
                + (c - a) / (b - a) * of_a / (of_c - of_a) * of_b / (of_c - of_b)
        } else {
            0.5
        };
        part = part.max(near).min(1.0 - near);
    }
    best
}

/// So near a root is the root, as a share of where it is looked for.
const NEAR: f64 = 1e-12;

fn told([board, sink]: [f64; 2]) -> Warmth {
    Warmth { board: Celsius::new(board - FREEZING), sink: Celsius::new(sink - FREEZING) }
}

fn checked(heat: Watts, about: &Surroundings) -> Result<f64, PowerFault> {
    let [none, fast] = [0.0, 100.0].map(MetresPerSecond::new);
    PowerFault::within("air speed along the face", about.speed, none, fast, "check the unit: m/s is meant")?;
    let [none, most] = [0.0, 1_000.0].map(Watts::new);
    Ok(PowerFault::within("heat", heat, none, most, "what is drawn less what is radiated")?.get())
}

fn lasting(time: Seconds) -> Result<f64, PowerFault> {
    let [none, day] = [0.0, 86_400.0].map(Seconds::new);
    Ok(PowerFault::within("time", time, none, day, "check the unit")?.get())
}
