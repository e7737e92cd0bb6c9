//! Can a licence expression be met from a list of allowed licences?
//!
//! Reads the expressions of SPDX annex D as packages write them: identifiers, `WITH` an exception, `AND`,
//! `OR`, parentheses; and the older `A/B`, which means `OR`. `AND` binds tighter than `OR`.

/// Whether one choice of licences meets the expression with allowed ones only. Gibberish is never met.
pub fn is_met(expression: &str, allowed: &dyn Fn(&str) -> bool) -> bool {
    let words = words(expression);
    let mut reader = Reader { words: &words, allowed };
    matches!((reader.either(), reader.words), (Some(met), []) if met)
}

fn words(expression: &str) -> Vec<String> {
    let spaced = expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ");
    spaced.split_whitespace().map(str::to_owned).collect()
}

struct Reader<'a> {
    words: &'a [String],
    allowed: &'a dyn Fn(&str) -> bool,
}

impl Reader<'_> {
    fn either(&mut self) -> Option<bool> {
        let mut met = self.both()?;
        while self.takes("OR") {
            met |= self.both()?;
        }
        Some(met)
    }

    fn both(&mut self) -> Option<bool> {
        let mut met = self.one()?;
        while self.takes("AND") {
            met &= self.one()?;
        }
        Some(met)
    }

    fn one(&mut self) -> Option<bool> {
        if self.takes("(") {
            let met = self.either()?;
            return self.takes(")").then_some(met);
        }
        let licence = self.next().filter(|word| !["AND", "OR", "WITH", ")"].contains(&word.as_str()))?;
        if self.takes("WITH") {
            let exception = self.next()?;
            return Some((self.allowed)(&format!("{licence} WITH {exception}")));
        }
        Some((self.allowed)(&licence))
    }

    fn takes(&mut self, word: &str) -> bool {
        let found = self.words.first().is_some_and(|first| first == word);
        if found {
            self.words = &self.words[1..];
        }
        found
    }

    fn next(&mut self) -> Option<String> {
        let (first, rest) = self.words.split_first()?;
        self.words = rest;
        Some(first.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn met(expression: &str) -> bool {
        is_met(expression, &|licence| {
            ["MIT", "Apache-2.0", "Apache-2.0 WITH LLVM-exception"].contains(&licence)
        })
    }

    #[test]
    fn one_allowed_choice_is_enough() {
        assert!(
            met("MIT") && met("GPL-3.0 OR MIT") && met("Unlicense/MIT") && met("MIT OR (GPL-3.0 AND ISC)")
        );
    }

    #[test]
    fn both_must_be_allowed() {
        assert!(met("MIT AND Apache-2.0") && !met("MIT AND GPL-3.0") && !met("(MIT OR ISC) AND GPL-3.0"));
    }

    #[test]
    fn and_binds_tighter_than_or() {
        assert!(met("MIT OR GPL-3.0 AND ISC") && !met("GPL-3.0 AND MIT OR ISC"));
    }

    #[test]
    fn an_exception_belongs_to_its_licence() {
        assert!(met("Apache-2.0 WITH LLVM-exception") && !met("MIT WITH LLVM-exception"));
    }

    #[test]
    fn gibberish_is_never_met() {
        for expression in ["", "MIT OR", "(MIT", "MIT)", "MIT MIT", "OR", "MIT WITH"] {
            assert!(!met(expression), "{expression}");
        }
    }
}
