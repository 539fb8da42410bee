//! What a foot meets: the distance to grip is what a raster finds, widths are those of closed forms, settings say what is
//! pointed out, and nothing that is said is a judgement.

#[path = "common/beside.rs"]
mod beside;

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use spile::drawing::{Drawing, Fill, Layer, Mark, SheetRequest, View, draw};
use spile::layout;
use spile::pattern::{
    Finding, Footing, Limit, Pattern, What, furthest_from_grip, walkable, widest_smooth,
};
use spile::shape::{Point, Region, Ring, Segment};
use spile::units::Length;
use spile::{Job, work_out};

const DEMOS: [&str; 10] = [
    "cormorant",
    "dabchick",
    "dunlin",
    "garganey",
    "guillemot",
    "redshank",
    "sanderling",
    "turnstone",
    "whimbrel",
    "chandler",
];

fn job(text: &str) -> Job {
    let layout = layout::read(text).expect("a layout");
    let sources = beside::beside(&layout);
    work_out(layout, &sources).expect("a job")
}

fn text_of(name: &str) -> Option<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    std::fs::read_to_string(folder.join(format!("{name}.toml"))).ok()
}

fn demos() -> Vec<(&'static str, Job)> {
    let texts = DEMOS
        .iter()
        .filter_map(|name| Some((*name, text_of(name)?)));
    texts.map(|(name, text)| (name, job(&text))).collect()
}

/// Distance from a point to a segment, by school geometry.
fn distance(at: Point, segment: &Segment) -> f64 {
    match segment {
        Segment::Line(start, end) => {
            let along = *end - *start;
            let share = (at - *start).dot(along) / along.dot(along).max(1e-300);
            at.distance(*start + along * share.clamp(0.0, 1.0))
        }
        Segment::Arc(arc) => {
            let out = at - arc.centre;
            let from = arc.start - arc.centre;
            let turn = from.cross(out).atan2(from.dot(out));
            let swept = if arc.sweep >= 0.0 { turn } else { -turn };
            let full = std::f64::consts::TAU;
            if swept.rem_euclid(full) <= arc.sweep.abs() {
                (out.length() - arc.radius).abs()
            } else {
                at.distance(arc.start).min(at.distance(arc.end))
            }
        }
    }
}

fn distance_to(at: Point, region: &Region) -> f64 {
    let segments = region.segments();
    segments.fold(f64::INFINITY, |least, one| least.min(distance(at, one)))
}

/// The greatest distance to non-skid on a raster of 1 mm over the walkable deck. Looked at are cells of 64 mm first, then
/// the smaller cells of those that can still hold the greatest: a distance changes by no more than one moves, so no cell
/// holds more than its middle and half its diagonal. No 1 mm cell that could hold the answer is left out. A cell counts
/// where its middle lies on the deck or no further off it than half its diagonal.
fn greatest_on_raster(pattern: &Pattern) -> f64 {
    let (deck, fields) = (walkable(pattern), pattern.field_region());
    let (on_deck, in_fields) = (deck.boundary(), fields.boundary());
    let bounds = deck.bounding_box();
    let mut side = 64.0;
    let mut cells = Vec::new();
    let mut y = bounds.least.y;
    while y < bounds.greatest.y {
        let mut x = bounds.least.x;
        while x < bounds.greatest.x {
            cells.push(Point::new(x, y));
            x += side;
        }
        y += side;
    }
    loop {
        let half = side / 2.0;
        let reach = half * std::f64::consts::SQRT_2;
        let mut greatest: f64 = 0.0;
        let mut measured = Vec::new();
        for corner in cells {
            let middle = corner + Point::new(half, half);
            let is_on = on_deck.contains(middle);
            if !is_on && distance_to(middle, &deck) > reach {
                continue;
            }
            let off = if in_fields.contains(middle) {
                0.0
            } else {
                distance_to(middle, &fields)
            };
            // On the deck, or one of the finest cells.
            if is_on || side <= 1.0 {
                greatest = greatest.max(off);
            }
            measured.push((corner, off));
        }
        if side <= 1.0 {
            return greatest;
        }
        side /= 2.0;
        cells = measured
            .into_iter()
            .filter(|(_, off)| off + reach >= greatest)
            .flat_map(|(corner, _)| {
                [(0.0, 0.0), (side, 0.0), (0.0, side), (side, side)]
                    .map(|(x, y)| corner + Point::new(x, y))
            })
            .collect();
    }
}

#[test]
fn the_distance_to_grip_is_what_a_raster_of_a_millimetre_finds() {
    let mut decks = 0;
    for (name, job) in demos() {
        for deck in &job.decks {
            let found = furthest_from_grip(&deck.pattern)
                .expect("a deck with fields")
                .distance
                .to_mm();
            let raster = greatest_on_raster(&deck.pattern);
            assert!(
                (found - raster).abs() <= 1.0,
                "{name}, {}: {found} is {raster} on the raster",
                deck.plan.id
            );
            decks += 1;
        }
    }
    assert!(decks >= 12, "{decks} decks");
}

#[test]
fn turned_and_shifted_a_deck_is_as_far_from_grip() {
    let motion = |point: Point| point.turned(0.7) + Point::new(1234.5, -678.9);
    for (name, job) in demos() {
        for deck in &job.decks {
            let here = furthest_from_grip(&deck.pattern).expect("a deck with fields");
            let fields = deck.pattern.field_region().moved(&motion);
            let border = deck.pattern.border.moved(&motion);
            let there = border
                .furthest_from(&fields, Length::mm(0.05))
                .expect("as it was before");
            let change = (here.distance - there.distance).to_mm().abs();
            assert!(change <= 0.1, "{name}, {}: {change}", deck.plan.id);
        }
    }
}

/// A plain deck of 3 m by 1.2 m to starboard of the centreline, and what else is on it.
fn plain(margin: &str, rest: &str) -> String {
    format!(
        "title = \"Plain\"\n[[deck]]\nid = \"deck\"\n\
         outline = {{ points = [[0, 0], [3000, 0], [3000, 1200], [0, 1200]] }}\n\
         margin = {{ {margin} }}\n{rest}\n"
    )
}

fn footing(text: &str) -> Footing {
    let job = job(text);
    let [deck] = job.decks.as_slice() else {
        unreachable!("one deck was written")
    };
    deck.footing(&job.layout)
}

fn grip(text: &str) -> f64 {
    let grip = footing(text).grip.expect("some of it is smooth");
    grip.distance.to_mm()
}

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 0.05, "{found} for {expected}");
}

const STRIP: &str = "[[deck.strip]]\nwidth = 60\nacross_at = [1500]";

#[test]
fn the_distance_to_grip_of_what_has_a_closed_form() {
    // Half way across a strip between two fields.
    close(grip(&plain("edge = 0", STRIP)), 30.0);
    // In the corner of a margin.
    close(grip(&plain("edge = 50", "")), 50.0 * 2.0_f64.sqrt());
    // In the corner of a margin round a field rounded to 40: the corner is √2 (50 + 40) from the middle of the arc.
    let rounded = plain("edge = 50", "radius = { round = 40 }");
    close(grip(&rounded), 90.0 * 2.0_f64.sqrt() - 40.0);
    // The middle of a disc that stays smooth.
    let disc = "[[deck.smooth]]\ncircle = { at = [1500, 600], radius = 210 }";
    close(grip(&plain("edge = 0", disc)), 210.0);
    // Nobody stands in a hatch: beside it, it is its margin to the grip, and in the corner a margin's corner.
    let hatch = "[[deck.opening]]\nname = \"hatch\"\ncircle = { at = [1500, 600], radius = 300 }\nmargin = 80";
    close(grip(&plain("edge = 20", hatch)), 80.0);
}

fn of_kind(footing: &Footing, is_it: impl Fn(&What) -> bool) -> Vec<&Finding> {
    let findings = footing.findings.iter();
    findings.filter(|finding| is_it(&finding.what)).collect()
}

fn names(findings: &[&Finding]) -> Vec<String> {
    findings
        .iter()
        .map(|finding| finding.name.clone())
        .collect()
}

#[test]
fn a_walk_is_as_smooth_as_what_it_crosses() {
    let walk = |path: &str| format!("{STRIP}\n[[deck.walk]]\nname = \"aft\"\npath = {path}");
    let met = |path: &str| {
        let footing = footing(&plain("edge = 0", &walk(path)));
        let found = of_kind(&footing, |what| matches!(what, What::Walk { .. }));
        let [one] = found.as_slice() else {
            return None;
        };
        let What::Walk { longest, .. } = one.what else {
            return None;
        };
        Some((longest.to_mm(), one.width.to_mm()))
    };
    // Square across the strip, and at an angle of 3 and 4: 60 by 5 / 3.
    for (path, length) in [
        ("[[100, 600], [2900, 600]]", 60.0),
        ("[[1200, 200], [1800, 1000]]", 100.0),
        // Beyond the deck there is nothing to walk on.
        ("[[-500, 600], [3500, 600]]", 60.0),
    ] {
        let (longest, widest) = met(path).expect("it crosses the strip");
        close(longest, length);
        close(widest / 2.0, 30.0);
    }
    assert_eq!(met("[[100, 600], [1400, 600]]"), None);
    // Along the middle of the strip.
    let (longest, widest) = met("[[1500, 0], [1500, 1200]]").expect("all of it is smooth");
    close(longest, 1200.0);
    close(widest / 2.0, 30.0);
    // A hatch on the way is no smooth deck.
    let hatch = "[[deck.opening]]\nname = \"hatch\"\ncircle = { at = [800, 600], radius = 300 }\nmargin = 20";
    let text = plain(
        "edge = 0",
        &format!("{hatch}\n[[deck.walk]]\nname = \"a\"\npath = [[100, 600], [1400, 600]]"),
    );
    let footing = footing(&text);
    let walks = of_kind(&footing, |what| matches!(what, What::Walk { .. }));
    let [one] = walks.as_slice() else {
        unreachable!("there is one walk")
    };
    let What::Walk { longest, .. } = one.what else {
        unreachable!("it is a walk")
    };
    close(longest.to_mm(), 20.0);
    close(one.width.to_mm() / 2.0, 20.0);
}

#[test]
fn settings_say_what_is_pointed_out() {
    let things = "\
        [[deck.opening]]\nname = \"hatch\"\nglazed = true\nmargin = 100\n\
        rectangle = { at = [800, 600], size = [520, 400], radius = 60 }\n\
        [[deck.fitting]]\nname = \"winch\"\nmargin = 90\ncircle = { at = [2000, 600], diameter = 200 }\n\
        [[deck.foothold]]\nname = \"gate\"\nat = [1500, 1200]\n\
        [[deck.walk]]\nname = \"aft\"\npath = [[800, 600], [2900, 600]]\n\
        [[deck.strip]]\nwidth = 60\nacross_at = [2860]";
    let all = |settings: &str| footing(&plain("edge = 20", &format!("{things}\n{settings}")));
    let is = |footing: &Footing, kind: &What| {
        let same = |what: &What| std::mem::discriminant(what) == std::mem::discriminant(kind);
        names(&of_kind(footing, same))
    };
    let usual = all("");
    let glazed = What::Glazed {
        shorter: Length::ZERO,
    };
    let waterway = What::Waterway { above_lowest: None };
    let small = What::SmallField {
        area: spile::units::Area::ZERO,
    };
    assert_eq!(is(&usual, &What::Round), ["hatch", "winch"]);
    assert_eq!(is(&usual, &What::StopsShort), [""; 0]);
    assert_eq!(is(&usual, &glazed), ["hatch"]);
    assert_eq!(is(&usual, &waterway), ["F1", "F2"]);
    assert_eq!(is(&usual, &small), [""; 0]);
    for (settings, kind, expected) in [
        ("widest_smooth = 95", What::Round, vec!["hatch"]),
        ("widest_smooth = 60", What::Round, vec!["hatch", "winch"]),
        ("widest_smooth = 130", What::Round, vec![]),
        ("stops_short = 95", What::StopsShort, vec!["hatch"]),
        // What non-skid stops short of is not told of a second time.
        ("stops_short = 95", What::Round, vec!["winch"]),
        ("stops_short = 15", What::StopsShort, vec!["hatch", "gate"]),
        ("glazed = 519", glazed, vec!["hatch"]),
        ("glazed = 521", glazed, vec![]),
        ("waterway = 20", waterway, vec![]),
        ("least_field = 0.2", small, vec!["F2"]),
    ] {
        let found = all(&format!("[underfoot]\n{settings}"));
        assert_eq!(is(&found, &kind), expected, "{settings}");
    }
    // Nobody steps on it: no walk, no foothold.
    let unwalked = things.replace(
        "[[deck.walk]]\nname = \"aft\"\npath = [[800, 600], [2900, 600]]\n",
        "",
    );
    assert_eq!(
        is(&footing(&plain("edge = 20", &unwalked)), &glazed),
        [""; 0]
    );
    // Each says where its setting comes from.
    let own = all("[underfoot]\nwidest_smooth = 60");
    let limits = |footing: &Footing| {
        let rounds = of_kind(footing, |what| *what == What::Round);
        rounds.iter().map(|one| one.limit).collect::<Vec<_>>()
    };
    for (footing, is_own) in [(&own, true), (&usual, false)] {
        for limit in limits(footing) {
            let Limit::Width(limit) = limit else {
                unreachable!("it is a width")
            };
            assert_eq!(limit.origin == layout::Origin::Layout, is_own);
        }
    }
}

#[test]
fn non_skid_is_measured_from_where_people_step() {
    let text = plain(
        "edge = 20",
        "[[deck.smooth]]\nrectangle = { at = [2800, 600], size = [400, 400] }\n\
         [[deck.foothold]]\nname = \"ladder head\"\nat = [3010, 600]",
    );
    let footing = footing(&text);
    let short = of_kind(&footing, |what| *what == What::StopsShort);
    let [ladder] = short.as_slice() else {
        unreachable!("one place is stepped on")
    };
    // The smooth rectangle ends at 800 above the ladder, 200 off, and the field goes on 20 inside the edge.
    close(ladder.width.to_mm(), 200.0_f64.hypot(30.0));
}

#[test]
fn water_is_held_where_a_field_is_near_the_edge_and_the_height_of_it_is_told() {
    let camber = "camber = { rise = 48, beam = 2400 }\nsheer = { heights = [[0, 90], [1500, 60], [3000, 30]] }";
    let text = plain("edge = 50, edges = { outer = 10 }", camber)
        .replace("[3000, 1200]", "{ at = [3000, 1200], edge = \"outer\" }");
    let footing = footing(&text);
    let dams = of_kind(&footing, |what| matches!(what, What::Waterway { .. }));
    let [dam] = dams.as_slice() else {
        unreachable!("one field is near the edge")
    };
    close(dam.width.to_mm(), 10.0);
    close(dam.at.y, 1200.0);
    let What::Waterway {
        above_lowest: Some(above),
    } = dam.what
    else {
        unreachable!("the deck has heights")
    };
    // It falls 60 over 3 m of the outer edge, which is the lowest.
    close(above.to_mm(), 20.0e-3 * (3000.0 - dam.at.x));
}

/// Words that a person could take for a judgement.
const JUDGEMENTS: [&str; 14] = [
    "complies",
    "comply",
    "compliant",
    "safe",
    "unsafe",
    "fails",
    "fail",
    "passes",
    "legal",
    "acceptable",
    "must",
    "should",
    "dangerous",
    "adequate",
];

fn everything() -> String {
    let mut rest = String::new();
    for x in 0..20 {
        for y in 0..5 {
            let (x, y) = (200 + 130 * x, 200 + 180 * y);
            let _ = write!(
                rest,
                "[[deck.fitting]]\nname = \"eye {x} {y}\"\nmargin = 50\ncircle = {{ at = [{x}, {y}], diameter = 20 }}\n"
            );
        }
    }
    rest.push_str(
        "[[deck.opening]]\nname = \"hatch\"\nglazed = true\nrectangle = { at = [1500, 600], size = [600, 500] }\n\
         [[deck.walk]]\nname = \"aft\"\npath = [[100, 600], [2900, 600]]\n\
         [[deck.foothold]]\nname = \"gate\"\nat = [1500, 1290]\n\
         [underfoot]\nwidest_smooth = 30\nstops_short = 60",
    );
    plain("edge = 10", &rest)
}

#[test]
fn what_is_said_gives_widths_places_and_sources_and_judges_nothing() {
    let mut footings = vec![footing(&everything())];
    for (_, job) in demos() {
        footings.extend(job.decks.iter().map(|deck| deck.footing(&job.layout)));
    }
    let notes: Vec<String> = footings.iter().flat_map(Footing::notes).collect();
    let reasons: Vec<String> = footings.iter().flat_map(Footing::reasons).collect();
    assert!(notes.len() > 20);
    for note in notes.iter().chain(&reasons) {
        let words = note.split(|letter: char| !letter.is_alphabetic());
        for word in words {
            let word = word.to_lowercase();
            assert!(!JUDGEMENTS.contains(&word.as_str()), "{word}: {note}");
        }
    }
    for note in &notes {
        assert!(note.contains("station"), "no place: {note}");
        // Every limit is named, and where it comes from is said.
        let key = note.split('`').nth(1);
        let reason = key.map(|key| format!("`{key}`, "));
        assert!(
            note.contains("Grip is furthest")
                || reason.is_some_and(|key| reasons.iter().any(|reason| reason.starts_with(&key))),
            "no source: {note}"
        );
    }
    let sourced = [
        "from memory",
        "common practice, no source",
        "ISO 15085",
        "the layout's own",
    ];
    for reason in &reasons {
        assert!(
            sourced.iter().any(|source| reason.contains(source)),
            "{reason}"
        );
    }
}

#[test]
fn a_hundred_fittings_are_told_in_one_line() {
    let footing = footing(&everything());
    let round = of_kind(&footing, |what| *what == What::Round);
    assert!(round.len() > 60, "{}", round.len());
    let notes = footing.notes();
    assert!(notes.len() <= 7, "{notes:#?}");
    let note = notes
        .iter()
        .find(|note| note.contains("Smooth for more than 30 mm (`widest_smooth`) round"))
        .expect("fittings are told of");
    assert!(
        note.contains(&format!("and {} more", round.len() - 5)),
        "{note}"
    );
    // The widest first.
    let widths: Vec<f64> = round.iter().map(|one| -one.width.to_mm()).collect();
    assert!(widths.is_sorted());
}

#[test]
fn a_deck_without_non_skid_has_no_distance_to_it() {
    let footing = footing(&plain("edge = 700", ""));
    assert_eq!(footing.grip, None);
    assert!(footing.findings.is_empty());
    let widest = footing.widest.expect("all of it is smooth");
    close(widest.width.to_mm() / 2.0, 600.0);
}

#[test]
fn the_check_tells_it_as_notes_and_ends_well() {
    let layouts = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts/guillemot.toml");
    let output = Command::new(env!("CARGO_BIN_EXE_spile"))
        .arg("check")
        .arg(layouts)
        .output()
        .expect("it runs");
    assert!(output.status.success());
    let said = String::from_utf8_lossy(&output.stderr);
    let grip = said
        .lines()
        .filter(|line| line.contains("Grip is furthest"));
    assert_eq!(grip.count(), 4, "{said}");
    assert!(said.contains("note: "));
    assert!(said.contains("ask your surveyor"));
    let out = String::from_utf8_lossy(&output.stdout);
    assert_eq!(out.lines().count(), 1, "{out}");
}

#[test]
fn where_nothing_is_nearer_the_widest_smooth_place_is_twice_as_wide_as_grip_is_far() {
    for (name, job) in demos() {
        for deck in &job.decks {
            let patch = widest_smooth(&deck.pattern).expect("a border");
            let grip = furthest_from_grip(&deck.pattern).expect("fields");
            // A disc of the border keeps clear of the fields.
            assert!(
                patch.width.to_mm() / 2.0 <= grip.distance.to_mm() + 0.1,
                "{name}, {}",
                deck.plan.id
            );
        }
    }
}

fn faults_of(text: &str) -> String {
    let layout = layout::read(text).expect("it reads");
    let faults = work_out(layout, &layout::Sources::default()).expect_err("it is at fault");
    layout::render_faults("plain.toml", text, &faults)
}

#[test]
fn walks_and_footholds_off_the_deck_are_shown_in_the_file() {
    let said = faults_of(&plain(
        "edge = 20",
        "[[deck.walk]]\nname = \"ashore\"\npath = [[100, -300], [900, -500]]\n\
         [[deck.foothold]]\nname = \"ladder head\"\nat = [3500, 600]",
    ));
    for words in [
        "the walk \"ashore\" lies wholly outside the deck",
        "plain.toml:8:",
        "path = [[100, -300], [900, -500]]",
        "the foothold \"ladder head\" lies off the deck",
        "500 mm from the deck",
        "plain.toml:11:",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

fn drawn(text: &str) -> Drawing {
    let request = SheetRequest {
        view: View::Underfoot,
        ..SheetRequest::default()
    };
    draw(&job(text), &request).expect("it fits")
}

/// The tints of the drawing with their greys and areas on the deck, the undermost first.
fn tints(drawing: &Drawing) -> Vec<(u8, f64)> {
    let marks = drawing.marks.iter();
    let paths = marks.filter_map(|mark| match mark {
        Mark::Path(path) if path.layer == Layer::Grip => Some(path),
        _ => None,
    });
    paths
        .map(|path| {
            let Fill::Grey(grey) = path.fill else {
                unreachable!("it is a tint")
            };
            let rings = path.runs.iter().map(|run| Ring::new(run.segments.clone()));
            let on_sheet: f64 = rings.map(|ring| ring.signed_area()).sum();
            (grey, on_sheet * drawing.scale.divisor().powi(2))
        })
        .collect()
}

#[test]
fn the_bands_of_the_picture_have_the_areas_of_discs() {
    let disc = "[[deck.smooth]]\ncircle = { at = [1500, 600], radius = 210 }";
    let found = tints(&drawn(&plain("edge = 0", disc)));
    // Seven bands of 30 mm, each without the disc that is further off, and the field over them, in white.
    let deck = 3000.0 * 1200.0;
    let without = |radius: f64| deck - std::f64::consts::PI * radius * radius;
    let radii = [0.0, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0, 210.0];
    assert_eq!(found.len(), radii.len());
    for ((_, area), radius) in found.iter().zip(radii) {
        assert!((area - without(radius)).abs() < 1.0, "{area} at {radius}");
    }
    assert!(found.is_sorted_by(|a, b| a.0 < b.0), "{found:?}");
    assert_eq!(found.last().map(|last| last.0), Some(255));
}

#[test]
fn the_picture_has_five_to_seven_bands_and_names_what_is_walked() {
    for (name, job) in demos() {
        for deck in &job.decks {
            let request = SheetRequest {
                view: View::Underfoot,
                deck: Some(deck.plan.id.clone()),
                ..SheetRequest::default()
            };
            let drawing = draw(&job, &request).expect("it fits");
            let bands = tints(&drawing).len() - deck.pattern.fields.len();
            assert!((5..=7).contains(&bands), "{name}: {bands} bands");
            assert_eq!(drawing.unplaced, [""; 0], "{name}");
            let texts: Vec<&str> = drawing.texts().map(|text| text.content.as_str()).collect();
            let is_there = |name: &str| texts.iter().any(|text| text.contains(name));
            for walk in &deck.plan.walks {
                assert!(is_there(&walk.name), "{name}: {}", walk.name);
            }
            for foothold in &deck.plan.footholds {
                assert!(is_there(&foothold.name), "{name}: {}", foothold.name);
            }
            assert!(texts.iter().any(|text| text.starts_with('Ø')), "{name}");
        }
    }
}
