//! Results that lean on other results through any function, and values taken by custom.
//!
//! The slope on each input is a difference over a small step to both sides. A result that is no number is none.

use crate::Proof;
use crate::view_limits::Custom;
use craft::Reading;
use craft::schema::Field;
use quantity::{Basis, Doubt, DoubtKind, Linear, Measure};

/// By how much of itself an input is changed to see what follows.
const STEP: f64 = 1e-5;

/// What a function makes of results, with the facts they lean on.
pub(crate) fn leaning<const N: usize>(
    inputs: [&Linear; N],
    of: impl Fn([f64; N]) -> Option<f64>,
) -> Option<Linear> {
    let of = |values: [f64; N]| of(values).filter(|value| value.is_finite());
    let values = inputs.map(|input| input.value);
    let value = of(values)?;
    let mut parts = Vec::new();
    for (n, input) in inputs.iter().enumerate().filter(|(_, input)| !input.slopes.is_empty()) {
        let step = STEP * values[n].abs().max(1e-6);
        let at = |off: f64| {
            let mut moved = values;
            moved[n] += off;
            of(moved)
        };
        // At the edge of what can be, one side must do.
        let slope = match (at(step), at(-step)) {
            (Some(up), Some(down)) => (up - down) / (2.0 * step),
            (Some(up), None) => (up - value) / step,
            (None, Some(down)) => (value - down) / step,
            (None, None) => 0.0,
        };
        parts.push((slope, *input));
    }
    Some(Linear::chained(value, &parts))
}

/// What is said of the craft, or else what custom takes, with its doubt.
pub(crate) fn said_or_custom<M: Measure>(proof: &Proof, field: &Field<M>, custom: &Custom<M>) -> Linear {
    let item = proof.craft.item();
    let reading =
        item.read(field).unwrap_or_else(|missing| by_custom(missing.path.0, field.def.label, custom));
    proof.lean(&reading)
}

/// What custom takes, as a fact.
pub(crate) fn by_custom<M: Measure>(path: String, label: &str, custom: &Custom<M>) -> Reading<M> {
    Reading {
        value: custom.value,
        doubt: Doubt::even(custom.within.raw()),
        kind: DoubtKind::Other,
        basis: Basis::Typical,
        path: quantity::FactPath(path),
        label: format!("{label} (by custom: {})", custom.source.place),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::FactIndex;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn slopes_are_those_of_the_function(a in 0.1..50.0f64, b in 0.1..50.0f64) {
            let one = |value: f64, fact: u32| Linear { value, slopes: vec![(FactIndex(fact), 1.0)] };
            let (x, y) = (one(a, 0), one(b, 1));
            let found = leaning([&x, &y], |[x, y]| Some(x * x / y)).map(|f| (f.value, f.slope_on(FactIndex(0)), f.slope_on(FactIndex(1))));
            let (value, by_x, by_y) = found.unwrap_or((f64::NAN, 0.0, 0.0));
            prop_assert!((value - a * a / b).abs() < 1e-12 * value);
            prop_assert!((by_x / (2.0 * a / b) - 1.0).abs() < 1e-6 && (by_y / (-a * a / b / b) - 1.0).abs() < 1e-6);
        }
    }

    #[test]
    fn what_is_no_number_is_none() {
        let x = Linear::exact(-1.0);
        assert_eq!(leaning([&x], |[x]| Some(x.sqrt())), None);
        assert_eq!(leaning([&x], |_| None), None);
    }
}
