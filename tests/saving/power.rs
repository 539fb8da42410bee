//! A disk in memory that loses what was not flushed. Of a file's bytes that were written and not flushed, anything may be there
//! after a power cut; of names that were made, taken or given away and not flushed with their folder, each may be the new one
//! or the old one, in any order (POSIX promises no more of `fsync` and `rename`; what journals add is not relied upon).

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsString;
use std::io;
use std::path::{Path, PathBuf};
use std::rc::Rc;

use spile::show::{Disk, SaveFault};

/// A file, whatever it is called.
type Number = usize;

/// What is on a disk once everything has come to rest.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Rest {
    pub(crate) names: BTreeMap<PathBuf, Vec<u8>>,
}

/// One atomic change of names.
#[derive(Debug, Clone)]
enum Naming {
    Made(PathBuf, Number),
    Renamed(PathBuf, PathBuf, Number),
    Taken(PathBuf),
}

impl Naming {
    fn apply(&self, names: &mut BTreeMap<PathBuf, Number>) {
        match self {
            Self::Made(path, file) => {
                names.insert(path.clone(), *file);
            }
            Self::Renamed(from, to, file) => {
                names.remove(from);
                names.insert(to.clone(), *file);
            }
            Self::Taken(path) => {
                names.remove(path);
            }
        }
    }
}

#[derive(Debug, Clone, Default)]
struct State {
    /// As programs see them.
    names: BTreeMap<PathBuf, Number>,
    bytes: Vec<Vec<u8>>,
    /// As the disk has them for certain.
    sure_names: BTreeMap<PathBuf, Number>,
    sure_bytes: Vec<Vec<u8>>,
    /// Changes of names since the folder was flushed.
    pending: Vec<Naming>,
    steps: Vec<&'static str>,
}

/// What is to happen at one of the steps, counted from nothing.
#[derive(Debug, Clone)]
pub(crate) enum Event {
    /// The power goes: neither this step nor any after it is taken.
    Cut,
    /// This step fails; of what it would have written, half is.
    Fails,
    /// Another program gets in before it, and leaves this at a path, or nothing.
    Between(PathBuf, Option<Vec<u8>>),
    /// Another program saves too: before it so many steps are taken of saving this text over that, the rest never.
    Other {
        steps: usize,
        save: Saver,
        old: Option<Vec<u8>>,
        new: Vec<u8>,
    },
}

/// A way to save a layout.
pub(crate) type Saver = fn(&Model, &Path, Option<&[u8]>, &[u8]) -> Result<(), SaveFault>;

/// The layout that is saved.
pub(crate) const LAYOUT: &str = "yard/dinghy.toml";

/// The disk.
#[derive(Debug, Default)]
pub(crate) struct Model {
    state: Rc<RefCell<State>>,
    event: Option<(usize, Event)>,
}

impl Model {
    /// A disk on which this is for certain.
    pub(crate) fn holding(rest: &Rest) -> Self {
        let bytes: Vec<Vec<u8>> = rest.names.values().cloned().collect();
        let names = rest.names.keys().cloned();
        let names: BTreeMap<PathBuf, Number> = names.zip(0..).collect();
        let state = State {
            names: names.clone(),
            bytes: bytes.clone(),
            sure_names: names,
            sure_bytes: bytes,
            ..State::default()
        };
        Self {
            state: Rc::new(RefCell::new(state)),
            event: None,
        }
    }

    pub(crate) fn with(mut self, step: usize, event: Event) -> Self {
        self.event = Some((step, event));
        self
    }

    /// The steps that were taken.
    pub(crate) fn steps(&self) -> Vec<&'static str> {
        self.state.borrow().steps.clone()
    }

    /// What programs see now.
    pub(crate) fn seen(&self) -> Rest {
        let state = self.state.borrow();
        let names = state.names.iter();
        Rest {
            names: names
                .map(|(path, file)| (path.clone(), state.bytes[*file].clone()))
                .collect(),
        }
    }

    /// Everything that may be found when the power comes back.
    pub(crate) fn after_power_cut(&self) -> BTreeSet<Rest> {
        let state = self.state.borrow();
        let mut all = BTreeSet::new();
        for happened in 0..1_usize << state.pending.len() {
            let mut names = state.sure_names.clone();
            for (number, naming) in state.pending.iter().enumerate() {
                if happened >> number & 1 == 1 {
                    naming.apply(&mut names);
                }
            }
            let mut found = vec![Rest::default()];
            for (path, file) in names {
                let may_be = remains(&state.sure_bytes[file], &state.bytes[file]);
                found = found
                    .iter()
                    .flat_map(|rest| {
                        may_be.iter().map(|bytes| {
                            let mut rest = rest.clone();
                            rest.names.insert(path.clone(), bytes.clone());
                            rest
                        })
                    })
                    .collect();
            }
            all.extend(found);
        }
        all
    }

    /// Takes a step; whether it is to be done in full.
    fn step(&self, what: &'static str) -> io::Result<bool> {
        let number = self.state.borrow().steps.len();
        if let Some((
            at,
            Event::Other {
                steps,
                save,
                old,
                new,
            },
        )) = &self.event
            && number == *at
        {
            let other = Self {
                state: Rc::clone(&self.state),
                event: Some((number + steps, Event::Cut)),
            };
            // It is cut off, most often.
            let _ = save(&other, Path::new(LAYOUT), old.as_deref(), new);
        }
        let mut state = self.state.borrow_mut();
        match &self.event {
            Some((at, Event::Cut)) if number >= *at => {
                return Err(io::Error::other("the power is gone"));
            }
            Some((at, Event::Between(path, theirs))) if number == *at => {
                let naming = match theirs {
                    Some(bytes) => {
                        state.bytes.push(bytes.clone());
                        state.sure_bytes.push(bytes.clone());
                        Naming::Made(path.clone(), state.bytes.len() - 1)
                    }
                    None => Naming::Taken(path.clone()),
                };
                state.note(naming);
            }
            _ => {}
        }
        state.steps.push(what);
        Ok(!matches!(&self.event, Some((at, Event::Fails)) if number == *at))
    }

    /// Takes a step that is done in full or not at all.
    fn whole_step(&self, what: &'static str) -> io::Result<()> {
        if self.step(what)? {
            Ok(())
        } else {
            Err(io::ErrorKind::StorageFull.into())
        }
    }

    fn file(&self, path: &Path) -> io::Result<Number> {
        let file = self.state.borrow().names.get(path).copied();
        file.ok_or_else(|| io::ErrorKind::NotFound.into())
    }
}

impl State {
    fn note(&mut self, naming: Naming) {
        naming.apply(&mut self.names);
        self.pending.push(naming);
    }
}

/// What may be left of bytes of which only `sure` was flushed: all, none, or some of them, and behind those nothing, or as
/// much as there ought to be of nought or of what lay there before.
fn remains(sure: &[u8], written: &[u8]) -> BTreeSet<Vec<u8>> {
    const PARTS: usize = 16;
    let mut all = BTreeSet::from([sure.to_vec(), written.to_vec()]);
    if sure != written {
        for part in 0..PARTS {
            let (begun, lost) = written.split_at(written.len() * part / PARTS);
            let of = |byte: u8| [begun, &vec![byte; lost.len()]].concat();
            all.extend([begun.to_vec(), of(0), of(b'?')]);
        }
    }
    all
}

impl Disk for Model {
    fn read(&self, path: &Path) -> io::Result<Option<Vec<u8>>> {
        self.whole_step("read")?;
        let state = self.state.borrow();
        Ok(state.names.get(path).map(|file| state.bytes[*file].clone()))
    }

    fn create(&self, path: &Path, _like: &Path) -> io::Result<()> {
        self.whole_step("create")?;
        let mut state = self.state.borrow_mut();
        if state.names.contains_key(path) {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        state.bytes.push(Vec::new());
        state.sure_bytes.push(Vec::new());
        let file = state.bytes.len() - 1;
        state.note(Naming::Made(path.to_owned(), file));
        Ok(())
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let is_whole = self.step("write")?;
        let file = self.file(path)?;
        let written = if is_whole {
            bytes
        } else {
            &bytes[..bytes.len() / 2]
        };
        let held = &mut self.state.borrow_mut().bytes[file];
        // From the beginning; what is beyond stays.
        let length = written.len().max(held.len());
        held.resize(length, 0);
        held[..written.len()].copy_from_slice(written);
        if is_whole {
            Ok(())
        } else {
            Err(io::ErrorKind::StorageFull.into())
        }
    }

    fn flush(&self, path: &Path) -> io::Result<()> {
        self.whole_step("flush")?;
        let file = self.file(path)?;
        let mut state = self.state.borrow_mut();
        state.sure_bytes[file] = state.bytes[file].clone();
        Ok(())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.whole_step("rename")?;
        let file = self.file(from)?;
        let naming = Naming::Renamed(from.to_owned(), to.to_owned(), file);
        self.state.borrow_mut().note(naming);
        Ok(())
    }

    fn flush_folder(&self, _folder: &Path) -> io::Result<()> {
        self.whole_step("flush folder")?;
        let mut state = self.state.borrow_mut();
        state.sure_names = state.names.clone();
        state.pending.clear();
        Ok(())
    }

    fn names(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        self.whole_step("names")?;
        let state = self.state.borrow();
        let names = state.names.keys();
        let names = names.filter(|path| path.parent() == Some(folder));
        Ok(names
            .filter_map(|path| path.file_name().map(OsString::from))
            .collect())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.whole_step("remove")?;
        self.file(path)?;
        self.state.borrow_mut().note(Naming::Taken(path.to_owned()));
        Ok(())
    }
}
