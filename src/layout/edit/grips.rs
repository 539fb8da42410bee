//! What of a layout can be taken hold of on a drawing. Comes in: a [`Layout`]. Goes out: a [`Grip`] for each thing and each
//! point of it whose place stands in the file as numbers. What the survey or a drawing places has none: it is moved there.

use super::super::{
    Deck, Feature, HalfBreadth, Layout, Outline, Place, Placed, PointRing, Position, Shape, Strip,
};
use super::Way;
use crate::shape::Point;
use crate::units::Length;

/// Which way something can be moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Freedom {
    /// Anywhere.
    Anywhere,
    /// Fore and aft alone.
    ForeAndAft,
    /// Athwartships alone.
    Athwartships,
    /// Anywhere to starboard of the centreline: a half-breadth is never less than nothing.
    Starboard,
    /// ... or to port.
    Port,
}

/// Something to take hold of.
#[derive(Debug, Clone, PartialEq)]
pub struct Grip {
    /// The way to what is moved.
    pub what: Way,
    /// The way to the thing that it is a part of; its own where it moves the whole.
    pub thing: Way,
    /// The deck's number, from 0.
    pub deck: usize,
    /// What it is, in the trade's words: `half-breadth`, `centre of cleat`.
    pub called: String,
    /// Where it is.
    pub at: Point,
    /// Which way it goes.
    pub freedom: Freedom,
    /// Whether its mirror image in the centreline goes along.
    pub both_sides: bool,
    /// Whether it may be taken out of its list, and another put in after it.
    pub in_list: bool,
}

/// All grips of a layout, deck by deck.
#[must_use]
pub fn grips(layout: &Layout) -> Vec<Grip> {
    let mut gathered = Vec::new();
    for (number, deck) in layout.decks.iter().enumerate() {
        let mut grips = Grips {
            deck: number,
            thing: String::new(),
            both_sides: false,
            gathered: &mut gathered,
        };
        grips.of_deck(deck);
    }
    gathered
}

struct Grips<'g> {
    deck: usize,
    /// The thing whose grips are being gathered.
    thing: Way,
    both_sides: bool,
    gathered: &'g mut Vec<Grip>,
}

impl Grips<'_> {
    fn add(&mut self, below: &str, called: String, at: Point, freedom: Freedom, in_list: bool) {
        let what = match below {
            "" => self.thing.clone(),
            below => format!("{}.{below}", self.thing),
        };
        self.gathered.push(Grip {
            what,
            thing: self.thing.clone(),
            deck: self.deck,
            called,
            at,
            freedom,
            both_sides: self.both_sides,
            in_list,
        });
    }

    fn begin(&mut self, thing: &str, both_sides: bool) {
        self.thing = format!("deck.#{}.{thing}", self.deck + 1);
        self.both_sides = both_sides;
    }

    fn of_deck(&mut self, deck: &Deck) {
        self.begin("outline", false);
        match &deck.outline {
            Outline::HalfBreadths(table) => {
                let is_apart = !table.port.is_empty();
                let main = if is_apart {
                    "starboard"
                } else {
                    "half_breadths"
                };
                self.both_sides = !is_apart;
                self.half_breadths(main, &table.points, 1.0);
                self.half_breadths("port", &table.port, -1.0);
            }
            Outline::Points(ring) => self.ring(ring, "deck edge"),
            Outline::Drawn(_) => {}
        }
        for (index, one) in deck.openings.iter().enumerate() {
            self.feature("opening", index, one);
        }
        for (index, one) in deck.fittings.iter().enumerate() {
            self.feature("fitting", index, one);
        }
        for (index, one) in deck.smooth.iter().enumerate() {
            self.feature("smooth", index, one);
        }
        for (index, one) in deck.pads.iter().enumerate() {
            self.feature("pad", index, one);
        }
        for (index, strip) in deck.strips.iter().enumerate() {
            self.strip(index, strip);
        }
        for (index, walk) in deck.walks.iter().enumerate() {
            self.begin(&format!("walk.#{}", index + 1), walk.both_sides);
            self.path(&walk.path, &walk.name);
        }
        for (index, foothold) in deck.footholds.iter().enumerate() {
            self.begin(&format!("foothold.#{}", index + 1), foothold.both_sides);
            self.whole(&foothold.at, foothold.name.clone());
        }
        for (index, way) in deck.ways_off.iter().enumerate() {
            self.begin(&format!("way_off.#{}", index + 1), false);
            let called = way.name.clone().unwrap_or_else(|| "way off".to_owned());
            self.whole(&way.at.value, called);
        }
    }

    fn half_breadths(&mut self, key: &str, points: &[Placed<HalfBreadth>], side: f64) {
        for (index, point) in points.iter().enumerate() {
            let HalfBreadth { station, breadth } = point.value;
            // Half-breadths to port are positive in the file too.
            let at = Point::new(station.to_mm(), side * breadth.to_mm());
            let below = format!("{key}.#{}", index + 1);
            let freedom = if side < 0.0 {
                Freedom::Port
            } else {
                Freedom::Starboard
            };
            self.add(&below, "half-breadth".to_owned(), at, freedom, true);
        }
    }

    fn ring(&mut self, ring: &PointRing, of: &str) {
        for (index, corner) in ring.corners.iter().enumerate() {
            let below = format!("points.#{}", index + 1);
            if let Position::At(at) = corner.at.value {
                let called = format!("{of}, point {}", index + 1);
                self.add(&below, called, at, Freedom::Anywhere, true);
            }
            if let Some(Placed {
                value: Position::At(at),
                ..
            }) = corner.through
            {
                let called = format!("{of}, arc after point {}", index + 1);
                self.add(
                    &format!("{below}.through"),
                    called,
                    at,
                    Freedom::Anywhere,
                    false,
                );
            }
        }
    }

    fn feature<K>(&mut self, kind: &str, index: usize, feature: &Feature<K>) {
        self.begin(&format!("{kind}.#{}", index + 1), feature.both_sides);
        let word = match kind {
            "smooth" => "area kept smooth",
            kind => kind,
        };
        let name = feature.name.clone().unwrap_or_else(|| word.to_owned());
        match &feature.shape {
            Shape::Rectangle { at, .. } | Shape::Circle { at, .. } => self.whole(at, name),
            Shape::Slot { from, to, .. } => {
                if let (Position::At(from), Position::At(to)) = (from, to) {
                    self.add("", name.clone(), *from, Freedom::Anywhere, false);
                    self.add(
                        "slot.from",
                        format!("{name}, one end"),
                        *from,
                        Freedom::Anywhere,
                        false,
                    );
                    self.add(
                        "slot.to",
                        format!("{name}, other end"),
                        *to,
                        Freedom::Anywhere,
                        false,
                    );
                }
            }
            Shape::Points(ring) => {
                let is_fixed = ring
                    .corners
                    .iter()
                    .all(|corner| matches!(corner.at.value, Position::At(_)));
                if let (true, Some(first)) = (is_fixed, ring.corners.first())
                    && let Position::At(at) = first.at.value
                {
                    self.add("", name.clone(), at, Freedom::Anywhere, false);
                }
                self.ring(ring, &name);
            }
            Shape::Drawn(_) => {}
        }
    }

    fn whole(&mut self, at: &Position, called: String) {
        if let Position::At(at) = at {
            self.add("", called, *at, Freedom::Anywhere, false);
        }
    }

    fn strip(&mut self, index: usize, strip: &Strip) {
        self.begin(&format!("strip.#{}", index + 1), strip.both_sides);
        let lists: [(&str, &[Length], Freedom, &str); 2] = [
            (
                "across_at",
                &strip.across_at,
                Freedom::ForeAndAft,
                "strip athwartships",
            ),
            (
                "along_at",
                &strip.along_at,
                Freedom::Athwartships,
                "strip fore and aft",
            ),
        ];
        for (key, list, freedom, called) in lists {
            for (index, length) in list.iter().enumerate() {
                let at = match freedom {
                    Freedom::ForeAndAft => Point::new(length.to_mm(), 0.0),
                    _ => Point::new(0.0, length.to_mm()),
                };
                let below = format!("{key}.#{}", index + 1);
                self.add(&below, called.to_owned(), at, freedom, true);
            }
        }
        self.path(&strip.path, "strip");
    }

    fn path(&mut self, path: &[Position], of: &str) {
        for (index, position) in path.iter().enumerate() {
            if let Position::At(at) = position {
                let called = format!("{of}, point {}", index + 1);
                self.add(
                    &format!("path.#{}", index + 1),
                    called,
                    *at,
                    Freedom::Anywhere,
                    true,
                );
            }
        }
    }
}

/// The way to the thing of a deck whose entry stands at `place`.
#[must_use]
pub fn way_at(layout: &Layout, deck: usize, place: Place) -> Option<Way> {
    let one = layout.decks.get(deck)?;
    let found = |kind: &str, index: Option<usize>| {
        index.map(|index| format!("deck.#{}.{kind}.#{}", deck + 1, index + 1))
    };
    let opening = one.openings.iter().position(|one| one.place == place);
    let fitting = one.fittings.iter().position(|one| one.place == place);
    let smooth = one.smooth.iter().position(|one| one.place == place);
    let pad = one.pads.iter().position(|one| one.place == place);
    let strip = one.strips.iter().position(|one| one.place == place);
    found("opening", opening)
        .or_else(|| found("fitting", fitting))
        .or_else(|| found("smooth", smooth))
        .or_else(|| found("pad", pad))
        .or_else(|| found("strip", strip))
}
