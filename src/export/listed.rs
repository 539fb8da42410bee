//! A list as JSON for a reader that may know it as it was: whole, or what has changed in it. Comes in: both lists. Goes out:
//! `{"all": [...]}`, or `{"changed": [[place in the list, what stands there now], ...]}`.

use serde::Serialize;

/// A list, or the entries of it that are not as they were.
#[derive(Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Listed<T> {
    /// All of it.
    All(Vec<T>),
    /// Of a list that is known and as long, those that differ, each with its place.
    Changed(Vec<(usize, T)>),
}

impl<T> Listed<T> {
    /// The list `now`, its entries written with `keys`, for whoever knows it as it was.
    #[must_use]
    pub fn beside<'a, S: PartialEq>(
        known: Option<&[S]>,
        now: &'a [S],
        keys: impl Fn(&'a S) -> T,
    ) -> Self {
        match known {
            Some(known) if known.len() == now.len() => {
                let both = known.iter().zip(now).enumerate();
                let others = both.filter(|(_, (before, now))| before != now);
                Self::Changed(others.map(|(place, (_, now))| (place, keys(now))).collect())
            }
            _ => Self::All(now.iter().map(keys).collect()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(known: Option<&[i32]>, now: &[i32]) -> String {
        serde_json::to_string(&Listed::beside(known, now, |one| *one)).expect("numbers")
    }

    #[test]
    fn of_a_list_that_is_known_only_what_changed_is_said() {
        assert_eq!(written(None, &[1, 2, 3]), r#"{"all":[1,2,3]}"#);
        assert_eq!(written(Some(&[1, 2]), &[1, 2, 3]), r#"{"all":[1,2,3]}"#);
        assert_eq!(
            written(Some(&[1, 2, 3]), &[1, 9, 3]),
            r#"{"changed":[[1,9]]}"#
        );
        assert_eq!(written(Some(&[1, 2]), &[1, 2]), r#"{"changed":[]}"#);
    }
}
