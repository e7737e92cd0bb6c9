//! Answers the checks of `conformance/doubt/`: how doubt is carried, and how likely a limit is reached.
//!
//! Each kind hands the given numbers to `quantity` and reads the answer off it. Facts here have no name
//! and no unit of their own: `half_widths` are rectangular doubts, `normals` are standard uncertainties.
//! Trials are seeded, so a row answers the same each time.

use quantity::{
    Basis, Distribution, Doubt, DoubtKind, FactIndex, FactLedger, FactPath, LedgerEntry, Linear, Shape, Unit,
};
use toml_edit::Table;

use crate::given::{Answer, Given, named};

const SEED: u64 = 7;
/// Trials where a row is answered by trials.
const TRIALS: usize = 400_000;

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Table) -> Result<Answer, String> {
    let given = Given::of(given);
    match kind {
        "standard_uncertainty" => standard_uncertainty(&given),
        "budget" => budget(&given),
        "correlated_uncertainty" => correlated_uncertainty(&given),
        "impedance" => impedance(&given),
        "coverage_factor" => {
            let factor = quantity::coverage_factor(given.number("level")?, given.number("degrees")?);
            Ok(named([("factor", factor.ok_or("no such factor")?)]))
        }
        "normal_below" => Ok(named([("share", quantity::normal_below(given.number("z")?))])),
        "additive_model" => additive_model(&given),
        "mass_calibration" => mass_calibration(&given),
        "comparison_loss" => comparison_loss(&given),
        "chance" => chance(&given),
        "all_margins_hold" => all_margins_hold(&given),
        "measure_next" => measure_next(&given),
        _ => Err(format!("unknown kind `{kind}`")),
    }
}

impl Given<'_> {
    /// Facts with value 0: first those with `half_widths`, then those with `normals`.
    fn ledger(&self) -> Result<FactLedger, String> {
        let flat = self.list("half_widths")?.into_iter().map(Doubt::even);
        let bell = self.list("normals")?.into_iter().map(normal);
        Ok(ledger_of(flat.chain(bell).map(|doubt| (0.0, doubt))))
    }

    /// Results leaning on all facts: `values`, and `slopes` row after row.
    fn margins(&self, ledger: &FactLedger) -> Result<Vec<Linear>, String> {
        let (values, slopes) = (self.list("values")?, self.list("slopes")?);
        let facts = ledger.entries().len();
        if slopes.len() != values.len() * facts || facts == 0 {
            return Err(format!("`slopes` must be {} numbers", values.len() * facts));
        }
        let linear = |(&value, row): (&f64, &[f64])| Linear {
            value,
            slopes: row.iter().enumerate().map(|(i, &slope)| (FactIndex(i as u32), slope)).collect(),
        };
        Ok(values.iter().zip(slopes.chunks(facts)).map(linear).collect())
    }
}

fn normal(u: f64) -> Doubt {
    Doubt { minus: 2.0 * u, plus: 2.0 * u, shape: Shape::Normal }
}

fn ledger_of(facts: impl Iterator<Item = (f64, Doubt)>) -> FactLedger {
    let mut ledger = FactLedger::default();
    for (i, (value, doubt)) in facts.enumerate() {
        ledger.enter(LedgerEntry {
            path: FactPath(format!("fact[{i}]")),
            label: format!("fact {i}"),
            value,
            unit: Unit::Millimetres,
            doubt,
            basis: Basis::DataSheet,
            kind: DoubtKind::OuterSize,
        });
    }
    ledger
}

fn standard_uncertainty(given: &Given) -> Result<Answer, String> {
    let (minus, plus) = (given.number("minus")?, given.number("plus")?);
    let u = Doubt { minus, plus, shape: Shape::Rectangular }.standard_uncertainty();
    Ok(named([("uncertainty", u), ("variance", u * u)]))
}

/// Combined uncertainty of independent inputs, its degrees of freedom, and what it expands to.
fn budget(given: &Given) -> Result<Answer, String> {
    let (slopes, uncertainties) = (given.list("sensitivities")?, given.list("uncertainties")?);
    let degrees = given.list("degrees")?;
    let ledger = ledger_of(uncertainties.iter().map(|&u| (0.0, normal(u))));
    let slopes = slopes.into_iter().enumerate().map(|(i, c)| (FactIndex(i as u32), c)).collect();
    let result = Linear { value: 0.0, slopes };
    let combined = quantity::standard_uncertainty(&result, &ledger);
    let contributions: Vec<(f64, f64)> = result
        .slopes
        .iter()
        .zip(&uncertainties)
        .zip(&degrees)
        .map(|(((_, c), u), &degrees)| ((c * u).abs(), degrees))
        .collect();
    let effective = quantity::effective_degrees_of_freedom(&contributions);
    let mut answer = named([("combined", combined), ("degrees", effective)]);
    if let Ok(level) = given.number("level") {
        let expanded = quantity::expanded_uncertainty(combined, level, effective);
        answer.insert("expanded".to_owned(), expanded.ok_or("no such expanded uncertainty")?);
    }
    Ok(answer)
}

/// `correlations` are r(1,2), r(1,3), r(2,3).
fn correlated_uncertainty(given: &Given) -> Result<Answer, String> {
    let inputs: Vec<(f64, f64)> =
        given.list("sensitivities")?.into_iter().zip(given.list("uncertainties")?).collect();
    let [r12, r13, r23] = given.list("correlations")?[..] else {
        return Err("`correlations` must be r(1,2), r(1,3), r(2,3)".to_owned());
    };
    let correlation = |i, j| match (i, j) {
        (0, 1) => r12,
        (0, 2) => r13,
        _ => r23,
    };
    Ok(named([("uncertainty", quantity::correlated_uncertainty(&inputs, correlation))]))
}

/// Resistance, reactance and impedance from sets of voltage, current and phase read together. The means
/// depend on one another; each is written as a sum of independent facts (the triangular root of their
/// covariance), and the three results as functions of the means by the chain rule.
fn impedance(given: &Given) -> Result<Answer, String> {
    let read = [given.list("volts")?, given.list("milliamperes")?, given.list("radians")?];
    let count = read[0].len();
    if count < 2 || read.iter().any(|list| list.len() != count) {
        return Err("the three lists of readings must be equally long, two readings or more".to_owned());
    }
    let mean = read.each_ref().map(|list| list.iter().sum::<f64>() / count as f64);
    let covariance = |a: usize, b: usize| {
        let products = read[a].iter().zip(&read[b]).map(|(x, y)| (x - mean[a]) * (y - mean[b]));
        products.sum::<f64>() / (count * (count - 1)) as f64
    };
    let mut root = [[0.0f64; 3]; 3];
    for i in 0..3 {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| root[i][k] * root[j][k]).sum();
            let left = covariance(i, j) - known;
            root[i][j] = if i == j { left.max(0.0).sqrt() } else { left / root[j][j] };
        }
    }
    let ledger = ledger_of((0..3).map(|_| (0.0, normal(1.0))));
    let input = |i: usize| Linear {
        value: mean[i],
        slopes: (0..=i).map(|k| (FactIndex(k as u32), root[i][k])).collect(),
    };
    let (v, i, phase) = (input(0), &input(1) * 1e-3, input(2));
    let size = v.value / i.value;
    let (sin, cos) = phase.value.sin_cos();
    let z = Linear::chained(size, &[(1.0 / i.value, &v), (-size / i.value, &i)]);
    let r = Linear::chained(size * cos, &[(cos, &z), (-size * sin, &phase)]);
    let x = Linear::chained(size * sin, &[(sin, &z), (size * cos, &phase)]);
    let u = |result: &Linear| quantity::standard_uncertainty(result, &ledger);
    let together = |a, b| quantity::correlation(a, b, &ledger).ok_or("a result without doubt");
    Ok(named([
        ("r", r.value),
        ("x", x.value),
        ("z", z.value),
        ("u_r", u(&r)),
        ("u_x", u(&x)),
        ("u_z", u(&z)),
        ("r_x", together(&r, &x)?),
        ("r_z", together(&r, &z)?),
        ("x_z", together(&x, &z)?),
    ]))
}

fn trials(result: impl Fn(&[f64]) -> f64, ledger: &FactLedger) -> Result<Distribution, String> {
    let found = quantity::propagate_distributions(result, ledger, TRIALS, SEED);
    found.ok_or("a trial gave no finite number".to_owned())
}

fn summary(found: &Distribution, (low, high): (f64, f64)) -> Answer {
    named([
        ("mean", found.mean()),
        ("uncertainty", found.standard_uncertainty()),
        ("low", low),
        ("high", high),
    ])
}

fn additive_model(given: &Given) -> Result<Answer, String> {
    let found = trials(|x| x.iter().sum(), &given.ledger()?)?;
    Ok(summary(&found, found.symmetric_interval(given.number("level")?)))
}

/// δm = (m + δm_c)·(1 + (ρa − ρ0)·(1/ρw − 1/ρr)) − nominal, masses in mg, densities in kg/m³.
fn mass_calibration(given: &Given) -> Result<Answer, String> {
    let fact = |key: &str, doubt: fn(f64) -> Doubt| -> Result<(f64, Doubt), String> {
        Ok((given.number(key)?, doubt(given.number(&format!("{key}_doubt"))?)))
    };
    let facts = [
        fact("reference_mg", normal)?,
        fact("balance_mg", normal)?,
        fact("air", Doubt::even)?,
        fact("weight", Doubt::even)?,
        fact("reference", Doubt::even)?,
    ];
    let (nominal, plain_air) = (given.number("nominal_mg")?, given.number("conventional_air")?);
    let deviation =
        |x: &[f64]| (x[0] + x[1]) * (1.0 + (x[2] - plain_air) * (1.0 / x[3] - 1.0 / x[4])) - nominal;
    let found = trials(deviation, &ledger_of(facts.into_iter()))?;
    Ok(summary(&found, found.shortest_interval(given.number("level")?)))
}

/// The loss x₁² + x₂² of a power comparison, the two being correlated: x₂ leans on x₁'s draw.
fn comparison_loss(given: &Given) -> Result<Answer, String> {
    let (x1, x2, u) = (given.number("x1")?, given.number("x2")?, given.number("uncertainty")?);
    let together = given.number("correlation")?;
    let apart = (1.0 - together * together).sqrt();
    let ledger = ledger_of([normal(1.0); 2].into_iter().map(|doubt| (0.0, doubt)));
    let loss = |z: &[f64]| (x1 + u * z[0]).powi(2) + (x2 + u * (together * z[0] + apart * z[1])).powi(2);
    let found = trials(loss, &ledger)?;
    Ok(summary(&found, found.shortest_interval(given.number("level")?)))
}

/// The chance that `value` and all facts together are at least nought.
fn chance(given: &Given) -> Result<Answer, String> {
    let ledger = given.ledger()?;
    let slopes = (0..ledger.entries().len()).map(|i| (FactIndex(i as u32), 1.0)).collect();
    let result = Linear { value: given.number("value")?, slopes };
    Ok(named([("chance", quantity::chance_at_least(&result, &ledger, 0.0).get())]))
}

fn all_margins_hold(given: &Given) -> Result<Answer, String> {
    let ledger = given.ledger()?;
    let margins = given.margins(&ledger)?;
    let chance = quantity::chance_all_at_least(&margins, &ledger, 0.0, TRIALS, SEED);
    let least = quantity::least_of(&margins, &ledger, TRIALS, SEED).ok_or("no least margin")?;
    let (place, share) = least.decided_by[0];
    Ok(named([
        ("chance", chance.get()),
        ("mean", least.distribution.mean()),
        ("uncertainty", least.distribution.standard_uncertainty()),
        ("median", least.distribution.quantile(0.5)),
        ("most_often", place as f64),
        ("share", share),
    ]))
}

/// Which fact to measure first; calipers leave ± 0.1 of these.
fn measure_next(given: &Given) -> Result<Answer, String> {
    let ledger = given.ledger()?;
    let next = quantity::measure_next(&given.margins(&ledger)?, &ledger).ok_or("nothing to measure")?;
    Ok(named([
        ("fact", f64::from(next.fact.0)),
        ("now", next.certainty_now.get()),
        ("after", next.certainty_after.get()),
    ]))
}
