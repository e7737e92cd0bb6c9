//! A fact as text: what sheets, the page and the command line read and write.
//!
//! ```text
//! fact      = number [unit] [[","] tolerance ["normal"]] [[","] basis]
//! tolerance = ("±" | "+-" | "+/-") limb | "+" limb ["/"] "-" limb | "-" limb ["/"] "+" limb
//! limb      = number ["%"] [unit]
//! basis     = "measured" | "data sheet" | "typical"
//! ```
//!
//! - `29.2 mm ± 0.1, measured`, `29.2 ± 0.1 mm`, `29.2 mm +0.2/-0.1, data sheet`, `1.1 in`, `7.4 g ± 5 %`.
//! - The unit stands after the value or after the last number of the tolerance and counts for both; a
//!   limb with a unit of its own is read in that. Other spellings are converted once, here, to 15
//!   significant digits, so that 1.1 in reads as 27.94 mm. Fields that hold plain numbers take no unit.
//! - `%` after a limb is a share of the value; in a field that is itself in per cent it is the unit.
//! - `normal` makes the interval two standard uncertainties each side; otherwise it is rectangular.
//! - Without a basis a fact is `typical`: that has the widest default doubt, so saying nothing never
//!   makes a verdict surer than it is. What is written always names the basis.
//! - Decimals take a point. A comma between digits is refused, for it would also read as two words.
//!
//! Left out: lists, ranges (`3 to 5 V`) and arithmetic. Limits on the value belong to the field.

use crate::fact_text_fault::number_with;
use crate::{Basis, Doubt, FACT_TEXT_LIMIT, Fact, FactTextFault, Quantity, Shape, Unit, near_name};

/// Reads a fact for a field in the unit `wanted`; the fact is in that unit.
pub fn read_fact(text: &str, wanted: Unit) -> Result<Fact, FactTextFault> {
    if text.len() > FACT_TEXT_LIMIT {
        return Err(FactTextFault::TooLong { length: text.len() });
    }
    let tidy: String = text.chars().map(plain_sign).collect();
    let mut reader = Reader { rest: tidy.trim(), wanted };
    if reader.rest.is_empty() {
        return Err(FactTextFault::Empty { wanted });
    }
    let first = reader.rest;
    let value = reader.number()?;
    let value_text = first[..first.len() - reader.rest.len()].trim_end().to_owned();
    let value_unit = reader.unit()?;
    let limbs = reader.tolerance()?;
    let shape = match limbs.is_some() && reader.take_word("normal") {
        true => Shape::Normal,
        false => Shape::Rectangular,
    };
    let basis = reader.basis()?;
    reader.end()?;

    let trailing_unit = limbs.iter().flatten().rev().find_map(|limb| limb.unit);
    let plain = wanted.symbol().is_empty().then_some(1.0);
    let Some(factor) = value_unit.or(trailing_unit).or(plain) else {
        return Err(FactTextFault::UnitMissing { value: value_text, wanted });
    };
    let value = converted(value, factor, &value_text)?;
    let half_width = |limb: Limb| -> Result<f64, FactTextFault> {
        if limb.share && wanted != Unit::Percent {
            if value == 0.0 && limb.number != 0.0 {
                return Err(FactTextFault::ShareOfNought { wanted });
            }
            return converted(limb.number, value.abs() / 100.0, &value_text);
        }
        converted(limb.number, limb.unit.unwrap_or(factor), &value_text)
    };
    let stated = match limbs {
        None => None,
        Some([minus, plus]) => Some(Doubt { minus: half_width(minus)?, plus: half_width(plus)?, shape }),
    };
    Ok(Fact { quantity: Quantity { value, unit: wanted }, stated, basis })
}

/// Writes a fact so that [`read_fact`] gives back the very same one.
pub fn write_fact(fact: &Fact) -> String {
    let mut text = number_with(&shortest(fact.quantity.value), fact.quantity.unit);
    if let Some(doubt) = fact.stated {
        let (minus, plus) = (doubt.minus.abs(), doubt.plus.abs());
        if minus == plus {
            text += &format!(" ± {}", shortest(plus));
        } else {
            text += &format!(" +{}/-{}", shortest(plus), shortest(minus));
        }
        if doubt.shape == Shape::Normal {
            text += " normal";
        }
    }
    text + ", " + fact.basis.words()
}

/// The spellings a field of this unit takes, its own symbol first.
pub fn accepted_spellings(wanted: Unit) -> Vec<&'static str> {
    let own = (!wanted.symbol().is_empty()).then_some(wanted.symbol());
    own.into_iter().chain(wanted.spellings().iter().map(|(name, _)| *name)).collect()
}

/// One side of a tolerance: its number, whether it is a share, the factor of its own unit.
#[derive(Clone, Copy)]
struct Limb {
    number: f64,
    share: bool,
    unit: Option<f64>,
}

struct Reader<'a> {
    rest: &'a str,
    wanted: Unit,
}

impl<'a> Reader<'a> {
    fn take(&mut self, start: &str) -> bool {
        let Some(rest) = self.rest.strip_prefix(start) else { return false };
        self.rest = rest.trim_start();
        true
    }

    /// The next word, up to a blank, a comma or the start of a tolerance.
    fn word(&self) -> &'a str {
        let end = self.rest.find(|c: char| c.is_whitespace() || matches!(c, ',' | '±' | '+' | '-'));
        &self.rest[..end.unwrap_or(self.rest.len())]
    }

    fn take_word(&mut self, word: &str) -> bool {
        self.word() == word && self.take(word)
    }

    fn number(&mut self) -> Result<f64, FactTextFault> {
        let length = number_length(self.rest);
        let (digits, after) = self.rest.split_at(length);
        if length == 0 {
            let text = self.rest.split([' ', ',']).next().unwrap_or_default().to_owned();
            let beyond = ["inf", "infinity", "nan"]
                .contains(&text.trim_start_matches(['+', '-']).to_lowercase().as_str());
            return Err(match beyond {
                true => FactTextFault::NotFinite { text },
                false => FactTextFault::NotANumber { text },
            });
        }
        if let Some(decimals) = after.strip_prefix(',')
            && decimals.starts_with(|c: char| c.is_ascii_digit())
        {
            let end = decimals.find(|c: char| !c.is_ascii_digit()).unwrap_or(decimals.len());
            return Err(FactTextFault::DecimalComma { text: format!("{digits},{}", &decimals[..end]) });
        }
        match digits.parse::<f64>() {
            Ok(number) if number.is_finite() => {
                self.rest = after.trim_start();
                Ok(number)
            }
            Ok(_) => Err(FactTextFault::NotFinite { text: digits.to_owned() }),
            Err(_) => Err(FactTextFault::NotANumber { text: digits.to_owned() }),
        }
    }

    /// The factor of the unit that stands next, if one does.
    fn unit(&mut self) -> Result<Option<f64>, FactTextFault> {
        let word = self.word();
        if word.is_empty() {
            return Ok(None);
        }
        if let Some(factor) = factor_of(word, self.wanted) {
            self.take(word);
            return Ok(Some(factor));
        }
        let known = Unit::ALL.iter().any(|&unit| factor_of(word, unit).is_some());
        if known {
            let accepted = accepted_spellings(self.wanted);
            return Err(FactTextFault::WrongUnit { given: word.to_owned(), wanted: self.wanted, accepted });
        }
        Ok(None)
    }

    /// The two sides of a tolerance, minus first.
    fn tolerance(&mut self) -> Result<Option<[Limb; 2]>, FactTextFault> {
        let before = self.rest;
        self.take(",");
        if self.take("±") || self.take("+/-") || self.take("+-") {
            let even = self.limb()?;
            return Ok(Some([even, even]));
        }
        for (sign, other) in [("+", "-"), ("-", "+")] {
            if self.take(sign) {
                let first = self.limb()?;
                self.take("/");
                if !self.take(other) {
                    return Err(FactTextFault::OneSided { missing: if sign == "+" { '-' } else { '+' } });
                }
                let mut second = self.limb()?;
                let mut first = first;
                first.share |= second.share && first.unit.is_none();
                second.unit = second.unit.or(first.unit).filter(|_| !second.share);
                first.unit = first.unit.or(second.unit).filter(|_| !first.share);
                return Ok(Some(if sign == "+" { [second, first] } else { [first, second] }));
            }
        }
        self.rest = before;
        Ok(None)
    }

    fn limb(&mut self) -> Result<Limb, FactTextFault> {
        let start = self.rest;
        let number = self.number()?;
        if number < 0.0 {
            let text = start[..start.len() - self.rest.len()].trim_end().to_owned();
            return Err(FactTextFault::NegativeTolerance { text });
        }
        let share = self.take("%");
        let unit = if share && self.wanted == Unit::Percent { Some(1.0) } else { self.unit()? };
        Ok(Limb { number, share, unit })
    }

    fn basis(&mut self) -> Result<Basis, FactTextFault> {
        let comma = self.take(",");
        if self.rest.is_empty() && !comma {
            return Ok(Basis::Typical);
        }
        for basis in Basis::ALL {
            let before = self.rest;
            if basis.words().split(' ').all(|word| self.take_word(word)) {
                return Ok(basis);
            }
            self.rest = before;
        }
        Err(self.unknown())
    }

    fn end(&self) -> Result<(), FactTextFault> {
        if self.rest.is_empty() { Ok(()) } else { Err(self.unknown()) }
    }

    fn unknown(&self) -> FactTextFault {
        let word = if self.word().is_empty() { self.rest } else { self.word() };
        let known = Basis::ALL.map(Basis::words).into_iter().chain(["normal"]);
        let names = || known.clone().chain(accepted_spellings(self.wanted));
        let did_you_mean = near_name(self.rest, names()).or_else(|| near_name(word, names()));
        FactTextFault::UnknownWord { word: word.to_owned(), did_you_mean }
    }
}

/// Signs that look alike, brought to one: minus, micro and ohm each stand twice among all characters.
fn plain_sign(c: char) -> char {
    match c {
        '\u{2212}' => '-',
        '\u{3bc}' => 'µ',
        '\u{2126}' => 'Ω',
        '\u{ba}' => '°',
        c if c.is_whitespace() => ' ',
        c => c,
    }
}

/// How many bytes at the start of `text` are a number: sign, digits, point, digits, exponent.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits_from = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let mut at = usize::from(text.starts_with(['+', '-']));
    let whole = digits_from(at);
    at += whole;
    let mut decimals = 0;
    if bytes.get(at) == Some(&b'.') {
        decimals = digits_from(at + 1);
        at += 1 + decimals;
    }
    if whole + decimals == 0 {
        return 0;
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let signed = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
        let exponent = digits_from((at + 1 + signed).min(bytes.len()));
        if exponent > 0 {
            at += 1 + signed + exponent;
        }
    }
    at
}

fn factor_of(word: &str, unit: Unit) -> Option<f64> {
    if word == unit.symbol() {
        return Some(1.0);
    }
    unit.spellings().iter().find(|(name, _)| *name == word).map(|&(_, factor)| factor)
}

/// `number · factor`, to 15 significant digits, so that a decimal stays a decimal.
fn converted(number: f64, factor: f64, text: &str) -> Result<f64, FactTextFault> {
    if factor == 1.0 {
        return Ok(number);
    }
    let product = number * factor;
    if !product.is_finite() {
        return Err(FactTextFault::NotFinite { text: text.trim().to_owned() });
    }
    Ok(format!("{product:.14e}").parse().unwrap_or(product))
}

/// The shortest text that reads back as the same number.
fn shortest(number: f64) -> String {
    let size = number.abs();
    if size != 0.0 && !(1e-5..1e16).contains(&size) { format!("{number:e}") } else { format!("{number}") }
}

#[cfg(test)]
#[path = "fact_text_tests.rs"]
mod tests;
