//! What another program does to the layout: its text is read a few times a second, and whoever waits hears of every change.
//! Reading is dearer than asking the system to tell, but it works on every disk, network disks too, and a layout is small.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;
use std::time::Duration;

use tokio::sync::watch;

use super::saving::{Disk, RealDisk};

/// How often it is looked at: a change shows within half a second, what it takes to lay it out included.
const EVERY: Duration = Duration::from_millis(150);

/// The file as it was last seen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Seen {
    /// Counts up with every change.
    pub(super) version: u64,
    /// Its bytes; nothing where there is no file, or none that can be read.
    pub(super) bytes: Option<Arc<[u8]>>,
}

/// The file and whoever watches it.
#[derive(Debug, Clone)]
pub(super) struct Watched {
    path: PathBuf,
    seen: watch::Sender<Seen>,
}

impl Watched {
    /// Begins to watch; it ends with the process.
    pub(super) fn begin(path: &Path) -> Self {
        let watched = Self {
            path: path.to_owned(),
            seen: watch::Sender::new(Seen::default()),
        };
        watched.look();
        let looking = watched.clone();
        thread::spawn(move || {
            loop {
                thread::sleep(EVERY);
                looking.look();
            }
        });
        watched
    }

    /// Reads the file now; says what it holds.
    pub(super) fn look(&self) -> Seen {
        let bytes = RealDisk.read(&self.path).ok().flatten();
        self.seen.send_if_modified(|seen| {
            let is_new = seen.version == 0 || seen.bytes.as_deref() != bytes.as_deref();
            if is_new {
                seen.version += 1;
                seen.bytes = bytes.map(Arc::from);
            }
            is_new
        });
        self.seen()
    }

    /// The file as it was last seen.
    pub(super) fn seen(&self) -> Seen {
        self.seen.borrow().clone()
    }

    /// The file once it is another than that of `version`.
    pub(super) async fn after(&self, version: u64) -> Seen {
        let mut receiver = self.seen.subscribe();
        let changed = receiver.wait_for(|seen| seen.version != version).await;
        // The sender lives as long as `self`.
        changed.map_or_else(|_| Seen::default(), |seen| seen.clone())
    }
}
