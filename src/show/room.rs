//! Room for connections. Comes in: connections as they are opened. Goes out: which of them stay. Whoever opens many and says
//! nothing on them keeps nobody out: where there is no more room, the oldest one on which nothing is being answered is closed.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use tokio::task::AbortHandle;

/// Connections at once: a browser opens six, and several pages may be open.
const CONNECTIONS: usize = 64;

/// Whether something is being answered on a connection.
#[derive(Clone, Default)]
pub(super) struct Busy(Arc<AtomicUsize>);

impl Busy {
    /// It is, as long as what comes back is kept.
    pub(super) fn begin(&self) -> Answering {
        self.0.fetch_add(1, Ordering::Relaxed);
        Answering(self.clone())
    }

    fn is_answering(&self) -> bool {
        self.0.load(Ordering::Relaxed) > 0
    }
}

/// Something is being answered.
pub(super) struct Answering(Busy);

impl Drop for Answering {
    fn drop(&mut self) {
        self.0.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// The connections that are open, oldest first.
#[derive(Default)]
pub(super) struct Room {
    open: Mutex<Vec<(AbortHandle, Busy)>>,
}

impl Room {
    /// Takes one more in, or closes it where every other is being answered.
    pub(super) fn take_in(&self, connection: AbortHandle, busy: Busy) {
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        open.retain(|(one, _)| !one.is_finished());
        if open.len() >= CONNECTIONS {
            match open.iter().position(|(_, busy)| !busy.is_answering()) {
                Some(oldest) => open.remove(oldest).0.abort(),
                None => return connection.abort(),
            }
        }
        open.push((connection, busy));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A connection on which nothing is ever said.
    fn silent() -> tokio::task::JoinHandle<()> {
        tokio::spawn(std::future::pending())
    }

    #[test]
    fn where_there_is_no_room_the_oldest_silent_one_is_closed_and_none_that_is_answered() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .build()
            .expect("a runtime");
        runtime.block_on(async {
            let room = Room::default();
            let mut all = Vec::new();
            let answered = Busy::default();
            let answering = answered.begin();
            for number in 0..=CONNECTIONS {
                let connection = silent();
                let busy = if number == 0 {
                    answered.clone()
                } else {
                    Busy::default()
                };
                room.take_in(connection.abort_handle(), busy);
                all.push(connection);
            }
            tokio::task::yield_now().await;
            let closed: Vec<bool> = all.iter().map(|one| one.is_finished()).collect();
            let expected: Vec<bool> = (0..=CONNECTIONS).map(|number| number == 1).collect();
            assert_eq!(closed, expected);
            drop(answering);
            room.take_in(silent().abort_handle(), Busy::default());
            tokio::task::yield_now().await;
            assert!(all[0].is_finished(), "what was answered is the oldest");
        });
    }
}
