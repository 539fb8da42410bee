//! What a job takes: areas that are the figures' own, batches that a pot life allows, sums that add up, a list that a
//! shop can fill.

use std::path::Path;

use spile::figures::Figures;
use spile::layout::{self, Sources, Surface};
use spile::takeoff::{Batch, Part, Shelf, Stock, Takeoff, WorkKind};
use spile::units::{Area, Volume};
use spile::{Job, work_out};

/// The demo launch.
fn guillemot() -> (Job, Figures, Takeoff) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    let text = std::fs::read_to_string(folder.join("guillemot.toml")).expect("a demo");
    job(&text, "")
}

fn job(layout: &str, products: &str) -> (Job, Figures, Takeoff) {
    let mut sources = Sources::default();
    sources.add("products.toml", products.as_bytes().to_vec());
    let layout = layout::read(layout).expect("a layout");
    let job = work_out(layout, &sources).expect("a job");
    let figures = Figures::of(&job);
    let takeoff = Takeoff::of(&job, &figures);
    (job, figures, takeoff)
}

/// A deck of 4 by 2 m in so many fields of equal length, and what is done to it.
fn plain_deck(strips: &str, steps: &str) -> (Job, Figures, Takeoff) {
    let text = format!(
        r#"
title = "Plain"
[[deck]]
id = "d"
outline = {{ points = [[0, 0], [4000, 0], [4000, 2000], [0, 2000]] }}
margin = {{ edge = 50 }}
{strips}
{steps}
"#
    );
    job(&text, "")
}

const PAINT: &str = r#"
[[product]]
id = "paint"
solids = 50
part = [{ title = "base", parts = 3 }, { title = "hardener", parts = 1 }]
pot_life = "30 min"
pot_life_at = 20
slower = { title = "slow hardener", pot_life = "2 h", pot_life_at = 20 }
cans = [{ size = "1 L" }]
"#;

fn on_field(strips: &str, more: &str) -> (Job, Figures, Takeoff) {
    let steps = format!(
        "{PAINT}\n[[step]]\nid = \"grip\"\non = \"field\"\ncoat = \"paint\"\ncoats = 2\nfilm = \"50 um\"\n{more}"
    );
    plain_deck(strips, &steps)
}

#[test]
fn areas_by_zone_are_the_figures_to_the_last_digit() {
    let (_, figures, takeoff) = guillemot();
    for (deck, zone) in figures.decks.iter().zip(&takeoff.zones) {
        assert_eq!(deck.areas.border, zone.border);
        assert_eq!(deck.areas.field, zone.field);
        for (field, area) in deck.fields.iter().zip(&zone.fields) {
            assert_eq!((&field.id, field.area), (&area.id, area.area));
        }
    }
    let fields: Area = takeoff
        .zones
        .iter()
        .map(|zone| zone.area(Surface::Field))
        .sum();
    assert_eq!(fields, figures.areas().field);
}

#[test]
fn on_a_deck_with_camber_paint_goes_by_the_true_areas() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    let text = std::fs::read_to_string(folder.join("garganey.toml")).expect("a demo");
    let (_, figures, takeoff) = job(&text, "");
    let own = figures.decks[0].surface.as_ref().expect("camber");
    assert_eq!(takeoff.zones[0].border, own.areas.border);
    assert_eq!(takeoff.zones[0].field, own.areas.field);
    assert!(own.areas.field > figures.decks[0].areas.field);
}

/// Every field of every coat stands in one batch, in the order of the deck, and the batches' areas are the step's.
#[test]
fn every_piece_is_in_one_batch_and_all_add_up_to_the_step() {
    let (_, _, takeoff) = guillemot();
    let mut coats_seen = 0;
    for step in &takeoff.steps {
        let Some(coats) = &step.coats else { continue };
        coats_seen += 1;
        let pieces: Vec<Area> = coats
            .batches
            .iter()
            .flat_map(|batch| batch.pieces.iter().map(|piece| piece.area))
            .collect();
        let sum: Area = pieces.iter().copied().sum();
        assert!((sum - step.area).to_mm2().abs() < 1e-9 * step.area.to_mm2());
        for batch in &coats.batches {
            let own: Area = batch.pieces.iter().map(|piece| piece.area).sum();
            assert_eq!(own, batch.area);
        }
    }
    assert_eq!(coats_seen, 3);
}

/// What is bought of a paint is what all batches of all its coats measure, to the millilitre.
#[test]
fn what_is_bought_is_the_sum_of_what_is_measured() {
    let (_, _, takeoff) = guillemot();
    for step in &takeoff.steps {
        let Some(coats) = &step.coats else { continue };
        let item = takeoff
            .shopping
            .iter()
            .find(|item| item.id == coats.product)
            .expect("on the list");
        let mixed: Volume = coats.batches.iter().map(|batch| batch.mix.total).sum();
        assert_eq!(item.need, Stock::Volume(mixed * coats.coats as f64));
        assert_eq!(coats.mixed_a_coat(), mixed);
        for batch in &coats.batches {
            assert!(batch.mix.total >= batch.need);
        }
    }
}

/// 30 minutes at 20 °C, one roller at the slow pace of 9.3 m²/h: 4.65 m². The field of 3.9 x 1.9 m is larger.
#[test]
fn a_field_that_no_batch_reaches_over_is_named_with_what_would_help() {
    let (_, _, takeoff) = on_field("", "");
    assert_eq!(takeoff.too_large.len(), 1);
    let large = &takeoff.too_large[0];
    assert_eq!(large.piece.part, Part::Field("F1".into()));
    assert!((large.most.to_m2() - 4.65).abs() < 1e-9);
    assert_eq!((large.parts, large.hands), (Some(2), Some(2)));
    // 7.41 m² take 47.8 min; half an hour becomes that 6.7 °C cooler.
    let cooler = large.cooler.expect("it is warm enough for that");
    let minutes = 3.9 * 1.9 / 9.3 * 60.0;
    assert!((cooler.to_celsius() - (20.0 - 10.0 * f64::log2(minutes / 30.0))).abs() < 1e-6);
    assert_eq!(large.slower.as_deref(), Some("slow hardener"));
}

#[test]
fn a_strip_or_another_pair_of_hands_or_the_slow_hardeners_hours_make_it_possible() {
    let strip = "[[deck.strip]]\nwidth = 60\nacross_at = [2000]";
    let (_, _, broken) = on_field(strip, "");
    assert!(broken.too_large.is_empty());
    let batches = |takeoff: &Takeoff| -> Vec<Batch> {
        let coats = takeoff.steps.iter().find_map(|step| step.coats.clone());
        coats.expect("a coat").batches
    };
    // Each field is 3.65 m²: two together would be too much.
    assert_eq!(batches(&broken).len(), 2);
    let (_, _, two) = on_field(strip, "[job]\nlaying = 2");
    assert_eq!(batches(&two).len(), 1);
    let (_, _, cool) = on_field("", "[job]\ntemperature = 12");
    assert!(cool.too_large.is_empty());
    let (_, _, warm) = on_field(strip, "[job]\ntemperature = 28");
    assert_eq!(warm.too_large.len(), 2);
}

/// The primer goes over everything; it may stop where a strip will be painted over its wet edge.
#[test]
fn a_coat_over_a_whole_deck_stops_along_a_strip() {
    let steps = format!(
        "{PAINT}\n[[step]]\nid = \"prime\"\non = \"all\"\ncoat = \"paint\"\nfilm = \"50 um\""
    );
    let strip = "[[deck.strip]]\nwidth = 60\nacross_at = [2000]";
    let (_, _, takeoff) = plain_deck(strip, &steps);
    assert!(takeoff.too_large.is_empty());
    let coats = takeoff
        .steps
        .iter()
        .find_map(|step| step.coats.as_ref())
        .expect("a coat");
    let stretches: Vec<_> = coats
        .batches
        .iter()
        .flat_map(|batch| &batch.pieces)
        .filter_map(|piece| match &piece.part {
            Part::Stretch(stretch) => Some((stretch.from.to_mm(), stretch.to.to_mm())),
            _ => None,
        })
        .collect();
    assert_eq!(stretches, [(0.0, 2000.0), (2000.0, 4000.0)]);
    for batch in &coats.batches {
        assert!((batch.area.to_m2() - 4.0).abs() < 1e-9);
    }
    let (_, _, unbroken) = plain_deck("", &steps);
    assert_eq!(unbroken.too_large.len(), 1);
}

/// The border of the plain deck is 0.59 m²; in five minutes 0.775 m² are laid, in two 0.31.
#[test]
fn a_border_is_broken_where_it_is_narrow() {
    let paint = PAINT.replace("30 min", "2 min");
    let steps = format!(
        "{paint}\n[[step]]\nid = \"gloss\"\non = \"border\"\ncoat = \"paint\"\nfilm = \"50 um\""
    );
    let (_, _, takeoff) = plain_deck("", &steps);
    assert!(takeoff.too_large.is_empty());
    let coats = takeoff
        .steps
        .iter()
        .find_map(|step| step.coats.as_ref())
        .expect("a coat");
    assert_eq!(coats.batches.len(), 2);
    for batch in &coats.batches {
        assert!(batch.area.to_m2() <= 0.31);
        for piece in &batch.pieces {
            if let Part::Stretch(stretch) = &piece.part {
                // Across two margins of 50 mm, never along an end.
                assert!(stretch.wet_edge.to_mm() < 100.0 + 1e-6);
            }
        }
    }
}

/// The list of the demo launch, looked through line by line: whole cans, rolls and packs, nothing of nothing.
#[test]
fn the_demo_launchs_list_can_be_filled_by_a_chandler() {
    let (_, _, takeoff) = guillemot();
    for item in &takeoff.shopping {
        assert!(!item.buy.is_empty(), "{} is on sale", item.id);
        assert!(item.cost.is_some(), "{} has a price", item.id);
        assert!(item.buy.iter().all(|bought| bought.count > 0));
        assert!(!item.steps.is_empty(), "{} is for a step", item.id);
    }
    for shelf in Shelf::ALL {
        assert!(takeoff.shopping.iter().any(|item| item.shelf == shelf));
    }
    insta::assert_snapshot!(
        "guillemot_shopping_list",
        spile::export::takeoff::shopping_list(&takeoff)
    );
}

/// 20 m² of deck in two coats at 10 m²/L with 15 % lost: 4.8 L of primer, so 2.5 + 2.5 L in tins, at 98 each.
#[test]
fn tins_are_the_cheapest_that_hold_enough() {
    let (_, _, takeoff) = guillemot();
    let primer = takeoff
        .shopping
        .iter()
        .find(|item| item.id == "primer")
        .expect("primer");
    assert_eq!(
        primer.cost.map(spile::units::Money::to_smallest_units),
        Some(2 * 9800)
    );
}

#[test]
fn masking_and_setting_out_go_where_they_belong() {
    let (_, _, takeoff) = guillemot();
    let ids: Vec<&str> = takeoff.steps.iter().map(|step| step.id.as_str()).collect();
    assert_eq!(
        ids,
        [
            "wash",
            "sand",
            "wipe",
            "prime",
            "flat",
            "set-out",
            "mask-first",
            "gloss",
            "unmask-first",
            "key",
            "mask-reversed",
            "grip",
            "unmask-reversed",
            "mask-edge",
            "seal",
            "unmask-edge",
        ]
    );
    let total: f64 = takeoff
        .steps
        .iter()
        .flat_map(|step| &step.zones)
        .map(|zone| zone.hours.likely.to_hours())
        .sum();
    assert!((total - takeoff.hours.likely.to_hours()).abs() < 1e-9);
    for step in &takeoff.steps {
        let hours = step.hours();
        assert!(hours.low <= hours.likely && hours.likely <= hours.high);
    }
}

/// A layout without a step still says what masking takes.
#[test]
fn without_steps_there_is_tape_and_no_paint() {
    let (_, _, takeoff) = plain_deck("", "");
    assert!(
        takeoff
            .shopping
            .iter()
            .all(|item| item.shelf == Shelf::Masking)
    );
    assert!(!takeoff.shopping.is_empty());
    let masks = |step: &&spile::takeoff::WorkStep| matches!(step.kind, WorkKind::Mask(_));
    assert_eq!(takeoff.steps.iter().filter(masks).count(), 2);
}

/// 5900 less materials and expenses, over the likely hours.
#[test]
fn the_hour_is_worth_what_the_quote_leaves_for_it() {
    let (_, _, takeoff) = guillemot();
    let cost = &takeoff.cost;
    let quote = cost.quote.as_ref().expect("a quote");
    let even = quote.break_even.expect("it covers labour");
    let left = 590_000 - cost.materials.to_smallest_units() - cost.expenses.to_smallest_units();
    let an_hour = left as f64 / takeoff.hours.likely.to_hours();
    assert!((even.likely.to_smallest_units() as f64 - an_hour).abs() <= 0.5);
    assert!(even.low < even.likely && even.likely < even.high);
}

/// One file of products for several layouts; a layout's own product of the same id goes before it.
#[test]
fn layouts_share_a_file_of_products() {
    let products = format!(
        "currency = \"EUR\"\n{}",
        PAINT.replace("{ size = \"1 L\" }", "{ size = \"1 L\", price = 40 }")
    );
    let text = |own: &str| {
        format!(
            r#"
title = "Plain"
products = "products.toml"
[[deck]]
id = "d"
outline = {{ points = [[0, 0], [1000, 0], [1000, 1000], [0, 1000]] }}
{own}
[[step]]
id = "coat"
on = "all"
coat = "paint"
film = "50 um"
"#
        )
    };
    let (_, _, shared) = job(&text(""), &products);
    assert_eq!(shared.cost.materials.to_smallest_units(), 4000);
    let own = "[job]\ncurrency = \"EUR\"\n[[product]]\nid = \"paint\"\nsolids = 50\ncans = [{ size = \"1 L\", price = 60 }]";
    let (_, _, dearer) = job(&text(own), &products);
    assert_eq!(dearer.cost.materials.to_smallest_units(), 6000);
}

/// A filter mask is no protection against sprayed two-part paint (HSE, isocyanates): none is put on the list for it.
#[test]
fn no_filter_is_bought_for_what_is_sprayed() {
    let filters = |takeoff: &Takeoff| takeoff.shopping.iter().any(|item| item.id == "filters");
    let with = |method: &str| {
        plain_deck(
            "",
            &format!(
                "{PAINT}\n[[step]]\nid = \"grip\"\non = \"field\"\ncoat = \"paint\"\nfilm = \"50 um\"\nmethod = \"{method}\""
            ),
        )
        .2
    };
    assert!(filters(&with("roll")));
    assert!(!filters(&with("spray")));
}
