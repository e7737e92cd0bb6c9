//! A number on the command line, and what to write where it is none.

/// A plain number, or how one is written.
pub fn plain_number(text: &str) -> Result<f64, String> {
    let number = text.trim().parse().ok().filter(|number: &f64| number.is_finite());
    number.ok_or_else(|| {
        "write a plain number without its unit, such as 80, 2.5 or -30; leave it out for what is planned"
            .to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::plain_number;

    #[test]
    fn what_is_no_number_is_told_how_to_write_one() {
        assert_eq!(plain_number(" -30.5 "), Ok(-30.5));
        for text in ["", "abc", "80 m", "nan", "inf"] {
            assert!(
                plain_number(text).is_err_and(|words| words.starts_with("write a plain number")),
                "{text}"
            );
        }
    }
}
