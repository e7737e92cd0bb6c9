//! A value as it stands on a sheet, and how it is written there.

use crate::schema::{FieldDef, ValueKind};
use crate::text::not_a_count;
use crate::{Value, ValueFault, check_value, read_value, write_value};
use quantity::{Basis, DoubtKind};
use toml_edit::{Array, Item, Value as Toml};

/// Columns a line of points may fill.
const COLUMNS: usize = 100;

/// Reads a value of a sheet for a field. `text` is the whole sheet, for quoting.
pub(super) fn value_on_sheet(def: &FieldDef, item: &Item, text: &str) -> Result<Value, ValueFault> {
    let label = def.label;
    let wrong = |wanted: String| Err(ValueFault::WrongForm { label, given: given(item, text), wanted });
    let Some(toml) = item.as_value() else { return wrong(crate::text::wanted_form(def)) };
    match (def.kind, toml) {
        (ValueKind::Quantity { unit, .. }, Toml::Integer(_) | Toml::Float(_)) => {
            let number = written(toml, text);
            match unit.symbol() {
                "" => read_value(def, &number.replace('_', "")),
                _ if number.len() > 20 => wrong(crate::text::wanted_form(def)),
                symbol => {
                    let space = if symbol == "°" { "" } else { " " };
                    wrong(format!("a fact such as \"{number}{space}{symbol}, measured\""))
                }
            }
        }
        (ValueKind::Count, Toml::Integer(number)) => match u32::try_from(*number.value()) {
            Ok(count) => check_value(def, &Value::Count(count)).map(|()| Value::Count(count)),
            Err(_) => Err(not_a_count(def, &written(toml, text))),
        },
        (ValueKind::Count, Toml::Float(_)) => Err(not_a_count(def, &written(toml, text))),
        (ValueKind::Count, Toml::String(string)) if string.value().trim().parse::<u32>().is_ok() => {
            wrong(format!("{}, without quotes,", string.value().trim()))
        }
        (ValueKind::Flag, Toml::Boolean(flag)) => Ok(Value::Flag(*flag.value())),
        (ValueKind::Flag, _) => wrong("true or false, without quotes,".to_owned()),
        (ValueKind::Points, Toml::Array(array)) => points(def, array, text),
        (ValueKind::Points, _) => wrong("a list of points such as [[0, 0], [20, 0], [0, 30]]".to_owned()),
        (ValueKind::Count, _) => wrong(crate::text::wanted_form(def)),
        (_, Toml::String(string)) => read_value(def, string.value()),
        (ValueKind::Line | ValueKind::Note, Toml::Integer(_) | Toml::Float(_)) => {
            wrong(format!("a text in quotes such as \"{}\"", written(toml, text)))
        }
        _ => wrong(crate::text::wanted_form(def)),
    }
}

/// Where in a list of points the fault lies, if it is one point's.
pub(super) fn point_offset(item: &Item, fault: &ValueFault) -> Option<usize> {
    let (ValueFault::NotAPoint { number, .. } | ValueFault::PointBeyond { number, .. }) = fault else {
        return None;
    };
    Some(item.as_array()?.get(number.checked_sub(1)?)?.span()?.start)
}

fn points(def: &FieldDef, array: &Array, text: &str) -> Result<Value, ValueFault> {
    if array.len() > crate::limits::POINTS_MAX {
        return Err(ValueFault::TooManyPoints { label: def.label, count: array.len() });
    }
    let mut points = Vec::with_capacity(array.len());
    for (place, entry) in array.iter().enumerate() {
        let numbers: Option<Vec<f64>> =
            entry.as_array().map(|pair| pair.iter().map_while(coordinate).collect());
        match (numbers.as_deref(), entry.as_array().map(Array::len)) {
            (Some(&[x, y]), Some(2)) => points.push([x, y]),
            _ => {
                let text = written(entry, text);
                return Err(ValueFault::NotAPoint { label: def.label, number: place + 1, text });
            }
        }
    }
    let value = Value::Points(points);
    check_value(def, &value).map(|()| value)
}

fn coordinate(value: &Toml) -> Option<f64> {
    match value {
        Toml::Integer(number) => Some(*number.value() as f64),
        Toml::Float(number) => Some(*number.value()).filter(|number| number.is_finite()),
        _ => None,
    }
}

/// What stands there, in words.
pub(super) fn given(item: &Item, text: &str) -> String {
    match item {
        Item::Value(toml @ (Toml::Integer(_) | Toml::Float(_))) => {
            format!("the bare number {}", clipped(&written(toml, text)))
        }
        Item::Value(Toml::String(string)) => format!("the text {}", crate::text_fault::shown(string.value())),
        Item::Value(Toml::Boolean(flag)) => flag.value().to_string(),
        Item::Value(Toml::Datetime(_)) => "a date".to_owned(),
        Item::Value(Toml::Array(_)) => "a list".to_owned(),
        _ => "a table".to_owned(),
    }
}

/// A value as it is written on the sheet.
fn written(value: &Toml, text: &str) -> String {
    let raw = value.span().and_then(|span| text.get(span)).unwrap_or_default();
    clipped(raw)
}

fn clipped(text: &str) -> String {
    if text.chars().count() <= 40 { text.to_owned() } else { text.chars().take(40).chain(['…']).collect() }
}

/// A value as a sheet writes it; `taken` columns of its line are filled already.
pub(super) fn value_text(def: &FieldDef, value: &Value, taken: usize) -> String {
    match value {
        Value::Fact(fact) => {
            let text = write_value(value);
            // What is nominal or set has no doubt to speak of: without a basis it reads back the same.
            let is_nominal = matches!(def.kind, ValueKind::Quantity { doubt: DoubtKind::Exact, .. })
                && fact.basis == Basis::Typical
                && fact.stated.is_none();
            let basis = format!(", {}", Basis::Typical.words());
            string_text(if is_nominal { text.strip_suffix(&basis).unwrap_or(&text) } else { &text })
        }
        Value::Count(count) => count.to_string(),
        Value::Flag(flag) => flag.to_string(),
        Value::Text(text) => string_text(text),
        Value::Points(points) => {
            // Adding nought takes the sign off a negative nought: the same point, so the same text.
            let points: Vec<String> =
                points.iter().map(|[x, y]| format!("[{}, {}]", x + 0.0, y + 0.0)).collect();
            let line = format!("[{}]", points.join(", "));
            if taken + line.len() <= COLUMNS {
                return line;
            }
            let mut text = String::from("[");
            let mut columns = COLUMNS;
            for point in points {
                if columns + point.len() + 2 > COLUMNS {
                    text.push_str("\n    ");
                    columns = 4;
                } else {
                    text.push(' ');
                    columns += 1;
                }
                columns += point.len() + 1;
                text.push_str(&point);
                text.push(',');
            }
            text + "\n]"
        }
    }
}

/// A text as a TOML string, over several lines where it has several.
pub(super) fn string_text(text: &str) -> String {
    let mut out = String::from(if text.contains('\n') { "\"\"\"\n" } else { "\"" });
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' | '\t' => out.push(c),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => out.push(c),
        }
    }
    out + if text.contains('\n') { "\"\"\"" } else { "\"" }
}
