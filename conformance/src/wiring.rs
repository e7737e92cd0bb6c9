//! Answers the checks of `conformance/wiring/`.
//!
//! Kinds and their answers:
//! - `allotment`: ports as lines (1 send, 2 receive, 3 both), inverts, stands, highest rate, and wants as lines, idles low, level, rate
//!   (0 for none): whether all are `met`, at which `cost`, else the size of the `core` and how many can be had at `most`;
//! - `limits`: the slowest and fastest sender held; `divisor`: the whole divisor of a clock and how far off its rate is.

use ::wiring::{Allotment, Lines, Port, Want, allot};
use quantity::{Baud, Hertz, Measure, Volts};

use crate::given::{Answer, Given, named, told};

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &toml_edit::Table) -> Result<Answer, String> {
    let given = &Given::of(given);
    match kind {
        "allotment" => allotment(given),
        "limits" => {
            let (slow, fast) = ::wiring::rate_limits(given.count("data_bits")?);
            Ok(named([("slow", slow), ("fast", fast)]))
        }
        "divisor" => {
            let (clock, rate) = (Hertz::of(given.number("clock_hz")?), Baud::new(given.number("rate")?));
            let (divisor, off) = ::wiring::divided_rate(clock, rate).ok_or("neither may be nought")?;
            Ok(named([("divisor", f64::from(divisor)), ("off_percent", 100.0 * off)]))
        }
        other => Err(format!("unknown kind `{other}`")),
    }
}

fn lines(of: f64) -> Lines {
    Lines { send: of == 1.0 || of == 3.0, receive: of >= 2.0 }
}

fn allotment(given: &Given) -> Result<Answer, String> {
    let port = |[of, inverts, stands, fastest]: [f64; 4]| Port {
        lines: lines(of),
        inverts: inverts > 0.5,
        level: Some(Volts::new(3.3)),
        stands: Some(Volts::new(stands)),
        rate_max: Some(Baud::new(fastest)),
    };
    let want = |[of, inverted, level, rate]: [f64; 4]| Want {
        lines: lines(of),
        inverted: inverted > 0.5,
        level: Some(Volts::new(level)),
        stands: Some(Volts::new(5.5)),
        rate: (rate > 0.0).then(|| Baud::new(rate)),
        kept: false,
    };
    let ports: Vec<Port> = given.rows("ports")?.into_iter().map(port).collect();
    let wants: Vec<Want> = given.rows("wants")?.into_iter().map(want).collect();
    Ok(match allot(&ports, &wants).map_err(told)? {
        Allotment::All { cost, .. } => named([("met", 1.0), ("cost", f64::from(cost))]),
        Allotment::Short { core, most } => {
            named([("met", 0.0), ("core", core.len() as f64), ("most", most.len() as f64)])
        }
    })
}
