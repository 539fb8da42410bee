//! What can be asked of a layout and the answers to it. Comes in: requests as text. Goes out: replies as bytes with a type. It
//! knows the file, its folder and nothing of a network.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::answer::{
    self, FileKeys, FormKeys, GroupKeys, MadeFileKeys, MadeKeys, OfferKeys, Shown, Told, Trouble,
    Worked,
};
use super::asked;
use super::saving::{RealDisk, SaveFault, save_over};
use super::watch::{Seen, Watched};
use crate::comparison::{Candidate, rows};
use crate::layout::{self, Beginning, Edit, Fault, edited, forms};
use crate::on_disk::{self, Reach};
use crate::outline::Scrutiny;
use crate::{Job, Workshop};

/// Something that can be made of a layout.
#[derive(Debug, Clone, Serialize)]
pub struct Offer {
    /// A word for programs.
    pub id: &'static str,
    /// What people call it.
    pub title: &'static str,
    /// What it is good for.
    pub about: &'static str,
    /// What may be said of it.
    pub options: Vec<Option>,
}

/// Something that may be said of what is made.
#[derive(Debug, Clone, Serialize)]
pub struct Option {
    /// A word for programs.
    pub name: &'static str,
    /// What people call it.
    pub label: &'static str,
    /// What is said.
    #[serde(flatten)]
    pub kind: OptionKind,
}

/// What is said.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum OptionKind {
    /// One of these, the usual one first: a word for programs, and one for people.
    Choice {
        /// The choices.
        choices: Vec<[String; 2]>,
    },
    /// A length, or nothing.
    Length,
    /// Yes or no.
    Flag,
}

/// Files made of a layout.
#[derive(Debug, Clone, Default)]
pub struct Made {
    /// The files.
    pub files: Vec<MadeFile>,
    /// What a person should know about them.
    pub notes: Vec<String>,
}

/// A file that was made.
#[derive(Debug, Clone)]
pub struct MadeFile {
    /// Its name, without a folder.
    pub name: String,
    /// All of it.
    pub bytes: Vec<u8>,
}

/// Makes what the commands make.
pub trait Maker: Send + Sync {
    /// What can be made of a layout.
    fn offers(&self, job: &Job) -> Vec<Offer>;

    /// Makes one of them of a text and its job.
    ///
    /// # Errors
    /// Why it cannot be made, for people.
    fn make(
        &self,
        text: &str,
        job: Job,
        output: &str,
        options: &[[String; 2]],
    ) -> Result<Made, String>;
}

/// A layout that is worked on.
pub(super) struct Desk {
    path: PathBuf,
    name: String,
    maker: Box<dyn Maker>,
    pub(super) watched: Watched,
    state: Mutex<State>,
    /// Apart from the state, which is held as long as a layout is worked out: what was made is fetched meanwhile.
    made: Mutex<Kept>,
}

#[derive(Default)]
struct State {
    workshop: Workshop,
    /// The file of this version worked out; nothing where it cannot be.
    saved: std::option::Option<(u64, std::option::Option<Candidate>)>,
    /// What the last answer told.
    told: std::option::Option<Told>,
    /// How many there were.
    answers: u64,
}

/// What was made last, until something else is.
#[derive(Default)]
struct Kept {
    files: Vec<MadeFile>,
    /// How often something was made.
    times: u64,
}

/// An answer.
#[derive(Debug)]
pub(super) struct Reply {
    pub(super) status: u16,
    pub(super) mime: String,
    pub(super) bytes: Vec<u8>,
    /// The name it is to be kept under, where it is no part of the page.
    pub(super) name: std::option::Option<String>,
}

/// Tables that one form is of; each is answered with all its rows.
const MOST_WAYS: usize = 256;

const JSON: &str = "application/json; charset=utf-8";

impl Reply {
    fn json(status: u16, value: &impl Serialize) -> Self {
        match serde_json::to_vec(value) {
            Ok(bytes) => Self {
                status,
                mime: JSON.to_owned(),
                bytes,
                name: None,
            },
            Err(error) => Self::trouble(500, &error.to_string()),
        }
    }

    /// What a person should know: it is an answer like any other.
    fn said(trouble: &str) -> Self {
        Self::trouble(200, trouble)
    }

    pub(super) fn trouble(status: u16, trouble: &str) -> Self {
        let said = serde_json::to_vec(&Trouble { trouble });
        Self {
            status,
            mime: JSON.to_owned(),
            bytes: said.unwrap_or_default(),
            name: None,
        }
    }
}

/// What was asked, or why it is nothing that can be.
fn read<T: DeserializeOwned>(body: &[u8]) -> Result<T, Reply> {
    serde_json::from_slice(body).map_err(|error| Reply::trouble(400, &error.to_string()))
}

impl Desk {
    pub(super) fn new(path: &Path, maker: Box<dyn Maker>) -> Self {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        Self {
            path: path.to_owned(),
            name: name.into_owned(),
            maker,
            watched: Watched::begin(path),
            state: Mutex::default(),
            made: Mutex::default(),
        }
    }

    /// The state; whoever left it half done by a panic left it sound, for it holds only what was finished.
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn kept(&self) -> MutexGuard<'_, Kept> {
        self.made.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The file as it was seen last.
    pub(super) fn file(&self, seen: &Seen) -> Reply {
        self.file_after(seen, false)
    }

    fn file_after(&self, seen: &Seen, refused: bool) -> Reply {
        let text = seen.bytes.as_deref().map(std::str::from_utf8);
        let unreadable = match (&seen.trouble, text) {
            (Some(error), _) => Some(format!("cannot read {}: {error}", self.name)),
            (None, Some(Err(_))) => Some(
                "this file is not UTF-8 text; save it again with the encoding set to UTF-8"
                    .to_owned(),
            ),
            (None, _) => None,
        };
        Reply::json(
            200,
            &FileKeys {
                name: &self.name,
                version: seen.version,
                text: text.and_then(Result::ok),
                refused,
                unreadable: unreadable.as_deref(),
            },
        )
    }

    /// Works out what is asked.
    pub(super) fn work(&self, body: &[u8]) -> Result<Reply, Reply> {
        let asked: asked::Work = read(body)?;
        let scrutiny = asked.scrutiny();
        let edits: Vec<Edit> = asked.edits.into_iter().map(Edit::from).collect();
        let (text, refused) = match edited(&asked.text, &edits) {
            _ if edits.is_empty() => (asked.text, None),
            Ok(text) => (text, None),
            Err(fault) => (asked.text, Some(fault.to_string())),
        };
        let mut state = self.state();
        let job = match self.job(&mut state.workshop, &text, scrutiny) {
            Ok(job) => job,
            Err(faults) => {
                return Ok(Reply::json(
                    200,
                    &Worked {
                        text: &text,
                        refused,
                        faults: faults
                            .iter()
                            .map(|fault| answer::fault(&text, fault))
                            .collect(),
                        shown: None,
                    },
                ));
            }
        };
        let before = state.told.take();
        state.answers += 1;
        let number = state.answers;
        let saved = self.saved(&mut state);
        let name = "now".to_owned();
        let now = match scrutiny {
            Scrutiny::Quick => Candidate::in_passing(name, job),
            Scrutiny::Full => Candidate::of(name, job),
        };
        let all: Vec<&Candidate> = saved.into_iter().chain([&now]).collect();
        let rows = rows(&all, now.job.layout.units);
        let told = Told::of(&now, asked.view.of_board(), number);
        let known = before.as_ref().and_then(|told| told.if_known(asked.known));
        let shown: Shown<'_> = answer::shown(&text, &now, &rows, known, &told);
        let reply = Reply::json(
            200,
            &Worked {
                text: &text,
                refused,
                faults: Vec::new(),
                shown: Some(shown),
            },
        );
        state.told = Some(told);
        Ok(reply)
    }

    fn job(
        &self,
        workshop: &mut Workshop,
        text: &str,
        scrutiny: Scrutiny,
    ) -> Result<Job, Vec<Fault>> {
        let layout = layout::read(text)?;
        let sources = on_disk::sources(&layout, &self.path, Reach::OwnFolder)?;
        workshop.work_out(layout, &sources, scrutiny)
    }

    /// The file on the disk worked out, once for each of its versions.
    fn saved<'s>(&self, state: &'s mut State) -> std::option::Option<&'s Candidate> {
        let seen = self.watched.seen();
        if state
            .saved
            .as_ref()
            .is_none_or(|(version, _)| *version != seen.version)
        {
            let bytes = seen.bytes.as_deref().unwrap_or_default();
            let text = std::str::from_utf8(bytes).ok();
            // In a workshop of its own: the other's decks are those being changed.
            let job = text.and_then(|text| {
                self.job(&mut Workshop::default(), text, Scrutiny::Full)
                    .ok()
            });
            let candidate = job.map(|job| Candidate::of("saved".to_owned(), job));
            state.saved = Some((seen.version, candidate));
        }
        state.saved.as_ref().and_then(|(_, saved)| saved.as_ref())
    }

    /// What may be typed of a thing.
    pub(super) fn form(&self, body: &[u8]) -> Result<Reply, Reply> {
        let asked: asked::Form = read(body)?;
        if asked.ways.len() > MOST_WAYS {
            return Err(Reply::trouble(
                400,
                &format!("a form is of {MOST_WAYS} tables at most"),
            ));
        }
        let all =
            forms(&asked.text, &asked.ways).map_err(|fault| Reply::said(&fault.to_string()))?;
        let groups = asked.ways.iter().zip(all).map(|(way, rows)| GroupKeys {
            way,
            rows: rows.into_iter().map(Into::into).collect(),
        });
        Ok(Reply::json(
            200,
            &FormKeys {
                groups: groups.collect(),
            },
        ))
    }

    /// Saves a text over the version that it was made from.
    pub(super) fn save(&self, body: &[u8]) -> Result<Reply, Reply> {
        let asked: asked::Save = read(body)?;
        // One at a time.
        let _state = self.state();
        let seen = self.watched.look();
        if seen.version != asked.over {
            return Ok(self.file_after(&seen, true));
        }
        let new = asked.text.into_bytes();
        match save_over(&RealDisk, &self.path, seen.bytes.as_deref(), &new) {
            Ok(()) => Ok(self.file(&self.watched.look())),
            Err(SaveFault::Changed(_)) => Ok(self.file_after(&self.watched.look(), true)),
            Err(SaveFault::Unwritable(error)) => Err(Reply::trouble(
                500,
                &format!("cannot write {}: {error}", self.name),
            )),
        }
    }

    /// What can be made of a text.
    pub(super) fn offers(&self, body: &[u8]) -> Result<Reply, Reply> {
        let asked: asked::Work = read(body)?;
        let job = self.job_of(&asked.text)?;
        let offers = self.maker.offers(&job);
        Ok(Reply::json(200, &OfferKeys { offers: &offers }))
    }

    fn job_of(&self, text: &str) -> Result<Job, Reply> {
        self.job(&mut self.state().workshop, text, Scrutiny::Full)
            .map_err(|faults| {
                let said = layout::render_faults(&self.name, text, &faults);
                Reply::said(&said)
            })
    }

    /// Makes something of a text and keeps it until it is fetched or something else is made.
    pub(super) fn make(&self, body: &[u8]) -> Result<Reply, Reply> {
        let asked: asked::Make = read(body)?;
        let job = self.job_of(&asked.text)?;
        let made = self
            .maker
            .make(&asked.text, job, &asked.output, &asked.options)
            .map_err(|trouble| Reply::said(&trouble))?;
        let mut kept = self.kept();
        kept.times += 1;
        let times = kept.times;
        let files = made
            .files
            .iter()
            .enumerate()
            .map(|(number, file)| MadeFileKeys {
                name: &file.name,
                bytes: file.bytes.len(),
                at: format!("made/{times}/{number}"),
            });
        let reply = Reply::json(
            200,
            &MadeKeys {
                files: files.collect(),
                notes: &made.notes,
            },
        );
        kept.files = made.files;
        Ok(reply)
    }

    /// A file that was made.
    pub(super) fn made(&self, which: &str) -> Result<Reply, Reply> {
        let gone = || Reply::trouble(404, "that was made before and is gone; make it again");
        let (times, number) = which.split_once('/').ok_or_else(gone)?;
        let kept = self.kept();
        if times.parse() != Ok(kept.times) {
            return Err(gone());
        }
        let file = number
            .parse()
            .ok()
            .and_then(|number: usize| kept.files.get(number));
        let file = file.ok_or_else(gone)?;
        Ok(Reply {
            status: 200,
            mime: "application/octet-stream".to_owned(),
            bytes: file.bytes.clone(),
            name: Some(file.name.clone()),
        })
    }

    /// A first layout's text.
    pub(super) fn begin(&self, body: &[u8]) -> Result<Reply, Reply> {
        #[derive(Serialize)]
        struct Begun<'a> {
            text: &'a str,
        }
        let asked: asked::Begin = read(body)?;
        let beginning = Beginning {
            title: &asked.title,
            units: &asked.units,
            length: &asked.length,
            beam: &asked.beam,
            bow: &asked.bow,
            stern: &asked.stern,
            half_breadths: &asked.half_breadths,
        };
        match layout::begun(&beginning) {
            Ok(text) => Ok(Reply::json(200, &Begun { text: &text })),
            Err(trouble) => Err(Reply::said(&trouble)),
        }
    }
}
