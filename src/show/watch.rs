//! What another program does to the layout: its text is read a few times a second, and whoever waits hears of every change.
//! Reading is dearer than asking the system to tell, but it works on every disk, network disks too, and a layout is small.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
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
    /// Why a file that is there cannot be read.
    pub(super) trouble: Option<String>,
}

/// The file and whoever watches it.
#[derive(Debug, Clone)]
pub(super) struct Watched {
    path: PathBuf,
    seen: watch::Sender<Seen>,
    /// One look at a time: an older one that comes late would undo a newer.
    looking: Arc<Mutex<()>>,
}

impl Watched {
    /// Begins to watch; it ends with the process.
    pub(super) fn begin(path: &Path) -> Self {
        let watched = Self {
            path: path.to_owned(),
            seen: watch::Sender::new(Seen::default()),
            looking: Arc::default(),
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
        let _turn = self.looking.lock().unwrap_or_else(PoisonError::into_inner);
        let (bytes, trouble) = match RealDisk.read(&self.path) {
            Ok(bytes) => (bytes, None),
            Err(error) => (None, Some(error.to_string())),
        };
        self.seen.send_if_modified(|seen| {
            let is_same = seen.bytes.as_deref() == bytes.as_deref() && seen.trouble == trouble;
            let is_new = seen.version == 0 || !is_same;
            if is_new {
                *seen = Seen {
                    version: seen.version + 1,
                    bytes: bytes.map(Arc::from),
                    trouble,
                };
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
