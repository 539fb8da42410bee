//! The decks that are kept because a peer is wrong there: spile still gives the settled areas on each. Which
//! peers still fail is printed (`./run.sh test -- --nocapture`), for a newer version may have learnt it.
#![allow(clippy::print_stdout, reason = "says which peers still fail")]
#![allow(clippy::panic, reason = "a test fails by panicking")]

use peers::agreement::{Case, Peer, Verdict};
use peers::geos::{Library, PATH};
use peers::kept;
use std::path::PathBuf;

#[test]
fn spile_gives_the_settled_areas_where_a_peer_fails() {
    let library = std::env::var_os(PATH).map(PathBuf::from);
    let library = library.expect("SPILE_GEOS names GEOS's C library; run.sh sets it");
    let library = Library::open(&library).expect("GEOS opens");
    let kept = kept::read().expect("the file reads");
    assert!(!kept.decks.is_empty());
    for kept in &kept.decks {
        let case = Case::of(kept.deck.clone()).expect("spile has a result");
        let figures = &case.ours().figures;
        for (stage, ours, settled) in [
            ("bare", figures.bare.area, kept.settled.bare_mm2),
            ("opened", figures.opened.area, kept.settled.opened_mm2),
            ("closed", figures.closed.area, kept.settled.closed_mm2),
        ] {
            // The file's last digit.
            assert!(
                (ours - settled).abs() < 1e-3,
                "{} {stage}: {ours}, settled {settled}",
                kept.name
            );
        }
        for peer in Peer::ALL {
            let Some(wrong) = kept.wrong.iter().find(|wrong| wrong.peer == peer.name()) else {
                continue;
            };
            let theirs = peer.outcome(&library, &kept.deck);
            let says = match case.verdict(theirs, peer.accuracy(&kept.deck)) {
                Verdict::Agrees => "right now".to_owned(),
                Verdict::KnifeEdge => "on a knife edge now".to_owned(),
                Verdict::Failed(fault) => format!("still fails: {fault}"),
                Verdict::PeerWrong(dispute) => format!(
                    "still wrong about {:.0} mm² ({})",
                    dispute.theirs_wrong, dispute.stage
                ),
                Verdict::Unsettled(_) => "differs, left open".to_owned(),
                Verdict::OursWrong(dispute) => {
                    panic!("{}: spile is wrong: {dispute:?}", kept.name)
                }
            };
            println!("{}: {} ({}) {says}", kept.name, peer.name(), wrong.stage);
        }
    }
}
