//! Decks on which a peer is wrong, kept as data: their measures, who was wrong and by how much, and the
//! settled areas. Whoever has the file can build each deck and try.

use crate::agreement::{Case, Peer, Verdict};
use crate::deck::Deck;
use crate::random;
use crate::run::Finding;
use serde::{Deserialize, Serialize};

/// The file beside the crate's manifest.
pub const FILE: &str = "decks_where_a_peer_fails.toml";

/// The file's text, as it was when this was compiled.
const TEXT: &str = include_str!("../decks_where_a_peer_fails.toml");

/// All of the file.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Kept {
    /// Deck by deck.
    #[serde(default)]
    pub decks: Vec<KeptDeck>,
}

/// A deck, what is right on it, and who was wrong.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct KeptDeck {
    /// Kind and number in the random sets.
    pub name: String,
    /// The settled areas: wherever an engine parts from them the definition is with them.
    pub settled: Settled,
    /// Whether elsewhere on the deck a passage is just as wide as a disc, so that either area is right; the
    /// settled ones are then spile's.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub knife_edge: bool,
    /// Who was wrong.
    pub wrong: Vec<WrongPeer>,
    /// Its measures.
    pub deck: Deck,
}

/// Areas that are right, mm².
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Settled {
    /// What margins, obstacles and strips leave.
    pub bare_mm2: f64,
    /// That, opened.
    pub opened_mm2: f64,
    /// That, closed.
    pub closed_mm2: f64,
}

/// An engine that was wrong.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct WrongPeer {
    /// Which, with its chords.
    pub peer: String,
    /// Which stage went wrong.
    pub stage: String,
    /// The area it gave; none where it gave nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area_mm2: Option<f64>,
    /// The area that it is wrong about, by the definition; what is missing here and too much there do not
    /// cancel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wrong_about_mm2: Option<f64>,
    /// What it said instead of a result.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failure: Option<String>,
}

/// The decks of the file.
///
/// # Errors
/// Where the file cannot be read.
pub fn read() -> Result<Kept, String> {
    toml::from_str(TEXT).map_err(|fault| fault.to_string())
}

/// The file's text for some decks.
///
/// # Errors
/// Where a value has no place in TOML.
pub fn write(kept: &Kept) -> Result<String, String> {
    let head = "\
# Decks on which a general-purpose geometry library is wrong, or gives nothing, where spile is right. The pattern:
# the outline shrunk by `margin`, less every obstacle grown by its own margin, less the strips; opened with a disc of
# radius `round`; closed with one of radius `hollow`. Lengths in mm, areas in mm². Shapes are those of src/deck.rs.
# Written by `./run.sh settle`; each disagreement is settled by the definition (src/definition.rs).

";
    toml::to_string(kept)
        .map(|text| format!("{head}{text}"))
        .map_err(|fault| fault.to_string())
}

/// Decks kept for each peer.
const FOR_EACH: usize = 8;

/// Picks the decks to keep from what a comparison found: for each peer those it is wrong about most, decks
/// without a knife edge first.
///
/// # Errors
/// Where spile fails on one.
pub fn select(findings: &[Finding]) -> Result<Kept, String> {
    let mut picked: Vec<&Finding> = Vec::new();
    for peer in Peer::ALL {
        let mut of_peer: Vec<(bool, f64, &Finding)> = Vec::new();
        for finding in findings.iter().filter(|finding| finding.peer == Some(peer)) {
            let wrong_about = match &finding.verdict {
                Verdict::PeerWrong(dispute) => dispute.theirs_wrong,
                Verdict::Failed(_) => f64::INFINITY,
                _ => continue,
            };
            let case = Case::of(random::deck(finding.kind, finding.number))?;
            of_peer.push((case.brackets().jump_anywhere(), wrong_about, finding));
        }
        of_peer.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
        picked.extend(
            of_peer
                .iter()
                .take(FOR_EACH)
                .map(|(_, _, finding)| *finding),
        );
    }
    let mut names: Vec<(random::Kind, u64)> = Vec::new();
    for finding in picked {
        if !names.contains(&(finding.kind, finding.number)) {
            names.push((finding.kind, finding.number));
        }
    }
    let decks = names
        .into_iter()
        .map(|(kind, number)| keep(kind, number, findings));
    Ok(Kept {
        decks: decks.collect::<Result<_, _>>()?,
    })
}

fn keep(kind: random::Kind, number: u64, findings: &[Finding]) -> Result<KeptDeck, String> {
    let case = Case::of(random::deck(kind, number))?;
    let wrong = findings
        .iter()
        .filter(|finding| finding.kind == kind && finding.number == number)
        .filter_map(|finding| {
            let peer = finding.peer?.name();
            match &finding.verdict {
                Verdict::PeerWrong(dispute) => Some(WrongPeer {
                    peer,
                    stage: dispute.stage.to_owned(),
                    area_mm2: Some(rounded(dispute.theirs.area)),
                    wrong_about_mm2: Some(dispute.theirs_wrong.round()),
                    failure: None,
                }),
                Verdict::Failed(fault) => Some(WrongPeer {
                    peer,
                    stage: "all".to_owned(),
                    area_mm2: None,
                    wrong_about_mm2: None,
                    failure: Some(fault.clone()),
                }),
                _ => None,
            }
        })
        .collect();
    let figures = &case.ours().figures;
    Ok(KeptDeck {
        name: format!("{} {number}", kind.name()),
        settled: Settled {
            bare_mm2: rounded(figures.bare.area),
            opened_mm2: rounded(figures.opened.area),
            closed_mm2: rounded(figures.closed.area),
        },
        knife_edge: case.brackets().jump_anywhere(),
        wrong,
        deck: case.deck().clone(),
    })
}

/// To a thousandth of a mm².
fn rounded(area: f64) -> f64 {
    (area * 1e3).round() / 1e3
}
