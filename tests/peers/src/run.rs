//! The comparison over many decks, on all cores, and its table.

use crate::agreement::{Case, Dispute, Peer, Verdict};
use crate::exactness::{Asked, ask};
use crate::geos::Library;
use crate::random::{self, Kind};
use std::fmt::Write as _;
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

/// What is to be compared.
#[derive(Debug, Clone, Copy)]
pub struct Plan<'a> {
    /// GEOS's C library.
    pub library: &'a Path,
    /// Number of the first deck of each kind.
    pub first: u64,
    /// Decks of each kind.
    pub decks: u64,
    /// The slow engines are given one deck in so many; see [`Peer::one_in`].
    pub slow: u64,
}

/// One peer on decks of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Equal within the tolerance.
    pub agree: u64,
    /// Decks on a knife edge.
    pub knife_edges: u64,
    /// The peer is wrong.
    pub wrong: u64,
    /// The peer gave nothing, or nothing valid.
    pub failed: u64,
    /// Left open.
    pub unsettled: u64,
    /// spile is wrong.
    pub ours_wrong: u64,
}

/// A deck on which an engine is wrong, fails, or is left open.
#[derive(Debug, Clone)]
pub struct Finding {
    /// Which set.
    pub kind: Kind,
    /// Which deck of it.
    pub number: u64,
    /// Which peer; none where spile itself failed or parts from the definition.
    pub peer: Option<Peer>,
    /// What came of it.
    pub verdict: Verdict,
}

/// All that was found on decks of one kind.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// For each of [`Peer::ALL`].
    pub counts: [Counts; Peer::ALL.len()],
    /// Points asked of the definition.
    pub asked: Asked,
    /// Decks whose boundary was asked about.
    pub asked_decks: u64,
    /// Everything but agreement and knife edges, in the order of the decks.
    pub findings: Vec<Finding>,
}

/// Compares on decks of one kind.
///
/// # Errors
/// Where GEOS cannot be opened.
pub fn compare(plan: &Plan, kind: Kind) -> Result<Found, String> {
    let next = AtomicU64::new(plan.first);
    let end = plan.first + plan.decks;
    let worker = || -> Result<Found, String> {
        let library = Library::open(plan.library)?;
        let mut found = Found::default();
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= end {
                return Ok(found);
            }
            found.try_deck(&library, kind, number, plan.slow);
        }
    };
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let parts: Vec<_> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..cores).map(|_| scope.spawn(worker)).collect();
        workers
            .into_iter()
            .map(std::thread::ScopedJoinHandle::join)
            .collect()
    });
    let mut all = Found::default();
    for part in parts {
        all.add(part.map_err(|_| "a worker panicked outside the engines".to_owned())??);
    }
    all.findings.sort_by_key(|finding| finding.number);
    Ok(all)
}

impl Found {
    fn try_deck(&mut self, library: &Library, kind: Kind, number: u64, slow: u64) {
        let finding = |peer, verdict| Finding {
            kind,
            number,
            peer,
            verdict,
        };
        let case = match Case::of(random::deck(kind, number)) {
            Ok(case) => case,
            Err(fault) => {
                self.findings.push(finding(None, Verdict::Failed(fault)));
                return;
            }
        };
        for (index, peer) in Peer::ALL.into_iter().enumerate() {
            if !number.is_multiple_of(peer.one_in(slow)) {
                continue;
            }
            let accuracy = peer.accuracy(case.deck());
            let verdict = case.verdict(peer.outcome(library, case.deck()), accuracy);
            let counts = &mut self.counts[index];
            match &verdict {
                Verdict::Agrees => counts.agree += 1,
                Verdict::KnifeEdge => counts.knife_edges += 1,
                Verdict::Failed(_) => counts.failed += 1,
                Verdict::PeerWrong(_) => counts.wrong += 1,
                Verdict::Unsettled(_) => counts.unsettled += 1,
                Verdict::OursWrong(_) => counts.ours_wrong += 1,
            }
            if !matches!(verdict, Verdict::Agrees | Verdict::KnifeEdge) {
                self.findings.push(finding(Some(peer), verdict));
            }
        }
        if number.is_multiple_of(slow) {
            let asked = ask(&case, number);
            self.asked = self.asked.plus(asked);
            self.asked_decks += 1;
            if let Some((stage, at)) = asked.first_wrong {
                let text = format!(
                    "{} points on the wrong side, the first of them {stage:?} at {:?}, {:?}",
                    asked.wrong, at.x, at.y
                );
                self.findings.push(finding(None, Verdict::Failed(text)));
            }
        }
    }

    fn add(&mut self, other: Self) {
        for (counts, more) in self.counts.iter_mut().zip(other.counts) {
            counts.agree += more.agree;
            counts.knife_edges += more.knife_edges;
            counts.wrong += more.wrong;
            counts.failed += more.failed;
            counts.unsettled += more.unsettled;
            counts.ours_wrong += more.ours_wrong;
        }
        self.asked = self.asked.plus(other.asked);
        self.asked_decks += other.asked_decks;
        self.findings.extend(other.findings);
    }

    /// Whether spile was right everywhere, and nothing was left open.
    #[must_use]
    pub fn ours_is_right(&self) -> bool {
        self.findings.iter().all(|finding| match finding.verdict {
            Verdict::OursWrong(_) | Verdict::Unsettled(_) => false,
            Verdict::Failed(_) => finding.peer.is_some(),
            _ => true,
        })
    }

    /// The counts as rows of a table in Markdown.
    #[must_use]
    pub fn rows(&self, kind: Kind) -> String {
        let mut rows = String::new();
        for (peer, counts) in Peer::ALL.into_iter().zip(&self.counts) {
            let tried = counts.agree
                + counts.knife_edges
                + counts.wrong
                + counts.failed
                + counts.unsettled
                + counts.ours_wrong;
            let _ = writeln!(
                rows,
                "| {} | {} | {tried} | {} | {} | {} | {} | {} | {} |",
                kind.name(),
                peer.name(),
                counts.agree,
                counts.knife_edges,
                counts.wrong,
                counts.failed,
                counts.unsettled,
                counts.ours_wrong,
            );
        }
        rows
    }

    /// What the definition was asked, as a sentence.
    #[must_use]
    pub fn asked(&self, kind: Kind) -> String {
        let Asked {
            same,
            undecided,
            wrong,
            ..
        } = self.asked;
        format!(
            "{}: {} points of {} decks asked of the definition: {same} as spile has it, {undecided} \
             undecided (knife edges), {wrong} wrong.",
            kind.name(),
            same + undecided + wrong,
            self.asked_decks,
        )
    }
}

/// The head of the table whose rows [`Found::rows`] gives.
pub const TABLE_HEAD: &str = "\
| decks | against | tried | agree | knife edges | peer wrong | peer fails | left open | spile wrong |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |
";

impl Finding {
    /// The finding as a line.
    #[must_use]
    pub fn line(&self) -> String {
        let who = self.peer.map_or_else(|| "spile".to_owned(), Peer::name);
        let dispute = |what: &str, dispute: &Dispute| {
            format!(
                "{what}: {} area {:.3} spile, {:.3} theirs (± {:.3}); perimeter {:.3}, {:.3} (± {:.3}); \
                 parts {}, {}; wrong about {:.1} mm² spile, {:.1} theirs",
                dispute.stage,
                dispute.ours.area,
                dispute.theirs.area,
                dispute.tolerance.area,
                dispute.ours.perimeter,
                dispute.theirs.perimeter,
                dispute.tolerance.perimeter,
                dispute.ours.parts.len(),
                dispute.theirs.parts.len(),
                dispute.ours_wrong,
                dispute.theirs_wrong,
            )
        };
        let what = match &self.verdict {
            Verdict::Agrees => "agrees".to_owned(),
            Verdict::KnifeEdge => "knife edge".to_owned(),
            Verdict::Failed(fault) => format!("failed: {fault}"),
            Verdict::PeerWrong(found) => dispute("peer wrong", found),
            Verdict::Unsettled(found) => dispute("left open", found),
            Verdict::OursWrong(found) => dispute("SPILE WRONG", found),
        };
        format!("{} {} {who}: {what}", self.kind.name(), self.number)
    }
}
