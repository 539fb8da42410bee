//! What is found underfoot in words: a note for each kind of finding, with its places; and where the settings come from.

use std::mem::discriminant;

use super::{Finding, Footing, Limit, What};
use crate::layout::Origin;
use crate::outline::whereabouts;
use crate::shape::Point;
use crate::units::Length;

/// Findings of one kind that are told one by one; the rest is counted.
const TOLD: usize = 5;

impl Finding {
    /// The setting that it is found by.
    const fn key(&self) -> &'static str {
        match self.what {
            What::Walk { .. } | What::Round => "widest_smooth",
            What::StopsShort => "stops_short",
            What::SmallField { .. } => "least_field",
            What::Glazed { .. } => "glazed",
            What::Waterway { .. } => "waterway",
        }
    }
}

impl Footing {
    /// What there is to say of the deck, a sentence or two each.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let mut notes: Vec<String> = self.widths().into_iter().collect();
        let groups = self
            .findings
            .chunk_by(|a, b| discriminant(&a.what) == discriminant(&b.what));
        notes.extend(groups.filter_map(|group| self.told(group)));
        notes
            .into_iter()
            .map(|note| format!("{}: {note}", self.deck))
            .collect()
    }

    /// Where the settings behind the findings come from, a sentence each.
    #[must_use]
    pub fn reasons(&self) -> Vec<String> {
        let mut reasons: Vec<String> = self.findings.iter().map(|one| self.reason(one)).collect();
        reasons.dedup();
        reasons
    }

    fn widths(&self) -> Option<String> {
        let grip = self.grip.map(|grip| {
            format!(
                "Grip is furthest off at {}: {} to the nearest non-skid.",
                self.place(grip.at),
                self.length(grip.distance)
            )
        });
        let widest = self.widest.map(|widest| {
            format!(
                "The widest smooth place is {} across, at {}.",
                self.length(widest.width),
                self.place(widest.centre)
            )
        });
        let said: Vec<String> = [grip, widest].into_iter().flatten().collect();
        (!said.is_empty()).then(|| said.join(" "))
    }

    /// A group of one kind.
    fn told(&self, group: &[Finding]) -> Option<String> {
        let first = group.first()?;
        let limit = format!("{} (`{}`)", self.shown(first.limit), first.key());
        let heading = match first.what {
            What::Walk { .. } => format!("What is smooth on the lines walked, beside {limit}"),
            What::Round => format!("Smooth for more than {limit} round"),
            What::StopsShort => format!("Non-skid begins further than {limit} from"),
            What::SmallField { .. } => format!("Smaller than {limit}"),
            What::Glazed { .. } => format!("Glazed, where people step, and longer than {limit}"),
            What::Waterway { .. } => {
                format!("Nearer than {limit} to the deck's edge, where water runs")
            }
        };
        // Those of one name and one width, such as a pair of cleats, are told together.
        let alike: Vec<&[Finding]> = group
            .chunk_by(|a, b| a.name == b.name && self.length(a.width) == self.length(b.width))
            .collect();
        let told: Vec<String> = alike
            .iter()
            .take(TOLD)
            .filter_map(|alike| Some((alike.len(), alike.first()?)))
            .map(|(count, one)| match count {
                1 => self.one(one),
                _ => format!("{count} × {}", self.one(one)),
            })
            .collect();
        let rest: usize = alike.iter().skip(TOLD).map(|alike| alike.len()).sum();
        let rest = match rest {
            0 => String::new(),
            more => format!("; and {more} more"),
        };
        Some(format!("{heading}: {}{rest}.", told.join("; ")))
    }

    fn one(&self, finding: &Finding) -> String {
        let Finding { name, at, .. } = finding;
        let (width, place) = (self.length(finding.width), self.place(*at));
        match finding.what {
            What::Walk {
                longest,
                longest_at,
            } => {
                format!(
                    "{name} is smooth for {} at the longest ({}), and {width} wide at the widest, twice the way to the nearest \
                     non-skid ({place})",
                    self.length(longest),
                    self.place(longest_at),
                )
            }
            What::Round | What::StopsShort => format!("{name}, {width} ({place})"),
            What::SmallField { area } => format!(
                "{name}, {} and {width} at its widest ({place})",
                area.show(self.units)
            ),
            What::Glazed { shorter } => {
                format!("{name}, {width} by {} ({place})", self.length(shorter))
            }
            What::Waterway { above_lowest } => {
                let height = above_lowest.map_or_else(String::new, |above| {
                    format!(
                        ", where the edge stands {} over its lowest place",
                        self.length(above)
                    )
                });
                format!("{name}, {width} ({place}{height})")
            }
        }
    }

    /// Why it is pointed out, and from where the figure comes.
    fn reason(&self, finding: &Finding) -> String {
        let more = match finding.what {
            What::Glazed { .. } => {
                " That page does not say which dimension it means; the longer is taken."
            }
            _ => "",
        };
        let key = finding.key();
        let limit = self.shown(finding.limit);
        let origin = match finding.limit {
            Limit::Width(limit) => limit.origin,
            Limit::Area(limit) => limit.origin,
        };
        match origin {
            Origin::Layout => format!("`{key}`, {limit}: the layout's own."),
            Origin::Default(source) => {
                format!("`{key}`, {limit}: {source}.{more}")
            }
        }
    }

    fn shown(&self, limit: Limit) -> String {
        match limit {
            Limit::Width(limit) => self.length(limit.value),
            Limit::Area(limit) => limit.value.show(self.units),
        }
    }

    fn length(&self, length: Length) -> String {
        length.show(self.units)
    }

    fn place(&self, at: Point) -> String {
        whereabouts(at, self.units)
    }
}
