//! A list as JSON for a reader that may know it as it was: whole, or what has changed in it. Comes in: both lists. Goes out:
//! `{"all": [...]}`, or `{"changed": [[place in the known list, how many go there, [what comes in their stead]], ...]}`.

use serde::Serialize;

/// How far the two lists may be off each other after a change, entries that go and that come together.
const REACH: usize = 12;

/// A list, or what of it is not as it was.
#[derive(Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Listed<T> {
    /// All of it.
    All(Vec<T>),
    /// Of a list that is known: at a place of it so many entries go, and these come, in the order of places.
    Changed(Vec<(usize, usize, Vec<T>)>),
}

impl<T> Listed<T> {
    /// The list `now`, its entries written with `keys`, for whoever knows it as it was.
    #[must_use]
    pub fn beside<'a, S: PartialEq>(
        known: Option<&[S]>,
        now: &'a [S],
        keys: impl Fn(&'a S) -> T,
    ) -> Self {
        let Some(known) = known else {
            return Self::All(now.iter().map(keys).collect());
        };
        let mut changed = Vec::new();
        let (mut before, mut after) = (0, 0);
        while before < known.len() || after < now.len() {
            if let (Some(one), Some(other)) = (known.get(before), now.get(after))
                && one == other
            {
                before += 1;
                after += 1;
                continue;
            }
            let [gone, come] = stretch(&known[before..], &now[after..]);
            let come = &now[after..after + come];
            changed.push((before, gone, come.iter().map(&keys).collect()));
            before += gone;
            after += come.len();
        }
        Self::Changed(changed)
    }
}

/// How many entries of each list there are before both go on alike: the fewest that will do, or all.
fn stretch<S: PartialEq>(known: &[S], now: &[S]) -> [usize; 2] {
    for both in 1..=REACH {
        for gone in 0..=both {
            let come = both - gone;
            if let (Some(one), Some(other)) = (known.get(gone), now.get(come))
                && one == other
            {
                return [gone, come];
            }
        }
    }
    [known.len(), now.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn written(known: Option<&[i32]>, now: &[i32]) -> String {
        serde_json::to_string(&Listed::beside(known, now, |one| *one)).expect("numbers")
    }

    #[test]
    fn of_a_list_that_is_known_only_what_changed_is_said() {
        assert_eq!(written(None, &[1, 2, 3]), r#"{"all":[1,2,3]}"#);
        let known = Some(&[1, 2, 3, 4][..]);
        for (now, said) in [
            (&[1, 2, 3, 4][..], "[]"),
            (&[1, 9, 3, 4], "[[1,1,[9]]]"),
            (&[1, 3, 4], "[[1,1,[]]]"),
            (&[1, 2, 9, 3, 4], "[[2,0,[9]]]"),
            (&[1, 2, 3, 4, 5], "[[4,0,[5]]]"),
            (&[9, 2, 3], "[[0,1,[9]],[3,1,[]]]"),
            (&[], "[[0,4,[]]]"),
        ] {
            assert_eq!(written(known, now), format!(r#"{{"changed":{said}}}"#));
        }
    }

    proptest! {
        #[test]
        fn what_changed_put_into_the_known_list_is_the_list(
            known in prop::collection::vec(0..6, 0..60),
            now in prop::collection::vec(0..6, 0..60),
        ) {
            let Listed::Changed(changed) = Listed::beside(Some(&known), &now, |one| *one) else {
                return Err(TestCaseError::fail("it was known"));
            };
            let (mut made, mut from) = (Vec::new(), 0);
            for (place, gone, come) in changed {
                made.extend_from_slice(&known[from..place]);
                made.extend(come);
                from = place + gone;
            }
            made.extend_from_slice(&known[from..]);
            prop_assert_eq!(made, now);
        }
    }
}
