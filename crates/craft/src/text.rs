//! A value as text, by the schema: what the page, the command line and sheets read and write.
//!
//! ```text
//! quantity   the fact grammar of `quantity`: 29.2 mm ± 0.1, measured
//! count      a whole number: 4
//! flag       yes | no | true | false
//! choice     one of the field's words
//! line       one line, at most 200 letters
//! note       several lines, at most 4000 letters
//! points     x,y; x,y; …  in mm
//! plug       place/plug
//! ```
//!
//! Reading checks the limits of the field, so what is read can stand; [`check_value`] checks the same of
//! a value that came another way. Writing gives a text that reads back as the very same value.
//! Left out: whether an outline crosses itself, and whether a plug that is named exists: those are
//! questions to the craft as a whole.

use crate::limits::{LINE_LETTERS_MAX, NOTE_LETTERS_MAX, POINT_MM_MAX, POINTS_MAX};
use crate::schema::{FieldDef, ValueKind};
use crate::text_fault::{ValueFault, example_of};
use crate::{PlugRef, Value};
use quantity::{Fact, Quantity, near_name, read_fact, write_fact};

/// Reads a value for a field.
pub fn read_value(def: &FieldDef, text: &str) -> Result<Value, ValueFault> {
    let label = def.label;
    let tidy = text.trim();
    if tidy.is_empty() && !matches!(def.kind, ValueKind::Quantity { .. }) {
        return Err(ValueFault::Empty { label });
    }
    let value = match def.kind {
        ValueKind::Quantity { unit, .. } => {
            Value::Fact(read_fact(tidy, unit).map_err(|fault| ValueFault::Fact { label, fault })?)
        }
        ValueKind::Count => match tidy.parse::<u32>() {
            Ok(count) => Value::Count(count),
            Err(_) => return Err(not_a_count(def, tidy)),
        },
        ValueKind::Flag => match tidy {
            "yes" | "true" => Value::Flag(true),
            "no" | "false" => Value::Flag(false),
            _ => return Err(ValueFault::NotAFlag { label, text: tidy.to_owned() }),
        },
        ValueKind::Choice(_) | ValueKind::Line => Value::Text(tidy.to_owned()),
        ValueKind::Note => Value::Text(tidy.replace("\r\n", "\n")),
        ValueKind::Points => Value::Points(read_points(label, tidy)?),
        ValueKind::PlugOfPlace => match PlugRef::read(tidy) {
            Some(plug) => Value::Text(format!("{}/{}", plug.place, plug.plug)),
            None => return Err(ValueFault::NotAPlug { label, text: tidy.to_owned() }),
        },
    };
    match check_value(def, &value) {
        Ok(()) => Ok(value),
        Err(ValueFault::Beyond { label, value, min, max, .. }) => {
            Err(ValueFault::Beyond { label, value, written: written_otherwise(tidy, value), min, max })
        }
        Err(fault) => Err(fault),
    }
}

/// Writes a value so that [`read_value`] gives back the very same one.
pub fn write_value(value: &Value) -> String {
    match value {
        Value::Fact(fact) => write_fact(fact),
        Value::Count(count) => count.to_string(),
        Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        Value::Text(text) => text.clone(),
        Value::Points(points) => {
            let points: Vec<String> =
                points.iter().map(|[x, y]| format!("{},{}", x + 0.0, y + 0.0)).collect();
            points.join("; ")
        }
    }
}

/// Whether a value may stand in a field: its form, its unit, its limits.
pub fn check_value(def: &FieldDef, value: &Value) -> Result<(), ValueFault> {
    let label = def.label;
    match (def.kind, value) {
        (ValueKind::Quantity { unit, .. }, Value::Fact(fact)) => {
            if fact.quantity.unit != unit {
                let given = format!("a value in {}", fact.quantity.unit);
                return Err(ValueFault::WrongForm { label, given, wanted: wanted_form(def) });
            }
            check_limits(def, fact)
        }
        (ValueKind::Count, Value::Count(count)) => {
            if (def.min..=def.max).contains(&f64::from(*count)) {
                Ok(())
            } else {
                Err(not_a_count(def, &count.to_string()))
            }
        }
        (ValueKind::Flag, Value::Flag(_)) => Ok(()),
        (ValueKind::Choice(words), Value::Text(text)) => {
            if words.contains(&text.as_str()) {
                return Ok(());
            }
            let did_you_mean = near_name(text, words.iter().copied());
            Err(ValueFault::NotAChoice { label, text: text.clone(), words, did_you_mean })
        }
        (ValueKind::Line, Value::Text(text)) => check_text(label, text, LINE_LETTERS_MAX, false),
        (ValueKind::Note, Value::Text(text)) => check_text(label, text, NOTE_LETTERS_MAX, true),
        (ValueKind::PlugOfPlace, Value::Text(text)) => {
            check_text(label, text, LINE_LETTERS_MAX, false)?;
            match PlugRef::read(text) {
                Some(plug) if !plug.plug.is_empty() => Ok(()),
                _ => Err(ValueFault::NotAPlug { label, text: text.clone() }),
            }
        }
        (ValueKind::Points, Value::Points(points)) => check_points(label, points),
        (_, other) => {
            let given = match other {
                Value::Fact(_) => "a quantity",
                Value::Count(_) => "a count",
                Value::Flag(_) => "yes or no",
                Value::Text(_) => "a text",
                Value::Points(_) => "a list of points",
            };
            Err(ValueFault::WrongForm { label, given: given.to_owned(), wanted: wanted_form(def) })
        }
    }
}

/// What a field takes, in words, with an example.
pub(crate) fn wanted_form(def: &FieldDef) -> String {
    match def.kind {
        ValueKind::Quantity { unit, .. } => {
            format!("a fact such as \"{}, measured\"", example_of(unit, def.min, def.max))
        }
        ValueKind::Count => format!("a whole number from {} to {}", def.min, def.max),
        ValueKind::Flag => "yes or no".to_owned(),
        ValueKind::Choice(words) => crate::text_fault::any_of(words),
        ValueKind::Line => "a line of text".to_owned(),
        ValueKind::Note => "a text".to_owned(),
        ValueKind::Points => "a list of points in mm".to_owned(),
        ValueKind::PlugOfPlace => "a plug such as vtx/coax 1".to_owned(),
    }
}

pub(crate) fn not_a_count(def: &FieldDef, text: &str) -> ValueFault {
    ValueFault::NotACount { label: def.label, text: text.to_owned(), min: def.min, max: def.max }
}

fn check_limits(def: &FieldDef, fact: &Fact) -> Result<(), ValueFault> {
    let (label, min, max) = (def.label, def.min, def.max);
    let value = fact.quantity;
    if !(min..=max).contains(&value.value) {
        return Err(ValueFault::Beyond { label, value, written: None, min, max });
    }
    // A tolerance wider than the field itself says nothing and overflows what is computed from it.
    let most = max - min;
    for side in fact.stated.iter().flat_map(|doubt| [doubt.minus, doubt.plus]) {
        if !(0.0..=most).contains(&side) {
            let tolerance = Quantity { value: side, unit: value.unit };
            return Err(ValueFault::ToleranceBeyond { label, tolerance, most });
        }
    }
    Ok(())
}

fn check_text(label: &'static str, text: &str, max: usize, lines: bool) -> Result<(), ValueFault> {
    if text.is_empty() {
        return Err(ValueFault::Empty { label });
    }
    if text.trim() != text {
        return Err(ValueFault::Untidy { label, text: text.to_owned() });
    }
    let letters = text.chars().count();
    if letters > max {
        return Err(ValueFault::TooLong { label, letters, max });
    }
    match text.chars().find(|c| is_unseen(*c) && !(lines && matches!(c, '\n' | '\t'))) {
        None => Ok(()),
        Some('\n' | '\r') if !lines => Err(ValueFault::SeveralLines { label }),
        Some(sign) => Err(ValueFault::ControlSign { label, sign }),
    }
}

/// Whether a sign is not seen but does something: control signs, and those that turn the order of what follows, so
/// that a name would swallow the words behind it.
pub fn is_unseen(sign: char) -> bool {
    sign.is_control() || matches!(sign, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

fn check_points(label: &'static str, points: &[[f64; 2]]) -> Result<(), ValueFault> {
    if points.is_empty() {
        return Err(ValueFault::Empty { label });
    }
    if points.len() > POINTS_MAX {
        return Err(ValueFault::TooManyPoints { label, count: points.len() });
    }
    for (place, point) in points.iter().enumerate() {
        for &coordinate in point {
            if !(-POINT_MM_MAX..=POINT_MM_MAX).contains(&coordinate) {
                return Err(ValueFault::PointBeyond { label, number: place + 1, coordinate });
            }
        }
    }
    Ok(())
}

fn read_points(label: &'static str, text: &str) -> Result<Vec<[f64; 2]>, ValueFault> {
    let text = text.strip_suffix(';').unwrap_or(text);
    let count = text.split(';').count();
    if count > POINTS_MAX {
        return Err(ValueFault::TooManyPoints { label, count });
    }
    let coordinate = |text: &str| {
        text.trim().replace('\u{2212}', "-").parse::<f64>().ok().filter(|number| number.is_finite())
    };
    let point = |(place, text): (usize, &str)| {
        let pair = text.split_once(',').and_then(|(x, y)| Some([coordinate(x)?, coordinate(y)?]));
        pair.ok_or_else(|| ValueFault::NotAPoint { label, number: place + 1, text: text.trim().to_owned() })
    };
    text.split(';').enumerate().map(point).collect()
}

/// The value as it was written, where that differs from how the field keeps it.
fn written_otherwise(text: &str, value: Quantity) -> Option<String> {
    let end = text.find([',', '±']).unwrap_or(text.len());
    let head = text[..end].trim();
    let plain = |text: &str| text.replace('\u{2212}', "-").replace(char::is_whitespace, "");
    (plain(head) != plain(&value.to_string())).then(|| format!("\"{head}\""))
}

#[cfg(test)]
#[path = "text_tests.rs"]
mod tests;
