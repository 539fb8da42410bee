//! Numbers written as formulas, so that an expected value carries its derivation: `+ - * / ^`,
//! parentheses, `pi`, named values, and the functions of a pocket calculator (angles in radians).

use std::collections::BTreeMap;

/// Values that formulas may name.
pub(crate) type Names = BTreeMap<String, f64>;

/// The value of a formula; what is wrong with it otherwise.
pub(crate) fn value(text: &str, names: &Names) -> Result<f64, String> {
    let mut reader = Reader { rest: text, names };
    let value = reader.sum()?;
    match reader.peek() {
        None => Ok(value),
        Some(c) => Err(format!("`{c}` is too much in `{text}`")),
    }
}

struct Reader<'a> {
    rest: &'a str,
    names: &'a Names,
}

impl Reader<'_> {
    fn peek(&mut self) -> Option<char> {
        self.rest = self.rest.trim_start();
        self.rest.chars().next()
    }

    fn takes(&mut self, wanted: char) -> bool {
        let found = self.peek() == Some(wanted);
        if found {
            self.rest = &self.rest[wanted.len_utf8()..];
        }
        found
    }

    fn sum(&mut self) -> Result<f64, String> {
        let mut value = self.product()?;
        loop {
            if self.takes('+') {
                value += self.product()?;
            } else if self.takes('-') {
                value -= self.product()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn product(&mut self) -> Result<f64, String> {
        let mut value = self.signed()?;
        loop {
            if self.takes('*') {
                value *= self.signed()?;
            } else if self.takes('/') {
                value /= self.signed()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn signed(&mut self) -> Result<f64, String> {
        if self.takes('-') {
            return Ok(-self.signed()?);
        }
        let base = self.atom()?;
        if self.takes('^') {
            return Ok(base.powf(self.signed()?));
        }
        Ok(base)
    }

    fn atom(&mut self) -> Result<f64, String> {
        if self.takes('(') {
            let value = self.sum()?;
            return if self.takes(')') {
                Ok(value)
            } else {
                Err(format!("`)` is missing before `{}`", self.rest))
            };
        }
        match self.peek() {
            Some(c) if c.is_ascii_digit() => {
                let text = self.word(|c| c.is_ascii_digit() || c == '.');
                let mut text = text.to_owned();
                // An exponent, as in 1e-6.
                if let Some(rest) = self.rest.strip_prefix('e') {
                    let sign = usize::from(rest.starts_with('-'));
                    let digits = rest[sign..]
                        .find(|c: char| !c.is_ascii_digit())
                        .unwrap_or(rest.len() - sign);
                    text.push('e');
                    text.push_str(&rest[..sign + digits]);
                    self.rest = &rest[sign + digits..];
                }
                text.parse().map_err(|_| format!("`{text}` is no number"))
            }
            Some(c) if c.is_alphabetic() => {
                let name = self.word(|c| c.is_alphanumeric() || c == '_').to_owned();
                if self.peek() == Some('(') {
                    let argument = self.atom()?;
                    return call(&name, argument);
                }
                match (name.as_str(), self.names.get(&name)) {
                    (_, Some(value)) => Ok(*value),
                    ("pi", None) => Ok(std::f64::consts::PI),
                    _ => Err(format!("`{name}` has no value")),
                }
            }
            _ => Err(format!("no value at `{}`", self.rest)),
        }
    }

    fn word(&mut self, belongs: impl Fn(char) -> bool) -> &str {
        let end = self.rest.find(|c| !belongs(c)).unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        self.rest = rest;
        word
    }
}

fn call(name: &str, x: f64) -> Result<f64, String> {
    Ok(match name {
        "sqrt" => x.sqrt(),
        "sin" => x.sin(),
        "cos" => x.cos(),
        "tan" => x.tan(),
        "asin" => x.asin(),
        "acos" => x.acos(),
        "atan" => x.atan(),
        _ => return Err(format!("`{name}` is no function here")),
    })
}

#[test]
fn formulas_are_read_as_they_are_written() {
    let names = Names::from([("r".to_owned(), 3.0)]);
    let reads = |text: &str| value(text, &names).expect("a formula");
    assert_eq!(reads("1 + 2 * 3 - 4 / 2"), 5.0);
    assert_eq!(reads("-r^2 + (1 + 1)^3"), -1.0);
    assert_eq!(reads("2e-3 * 1e3 * sqrt(r + 1)"), 4.0);
    assert_eq!(reads("8 / 2 / 2 - 1 - 1"), 0.0);
    assert!((reads("acos(cos(pi/3)) * 3") - std::f64::consts::PI).abs() < 1e-15);
    for wrong in ["1 +", "(1", "q", "1 2", "sqr(2)", "", "2e"] {
        assert!(value(wrong, &names).is_err(), "{wrong}");
    }
}
