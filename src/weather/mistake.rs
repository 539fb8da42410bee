//! What cannot be read or used, and what to write instead.

use std::fmt;

/// What is wrong with a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// What is wrong.
    pub problem: String,
    /// What to write.
    pub advice: String,
}

impl Mistake {
    pub(super) fn new(problem: impl Into<String>, advice: impl Into<String>) -> Self {
        Self {
            problem: problem.into(),
            advice: advice.into(),
        }
    }
}

impl fmt::Display for Mistake {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}; {}", self.problem, self.advice)
    }
}

impl std::error::Error for Mistake {}
