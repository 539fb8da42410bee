//! Lengths as people write them: `60 mm`, `1.2 m`, `3/4 in`, `2 ft 3 1/2 in`, `2' 3-1/2"`, `7½″`.
//! Comes in: text. Goes out: a [`Length`], or what was mistaken and what to write instead.

use std::fmt;
use std::iter::Peekable;
use std::str::Chars;

use super::{Length, LengthUnit};

/// Why a text is not a length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LengthFault {
    /// What is wrong, short enough to stand under a caret.
    pub problem: String,
    /// What to write instead.
    pub advice: String,
}

impl LengthFault {
    fn new(problem: impl Into<String>, advice: impl Into<String>) -> Self {
        Self {
            problem: problem.into(),
            advice: advice.into(),
        }
    }
}

impl fmt::Display for LengthFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.problem, self.advice)
    }
}

impl std::error::Error for LengthFault {}

/// Examples that stand in every message about the form of a length.
const FORMS: &str = "write for example \"60 mm\", \"1.2 m\", \"3/4 in\" or \"2 ft 3 1/2 in\"";

/// Reads a length that carries its own unit.
///
/// Millimetres, centimetres, metres, inches and feet; feet may be followed by inches. A mixed number
/// joins its fraction by a space or a hyphen. A leading sign is allowed.
///
/// ```
/// use spile::units::{Length, parse_length};
/// assert_eq!(parse_length("1.2 m"), Ok(Length::mm(1200.0)));
/// assert_eq!(parse_length("2' 3-1/2\""), parse_length("27 1/2 in"));
/// assert!(parse_length("60").is_err());
/// ```
///
/// # Errors
/// A [`LengthFault`] that names the part mistaken: no unit, a unit unknown, a decimal comma, a
/// fraction without sense, units that do not go together.
pub fn parse_length(text: &str) -> Result<Length, LengthFault> {
    let mut words = words(text)?.into_iter().peekable();
    let negative = match words.peek() {
        Some(Word::Minus) => {
            words.next();
            true
        }
        Some(Word::Plus) => {
            words.next();
            false
        }
        _ => false,
    };
    let mut terms: Vec<(f64, LengthUnit)> = Vec::new();
    while words.peek().is_some() {
        // Feet and inches are often joined by a hyphen: 2'-3".
        if !terms.is_empty() {
            words.next_if(|word| *word == Word::Minus);
        }
        let amount = amount(&mut words, text)?;
        let unit = match words.next() {
            Some(Word::Unit(word)) => unit(&word)?,
            None => {
                return Err(LengthFault::new(
                    "no unit after the number",
                    no_unit_advice(text),
                ));
            }
            Some(_) => return Err(LengthFault::new("a unit was expected here", FORMS)),
        };
        terms.push((amount, unit));
    }
    let total = match terms.as_slice() {
        [] => return Err(LengthFault::new("no number in it", FORMS)),
        [(amount, unit)] => Length::of(*amount, *unit),
        [(feet, LengthUnit::Foot), (inches, LengthUnit::Inch)] => {
            Length::of(*feet, LengthUnit::Foot) + Length::of(*inches, LengthUnit::Inch)
        }
        _ => {
            return Err(LengthFault::new(
                "only feet and inches go together, feet first",
                "write one number with one unit, for example \"1.2 m\", or \"2 ft 3 1/2 in\"",
            ));
        }
    };
    if !total.to_mm().is_finite() {
        return Err(LengthFault::new("too large to be a length", FORMS));
    }
    Ok(if negative { -total } else { total })
}

/// A piece of a written length.
#[derive(Debug, Clone, PartialEq)]
enum Word {
    Whole(f64),
    Decimal(f64),
    Fraction(f64),
    Unit(String),
    Minus,
    Plus,
}

/// Fractions that have a character of their own.
const VULGAR: [(char, f64); 7] = [
    ('½', 0.5),
    ('¼', 0.25),
    ('¾', 0.75),
    ('⅛', 0.125),
    ('⅜', 0.375),
    ('⅝', 0.625),
    ('⅞', 0.875),
];

fn words(text: &str) -> Result<Vec<Word>, LengthFault> {
    let mut found = Vec::new();
    let mut chars = text.chars().peekable();
    while let Some(&first) = chars.peek() {
        if let Some((_, value)) = VULGAR.iter().find(|(sign, _)| *sign == first) {
            chars.next();
            found.push(Word::Fraction(*value));
        } else if first.is_ascii_digit() || first == '.' {
            found.push(number(&mut chars)?);
        } else if first.is_alphabetic() {
            found.push(Word::Unit(take(&mut chars, char::is_alphabetic)));
        } else {
            chars.next();
            match first {
                '-' | '−' | '–' => found.push(Word::Minus),
                '+' => found.push(Word::Plus),
                '\'' | '′' | '’' if chars.next_if_eq(&first).is_some() => {
                    found.push(Word::Unit("in".into()));
                }
                '\'' | '′' | '’' => found.push(Word::Unit("ft".into())),
                '"' | '″' | '”' => found.push(Word::Unit("in".into())),
                ',' => {
                    return Err(LengthFault::new(
                        "a comma in a number",
                        "write a decimal point, for example \"1.2 m\"",
                    ));
                }
                _ if first.is_whitespace() => {}
                _ => {
                    return Err(LengthFault::new(
                        format!("`{}` has no meaning in a length", first.escape_debug()),
                        FORMS,
                    ));
                }
            }
        }
    }
    Ok(found)
}

fn take(chars: &mut Peekable<Chars<'_>>, belongs: impl Fn(char) -> bool) -> String {
    let mut taken = String::new();
    while let Some(next) = chars.next_if(|next| belongs(*next)) {
        taken.push(next);
    }
    taken
}

fn number(chars: &mut Peekable<Chars<'_>>) -> Result<Word, LengthFault> {
    let digits = take(chars, |next| next.is_ascii_digit() || next == '.');
    let value: f64 = digits
        .parse()
        .map_err(|_| LengthFault::new(format!("`{digits}` is not a number"), FORMS))?;
    if chars.next_if(|next| matches!(next, '/' | '⁄')).is_none() {
        return Ok(if digits.contains('.') {
            Word::Decimal(value)
        } else {
            Word::Whole(value)
        });
    }
    let under = take(chars, |next| next.is_ascii_digit());
    let divisor: f64 = under.parse().unwrap_or(0.0);
    if divisor > 0.0 && !digits.contains('.') {
        Ok(Word::Fraction(value / divisor))
    } else {
        Err(LengthFault::new(
            format!("`{digits}/{under}` is not a fraction"),
            "write whole numbers above and below the line, for example \"3/4 in\"",
        ))
    }
}

/// A number, or a whole number and its fraction.
fn amount(words: &mut Peekable<std::vec::IntoIter<Word>>, text: &str) -> Result<f64, LengthFault> {
    match words.next() {
        Some(Word::Whole(whole)) => {
            let joined = words.next_if(|word| *word == Word::Minus).is_some();
            match words.next_if(|word| matches!(word, Word::Fraction(_))) {
                Some(Word::Fraction(part)) if part < 1.0 => Ok(whole + part),
                Some(_) => Err(LengthFault::new(
                    "the fraction after the whole number is one or more",
                    "write a fraction below one, for example \"3 1/2 in\"",
                )),
                None if joined => Err(LengthFault::new(
                    "a hyphen joins a whole number to its fraction only",
                    FORMS,
                )),
                None => Ok(whole),
            }
        }
        Some(Word::Decimal(value) | Word::Fraction(value)) => Ok(value),
        Some(Word::Unit(word)) => Err(LengthFault::new(
            format!("no number before `{word}`"),
            FORMS,
        )),
        Some(Word::Minus | Word::Plus) => Err(LengthFault::new(
            "a sign may only stand before the first number",
            FORMS,
        )),
        None => Err(LengthFault::new(format!("`{text}` is not a length"), FORMS)),
    }
}

/// What to write for a number without a unit: the number with one, where that is all that is missing.
fn no_unit_advice(text: &str) -> String {
    let bare = text.trim();
    if bare.parse::<f64>().is_ok_and(f64::is_finite) {
        format!("write {bare} without quotes, or with its unit: \"{bare} mm\"")
    } else {
        FORMS.into()
    }
}

/// Every way to write a unit; the first of each is the one that is suggested.
const UNITS: [(&str, LengthUnit); 19] = [
    ("mm", LengthUnit::Millimetre),
    ("cm", LengthUnit::Centimetre),
    ("in", LengthUnit::Inch),
    ("ft", LengthUnit::Foot),
    ("m", LengthUnit::Metre),
    ("millimetre", LengthUnit::Millimetre),
    ("millimetres", LengthUnit::Millimetre),
    ("millimeters", LengthUnit::Millimetre),
    ("centimetre", LengthUnit::Centimetre),
    ("centimetres", LengthUnit::Centimetre),
    ("centimeters", LengthUnit::Centimetre),
    ("metre", LengthUnit::Metre),
    ("metres", LengthUnit::Metre),
    ("meter", LengthUnit::Metre),
    ("meters", LengthUnit::Metre),
    ("inch", LengthUnit::Inch),
    ("inches", LengthUnit::Inch),
    ("foot", LengthUnit::Foot),
    ("feet", LengthUnit::Foot),
];

fn unit(word: &str) -> Result<LengthUnit, LengthFault> {
    let lower = word.to_lowercase();
    if let Some((_, unit)) = UNITS.iter().find(|(name, _)| *name == lower) {
        return Ok(*unit);
    }
    let nearest = UNITS
        .iter()
        .map(|(name, _)| (strsim::osa_distance(&lower, name), name))
        .min_by_key(|(distance, _)| *distance)
        .filter(|(distance, name)| *distance <= (name.len() / 3).max(1) && lower.len() > 1);
    Err(LengthFault::new(
        format!("`{word}` is not a unit of length"),
        match nearest {
            Some((_, name)) => format!("did you mean `{name}`?"),
            None => "the units are mm, cm, m, in and ft".into(),
        },
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> f64 {
        parse_length(text).expect(text).to_mm()
    }

    #[test]
    fn every_way_a_boat_owner_writes_a_length() {
        for (text, expected) in [
            ("60 mm", 60.0),
            ("60mm", 60.0),
            (" 1.2 m ", 1200.0),
            ("12 cm", 120.0),
            ("33 m", 33_000.0),
            ("3/4 in", 19.05),
            ("2 ft 3 1/2 in", 698.5),
            ("2' 3-1/2\"", 698.5),
            ("2'-3 1/2\"", 698.5),
            ("2′ 3½″", 698.5),
            ("2’ 3 ½”", 698.5),
            ("2' 3 1/2''", 698.5),
            ("5'", 1524.0),
            ("7 1/2\"", 190.5),
            ("7½ inches", 190.5),
            ("¼\"", 6.35),
            ("¾ in", 19.05),
            ("⅛ in", 3.175),
            ("⅜ in", 9.525),
            ("⅝ in", 15.875),
            ("⅞ in", 22.225),
            ("-300 mm", -300.0),
            ("−1' 6\"", -457.2),
            ("+4 cm", 40.0),
            ("0 mm", 0.0),
            ("2.5 ft", 762.0),
        ] {
            assert!((mm(text) - expected).abs() < 1e-9, "{text}: {}", mm(text));
        }
    }

    #[test]
    fn what_is_no_length_says_what_to_write() {
        for (text, problem, advice) in [
            ("60", "no unit", "60 mm"),
            ("60 mmm", "`mmm`", "`mm`"),
            ("3 inchs", "`inchs`", "`inch"),
            ("3 yd", "`yd`", "mm, cm, m, in and ft"),
            ("1,2 m", "comma", "decimal point"),
            ("1/0 in", "`1/0`", "3/4 in"),
            ("3 5/4 in", "one or more", "3 1/2 in"),
            ("", "no number", "60 mm"),
            ("mm", "no number before `mm`", "60 mm"),
            ("1 m 20 cm", "only feet and inches", "1.2 m"),
            ("3 in 2 ft", "feet first", "2 ft"),
            ("1.2.3 m", "`1.2.3`", "1.2 m"),
            ("nan mm", "no number before", "60 mm"),
            ("2-3 ft", "hyphen", "60 mm"),
            ("5 mm -", "not a length", "60 mm"),
            ("--5 mm", "sign", "60 mm"),
        ] {
            let fault = parse_length(text).expect_err(text);
            assert!(fault.problem.contains(problem), "{text}: {fault}");
            assert!(fault.advice.contains(advice), "{text}: {fault}");
        }
    }

    #[test]
    fn a_number_too_long_for_a_length_is_refused() {
        assert!(parse_length(&format!("{} mm", "9".repeat(400))).is_err());
    }
}
