//! Cases, locks and the round trip of facts as text.
#![allow(clippy::unwrap_used)]

use super::*;
use proptest::prelude::*;

fn read(text: &str) -> (f64, Option<(f64, f64, Shape)>, Basis) {
    let fact = read_fact(text, Unit::Millimetres).unwrap();
    assert_eq!(fact.quantity.unit, Unit::Millimetres);
    (fact.quantity.value, fact.stated.map(|d| (d.minus, d.plus, d.shape)), fact.basis)
}

fn refused(text: &str, wanted: Unit, message: &str) {
    assert_eq!(read_fact(text, wanted).unwrap_err().to_string(), message);
}

use Shape::{Normal, Rectangular};

#[test]
fn every_way_to_write_a_tolerance() {
    let even = Some((0.1, 0.1, Rectangular));
    for text in [
        "29.2 ± 0.1 mm, measured",
        "29.2 mm ± 0.1, measured",
        "29.2mm±0.1mm measured",
        "29.2 +- 0.1 mm, measured",
        "29.2 mm +/- 0.1 , measured",
        "29.2 mm +0.1/-0.1, measured",
        "  29.2\u{a0}mm, ± 0.1, measured ",
        "29.2 mm ± 100 µm, measured",
        "29.2 mm ± 100 \u{3bc}m, measured",
    ] {
        assert_eq!(read(text), (29.2, even, Basis::Measured), "{text}");
    }
    let uneven = Some((0.1, 0.2, Rectangular));
    for text in ["29.2 mm +0.2/-0.1", "29.2 +0.2/-0.1 mm", "29.2 mm -0.1/+0.2", "29.2 mm +0.2 -0.1"] {
        assert_eq!(read(text), (29.2, uneven, Basis::Typical), "{text}");
    }
    assert_eq!(read("20 mm ± 5 %, data sheet"), (20.0, Some((1.0, 1.0, Rectangular)), Basis::DataSheet));
    assert_eq!(read("20 ± 5 % mm"), (20.0, Some((1.0, 1.0, Rectangular)), Basis::Typical));
    assert_eq!(read("-20 mm +5/-10 %"), (-20.0, Some((2.0, 1.0, Rectangular)), Basis::Typical));
    assert_eq!(read("20 mm +5 %/-0.1"), (20.0, Some((0.1, 1.0, Rectangular)), Basis::Typical));
    assert_eq!(read("20 mm ± 0.2 normal, measured"), (20.0, Some((0.2, 0.2, Normal)), Basis::Measured));
    assert_eq!(read("20 mm ± 0"), (20.0, Some((0.0, 0.0, Rectangular)), Basis::Typical));
}

#[test]
fn a_fact_without_basis_is_typical_and_without_tolerance_has_none_stated() {
    assert_eq!(read("29.2 mm"), (29.2, None, Basis::Typical));
    assert_eq!(read("29.2 mm data  sheet"), (29.2, None, Basis::DataSheet));
}

#[test]
fn other_spellings_are_converted_with_their_tolerance() {
    assert_eq!(read("1.1 in, data sheet"), (27.94, None, Basis::DataSheet));
    assert_eq!(read("1.1 ± 0.1 in").1, Some((2.54, 2.54, Rectangular)));
    assert_eq!(read("1.1 in ± 0.1 mm").1, Some((0.1, 0.1, Rectangular)));
    assert_eq!(read("0.0292 m").0, 29.2);
    let read_in = |text, unit| read_fact(text, unit).unwrap().quantity.value;
    assert_eq!(read_in("5.8 GHz", Unit::Megahertz), 5800.0);
    assert_eq!(read_in("30°", Unit::Degrees), 30.0);
    assert_eq!(read_in("60 fps", Unit::Hertz), 60.0);
    assert_eq!(read_in("1.6 dBic, measured", Unit::Dbi), 1.6);
    assert_eq!(read_in("0.01 \u{2126}", Unit::Milliohms), 10.0);
    assert_eq!(read_in("4", Unit::Count), 4.0);
    assert_eq!(read_in("-1e-3 ± 0.1, typical", Unit::Ratio), -0.001);
}

#[test]
fn a_share_in_a_field_of_shares_counts_in_points() {
    let fact = read_fact("50 % ± 5 %, measured", Unit::Percent).unwrap();
    assert_eq!(fact.stated, Some(Doubt::even(5.0)));
    assert_eq!(read_fact("50 ± 5 %, measured", Unit::Percent), Ok(fact));
}

#[test]
fn what_cannot_be_read_is_told_with_its_mend() {
    let mm = Unit::Millimetres;
    refused(" ", mm, "nothing stands here; write a number with its unit such as 29.2 mm, measured");
    refused("wide, measured", mm, r#""wide" is no number; begin with digits, such as 29.2"#);
    refused("NaN mm", mm, "NaN is beyond what a number here can hold; write a finite number");
    refused("1e999 mm", mm, "1e999 is beyond what a number here can hold; write a finite number");
    refused("1e306 m", mm, "1e306 is beyond what a number here can hold; write a finite number");
    refused("29,2 mm", mm, r#""29,2" has a comma; decimals take a point: write 29.2"#);
    refused("29.2 mm ± 0,1", mm, r#""0,1" has a comma; decimals take a point: write 0.1"#);
    refused(
        "1,200 mm",
        mm,
        r#""1,200" has a comma; decimals take a point: write 1.200, or 1200 if thousands were meant"#,
    );
    refused("29.2 g", mm, "unit g must be mm, cm, m, in, um or µm; check which value this is");
    refused("4 mm", Unit::Count, "unit mm where a plain number must stand; leave the unit out");
    refused("29.2, measured", mm, "29.2 has no unit; write 29.2 mm");
    refused("29.2 ± 5 %", mm, "29.2 has no unit; write 29.2 mm");
    refused("5", Unit::Seconds, "5 has no unit; write 5 min, or 5 s if seconds are meant");
    refused("29.2 mm, mesured", mm, r#""mesured" is not known here; did you mean "measured"?"#);
    refused("29.2 MM", mm, r#""MM" is not known here; did you mean "mm"?"#);
    refused("29.2 mm datasheet", mm, r#""datasheet" is not known here; did you mean "data sheet"?"#);
    refused(
        "29.2 mm banana",
        mm,
        r#""banana" is not known here; after the value come a tolerance such as ± 0.1 and measured, data sheet or typical"#,
    );
    refused(
        "29.2 mm ± -0.1",
        mm,
        "tolerance -0.1 must not be below 0; drop the sign, or write +0.2/-0.1 for uneven limits",
    );
    refused("29.2 mm +0.2", mm, "the tolerance has no - side; write both, such as +0.2/-0.1, or -0 for none");
    refused("0 mm ± 5 %", mm, "a share of 0 leaves no tolerance at all; give the tolerance as 0.1 mm");
    refused("29.2 mm ±", mm, "no number stands after the sign; write one, such as ± 0.1");
    refused(&"9".repeat(500), mm, "500 characters must be at most 200; keep to value, tolerance and basis");
}

fn any_fact() -> impl Strategy<Value = Fact> {
    let number = || any::<f64>().prop_filter("finite", |n| n.is_finite());
    let half = || prop_oneof![0.0..10.0f64, number().prop_map(f64::abs)];
    let shape = prop_oneof![Just(Rectangular), Just(Normal)];
    let doubt = (half(), half(), any::<bool>(), shape).prop_map(|(minus, plus, even, shape)| Doubt {
        minus: if even { plus } else { minus },
        plus,
        shape,
    });
    let value = prop_oneof![-1000.0..1000.0f64, number()];
    let unit = prop::sample::select(Unit::ALL);
    let basis = prop::sample::select(&Basis::ALL[..]);
    (value, unit, prop::option::of(doubt), basis).prop_map(|(value, unit, stated, basis)| Fact {
        quantity: Quantity { value, unit },
        stated,
        basis,
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn what_is_written_reads_back_the_same(fact in any_fact()) {
        prop_assert_eq!(read_fact(&write_fact(&fact), fact.quantity.unit), Ok(fact));
    }

    #[test]
    fn no_text_makes_the_reader_stumble(
        text in r"[-+±/0-9.,eE% a-zµΩ°]{0,40}|.{0,60}",
        unit in prop::sample::select(Unit::ALL),
    ) {
        match read_fact(&text, unit) {
            Ok(fact) => {
                prop_assert!(fact.quantity.value.is_finite());
                prop_assert!(fact.stated.is_none_or(|d| d.minus >= 0.0 && d.plus >= 0.0));
            }
            Err(fault) => prop_assert!(!fault.to_string().is_empty()),
        }
    }
}
